"""One program at other prices or by another rule: only what turns on these is made anew."""

from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.ledger.crews import hirings
from costplan.ledger.on_offer import priced, priced_anew
from costplan.ledger.pricing import Pricer
from costplan.model.catalog import Offer
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench, Built
from costplan.program.clock import Clock
from costplan.sourcing.market import Market
from costplan.years.calendar import scenarios_of, weights_of


def repriced(bench: Bench, facts: Facts | None = None, rule: SurplusRule | None = None) -> Bench:
    """The bench of the same shop at other prices, or by another rule for rejects or sourcing.

    facts: `Facts.at_prices` of the bench's, or the same with another `money.rejects`. The survey stays where the same
    can be bought, and then the program does but for today's purchase and for what later purchases cost. What is held
    stays so, but where a price that becomes known changes how machines can be powered.
    """
    facts, known = facts or bench.facts, bench.pricers[0].market
    rule = rule or known.rule
    if facts.sold != bench.facts.sold:
        return Bench.over(facts, rule, [pricer.hiring for pricer in bench.pricers])
    market = known.repriced(facts, rule)
    found = bench.priced_survey
    # Both are sets: all offers of before and more, or others.
    if market.rows > known.rows:
        found = priced_anew(found, bench.whole_survey, market)
    elif market.rows != known.rows:
        found = priced(
            replace(found, gear=bench.whole_survey.gear, gear_out=bench.whole_survey.gear_out), market
        )
    built = Built(bench.built.for_others) if found == bench.priced_survey else Built()
    pricers = tuple(pricer.repriced(market) for pricer in bench.pricers)
    return Bench(facts, pricers, found, bench.whole_survey, built)


def recosted(bench: Bench, facts: Facts) -> Bench:
    """The bench of the same shop with other figures of any kind that circuits do not look at; its frame is built once.

    facts: those of the bench, with another `shop`, `kinds`, `crews` or `tasks`, or `Facts.at_prices` with the same sold.
    Who may be hired is asked anew.
    """
    known, frame = bench.pricers[0].market, bench.frame(Clock()).weighted(weights_of(facts.shop))
    alike = _buys_alike(bench.facts, facts)
    if alike:
        market = known.of_alike(facts)
    else:
        same = _resells_alike(bench.facts, facts)
        market = known.repriced(facts, known.rule) if same else Market(facts, known.rule)
    built = Built(alike=frame, frame=replace(frame, facts=facts) if alike else None)
    survey = replace(bench.priced_survey, scenarios=scenarios_of(facts.shop))
    firsts = bench.pricers if _works_alike(bench.facts, facts) else ()
    pricers = tuple(Pricer.among(firsts, facts, market, hiring) for hiring in hirings(facts))
    return Bench(facts, pricers, survey, bench.whole_survey, built)


def _buys_alike(one: Facts, other: Facts) -> bool:
    """Whether the same parts cost the same, today and later, with all that looking at them and reselling them brings."""
    return one.catalog is other.catalog and _resells_alike(one, other)


def _resells_alike(one: Facts, other: Facts) -> bool:
    """Whether what costs the same brings the same looking at it and reselling."""
    return one.kinds is other.kinds and (one.owner, one.shop.money) == (other.owner, other.shop.money)


def _works_alike(one: Facts, other: Facts) -> bool:
    """Whether the same work costs the same by the same hands."""
    mine, its = ((facts.owner, facts.shop.money, facts.tasks) for facts in (one, other))
    return mine == its


def only_parts_differ(one: Facts, other: Facts) -> bool:
    """Whether nothing is another but what parts cost and which share of them fails; False where that is not known."""
    return one.shop is other.shop and one.crews is other.crews and one.tasks is other.tasks


def could_take(bench: Bench, offer: Offer) -> bool:
    """Whether the cheapest plan of a `repriced` bench may buy the offer, today or later.

    Also so where a price lets machines be powered in other ways than those of the first bench.
    """
    alike = bench.built.alike
    return alike is None or alike.could_take(bench.pricers[0].market, offer)
