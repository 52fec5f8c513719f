"""A comparison as pandas frames, for those who calculate on; pandas is loaded when a frame is asked for, and only here.

The columns are those of `columns`, with money in whole cents; `draws` has every draw of every ranked plan.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from costplan.program.clock import Clock
from costplan.reports.columns import RANK, TABLES, Column, Kind, PlanTable, Table
from costplan.reports.words import left_out_lines, missing
from costplan.studies.bid_choice import compare_with_bids
from costplan.studies.case import Case
from costplan.studies.comparison import Comparison
from costplan.studies.outlays import STEPS, searched, with_cap
from costplan.studies.sureness import (
    DRAWS,
    LEAST_DRAWS,
    MOST_DRAWS,
    MOST_SEED,
    SEED,
    Drawable,
    Settings,
    sampled,
)

if TYPE_CHECKING:
    import pandas as pd

MOST_PLANS, MOST_CENTS = 50, 10**11


@dataclass(frozen=True)
class Result:
    """A comparison and its tables as frames, each worked out when it is first asked for.

    `comparison` is what the commands print; `held` the words that machines were held to.
    """

    comparison: Comparison
    held: Mapping[str, str] = field(default_factory=dict)

    @property
    def currency(self) -> str:
        """The shop's currency: whole cents of it stand in every column whose name ends with `_cents`."""
        return self.comparison.facts.shop.currency

    @property
    def notes(self) -> tuple[str, ...]:
        """What no figure contains and what is not known, in sentences: to be read before any figure is used."""
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
        drawn = sampled([Drawable(found.facts, plan) for plan in found.plans], found.sureness.settings)
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
        """The cheapest plan under lower and lower caps on today's cash: `outlay_cents`, `present_value_cents`, `ended`.

        Searched anew for every step, so that it takes as long as a comparison or longer; steps: in how many the cap falls
        from plan 1's cash to nothing. `ended` is false in all rows where `seconds` ran out before the last step.
        Raises ValueError for fewer than one step.
        """
        import pandas as pd

        found = searched(self.comparison, self.held, Clock(seconds), steps=steps)
        return pd.DataFrame(
            {
                "outlay_cents": [plan.outlay_cents for plan in found.plans],
                "present_value_cents": [plan.present_value_cents for plan in found.plans],
                "ended": found.ended,
            }
        )

    def table(self, name: str) -> "pd.DataFrame":
        """The frame of that name. Raises ValueError naming those that there are."""
        if name not in TABLES:
            raise ValueError(f'there is no table "{name}"; there are {", ".join(TABLES)}')
        table = TABLES[name]
        return _framed(columns_of(table), table.values(self.comparison))


def columns_of(table: Table[Any] | PlanTable[Any]) -> tuple[Column[Any], ...]:
    """The columns of its frame."""
    return (RANK, *table.columns) if isinstance(table, PlanTable) else table.columns


def _framed(columns: tuple[Column[Any], ...], rows: list[list[Any]]) -> "pd.DataFrame":
    import pandas as pd

    series = {}
    for place, column in enumerate(columns):
        values = [row[place] for row in rows]
        if column.kind is Kind.NUMBER:
            values = [None if value is None else float(value) for value in values]
        series[column.name] = pd.Series(values, dtype=str(column.kind))
    return pd.DataFrame(series)


def compare(
    case: Case,
    *,
    plans: int = 5,
    outlay_cap_cents: int | None = None,
    held: Mapping[str, str] | None = None,
    expired: bool = False,
    seconds: float | None = 120,
    seed: int = SEED,
    draws: int = DRAWS,
) -> Result:
    """Compare every way of powering every machine, as `costplan compare` does.

    plans: how many ranked plans; outlay_cap_cents: the most that may be spent today, None for what the file says; held:
    machine, or * for all others, → words of its way; expired: count bids whose day has passed; seconds: time limit of the
    whole run, None for none; seed, draws: of the draws.
    Raises NoPlanError when no plan keeps all limits, UnknownWordsError for words that name no machine or way, ValueError
    for a number out of range.
    """
    for name, value, least, most in (
        ("plans", plans, 1, MOST_PLANS),
        ("outlay_cap_cents", outlay_cap_cents or 0, 0, MOST_CENTS),
        ("seed", seed, 0, MOST_SEED),
        ("draws", draws, LEAST_DRAWS, MOST_DRAWS),
    ):
        if not least <= value <= most:
            raise ValueError(f"{name} is {value}; it must be from {least:,} to {most:,}")
    facts = case.facts if outlay_cap_cents is None else with_cap(case.facts, outlay_cap_cents)
    return Result(
        compare_with_bids(
            facts,
            case.bids,
            expired=expired,
            plans=plans,
            held=held,
            seconds=seconds,
            settings=Settings(seed, draws),
        ),
        dict(held or {}),
    )
