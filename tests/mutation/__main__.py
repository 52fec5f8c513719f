"""Mutation testing, by hand: `python tests/mutation WORK [MODULE...]`; see README.md beside this file.

Modules and the tests that must notice what is changed in them stand in `plan.toml`. WORK is a folder outside the project: a
copy of it is made there and changed. A run that was stopped goes on where it ended; one that has ended tries again what no test
noticed. The modules themselves must not have changed in between; else take a new folder.
"""

import random
import re
import shutil
import sqlite3
import subprocess
import sys
import time
import tomllib
from pathlib import Path
from typing import Any

from cosmic_ray.work_db import WorkDB, use_db
from cosmic_ray.work_item import TestOutcome, WorkerOutcome, WorkResult

HERE = Path(__file__).resolve().parent
PROJECT = HERE.parents[1]
COPIED = ("costplan", "tests", "catalogs", "examples", "pyproject.toml", "README.md", "DEVELOPERS.md")
ASK = (
    "import socket, sys; asked = socket.socket(socket.AF_UNIX); asked.connect(sys.argv[1]); "
    "sys.exit(asked.recv(1) != b'0')"
)


def main(work: Path, wanted: list[str]) -> None:
    plan = tomllib.loads((HERE / "plan.toml").read_text())
    for module, entry in plan["modules"].items():
        if not wanted or module in wanted:
            run(work, module, entry, plan)


def run(work: Path, module: str, entry: dict[str, Any], plan: dict[str, Any]) -> None:
    """Try all mutants of one module that are left to try, and print those that no test noticed."""
    name = module.replace("/", "_")
    tree, record, address = work / f"{name}-tree", work / f"{name}.sqlite", work / f"{name}.socket"
    if tree.exists():
        shutil.rmtree(tree)
    for part in COPIED:
        copy = shutil.copytree if (PROJECT / part).is_dir() else shutil.copy2
        tree.mkdir(parents=True, exist_ok=True)
        copy(PROJECT / part, tree / part)
    config = tree / "cosmic-ray.toml"
    ask = work / "ask.py"
    ask.write_text(ASK)
    config.write_text(
        f'[cosmic-ray]\nmodule-path = "costplan/{module}.py"\ntimeout = 1800.0\nexcluded-modules = []\n'
        f'test-command = "{sys.executable} -S -E {ask} {address}"\n'
        '[cosmic-ray.distributor]\nname = "local"\n'
    )
    if not record.exists():
        ray(tree, "init", config.name, str(record))
        source = (tree / f"costplan/{module}.py").read_text().splitlines()
        with use_db(record) as found:
            choose(found, source, plan["operators"], entry.get("sample"), plan["seed"])
    else:
        try_again(record)
    address.unlink(missing_ok=True)
    tests = [*entry["tests"], *(["--", *entry["wider"]] if "wider" in entry else [])]
    server = subprocess.Popen(
        [sys.executable, str(HERE / "forked.py"), str(address), module, *tests], cwd=tree
    )
    try:
        while not address.exists():
            if server.poll() is not None:
                sys.exit(f"{module}: the tests do not run")
            time.sleep(0.2)
        ray(tree, "exec", config.name, str(record))
    finally:
        server.kill()
        server.wait()
    with use_db(record) as found:
        report(module, found)


def ray(tree: Path, *words: str) -> None:
    subprocess.run([str(Path(sys.executable).with_name("cosmic-ray")), *words], cwd=tree, check=True)


def choose(found: WorkDB, source: list[str], operators: list[str], sample: int | None, seed: int) -> None:
    """Leave out what changes nothing, all operators but those of the plan, and of a large module all but a drawn sample."""
    kept = re.compile("|".join(operators))
    items = sorted(found.pending_work_items, key=lambda item: place(item.mutations[0]))
    meant = [
        item
        for item in items
        if kept.fullmatch(item.mutations[0].operator_name) and not idle(item.mutations[0], source)
    ]
    drawn = meant if sample is None else random.Random(seed).sample(meant, min(sample, len(meant)))
    ids = {item.job_id for item in drawn}
    skipped = WorkResult(worker_outcome=WorkerOutcome.SKIPPED, output="not of the plan")
    found.set_multiple_results([item.job_id for item in items if item.job_id not in ids], skipped)
    print(f"{len(drawn)} mutants of {len(meant)}", flush=True)


def try_again(record: Path) -> None:
    """Forget the mutants that no test noticed, so that tests written since are asked about them too."""
    with sqlite3.connect(record) as found:
        found.execute("DELETE FROM work_results WHERE test_outcome = ?", (TestOutcome.SURVIVED.name,))


def idle(mutation: Any, source: list[str]) -> bool:
    """Whether a mutation is of a decorator (`slots=True`) or of the star before arguments by name: no result changes."""
    row, column = mutation.start_pos
    line = source[row - 1]
    star = mutation.operator_name.endswith("Mul_Div") and re.match(r"\*(,|$)", line[column:].strip())
    return line.startswith("@") or bool(star)


def place(mutation: Any) -> tuple[Any, ...]:
    """Where a mutation is: the same on every machine, as its number in the record is not."""
    return (mutation.start_pos, mutation.operator_name, mutation.occurrence)


def report(module: str, found: WorkDB) -> None:
    mutations = {item.job_id: item.mutations[0] for item in found.work_items}
    tried = [(mutations[job], result) for job, result in found.results if result.test_outcome is not None]
    lived = [known for known in tried if known[1].test_outcome is not TestOutcome.KILLED]
    print(f"{module}: {len(tried)} tried, {len(tried) - len(lived)} noticed, {len(lived)} not")
    for mutation, result in sorted(lived, key=lambda known: place(known[0])):
        changed = [line for line in result.diff.splitlines() if re.match(r"[-+](?![-+])", line)]
        print(f"  line {mutation.start_pos[0]}, {mutation.operator_name.removeprefix('core/')}")
        print("".join(f"    {line}\n" for line in changed), end="", flush=True)


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    main(Path(sys.argv[1]).resolve(), sys.argv[2:])
