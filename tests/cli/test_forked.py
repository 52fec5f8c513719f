"""A forked command says what one started anew says, and ends as it does."""

from pathlib import Path

import pytest
from command import TINY, environment, run, started


@pytest.mark.parametrize(
    "arguments",
    [("compare", TINY), ("check", "nowhere.yaml"), ("compare", TINY, "--plans", "-4"), ("--help",)],
    ids=" ".join,
)
def test_it_says_what_one_started_anew_says(arguments: tuple[str, ...]) -> None:
    forked, anew = run(*arguments, env={"COLUMNS": "90"}), started(arguments, environment({"COLUMNS": "90"}))
    as_typed = [text.replace("python -m costplan", "costplan") for text in (anew.stdout, anew.stderr)]
    assert (forked.returncode, [forked.stdout, forked.stderr]) == (anew.returncode, as_typed)


def test_the_package_runs_as_a_module(tmp_path: Path) -> None:
    done = started(("example", "tiny", str(tmp_path / "shop")), environment({}))
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "shop" / "shop.yaml").exists()
