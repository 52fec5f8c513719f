"""The shopping list: sums to the cent, cuts, hints, substitutes and break-even prices against the walk."""

import csv
import io
import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest
from bought_today import bought_elsewhere, bought_today
from hypothesis import given, settings
from strategies import (
    MARKETS,
    SALABLE_REELS,
    SAW,
    Row,
    make_catalog,
    make_shop,
    offer,
    piece,
    ranked,
    situations,
)
from test_noted import catalog as demo

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.ledger.lines import present_value
from costplan.ledger.simulation import SimulationError
from costplan.model.catalog import Condition
from costplan.program.ranked import NoPlanError, Ranked
from costplan.reports.bill import bill_of_materials
from costplan.reports.inspection import all_checks, checks_for
from costplan.reports.shopping import ShoppingList, list_of
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.reports.substitutes import Counterpart, taken_of
from costplan.studies.comparison import OutOfRanking

ALL_MARKETS = MARKETS | {"salable reels": SALABLE_REELS}
BOUGHT = ("part", "tax", "cut charge", "supplier fee")


@cache
def planned(market: str) -> tuple[Facts, Ranked]:
    catalog = make_catalog(**ALL_MARKETS[market])
    shop = make_shop()
    return Facts(shop, catalog), ranked(shop, catalog)[0]


def paid(plan: Ranked, *kinds: str) -> int:
    return sum(
        line.amount_cents
        for line in plan.lines
        if line.year == 0 and line.pocket == "cash" and line.kind in (kinds or BOUGHT)
    )


def check_sums(listed: ShoppingList, plan: Ranked) -> None:
    assert listed.total_cents == paid(plan)
    parts = listed.parts
    assert sum(part.amount_cents for part in parts) == paid(plan, "part")
    assert sum(part.cut_cents for part in parts) == paid(plan, "cut charge")
    assert sum(part.tax_cents for part in parts) == paid(plan, "tax")
    fees = sum(order.charges.cash_cents for order in listed.orders)
    assert fees == paid(plan, "supplier fee")
    for part in parts:
        assert part.quantity * part.unit_price_cents == part.amount_cents


@pytest.mark.parametrize("market", ALL_MARKETS)
def test_the_list_adds_up_to_what_the_plan_pays(market: str) -> None:
    facts, plan = planned(market)
    listed = list_of(facts, plan)
    assert listed.total_cents > 0
    check_sums(listed, plan)


@settings(max_examples=8)
@given(situations())
def test_any_list_adds_up(situation: tuple[dict[str, object], dict[str, object]]) -> None:
    shop, catalog = make_shop(**situation[0]), make_catalog(**situation[1])  # type: ignore[arg-type]
    try:
        plans = ranked(shop, catalog, 2)
    except NoPlanError:
        return
    for plan in plans:
        check_sums(list_of(Facts(shop, catalog), plan), plan)


@pytest.mark.parametrize("market", ALL_MARKETS)
def test_every_piece_is_on_the_cut_list_once(market: str) -> None:
    facts, plan = planned(market)
    listed = list_of(facts, plan)
    asked: Counter[int] = Counter()
    for bought in plan.plan.bought:
        if bought.need.length_ft:
            asked[bought.need.length_ft] += bought.count
    cut: Counter[int] = Counter()
    for part in listed.parts:
        for reel in part.reels:
            assert reel.left_over_ft + sum(p.length_ft * p.count for p in reel.pieces) == reel.length_ft
            assert reel.left_over_ft >= 0
        for entry in (*part.pieces, *(p for reel in part.reels for p in reel.pieces)):
            cut[entry.length_ft] += entry.count
    assert cut == asked
    assert asked


@pytest.mark.parametrize("market", ALL_MARKETS)
def test_a_substitute_costs_what_the_walk_says(market: str) -> None:
    """Each substitute's extra is the difference of two plans walked year by year."""
    facts, plan = planned(market)
    seen = 0
    for part in list_of(facts, plan).parts:
        extras = [entry.extra_cents for entry in part.substitutes]
        assert extras == sorted(extras)
        for entry in part.substitutes:
            try:
                other = bought_elsewhere(facts, plan, part.offer_row, entry.offer_row)
            except SimulationError:
                assert "smallest order" in entry.note
                continue
            assert present_value(other.lines) - present_value(plan.lines) == entry.extra_cents
            seen += 1
    assert seen or market == "store only"


def used_plugs(price: str) -> tuple[Facts, Ranked]:
    """Two plugs, to be had new for 12.00 and used at that price with 5 % tax; 10 % of the used are bad."""
    catalog = make_catalog(
        suppliers=[
            {"id": "store", "name": "The Store (invented)"},
            {"id": "surplus", "name": "Barn (invented)", "tax": "5 %"},
        ],
        more_offers=[offer("plug-6-20", "surplus", price, condition="used", available=2)],
    )
    return bought_today(catalog, {Need(make_spec("plug", {"configuration": "NEMA 6-20"}), 1): 2})


def test_the_most_a_used_plug_may_cost_by_hand() -> None:
    """New 12.00 less 20 % resale is 9.60; used p pays 5 % tax, of price and tax a ninth for rejects, 5.00 / 0.9 of looking.

    Of 3.47 that is 0.17, 0.40 and 5.56, together 9.60; of 3.48 it is 0.17, 0.41 and 5.56, 9.62.
    """
    facts, plan = used_plugs("3.00")
    part = list_of(facts, plan).parts[0]
    assert part.condition == Condition.USED
    assert [limit.most_cents for limit in part.most] == [347]


@pytest.mark.parametrize(("price", "condition"), [("3.47", "used"), ("3.48", "new")])
def test_at_the_most_the_used_plug_is_bought_and_a_cent_above_the_new_one(price: str, condition: str) -> None:
    """The solver turns where the break-even price says; at 3.47 it may take either only if they tie."""
    facts, plan = used_plugs(price)
    assert {part.condition for part in list_of(facts, plan).parts} == {condition}


def test_a_new_line_says_what_used_may_cost_elsewhere() -> None:
    """No tax elsewhere: 3.64, a ninth of it 0.40 and 5.56 are 9.60; with 3.65 it is 9.62."""
    facts, plan = used_plugs("9.00")
    part = list_of(facts, plan).parts[0]
    assert part.condition == Condition.NEW
    assert {limit.condition: limit.most_cents for limit in part.most} == {"used": 364}


def test_surplus_against_nothing_new_has_no_limit() -> None:
    catalog = make_catalog([offer("plug-6-20", "store", 3, condition="used", available=2)])
    facts, plan = bought_today(catalog, {Need(make_spec("plug", {"configuration": "NEMA 6-20"}), 1): 2})
    listed = list_of(facts, plan)
    assert [limit.most_cents for limit in listed.parts[0].most] == [None]
    assert "nothing new known" in shopping_text(listed)


def test_kinds_that_must_be_new_have_no_surplus_price() -> None:
    facts, plan = planned("surplus")
    breakers = [part for part in list_of(facts, plan).parts if part.kind == "breaker"]
    assert breakers
    assert all(not part.most for part in breakers)


def delivered(free_over: int, receptacles: int) -> ShoppingList:
    """Receptacles at 10.00 from a supplier whose delivery is 18.00."""
    catalog = make_catalog(
        [offer("receptacle-6-20", "post", 10)],
        suppliers=[{"id": "post", "name": "By Post (invented)", "delivery": 18, "free_over": free_over}],
    )
    facts, plan = bought_today(
        catalog, {Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1): receptacles}
    )
    return list_of(facts, plan)


def test_a_hint_says_how_much_more_saves_the_delivery() -> None:
    listed = delivered(64, 5)
    assert listed.total_cents == 6800
    hint = "14.00 more here saves the 18.00 delivery (free from 64.00): spares for that much cost nothing"
    assert listed.orders[0].hints == (hint,)


@pytest.mark.parametrize("sold_new", [True, False])
def test_what_is_not_new_is_told_with_what_it_costs_new(sold_new: bool) -> None:
    """By hand: a used receptacle for 4.00 is 10.00 new with 10 % tax, 11.00; 30 ft of cord of the shelf are 60.00 + 6.00 tax
    and a cut of 1.50: 78.50 for 4.00. A plug is bought new and is no part of it.
    """
    shops: list[Row] = [
        {"id": "yard", "name": "Yard (invented)"},
        {"id": "shelf", "name": "Own shelf (invented)"},
        {"id": "desk", "name": "Desk (invented)", "tax": "10 %", "cut_charge": "1.50"},
    ]
    sold = [
        offer("receptacle-6-20", "yard", 4, condition="used"),
        offer("cord-12-3", "shelf", 0, "piece of 30 ft", condition="on-hand", available=1),
        offer("receptacle-6-20", "desk", 10),
        offer("plug-6-20", "desk", 7),
    ]
    sold += [offer("cord-12-3", "desk", 2, "ft")] if sold_new else []
    configuration = {"configuration": "NEMA 6-20"}
    needs = {
        Need(make_spec("receptacle", configuration), 1): 1,
        Need(make_spec("plug", configuration), 1): 1,
        Need(make_spec("cord", {}, {"awg": "12", "conductors": 3}), 1, 30): 1,
    }
    facts, plan = bought_today(make_catalog(sold, suppliers=shops), needs)
    found = list_of(facts, plan).all_new
    assert found is not None
    assert found.conditions == (("on-hand", 1), ("used", 1))
    if sold_new:
        assert (found.here_cents, found.new_cents, found.more_cents, found.unpriced) == (400, 7850, 7450, ())
        assert "74.50  yes" in shopping_text(list_of(facts, plan))
    else:
        assert (found.here_cents, found.new_cents, len(found.unpriced)) == (400, 1100, 1)
        assert "at least" in shopping_text(list_of(facts, plan))
    only_new, only = bought_today(
        make_catalog(sold[3:4], suppliers=shops), {Need(make_spec("plug", configuration), 1): 1}
    )
    assert list_of(only_new, only).all_new is None


@pytest.mark.parametrize("feet", [0, 30])
def test_a_charge_for_cutting_is_told_where_something_is_cut(feet: int) -> None:
    """30 ft of cord at 2.00 are cut, a receptacle is not; a cut is 1.50."""
    supplier: Row = {"id": "yard", "name": "Cable Yard (invented)", "cut_charge": "1.50"}
    sold = [offer("receptacle-6-20", "yard", 10), offer("cord-12-3", "yard", 2, "ft")]
    catalog = make_catalog(sold, suppliers=[supplier])
    needs = {Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1): 1}
    cord = Need(make_spec("cord", {}, {"awg": "12", "conductors": 3}), 1, feet)
    facts, plan = bought_today(catalog, needs | ({cord: 1} if feet else {}))
    (order,) = list_of(facts, plan).orders
    assert order.hints == (("each cut costs 1.50",) if feet else ())


def test_a_gap_wider_than_the_delivery_is_not_called_free() -> None:
    assert delivered(100, 5).orders[0].hints == (
        "50.00 more here saves the 18.00 delivery (free from 100.00)",
    )


def test_a_hint_warns_when_delivery_is_free_only_just() -> None:
    listed = delivered(45, 5)
    assert listed.total_cents == 5000
    assert "more than 5.00 of this order is sold out, 18.00 is charged" in listed.orders[0].hints[0]


def test_an_offer_without_a_price_is_asked_for_with_the_price_it_must_beat() -> None:
    """The new one costs 10.00 without tax and is not sold at the end, so the other must be 10.00 or less."""
    catalog = make_catalog(
        [offer("receptacle-6-20", "store", 10), offer("receptacle-6-20", "post", None)],
        suppliers=[
            {"id": "store", "name": "The Store (invented)"},
            {"id": "post", "name": "By Post (invented)"},
        ],
    )
    need = Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1)
    facts, plan = bought_today(catalog, {need: 2})
    asked = [question for question in list_of(facts, plan).questions if question.whom.startswith("By Post")]
    assert len(asked) == 1
    assert "receptacle NEMA 6-20" in asked[0].what
    assert "2 in all" in asked[0].what
    assert "at 10.00 or less each it takes the place of receptacle NEMA 6-20, new" in asked[0].why


def test_the_price_to_beat_is_lower_by_what_another_order_costs() -> None:
    """Two at 10.00 in the store; another supplier's order fee of 4.00 leaves 8.00 each."""
    catalog = make_catalog(
        [offer("receptacle-6-20", "store", 10), offer("receptacle-6-20", "post", None)],
        suppliers=[
            {"id": "store", "name": "The Store (invented)"},
            {"id": "post", "name": "By Post (invented)", "order_fee": 4},
        ],
    )
    facts, plan = bought_today(catalog, {Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1): 2})
    (asked,) = [entry for entry in list_of(facts, plan).questions if entry.whom.startswith("By Post")]
    assert asked.why.startswith("at 8.00 or less each")


def test_ways_that_lack_a_price_are_asked_for_once_a_reason() -> None:
    facts, plan = planned("store only")
    why = "no priced offer for conduit"
    out = [OutOfRanking(name, "conduit drop", "conduit drop", None, why, True) for name in ("saw", "drill")]
    asked = [entry for entry in list_of(facts, plan, out=out).questions if entry.what == why]
    assert len(asked) == 1
    assert "saw by conduit drop, drill by conduit drop" in asked[0].why


def test_a_price_that_is_the_mean_of_a_range_is_marked_with_its_ends() -> None:
    """(8 + 4 x 10 + 18) / 6 = 11."""
    ranged_price = {"price": ["8", "10", "18"]}
    store = [offer("receptacle-6-20", "store", 1) | ranged_price, offer("nm-12-2", "store", 1, "ft")]
    need = Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1)
    facts, plan = bought_today(make_catalog(store), {need: 1, piece(20): 1})
    words = "price: mean of a range, low, likely and high 8.00, 10.00, 18.00 per each"
    ranged, plain = sorted(bill_of_materials(facts, plan), key=lambda row: words not in row.described)
    assert (ranged.unit_price_cents, ranged.ranged, plain.ranged) == (1100, words, "")
    listed = list_of(facts, plan)
    assert sorted(part.said for order in listed.orders for part in order.parts) == ["", words]
    assert "price: mean of a" in shopping_text(listed)
    assert shopping_csv(listed).count(words) == 1


def test_old_prices_are_asked_for_again() -> None:
    catalog = make_catalog(
        [offer("receptacle-6-20", "store", 10, seen="2026-01-02"), offer("nm-12-2", "store", 1, "ft")]
    )
    need = Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1)
    facts, plan = bought_today(catalog, {need: 1, piece(20): 1})
    words = " ".join(question.what for question in list_of(facts, plan).questions)
    assert "receptacle NEMA 6-20 (seen 2026-01-02)" in words
    assert "building cable 12/2 (no date)" in words


def test_surplus_lines_come_with_checks_and_new_ones_do_not() -> None:
    facts, plan = planned("surplus")
    listed = list_of(facts, plan)
    inspected = [part for _, parts in listed.inspections for _, part in parts]
    assert inspected
    assert {part.offer_row for part in inspected} == {p.offer_row for p in listed.parts if p.surplus}
    text = shopping_text(listed)
    assert "walk away" in text
    assert "pay at most" in text


def test_every_list_of_checks_is_complete_and_the_last_is_for_all_others() -> None:
    assert all(entry.look and entry.test and entry.walk_away for entry in all_checks())
    assert checks_for("something never heard of") is all_checks()[-1]
    assert "receptacle" in checks_for("receptacle").kinds


def test_every_kind_of_a_list_of_checks_is_one_of_the_catalog_s() -> None:
    """A list of checks for a kind that no catalog has is never printed, and its part gets the checks for anything."""
    kinds = {kind.kind for kind in demo().kinds}
    named = [kind for entry in all_checks() for kind in entry.kinds]
    assert len(named) == len(set(named))
    assert set(named) <= kinds


def test_a_panel_is_looked_into_and_a_converter_is_run() -> None:
    """Common practice, no source: a panel has nothing that runs; a converter has no stabs."""
    panel, converter = checks_for("panel"), checks_for("phase converter")
    assert not any("under load" in words for words in panel.test)
    assert any("stabs" in words for words in panel.look)
    assert any("under load" in words for words in converter.test)
    assert not any("stabs" in words for words in converter.look)


def test_only_a_fused_disconnect_has_fuse_clips() -> None:
    assert not any("Fuse clips" in words for words in checks_for("disconnect").test)
    assert any("Fuse clips" in words for words in checks_for("fused disconnect").test)


def test_spare_pieces_of_a_box_are_shown() -> None:
    catalog = make_catalog([offer("box", "store", 15, "box of 4")])
    facts, plan = bought_today(catalog, {Need(make_spec("outlet box", {}, {"rating_a": 30}), 1): 6})
    part = list_of(facts, plan).parts[0]
    assert (part.quantity, part.unit, part.spare, part.spare_unit) == (2, "box of 4", 2, "each")
    assert "2 of them left over" in shopping_text(list_of(facts, plan))


@pytest.mark.parametrize(("minimum", "short"), [(70, 0), (80, 1000), (90, 2000)])
def test_an_order_below_the_smallest_one_is_made_up_and_holds_nothing_that_nobody_needs(
    minimum: int, short: int
) -> None:
    """A drop of 70.00: what is missing to 80.00 or 90.00 is paid, and the list says that it may be taken in goods."""
    saw = SAW | {"ways": {"only": ["wall drop"], "hard_wired": False}}
    store = {"id": "store", "name": "The Store (invented)", "minimum": minimum}
    facts = Facts(make_shop([saw]), make_catalog(suppliers=[store]))
    plan = ranked(facts.shop, facts.catalog)[0]
    listed = list_of(facts, plan)
    check_sums(listed, plan)
    (order,) = listed.orders
    assert order.charges.short_cents == short
    assert all(part.machines and not part.spare for part in order.parts)
    said = f"{short / 100:.2f} more of anything here costs nothing"
    assert (said in shopping_text(listed)) == bool(short)


def test_parts_that_come_from_no_offer_are_listed_too() -> None:
    """Whatever a plan pays for as a part is on the list, also gear that no offer stands behind."""
    facts, plan = planned("store only")
    line = next(line for line in plan.lines if line.kind == "part" and line.year == 0)
    gear = replace(line, what="subpanel", offer_row=0, amount_cents=12345, quantity=Decimal(1), machine="")
    listed = list_of(facts, replace(plan, lines=(*plan.lines, gear)))
    assert listed.total_cents == paid(plan) + 12345
    assert [part.what for part in listed.orders[-1].parts] == ["subpanel"]


@pytest.mark.parametrize("market", ALL_MARKETS)
def test_the_csv_adds_up_and_has_every_part(market: str) -> None:
    facts, plan = planned(market)
    listed = list_of(facts, plan)
    rows = list(csv.DictReader(io.StringIO(shopping_csv(listed))))
    assert sum(int(Decimal(row["amount"]) * 100) for row in rows) == listed.total_cents
    assert [row["part"] for row in rows if row["row"] == "part"] == [part.part for part in listed.parts]


def printed_amounts(text: str, heading: str) -> list[int]:
    """The amount column of the table under a heading, in cents, the total last."""
    lines = text[text.index(heading) :].split("\n\n")[0].splitlines()[1:]
    spans = [match.span() for match in re.finditer("-+", lines[1])]
    heads = [lines[0][start:end].strip() for start, end in spans]
    start, end = spans[heads.index("amount")]
    cells = [line[start:end].strip() for line in lines[2:]]
    return [
        int(cell.replace(",", "").replace(".", "")) for cell in cells if re.fullmatch(r"[\d,]+\.\d\d", cell)
    ]


@pytest.mark.parametrize("market", ["boxes", "reels", "delivery"])
def test_the_last_row_of_a_printed_order_is_the_sum_of_the_others(market: str) -> None:
    facts, plan = planned(market)
    listed = list_of(facts, plan)
    text = shopping_text(listed)
    headings = [f"{'Take from' if o.own_shelf else 'Buy at'}: {o.name}" for o in listed.orders]
    totals = []
    for heading in [*headings, "All orders"]:
        *amounts, total = printed_amounts(text, heading)
        assert sum(amounts) == total, heading
        totals.append(total)
    assert sum(totals[:-1]) == totals[-1] == listed.total_cents


@pytest.mark.parametrize("market", ALL_MARKETS)
def test_a_line_s_worth_in_the_plan_is_that_of_the_offer_bought_for_it_alone(market: str) -> None:
    """The walk's lines and the unit costs agree, which the extra cost of a substitute relies on."""
    facts, plan = planned(market)
    counterpart = Counterpart(facts, plan)
    for part in list_of(facts, plan).parts:
        deal = counterpart.deals[part.offer_row]
        taken = taken_of(counterpart.market, deal, counterpart.wanted[part.offer_row])
        assert taken is not None
        assert taken.quantity == part.quantity
        assert taken.worth_cents == counterpart.worth_of(part.offer_row)


def test_a_substitute_there_is_too_little_of_is_not_named() -> None:
    catalog = make_catalog(
        [
            offer("box", "store", 5),
            offer("box", "store", 6, available=2),
            offer("box", "store", 7, available=3),
        ]
    )
    facts, plan = bought_today(catalog, {Need(make_spec("outlet box", {}, {"rating_a": 30}), 1): 3})
    (part,) = list_of(facts, plan).parts
    assert [(entry.price_cents, entry.extra_cents) for entry in part.substitutes] == [(700, 600)]


def test_a_used_part_found_elsewhere_may_cost_more_when_it_saves_a_delivery() -> None:
    """The only line of an order with 18.00 delivery: 10.00 + 18.00 new; used at 28.00 less 10 % rejects."""
    catalog = make_catalog(
        [offer("receptacle-6-20", "post", 10)],
        kinds=[{"kind": "receptacle", "attributes": ["configuration"], "reject": {"used": "10 %"}}],
        suppliers=[{"id": "post", "name": "By Post (invented)", "delivery": 18}],
    )
    facts, plan = bought_today(catalog, {Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1): 1})
    (part,) = list_of(facts, plan).parts
    assert [(limit.condition, limit.most_cents) for limit in part.most] == [("used", 2520)]
