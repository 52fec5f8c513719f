"""The stream of one machine by one way: what its circuit goes through in every scenario."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, partial

from costplan.circuits.change import Step, alter, leave
from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.circuit import Standing as Place
from costplan.circuits.losses import energy_lost
from costplan.circuits.needs import LOOSE, PUT_IN_AGAIN, Bundle, Change, Return, Slot, Slowed, StockNeed
from costplan.circuits.present import Beginning, begin, gone
from costplan.circuits.taking_out import taken_out
from costplan.model.choices import VisitRule
from costplan.model.layouts import MovedToday
from costplan.years.calendar import Life
from costplan.years.stream import TODAY, Date, Deed, End, Given, Standing, Stream, TakenOut, Trip, Use


def stream(builder: Builder, fate: Mapping[str, Life]) -> Stream:
    """Everything that happens to the machine's circuit: arrival, moves, retooling, departure, care, losses.

    Care of cords and electricity lost come at the end of every year in which the circuit was there.
    Raises CannotSizeError and NoRouteError when the way cannot serve one of its standings.
    """
    known = cache(partial(begin, builder))
    courses = {scenario: _Course(builder, scenario, life, known) for scenario, life in fate.items()}
    for course in courses.values():
        course.run()
    return merged(courses, fate)


@dataclass
class Thing:
    """A thing in use in one scenario, while its course is walked."""

    since: Date
    why: str
    need: StockNeed
    present: bool
    trip: Trip
    end: End | None = None
    parted: list[tuple[Date, Return]] = field(default_factory=list)
    places: list[tuple[Date, Slowed]] = field(default_factory=list)
    taken_out: list[TakenOut] = field(default_factory=list)

    def comes_out(self, scenario: str, year: int | None, place: str, bundle: Bundle) -> None:
        """The landlord has it taken out in that year, None for never."""
        if bundle and year is not None:
            self.taken_out.append(TakenOut(scenario, year, place, bundle))


@dataclass
class Record:
    """What the walk of one scenario notes down."""

    deeds: list[Deed] = field(default_factory=list)
    things: list[Thing] = field(default_factory=list)
    given: list[Given] = field(default_factory=list)
    standings: list[Standing] = field(default_factory=list)

    def do(
        self, scenario: str, date: Date, why: str, bundle: Bundle, trip: Trip = (), *, yearly: bool = False
    ) -> None:
        """Note something done, if it is anything."""
        if bundle:
            self.deeds.append(Deed(scenario if date[0] else "", date, why, bundle, trip, yearly))


class _Course(Record):
    def __init__(
        self, builder: Builder, scenario: str, life: Life, begin: Callable[[Place], Beginning]
    ) -> None:
        super().__init__()
        self.begin = begin
        self.builder, self.scenario, self.life = builder, scenario, life
        self.facts = builder.facts
        self.horizon = self.facts.shop.years
        self.open: dict[Slot, Thing] = {}
        self.circuit: Circuit | None = None
        self.kept: list[tuple[str, Bundle]] = []

    def run(self) -> None:
        leaves = self.life.leaves
        if leaves == 0:
            self._gone_today(self.life.standings[0])
            return
        for year in range((self.horizon if leaves is None else leaves) + 1):
            self._yearly(year)
            for place in self.life.standings:
                if place.year == year:
                    self._stand(place)
            if leaves == year and self.circuit is not None:
                self._leave(year, self.circuit)
                self.circuit = None
        if self.circuit is not None:
            self._taken_out(self.circuit)

    def _gone_today(self, place: Place) -> None:
        beginning = gone(self.builder, place, self.life.leaves_why)
        self._had(beginning)
        self._change(TODAY, beginning.step.change, ())

    def _had(self, beginning: Beginning) -> None:
        """What the machine's circuit is made of before anything is done."""
        for slot, need in beginning.had:
            self.open[slot] = Thing(TODAY, "is there already", need, True, ())
            self.things.append(self.open[slot])

    def _yearly(self, year: int) -> None:
        for why, bundle in self.kept if self.circuit is not None else ():
            self.do(self.scenario, (year, 0), why, bundle, yearly=True)

    def _every_year(self, circuit: Circuit) -> Iterator[tuple[str, Bundle]]:
        if circuit.flexible:
            care = self.builder.expanded("yearly cord care")
            yield "yearly care of the cord", care.slowed(circuit.machine_slowed)
        yield "electricity lost in the year", energy_lost(self.facts, self.builder.machine, circuit)

    def _stand(self, place: Place) -> None:
        date = (place.year, place.step)
        if self.circuit is None:
            beginning = self.begin(place)
            self._had(beginning)
            step = self._moved_today(beginning.step)
        else:
            step = alter(self.builder, self.circuit, place)
            if step.circuit is not None and step.circuit.standing.building != self.circuit.standing.building:
                self._taken_out(self.circuit)
        self._change(date, step.change, self._trip(step.change, place.step))
        self._moved_along(date, self.circuit, step.circuit)
        self.circuit = step.circuit
        self.kept = list(self._every_year(step.circuit)) if step.circuit is not None else []

    def _moved_today(self, step: Step) -> Step:
        """The machine's first step with its move, where a layout moves it; all that is done today is one visit."""
        if not isinstance(self.builder.machine, MovedToday) or step.circuit is None:
            return step
        handling = self.builder.expanded("move machine").slowed(step.circuit.machine_slowed)
        return replace(step, change=replace(step.change, always=step.change.always + handling))

    def _moved_along(self, date: Date, before: Circuit | None, after: Circuit | None) -> None:
        """Things that came along to where work takes longer, or no longer does."""
        if before is None or after is None:
            return
        for slot, thing in self.open.items():
            fixed = slot in (Slot.OUTLET, Slot.RECEPTACLE)
            was = before.outlet_slowed if fixed else before.machine_slowed
            now = after.outlet_slowed if fixed else after.machine_slowed
            if was != now and slot is not Slot.BREAKER and thing.since < date:
                thing.places.append((date, now))

    def _trip(self, change: Change, step: int) -> Trip:
        each = self.facts.shop.hired_visits is VisitRule.EACH_MOVE
        return (self.builder.machine.name, self.builder.way, step) if change.moves and each else ()

    def _change(self, date: Date, change: Change, trip: Trip) -> None:
        for slot, given_back in change.ended:
            left = _left_in(given_back, trip)
            ended = self.open.pop(slot, None)
            if ended is not None:
                ended.end = End(date, left)
            elif left is not None:
                self.given.append(Given(self.scenario if date[0] else "", date, left))
            if slot is Slot.OUTLET:
                self._gone(date, LOOSE.values())
        if change.left:
            self._gone(date, Slot)
        for left in change.freed:
            self._part(date, left)
        for slot, need in change.begun:
            self.open[slot] = Thing(date, change.why, need, False, trip)
            self.things.append(self.open[slot])
        self.do(self.scenario, date, change.why, change.always, trip)
        if change.panel or change.left:
            self.standings.append(Standing(date[0], change.panel, change.poles, change.draw_va))

    def _gone(self, date: Date, slots: Iterable[Slot]) -> None:
        """What goes with the outlet, or with the machine, and is set free for nobody."""
        for slot in slots:
            if slot in self.open:
                self.open.pop(slot).end = End(date, None)

    def _part(self, date: Date, left: Return) -> None:
        """An end of the run is taken out: one put in later, or the one that the outlet was made with."""
        loose = self.open.pop(LOOSE[left.item.spec.kind], None)
        if loose is not None:
            loose.end = End(date, left if left.item.spec.kind in PUT_IN_AGAIN else None)
        else:
            self.open[Slot.OUTLET].parted.append((date, left))

    def _leave(self, year: int, circuit: Circuit) -> None:
        change = leave(self.builder, circuit, self.life.leaves_why).change
        if self.life.wiring_out == year and circuit.standing.building == 0:
            # Nobody comes any more, so the outlet comes out at once: it is neither left live nor made safe before.
            outlet = (Slot.OUTLET, None)
            change = replace(change, ended=(outlet, *(e for e in change.ended if e[0] is not Slot.OUTLET)))
            self._taken_out(circuit)
        self._change((year, 0), change, ())

    def _taken_out(self, circuit: Circuit) -> None:
        """What the landlord has taken out, of an outlet that nobody else can use by then."""
        bundle, out = taken_out(self.builder, circuit), self.life.wiring_out
        self.open[Slot.OUTLET].comes_out(self.scenario, out, circuit.outlet_place, bundle)


def _left_in(left: Return | None, trip: Trip) -> Return | None:
    """What a move leaves, with the visit in which it would be made safe."""
    if left is None or not trip or not left.unused:
        return left
    return replace(left, item=replace(left.item, left_in=trip))


def merged(courses: Mapping[str, Record], fate: Mapping[str, Life]) -> Stream:
    """The walks of all scenarios in one: what begins today begins in all of them."""
    first = next(iter(courses.values()))
    deeds = [deed for deed in first.deeds if deed.date[0] == 0]
    given = [entry for entry in first.given if entry.date[0] == 0]
    for course in courses.values():
        deeds += [deed for deed in course.deeds if deed.date[0] > 0]
        given += [entry for entry in course.given if entry.date[0] > 0]
    today = {name: [t for t in course.things if t.since[0] == 0] for name, course in courses.items()}
    uses = []
    for together in zip(*today.values(), strict=True):
        uses.append(_use("", dict(zip(today, together, strict=True))))
    for name, course in courses.items():
        uses += [_use(name, {name: thing}) for thing in course.things if thing.since[0] > 0]
    standings = {name: tuple(course.standings) for name, course in courses.items()}
    out = {name: life.wiring_out for name, life in fate.items()}
    return Stream(tuple(deeds), tuple(_shareable(uses)), tuple(given), standings, out)


def _use(scenario: str, by_scenario: Mapping[str, Thing]) -> Use:
    """What becomes of a thing in each scenario; it is the same thing in all of them."""
    thing = next(iter(by_scenario.values()))
    return Use(
        scenario,
        thing.since,
        thing.why,
        thing.need,
        tuple((name, found.end) for name, found in by_scenario.items()),
        thing.present,
        thing.trip,
        tuple((name, *parted) for name, found in by_scenario.items() for parted in found.parted),
        tuple((name, *place) for name, found in by_scenario.items() for place in found.places),
        tuple(out for found in by_scenario.values() for out in found.taken_out),
    )


def _shareable(uses: list[Use]) -> list[Use]:
    """Turns share outlets of today and of a building moved to, if kept as they are to the end or until the shop moves."""
    altered = any(use.parted for use in uses)
    return [use if _for_many(use) and not altered and _kept(use) else _for_one(use) for use in uses]


def _for_many(use: Use) -> bool:
    """Whether machines that take turns may come to it together: today, or where all is made anew after the shop moved."""
    return use.since[0] == 0 or (
        use.thing.item.spec.outlet is not None and use.thing.item.outlet.building != 0
    )


def _kept(use: Use) -> bool:
    return not use.present and all(end is None or end.left is None for _, end in use.ends)


def _for_one(use: Use) -> Use:
    if use.thing.shared_by is None:
        return use
    inner = tuple(replace(need, shared_by=None) for need in use.thing.inner)
    return replace(use, thing=replace(use.thing, shared_by=None, inner=inner))
