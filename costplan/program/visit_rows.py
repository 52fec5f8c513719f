"""Visits and permits in the program: paid once for all work of a visit, whatever it is for."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from costplan.ledger.lines import Line, Pocket, hired_labor, present_value
from costplan.ledger.plan import Visits
from costplan.ledger.pricing import TODAY, Call, Once, Pricer, Stop, When
from costplan.program.program import Program, Terms, add_terms
from costplan.years.stream import Trip

Together = Callable[[Iterable[int]], list[tuple[list[int], int]]]
VISITS = (Call.VISIT, Call.OWN_VISIT)
PERMITS = (Call.PERMIT, Call.OWN_PERMIT)


class _Called:
    """Who calls for which visit, permit, stop or thing paid once; adds variables for what is paid where anybody does."""

    def __init__(self, program: Program, pricer: Pricer, together: Together, outlay: Terms) -> None:
        self.program, self.pricer, self.together = program, pricer, together
        self.outlay = outlay
        # The hired crew's, in the money of the year, where there is a least charge.
        self.labor: dict[tuple[When, Trip], Terms] = defaultdict(dict)
        self.causes: dict[tuple[Call | Stop | Once, When, Trip], dict[int, int]] = defaultdict(dict)

    def work(self, cents: int, when: When, trip: Trip, terms: Mapping[int, int]) -> None:
        """Note so much hired labor in the visit of a date or a move for each of some variables."""
        if cents and self.pricer.hiring.crew.minimum_cents:
            add_terms(self.labor[when, trip], terms, cents)

    def raised(self, name: str, trip: Trip, causes: Mapping[int, int], worth: int) -> int:
        """A variable that is at least 1 where a cause is above 0, or as many as machines with a visit of their own."""
        index = self.program.variable(name, max(causes.values(), default=1) if trip else 1, worth)
        for group, high in self.together(causes):
            row = {index: 1 if trip else high} | dict.fromkeys(group, -1)
            self.program.row(f"{name} for {group[0]}", row, low=0)
        return index

    def flag(self, key: tuple[Call, When, Trip], lines: list[Line], *, needed: bool = False) -> int | None:
        """A variable for a visit or a permit: 0 or 1, or as many as machines that each have their own."""
        call, when, trip = key
        worth = present_value(lines)
        minimum = call is Call.VISIT and self.pricer.hiring.crew.minimum_cents
        if not (worth or minimum or needed or trip):
            return None
        causes = self.causes[key]
        name = _say(call, when, trip)
        index = self.raised(name, trip, causes, worth)
        most = self.program.variables[index].high
        if needed:
            self.program.row(f"{name} only when asked", {index: -1} | dict.fromkeys(causes, most), low=0)
        self.pay(index, when, trip, lines)
        return index

    def pay(self, index: int, when: When, trip: Trip, lines: list[Line]) -> None:
        """What of some lines is paid in cash today, and what of them is labor of the hired crew's visit."""
        if when.year == 0:
            self.outlay[index] += sum(line.amount_cents for line in lines if line.pocket is Pocket.CASH)
        self.work(hired_labor(lines), when, trip, {index: 1})


class VisitRows:
    """Collects who calls for which visit; then adds variables for visits, their permits and the first permits."""

    def __init__(self, program: Program, pricer: Pricer, together: Together, outlay: Terms) -> None:
        """What visits cost today is added to the outlay.

        together: causes grouped, of each machine and of each thing asked for, with the most they add up to.
        """
        self.program, self.pricer = program, pricer
        self.called = _Called(program, pricer, together, outlay)
        # Of the hired crew, by date and by the move that a visit is of its own for.
        self.visits: dict[tuple[When, Trip], int] = {}
        self.permits: Mapping[tuple[When, Trip], int] = {}
        self.stops: dict[tuple[When, Trip], dict[Decimal, int]] = defaultdict(dict)
        self.once: dict[tuple[When, Trip], dict[Once, int]] = defaultdict(dict)

    def call(
        self, calls: Collection[Call | Stop | Once], when: When, trip: Trip, terms: Mapping[int, int]
    ) -> None:
        """Note what a bundle makes somebody pay, wherever one of its variables is above 0."""
        if not calls:
            return
        high = {index: self.program.variables[index].high for index in terms}
        for call in calls:
            self.called.causes[call, when, trip if call.hired else ()].update(high)

    def work(self, cents: int, when: When, trip: Trip, terms: Mapping[int, int]) -> None:
        """Note so much hired labor in the visit of a date or a move for each of a bundle's variables."""
        self.called.work(cents, when, trip, terms)

    def add(self) -> None:
        """Add the rows of all that was called for."""
        for call, when, trip in list(self.called.causes):
            if call in VISITS:
                index = self.called.flag((call, when, trip), self.pricer.visit(when, call))
                if call is Call.VISIT and index is not None:
                    self.visits[when, trip] = index
        self._shop_stopped()
        self._once()
        for (when, trip), visit in self.visits.items():
            self._minimum(when, trip, visit)
        self.permits = _PermitRows(self.called).add()

    def made(self, values: Sequence[int]) -> tuple[Visits, ...]:
        """The visits of moves that an answer makes, each with what it has."""
        found = []
        for (when, trip), visit in self.visits.items():
            if trip and values[visit]:
                key, permit = (when, trip), self.permits.get((when, trip))
                stops = tuple((hours, values[i]) for hours, i in self.stops.get(key, {}).items() if values[i])
                once = tuple((what, values[i]) for what, i in self.once.get(key, {}).items() if values[i])
                permits = 0 if permit is None else values[permit]
                found.append(Visits(when.scenario, when.year, trip, values[visit], permits, stops, once))
        return tuple(found)

    def _shop_stopped(self) -> None:
        """The shop stops once a visit, for the longest of its tasks: a variable for every length it may reach."""
        stops: dict[tuple[When, Trip], dict[Decimal, dict[int, int]]] = defaultdict(dict)
        for (call, when, trip), causes in self.called.causes.items():
            if isinstance(call, Stop) and self.pricer.facts.shop.money.shop_hour_cents:
                stops[when, trip][call.hours] = causes
        for (when, trip), by_hours in stops.items():
            before, shorter = 0, None
            for hours in sorted(by_hours):
                worth = present_value(self.pricer.shop_stopped(when, hours))
                longer = [found for more, found in by_hours.items() if more >= hours]
                causes = {index: high for found in longer for index, high in found.items()}
                name = f"shop stopped {hours} h, {_say('', when, trip)}"
                index = self.stops[when, trip][hours] = self.called.raised(name, trip, causes, worth - before)
                if shorter is not None:
                    self.program.row(f"{name} only after less", {index: 1, shorter: -1}, high=0)
                before, shorter = worth, index

    def _once(self) -> None:
        """What a visit has once: paid where anything of the visit asks for it."""
        for (call, when, trip), causes in list(self.called.causes.items()):
            if not isinstance(call, Once):
                continue
            lines = self.pricer.once(when, call)
            name = f"{call.what} once, {_say('', when, trip)}"
            index = self.once[when, trip][call] = self.called.raised(name, trip, causes, present_value(lines))
            self.called.pay(index, when, trip, lines)

    def _minimum(self, when: When, trip: Trip, visit: int) -> None:
        """What the labor of a visit falls short of its least charge; that of all visits of one move is taken together."""
        least, said = self.pricer.least_cents(when), _say("short of the minimum", when, trip)
        if not least:
            return
        short = self.program.variable(said, least * self.program.variables[visit].high)
        if when == TODAY:
            self.called.outlay[short] += 1
        row = {short: 1}
        add_terms(row, self.called.labor[when, trip])
        add_terms(row, {visit: -least})
        self.program.row(said, row, low=0)
        self._rounded(said, short, self.pricer.short_worth(when))

    def _rounded(self, said: str, amount: int, worth: Fraction) -> None:
        """The cost of an amount of so much worth each: whole cents, half to even.

        They are 2 pairs + odd, which is 0 or 1: amount x worth is at most 2 pairs + 1/2 where they are even, less than
        2 pairs + 3/2 where they are odd. Times twice the denominator that is one row of whole numbers.
        """
        cents, each = worth.as_integer_ratio()
        most = round(self.program.variables[amount].high * worth)
        if worth == 1:
            self.program.add_cost(amount, 1)
        elif most:
            pairs = self.program.variable(f"pairs of cents of {said}", (most + 1) // 2, 2)
            odd = self.program.variable(f"odd cent of {said}", 1, 1)
            row = {pairs: 4 * each, odd: 2 * each - 1, amount: -2 * cents}
            self.program.row(f"worth of {said}", row, low=-each)


class _PermitRows:
    """Adds a permit for each visit that needs one, and which of them are the first."""

    def __init__(self, called: _Called) -> None:
        self.program, self.pricer, self.called = called.program, called.pricer, called
        self.of_hired: dict[tuple[When, Trip], int] = {}

    def add(self) -> Mapping[tuple[When, Trip], int]:
        """Add the rows; gives the permits of the hired crew, by date and by the move that a visit is of its own for."""
        for call in PERMITS:
            self._permits(call)
        return self.of_hired

    def _permits(self, call: Call) -> None:
        """A permit for each visit that needs one; the first ever of a scenario may have a price of its own."""
        crew = self.pricer.crew_of(call)
        differ = crew.later_permit_cents is not None and crew.later_permit_cents != crew.permit_cents
        by_when: dict[When, list[int]] = defaultdict(list)
        for key in [(call, when, trip) for of, when, trip in self.called.causes if of is call]:
            when = key[1]
            lines = self.pricer.permit(when, call, first=when.year == 0)
            index = self.called.flag(key, lines, needed=differ)
            if index is not None:
                by_when[when].append(index)
                if call is Call.PERMIT:
                    self.of_hired[when, key[2]] = index
        if differ:
            self._first(call, by_when)

    def _first(self, call: Call, by_when: Mapping[When, list[int]]) -> None:
        scenarios = sorted({when.scenario for when in by_when if when.year})
        today = by_when.get(TODAY, [])
        for scenario in scenarios:
            before: list[int] = list(today)
            firsts: list[int] = []
            for when in sorted((w for w in by_when if w.scenario == scenario), key=lambda w: w.year):
                some = self._any(by_when[when])
                first_ever, later = (self.pricer.permit(when, call, first=first) for first in (True, False))
                extra = present_value(first_ever) - present_value(later)
                first = self.program.variable(f"first {call} year {when.year} {scenario}", 1, extra)
                self.program.row(f"first {call} only with one", {first: 1, some: -1}, high=0)
                for index in before:
                    self.program.row(f"first {call} not after {index}", {first: 1, index: 1}, high=1)
                firsts.append(first)
                row = dict.fromkeys([*firsts, *today], 1) | {some: -1}
                self.program.row(f"some first {call} by {when.year}", row, low=0)
                before.append(some)

    def _any(self, indices: list[int]) -> int:
        """1 when any of the variables is above 0, else 0."""
        if len(indices) == 1 and self.program.variables[indices[0]].high == 1:
            return indices[0]
        some = self.program.variable(f"any of {indices}")
        high = sum(self.program.variables[index].high for index in indices)
        self.program.row(f"any of {indices}", {some: high} | dict.fromkeys(indices, -1), low=0)
        self.program.row(f"any of {indices} only then", {some: -1} | dict.fromkeys(indices, 1), low=0)
        return some


def _say(call: str, when: When, trip: Trip) -> str:
    words = [f"{call} year {when.year}", when.scenario]
    if trip:
        machine, way, step = trip
        words.append(f"{machine} by {way.describe()}, move {step + 1}")
    return " ".join(word for word in words if word)
