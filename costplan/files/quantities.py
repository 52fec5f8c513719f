"""Quantities as people write them: `35 ft`, `10.7 m`, `4 %`, `$1,250.00`, `45 min`.

Each `parse_*` function returns a Decimal in the one unit used inside, and raises
ValueError with a sentence that says what is allowed.
"""

import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation

_FEET_PER_METRE = Decimal(1) / Decimal("0.3048")

LENGTH_UNITS: Mapping[str, Decimal] = {
    "ft": Decimal(1),
    "foot": Decimal(1),
    "feet": Decimal(1),
    "'": Decimal(1),
    "in": Decimal(1) / 12,
    "inch": Decimal(1) / 12,
    "inches": Decimal(1) / 12,
    "yd": Decimal(3),
    "m": _FEET_PER_METRE,
    "cm": _FEET_PER_METRE / 100,
}
HOUR_UNITS: Mapping[str, Decimal] = {
    "h": Decimal(1),
    "hour": Decimal(1),
    "hours": Decimal(1),
    "min": Decimal(1) / 60,
    "minutes": Decimal(1) / 60,
}
CURRENT_UNITS: Mapping[str, Decimal] = {"a": Decimal(1), "amp": Decimal(1), "amps": Decimal(1)}
VOLT_UNITS: Mapping[str, Decimal] = {"v": Decimal(1), "volt": Decimal(1), "volts": Decimal(1)}
HORSEPOWER_UNITS: Mapping[str, Decimal] = {"hp": Decimal(1), "kw": Decimal(1) / Decimal("0.7457")}
YEAR_UNITS: Mapping[str, Decimal] = {"year": Decimal(1), "years": Decimal(1), "yr": Decimal(1)}

_QUANTITY = re.compile(r"^\s*([-+]?[\d.,]+(?:\s*-?\s*\d+/\d+)?|\d+/\d+)\s*([^\d\s].*?)?\s*$")


def parse_number(text: object) -> Decimal:
    """A plain decimal number; `7-1/2` and `3/4` are read as the fractions the trade writes.

    Raises ValueError when the text is not a number.
    """
    if isinstance(text, bool):
        raise ValueError("is yes/no, not a number")
    if isinstance(text, int | Decimal):
        return Decimal(text)
    if isinstance(text, float):
        return Decimal(str(text))
    if not isinstance(text, str):
        raise ValueError("is not a number")
    cleaned = text.strip()
    if re.fullmatch(r"[-+]?\d{1,3}(,\d{3})+(\.\d+)?", cleaned):
        cleaned = cleaned.replace(",", "")
    mixed = re.fullmatch(r"(?:(\d+)(?:\s*-\s*|\s+))?(\d+)/([1-9]\d*)", cleaned)
    if mixed:
        return Decimal(mixed[1] or 0) + Decimal(mixed[2]) / Decimal(mixed[3])
    try:
        number = Decimal(cleaned)
    except InvalidOperation:
        raise ValueError("is not a number") from None
    if not number.is_finite():
        raise ValueError("is not a number")
    return number


def parse_quantity(text: object, units: Mapping[str, Decimal]) -> Decimal:
    """A number with an optional unit from `units`; a bare number already has the inside unit.

    Raises ValueError naming the units allowed.
    """
    if not isinstance(text, str):
        return parse_number(text)
    match = _QUANTITY.match(text)
    if match is None:
        raise ValueError(f"is not a number with a unit ({', '.join(units)})")
    unit = (match[2] or "").strip().lower()
    number = parse_number(match[1])
    if not unit:
        return number
    if unit not in units:
        raise ValueError(f'has the unit "{unit}"; allowed: {", ".join(units)}')
    return number * units[unit]


def parse_length_ft(text: object) -> Decimal:
    """Feet; `10.7 m` and `18 in` are turned into feet."""
    return parse_quantity(text, LENGTH_UNITS)


def parse_hours(text: object) -> Decimal:
    """Hours; `45 min` is 0.75."""
    return parse_quantity(text, HOUR_UNITS)


def parse_fraction(text: object) -> Decimal:
    """A share as a fraction: `4 %` is 0.04. A bare number must not look like a percentage.

    Raises ValueError when a bare number is above 1, since 4 and 4 % differ a hundredfold.
    """
    if isinstance(text, str) and text.strip().endswith("%"):
        return parse_number(text.strip()[:-1]) / 100
    number = parse_number(text)
    if abs(number) > 1:
        raise ValueError(f"is {number} without a unit; write {number} % if that is meant")
    return number


def parse_money_cents(text: object) -> Decimal:
    """Cents, not yet rounded: `$1,250.00` is 125000. A currency sign and thousands commas are allowed."""
    if isinstance(text, str):
        text = text.strip().lstrip("$€£")
    return parse_number(text) * 100
