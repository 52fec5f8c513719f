"""Whole outputs, kept in tests/goldens; COSTPLAN_REWRITE=1 rewrites them, to be read before committing."""

import os
from pathlib import Path

import pytest
from command import COMMANDS, TINY, costplan

GOLDENS = Path(__file__).parents[1] / "goldens"

OUTPUTS = {
    "compare_tiny.txt": ("compare", TINY),
    "compare_tiny_lines.txt": ("compare", TINY, "--lines"),
    "compare_tiny.json": ("compare", TINY, "--format", "json"),
    "compare_tiny.csv": ("compare", TINY, "--format", "csv"),
    "size_tiny.txt": ("size", TINY),
    "cautions.txt": ("cautions",),
    "help.txt": ("--help",),
    **{f"help_{command}.txt": (command, "--help") for command in COMMANDS},
}


@pytest.mark.parametrize("name", OUTPUTS)
def test_output_is_the_golden_one(name: str) -> None:
    done = costplan(*OUTPUTS[name])
    assert done.returncode == 0, done.stderr
    golden = GOLDENS / name
    if os.environ.get("COSTPLAN_REWRITE"):
        golden.write_text(done.stdout, encoding="utf-8", newline="\n")
    assert done.stdout == golden.read_text(encoding="utf-8"), (
        "changed on purpose? COSTPLAN_REWRITE=1 rewrites it"
    )


def test_every_golden_has_its_output() -> None:
    assert {path.name for path in GOLDENS.iterdir()} == set(OUTPUTS)
