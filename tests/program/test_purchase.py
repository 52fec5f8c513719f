"""Today's purchase in the program: what is cheapest, worked by hand, and what it takes of today's cash. All is invented."""

import pytest
from strategies import make_catalog, make_shop, offer

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.ledger.crews import hirings
from costplan.ledger.lines import Line, Pocket, present_value
from costplan.ledger.plan import Bought, Packs, Plan
from costplan.ledger.pricing import Pricer
from costplan.ledger.receipt import purchase_lines
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.program.program import Program
from costplan.program.purchase import PurchaseRows
from costplan.program.solver import solve
from costplan.sourcing.market import Market

FEET = Need(make_spec("rope"), 1)


def rope(length_ft: int) -> Need:
    """One unbroken piece."""
    return Need(make_spec("rope"), 1, length_ft)


def catalog(*offers: dict[str, object], **store: object) -> Catalog:
    """Rope by these offers of one store; two fifths of its price come back."""
    return make_catalog(
        list(offers),
        kinds=[{"kind": "rope", "sold": "cut length", "portable": True, "resale": {"new": "40 %"}}],
        more_parts=[{"id": "rope", "kind": "rope", "name": "rope"}],
        suppliers=[{"id": "store", "name": "store"} | store],
    )


def rows(known: Catalog, needs: dict[Need, int], at_most: int) -> PurchaseRows:
    """The purchase of just these needs, each of a machine of its own."""
    facts, program = Facts(make_shop(), known), Program()
    asked = program.variable("everything", 1, low=1)
    return PurchaseRows(
        program,
        Market(facts, SurplusRule.ALLOWED),
        {need: {asked: count} for need, count in needs.items()},
        {f"machine {i}": {need: max(count, at_most)} for i, (need, count) in enumerate(needs.items())},
    )


def best(
    known: Catalog, needs: dict[Need, int], *, told_apart: bool = False, at_most: int = 0
) -> tuple[tuple[Bought, ...], tuple[Packs, ...], list[Line]]:
    """The cheapest purchase; its lines must come to the program's cost, and its cash to the program's outlay.

    at_most: how many of each need another way would ask for.
    """
    purchase = rows(known, needs, at_most)
    facts = purchase.market.facts
    for row in purchase.feet if told_apart else ():
        purchase.reels.tell_apart(row)
    answer = solve(purchase.program)
    while not purchase.reels.can_be_cut(answer.values):
        answer = solve(purchase.program, hint=purchase.reels.first_fit(answer.values))
    hiring = hirings(facts)[0]
    bought, packs = purchase.bought(answer.values), purchase.packs(answer.values)
    pricer = Pricer(facts, purchase.market, hiring)
    lines = purchase_lines(facts, pricer, Plan({}, hiring, bought, packs, (), (), ()), {})
    assert present_value(lines) == answer.cost
    outlay = sum(cents * answer.values[index] for index, cents in purchase.outlay.items())
    assert outlay == sum(line.amount_cents for line in lines if line.pocket is Pocket.CASH)
    return bought, packs, lines


def test_joined_feet_are_rounded_once_in_the_program_too() -> None:
    """12 ft at 0.333 are 3.996, so 4.00; back come 1.5984, so 1.60."""
    bought, _, lines = best(catalog(offer("rope", "store", "0.333", "ft")), {FEET: 12})
    assert bought == (Bought(2, FEET, 12),)
    assert [line.amount_cents for line in lines] == [400, -160]


@pytest.mark.parametrize("at_most", [0, 20])
def test_what_others_ask_for_changes_nothing_where_the_order_has_a_minimum(at_most: int) -> None:
    """12 ft at 0.333 are 4.00; 5.00 is the least that is delivered, so 1.00 more is paid and no foot more bought."""
    known = catalog(offer("rope", "store", "0.333", "ft"), minimum=5)
    bought, _, lines = best(known, {FEET: 12}, at_most=at_most)
    assert bought == (Bought(2, FEET, 12),)
    assert [line.amount_cents for line in lines] == [400, -160, 100]


@pytest.mark.parametrize("told_apart", [False, True])
def test_pieces_that_do_not_share_a_reel_take_one_each(told_apart: bool) -> None:
    """40 and 41 ft of reels of 50 ft at 10.00 are two; by the foot at 1.00 they would be 81.00. With 10 ft still two."""
    known = catalog(offer("rope", "store", 10, "reel of 50 ft"), offer("rope", "store", 1, "ft"))
    _, packs, lines = best(known, {rope(40): 1, rope(41): 1}, told_apart=told_apart)
    assert packs == (Packs(2, 2),)
    assert [line.amount_cents for line in lines] == [2000, -800]
    bought, packs, _ = best(known, {rope(40): 1, rope(41): 1, rope(9): 2}, told_apart=told_apart)
    assert packs == (Packs(2, 2),)
    by_reel = [sum(b.need.length_ft * b.count for b in bought if b.reel == reel) for reel in (0, 1)]
    assert sorted(by_reel) == [49, 50]


def test_reels_for_pieces_and_for_joined_feet_are_no_more_than_there_are() -> None:
    """One reel of 50 ft at 10.00 is there: 40 ft in one piece off it, and 12 ft by the foot at 1.00, not a second reel."""
    reel, by_foot = offer("rope", "store", 10, "reel of 50 ft"), offer("rope", "store", 1, "ft")
    _, packs, lines = best(catalog(reel | {"available": 1}, by_foot), {rope(40): 1, FEET: 12})
    assert packs == (Packs(2, 1),)
    assert sum(line.amount_cents for line in lines if line.pocket is Pocket.CASH) == 2200
    _, packs, _ = best(catalog(reel | {"available": 2}, by_foot), {rope(40): 1, FEET: 12})
    assert packs == (Packs(2, 2),)


def test_fees_are_of_today_and_free_delivery_counts_the_goods_alone() -> None:
    """12 ft at 0.50 are 6.00 and 0.60 tax; 3.00 for the order; delivery of 4.00 is free from 6.00, so 6.01 are not reached."""
    for free_over, fees in (("6.00", [300]), ("6.01", [300, 400])):
        known = catalog(
            offer("rope", "store", "0.50", "ft"), tax="10 %", order_fee=3, delivery=4, free_over=free_over
        )
        _, _, lines = best(known, {FEET: 12})
        assert [line.amount_cents for line in lines] == [600, 60, -240, *fees]


def test_reels_told_apart_by_rows_are_as_few_as_hold_the_pieces() -> None:
    """Two each of 21 to 25 ft are 230 ft: 25 + 25 + 24 + 24 + 21 and the rest come off two reels of 120 ft."""
    known = catalog(offer("rope", "store", 100, "reel of 120 ft"), offer("rope", "store", 2, "ft"))
    bought, packs, _ = best(known, {rope(feet): 2 for feet in range(21, 26)}, told_apart=True)
    assert packs == (Packs(2, 2),)
    assert all(sum(b.need.length_ft * b.count for b in bought if b.reel == reel) <= 120 for reel in (0, 1))
    assert sum(b.need.length_ft * b.count for b in bought) == 230


def test_a_start_by_first_fit_keeps_every_row() -> None:
    """Two of 41 and one of 20 ft, 102 ft in all, do not come off two reels of 60 ft: first fit takes three."""
    known = catalog(offer("rope", "store", 10, "reel of 60 ft"), offer("rope", "store", 9, "ft"))
    purchase = rows(known, {rope(41): 2, rope(20): 1}, 0)
    (offer_row,) = purchase.feet
    cut = {
        index: aside.need for index, aside in purchase.set_aside.items() if index in purchase.feet[offer_row]
    }
    values = [variable.low for variable in purchase.program.variables]
    for index, need in cut.items():
        values[index] = 2 if need == rope(41) else 1
    purchase.reels.tell_apart(offer_row)
    values += [0] * (len(purchase.program.variables) - len(values))
    start = purchase.reels.first_fit(tuple(values))
    assert sum(start[index] for index in purchase.packs_of[offer_row]) == 3
    told = [start[index] for index in range(len(purchase.program.variables))]
    assert not [name for name in purchase.program.broken(told) if "offer 2" in name]


@pytest.mark.parametrize(
    ("reels", "pieces", "stays"), [(1, (1, 1), False), (2, (1, 1), True), (1, (1, 0), True)]
)
def test_a_cutting_that_is_impossible_is_ruled_out_and_no_other(
    reels: int, pieces: tuple[int, int], stays: bool
) -> None:
    """40 and 41 ft do not come off one reel of 50 ft; they come off two, and one of them off one."""
    known = catalog(offer("rope", "store", 10, "reel of 50 ft"), offer("rope", "store", 1, "ft"))
    purchase = rows(known, {rope(40): 1, rope(41): 1}, 0)
    program = purchase.program

    def values(reels: int, pieces: tuple[int, int]) -> list[int]:
        given = dict.fromkeys((index for packs in purchase.packs_of.values() for index in packs), reels)
        cut = [index for index, aside in purchase.set_aside.items() if aside.offer_row == 2]
        given |= dict(zip(cut, pieces, strict=True))
        return [given.get(index, 0) for index in range(len(program.variables))]

    assert purchase.reels.weigh(values(1, (1, 1)), 2)
    assert (not any(name.startswith("weights") for name in program.broken(values(reels, pieces)))) is stays
