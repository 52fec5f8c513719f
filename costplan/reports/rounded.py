"""Figures that are not certain, rounded to what their uncertainty allows."""

from decimal import ROUND_HALF_EVEN, Decimal

from costplan.model.money import format_cents

STEPS_CENTS = (10_000, 1_000, 100)
"""What an amount is rounded to: the largest of these that is no more than its uncertainty."""


def about(cents: int, spread_cents: int | None, currency: str = "") -> str:
    """An amount rounded to what its uncertainty allows; exact where nothing is uncertain."""
    unit = f"{currency} " if currency else ""
    step = next((step for step in STEPS_CENTS if spread_cents is not None and step <= spread_cents), None)
    if step is None:
        return unit + format_cents(cents)
    steps = int((Decimal(cents) / step).to_integral_value(rounding=ROUND_HALF_EVEN))
    if cents and not steps:
        return f"less than {unit}{step // 100:,}"
    return f"about {unit}{steps * step // 100:,}"


def in_steps(cents: int, spread_cents: int) -> str:
    """An amount of a table that says it is rounded: to one digit finer than its uncertainty, so that differences stay right."""
    if _step(spread_cents) is None:
        return format_cents(cents)
    return f"{stepped(cents, spread_cents) // 100:,}"


def stepped(cents: int, spread_cents: int) -> int:
    """The amount, in cents, that `in_steps` writes."""
    step = _step(spread_cents)
    if step is None:
        return cents
    return int((Decimal(cents) / step).to_integral_value(rounding=ROUND_HALF_EVEN)) * step


def between(one: int, other: int, spread_cents: int | None = None, currency: str = "") -> str:
    """By how much two amounts differ: exact without a spread, else as they stand on a screen that is `stepped` by it."""
    unit = f"{currency} " if currency else ""
    step = None if spread_cents is None else _step(spread_cents)
    if spread_cents is None or step is None:
        return unit + format_cents(abs(one - other))
    gap = abs(stepped(one, spread_cents) - stepped(other, spread_cents))
    if one != other and not gap:
        return f"less than {unit}{step // 100:,}"
    return f"about {unit}{gap // 100:,}"


def _step(spread_cents: int) -> int | None:
    return next((step for step in STEPS_CENTS if step <= spread_cents // 10), None)


def uncertain_by(spread_cents: int) -> str:
    """An uncertainty, one digit finer than the differences it is for."""
    return about(spread_cents, spread_cents // 10)
