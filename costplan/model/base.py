"""The base of everything a user writes: unknown words refused, frozen, each field described.

YAML keys are the aliases; Python names carry the unit (`length_ft`, `price_cents`).
"""

import ast
import inspect
import re
import textwrap
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from itertools import pairwise
from typing import Annotated, Any, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    GetJsonSchemaHandler,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
)
from pydantic_core import CoreSchema

from costplan.files import quantities
from costplan.files.quantities import MisreadError
from costplan.files.visible import beginning


class Entry(BaseModel):
    """One mapping in a user's file."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        validate_by_alias=True,
        validate_by_name=True,
        arbitrary_types_allowed=False,
        coerce_numbers_to_str=True,
    )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler, /
    ) -> dict[str, Any]:
        """With what each field means; pydantic would read all source files for that whenever a command starts."""
        found = handler(schema)
        told = {alias: meaning(cls, name) for name, alias in words_of(cls)}
        for word, field in handler.resolve_ref_schema(found).get("properties", {}).items():
            if told.get(word):
                field["description"] = told[word]
        return found

    @field_validator("*", mode="before")
    @classmethod
    def _as_written(cls, value: Any, info: ValidationInfo) -> Any:
        """Refuse what pydantic would read wrongly: `1_0` as 10, true as 1, 20250620 as a day in 1970."""
        reader = _plain_readers(cls).get(str(info.field_name))
        return value if reader is None else reader(value)


@cache
def words_of(model: type[Entry]) -> tuple[tuple[str, str], ...]:
    """The fields of a model, each by its own name and by the word that a user writes."""
    return tuple((name, field.alias or name) for name, field in model.model_fields.items())


def meaning(model: type[Entry], field: str) -> str:
    """What a field means: the text below it in the source; empty where there is none."""
    return next((told[field] for kind in model.__mro__ if field in (told := _told_below(kind))), "")


@cache
def _told_below(model: type) -> Mapping[str, str]:
    """The texts below the fields of a class, by the field's name."""
    if not issubclass(model, Entry):
        return {}
    (tree,) = ast.parse(textwrap.dedent(inspect.getsource(model))).body
    steps = tree.body if isinstance(tree, ast.ClassDef) else []
    return {
        field.target.id: inspect.cleandoc(text.value.value)
        for field, text in pairwise(steps)
        if isinstance(field, ast.AnnAssign)
        and isinstance(field.target, ast.Name)
        and isinstance(text, ast.Expr)
        and isinstance(text.value, ast.Constant)
        and isinstance(text.value.value, str)
    }


@cache
def _plain_readers(model: type[Entry]) -> Mapping[str, Callable[[Any], Any]]:
    """Who reads days and whole numbers, by the field's name; asked for every value, so worked out once."""
    found: dict[str, Callable[[Any], Any]] = {}
    for name, field in model.model_fields.items():
        kinds = {field.annotation, *get_args(field.annotation)}
        if date in kinds:
            found[name] = _plain_day
        elif int in kinds:
            found[name] = _plain_whole_number
    return found


def _plain_day(value: Any) -> Any:
    if value is None or isinstance(value, date):
        return value
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value.strip()):
        raise MisreadError(f"is {_written(value)}, not a day", quantities.day_mend(str(value)))
    try:
        day = date.fromisoformat(value.strip())
    except ValueError:
        raise MisreadError(f'is "{value}", a day that no calendar has', "check month and day") from None
    if not 1990 <= day.year <= 2199:
        raise MisreadError(f'is "{value}"', "days from 1990-01-01 to 2199-12-31 are read")
    return day


LARGEST_COUNT = 1_000_000
"""No shop has so many of anything, nor do its years come to that."""


def _plain_whole_number(value: Any) -> Any:
    number = _whole_number(value)
    if number is not None and abs(number) > LARGEST_COUNT:
        mend = f"write a whole number up to {LARGEST_COUNT:,}"
        raise MisreadError(f"is {_written(value)}, too large to be meant", mend)
    return number


def _whole_number(value: Any) -> int | None:
    if value is None or (isinstance(value, int) and not isinstance(value, bool)):
        return value
    number = quantities.parse_number(value, "3")
    if number != number.to_integral_value():
        whole = number.to_integral_value()
        raise MisreadError(
            f"is {_written(value)}, not a whole number", f"write it without a fraction, like {whole}"
        )
    return int(number)


def _schema(text: str) -> WithJsonSchema:
    return WithJsonSchema({"type": ["string", "number"], "description": text})


def read_hp(text: Any) -> Decimal:
    """Horsepower."""
    return quantities.parse_quantity(text, quantities.HORSEPOWER_UNITS)


def read_amps(text: Any) -> Decimal:
    """Amperes."""
    return quantities.parse_quantity(text, quantities.CURRENT_UNITS)


def read_kw(text: Any) -> Decimal:
    """Kilowatts."""
    return quantities.parse_quantity(text, quantities.POWER_UNITS)


def read_volts(text: Any) -> Decimal:
    """Volts."""
    return quantities.parse_quantity(text, quantities.VOLT_UNITS)


def read_years(text: Any) -> Decimal:
    """Years."""
    return quantities.parse_quantity(text, quantities.YEAR_UNITS)


LengthFt = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_length_ft),
    _schema("length; bare numbers are feet: 35 ft, 10.7 m"),
]
Hours = Annotated[
    Decimal, BeforeValidator(quantities.parse_hours), _schema("time; bare numbers are hours: 1.5 h, 45 min")
]
HoursAYear = Annotated[
    Decimal, BeforeValidator(quantities.parse_hours_a_year), _schema("hours of one year: 80")
]
CurrentA = Annotated[
    Decimal, BeforeValidator(read_amps), _schema("current; bare numbers are amperes: 12.8 A")
]
PowerHp = Annotated[
    Decimal,
    BeforeValidator(read_hp),
    _schema("power; bare numbers are horsepower: 3 hp, half hp, 7-1/2, 2.2 kW"),
]
PowerKw = Annotated[Decimal, BeforeValidator(read_kw), _schema("power; bare numbers are kilowatts: 21 kW")]
Volts = Annotated[Decimal, BeforeValidator(read_volts), _schema("volts; bare numbers are volts: 240 V")]
Years = Annotated[Decimal, BeforeValidator(read_years), _schema("years")]
Share = Annotated[Decimal, BeforeValidator(quantities.parse_fraction), _schema("a share: 4 % or 0.04")]


def _marked(terminals_c: int) -> int:
    if terminals_c not in (60, 75):
        raise MisreadError(f"is {terminals_c}", "allowed: 60, 75")
    return terminals_c


TerminalsC = Annotated[int, AfterValidator(_marked)]
"""What terminals are marked for, degrees C (NFPA 70 110.14(C))."""


def read_edition(year: int) -> int:
    """A year in which NFPA 70 came out: every third one (from memory). Raises MisreadError for another."""
    if not 1999 <= year <= 2041 or (year - 1999) % 3:
        near = [str(known) for known in range(1999, 2042, 3) if abs(known - year) < 3]
        words = " or ".join(near) or "2017, 2020 or 2023"
        raise MisreadError(f"is {year}, in which no edition came out", f"write the edition in force: {words}")
    return year


Edition = Annotated[int, AfterValidator(read_edition)]
"""The year of an edition of NFPA 70."""


def _three_letters(code: str) -> str:
    if not re.fullmatch(r"[A-Z]{3}", code):
        raise MisreadError(f'is "{code}"', "write the three capital letters of the currency: USD")
    return code


Currency = Annotated[str, AfterValidator(_three_letters)]
"""The code of a currency (ISO 4217)."""


def three_times(value: Any) -> Any:
    """The value, which must be [low, likely, high]; what is in them is not looked at."""
    if not isinstance(value, list | tuple):
        raise MisreadError(f"is {_written(value)}", _THREE_TIMES)
    if len(value) != 3:
        raise MisreadError(f"has {len(value)} time{'s' * (len(value) != 1)}", _THREE_TIMES)
    return value


_THREE_TIMES = "write three, low, likely and high: [1, 1.5, 3]"


def read_three_hours(value: Any) -> Any:
    """One time for all three, or [low, likely, high]."""
    if isinstance(value, list | tuple):
        if len(value) != 3:
            found = f"has {len(value)} time{'s' * (len(value) != 1)}"
            raise MisreadError(found, "write one, or three: low, likely and high, like [1, 1.5, 3]")
        return tuple(quantities.parse_hours(entry) for entry in value)
    return (quantities.parse_hours(value),) * 3


def not_rising(hours: tuple[Decimal, Decimal, Decimal]) -> MisreadError:
    """The complaint about three times of which a later one is smaller."""
    low, likely, high = sorted(hours)
    found = f"is {', '.join(map(_plain, hours))}, which does not rise from low over likely to high"
    return MisreadError(found, f"write them in order: [{_plain(low)}, {_plain(likely)}, {_plain(high)}]")


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"


def _written(value: object) -> str:
    """A value as it was typed, for a message."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a group of words"
    return "a list" if isinstance(value, list | tuple) else f'"{beginning(str(value))}"'


def _rising(hours: tuple[Decimal, Decimal, Decimal]) -> tuple[Decimal, Decimal, Decimal]:
    if hours[0] < 0:
        raise MisreadError(f"is {hours[0]} hours, below zero", "write the hours it takes, like 1.5")
    if not hours[0] <= hours[1] <= hours[2]:
        raise not_rising(hours)
    return hours


ThreeHours = Annotated[
    tuple[Decimal, Decimal, Decimal],
    BeforeValidator(read_three_hours),
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
