"""What other volts than its plate's do to a machine: 240 V elements at 208 V, a 230 V motor at 208 V."""

from dataclasses import dataclass
from decimal import Decimal

from costplan.model.choices import LoadKind
from costplan.model.plate_figures import PlateRating, rounded_a
from costplan.standards.motor_frames import volts_tolerance

LIKE = {208: 240, 240: 208}
"""Systems whose volts are taken for one another's."""

HOTTER = (115, 220, 230, 460)
"""Volts of plates of heaters that give more than their heat on the system that they are taken for."""

LEADS_CHANGE = Decimal("1.5")
"""Volts of one plate this many times apart ask for leads set otherwise, 208-230/460; common practice, no source."""


@dataclass(frozen=True, slots=True)
class AtOtherVolts:
    """Whether a machine may be fed so, what it then draws in amperes where its plate says any, and why or why not.

    `accepted`: the user says that it will do, else it is asked about.
    """

    allowed: bool
    why: str
    amps_a: Decimal | None = None
    accepted: bool = False


def at_other_volts(
    kind: LoadKind, known: PlateRating, volts: int, least_heat: Decimal | None
) -> AtOtherVolts:
    """A machine of one of its plate's ratings on a system of other volts.

    A heater's heat falls with the square of the volts, and its current with them (Ohm's law); a loaded motor draws more as
    they fall, and stands 10 % (NEMA MG 1 12.44, from memory); what anything else does is not known.
    """
    if kind is LoadKind.HEATER:
        return _heater(known, volts, least_heat)
    if kind is LoadKind.MOTOR:
        return _motor(known, volts)
    plate_v = f"{known.plate_v:f} V"
    return AtOtherVolts(
        False,
        f'its plate says {plate_v} and the panel has {volts} V: does the plate say "208-230"? Else it takes a transformer',
    )


def share_of_heat(known: PlateRating, volts: int) -> Decimal:
    """The share of a heater's heat at other volts than its plate's."""
    return (Decimal(volts) / known.plate_v) ** 2


def _motor(known: PlateRating, volts: int) -> AtOtherVolts:
    ratio = Decimal(volts) / known.plate_v
    if abs(ratio - 1) > volts_tolerance():
        return AtOtherVolts(
            False,
            f"its motor's plate says {known.plate_v:f} V, and {volts} V is {ratio * 100:.0f} % of that, outside the "
            f"{volts_tolerance() * 100:.0f} % that a motor stands (NEMA MG 1 12.44, from memory): read the plate again, "
            'does it say "208-230"? Else another motor, or a transformer',
        )
    return AtOtherVolts(
        True,
        f"its motor's plate says {known.plate_v:f} V: at {volts} V it has {ratio * 100:.0f} % of its volts, "
        f"{ratio**2 * 100:.0f} % of its torque and draws more, with nothing left for a sag; ask its maker, and measure "
        "the volts under load",
        None if known.amps_a is None else rounded_a(known.amps_a / ratio),
    )


def _heater(known: PlateRating, volts: int, least_heat: Decimal | None) -> AtOtherVolts:
    share = share_of_heat(known, volts)
    percent, plate_v = f"{share * 100:.0f} %", f"{known.plate_v:f} V"
    if share > 1:
        return AtOtherVolts(
            False,
            f"its elements are for {plate_v} and give {percent} of their heat at {volts} V, which burns them out: ask its "
            f"maker for {volts} V elements, or take a transformer",
        )
    if least_heat is None or share < least_heat:
        return AtOtherVolts(
            False,
            f"its elements are for {plate_v} and give {percent} of their heat at {volts} V: ask whether that is enough "
            f"(write least_heat: {int(share * 100)} %), whether its maker has {volts} V elements, or take a transformer",
        )
    return AtOtherVolts(
        True,
        f"{percent} of its heat at {volts} V, as you accept: it may never get as hot as at {plate_v}",
        None if known.amps_a is None else rounded_a(known.amps_a * volts / known.plate_v),
        accepted=True,
    )
