"""bids.yaml: read with the words of each kind, every mistake told at its place."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from small_shop import write_small_shop

from costplan.checks.check_bids import check_bids
from costplan.files.problems import Problem, errors_of
from costplan.files.yaml_reader import place_of
from costplan.model.base import meaning
from costplan.model.bids import (
    Bid,
    LoadedBids,
    bid_of,
    crew_of,
    fixed_of,
    load_bids,
    shop_with_bids,
    why_out,
)
from costplan.model.catalog import Catalog
from costplan.model.labor import Role
from costplan.model.loading import load_catalog, load_shop
from costplan.model.schema import shop_schema
from costplan.model.shop import Shop

BIDS = """\
bids:
  - bidder: Bidder A
    date: 2025-06-01
    valid_until: 2025-07-31
    kind: fixed
    price: 400.00
    covers: [run-cable]
    includes_permit: true
    rest_by: one electrician
  - bidder: Bidder B
    date: 2025-06-02
    valid_until: 2025-07-31
    kind: hourly
    rate: 80.00
    pace: 1.5
    call_out: 40.00
    minimum: 160.00
    set_up: 0.75 h
    permit: 0
"""
SILENT = BIDS.replace("    permit: 0\n", "")
TODAY = date(2025, 6, 20)


def written(folder: Path, text: str) -> LoadedBids:
    path = folder / "bids.yaml"
    path.write_text(text, encoding="utf-8")
    return load_bids(path)


def small(folder: Path) -> tuple[Shop, Catalog]:
    path = write_small_shop(folder)
    shop, catalog = load_shop(path)[0], load_catalog(folder / "catalog")[0]
    assert shop is not None
    assert catalog is not None
    return shop, catalog


def checked(folder: Path, text: str) -> list[Problem]:
    loaded = written(folder, text)
    assert loaded.bids is not None, loaded.problems
    return check_bids(loaded, *small(folder))


def test_a_sound_file_has_no_problems(tmp_path: Path) -> None:
    loaded = written(tmp_path, BIDS)
    assert loaded.problems == ()
    assert check_bids(loaded, *small(tmp_path)) == []
    assert place_of(loaded.places, ("bids", 1, "rate")) == "bids.yaml:14"


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    loaded = load_bids(tmp_path / "bids.yaml")
    assert loaded.bids is None
    assert errors_of(loaded.problems)
    assert check_bids(loaded, *small(tmp_path)) == []


def test_hourly_bids_become_crews_and_fixed_ones_fixed_bids(tmp_path: Path) -> None:
    bids = written(tmp_path, BIDS).bids
    assert bids is not None
    crew, fixed = crew_of(bids[1]), fixed_of(bids[0])
    assert (crew.name, crew.role) == ("Bidder B", Role.ELECTRICIAN)
    assert (crew.rate_cents, crew.pace, crew.call_out_cents) == (8000, Decimal("1.5"), 4000)
    assert (crew.minimum_cents, crew.set_up_hours, crew.permit_cents) == (16000, Decimal("0.75"), 0)
    assert (fixed.name, fixed.price_cents, fixed.covers) == ("Bidder A", 40000, ("run-cable",))
    assert (fixed.rest_by, fixed.includes_permit) == ("one electrician", True)
    assert fixed_of(bid_of(fixed)) == fixed
    for wrong, made in ((bids[0], crew_of), (bids[1], fixed_of)):
        with pytest.raises(ValueError, match=r"is no (hourly|fixed) bid"):
            made(wrong)


def test_a_bid_silent_on_the_permit_pays_the_dearest_listed(tmp_path: Path) -> None:
    shop, catalog = small(tmp_path)
    dear = catalog.crews[1].model_copy(update={"name": "dear", "permit_cents": Decimal(9900)})
    for text, cents in ((SILENT, 9900), (BIDS, 0)):
        bids = written(tmp_path, text).bids
        assert bids is not None
        known = shop_with_bids(shop, [*catalog.crews, dear], bids, today=TODAY)
        assert [crew.permit_cents for crew in known.crews] == [cents]
        assert [bid.name for bid in known.bids] == ["Bidder A"]


MISTAKES = [
    ("date: 2025-06-01", "date: 1.6.2025", "bid-date", 3, "not a day"),
    ("    date: 2025-06-01\n", "", "bid-date-missing", 2, 'lacks "date"'),
    ("kind: fixed", "kind: lump", "bid-kind", 5, "hourly"),
    ("price: 400.00", "price: -1", "bid-price", 6, "out of range"),
    ("price: 400.00", 'price: "400,00"', "bid-price", 6, "400"),
    ("    price: 400.00\n", "", "bid-price-missing", 2, 'is fixed and lacks "price"'),
    ("covers: [run-cable]", "covers: []", "bid-covers", 7, "at least 1"),
    ("    rest_by: one electrician\n", "", "bid-rest-by-missing", 2, 'lacks "rest_by"'),
    ("price: 400.00", "price: 400.00\n    rate: 80", "bid-rate-other-kind", 7, "a bid that is fixed"),
    ("rate: 80.00", "rat: 80.00", "bid-unknown-word", 14, 'Did you mean "rate"?'),
    ("    rate: 80.00\n", "", "bid-rate-missing", 10, 'is hourly and lacks "rate"'),
    ("set_up: 0.75 h", "set_up: soon", "bid-set-up", 18, "soon"),
    ("pace: 1.5", "pace: 0", "bid-pace", 15, "out of range"),
    ("permit: 0", "includes_permit: true", "bid-includes-permit-other-kind", 19, "a bid that is hourly"),
    ("includes_permit: true", "includes_permit: maybe", "bid-includes-permit", 8, "true"),
]


@pytest.mark.parametrize(("old", "new", "code", "line", "words"), MISTAKES)
def test_mistakes_of_the_file(old: str, new: str, code: str, line: int, words: str, tmp_path: Path) -> None:
    assert old in BIDS
    loaded = written(tmp_path, BIDS.replace(old, new, 1))
    assert loaded.bids is None
    found = next(problem for problem in loaded.problems if problem.code == code)
    assert (found.at.path.endswith("bids.yaml"), found.at.line) == (True, line)
    assert found.at.column > 0
    assert words in found.message + found.mend


def test_all_mistakes_of_a_file_are_told_at_once(tmp_path: Path) -> None:
    broken = BIDS.replace("    price: 400.00\n", "").replace("    rate: 80.00\n", "")
    codes = {problem.code for problem in written(tmp_path, broken).problems}
    assert codes == {"bid-price-missing", "bid-rate-missing"}


MISFITS = [
    ("covers: [run-cable]", "covers: [run-cables]", "bid-covers", 7, 'Did you mean "run-cable"?'),
    ("rest_by: one electrician", "rest_by: owner", "bid-rest-by", 9, "Bidder B, one electrician"),
    ("price: 400.00", "price: 400.00\n    covers_machines: [saw]", "bid-covers-machines", 7, "table saw"),
    ("price: 400.00", "price: 400.00\n    includes_parts: [cards]", "bid-includes-parts", 7, "cord"),
    ("bidder: Bidder B", "bidder: one electrician", "bid-named-as-crew", 10, "another name"),
    ("valid_until: 2025-07-31", "valid_until: 2025-05-31", "bid-days-crossed", 4, "before the bid's own day"),
]


@pytest.mark.parametrize(("old", "new", "code", "line", "words"), MISFITS)
def test_what_does_not_fit_the_shop(
    old: str, new: str, code: str, line: int, words: str, tmp_path: Path
) -> None:
    assert old in BIDS
    found = errors_of(checked(tmp_path, BIDS.replace(old, new, 1)))
    assert [problem.code for problem in found] == [code]
    assert found[0].at.line == line
    assert words in found[0].message + found[0].mend


QUESTIONS = [
    ("2025-07-31", "2025-06-19", "bid-expired", 4, "--expired"),
    ("    valid_until: 2025-07-31\n", "", "bid-holds-how-long", 2, "valid_until"),
    ("date: 2025-06-01", "date: 2025-06-21", "bid-in-future", 3, "after the day of the plan"),
    ("rate: 80.00", "rate: 8000", "bid-rate-odd", 14, "one hour of the whole crew"),
    ("    permit: 0\n", "", "bid-permit-open", 10, "added at the estimate"),
    ("price: 400.00", "price: 0", "bid-price-odd", 6, "gift"),
    ("[run-cable]", "[run-cable, wire-device]", "bid-covers-own-work", 7, "you do yourself"),
    (
        "price: 400.00",
        "price: 400.00\n    covers_machines: [sander]\n    includes_parts: [cord]",
        "bid-parts-of-some",
        8,
        "nothing is taken off",
    ),
]


@pytest.mark.parametrize(("old", "new", "code", "line", "words"), QUESTIONS)
def test_questions_stop_nothing(old: str, new: str, code: str, line: int, words: str, tmp_path: Path) -> None:
    assert old in BIDS
    found = checked(tmp_path, BIDS.replace(old, new, 1))
    assert [(problem.code, problem.severity) for problem in found] == [(code, "question")]
    assert found[0].at.line == line
    assert words in found[0].message + found[0].mend


def test_a_bid_holds_through_its_last_day(tmp_path: Path) -> None:
    assert checked(tmp_path, BIDS.replace("2025-07-31", "2025-06-20")) == []


def test_a_bidder_may_bid_once_of_each_kind(tmp_path: Path) -> None:
    assert checked(tmp_path, BIDS.replace("Bidder B", "Bidder A")) == []
    entries = BIDS.removeprefix("bids:\n")
    found = checked(tmp_path, BIDS + entries)
    assert [(problem.code, problem.at.line) for problem in found] == [
        ("bid-repeated", 20),
        ("bid-repeated", 28),
    ]


def test_a_bid_of_the_shop_file_is_not_entered_again(tmp_path: Path) -> None:
    loaded = written(tmp_path, BIDS)
    shop, catalog = small(tmp_path)
    assert loaded.bids is not None
    again = shop.model_copy(update={"bids": [fixed_of(loaded.bids[0])]})
    assert [problem.code for problem in check_bids(loaded, again, catalog)] == ["bid-in-shop-file"]


@pytest.mark.parametrize(
    ("changes", "expired", "reasons"),
    [
        ({}, False, {}),
        ({"valid_until": date(2025, 6, 19)}, False, {"Bidder A": "held until 2025-06-19"}),
        ({"valid_until": date(2025, 6, 19)}, True, {}),
        ({"covers_machines": ["sander"]}, True, {"Bidder A": "some machines only"}),
        ({"covers_machines": ["sander", "table saw"]}, False, {}),
        ({"includes_parts": ["cord"]}, False, {"Bidder A": "parts are in the price"}),
    ],
)
def test_what_takes_part_in_the_choice(
    changes: dict[str, object], expired: bool, reasons: dict[str, str], tmp_path: Path
) -> None:
    bids = written(tmp_path, BIDS).bids
    assert bids is not None
    shop, catalog = small(tmp_path)
    listed = [bids[0].model_copy(update=changes), bids[1]]
    for bid, why in zip(
        listed, why_out(listed, shop, catalog.crews, today=TODAY, expired=expired), strict=True
    ):
        assert bool(why) == (bid.bidder in reasons)
        assert reasons.get(bid.bidder, "") in why


def test_the_rest_by_an_expired_bid_takes_a_bid_out(tmp_path: Path) -> None:
    bids = written(tmp_path, BIDS.replace("rest_by: one electrician", "rest_by: Bidder B")).bids
    assert bids is not None
    shop, catalog = small(tmp_path)
    assert why_out(bids, shop, catalog.crews, today=TODAY) == ("", "")
    late = [bids[0], bids[1].model_copy(update={"valid_until": date(2025, 6, 1)})]
    first, second = why_out(late, shop, catalog.crews, today=TODAY)
    assert "Bidder B" in first
    assert second


def test_every_word_of_a_bid_says_what_it_is() -> None:
    assert all(meaning(Bid, field) for field in Bid.model_fields)
    assert "bids_file" in shop_schema()["properties"]
