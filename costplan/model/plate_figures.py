"""Volts and amperes as plates print them: `208-230/460` with `9.4-8.6/4.3`."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import Any

from costplan.files import quantities
from costplan.files.quantities import MisreadError

PlateFigures = tuple[tuple[Decimal, ...], ...]
"""Figures as printed: ranges, each of one figure or more."""
NOMINAL_VOLTS = (120, 208, 240, 480)
"""Volts of the systems that machines are fed from (IEEE/ANSI C84.1)."""
_NOMINAL_OF = {110: 120, 115: 120, 125: 120, 200: 208, 220: 240, 230: 240, 250: 240, 440: 480, 460: 480}


@dataclass(frozen=True, slots=True, order=True)
class PlateRating:
    """One of the volts of a plate: the system's, the plate's own, and its amperes there, None where only hp is said."""

    volts: int
    plate_v: Decimal
    amps_a: Decimal | None = None


def nominal_volts(plate_v: Decimal) -> int:
    """The system's volts of a plate's: 230 is 240, 200 is 208. Raises ValueError for any other."""
    volts = _NOMINAL_OF.get(int(plate_v), int(plate_v)) if plate_v == int(plate_v) else 0
    if volts not in NOMINAL_VOLTS:
        raise MisreadError(f"is {plate_v:f}", f"allowed: {', '.join(map(str, NOMINAL_VOLTS))}")
    return volts


def parse_volts(written: Any) -> PlateFigures:
    """A plate's volts: one figure, a range, or ranges parted by a slash. Raises ValueError, saying what is allowed."""
    if isinstance(written, tuple):
        return written
    figures = _figures(written, quantities.VOLT_UNITS)
    flat = [volts for group in figures for volts in group]
    for volts in flat:
        nominal_volts(volts)
    if flat != sorted(set(flat)):
        raise MisreadError(f'is "{written}"', "write the volts from the lowest, as on the plate: 208-230/460")
    return figures


def parse_amps(written: Any, volts: PlateFigures) -> PlateFigures:
    """A plate's amperes, one for each of its volts, or one for each range. Raises ValueError, saying what is allowed."""
    if isinstance(written, tuple):
        return written
    figures = _amperes(written, several=sum(map(len, volts)) > 1)
    if any(amps <= 0 for group in figures for amps in group):
        raise MisreadError(f'is "{written}"', "write amperes above 0")
    fits = len(figures) == len(volts) and all(
        len(mine) in (1, len(group)) for mine, group in zip(figures, volts, strict=True)
    )
    if volts and not fits:
        raise MisreadError(
            f'is "{written}", but volts: has {_count(volts)}',
            "write the amperes of each as the plate has "
            "them, 9.4-8.6/4.3 beside 208-230/460, or only the volts that it will be connected at",
        )
    return figures


def rounded_a(current_a: Decimal) -> Decimal:
    """A current worked out from another, to the hundredth of an ampere, rounded up."""
    return current_a.quantize(Decimal("0.01"), ROUND_CEILING)


def ratings(volts: PlateFigures, amps: PlateFigures | None, *, heater: bool) -> tuple[PlateRating, ...]:
    """What a plate says at each of the systems' volts it names, from the lowest; of two plate volts of one system the lower.

    A range with one figure has it at its highest volts: below them a motor draws more in proportion, a `heater` less.
    """
    found: dict[int, PlateRating] = {}
    for number, group in enumerate(volts):
        mine = amps[number] if amps is not None else (None,) * len(group)
        for place, plate_v in enumerate(group):
            given = mine[place] if len(mine) == len(group) else mine[0]
            if given is not None and len(mine) < len(group):
                given = rounded_a(given * (plate_v / group[-1] if heater else group[-1] / plate_v))
            known = PlateRating(nominal_volts(plate_v), plate_v, given)
            found.setdefault(known.volts, known)
    return tuple(sorted(found.values(), key=lambda known: known.volts))


def _count(volts: PlateFigures) -> str:
    count = sum(map(len, volts))
    return f"{count} figures" if count > 1 else "one figure"


def _amperes(written: Any, *, several: bool) -> PlateFigures:
    """The figures as written; beside one figure of volts a fraction is one figure, 1/2."""
    if several:
        return _figures(written, quantities.CURRENT_UNITS)
    try:
        return ((quantities.parse_quantity(written, quantities.CURRENT_UNITS),),)
    except ValueError:
        try:
            return _figures(written, quantities.CURRENT_UNITS)
        except ValueError:
            pass
        raise


def _figures(written: Any, units: Any) -> PlateFigures:
    if not isinstance(written, str):
        return ((quantities.parse_quantity(written, units),),)
    return tuple(
        tuple(quantities.parse_quantity(figure.strip(), units) for figure in group.split("-"))
        for group in written.split("/")
    )
