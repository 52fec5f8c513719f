"""Wire sizes, ampacities, resistances, grounding conductors and ambient correction (NFPA 70)."""

import re
from decimal import Decimal
from functools import cache
from math import log

from costplan.standards import tables

BUILDING_WIRE = "nfpa70_table_310_16"
NONMETALLIC_CABLE = "nfpa70_334_80"
AMBIENT = "nfpa70_table_310_15_b_1"
BUNDLED = "nfpa70_table_310_15_c_1"
RESISTANCE = "nfpa70_chapter_9_table_8"
GROUNDING = "nfpa70_table_250_122"
TERMINALS = "nfpa70_110_14_c"

_AWG = re.compile(r"([1-9][0-9]?)(/0)?")
_ONE_AUGHT = 40


@cache
def awg_rank(awg: str) -> int:
    """A number that orders wire sizes by thickness: `14` < `10` < `1` < `1/0` < `4/0`.

    Raises ValueError for text that is no AWG size.
    """
    match = _AWG.fullmatch(awg)
    if match is None or (match[2] and int(match[1]) > 4) or int(match[1]) >= _ONE_AUGHT:
        raise ValueError(f'is "{awg}", not a wire size; write AWG as 14, 10, 1 or 1/0 to 4/0')
    number = int(match[1])
    return _ONE_AUGHT + number - 1 if match[2] else _ONE_AUGHT - number


def awg_of_rank(rank: int) -> str:
    """The wire size of a rank, `10` or `1/0`."""
    return str(_ONE_AUGHT - rank) if rank < _ONE_AUGHT else f"{rank - _ONE_AUGHT + 1}/0"


def is_awg(text: str) -> bool:
    """Whether a text is a wire size as it is written here."""
    try:
        awg_rank(text)
    except ValueError:
        return False
    return True


def thicker(awg: str, other: str) -> str:
    """The thicker of two sizes."""
    return max(awg, other, key=awg_rank)


def thinner(awg: str, other: str) -> str:
    """The thinner of two sizes."""
    return min(awg, other, key=awg_rank)


def building_wire_sizes() -> tuple[str, ...]:
    """AWG sizes of copper in Table 310.16, thin to thick."""
    return tuple(row["awg"] for row in tables.table(BUILDING_WIRE))


def nonmetallic_cable_sizes() -> tuple[str, ...]:
    """AWG sizes that copper nonmetallic-sheathed cable is made in (334.104), thin to thick."""
    return tuple(row["awg"] for row in tables.table(NONMETALLIC_CABLE))


def building_wire_ampacity_a(awg: str, temperature_c: int) -> int:
    """Ampacity of copper building wire in amperes at 30 C ambient, by the 60, 75 or 90 C column.

    Raises LookupError. Source: NFPA 70 Table 310.16.
    """
    return int(tables.look_up(BUILDING_WIRE, {"awg": awg}, f"ampacity_{temperature_c}c_a"))


def ambient_factor(ambient_c: Decimal, temperature_c: int) -> Decimal:
    """Factor on an ampacity for the air around the wire, by the wire's 60, 75 or 90 C rating.

    Air between two rows takes the warmer. Raises LookupError when the wire may not be used in air that warm.
    Source: NFPA 70 Table 310.15(B)(1), 30 C base.
    """
    for row in tables.table(AMBIENT):
        if ambient_c <= Decimal(row["ambient_at_most_c"]):
            return Decimal(tables.cell(AMBIENT, row, f"factor_{temperature_c}c", f"{ambient_c:f} C"))
    raise tables.missing_row(AMBIENT, f"{ambient_c:f} C", ("ambient_at_most_c",))


def bundled_factors() -> tuple[tuple[int | None, Decimal], ...]:
    """Factors on an ampacity where wires lie together for more than 24 in., by how many of them carry current at most.

    None stands for any number above the rows. Source: NFPA 70 Table 310.15(C)(1), from memory.
    """
    return tuple(
        (int(row["carrying_at_most"]) if row["carrying_at_most"] else None, Decimal(row["factor"]))
        for row in tables.table(BUNDLED)
    )


def terminal_column_c(rule: str = "up to 100 A") -> int:
    """Temperature column that terminals or a cable allow, in degrees C. Raises LookupError.

    Source: NFPA 70 110.14(C) and 334.80; the rules are the first column of the table.
    """
    return int(tables.look_up(TERMINALS, {"rule": rule}, "column_c"))


def resistance_ohm_per_kft(awg: str) -> Decimal:
    """Direct-current resistance of uncoated stranded copper at 75 C in ohms per 1000 ft.

    Raises LookupError. Source: NFPA 70 Chapter 9 Table 8.
    """
    return Decimal(tables.look_up(RESISTANCE, {"awg": awg}, "copper_uncoated_ohm_per_kft"))


def area_cmil(awg: str) -> int:
    """Cross-section in circular mils. Raises LookupError. Source: NFPA 70 Chapter 9 Table 8."""
    return int(tables.look_up(RESISTANCE, {"awg": awg}, "area_cmil"))


def nearest_awg(section_mm2: Decimal) -> str:
    """The wire size nearest in section to so many square millimeters.

    A circular mil is 0.000507 mm2: the area of a circle of a thousandth of an inch.
    """
    wanted = float(section_mm2) / 0.000506707
    return min(building_wire_sizes(), key=lambda awg: abs(log(area_cmil(awg) / wanted)))


def grounding_conductor_awg(breaker_a: int) -> str:
    """Smallest copper equipment grounding conductor for a breaker: the first row not below it.

    Raises LookupError above the table. Source: NFPA 70 Table 250.122.
    """
    for row in tables.table(GROUNDING):
        if breaker_a <= int(row["breaker_at_most_a"]):
            return tables.cell(GROUNDING, row, "copper_awg", f"{breaker_a} A")
    raise tables.missing_row(GROUNDING, f"{breaker_a} A", ("breaker_at_most_a",))


def least_ground_awg(breaker_a: int, awg: str) -> str:
    """The thinnest ground behind a breaker, never thicker than the circuit's wires of `awg`. Raises LookupError.

    Source: NFPA 70 Table 250.122, 250.122(A).
    """
    return thinner(grounding_conductor_awg(breaker_a), awg)
