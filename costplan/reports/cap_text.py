"""The cap on today's outlay: what is left under it, how often it is exceeded, and what it costs; printed and as data."""

from decimal import Decimal
from typing import Any

from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.sure import in_draws
from costplan.studies.comparison import Comparison
from costplan.studies.yearly import next_year_cash_cents


def cap_lines(comparison: Comparison) -> list[str]:
    """What plan 1 leaves under the cap, how sure that is, what the next year needs, what the cap costs; nothing without one."""
    cap = comparison.facts.shop.money.outlay_cap_cents
    if cap is None:
        return []
    best = comparison.best
    left, needed = int(cap) - best.outlay_cents, next_year_cash_cents(comparison.facts, best)
    return [
        f"Under the cap of {format_cents(int(cap))} plan 1 leaves {format_cents(left)}; year 1 needs "
        f"{format_cents(needed)} of cash, not discounted. What is left does not carry over.",
        *_over_cap(comparison),
        cap_costs(comparison)
        or f"The cap costs nothing: no plan without it is cheaper{_proof(comparison.without_cap)}."
        if comparison.without_cap is not None
        else "What the cap costs was not found in time (--time-limit).",
    ]


def _over_cap(comparison: Comparison) -> list[str]:
    """In how many draws plan 1 takes more than the cap, and what covers nine of ten."""
    if not comparison.sureness.plans or comparison.sureness.plans[0].cash_today.half_cents == 0:
        return []
    drawn, likely = comparison.sureness.plans[0], comparison.best.outlay_cents
    covers = format_cents(likely + drawn.contingency_cents(likely))
    return [f"Plan 1 takes more than the cap in {in_draws(drawn.over_cap)}; {covers} covers 9 of 10."]


def left_in_short(comparison: Comparison, rank: int) -> str:
    """What a plan leaves under the cap, to the cent, and in how many draws it takes more; empty without a cap."""
    cap = comparison.facts.shop.money.outlay_cap_cents
    if cap is None:
        return ""
    left = f"{format_cents(int(cap) - comparison.plans[rank - 1].outlay_cents)} left under the cap"
    drawn = comparison.sureness.plans[rank - 1] if comparison.sureness.plans else None
    return left if drawn is None else f"{left}, over it in {in_draws(drawn.over_cap)}"


def cap_costs(comparison: Comparison) -> str:
    """What the best plan without the cap would save, and its cash today; empty where it would save nothing."""
    cap, free = comparison.facts.shop.money.outlay_cap_cents, comparison.without_cap
    saved = 0 if free is None else comparison.best.present_value_cents - free.present_value_cents
    if cap is None or free is None or saved <= 0:
        return ""
    return (
        f"The cap costs {format_cents(saved)}: without it the best mix is {format_cents(free.present_value_cents)} in all with "
        f"{format_cents(free.outlay_cents)} of cash today, {format_cents(free.outlay_cents - int(cap))} above the "
        f"cap{_proof(free)}."
    )


def _proof(plan: Ranked | None) -> str:
    return "" if plan is None or plan.proven else " (not proven)"


def cap_data(comparison: Comparison) -> dict[str, Any] | None:
    """The same as data; None without a cap."""
    cap, free = comparison.facts.shop.money.outlay_cap_cents, comparison.without_cap
    if cap is None:
        return None
    best, drawn = comparison.best, comparison.sureness.plans[:1]
    told: dict[str, Any] = {
        "cap": _money(int(cap)),
        "left": _money(int(cap) - best.outlay_cents),
        "over_share": round(Decimal(str(drawn[0].over_cap)), 4) if drawn else None,
        "covers_nine_of_ten": _money(best.outlay_cents + drawn[0].contingency_cents(best.outlay_cents))
        if drawn
        else None,
    }
    keys = ("costs", "without_present_value", "without_outlay", "without_above_cap", "without_proven")
    if free is None:
        return told | dict.fromkeys(keys)
    figures = (
        _money(best.present_value_cents - free.present_value_cents),
        _money(free.present_value_cents),
        _money(free.outlay_cents),
        _money(free.outlay_cents - int(cap)),
        free.proven,
    )
    return told | dict(zip(keys, figures, strict=True))


def _money(cents: int) -> Decimal:
    return Decimal(cents) / 100
