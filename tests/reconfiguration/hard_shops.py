"""Shops laid out anew that were got wrong once: the smallest of each kind, with the totals worked by hand.

Each checks the rule that its reason names; the rules are common practice, without a source.
"""

from dataclasses import dataclass

from drawn_anew import Drawn, Row, machine, outlet, present, with_hanging
from totals_anew import WIDE

from costplan.model.catalog import Catalog

SAW = machine("saw", "saw", "A")
DROP_AT_B = present("wall drop", "B", "NEMA 6-20")


@dataclass(frozen=True, slots=True)
class HardShop:
    """A shop: what is hard about it, and what is right in cents (None: there is no plan)."""

    drawn: Drawn
    right: int | None
    reason: str
    spare: bool = False
    make_safe: bool = True
    hanging: bool = False
    """Whether hanging a cord from its kit is work, 100.00, in the catalog."""

    def row(self) -> Row:
        """The shop file."""
        row = self.drawn.row(spare=self.spare)
        return row if self.make_safe else row | {"building": row["building"] | {"make_safe": False}}

    @property
    def catalog(self) -> Catalog:
        """The catalog it is priced from."""
        return with_hanging(WIDE) if self.hanging else WIDE


POLES = "an outlet of now: that stays live unused keeps its poles"
KEEPS = "a machine that may keep its own drop may take an idle one that is installed:"
OWN_KIT = "a machine that takes another outlet beside the panel does not hang its own kit again"
ALIKE = "of two drops alike one is taken over, and the breaker of the other, made safe, serves elsewhere"

HARD_SHOPS = {
    # a new drop at A takes two poles, and the spare at B keeps the two that there are
    "a spare keeps its poles": HardShop(Drawn((SAW,), (DROP_AT_B,), spaces_free=0), None, POLES, spare=True),
    "what is not made safe keeps its poles": HardShop(
        Drawn((SAW,), (DROP_AT_B,), spaces_free=0), None, POLES, make_safe=False
    ),
    # onto the idle drop for nothing, its own made safe 105; changing its own 110 + 120
    "an idle drop serves one that has a drop of another kind there": HardShop(
        Drawn((SAW,), (present("wall drop", "A", "NEMA 5-20"),), (outlet("wall drop", "A", "NEMA 6-20"),)),
        10500,
        KEEPS,
    ),
    # its own drop made safe 105 gives up the pole that the other one, changed 110 + 120, needs
    "an idle drop is changed where its own pole is needed": HardShop(
        Drawn(
            (SAW,),
            (present("wall drop", "A", "NEMA 5-20"),),
            (outlet("wall drop", "A", "NEMA 5-20"),),
            spaces_free=0,
        ),
        33500,
        KEEPS,
    ),
    # planer onto one drop at B, the other safe 105; drill a new one 345 + 10; saw a new one 345 with the freed breaker
    "the breaker of one of two drops alike goes to a new one": HardShop(
        Drawn(
            (machine("planer", "saw", "B"), SAW, machine("drill", "drill", "A")),
            (None, DROP_AT_B, DROP_AT_B),
        ),
        80500,
        ALIKE,
    ),
    # the saw onto the idle outlet, its own safe 105; its cable and kit hang as they hung, plug 10, connector 20
    "a kit of its own hangs already, whatever outlet its machine takes": HardShop(
        Drawn(
            (SAW, machine("planer", "saw", "B")),
            (present("cord", "A", "NEMA 5-20", 30), DROP_AT_B),
            (outlet("cord", "A", "NEMA 6-20"),),
        ),
        13500,
        OWN_KIT,
        hanging=True,
    ),
}
