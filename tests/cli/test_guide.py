"""The guide in the package: its list, a page, and a page that is not there."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from costplan.cli.main import app
from costplan.reports.guide import ORDER, PAGES, page

RUNNER = CliRunner()


def guide(*arguments: str, columns: int = 80) -> str:
    done = RUNNER.invoke(app, ["guide", *arguments], env={"COLUMNS": str(columns), "NO_COLOR": "1"})
    assert done.exit_code == 0, done.output
    return done.stdout


def test_the_list_names_every_page_there_is() -> None:
    assert {path.stem for path in Path(PAGES).glob("*.md")} == set(ORDER)
    listed = guide()
    for name in ORDER:
        assert f"costplan guide {name}" in listed
    assert max(map(len, listed.splitlines())) <= 80


@pytest.mark.parametrize("name", ORDER)
def test_a_page_says_first_what_it_is_for_and_fits_the_terminal(name: str) -> None:
    about = page(name).about
    assert about.endswith(".")
    assert len(about) <= 120
    assert "\n" not in about
    printed = guide(name)
    assert " ".join(printed.split()).count(about) == 1
    assert max(map(len, printed.splitlines())) <= 80
    assert "<!--" not in printed
    assert "|---" not in printed
    assert "\x1b" not in printed


@pytest.mark.parametrize("name", ORDER)
def test_a_page_is_printed_as_it_was_written_on_request(name: str) -> None:
    assert guide(name, "--markdown") == (Path(PAGES) / f"{name}.md").read_text(encoding="utf-8")


def test_a_page_that_is_not_there_is_told_with_those_that_are() -> None:
    done = RUNNER.invoke(app, ["guide", "shopfile"])
    assert done.exit_code == 2
    assert '"shopfile" is no page of the guide' in done.stderr
    assert all(name in done.stderr for name in ORDER)
