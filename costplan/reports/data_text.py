"""What all data share: money and machines left out as JSON has them, and JSON and CSV as text."""

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from costplan.model.left_out import Without
from costplan.model.money import format_cents


def money(cents: int) -> Decimal:
    """Whole cents as a number with two decimals."""
    return Decimal(format_cents(cents, thousands=False))


def left_out_data(left_out: Iterable[Without]) -> list[dict[str, Any]]:
    """Machines that are in no figure, and why."""
    return [
        {"machine": entry.machine, "count": entry.count, "reasons": list(entry.reasons)} for entry in left_out
    ]


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


def csv_text(keys: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> str:
    """Rows as CSV: what is none or not there is empty, entries of a list stand after each other, numbers are plain; cells of
    words that a spreadsheet would run as a formula are quoted. Raises ValueError for a key that is no column."""
    out = io.StringIO()
    writer = csv.DictWriter(out, keys, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows({key: _csv_cell(value) for key, value in row.items()} for row in rows)
    return out.getvalue()


def _csv_cell(value: Any) -> Any:
    if isinstance(value, list):
        value = "; ".join(map(str, value))
    return harmless(value) if isinstance(value, str) else value


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula, nor one that cuts the blanks off first."""
    return f"'{text}" if text.lstrip()[:1] in ("=", "+", "-", "@") else text
