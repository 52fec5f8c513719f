"""A comparison as pandas frames, for those who calculate on; pandas and the columns are loaded when a frame is asked for.

The columns are those of `columns`, with money in whole cents; `draws` has every draw of every ranked plan.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from costplan.files.asked import WrongUseError, whole_number
from costplan.program.clock import Clock, Tick
from costplan.reports.framing import columns_of, framed, named
from costplan.studies.bid_choice import compare_with_bids
from costplan.studies.caps import with_cap
from costplan.studies.case import Case
from costplan.studies.comparison import Comparison
from costplan.studies.outlays import STEPS, efficient, searched
from costplan.studies.sureness import (
    DEFAULT,
    DRAWS,
    LEAST_DRAWS,
    MOST_DRAWS,
    MOST_SEED,
    SEED,
    Drawable,
    Settings,
    sampled,
)
from costplan.studies.turned import Pair, ask_of
from costplan.studies.wanted import Wanted

if TYPE_CHECKING:
    import pandas as pd


MOST_PLANS, MOST_CENTS = 50, 10**11
UNDER_A_CAP = (
    "--turning, --between and --map solve at other figures, at which a cap on today's outlay may leave no plan at all: leave "
    "out the cap (--outlay-cap, or outlay_cap in the shop file), or these"
)


@dataclass(frozen=True)
class Result:
    """A comparison and its tables as frames, each worked out when it is first asked for.

    `comparison` is what the commands print; `settings` of the draws; `held` the words that machines were held to.
    """

    comparison: Comparison
    settings: Settings = DEFAULT
    held: Mapping[str, str] = field(default_factory=dict)

    @property
    def currency(self) -> str:
        """The shop's currency: whole cents of it stand in every column whose name ends with `_cents`."""
        return self.comparison.facts.shop.currency

    @property
    def notes(self) -> tuple[str, ...]:
        """What no figure contains and what is not known, in sentences: to be read before any figure is used."""
        from costplan.reports.verdict_words import missing
        from costplan.reports.words import left_out_lines

        found = self.comparison
        return (
            *left_out_lines(found.facts.left_out),
            *missing(found),
            *found.hinges,
            *found.warnings,
        )

    @cached_property
    def plans(self) -> "pd.DataFrame":
        """The ranked plans, the cheapest first."""
        return self.table("plans")

    @cached_property
    def lines(self) -> "pd.DataFrame":
        """Every line of every plan: a plan's total is the sum of `present_value_cents`."""
        return self.table("lines")

    @cached_property
    def by_year(self) -> "pd.DataFrame":
        """Money of every plan by year."""
        return self.table("by_year")

    @cached_property
    def cash_due(self) -> "pd.DataFrame":
        """Cash of every plan by year and machine."""
        return self.table("cash_due")

    @cached_property
    def bill_of_materials(self) -> "pd.DataFrame":
        """What to buy today, of every plan."""
        return self.table("bill_of_materials")

    @cached_property
    def labor(self) -> "pd.DataFrame":
        """Today's work, of every plan."""
        return self.table("labor")

    @cached_property
    def matrix(self) -> "pd.DataFrame":
        """The ways by what may be bought."""
        return self.table("matrix")

    @cached_property
    def turning_points(self) -> "pd.DataFrame":
        """Where the winner of fixed drops and cords changes."""
        return self.table("turning_points")

    @cached_property
    def strategies(self) -> "pd.DataFrame":
        """The strategies of the shop file, in its order."""
        return self.table("strategies")

    @cached_property
    def layouts(self) -> "pd.DataFrame":
        """Layouts beside the shop as it is."""
        return self.table("layouts")

    @cached_property
    def ranges(self) -> "pd.DataFrame":
        """How far each total may be off: plans, cells of the matrix, strategies."""
        return self.table("ranges")

    @cached_property
    def finding_out(self) -> "pd.DataFrame":
        """What knowing each figure alone is worth before a plan is chosen."""
        return self.table("finding_out")

    @cached_property
    def paying_back(self) -> "pd.DataFrame":
        """Plan 1 beside every other: payback, net savings, savings to investment, adjusted return."""
        return self.table("paying_back")

    @cached_property
    def not_beaten(self) -> "pd.DataFrame":
        """Plans that no other beats in both cash today and total, of those that were worked out."""
        return self.table("not_beaten")

    @cached_property
    def draws(self) -> "pd.DataFrame":
        """Every draw of every ranked plan: `draw`, `rank`, `total_cents`, `cash_today_cents`; the same at the same seed."""
        import pandas as pd

        found = self.comparison
        drawn = sampled([Drawable(found.facts, plan) for plan in found.plans], self.settings)
        plans, many = drawn.totals.shape
        return pd.DataFrame(
            {
                "draw": [draw for _ in range(plans) for draw in range(1, many + 1)],
                "rank": [rank for rank in range(1, plans + 1) for _ in range(many)],
                "total_cents": drawn.totals.reshape(-1).astype("int64"),
                "cash_today_cents": drawn.cash.reshape(-1).astype("int64"),
            }
        )

    def frontier(self, steps: int = STEPS, seconds: float | None = None) -> "pd.DataFrame":
        """Cash today against later, as `compare --outlays` has it: the cheapest plans under lower and lower caps on it.

        Searched anew for every step, so that it takes as long as a comparison or longer; steps: in how many the cap falls
        from plan 1's cash to nothing. `ended` is false in all rows where `seconds` ran out before the last step.
        Raises ValueError for fewer than one step.
        """
        from costplan.reports.answer_columns import OUTLAYS

        found = searched(self.comparison, self.held, Clock(seconds), steps=steps)
        rows = efficient(self.comparison, found)
        frame = framed(OUTLAYS, [[column.of(entry) for column in OUTLAYS] for entry in rows])
        frame["ended"] = found.ended
        return frame

    def table(self, name: str) -> "pd.DataFrame":
        """The frame of that name. Raises ValueError naming those that there are."""
        from costplan.reports.answer_columns import TABLES

        table = named(TABLES, name)
        return framed(columns_of(table), table.values(self.comparison))


def compare(
    case: Case,
    *,
    plans: int | str = 5,
    outlay_cap_cents: int | str | None = None,
    held: Mapping[str, str] | None = None,
    expired: bool = False,
    seconds: float | None = 120,
    seed: int | str | None = None,
    draws: int | str | None = None,
    turning: bool = False,
    between: Pair | None = None,
    map_of: Pair | None = None,
    only_plans: bool = False,
    tick: Tick = bool,
) -> Result:
    """Compare every way of powering every machine, as `costplan compare` does.

    plans: how many ranked plans; outlay_cap_cents: the most that may be spent today, None for what the file says; held:
    machine, or * for all others, → words of its way; expired: count bids whose day has passed; seconds: time limit of the
    whole run, None for none; seed, draws: of the draws, None for the usual; turning: solve anew for every figure that could
    turn the answer, which takes several times as long; between: the same, also for which of two strategies is cheaper; map_of:
    the same, also which plan wins at values of two figures; both are two names, or two with a comma between; only_plans:
    neither strategies nor layouts nor draws, as papers need
    no more; tick: called ahead of each step with what it is.
    Raises NoPlanError when no plan keeps all limits, UnknownWordsError for words that name no machine, way, strategy
    or figure, WrongUseError, a ValueError, for what is no whole number or out of range.
    """
    count = whole_number("--plans", plans, 5, 1, MOST_PLANS)
    settings = Settings(
        whole_number("--seed", seed, SEED, 0, MOST_SEED),
        whole_number("--draws", draws, DRAWS, LEAST_DRAWS, MOST_DRAWS),
    )
    facts = case.facts
    if outlay_cap_cents is not None:
        facts = with_cap(facts, whole_number("--outlay_cap_cents", outlay_cap_cents, 250000, 0, MOST_CENTS))
    ask = ask_of(turning=turning, between=between, map_of=map_of)
    if ask is not None and facts.shop.money.outlay_cap_cents is not None:
        raise WrongUseError(UNDER_A_CAP)
    wanted = Wanted(
        plans=count,
        held=held or {},
        seconds=seconds,
        strategies=not only_plans,
        layouts=not only_plans,
        settings=None if only_plans else settings,
        exact_turning=ask,
        tick=tick,
    )
    found = compare_with_bids(facts, case.bids, wanted, expired=expired)
    return Result(found, settings, dict(held or {}))
