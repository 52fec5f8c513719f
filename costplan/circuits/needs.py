"""What a circuit asks for, before anything is chosen from the catalog.

A `Spec` says what a part must be; a `Bundle` is parts, work and quoted money that go together;
a `StockNeed` is a bundle that an item already in stock can spare.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from functools import total_ordering
from math import prod
from typing import Any

from costplan.circuits.numbered import numbered
from costplan.circuits.outlet_key import OutletKey
from costplan.circuits.things import FREE, Made, PartKind, Tie
from costplan.model.catalog import Part
from costplan.model.ratings import HORSEPOWER_MARKS, mark_words
from costplan.standards.conductors import awg_of_rank, awg_rank

Attribute = str | Decimal | bool | int


WIRE_SIZES = ("awg", "ground_awg")
"""Attributes that are wire sizes."""


def magnitude(attribute: str, value: Attribute) -> Decimal:
    """A number to compare sizes by: wire sizes by thickness, everything else by value."""
    if attribute in WIRE_SIZES:
        return Decimal(awg_rank(str(value)))
    return value if isinstance(value, Decimal) else Decimal(str(value))


def word(value: Attribute) -> str:
    """An attribute as text that compares equal however it was written (`3`, `3.0`, true)."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | Decimal):
        return f"{Decimal(value).normalize():f}"
    return value


@numbered
@dataclass(frozen=True, order=True)
class Spec:
    """What a part must be: its kind, attributes it must equal, reach, or stay below.

    `if_stated` are attributes that a part may leave unsaid, but must reach where it states them, `most_if_stated` those that
    it may not pass then. `outlet` is what an outlet, or the breaker that stays with it, is known by.
    `tie` is of the thing, whatever its part.
    """

    kind: str
    equal: tuple[tuple[str, str], ...] = ()
    at_least: tuple[tuple[str, Decimal], ...] = ()
    at_most: tuple[tuple[str, Decimal], ...] = ()
    if_stated: tuple[tuple[str, Decimal], ...] = ()
    most_if_stated: tuple[tuple[str, Decimal], ...] = ()
    outlet: OutletKey | None = None
    tie: Tie = FREE

    def met_by(self, part: Part) -> bool:
        """Whether the part meets or exceeds every demand."""
        have = part.attributes
        return (
            part.kind == self.kind
            and all(name in have and word(have[name]) == value for name, value in self.equal)
            and all(name in have and magnitude(name, have[name]) >= low for name, low in self.at_least)
            and all(name in have and magnitude(name, have[name]) <= high for name, high in self.at_most)
            and all(name not in have or magnitude(name, have[name]) >= low for name, low in self.if_stated)
            and all(
                name not in have or magnitude(name, have[name]) <= high for name, high in self.most_if_stated
            )
        )

    def covers(self, other: "Spec") -> bool:
        """Whether every part that meets this spec also meets the other."""
        low, high = dict(self.at_least), dict(self.at_most)
        stated, most = dict(self.if_stated) | low, dict(self.most_if_stated) | high
        return (
            self.same_as(other)
            and all(name in low and low[name] >= value for name, value in other.at_least)
            and all(name in high and high[name] <= value for name, value in other.at_most)
            and all(stated.get(name, value) >= value for name, value in other.if_stated)
            and all(most.get(name, value) <= value for name, value in other.most_if_stated)
            and (other.outlet is None or (self.outlet is not None and self.outlet.covers(other.outlet)))
        )

    def same_as(self, other: "Spec") -> bool:
        """Whether it is all that the other must be whatever its sizes are."""
        same = self.kind == other.kind and set(other.equal) <= set(self.equal)
        return same and self.tie.covers(other.tie)

    def describe(self) -> str:
        """The spec in words, for messages about missing offers."""
        words = [
            self.kind,
            # "family A" says of itself what it is.
            *(
                f"{value}" if f"{value}".startswith(f"{name} ") else f"{name} {value}"
                for name, value in self.equal
            ),
        ]
        exact = dict(set(self.at_least) & set(self.at_most))
        for bound, values in (("at least ", self.at_least), ("at most ", self.at_most)):
            # What is bounded from both sides by one figure is said once, as that figure.
            words += [
                f"{name} {'' if name in exact else bound}{_show(name, value)}"
                for name, value in values
                if name not in exact or values is self.at_least
            ]
        words += [
            f"no mark below {mark_words(name, value)}"
            if name in HORSEPOWER_MARKS
            else f"no {name} below {word(value)}"
            for name, value in self.if_stated
        ]
        words += [f"no {name} above {word(value)}" for name, value in self.most_if_stated]
        return ", ".join(words)


def _show(name: str, value: Decimal) -> str:
    return awg_of_rank(int(value)) if name in WIRE_SIZES else word(value)


def make_spec(
    kind: str,
    equal: dict[str, Attribute] | None = None,
    at_least: dict[str, Attribute] | None = None,
    at_most: dict[str, Attribute] | None = None,
    if_stated: dict[str, Attribute] | None = None,
) -> Spec:
    """A spec from plain attribute values."""
    return Spec(
        kind,
        tuple(sorted([(name, word(value)) for name, value in equal.items()])) if equal else (),
        _magnitudes(at_least),
        _magnitudes(at_most),
        _magnitudes(if_stated),
    )


def _magnitudes(values: dict[str, Attribute] | None) -> tuple[tuple[str, Decimal], ...]:
    return tuple(sorted([(name, magnitude(name, value)) for name, value in values.items()])) if values else ()


@total_ordering
@numbered
@dataclass(frozen=True)
class Need:
    """A spec with how much of it.

    `quantity` counts pieces, or feet where joints are allowed; `length_ft` is the length of each
    unbroken piece, 0 for things that are counted or joined. `lasts` is the nominal life in years of the
    parts that serve, None for any, `lives.OUTLASTS` for all that outlast the plan; `share` is how long
    they last at their machine, as a share of that life.
    """

    spec: Spec
    quantity: int
    length_ft: int = 0
    lasts: int | None = None
    share: Decimal = Decimal(1)

    def __lt__(self, other: "Need") -> bool:
        return self._order < other._order

    @property
    def each(self) -> "Need":
        """The same need for one piece, or one foot: what a purchase is counted by."""
        return self if self.quantity == 1 else replace(self, quantity=1)

    @property
    def _order(self) -> tuple[Spec, int, int, int, Decimal]:
        lasts = -1 if self.lasts is None else self.lasts
        return self.spec, self.quantity, self.length_ft, lasts, self.share


@numbered
@dataclass(frozen=True, order=True)
class Slowing:
    """One thing that makes work slower: its name, its factor, and the tasks it touches, all of them where none is named."""

    name: str
    factor: Decimal
    tasks: tuple[str, ...] = ()


@numbered
@dataclass(frozen=True, order=True)
class Slowed:
    """How much longer work takes where it is done."""

    by: tuple[Slowing, ...] = ()

    @property
    def factor(self) -> Decimal:
        """The product of the factors."""
        return prod((each.factor for each in self.by), start=Decimal(1))

    @property
    def because(self) -> tuple[str, ...]:
        """What makes it so."""
        return tuple(each.name for each in self.by)

    def at(self, task: str) -> "Slowed":
        """What of it touches a task, so that a factor never counts for more than its own work."""
        if not self.by:
            return self
        touching = tuple(each for each in self.by if not each.tasks or task in each.tasks)
        return self if len(touching) == len(self.by) else Slowed(touching)


AS_USUAL = Slowed()
"""Nothing makes the work slower."""


@numbered
@dataclass(frozen=True, order=True)
class Work:
    """A task and how much of it.

    A quote brings its own `hours` of one person, low, likely and high; `own` says that they are the owner's,
    `permit` that it needs one. `once` is done once a visit, however much work of the visit asks for it.
    """

    task: str
    quantity: Decimal
    hours: tuple[Decimal, Decimal, Decimal] | None = None
    own: bool = False
    permit: bool = False
    slowed: Slowed = AS_USUAL
    once: bool = False


@numbered
@dataclass(frozen=True, order=True)
class Charge:
    """Money quoted for a piece of work, or paid for energy, in cents not yet rounded.

    `permit`: the work that it pays needs a permit; `at_end`: it comes back at the end of the plan, and is negative;
    `once`: it is paid once a visit, however much work of the visit asks for it.
    """

    what: str
    amount_cents: Decimal
    energy: bool = False
    permit: bool = False
    at_end: bool = False
    once: bool = False


@numbered
@dataclass(frozen=True, order=True)
class Bundle:
    """Parts, work and quoted money that go together."""

    needs: tuple[Need, ...] = ()
    work: tuple[Work, ...] = ()
    charges: tuple[Charge, ...] = ()

    def __add__(self, other: "Bundle") -> "Bundle":
        if not other:
            return self
        if not self:
            return other
        return Bundle(self.needs + other.needs, self.work + other.work, self.charges + other.charges)

    def __bool__(self) -> bool:
        return bool(self.needs or self.work or self.charges)

    def slowed(self, by: Slowed) -> "Bundle":
        """The same with its tasks taking longer; hours of a quote are what was quoted."""
        if not self.work or all(_as_it_is(done) or done.slowed == by.at(done.task) for done in self.work):
            return self
        work = tuple(
            done if _as_it_is(done) else replace(done, slowed=by.at(done.task)) for done in self.work
        )
        return Bundle(self.needs, work, self.charges)


def _as_it_is(done: Work) -> bool:
    """Whether no place makes the work slower: quoted hours are what was quoted, and a visit has no one place."""
    return done.hours is not None or done.once


NOTHING = Bundle()


@numbered
@dataclass(frozen=True, order=True)
class Item:
    """A thing that can be in stock: a cable of a length, a device, or an outlet where it stands.

    `due` and `lives` say, of one whose parts wear out within the plan, the year in which each such part is worn
    out and the years that one like it lasts; both are empty otherwise, and for what a circuit asks for. `left_in`
    is the visit of the move that left it, where every move has a visit of its own.
    """

    spec: Spec
    length_ft: int = 0
    due: tuple[int, ...] = ()
    lives: tuple[int, ...] = ()
    left_in: Any = ()

    @property
    def outlet(self) -> OutletKey:
        """What an outlet is known by. Raises TypeError for what is none."""
        if self.spec.outlet is None:
            raise TypeError(f"{self.spec.kind} is no outlet")
        return self.spec.outlet

    def serves(self, other: "Item") -> bool:
        """Whether this item can stand in where the other is asked for, its age aside."""
        return self.length_ft >= other.length_ft and self.spec.covers(other.spec)


@numbered
@dataclass(frozen=True, order=True)
class Wear:
    """A part of a thing that may wear out within the plan: the part, and the work of putting in another.

    Something quoted has no part, but the `years` that it lasts.
    """

    need: Need | None
    work: Bundle
    years: int = 0

    def replaced(self, life: int) -> Bundle:
        """What replacing it takes, by a part that lasts so long."""
        return self.work if self.need is None else Bundle((lasting(self.need, life),)) + self.work


@numbered
@dataclass(frozen=True, order=True)
class StockNeed:
    """A thing that a circuit asks for and that stock can provide.

    `bought` is what it takes when nothing in stock serves, `reused` when something does; `inner` are things
    it asks for itself when it is bought, such as an outlet's breaker. `wears` are its parts that wear out.
    `shared_by` names the machines that take turns and may share it, and the panel. `along` are things that come
    along where it is taken from stock, such as the breaker an outlet has; `found_only` things cannot be bought.
    `ends` are the receptacle and the breaker that make an outlet of a run that has others.
    """

    item: Item
    bought: Bundle
    reused: Bundle = NOTHING
    wears: tuple[Wear, ...] = ()
    inner: tuple["StockNeed", ...] = ()
    shared_by: tuple[str, str] | None = None
    along: tuple["StockNeed", ...] = ()
    found_only: bool = False
    ends: tuple["StockNeed", ...] = ()

    def bought_with(self, lives: tuple[int, ...]) -> Bundle:
        """What buying it takes when its wearing parts are to last so many years each."""
        wanted = {
            wear.need: lasting(wear.need, years)
            for wear, years in zip(self.wears, lives, strict=True)
            if wear.need is not None
        }
        if not wanted:
            return self.bought
        return replace(self.bought, needs=tuple(wanted.get(need, need) for need in self.bought.needs))


def lasting(need: Need, years: int) -> Need:
    """The need, to be met by parts that last so many years."""
    return replace(need, lasts=years)


@numbered
@dataclass(frozen=True, order=True)
class Return:
    """A thing that a change sets free.

    `unused` is what it takes when nothing ever uses it again, and `freed` what that sets free of it in turn.
    While an outlet waits to be used it takes `poles` in `panel`; `taken_out` is what it takes when the landlord has
    what then stands taken out. `inner` is what its inner thing that wears leaves;
    `breaker` the one an outlet has, which is free once another takes its place. An `idle` outlet was there
    and nobody used it: its poles are not among the free spaces. `out_of` is the outlet out of whose run a breaker
    comes, as the walk over a plan notes it; `cut_off` says that it is what is left of a cord that was cut.
    """

    item: Item
    unused: Bundle = NOTHING
    freed: tuple[Item, ...] = ()
    panel: str = ""
    poles: int = 0
    taken_out: Bundle = NOTHING
    stays: bool = False
    inner: tuple["Return", ...] = ()
    breaker: Item | None = None
    idle: bool = False
    out_of: Item | None = field(default=None, compare=False, kw_only=True)
    cut_off: bool = field(default=False, compare=False, kw_only=True)

    @property
    def live(self) -> bool:
        """Whether it is an outlet that takes its poles while nobody uses it, and for good; a quoted one only while it waits."""
        return self.item.spec.kind == Made.OUTLET and bool(self.panel) and (self.idle or self.stays)


class Slot(StrEnum):
    """The things a circuit is made of."""

    OUTLET = "outlet"
    DEVICE = "device"
    CABLE = "cable"
    PLUG = "plug"
    CONNECTOR = "connector"
    KIT = "kit"
    MACHINE_PLUG = "machine plug"
    SWITCH = "switch at machine"
    RECEPTACLE = "receptacle"
    BREAKER = "breaker"


LOOSE: Mapping[str, Slot] = {
    PartKind.RECEPTACLE: Slot.RECEPTACLE,
    PartKind.DISCONNECT: Slot.RECEPTACLE,
    PartKind.FUSED_DISCONNECT: Slot.RECEPTACLE,
    PartKind.BREAKER: Slot.BREAKER,
}
"""The slots of things at the ends of a run that were put in later than the run, by kind."""
PUT_IN_AGAIN: frozenset[str] = frozenset({PartKind.BREAKER})
"""Ends taken out of a run that serve elsewhere; a receptacle that was wired does not."""


@dataclass(frozen=True, slots=True)
class Change:
    """The difference between a circuit as it is and as it must be.

    `always` is done whatever stock holds; `begun` are things asked for from now on, `ended` things no longer used,
    `freed` parts of the outlet that are taken out of it. `poles` is what the circuit
    takes in the panel named `panel` afterwards (empty: as before) and `draw_va` what it draws there, whole
    volt-amperes; `left` says that the machine is gone and its poles are free.
    """

    why: str
    always: Bundle = NOTHING
    begun: tuple[tuple[Slot, StockNeed], ...] = ()
    ended: tuple[tuple[Slot, Return | None], ...] = ()
    freed: tuple[Return, ...] = ()
    panel: str = ""
    poles: int = 0
    draw_va: int = 0
    left: bool = False
    moves: bool = False
