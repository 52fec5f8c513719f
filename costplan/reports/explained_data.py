"""What `explain` says, as plain data: stable keys, money with two decimals."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from costplan.circuits.facts import Facts
from costplan.files.yaml_reader import Places
from costplan.ledger.holding import written
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.program.ranked import Ranked
from costplan.reports.chain import Link, chain
from costplan.reports.data_text import csv_text, left_out_data, money
from costplan.reports.explained import could_be_cheaper, machine_circuits, rules_of
from costplan.reports.line_ranges import LineRange, line_ranges
from costplan.reports.table_types import Column, Kind, row_data
from costplan.reports.words import difference, title
from costplan.studies.explained import Instead, OtherWay, RankedShop, Variant
from costplan.studies.least_change import Tie
from costplan.studies.line_sheets import Apart, Share, by_machines, numbered, of_machine, sheet, sums

Sum = tuple[str, LineKind, Pocket, list[int], int]
"""When, what, whose money, the numbers of the lines, their sum in cents."""
BY_KIND: tuple[Column[Sum], ...] = (
    Column("when", Kind.WORDS, "today, later or at the end", lambda entry: entry[0]),
    Column("kind", Kind.WORDS, "what it is", lambda entry: str(entry[1])),
    Column("pocket", Kind.WORDS, "where it goes or comes from", lambda entry: str(entry[2])),
    Column("lines", Kind.LIST, "the numbers of its lines", lambda entry: entry[3]),
    Column("present_value_cents", Kind.WHOLE, "their sum in today's money", lambda entry: entry[4]),
)


@dataclass(frozen=True, slots=True)
class Numbered:
    """A line of plan 1 with its number."""

    facts: Facts
    number: int
    line: Line

    @property
    def machines(self) -> list[str]:
        """Those it is for, as the user wrote them."""
        return list(dict.fromkeys(written(self.facts, name) for name in self.line.machines))


LINES: tuple[Column[Numbered], ...] = (
    Column("line", Kind.WHOLE, "its number", lambda entry: entry.number),
    Column("year", Kind.WHOLE, "years from today", lambda entry: entry.line.year),
    Column("scenario", Kind.WORDS, "in which scenario; empty: in all", lambda entry: entry.line.scenario),
    Column("kind", Kind.WORDS, "what it is", lambda entry: str(entry.line.kind)),
    Column("pocket", Kind.WORDS, "where it goes or comes from", lambda entry: str(entry.line.pocket)),
    Column("what", Kind.WORDS, "in words", lambda entry: entry.line.what),
    Column("for", Kind.LIST, "the machines it is for", lambda entry: entry.machines),
    Column("amount_cents", Kind.WHOLE, "in the money of the year", lambda entry: entry.line.amount_cents),
    Column(
        "present_value_cents",
        Kind.WHOLE,
        "in today's money, times the scenario's weight",
        lambda entry: entry.line.present_value_cents,
    ),
    Column(
        "offer_row", Kind.MAYBE_WHOLE, "the row of offers.csv", lambda entry: entry.line.offer_row or None
    ),
    Column("task", Kind.WORDS, "its id in the catalog, or none", lambda entry: entry.line.task or None),
    Column("trace", Kind.WORDS, "where it comes from", lambda entry: entry.line.trace),
)
DIFFERENCES: tuple[Column[Apart], ...] = (
    Column("year", Kind.WHOLE, "years from today", lambda row: row.year),
    Column("scenario", Kind.WORDS, "in which scenario; empty: in all", lambda row: row.scenario),
    Column("kind", Kind.WORDS, "what it is", lambda row: str(row.kind)),
    Column("pocket", Kind.WORDS, "where it goes or comes from", lambda row: str(row.pocket)),
    Column("what", Kind.WORDS, "in words", lambda row: row.what),
    Column("for", Kind.LIST, "the machines it is for", lambda row: list(row.machines)),
    Column("plan_1_cents", Kind.WHOLE, "in plan 1, in today's money", lambda row: row.one_cents),
    Column("other_cents", Kind.WHOLE, "in the other, in today's money", lambda row: row.two_cents),
    Column("more_cents", Kind.WHOLE, "the other less plan 1", lambda row: row.more_cents),
)


def _plain(of: Callable[[LineRange], Decimal]) -> Callable[[LineRange], Decimal]:
    """A figure of a range in whole money where it is money."""
    return lambda found: of(found) / 100 if found.money else of(found)


RANGES: tuple[Column[LineRange], ...] = (
    Column("figure", Kind.WORDS, "which figure", lambda found: found.figure),
    Column("unit", Kind.WORDS, "what it is counted in; shares are fractions", lambda found: found.unit),
    Column("low", Kind.NUMBER, "as the file has it", _plain(lambda found: found.ends[0]), 8),
    Column("likely", Kind.NUMBER, "as the file has it", _plain(lambda found: found.ends[1]), 8),
    Column("high", Kind.NUMBER, "as the file has it", _plain(lambda found: found.ends[2]), 8),
    Column("counts", Kind.NUMBER, "what is reckoned with", _plain(lambda found: found.counts), 8),
    Column("how", Kind.WORDS, "how that is made of the three", lambda found: found.how),
    Column("where", Kind.WORDS, "the file and the line", lambda found: found.where),
)
CHAIN: tuple[Column[Link], ...] = (
    Column("step", Kind.WORDS, "which step", lambda link: link.step),
    Column("words", Kind.WORDS, "in words", lambda link: link.words),
)


def _head(case: RankedShop, about: str) -> dict[str, Any]:
    """What every answer begins with."""
    return {
        "explains": about,
        "shop": case.facts.shop.name,
        "currency": case.facts.shop.currency,
        "present_value": money(case.best.present_value_cents),
        "proven": case.best.proven,
        "could_be_cheaper": next(iter(could_be_cheaper(case)), None),
        "left_out": left_out_data(case.facts.left_out),
    }


def total_data(case: RankedShop) -> dict[str, Any]:
    """The total by what and by whom it is for."""
    facts, best = case.facts, case.best
    return {
        **_head(case, "total"),
        "title": title(facts, best),
        "by_kind": [row_data(BY_KIND, entry) for entry in sums(numbered(best))],
        "by_machines": [
            {
                "for": list(share.machines),
                "lines": [number for number, _ in share.lines],
                "present_value": money(share.cents),
            }
            for share in by_machines(facts, best)
        ],
        "next_plans": [
            {
                "rank": rank,
                "more": money(plan.present_value_cents - best.present_value_cents),
                "differs": difference(facts, plan, best),
            }
            for rank, plan in enumerate(case.plans[1:], 2)
        ],
    }


def machine_data(
    case: RankedShop, name: str, others: Sequence[OtherWay], options: Sequence[Variant]
) -> dict[str, Any]:
    """A machine of plan 1."""
    here = case.strands(name)
    alone, common = of_machine(case.facts, case.best, name)
    return {
        **_head(case, "machine"),
        "machine": name,
        "ways": [
            {"way": way.describe(), "group": way.group, "count": count}
            for each, way, count in case.best.plan.shares()
            if each in here
        ],
        "circuits": [
            {"words": words, "rules": rules_of(case.facts, circuit)}
            for words, circuit in machine_circuits(case, name)
        ],
        "alone": _share(case, alone),
        "shared": _share(case, common),
        "other_ways": [
            {
                "group": entry.group,
                "label": entry.label,
                **_beside(case, entry.instead.ranked),
                **_out(entry.instead),
            }
            for entry in others
        ],
        "options": [
            {"option": entry.what, "in_plan": entry.now, **_beside(case, entry.ranked)} for entry in options
        ],
    }


def _share(case: RankedShop, share: Share) -> dict[str, Any]:
    return {
        "present_value": money(share.cents),
        "lines": [row_data(LINES, Numbered(case.facts, *entry)) for entry in share.lines],
    }


def _beside(case: RankedShop, ranked: Ranked | None) -> dict[str, Any]:
    """Another plan beside plan 1; null where there is none."""
    if ranked is None:
        return {"more": None, "more_cash_today": None, "more_proven": None}
    return {
        "more": money(ranked.present_value_cents - case.best.present_value_cents),
        "more_cash_today": money(ranked.outlay_cents - case.best.outlay_cents),
        "more_proven": ranked.proven,
    }


def _out(other: Instead) -> dict[str, Any]:
    return {"allowed": other.allowed, "why_out": list(other.closed), "without_price": list(other.unknown)}


def instead_data(case: RankedShop, what: str, other: Instead, ties: Sequence[Tie]) -> dict[str, Any]:
    """Why another way or strategy does not win."""
    return {
        **_head(case, "other way"),
        "what": what,
        **_beside(case, other.ranked),
        **_out(other),
        "wins_at": [
            {
                "figure": tie.what,
                "where": tie.where,
                "unit": tie.unit,
                "now": _figure(tie, now=True),
                "at": _figure(tie, now=False),
                "exact": tie.exact,
            }
            for tie in ties
        ],
        **(_sheet(case, other.ranked) if other.ranked is not None else {"differences": [], "alike": None}),
    }


def _figure(tie: Tie, *, now: bool) -> Any:
    value = tie.now if now else tie.said
    return round(value / 100, 4) if tie.money else round(value, 4)


def plan_data(case: RankedShop, rank: int) -> dict[str, Any]:
    """What another ranked plan has other than plan 1."""
    other = case.plans[rank - 1]
    return {
        **_head(case, "plan"),
        "rank": rank,
        "differs": difference(case.facts, other, case.best),
        **_beside(case, other),
        **_sheet(case, other),
    }


def _sheet(case: RankedShop, other: Ranked) -> dict[str, Any]:
    found = sheet(case.facts, case.best, other)
    return {
        "differences": [row_data(DIFFERENCES, row) for row in found.rows],
        "alike": money(found.alike_cents),
    }


def line_data(case: RankedShop, number: int, places: Mapping[str, Places]) -> dict[str, Any]:
    """One line of plan 1 with its ranges and its chain."""
    line = dict(numbered(case.best))[number]
    return {
        **_head(case, "line"),
        "line": row_data(LINES, Numbered(case.facts, number, line)),
        "ranges": [row_data(RANGES, found) for found in line_ranges(case.facts, line, places)],
        "chain": [row_data(CHAIN, link) for link in chain(case, number, places)],
    }


def explained_csv(data: Mapping[str, Any]) -> str:
    """The table of what is explained: sums by kind, a machine's lines, what differs, or the chain of a line."""
    tables: Mapping[str, tuple[Sequence[Column[Any]], Sequence[str]]] = {
        "total": (BY_KIND, ["by_kind"]),
        "machine": (LINES, ["alone", "shared"]),
        "other way": (DIFFERENCES, ["differences"]),
        "plan": (DIFFERENCES, ["differences"]),
        "line": (CHAIN, ["chain"]),
    }
    columns, names = tables[data["explains"]]
    found = [data[name] for name in names]
    rows = [row for entry in found for row in (entry["lines"] if isinstance(entry, dict) else entry)]
    return csv_text([column.key for column in columns], rows)
