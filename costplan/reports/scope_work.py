"""Work of a plan by the place where it is done, each row with what goes out and what goes in."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.needs import Item
from costplan.circuits.quoted_work import QUOTED_WORK
from costplan.circuits.switch import switch_recipe
from costplan.circuits.things import Made
from costplan.circuits.ways import Way
from costplan.ledger.asked import in_panel
from costplan.ledger.holding import written
from costplan.ledger.lines import INSPECT_SURPLUS, Line, LineKind
from costplan.ledger.steps import Act, Step
from costplan.model.choices import Method
from costplan.model.labor import Role
from costplan.model.ratings import FUSED_DISCONNECT
from costplan.program.ranked import Ranked
from costplan.reports.before_after import PanelRow, PanelTable, circuit_name
from costplan.reports.circuits import end_words, rated_words, rehung_words, to_be_made, wires_words
from costplan.reports.conversion import BECOMES, of_step
from costplan.reports.scope_drives import fitted_by, fitting_words, line_cord
from costplan.reports.there import Powered, There
from costplan.reports.work_words import piece, whose
from costplan.studies.protection_cost import turns_on_edition, turns_on_machine, turns_on_place
from costplan.years.calendar import lives, scenarios_of

WHOLE_SHOP = "whole shop"
OF_CORDS = frozenset({"cord", "plug", "connector", Made.KIT, Made.OWN_PLUG})
"""Kinds of things that are the owner's between an outlet and a machine."""
ENDS_OF_RUN = frozenset({"receptacle", "disconnect", FUSED_DISCONNECT})


_SWITCH = "at the machine, between its cord and its motor"
_AHEAD = "at the machine, between its cord and its drive"


class Besides(StrEnum):
    """Work that is asked for beside the tasks that the plan pays for; common practice, no source."""

    TEST = "test before use"
    DIRECTORY = "correct the directory"
    OPENINGS = "close openings"
    HANG = "hang a cord"


@dataclass(frozen=True, slots=True)
class WorkRow:
    """So much of a task at a location; `detail` says what goes out and what goes in.

    `besides` says which work beside the plan's tasks it is, None for a task. `run` is the outlet that is made, and
    `lines` are the circuits that it is made for, where one is. `permit` says whether the owner's list has it need one.
    """

    place: str
    what: str
    quantity: Decimal
    machines: tuple[str, ...]
    detail: str = ""
    besides: Besides | None = None
    run: Item | None = None
    lines: tuple[int, ...] = ()
    permit: bool = False

    @property
    def words(self) -> str:
        """The task with its detail."""
        said = f"line {', '.join(map(str, self.lines))}" if self.lines else self.detail
        return f"{self.what}: {said}" if said else self.what


class Receptacle(NamedTuple):
    """A receptacle of which nobody said whether it is to be protected: where it is, whom it serves, what it takes."""

    where: str
    names: tuple[str, ...]
    configuration: str


def labor_lines(facts: Facts, ranked: Ranked, *, today: bool) -> tuple[list[Line], list[Line]]:
    """Labor lines of hired people and of the owner, set-up left out."""
    owners = {crew.name for crew in facts.crews if crew.role is Role.OWNER} | {"owner"}
    known = {*facts.tasks, QUOTED_WORK, INSPECT_SURPLUS}
    lines = [
        line
        for line in ranked.lines
        if line.kind is LineKind.LABOR and (line.year == 0) == today and line.task in known
    ]
    return [line for line in lines if line.crew not in owners], [
        line for line in lines if line.crew in owners
    ]


def task_name(facts: Facts, line: Line) -> str:
    """The task of a line in words."""
    if line.task in facts.tasks:
        return facts.tasks[line.task].name
    if line.task != QUOTED_WORK:
        return "inspect and test used parts"
    return "the whole run, parts included" if line.what == QUOTED_WORK else f"{line.what}, parts included"


def work_rows(facts: Facts, lines: Iterable[Line], details: "Details") -> tuple[WorkRow, ...]:
    """Quantities by location and task, in the order of the labor file."""
    order = {task: position for position, task in enumerate(facts.tasks)}
    quantity: dict[_Key, Decimal] = defaultdict(Decimal)
    machines: dict[_Key, set[str]] = defaultdict(set)
    circuits: dict[_Key, set[int]] = defaultdict(set)
    permits: dict[_Key, bool] = defaultdict(bool)
    for line in lines:
        place, run = details.place(line), made(line.step)
        detail = "" if run is not None else details.of(line)
        key = (place, order.get(line.task, len(order)), task_name(facts, line), detail, run)
        permits[key] |= details.permit(line)
        quantity[key] += line.quantity
        machines[key] |= {written(facts, line.machine)} if line.machine else set()
        number = details.lines.get((line.machine, run)) if run is not None else None
        circuits[key] |= set() if number is None else {number}
    rows = []
    for key in sorted(quantity, key=lambda key: (*key[:4], sorted(circuits[key]))):
        place, _, what, detail, run = key
        names, numbers = tuple(sorted(machines[key])), tuple(sorted(circuits[key]))
        rows.append(
            WorkRow(place, what, quantity[key], names, detail, run=run, lines=numbers, permit=permits[key])
        )
    return tuple(rows)


_Key = tuple[str, int, str, str, Item | None]


def made(step: Step | None) -> Item | None:
    """The outlet that a step makes anew; None where it makes none."""
    return step.item if step is not None and step.kind == "outlet" and step.act is Act.BUY else None


# what goes out and what goes in -------------------------------------------------------------------


class Details:
    """What the work of a line is about: the thing that is put in, what it takes the place of, whose it was."""

    def __init__(
        self, facts: Facts, ranked: Ranked, there: There, lines: Mapping[tuple[str, Item], int]
    ) -> None:
        self.facts, self.there, self.lines = facts, there, lines
        self.places: dict[str, str] = {}
        self._ends: dict[int, Powered] = {}
        self._circuits: dict[tuple[str, Item], tuple[Way, Circuit]] = {}
        self._stands: dict[str, str] = {}
        for powered in there.powered:
            name, circuit = powered.machine.name, powered.circuit
            self.places[name] = circuit.outlet_place
            self._stands[name] = circuit.standing.place
            self._circuits[name, circuit.outlet.item] = (powered.way, circuit)
            for step in (powered.receptacle, powered.breaker):
                if step is not None:
                    self._ends[id(step)] = powered
        self._later(ranked)
        self._ranked = ranked
        self._driven = {name for (name, _), (_, of) in self._circuits.items() if of.supplied.load.driven}
        self._permit_years = {line.year for line in ranked.lines if line.kind is LineKind.PERMIT}

    def _later(self, ranked: Ranked) -> None:
        """Circuits of later years, so that their lengths and wires can be told."""
        for scenario in scenarios_of(self.facts.shop):
            fate = lives(self.facts.shop, scenario)
            for name, way, _ in ranked.plan.made_here():
                builder = Builder(self.facts, self.facts.machines[name], way)
                for standing in fate[name].standings:
                    if standing.year > 0:
                        circuit = builder.build(standing)
                        self._circuits.setdefault((name, circuit.outlet.item), (way, circuit))

    def place(self, line: Line) -> str:
        """Where today's work is done, by the walk, or where the machine stands."""
        return line.place or self._stands.get(line.machine, WHOLE_SHOP)

    def permit(self, line: Line) -> bool:
        """Whether the owner's list has work need a permit; quoted work is in no list and goes by what is paid for."""
        if line.task in self.facts.tasks:
            return self.facts.tasks[line.task].permit
        return line.task == QUOTED_WORK and line.year in self._permit_years

    def protection(self, line: Line) -> Receptacle | None:
        """The receptacle that work sets or changes, where its protection is to be asked for; None for other work."""
        step = line.step
        if step is None or step.act is not Act.BUY:
            return None
        known = self._circuits.get((step.machine, step.item))
        if step.kind == "outlet" and known is not None:
            return protected(self.facts, (step.machine,), *known)
        if step.kind != "receptacle" or step.run is None or step.within:
            return None
        ends = [
            (way, circuit) for (name, _), (way, circuit) in self._circuits.items() if name == step.machine
        ]
        place, into = step.run.outlet.place, dict(step.item.spec.equal)["configuration"]
        at = [(way, c) for way, c in ends if (c.outlet_place, c.size.configuration) == (place, into)]
        return protected(self.facts, (step.machine,), *at[0]) if at else None

    def of(self, line: Line) -> str:
        """The detail of a line; empty where the task says all."""
        step = line.step
        if step is None:
            return ""
        if step.kind == "outlet":
            return self._outlet(step)
        if Made.OWN_SWITCH in (step.kind, step.within):
            recipe = switch_recipe(self.facts, self.facts.machines[step.machine])
            if line.task not in {entry.task for entry in self.facts.recipe(recipe).tasks}:
                return f"the lead from its switch, into the {'drive' if step.machine in self._driven else 'machine'}"
            on_hand = " (from the shelf)" if step.act is Act.TAKE_FROM_SHELF else ""
            stands = _AHEAD if step.machine in self._driven else _SWITCH
            damp = any(c.damp_there for (name, _), (_, c) in self._circuits.items() if name == step.machine)
            return f"{rated_words('disconnect', step.item.spec, damp=damp)} {stands}{on_hand}"
        if step.kind in ENDS_OF_RUN:
            return self._end(step)
        if step.kind == "breaker":
            return self._breaker(step)
        if step.kind in OF_CORDS:
            return self._cord(step)
        first = step.kind == DRIVE and line.task == fitted_by(self.facts, step.machine)
        return fitting_words(self.facts, step) if first else ""

    def _outlet(self, step: Step) -> str:
        if step.act in (Act.MAKE_SAFE, Act.LEAVE_LIVE):
            old = f"{whose(written(self.facts, step.machine))} old outlet" if step.machine else "idle outlet"
            return f"{old}, {end_words(step.item.outlet.end)}"
        known = self._circuits.get((step.machine, step.item))
        if step.act is not Act.BUY or known is None:
            return ""
        way, circuit = known
        beside = way.method is Method.CORD
        run = f"outlet {circuit.outlet_place}" if beside else f"{way.label} from {circuit.panel}"
        size = circuit.size
        wires = wires_words(size)
        return f"{run}, {circuit.run_ft} ft, {wires}, {to_be_made(way, circuit)}"

    def _end(self, step: Step) -> str:
        """The receptacle or disconnect of a run that stays, in place of another."""
        powered = self._ends.get(id(step))
        had = powered.had if powered is not None else None
        before = step.run.outlet.end if step.run is not None else ""
        into = dict(step.item.spec.equal).get("configuration", step.kind)
        damp = powered is not None and powered.circuit.damp_there
        put_in = end_words(into) if into != step.kind else rated_words(step.kind, step.item.spec, damp=damp)
        if step.within:
            return f"{put_in} in"
        out = had.end if had is not None else before
        on_hand = " (from the shelf)" if step.act is Act.TAKE_FROM_SHELF else ""
        words = f"{end_words(out)} out, {put_in} in{on_hand}"
        # Of today's work the notes say it, with what is found in the panel.
        turned = "; ".join(BECOMES[each] for each in of_step(step)) if powered is None else ""
        return f"{words}; {turned}" if turned else words

    def _breaker(self, step: Step) -> str:
        powered = self._ends.get(id(step))
        bought_a = int(dict(step.item.spec.at_least)["rating_a"])
        poles = dict(step.item.spec.equal)["poles"]
        into = f"{poles}-pole {self.there.rating_a(step, bought_a)} A on ({self._source(step)})"
        had = powered.had if powered is not None else None
        off = f"{had.poles}-pole {had.breaker_a} A off, " if had is not None else ""
        return f"{circuit_name(step.run)}: {off}{into}" if step.run is not None else f"{off}{into}"

    def _source(self, step: Step) -> str:
        """Where a breaker comes from."""
        if step.act is Act.BUY:
            return "new"
        if step.out_of is not None:
            return f"out of the {circuit_name(step.out_of)}"
        return "from the shelf" if step.act is Act.TAKE_FROM_SHELF else "there already"

    def _cord(self, step: Step) -> str:
        """Things between an outlet and a machine: from where to where they hang."""
        start, end = self.places.get(step.machine, ""), self._stands.get(step.machine, "")
        way = f"from {start} to {end}" if start and end and start != end else f"at {end}" if end else ""
        if step.kind == "cord":
            feet = step.wanted.length_ft if step.wanted is not None else step.item.length_ft
            return f"{way}, {feet} ft" if way else f"{feet} ft"
        if step.kind == Made.OWN_PLUG and step.machine in self._driven:
            plug = piece(replace(step.item, spec=replace(step.item.spec, kind="plug")))
            return f"{plug}, on the {line_cord(self._ranked, step.machine)}"
        if step.kind == Made.OWN_PLUG:
            return piece(step.item)
        return f"{piece(step.item)}, {way}" if way else piece(step.item)


def protected(facts: Facts, machines: Sequence[str], way: Way, circuit: Circuit) -> Receptacle | None:
    """The receptacle of a circuit; None where it has none, or its protection is decided, whatever the edition."""
    size = circuit.size
    turns = (turns_on_edition, turns_on_place, turns_on_machine)
    if size.configuration is None or not any(open_at(facts, circuit) for open_at in turns):
        return None
    where = circuit.outlet_place if way.method is Method.CORD else f"at {circuit.outlet_place}"
    names = dict.fromkeys(written(facts, machine) for machine in machines)
    return Receptacle(where, tuple(names), size.configuration)


# what is asked for besides ------------------------------------------------------------------------


def _besides(facts: Facts, powered: Powered, place: str, what: Besides, words: str) -> WorkRow:
    return WorkRow(place, str(what), Decimal(1), (written(facts, powered.machine.name),), words, what)


def tests_before_use(facts: Facts, there: There) -> tuple[WorkRow, ...]:
    """Outlets that served nobody until today and serve a machine from now on."""
    return tuple(
        _besides(
            facts, powered, powered.had.place, Besides.TEST, f"{end_words(powered.had.end)}, idle so far"
        )
        for powered in there.powered
        if powered.had is not None and powered.from_idle
    )


def hung_cords(facts: Facts, there: There) -> tuple[WorkRow, ...]:
    """Cords that stay whole and hang elsewhere from today on; no task makes them up."""
    return tuple(
        _besides(facts, powered, powered.circuit.outlet_place, Besides.HANG, words)
        for powered in there.powered
        if (words := _hung(facts, powered))
    )


def _hung(facts: Facts, powered: Powered) -> str:
    step, way = powered.cord, rehung_words(facts, powered)
    if step is None:
        return ""
    if step.act is Act.TAKE_FROM_SHELF and step.whole:
        return f"{step.item.length_ft} ft, from the shelf, to {powered.circuit.standing.place}"
    had = f", {whose(written(facts, step.source))} until now" if step.act is Act.TAKE_OVER else ""
    return f"{step.item.length_ft} ft{had}, {way}" if way else ""


def directory_instead(rows: Sequence[WorkRow], base: Sequence[WorkRow]) -> tuple[str, ...]:
    """What directories say instead of what those of a base say, where both are corrected."""
    said = {row.place: row.detail for row in base if row.besides is Besides.DIRECTORY}
    return tuple(
        f"{row.place}: {row.detail}"
        for row in rows
        if row.besides is Besides.DIRECTORY and said.get(row.place, row.detail) != row.detail
    )


def panel_rows(panels: Sequence[PanelTable]) -> tuple[WorkRow, ...]:
    """What is put right in a panel after circuits change: its directory, and spaces left open."""
    return tuple(row for panel in panels for row in _panel_rows(panel))


def _panel_rows(panel: PanelTable) -> Iterable[WorkRow]:
    place = in_panel(panel.panel)
    if any(row.relabeled for row in panel.rows):
        # A directory is read as a whole, so new circuits stand beside those that change.
        listed = [row for row in panel.rows if row.relabeled or not row.today.poles]
        words = "; ".join(_labeled(row) for row in listed)
        yield WorkRow(place, str(Besides.DIRECTORY), Decimal(1), (), words, Besides.DIRECTORY)
    if panel.opened:
        words = "filler plates of the bidder's in the spaces that stay empty"
        yield WorkRow(place, str(Besides.OPENINGS), Decimal(panel.opened), (), words, Besides.OPENINGS)
    if panel.brought and panel.free_after > 0:
        words = (
            "spaces of the new panel that stay empty: its cover's own blanks stay in, and each that is missing gets a "
            "filler plate of whoever closes it"
        )
        yield WorkRow(place, str(Besides.OPENINGS), Decimal(panel.free_after), (), words, Besides.OPENINGS)


def _labeled(row: PanelRow) -> str:
    """What the directory says of a circuit from now on."""
    times = f"{row.count} x " if row.count > 1 else ""
    if not row.today.poles and not row.today.shares:
        return f"{times}{row.at}: {row.after.serves} (new)"
    if not row.after.poles and not row.after.shares:
        return f"{times}{row.at}: made safe, strike it out ({row.today.serves} until now)"
    return f"{times}{row.at}: {row.after.serves or 'spare'} ({row.today.serves} until now)"


def differs(rows: Sequence[WorkRow], from_rows: Sequence[WorkRow]) -> tuple[WorkRow, ...]:
    """Work of one plan that another one does not have, so much of it as it has more."""
    spare: dict[object, Decimal] = defaultdict(Decimal)
    for row in from_rows:
        spare[same_work(row)] += row.quantity
    found = []
    for row in rows:
        more = max(row.quantity - spare[same_work(row)], Decimal(0))
        spare[same_work(row)] -= row.quantity - more
        if more:
            found.append(replace(row, quantity=more))
    return tuple(found)


def same_work(row: WorkRow) -> tuple[str, str, str, Item | None]:
    """What makes work the same whatever machine it is for, and a directory whatever it says then."""
    return row.place, row.what, "" if row.besides is Besides.DIRECTORY else row.detail, row.run
