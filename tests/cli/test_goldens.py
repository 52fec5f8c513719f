"""Whole outputs, kept in tests/goldens; COSTPLAN_REWRITE=1 rewrites them, to be read before committing."""

import os
import re
from pathlib import Path

import pytest
from command import BARGAIN, COMMANDS, TINY, costplan

GOLDENS = Path(__file__).parents[1] / "goldens"

LAYOUTS = "tests/shops/layouts.yaml"
WIDTHS = (80, 120)
"""Terminals that the screens are kept for."""
OUTPUTS = {
    **{f"compare_tiny_{columns}.txt": ("compare", TINY) for columns in WIDTHS},
    **{f"compare_tiny_all_{columns}.txt": ("compare", TINY, "--show", "all") for columns in WIDTHS},
    "compare_bargain_80.txt": ("compare", BARGAIN),
    **{f"compare_layouts_{columns}.txt": ("compare", LAYOUTS, "--plans", "1") for columns in WIDTHS},
    "compare_tiny.json": ("compare", TINY, "--format", "json"),
    "compare_tiny.csv": ("compare", TINY, "--format", "csv"),
    "compare_layouts_totals_80.txt": ("compare", LAYOUTS, "--plans", "1", "--show", "totals"),
    "compare_layouts.json": ("compare", LAYOUTS, "--plans", "1", "--format", "json"),
    "scope_layout.txt": ("scope", LAYOUTS, "--layout", "drill sold"),
    "size_tiny.txt": ("size", TINY),
    "next_bargain_80.txt": ("next", BARGAIN, "big planer"),
    "shopping_tiny.txt": ("shopping", TINY),
    "shopping_tiny.csv": ("shopping", TINY, "--format", "csv"),
    "scope_tiny.txt": ("scope", TINY),
    "scope_tiny.csv": ("scope", TINY, "--format", "csv"),
    "bids_bargain.txt": ("bids", BARGAIN),
    "odd_tiny.txt": ("catalog", "odd", "examples/tiny/catalog", "--today", "2027-11-02"),
    "history_tiny.txt": ("catalog", "history", "examples/tiny/catalog", "receptacle-5-20"),
    "calls_tiny.txt": ("catalog", "calls", TINY),
    "explain_tiny.txt": ("explain", TINY),
    "explain_tiny_saw.txt": ("explain", TINY, "--machine", "saw"),
    "explain_tiny_way.txt": ("explain", TINY, "--machine", "drill", "--way", "cord"),
    "explain_bargain_plan.txt": ("explain", BARGAIN, "--plan", "2"),
    "jobs_tiny.txt": ("jobs", TINY),
    "cautions.txt": ("cautions",),
    "cautions_bargain.txt": ("cautions", BARGAIN),
    "check_bargain.txt": ("check", BARGAIN),
    "help.txt": ("--help",),
    "guide.txt": ("guide",),
    **{f"help_{command.replace(' ', '_')}.txt": (*command.split(), "--help") for command in COMMANDS},
}


def columns_of(name: str) -> int:
    """How wide the terminal is that a golden was printed for: its name ends in it, else 100."""
    found = re.search(r"_(80|120)\.txt$", name)
    return int(found[1]) if found else 100


@pytest.mark.parametrize("name", OUTPUTS)
def test_output_is_the_golden_one(name: str) -> None:
    columns = columns_of(name)
    done = costplan(*OUTPUTS[name], columns=columns)
    assert done.returncode == 0, done.stderr
    golden = GOLDENS / name
    if os.environ.get("COSTPLAN_REWRITE"):
        golden.write_text(done.stdout, encoding="utf-8", newline="\n")
    assert done.stdout == golden.read_text(encoding="utf-8"), (
        "changed on purpose? COSTPLAN_REWRITE=1 rewrites it"
    )


@pytest.mark.parametrize(
    "name", [name for name in OUTPUTS if name.startswith(("compare", "next", "explain"))]
)
def test_no_line_is_wider_than_the_terminal(name: str) -> None:
    if name.endswith(".txt"):
        lines = (GOLDENS / name).read_text(encoding="utf-8").splitlines()
        assert max(map(len, lines)) <= columns_of(name)


def test_every_golden_has_its_output() -> None:
    assert {path.name for path in GOLDENS.iterdir()} == set(OUTPUTS)
