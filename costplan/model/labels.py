"""The words on screens and papers for what a shop file chooses among: one table each, keyed on the enum.

The keys, which files and JSON have, are the members' values; nothing but printing reads a label.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from costplan.model.choices import Family, Method, Powering, Service


@dataclass(frozen=True, slots=True)
class WayWords:
    """Words for the kinds of ways: by method, and what a run ends in."""

    methods: Mapping[Method, str]
    hard_wired: str
    longer_cord: str
    wired_in: str

    def all_runs(self) -> Iterator[tuple[str, Method]]:
        """Every run in these words, alone and with each ending that it can have, with its method."""
        for method, words in self.methods.items():
            yield words, method
            if method is not Method.CORD and method is not Method.CEILING:
                yield f"{words}, {self.hard_wired}", method
                yield f"{words}, {self.longer_cord}", method


_PLAIN = {method: str(method) for method in Method}
KEYS = WayWords(_PLAIN, "hard-wired", "longer machine cord", "wired into the machine")
"""As files and JSON have them."""
LABELS = WayWords(
    {**_PLAIN, Method.ARMORED: "drop in armored cable"},
    "hard-wired (no plug)",
    "longer machine cord",
    "wired into the machine",
)
"""As they are printed."""
SHORT = WayWords(
    {**_PLAIN, Method.ARMORED: "armored cable"}, "hard-wired", "longer machine cord", "wired into the machine"
)
"""As narrow columns have them."""
ENDS: Mapping[Family, str] = {
    Family.STRAIGHT: "straight-blade plugs",
    Family.LOCKING: "locking plugs",
    Family.PIN_AND_SLEEVE: "pin-and-sleeve plugs",
}
"""What a run ends in: straight-blade plugs are pushed in, locking ones are turned as well."""
JACKETS: Mapping[Service, str] = {
    Service.JUNIOR_HARD: "medium-duty cord jacket",
    Service.HARD: "heavy-duty cord jacket",
}
"""How much a cord's jacket takes: what NFPA 70 Table 400.4 calls junior hard service (SJOOW) and hard service (SOOW)."""
NO_SPARE_LENGTH = "cut without spare length"
SHARED = "shared equipment"
"""Subpanels, converters and other gear that serves several machines."""
ROWS: Mapping[str, str] = {
    Powering.FIXED_DROPS: "fixed drops: wired to each spot",
    Powering.CORDS: "cords from beside the panel",
    Powering.BEST_MIX: "best mix: each its cheapest way",
    Powering.AS_IT_IS: "as it is: what is there stays",
}
"""What the rows of the matrix mean, said where they stand."""
STAYS_FOR_SOME = "what is there stays; {none}"
"""What the row of what is there means where so many machines have nothing that could stay: `1 has none`, `7 have none`."""


def spare_length(slack_ft: object) -> str:
    """The spare length of a cord, or that it has none."""
    return f"{slack_ft:f} ft spare length" if slack_ft else NO_SPARE_LENGTH
