"""The rows of one limit at one date: what hangs on it, on every line, is no more than it carries.

The rules are those of `circuits.demand`, written as rows; of it only `Draw` is used here, none of its reckoning.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from costplan.circuits.capacity import Capacity
from costplan.circuits.demand import Draw
from costplan.model.gear import Gear
from costplan.program.program import Gives, Program, Terms, add_terms

Draws = dict[str, dict[int, Draw]]
"""By machine what each of its ways draws, by the way's variable; `Draw.count` is the most machines of it."""


@dataclass(frozen=True)
class LimitAtDate:
    """One limit at one date: what may hang on it, what idles there, what eases it, and what manages its machines."""

    limit: str
    mark: str
    draws: Draws
    idle: Mapping[str, Terms]
    eased: Terms
    managing: tuple[tuple[Gear, Terms], ...]

    @property
    def key(self) -> tuple[object, ...]:
        """What makes two dates ask for the same rows."""
        return (
            self.limit,
            tuple(
                sorted((name, tuple(sorted(found.items(), key=_first))) for name, found in self.draws.items())
            ),
            tuple(sorted((name, tuple(sorted(terms.items()))) for name, terms in self.idle.items())),
            tuple(sorted(self.eased.items())),
            tuple(tuple(sorted(have)) for _, have in self.managing),
        )


@dataclass(frozen=True)
class Placed:
    """One way of a machine on one line: what each draws, and how many of them are on it."""

    draw: Draw
    number: Terms


class LimitRows:
    """Adds the rows of one limit at one date to a program."""

    def __init__(self, program: Program, capacity: Capacity, here: LimitAtDate, seen: set[object]) -> None:
        self.program, self.capacity, self.here, self.seen = program, capacity, here, seen
        self.mark, self.lines = here.mark, capacity.lines(here.limit)
        self.some: dict[tuple[tuple[tuple[int, int], ...], int], int] = {}

    def add(self) -> None:
        """Add the rows, unless everything together could never be too much, or a date with the same key has them."""
        free = self.capacity.limits[self.here.limit].free_va
        if self._most_va() <= free or self.here.key in self.seen:
            return
        self.seen.add(self.here.key)
        burden = self._burden(free) if free < 0 else {}
        placed = self._placed()
        for members in self.capacity.together(self.here.draws):
            for line in placed:
                on_line = {name: found for name, found in line.items() if name in members}
                for starter in self._starters(on_line):
                    row = dict(burden)
                    for terms in (*self.here.idle.values(), self.here.eased):
                        add_terms(row, terms)
                    self._add_demand(row, on_line, starter)
                    self.program.row(self.mark, row, high=max(free, 0), limit=(Gives.LOAD, self.here.limit))

    def _most_va(self) -> int:
        """No less than the worst line could ever carry, its circuits put on lines one by one."""
        whole = sum(
            max(self._mean_va(draw) for draw in found.values()) * max(draw.count for draw in found.values())
            for found in self.here.draws.values()
        )
        loose = [
            draw.va
            for found in self.here.draws.values()
            for draw in found.values()
            if draw.on_some(self.lines)
        ]
        extra = [draw.extra_va for found in self.here.draws.values() for draw in found.values()]
        idle = sum(value for terms in self.here.idle.values() for value in terms.values())
        # Four to spare, a choice: a row too many costs little, one too few would be wrong.
        return whole + max(loose, default=0) + max(extra, default=0) + idle + 4

    def _mean_va(self, draw: Draw) -> int:
        """What a circuit lifts the lines by, spread over them.

        Put where the line is lightest, no one-pole circuit lifts a line by more than itself above the mean. Of three
        lines two are taken at once, so there the mean is not reached and everything is taken to be on one line.
        """
        return -(-draw.va // 2) if draw.on_some(self.lines) and self.lines == 2 else draw.va

    def _placed(self) -> list[dict[str, list[Placed]]]:
        """What is on every line; one line where all are alike."""
        loose = any(draw.on_some(self.lines) for found in self.here.draws.values() for draw in found.values())
        placed: list[dict[str, list[Placed]]] = [defaultdict(list) for _ in range(self.lines if loose else 1)]
        for name, found in self.here.draws.items():
            for index, draw in found.items():
                for line, number in zip(placed, self._numbers(name, index, draw), strict=False):
                    line[name].append(Placed(draw, number))
        return placed

    def _numbers(self, name: str, index: int, draw: Draw) -> list[Terms]:
        """How many of a way's circuits are on each line, as sums of variables."""
        if not draw.on_some(self.lines):
            return [{index: 1}] * self.lines
        chosen = [
            {self.program.variable(f"{self.mark}: {name} by {index} on line {line + 1}", draw.count): 1}
            for line in range(self.lines - 1)
        ]
        last: Terms = {index: 1}
        for terms in chosen:
            add_terms(last, dict.fromkeys(terms, -1))
        self.program.row(f"{self.mark}: lines of {name} by {index}", last, low=0)
        one_each = [*chosen, last]
        if draw.poles == 1:
            return one_each
        # On all lines but one: the variables say which one that is.
        return [
            {index: 1} | dict.fromkeys(terms, -1) if terms is not last else _less(index, last)
            for terms in one_each
        ]

    def _burden(self, free: int) -> Terms:
        """A limit that is passed already is the plan's business only when the plan puts something on it."""
        anything = self.program.variable(f"{self.mark}: anything")
        for machine, found in self.here.draws.items():
            most = max(draw.count for draw in found.values())
            self.program.row(
                f"{self.mark}: {machine} is something", {anything: most, **dict.fromkeys(found, -1)}, low=0
            )
        for terms in self.here.idle.values():
            for index in terms:
                self.program.row(f"{self.mark}: {index} idles", {anything: 1, index: -1}, low=0)
        return {anything: -free}

    def _starters(self, on_line: Mapping[str, list[Placed]]) -> list[str | None]:
        """Whose largest motor starts: of those behind a converter that may reach its limit, or of all others."""
        behind = {placed.draw.converter for found in on_line.values() for placed in found}
        return [
            None,
            *(name for name in sorted(behind - {None}, key=str) if self._over_plate_va(on_line, name) > 0),
        ]

    def _over_plate_va(self, on_line: Mapping[str, list[Placed]], converter: str | None) -> int:
        """The most that could hang on a converter above what it takes; above 0, it may hold something back.

        What is in a club is left out, as nothing holds it back (`circuits.demand.Holder.holds`, and `_relief` here). That is
        on the safe side: less is taken off the row.
        """
        through = [
            placed for found in on_line.values() for placed in found if placed.draw.converter == converter
        ]
        plain = sum(placed.draw.va * placed.draw.count for placed in through if placed.draw.club is None)
        idle = sum(self.here.idle.get(converter or "", {}).values())
        extra = max((placed.draw.extra_va for placed in through), default=0)
        return idle + plain + extra - self.capacity.input_va(converter or "")

    def _add_demand(self, row: Terms, on_line: Mapping[str, list[Placed]], starter: str | None) -> None:
        """Loads of their own, the heaviest of each club, a quarter of the largest motor, less what is held back."""
        clubs: dict[str, list[list[Placed]]] = defaultdict(list)
        for found in on_line.values():
            club = found[0].draw.club
            if club is None:
                for placed in found:
                    add_terms(row, placed.number, placed.draw.va)
            else:
                clubs[club].append(found)
        for club, members in clubs.items():
            self._heaviest(row, club, members)
        limited = [name for name in self._starters(on_line) if name is not None]
        starting = {
            name: [
                placed
                for placed in found
                if (placed.draw.converter if placed.draw.converter in limited else None) == starter
            ]
            for name, found in on_line.items()
        }
        extra = self._largest_motor(row, starting)
        self._relief(row, on_line, limited, starter, extra)

    def _heaviest(self, row: Terms, club: str, members: Sequence[list[Placed]]) -> None:
        """The heaviest k of a club: k times the last that counts, and what each is above it.

        The textbook form of the sum of the k largest, from memory: the least over t of k t + sum of max(0, x - t).
        """
        most = self.capacity.clubs[club]
        if sum(max(placed.draw.count for placed in found) for found in members) <= most:
            for found in members:
                for placed in found:
                    add_terms(row, placed.number, placed.draw.va)
            return
        high = max(placed.draw.va for found in members for placed in found)
        last = self.program.variable(f"{self.mark}: {club}", high)
        add_terms(row, {last: 1}, most)
        for found in members:
            for units in self._units(found, most, extra=False):
                terms = dict(units)
                add_terms(terms, {last: 1})
                if most > 1:
                    above = self.program.variable(f"{self.mark}: above {club}", high)
                    add_terms(row, {above: 1})
                    add_terms(terms, {above: 1})
                self.program.row(f"{self.mark}: one of {club}", terms, low=0)

    def _units(self, found: Sequence[Placed], most: int, *, extra: bool) -> Iterable[Terms]:
        """Of each circuit that may count, a sum that is minus what it draws.

        A single machine has one sum of all its ways; of several, each way has one for at least 1 of them, at least 2, and so
        on up to `most`.
        """
        if max(placed.draw.count for placed in found) == 1:
            terms: Terms = {}
            for placed in found:
                add_terms(terms, placed.number, -(placed.draw.extra_va if extra else placed.draw.va))
            return [terms]
        return [
            {self._at_least(placed, number): -(placed.draw.extra_va if extra else placed.draw.va)}
            for placed in found
            for number in range(1, min(most, placed.draw.count) + 1)
        ]

    def _at_least(self, placed: Placed, number: int) -> int:
        """A variable that is 1 when so many of a way's circuits are on a line; one that is it already where there is."""
        count = placed.draw.count
        if count == 1 and len(placed.number) == 1 and set(placed.number.values()) == {1}:
            return next(iter(placed.number))
        key = (tuple(sorted(placed.number.items())), number)
        if key not in self.some:
            self.some[key] = self.program.variable(f"{self.mark}: {number} or more")
            terms = {self.some[key]: count - number + 1}
            add_terms(terms, placed.number, -1)
            self.program.row(f"{self.mark}: {number} or more", terms, low=1 - number)
        return self.some[key]

    def _largest_motor(self, row: Terms, starting: Mapping[str, list[Placed]]) -> int | None:
        """The variable of a quarter of the largest motor, None where there is no motor."""
        motors = [[placed for placed in found if placed.draw.extra_va] for found in starting.values()]
        motors = [found for found in motors if found]
        if not motors:
            return None
        high = max(placed.draw.extra_va for found in motors for placed in found)
        extra = self.program.variable(f"{self.mark}: largest motor", high)
        add_terms(row, {extra: 1})
        for found in motors:
            for units in self._units(found, 1, extra=True):
                terms = dict(units)
                add_terms(terms, {extra: 1})
                self.program.row(f"{self.mark}: motor of {found[0].draw.machine}", terms, low=0)
        return extra

    def _relief(
        self,
        row: Terms,
        on_line: Mapping[str, list[Placed]],
        limited: Sequence[str],
        starter: str | None,
        extra: int | None,
    ) -> None:
        """What load managers and the plates of converters hold back; of two that hold the same machine only one."""
        plain = [placed for found in on_line.values() for placed in found if placed.draw.club is None]
        working: list[tuple[int, list[Placed]]] = []
        for manager, have in self.here.managing:
            held = [placed for placed in plain if placed.draw.machine in (manager.machines or ())]
            at_work = self._held(row, manager.name, held, {}, self.capacity.holds_to_va(manager), 0)
            if at_work is not None:
                self.program.row(f"{self.mark}: {manager.name} is there", {at_work: -1, **have}, low=0)
                working.append((at_work, held))
        for converter in limited:
            held = [placed for placed in plain if placed.draw.converter == converter]
            more = dict(self.here.idle.get(converter, {}))
            high = sum(more.values())
            if starter == converter and extra is not None:
                more[extra] = 1
                high += self.program.variables[extra].high
            at_work = self._held(row, converter, held, more, self.capacity.input_va(converter), high)
            if at_work is not None:
                working.append((at_work, held))
        for (one, held), (other, also) in combinations(working, 2):
            for placed in held:
                if placed in also:
                    terms = {one: 1, other: 1}
                    add_terms(terms, {self._at_least(placed, 1): 1})
                    self.program.row(f"{self.mark}: one holds {placed.draw.machine}", terms, high=2)

    def _held(
        self, row: Terms, name: str, held: Sequence[Placed], more: Terms, holds_to_va: int, high: int
    ) -> int | None:
        """Take off what is held back; returns the variable that says so, None where it never can be."""
        most = sum(placed.draw.va * placed.draw.count for placed in held) + high - holds_to_va
        if most <= 0:
            return None
        relief = self.program.variable(f"{self.mark}: held back by {name}", most)
        at_work = self.program.variable(f"{self.mark}: {name} at work")
        self.program.row(f"{self.mark}: {name} when at work", {relief: -1, at_work: most}, low=0)
        loads: Terms = dict(more)
        for placed in held:
            add_terms(loads, placed.number, placed.draw.va)
        add_terms(loads, {relief: -1, at_work: -holds_to_va})
        self.program.row(f"{self.mark}: {name} holds", loads, low=0)
        add_terms(row, {relief: -1})
        return at_work


def _less(index: int, terms: Mapping[int, int]) -> Terms:
    """A variable less some terms."""
    found = {index: 1}
    add_terms(found, terms, -1)
    return found


def _first(entry: tuple[int, Draw]) -> int:
    return entry[0]
