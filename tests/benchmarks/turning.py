"""How long turning points take, each solve at another figure beside the first solve; processor seconds of one process.

python tests/benchmarks/turning.py [EXAMPLE [SOLVES]]
"""

import sys
from collections.abc import Sequence
from decimal import Decimal
from itertools import cycle, islice
from time import process_time

from generator import facts_of
from tabulate import tabulate

from costplan.program.clock import Clock
from costplan.program.ranking import Bench, Ranked, best_plans
from costplan.studies.figures import Figure, figures
from costplan.studies.turning import BEST, Desk, Side, at_hand_points

Row = tuple[str, float, float]
SHARES = (Decimal("0.6"), Decimal("1.5"), Decimal("0.9"), Decimal("1.1"))
"""Of what a figure is now: where it is solved."""


def solves(desk: Desk, asked: Sequence[Figure], best: Ranked, many: int) -> list[Row]:
    """So many solves, a figure after another, for what is below the best plan held: seconds to reckon that, to solve."""
    found = []
    for figure, share in islice(zip(cycle(asked), cycle(SHARES), strict=False), many):
        value = min(figure.likely * share or figure.high * share / 10, figure.high)
        start = process_time()
        held = desk.cents(best, figure, value)
        costs = process_time() - start
        start = process_time()
        best_plans(desk.at(figure, value), 1, at_most=held - 1)
        found.append((figure.name, costs, process_time() - start))
    return found


def measure(example: str, many: int) -> list[Row]:
    """The first solve, then the others, what the first screen does, and all turning points of the first figure."""
    facts, start = facts_of(example), process_time()
    bench = Bench.over(facts, facts.shop.money.surplus)
    made, start = process_time() - start, process_time()
    ranked = best_plans(bench, 1)
    found = [("first", made, process_time() - start)]
    others = best_plans(bench, 5)[1:]
    asked = figures(facts, ranked[0], others)
    desk = Desk(bench, Clock(), known=list(others))
    found += solves(desk, asked, ranked[0], many)
    start = process_time()
    at_hand_points(Desk(bench, Clock(), known=list(others)), asked, ranked[0], ())
    found.append(("at hand, first screen", 0.0, process_time() - start))
    start = process_time()
    desk.turn(asked[0], BEST, Side(BEST, ranked[0]))
    return [*found, (f"turning points of {asked[0].name}", 0.0, process_time() - start)]


if __name__ == "__main__":
    example = sys.argv[1] if len(sys.argv) > 1 else "demo"
    many = int(sys.argv[2]) if len(sys.argv) > 2 else 30
    rows = measure(example, many)
    print(tabulate(rows, ["solve", "made, CPU s", "solved, CPU s"], floatfmt=".2f"))
    again = rows[1 : many + 1]
    print(f"{many} solves: {sum(made + took for _, made, took in again):.1f} s (aim 5)")
