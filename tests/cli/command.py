"""Runs the command line as a user would: another process, its output piped."""

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
TINY = "examples/tiny/shop.yaml"
BARGAIN = "examples/bargain/shop.yaml"
COMMANDS = (
    *("compare", "size", "check", "schema", "example", "cautions", "next", "shopping", "scope", "bids"),
    *("start", "jobs", "record", "catalog", "guide"),
    *("catalog add", "catalog reprice", "catalog remove", "catalog import"),
    *("catalog copy", "catalog odd", "catalog history", "catalog calls"),
)
"""Every command, as typed."""


@cache
def costplan(*arguments: str, columns: int = 100) -> "subprocess.CompletedProcess[str]":
    """The finished process of `costplan ARGUMENTS` in the project's folder; asked once per argument list.

    columns: characters in a row of the terminal, as it says itself.
    """
    env = {name: text for name, text in os.environ.items() if not name.startswith(("TYPER_", "FORCE_COLOR"))}
    env |= {"COLUMNS": str(columns), "NO_COLOR": "1", "PYTHONIOENCODING": "utf-8"}
    command = [sys.executable, "-m", "costplan", *arguments]
    return subprocess.run(
        command, capture_output=True, encoding="utf-8", env=env, cwd=ROOT, timeout=120, check=False
    )
