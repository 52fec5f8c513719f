"""The base of everything a user writes: unknown words refused, frozen, each field described.

YAML keys are the aliases; Python names carry the unit (`length_ft`, `price_cents`).
"""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, WithJsonSchema

from costplan.files import quantities


class Entry(BaseModel):
    """One mapping in a user's file."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        validate_by_alias=True,
        validate_by_name=True,
        use_attribute_docstrings=True,
        arbitrary_types_allowed=False,
    )


def _schema(text: str) -> WithJsonSchema:
    return WithJsonSchema({"type": ["string", "number"], "description": text})


def _hp(text: Any) -> Decimal:
    return quantities.parse_quantity(text, quantities.HORSEPOWER_UNITS)


def _amps(text: Any) -> Decimal:
    return quantities.parse_quantity(text, quantities.CURRENT_UNITS)


def _volts(text: Any) -> Decimal:
    return quantities.parse_quantity(text, quantities.VOLT_UNITS)


def _years(text: Any) -> Decimal:
    return quantities.parse_quantity(text, quantities.YEAR_UNITS)


LengthFt = Annotated[
    Decimal, BeforeValidator(quantities.parse_length_ft), _schema("length; bare numbers are feet: 35 ft, 10.7 m")
]
Hours = Annotated[
    Decimal, BeforeValidator(quantities.parse_hours), _schema("time; bare numbers are hours: 1.5 h, 45 min")
]
CurrentA = Annotated[Decimal, BeforeValidator(_amps), _schema("current; bare numbers are amperes: 12.8 A")]
PowerHp = Annotated[Decimal, BeforeValidator(_hp), _schema("power; bare numbers are horsepower: 3 hp, 7-1/2, 2.2 kW")]
Volts = Annotated[Decimal, BeforeValidator(_volts), _schema("volts; bare numbers are volts: 240 V")]
Years = Annotated[Decimal, BeforeValidator(_years), _schema("years")]
Share = Annotated[Decimal, BeforeValidator(quantities.parse_fraction), _schema("a share: 4 % or 0.04")]
MoneyCents = Annotated[
    Decimal, BeforeValidator(quantities.parse_money_cents), _schema("money in the shop's currency: 12.50, $1,250.00")
]
Number = Annotated[Decimal, BeforeValidator(quantities.parse_number), _schema("a plain number; 1/4 and 7-1/2 are read")]
