"""Large shops: the best plan, the matrix and ten plans, each in seconds of the processor beside its floor.

python tests/benchmarks/large.py [--limit SECONDS] [SHOP ...], a SHOP as `generator.facts_of` knows it: `forty`, `40`,
`40+gear`, `100in8`. Every shop is measured in a process of its own, so that its memory is its own.

The floor is what the relaxations and the solver take of it; the limit is for each question by itself.
"""

import argparse
import gc
import resource
import subprocess
import sys
from collections.abc import Callable
from time import process_time

from generator import facts_of
from tabulate import tabulate

RANKED = 10
HEADERS = ("shop", "question", "s", "floor s", "proven", "widest gap", "MB")


def measured(shop: str, limit_s: float) -> list[tuple[object, ...]]:
    """Survey, best plan, matrix and ten plans of a shop, in this process."""
    from costplan.cli.main import SELDOM
    from costplan.ledger.options import survey
    from costplan.model.choices import SurplusRule
    from costplan.program import relaxation, solver
    from costplan.program.bench import Bench
    from costplan.program.clock import Clock
    from costplan.program.ranked import Ranked
    from costplan.program.ranking import best_plans
    from costplan.program.repriced import repriced
    from costplan.studies.comparison import METHODS
    from costplan.studies.rows import row_cell

    # As the commands do: the collector walks over what is kept to the end.
    gc.set_threshold(SELDOM)
    facts, floor = facts_of(shop), [0.0]

    def timed(plain: Callable[..., object]) -> Callable[..., object]:
        def work(*arguments: object, **named: object) -> object:
            began = process_time()
            try:
                return plain(*arguments, **named)
            finally:
                floor[0] += process_time() - began

        return work

    solver._solved = timed(solver._solved)
    for name in ("__init__", "relaxed"):
        setattr(relaxation.Linear, name, timed(getattr(relaxation.Linear, name)))
    rows: list[tuple[object, ...]] = []

    def question(name: str, ask: Callable[[], list[Ranked]]) -> None:
        began, floor[0] = process_time(), 0.0
        found = ask()
        gaps = [1 - plan.bound_cents / plan.present_value_cents for plan in found if not plan.proven]
        memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        said = f"{len(found) - len(gaps)} of {len(found)}" if found else ""
        worst = f"{max(gaps):.3%}" if gaps else ""
        rows.append((shop, name, process_time() - began, floor[0], said, worst, round(memory_mb)))

    began = process_time()
    seen = survey(facts)
    rows.append((shop, "survey", process_time() - began, None, "", "", None))
    allowed = Bench.over(facts, SurplusRule.ALLOWED, whole_survey=seen)
    question("best", lambda: best_plans(allowed, 1, clock=Clock(limit_s)))

    def cells() -> list[Ranked]:
        benches = allowed, repriced(allowed, rule=SurplusRule.NEW_ONLY)
        found = []
        for bench in benches:
            for methods in METHODS.values():
                cell = row_cell(bench, lambda _, way, of=methods: way.method in of, Clock(limit_s))
                found += [cell.ranked] if cell.ranked else []
        return found

    question("matrix", cells)
    question("ten plans", lambda: best_plans(allowed, RANKED, clock=Clock(limit_s)))
    return rows


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("shops", nargs="*", default=["forty"])
    parser.add_argument("--limit", type=float, default=120, help="seconds for each question")
    asked = parser.parse_args()
    if len(asked.shops) > 1:
        for shop in asked.shops:
            subprocess.run([sys.executable, __file__, "--limit", str(asked.limit), shop], check=False)
        return
    rows = measured(asked.shops[0], asked.limit)
    print(tabulate(rows, HEADERS, floatfmt=("", "", ".1f", ".1f", "", "", "")), flush=True)


if __name__ == "__main__":
    main()
