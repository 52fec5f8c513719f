"""A plan: what was decided, and nothing that follows from it."""

from collections import Counter
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from functools import cached_property

from costplan.circuits.circuit import Circuit
from costplan.circuits.needs import Item, Need, Return
from costplan.circuits.outlets import poles_of
from costplan.circuits.shelf import WholeCord
from costplan.circuits.ways import Way
from costplan.ledger.crews import Hiring
from costplan.ledger.pricing import Once
from costplan.years.stream import TODAY, Date, Trip, Use


@dataclass(frozen=True, slots=True)
class Bought:
    """Units of an offer set aside for a need today: pieces, or feet where feet are asked.

    `reel` numbers the reel, roll or remnant a piece is cut from, None when cut by the foot or counted.
    """

    offer_row: int
    need: Need
    count: int
    reel: int | None = None


@dataclass(frozen=True, slots=True)
class Packs:
    """Whole packs, reels, rolls, sticks or remnants bought of an offer today."""

    offer_row: int
    count: int


@dataclass(frozen=True, slots=True)
class Reused:
    """A thing set free at one date that serves a use of the same or a later date.

    `left` carries the wear that it has then; `scenario` is empty where it was set free today.
    """

    use: Use
    scenario: str
    since: Date
    left: Return
    count: int

    @property
    def item(self) -> Item:
        """The thing itself."""
        return self.left.item


@dataclass(frozen=True, slots=True)
class Lasting:
    """Things bought for a use with parts that last so many years each."""

    use: Use
    lives: tuple[int, ...]
    count: int


@dataclass(frozen=True, slots=True)
class CordAsked:
    """The cable, the plug and the connector of a cord that is asked for at one date, and what it is to hang from."""

    cable: Use
    plug: Use
    connector: Use
    kit: Use | None

    @property
    def pieces(self) -> tuple[Use, Use, Use]:
        """Its cable, plug and connector."""
        return (self.cable, self.plug, self.connector)

    def served_by(self, cord: WholeCord) -> tuple[Use, ...]:
        """What a cord serves of it: its kit too, where the cord hangs from such a one."""
        if self.kit is None or cord.kit is None:
            return self.pieces
        alike = cord.kit.spec.tie == self.kit.thing.item.spec.tie
        return (*self.pieces, self.kit) if alike else self.pieces

    def taken_of(self, cord: WholeCord) -> tuple[Item, ...]:
        """What a cord that serves it has of stock no more."""
        hangs = cord.kit is not None and len(self.served_by(cord)) > len(cord.pieces)
        return (*cord.pieces, cord.kit) if cord.kit is not None and hangs else cord.pieces


@dataclass(frozen=True, slots=True)
class WholeCordUsed:
    """A cord from the shelf, or that a machine gives up, used as it is, ends and all, with its kit if it has one.

    The pieces of `cord` are as they are in stock, with their wear; `asked` is what it serves. `scenario` and `since` say
    when it was set free, today in every scenario.
    """

    cord: WholeCord
    asked: CordAsked
    count: int
    scenario: str = ""
    since: Date = TODAY


@dataclass(frozen=True, slots=True)
class Shared:
    """A thing that turn-taking machines share, from today or from when the shop moved, and how many of it that saves."""

    use: Use
    saved: int

    @property
    def panel(self) -> str:
        """The panel whose spaces that saves."""
        assert self.use.thing.shared_by is not None
        return self.use.thing.shared_by[1]

    @property
    def poles(self) -> int:
        """Spaces that it saves there."""
        return self.saved * poles_of(self.use.thing.item.spec)


@dataclass(frozen=True, slots=True)
class Visits:
    """Visits of the hired crew for moves of one machine, where each move has its own, and permits among them.

    `stops` says by hours how many of them stop the shop at least so long, `once` how many have what a visit has once.
    """

    scenario: str
    year: int
    trip: Trip
    count: int
    permits: int
    stops: tuple[tuple[Decimal, int], ...] = ()
    once: tuple[tuple[Once, int], ...] = ()


@dataclass(frozen=True, slots=True)
class GearBought:
    """Shared gear put in at the end of a year of one scenario; today belongs to every scenario.

    `written` is the name of its entry in the shop file where that stands for several pieces, else empty.
    """

    name: str
    scenario: str
    year: int
    count: int
    written: str = ""

    @property
    def entry(self) -> str:
        """The name of its entry in the shop file."""
        return self.written or self.name


@dataclass(frozen=True)
class Plan:
    """Ways for every machine with how many use each, who is hired, what is bought, what stock serves, what gear is put in."""

    ways: Mapping[str, Mapping[Way, int]]
    hiring: Hiring
    bought: tuple[Bought, ...]
    packs: tuple[Packs, ...]
    reused: tuple[Reused, ...]
    lasting: tuple[Lasting, ...]
    shared: tuple[Shared, ...]
    whole_cords: tuple[WholeCordUsed, ...] = ()
    gear: tuple[GearBought, ...] = ()
    visits: tuple[Visits, ...] = ()

    @cached_property
    def key(self) -> Hashable:
        """What it is known by: plans of one shop that decide all the same have the same one."""
        decided = (getattr(self, entry.name) for entry in fields(self) if entry.name != "ways")
        return (tuple(self.shares()), *decided)

    def shares(self) -> list[tuple[str, Way, int]]:
        """Every machine with each way that some of it use and how many do, in order of names."""
        return [
            (machine, way, count)
            for machine, ways in sorted(self.ways.items())
            for way, count in sorted(ways.items(), key=lambda entry: repr(entry[0]))
            if count
        ]

    def made_here(self) -> list[tuple[str, Way, int]]:
        """Its shares whose circuits are reckoned here: no way of a quote, nothing that is taken away."""
        return [share for share in self.shares() if not share[1].quoted and not share[1].gone]

    @property
    def kinds(self) -> Mapping[str, Counter[str]]:
        """How many machines of every strand have each kind of way a person would name; the panel is none of it."""
        found: dict[str, Counter[str]] = {strand: Counter() for strand in self.ways}
        for strand, way, count in self.shares():
            found[strand][way.signature] += count
        return found

    @property
    def shared_things(self) -> frozenset[tuple[tuple[str, str] | None, Item]]:
        """Outlets and breakers that machines which take turns share from today, each with who may."""
        return frozenset((entry.use.thing.shared_by, entry.use.thing.item) for entry in self.shared)

    def shared_by(self, circuit: Circuit) -> tuple[tuple[str, str] | None, Item] | None:
        """The breaker or outlet that makes a circuit one with those of other machines today; None for one of its own."""
        things = self.shared_things
        for thing in (circuit.breaker, circuit.outlet):
            if (thing.shared_by, thing.item) in things:
                return thing.shared_by, thing.item
        return None

    @property
    def gear_names(self) -> frozenset[str]:
        """Entries of the shop file's gear of which any is ever put in."""
        return frozenset(bought.entry for bought in self.gear)
