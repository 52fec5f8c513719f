"""Whole outputs, kept in tests/goldens; COSTPLAN_REWRITE=1 rewrites them, to be read before committing."""

import os
from pathlib import Path

import pytest
from command import BARGAIN, COMMANDS, TINY, costplan

GOLDENS = Path(__file__).parents[1] / "goldens"

OUTPUTS = {
    "compare_tiny.txt": ("compare", TINY),
    "compare_tiny_lines.txt": ("compare", TINY, "--lines"),
    "compare_tiny.json": ("compare", TINY, "--format", "json"),
    "compare_tiny.csv": ("compare", TINY, "--format", "csv"),
    "compare_layouts.txt": ("compare", "tests/shops/layouts.yaml", "--plans", "1"),
    "compare_layouts.json": ("compare", "tests/shops/layouts.yaml", "--plans", "1", "--format", "json"),
    "scope_layout.txt": ("scope", "tests/shops/layouts.yaml", "--layout", "drill sold"),
    "size_tiny.txt": ("size", TINY),
    "next_bargain.txt": ("next", BARGAIN, "big planer"),
    "shopping_tiny.txt": ("shopping", TINY),
    "shopping_tiny.csv": ("shopping", TINY, "--format", "csv"),
    "scope_tiny.txt": ("scope", TINY),
    "scope_tiny.csv": ("scope", TINY, "--format", "csv"),
    "bids_bargain.txt": ("bids", BARGAIN),
    "odd_tiny.txt": ("catalog", "odd", "examples/tiny/catalog", "--today", "2027-11-02"),
    "history_tiny.txt": ("catalog", "history", "examples/tiny/catalog", "receptacle-5-20"),
    "calls_tiny.txt": ("catalog", "calls", TINY),
    "jobs_tiny.txt": ("jobs", TINY),
    "cautions.txt": ("cautions",),
    "cautions_bargain.txt": ("cautions", BARGAIN),
    "check_bargain.txt": ("check", BARGAIN),
    "help.txt": ("--help",),
    **{f"help_{command.replace(' ', '_')}.txt": (*command.split(), "--help") for command in COMMANDS},
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
