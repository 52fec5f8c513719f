"""Outlets, plugs and cords as things that lie in the shop: what tells one from another, and which serves for which."""

from decimal import Decimal

from costplan.circuits.clamps import holding
from costplan.circuits.grounds import GROUNDED, same_ground
from costplan.circuits.needs import Attribute, Bundle, Item, Need, Spec, StockNeed, make_spec
from costplan.circuits.plug_marks import NO_MARKS, PlugMarks
from costplan.circuits.run_parts import PROTECTED_END
from costplan.model.choices import Method
from costplan.model.ratings import FUSED_DISCONNECT

FUSES = "fuses"
"""Of an outlet that ends in a disconnect: the amperes of the fuses in it."""
OWN_PLUG = "plug of a machine"
OWN_SWITCH = "disconnect at a machine"
"""A switch on a machine whose plug is not marked for its motor, or out of sight: between its cord and its motor."""
BREAKER_OF_OUTLET = "breaker of outlet"


def disconnect_a(end: Need) -> Decimal:
    """The rating of the disconnect at the end of a run, in amperes; 0 for a receptacle."""
    disconnects = end.spec.kind in ("disconnect", FUSED_DISCONNECT)
    return dict(end.spec.at_least).get("rating_a", Decimal(0)) if disconnects else Decimal(0)


def fused_at(end: Need, fuses: Need | None) -> dict[str, Attribute]:
    """The size of the fuses at a run's end, which no other serves for: 0 for a disconnect without, nothing for a receptacle."""
    if end.spec.kind not in ("disconnect", FUSED_DISCONNECT):
        return {}
    return {FUSES: Decimal(0) if fuses is None else dict(fuses.spec.at_least)["rating_a"]}


def where_outlet_is(method: Method, panel: str, place: str) -> str:
    """Where a machine at a place has its outlet: beside the panel for a cord."""
    return f"beside {panel}" if method is Method.CORD else place


def outlet_key(
    building: int, outlet_place: str, panel: str, method: Method, configuration: str | None, poles: int
) -> dict[str, Attribute]:
    """What tells one outlet from another; without a configuration its run ends in a disconnect."""
    return {
        "building": str(building),
        "place": outlet_place,
        "panel": panel,
        "run": str(method),
        "end": configuration or "disconnect",
        "poles": str(poles),
    }


def breaker_of(outlet: Item) -> Item:
    """The breaker that an outlet has: it stays with the outlet, with its wear, until that is made safe."""
    return Item(Spec(BREAKER_OF_OUTLET, outlet.spec.equal))


def comes_along(outlet: Item, breaker: StockNeed) -> tuple[StockNeed, ...]:
    """What whoever takes over an outlet has with it: its breaker, where that wears."""
    if not breaker.wears:
        return ()
    return (StockNeed(breaker_of(outlet), Bundle(), wears=breaker.wears, found_only=True),)


def place_of(spec: Spec) -> str:
    """Where an outlet is; empty for what can be anywhere."""
    return dict(spec.equal).get("place", "")


def same_run(have: Spec, wanted: Spec) -> bool:
    """Whether an outlet's run, its ends aside, serves where another outlet is asked for."""
    mine, asked = dict(have.equal), dict(wanted.equal)
    wire, least = dict(have.at_least), dict(wanted.at_least)
    if "end" in mine and not same_ground(mine, asked.get("end", ""), stated=GROUNDED in wire):
        return False
    return all(mine.get(name) == asked.get(name) for name in ("building", "place", "panel", "run")) and all(
        name in wire and name in least and wire[name] >= least[name] for name in ("awg", "conductors")
    )


def ends_to_change(have: Item, wanted: StockNeed, *, worn: bool) -> tuple[StockNeed, ...]:
    """Which of the ends of a run are changed for the outlet asked for; `worn`: its receptacle is worn out."""
    if not wanted.ends:
        return ()
    receptacle, breaker = wanted.ends
    mine, asked = dict(have.spec.equal), dict(wanted.item.spec.equal)
    low, least = dict(have.spec.at_least), dict(wanted.item.spec.at_least)
    high, most = dict(have.spec.at_most), dict(wanted.item.spec.at_most)
    breaker_serves = (
        mine["poles"] == asked["poles"]
        and low["breaker"] >= least["breaker"]
        and high["breaker"] <= most["breaker"]
        and low["protects"] >= least["protects"]
        and not wanted.along
    )
    fits = (
        mine["end"] == asked["end"]
        and low["disconnect"] >= least["disconnect"]
        and low.get(FUSES, 0) == least.get(FUSES, 0)
        and low.get(PROTECTED_END, 0) >= least.get(PROTECTED_END, 0)
    )
    changed = () if fits and not worn else (receptacle,)
    return changed if breaker_serves else (*changed, breaker)


def device(
    kind: str, configuration: str, work: Bundle, marks: PlugMarks = NO_MARKS, cord: Spec | None = None
) -> StockNeed:
    """A plug or connector: bought unless one is in stock; put on either way. `marks` are those that it must have.

    cord: the one that its clamp must hold, where it is bought for one.
    """
    spec = make_spec(
        kind, {"configuration": configuration}, marks.at_least(kind), if_stated=marks.if_stated(kind)
    )
    need = Need(spec, 1) if cord is None else holding(Need(spec, 1), cord)
    return StockNeed(Item(spec), Bundle((need,)) + work, reused=work)


def cord_piece(cable: Item, work: Bundle) -> StockNeed:
    """A cord of a length: bought unless stock has one long enough; made up either way."""
    return StockNeed(cable, Bundle((Need(cable.spec, 1, cable.length_ft),)) + work, reused=work)
