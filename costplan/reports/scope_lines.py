"""Which lines of its panel each circuit is proposed on: the balance that the demand is counted by, told by circuit."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import ROUND_CEILING

from costplan.circuits.capacity import Capacity, line_amperes, on_a_line
from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.model.system import lines
from costplan.reports.circuits import CircuitRow
from costplan.reports.there import There

LETTERS = "ABC"
"""What the lines of a panel are called on the sheet; common practice, no source."""
LINES_NOTE = (
    "On: the lines of its panel, a proposal that balances what runs at the same time, each panel by itself; whoever does the "
    "work finds out which line what is there is on, and places the rest."
)


def with_lines(facts: Facts, there: There, rows: Sequence[CircuitRow]) -> tuple[CircuitRow, ...]:
    """The circuits with the lines that each is proposed on; one on another's breaker is where that is."""
    capacity = Capacity(facts)
    by_panel: dict[str, list[CircuitRow]] = defaultdict(list)
    for row in rows:
        if not row.breaker_with:
            by_panel[row.panel].append(row)
    words = {
        row.number: told
        for panel, mine in by_panel.items()
        for row, told in _told(capacity, there, panel, mine)
    }
    number = {name: row.number for row in rows if not row.breaker_with for name in row.machines}
    return tuple(replace(row, lines=words[number.get(row.breaker_with, row.number)]) for row in rows)


def _told(
    capacity: Capacity, there: There, panel: str, rows: Iterable[CircuitRow]
) -> Iterable[tuple[CircuitRow, str]]:
    """The lines of each circuit of a panel, in words."""
    most = lines(capacity.system(panel))
    draws = [(row, _draw(capacity, there, panel, row)) for row in rows]
    left: dict[Draw, list[tuple[int, ...]]] = defaultdict(list)
    for draw, on in capacity.balance([draw for _, draw in draws], (), {}, most).on:
        left[draw].append(on)
    for row, draw in draws:
        taken = [left[draw].pop(0) if left[draw] else tuple(range(most)) for _ in range(row.count)]
        counted = Counter(sorted(taken))
        several = len(counted) > 1
        yield (
            row,
            ", ".join(f"{_letters(on)} ({n})" if several else _letters(on) for on, n in counted.items()),
        )


def _letters(on: Iterable[int]) -> str:
    return "-".join(LETTERS[index] for index in on)


def _draw(capacity: Capacity, there: There, panel: str, row: CircuitRow) -> Draw:
    """What a circuit draws on each of its lines, in whole amperes; of machines that take turns at it the one that draws most.

    Whole amperes, and no quarter for the largest motor, keep the balances to try few enough for a panel of any size.
    """
    system = capacity.system(panel)
    mine = [entry for entry in there.powered if (entry.machine.name, entry.circuit.outlet.item) in row.runs]
    heaviest = max(mine, key=lambda entry: entry.circuit.draw_va)
    on = min(row.poles, lines(system))
    va = int((heaviest.circuit.draw_va * on_a_line(system, on)).to_integral_value(ROUND_CEILING))
    amperes = int(line_amperes(system, va).to_integral_value(ROUND_CEILING))
    return replace(capacity.draw_of(heaviest.machine.name, amperes, row.count, on), extra_va=0)
