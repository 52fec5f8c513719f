"""What a plan asks of an electrician and of the owner today, and how another plan differs from it."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.ledger.same_plan import changed_machines
from costplan.ledger.steps import Act
from costplan.model.choices import Method
from costplan.program.ranked import Ranked
from costplan.reports.before_after import PanelTable, breaker_moves, panel_tables, spaces_words
from costplan.reports.circuits import CircuitRow, as_written, circuits_today
from costplan.reports.noted import Noted, beyond, noted
from costplan.reports.remarks_text import work_words
from costplan.reports.scope_drives import drive_moves
from costplan.reports.scope_later import LaterRow, later_instead, later_rows
from costplan.reports.scope_lines import line_sums, loads_at_once, with_lines
from costplan.reports.scope_notes import (
    circuit_notes,
    later_questions,
    left_outlets,
    permit_question,
    permits_needed,
)
from costplan.reports.scope_protection import protection_questions
from costplan.reports.scope_reach import later_reach
from costplan.reports.scope_spaces import kept_words
from costplan.reports.scope_supplies import Supplied, Supplies, supplies
from costplan.reports.scope_work import (
    Details,
    WorkRow,
    differs,
    directory_instead,
    hung_cords,
    labor_lines,
    panel_rows,
    tests_before_use,
    work_rows,
)
from costplan.reports.there import There
from costplan.reports.words import difference


@dataclass(frozen=True, slots=True)
class PlanToday:
    """All that one plan asks for today; `work` is the electrician's, `own_work` the owner's."""

    ranked: Ranked
    there: There
    circuits: tuple[CircuitRow, ...]
    panels: tuple[PanelTable, ...]
    spaces: tuple[str, ...]
    breakers: tuple[str, ...]
    drives: tuple[str, ...]
    work: tuple[WorkRow, ...]
    own_work: tuple[WorkRow, ...]
    supplies: Supplies
    notes: tuple[str, ...]
    said: tuple[Noted, ...]
    later: tuple[LaterRow, ...]
    reach: tuple[str, ...]
    kept: tuple[str, ...]
    loads: tuple[str, ...]
    line_sums: tuple[str, ...]

    @property
    def opens_walls(self) -> bool:
        """Whether a run goes inside a wall today, or later."""
        today = any(run.had is None and run.way.method is Method.WALL for run in self.there.powered)
        later = (line.step for line in self.ranked.lines if line.step is not None)
        made = (step.item for step in later if step.kind == "outlet" and step.act is Act.BUY)
        return today or any(item.outlet.run is Method.WALL for item in made)

    @property
    def makes_safe(self) -> bool:
        """Whether wiring is made safe today, or later."""
        later = (line.step for line in self.ranked.lines if line.step is not None)
        return any(step.act is Act.MAKE_SAFE for step in (*self.ranked.steps, *later))


def plan_today(facts: Facts, ranked: Ranked, base: PlanToday | None = None) -> PlanToday:
    """What a plan asks for today; beside a base its circuits have the lines of the base."""
    there = There(facts, ranked)
    circuits = with_lines(facts, there, circuits_today(facts, ranked, there))
    circuits = circuits if base is None else _by_lines_of(base.circuits, circuits)
    lines = {run: row.number for row in circuits if not row.is_there for run in row.runs}
    details = Details(facts, ranked, there, lines)
    hired, own = (work_rows(facts, lines, details) for lines in labor_lines(facts, ranked, today=True))
    panels = panel_tables(facts, ranked, there)
    work, besides = (*hired, *tests_before_use(facts, there)), panel_rows(panels)
    own = (*own, *hung_cords(facts, there))
    # Where nobody is hired there is nobody else to put the panel right.
    own = own if work else (*own, *besides)
    work = (*work, *besides) if work else ()
    return PlanToday(
        ranked,
        there,
        circuits,
        panels,
        tuple(f"{name}: spaces free {words}" for name, words in spaces_words(facts, ranked).items()),
        breaker_moves(ranked, there),
        drive_moves(facts, ranked, there),
        tuple(sorted(work, key=lambda row: (row.place, row.besides is not None))),
        tuple(sorted(own, key=lambda row: (row.place, row.besides is not None))),
        supplies(facts, ranked, there),
        circuit_notes(facts, there),
        tuple(entry.priceless for entry in noted(facts, ranked, there)),
        later_rows(facts, ranked, details),
        later_reach(facts, ranked, circuits),
        kept_words(facts, ranked, circuits),
        loads_at_once(facts, there, circuits),
        line_sums(facts, there, circuits),
    )


# another plan beside it ---------------------------------------------------------------------------


SAME_WORK = " (the same work)"


@dataclass(frozen=True, slots=True)
class Alternate:
    """Another plan, to be priced on its own: what it leaves out of the base and what it adds.

    `circuits` are those that differ, by the base's line numbers; `after` says what becomes of outlets that serve
    nobody, and the spaces then free.
    """

    letter: str
    words: str
    circuits: tuple[CircuitRow, ...]
    leaves_out: tuple[WorkRow, ...]
    adds: tuple[WorkRow, ...]
    directory: tuple[str, ...]
    breakers: tuple[str, ...]
    drives: tuple[str, ...]
    after: tuple[str, ...]
    owner_instead: tuple[str, ...]
    notes: tuple[str, ...]
    later_instead: tuple[str, ...]
    permits: tuple[str, ...]
    protection: tuple[str, ...]
    later_asked: tuple[str, ...]
    reach: tuple[str, ...]
    kept: tuple[str, ...]

    @property
    def differs(self) -> bool:
        """Whether it asks anybody for something else than the base, today or later."""
        work = (self.circuits, self.leaves_out, self.adds, self.directory, self.breakers, self.drives)
        beside = (self.notes, self.permits, self.protection, self.later_asked)
        return any((*work, *beside, self.owner_instead, self.later_instead))

    def same_work_as(self, other: "Alternate") -> bool:
        """Whether the electrician does line by line the same for both: they differ in what is the owner's."""
        return self._of_the_electrician() == other._of_the_electrician()

    def _of_the_electrician(self) -> "Alternate":
        circuits = tuple(replace(row, cord="") for row in self.circuits)
        return replace(self, letter="", words="", circuits=circuits, owner_instead=(), notes=(), reach=())

    def beside(self, other: "Alternate") -> "Alternate":
        """One alternate for both, with the names of both; what only one of them has is said of that one."""
        return replace(
            self,
            words=f"{self.words.removesuffix(SAME_WORK)}; or {other.words}{SAME_WORK}",
            notes=tuple(dict.fromkeys((*self.notes, *other.notes))),
            owner_instead=_of_either(self.words, self.owner_instead, other.words, other.owner_instead),
            reach=_of_either(self.words, self.reach, other.words, other.reach),
        )

    @property
    def totals(self) -> tuple[str, ...]:
        """What the bidder adds up for it, a blank each."""
        name = f"alternate {self.letter}"
        if not self.later_instead:
            return (f"{name}, add or deduct",)
        return f"{name}, today, add or deduct", f"{name}, later work, add or deduct"


def _of_either(words: str, lines: Sequence[str], other: str, theirs: Sequence[str]) -> tuple[str, ...]:
    """Lines of two alternates, each once; one that only one has with its name."""
    mine = (line if line in theirs else f"{words}: {line}" for line in lines)
    return (*mine, *(f"{other}: {line}" for line in theirs if line not in lines))


def alternate(facts: Facts, letter: str, base: PlanToday, other: PlanToday) -> Alternate:
    """How another plan differs from the base, told from what each of the two asks for."""
    return Alternate(
        letter,
        difference(facts, other.ranked, base.ranked) + ("" if other.ranked.proven else " (not proven)"),
        as_written(facts, _circuits(base, other)),
        differs(base.work, other.work),
        differs(other.work, base.work),
        directory_instead(other.work, base.work),
        () if other.breakers == base.breakers else (other.breakers or ("none",)),
        () if other.drives == base.drives else (other.drives or ("none",)),
        (*left_outlets(facts, other.there), *other.spaces),
        tuple(_owner_instead(base, other)),
        (
            *(note for note in other.notes if note not in base.notes),
            *work_words(beyond(base.said, [other.said])),
        ),
        tuple(later_instead(base.later, other.later)),
        tuple(_permits(facts, base, other)),
        protection_questions(facts, other.there, base.there),
        later_questions([row for row in other.later if row not in base.later]),
        tuple(words for words in other.reach if words not in base.reach),
        () if other.kept == base.kept else (other.kept or ("none",)),
    )


def _permits(facts: Facts, base: PlanToday, other: PlanToday) -> Iterable[str]:
    """Which of the work that an alternate adds needs a permit, and what to ask of circuits that it changes."""
    needed = permits_needed(differs(other.work, base.work))
    if needed:
        yield f"For what it adds, {needed}"
    question = permit_question(facts, other.there)
    if question and question != permit_question(facts, base.there):
        yield question


def _circuits(base: PlanToday, other: PlanToday) -> list[CircuitRow]:
    """The other plan's circuits that the base has otherwise."""
    changed = changed_machines(other.ranked.plan, base.ranked.plan)
    same = set(base.circuits)
    return [row for row in other.circuits if changed & set(row.machines) or row not in same]


def _by_lines_of(base: Iterable[CircuitRow], rows: Iterable[CircuitRow]) -> tuple[CircuitRow, ...]:
    """Circuits of another plan by the lines that their machines have in the base, no line twice; those it lacks come after.

    A circuit that the base has as it is keeps its line; of others of its machines the next takes what is left.
    """
    base, rows = list(base), list(rows)
    kept = {row: number for row in rows if (number := _line_of(base, row)) is not None}
    free = [row for row in base if row.number not in kept.values()]
    fresh = max((row.number for row in base), default=0)
    found: list[CircuitRow] = []
    for row in rows:
        known = next((was for was in free if set(was.machines) & set(row.machines)), None)
        if row in kept:
            found.append(replace(row, number=kept[row]))
        elif known is not None:
            free.remove(known)
            found.append(replace(row, number=known.number))
        else:
            fresh += 1
            found.append(replace(row, number=fresh))
    return tuple(sorted(found, key=lambda row: row.number))


def _line_of(base: Iterable[CircuitRow], row: CircuitRow) -> int | None:
    """The line of the base's circuit that is told as this one is, however many there are of it."""
    alike = (was.number for was in base if replace(row, number=was.number, count=was.count) == was)
    return next(alike, None)


def _owner_instead(base: PlanToday, other: PlanToday) -> Iterable[str]:
    """What the owner brings and does in the one plan and not in the other."""
    mine = (*base.supplies.parts, *base.supplies.cords)
    theirs = (*other.supplies.parts, *other.supplies.cords)
    yield from (f"no more: {words}" for words in _more(mine, theirs))
    yield from (f"brings: {words}" for words in _more(theirs, mine))
    less, more = differs(base.own_work, other.own_work), differs(other.own_work, base.own_work)
    yield from (f"does not: {words}" for words in _beyond(less, more))
    yield from (f"does: {words}" for words in _beyond(more, less))
    yield from (f"instead, directory: {words}" for words in directory_instead(other.own_work, base.own_work))


def _beyond(rows: Iterable[WorkRow], than: Iterable[WorkRow]) -> Iterable[str]:
    """Work in words beyond what is told alike of another run: patching beside another cable is the same patching."""
    spare = Counter((_done(row), row.quantity) for row in than)
    for row in rows:
        key = _done(row), row.quantity
        spare[key] -= 1
        if spare[key] < 0:
            yield key[0]


def _done(row: WorkRow) -> str:
    return f"{row.words} ({', '.join((row.place, *row.machines))})"


def _more(parts: Sequence[Supplied], than: Sequence[Supplied]) -> Iterable[str]:
    """Parts of one list beyond those of another; cable by the foot as the pieces it comes in."""
    spare: Counter[_Kind] = Counter()
    for part in _apart(than):
        spare[_kind(part)] += part.quantity
    for part in _apart(parts):
        key = _kind(part)
        more = part.quantity - spare[key]
        spare[key] -= min(part.quantity, spare[key])
        if more > 0:
            amount = f"{part.length_ft} ft in one piece" if part.length_ft else f"{more} {part.unit}"
            amount = f"{more} pieces of {part.length_ft} ft" if part.length_ft and more > 1 else amount
            yield f"{amount}, {part.what}, {part.condition}"


_Kind = tuple[str, str, str, int]


def _kind(part: Supplied) -> _Kind:
    return part.what, part.unit, part.condition, part.length_ft


def _apart(parts: Iterable[Supplied]) -> Iterable[Supplied]:
    """The parts, those that are cut at the counter piece by piece."""
    for part in parts:
        if not part.pieces:
            yield part
        for length, count in part.pieces:
            yield replace(part, quantity=count, length_ft=length, pieces=())
