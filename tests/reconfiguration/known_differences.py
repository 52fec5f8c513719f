"""Where the product is known to be wrong about a shop laid out anew: the smallest shops, with the totals worked by hand.

Each checks the rule that its reason names; the rules are common practice, without a source. The tests of these shops are
marked strict xfail, so that they say when the product is mended; then the shop becomes an example that must agree, and
what `may_show` says of it goes, so that drawn shops are compared in that respect too.
"""

from dataclasses import dataclass
from itertools import combinations

from drawn_anew import Drawn, Row, machine, outlet, present, with_hanging
from totals_anew import WIDE

from costplan.model.catalog import Catalog

SAW = machine("saw", "saw", "A")
DROP_AT_B = present("wall drop", "B", "NEMA 6-20")


@dataclass(frozen=True, slots=True)
class Difference:
    """A shop that the product gets wrong: why, and what is right in cents (None: there is no plan)."""

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


POLES = "an outlet of now: that stays live unused gives its poles up"
KEEPS = "a machine that may keep its own drop takes no idle one that is installed:, unless others could take its own"
OWN_KIT = "a machine that takes another outlet beside the panel pays the work of hanging its own kit again"
ALIKE = (
    "of two drops alike, where one is taken over, the walk has not the breaker of the one that is made safe"
)

DIFFERENCES = {
    # a new drop at A takes two poles, and the spare at B keeps the two that there are
    "a spare keeps its poles": Difference(
        Drawn((SAW,), (DROP_AT_B,), spaces_free=0), None, POLES, spare=True
    ),
    "what is not made safe keeps its poles": Difference(
        Drawn((SAW,), (DROP_AT_B,), spaces_free=0), None, POLES, make_safe=False
    ),
    # onto the idle drop for nothing, its own made safe 105; changing its own 110 + 120
    "an idle drop serves one that has a drop of another kind there": Difference(
        Drawn((SAW,), (present("wall drop", "A", "NEMA 5-20"),), (outlet("wall drop", "A", "NEMA 6-20"),)),
        10500,
        KEEPS,
    ),
    # its own drop made safe 105 gives up the pole that the other one, changed 110 + 120, needs
    "an idle drop is changed where its own pole is needed": Difference(
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
    "the breaker of one of two drops alike goes to a new one": Difference(
        Drawn(
            (machine("planer", "saw", "B"), SAW, machine("drill", "drill", "A")),
            (None, DROP_AT_B, DROP_AT_B),
        ),
        80500,
        ALIKE,
    ),
    # the saw onto the idle outlet, its own safe 105; its cable and kit hang as they hung, plug 10, connector 20
    "a kit of its own hangs already, whatever outlet its machine takes": Difference(
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


def may_show(drawn: Drawn) -> bool:
    """Whether one of the differences may show in a drawn shop, room in the panel aside."""
    return _keeps(drawn) or _two_alike(drawn)


def _keeps(drawn: Drawn) -> bool:
    """Whether an idle drop is where a machine with a drop stands whose own is at no other machine's place."""
    for number, (standing, now) in enumerate(zip(drawn.machines, drawn.now, strict=True)):
        if now is None or now["method"] != "wall drop":
            continue
        others = [k for k in range(len(drawn.machines)) if k != number]
        theirs = {drawn.machines[k]["at"] for k in others}
        theirs |= {other["place"] for k in others if (other := drawn.now[k]) is not None}
        idle = any(
            (spot["method"], spot["place"]) == ("wall drop", standing["at"]) for spot in drawn.installed
        )
        if idle and now["place"] not in theirs:
            return True
    return False


def _two_alike(drawn: Drawn) -> bool:
    """Whether of three machines two have drops alike at one place, so that the third may take one of them."""
    drops = [now for now in drawn.now if now is not None and now["method"] == "wall drop"]
    alike = any(
        all(one[name] == other[name] for name in ("place", "configuration", "awg"))
        for one, other in combinations(drops, 2)
    )
    return alike and len(drawn.machines) > 2
