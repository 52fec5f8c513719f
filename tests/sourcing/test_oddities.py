from datetime import date

import pytest

from costplan.files.problems import At
from costplan.model.catalog import Offer, Part, Supplier
from costplan.model.history import PastOffer, prices_over_time
from costplan.sourcing.duplicates import repeated_offers, twin_parts, twin_suppliers
from costplan.sourcing.looking import history_rows
from costplan.sourcing.oddities import (
    odd_prices,
    price_jumps,
    stale_offers,
    surplus_dearer_than_new,
    unit_cents,
)

TODAY = date(2026, 11, 20)


def offer(price: str | None, per: str = "each", **more: object) -> Offer:
    said = {"part": "p", "supplier": "s", "condition": "new", "seen": "2026-11-01", "row": 2, **more}
    return Offer.model_validate({**said, "price": price, "per": per})


def place(row: int, name: str) -> At:
    return At("offers.csv", row, 1, name)


def numbered(*offers: Offer) -> list[Offer]:
    return [one.model_copy(update={"row": row}) for row, one in enumerate(offers, 2)]


@pytest.mark.parametrize(
    ("price", "per", "cents"),
    [("12", "each", 1200), ("12", "box of 25", 48), ("80", "100 ft", 80), ("50", "reel of 250 ft", 20)],
)
def test_prices_are_compared_by_piece_or_foot(price: str, per: str, cents: int) -> None:
    assert unit_cents(offer(price, per)) == cents


@pytest.mark.parametrize(
    ("odd", "others", "code", "mend"),
    [
        (
            ("11.50", "box of 25"),
            [("11.50", "each"), ("12", "each")],
            "offer-pack-as-each",
            "price of one, not of a box of 25",
        ),
        (("280", "each"), [("11.50", "each"), ("12", "each")], "offer-each-as-pack", "pack of 25"),
        (("85", "ft"), [("0.90", "ft"), ("85", "100 ft")], "offer-each-as-pack", "100 ft"),
        (("0.80", "100 ft"), [("0.85", "ft"), ("80", "100 ft")], "offer-pack-as-each", "price of one foot"),
        (("46", "each"), [("11.50", "each"), ("12", "each")], "offer-price-odd", "is it meant"),
        (("2", "each"), [("11.50", "each"), ("12", "each")], "offer-price-odd", "is it meant"),
    ],
)
def test_a_price_far_from_its_peers_is_explained_by_a_pack_if_it_can_be(
    odd: tuple[str, str], others: list[tuple[str, str]], code: str, mend: str
) -> None:
    found = list(odd_prices(numbered(offer(*odd), *(offer(*other) for other in others)), place))

    assert [(problem.at.line, problem.code) for problem in found] == [(2, code)]
    assert mend in found[0].mend
    assert found[0].severity == "question"


def test_peers_are_of_the_same_part_condition_and_measure() -> None:
    offers = numbered(
        offer("12"),
        offer("1", condition="used"),
        offer("0.40", "ft"),
        offer("99", part="q"),
        offer("0", supplier="t"),
    )
    assert list(odd_prices(offers, place)) == []


def test_of_two_that_differ_the_dearer_is_asked_about() -> None:
    found = list(odd_prices(numbered(offer("12"), offer("60", supplier="t")), place))
    assert [problem.at.line for problem in found] == [3]


def test_old_undated_missing_and_future_prices_are_listed_but_not_the_shelf() -> None:
    offers = numbered(
        offer("1", seen="2026-05-24"),
        offer("1", seen="2026-05-23"),
        offer("1", seen=None),
        offer(None),
        offer("1", seen="2026-11-21"),
        offer("0", condition="on-hand", seen=None),
    )
    found = {problem.at.line: problem.code for problem in stale_offers(offers, TODAY, place)}

    assert found == {
        3: "offer-price-old",
        4: "offer-price-undated",
        5: "offer-price-missing",
        6: "offer-price-future",
    }


def test_used_at_the_price_of_new_is_questioned() -> None:
    offers = numbered(offer("12"), offer("12", condition="used"), offer("11", condition="used"))
    assert [problem.at.line for problem in surplus_dearer_than_new(offers, place)] == [3]


def test_a_jump_is_seen_against_the_last_price_that_was_replaced() -> None:
    past = [
        PastOffer(offer("1"), date(2025, 1, 1)),
        PastOffer(offer("10"), date(2026, 1, 1)),
        PastOffer(offer("1", supplier="t"), date(2026, 1, 1)),
    ]
    assert list(price_jumps([offer("12")], past, place)) == []
    assert [problem.code for problem in price_jumps([offer("30")], past, place)] == ["offer-price-jump"]


def test_rows_of_the_same_thing_are_found_but_not_lots_or_piles() -> None:
    offers = numbered(
        offer("12"),
        offer("12"),
        offer("13"),
        offer("4", condition="used", available=2),
        offer("5", condition="used", available=7),
        offer("0", condition="on-hand"),
        offer("0", condition="on-hand"),
        offer("12", "box of 10"),
    )
    found = list(repeated_offers(offers, place))

    # A price written twice is refused by every other command, so it is no mere question here.
    assert [(problem.at.line, problem.severity) for problem in found] == [(3, "error"), (4, "error")]
    assert "row 2 prices it too, 12.00" in found[0].message


def test_a_row_without_a_price_beside_one_with_it_is_a_question() -> None:
    offers = numbered(offer("12"), offer(None), offer("4", supplier="t", available=2))

    found = list(repeated_offers(offers, place))

    assert [(problem.at.line, problem.severity) for problem in found] == [(3, "question")]


def test_parts_and_suppliers_under_two_names_are_found() -> None:
    def part(name: str, **attributes: str) -> Part:
        return Part(id=name, kind="plug", name=name, attributes=dict(attributes))

    def where(file: str, trail: tuple[str | int, ...]) -> At:
        return At(file, int(trail[1]))

    parts = [
        part("a", configuration="x"),
        part("b", configuration="y"),
        part("c", configuration="x"),
        part("d"),
    ]
    suppliers = [
        Supplier(id=name, name=said) for name, said in (("a", "The  Barn"), ("b", "the barn"), ("c", "x"))
    ]

    assert [(p.code, p.at) for p in twin_parts(parts, where)] == [("part-twin", At("parts.yaml", 2))]
    assert [p.at.line for p in twin_suppliers(suppliers, where)] == [1]


def test_history_runs_from_old_to_new_with_the_change() -> None:
    past = [
        PastOffer(offer("12"), date(2026, 3, 1)),
        PastOffer(offer("10"), date(2025, 3, 1)),
        PastOffer(offer("99", part="q"), date(2026, 3, 1)),
    ]
    rows = history_rows(prices_over_time("p", [offer("12"), offer("5", supplier="r")], past))

    assert [(row["supplier"], row["price"], row["change"], row["until"]) for row in rows] == [
        ("r", "5.00", "", "now"),
        ("s", "10.00", "", "2025-03-01"),
        ("s", "12.00", "+20.0 %", "2026-03-01"),
        ("s", "12.00", "same", "now"),
    ]
