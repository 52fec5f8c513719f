"""What is said beside a comparison: what was assumed for lack of an answer, and what its prices leave open."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.run_parts import CABLE_KIND
from costplan.circuits.size_types import Wiring
from costplan.ledger.holding import written
from costplan.ledger.lines import Pocket
from costplan.model.choices import Method
from costplan.model.money import format_cents, to_cents
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.studies.drops import drop_notes
from costplan.studies.hinges import (
    assumed_of_the_next_building,
    turns_on_capped_runs,
    turns_on_marks,
)
from costplan.studies.layouts import dropped_words
from costplan.studies.protection_cost import unknown_words


def warnings(bench: Bench, ranked: Sequence[Ranked]) -> list[str]:
    """What to know about the best plan of a comparison, or of those that are `ranked`, besides its figures."""
    facts, best, words = bench.facts, ranked[0], list[str]()
    words += drop_notes(bench, best)
    words += dropped_words(facts.shop)
    words += unknown_words(facts, best)
    words += turns_on_marks(facts, ranked)
    words += turns_on_capped_runs(facts, best)
    words += assumed_of_the_next_building(facts, best)
    words += _quotes_passed_over(facts, best)
    words += _unknown_cable(facts, best)
    if not facts.shop.money.shop_hour_cents:
        words.append("lost shop time is counted as nothing (money.shop_hour is 0)")
    words += [
        f"{kind} bought used because you allow it, though the catalog says new"
        for kind in facts.shop.may_be_used
    ]
    if any(line.pocket is Pocket.ALLOWANCE for line in best.lines):
        words.append(
            "used parts that turn out bad are counted by their average; in a small lot all or none may fail"
        )
    if not best.proven:
        gap = Decimal(best.present_value_cents - best.bound_cents) / 100
        words.append(f"time ran out: no plan can be more than {gap:,.2f} cheaper than the best shown")
    return words


def _quotes_passed_over(facts: Facts, best: Ranked) -> Iterator[str]:
    """That quotes for money are left for an estimate from invented prices, which no owner should turn them down for."""
    if not (facts.shop.invented == "prices" or (facts.catalog.invented and not facts.shop.invented)):
        return
    taken = {way.quoted for _, way, _ in best.plan.shares()}
    priced = dict.fromkeys(written(facts, name) for name, way, _ in best.plan.shares() if not way.quoted)
    for quote in facts.written.quoted_ways:
        names = [name for name in priced if quote.machines is None or name in quote.machines]
        if quote.name not in taken and not quote.there_today and names:
            money = format_cents(to_cents(quote.put_in.money_cents))
            yield (
                f'your quote "{quote.name}" ({money}) is passed over for an estimate from '
                f"invented prices ({', '.join(names)}): put in your own before you turn it down"
            )


def _unknown_cable(facts: Facts, best: Ranked) -> Iterator[str]:
    """That the plan lays cable outside dwellings of which the catalog does not say whether it is nonmetallic."""
    kind = facts.kinds.get(CABLE_KIND[Wiring.CABLE])
    if kind is None or kind.nonmetallic is not None:
        return
    names = dict.fromkeys(
        written(facts, name)
        for name, way, _ in best.plan.made_here()
        if way.method is Method.WALL
        if not facts.space_at(facts.machines[name].at).occupancy.dwelling
    )
    if names:
        yield (
            f"the catalog does not say whether its {kind.kind} is nonmetallic: outside dwellings few walls may hold such "
            f"cable (NEC 334.10); ask for {', '.join(names)}, and write nonmetallic: at its kind"
        )
