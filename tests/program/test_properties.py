"""What must hold for every small shop, whatever its prices."""

import random
from decimal import Decimal
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import (
    DRILL,
    KINDS,
    LATHE,
    MARKETS,
    SAW,
    make_catalog,
    make_shop,
    move,
    offer,
    ranked,
    scenario,
    situations,
)

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.catalog import Catalog
from costplan.model.choices import Method, SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.sourcing.market import Market

Situation = tuple[dict[str, Any], dict[str, Any]]


def best(shop: Shop, catalog: Catalog) -> Ranked | None:
    try:
        return ranked(shop, catalog)[0]
    except NoPlanError:
        return None


def doubled(catalog: Catalog) -> Catalog:
    """Every price, fee and wage twice."""
    double = Decimal(2)
    offers = [
        o.model_copy(update={"price_cents": None if o.price_cents is None else o.price_cents * double})
        for o in catalog.offers
    ]
    fees = ("order_fee_cents", "delivery_cents", "minimum_cents", "cut_charge_cents")
    suppliers = [
        s.model_copy(
            update={name: getattr(s, name) * double for name in fees}
            | {"free_over_cents": s.free_over_cents * double if s.free_over_cents is not None else None}
        )
        for s in catalog.suppliers
    ]
    wages = ("rate_cents", "call_out_cents", "minimum_cents", "permit_cents")
    crews = [c.model_copy(update={name: getattr(c, name) * double for name in wages}) for c in catalog.crews]
    return catalog.model_copy(update={"offers": offers, "suppliers": suppliers, "crews": crews})


@given(situations())
def test_twice_the_prices_is_twice_the_total(situation: Situation) -> None:
    shop, catalog = make_shop(**situation[0]), make_catalog(**situation[1])
    once, twice = best(shop, catalog), best(shop, doubled(catalog))
    assert (once is None) == (twice is None)
    if once is not None and twice is not None:
        # a cent for each rounding: units of a line are rounded one by one, hence the quantities
        room = sum(max(int(line.quantity), 1) for line in (*once.lines, *twice.lines))
        assert abs(twice.present_value_cents - 2 * once.present_value_cents) <= room


@given(st.integers(1, 200), st.sampled_from(["bench A", "bench C", "bench E"]))
def test_whole_cents_double_exactly_without_discounting(rate: int, place: str) -> None:
    shop = make_shop(scenarios=[scenario(move(2, "saw", place))], money={"discount_rate": "0 %"})
    crews = [
        {"name": "owner", "role": "owner", "rate": 10},
        {"name": "one", "role": "electrician", "rate": rate * 2},
    ]
    catalog = make_catalog(crews=crews)
    once, twice = best(shop, catalog), best(shop, doubled(catalog))
    assert once is not None
    assert twice is not None
    assert twice.present_value_cents == 2 * once.present_value_cents
    assert twice.outlay_cents == 2 * once.outlay_cents


@given(
    situations(),
    st.sampled_from(["plug-6-20", "receptacle-6-20", "cord-12-3", "nm-12-2"]),
    st.integers(1, 30),
)
def test_another_offer_never_costs(situation: Situation, part: str, price: int) -> None:
    """Unsalable kinds at a low price; forecasts of later years use the offer too and can only fall."""
    per = "ft" if part in ("cord-12-3", "nm-12-2") else "each"
    more = dict(situation[1])
    kinds = [kind | {"resale": {}} for kind in KINDS]
    shop = make_shop(**situation[0])
    without = best(shop, make_catalog(**(more | {"kinds": kinds})))
    more["more_offers"] = [
        *more.get("more_offers", []),
        offer(part, "store", Decimal(price) / 4, per, available=40),
    ]
    with_it = best(shop, make_catalog(**(more | {"kinds": kinds})))
    assert without is None or (
        with_it is not None and with_it.present_value_cents <= without.present_value_cents
    )


@given(situations())
def test_a_tighter_cap_never_saves(situation: Situation) -> None:
    shop, catalog = situation[0], make_catalog(**situation[1])
    free = best(make_shop(**shop), catalog)
    assume(free is not None)
    assert free is not None
    last = free.present_value_cents
    for share in (100, 95, 85):
        cap = Decimal(free.outlay_cents * share // 100) / 100
        capped = best(make_shop(**shop | {"money": {**shop["money"], "outlay_cap": cap}}), catalog)
        if capped is None:
            break
        assert capped.outlay_cents <= cap * 100
        assert capped.present_value_cents >= last
        last = capped.present_value_cents


@given(situations(), st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(situation: Situation, chance: random.Random) -> None:
    shop, catalog = make_shop(**situation[0]), make_catalog(**situation[1])
    mixed_shop = shop.model_copy(
        update={"machines": _mixed(shop.machines, chance), "places": _mixed(shop.places, chance)}
    )
    offers = [row.model_copy(update={"row": at}) for at, row in enumerate(_mixed(catalog.offers, chance), 2)]
    mixed = catalog.model_copy(
        update={
            "offers": offers,
            "parts": _mixed(catalog.parts, chance),
            "kinds": _mixed(catalog.kinds, chance),
            "suppliers": _mixed(catalog.suppliers, chance),
            "crews": _mixed(catalog.crews, chance),
            "tasks": _mixed(catalog.tasks, chance),
        }
    )
    ordered, other = best(shop, catalog), best(mixed_shop, mixed)
    assert (ordered is None) == (other is None)
    if ordered is not None and other is not None:
        assert ordered.present_value_cents == other.present_value_cents


def _mixed(rows: list[Any], chance: random.Random) -> list[Any]:
    return chance.sample(rows, len(rows))


@given(situations())
def test_without_discounting_the_total_is_the_weighted_sum(situation: Situation) -> None:
    shop = make_shop(**situation[0] | {"money": {"discount_rate": "0 %"}})
    plan = best(shop, make_catalog(**situation[1]))
    assume(plan is not None)
    assert plan is not None
    weights = {found.name: found.weight for found in shop.scenarios} | {"": Decimal(1)}
    for line in plan.lines:
        assert line.present_value_cents == round(line.amount_cents * weights[line.scenario])


@given(situations())
def test_the_bill_of_materials_adds_up(situation: Situation) -> None:
    """Parts, cuts, tax and fees of today, added up again from what the plan says it buys."""
    shop, catalog = make_shop(**situation[0]), make_catalog(**situation[1])
    plan = best(shop, catalog)
    assume(plan is not None)
    assert plan is not None
    deals = {
        d.offer.row: d
        for kind in Market(Facts(shop, catalog), SurplusRule.ALLOWED).deals.values()
        for d in kind
    }
    goods: dict[str, int] = {}
    paid = 0
    for entry in plan.plan.bought:
        deal = deals[entry.offer_row]
        goods.setdefault(deal.supplier.id, 0)
        if deal.pack is None:
            piece = deal.price_cents * (entry.need.length_ft or 1)
            goods[deal.supplier.id] += piece * entry.count
            cut = int(deal.supplier.cut_charge_cents) if entry.need.length_ft else 0
            paid += entry.count * (piece + round(piece * deal.supplier.tax) + cut)
    for packs in plan.plan.packs:
        deal = deals[packs.offer_row]
        goods[deal.supplier.id] += deal.price_cents * packs.count
        paid += packs.count * (deal.price_cents + round(deal.price_cents * deal.supplier.tax))
    for supplier in catalog.suppliers:
        if supplier.id in goods:
            free = supplier.free_over_cents is not None and goods[supplier.id] >= supplier.free_over_cents
            paid += int(supplier.order_fee_cents) + (0 if free else int(supplier.delivery_cents))
    kinds = (LineKind.PART, LineKind.CUT, LineKind.TAX, LineKind.FEE)
    lines = [line for line in plan.lines if line.year == 0 and line.kind in kinds]
    assert sum(line.amount_cents for line in lines) == paid
    assert all(line.pocket is Pocket.CASH for line in lines)


def _cords(plan: Ranked) -> set[str]:
    return {name for name, way, _ in plan.plan.shares() if way.method is Method.CORD}


@given(st.integers(5, 150), st.integers(1, 100), st.sampled_from(["bench A", "bench C", "bench E"]))
def test_a_dearer_electrician_never_turns_a_cord_into_a_drop(rate: int, more: int, place: str) -> None:
    """Here the outlet beside the panel takes the electrician no time that a drop does not take as well.

    With no call-outs or permits the machines do not influence each other, and every hour of the cord's outlet
    is an hour of the drop's too, so the drop's total rises at least as fast with the rate.
    """
    shop = make_shop(
        [SAW, DRILL, LATHE], scenarios=[scenario(move(2, "saw", place), move(3, "lathe", "bench D"))]
    )
    plans = []
    for wage in (rate, rate + more):
        crews = [
            {"name": "owner", "role": "owner", "rate": 30},
            {"name": "one", "role": "electrician", "rate": wage},
        ]
        plans.append(
            best_plans(Bench.over(Facts(shop, make_catalog(crews=crews)), SurplusRule.ALLOWED), 1)[0]
        )
    assert _cords(plans[0]) <= _cords(plans[1])


@given(situations())
def test_new_only_buys_nothing_used_and_never_costs_less(situation: Situation) -> None:
    shop, catalog = make_shop(**situation[0]), make_catalog(**situation[1])
    allowed = best(shop, catalog)
    assume(allowed is not None)
    assert allowed is not None
    new = ranked(shop, catalog, rule=SurplusRule.NEW_ONLY)[0]
    conditions = {o.row: str(o.condition) for o in catalog.offers}
    assert {conditions[entry.offer_row] for entry in new.plan.bought} <= {"new", "on-hand"}
    assert new.present_value_cents >= allowed.present_value_cents


def test_every_line_says_where_it_comes_from() -> None:
    shop = make_shop(scenarios=[scenario(move(2, "saw", "bench C"))])
    lines: tuple[Line, ...] = ranked(shop, make_catalog(**MARKETS["surplus"]))[0].lines
    assert len(lines) > 20
    assert [line for line in lines if not line.trace or not line.what] == []
