"""The two commands: formats, files that are never overwritten, and exit statuses."""

import csv
import io
from pathlib import Path

import pytest
from openpyxl import load_workbook
from small_shop import OFFERS, write_small_shop
from typer.testing import CliRunner, Result

from costplan.cli.main import app

TINY = Path(__file__).parents[2] / "examples" / "tiny"


def run(*arguments: str) -> Result:
    """A command of the shop that is named in it, else of the tiny example."""
    command, *rest = arguments
    shop = (
        [] if "--help" in rest or any(word.endswith(".yaml") for word in rest) else [str(TINY / "shop.yaml")]
    )
    return CliRunner().invoke(app, [command, *shop, *rest])


def test_the_shopping_list_of_the_small_example_costs_what_the_example_says() -> None:
    done = run("shopping", str(TINY / "shop.yaml"))
    assert done.exit_code == 0
    assert "All orders" in done.output
    assert "195.00" in done.output


@pytest.mark.parametrize("plan", ["1", "2"])
def test_csv_goes_to_the_terminal(plan: str) -> None:
    done = run("shopping", "--plan", plan, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert len(rows) > 8
    assert {row["supplier"] for row in rows} == {"Supplier A (invented)"}


@pytest.mark.parametrize("format_", ["table", "csv", "xlsx", "html"])
def test_a_list_is_written_once_and_never_over_a_file(format_: str, tmp_path: Path) -> None:
    file = tmp_path / "list"
    first = run("shopping", "--format", format_, "--output", str(file))
    assert (first.exit_code, first.output) == (0, f"Wrote {file}.\n")
    content = file.read_bytes()
    again = run("shopping", "--format", format_, "--output", str(file))
    assert again.exit_code == 2
    assert "is there already" in again.output
    assert file.read_bytes() == content
    assert [path.name for path in tmp_path.iterdir()] == ["list"]


def test_a_workbook_needs_a_file() -> None:
    done = run("shopping", "--format", "xlsx")
    assert done.exit_code == 2
    assert "--output" in done.output


def test_the_workbook_is_set_up_for_the_paper_asked_for(tmp_path: Path) -> None:
    file = tmp_path / "list.xlsx"
    assert run("shopping", "--format", "xlsx", "--output", str(file), "--paper", "a4").exit_code == 0
    assert str(load_workbook(file).worksheets[0].page_setup.paperSize) == "9"


@pytest.mark.parametrize("command", ["shopping", "scope"])
def test_a_plan_there_is_not_is_the_user_s_mistake(command: str) -> None:
    done = run(command, "--plan", "50")
    assert done.exit_code == 2
    assert "there are only" in done.output


@pytest.mark.parametrize("command", ["shopping", "scope"])
def test_a_folder_there_is_not_is_the_user_s_mistake(command: str, tmp_path: Path) -> None:
    done = run(command, "--output", str(tmp_path / "none" / "list.txt"))
    assert done.exit_code == 2
    assert "is no folder" in done.output


@pytest.mark.parametrize("command", ["shopping", "scope"])
def test_no_plan_at_all_is_said_without_a_traceback(command: str, tmp_path: Path) -> None:
    shop = write_small_shop(tmp_path, {"catalog/offers.csv": OFFERS.splitlines()[0] + "\n"})
    done = run(command, str(shop))
    assert done.exit_code == 3
    assert "no plan is possible" in done.output
    assert "Traceback" not in done.output


@pytest.mark.parametrize("format_", ["table", "csv", "html"])
def test_the_scope_sheet_shows_access_hours_and_alternates(format_: str) -> None:
    done = run("scope", "--format", format_, "--access", "Mon to Fri, 7 to 16", "--alternates", "1")
    assert done.exit_code == 0
    assert "Mon to Fri, 7 to 16" in done.output
    assert "lternate A" in done.output
    assert "lternate B" not in done.output


@pytest.mark.parametrize("command", ["shopping", "scope"])
def test_help_shows_an_example(command: str) -> None:
    done = run(command, "--help")
    assert done.exit_code == 0
    assert f"Example: costplan {command}" in " ".join(done.output.split())
