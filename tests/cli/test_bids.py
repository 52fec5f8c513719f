"""`costplan bids`: bids leveled, compared and put in the estimate's place; mistakes end with status 2."""

import json
from pathlib import Path
from typing import Any

import pytest
import typer
from strategies import SAW, make_catalog, make_shop
from typer.testing import CliRunner, Result

from costplan.circuits.facts import Facts
from costplan.cli.bids import register
from costplan.cli.choices import Exit
from costplan.cli.guard import Guarded
from costplan.model.loading import load_catalog, load_shop
from costplan.studies.case import bids_path, checked_bids

BARGAIN = Path(__file__).resolve().parent.parent.parent / "examples" / "bargain"
BIDS = """\
bids:
  - bidder: Bidder A (invented)
    date: 2026-10-01
    valid_until: 2026-12-31
    kind: fixed
    price: 400.00
    covers: [run-cable]
    includes_permit: true
    rest_by: electrician
    note: holds the permit
  - bidder: Bidder B (invented)
    date: 2026-10-02
    valid_until: 2026-12-31
    kind: hourly
    rate: 80.00
    call_out: 40.00
    permit: 0
"""
POINTS = ("low", "likely", "high", "expected")


def run_in(folder: Path, *arguments: str, **shop: Any) -> Result:
    """Run the command for a shop in memory whose file would be in the folder."""

    def read(path: Path | None, catalog: Path | None) -> Facts:
        assert (path, catalog) == (folder / "shop.yaml", None)
        return Facts(make_shop([SAW], **shop), make_catalog())

    app = typer.Typer(cls=Guarded, pretty_exceptions_enable=False)
    app.command("other")(lambda: None)
    register(app, read)
    return CliRunner().invoke(app, ["bids", str(folder / "shop.yaml"), *arguments])


def run(folder: Path, bids: str | None, *arguments: str) -> Result:
    """Run the command with --bids; None leaves the file out."""
    if bids is not None:
        (folder / "bids.yaml").write_text(bids, encoding="utf-8")
    return run_in(folder, "--bids", str(folder / "bids.yaml"), *arguments)


def data(folder: Path, bids: str, *more: str) -> Any:
    done = run(folder, bids, "--format", "json", *more)
    assert done.exit_code == Exit.OK, done.output
    return json.loads(done.stdout)


def cents(amount: float) -> int:
    return round(amount * 100)


def test_the_table_says_who_stands_where(tmp_path: Path) -> None:
    done = run(tmp_path, BIDS)
    assert done.exit_code == Exit.OK, done.output
    for words in (
        "invented demo data",
        "Bidder A (invented)",
        "missing scope",
        "leveled = price + left out + taken off",
        "holds the permit",
        "Break-even hours",
        "In the estimate's place",
    ):
        assert words in done.stdout


def test_every_total_is_the_sum_of_what_is_shown(tmp_path: Path) -> None:
    found = data(tmp_path, BIDS)
    for word in POINTS:
        rows = sum(cents(row["amount"][word]) for row in found["estimate"]["rows"])
        assert rows == cents(found["estimate"]["total"][word])
    assert [bid["bidder"][:8] for bid in found["bids"]] == ["Bidder A", "Bidder B"]
    for bid in found["bids"]:
        lines = sum(cents(line["amount"]) for line in bid["lines"])
        assert lines == cents(bid["leveled"])
        assert lines == cents(bid["price"]) + cents(bid["left_out"]) + cents(bid["taken_off"])
        for word in POINTS:
            assert cents(bid["difference"][word]) == lines - cents(found["estimate"]["total"][word])


def test_break_evens_and_places_are_in_the_data(tmp_path: Path) -> None:
    found = data(tmp_path, BIDS)
    assert {(even["crew"], even["bidder"]) for even in found["break_evens"]} == {
        ("electrician", "Bidder A (invented)"),
        ("Bidder B (invented)", "Bidder A (invented)"),
    }
    assert [entry["hired"] for entry in found["in_place"]] == [
        "Bidder A (invented), else electrician",
        "Bidder B (invented)",
    ]
    assert all(entry["best"]["present_value"] > 0 for entry in found["in_place"])


def test_an_expired_bid_takes_no_part_unless_asked(tmp_path: Path) -> None:
    late = BIDS.replace("valid_until: 2026-12-31", "valid_until: 2026-10-31", 1)
    found = data(tmp_path, late)
    assert found["bids"][0]["not_in_choice"] == "the price held until 2026-10-31"
    assert [entry["hired"] for entry in found["in_place"]] == ["Bidder B (invented)"]
    asked = data(tmp_path, late, "--expired")
    assert asked["bids"][0]["not_in_choice"] is None
    assert len(asked["in_place"]) == 2


def test_questions_go_to_stderr(tmp_path: Path) -> None:
    done = run(tmp_path, BIDS.replace("    permit: 0\n", ""))
    assert done.exit_code == Exit.OK
    assert "bid-permit-open" in done.stderr
    assert "bid-permit-open" not in done.stdout


def test_the_shop_file_names_its_bids(tmp_path: Path) -> None:
    (tmp_path / "received.yaml").write_text(BIDS, encoding="utf-8")
    done = run_in(tmp_path, bids_file="received.yaml")
    assert done.exit_code == Exit.OK, done.output
    assert "Bidder B (invented)" in done.stdout
    named = make_shop(bids_file="../received.yaml")
    assert bids_path(tmp_path / "shop" / "shop.yaml", named, None) == tmp_path / "received.yaml"
    assert bids_path(tmp_path / "shop.yaml", named, Path("other.yaml")) == Path("other.yaml")
    assert bids_path(tmp_path / "shop.yaml", make_shop(), None) is None


def test_without_bids_it_says_how_to_enter_them(tmp_path: Path) -> None:
    done = run_in(tmp_path)
    assert done.exit_code == Exit.OK
    assert "bids_file:" in done.stdout
    assert "The estimate" in done.stdout


def test_bids_of_the_shop_file_stand_beside_the_others(tmp_path: Path) -> None:
    own = {"name": "own", "price": 250, "covers": ["run-cable"], "rest_by": "electrician"}
    done = run_in(tmp_path, "--format", "json", bids=[own])
    assert done.exit_code == Exit.OK, done.output
    found = json.loads(done.stdout)
    assert [(bid["bidder"], bid["date"]) for bid in found["bids"]] == [("own", None)]
    assert found["estimate"]["crew"] == "electrician"
    assert "in the shop file" in run_in(tmp_path, bids=[own]).stdout


@pytest.mark.parametrize(
    ("bids", "arguments", "words"),
    [
        (None, (), "bids.yaml"),
        ("", (), "is empty"),
        (BIDS.replace("run-cable", "run-cabel"), (), 'Did you mean "run-cable"?'),
        (BIDS.replace("rate: 80.00", "rate: lots"), (), "lots"),
        (BIDS, ("--format", "csv"), "'csv' is not one of"),
        (BIDS, ("--plan", "50"), "there are only"),
    ],
)
def test_mistakes_end_with_status_2(
    bids: str | None, arguments: tuple[str, ...], words: str, tmp_path: Path
) -> None:
    done = run(tmp_path, bids, *arguments)
    assert done.exit_code == Exit.USER_MISTAKE, done.output
    assert words in done.output
    assert done.stdout == ""
    assert "Traceback" not in done.output


def test_no_plan_ends_with_status_3(tmp_path: Path) -> None:
    done = run_in(tmp_path, money={"discount_rate": "0 %", "outlay_cap": 1})
    assert done.exit_code == Exit.NO_PLAN, done.output
    assert "raise the cap" in done.stderr


def test_the_shipped_bids_fit_their_shop_and_say_they_are_invented() -> None:
    path = BARGAIN / "bids.yaml"
    shop, catalog = load_shop(BARGAIN / "shop.yaml")[0], load_catalog(BARGAIN / "../../catalogs/demo")[0]
    assert shop is not None
    assert catalog is not None
    loaded, problems = checked_bids(path, shop, catalog)
    assert [problem.code for problem in problems] == ["bid-permit-open"]
    assert loaded.bids is not None
    assert [str(bid.kind) for bid in loaded.bids] == ["fixed", "fixed", "hourly"]
    assert all("(invented)" in bid.bidder for bid in loaded.bids)
    assert path.read_text(encoding="utf-8").startswith("# Invented data")


def test_help_shows_an_example(tmp_path: Path) -> None:
    done = run_in(tmp_path, "--help")
    assert "Example: costplan bids" in done.output
