"""The comparison as plain data for JSON and CSV: stable names, money with two decimals."""

import csv
import io
import json
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from costplan.circuits.ways import Way
from costplan.files.problems import Problem
from costplan.ledger.holding import written
from costplan.model.left_out import Without
from costplan.model.money import format_cents
from costplan.program.ranking import Ranked
from costplan.reports.asked import asked_beside, asked_data
from costplan.reports.columns import BILL, DUE, LABOR, LINES, NOT_BEATEN, PAID, RANK, YEARS
from costplan.reports.invented import made_up
from costplan.reports.kept import is_there, tasks_data
from costplan.reports.noted import Noted, noted
from costplan.reports.remarks_text import remarks_data
from costplan.reports.room import room_data
from costplan.reports.sure import PURE, sure_words
from costplan.reports.turning_text import (
    finding_data,
    map_data,
    moves_data,
    stretches_data,
    turning_data,
)
from costplan.reports.words import assumptions, missing, shares, strategy_sentences, tie, title, verdict
from costplan.reports.work_list import work_list
from costplan.studies.comparison import COLUMNS, Comparison
from costplan.studies.layouts import LayoutRow, doings, own_hours_today
from costplan.studies.rows import Cell
from costplan.studies.strategies import StrategyRow
from costplan.studies.sureness import Drawn, Ranges
from costplan.studies.yearly import money_by_year, own_hours


def money(cents: int) -> Decimal:
    """Whole cents as a number with two decimals."""
    return Decimal(format_cents(cents, thousands=False))


def comparison_data(comparison: Comparison, questions: Iterable[Problem] = ()) -> dict[str, Any]:
    """Everything the comparison found, in the order the guide documents; `questions` are those about the files."""
    shop, asked = comparison.facts.shop, tuple(questions)
    said = [noted(comparison.facts, ranked) for ranked in comparison.plans]
    return {
        "shop": shop.name,
        "invented": bool(made_up(comparison.facts)),
        "currency": shop.currency,
        "horizon_years": shop.years,
        "discount_rate": shop.money.discount_rate,
        "assumptions": assumptions(comparison.facts).replace("\n", " "),
        "left_out": left_out_data(comparison.facts.left_out),
        "missing": missing(comparison),
        "verdict": verdict(comparison),
        "winner_named": comparison.threat is None,
        "at_least": _at_least(comparison),
        "too_close_to_call": tie(comparison) or None,
        "close_groups": [list(places) for places in comparison.groups],
        "pure_difference": _pure_difference(comparison),
        "sureness": _sureness(comparison),
        "turning_points": turning_data(comparison),
        "turning_stretches": stretches_data(comparison),
        "winners_map": map_data(comparison),
        "moves_turning": moves_data(comparison),
        "finding_out": finding_data(comparison),
        "all_known_worth": Decimal(comparison.sureness.all_known_cents) / 100,
        "paying_back": PAID.data(comparison),
        "not_beaten": NOT_BEATEN.data(comparison),
        "matrix": {
            row: {column: _cell(comparison.matrix[row, column].present_value_cents) for column in COLUMNS}
            for row in comparison.rows
        },
        "matrix_incomplete": [
            _incomplete(row, column, comparison.matrix[row, column])
            for row in comparison.rows
            for column in COLUMNS
            if comparison.matrix[row, column].incomplete
        ],
        "matrix_exceptions": {row: _exceptions(comparison, row) for row in comparison.rows},
        "strategies": [_strategy(comparison, row) for row in comparison.strategies],
        "strategy_sentences": strategy_sentences(comparison),
        "layouts": [_layout(comparison, row) for row in comparison.layouts],
        "plans": [
            _plan(comparison, place, ranked, said[place - 1], asked)
            for place, ranked in enumerate(comparison.plans, 1)
        ],
        "not_ranked": [
            {
                "machine": out.machine,
                "method": out.way,
                "alone": _cell(out.cents),
                "incomplete": out.incomplete,
                "reason": out.reason,
            }
            for out in comparison.out
        ],
        "cautions": [entry.remark.full for entry in said[0]],
        "warnings": [*comparison.hinges, *comparison.warnings],
    }


def left_out_data(left_out: Iterable[Without]) -> list[dict[str, Any]]:
    """Machines that are in no figure, and why."""
    return [
        {"machine": entry.machine, "count": entry.count, "reasons": list(entry.reasons)} for entry in left_out
    ]


def _cell(cents: int | None) -> Decimal | None:
    return None if cents is None else money(cents)


def _at_least(comparison: Comparison) -> Decimal | None:
    return None if comparison.threat is None else _cell(comparison.threat.at_least_cents)


def _pure_difference(comparison: Comparison) -> dict[str, Any] | None:
    """Fixed drops less cords, exactly, and how uncertain that is; None where there is nothing to compare."""
    if comparison.pure_plans is None:
        return None
    fixed, cords = comparison.pure_plans
    return {
        "fixed_less_cords": money(fixed.present_value_cents - cords.present_value_cents),
        "uncertain_by": _cell(comparison.pure_spread_cents),
    }


def _sureness(comparison: Comparison) -> dict[str, Any]:
    """Which draws were made, and what they say of the pure ways, the strategies and every total."""
    sureness = comparison.sureness
    likely = {name: plan.outlay_cents for name, plan in comparison.ranked_strategies}
    pure = zip(PURE, sureness.pure, comparison.pure_plans or (), strict=False)
    cells: dict[bool, dict[str, dict[str, Any]]] = {False: {}, True: {}}
    for name, ranges in sureness.cells.items():
        cells[name.strategy].setdefault(name.row, {})[name.column] = _ranges(ranges)
    return {
        "seed": sureness.settings.seed,
        "draws": sureness.settings.draws,
        "distribution": str(comparison.facts.shop.money.distribution),
        "words": sure_words(comparison),
        "pairs": [
            {
                "ranks": [pair.first, pair.second],
                "spread": money(pair.spread_cents),
                "first_cheaper": round(Decimal(str(pair.first_cheaper)), 4),
            }
            for pair in sureness.pairs
        ],
        "pure": {name: _drawn(drawn, plan.outlay_cents) for name, drawn, plan in pure},
        "strategies": {name: _drawn(drawn, likely[name]) for name, drawn in sureness.strategies.items()},
        "matrix_ranges": cells[False],
        "strategy_ranges": cells[True],
    }


def _drawn(drawn: Drawn, likely_cash_cents: int) -> dict[str, Any]:
    """A plan in all draws."""
    return {
        **_ranges(drawn),
        "contingency": money(drawn.contingency_cents(likely_cash_cents)),
        "spread": money(drawn.spread_cents),
        "worst": money(drawn.worst_cents),
        "cheapest": round(Decimal(str(drawn.cheapest)), 4),
        "regret": money(drawn.regret_cents),
    }


def _ranges(found: Ranges) -> dict[str, Any]:
    return {
        name: {"p10": money(part.low_cents), "p50": money(part.median_cents), "p90": money(part.high_cents)}
        for name, part in (("total", found.total), ("cash_today", found.cash_today))
    }


def _incomplete(row: str, column: str, cell: Cell) -> dict[str, Any]:
    return {
        "row": row,
        "column": column,
        "at_least": _cell(cell.at_least_cents),
        "missing": [{"machine": gap.machine, "reason": gap.reason} for gap in cell.gaps],
    }


def _exceptions(comparison: Comparison, row: str) -> list[str]:
    names = [
        written(comparison.facts, machine)
        for column in COLUMNS
        for machine in comparison.matrix[row, column].exceptions
    ]
    return list(dict.fromkeys(names))


def _strategy(comparison: Comparison, row: StrategyRow) -> dict[str, Any]:
    cell, cap = row.cells[comparison.column], comparison.facts.shop.money.outlay_cap_cents
    plan, spread = cell.ranked, comparison.strategy_spreads.get(row.name)
    return {
        "name": row.name,
        **{column: _cell(row.cells[column].present_value_cents) for column in COLUMNS},
        "at_least": {column: _cell(row.cells[column].at_least_cents) for column in COLUMNS},
        "outlay": None if plan is None else money(plan.outlay_cents),
        "left_under_cap": None if plan is None or cap is None else money(int(cap) - plan.outlay_cents),
        "cash_by_year": []
        if plan is None
        else [money(year.cash_cents) for year in money_by_year(comparison.facts, plan.lines)],
        "uncertain_by": _cell(spread),
        "ranked": not row.reason and plan is not None,
        "reason": row.reason or cell.why_not or None,
    }


def _layout(comparison: Comparison, row: LayoutRow) -> dict[str, Any]:
    plan, today = row.ranked, comparison.today_layout
    return {
        "name": row.name,
        "present_value": None if plan is None else money(plan.present_value_cents),
        "proven": None if plan is None else plan.proven,
        "incomplete": row.threat is not None,
        "at_least": None if row.threat is None else _cell(row.threat.at_least_cents),
        "more": None
        if plan is None or today is None or today.ranked is None or row.other_machines_than(today)
        else money(plan.present_value_cents - today.ranked.present_value_cents),
        "uncertain_by": _cell(comparison.layout_spreads.get(row.name)),
        "outlay": None if plan is None else money(plan.outlay_cents),
        "other_today": None if plan is None else money(plan.today_cents - plan.outlay_cents),
        "later": None if plan is None else money(plan.later_cents),
        "residual": None if plan is None else money(plan.residual_cents),
        "own_hours_today": None if plan is None else round(own_hours_today(plan), 2),
        "done_today": None if plan is None else doings(row.facts, plan).counts(),
        "cannot_stay": [written(comparison.facts, machine) for machine in row.exceptions],
        "dropped": row.dropped,
        "left_out": left_out_data(row.facts.left_out),
        "reason": row.why_not or None,
    }


def _way(way: Way, count: int) -> dict[str, Any]:
    return {
        "method": str(way.method),
        "group": way.group,
        "quoted": way.quoted or None,
        "panel": way.panel,
        "family": str(way.family) if way.family else None,
        "slack_ft": way.slack_ft,
        "spare_conductor": way.spare_conductor,
        "service": str(way.service) if way.service else None,
        "supply": str(way.supply),
        "count": count,
    }


def _machines(comparison: Comparison, ranked: Ranked) -> dict[str, Any]:
    """By name the way most of them have, and where a group is split, every way with how many have it."""
    found: dict[str, Any] = {}
    for name, way, count in shares(comparison.facts, ranked.plan):
        entry = found.setdefault(name, _way(way, count) | {"ways": []})
        entry["ways"].append(_way(way, count))
    return found


def _plan(
    comparison: Comparison, place: int, ranked: Ranked, said: Iterable[Noted], questions: Iterable[Problem]
) -> dict[str, Any]:
    cap, spread = comparison.facts.shop.money.outlay_cap_cents, comparison.spreads[place - 1]
    return {
        "rank": place,
        "title": title(comparison.facts, ranked),
        "proven": ranked.proven,
        "bound": money(ranked.bound_cents),
        "present_value": money(ranked.present_value_cents),
        "more_uncertain_by": _cell(spread),
        "sure": _drawn(comparison.sureness.plans[place - 1], ranked.outlay_cents),
        "outlay": money(ranked.outlay_cents),
        "left_under_cap": None if cap is None else money(int(cap) - ranked.outlay_cents),
        "other_today": money(ranked.today_cents - ranked.outlay_cents),
        "later": money(ranked.later_cents),
        "residual": money(ranked.residual_cents),
        "own_hours": round(own_hours(comparison.facts, ranked), 2),
        "hired": ranked.plan.hiring.name,
        "machines": _machines(comparison, ranked),
        "today": tasks_data(comparison.facts, ranked),
        "questions": asked_data(asked_beside(questions, ranked)),
        "remarks": remarks_data(said),
        "by_year": YEARS.data(comparison, ranked),
        "cash_due": DUE.data(comparison, ranked),
        **room_data(comparison.facts, ranked),
        "bill_of_materials": BILL.data(comparison, ranked),
        "labor": LABOR.data(comparison, ranked),
        "lines": LINES.data(comparison, ranked),
    }


def json_text(data: Any) -> str:
    """JSON with every Decimal as a plain number, money with its two decimals."""
    return _encode(data, "") + "\n"


def _encode(value: Any, indent: str) -> str:
    inner = indent + "  "
    if isinstance(value, dict):
        if not value:
            return "{}"
        rows = [f"{inner}{json.dumps(key)}: {_encode(entry, inner)}" for key, entry in value.items()]
        return "{\n" + ",\n".join(rows) + f"\n{indent}}}"
    if isinstance(value, list):
        if not value:
            return "[]"
        return "[\n" + ",\n".join(inner + _encode(entry, inner) for entry in value) + f"\n{indent}]"
    if isinstance(value, Decimal):
        return f"{value:f}"
    return json.dumps(value, ensure_ascii=False)


def lines_csv(comparison: Comparison) -> str:
    """Every line of every plan as CSV, before those of a plan its work on what is there; cells that a spreadsheet would
    run as a formula are quoted."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    keys = [column.key for column in LINES.columns]
    writer.writerow([RANK.key, *keys])
    for place, ranked in enumerate(comparison.plans, 1):
        for task in work_list(comparison.facts, ranked).lines if is_there(comparison.facts) else ():
            step = dict.fromkeys(keys, "") | {"year": 0, "kind": "step", "what": task.words}
            step |= {"machine": task.machine, "amount": "0.00", "present_value": "0.00", "trace": task.place}
            writer.writerow([place, *map(_harmless_cell, step.values())])
        for row in LINES.data(comparison, ranked):
            writer.writerow([place, *map(_harmless_cell, row.values())])
    return out.getvalue()


def _harmless_cell(value: Any) -> Any:
    return harmless(value) if isinstance(value, str) else value


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula, nor one that cuts the blanks off first."""
    return f"'{text}" if text.lstrip()[:1] in ("=", "+", "-", "@") else text
