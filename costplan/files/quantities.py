"""Quantities as people write them: `35 ft`, `10.7 m`, `half hp`, `1-1/2 hp`, `4 %`, `$1,250.00`, `17 cents`, `45 min`.

Each `parse_*` function returns a Decimal in the one unit used inside, and raises MisreadError, a ValueError, with what
was found and how to write it. `about 25`, `1½` and `12'6"` are read; `25-30` is explained.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from decimal import Decimal

from costplan.files.visible import beginning


class MisreadError(ValueError):
    """Why a text cannot be read: what was found, and what is allowed or how to write it; neither is left out.

    shows: the mend shows how any number is written, and not what this one counts.
    """

    def __init__(self, found: str, mend: str, *, shows: bool = False) -> None:
        self.found, self.mend, self.shows = found, mend, shows
        super().__init__(f"{found}; {mend}")


def told_apart(error: ValueError) -> tuple[str, str]:
    """What was found and the mend; of an error that does not know them apart all that it says, and no mend."""
    return (error.found, error.mend) if isinstance(error, MisreadError) else (str(error), "")


class _NoNumberError(ValueError):
    """What was found is no number; whoever asked knows an example of what it might be."""


_FEET_PER_METRE = Decimal(1) / Decimal("0.3048")

LENGTH_UNITS: Mapping[str, Decimal] = {
    "ft": Decimal(1),
    "foot": Decimal(1),
    "feet": Decimal(1),
    "'": Decimal(1),
    "in": Decimal(1) / 12,
    "inch": Decimal(1) / 12,
    "inches": Decimal(1) / 12,
    '"': Decimal(1) / 12,
    "yd": Decimal(3),
    "m": _FEET_PER_METRE,
    "cm": _FEET_PER_METRE / 100,
}
INCH_UNITS: Mapping[str, Decimal] = {
    **dict.fromkeys(("in", "inch", "inches", '"'), Decimal(1)),
    "mm": 1 / Decimal("25.4"),
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
HORSEPOWER_UNITS: Mapping[str, Decimal] = {
    "hp": Decimal(1),
    "horse": Decimal(1),
    "horsepower": Decimal(1),
    "kw": Decimal(1) / Decimal("0.7457"),
}
POWER_UNITS: Mapping[str, Decimal] = {"kw": Decimal(1), "kilowatts": Decimal(1)}
YEAR_UNITS: Mapping[str, Decimal] = {"year": Decimal(1), "years": Decimal(1), "yr": Decimal(1)}

_EXAMPLES = (
    (LENGTH_UNITS, "35 ft or 12'6\""),
    (INCH_UNITS, "0.60 in"),
    (HOUR_UNITS, "1.5 h or 45 min"),
    (CURRENT_UNITS, "12.8 A"),
    (VOLT_UNITS, "240 V"),
    (HORSEPOWER_UNITS, "3 hp or 7-1/2 hp"),
    (POWER_UNITS, "21 kW"),
    (YEAR_UNITS, "10 years"),
)
"""How each sort of quantity is written."""
_TOO_LARGE = Decimal(10) ** 12
"""No length, price, load or number of hours of a small shop comes near it."""
_TOO_SMALL = Decimal(10) ** -9
_ABOUT = re.compile(
    r"^\s*(?:about|around|roughly|approximately|approx\.?|ca\.?|~)\s*(?=[0-9.½¼¾$€£])", re.IGNORECASE
)
_FEET_AND_INCHES = re.compile(
    r"([0-9]{1,6})\s*(?:'|ft\.?|feet|foot|′)\s*-?\s*"
    r"([0-9]{1,2}(?:\.[0-9]{1,3})?(?:[ -][0-9]{1,2}/[0-9]{1,2})?|[0-9]{1,2}/[0-9]{1,2})"
    r"\s*(?:\"|''|in\.?|inch|inches|″)",
    re.IGNORECASE,
)
"""What a tape says: 12'6", 12 ft 6 1/2 in."""
_FIGURE = r"([0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,9}(?:\.[0-9]{1,6})?)"
_RANGE = re.compile(rf"{_FIGURE}\s*(?:-|–|—|to|or|\.\.)\s*{_FIGURE}\s*([^0-9\s/.,].*)?", re.IGNORECASE)
_CURRENCY = re.compile(r"^(?:[$€£]|USD|CAD|EUR|GBP)\s*|\s*(?:[$€£]|USD|CAD|EUR|GBP)$")
_CURRENCIES = {
    "$": frozenset({"USD", "CAD", "AUD", "NZD", "MXN"}),
    "€": frozenset({"EUR"}),
    "£": frozenset({"GBP"}),
}
_PERCENT = re.compile(r"\s*(.*?)\s*(?:%|percent|per cent)\s*", re.IGNORECASE | re.DOTALL)
_CENTS = re.compile(r"(\S+)\s*(?:cents?|¢)", re.IGNORECASE)
_PART = re.compile(r"^\s*(?:(?:an?|one)\s+)?(half|third|quarter)(?:\s+an?)?\s+", re.IGNORECASE)
_PARTS = {"half": "1/2", "third": "1/3", "quarter": "1/4"}
_SIGNS = re.compile(r"([0-9])?\s*([½¼¾])")
_SIGNS_MEAN = {"½": "1/2", "¼": "1/4", "¾": "3/4"}
_NUMBER = re.compile(r"[-+]?(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})")
_GROUPED = re.compile(r"[-+]?[0-9]{1,3}(?:,[0-9]{3}){1,4}(?:\.[0-9]{1,15})?")
_FRACTION = re.compile(r"(?:([0-9]{1,9})(?:\s*-\s*|\s+))?([0-9]{1,9})/([0-9]{1,9})")
_DECIMAL_COMMA = re.compile(r"[-+]?[0-9]{1,3}(?:\.[0-9]{3})*,[0-9]{1,2}|[-+]?[0-9]{1,3}(?:\.[0-9]{3}){2,}")
_QUANTITY = re.compile(
    r"\s*((?:[0-9]+(?:\s*-\s*|\s+))?[0-9]+/[0-9]+|[-+]?[0-9.,_]*[0-9][0-9.,_]*)\s*([^0-9\s].*?)?\s*",
    re.DOTALL,
)
_OTHER_MINUS = re.compile(r"^(\s*)[\u2212\u2013](?=\s*[0-9.])")
"""A minus as word processors write it."""
_DAY = re.compile(r"[0-9]{4}([-./])[0-9]{1,2}\1[0-9]{1,2}")
_DAY_TURNED = re.compile(r"([0-9]{1,2})([-./ ])([0-9]{1,2})\2([0-9]{4})")
_DAY_NUMBER = re.compile(r"[34][0-9]{4}|5[0-9]{4}")
"""Days of 1982 to 2064 as spreadsheets count them."""
_DAY_ZERO = date(1899, 12, 30)
_MONTHS = re.compile(r"([0-9]{1,4})\s*(?:months?|mos?\.?)", re.IGNORECASE)
_NOTHING = frozenset({"none", "no", "nothing", "nil", "n/a", "na", "zero", "-", "false"})
_SOMETHING = frozenset({"yes", "true", "y", "on"})
_AS_PRINTED = {"a": "A", "v": "V", "kw": "kW"}
_LOOK_ALIKES = str.maketrans("OoQlISBZ", "00011582")


def _shown(text: object) -> str:
    return f'"{beginning(str(text))}"'


def _not_a_number(text: str) -> ValueError:
    if _DECIMAL_COMMA.fullmatch(text):
        plain = text.replace(".", "").replace(",", ".")
        return MisreadError(
            f"is {_shown(text)}", f"is that {plain}? Write the decimals after a point: {plain}"
        )
    if _DAY.fullmatch(text):
        mend = "write a number; years count from today, which is year 0, so that in three years is 3"
        return MisreadError(f"is {_shown(text)}, a day and not a number", mend)
    if months := _MONTHS.fullmatch(text):
        years = f"{Decimal(months[1]) / 12:.4g}"
        mend = f"write a number without a unit; where it is years, {text} is {years}"
        return MisreadError(f"is {_shown(text)}, not a number", mend)
    between = _RANGE.fullmatch(text)
    if between:
        larger = max(between[1], between[2], key=lambda figure: Decimal(figure.replace(",", "")))
        unit = f" {between[3]}" * bool(between[3])
        mend = f"write one figure, the larger where more costs more: {larger}{unit}"
        return MisreadError(f"is {_shown(text)}, a range", mend)
    if "_" in text:
        return MisreadError(
            f"is {_shown(text)}, not a number", "if it is one, write it without the underscore"
        )
    likely = text.translate(_LOOK_ALIKES)
    if likely != text and text[:1].isdigit() and _NUMBER.fullmatch(likely):
        return MisreadError(f"is {_shown(text)}, not a number", f"did you mean {likely}?")
    return _NoNumberError(f"is {_shown(text)}, not a number")


def _with_example(read: Callable[[], Decimal], example: str, text: object) -> Decimal:
    try:
        return read()
    except _NoNumberError as error:
        said = str(text).strip().lower()
        mend, shows = f"write it like {example}", True
        if said in _NOTHING:
            shows, mend = (
                False,
                (
                    f"write 0 if there is none, else a number like {example}; leave the word out where nobody knows, "
                    "or for no limit"
                ),
            )
        elif said in _SOMETHING:
            mend = f"write how much or how many, 0 for none, like {example}"
        raise MisreadError(str(error), mend, shows=shows) from None


def day_mend(text: str) -> str:
    """How to write a day that was typed otherwise, as year-month-day; an example where nobody can tell which is meant."""
    cleaned = text.strip()
    if _DAY_NUMBER.fullmatch(cleaned):
        day = _DAY_ZERO + timedelta(days=int(cleaned))
        return f"a spreadsheet counts {day} so: write {day}"
    if _DAY.fullmatch(cleaned):
        year, one, two = re.split("[-./]", cleaned)
        return f"write it as year-month-day: {year}-{int(one):02d}-{int(two):02d}"
    turned = _DAY_TURNED.fullmatch(cleaned)
    one, two = (int(turned[1]), int(turned[3])) if turned else (0, 0)
    days = [
        f"{turned[4]}-{month:02d}-{day:02d}"
        for month, day in dict.fromkeys(((one, two), (two, one)))
        if turned and 1 <= month <= 12 and 1 <= day <= 31
    ]
    return f"write it as year-month-day: {' or '.join(days) or '2025-06-20'}"


def parse_number(text: object, example: str = "1.5") -> Decimal:
    """A plain decimal number; `7-1/2`, `1½` and `3/4` are read as the fractions the trade writes.

    example: how such a number is written, for the message. Raises MisreadError when it is not a number below 10^9.
    """
    return _with_example(lambda: _number(text), example, text)


def _number(text: object) -> Decimal:
    if text is None:
        raise _NoNumberError("is empty")
    if isinstance(text, bool):
        raise _NoNumberError(f"is {str(text).lower()}, not a number")
    if isinstance(text, int | float | Decimal):
        return _bounded(Decimal(str(text)))
    if not isinstance(text, str):
        raise _NoNumberError("is a list or a mapping, not a number")
    cleaned = _in_figures(_ABOUT.sub("", text)).strip()
    if not cleaned:
        raise _NoNumberError("is empty")
    mixed = _FRACTION.fullmatch(cleaned)
    if mixed and int(mixed[3]):
        return _bounded(Decimal(mixed[1] or 0) + Decimal(mixed[2]) / Decimal(mixed[3]))
    if _GROUPED.fullmatch(cleaned):
        cleaned = cleaned.replace(",", "")
    if not _NUMBER.fullmatch(cleaned):
        raise _not_a_number(text.strip() if cleaned == text.strip() else cleaned)
    return _bounded(Decimal(cleaned))


def _bounded(number: Decimal) -> Decimal:
    if not number.is_finite() or abs(number) >= _TOO_LARGE:
        raise MisreadError(
            f"is {_shown(number)}, too large to be meant", f"write a figure below {_TOO_LARGE:,f}"
        )
    if number and abs(number) < _TOO_SMALL:
        raise MisreadError(
            f"is {_shown(number)}, too small to be meant", "write 0, or a figure above 0.000000001"
        )
    return number


_A_PART_OF_A_YEAR = re.compile(
    r"\s*([0-9]+(?:\.[0-9]+)?)\s*(?:h|hours?)?\s*(?:a|per|each|every|/)\s*(day|week|month|year)\s*",
    re.IGNORECASE,
)
_IN_A_YEAR = {"day": 250, "week": 50, "month": 12, "year": 1}
"""Working days and weeks of a year; common practice, no source."""


def parse_hours_a_year(text: object) -> Decimal:
    """Hours of one year: a number, `80 h`, `80 hours a year`. Raises MisreadError for those of a month, saying the year's."""
    if isinstance(text, str) and (said := _A_PART_OF_A_YEAR.fullmatch(_in_figures(_ABOUT.sub("", text)))):
        number, part = _number(said[1]), said[2].lower()
        if part == "year":
            return number
        hours = f"{(number * _IN_A_YEAR[part]).normalize():f}"
        count = _IN_A_YEAR[part]
        mend = f"write the hours of one year: {number.normalize():f} a {part} is {hours} in {count} {part}s"
        raise MisreadError(f"is {_shown(text.strip())}", mend)
    return parse_quantity(text, HOUR_UNITS) if isinstance(text, str) else parse_number(text, "80")


def parse_quantity(text: object, units: Mapping[str, Decimal]) -> Decimal:
    """A number with an optional unit from `units`; a bare number already has the inside unit.

    Raises MisreadError, saying what was found and naming the units allowed.
    """
    example = next((written for known, written in _EXAMPLES if known is units), "12.5")
    return _with_example(lambda: _quantity(text, units), example, text)


def _quantity(text: object, units: Mapping[str, Decimal]) -> Decimal:
    if not isinstance(text, str):
        return _number(text)
    text = _in_figures(_ABOUT.sub("", text))
    if units is LENGTH_UNITS and (tape := _FEET_AND_INCHES.fullmatch(text.strip())):
        return _number(tape[1]) + _number(tape[2]) / 12
    match = _QUANTITY.fullmatch(text)
    if match is None or _RANGE.fullmatch(text.strip()):
        return _number(text)
    unit = (match[2] or "").strip().lower()
    if not unit:
        return _number(match[1])
    if unit not in units:
        if match[2].strip().translate(_LOOK_ALIKES).isdigit():
            return _number(text)
        if units is CURRENT_UNITS and unit in _WATTS:
            raise MisreadError(
                f"is {_shown(text.strip())}, power and no current", _amperes_of(match[1], unit)
            )
        known = ", ".join(_AS_PRINTED.get(word, word) for word in units)
        raise MisreadError(
            f"is {_shown(text.strip())}, in a unit that is not known here", f"allowed units: {known}"
        )
    return _number(match[1]) * units[unit]


_WATTS = {
    "w": Decimal(1),
    "watt": Decimal(1),
    "watts": Decimal(1),
    "kw": Decimal(1000),
    "va": Decimal(1),
    "kva": Decimal(1000),
}
"""Units of power, in watts or volt-amperes, that people have where amperes are asked for."""


def _amperes_of(number: str, unit: str) -> str:
    """How to mend watts where amperes are asked for."""
    amperes = (_number(number) * _WATTS[unit] / 240).quantize(Decimal("0.1"))
    return (
        "write amperes, from the plate or a meter; else watts over volts, on three phases over 1.73 times the volts: "
        f"{number.strip()} {unit.upper().replace('K', 'k')} at 240 V is {amperes.normalize():f} A"
    )


def _in_figures(text: str) -> str:
    """The text with a part in words or in one sign as a fraction: `half hp` is `1/2 hp`, `1½ hp` is `1-1/2 hp`."""
    text = _OTHER_MINUS.sub(r"\1-", text)
    text = _PART.sub(lambda found: f"{_PARTS[found[1].lower()]} ", text)
    return _SIGNS.sub(lambda found: f"{found[1]}-" * bool(found[1]) + _SIGNS_MEAN[found[2]], text)


def parse_length_ft(text: object) -> Decimal:
    """Feet; `10.7 m` and `18 in` are turned into feet."""
    return parse_quantity(text, LENGTH_UNITS)


def parse_hours(text: object) -> Decimal:
    """Hours; `45 min` is 0.75."""
    return parse_quantity(text, HOUR_UNITS)


def parse_fraction(text: object) -> Decimal:
    """A share as a fraction: `4 %` is 0.04. A bare number must not look like a percentage.

    Raises MisreadError when a bare number is above 1, since 4 and 4 % differ a hundredfold.
    """
    example = "4 % or 0.04"
    if isinstance(text, str) and (percent := _PERCENT.fullmatch(text)):
        return parse_number(percent[1], example) / 100
    number = parse_number(text, example)
    if abs(number) > 1:
        shown = f"{number.normalize():f}"
        mend = (
            f"write {shown} % if that is meant"
            if abs(number) <= 100
            else f"it is a share, no money: write it like {example}"
        )
        raise MisreadError(f"is {shown} without a unit", mend)
    return number


def currencies_named(text: str) -> frozenset[str]:
    """The currencies that a price with this sign or code may be in; empty where it has none."""
    found = _CURRENCY.search(text.strip())
    return _CURRENCIES.get(found[0].strip(), frozenset({found[0].strip()})) if found else frozenset()


_THOUSANDS_POINT = re.compile(r"[-+]?[1-9][0-9]{0,2}\.[0-9]{3}")


def parse_money_cents(text: object, *, thousandths: bool = False) -> Decimal:
    """Cents, not yet rounded: `$1,250.00` is 125000, `17 cents` 17. A currency sign and thousands commas are allowed.

    thousandths: whether 1.250 is a price in thousandths, as suppliers' lists have them. Raises MisreadError for
    `1.234,56` and else for `1.250`, since a comma or point that means the other one is a mistake of 100 or 1000 times.
    """
    example = "12.50"
    if isinstance(text, str):
        cents = _CENTS.fullmatch(text.strip())
        if cents:
            return parse_number(cents[1], example)
        text = _CURRENCY.sub("", _ABOUT.sub("", text.strip()))
    written = str(text).strip()
    if not thousandths and _THOUSANDS_POINT.fullmatch(written):
        thousand, small = written.replace(".", ""), written[:-1] if written.endswith("0") else f"{written}0"
        found = f"is {_shown(written)}, which may be {thousand} or {Decimal(written).normalize():f}"
        raise MisreadError(found, f"write {thousand}.00 or {small}, whichever is meant")
    return parse_number(text, example) * 100
