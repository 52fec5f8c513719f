"""How long parts last: nominal lives, lives at a machine, and the classes of lives worth telling apart."""

from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, Spec
from costplan.model.catalog import Part

OUTLASTS = 10**6
"""Stands, in `Need.lasts` and among `lives_of`, for every life that is not worn out before the plan's last day."""


def life_of(facts: Facts, part: Part) -> int | None:
    """The part's nominal life in years, else its kind's; None when it never wears out."""
    if part.life_years is not None:
        return part.life_years
    kind = facts.kinds.get(part.kind)
    return kind.life_years if kind is not None else None


def worn_after(life: int, share: Decimal) -> int:
    """Whole years a thing of this nominal life lasts at a machine that wears it to this share, at least 1."""
    return max(int(life * share), 1)


def life_class(life: int | None, share: Decimal, horizon: int) -> int:
    """The life itself, or OUTLASTS when it is worn out on the plan's last day at the earliest, or never.

    horizon: years of the plan.
    """
    return OUTLASTS if life is None or worn_after(life, share) >= horizon else life


def lives_of(facts: Facts, spec: Spec, share: Decimal, horizon: int) -> tuple[int, ...]:
    """The classes of lives among the parts that meet the spec and that somebody offers, at a price or not.

    Rising, OUTLASTS last; each may be asked for as `Need.lasts` with the same share. One entry when nothing
    is to be told apart; where nobody offers such a part, the life of its kind.
    """
    key = (spec, share, horizon)
    if key not in facts.known_lives:
        facts.known_lives[key] = _lives(facts, *key)
    return facts.known_lives[key]


def _lives(facts: Facts, spec: Spec, share: Decimal, horizon: int) -> tuple[int, ...]:
    found = {
        life_class(life_of(facts, part), share, horizon)
        for part in facts.parts_by_kind.get(spec.kind, ())
        if part.id in facts.offered_parts and spec.met_by(part)
    }
    kind = facts.kinds.get(spec.kind)
    return tuple(sorted(found)) or (life_class(kind.life_years if kind else None, share, horizon),)


def shortest_life(facts: Facts, spec: Spec) -> int:
    """The shortest nominal life among the offered parts that meet the spec, else that of the kind, else OUTLASTS."""
    found = [
        life_of(facts, part)
        for part in facts.parts_by_kind.get(spec.kind, ())
        if part.id in facts.offered_parts and spec.met_by(part)
    ]
    kind = facts.kinds.get(spec.kind)
    lives = found or [kind.life_years if kind is not None else None]
    return min((life for life in lives if life is not None), default=OUTLASTS)


def lasts_as_asked(facts: Facts, part: Part, need: Need) -> bool:
    """Whether the part has the life that the need asks for."""
    if need.lasts is None:
        return True
    life = life_of(facts, part)
    if need.lasts == OUTLASTS:
        return life_class(life, need.share, facts.shop.years) == OUTLASTS
    return life == need.lasts
