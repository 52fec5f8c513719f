"""The comparison as plain data for JSON and CSV: stable names, money with two decimals."""

import csv
import io
import json
from decimal import Decimal
from typing import Any

from costplan.model.money import format_cents, format_price
from costplan.plans.comparison import COLUMNS, ROWS, Comparison
from costplan.plans.ranking import Ranked
from costplan.reports.bill import bill_of_materials, labor_today
from costplan.reports.room import room_data
from costplan.reports.words import tie, title, verdict
from costplan.standards.cautions import cautions


def money(cents: int) -> Decimal:
    """Whole cents as a number with two decimals."""
    return Decimal(format_cents(cents, thousands=False))


def comparison_data(comparison: Comparison) -> dict[str, Any]:
    """Everything the comparison found, in the order the README documents."""
    shop = comparison.facts.shop
    return {
        "shop": shop.name,
        "invented": shop.invented,
        "currency": shop.currency,
        "horizon_years": shop.years,
        "discount_rate": shop.money.discount_rate,
        "verdict": verdict(comparison),
        "too_close_to_call": tie(comparison) or None,
        "turning_points": [
            {
                "figure": point.figure,
                "words": point.words,
                "at": None if point.at is None else round(point.at, 4),
            }
            for point in comparison.turning
        ],
        "matrix": {
            row: {column: _cell(comparison.matrix[row, column].present_value_cents) for column in COLUMNS}
            for row in ROWS
        },
        "plans": [_plan(comparison, place, ranked) for place, ranked in enumerate(comparison.plans, 1)],
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
        "cautions": [caution.full for caution in cautions()],
        "warnings": list(comparison.warnings),
    }


def _cell(cents: int | None) -> Decimal | None:
    return None if cents is None else money(cents)


def _plan(comparison: Comparison, place: int, ranked: Ranked) -> dict[str, Any]:
    return {
        "rank": place,
        "title": title(ranked),
        "proven": ranked.proven,
        "bound": money(ranked.bound_cents),
        "present_value": money(ranked.present_value_cents),
        "outlay": money(ranked.outlay_cents),
        "other_today": money(ranked.today_cents - ranked.outlay_cents),
        "later": money(ranked.later_cents),
        "residual": money(ranked.residual_cents),
        "hired": ranked.plan.hiring.name,
        "machines": {
            name: {
                "method": str(way.method),
                "group": way.group,
                "panel": way.panel,
                "family": str(way.family) if way.family else None,
                "slack_ft": way.slack_ft,
                "spare_conductor": way.spare_conductor,
                "service": str(way.service) if way.service else None,
                "supply": str(way.supply),
            }
            for name, way in sorted(ranked.plan.ways.items())
        },
        **room_data(comparison.facts, ranked),
        "bill_of_materials": [
            {
                "part": row.part,
                "description": row.description,
                "quantity": row.quantity,
                "unit": row.unit,
                "supplier": row.supplier,
                "condition": row.condition,
                "unit_price": Decimal(format_price(row.unit_price_cents, thousands=False)),
                "amount": money(row.amount_cents),
                "cuts_ft": list(row.cuts_ft),
                "for": list(row.machines),
                "offer_row": row.offer_row,
            }
            for row in bill_of_materials(comparison.facts, ranked)
        ],
        "labor": [
            {
                "task": row.task,
                "what": row.what,
                "quantity": round(row.quantity, 2),
                "hours": round(row.hours, 2),
                "crew": row.crew,
                "amount": money(row.amount_cents),
            }
            for row in labor_today(ranked)
        ],
        "lines": [
            {
                "year": line.year,
                "scenario": line.scenario,
                "kind": str(line.kind),
                "pocket": str(line.pocket),
                "what": line.what,
                "machine": line.machine,
                "amount": money(line.amount_cents),
                "present_value": money(line.present_value_cents),
                "trace": line.trace,
            }
            for line in ranked.lines
        ],
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
    """Every line of every plan as CSV; cells that a spreadsheet would run as a formula are quoted."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        ["rank", "year", "scenario", "kind", "pocket", "what", "machine", "amount", "present_value", "trace"]
    )
    for place, ranked in enumerate(comparison.plans, 1):
        for line in ranked.lines:
            words = (line.scenario, str(line.kind), str(line.pocket), line.what, line.machine)
            amounts = (
                format_cents(c, thousands=False) for c in (line.amount_cents, line.present_value_cents)
            )
            writer.writerow([place, line.year, *map(harmless, words), *amounts, harmless(line.trace)])
    return out.getvalue()


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
