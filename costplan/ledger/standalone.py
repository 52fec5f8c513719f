"""A way on its own: nothing from stock, nothing that others use again."""

from collections.abc import Iterator, Mapping

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, StockNeed
from costplan.ledger.aging import begun, follow, inner_uses
from costplan.ledger.options import Option
from costplan.ledger.pricing import Pricer, When
from costplan.ledger.serving import comes_out
from costplan.years.calendar import weights_of
from costplan.years.stream import Stream, Use


def standalone(facts: Facts, stream: Stream) -> Iterator[tuple[str, int, Bundle]]:
    """Every bundle of one machine with its scenario (empty today) and year."""
    for deed in stream.deeds:
        yield deed.scenario, deed.date[0], deed.bundle
    for given in stream.given:
        yield given.scenario, given.date[0], given.left.unused
    for use in stream.uses:
        if not use.present:
            for bundle in _bought(use.thing, begun(facts, use)[1]):
                yield use.scenario, use.since[0], bundle
        for inner in inner_uses(use):
            yield from _followed(facts, inner, stream.wiring_out)
        yield from _followed(facts, use, stream.wiring_out)


def _followed(
    facts: Facts, use: Use, wiring_out: Mapping[str, int | None]
) -> Iterator[tuple[str, int, Bundle]]:
    """What replacing a new thing's wear takes, and what leaving it unused takes when its use ends."""
    wear = begun(facts, use)
    yield from ((out.scenario, out.year, out.bundle) for out in use.taken_out)
    for scenario, _ in use.ends:
        renewals, freed = follow(use, scenario, *wear, facts.shop.years)
        for year, bundle in renewals:
            yield scenario, year, bundle
        for date, left in freed:
            yield scenario if date[0] else "", date[0], left.unused
            out = wiring_out[scenario]
            if out is not None and comes_out(facts.shop, left):
                yield scenario, out, left.taken_out


def standalone_cents(pricer: Pricer, option: Option) -> int:
    """Present value of one machine by one way, without visits and orders, at forecast prices: an approximation.

    Parts that nobody has a price for are left out, so it is the least that the way costs then.
    """
    weights = weights_of(pricer.facts.shop)
    cents = 0
    for scenario, year, bundle in standalone(pricer.facts, option.stream):
        when = When.of(weights, scenario, year)
        cents += pricer.effort_cost(bundle, when).worth_cents
        for need in bundle.needs:
            if pricer.market.forecast(need) is not None:
                cents += pricer.part_worth_cents(need, when)
    return cents * option.count


def _bought(thing: StockNeed, lives: tuple[int, ...]) -> Iterator[Bundle]:
    yield thing.bought_with(lives)
    for inner in thing.inner:
        yield inner.bought
