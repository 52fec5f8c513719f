"""Ratings that parts must be marked with for the place they take: volts, wires, and the horsepower they may switch."""

from decimal import Decimal

from costplan.model.system import FEEDS
from costplan.standards.motors import hp_words

FUSED_DISCONNECT, FUSE = "fused disconnect", "fuse"
"""A switch with clips for one fuse a line, and the fuses."""
SWITCHGEAR = frozenset(
    {"breaker", "tandem breaker", "disconnect", FUSED_DISCONNECT, FUSE, "panel", "service equipment"}
)
"""Kinds that carry power at line volts and are marked with volts; ends and cords have theirs in what they are."""
ASKED_OF: dict[str, str] = dict.fromkeys(sorted(SWITCHGEAR), "volts") | dict.fromkeys(
    ("building cable", "armored cable"), "ground_awg"
)

"""The attribute that circuits always ask of a kind's parts, so that no part can serve that does not state it."""
WHY_ASKED = {
    "volts": "the volts between lines that it is rated for",
    "ground_awg": "the size of its ground wire",
}
"""What such an attribute is, in words."""

_MARKS: dict[str, tuple[int, int]] = {
    f"hp_{volts}_v_{phases}_phase": (volts, phases)
    for volts, phases in sorted({(volts, phases) for fed in FEEDS.values() for volts, phases, _ in fed})
}
HORSEPOWER_MARKS = frozenset(_MARKS)
"""What a switch, plug, connector or receptacle may state: the largest motor it is marked for, in hp, by volts and phases."""


def horsepower_mark(volts: int, phases: int) -> str:
    """The attribute that states the largest motor at these volts and phases: `hp_480_v_3_phase`."""
    return f"hp_{volts}_v_{phases}_phase"


def mark_words(mark: str, hp: Decimal) -> str:
    """A horsepower mark in words: `5 hp at 480 V, 3-phase`."""
    volts, phases = _MARKS[mark]
    return f"{hp_words(hp)} hp at {volts} V, {phases}-phase"


GROUND_FAULT = "ground_fault"
"""What a receptacle may state, as a breaker must: whether it protects people as well."""
TAMPER_RESISTANT = "tamper_resistant"
"""What a receptacle may state: whether it is listed as tamper-resistant."""
WEATHER_RESISTANT, WEATHERPROOF = "weather_resistant", "weatherproof"
"""What a receptacle may state, and a box or cover: whether it is listed for damp and wet places."""
LISTED_FOR_PLACE = (TAMPER_RESISTANT, WEATHER_RESISTANT)
"""What a receptacle is listed for by the place that it is put in; one that is there already need not be."""
FOR_DAMP = {"receptacle": WEATHER_RESISTANT, "outlet box": WEATHERPROOF, "device cover": WEATHERPROOF}
"""What parts of an outlet state that is made in a damp place, by kind (NFPA 70 406.9(A), 314.15, from memory)."""
JACKET_IN = "jacket_in"
"""What a cord may state: the outside diameter of its jacket, in inches."""
GRIP_FROM_IN, GRIP_TO_IN = "jacket_from_in", "jacket_to_in"
"""What a cord grip may state, and the clamp of a plug, a connector or a kit: the jackets that it holds, in inches."""
CORD_GRIP = "cord grip"
"""The kind of part that holds a cord where it goes into a machine: its strain relief."""
FILLER_PLATE = "filler plate"
"""The kind of part that closes an unused opening in a panel (NFPA 70 408.7, from memory)."""
MAY_STATE: dict[str, tuple[str, ...]] = {
    "disconnect": tuple(sorted(HORSEPOWER_MARKS)),
    FUSED_DISCONNECT: tuple(sorted(HORSEPOWER_MARKS)),
    "receptacle": (GROUND_FAULT, TAMPER_RESISTANT, WEATHER_RESISTANT, *sorted(HORSEPOWER_MARKS)),
    "outlet box": (WEATHERPROOF,),
    "device cover": (WEATHERPROOF,),
    "plug": (GRIP_FROM_IN, GRIP_TO_IN, *sorted(HORSEPOWER_MARKS)),
    "connector": (GRIP_FROM_IN, GRIP_TO_IN, *sorted(HORSEPOWER_MARKS)),
    "cord": (JACKET_IN,),
    CORD_GRIP: (GRIP_FROM_IN, GRIP_TO_IN),
    "overhead kit": (GRIP_FROM_IN, GRIP_TO_IN),
    "drop grip": (GRIP_FROM_IN, GRIP_TO_IN),
}
"""Attributes that parts of a kind may leave out, and that count where they are stated."""
CLAMPING = frozenset(kind for kind, may in MAY_STATE.items() if GRIP_TO_IN in may and kind != CORD_GRIP)
"""Kinds of parts with a clamp of their own, which may state the jackets that it holds."""
INCHES = frozenset({JACKET_IN, GRIP_FROM_IN, GRIP_TO_IN})
