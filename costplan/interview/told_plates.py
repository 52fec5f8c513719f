"""What a nameplate says, as people write it: horsepower and amperes, a heater's kilowatts; and what they come to."""

import re
from collections.abc import Mapping
from decimal import ROUND_CEILING, Decimal

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from costplan.files import quantities
from costplan.model.nameplate import Electrical
from costplan.model.reading import PartsError

_BETWEEN_LOADS = re.compile(
    r"\s*(?:,|\band\b|\+)\s*|(?<=[a-z])\s*/\s*|(?<=[a-z])\s+(?=[0-9]|half\b|quarter\b)", re.IGNORECASE
)


def read_loads(text: str) -> tuple[tuple[str, str], ...]:
    """Horsepower, amperes or both, as a plate has them: `3 hp`, `12.8 A`, `3 hp, 12.8 A`. Raises ValueError."""
    found: dict[str, str] = {}
    for said in filter(None, map(str.strip, _BETWEEN_LOADS.split(text))) if text else [text]:
        word = _load_word(said, text)
        if word in found:
            raise ValueError(
                f'hp or amps is "{text}", which says {word} twice; write each once: 3 hp, 12.8 A'
            )
        found[word] = said
    return tuple(found.items())


def _load_word(said: str, text: str) -> str:
    unit = re.search(r"[a-z]*$", said.strip().lower())
    word = unit[0] if unit else ""
    if word in quantities.HORSEPOWER_UNITS:
        return "hp"
    if word in quantities.CURRENT_UNITS:
        return "amps"
    raise ValueError(
        f'hp or amps is "{text}"; write the unit: 3 hp, half hp, 2.2 kW or 12.8 A; or both: 3 hp, 12.8 A'
    )


def plate_of(words: Mapping[str, object]) -> Electrical:
    """What a nameplate says, by the words of the shop file. Raises PartsError."""
    try:
        return Electrical.model_validate(words)
    except ValidationError as error:
        found = error.errors(include_url=False)
        raise PartsError(map(_said_of, found), map(_word_of, found)) from None


def _word_of(found: ErrorDetails) -> str:
    return str(found["loc"][0]) if found["loc"] else ""


def _said_of(found: ErrorDetails) -> str:
    where = f"{_word_of(found)} ".lstrip()
    if found["type"] == "greater_than":
        return f"{where}is {found['input']}; it must be more than 0"
    return f"{where}{found.get('ctx', {}).get('error', found['msg'])}"


def heat_a(text: str, volts: Decimal, phases: int) -> Decimal:
    """Amperes of a heater of so many kW: P / V, of three phases P / (V root 3), rounded up to 0.01. Raises ValueError."""
    watts = quantities.parse_quantity(text, quantities.POWER_UNITS) * 1000
    each = volts * (Decimal(3).sqrt() if phases == 3 else 1)
    return (watts / each).quantize(Decimal("0.01"), ROUND_CEILING).normalize()


def of_heat(text: str, plate: Electrical) -> tuple[tuple[tuple[str, str], ...], str]:
    """A heater's kW as amperes, and how it was taken. Raises ValueError for horsepower, and for several volts."""
    if not re.search(r"(?:kw|kilowatts)$", text.strip(), re.IGNORECASE):
        raise ValueError(
            f"it is a heater, and {text} is a motor's; write its kW or the amperes of the nameplate"
        )
    on_plate = [volts for group in plate.plate_volts for volts in group]
    if len(on_plate) != 1:
        raise ValueError(
            f"its plate names several volts, and {text} is its heat at one of them; write the amperes at each, or the volts "
            "that it is for alone"
        )
    amps = f"{heat_a(text, on_plate[0], plate.phases):f} A"
    return (("amps", amps),), f"{text} is taken as {amps} at {on_plate[0]:f} V, watts over volts"
