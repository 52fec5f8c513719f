"""What a guided start is told of the service, and of what makes room where spaces run out, each read from a line."""

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial

from costplan.files import quantities
from costplan.model.reading import PartsError, noted, part, parts_of, plain, read_name, whole

PEAK_EXAMPLE = "38 A; 2026-09-30; 30 days"
KW_EXAMPLE = "21 kW; power factor 0.9; 2026-09-30; 365 days"
TANDEM_EXAMPLE = "main; 4; 20 A 12 gauge 6; 15 A 14 gauge 4"
TURNS_EXAMPLE = "table saw, planer, sander"
LARGEST_SERVICE_A = 2000


@dataclass(frozen=True, slots=True)
class Peak:
    """The highest draw that was measured, the day the reading ended where it was said, and over how many days.

    It is in amperes, or in kilowatts with their power factor; `amps` is empty then.
    """

    amps: str
    seen: str | None
    days: str
    kw: str = ""
    power_factor: str = ""


@dataclass(frozen=True, slots=True)
class Alike:
    """One-pole circuits alike in a panel that a tandem breaker may take."""

    breaker: str
    awg: str
    count: str


@dataclass(frozen=True, slots=True)
class TandemAnswer:
    """How many tandem breakers a panel's label allows, and the plain one-pole circuits in it."""

    panel: str
    most: str
    circuits: tuple[Alike, ...]


@dataclass(frozen=True, slots=True)
class Room:
    """All of that: the service's amperes, the measured peak, tandems, the panels that may feed a subpanel, those beside
    which another may hang at the service, each with what was asked for it, and machines that never run at once.

    `at_once` is how many machines run at the same time at the most, `all`, or None where nobody said.
    """

    service: str | None = None
    peak: Peak | None = None
    tandems: tuple[TandemAnswer, ...] = ()
    subpanels: tuple[str, ...] = ()
    turns: tuple[tuple[str, ...], ...] = ()
    panels: tuple[tuple[str, str | None], ...] = ()
    at_once: str | None = None


NO_ROOM = Room()


def read_amps(text: str, where: str = "as on the main breaker's handle") -> str:
    """The rating of a service, a panel or a breaker: `100 A`, or 100. Raises ValueError with `where` it stands."""
    cleaned = plain(text)
    amps = quantities.parse_quantity(cleaned, quantities.CURRENT_UNITS)
    if not 15 <= amps <= LARGEST_SERVICE_A:
        raise ValueError(f"is {cleaned}; allowed: 15 A to {LARGEST_SERVICE_A} A, {where}")
    return f"{amps.normalize():f} A"


def read_peak(text: str) -> Peak:
    """A measured peak, its day and days in any order: `38 A; 2026-09-30; 30 days`. Raises PartsError."""
    amount, *more = parts_of(text.replace(",", ";"))
    mistakes: list[str] = []
    seen, days, factor = None, "30", ""
    for said in filter(None, more):
        over = re.fullmatch(r"(?:over\s+)?(\S+)\s*days?", said, re.IGNORECASE)
        of_power = re.fullmatch(r"power[ _]factor\s+(.+)", said, re.IGNORECASE)
        if over:
            days = noted(mistakes, partial(part, "days", whole(1, 3660), over[1]), "30")
        elif of_power:
            factor = noted(mistakes, partial(part, "power factor", _factor, of_power[1]), "")
        else:
            seen = noted(mistakes, partial(_day, said), None)
    in_kw = re.fullmatch(r"([0-9.]+)\s*(kw|kva)", amount, re.IGNORECASE)
    if in_kw and in_kw[2].lower() == "kva":
        factor = "1"
    if in_kw and not factor:
        mistakes.append(
            f"measured peak is {amount}, which needs its power factor; write for example: {KW_EXAMPLE}"
        )
    if not in_kw:
        amount = noted(mistakes, partial(_peak_amps, amount), "")
        if factor:
            mistakes.append(
                f"a power factor is of kilowatts; write for example: {KW_EXAMPLE}, or {PEAK_EXAMPLE}"
            )
    if mistakes:
        raise PartsError(mistakes)
    return Peak("", seen, days, f"{in_kw[1]} kW", factor) if in_kw else Peak(amount, seen, days)


def _factor(text: str) -> str:
    if not 0 < quantities.parse_fraction(text) <= 1:
        raise ValueError(f"is {text}; allowed: more than 0, at most 1")
    return text


def _peak_amps(text: str) -> str:
    try:
        amps = quantities.parse_quantity(plain(text), quantities.CURRENT_UNITS)
    except ValueError as error:
        raise ValueError(f"measured peak {error}; for example {PEAK_EXAMPLE}, or {KW_EXAMPLE}") from None
    if not 0 < amps <= LARGEST_SERVICE_A:
        raise ValueError(f"measured peak is {text}; write amperes, for example {PEAK_EXAMPLE}")
    return f"{amps.normalize():f} A"


def _day(text: str) -> str:
    try:
        return date.fromisoformat(re.sub(r"^(?:seen|ended|on|until)\s+", "", text)).isoformat()
    except ValueError:
        raise ValueError(
            f'"{text}" is no day and no number of days; write for example: {PEAK_EXAMPLE}'
        ) from None


_ALIKE = re.compile(
    r"([0-9.]+)\s*(?:amps?|a)\b[\s,]*(?:#\s*)?([0-9]+)\s*(?:gauge|awg|ga)\b[\s,x*]*([0-9]+)?", re.IGNORECASE
)


def read_tandems(text: str) -> TandemAnswer:
    """The panel, how many its label allows, and the plain one-pole circuits in it. Raises PartsError."""
    parts = parts_of(text)
    if len(parts) < 3:
        raise PartsError(
            [
                "lacks something; write the panel, how many tandem breakers its label allows, and its plain one-pole "
                f"circuits, for example: {TANDEM_EXAMPLE}"
            ]
        )
    panel, most, *circuits = parts
    mistakes: list[str] = []
    panel = noted(mistakes, lambda: part("panel", read_name, panel), "")
    most = noted(mistakes, lambda: part("how many the label allows", whole(1, 200), most), "1")
    alike = [noted(mistakes, partial(read_alike, said), None) for said in filter(None, circuits)]
    if mistakes:
        raise PartsError(mistakes)
    return TandemAnswer(panel, most, tuple(one for one in alike if one is not None))


def read_alike(text: str) -> Alike:
    """One-pole circuits alike: `20 A 12 gauge 6` are six of 20 A on 12 AWG. Raises ValueError."""
    found = _ALIKE.fullmatch(text.strip())
    if found is None:
        raise ValueError(f'"{text}" is no circuit that is read here; write for example: 20 A 12 gauge 6')
    count = found[3] or "1"
    if not 1 <= int(count[:5]) <= 1000:
        raise ValueError(f"there are {count} of {text}; allowed: 1 to 1000")
    amps = Decimal(found[1])
    return Alike(f"{amps.normalize():f} A", found[2], count)


def read_turns(text: str) -> tuple[str, ...]:
    """Machines, or one group, that never run at the same time, with commas between. Raises ValueError."""
    names = tuple(dict.fromkeys(filter(None, (name.strip() for name in plain(text).split(",")))))
    if not names:
        raise ValueError(f'is "{text.strip()}"; name two or more machines, for example: {TURNS_EXAMPLE}')
    return names


def read_another_panel(text: str) -> tuple[str, str | None]:
    """The panel that is full, and what was asked for another at the service: `main; 2400`, or `main`. Raises ValueError."""
    panel, *more = parts_of(text)
    if len(more) > 1:
        raise ValueError(f'is "{text.strip()}"; write the panel that is full and what was asked: main; 2400')
    if more and quantities.parse_money_cents(more[0]) <= 0:
        raise ValueError(f"is {more[0]}; write what was asked for that panel, for example 2400")
    return read_name(panel), more[0] if more else None


def read_at_once(text: str) -> str:
    """How many machines run at the same time at the most, or all. Raises ValueError."""
    return "all" if text.strip().lower() == "all" else whole(1, 1000)(text)
