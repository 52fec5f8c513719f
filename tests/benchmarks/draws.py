"""How long 100,000 draws of 10 plans of 300 lines take, beside the bare matrix product of plans and lines in the same run.

python tests/benchmarks/draws.py [DRAWS [REPEATS]]. Processor time on one thread, since other work on the machine would count
as ours. The lines are invented: 200 parts of 60 offers, a third along
copper, 60 pieces of work by three crews, 40 lines of later years with a discount rate.
"""

import os
import resource
import sys
from statistics import median
from time import process_time

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import numpy as np
from tabulate import tabulate

from costplan.model.choices import Distribution
from costplan.studies.draws import sample
from costplan.studies.uncertain import Bend, Figure, Group, Grouped, Mover

PLANS, LINES = 10, 300


def figure(name: str, spread: float, along: str = "", share: float = 0.0) -> Figure:
    return Figure(name, 1 - spread, 1, 1 + spread, 1, along, share)


def group_of(line: int) -> Group:
    """What a line follows."""
    if line < 200:
        offer = line % 60
        along = ("price of copper", 0.5) if offer % 3 == 0 else ("", 0.0)
        return (Mover(figure(f"price of offer {offer}", 0.26, *along)),)
    crew = line % 3
    slow = f"hours of crew {crew}"
    work = Mover(Figure(slow, 0.5, 0.8 + 0.1 * (line % 4), 2, 1, slow, 1.0))
    if line < 260:
        return (work,)
    rate = Figure("discount rate", 0.01, 0.03, 0.06, 0.03)
    return tuple(sorted((work, Mover(rate, Bend.COMPOUND, -(line % 8) - 1))))


def plans() -> list[Grouped]:
    """Ten plans, each of all lines in amounts of its own."""
    cents = np.random.default_rng(1).integers(1_000, 100_000, (PLANS, LINES))
    found = []
    for row in cents:
        sums: dict[Group, int] = {}
        for line, amount in enumerate(row):
            sums[group_of(line)] = sums.get(group_of(line), 0) + int(amount)
        found.append(Grouped(sums, sums))
    return found


def bare(draws: int, rows: int) -> float:
    """Seconds of the product of so many rows by lines with lines by draws, in blocks."""
    coefficients, factors = np.ones((rows, LINES)), np.ones((LINES, 25_000))
    start = process_time()
    for _ in range(draws // 25_000):
        coefficients @ factors
    return process_time() - start


def measure(draws: int) -> tuple[float, float, float]:
    """Seconds of the draws, and of the bare product of totals alone, and of totals and cash, which are both drawn."""
    ready = plans()
    start = process_time()
    sample(ready, Distribution.PERT, 1, draws)
    return process_time() - start, bare(draws, PLANS), bare(draws, 2 * PLANS)


def main() -> None:
    """Print the medians."""
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    repeats = int(sys.argv[2]) if len(sys.argv) > 2 else 5
    found = [measure(draws) for _ in range(repeats)]
    drawn, product, both = (median(seconds) for seconds in zip(*found, strict=True))
    groups = len({group_of(line) for line in range(LINES)})
    rows = [
        ["draws", f"{drawn:.3f} s"],
        ["bare product, totals of 300 lines", f"{product:.3f} s"],
        ["bare product, totals and cash", f"{both:.3f} s"],
        ["times, times", f"{drawn / product:.1f}, {drawn / both:.1f} (aim 3)"],
        ["groups of lines", str(groups)],
        ["largest memory", f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB"],
    ]
    print(tabulate(rows))


if __name__ == "__main__":
    main()
