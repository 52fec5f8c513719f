"""Receptacle configurations and what their terminals take (ANSI/NEMA WD 6, IEC 60309-2 series II)."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from costplan.standards import motors, tables

NEMA = "ansi_nema_wd_6"
IEC = "iec_60309_2_series_ii"
TERMINALS = "common_practice_terminals"
SELDOM_STOCKED = "common_practice_receptacles"
CIRCUITS = "nfpa70_table_210_21_b_3"
PLUGGED_LOADS = "nfpa70_table_210_21_b_2"
MARKS = "ul_498_horsepower"
PIN_AND_SLEEVE = "pin and sleeve"
ONE_LINE_V = 120
"""Volts between a line and its neutral, which then is no wire besides."""
LARGEST_DUPLEX_A = 20
"""Receptacles of up to so many amperes are made with two openings; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Configuration:
    """A receptacle configuration. `volts` is the label, `125/250`; `wires` counts the ground.

    `new_work` is false for what has no ground contact, is kept for existing circuits, or serves vehicles.
    """

    code: str
    family: str
    rating_a: int
    volts: str
    phases: int
    poles: int
    wires: int
    neutral: bool
    ground: bool
    new_work: bool
    source: str
    confirmation: str

    @property
    def system(self) -> tuple[str, int]:
        """The volts on its label, and its phases."""
        return self.volts, self.phases

    @property
    def breaker_poles(self) -> int:
        """Poles of the breaker before it: one for each contact that is neither neutral nor ground."""
        return self.poles - self.neutral

    @property
    def conductors(self) -> int:
        """Wires of a run to it, the ground left out."""
        return self.wires - self.ground


def iec_code(rating_a: int, volts: str, poles: int, earth_hour: int) -> str:
    """How an IEC 60309 configuration is written here: `IEC 60309 30 A 3P+E 250 V 9h`.

    Contacts are `2P+E`, `3P+E`, or `3P+N+E` for five wires; then the volts on the label and the earth's hour.
    """
    contacts = "3P+N+E" if poles == 4 else f"{poles}P+E"
    return f"IEC 60309 {rating_a} A {contacts} {volts} V {earth_hour}h"


@cache
def configurations() -> tuple[Configuration, ...]:
    """Every configuration known, each family from small to large."""
    return (*_nema(), *_iec())


def _nema() -> Iterable[Configuration]:
    for row in tables.table(NEMA):
        yield Configuration(
            code=row["configuration"],
            family=row["family"],
            rating_a=int(row["rating_a"]),
            volts=row["volts"],
            phases=int(row["phases"]),
            poles=int(row["poles"]),
            wires=int(row["wires"]),
            neutral=row["neutral"] == "yes",
            ground=row["ground"] == "yes",
            new_work=row["new_work"] == "yes",
            source=tables.cite(NEMA),
            confirmation=row["confirmation"],
        )


def _iec() -> Iterable[Configuration]:
    for row in tables.table(IEC):
        rating_a, poles = int(row["rating_a"]), int(row["poles"])
        yield Configuration(
            code=iec_code(rating_a, row["volts"], poles, int(row["earth_hour"])),
            family=PIN_AND_SLEEVE,
            rating_a=rating_a,
            volts=row["volts"],
            phases=int(row["phases"]),
            poles=poles,
            wires=int(row["wires"]),
            neutral=row["neutral"] == "yes",
            ground=True,
            new_work=True,
            source=tables.cite(IEC),
            confirmation=row["confirmation"],
        )


@cache
def seldom_stocked() -> frozenset[str]:
    """Codes that exist but are seldom on the shelf; common practice, no source."""
    return frozenset(row["configuration"] for row in tables.table(SELDOM_STOCKED) if row["usual"] == "no")


@cache
def find_configuration(code: str) -> Configuration:
    """The configuration of a code, `NEMA 6-20` or as `iec_code` writes it. Raises LookupError."""
    found = next((known for known in configurations() if known.code == code), None)
    if found is None:
        raise LookupError(
            f'{tables.cite(NEMA)} and {tables.cite(IEC)} have no configuration "{code}"; '
            f'they are written like "NEMA 6-20" and "{iec_code(30, "250", 3, 9)}"'
        )
    return found


@cache
def known(code: str | None) -> Configuration | None:
    """The configuration of a code, None for one that the tables do not have."""
    return next((device for device in configurations() if device.code == code), None)


def has_ground(code: str | None) -> bool:
    """Whether a receptacle or plug has a ground contact; True for one that the tables do not know, and for none."""
    device = known(code)
    return device is None or device.ground


_WIDER = {"NEMA 5-15": "NEMA 5-20", "NEMA 6-15": "NEMA 6-20"}
"""Receptacles of 20 A that take the straight 15 A plug too, by that plug (ANSI/NEMA WD 6, the T slot, from memory)."""


def made_in_twos(code: str) -> bool:
    """Whether a receptacle is mostly a duplex: straight ones of 125 V, 15 A and 20 A; common practice, no source."""
    device = known(code)
    return (
        device is not None
        and (device.family, device.volts) == ("straight", "125")
        and device.rating_a <= LARGEST_DUPLEX_A
    )


def taking(plug: str) -> tuple[Configuration, ...]:
    """Receptacles that take a plug, from small to large: its own, and the 20 A one for a straight 15 A plug.

    Raises LookupError for an unknown plug. Source: ANSI/NEMA WD 6 (the T slot of 5-20 and 6-20), from memory.
    """
    own = find_configuration(plug)
    wider = _WIDER.get(plug)
    return (own,) if wider is None else (own, find_configuration(wider))


def smaller_plug(receptacle: str) -> Configuration | None:
    """The smaller plug that a receptacle takes besides its own, None where it takes no other. Source as of `taking`."""
    return next((find_configuration(plug) for plug, wider in _WIDER.items() if wider == receptacle), None)


def label_volts(volts: int, phases: int, neutral: bool) -> str | None:
    """The volts a receptacle's label shows for a system of 120, 208, 240 or 480 V, None when none is made.

    208 V single-phase uses the 250 V devices, with a neutral the 125/250 V ones; common practice, no source.
    """
    labels = {
        (120, 1, False): "125",
        (120, 1, True): "125",
        (208, 1, False): "250",
        (208, 1, True): "125/250",
        (240, 1, False): "250",
        (240, 1, True): "125/250",
        (480, 1, False): "480",
        (208, 3, False): "250",
        (208, 3, True): "120/208",
        (240, 3, False): "250",
        (480, 3, False): "480",
        (480, 3, True): "277/480",
    }
    return labels.get((volts, phases, neutral))


def fits(plug: str, volts: int, phases: int, *, neutral: bool) -> bool:
    """Whether a plug is one for a system; False for one that the tables do not know.

    A machine may leave the neutral of its plug unused: 14-50, of 125/250 V, has 240 V between its lines, and L21-30, of
    120/208 V, has 208 V. The third contact of one without ground, such as 10-30, was used as a neutral or bonded to the
    frame (NFPA 70 250.140), so it may be either.
    """
    own = known(plug)
    if own is None:
        return False
    neutrals = {neutral, True} if own.neutral and volts > ONE_LINE_V else {neutral}
    return any(own.system == (label_volts(volts, phases, each), phases) for each in neutrals)


def brings_neutral(code: str | None, volts: int) -> bool:
    """Whether a device has a neutral beside its lines and its ground, so that one is pulled to it, used or not."""
    device = known(code)
    return device is not None and device.neutral and device.ground and volts > ONE_LINE_V


def fitting_configurations(family: str, volts: int, phases: int, neutral: bool) -> tuple[Configuration, ...]:
    """Configurations of a family for new work that fit a system, from small to large; may be empty."""
    label = label_volts(volts, phases, neutral)
    fitting = (
        known
        for known in configurations()
        if known.family == family and known.new_work and (known.volts, known.phases) == (label, phases)
    )
    return tuple(sorted(fitting, key=lambda known: known.rating_a))


def smallest_configuration(
    family: str, volts: int, phases: int, neutral: bool, rating_a: int
) -> Configuration:
    """The smallest configuration of a family that fits the system and carries `rating_a` amperes.

    Configurations seldom stocked are passed over for the next larger.
    Raises LookupError saying which sizes the family has for those volts.
    """
    fitting = [
        known
        for known in fitting_configurations(family, volts, phases, neutral)
        if known.code not in seldom_stocked()
    ]
    for known in fitting:
        if known.rating_a >= rating_a:
            return known
    asked = f"{volts} V, {phases}-phase, {'with' if neutral else 'without'} neutral"
    if not fitting:
        raise LookupError(f"the {family} family has no grounding receptacle for {asked}")
    sizes = ", ".join(f"{known.code} ({known.rating_a} A)" for known in fitting)
    raise LookupError(f"the {family} family has no {rating_a} A receptacle for {asked}; it has {sizes}")


def may_be_behind(rating_a: int, breaker_a: Decimal | int) -> bool:
    """Whether a receptacle of `rating_a` amperes may be on a circuit with a breaker of `breaker_a`.

    Alone on its circuit it has at least the circuit's amperes; a pair of 15 A may also be on 20 A.
    Source: NFPA 70 210.21(B)(1), Table 210.21(B)(3).
    """
    rows = [(Decimal(row["circuit_a"]), int(row["receptacle_a"])) for row in tables.table(CIRCUITS)]
    return rating_a >= breaker_a or (Decimal(breaker_a), rating_a) in rows


def one_of_two_carries_a(rating_a: int, breaker_a: Decimal | int) -> int | None:
    """What a machine with cord and plug may draw at most from a receptacle that is one of two or more, in amperes.

    None where the table has no row, as for circuits of 40 A and more. Source: NFPA 70 Table 210.21(B)(2).
    """
    rows = {
        (Decimal(row["circuit_a"]), int(row["receptacle_a"])): int(row["load_a"])
        for row in tables.table(PLUGGED_LOADS)
    }
    return rows.get((Decimal(breaker_a), rating_a))


def carries(rating_a: int, breaker_a: Decimal | int, load_a: Decimal) -> bool:
    """Whether a receptacle may be behind a breaker with a machine of so many amperes plugged into it.

    One of fewer amperes than its circuit is always one of two or more. Source: NFPA 70 210.21(B)(1), (B)(2), (B)(3).
    """
    if rating_a >= breaker_a:
        return True
    most_a = one_of_two_carries_a(rating_a, breaker_a)
    return may_be_behind(rating_a, breaker_a) and (most_a is None or load_a <= most_a)


def largest_terminal_awg(rating_a: int) -> str:
    """Thickest AWG that the terminals of a device of this ampere rating usually take.

    A rating between two rows takes the next row up. Raises LookupError above the table.
    Common practice, no source: the device's own marking decides.
    """
    for row in tables.table(TERMINALS):
        if rating_a <= int(row["rating_a"]):
            return row["awg_at_most"]
    raise tables.missing_row(TERMINALS, f"{rating_a} A", ("rating_a",))


@cache
def usual_mark_hp(code: str | None) -> Decimal | None:
    """The largest motor, in hp, that plugs, connectors and receptacles of a configuration are usually marked for.

    None where it is not known, as of pin-and-sleeve devices, whose makers differ. Source: UL 498, from memory; the mark on the
    device decides.
    """
    row = next((row for row in tables.table(MARKS) if row["configuration"] == code), None)
    if row is None:
        return None
    power = motors.horsepower(row["hp"])
    return Decimal(power.numerator) / power.denominator


@cache
def next_larger(code: str) -> Configuration | None:
    """The next larger configuration of the family for the same volts and phases that is usually stocked, if any."""
    own = find_configuration(code)
    larger = [
        device
        for device in configurations()
        if (device.family, device.system, device.poles, device.neutral)
        == (own.family, own.system, own.poles, own.neutral)
        and device.rating_a > own.rating_a
        and device.new_work
        and device.code not in seldom_stocked()
    ]
    return min(larger, key=lambda device: device.rating_a, default=None)
