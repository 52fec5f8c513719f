"""Hired work that a plan expects in later years: when, for which machine, from where to where, what is put in or left."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.asked import in_panel
from costplan.ledger.holding import written
from costplan.ledger.lines import Line
from costplan.ledger.steps import Act, Step
from costplan.program.ranked import Ranked
from costplan.reports.scope_work import WHOLE_SHOP, Besides, Details, Receptacle, labor_lines, task_name
from costplan.reports.tables import BLANK
from costplan.studies.hinges import ASSUMED
from costplan.years.calendar import Life, buildings_assumed, lives, scenarios_of


@dataclass(frozen=True, slots=True)
class LaterRow:
    """So much of a task in a year; `scenarios` are those of the shop's that expect it, none where all do.

    `goes` is where the machine goes in that year, from where; empty where it stays. `permit` says whether the owner's list
    has the work need one, `protection` names a receptacle that it sets or changes.
    """

    year: int
    scenarios: tuple[str, ...]
    machine: str
    goes: str
    place: str
    what: str
    detail: str
    quantity: Decimal
    permit: bool = False
    protection: Receptacle | None = None

    @property
    def when(self) -> str:
        """The year, with the scenarios that expect it."""
        return f"{self.year}" + (f", if {' or '.join(self.scenarios)}" if self.scenarios else "")

    @property
    def moves(self) -> str:
        """The machine, and where it goes."""
        return f"{self.machine}, {self.goes}" if self.goes else self.machine

    @property
    def words(self) -> str:
        """The task with its detail."""
        return f"{self.what}: {self.detail}" if self.detail else self.what


def later_rows(facts: Facts, ranked: Ranked, details: Details) -> tuple[LaterRow, ...]:
    """Later work of hired people, year by year; what a scenario expects and others do not names it."""
    scenarios = scenarios_of(facts.shop)
    fates = {scenario.name: lives(facts.shop, scenario) for scenario in scenarios}
    order = {task: position for position, task in enumerate(facts.tasks)}
    hired = labor_lines(facts, ranked, today=False)[0]
    counts: dict[LaterRow, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    position: dict[LaterRow, int] = {}
    for line in hired:
        row = _row(facts, line, fates[line.scenario].get(line.machine), details)
        counts[row][line.scenario] += line.quantity
        position[row] = order.get(line.task, len(order))
    for scenario, row in directories(facts, hired, fates):
        counts[row][scenario], position[row] = Decimal(1), len(order) + 1
    found = [
        (
            position[row],
            replace(row, quantity=quantity, scenarios=names if len(names) < len(scenarios) else ()),
        )
        for row, by_scenario in counts.items()
        for quantity, names in _alike(by_scenario)
    ]
    ordered = sorted(
        found,
        key=lambda entry: (entry[1].year, entry[1].scenarios, entry[1].machine, entry[1].place, entry[0]),
    )
    return tuple(row for _, row in ordered)


def next_building(facts: Facts) -> tuple[str, ...]:
    """What the later work takes a building to be that nobody described, with a blank for what is otherwise there."""
    return tuple(
        f"Year {year}, if {scenario}: the shop moves; its work there is listed {ASSUMED}. Nobody looked. What is otherwise "
        f"there, and what does that change? {BLANK}"
        for scenario, years in buildings_assumed(facts.shop).items()
        for year in years
    )


def later_instead(base: Sequence[LaterRow], other: Sequence[LaterRow]) -> Iterable[str]:
    """Later work that one of two plans has and the other has not, in words."""
    yield from (f"no more: {words}" for words in _in_words(row for row in base if row not in other))
    yield from (f"adds: {words}" for words in _in_words(row for row in other if row not in base))


def _in_words(rows: Iterable[LaterRow]) -> Iterable[str]:
    """Rows in words; tasks of one machine in one place, at the same thing, stand together."""
    tasks: dict[tuple[str, str, str, str], list[str]] = defaultdict(list)
    for row in rows:
        tasks[row.when, row.moves if row.machine else "", row.place, row.detail].append(row.what)
    for (when, moves, place, detail), found in tasks.items():
        who, words = f", {moves}" if moves else "", "; ".join(found)
        yield f"year {when}{who}, {place}: {words}" + (f": {detail}" if detail else "")


def worked_together(rows: Iterable[LaterRow]) -> list[LaterRow]:
    """Rows as `said_once` gives them, as many of a task joined to the row before that says at what."""
    found: list[LaterRow] = []
    for row in rows:
        last = found[-1] if found else None
        if last is not None and last.detail and not row.detail and _beside(last) == _beside(row):
            found[-1] = replace(last, what=f"{last.what}; {row.what}")
        else:
            found.append(row)
    return found


def _beside(row: LaterRow) -> tuple[str, str, str, Decimal]:
    return row.when, row.moves, row.place, row.quantity


def said_once(rows: Iterable[LaterRow]) -> Iterable[LaterRow]:
    """The rows, each with its detail but where the row before it says the same."""
    before = None
    for row in rows:
        same = before is not None and (before.when, before.moves, before.detail) == (
            row.when,
            row.moves,
            row.detail,
        )
        yield replace(row, detail="") if same else row
        before = row


def _alike(by_scenario: dict[str, Decimal]) -> Iterable[tuple[Decimal, tuple[str, ...]]]:
    """Quantities with the scenarios that expect so much."""
    names: dict[Decimal, list[str]] = defaultdict(list)
    for name, quantity in by_scenario.items():
        names[quantity].append(name)
    return [(quantity, tuple(found)) for quantity, found in names.items()]


def _row(facts: Facts, line: Line, life: Life | None, details: Details) -> LaterRow:
    """A line of labor without its quantity and its scenario."""
    before, after = _stands(life, line.year)
    goes = f"{before} to {after}" if before and after and before != after else ""
    return LaterRow(
        line.year,
        (),
        written(facts, line.machine) if line.machine else "",
        goes,
        line.place or after or WHOLE_SHOP,
        task_name(facts, line),
        details.of(line),
        Decimal(0),
        details.permit(line),
        details.protection(line),
    )


def directories(
    facts: Facts, hired: Sequence[Line], fates: Mapping[str, Mapping[str, Life]]
) -> Iterable[tuple[str, LaterRow]]:
    """The directories that later work makes wrong, by scenario: one for the circuits of a machine in a year."""
    said: dict[tuple[str, int, str, str], set[str]] = defaultdict(set)
    for line in hired:
        step = line.step
        outlet = (
            step.item
            if step is not None and step.kind == "outlet"
            else step.run
            if step is not None
            else None
        )
        if step is None or outlet is None or step.within or outlet.spec.outlet is None:
            continue
        key = outlet.outlet
        at = "beside the panel" if key.beside_panel else key.place
        said[line.scenario, line.year, line.machine, key.panel].add(f"{at}: {_serves(facts, step)}")
    for (scenario, year, machine, panel), entries in said.items():
        before, after = _stands(fates[scenario].get(machine), year)
        goes = f"{before} to {after}" if before and after and before != after else ""
        name = written(facts, machine) if machine else ""
        words = "; ".join(sorted(entries))
        what = str(Besides.DIRECTORY)
        yield scenario, LaterRow(year, (), name, goes, in_panel(panel), what, words, Decimal(0))


def _serves(facts: Facts, step: Step) -> str:
    """What a directory says of a circuit after a step of later work."""
    if step.kind == "outlet" and step.act is Act.MAKE_SAFE:
        return f"made safe, strike it out ({written(facts, step.machine)} until now)"
    if step.kind == "outlet" and step.act is Act.LEAVE_LIVE:
        return "spare"
    name = written(facts, step.machine)
    return f"{name} (new)" if step.kind == "outlet" and step.act is Act.BUY else name


def _stands(life: Life | None, year: int) -> tuple[str, str]:
    """Where a machine stands before a year and after it; empty where it is not there."""
    if life is None:
        return "", ""
    before = [standing.place for standing in life.standings if standing.year < year]
    after = [standing.place for standing in life.standings if standing.year <= year]
    return (before[-1] if before else ""), (after[-1] if after else "")
