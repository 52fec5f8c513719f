"""The comparison as plain data for JSON and CSV: stable names, money with two decimals."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.files.problems import Problem
from costplan.ledger.holding import written
from costplan.program.ranked import Ranked
from costplan.reports.answer_columns import CELL, DONE_TODAY, PLAN, PLAN_TABLES, STRATEGY, WHOLE_TABLES
from costplan.reports.asked import asked_beside, asked_data
from costplan.reports.cap_text import cap_data
from costplan.reports.columns import LINES, RANK, TURNING
from costplan.reports.data_text import csv_text, left_out_data, money
from costplan.reports.invented import made_up
from costplan.reports.kept import is_there, tasks_data
from costplan.reports.noted import Noted, noted
from costplan.reports.remarks_text import remarks_data
from costplan.reports.room import room_data
from costplan.reports.sure import sure_words
from costplan.reports.turning_text import map_data, moves_data, stretches_data
from costplan.reports.verdict_words import missing, strategy_sentences, tie, verdict
from costplan.reports.words import assumptions, shares
from costplan.reports.work_list import work_list
from costplan.studies.comparison import COLUMNS, Comparison
from costplan.studies.rows import Cell


def comparison_data(comparison: Comparison, questions: Iterable[Problem] = ()) -> dict[str, Any]:
    """Everything the comparison found, in the order the guide documents; `questions` are those about the files."""
    shop, asked = comparison.facts.shop, tuple(questions)
    said = [noted(comparison.facts, ranked) for ranked in comparison.plans]
    tables = {name: table.data(comparison) for name, table in WHOLE_TABLES.items()}
    drawn = [row for row in tables["ranges"] if row["of"] == PLAN]
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
        "sureness": _sureness(comparison, tables["ranges"]),
        "cap": cap_data(comparison),
        "turning_points": _turning(comparison),
        "turning_stretches": stretches_data(comparison),
        "winners_map": map_data(comparison),
        "moves_turning": moves_data(comparison),
        "finding_out": tables["finding_out"],
        "all_known_worth": Decimal(comparison.sureness.all_known_cents) / 100,
        "paying_back": tables["paying_back"],
        "not_beaten": tables["not_beaten"],
        "matrix": _matrix(tables["matrix"]),
        "matrix_incomplete": [
            _incomplete(row, column, comparison.matrix[row, column])
            for row in comparison.rows
            for column in COLUMNS
            if comparison.matrix[row, column].incomplete
        ],
        "matrix_exceptions": {row: _exceptions(comparison, row) for row in comparison.rows},
        "strategies": [_strategy(dict(row)) for row in tables["strategies"]],
        "strategy_sentences": strategy_sentences(comparison),
        "layouts": [
            _layout(dict(row), layout.facts)
            for row, layout in zip(tables["layouts"], comparison.layouts, strict=True)
        ],
        "plans": [
            _plan(comparison, row, noted_of, asked, ranges)
            for row, noted_of, ranges in zip(tables["plans"], said, drawn, strict=True)
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
        "tables": tables,
    }


def _cell(cents: int | None) -> Decimal | None:
    return None if cents is None else money(cents)


def _at_least(comparison: Comparison) -> Decimal | None:
    return None if comparison.threat is None else _cell(comparison.threat.at_least_cents)


def _turning(comparison: Comparison) -> list[dict[str, Any]]:
    """The rows of turning points, those of a figure and a question together."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for row in TURNING.data(comparison):
        point = {key: row.pop(key) for key in ("at", "wins", "change", "exact", "held")}
        told = found.setdefault((row["figure"], row["question"]), {**row, "points": []})
        told["points"] += [point] if point["at"] is not None else []
    return list(found.values())


def _pure_difference(comparison: Comparison) -> dict[str, Any] | None:
    """Fixed drops less cords, exactly, and how uncertain that is; None where there is nothing to compare."""
    if comparison.pure_plans is None:
        return None
    fixed, cords = comparison.pure_plans
    return {
        "fixed_less_cords": money(fixed.present_value_cents - cords.present_value_cents),
        "uncertain_by": _cell(comparison.pure_spread_cents),
    }


def _sureness(comparison: Comparison, ranges: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """Which draws were made, and what they say of the pure ways, the strategies and every total."""
    sureness = comparison.sureness
    cells: dict[str, dict[str, dict[str, Any]]] = {CELL: {}, STRATEGY: {}}
    alike: dict[str, dict[str, Any]] = {CELL: {}, STRATEGY: {}}
    for row in ranges:
        if row["of"] == PLAN:
            continue
        cells[row["of"]].setdefault(row["name"], {})[row["column"]] = _range(row)
        if row["spread"] is not None:
            alike[row["of"]][row["name"]] = _drawn(row)
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
        "pure": alike[CELL],
        "strategies": {name: alike[STRATEGY][name] for name in sureness.strategies},
        "unranked_strategies": {name: alike[STRATEGY][name] for name in sureness.unranked},
        "matrix_ranges": cells[CELL],
        "strategy_ranges": cells[STRATEGY],
    }


def _drawn(row: dict[str, Any]) -> dict[str, Any]:
    """A row of the ranges as a plan in all draws."""
    keys = ("contingency", "spread", "worst")
    return {
        **_range(row),
        **{key: row[key] for key in keys},
        "cheapest": row["cheapest_share"],
        "regret": row["regret"],
        "cheapest_of_all": row["cheapest_of_all_share"],
        "regret_of_all": row["regret_of_all"],
    }


def _range(row: dict[str, Any]) -> dict[str, Any]:
    return {
        name: {part: row[f"{name}_{part}"] for part in ("p10", "p50", "p90")}
        for name in ("total", "cash_today")
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


def _strategy(row: dict[str, Any]) -> dict[str, Any]:
    """A row of the strategies with what each costs at least by column."""
    at_least = {column: row.pop(f"{column}_at_least") for column in COLUMNS}
    return row | {"at_least": at_least}


def _layout(row: dict[str, Any], facts: Facts) -> dict[str, Any]:
    """A row of the layouts with what is done today in one, and with machines that are in none of its figures."""
    done = {name: row.pop(name) for name in DONE_TODAY}
    planned = row["present_value"] is not None
    return row | {"done_today": done if planned else None, "left_out": left_out_data(facts.left_out)}


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
        "least_awg": way.least_awg or None,
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
    comparison: Comparison,
    row: dict[str, Any],
    said: Iterable[Noted],
    questions: Iterable[Problem],
    ranges: dict[str, Any],
) -> dict[str, Any]:
    """A row of the plans with everything of that plan."""
    cap, spread = comparison.facts.shop.money.outlay_cap_cents, comparison.spreads[row["rank"] - 1]
    ranked = comparison.plans[row["rank"] - 1]
    return {
        **row,
        "more_uncertain_by": _cell(spread),
        "sure": _drawn(ranges),
        "left_under_cap": None if cap is None else money(int(cap) - ranked.outlay_cents),
        "machines": _machines(comparison, ranked),
        "today": tasks_data(comparison.facts, ranked),
        "questions": asked_data(asked_beside(comparison.facts, questions, ranked)),
        "remarks": remarks_data(said),
        **room_data(comparison.facts, ranked),
        **{name: table.data(comparison, ranked) for name, table in PLAN_TABLES.items()},
    }


def _matrix(cells: Iterable[dict[str, Any]]) -> dict[str, dict[str, Decimal | None]]:
    """The totals by row and column."""
    found: dict[str, dict[str, Decimal | None]] = {}
    for cell in cells:
        found.setdefault(cell["row"], {})[cell["column"]] = cell["present_value"]
    return found


def lines_csv(comparison: Comparison) -> str:
    """Every line of every plan as CSV, before those of a plan its work on what is there."""
    keys, rows = [column.key for column in LINES.columns], list[dict[str, Any]]()
    for place, ranked in enumerate(comparison.plans, 1):
        for task in work_list(comparison.facts, ranked).lines if is_there(comparison.facts) else ():
            step = {RANK.key: place} | dict.fromkeys(keys, "") | {"year": 0, "kind": "step"}
            step |= {"what": task.words, "machine": task.machine, "trace": task.place}
            rows.append(step | {"amount": "0.00", "present_value": "0.00"})
        rows += [{RANK.key: place} | row for row in LINES.data(comparison, ranked)]
    return csv_text([RANK.key, *keys], rows)
