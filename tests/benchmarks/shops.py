"""Time and memory against the number of machines: survey, one proven optimum, ten ranked plans.

python tests/benchmarks/shops.py [--limit SECONDS] [--gear] [SHOP ...], a SHOP being a number of machines or an
example; with `+gear` after it, or all of them with --gear, also with candidate gear in the place of its
three-phase panels (a service, two subpanels, a rotary and a solid-state converter).

The floor is the shop of the row above, in the same run: `growth` is seconds against its seconds, and beside
it is the growth of the number of machines. For a shop with gear the floor is the same shop without it.
Variables and rows are those of the program that all plans start from, for the first way of hiring.
"""

import argparse
import json
import resource
import subprocess
import sys
from dataclasses import asdict, dataclass
from time import perf_counter
from typing import TYPE_CHECKING

from generator import GEAR, facts_of
from tabulate import tabulate

if TYPE_CHECKING:
    from costplan.program.ranking import Bench

RANKED = 10
SHARE = 0.4
"""Part of a shop's time that the best plan may take, and part that ten plans may take."""


@dataclass(frozen=True, slots=True)
class Timing:
    """One shop. Seconds are None when the time limit came first."""

    shop: str
    machines: int
    ways: int
    open_ways: int
    variables: int | None
    rows: int | None
    survey_s: float
    market_s: float
    best_s: float | None
    best_gap: float | None
    ranked_s: float | None
    ranked: int
    ranked_proven: bool | None
    peak_mb: float


def measure(shop: str, limit_s: float, emit: bool = False) -> Timing:
    """Time one shop in this process; `emit` prints what is known so far, should the caller's patience end."""
    from costplan.ledger.options import survey
    from costplan.model.choices import SurplusRule
    from costplan.program.ranking import Bench, Clock, NoPlanError, best_plans

    facts = facts_of(shop)
    import ortools.sat.python.cp_model  # noqa: F401  its import is no part of the search

    began = perf_counter()
    seen = survey(facts)
    survey_s = perf_counter() - began
    began = perf_counter()
    bench = Bench.over(facts, SurplusRule.ALLOWED, seen=seen)
    market_s = perf_counter() - began
    options = [option for found in bench.survey.options.values() for option in found]

    def timing(
        best: tuple[float, float] | None = None,
        size: tuple[int, int] | None = None,
        ranked: tuple[float, int, bool] | None = None,
    ) -> Timing:
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        return Timing(
            shop,
            len(facts.machines),
            len(options),
            sum(option.open for option in options),
            size[0] if size else None,
            size[1] if size else None,
            survey_s,
            market_s,
            best[0] if best else None,
            best[1] if best else None,
            ranked[0] if ranked else None,
            ranked[1] if ranked else 0,
            ranked[2] if ranked else None,
            peak_mb,
        )

    def say(known: Timing) -> Timing:
        if emit:
            print(json.dumps(asdict(known)), flush=True)
        return known

    say(timing())
    try:
        began = perf_counter()
        found = best_plans(bench, 1, clock=Clock(limit_s * SHARE))
        best = (perf_counter() - began, 1 - found[0].bound_cents / found[0].present_value_cents)
        size = program_size(bench)
        say(timing(best, size))
        began = perf_counter()
        plans = best_plans(bench, RANKED, clock=Clock(limit_s * SHARE))
        ranked = (perf_counter() - began, len(plans), all(plan.proven for plan in plans))
    except NoPlanError as error:
        print(f"{shop}: {error}", file=sys.stderr)
        return say(timing())
    assert (
        not (found[0].proven and plans[0].proven)
        or plans[0].present_value_cents == found[0].present_value_cents
    )
    return say(timing(best, size, ranked))


def program_size(bench: "Bench") -> tuple[int, int]:
    """Variables and rows of the program that plans start from, for the first way of hiring."""
    program = bench.choice(bench.pricers[0]).program
    return len(program.variables), len(program.rows)


def in_its_own_process(shop: str, limit_s: float) -> Timing | None:
    """Time one shop in a process of its own, so that its peak memory is its own; None when nothing came back."""
    command = [sys.executable, __file__, "--child", "--limit", str(limit_s), shop]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        text, _ = process.communicate(timeout=limit_s)
    except subprocess.TimeoutExpired:
        process.kill()
        text, _ = process.communicate()
    lines = text.splitlines()
    return Timing(**json.loads(lines[-1])) if lines else None


def table(timings: list[Timing]) -> str:
    """The figures with what the row above makes of them."""
    rows = []
    before: Timing | None = None
    for now in timings:
        growth = ""
        if before and before.best_s and now.best_s and now.shop.endswith(GEAR) == before.shop.endswith(GEAR):
            larger = now.machines / before.machines
            growth = f"{now.best_s / before.best_s:.1f}x for {larger:.1f}x"
        rows.append(
            [
                now.shop,
                now.machines,
                f"{now.open_ways} of {now.ways}",
                now.variables,
                now.rows,
                now.survey_s,
                now.market_s,
                now.best_s,
                _gap(now.best_gap),
                growth,
                now.ranked_s,
                now.ranked or None,
                _said(now.ranked_proven),
                now.peak_mb,
            ]
        )
        before = now
    headers = [
        "shop",
        "machines",
        "open ways",
        "variables",
        "rows",
        "survey s",
        "prices s",
        "best s",
        "proven",
    ]
    headers += ["growth", "ten s", "plans", "all proven", "peak MB"]
    formats = ("",) * 5 + (".2f",) * 3 + ("",) * 2 + (".2f",) + ("",) * 2 + (".0f",)
    return tabulate(rows, headers, tablefmt="simple", floatfmt=formats, missingval="over the limit")


ADDS = {
    "open ways": "open_ways",
    "variables": "variables",
    "rows": "rows",
    "survey s": "survey_s",
    "best s": "best_s",
    "ten s": "ranked_s",
    "peak MB": "peak_mb",
}


def gear_table(timings: list[Timing]) -> str:
    """What gear adds to each shop that was timed with and without it."""
    plain = {timing.shop: timing for timing in timings}
    rows = []
    for now in timings:
        before = plain.get(now.shop.removesuffix(GEAR))
        if now.shop.endswith(GEAR) and before:
            pairs = [(getattr(before, name), getattr(now, name)) for name in ADDS.values()]
            rows.append([before.shop, *(_added(*pair) for pair in pairs)])
    return tabulate(rows, ["gear adds to", *ADDS], tablefmt="simple") if rows else ""


def _added(before: float | None, now: float | None) -> str:
    if before is None or now is None:
        return "over the limit"
    digits = 2 if isinstance(before, float) and before < 100 else 0
    return f"{now - before:+,.{digits}f} ({now / before:.1f}x)"


def _gap(gap: float | None) -> str:
    return "" if gap is None else "yes" if gap <= 0 else f"no, {gap:.2%} left"


def _said(proven: bool | None) -> str:
    return {None: "", True: "yes", False: "no"}[proven]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("shops", nargs="*", default=["5", "10", "20"])
    parser.add_argument("--limit", type=float, default=120, help="seconds for each shop, all of its steps")
    parser.add_argument("--gear", action="store_true", help="each shop also with candidate gear")
    parser.add_argument("--child", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.child:
        measure(asked.shops[0], asked.limit, emit=True)
        return
    shops = asked.shops + [shop + GEAR for shop in asked.shops if asked.gear and not shop.endswith(GEAR)]
    timings = []
    for shop in shops:
        timing = in_its_own_process(shop, asked.limit)
        if timing is None:
            print(f"{shop}: not even surveyed in {asked.limit:.0f} s", file=sys.stderr)
        else:
            timings.append(timing)
    print(table(timings))
    if added := gear_table(timings):
        print(f"\n{added}")


if __name__ == "__main__":
    main()
