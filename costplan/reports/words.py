"""The sentences a person wants: which way, by how much, and what would turn it."""

from collections import defaultdict

from costplan.circuits.ways import Way
from costplan.model.money import format_cents
from costplan.plans.comparison import Comparison
from costplan.plans.ranking import Ranked

SIZING_CAUTION = (
    "Sizing here picks parts for pricing and is no design: the local code and a licensed electrician decide."
)


def title(ranked: Ranked) -> str:
    """A plan in one line: machines by kind of way, the most common way first."""
    groups: dict[str, list[str]] = defaultdict(list)
    for machine, way, count in ranked.plan.shares():
        several = sum(ranked.plan.ways[machine].values()) > 1
        groups[way.group].append(f"{count} x {machine}" if several else machine)
    ordered = sorted(groups.items(), key=lambda entry: (-len(entry[1]), entry[0]))
    words = [f"{group}: {', '.join(machines)}" for group, machines in ordered]
    if ranked.plan.gear_names:
        words.append(f"with {', '.join(sorted(ranked.plan.gear_names))}")
    return "; ".join(words)


def difference(ranked: Ranked, best: Ranked) -> str:
    """How a plan differs from the best one, machine by machine."""
    known = dict(best.plan.signature)
    changes = [
        f"{machine} by {_short(way)}"
        for machine, way, _ in ranked.plan.shares()
        if way.signature not in known[machine]
    ]
    added = ranked.plan.gear_names - best.plan.gear_names
    spared = best.plan.gear_names - ranked.plan.gear_names
    changes += [f"with {name}" for name in sorted(added)] + [f"without {name}" for name in sorted(spared)]
    return ", ".join(changes) or "the same ways"


def _short(way: Way) -> str:
    return f"{way.group} from {way.panel}" if way.panel else way.group


def verdict(comparison: Comparison) -> str:
    """The first sentence of the report."""
    currency, years = comparison.facts.shop.currency, comparison.facts.shop.years
    fixed, cords = comparison.pure_totals
    best = comparison.best.present_value_cents
    words = f"Over {years} years the best mix costs {currency} {format_cents(best)} in today's money"
    if fixed is None or cords is None:
        return words + "."
    winner = "cords" if cords < fixed else "fixed drops"
    gap = format_cents(abs(fixed - cords))
    if fixed == cords:
        return f"{words}; fixed drops and cords everywhere cost the same."
    return f"{words}; of the two pure ways {winner} win by {currency} {gap}."


def tie(comparison: Comparison) -> str:
    """What to decide on when the first two plans are too close to call; empty when they are not."""
    if not comparison.too_close or comparison.spread_cents is None:
        return ""
    first, second = comparison.plans[:2]
    gap = format_cents(second.present_value_cents - first.present_value_cents)
    spread = format_cents(comparison.spread_cents)
    return (
        f"Plans 1 and 2 are too close to call: {gap} apart, with hours and prices uncertain by about {spread}. "
        f"Decide on today's outlay ({format_cents(first.outlay_cents)} or {format_cents(second.outlay_cents)}), "
        "your own hours, or what the inspector prefers."
    )
