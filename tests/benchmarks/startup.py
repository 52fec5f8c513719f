"""How long costplan takes to say hello, and a command as a whole process, beside its floor.

python tests/benchmarks/startup.py [REPEATS [COMMAND [ARGUMENT ...]]]; without COMMAND `compare`, which is the demo. For
example `7 compare examples/tiny/shop.yaml`, `3 next`, `3 catalog calls examples/demo/shop.yaml`.

Floors: for --help, the --help of a typer program of one command; for the command, its imports, its relaxations and its
solver alone on the same programs, in the same run.
"""

import subprocess
import sys
from statistics import median
from time import perf_counter

from tabulate import tabulate

BARE = """
import typer

app = typer.Typer(rich_markup_mode=None, add_completion=False)


@app.command()
def greet(name: str = "you") -> None:
    print(name)


app(["--help"])
"""
IMPORTS = """
import costplan.cli.main
import costplan.checks.checks
import costplan.model.loading
import costplan.studies.comparison
import costplan.studies.next_machine
import costplan.studies.phone_calls
import costplan.reports.terminal
import ortools.linear_solver.python.model_builder_helper
import ortools.sat.python.cp_model_helper
"""
WHOLE = """
from time import process_time
import sys
IMPORTS
began_s = process_time()
from costplan.program import relaxation, solver
from costplan.studies import beside

spent = {"solver": 0.0, "relaxations": 0.0, "solves": 0}


def timed(of, plain):
    def work(*arguments, **named):
        began = process_time()
        try:
            return plain(*arguments, **named)
        finally:
            spent[of] += process_time() - began
            spent["solves"] += of == "solver"

    return work


solver._solved = timed("solver", solver._solved)
for name in ("__init__", "relaxed"):
    setattr(relaxation.Linear, name, timed("relaxations", getattr(relaxation.Linear, name)))
beside.spare_process = lambda: False
from costplan.cli.main import run

try:
    run()
except SystemExit as end:
    assert not end.code, end.code

print(began_s, spent["relaxations"], spent["solver"], process_time(), spent["solves"], file=sys.stderr)
""".replace("IMPORTS", IMPORTS)
"""One process, so that all is counted in its processor seconds, whatever else the machine does."""


def seconds_of(command: list[str]) -> tuple[float, str]:
    """Seconds of a whole process, and what it said on stderr."""
    began = perf_counter()
    done = subprocess.run([sys.executable, *command], check=True, capture_output=True, text=True)
    return perf_counter() - began, done.stderr


def medians(repeats: int, *commands: list[str]) -> list[float]:
    """Median seconds of each command; the commands take turns, so that they share what else the machine does."""
    for command in commands:
        seconds_of(command)
    runs = [[seconds_of(command)[0] for command in commands] for _ in range(repeats)]
    return [median(times) for times in zip(*runs, strict=True)]


def main() -> None:
    repeats = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    bare_s, help_s, command_s, empty_s, imports_s = medians(
        repeats,
        ["-c", BARE],
        ["-m", "costplan", "--help"],
        ["-m", "costplan", "compare", "--help"],
        ["-c", "pass"],
        ["-c", IMPORTS],
    )
    command = sys.argv[2:] or ["compare"]
    name = " ".join(command[:2] if command[0] == "catalog" else command[:1])
    whole_s, said = seconds_of(["-c", WHOLE, *command])
    loaded_s, relaxed_s, solver_s, cpu_s = map(float, said.split()[-5:-1])
    floor_s = loaded_s + relaxed_s + solver_s

    lines = [
        ["an empty interpreter", empty_s, None, ""],
        ["--help of a bare typer program", bare_s, None, "floor"],
        ["costplan --help", help_s, bare_s, f"{help_s / bare_s:.2f}"],
        ["costplan compare --help", command_s, bare_s, f"{command_s / bare_s:.2f}"],
        ["all imports of a study", imports_s, None, "floor"],
        [f"imports in {name}, processor", loaded_s, None, "floor"],
        [f"relaxations in {name}, processor", relaxed_s, None, "floor"],
        [f"the solver in {name}, {said.split()[-1]} solves, processor", solver_s, None, "floor"],
        [f"costplan {name} in one process, processor", cpu_s, floor_s, f"{cpu_s / floor_s:.2f}"],
        [f"costplan {name} in one process", whole_s, None, ""],
    ]
    print(tabulate(lines, ["process", "s", "floor s", "x floor"], floatfmt=("", ".2f", ".2f", "")))


if __name__ == "__main__":
    main()
