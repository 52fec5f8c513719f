"""The best mix where time ran out: never dearer than a plan of the same ways that turned up in another row."""

from dataclasses import replace

from shipped_shops import facts_of

from costplan.ledger.holding import held_survey
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.studies.rows import Cell, or_cheaper


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
