"""How sure a comparison is: ranges of totals and of today's cash, chances, groups of equals; all from the same draws."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from costplan.circuits.facts import Facts
from costplan.program.ranking import Ranked
from costplan.studies.uncertain import Grouped, Uncertain

if TYPE_CHECKING:
    from costplan.studies.draws import Floats, Sample

SEED = 1
"""The seed where none is given."""
DRAWS = 10_000
"""How many draws where nobody says."""
MOST_DRAWS = 1_000_000
"""More take memory and show nothing more."""
LEAST_DRAWS = 100
"""Fewer say nothing of a tenth."""
COVERED = 0.9
"""The share of draws that a contingency covers, and up to which a range goes."""


@dataclass(frozen=True, slots=True)
class Settings:
    """Which draws are made, and how many."""

    seed: int = SEED
    draws: int = DRAWS


DEFAULT = Settings()
"""The draws where nobody says which."""


@dataclass(frozen=True, slots=True)
class Range:
    """What a figure comes to, in cents: a tenth of the draws is below `low`, half below `median`, a tenth above `high`."""

    low_cents: int
    median_cents: int
    high_cents: int


@dataclass(frozen=True, slots=True)
class Drawn:
    """A plan in all draws, in cents: its ranges, one standard deviation of its total, the most it came to.

    `cheapest` is the share of draws in which it was the cheapest of those it is compared with, `regret_cents` what it cost
    on average above the cheapest of them in the same draw, `apart_cents` one standard deviation of its difference from
    the first of them.
    """

    total: Range
    cash_today: Range
    spread_cents: int
    worst_cents: int
    cheapest: float
    regret_cents: int
    apart_cents: int


@dataclass(frozen=True)
class Sureness:
    """The ranked plans, the two pure ways and the strategies, each compared with their like, in the same draws.

    `groups` are the ranked plans by place, those together whose difference from the best of them is less than its spread.
    `pure` are fixed drops and cords, where both are complete and differ; `strategies` begin with the cheapest;
    `layout_apart_cents` is one standard deviation of the difference of each layout from the first with a plan.
    """

    settings: Settings
    plans: tuple[Drawn, ...] = ()
    groups: tuple[tuple[int, ...], ...] = ()
    pure: tuple[Drawn, ...] = ()
    strategies: Mapping[str, Drawn] = field(default_factory=dict)
    layout_apart_cents: Mapping[str, int] = field(default_factory=dict)


NOT_DRAWN = Sureness(DEFAULT)
"""Of a comparison on its way."""


@dataclass(frozen=True)
class Drawable:
    """What is to be drawn: a plan and the shop it is for."""

    facts: Facts
    plan: Ranked

    @property
    def grouped(self) -> Grouped:
        """Its lines by what they follow."""
        return Uncertain(self.facts).grouped(self.plan.lines, int(self.plan.plan.hiring.crew.minimum_cents))


def how_sure(
    plans: Sequence[Drawable],
    settings: Settings,
    *,
    pure: Sequence[Drawable] = (),
    strategies: Mapping[str, Drawable] | None = None,
    layouts: Mapping[str, Drawable] | None = None,
) -> Sureness:
    """Draw all of them at once; each field is in the order of its likely totals, layouts begin with the one compared with."""
    named, laid_out = strategies or {}, layouts or {}
    all_of_them = [*plans, *pure, *named.values(), *laid_out.values()]
    if not all_of_them:
        return Sureness(settings)
    drawn = _sampled(all_of_them, settings)
    ends = [len(plans), len(plans) + len(pure), len(plans) + len(pure) + len(named)]
    field_of = [slice(0, ends[0]), slice(ends[0], ends[1]), slice(ends[1], ends[2]), slice(ends[2], None)]
    ranked, ways, rows = (_compared(drawn, place) for place in field_of[:3])
    totals = drawn.totals[field_of[3]]
    apart = {
        name: _cents((total - totals[0]).std())
        for name, total in list(zip(laid_out, totals, strict=True))[1:]
    }
    likely = [entry.plan.present_value_cents for entry in plans]
    groups = _groups(likely, drawn.totals[field_of[0]])
    return Sureness(settings, ranked, groups, ways, dict(zip(named, rows, strict=True)), apart)


def spread_between(facts: Facts, one: Ranked, other: Ranked) -> int:
    """One standard deviation of the difference of two plans, in cents."""
    totals = _sampled([Drawable(facts, one), Drawable(facts, other)], DEFAULT).totals
    return _cents((totals[0] - totals[1]).std())


def _sampled(entries: Sequence[Drawable], settings: Settings) -> "Sample":
    from costplan.studies.draws import sample  # numpy is loaded only where something is drawn

    shape = entries[0].facts.shop.money.distribution
    return sample([entry.grouped for entry in entries], shape, settings.seed, settings.draws)


def _compared(drawn: "Sample", place: slice) -> tuple[Drawn, ...]:
    """Plans of one field beside each other; those alike to the cent in a draw: the first is the cheapest."""
    totals, cash = drawn.totals[place], drawn.cash[place]
    if not len(totals):
        return ()
    least, cheapest = totals.min(axis=0), totals.argmin(axis=0)
    return tuple(
        Drawn(
            _range(total),
            _range(paid),
            _cents(total.std()),
            _cents(total.max()),
            round(float((cheapest == number).mean()), 6),
            _cents((total - least).mean()),
            _cents((total - totals[0]).std()),
        )
        for number, (total, paid) in enumerate(zip(totals, cash, strict=True))
    )


def _range(cents: "Floats") -> Range:
    from costplan.studies.draws import below

    return Range(*(_cents(below(cents, share)) for share in (1 - COVERED, 0.5, COVERED)))


def _groups(likely: Sequence[int], totals: "Floats") -> tuple[tuple[int, ...], ...]:
    groups: list[list[int]] = []
    for place, cents in enumerate(likely, 1):
        first = groups[-1][0] if groups else 0
        if first and cents - likely[first - 1] < (totals[place - 1] - totals[first - 1]).std():
            groups[-1].append(place)
        else:
            groups.append([place])
    return tuple(tuple(group) for group in groups)


def _cents(exact: float) -> int:
    return round(float(exact))
