"""Whose prices count, and figures that can hardly be meant, as they are seen on the command line. All shops are invented."""

import csv
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from command import ROOT, costplan
from small_shop import FILES, write_small_shop

from costplan.checks.check_usual import odd_figures
from costplan.checks.checks import FAR_FIGURES
from costplan.model import (
    bids,
    catalog,
    circuits_there,
    conditions,
    events,
    gear,
    labor,
    nameplate,
    quotes,
    shop,
)
from costplan.model.base import Entry
from costplan.model.loading import catalog_of, load_shop_with_places
from costplan.standards import tables, usual

DEMO = ROOT / "catalogs" / "demo"
OWN = FILES["garage.yaml"].replace("invented: true\n", "")


def shop_file(folder: Path, catalog: str, *, invented: bool = False) -> Path:
    text = FILES["garage.yaml"] if invented else OWN
    return write_small_shop(folder, {"garage.yaml": text.replace("catalog: catalog\n", catalog)})


@pytest.mark.parametrize("written", ["", "catalog:\n"])
def test_invented_prices_never_pass_for_ones_own(written: str, tmp_path: Path) -> None:
    path = shop_file(tmp_path, written)
    for command in ("check", "compare", "shopping", "size"):
        done = costplan(command, str(path))

        assert done.returncode == 2
        assert "catalog-unnamed" in done.stdout + done.stderr
        assert "catalog: demo" in done.stdout + done.stderr


@pytest.mark.parametrize(
    ("written", "invented"), [("catalog: demo\n", False), ("catalog: demo\n", True), ("", True)]
)
def test_the_demos_shelf_is_nobodys(written: str, invented: bool, tmp_path: Path) -> None:
    loaded = load_shop_with_places(shop_file(tmp_path, written, invented=invented))
    found = catalog_of(loaded)

    assert found.catalog is not None
    assert found.catalog.invented
    assert len(found.catalog.offers) > 1000
    assert all(offer.condition != "on-hand" for offer in found.catalog.offers)
    assert all(offer.price_cents != 0 for offer in found.catalog.offers)


def test_the_word_wins_over_no_folder(tmp_path: Path) -> None:
    path = shop_file(tmp_path, "catalog: demo\n")
    (tmp_path / "catalog").rename(tmp_path / "demo")

    assert [problem.code for problem in catalog_of(load_shop_with_places(path)).problems] == [
        "catalog-two-meanings"
    ]
    path.write_text(path.read_text().replace("catalog: demo", "catalog: ./demo"))
    named = catalog_of(load_shop_with_places(path))
    assert named.problems == ()
    assert named.folder.name == "demo"


def test_a_report_of_demo_prices_says_so(tmp_path: Path) -> None:
    done = costplan("compare", str(shop_file(tmp_path, "catalog: demo\n")), "--plans", "1")

    assert "invented" in " ".join(done.stdout.splitlines()[:3]).removeprefix("Small garage (invented)")


def test_a_copied_catalog_is_the_demos_without_its_shelf(tmp_path: Path) -> None:
    done = costplan("catalog", "copy", str(tmp_path / "mine"))

    def rows(folder: Path) -> list[dict[str, str]]:
        return list(csv.DictReader((folder / "offers.csv").read_text(encoding="utf-8").splitlines()))

    assert done.returncode == 0, done.stderr
    assert rows(tmp_path / "mine") == [row for row in rows(DEMO) if row["condition"] != "on-hand"]
    assert {path.name for path in (tmp_path / "mine").iterdir()} == {path.name for path in DEMO.iterdir()}
    assert costplan("catalog", "copy", str(tmp_path)).returncode == 2


def test_the_demos_shelf_is_left_out_of_a_shop_of_ones_own(tmp_path: Path) -> None:
    """A copied example keeps its shelf, but only while the shop says that it is invented."""
    shutil.copytree(DEMO, tmp_path / "copied")
    own = catalog_of(load_shop_with_places(shop_file(tmp_path, "catalog: copied\n")))
    invented = catalog_of(load_shop_with_places(shop_file(tmp_path, "catalog: copied\n", invented=True)))

    assert own.catalog is not None
    assert invented.catalog is not None
    assert [problem.code for problem in own.problems] == ["offer-demo-shelf"] * 17
    assert [offer.part for offer in own.catalog.offers if offer.condition == "on-hand"] == []
    assert len([offer for offer in invented.catalog.offers if offer.condition == "on-hand"]) == 17


def test_the_shipped_folder_by_its_path_is_the_demo_too(tmp_path: Path) -> None:
    found = catalog_of(load_shop_with_places(shop_file(tmp_path, "")), DEMO)

    assert found.catalog is not None
    assert found.catalog.invented
    assert all(offer.condition != "on-hand" for offer in found.catalog.offers)


@pytest.mark.parametrize("command", ["check", "size"])
def test_what_can_hardly_be_meant_is_shown_in_full(command: str, tmp_path: Path) -> None:
    changed = {
        "catalog/offers.csv": FILES["catalog/offers.csv"].replace("12.00,each", "300.00,each"),
        "catalog/labor.yaml": FILES["catalog/labor.yaml"].replace("rate: 95,", "rate: 9500,"),
    }
    done = costplan(command, str(write_small_shop(tmp_path, changed)))
    said = done.stdout + done.stderr

    assert "offers.csv:2, column D (price): offer-price-far: question:" in said
    assert "300.00 each; such a receptacle usually costs 1.00 to 30.00" in said
    assert "labor.yaml:6" in said
    assert "is 9,500.00; usual is 20.00 to 150.00" in said


def test_every_row_of_usual_figures_names_a_word_of_the_files() -> None:
    """A row that no entry has would ask about nothing."""
    modules = (bids, catalog, circuits_there, conditions, events, gear, labor, nameplate, quotes, shop)
    for row in tables.table(usual.FIGURES):
        if row["entry"] in ("attributes", "a foot", "cord with ends"):
            continue
        entry = next(getattr(module, row["entry"]) for module in modules if hasattr(module, row["entry"]))
        words = {field.alias or name for name, field in entry.model_fields.items()}
        assert row["word"] in words, (row["entry"], row["word"])


ASKED_ELSEWHERE = {
    "of a list that refuses all else": {
        "Code edition",
        "Code terminals",
        "Electrical volts",
        "Electrical phases",
        "Electrical rpm",
        "Installed poles",
        "Machine terminals",
        "Present poles",
        "PresentCord volts",
        "QuotedWay poles",
        "SecondMotor phases",
    },
    "a share of one, refused above it": {
        "Machine duty_cycle",
        "Machine least_heat",
        "Machine power_needed",
        "Offer usable",
        "Scenario weight",
    },
    "a year or a number of the file, refused outside its own": {
        "Event year",
        "Event years",
        "Event every",
        "Event how_many",
        "Machine arrives",
        "Machine leaves",
        "Scenario lease_ends",
    },
    "counted in moves by check_events": {"Rearranged times_per_year", "Rearranged times_in_all"},
    "held against usual prices, hours or the estimate": {
        "JobTask quantity",
        "JobTask hours",
        "Offer price",
        "PaidPrice price",
        "Task hours",
        "_Counted quantity",
    },
    "by the word of the attribute": {"Part attributes", "RecipePart attributes"},
    "not of a file": {
        "TandemPair halves_a",
        "Catalog paid",
        "Offer row",
        "PriceInForce asked_cents",
    },
}
"""Numbers without a row of usual figures, and who asks about them."""


def _entries(kind: type[Entry] = Entry) -> Iterator[type[Entry]]:
    for inner in kind.__subclasses__():
        yield inner
        yield from _entries(inner)


def test_every_number_of_the_files_is_held_against_something() -> None:
    """A field that is added is asked about when it is enormous, or it says here who does that."""
    known = usual.figures()
    found = set()
    for kind in _entries():
        if not kind.__module__.startswith("costplan.") or kind.__name__.startswith("Partly"):
            continue
        inherited = {name for base in kind.__mro__[1:] for name in getattr(base, "model_fields", ())}
        for name, field in kind.model_fields.items():
            word = field.alias or name
            if name not in inherited and re.search(r"Decimal|\bint\b", str(field.annotation)):
                found |= set() if (kind.__name__, word) in known else {f"{kind.__name__} {word}"}

    assert found == set().union(*ASKED_ELSEWHERE.values())


def test_usual_figures_are_within_what_is_not_asked() -> None:
    for figure in usual.figures().values():
        assert figure.below <= figure.usual.low <= figure.usual.high <= figure.above
        assert not figure.is_odd(figure.usual.low) or figure.usual.low == 0
        assert figure.code in FAR_FIGURES
    for name in (usual.PRICES, usual.HOURS):
        assert all(0 < float(row["usual_low"]) < float(row["usual_high"]) for row in tables.table(name))


def test_the_price_of_a_hundred_is_far_from_that_of_one() -> None:
    """A usual price (the middle of its range) times 100, or its hundredth, is asked about whatever the kind and size."""
    for row in tables.table(usual.PRICES):
        low, high = float(row["usual_low"]), float(row["usual_high"])
        middle = (low * high) ** 0.5
        assert middle * 100 > high * float(usual.BEYOND), row["kind"]
        assert middle / 100 < low / float(usual.BEYOND), row["kind"]


def test_defaults_are_never_asked_about(tmp_path: Path) -> None:
    small = load_shop_with_places(write_small_shop(tmp_path)).shop

    assert small is not None
    assert list(odd_figures(small, (), "USD")) == []
