"""What sizing asks and answers: plain frozen data, no rules."""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from costplan.circuits.numbered import numbered
from costplan.model.choices import ListedPlace, LoadKind, Occupancy
from costplan.model.nameplate import Enclosure
from costplan.model.plate_figures import PlateRating
from costplan.standards.receptacles import ONE_LINE_V, known


class Wiring(StrEnum):
    """How the conductors run; it picks the ampacity table."""

    CABLE = "cable in the wall"
    CONDUIT = "wire in conduit"
    ARMORED = "armored cable"
    CORD = "flexible cord"


@dataclass(frozen=True, slots=True)
class MotorPlate:
    """A motor besides the largest of a machine: its horsepower, its amperes, its phases."""

    what: str
    hp: Decimal | None
    amps_a: Decimal | None
    phases: int


@numbered
@dataclass(frozen=True)
class MotorFit:
    """What a motor's plate says that another motor in its place must match, and what it has besides.

    None is what nobody read; `shaft_in` is in inches.
    """

    rpm: int | None = None
    frame: str | None = None
    shaft_in: Decimal | None = None
    enclosure: Enclosure | None = None
    two_speed: bool = False
    brake: bool = False
    control_transformer: bool = False


NO_FIT = MotorFit()


class WiresBy(StrEnum):
    """Whose wires have a rule of their own (NFPA 70, sections from memory); the value is the section that sizes them."""

    CONVERTER = "455.6(A)(1)"
    DRIVE = "430.122(A)"
    FEEDER = "215.2(A)(1)"


@numbered
@dataclass(frozen=True)
class Load:
    """What one machine asks of its circuit, from its nameplate.

    `plug` is the plug it came with, where that fits these volts; `duty_cycle`, `effective_a` and `one_operation` are a
    welder's, `breaker_at_most_a` the largest its maker allows, `terminals_c` what the terminals at both ends are marked for.
    `rated` is what its plate says at each of its volts, and `volts` one of them; once a panel is chosen `rated` is empty and
    `fed_at` says what the panel's volts do to it, where they are not its plate's. `more` are its motors besides the largest,
    `other_a` what it draws besides motors, `fit` what a motor in its motor's place must match, `least_heat` the least share of
    its heat that will do.
    """

    volts: int
    phases: int
    neutral: bool
    kind: LoadKind
    hp: Decimal | None
    amps_a: Decimal | None
    continuous: bool
    maker_breaker_a: int | None
    plug: str | None = None
    duty_cycle: Decimal | None = None
    effective_a: Decimal | None = None
    breaker_at_most_a: int | None = None
    terminals_c: int | None = None
    rated: tuple[PlateRating, ...] = ()
    fed_at: str = ""
    more: tuple[MotorPlate, ...] = ()
    other_a: Decimal = Decimal(0)
    fit: MotorFit = NO_FIT
    least_heat: Decimal | None = None
    one_operation: bool = False
    listed: bool | None = None
    """Whether a machine with a plug is a listed appliance; None where nobody said."""
    worked_from: PlateRating | None = None
    """The rating that its amperes at these volts are worked out from, None where they are the plate's own."""
    driven: bool = False
    """Whether it is the input of a drive; `hp` is then that of the motor behind it."""
    wires_by: "WiresBy | None" = None
    """Whose rule its wires go by, where that is not the rule of a branch circuit's load."""

    @property
    def motor(self) -> bool:
        """Whether it is a motor's."""
        return self.kind is LoadKind.MOTOR

    @property
    def turns(self) -> bool:
        """Whether it is a motor's, or that of the drive of one."""
        return self.motor or self.driven

    @property
    def neutral_beside_lines(self) -> bool:
        """Whether it asks for a neutral besides its lines: at 120 V the neutral is one of its two wires."""
        return self.neutral and self.volts > ONE_LINE_V

    @property
    def arc_behind_its_plug(self) -> bool:
        """Whether it is an arc welder with its own plug, whose receptacle may be small (NFPA 70 210.21(B)(1) Exception 2)."""
        return self.kind is LoadKind.WELDER and self.plug is not None


@numbered
@dataclass(frozen=True)
class Rules:
    """Which code facts apply, `edition` None meaning unknown, and the habits of the trade where the code leaves a choice.

    `starting_margin` is what the breaker of a hard-wired motor has at least, as a share of its current;
    `smallest_circuit_a` the smallest circuit that is made anew.
    """

    edition: int | None
    occupancy: Occupancy
    ground_fault_place: bool | ListedPlace | None
    drop_limit: Decimal
    ambient_c: Decimal
    terminals_c: int = 60
    starting_margin: Decimal = Decimal("1.75")
    smallest_circuit_a: int = 20
    small_children: bool | None = None
    """Whether small children are taught or cared for here; None where nobody said."""


class RuleOf(StrEnum):
    """What a reason is given for, as it is printed."""

    APPLIANCE_LIMIT = "appliance limit"
    BREAKER = "breaker"
    CONDUCTOR = "conductor"
    CORD_VOLTS = "cord volts"
    FUSES = "fuses"
    GROUNDING_CONDUCTOR = "grounding conductor"
    GROUND_FAULT = "ground fault"
    LARGEST_BREAKER = "largest breaker"
    LARGEST_WIRE = "largest wire"
    LOAD_CURRENT = "load current"
    MAKERS_LARGEST_BREAKER = "maker's largest breaker"
    MINIMUM_AMPACITY = "minimum ampacity"
    MOTOR_LIMIT = "motor limit"
    PIGTAILS = "pigtails"
    RECEPTACLE = "receptacle"
    RECEPTACLES_RATING = "receptacle's rating"
    SMALLER_BREAKER = "smaller breaker"
    TAMPER_RESISTANT = "tamper-resistant"
    VOLTAGE_DROP = "voltage drop"
    WEATHER_RESISTANT = "weather-resistant"
    WELDER_LIMIT = "welder limit"
    WIRE_OF_ITS_OUTLET = "wire of its outlet"


@numbered
@dataclass(frozen=True)
class Reason:
    """Why a figure is what it is."""

    what: RuleOf
    source: str
    detail: str


@numbered
@dataclass(frozen=True)
class CircuitSize:
    """A sized circuit. `awg` is text (`10`, `1/0`); conductors exclude the ground, wires include it.

    What is made anew has the breaker and wire of the trade's habit, the breaker up to `breaker_at_most_a`; what is
    there will do with a breaker from `breaker_at_least_a` to `breaker_most_a` and wire of `awg_at_least`.
    `ground_fault` says that its breaker protects people as well, `ground_fault_receptacle` that its receptacle does.
    """

    current_a: Decimal
    minimum_ampacity_a: Decimal
    poles: int
    breaker_a: int
    breaker_at_least_a: int
    breaker_at_most_a: int
    breaker_most_a: int
    awg: str
    awg_at_least: str
    awg_at_most: str
    conductors: int
    wires: int
    grounding_awg: str
    configuration: str | None
    ground_fault: bool
    voltage_drop: Decimal
    drops_too_much: bool
    cord_volts_at_least: int
    reasons: tuple[Reason, ...]
    ground_fault_receptacle: bool = False
    awg_by_current: str = ""
    """The wire that the current alone asks for; `awg` is thicker where less would drop more than is advised."""
    drop_by_current: Decimal = Decimal(0)
    """What that wire would drop, as a share."""
    awg_in_advice: str = ""
    """The thinnest wire that would keep the drop within the advice; empty when none does."""
    column_c: int | None = None
    """The column of Table 310.16 that its fixed wire goes by, in degrees C; None for cord."""
    damp: bool = False
    """Whether its receptacle is in a damp place."""
    pigtails: int = 0
    """How many ends of the run are spliced to thinner pigtails, since their terminals do not take its wire."""

    def with_reason(self, reason: Reason) -> "CircuitSize":
        """The same with another reason."""
        return replace(self, reasons=(*self.reasons, reason))

    @property
    def protected(self) -> bool:
        """Whether it has ground-fault protection, at its breaker or at its receptacle."""
        return self.ground_fault or self.ground_fault_receptacle

    @property
    def device_a(self) -> int:
        """Amperes of the device that box and cover take: a receptacle may be for more than its breaker, 15-50 at 30 A."""
        device = known(self.configuration)
        return self.breaker_a if device is None else max(self.breaker_a, device.rating_a)


class CannotSizeError(ValueError):
    """No standard size or device fits; the message says which rule and what would."""
