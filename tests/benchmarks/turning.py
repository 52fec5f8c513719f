"""How long turning points take, each solve at another figure beside the first solve; processor seconds of one process.

python tests/benchmarks/turning.py [EXAMPLE [SOLVES]]
"""

import gc
import sys
from collections.abc import Sequence
from contextlib import suppress
from decimal import Decimal
from itertools import cycle, islice
from time import process_time

from generator import facts_of
from tabulate import tabulate

from costplan.cli.main import SELDOM
from costplan.program.anew import Anew
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.program.relaxation import relax
from costplan.program.solver import NoAnswerError, solve
from costplan.studies.at_hand import at_hand_points
from costplan.studies.figures import Figure, figures
from costplan.studies.turning import BEST, Desk, Side

Row = tuple[str, float, float]
SHARES = (Decimal("0.6"), Decimal("1.5"), Decimal("0.9"), Decimal("1.1"))
"""Of what a figure is now: where it is solved."""


def solves(desk: Desk, asked: Sequence[Figure], best: Ranked, many: int) -> list[Row]:
    """So many solves, a figure after another, for what is below the known plans held: seconds to reckon that, to solve."""
    found, anew = list[Row](), Anew(desk.bench)
    start = process_time()
    anew.best(desk.bench, Clock())
    found.append(("as figures are now", 0.0, process_time() - start))
    for figure, share in islice(zip(cycle(asked), cycle(SHARES), strict=False), many):
        value = min(figure.likely * share or figure.high * share / 10, figure.high)
        start = process_time()
        held = min(desk.cents(plan, figure, value) for plan in (best, *desk.known))
        costs = process_time() - start
        start = process_time()
        anew.best(desk.at(figure, value), Clock(), held - 1)
        found.append((figure.name, costs, process_time() - start))
    return found


def floor(bench: Bench, best: Ranked) -> float:
    """What the solver alone takes to prove the first plan again, from its cost, on a program at hand."""
    program = bench.choice(next(one for one in bench.pricers if one.hiring == best.plan.hiring)).program
    relaxed, start = relax(program), process_time()
    with suppress(NoAnswerError):
        solve(program, at_most=best.present_value_cents - 1, near=best.present_value_cents, relaxed=relaxed)
    return process_time() - start


def measure(example: str, many: int) -> list[Row]:
    """The first solve, then the others, what the first screen does, and all turning points of the first figure."""
    facts, start = facts_of(example), process_time()
    bench = Bench.over(facts, facts.shop.money.surplus)
    made, start = process_time() - start, process_time()
    ranked = best_plans(bench, 1)
    found = [("first", made, process_time() - start), ("floor of one", 0.0, floor(bench, ranked[0]))]
    others = best_plans(bench, 5)[1:]
    asked = figures(facts, ranked[0], others)
    start = process_time()
    at_hand_points(Desk(bench, Clock(), known=list(others), best=ranked[0]), asked, ranked[0], ())
    found.append(("at hand, first screen", 0.0, process_time() - start))
    start = process_time()
    desk = Desk(bench, Clock(), known=list(others), best=ranked[0])
    for figure in asked:
        desk.turn(figure, BEST, Side(BEST, ranked[0]))
        desk.done_with(figure)
    found.append(("turning points of all figures", 0.0, process_time() - start))
    return found + solves(Desk(bench, Clock(), known=list(others), best=ranked[0]), asked, ranked[0], many)


if __name__ == "__main__":
    # As in commands.
    gc.set_threshold(SELDOM)
    example = sys.argv[1] if len(sys.argv) > 1 else "demo"
    many = int(sys.argv[2]) if len(sys.argv) > 2 else 30
    rows = measure(example, many)
    print(tabulate(rows, ["solve", "made, CPU s", "solved, CPU s"], floatfmt=".2f"))
    again = rows[-many:]
    print(
        f"{many} solves: {sum(took for _, _, took in again):.1f} s (aim 5), {many * rows[1][2]:.1f} s the floor"
    )
