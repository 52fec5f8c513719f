"""The two small tables of the first screen: what ways and strategies come to, and the plans or groups of equals."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from costplan.circuits.facts import Facts
from costplan.files.visible import beginning, visible
from costplan.model.choices import Powering
from costplan.model.labels import ROWS, SHORT, STAYS_FOR_SOME
from costplan.program.ranked import Ranked
from costplan.reports.budget import PLENTY, filled_rows, first_that_fits
from costplan.reports.rounded import between, in_steps
from costplan.reports.strategies_text import NO_USED_PARTS, SOURCING, cell_text
from costplan.reports.sure import give_or_take
from costplan.reports.tables import GAP, aligned
from costplan.reports.words import difference, in_groups, machines_by_way, shares, title, together, with_gear
from costplan.studies.comparison import COLUMNS, Comparison, sells_used
from costplan.studies.rows import NO_SURPLUS, Cell, exceptions_of, nothing_there
from costplan.studies.strategies import StrategyRow
from costplan.studies.sureness import CellName, Ranges

SHORTEST_NAME = 16
"""Characters that the first column keeps."""
MOST_NAMED, MOST_ROWS_BY_NAME = 8, 4
"""How many machines, or groups of some alike, the best plan names at least, in at most how many rows. Choices, no source."""
FIRST_COLUMN, ENDS = "± in 8 of 10 draws, {currency} of today", "± or from-to: 8 of 10 draws, {currency}"


def step_spread_cents(comparison: Comparison) -> int:
    """How uncertain the total of the best plan is: all totals of the screen are rounded by it."""
    return comparison.sureness.plans[0].spread_cents


def ways_table(comparison: Comparison, rows: int, width: int) -> list[str]:
    """What each way and strategy costs, by what may be bought, and its cash today; in at most so many rows."""
    used = sells_used(comparison.facts)
    shown = [column for column in COLUMNS if not _unused(comparison, column)]
    shown = shown if used else shown[:1]
    spread = step_spread_cents(comparison)

    def told(by_column: Mapping[str, Cell], row: str, *, strategy: bool) -> list[str]:
        ranges = {c: comparison.sureness.cells.get(CellName(row, c, strategy)) for c in by_column}
        totals = [cell_words(by_column[c], spread) + _range(by_column[c], ranges[c], spread) for c in shown]
        plan, own = by_column[comparison.column].ranked, ranges[comparison.column]
        if plan is None:
            return [*totals, ""]
        reaches = give_or_take(own, plan.outlay_cents, spread, cash=True)
        return [*totals, in_steps(plan.outlay_cents, spread) + reaches]

    named = []
    for row in comparison.rows:
        cells = {column: comparison.matrix[row, column] for column in COLUMNS}
        name = _with_exceptions(comparison.facts, row, [cells[column] for column in shown])
        named.append((name, told(cells, row, strategy=False)))
    for strategy in comparison.strategies:
        named.append((_strategy_name(strategy), told(strategy.cells, strategy.name, strategy=True)))
    figures = [figure for _, figure in named]
    heads = [*(SOURCING[column] for column in shown), "cash today"]
    taken = sum(max(map(len, column)) + GAP for column in zip(heads, *figures, strict=True))
    room = max(width - taken, SHORTEST_NAME)
    ends = any(cell.endswith(")") and "-" in cell for figure in figures for cell in figure)
    first = (ENDS if ends else FIRST_COLUMN).format(currency=comparison.facts.shop.currency)
    names = [first if used else f"{first}; {NO_USED_PARTS}", *(name for name, _ in named)]
    lines = aligned(
        [[beginning(visible(n), room), *f] for n, f in zip(names, [heads, *figures], strict=True)],
        {*range(1, len(heads) + 1)},
    )
    if len(lines) <= rows:
        return lines
    return [*lines[: rows - 1], f"and {len(lines) - rows + 1} more rows: --show totals"]


def _range(cell: Cell, found: Ranges | None, spread_cents: int) -> str:
    """The range of a cell with a plan; empty without one."""
    if cell.ranked is None:
        return ""
    return give_or_take(found, cell.ranked.present_value_cents, spread_cents)


def _unused(comparison: Comparison, column: str) -> bool:
    """Whether no cell of a column was asked for, since the shop does not use its rule of sourcing."""
    return all(comparison.matrix[row, column] is NO_SURPLUS for row in comparison.rows)


def _with_exceptions(facts: Facts, row: str, cells: Iterable[Cell]) -> str:
    kept = exceptions_of(cells)
    if kept:
        return f"{row}, not for {len(kept)} machine{'s' * (len(kept) > 1)}"
    none = nothing_there(facts)
    if row == Powering.AS_IT_IS and none:
        return STAYS_FOR_SOME.format(none=none)
    return ROWS.get(row, row)


def _strategy_name(strategy: StrategyRow) -> str:
    return f"(unranked) {strategy.name}" if strategy.reason else f'"{strategy.name}"'


def cell_words(cell: Cell, spread_cents: int) -> str:
    """A cell as the screen has it: rounded, what it costs at least when incomplete, or none."""
    return cell_text(cell, lambda cents: in_steps(cents, spread_cents), floor="at least")


HEADS = ("how; below, what differs from plan 1", "how; what differs from plan 1", "how")
"""Over how machines are powered, the longest that there is room for."""


def plans_table(comparison: Comparison, rows: int, width: int) -> list[str]:
    """A line for each plan, or for plans together that are too close to call; in at most so many rows."""
    figures = _plan_figures(comparison)
    room = _room_for_ways(figures, width)
    cells = [[*figures[0], next((head for head in HEADS if len(head) <= room), "")]]
    for figure, places in zip(figures[1:], comparison.groups, strict=True):
        cells.append([*figure, _how(comparison, places, room)])
    lines = aligned(cells, {1, 2})
    if len(lines) <= rows:
        return lines
    return [*lines[: rows - 1], f"and {len(lines) - rows + 1} more: --show plans"]


def _plan_figures(comparison: Comparison) -> list[list[str]]:
    heads = ["plan", "more", "cash today"]
    return [heads, *(_figures(comparison, places) for places in comparison.groups)]


def _room_for_ways(figures: Sequence[Sequence[str]], width: int) -> int:
    """Characters that the table of plans leaves for how machines are powered."""
    return width - sum(max(map(len, column)) + GAP for column in zip(*figures, strict=True))


FEW_GEAR = 2
"""So many pieces of shared equipment are named, and machines make room for them."""


def ways_by_name(comparison: Comparison, rows: int, width: int) -> list[str]:
    """The best plan way by way with its machines, and how many more there are; empty where the table of plans has room."""
    texts = _by_name(comparison, width)
    return first_that_fits(texts, rows, width) if texts else []


def rows_by_name(comparison: Comparison, width: int) -> int:
    """How many rows the machines of the best plan cannot do without: what the first so many need by name."""
    texts = _by_name(comparison, width)
    few = texts[max(len(texts) - MOST_NAMED, 0) :]
    return min(len(filled_rows(few[0], PLENTY, width)), MOST_ROWS_BY_NAME) if few else 0


def _by_name(comparison: Comparison, width: int) -> list[str]:
    """All machines by name, then one less each time; nothing where the table of plans has room for them."""
    facts, best = comparison.facts, comparison.best
    whole = title(facts, best)
    if len(comparison.groups[0]) == 1 and len(whole) <= _room_for_ways(_plan_figures(comparison), width):
        return []
    machines, gear = machines_by_way(facts, best), best.plan.gear_names
    named = with_gear(gear)
    added = named if len(gear) <= FEW_GEAR else [f"with {len(gear)} pieces of shared equipment"]
    texts = [f"Plan 1: {'; '.join([*in_groups(machines), *with_gear(gear)])}"]
    for shown in range(len(machines) - 1, 0, -1):
        left = sum(count for *_, count in machines[shown:])
        more = f"and {left} more machine{'s' * (left > 1)}: --show machines"
        texts.append(f"Plan 1: {'; '.join([*in_groups(machines[:shown]), *added, more])}")
    return texts


def _figures(comparison: Comparison, places: Sequence[int]) -> list[str]:
    """Places, how much dearer than the best, cash today; of equals how far they are apart, and cash from to."""
    plans = [comparison.plans[place - 1] for place in places]
    best, spread = comparison.best.present_value_cents, step_spread_cents(comparison)
    first = places[0] == 1
    more = "" if first else between(plans[0].present_value_cents, best, spread)
    if first and len(places) > 1:
        more = f"{between(plans[-1].present_value_cents, best, spread)} apart"
    cash = dict.fromkeys(in_steps(cents, spread) for cents in sorted(plan.outlay_cents for plan in plans))
    ends = [*cash][:1] + [*cash][1:][-1:]
    called = str(places[0]) if len(places) == 1 else together(places)
    return [called, more, " to ".join(ends)]


def _how(comparison: Comparison, places: Sequence[int], room: int) -> str:
    """How the plans of a line power the machines: plan 1 in short, of all others what differs from it."""
    facts, best = comparison.facts, comparison.best
    others = [difference(facts, comparison.plans[place - 1], best) for place in places if place > 1]
    if places[0] != 1:
        return _either(others, room)
    alike = f", and {len(others)} like it" if others else ""
    return filled_rows(ways_in_short(facts, best, room - len(alike)), 1, room - len(alike))[0] + alike


def _either(plans: Sequence[str], room: int) -> str:
    """What sets plans that are too close to call apart from the best, in one row; the first, where not all have room."""
    whole = "; or ".join(plans)
    if len(whole) <= room:
        return whole
    more = len(plans) - 1
    rest = f"; or {more} other plan{'s' * (more > 1)}" if more else ""
    return beginning(plans[0], room - len(rest)) + rest


def ways_in_short(facts: Facts, ranked: Ranked, room: int) -> str:
    """A plan in one row: its machines by way where they fit, else how many by each way, else by each run."""
    gear = ranked.plan.gear_names
    added = f"; with {', '.join(sorted(gear))}" if gear else ""
    groups: Counter[str] = Counter()
    runs: Counter[str] = Counter()
    for _, way, count in shares(facts, ranked.plan):
        groups[way.short] += count
        runs[way.quoted or SHORT.methods[way.method]] += count
    counted = f"; with {len(gear)} pieces of shared equipment" if len(gear) > 1 else added
    texts = [
        title(facts, ranked),
        _counted(groups) + added,
        _counted(runs) + added,
        _counted(runs) + counted,
    ]
    return next((text for text in texts if len(text) <= room), texts[-1])


def _counted(ways: Counter[str]) -> str:
    order = sorted(ways.items(), key=lambda entry: (-entry[1], entry[0]))
    return ", ".join(f"{count} by {way}" for way, count in order)
