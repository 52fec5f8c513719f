"""The same programs solved by CP-SAT, which costplan uses, and by HiGHS; both on one thread, both to proof.

python tests/benchmarks/solvers.py [--limit SECONDS] [SHOP ...], a SHOP being a number of machines or an example.

The floor is HiGHS alone: it reads the program from an MPS file that was written before the clock started,
and solves it. costplan's own seconds include building its model and reading the answer back.
Each solver's cost is checked against the program's rows in whole-number arithmetic. HiGHS runs in a process
of its own: ortools brings another HiGHS along, and whichever of the two is imported last fails to load.
"""

import argparse
import importlib.util
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from importlib.metadata import distribution
from multiprocessing import get_context
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

from generator import facts_of
from tabulate import tabulate

from costplan.program.program import Program

IMPORTS = {"ortools": "ortools.sat.python.cp_model", "highspy": "highspy"}
REPEATS = 5
SEED = 1


@dataclass(frozen=True, slots=True)
class Outcome:
    """Seconds, cost in cents (None: nothing found), and whether that is proven."""

    seconds: float
    cost: int | None
    proven: bool


def programs_of(shop: str) -> list[tuple[str, Program]]:
    """The programs of the best plan, one for each way of hiring, as the search builds them."""
    from costplan.model.choices import SurplusRule
    from costplan.program.bench import Bench

    bench = Bench.over(facts_of(shop), SurplusRule.ALLOWED)
    return [(pricer.hiring.name, bench.choice(pricer).program) for pricer in bench.pricers]


def by_costplan(program: Program, limit_s: float) -> Outcome:
    """CP-SAT through costplan's solver module."""
    from costplan.program.solver import NoAnswerError, solve

    began = perf_counter()
    try:
        answer = solve(program, seconds=limit_s)
    except NoAnswerError:
        return Outcome(perf_counter() - began, None, False)
    return Outcome(perf_counter() - began, answer.cost, answer.proven)


def by_highs(program: Program, path: Path, limit_s: float) -> tuple[Outcome, Outcome]:
    """HiGHS over the same rows; and alone, over a file that it reads itself."""
    import highspy  # noqa: F401  its import is timed on its own

    began = perf_counter()
    ours = _finished(began, loaded(program), program, limit_s)
    loaded(program).writeModel(str(path))
    highs = _quiet()
    began = perf_counter()
    highs.readModel(str(path))
    return ours, _finished(began, highs, program, limit_s)


def loaded(program: Program) -> Any:
    """A HiGHS model of a program: same variables, rows and costs, in the same order."""
    import highspy
    import numpy

    highs = _quiet()
    infinity = highspy.kHighsInf
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(program.variables), len(program.rows)
    model.offset_ = float(program.fixed_cost)
    model.col_cost_ = [float(program.cost.get(index, 0)) for index in range(model.num_col_)]
    model.col_lower_ = [float(variable.low) for variable in program.variables]
    model.col_upper_ = [float(variable.high) for variable in program.variables]
    model.row_lower_ = [-infinity if row.low is None else float(row.low) for row in program.rows]
    model.row_upper_ = [infinity if row.high is None else float(row.high) for row in program.rows]
    model.integrality_ = [highspy.HighsVarType.kInteger] * model.num_col_
    starts, indices, values = [0], [], []
    for row in program.rows:
        indices += [index for index, _ in row.terms]
        values += [float(value) for _, value in row.terms]
        starts.append(len(indices))
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = numpy.array(starts)
    model.a_matrix_.index_ = numpy.array(indices)
    model.a_matrix_.value_ = numpy.array(values)
    highs.passModel(model)
    return highs


def _quiet() -> Any:
    import highspy

    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("random_seed", SEED)
    highs.setOptionValue("mip_rel_gap", 0.0)
    # Costs are whole cents, so a gap of less than one cent is a proof.
    highs.setOptionValue("mip_abs_gap", 0.5)
    return highs


def _finished(began: float, highs: Any, program: Program, limit_s: float) -> Outcome:
    import highspy

    highs.setOptionValue("time_limit", float(limit_s))
    highs.run()
    values = [round(value) for value in highs.getSolution().col_value]
    sound = len(values) == len(program.variables) and not program.broken(values)
    proven = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return Outcome(perf_counter() - began, program.value(values) if sound else None, proven)


def footprint(package: str) -> tuple[float, float]:
    """Seconds to import it in a fresh process, less a bare interpreter, and megabytes installed."""
    bare_s = _process_s("pass")
    took_s = _process_s(f"import {IMPORTS[package]}") - bare_s
    files = distribution(package).files or []
    found = {Path(str(file.locate())) for file in files}
    return took_s, sum(path.stat().st_size for path in found if path.is_file()) / 1e6


def _process_s(code: str) -> float:
    times = []
    for _ in range(REPEATS):
        began = perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True)
        times.append(perf_counter() - began)
    return median(times)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("shops", nargs="*", default=["demo", "5", "10", "20"])
    parser.add_argument("--limit", type=float, default=60, help="seconds for each program and solver")
    asked = parser.parse_args()
    if importlib.util.find_spec("highspy") is None:
        raise SystemExit("highspy is missing; it comes with the development tools: pip install costplan[dev]")
    import ortools.sat.python.cp_model  # noqa: F401  imports are timed on their own

    lines = []
    own_process = ProcessPoolExecutor(1, mp_context=get_context("spawn"))
    with TemporaryDirectory() as folder, own_process as worker:
        for shop in asked.shops:
            for number, (hiring, program) in enumerate(programs_of(shop)):
                path = Path(folder) / f"{shop}-{number}.mps"
                cp_sat = by_costplan(program, asked.limit)
                highs, floor = worker.submit(by_highs, program, path, asked.limit).result()
                size = f"{len(program.variables)} x {len(program.rows)}"
                lines.append([shop, hiring, size, *_said(cp_sat), *_said(highs), *_said(floor)])
                lines[-1] += [_equal([cp_sat, highs, floor]), cp_sat.seconds / floor.seconds]
    headers = [
        "shop",
        "hiring",
        "variables x rows",
        "CP-SAT s",
        "proven",
        "HiGHS s",
        "proven",
        "floor s",
        "proven",
    ]
    formats = ("",) * 3 + (".2f", "") * 3 + ("", ".1f")
    print(tabulate(lines, [*headers, "same cost", "CP-SAT x floor"], floatfmt=formats))
    print()
    sizes = [[package, *footprint(package)] for package in IMPORTS]
    print(tabulate(sizes, ["package", "import s", "installed MB"], floatfmt=("", ".2f", ".1f")))


def _said(outcome: Outcome) -> tuple[float, str]:
    return outcome.seconds, "yes" if outcome.proven else "no"


def _equal(outcomes: list[Outcome]) -> str:
    costs = {outcome.cost for outcome in outcomes if outcome.proven}
    if len(costs) > 1:
        return f"NO: {sorted(costs, key=str)}"
    return "yes" if sum(outcome.proven for outcome in outcomes) == len(outcomes) else "as far as proven"


if __name__ == "__main__":
    main()
