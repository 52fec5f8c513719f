"""How sure the answer is, in words, and as tables."""

from costplan.model.choices import PURE_WAYS
from costplan.model.money import format_cents
from costplan.reports.rounded import in_steps, stepped
from costplan.reports.tables import filled, fitted
from costplan.studies.comparison import Comparison
from costplan.studies.strategies import barred
from costplan.studies.sureness import Drawn, Range, Ranges

LEAST, ALMOST = 0.01, 0.99
"""Shares of the draws beyond which no whole percent is said, since it would be none or all of them."""
LOPSIDED = 0.2
"""By how much more a range may reach to one side than to the other, in halves of it, and still be written as one half."""


def in_draws(share: float) -> str:
    """A share of the draws in words; never all or none of them where it is not."""
    if share in (0, 1):
        return "every draw" if share else "no draw"
    return f"{_percent(share)} of draws"


def _percent(share: float) -> str:
    if share in (0, 1):
        return "all" if share else "none"
    if not LEAST <= share <= ALMOST:
        return "under 1 %" if share < LEAST else "over 99 %"
    return f"{round(share * 100)} %"


def give_or_take(found: Ranges | None, cents: int, spread_cents: int, *, cash: bool = False) -> str:
    """The range of a total or of today's cash of so many cents, as it stands behind it; empty where nothing is uncertain.

    Half its width where it reaches about as far below as above, else its ends.
    """
    if found is None:
        return ""
    ends = found.cash_today if cash else found.total
    if not ends.half_cents:
        return ""
    if abs(ends.high_cents + ends.low_cents - 2 * cents) <= LOPSIDED * ends.half_cents:
        return f" ±{in_steps(ends.half_cents, spread_cents)}"
    return f" ({in_steps(ends.low_cents, spread_cents)}-{in_steps(ends.high_cents, spread_cents)})"


def sure_words(comparison: Comparison) -> list[str]:
    """How often the winners of the plans, of the pure ways and of the strategies were the cheapest of their like."""
    sureness, said = comparison.sureness, []
    plans, strategies = sureness.plans, sureness.strategies
    if len(plans) > 1:
        words = f"plan 1 was the cheapest of {len(plans)} in {in_draws(plans[0].cheapest)}"
        if plans[0].regret_cents and plans[0].cheapest < 1:
            above = in_steps(plans[0].regret_cents, 10 * plans[0].regret_cents)
            words += f", on average {above} above whichever was"
        leader = _leader(comparison)
        if leader != 1:
            words += f", plan {leader} most often, in {in_draws(plans[leader - 1].cheapest)}"
        said.append(words)
    if (first := _pure_winner(comparison)) is not None:
        share = sureness.pure[first].cheapest
        said.append(f"{PURE_WAYS[first]} were cheaper than {PURE_WAYS[1 - first]} in {in_draws(share)}")
    if ends := _ends_of_total(comparison):
        low, median, high = ends
        said.append(f"the total of plan 1 is {low} to {high} in 8 of 10 draws, its median {median}")
    if len(strategies) > 1:
        name, best = next(iter(strategies.items()))
        said.append(f'"{name}" was the cheapest of {len(strategies)} strategies in {in_draws(best.cheapest)}')
    return said


def _leader(comparison: Comparison) -> int:
    """The place of the plan that was the cheapest most often, the first of equals."""
    chances = [plan.cheapest for plan in comparison.sureness.plans]
    return chances.index(max(chances)) + 1


def _ends_of_total(comparison: Comparison) -> tuple[str, str, str] | None:
    """Between which figures the total of plan 1 is in 8 of 10 draws, its median in the middle; None where it is certain."""
    first = comparison.sureness.plans[0]
    if not first.total.half_cents:
        return None
    low, median, high = (
        in_steps(cents, first.spread_cents)
        for cents in (first.total.low_cents, first.total.median_cents, first.total.high_cents)
    )
    return low, median, high


def sure_in_short(comparison: Comparison) -> list[str]:
    """The same without the strategies, shorter and shorter: in two rows with the range of the total, then in one row."""
    plans, winner, ends = comparison.sureness.plans, _pure_winner(comparison), _ends_of_total(comparison)
    long, short = list[str](), list[tuple[str, float]]()
    if len(plans) > 1:
        leader, first = _leader(comparison), plans[0].cheapest
        most = plans[leader - 1].cheapest
        other = f" (plan {leader} in {_percent(most)})" if leader != 1 else ""
        long.append(f"plan 1 cheapest in {_percent(first)}{other}")
        short += [(f"plan {leader} leads", most), *([("plan 1", first)] if leader != 1 else [])]
    if winner is not None:
        share = comparison.sureness.pure[winner].cheapest
        long.append(f"{PURE_WAYS[winner]} below {PURE_WAYS[1 - winner]} in {_percent(share)}")
        short.append((PURE_WAYS[winner], share))
    if not long:
        return []
    draws = f"of {comparison.sureness.settings.draws:,} draws"
    begun = [f"{what} in {_percent(share)}" for what, share in short]
    what, share = short[-1]
    longer, shorter = f"{', '.join(long)} {draws}", ", ".join([*begun[:-1], f"{what} in {in_draws(share)}"])
    if ends is None:
        return [longer, shorter]
    low, median, high = ends
    return [
        f"{longer}; plan 1 takes {low} to {high} in 8 of 10, median {median}",
        f"{', '.join(begun)} {draws}; median {median}",
        f"{shorter}; median {median}",
        longer,
        shorter,
    ]


def _pure_winner(comparison: Comparison) -> int | None:
    """Which of the two pure ways has the lower total, by its place."""
    if not comparison.sureness.pure or comparison.pure_plans is None:
        return None
    fixed, cords = (plan.present_value_cents for plan in comparison.pure_plans)
    return 0 if fixed <= cords else 1


def contingency_words(comparison: Comparison, rank: int, without: str = "") -> str:
    """What covers today's cash of a plan in nine of ten draws, and how much more than it that is; empty where it is certain.

    without: what is not in it, said in place of what covers.
    """
    cash, drawn = comparison.plans[rank - 1].outlay_cents, comparison.sureness.plans[rank - 1]
    spread = comparison.sureness.plans[0].spread_cents
    whole = stepped(cash + drawn.contingency_cents(cash), spread)
    more = whole - stepped(cash, spread)
    if more <= 0:
        return ""
    besides = f" without {without}" if without else f"; {in_steps(whole, spread)} covers 9 of 10"
    return f"Contingency: {in_steps(more, spread)}{besides}."


def _all_drawn(comparison: Comparison) -> list[tuple[str, Drawn, int]]:
    """Everything that was drawn, by name, with its reckoned cash today."""
    sureness = comparison.sureness
    rows = [
        (f"plan {place}", drawn, comparison.plans[place - 1].outlay_cents)
        for place, drawn in enumerate(sureness.plans, 1)
    ]
    pure = zip(PURE_WAYS, sureness.pure, comparison.pure_plans or (), strict=False)
    rows += [(name, drawn, plan.outlay_cents) for name, drawn, plan in pure]
    plans = dict((*comparison.ranked_strategies, *barred(comparison.strategies, comparison.column)))
    rows += [(f'"{name}"', drawn, plans[name].outlay_cents) for name, drawn in sureness.strategies.items()]
    return rows + [
        (f'"{name}" (unranked)', drawn, plans[name].outlay_cents) for name, drawn in sureness.unranked.items()
    ]


def sureness_text(comparison: Comparison, width: int) -> str:
    """Ranges, chances, regret and contingency of everything that was drawn; empty where nothing was."""
    drawn = _all_drawn(comparison)
    if not drawn:
        return ""
    settings, shape = comparison.sureness.settings, comparison.facts.shop.money.distribution
    head = (
        f"How sure it is: {settings.draws:,} draws of prices, hours and rates ({shape}, seed {settings.seed})"
    )
    totals = [
        [
            name,
            *_ends(found.total),
            format_cents(found.worst_cents),
        ]
        for name, found, _ in drawn
    ]
    refused = [f'"{name}" (unranked)' for name in comparison.sureness.unranked]
    chances = [
        [
            name,
            *(["-", "-"] if name in refused else [f"{found.cheapest:.1%}", format_cents(found.regret_cents)]),
            f"{found.cheapest_of_all:.1%}",
            format_cents(found.regret_of_all_cents),
        ]
        for name, found, _ in drawn
    ]
    cash = [
        [name, format_cents(likely), *_ends(found.cash_today), format_cents(found.contingency_cents(likely))]
        for name, found, likely in drawn
    ]
    told = (
        "A tenth of the draws is below P10 and a tenth above P90. Of its like: in how many draws the cheapest of the plans, "
        "of the two pure ways or of the strategies; of all: of all of these together, two names of one plan counted once; "
        "regret: how much on average above the cheapest of them; contingency: what covers today's cash in nine draws of ten."
    )
    said = [f"{words[:1].upper()}{words[1:]}." for words in sure_words(comparison)]
    return "\n".join(
        [
            filled(head, width),
            _numbers(["total", "P10", "P50", "P90", "worst"], totals, width),
            _numbers(["cheapest", "of its like", "regret", "of all", "regret"], chances, width),
            _numbers(["cash today", "reckoned", "P10", "P50", "P90", "contingency"], cash, width),
            *(filled(line, width) for line in (told, *said)),
        ]
    )


def _numbers(headers: list[str], rows: list[list[str]], width: int) -> str:
    return fitted(headers, rows, set(range(1, len(headers))), width)


def _ends(found: Range) -> list[str]:
    return [format_cents(cents) for cents in (found.low_cents, found.median_cents, found.high_cents)]
