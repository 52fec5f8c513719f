"""Breaker sizes, small-conductor limits and motor short-circuit limits (NFPA 70 240.6, 240.4(D), 430.52)."""

from decimal import Decimal
from functools import cache

from costplan.standards import tables

STANDARD_SIZES = "nfpa70_240_6_a"
USUAL_SIZES = "common_practice_breaker_sizes"
FUSE_SIZES = "nfpa70_240_6_a_fuses"
SWITCH_SIZES = "common_practice_switch_sizes"
SMALL_CONDUCTORS = "nfpa70_240_4_d"
MOTOR_LIMITS = "nfpa70_table_430_52"
LUGS = "common_practice_breaker_terminals"


@cache
def standard_sizes_a(edition: int | None = None) -> tuple[int, ...]:
    """Standard breaker sizes in amperes up to 400 A in a code edition.

    None leaves out sizes that only newer editions list (10 A, since 2023). Source: NFPA 70 240.6(A).
    """
    return tuple(
        int(row["rating_a"])
        for row in tables.table(STANDARD_SIZES)
        if not row["first_edition"] or (edition is not None and edition >= int(row["first_edition"]))
    )


def next_standard_size_a(current_a: Decimal | int, edition: int | None = None) -> int:
    """The smallest standard size not below a current, in amperes. Raises LookupError above the list."""
    found = next((size for size in standard_sizes_a(edition) if size >= current_a), None)
    if found is None:
        raise tables.missing_row(STANDARD_SIZES, f"{Decimal(current_a):f} A", ("rating_a",))
    return found


def largest_standard_size_a(current_a: Decimal | int, edition: int | None = None) -> int:
    """The largest standard size not above a current, in amperes. Raises LookupError below the list."""
    found = [size for size in standard_sizes_a(edition) if size <= current_a]
    if not found:
        raise tables.missing_row(STANDARD_SIZES, f"{Decimal(current_a):f} A or less", ("rating_a",))
    return found[-1]


def fuse_sizes_a() -> tuple[int, ...]:
    """Standard fuse sizes in amperes up to 400 A: those of breakers, and some that are standard for fuses only.

    Source: NFPA 70 240.6(A).
    """
    only = {int(row["rating_a"]) for row in tables.table(FUSE_SIZES)}
    return tuple(sorted(only.union(standard_sizes_a())))


def next_fuse_size_a(current_a: Decimal | int) -> int:
    """The smallest standard fuse not below a current, in amperes. Raises LookupError above the list."""
    found = next((size for size in fuse_sizes_a() if size >= current_a), None)
    if found is None:
        raise tables.missing_row(STANDARD_SIZES, f"a fuse of {Decimal(current_a):f} A", ("rating_a",))
    return found


def largest_fuse_size_a(current_a: Decimal | int) -> int:
    """The largest standard fuse not above a current, in amperes. Raises LookupError below the list."""
    found = [size for size in fuse_sizes_a() if size <= current_a]
    if not found:
        raise tables.missing_row(FUSE_SIZES, f"a fuse of {Decimal(current_a):f} A or less", ("rating_a",))
    return found[-1]


def usual_sizes_a() -> tuple[int, ...]:
    """Branch breaker sizes that shops and supply houses usually stock; common practice, no source."""
    return tuple(int(row["rating_a"]) for row in tables.table(USUAL_SIZES) if row["usual"] == "yes")


def next_usual_size_a(current_a: Decimal | int) -> int:
    """The smallest usual size not below a current, in amperes. Raises LookupError above the list."""
    found = next((size for size in usual_sizes_a() if size >= current_a), None)
    if found is None:
        raise LookupError(
            f"{tables.cite(USUAL_SIZES)} has no size for {Decimal(current_a):f} A; "
            f"it ends at {usual_sizes_a()[-1]} A"
        )
    return found


def fused_switch_a(fuse_a: Decimal | int) -> int:
    """The fused switch whose clips take a fuse, both in amperes. Raises LookupError above the list.

    Common practice, no source.
    """
    found = next((row for row in tables.table(SWITCH_SIZES) if int(row["rating_a"]) >= fuse_a), None)
    if found is None:
        raise tables.missing_row(SWITCH_SIZES, f"a fuse of {Decimal(fuse_a):f} A", ("rating_a",))
    return int(found["rating_a"])


def small_conductor_limit_a(awg: str) -> int | None:
    """Largest breaker a small copper conductor may have, in amperes; None for sizes the rule does not limit.

    Source: NFPA 70 240.4(D). It does not cover flexible cord.
    """
    for row in tables.table(SMALL_CONDUCTORS):
        if row["awg"] == awg:
            return int(row["breaker_at_most_a"])
    return None


def largest_breaker_a(awg: str, ampacity_a: Decimal | int) -> int:
    """The largest breaker that protects a copper wire of an ampacity, in amperes.

    The next standard size up, but not above the limit of small conductors. Raises LookupError.
    Source: NFPA 70 240.4(B) and (D); they do not cover flexible cord.
    """
    next_a = next_standard_size_a(ampacity_a)
    small_a = small_conductor_limit_a(awg)
    return next_a if small_a is None else min(next_a, small_a)


def largest_lug_awg(breaker_a: int) -> str:
    """Thickest AWG that the lug of a breaker usually takes; one between two rows takes the next row up.

    Raises LookupError above the table. Common practice, no source, from memory: the breaker's own lug range decides.
    """
    for row in tables.table(LUGS):
        if breaker_a <= int(row["rating_a"]):
            return row["awg_at_most"]
    raise tables.missing_row(LUGS, f"{breaker_a} A", ("rating_a",))


def motor_protection_percent(device: str, motor: str) -> int:
    """Largest short-circuit device in percent of a motor's full-load current. Raises LookupError.

    `device` is inverse-time breaker, time-delay fuse or nontime-delay fuse. Source: NFPA 70 Table 430.52.
    """
    return int(tables.look_up(MOTOR_LIMITS, {"device": device, "motor": motor}, "percent"))
