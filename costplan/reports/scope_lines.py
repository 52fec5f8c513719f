"""Which lines of its panel each circuit is proposed on: the balance that the demand is counted by, told by circuit."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal

from costplan.circuits.capacity import Capacity, TakenFrom, line_amperes, on_a_line
from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.model.gear import SERVICE
from costplan.model.system import lines
from costplan.reports.circuits import CircuitRow
from costplan.reports.there import There

LETTERS = "ABC"
"""What the lines of a panel are called on the sheet; common practice, no source."""
LOADS_HEAD = "What may run at once of the circuits above"
LOADS_NOTE = (
    "Added up as this sheet balances them, without the quarter more for the largest motor and without what else hangs there. "
    "It is no load calculation (NEC 220): that is asked for on a line of its own in the totals."
)
LINES_NOTE = (
    "On: the lines of its panel, a proposal, each panel by itself. First the fullest line carries as little as it can of what "
    "runs at the same time; then the amperes of all circuits are as even over the lines as they go{sums}. Spaces next to each "
    "other in a column are usually on lines in turn, so a circuit's space decides its line. Whoever does the work finds out "
    "which line what is there is on, and places the rest."
)


def with_lines(facts: Facts, there: There, rows: Sequence[CircuitRow]) -> tuple[CircuitRow, ...]:
    """The circuits with the lines that each is proposed on; one on another's breaker is where that is."""
    capacity = Capacity(facts)
    words = {
        row.number: told
        for panel, mine in _by_panel(rows).items()
        for row, told in _told(capacity, there, panel, mine)
    }
    number = {name: row.number for row in rows if not row.breaker_with for name in row.machines}
    return tuple(replace(row, lines=words[number.get(row.breaker_with, row.number)]) for row in rows)


def loads_at_once(facts: Facts, there: There, rows: Sequence[CircuitRow]) -> tuple[str, ...]:
    """What the circuits that may run at once draw of each panel, where nobody knows what it, or the service, carries.

    Whole amperes of its fullest line in the balance that is proposed; the quarter more for the largest motor, and what else
    hangs on the panel, are not in it. Empty where panel and service are known: their limits are then counted.
    """
    service, capacity = facts.shop.service, Capacity(facts)
    source = capacity.taken_from(SERVICE)
    unknown = service is None or source in (TakenFrom.UNSAID, TakenFrom.BEHIND)
    past = " besides the other load of its panels" if source is TakenFrom.BEHIND else ""
    found = []
    for panel, mine in _by_panel(rows).items():
        rating_a = facts.panels[panel].rating_a
        if rating_a is not None and not unknown:
            continue
        balance = capacity.balance(
            [_draw(capacity, there, panel, row) for row in mine], (), {}, lines(capacity.system(panel))
        )
        lacks = ["its rating is not known"] if rating_a is None else [f"it is rated {rating_a:f} A"]
        lacks += [
            f"nor what the service carries{past}"
            if rating_a is None
            else f"what the service carries{past} is not known"
        ] * unknown
        found.append(f"{panel}: about {balance.worst_va} A on its fullest line; {', '.join(lacks)}")
    return tuple(found)


def _by_panel(rows: Iterable[CircuitRow]) -> dict[str, list[CircuitRow]]:
    """The circuits of each panel; one on another's breaker is where that is."""
    found: dict[str, list[CircuitRow]] = defaultdict(list)
    for row in rows:
        if not row.breaker_with:
            found[row.panel].append(row)
    return found


def line_sums(facts: Facts, there: There, rows: Sequence[CircuitRow]) -> tuple[str, ...]:
    """The amperes of the circuits of each panel that are not on all its lines, added up by line as they are proposed.

    Amperes are those of the circuits' own rows.
    """
    capacity, words = Capacity(facts), []
    for panel, mine in _by_panel(rows).items():
        sums_a = [Decimal(0)] * lines(capacity.system(panel))
        for row, on in _placed(capacity, there, panel, mine):
            for line in (line for each in on if len(each) < len(sums_a) for line in each):
                sums_a[line] += row.current_a
        if any(sums_a):
            told = (f"{_letters((line,))} {amps:.1f} A" for line, amps in enumerate(sums_a))
            words.append(f"{panel}: {', '.join(told)}")
    return tuple(words)


def _told(
    capacity: Capacity, there: There, panel: str, rows: Iterable[CircuitRow]
) -> Iterable[tuple[CircuitRow, str]]:
    """The lines of each circuit of a panel, in words."""
    for row, taken in _placed(capacity, there, panel, rows):
        counted = Counter(sorted(taken))
        several = len(counted) > 1
        told = (f"{_letters(on)} ({n})" if several else _letters(on) for on, n in counted.items())
        yield row, ", ".join(told)


def _placed(
    capacity: Capacity, there: There, panel: str, rows: Iterable[CircuitRow]
) -> Iterable[tuple[CircuitRow, list[tuple[int, ...]]]]:
    """The circuits of a panel with the lines that each of them is proposed on, by number."""
    most = lines(capacity.system(panel))
    draws = [(row, _draw(capacity, there, panel, row)) for row in rows]
    left: dict[Draw, list[tuple[int, ...]]] = defaultdict(list)
    for draw, on in capacity.balance([draw for _, draw in draws], (), {}, most, even=True).on:
        left[draw].append(on)
    for row, draw in draws:
        taken = [left[draw].pop(0) if left[draw] else tuple(range(most)) for _ in range(row.count)]
        yield row, taken


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
