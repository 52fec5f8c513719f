"""Today's purchase as lines and as refusals, every amount worked by hand; prices and rules are the tool's own, invented."""

from decimal import Decimal
from typing import Any

import pytest
from strategies import make_catalog, make_shop, offer

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.ledger.crews import hirings
from costplan.ledger.lines import Line, LineKind
from costplan.ledger.plan import Bought, Packs, Plan
from costplan.ledger.pricing import Pricer
from costplan.ledger.receipt import purchase_lines
from costplan.ledger.stockroom import SimulationError
from costplan.model.choices import SurplusRule
from costplan.reports.chain import pieces_words
from costplan.sourcing.market import Market

LABEL, FEET = Need(make_spec("label"), 1), Need(make_spec("rope"), 1)


def rope(length_ft: int) -> Need:
    """One unbroken piece."""
    return Need(make_spec("rope"), 1, length_ft)


CATALOG = make_catalog(
    [
        offer("label", "store", 5),
        offer("label", "yard", 4, condition="used", available=2),
        offer("rope", "loft", "0.33", "ft"),
        offer("label", "yard", 30, "box of 10", available=1),
        offer("rope", "yard", 10, "reel of 50 ft"),
    ],
    kinds=[
        {
            "kind": "label",
            "portable": True,
            "resale": {"new": "20 %", "used": "50 %"},
            "reject": {"used": "10 %"},
            "inspect": "0.25 h",
        },
        {"kind": "rope", "sold": "cut length", "portable": True, "resale": {"new": "40 %"}},
    ],
    more_parts=[{"id": kind, "kind": kind, "name": kind} for kind in ("label", "rope")],
    suppliers=[
        {"id": "store", "name": "store", "tax": "5 %", "minimum": 20, "order_fee": 3, "delivery": 8}
        | {"free_over": 50},
        {"id": "yard", "name": "yard", "order_fee": 1},
        {"id": "loft", "name": "loft", "tax": "5 %", "cut_charge": "1.50"},
    ],
)
STORE, USED, BY_THE_FOOT, BOX, REEL = range(2, 7)


def lines(
    *bought: Bought,
    packs: tuple[Packs, ...] = (),
    asked: dict[Need, Any] | None = None,
    facts: Facts | None = None,
) -> list[Line]:
    facts = facts or Facts(make_shop(), CATALOG)
    hiring = hirings(facts)[0]
    plan = Plan({}, hiring, bought, packs, (), (), ())
    pricer = Pricer(facts, Market(facts, SurplusRule.ALLOWED), hiring)
    return purchase_lines(facts, pricer, plan, asked or {})


def sums(*bought: Bought, packs: tuple[Packs, ...] = ()) -> list[tuple[str, int, int]]:
    """Kind, year and cents of every line, in order; at no interest they are worth what they are."""
    found = lines(*bought, packs=packs)
    assert [line.present_value_cents for line in found] == [line.amount_cents for line in found]
    return [(str(line.kind), line.year, line.amount_cents) for line in found]


def test_a_row_of_pieces_that_are_resold_can_be_recomputed() -> None:
    """A pocket calculator, 3 % over 4 years (1.12550881): 1.00 is 0.89, three 2.67; 3.00 in one would be 2.665, 2.67.

    Four are 3.56, where 4.00 in one would be 3.55; two packs of 6.00 are 5.33 each. 12 ft of rope at 0.33 fetch 40 %: 1.58,
    and 1.584 / 1.12550881 is 1.41. NIST Handbook 135, single present value.
    """
    facts = Facts(make_shop(money={"discount_rate": "3 %"}), CATALOG)

    def resold(*bought: Bought, packs: tuple[Packs, ...] = ()) -> tuple[int, int, str]:
        (line,) = (line for line in lines(*bought, packs=packs, facts=facts) if line.kind is LineKind.RESALE)
        return line.amount_cents, line.present_value_cents, line.trace.split("; ")[-1]

    assert resold(Bought(STORE, LABEL, 4)) == (-400, -356, "4 at 1.00, each worth 0.89 today")
    assert resold(Bought(STORE, LABEL, 1)) == (-100, -89, f"offers.csv row {STORE}")
    boxes = resold(Bought(BOX, LABEL, 10), packs=(Packs(BOX, 1),))
    assert boxes == (-600, -533, f"offers.csv row {BOX}")
    feet = resold(Bought(BY_THE_FOOT, FEET, 12))
    assert feet == (-158, -141, "feet are discounted before they are rounded")


def test_what_is_rounded_piece_by_piece_says_so() -> None:
    """A quarter of an hour at 20.00 for each good one of 9 in 10 is 5.56: two are 11.12, where both in one would be 11.11.

    What replaces the rejects is 4.00 / 9 = 0.44 each: two are 0.88, where both in one would be 0.89.
    """
    found = {line.kind: line for line in lines(Bought(USED, LABEL, 2))}
    told = {kind: (found[kind].amount_cents, found[kind].pieces) for kind in (LineKind.LABOR, LineKind.RISK)}
    assert told == {LineKind.LABOR: (1112, 2), LineKind.RISK: (88, 2)}
    joined = {line.kind: line.pieces for line in lines(Bought(BY_THE_FOOT, FEET, 12))}
    assert joined[LineKind.TAX] == joined[LineKind.PART] == 0
    assert pieces_words(found[LineKind.LABOR]).startswith("2 x 5.56 = 11.12: each piece")


def test_an_order_pays_its_fee_and_from_the_free_value_on_no_delivery() -> None:
    """Ten at 5.00 are 50.00, 5 % tax on them; a fifth of the price comes back after four years."""
    ten = [("part", 0, 5000), ("tax", 0, 250), ("resale", 4, -1000), ("supplier fee", 0, 300)]
    nine = [
        ("part", 0, 4500),
        ("tax", 0, 225),
        ("resale", 4, -900),
        ("supplier fee", 0, 300),
        ("supplier fee", 0, 800),
    ]
    assert sums(Bought(STORE, LABEL, 10)) == ten
    assert sums(Bought(STORE, LABEL, 9)) == nine


def test_used_goods_pay_for_rejects_and_for_their_inspection() -> None:
    """Of 4.00 one in ten fails: 4.00 / 9 is 0.44 each; 0.25 h / 0.9 of the owner at 20.00 are 5.56 each."""
    found = lines(Bought(USED, LABEL, 2))
    kinds = [("part", 800), ("surplus risk", 88), ("labor", 1112), ("resale", -400), ("supplier fee", 100)]
    assert [(str(line.kind), line.amount_cents) for line in found] == kinds
    (labor,) = [line for line in found if line.hours]
    assert (round(labor.hours, 4), labor.quantity, labor.crew) == (Decimal("0.5556"), Decimal(2), "owner")


def test_pieces_are_rounded_one_by_one_and_joined_feet_all_together() -> None:
    """4 ft at 0.33 are 1.32, tax 0.07, back 0.53; 12 ft joined are 3.96, tax 0.20, back 1.58."""
    cut = [("part", 0, 396), ("tax", 0, 21), ("cut charge", 0, 450), ("resale", 4, -159)]
    assert sums(Bought(BY_THE_FOOT, rope(4), 3)) == cut
    assert sums(Bought(BY_THE_FOOT, FEET, 12)) == [("part", 0, 396), ("tax", 0, 20), ("resale", 4, -158)]
    quantities = [lines(Bought(BY_THE_FOOT, need, n))[0].quantity for need, n in ((rope(4), 3), (FEET, 12))]
    assert quantities == [12, 12]


def test_a_pack_is_paid_and_sold_whole() -> None:
    """Eight of a box of ten at 30.00; two pieces of 20 ft of a reel at 10.00."""
    assert sums(Bought(BOX, LABEL, 8), packs=(Packs(BOX, 1),)) == [
        ("part", 0, 3000),
        ("resale", 4, -600),
        ("supplier fee", 0, 100),
    ]
    assert sums(Bought(REEL, rope(20), 2, 0), packs=(Packs(REEL, 1),)) == [
        ("part", 0, 1000),
        ("resale", 4, -400),
        ("supplier fee", 0, 100),
    ]


@pytest.mark.parametrize(
    ("bought", "packs", "why"),
    [
        ([Bought(STORE, LABEL, 4)], [], ""),
        ([Bought(STORE, LABEL, 3)], [], ""),
        ([Bought(USED, LABEL, 3)], [], "more taken of offer 3 than there is"),
        ([Bought(BOX, LABEL, 10)], [Packs(BOX, 1)], ""),
        ([Bought(BOX, LABEL, 11)], [Packs(BOX, 1)], "more taken of offer 5 than there is"),
        ([Bought(BOX, LABEL, 11)], [Packs(BOX, 2)], "more packs of offer 5"),
        ([Bought(REEL, rope(25), 2, 0)], [Packs(REEL, 1)], ""),
        ([Bought(REEL, rope(26), 2, 0)], [Packs(REEL, 1)], "reel 0 of offer 6 is cut longer than it is"),
        (
            [Bought(REEL, rope(26), 1, 0), Bought(REEL, rope(26), 1, 1)],
            [Packs(REEL, 1)],
            "more reels of offer 6",
        ),
        ([Bought(BY_THE_FOOT, LABEL, 1)], [], "rope does not meet"),
    ],
)
def test_what_cannot_be_bought_is_refused(bought: list[Bought], packs: list[Packs], why: str) -> None:
    if why:
        with pytest.raises(SimulationError, match=why):
            lines(*bought, packs=tuple(packs))
    else:
        assert lines(*bought, packs=tuple(packs))


def test_less_than_the_machines_ask_for_together_is_too_little() -> None:
    both = {LABEL: {"saw": 4, "drill": 5}}
    assert lines(Bought(STORE, LABEL, 9), asked=both)
    with pytest.raises(SimulationError, match="too little bought"):
        lines(Bought(STORE, LABEL, 8), asked=both)
