"""Where figures turn the answer, against a hand-worked shop, against solving from scratch, and cents on both sides."""

from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from scipy import stats
from strategies import make_catalog, scenario

from costplan.circuits.facts import Facts
from costplan.files.asked import WrongUseError
from costplan.files.shipped import shipped
from costplan.ledger.lines import LineKind, present_value
from costplan.model.choices import Distribution, VisitRule
from costplan.model.labor import Role
from costplan.model.loading import load_catalog, load_shop
from costplan.model.shop import Shop
from costplan.program.anew import Anew
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.reports.data import _turning
from costplan.reports.turning_text import (
    AWAY,
    ask_first,
    finding_text,
    in_the_file,
    told_beyond,
    turning_in_short,
    turning_text,
)
from costplan.studies import at_hand
from costplan.studies.at_hand import by_worth
from costplan.studies.comparison import Comparison, compare
from costplan.studies.crossing import Sides, crossing
from costplan.studies.figures import COPPER, PERCENT, Figure, figures
from costplan.studies.finding_out import FindingOut
from costplan.studies.held_plans import by_other_hands, held_walk
from costplan.studies.sureness import Drawable, Settings, sampled
from costplan.studies.turned import Ask, Turned, ask_of
from costplan.studies.turning import BEST, Desk, Side, Turning, same_make
from costplan.studies.uncertain import Uncertain, rate_of
from costplan.studies.wanted import Wanted

ONE, TEN = Decimal(1), Decimal(10)


# crossing and turning, on straight lines ---------------------------------------------------------------


def line(at_zero: int, slope: Decimal) -> tuple[int, Decimal]:
    return at_zero, slope


def cents(plan: tuple[int, Decimal], value: Decimal) -> int:
    return round(plan[0] + plan[1] * value)


@pytest.mark.parametrize(("stays", "wins"), [(0, 1000), (1000, 0), (7, 9), (3, 999)])
@pytest.mark.parametrize("steep", [1, 17, 400])
def test_a_crossing_is_the_first_step_with_a_gain(stays: int, wins: int, steep: int) -> None:
    up = 1 if wins > stays else -1
    for turn in (stays + up, (stays + wins) // 2, wins):
        looks = list[Decimal]()

        def gain(value: Decimal, turn: int = turn, looks: list[Decimal] = looks) -> int:
            looks.append(value)
            past = int(value - turn) * up
            return (past + 1) * steep if past >= 0 else past * steep // 3

        assert crossing(gain, Decimal(stays), Decimal(wins), ONE) == turn
        assert len(looks) <= 20


def test_every_third_plan_between_is_found() -> None:
    """Lines of which each is least in a stretch of its own; the first turn is that of the first two."""
    plans = [line(0, TEN * 10), line(300, TEN * 7), line(900, TEN * 4), line(2000, TEN)]
    solves = list[Decimal]()

    def second(value: Decimal, at_most: int) -> tuple[int, Decimal] | None:
        solves.append(value)
        best = min(plans, key=lambda plan: cents(plan, value))
        return best if cents(best, value) <= at_most else None

    sides = Sides(lambda _: plans[0], second, cents)
    found = sides.turn(Decimal(0), Decimal(100), ONE / 100, plans[3], plans[0])
    # 100 x = 300 + 70 x at 10; a cent more in the next hundredth that rounds up
    assert (found.other, found.exact) == (plans[1], True)
    assert abs(found.at - 10) <= Decimal("0.05")
    assert len(solves) <= 4


# shops -----------------------------------------------------------------------------------------------


@cache
def tiny() -> Facts:
    path = shipped("examples") / "tiny" / "shop.yaml"
    shop, _ = load_shop(path)
    assert shop is not None
    assert shop.catalog is not None
    catalog, _ = load_catalog(path.parent / shop.catalog)
    assert catalog is not None
    return Facts(shop, catalog)


def bench_of(facts: Facts) -> Bench:
    return Bench.over(facts, facts.shop.money.surplus)


@cache
def solved() -> tuple[Bench, tuple[Ranked, ...]]:
    bench = bench_of(tiny())
    return bench, tuple(best_plans(bench, 3))


@cache
def points() -> tuple[Turning, ...]:
    bench, ranked = solved()
    desk = Desk(bench, Clock(), known=list(ranked[1:]), best=ranked[0])
    asked = figures(tiny(), ranked[0], ranked[1:])
    return tuple(desk.turn(figure, BEST, Side(BEST, ranked[0])) for figure in asked)


@cache
def from_scratch(figure: Figure, value: Decimal) -> Ranked:
    """The optimum of the shop written anew with that value, without anything of the desk."""
    shop, catalog = tiny().written, tiny().catalog
    at = figure.of(value)
    tasks = [at.tasks[task.id] for task in catalog.tasks]
    changed = {
        "crews": list(at.crews),
        "tasks": tasks,
        "offers": at.catalog.offers,
        "kinds": list(at.kinds.values()),
    }
    shop = shop.model_copy(update={"money": at.shop.money})
    return best_plans(bench_of(Facts(shop, catalog.model_copy(update=changed))), 1)[0]


@pytest.mark.parametrize("place", range(8))
def test_turning_points_are_those_of_bisection_by_full_solves(place: int) -> None:
    """A turn is where a plan of another make is best: other kinds of ways, gear or hands, not other parts."""
    assert len(points()) == 8
    turning, (bench, ranked) = points()[place], solved()
    figure, desk = turning.figure, Desk(bench, Clock(), best=ranked[0])

    def stays(value: Decimal) -> bool:
        other = from_scratch(figure, value)
        tied = other.present_value_cents >= desk.cents(ranked[0], figure, value)
        return tied or same_make(other, ranked[0])

    for end in {figure.low, figure.high} - {figure.likely}:
        found = [point for point in turning.points if (point.at > figure.likely) == (end > figure.likely)]
        if not found:
            assert stays(end)
            continue
        assert not stays(found[0].at)
        near, far = figure.likely, end
        for _ in range(6):
            middle = (near + far) / 2
            near, far = (middle, far) if stays(middle) else (near, middle)
        wide = abs(far - near) + figure.step
        assert min(near, far) - wide <= found[0].at <= max(near, far) + wide


def test_at_a_turning_point_both_plans_cost_the_same_and_beyond_it_the_other_is_best() -> None:
    bench, ranked = solved()
    desk = Desk(bench, Clock(), best=ranked[0])
    found = [(turning.figure, point) for turning in points() for point in turning.points]
    assert {figure.name for figure, _ in found} >= {"hourly rate of electrician", "hours to run the cable"}
    for figure, point in found:
        before = point.at - figure.step if point.at > figure.likely else point.at + figure.step
        beyond = (point.at * 19 + (figure.high if point.at > figure.likely else figure.low)) / 20
        least = from_scratch(figure, before)
        assert same_make(least, ranked[0]) or least.present_value_cents + 1 >= desk.cents(
            ranked[0], figure, before
        )
        assert from_scratch(figure, point.at).present_value_cents == desk.cents(
            point.ranked, figure, point.at
        )
        assert not same_make(point.ranked, ranked[0])
        assert from_scratch(figure, beyond).present_value_cents < desk.cents(ranked[0], figure, beyond)


@pytest.mark.parametrize("times", ["0.3", "1.7"])
def test_a_bench_at_other_figures_solves_as_one_made_anew(times: str) -> None:
    """So does a search that begins from the last plan; held lines are the walk's."""
    bench, ranked = solved()
    desk, anew = Desk(bench, Clock(), best=ranked[0]), Anew(bench)
    for figure in figures(tiny(), ranked[0], ranked[1:]):
        value = figure.likely * Decimal(times) or Decimal(1)
        scratch = from_scratch(figure, value).present_value_cents
        assert best_plans(desk.at(figure, value), 1)[0].present_value_cents == scratch, figure.name
        again = anew.best(desk.at(figure, value), Clock())
        assert again is not None
        assert again.present_value_cents == scratch, figure.name
        assert anew.best(desk.at(figure, value), Clock(), at_most=scratch - 2) is None
        assert present_value(held_walk(desk.at(figure, value), again)) == scratch
        for plan in ranked:
            walked = present_value(held_walk(desk.at(figure, value), plan))
            assert desk.cents(plan, figure, value) == walked, figure.name
            if not figure.rough:
                assert desk.about_cents(plan, figure, value) == walked, figure.name


def test_with_a_least_charge_solving_again_finds_what_solving_anew_does() -> None:
    """At 0.5 an hour the least charge of 300.00 fills up what labor lacks; at 1.5 times the rate nothing is lacking."""
    facts = tiny()
    crews = [
        crew.model_copy(update={"minimum_cents": Decimal(30000)}) if crew.name == "electrician" else crew
        for crew in facts.crews
    ]
    shop = facts.written.model_copy(update={"crews": crews})
    bench = bench_of(Facts(shop, facts.catalog))
    best = best_plans(bench, 1)[0]
    anew = Anew(bench)
    assert anew.best(bench, Clock()) is not None
    desk = Desk(bench, Clock(), best=best)
    rates = [
        figure for figure in figures(bench.facts, best, ()) if figure.name.startswith(("hourly", "pace"))
    ]
    assert len(rates) == 2
    for figure in rates:
        for times in ("0.4", "1.5", "0.9", "2.5", "1.1"):
            value = figure.likely * Decimal(times)
            there = desk.at(figure, value)
            least = best_plans(there, 1)[0].present_value_cents
            found = anew.best(there, Clock(), at_most=least)
            assert found is not None
            assert found.present_value_cents == least
            assert anew.best(there, Clock(), at_most=least - 2) is None
            assert desk.cents(best, figure, value) == present_value(held_walk(there, best))


def grinder(cord_parts: str = "640.00", rate: Any = "90.00", crews: tuple[dict[str, Any], ...] = ()) -> Facts:
    """One grinder over 6 years at 4 %, quoted both ways; it moves at the end of year 3."""
    step = {"money": "130.00", "hours": "4 h"}
    again = {"money": "100.00", "hours": "3 h"}
    values: dict[str, Any] = {
        "shop": "one grinder (invented)",
        "invented": True,
        "today": "2026-11-02",
        "years": 6,
        "money": {"discount_rate": "4 %"},
        "crews": [
            {"name": "owner", "role": "owner", "rate": "20.00"},
            {"name": "electrician", "role": "electrician", "rate": rate, "call_out": "80.00"},
            *crews,
        ],
        "machines": [{"name": "grinder"}],
        "quoted_ways": [
            {"name": "drop", "method": "armored drop", "put_in": step, "move": again},
            {
                "name": "long cord",
                "method": "cord",
                "put_in": {"money": cord_parts, "hours": "1.5 h"},
                "move": {"own_hours": "0.5 h"},
            },
        ],
        "scenarios": [scenario({"year": 3, "machine": "grinder", "new_spot": True})],
    }
    return Facts(Shop.model_validate(values), make_catalog())


def with_least_charge(facts: Facts, minimum: int, **more: Any) -> Facts:
    """The same where the electrician's labor of a visit is charged at so much at least."""
    crews = [
        crew.model_copy(update={"minimum_cents": Decimal(minimum * 100)})
        if crew.name == "electrician"
        else crew
        for crew in facts.crews
    ]
    return Facts(facts.written.model_copy(update={"crews": crews} | more), facts.catalog)


def exact(facts: Facts) -> Comparison:
    return compare(facts, Wanted(plans=2, exact_turning=Ask()))


def turning_of(result: Comparison, figure: str, question: str) -> Turning:
    return next(
        found for found in result.turning if (found.figure.name, found.question) == (figure, question)
    )


def test_the_rate_of_a_hand_worked_grinder() -> None:
    """4 R + 210.00 + (3 R + 180.00) x 0.888996 = 1.5 R + 720.00 + 10.00 x 0.888996, so R = 69.45; fixed is cheaper below.

    With 0.888996 = 1.04 to the power of -3. Worked by hand: 4 x 90.00 + 210.00 + 450.00 x 0.888996 = 970.05 against 863.89.
    """
    result = exact(grinder())
    fixed, cords = (cell.present_value_cents for cell in result.pure)
    assert (fixed, cords) == (97005, 86389)
    for question in (BEST, "pure ways"):
        turning = turning_of(result, "hourly rate of electrician", question)
        assert [(round(point.at, 2), point.exact) for point in turning.points] == [(Decimal("69.45"), True)]
    said = " ".join(turning_text(result, 80).split())
    assert "pure ways: below 69 an hour fixed drops win" in said
    assert any("below 69 an hour (now 90, invented)" in said.words for said in turning_in_short(result))


def test_the_rate_at_which_a_later_visit_is_paid_up_to_its_least_charge() -> None:
    """Every visit at least 300.00: today's drop 4 R, its move 3 R below R = 100, the cord 1.5 R below R = 200.

    By hand: 4 R + 210.00 + (300.00 + 180.00) x 0.888996 = 300.00 + 720.00 + 10.00 x 0.888996, so R = 98.04; were the
    least charge for today alone, 4 R + 210.00 + (3 R + 180.00) x 0.888996 = 1,028.89, so R = 98.82.
    """
    result = exact(with_least_charge(grinder(), 300))
    fixed, cords = (cell.present_value_cents for cell in result.pure)
    assert (fixed, cords) == (99672, 102889)
    for question in (BEST, "pure ways"):
        turning = turning_of(result, "hourly rate of electrician", question)
        assert [(round(point.at, 2), point.exact) for point in turning.points] == [(Decimal("98.04"), True)]


@pytest.mark.parametrize("rule", ["one a year", "each move"])
def test_held_lines_are_the_walks_where_later_visits_are_paid_up(rule: str) -> None:
    facts = with_least_charge(tiny(), 700, hired_visits=VisitRule(rule))
    bench = bench_of(facts)
    ranked = best_plans(bench, 8)
    desk, short = Desk(bench, Clock(), best=ranked[0]), set()
    for figure in figures(facts, ranked[0], ranked[1:]):
        for times in ("0.2", "0.9", "1.3", "2.6"):
            value = min(figure.likely * Decimal(times), figure.high)
            for plan in ranked:
                walked = held_walk(desk.at(figure, value), plan)
                short |= {line.year for line in walked if line.kind is LineKind.MINIMUM}
                assert desk.cents(plan, figure, value) == present_value(walked), figure.name
                if not figure.rough:
                    assert desk.about_cents(plan, figure, value) == present_value(walked), figure.name
    assert short > {0}


def test_where_cords_win_at_any_rate_that_is_the_answer() -> None:
    """With parts of 330.00 the cord is 1.5 R + 410.00 today: 4 R + 210.00 is less below R = 80 only without the move.

    With it the drop is 4 R + 210.00 + (3 R + 180.00) x 0.888996 = 6.666988 R + 370.02 against 1.5 R + 418.89: R = 9.46.
    """
    turning = turning_of(exact(grinder("330.00")), "hourly rate of electrician", "pure ways")
    assert [round(point.at, 2) for point in turning.points] == [Decimal("9.46")]
    # at 130.00 the cord is less whatever the rate: 218.89 + 1.5 R
    result = exact(grinder("130.00"))
    turning = turning_of(result, "hourly rate of electrician", "pure ways")
    assert (turning.points, turning.looked) == ((), True)
    assert "none: cords win from 0 to 270 an hour" in " ".join(turning_text(result, 80).split())


@pytest.mark.parametrize(
    ("at", "now", "told"),
    [
        # 1.952 rounds up to 2, which is 2.5 % off; 1.96 is 0.4 %. Between 1.04 and 1.048 lie 0.8 %. Each by hand.
        ("1.952", "1.8", "1.96"),
        ("1.048", "1.8", "1.04"),
        ("11.62", "20", "11.6"),
        ("69.45", "90", "69"),
        ("9.46", "90", "9.4"),
        ("150", "100", "150"),
        ("0.01235", "0.05", "0.0123"),
        ("-2.314", "3", "-2.32"),
        ("0", "3", "0"),
    ],
)
def test_a_value_is_told_where_the_other_plan_wins_and_within_a_hundredth(
    at: str, now: str, told: str
) -> None:
    found = told_beyond(Decimal(at), Decimal(now), AWAY)
    assert found == Decimal(told)
    assert (found - Decimal(at)) * (Decimal(at) - Decimal(now)) >= 0


def test_hours_are_told_as_what_to_write_for_low_likely_and_high() -> None:
    """Mean (1 + 4 x 1.5 + 2) / 6 = 1.5: for 1.625 the likely figure is (6 x 1.625 - 3) / 4 = 1.6875, all three 8.3 % more.

    For 3 it would be 3.75, above the high figure of 2: only all three, twice as much.
    """
    _, ranked = solved()
    known = next(each for each in figures(tiny(), ranked[0], ranked[1:]) if each.three is not None)
    figure = replace(known, likely=Decimal("1.5"), high=Decimal(9), three=(ONE, Decimal("1.5"), Decimal(2)))
    assert (
        in_the_file(figure, Decimal("1.625"), whole=True)
        == "in the file all three 9 % more, or a likely figure of 1.7 between 1 and 2"
    )
    assert in_the_file(figure, Decimal("1.625"), whole=False) == "all three 9 % more"
    assert in_the_file(figure, Decimal(3), whole=True) == "all three 100 % more"


def test_figures_are_solved_in_the_order_of_what_knowing_them_is_worth() -> None:
    _, ranked = solved()
    asked = figures(tiny(), ranked[0], ranked[1:])
    worth = (FindingOut("discount rate", 500, 100), FindingOut("rate of electrician", 0, -9_000))
    first, second, *rest = by_worth(asked, worth)
    assert [first.name, second.name] == ["discount rate", "hourly rate of electrician"]
    assert [*rest] == [each for each in asked if each not in (first, second)]


def test_a_figure_is_worth_what_its_own_names_in_the_draws_say_and_not_what_begins_like_them() -> None:
    _, ranked = solved()
    one, two = (
        replace(each, drawn=frozenset({f"price of offer {row}"}))
        for each, row in zip(figures(tiny(), ranked[0], ranked[1:]), (1, 2), strict=False)
    )
    worth = (FindingOut("price of offer 12", 500, 100), FindingOut("price of offer 2", 10, 0))
    assert by_worth([one, two], worth) == [two, one]


def test_figures_of_copper_and_of_hours_have_the_names_that_are_drawn() -> None:
    _, ranked = solved()
    groups = Uncertain(tiny()).grouped(ranked[0].lines).worth
    known = {each.name: each for each in figures(tiny(), ranked[0], ranked[1:])}
    assert known[COPPER].drawn <= {mover.figure.along for group in groups for mover in group}
    hours = next(each for each in known.values() if each.three is not None)
    assert hours.drawn == {"hours of owner", "hours of hired electricians"}


def test_what_is_solved_anew_is_asked_by_two_names() -> None:
    assert ask_of(turning=False, between=None, map_of=None) is None
    assert ask_of(turning=True, between=None, map_of=None) == Ask()
    assert ask_of(turning=False, between="cords, ours", map_of=None) == Ask(("cords", "ours"))
    assert ask_of(turning=False, between=None, map_of=("a", "b")) == Ask(grid=("a", "b"))


@pytest.mark.parametrize("said", ["cords", "cords,cords", "a,b,c", ",cords"])
def test_one_name_or_three_end_with_the_mend(said: str) -> None:
    with pytest.raises(WrongUseError, match="give two different names"):
        ask_of(turning=False, between=said, map_of=None)


def test_data_say_what_was_solved_and_what_was_only_at_hand() -> None:
    result = exact(grinder())
    data = _turning(result)
    assert {entry["solved"] for entry in data} == {True}
    rate = next(entry for entry in data if entry["figure"] == "hourly rate of electrician")
    assert (rate["unit"], rate["now"], rate["from"], rate["to"]) == ("an hour", 90, 0, 270)
    at_hand = compare(grinder(), Wanted(plans=2))
    assert {entry["solved"] for entry in _turning(at_hand)} == {False}
    assert "among the plans at hand" in " ".join(turning_text(at_hand, 80).split())


def test_a_clock_that_is_up_leaves_figures_not_known_and_says_so() -> None:
    bench, ranked = solved()
    figure = figures(tiny(), ranked[0], ranked[1:])[0]
    late = Clock(1e-9)
    turning = Desk(bench, late).turn(figure, BEST, Side(BEST, ranked[0]))
    assert (turning.points, turning.looked) == ((), False)


def test_without_time_points_are_those_of_the_plans_at_hand() -> None:
    """By the sums of the grinder above, R = 69.45, which both plans held as they are give too; not called solved."""
    facts = grinder()
    result = compare(facts, Wanted(plans=2))
    fixed, cords = (cell.ranked for cell in result.pure)
    assert fixed is not None
    assert cords is not None
    rate = next(each for each in figures(facts, cords, [fixed]) if each.name.startswith("hourly rate"))
    desk = Desk(bench_of(facts), Clock(1e-9), known=[fixed], best=cords)
    one, other = Side("cords", cords), Side("fixed drops", fixed)
    for turning in (desk.turn(rate, BEST, one), desk.turn(rate, "pure ways", one, other)):
        told = [(round(point.at, 2), point.exact, point.held) for point in turning.points]
        assert (told, turning.looked) == ([(Decimal("69.45"), False, True)], False)
    shown = replace(result, turned=Turned((turning,)), moves=None)
    said = " ".join(turning_text(shown, 80).split())
    assert "below 69 an hour fixed drops win, both held as they are, which nothing proves; not all of" in said
    best = desk.turn(rate, BEST, one)
    assert turning_in_short(replace(shown, turned=Turned((best,)))) == []


ANOTHER = {"name": "another", "role": "electrician", "rate": "95.00", "call_out": "80.00"}


def test_plans_at_hand_have_the_same_by_other_hands_as_rivals() -> None:
    """Another crew of the same call-out and pace asks 95.00 an hour: whoever asks more than that is not hired."""
    result = compare(grinder(crews=(ANOTHER,)), Wanted(plans=2))
    rate = turning_of(result, "hourly rate of electrician", BEST)
    (above,) = (point for point in rate.points if point.at > 90)
    assert (above.ranked.plan.hiring.name, round(above.at, 1)) == ("another", 95)
    assert "above 95.1 an hour plan 1 by another is cheaper" in " ".join(turning_text(result, 80).split())


def test_hands_that_are_not_hired_turn_the_answer_where_they_get_cheaper() -> None:
    """By hand: of the same call-out, they are hired below the 90.00 of those who are, or at 95 / 90 of their pace."""
    result = exact(grinder(crews=(ANOTHER,)))
    rate, pace = (turning_of(result, f"{word} of another", BEST).points for word in ("hourly rate", "pace"))
    assert [(point.at < 90, round(point.at, 1), point.exact) for point in rate] == [(True, 90, True)]
    assert [(round(point.at, 3), point.exact) for point in pace] == [(Decimal("1.056"), True)]
    assert {point.ranked.plan.hiring.name for point in (*rate, *pace)} == {"another"}


THIRD = ANOTHER | {"name": "third", "rate": "93.00"}


@pytest.mark.parametrize(
    ("solves", "told"),
    [
        (0, []),
        (1, [(Decimal("95.0"), "third", False)]),
        (2, [(Decimal("93.0"), "third", True)]),
    ],
)
def test_a_turn_is_told_where_solving_reached_it(solves: int, told: list[tuple[Decimal, str, bool]]) -> None:
    """At 95.00 another crew is at hand, where solving finds a third, which is hired from 93.00 on."""
    facts = grinder(crews=(ANOTHER, THIRD))
    bench = bench_of(facts)
    best = best_plans(bench, 1)[0]
    known = [other for other in by_other_hands(bench, [best]) if other.plan.hiring.name == "another"]
    desk = Desk(bench, Clock(), known=known, best=best, solves=solves)
    rate = next(each for each in figures(facts, best, known) if each.name == "hourly rate of electrician")
    turning = at_hand.turning_at_hand(desk, rate, best)
    (held,) = (point for point in turning.points if point.at > 90)
    assert (held.held, round(held.at, 1)) == (True, 95)
    found = at_hand._solved_nearer(desk, replace(turning, points=(held,)), best)
    assert [(round(p.at, 1), p.ranked.plan.hiring.name, p.exact) for p in found] == told


def test_who_knows_a_rate_may_hire_somebody_else() -> None:
    """By hand from the triangle of 60, 90, 120 against 95 at 1.5 hours today: beyond 95 one saves 1.5 (R - 95).

    E max(R - 95, 0) = 25^3 / (6 x 30 x 30) = 2.8935, so knowing it is worth 4.34; with one crew alone less than 0.10.
    """

    def known(*crews: dict[str, Any]) -> FindingOut:
        facts = grinder("1.00", [60, 90, 120], crews)
        money = facts.written.money.model_copy(update={"distribution": Distribution.TRIANGULAR})
        shop = facts.written.model_copy(update={"money": money})
        found = compare(
            Facts(shop, facts.catalog), Wanted(plans=1, settings=Settings(1, 40_000))
        ).sureness.finding_out
        return next(one for one in found if one.figure == "rate of electrician")

    assert known(ANOTHER).worth_cents == pytest.approx(434, rel=0.04)
    assert known(ANOTHER).swing_cents == 0
    assert known().worth_cents < 10


def test_a_rate_reckoned_from_another_crews_goes_half_with_that() -> None:
    """Normal deviates that share half of their variance: a correlation of ranks of 6 / pi x asin(root of 0.5 / 2) = 0.690."""
    pair = ANOTHER | {"name": "pair", "rate": [90, 95, 100], "rate_from": "electrician"}
    facts = grinder(rate=[60, 90, 120], crews=(pair,))
    bench = bench_of(facts)
    best = best_plans(bench, 1)
    drawn = sampled(
        [Drawable(facts, plan) for plan in (*best, *by_other_hands(bench, best))], Settings(1, 40_000)
    )
    ranks = [drawn.ranks[rate_of(crew)] for crew in facts.crews if crew.role is Role.ELECTRICIAN]
    assert stats.spearmanr(*ranks).statistic == pytest.approx(0.690, abs=0.01)


def test_what_moves_with_what_it_is_now_is_told_in_percent() -> None:
    _, ranked = solved()
    copper = next(figure for figure in figures(tiny(), ranked[0], ranked[1:]) if figure.unit == PERCENT)
    at = copper.of(Decimal(150))
    changed = [
        (one.price_cents, other.price_cents)
        for one, other in zip(tiny().catalog.offers, at.catalog.offers, strict=True)
        if one.price_cents != other.price_cents
    ]
    assert changed
    assert all(
        other == now * Decimal("1.5") for now, other in changed if now is not None and other is not None
    )


def test_what_finding_out_is_worth_is_told_first_on_the_screen_and_in_a_table() -> None:
    result = compare(grinder(), Wanted(plans=2))
    found = FindingOut("hours of electrician", 12_300, 5_000)
    told = replace(result, sureness=replace(result.sureness, finding_out=(found,), all_known_cents=20_000))
    assert ask_first(told) == "Ask first: hours of electrician (worth about USD 120)."
    assert "All at once: 200.00" in " ".join(finding_text(told, 80).split())
    small = replace(told, sureness=replace(told.sureness, finding_out=(replace(found, worth_cents=99),)))
    assert ask_first(small) == "Of prices, hours and rates ask none first: no answer saves USD 1 on average."
