"""Whole commands on the shipped examples: seconds and peak memory of the process, from its start to its end.

python tests/benchmarks/commands.py [REPEATS]; the aim of the demo is 5 seconds.
"""

import os
import subprocess
import sys
from pathlib import Path
from statistics import median
from time import perf_counter

from tabulate import tabulate

from costplan.files.shipped import shipped

AIM_S = {"compare (demo)": 5.0}


def run(arguments: list[str]) -> tuple[float, float]:
    """Seconds and peak megabytes of one command; its output goes nowhere."""
    began = perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "costplan", *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, (arguments, process.returncode)
    return perf_counter() - began, usage.ru_maxrss / 1024


def main() -> None:
    repeats = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    examples: Path = shipped("examples")
    bargain = str(examples / "bargain" / "shop.yaml")
    commands = {
        "compare (demo)": ["compare"],
        "compare examples/bargain": ["compare", bargain],
        "next examples/bargain": ["next", bargain],
    }
    lines = []
    for name, arguments in commands.items():
        runs = [run(arguments) for _ in range(repeats)]
        seconds, peak_mb = median(s for s, _ in runs), max(mb for _, mb in runs)
        aim_s = AIM_S.get(name)
        verdict = "" if aim_s is None else "kept" if seconds < aim_s else "missed"
        lines.append([name, seconds, min(s for s, _ in runs), peak_mb, aim_s, verdict])
    print(f"median of {repeats} runs")
    headers = ["command", "s", "least s", "peak MB", "aim s", ""]
    print(tabulate(lines, headers, floatfmt=("", ".2f", ".2f", ".0f", ".0f", "")))


if __name__ == "__main__":
    main()
