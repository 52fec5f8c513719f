"""Lines of plans by number, by the machines they are for, and beside those of another plan."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.ledger.holding import written
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.program.ranked import Ranked


@dataclass(frozen=True, slots=True)
class Apart:
    """Lines of one kind in two plans, added up where they are alike; worth in cents of today."""

    year: int
    scenario: str
    kind: LineKind
    pocket: Pocket
    what: str
    machines: tuple[str, ...]
    one_cents: int
    two_cents: int

    @property
    def more_cents(self) -> int:
        """What the second plan has more."""
        return self.two_cents - self.one_cents


@dataclass(frozen=True)
class Sheet:
    """What two plans have different, line by line, and how much both have alike."""

    rows: tuple[Apart, ...]
    alike_cents: int

    @property
    def more_cents(self) -> int:
        """What the second plan costs more: the sum of the rows' differences, and the difference of the totals."""
        return sum(row.more_cents for row in self.rows)


def sheet(facts: Facts, one: Ranked, two: Ranked) -> Sheet:
    """The differences of two plans of one shop line by line; lines that cost the same in both are only added up."""
    found: dict[tuple[object, ...], list[Line]] = {}
    worth: dict[tuple[object, ...], list[int]] = {}
    key: tuple[object, ...]
    for side, ranked in enumerate((one, two)):
        for line in ranked.lines:
            key = (line.year, line.scenario, line.kind, line.pocket, line.what, line.machine)
            found.setdefault(key, []).append(line)
            worth.setdefault(key, [0, 0])[side] += line.present_value_cents
    rows = []
    for key, lines in found.items():
        first, (mine, its) = lines[0], worth[key]
        if mine != its:
            names = dict.fromkeys(written(facts, name) for line in lines for name in line.machines)
            whom = tuple(sorted(names))
            rows.append(
                Apart(first.year, first.scenario, first.kind, first.pocket, first.what, whom, mine, its)
            )
    alike = sum(mine for mine, its in worth.values() if mine == its)
    rows.sort(key=lambda row: (row.year, row.scenario, row.kind, row.machines, row.what))
    return Sheet(tuple(rows), alike)


@dataclass(frozen=True)
class Share:
    """Lines of one plan that are for the same machines, by number; none of them for what the whole shop pays once."""

    machines: tuple[str, ...]
    lines: tuple[tuple[int, Line], ...]

    @property
    def cents(self) -> int:
        """Their worth today."""
        return sum(line.present_value_cents for _, line in self.lines)


def numbered(ranked: Ranked) -> tuple[tuple[int, Line], ...]:
    """All lines of a plan by number, in the order of the table of lines."""
    return tuple(enumerate(sorted(ranked.lines, key=line_order), 1))


def line_order(line: Line) -> tuple[object, ...]:
    """The order of the table of lines: by year, scenario, kind and machine."""
    return (line.year, line.scenario, str(line.kind), line.machine, line.what, line.trace)


def by_machines(facts: Facts, ranked: Ranked) -> tuple[Share, ...]:
    """All lines of a plan by the machines they are for, as the user wrote them: one alone, several, then none."""
    found: dict[tuple[str, ...], list[tuple[int, Line]]] = {}
    for number, line in numbered(ranked):
        names = tuple(sorted({written(facts, name) for name in line.machines}))
        found.setdefault(names, []).append((number, line))
    order = sorted(found, key=lambda names: (len(names) != 1, not names, names))
    return tuple(Share(names, tuple(found[names])) for names in order)


def of_machine(facts: Facts, ranked: Ranked, name: str) -> tuple[Share, Share]:
    """The lines for a machine alone, and those it shares with other machines."""
    mine = written(facts, name)
    shares = by_machines(facts, ranked)
    alone = [entry for share in shares if share.machines == (mine,) for entry in share.lines]
    common = [
        entry
        for share in shares
        if mine in share.machines and len(share.machines) > 1
        for entry in share.lines
    ]
    return Share((mine,), tuple(alone)), Share((mine, "others"), tuple(sorted(common, key=lambda e: e[0])))


def sums(lines: Sequence[tuple[int, Line]]) -> Iterator[tuple[str, LineKind, Pocket, list[int], int]]:
    """The worth of lines by when and kind: when in words, kind, pocket, numbers, cents; today's first."""
    found: dict[tuple[int, str, LineKind, Pocket], list[tuple[int, Line]]] = {}
    for number, line in lines:
        back = line.pocket is Pocket.COMES_BACK
        place, when = (2, "at the end") if back else (1, "later") if line.year else (0, "today")
        found.setdefault((place, when, line.kind, line.pocket), []).append((number, line))
    for (_, when, kind, pocket), entries in sorted(found.items(), key=lambda entry: entry[0]):
        numbers = [number for number, _ in entries]
        yield when, kind, pocket, numbers, sum(line.present_value_cents for _, line in entries)
