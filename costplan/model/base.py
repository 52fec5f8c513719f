"""The base of everything a user writes: unknown words refused, frozen, each field described.

YAML keys are the aliases; Python names carry the unit (`length_ft`, `price_cents`).
"""

import re
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
)

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
        coerce_numbers_to_str=True,
    )

    @field_validator("*", mode="before")
    @classmethod
    def _as_written(cls, value: Any, info: ValidationInfo) -> Any:
        """Refuse what pydantic would read wrongly: `1_0` as 10, true as 1, 20250620 as a day in 1970."""
        annotation = cls.model_fields[str(info.field_name)].annotation
        kinds = {annotation, *get_args(annotation)}
        if date in kinds:
            return _plain_day(value)
        if int in kinds:
            return _plain_whole_number(value)
        return value


def _plain_day(value: Any) -> Any:
    if value is None or isinstance(value, date):
        return value
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value.strip()):
        raise ValueError(f'is "{value}", not a day; write it as year-month-day: 2025-06-20')
    try:
        day = date.fromisoformat(value.strip())
    except ValueError:
        raise ValueError(f'is "{value}", a day that no calendar has; check month and day') from None
    if not 1990 <= day.year <= 2199:
        raise ValueError(f'is "{value}"; days from 1990-01-01 to 2199-12-31 are read')
    return day


def _plain_whole_number(value: Any) -> Any:
    if value is None or (isinstance(value, int) and not isinstance(value, bool)):
        return value
    number = quantities.parse_number(value)
    if number != number.to_integral_value():
        raise ValueError(f"is {value}, not a whole number; write it without a fraction")
    return int(number)


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
    Decimal,
    BeforeValidator(quantities.parse_length_ft),
    _schema("length; bare numbers are feet: 35 ft, 10.7 m"),
]
Hours = Annotated[
    Decimal, BeforeValidator(quantities.parse_hours), _schema("time; bare numbers are hours: 1.5 h, 45 min")
]
CurrentA = Annotated[Decimal, BeforeValidator(_amps), _schema("current; bare numbers are amperes: 12.8 A")]
PowerHp = Annotated[
    Decimal, BeforeValidator(_hp), _schema("power; bare numbers are horsepower: 3 hp, half hp, 7-1/2, 2.2 kW")
]
Volts = Annotated[Decimal, BeforeValidator(_volts), _schema("volts; bare numbers are volts: 240 V")]
Years = Annotated[Decimal, BeforeValidator(_years), _schema("years")]
Share = Annotated[Decimal, BeforeValidator(quantities.parse_fraction), _schema("a share: 4 % or 0.04")]


def _marked(terminals_c: int) -> int:
    if terminals_c not in (60, 75):
        raise ValueError(f"is {terminals_c}; allowed: 60, 75")
    return terminals_c


TerminalsC = Annotated[int, AfterValidator(_marked)]
"""What terminals are marked for, degrees C (NFPA 70 110.14(C))."""


def _three_letters(code: str) -> str:
    if not re.fullmatch(r"[A-Z]{3}", code):
        raise ValueError(f'is "{code}"; write the three capital letters of the currency: USD')
    return code


Currency = Annotated[str, AfterValidator(_three_letters)]
"""The code of a currency (ISO 4217)."""


def _three_hours(value: Any) -> Any:
    """One time for all three, or [low, likely, high]."""
    if isinstance(value, list | tuple):
        if len(value) != 3:
            raise ValueError(f"has {len(value)} times; write one, or three: [low, likely, high]")
        return tuple(quantities.parse_hours(entry) for entry in value)
    return (quantities.parse_hours(value),) * 3


def _rising(hours: tuple[Decimal, Decimal, Decimal]) -> tuple[Decimal, Decimal, Decimal]:
    if hours[0] < 0:
        raise ValueError(f"is {hours[0]} hours, below zero; write the hours it takes")
    if not hours[0] <= hours[1] <= hours[2]:
        raise ValueError("must rise from low over likely to high")
    return hours


ThreeHours = Annotated[
    tuple[Decimal, Decimal, Decimal],
    BeforeValidator(_three_hours),
    AfterValidator(_rising),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": ["string", "number"]},
                {"type": "array", "items": {"type": ["string", "number"]}, "minItems": 3, "maxItems": 3},
            ],
            "description": "time; one, or [low, likely, high]; bare numbers are hours",
        }
    ),
]
MoneyCents = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_money_cents),
    _schema("money in the shop's currency: 12.50, $1,250.00, 17 cents"),
]
Number = Annotated[
    Decimal, BeforeValidator(quantities.parse_number), _schema("a plain number; 1/4 and 7-1/2 are read")
]
