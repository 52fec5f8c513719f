"""Who is called when, and which permits are paid; rules of this tool, every fee invented."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from strategies import DRILL, LATHE, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Charge, Work
from costplan.circuits.quoted_work import QUOTED_WORK
from costplan.ledger.crews import hirings
from costplan.ledger.lines import LineKind
from costplan.ledger.pricing import TODAY, Call, Once, Pricer, When
from costplan.ledger.simulation import walk
from costplan.ledger.stockroom import SimulationError
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.sourcing.market import Market

Row = dict[str, Any]
OWNER: Row = {"name": "owner", "role": "owner", "rate": 20, "pace": 1}
HIRED: Row = {
    "name": "electrician",
    "role": "electrician",
    "rate": 100,
    "pace": 2,
    "call_out": 50,
    "set_up": 1,
    "permit": 60,
}
ONLY = {"ways": {"only": ["wall drop"], "hard_wired": False}}
LATER = When(2, "as planned", Decimal(1))


def pricer(owner: Row | None = None, hired: Row | None = None, **shop: Any) -> Pricer:
    crews = [OWNER | (owner or {}), HIRED | (hired or {})]
    facts = Facts(make_shop([SAW], **shop), make_catalog(crews=crews))
    found = hirings(facts)
    return Pricer(facts, Market(facts, SurplusRule.ALLOWED), found[-1])


def task(name: str) -> Bundle:
    return Bundle(work=(Work(name, Decimal(1)),))


def quoted(*, own: bool = False, permit: bool = False) -> Bundle:
    return Bundle(work=(Work("quoted work", Decimal(1), (Decimal(1),) * 3, own, permit),))


# who is called ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bundle", "called"),
    [
        (Bundle(), set()),
        (task("run-cable"), {Call.VISIT, Call.PERMIT}),
        (task("make-safe"), {Call.VISIT}),
        (task("make-cord"), {Call.OWN_VISIT}),
        (task("make-cord") + task("make-safe"), {Call.VISIT, Call.OWN_VISIT}),
        (quoted(), {Call.VISIT}),
        (quoted(permit=True), {Call.VISIT, Call.PERMIT}),
        (quoted(own=True), {Call.OWN_VISIT}),
        (quoted(own=True, permit=True), {Call.OWN_VISIT, Call.OWN_PERMIT}),
        (Bundle(charges=(Charge("quoted", Decimal(100)),)), set()),
        (Bundle(charges=(Charge("quoted", Decimal(100), permit=True),)), {Call.PERMIT}),
        # The patching beside it that the owner does makes no owner's permit of a hired one.
        (
            Bundle(charges=(Charge("quoted", Decimal(100), permit=True),)) + task("make-cord"),
            {Call.PERMIT, Call.OWN_VISIT},
        ),
    ],
)
def test_what_work_makes_somebody_pay(bundle: Bundle, called: set[Call]) -> None:
    assert pricer().calls(bundle, today=False) == called


def test_the_owner_who_does_what_needs_a_permit_pays_his_own() -> None:
    catalog = make_catalog(crews=[OWNER, HIRED])
    may = [
        known.model_copy(update={"who": [*known.who, "owner"]}) if known.id == "run-cable" else known
        for known in catalog.tasks
    ]
    facts = Facts(make_shop([SAW]), catalog.model_copy(update={"tasks": may}))
    known = Pricer(facts, Market(facts, SurplusRule.ALLOWED), hirings(facts)[0])
    assert known.calls(task("run-cable"), today=True) == {Call.OWN_VISIT, Call.OWN_PERMIT}


def test_a_bid_that_holds_the_permit_calls_nobody_today() -> None:
    bid = {
        "name": "offer",
        "price": 900,
        "covers": ["run-cable"],
        "rest_by": "electrician",
        "includes_permit": True,
    }
    assert pricer(bids=[bid]).calls(task("run-cable"), today=True) == frozenset()
    assert pricer(bids=[bid]).calls(task("run-cable"), today=False) == {Call.VISIT, Call.PERMIT}
    assert pricer(bids=[bid | {"includes_permit": False}]).calls(task("run-cable"), today=True) == {
        Call.PERMIT
    }


# what a visit and a permit cost -----------------------------------------------------------------------


def cents(lines: list[Any]) -> list[int]:
    return [line.amount_cents for line in lines]


def test_a_visit_is_a_call_out_and_set_up_at_the_crews_pace() -> None:
    """An hour of one electrician is half an hour of this pair, at 100 an hour."""
    assert cents(pricer().visit(TODAY)) == [5000, 5000]
    assert cents(pricer().visit(TODAY, Call.OWN_VISIT)) == []
    assert cents(pricer(owner={"call_out": 8}).visit(TODAY, Call.OWN_VISIT)) == [800]


def test_visits_and_permits_grow_with_wages() -> None:
    money = {"discount_rate": "0 %", "growth": {"labor": "10 %"}}
    known = pricer(money=money)
    assert cents(known.visit(LATER)) == [6050, 6050]
    assert cents(known.permit(LATER, first=False)) == [7260]


def test_the_first_permit_may_cost_more_than_later_ones() -> None:
    known = pricer(hired={"later_permit": 25}, owner={"permit": 30, "later_permit": 0})
    assert cents(known.permit(TODAY, first=True)) == [6000]
    assert cents(known.permit(LATER, first=False)) == [2500]
    assert cents(known.permit(TODAY, Call.OWN_PERMIT, first=True)) == [3000]
    assert cents(known.permit(LATER, Call.OWN_PERMIT, first=False)) == []
    assert cents(pricer().permit(LATER, first=False)) == [6000]


# what lines and sums of a piece of work say ------------------------------------------------------------


def test_a_bundle_adds_its_worth_and_its_hired_work_and_only_today_to_the_cash_of_today() -> None:
    """An hour of the pair at half the hours is 50, an hour of the owner 20 of own time, 30 are quoted: 80 of 100 are cash."""
    bundle = task("run-cable") + task("make-cord") + Bundle(charges=(Charge("quoted", Decimal(3000)),))
    today, later = pricer().effort_cost(bundle, TODAY), pricer().effort_cost(bundle, LATER)
    assert (today.worth_cents, today.cash_today_cents, today.hired_cents) == (10000, 8000, 5000)
    assert (later.worth_cents, later.cash_today_cents, later.hired_cents) == (10000, 0, 5000)


def test_a_line_says_where_its_figure_is_written_and_how_much_of_what_it_is() -> None:
    known = pricer(hired={"later_permit": 25})
    (listed,) = known.effort(task("run-cable"), TODAY, "saw", "moves")
    (said,) = known.effort(quoted(), TODAY, "saw", "moves")
    assert (listed.trace, listed.task) == ("labor.yaml task run-cable; moves", "run-cable")
    assert (said.trace, said.task) == ("quote: quoted work; moves", QUOTED_WORK)
    set_up = known.visit(TODAY)[1]
    assert (set_up.quantity, set_up.hours) == (1, Decimal("0.5"))
    permits = [known.permit(TODAY, first=first)[0].trace for first in (True, False)]
    assert permits == ["labor.yaml crew permit", "labor.yaml crew later_permit"]


# over the years ---------------------------------------------------------------------------------------


def best(shop: Any, *crews: Row, **catalog: Any) -> Ranked:
    return ranked(shop, make_catalog(crews=list(crews) or [OWNER, HIRED], **catalog))[0]


def fees(found: Ranked, kind: LineKind) -> list[tuple[int, int]]:
    return sorted((line.year, int(line.amount_cents / 100)) for line in found.lines if line.kind is kind)


def moving(*events: Row, machines: tuple[Row, ...] = (SAW,), **more: Any) -> Any:
    return make_shop(
        [machine | ONLY for machine in machines], scenarios=[scenario(*events)], **{"years": 6} | more
    )


def test_all_hired_work_of_a_year_is_one_visit_with_one_permit() -> None:
    events = (move(2, "saw", "bench C"), move(2, "lathe", "bench E"))
    found = best(moving(*events, machines=(SAW, LATHE | {"at": "bench B"})))
    assert fees(found, LineKind.CALL_OUT) == [(0, 50), (2, 50)]
    assert fees(found, LineKind.PERMIT) == [(0, 60), (2, 60)]


def test_todays_permit_is_the_first_of_every_scenario() -> None:
    hired = HIRED | {"later_permit": 25}
    found = best(moving(move(2, "saw", "bench C"), move(4, "saw", "bench B")), OWNER, hired)
    assert fees(found, LineKind.PERMIT) == [(0, 60), (2, 25), (4, 25)]


def test_where_nothing_needs_a_permit_today_the_first_comes_later() -> None:
    hired = HIRED | {"later_permit": 25}
    shop = moving(move(3, "saw", "bench E"), machines=(SAW | {"arrives": 1},))
    assert fees(best(shop, OWNER, hired), LineKind.PERMIT) == [(1, 60), (3, 25)]


def test_every_scenario_has_a_first_permit_of_its_own() -> None:
    hired = HIRED | {"later_permit": 25}
    both = [
        scenario(move(2, "saw", "bench E"), name="early", weight="0.5"),
        scenario(move(4, "saw", "bench E"), name="late", weight="0.5"),
    ]
    shop = make_shop([SAW | ONLY | {"arrives": 1}], scenarios=both, years=6)
    found = best(shop, OWNER, hired)
    assert fees(found, LineKind.PERMIT) == [(1, 60), (1, 60), (2, 25), (4, 25)]


def test_the_owners_fees_come_once_a_year_with_work_of_his() -> None:
    """The machine's plug today, and moving the machine in years 2 and 4."""
    owner = OWNER | {"call_out": 8}
    shop = moving(move(2, "saw", "bench C"), move(4, "saw", "bench B"), machines=(SAW | {"plug": None},))
    found = best(shop, owner, HIRED)
    called = [line for line in found.lines if line.kind is LineKind.CALL_OUT and "owner" in line.what]
    assert sorted(line.year for line in called) == [0, 2, 4]


def test_his_own_permit_is_counted_apart_from_the_hired_one() -> None:
    """Put in by the hired crew with its permit; every move is his own work, with a permit of his own."""
    owner = OWNER | {"permit": 30, "later_permit": 10}
    way = {
        "name": "bus",
        "method": "cord",
        "put_in": {"hours": 1, "permit": True},
        "move": {"own_hours": 1, "permit": True},
    }
    events = (move(2, "saw", "bench C"), move(4, "saw", "bench B"))
    shop = make_shop([SAW], scenarios=[scenario(*events)], years=6, quoted_ways=[way])
    assert fees(best(shop, owner, HIRED), LineKind.PERMIT) == [(0, 60), (2, 30), (4, 10)]


@pytest.mark.parametrize(("rule", "visits"), [("one a year", 1), ("each move", 3)])
def test_each_move_may_be_a_visit_of_its_own(rule: str, visits: int) -> None:
    """Two machines move, one of them twice, in year 2: three moves that need the crew and a permit."""
    events = (move(2, "saw", "bench C"), move(2, "saw", "bench E"), move(2, "lathe", "bench D"))
    machines = (SAW, LATHE | {"at": "bench B"})
    building = {"patching": False, "make_safe": False}
    found = best(moving(*events, machines=machines, hired_visits=rule, building=building))
    assert fees(found, LineKind.CALL_OUT).count((2, 50)) == visits
    assert fees(found, LineKind.PERMIT).count((2, 60)) == visits
    assert fees(found, LineKind.CALL_OUT).count((0, 50)) == 1


def test_a_move_that_needs_no_electrician_is_no_visit() -> None:
    """Back to an outlet that is still there: only the owner moves the machine."""
    events = (move(2, "saw", "bench C"), move(4, "saw", "bench A"))
    found = best(moving(*events, hired_visits="each move", building={"patching": False, "make_safe": False}))
    assert [year for year, _ in fees(found, LineKind.CALL_OUT)] == [0, 2]


def test_each_of_a_group_has_a_visit_of_its_own_in_which_what_it_leaves_is_made_safe() -> None:
    """Three saws move, each by a visit, in which the outlet that it leaves is made safe."""
    shop = moving(move(2, "saw", "bench C"), machines=(SAW | {"count": 3},), hired_visits="each move")
    found = best(shop)
    assert fees(found, LineKind.CALL_OUT) == [(0, 50), *[(2, 50)] * 3]
    assert fees(found, LineKind.PERMIT) == [(0, 60), *[(2, 60)] * 3]


def test_the_visit_of_a_year_and_those_of_its_moves_are_all_paid() -> None:
    """In year 2 the owner cares for the drill's cord, the lathe comes, by the visit of the year, and the saw moves."""
    shop = make_shop(
        [DRILL | {"ways": {"only": ["cord"]}}, LATHE | ONLY | {"at": "bench B", "arrives": 2}, SAW | ONLY],
        scenarios=[scenario(move(2, "saw", "bench C"))],
        hired_visits="each move",
    )
    found = best(shop, recipes={"yearly cord care": {"tasks": [{"task": "wire-plug"}]}})
    assert fees(found, LineKind.CALL_OUT) == [(0, 50), (2, 50), (2, 50)]
    assert fees(found, LineKind.PERMIT) == [(0, 60), (2, 60), (2, 60)]


# the shop stands ---------------------------------------------------------------------------------------


def test_the_shop_stands_once_a_visit_and_for_every_machine_that_moves() -> None:
    """Common practice, no source. By hand, an hour of standing 40, breakers 0.5 h, outlets 0.25 h, a move 0.3 h.

    Today two new drops in one visit: the longest task, 0.5 x 40 = 20. Year 2: both machines move, 2 x 0.3 x 40 = 24, and
    their new drops in one visit, 20.
    """
    stops = {"land-in-panel": "0.5", "set-outlet": "0.25", "move-machine": "0.3"}
    shop = make_shop(
        [SAW | ONLY, LATHE | ONLY],
        money={"discount_rate": 0, "shop_hour": 40},
        scenarios=[scenario(move(2, "saw", "bench D"), move(2, "lathe", "bench E"))],
    )
    best = ranked(shop, make_catalog(crews=[OWNER, HIRED], stops=stops))[0]
    lost = [line for line in best.lines if line.kind is LineKind.LOST_TIME]

    assert [
        (line.year, line.machine, line.amount_cents)
        for line in sorted(lost, key=lambda e: (e.year, e.machine))
    ] == [
        (0, "", 2000),
        (2, "", 2000),
        (2, "lathe", 1200),
        (2, "saw", 1200),
    ]


def test_each_visit_of_a_move_stops_the_shop_on_its_own() -> None:
    """The same two moves with a visit each: 2 x 20 in year 2."""
    shop = make_shop(
        [SAW | ONLY, LATHE | ONLY],
        money={"discount_rate": 0, "shop_hour": 40},
        hired_visits="each move",
        scenarios=[scenario(move(2, "saw", "bench D"), move(2, "lathe", "bench E"))],
    )
    best = ranked(shop, make_catalog(crews=[OWNER, HIRED], stops={"land-in-panel": "0.5"}))[0]
    lost = [(line.year, line.amount_cents) for line in best.lines if line.kind is LineKind.LOST_TIME]

    assert sorted(lost) == [(0, 2000), (2, 2000), (2, 2000)]


def test_a_visit_with_several_tasks_stops_the_shop_for_the_longest_of_them_alone() -> None:
    """Three saws move, each by a visit of landing (0.5 h) and making safe (0.25 h): 3 x 0.5 h x 40, and 20 today."""
    shop = moving(
        move(2, "saw", "bench C"),
        machines=(SAW | {"count": 3},),
        hired_visits="each move",
        money={"discount_rate": 0, "shop_hour": 40},
    )
    found = best(shop, stops={"land-in-panel": "0.5", "make-safe": "0.25"})
    assert fees(found, LineKind.LOST_TIME) == [(0, 20), (2, 20), (2, 20), (2, 20)]


# what a visit has once ---------------------------------------------------------------------------------


LIFT = [{"id": "lift", "name": "a lift", "price": 90}]
ONCE: Row = {
    "wall drop": {
        "extra": 5,
        "tasks": [{"task": "run-cable"}, {"task": "change-device", "per": "visit"}],
        "charges": [{"charge": "lift", "per": "visit"}],
    }
}


def test_two_drops_of_a_visit_share_its_lift_and_its_way() -> None:
    """By hand: a lift at 90 and an hour of way at 100 / 2, for both drops together."""
    shop = make_shop([SAW | ONLY, LATHE | ONLY])
    with_once = ranked(shop, make_catalog(crews=[OWNER, HIRED], recipes=ONCE, charges=LIFT))[0]
    plain_wall = {"wall drop": {"extra": 5, "tasks": [{"task": "run-cable"}]}}
    without = ranked(shop, make_catalog(crews=[OWNER, HIRED], recipes=plain_wall))[0]
    assert with_once.present_value_cents - without.present_value_cents == 9000 + 5000


def test_each_visit_of_a_move_has_its_lift_and_a_plan_without_it_is_refused() -> None:
    """Saw and lathe move in year 2, a visit each: a lift at 90 today and two then."""
    events = (move(2, "saw", "bench C"), move(2, "lathe", "bench D"))
    shop = moving(*events, machines=(SAW, LATHE | {"at": "bench B"}), hired_visits="each move")
    catalog = make_catalog(crews=[OWNER, HIRED], recipes=ONCE, charges=LIFT)
    bench = Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED)
    (found,) = best_plans(bench, 1)
    assert fees(found, LineKind.QUOTE) == [(0, 90), (2, 90), (2, 90)]
    with pytest.raises(SimulationError, match="is asked for more often than the visits"):
        walk(bench.facts, bench.pricers[0], replace(found.plan, visits=()), found.chosen)


def test_a_fixed_bid_for_all_the_work_holds_the_lift() -> None:
    bid = {
        "name": "offer",
        "price": 900,
        "covers": ["run-cable", "change-device"],
        "rest_by": "electrician",
    }
    bundle = Bundle(
        work=(Work("run-cable", Decimal(1)),), charges=(Charge("a lift", Decimal(9000), once=True),)
    )
    lift = Once(bundle.charges[0], True)
    assert lift not in pricer(bids=[bid]).calls(bundle, today=True)
    assert lift in pricer(bids=[bid]).calls(bundle, today=False)
    owned = Bundle(work=(Work("make-cord", Decimal(1)),), charges=bundle.charges)
    assert Once(bundle.charges[0], False) in pricer().calls(owned, today=True)


def test_a_visit_has_a_thing_once_only() -> None:
    with pytest.raises(ValueError, match="is 2 a visit; delete quantity"):
        make_catalog(recipes={"wall drop": {"tasks": [{"task": "run-cable", "per": "visit", "quantity": 2}]}})


def test_what_one_crew_was_reckoned_at_is_not_anothers() -> None:
    facts = Facts(make_shop(), make_catalog())
    known = Pricer(facts, Market(facts, SurplusRule.ALLOWED), hirings(facts)[0])
    other = replace(known.hiring, crew=known.hiring.crew.model_copy(update={"name": "another"}))
    with pytest.raises(AssertionError, match="priced as another's"):
        replace(known, hiring=other)
