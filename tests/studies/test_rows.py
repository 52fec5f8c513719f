"""The best mix where time ran out: never dearer than a plan of the same ways that turned up in another row."""

from dataclasses import replace

from shipped_shops import facts_of

from costplan.ledger.holding import held_survey
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.studies.gaps import Gap
from costplan.studies.rows import Cell, or_cheaper, with_new_parts


def found() -> tuple[Bench, Ranked, Ranked]:
    """The smallest example, its best plan, and another that was found instead, not proven."""
    facts = facts_of("tiny")
    bench = Bench.over(facts, facts.shop.money.surplus)
    best, second = best_plans(bench, 2)
    return bench, best, replace(second, bound_cents=best.present_value_cents - 100)


def test_a_cheaper_plan_of_another_row_is_the_best_with_the_bound_of_the_search() -> None:
    bench, best, late = found()
    taken = or_cheaper(bench, late, [Cell(None, ()), Cell(late, ()), Cell(best, ())])
    assert taken.plan == best.plan
    assert taken.bound_cents == best.present_value_cents - 100
    assert not taken.proven


def test_a_cheaper_plan_of_ways_that_may_not_be_had_is_no_best() -> None:
    bench, best, late = found()
    other = next(machine for machine in late.plan.ways if late.plan.ways[machine] != best.plan.ways[machine])
    (way,) = late.plan.ways[other]
    held = replace(bench, priced_survey=held_survey(bench.priced_survey, {other: way.group}))
    assert or_cheaper(held, late, [Cell(best, ())]) is late


def test_a_proven_plan_stays() -> None:
    bench, best, _ = found()
    assert or_cheaper(bench, best, [Cell(best, ())]) is best


def test_where_time_ran_out_a_plan_of_new_parts_stands_among_used_ones_not_proven() -> None:
    """A plan that buys new parts alone may be made where used ones are allowed, too; a proven cell and a gap stay."""
    facts = facts_of("demo")
    both, new = (Bench.over(facts, rule) for rule in (SurplusRule.ALLOWED, SurplusRule.NEW_ONLY))
    proven, of_new = (Cell(best_plans(bench, 1)[0], ()) for bench in (both, new))
    assert proven.ranked is not None
    assert of_new.ranked is not None
    assert proven.ranked.present_value_cents < of_new.ranked.present_value_cents
    nothing, lacking = Cell(None, (), "time is up"), Cell(None, (), "no price", (Gap("saw", "a price"),))
    for kept in (proven, lacking):
        assert with_new_parts(both, kept, of_new) is kept
    assert with_new_parts(both, nothing, Cell(None, (), "time is up")) is nothing
    stands = with_new_parts(both, nothing, of_new).ranked
    assert stands is not None
    assert stands.plan.bought == of_new.ranked.plan.bought
    # Later purchases may be used ones there.
    assert proven.ranked.present_value_cents <= stands.present_value_cents
    assert stands.present_value_cents <= of_new.ranked.present_value_cents
    assert not stands.proven
    open_ = replace(proven.ranked, bound_cents=proven.ranked.bound_cents - 1)
    kept_cell = with_new_parts(both, Cell(open_, ()), of_new)
    assert kept_cell.ranked is open_
