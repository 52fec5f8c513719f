"""What does not turn on the market is built once for a survey, and is what would be built for each market alone."""

from shipped_shops import tiny

from costplan.circuits.facts import Facts
from costplan.ledger.options import survey
from costplan.model.choices import RejectRule, SurplusRule
from costplan.program.bench import Bench
from costplan.program.clock import Clock


def whole_spares(facts: Facts) -> Facts:
    """The same shop by the other rule for surplus that fails, which only money knows of."""
    money = facts.written.money.model_copy(update={"rejects": RejectRule.WHOLE_SPARES})
    return Facts(facts.written.model_copy(update={"money": money}), facts.catalog)


def programs(bench: Bench) -> list[tuple[object, ...]]:
    """Every program of a bench: variables, rows, costs."""
    found = [bench.choice(pricer).program for pricer in bench.pricers]
    return [(known.variables, known.rows, known.cost, known.fixed_cost) for known in found]


def test_rules_share_what_does_not_turn_on_them() -> None:
    facts = tiny()
    asked = [
        (facts, SurplusRule.ALLOWED),
        (facts, SurplusRule.NEW_ONLY),
        (whole_spares(facts), SurplusRule.ALLOWED),
    ]
    seen = survey(facts)
    shared = [Bench.over(known, rule, whole_survey=seen) for known, rule in asked]
    alone = [Bench.over(known, rule) for known, rule in asked]
    assert list(map(programs, shared)) == list(map(programs, alone))
    assert len({id(bench.frame(Clock()).body) for bench in shared}) == 1


def test_another_shop_or_catalog_has_its_own() -> None:
    facts, seen = tiny(), survey(tiny())
    first = Bench.over(facts, SurplusRule.ALLOWED, whole_survey=seen)
    longer = Facts(facts.written.model_copy(update={"years": facts.written.years + 1}), facts.catalog)
    fewer = facts.catalog.model_copy(update={"offers": facts.catalog.offers[:]})
    others = [
        Bench.over(longer, SurplusRule.ALLOWED, whole_survey=seen),
        Bench.over(Facts(facts.written, fewer), SurplusRule.ALLOWED, whole_survey=seen),
    ]
    programs(first)
    for other in others:
        programs(other)
        assert other.frame(Clock()).body is not first.frame(Clock()).body
