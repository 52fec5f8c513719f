"""What the plate of a phase converter says, where it says it, and what follows where it does not."""

from decimal import Decimal

from costplan.model.brought import rating_of
from costplan.model.catalog import Part
from costplan.standards import converters, overcurrent
from costplan.standards.motors import hp_words

KIND = "phase converter"
MAY_STATE = ("breaker_at_least_a", "breaker_at_most_a", "power_share", "smallest_motor_hp")
"""What a converter's plate or sheet may say besides what every one must."""


def power_share(part: Part) -> Decimal:
    """Share of its motor's power that a machine has behind it: as stated, else by the converter's type."""
    stated = rating_of(part, "power_share")
    return stated if stated is not None else converters.power_share(str(part.attributes.get("type", "")))


def motors_at_once(part: Part) -> int | None:
    """How many motors it runs at once, None where its amperes alone say so."""
    return converters.motors_at_once(str(part.attributes.get("type", "")))


def refuses(part: Part, hp: Decimal | None, needed: Decimal, *, motor: bool) -> str | None:
    """Why a converter does not run a machine that needs a share of its power, None when it does."""
    most_hp, least_hp = rating_of(part, "largest_motor_hp"), rating_of(part, "smallest_motor_hp")
    if motor and hp is not None and most_hp is not None and hp > most_hp:
        return f"starts motors up to {hp_words(most_hp)} hp, and this one has {hp_words(hp)}"
    if motor and hp is not None and least_hp is not None and hp < least_hp:
        return f"is for motors from {hp_words(least_hp)} hp, and this one has {hp_words(hp)}"
    share = power_share(part)
    if share < needed:
        gives = f"gives {_percent(share)} of a motor's power"
        if motor and hp is not None:
            gives += f", {hp_words(share * hp)} hp of {hp_words(hp)}"
        needs = (
            "all of it"
            if needed == 1
            else f"{_percent(needed)} ({hp_words(needed * hp)} hp)"
            if hp
            else _percent(needed)
        )
        return f"{gives}, and this machine needs {needs} (power_needed says where it gets by with less)"
    if not motor and motors_at_once(part) is not None:
        return "only starts motors, and this machine is none"
    return None


def breaker_bounds_a(part: Part, edition: int | None) -> tuple[int, int]:
    """The smallest and the largest standard breaker that may feed it, in amperes.

    Not below its input current and what its plate asks for; not above 125 % of that current, or the next standard size
    up where that is none (NFPA 70 455.7), nor above what its plate allows; a plate's own minimum rules (110.3(B)).
    Raises LookupError beyond the list of sizes.
    """
    input_a = rating_of(part, "input_a") or Decimal(0)
    asked_a, allowed_a = rating_of(part, "breaker_at_least_a"), rating_of(part, "breaker_at_most_a")
    most_a = converters.supply_breaker_a(input_a, edition)
    if allowed_a is not None:
        most_a = min(most_a, overcurrent.largest_standard_size_a(allowed_a, edition))
    if asked_a is not None:
        most_a = max(most_a, overcurrent.next_standard_size_a(asked_a, edition))
    least_a = overcurrent.next_standard_size_a(max(input_a, asked_a or Decimal(0)), edition)
    return least_a, most_a


def usual_breaker_a(part: Part, edition: int | None) -> int:
    """The breaker that is bought for it: the largest that may feed it. Raises LookupError."""
    return breaker_bounds_a(part, edition)[1]


def _percent(share: Decimal) -> str:
    return f"{(share * 100).quantize(Decimal(1)):f} %"
