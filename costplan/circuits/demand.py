"""The demand of loads on the lines of one limit: what runs together, and one-pole circuits balanced.

Everything is counted in volt-amperes as if every line carried what the one in question carries, so that a line's figure
compares with a rating straight away: 12 A at 120 V are 2,880 VA on the one line of 120/240 V that has them, and nothing
on the other. Amperes of three lines are added whatever their angles, which is on the safe side.

On every line counts the heaviest of the sets that run together, of a club the heaviest of so many (NFPA 70 220.60), and a
quarter of the largest motor once (430.24), even where that takes turns with something larger, the dearer reading of
220.60. Load managers hold their machines to a figure, a converter takes no more than its plate says, idling and the start
of its largest motor within that; what is in a club is not held back twice.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import combinations


@dataclass(frozen=True, slots=True)
class Draw:
    """What each of `count` machines alike counts on every line that it is on; `extra_va` more as the largest motor.

    `club` is the word of those of which only so many run at once, `poles` on how many lines it is, None for all;
    `converter` the one that it has passed through on its way to the limit.
    """

    machine: str
    va: int
    extra_va: int
    club: str | None
    count: int = 1
    poles: int | None = None
    converter: str | None = None

    def on_some(self, lines: int) -> bool:
        """Whether it loads only some of so many lines."""
        return self.poles is not None and self.poles < lines


@dataclass(frozen=True, slots=True)
class Holder:
    """What holds machines to a figure: a load manager those it names, a converter (None) those behind it."""

    name: str
    holds_to_va: int
    machines: frozenset[str] | None = None
    idle_va: int = 0

    def holds(self, draw: Draw) -> bool:
        """Whether it holds a machine back; what only so many of run at once is not held twice."""
        if draw.club is not None:
            return False
        return draw.converter == self.name if self.machines is None else draw.machine in self.machines


@dataclass(frozen=True, slots=True)
class Balance:
    """The demand on each line, the heaviest first, of the best balance there is.

    `on` has each circuit that is not on all lines with the numbers of those that it is on in that balance, from 0; others
    balance as well, so two balances with the same figures are equal.
    """

    lines_va: tuple[int, ...]
    on: tuple[tuple[Draw, tuple[int, ...]], ...] = field(default=(), compare=False)

    @property
    def worst_va(self) -> int:
        """The demand on the heaviest line."""
        return self.lines_va[0]


@dataclass(frozen=True, slots=True)
class _Sort:
    """What loads have in common that count alike on a line: then their sum and their largest motor are all that matters."""

    sets: tuple[int, ...]
    club: str | None
    converter: str | None
    holders: tuple[int, ...]


_Line = tuple[tuple[int, tuple[int, ...], int], ...]
"""What is on a line: by number of a sort the volt-amperes, of a club the heaviest, and the largest motor's extra."""
_Placement = tuple[tuple[Draw, tuple[int, ...]], ...]
"""The circuits that are on some lines, each with the numbers of those."""
_State = tuple[_Line, ...]
"""What is on every line, in an order that does not tell which of them it is."""


@cache
def balanced(
    draws: tuple[Draw, ...],
    sets: tuple[frozenset[str], ...],
    clubs: tuple[tuple[str, int], ...],
    holders: tuple[Holder, ...],
    lines: int,
    *,
    even: bool = False,
) -> Balance:
    """The demand on each line, where circuits on some lines are put on those that make the heaviest line lightest.

    One balance serves all sets, since nobody moves wires when another machine is switched on. Every balance is tried,
    but for those that add up alike on each line and those that already carry more than one that is known.

    Of a club only the heaviest count in the demand, so that the best balance may have all of them on one line. With `even`
    single circuits are moved from there, and pairs exchanged, as long as that makes the line lighter that has the most
    connected and the heaviest line in the demand no heavier.
    """
    balancing = _Balancing(sets, dict(clubs), holders, lines)
    return balancing.even(draws) if even else balancing.best(draws)


class _Balancing:
    def __init__(
        self,
        sets: Sequence[frozenset[str]],
        clubs: Mapping[str, int],
        holders: Sequence[Holder],
        lines: int,
    ) -> None:
        self.sets, self.clubs, self.holders, self.lines = sets, clubs, holders, lines
        self.demand = cache(self._demand)
        self.number_of = cache(self._number_of)
        self.sorts: dict[_Sort, int] = {}
        self.sort_of: list[_Sort] = []

    def even(self, draws: Sequence[Draw]) -> Balance:
        best, (everywhere, _) = self.best(draws), self._apart(draws)
        on = best.on
        while (better := self._evener(everywhere, on, best.worst_va)) is not None:
            on = better
        found = sorted(map(self.demand, self._lines(everywhere, on)), reverse=True)
        return Balance(tuple(found), on)

    def _evener(self, everywhere: _Line, on: _Placement, most_va: int) -> _Placement | None:
        """The placement that is the most even by one move or exchange, where it is more even and no line carries too much."""
        known = self._connected(on)
        found = sorted(
            (connected, other) for other in self._changed(on) if (connected := self._connected(other)) < known
        )
        return next(
            (other for _, other in found if self._worst(self._lines(everywhere, other)) <= most_va), None
        )

    def _changed(self, on: _Placement) -> Iterator[_Placement]:
        """Every placement with one circuit on other lines, or two in each other's place."""
        for index, (draw, now) in enumerate(on):
            for chosen in combinations(range(self.lines), draw.poles or self.lines):
                if chosen != now:
                    yield (*on[:index], (draw, chosen), *on[index + 1 :])
        for first, second in combinations(range(len(on)), 2):
            (one, ones), (two, twos) = on[first], on[second]
            if ones != twos and len(ones) == len(twos) and one.va != two.va:
                swapped = list(on)
                swapped[first], swapped[second] = (one, twos), (two, ones)
                yield tuple(swapped)

    def _connected(self, on: _Placement) -> tuple[int, ...]:
        """What is connected to each line, the most first."""
        sums = (sum(draw.va for draw, chosen in on if line in chosen) for line in range(self.lines))
        return tuple(sorted(sums, reverse=True))

    def _lines(self, everywhere: _Line, on: _Placement) -> list[_Line]:
        found = [everywhere] * self.lines
        for draw, chosen in on:
            for line in chosen:
                found[line] = self._with(found[line], draw)
        return found

    def _apart(self, draws: Iterable[Draw]) -> tuple[_Line, list[Draw]]:
        """What all lines carry, and each circuit that is on some of them."""
        everywhere: _Line = ()
        loose: list[Draw] = []
        for draw in draws:
            if draw.on_some(self.lines):
                loose += [draw] * draw.count
            else:
                for _ in range(draw.count):
                    everywhere = self._with(everywhere, draw)
        return everywhere, loose

    def best(self, draws: Iterable[Draw]) -> Balance:
        everywhere, loose = self._apart(draws)
        if not loose:
            return Balance((self.demand(everywhere),) * self.lines)
        loose.sort(key=lambda draw: -draw.va)
        known_va = self._worst(self._one_by_one((everywhere,) * self.lines, loose))
        # By state the one before it, so that the way to the best is known.
        steps: list[dict[_State, _State]] = []
        states: Iterable[_State] = ((everywhere,) * self.lines,)
        for draw in loose:
            after: dict[_State, _State] = {}
            for before in states:
                for state in self._placed(before, draw):
                    if self._worst(state) <= known_va:
                        after.setdefault(state, before)
            steps.append(after)
            states = after
        best = min(states, key=lambda state: (sorted(map(self.demand, state), reverse=True), state))
        found = sorted(map(self.demand, best), reverse=True)
        return Balance(tuple(found), self._placed_on(everywhere, loose, steps, best))

    def _placed_on(
        self,
        everywhere: _Line,
        loose: Sequence[Draw],
        steps: Sequence[Mapping[_State, _State]],
        best: _State,
    ) -> tuple[tuple[Draw, tuple[int, ...]], ...]:
        """The lines of each circuit on the way to a state: states know their lines by what they carry, not by number."""
        path = [best]
        for before in reversed(steps[1:]):
            path.append(before[path[-1]])
        found: list[tuple[Draw, tuple[int, ...]]] = []
        now: list[_Line] = [everywhere] * self.lines
        for draw, state in zip(loose, reversed(path), strict=True):
            for chosen in combinations(range(self.lines), draw.poles or self.lines):
                placed = [
                    self._with(line, draw) if index in chosen else line for index, line in enumerate(now)
                ]
                if tuple(sorted(placed)) == state:
                    found.append((draw, chosen))
                    now = placed
                    break
        return tuple(found)

    def _one_by_one(self, state: tuple[_Line, ...], loose: Iterable[Draw]) -> tuple[_Line, ...]:
        """The heaviest first, each where the heaviest line is lightest then: a balance to compare with."""
        for draw in loose:
            state = min(self._placed(state, draw), key=lambda placed: (self._worst(placed), placed))
        return state

    def _placed(self, state: tuple[_Line, ...], draw: Draw) -> set[tuple[_Line, ...]]:
        """Every way of putting a circuit on its lines; lines that carry alike are as good as each other."""
        found = set()
        for chosen in combinations(range(self.lines), draw.poles or self.lines):
            placed = [self._with(line, draw) if index in chosen else line for index, line in enumerate(state)]
            found.add(tuple(sorted(placed)))
        return found

    def _with(self, line: _Line, draw: Draw) -> _Line:
        number = self.number_of(draw)
        most = None if draw.club is None else self.clubs[draw.club]
        for index, (known, figures, extra) in enumerate(line):
            if known == number:
                heaviest = tuple(sorted((*figures, draw.va), reverse=True)[:most])
                more = (figures[0] + draw.va,) if most is None else heaviest
                return (*line[:index], (known, more, max(extra, draw.extra_va)), *line[index + 1 :])
        return tuple(sorted((*line, (number, (draw.va,), draw.extra_va))))

    def _number_of(self, draw: Draw) -> int:
        """The number of a draw's sort."""
        sort = _Sort(
            tuple(index for index, members in enumerate(self.sets) if draw.machine in members),
            draw.club,
            draw.converter,
            tuple(index for index, holder in enumerate(self.holders) if holder.holds(draw)),
        )
        if sort not in self.sorts:
            self.sorts[sort] = len(self.sort_of)
            self.sort_of.append(sort)
        return self.sorts[sort]

    def _worst(self, state: Iterable[_Line]) -> int:
        return max(map(self.demand, state))

    def _demand(self, line: _Line) -> int:
        """The demand on a line: of the heaviest set, whichever motor is the largest."""
        starters = [None, *(holder.name for holder in self.holders if holder.machines is None)]
        sorted_line = [(self.sort_of[number], figures, extra) for number, figures, extra in line]
        return max(
            (
                self._together([entry for entry in sorted_line if index in entry[0].sets], starter)
                for index in range(len(self.sets))
                for starter in starters
            ),
            default=0,
        )

    def _together(self, line: Sequence[tuple[_Sort, tuple[int, ...], int]], starter: str | None) -> int:
        """One set, with the largest motor among those behind a converter, or among those behind none."""
        clubs: dict[str, list[int]] = {}
        whole = sum(holder.idle_va for holder in self.holders)
        for sort, figures, _ in line:
            if sort.club is None:
                whole += sum(figures)
            else:
                clubs.setdefault(sort.club, []).extend(figures)
        for club, found in clubs.items():
            whole += sum(sorted(found, reverse=True)[: self.clubs[club]])
        extra = max((extra for sort, _, extra in line if sort.converter == starter), default=0)
        return whole + extra - self._relief(line, starter, extra)

    def _relief(
        self, line: Sequence[tuple[_Sort, tuple[int, ...], int]], starter: str | None, extra: int
    ) -> int:
        """What is held back; of two that hold the same machine only one is at work."""
        held: dict[int, int] = {}
        sharing: set[tuple[int, int]] = set()
        for index, holder in enumerate(self.holders):
            held[index] = holder.idle_va + (extra if holder.name == starter else 0) - holder.holds_to_va
        for sort, figures, _ in line:
            for index in sort.holders:
                held[index] += sum(figures)
            sharing |= set(combinations(sort.holders, 2))
        able = [index for index, relief in held.items() if relief > 0]
        best = 0
        for size in range(1, len(able) + 1):
            for chosen in combinations(able, size):
                if not sharing & set(combinations(chosen, 2)):
                    best = max(best, sum(held[index] for index in chosen))
        return best
