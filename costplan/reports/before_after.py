"""The circuits of every panel today and after the work, and which breakers change place."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item
from costplan.circuits.shared_gear import candidate
from costplan.ledger.holding import written
from costplan.ledger.ledger import at_year
from costplan.ledger.steps import Act, Step
from costplan.model.choices import Method
from costplan.model.labels import LABELS, SHARED
from costplan.program.ranked import Ranked
from costplan.reports.circuits import ends_changed
from costplan.reports.room_notes import least_why
from costplan.reports.there import Had, Powered, There
from costplan.studies.spaces_left import spaces_left

IDLE = "idle"
MADE_SAFE = "made safe"
LEFT_LIVE = "left live"
AS_IT_IS = "as it is"
TAKEN_OVER = "taken over as it is"
NEW = "new"


@dataclass(frozen=True, slots=True)
class Side:
    """A circuit today, or after the work: its breaker in words, its poles, what it serves; no poles where none is there."""

    breaker_a: int = 0
    poles: int = 0
    serves: str = ""
    shares: str = ""
    """The machine whose breaker it is on; its poles are counted there."""
    assumed: str = ""
    """What to put behind a breaker that nobody described."""

    @property
    def breaker(self) -> str:
        """Its breaker in words."""
        if self.shares:
            return f"that of {self.shares}"
        return f"{self.breaker_a} A {self.poles}-pole{self.assumed}" if self.poles else ""


@dataclass(frozen=True, slots=True)
class PanelRow:
    """One circuit of a panel, or so many alike; `at` is where it ends, `run` how it is made, `done` what is done to it.

    `relabeled` says that the panel's directory is wrong about it afterwards.
    """

    at: str
    run: str
    today: Side
    after: Side
    done: str
    count: int = 1
    relabeled: bool = False


@dataclass(frozen=True, slots=True)
class PanelTable:
    """A panel's circuits today and after the work; circuits of quotes, and gear that is there, are left out.

    `free_today` and `free_after` are its free spaces, counted in poles, those of quotes and gear taken off;
    `brought` says that shared equipment brings the panel.
    """

    panel: str
    rows: tuple[PanelRow, ...]
    free_today: int = 0
    free_after: int = 0
    brought: bool = False

    @property
    def poles_today(self) -> int:
        """Poles that the circuits take today."""
        return sum(row.today.poles * row.count for row in self.rows)

    @property
    def poles_after(self) -> int:
        """Poles that they take after the work."""
        return sum(row.after.poles * row.count for row in self.rows)

    @property
    def opened(self) -> int:
        """Spaces that are taken today and free after the work, counted in poles."""
        return max(self.poles_today - self.poles_after, 0)


def spaces_words(facts: Facts, ranked: Ranked) -> dict[str, str]:
    """The free spaces of every panel that is there today, counted in poles: today, after the work, at the least later."""
    found, words = {found.room.panel: found for found in spaces_left(facts, ranked)}, {}
    for panel in facts.shop.panels:
        spaces = found[panel.name]
        words[panel.name] = f"{panel.spaces_free} today, {spaces.room.left} after"
        if spaces.least is not None:
            why = least_why(facts, spaces.least)
            words[panel.name] += f", {spaces.least.left} in year {spaces.least.year} ({why})"
    return words


def _spaces_free(facts: Facts, ranked: Ranked) -> dict[str, tuple[int, int]]:
    """The free spaces of every panel that is there today, counted in poles, today and after the work."""
    after = {found.room.panel: found.room.left for found in spaces_left(facts, ranked)}
    return {panel.name: (panel.spaces_free, after[panel.name]) for panel in facts.shop.panels}


def _spaces_brought(facts: Facts, ranked: Ranked) -> dict[str, tuple[int, int, bool]]:
    """Free spaces today and after the work of every panel that equipment brings, and if it is new."""
    new = {bought.name for bought in ranked.plan.gear if bought.year == 0}
    own = {panel.name for panel in facts.shop.panels}
    found = {}
    for room in at_year(facts, ranked.plan, ranked.chosen, 0).panels():
        if room.panel in new:
            found[room.panel] = (0, room.left, True)
        elif room.panel not in own:
            found[room.panel] = (room.free - _poles_today(facts, room.panel), room.left, False)
    return found


def _poles_today(facts: Facts, panel: str) -> int:
    """Poles that the present circuits of machines take in a panel."""
    return sum(
        machine.now.poles * machine.count
        for machine in facts.shop.machines
        if machine.now is not None and machine.now.panel == panel and not machine.arrives
    )


def panel_tables(facts: Facts, ranked: Ranked, there: There) -> tuple[PanelTable, ...]:
    """Every panel that has a circuit today or gets one; none at all where no circuit is there today."""
    if not there.had:
        return ()
    rows: dict[str, Counter[PanelRow]] = {name: Counter() for name in facts.panels}
    for panel, row in (*_rows(facts, ranked, there), *_gear_rows(facts, ranked)):
        rows[panel][row] += 1
    own = {name: (*free, False) for name, free in _spaces_free(facts, ranked).items()}
    free = own | _spaces_brought(facts, ranked)
    return tuple(
        PanelTable(
            panel,
            tuple(
                sorted(
                    (replace(row, count=count) for row, count in found.items()),
                    key=lambda row: (row.at, row.run, row.today.serves, row.after.serves, row.done),
                )
            ),
            *free.get(panel, (0, 0, False)),
        )
        for panel, found in rows.items()
        if found
    )


def _rows(facts: Facts, ranked: Ranked, there: There) -> Iterable[tuple[str, PanelRow]]:
    shared = ranked.plan.shared_things
    turns: dict[object, list[Powered]] = {}
    for powered in there.powered:
        outlet = powered.circuit.outlet
        key = (outlet.shared_by, outlet.item)
        alone = key not in shared or (powered.had is not None and powered.act is Act.KEEP)
        turns.setdefault(object() if alone else key, []).append(powered)
    on: dict[object, str] = {}
    used = set()
    for together in turns.values():
        first = next((powered for powered in together if powered.act is not Act.SHARE), together[0])
        if first.had is not None:
            used.add(first.had)
        after = _after(facts, there, first, together)
        breaker = (first.circuit.breaker.shared_by, first.circuit.breaker.item)
        if first.had is None and breaker in shared:
            if breaker in on:
                after = replace(after, poles=0, breaker_a=0, shares=on[breaker])
            on.setdefault(breaker, after.serves)
        today = Side() if first.had is None else _today(facts, first.had)
        at = first.circuit.outlet_place if first.had is None else first.had.place
        row = PanelRow(
            _at(at, first.way.method),
            LABELS.methods[first.way.method],
            today,
            after,
            _done(first),
            relabeled=first.had is not None and first.had.owner != first.machine.name,
        )
        yield first.circuit.panel, row
    yield from ((had.panel, _left_row(facts, there, had)) for had in there.had if had not in used)


def _at(place: str, method: Method) -> str:
    """Where a circuit ends; beside the panel for one that cords go from."""
    return "beside the panel" if method is Method.CORD else place


def _today(facts: Facts, had: Had) -> Side:
    serves = written(facts, had.owner) if had.owner else IDLE
    return Side(had.breaker_a, had.poles, serves, assumed=had.mark("breaker_a", "poles"))


def _after(facts: Facts, there: There, first: Powered, together: list[Powered]) -> Side:
    names = dict.fromkeys(_serves(facts, powered) for powered in together)
    stays = first.had if first.breaker is None else None
    mark = stays.mark("breaker_a", "poles") if stays is not None else ""
    return Side(there.breaker_a(first), first.poles, ", ".join(names), assumed=mark)


def _serves(facts: Facts, powered: Powered) -> str:
    """A machine, with where it stands when its circuit ends elsewhere."""
    name, stands = written(facts, powered.machine.name), powered.circuit.standing.place
    return name if stands == powered.circuit.outlet_place else f"{name} at {stands}"


def _done(powered: Powered) -> str:
    if powered.had is None:
        return NEW
    if powered.comes_along:
        return f"comes along to {powered.circuit.outlet_place}"
    kinds = ends_changed(powered)
    if kinds:
        return f"{' and '.join(kinds)} changed"
    return AS_IT_IS if powered.had.owner == powered.machine.name else TAKEN_OVER


def _left_row(facts: Facts, there: There, had: Had) -> PanelRow:
    """An outlet that serves nobody after the work."""
    today, act = _today(facts, had), there.left.get(had)
    run = (_at(had.place, had.method), LABELS.methods[had.method])
    if act is Act.MAKE_SAFE:
        return PanelRow(*run, today, Side(), MADE_SAFE, relabeled=True)
    idle = replace(today, serves=IDLE)
    if act is Act.LEAVE_LIVE:
        return PanelRow(*run, today, idle, LEFT_LIVE, relabeled=True)
    return PanelRow(*run, today, today, AS_IT_IS)


def _gear_rows(facts: Facts, ranked: Ranked) -> Iterable[tuple[str, PanelRow]]:
    """What shared gear that is put in today takes of the panels that are there."""
    for bought in ranked.plan.gear:
        found = candidate(facts, facts.gear[bought.name]) if bought.year == 0 else None
        for panel, poles in found.spaces.items() if found is not None else ():
            amperes = found.input_size.breaker_a if found is not None and found.input_size else 0
            row = PanelRow(bought.name, SHARED, Side(), Side(amperes, poles, bought.name), NEW)
            yield from [(panel, row)] * bought.count


# breakers -----------------------------------------------------------------------------------------


def breaker_moves(ranked: Ranked, there: There) -> tuple[str, ...]:
    """Which breakers that are there go out of which circuit and into which, or onto the shelf and off it."""
    found: Counter[str] = Counter()
    for step in ranked.steps:
        if step.kind == "breaker" and step.act is not Act.SHARE:
            words = _move_words(step, there)
            if words:
                found[words] += 1
    return tuple(f"{count} x {words}" if count > 1 else words for words, count in sorted(found.items()))


def _move_words(step: Step, there: There) -> str:
    if step.act is Act.BUY or (step.act is Act.BACK_TO_SHELF and step.out_of is None):
        return ""
    poles = dict(step.item.spec.equal)["poles"]
    out = f"out of {circuit_words(step.out_of)}" if step.out_of is not None else "off the owner's shelf"
    into = f"into {circuit_words(step.run)}" if step.run is not None else "onto the owner's shelf"
    return f"{poles}-pole {there.rating_a(step, 0)} A breaker: {out}, {into}"


def circuit_words(outlet: Item) -> str:
    """The circuit that an outlet, or the breaker of one, belongs to."""
    return f"the {circuit_name(outlet)}"


def circuit_name(outlet: Item) -> str:
    """The same without an article, as work in a panel names it."""
    key = outlet.outlet
    return f"circuit beside {key.panel}" if key.beside_panel else f"circuit at {key.place}"
