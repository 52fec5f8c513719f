"""How long parts last: by the part, else by its kind, and at a machine a share of that."""

from collections.abc import Mapping
from decimal import ROUND_FLOOR, Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Spec
from costplan.model.catalog import Kind, Part

OUTLASTS = 10**6
"""Stands for the years of whatever is not worn out within the plan."""


def life_of(facts: Facts, part: Part) -> int | None:
    """Years until the part is worn out; None for one that outlasts any plan."""
    return life_among(facts.kinds, part)


def life_among(kinds: Mapping[str, Kind], part: Part) -> int | None:
    """The same by the kinds of a catalog, each under its name."""
    if part.life_years is not None:
        return part.life_years
    kind = kinds.get(part.kind)
    return kind.life_years if kind is not None else None


def worn_after(life: int, share: Decimal) -> int:
    """Whole years until it is worn out at a machine where it lasts that share of its life, at least one."""
    return max(int((life * share).to_integral_value(ROUND_FLOOR)), 1)


def lives_of(facts: Facts, spec: Spec, share: Decimal, horizon: int) -> tuple[int, ...]:
    """The different lives of the offered parts that meet the spec; what outlasts the plan is one of them, last.

    Rising, OUTLASTS last; each may be asked for as `Need.lasts` with the same share. One entry when nothing
    is to be told apart; where nobody offers such a part, the life of its kind.
    """
    key = (spec, share, horizon)
    if key not in facts.known_lives:
        facts.known_lives[key] = _lives(facts, *key)
    return facts.known_lives[key]


def _lives(facts: Facts, spec: Spec, share: Decimal, horizon: int) -> tuple[int, ...]:
    return tuple(sorted({life_class(life, share, horizon) for life in _offered_lives(facts, spec)}))


def _offered_lives(facts: Facts, spec: Spec) -> list[int | None]:
    """Nominal lives of the offered parts that meet the spec; that of the kind where nobody offers one."""
    found = [life_of(facts, part) for part in facts.parts_meeting(spec) if part.id in facts.offered_parts]
    kind = facts.kinds.get(spec.kind)
    return found or [kind.life_years if kind is not None else None]


def life_class(life: int | None, share: Decimal, horizon: int) -> int:
    """The life itself, or OUTLASTS when it is worn out on the plan's last day at the earliest, or never.

    horizon: years of the plan.
    """
    return OUTLASTS if life is None or worn_after(life, share) >= horizon else life


def shortest_life(facts: Facts, spec: Spec) -> int:
    """The shortest nominal life among the offered parts that meet the spec, else that of the kind, else OUTLASTS."""
    return min((life for life in _offered_lives(facts, spec) if life is not None), default=OUTLASTS)
