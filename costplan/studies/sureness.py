"""How sure a comparison is: ranges of totals and of today's cash, chances, groups of equals; all from the same draws."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import TYPE_CHECKING

from costplan.circuits.facts import Facts
from costplan.ledger.least_charges import least_charges
from costplan.ledger.lines import Line
from costplan.program.ranked import Ranked
from costplan.studies.finding_out import FindingOut, finding_out, worth_of_all
from costplan.studies.uncertain import Grouped, Uncertain

if TYPE_CHECKING:
    from costplan.studies.draws import Floats, Sample

SEED = 1
"""The seed where none is given."""
DRAWS = 10_000
"""How many draws where nobody says."""
LEAST_DRAWS, MOST_DRAWS = 100, 1_000_000
"""Fewer say nothing of a tenth; more take memory and show nothing more."""
MOST_SEED = 2**32 - 1
"""The largest that fits one word of the generator's."""
COVERED = 0.9
"""The share of draws that a contingency covers; a range leaves out as many above it as below."""


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

    @property
    def half_cents(self) -> int:
        """Half its width."""
        return (self.high_cents - self.low_cents) // 2


@dataclass(frozen=True, slots=True)
class Ranges:
    """What a plan's total and its cash of today come to."""

    total: Range
    cash_today: Range


@dataclass(frozen=True, slots=True)
class Drawn(Ranges):
    """A plan in all draws, in cents: its ranges, one standard deviation of its total, the most it came to.

    `cheapest` is the share of draws in which it was the cheapest of those it is compared with, `regret_cents` what it cost
    on average above the cheapest of them in the same draw, `apart_cents` one standard deviation of its difference from
    the first of them. `cheapest_of_all` and `regret_of_all_cents` are the same beside all ranked plans, pure ways and
    ranked strategies together; two names of one plan share them.
    """

    spread_cents: int
    worst_cents: int
    cheapest: float
    regret_cents: int
    apart_cents: int
    cheapest_of_all: float = 0.0
    regret_of_all_cents: int = 0
    over_cap: float = 0.0
    """The share of draws in which its cash today is more than the cap on it."""

    def contingency_cents(self, likely_cents: int) -> int:
        """What today's cash may take above the likely in nine draws of ten; 0 where it is less even then."""
        return max(self.cash_today.high_cents - likely_cents, 0)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two ranked plans by place: one standard deviation of their difference, in what share of draws the first is cheaper."""

    first: int
    second: int
    spread_cents: int
    first_cheaper: float


@dataclass(frozen=True, slots=True, order=True)
class CellName:
    """A total by its row and its column, and whether the row is a strategy."""

    row: str
    column: str
    strategy: bool = False


@dataclass(frozen=True)
class Sureness:
    """The ranked plans, the two pure ways and the strategies, each compared with their like, in the same draws.

    `pairs` are any two ranked plans; `groups` the plans by place, those together whose difference from the best of them is
    less than its spread.
    `pure` are fixed drops and cords, where both are complete and differ; `strategies` begin with the cheapest, and
    `unranked` are those with a plan that may not be ranked, each as if it were allowed, in no contest but its own;
    `layout_apart_cents` is one standard deviation of the difference of each layout from the first with a plan; `cells`
    have the ranges of every total of the matrix and of the strategies. `finding_out` is what each figure alone is worth
    knowing before a plan is chosen, a ranked one, a pure way or one of those by other hands; `all_known_cents` is what all
    of them are together.
    """

    settings: Settings
    plans: tuple[Drawn, ...] = ()
    pairs: tuple[Pair, ...] = ()
    groups: tuple[tuple[int, ...], ...] = ()
    pure: tuple[Drawn, ...] = ()
    strategies: Mapping[str, Drawn] = field(default_factory=dict)
    unranked: Mapping[str, Drawn] = field(default_factory=dict)
    layout_apart_cents: Mapping[str, int] = field(default_factory=dict)
    cells: Mapping[CellName, Ranges] = field(default_factory=dict)
    finding_out: tuple[FindingOut, ...] = ()
    all_known_cents: int = 0


NOT_DRAWN = Sureness(DEFAULT)
"""Of a comparison on its way."""


@dataclass(frozen=True)
class Drawable:
    """What is to be drawn: a plan and the shop it is for."""

    facts: Facts
    plan: Ranked

    def grouped(self, uncertain: Uncertain) -> Grouped:
        """Its lines by what they follow in its shop."""
        lines = self.plan.lines
        return uncertain.grouped(lines, least_charges(self.facts, self.plan.plan, lines))


def how_sure(
    plans: Sequence[Drawable],
    settings: Settings,
    *,
    pure: Sequence[Drawable] = (),
    strategies: Mapping[str, Drawable] | None = None,
    unranked: Mapping[str, Drawable] | None = None,
    layouts: Mapping[str, Drawable] | None = None,
    cells: Mapping[CellName, Drawable] | None = None,
    besides: Sequence[Drawable] = (),
) -> Sureness:
    """Draw all of them at once; each field is in the order of its likely totals, layouts begin with the one compared with.

    besides: plans that who knows a figure could choose too, which are told nowhere. Raises ValueError without a plan.
    """
    if not plans:
        raise ValueError("nothing to draw")
    named, barred, laid_out, totals = strategies or {}, unranked or {}, layouts or {}, cells or {}
    rivals = [*plans, *pure, *named.values()]
    fields = [
        list(plans),
        list(pure),
        list(named.values()),
        list(barred.values()),
        list(laid_out.values()),
        list(totals.values()),
        list({id(entry.plan): entry for entry in (*plans, *pure, *besides)}.values()),
    ]
    # The best plan is also a cell, perhaps a pure way and a strategy: it is drawn once.
    once = list({id(entry.plan): entry for entries in fields for entry in entries}.values())
    place = {id(entry.plan): number for number, entry in enumerate(once)}
    drawn = sampled(once, settings)
    ranked, ways, rows, refused, rooms, parts, choices = (
        drawn.of([place[id(entry.plan)] for entry in entries]) for entries in fields
    )
    beside = _Rivals((entry.plan.lines, drawn.totals[place[id(entry.plan)]]) for entry in rivals)
    ranges = [
        Ranges(_range(total), _range(cash)) for total, cash in zip(parts.totals, parts.cash, strict=True)
    ]
    pairs = _pairs(ranked.totals)
    return Sureness(
        settings,
        _over_the_cap(plans, beside.told(plans, _compared(ranked), ranked), ranked),
        pairs,
        _groups([entry.plan.present_value_cents for entry in plans], pairs),
        beside.told(pure, _compared(ways), ways),
        dict(zip(named, beside.told(list(named.values()), _compared(rows), rows), strict=True)),
        dict(zip(barred, beside.told(list(barred.values()), _alone(refused), refused), strict=True)),
        {name: drawn.apart_cents for name, drawn in zip(laid_out, _compared(rooms), strict=True)},
        dict(zip(totals, ranges, strict=True)),
        finding_out(choices.totals, choices.ranks, ranked=len(plans)),
        _cents(worth_of_all(choices.totals)),
    )


def _over_the_cap(plans: Sequence[Drawable], found: Sequence[Drawn], drawn: "Sample") -> tuple[Drawn, ...]:
    """How often each of them takes more cash today than its shop's cap allows."""
    cap = plans[0].facts.shop.money.outlay_cap_cents
    if cap is None:
        return tuple(found)
    return tuple(
        replace(one, over_cap=round(float((cash > int(cap)).mean()), 6))
        for one, cash in zip(found, drawn.cash, strict=True)
    )


def spread_between(facts: Facts, one: Ranked, other: Ranked) -> int:
    """One standard deviation of the difference of two plans, in cents."""
    totals = sampled([Drawable(facts, one), Drawable(facts, other)], DEFAULT).totals
    return _cents((totals[0] - totals[1]).std())


def sampled(entries: Sequence[Drawable], settings: Settings) -> "Sample":
    """All of them in the same draws, a row for each; the same at the same seed, whatever is drawn beside."""
    from costplan.studies.draws import sample  # numpy is loaded only where something is drawn

    shape = entries[0].facts.shop.money.distribution
    shops = {id(entry.facts): Uncertain(entry.facts) for entry in entries}
    plans = [entry.grouped(shops[id(entry.facts)]) for entry in entries]
    return sample(plans, shape, settings.seed, settings.draws)


def _compared(drawn: "Sample") -> tuple[Drawn, ...]:
    """Plans of one field beside each other; those alike to the cent in a draw: the first is the cheapest."""
    totals = drawn.totals
    if not len(totals):
        return ()
    least, cheapest = totals.min(axis=0), totals.argmin(axis=0)
    return tuple(
        Drawn(
            _range(total),
            _range(cash),
            _cents(total.std()),
            _cents(total.max()),
            round(float((cheapest == number).mean()), 6),
            _cents((total - least).mean()),
            _cents((total - totals[0]).std()),
        )
        for number, (total, cash) in enumerate(zip(totals, drawn.cash, strict=True))
    )


def _alone(drawn: "Sample") -> tuple[Drawn, ...]:
    """Plans that are compared with none."""
    return tuple(
        replace(found, cheapest=0.0, regret_cents=0)
        for place in range(len(drawn.totals))
        for found in _compared(drawn.of([place]))
    )


class _Rivals:
    """All that may be chosen, each plan once by its lines, in all draws; of two alike in a draw the first is the cheapest."""

    def __init__(self, rivals: Iterable[tuple[tuple[Line, ...], "Floats"]]) -> None:
        totals: dict[tuple[Line, ...], Floats] = {}
        for lines, total in rivals:
            totals.setdefault(lines, total)
        self.places = {lines: place for place, lines in enumerate(totals)}
        every = list(totals.values())
        self.least, self.first = every[0], every[0] * 0
        for place, total in enumerate(every[1:], 1):
            self.first[total < self.least] = place
            self.least = total.clip(max=self.least)

    def told(self, entries: Sequence[Drawable], found: Sequence[Drawn], drawn: "Sample") -> tuple[Drawn, ...]:
        """With their chance and their regret beside all of them; one that is no rival is cheaper than all, or is not."""
        return tuple(
            replace(
                one,
                cheapest_of_all=round(self._won(entry, total), 6),
                regret_of_all_cents=_cents((total - self.least.clip(max=total)).mean()),
            )
            for entry, one, total in zip(entries, found, drawn.totals, strict=True)
        )

    def _won(self, entry: Drawable, total: "Floats") -> float:
        place = self.places.get(entry.plan.lines)
        return float((total < self.least if place is None else self.first == place).mean())


def _range(cents: "Floats") -> Range:
    from costplan.studies.draws import below

    return Range(*(_cents(below(cents, share)) for share in (1 - COVERED, 0.5, COVERED)))


def _pairs(totals: "Floats") -> tuple[Pair, ...]:
    found = []
    for (one, first), (two, second) in combinations(enumerate(totals, 1), 2):
        more = second - first
        found.append(Pair(one, two, _cents(more.std()), round(float((more > 0).mean()), 6)))
    return tuple(found)


def _groups(likely: Sequence[int], pairs: Sequence[Pair]) -> tuple[tuple[int, ...], ...]:
    """Each with all that are too close to its first to call, also where another one between them is not."""
    spreads = {(pair.first, pair.second): pair.spread_cents for pair in pairs}
    groups, left = list[tuple[int, ...]](), list(range(1, len(likely) + 1))
    while left:
        first, *others = left
        close = [place for place in others if likely[place - 1] - likely[first - 1] < spreads[first, place]]
        groups.append((first, *close))
        left = [place for place in others if place not in close]
    return tuple(groups)


def _cents(exact: float) -> int:
    return round(float(exact))
