"""What walking a scenario books, and what a machine's circuit must carry."""

from dataclasses import dataclass, field
from decimal import Decimal

from buying import Piece
from events import NotReckoned, Unit

from costplan.model.choices import Method
from costplan.model.quotes import QuotedWay
from costplan.model.shop import Machine
from costplan.standards import conductors, motors, overcurrent, receptacles
from costplan.standards.cords import cord_ampacity_a, cord_sizes

Asks = tuple[tuple[str, str, object], ...]
"""What a part must be: of each attribute its name, how it is compared, and the value."""

RUN_KIND = {Method.WALL: "building cable", Method.ARMORED: "armored cable", Method.CORD: "armored cable"}
RUN_RECIPE = {
    Method.WALL: "wall drop",
    Method.CONDUIT: "conduit drop",
    Method.ARMORED: "armored drop",
    Method.CORD: "outlet beside panel",
}
CHANGE = {
    "receptacle": "change receptacle",
    "disconnect": "change receptacle",
    "breaker": "change breaker",
    "plug": "change cord end",
    "connector": "change cord end",
}


@dataclass(frozen=True, slots=True)
class Variant:
    """One way of powering a machine, down to what the rules leave open."""

    method: Method
    family: str = "straight"
    slack_ft: Decimal = Decimal(0)
    moved: bool = False
    heavy: bool = False
    """Whether its wires are from the first as heavy as what it is retooled to asks for."""
    quoted: QuotedWay | None = None


@dataclass(frozen=True, slots=True)
class Buy:
    """A piece to be bought in a year."""

    year: int
    machine: str
    piece: Piece


@dataclass(frozen=True, slots=True)
class Work:
    """Work of a year: hired hours of one electrician, or the owner's hours by the clock, and lump money."""

    year: int
    visit: object
    what: str
    machine: str
    hired_hours: Decimal = Decimal(0)
    own_hours: Decimal = Decimal(0)
    stops_hours: Decimal = Decimal(0)
    """Hours in which the shop stands: once a visit for its longest task, where the hired crew does it."""
    permit: str = ""
    """hired, own, or nothing."""
    money_cents: Decimal = Decimal(0)
    back_cents: Decimal = Decimal(0)
    hired: bool = False
    """Whether the hired crew does it, even if it takes no time."""


@dataclass(slots=True, eq=False)
class Thing:
    """A piece in use."""

    piece: Piece
    born: int
    slot: str


@dataclass(slots=True, eq=False)
class Outlet:
    """A run with its outlet, and who uses it."""

    place: str
    like: str
    method: Method
    configuration: str
    breaker_a: int
    poles: int
    awg: str
    length_ft: Decimal
    laid_ft: Decimal = Decimal(0)
    """Its route without ends and waste, by which work by the foot goes."""
    things: list[Thing] = field(default_factory=list)
    user: Unit | None = None
    left: tuple[int, object, Unit] | None = None
    gone: bool = False
    there: bool = False
    """It was there before the plan, and is as it was, with whom it was."""


@dataclass(slots=True, eq=False)
class State:
    """Where a unit stands and what it hangs on."""

    place: str = ""
    like: str = ""
    outlet: Outlet | None = None
    cord: list[Thing] = field(default_factory=list)
    put_in: int | None = None


@dataclass(frozen=True, slots=True)
class Load:
    """What a machine's circuit must carry."""

    poles: int
    breaker_a: int
    awg: str
    cord_awg: str
    current_a: Decimal


def expected(hours: tuple[Decimal, Decimal, Decimal]) -> Decimal:
    """(low + 4 likely + high) / 6."""
    return (hours[0] + 4 * hours[1] + hours[2]) / 6


def load_of(machine: Machine, edition: int | None) -> Load:
    """Sizes for a small single-phase load; raises NotReckoned beyond 30 A or with a plug of another rating."""
    if machine.phases != 1 or machine.neutral or machine.volts not in (120, 208, 240):
        raise NotReckoned(f"{machine.name} is not a plain single-phase machine of 120 to 240 V.")
    current = machine.amps_a or motors.full_load_current_a(machine.hp or Decimal(0), 1, int(machine.volts))
    continuous = machine.load == "heater" if machine.continuous is None else machine.continuous
    carried = current * (Decimal("1.25") if machine.motor or continuous else 1)
    breaker = int(machine.breaker_a or max(15, overcurrent.next_usual_size_a(carried)))
    if breaker not in (15, 20, 30):
        raise NotReckoned(f"{machine.name} needs a breaker of {breaker} A; 15, 20 and 30 are reckoned.")
    awg = {15: "14", 20: "12", 30: "10"}[breaker]
    cord = next(size for size in cord_sizes() if cord_ampacity_a(size, 2) >= carried)
    cord = conductors.thicker(cord, "14")
    return Load(1 if machine.volts == 120 else 2, breaker, awg, cord, current)


def configuration_of(machine: Machine, family: str, load: Load) -> str:
    """The receptacle of a family for a machine, rated as its breaker."""
    return receptacles.smallest_configuration(family, int(machine.volts), 1, False, load.breaker_a).code
