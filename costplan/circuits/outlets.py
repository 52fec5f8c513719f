"""Outlets, plugs and cords as things that lie in the shop: what tells one from another, and which serves for which."""

from decimal import Decimal

from costplan.circuits.clamps import holding
from costplan.circuits.grounds import same_ground
from costplan.circuits.needs import Bundle, Item, Need, Spec, StockNeed, make_spec
from costplan.circuits.outlet_key import OutletKey, Wired
from costplan.circuits.plug_marks import NO_MARKS, PlugMarks
from costplan.circuits.run_parts import protected_end
from costplan.circuits.size_types import CircuitSize
from costplan.circuits.things import DISCONNECTS, Made
from costplan.model.choices import Method
from costplan.standards.conductors import awg_rank


def disconnect_a(end: Need) -> Decimal:
    """The rating of the disconnect at the end of a run, in amperes; 0 for a receptacle."""
    disconnects = end.spec.kind in DISCONNECTS
    return dict(end.spec.at_least).get("rating_a", Decimal(0)) if disconnects else Decimal(0)


def fuses_a(end: Need, fuses: Need | None) -> Decimal | None:
    """The size of the fuses at a run's end, which no other serves for: 0 for a disconnect without, None for a receptacle."""
    if end.spec.kind not in DISCONNECTS:
        return None
    return Decimal(0) if fuses is None else dict(fuses.spec.at_least)["rating_a"]


def where_outlet_is(method: Method, panel: str, place: str) -> str:
    """Where a machine at a place has its outlet: beside the panel for a cord."""
    return f"beside {panel}" if method is Method.CORD else place


def breaker_bounds(breaker: Item) -> tuple[Decimal, Decimal]:
    """The least and the largest rating of a breaker, in amperes."""
    return dict(breaker.spec.at_least)["rating_a"], dict(breaker.spec.at_most)["rating_a"]


def wired(size: CircuitSize, end: Need, fuses: Need | None, breaker: Item) -> Wired:
    """What an outlet is good for whose circuit, end, fuses and breaker are these."""
    least_a, most_a = breaker_bounds(breaker)
    return Wired(
        awg=awg_rank(size.awg),
        conductors=size.conductors,
        breaker_a=least_a,
        breaker_most_a=most_a,
        protects=("ground_fault", "true") in breaker.spec.equal,
        disconnect_a=disconnect_a(end),
        fuses_a=fuses_a(end, fuses),
        protected_end=protected_end(end),
    )


def outlet_item(key: OutletKey) -> Item:
    """An outlet as a thing that stock can hold."""
    return Item(Spec(Made.OUTLET, outlet=key))


def breaker_of(outlet: Item) -> Item:
    """The breaker that an outlet has: it stays with the outlet, with its wear, until that is made safe."""
    return Item(Spec(Made.BREAKER_OF_OUTLET, outlet=outlet.spec.outlet))


def comes_along(outlet: Item, breaker: StockNeed) -> tuple[StockNeed, ...]:
    """What whoever takes over an outlet has with it: its breaker, where that wears."""
    if not breaker.wears:
        return ()
    return (StockNeed(breaker_of(outlet), Bundle(), wears=breaker.wears, found_only=True),)


def place_of(spec: Spec) -> str:
    """Where an outlet is; empty for what can be anywhere."""
    return spec.outlet.place if spec.outlet is not None else ""


def poles_of(spec: Spec) -> int:
    """Spaces that an outlet or a breaker takes in its panel."""
    return spec.outlet.poles if spec.outlet is not None else int(dict(spec.equal)["poles"])


def same_run(have: Spec, wanted: Spec) -> bool:
    """Whether an outlet's run, its ends aside, serves where another outlet is asked for."""
    mine, asked = have.outlet, wanted.outlet
    if mine is None or asked is None or mine.wired is None or asked.wired is None:
        return False
    return (
        same_ground(mine.end, asked.end, stated=mine.wired.grounded)
        and mine.lies_as(asked)
        and mine.wired.wire_covers(asked.wired)
    )


def ends_to_change(have: Item, wanted: StockNeed, *, worn: bool) -> tuple[StockNeed, ...]:
    """Which of the ends of a run are changed for the outlet asked for; `worn`: its receptacle is worn out."""
    if not wanted.ends:
        return ()
    receptacle, breaker = wanted.ends
    mine, asked = have.outlet, wanted.item.outlet
    assert mine.wired is not None
    assert asked.wired is not None
    breaker_serves = mine.poles == asked.poles and mine.wired.breaker_covers(asked.wired) and not wanted.along
    fits = mine.end == asked.end and mine.wired.end_covers(asked.wired)
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
