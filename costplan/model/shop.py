"""What the user says about the shop: the shop file, field by field.

No arithmetic lives here beyond validation; every field's docstring is also the text of the JSON Schema.
"""

from datetime import date
from decimal import Decimal
from typing import Literal

from pydantic import Field, ValidationInfo, field_validator, model_validator

from costplan.files.quantities import MisreadError
from costplan.model.base import (
    Currency,
    CurrentA,
    Entry,
    HoursAYear,
    LengthFt,
    MoneyCents,
    Share,
    TerminalsC,
)
from costplan.model.catalog import Recipe
from costplan.model.choices import (
    DisconnectedBy,
    Family,
    LoadKind,
    Run,
    Service,
    Supply,
    VisitRule,
)
from costplan.model.circuits_there import Installed, Present
from costplan.model.conditions import MOST_RATED_WALLS, Building, Code, Money, SpaceWords
from costplan.model.events import Scenario
from costplan.model.gear import Gear, PowerService
from costplan.model.hour_factors import HourFactor
from costplan.model.installed import thinnest_awg
from costplan.model.labor import Crew, FixedBid
from costplan.model.nameplate import Electrical
from costplan.model.plate_figures import nominal_volts
from costplan.model.quotes import QuotedWay, Strategy
from costplan.model.system import StatedSystem
from costplan.standards import receptacles
from costplan.standards.cords import cord_sizes

MOST_SPACES = 1000
"""No panel has more."""
USUAL_CORD_FT = Decimal(6)
"""The cord that a machine comes with; common practice, no source."""


class OnePoleCircuits(Entry):
    """One-pole circuits alike that are in a panel; what is left out is unknown, and keeps them where they are."""

    breaker_a: CurrentA | None = Field(None, alias="breaker", gt=0)
    """Amperes on the breaker's handle; the half of a tandem breaker that takes the circuit has the same."""
    awg: str | None = None
    """Copper wire size, AWG, read off the cable's jacket in the panel; the wire says what its breaker may have."""
    count: int = Field(1, ge=1, le=1000)
    """How many circuits are just so."""
    test_button: bool | None = None
    """Whether the breaker has a test button: ground-fault or arc-fault protection, which stays where it is."""
    shared_neutral: bool | None = None
    """Whether it shares its neutral with another circuit, mostly in a red-and-black cable; then it stays too."""
    tied: bool | None = None
    """Whether its handle is tied to another breaker's; then it stays too."""


class Panel(Entry):
    """A panel that circuits can start from."""

    name: str
    """Name used in routes."""
    system: StatedSystem
    """Volts and phases of the panel."""
    breakers: str
    """Breaker family printed on the panel's label; parts.yaml uses the same word."""
    spaces_free: int = Field(ge=0, le=MOST_SPACES)
    """Free spaces, counted in poles."""
    spaces: int | None = Field(None, ge=1, le=1000)
    """All spaces that it has, in poles, free or taken; `check` counts by it. Left out, nobody counted them."""
    place: str | None = None
    """The place the panel hangs at; needed when routes are measured from coordinates."""
    flush: bool | None = None
    """Whether it lies flush in the wall, which is opened for a new run then; left out, it is taken not to, and asked."""
    rating_a: CurrentA | None = Field(None, alias="rating", gt=0)
    """Ampere rating; left out, the panel itself is no limit."""
    fed_from: str | None = None
    """The panel it is fed from; left out means the service."""
    other_load_a: CurrentA = Field(Decimal(0), alias="other_load", ge=0)
    """What it feeds besides the machines of this file, in amperes."""
    manufactured_leg: bool = False
    """Whether one leg comes from a phase converter; then only three-phase machines are put on it (NEC 455.9)."""
    tandems: int = Field(0, ge=0, le=1000)
    """How many tandem breakers the panel's label still allows, two one-pole circuits of `one_pole_circuits` in one space."""
    one_pole_circuits: list[OnePoleCircuits] = Field([])
    """Circuits in it now that fill a space each, beside those under now: and installed:, those alike in one entry."""


class Spot(SpaceWords):
    """A named place in the shop."""

    name: str
    """Name used by machines, panels, routes and events."""
    at_ft: tuple[LengthFt, LengthFt] | None = Field(None, alias="at")
    """Position on the floor, [x, y]; bare numbers are feet."""
    hour_factors: list[str] = Field([])
    """What makes work slower here: names of hour_factors, of this file or labor.yaml; [] for none, not the ceiling's either."""

    @property
    def said_hour_factors(self) -> list[str] | None:
        """Those that were written; None where nothing was, so that those of the ceiling's height count."""
        return self.hour_factors if "hour_factors" in self.model_fields_set else None


class Route(Entry):
    """A measured way from a panel to a place, or between two places."""

    start: str = Field(alias="from")
    """A panel or a place."""
    end: str = Field(alias="to")
    """A place."""
    fixed_ft: LengthFt | None = Field(None, alias="fixed", ge=0)
    """Length of fixed wiring along walls or ceiling, ups and downs included."""
    rated_walls: int | None = Field(None, ge=0, le=MOST_RATED_WALLS)
    """Fire-rated walls and ceilings that fixed wiring along it goes through; left out, as building: says."""
    cord_ft: LengthFt | None = Field(None, alias="cord", ge=0)
    """Length of a cord as it would hang or lie, ups and downs included."""
    hour_factors: list[str] = Field([])
    """What makes work along it slower, in the same words."""

    @property
    def said_hour_factors(self) -> list[str] | None:
        """Those that were written; None where nothing was, so that those of the ceiling's height count."""
        return self.hour_factors if "hour_factors" in self.model_fields_set else None


class OwnRoute(Entry):
    """Lengths from a panel to a machine, where nobody needs a name for its place."""

    panel: str | None = None
    """The panel; left out means each of them."""
    fixed_ft: LengthFt | None = Field(None, alias="fixed", ge=0)
    """Length of fixed wiring along walls or ceiling, ups and downs included."""
    cord_ft: LengthFt | None = Field(None, alias="cord", ge=0)
    """Length of a cord as it would hang or lie, ups and downs included."""

    rated_walls: int | None = Field(None, ge=0, le=MOST_RATED_WALLS)
    """Fire-rated walls and ceilings that fixed wiring along it goes through; left out, as building: says."""

    @model_validator(mode="after")
    def _has_a_length(self) -> "OwnRoute":
        if self.fixed_ft is None and self.cord_ft is None:
            raise MisreadError("says no length", "add fixed: or cord:")
        return self


class Ways(Entry):
    """Which ways of powering are open to one machine."""

    only: list[Run] | None = None
    """Nothing but these ways; left out means all."""
    forbid: dict[Run, str] = Field({})
    """Ways that are not allowed, each with the reason; still costed and shown unranked."""
    forbid_supply: dict[Supply, str] = Field({})
    """Sources of three-phase that do not suit the machine, each with the reason."""
    from_catalog: bool = False
    """For a machine with quoted ways: whether ways priced from the catalog compete with them."""
    hard_wired: bool | None = None
    """True: must be hard-wired to a disconnect; false: must have a plug; left out: both are compared."""
    fused: bool = False
    """Whether the disconnect of a hard-wired way has fuses, one a line, as a plate or a maker may ask."""


class FactoryCord(Entry):
    """The cord a machine came with, as its jacket is printed."""

    length_ft: LengthFt = Field(USUAL_CORD_FT, alias="length", ge=0)
    """From the machine to its plug, or to its bare end; left out, 6 ft."""
    awg: str
    """Its wire size: no plug goes on it that is for more than the wire carries (NEC Table 400.5(A)(1))."""

    @field_validator("awg")
    @classmethod
    def _is_cord(cls, awg: str) -> str:
        sizes = cord_sizes()
        if awg not in sizes:
            raise MisreadError(f"is {awg}", f"allowed: {', '.join(sizes)}")
        return awg


class Machine(Electrical):
    """A machine: one line of its nameplate and where it stands."""

    name: str
    """Name used in events."""
    count: int = Field(1, ge=1, le=1000)
    """How many of it there are, all alike and standing alike."""
    at: str = ""
    """The place where it stands, or will stand when it arrives; left out, the route says how far that is."""
    route: OwnRoute | None = None
    """How far it is from a panel, for a machine whose place needs no name."""
    lasts: dict[str, Share] = Field({})
    """By kind of part: how long it lasts at this machine, as a share of its life."""
    old_motor_worth_cents: MoneyCents = Field(Decimal(0), alias="old_motor_worth", ge=0)
    """What its own motor fetches when another is put in."""
    load: LoadKind | None = None
    """What it is to its circuit: motor, heater, welder (arc), spot or seam welder, other; left out, a motor."""
    motor_said: bool = Field(True, alias="motor")
    """Whether the load is a motor; false is short for load: other."""
    duty_cycle: Share | None = Field(None, gt=0, le=1)
    """Of a welder: the duty cycle at its nameplate amperes; left out, all of an arc welder's count (NEC 630.11(A))."""
    one_operation: bool = False
    """Of a spot or seam welder: whether amps and duty_cycle are those of the one thing it ever welds (NEC 630.31(A)(2))."""
    effective_a: CurrentA | None = Field(None, alias="effective_amps", gt=0)
    """Of an arc welder: the effective supply current on its plate, which its wires must carry; amps is then its largest."""
    terminals_c: TerminalsC | None = Field(None, alias="terminals")
    """60 or 75: what the terminals of breaker and machine are both marked for; left out, as the shop's code says."""
    own_cord_said_ft: LengthFt | None = Field(None, alias="own_cord", ge=0)
    """Length of the cord the machine came with, from the machine to its plug; left out, 6 ft; short for cord: {length:}."""
    cord: FactoryCord | None = None
    """The cord the machine came with, with its wire size: the condition for another plug on it."""
    least_heat: Share | None = Field(None, gt=0, le=1)
    """Of a heater: the least share of its heat that will do, on lower volts than its plate's; left out, all of it."""
    drop_limit: Share | None = Field(None, gt=0, le=1)
    """The largest voltage drop that is advised for it; left out, that of the shop's code."""
    plug: str | None = None
    """The plug it came with, for example NEMA 6-20: it stays, and its circuit follows it; left out means bare ends."""
    plug_may_change: bool = False
    """Whether its maker allows another plug, within what its cord: carries, a longer cord, or hard-wiring it."""
    arrives: int = Field(0, ge=0)
    """Year in which it comes; 0 is here today."""
    leaves: int | None = Field(None, ge=1)
    """Year in which it goes, in every scenario."""
    never_moves: bool = False
    """True for a machine that will stay where it is; a cord to it is then questioned, to a heater not ranked (NEC 400.12)."""
    takes_turns: str | None = None
    """Machines with the same word here never run at once; with plugs they may share an outlet, hard-wired they do not."""
    starts_by_itself: bool | None = None
    """Whether it switches itself on, as a compressor or an automatic collector does: then it always counts as running."""
    unattended: bool | None = None
    """Whether it also runs with nobody there, as a kiln overnight: then no promise holds it back, and it always counts."""
    listed: bool | None = None
    """Of a motor with a plug: whether its machine has a testing laboratory's listing mark; left out, taken so and asked."""
    disconnected_by: DisconnectedBy | None = None
    """What disconnects its motor, in sight and lockable: an own switch marked for it, or its breaker; left out, it is asked."""
    full_load_hours: HoursAYear = Field(Decimal(0), ge=0)
    """Hours a year at full load; two hours at half load count as one. 0 leaves its losses out."""
    power_needed: Share = Field(Decimal(1), gt=0, le=1)
    """Share of its motor's power that it ever needs; a converter that only starts motors gives about two thirds."""
    in_measured_peak: bool = False
    """Whether it already ran when the service's peak was measured; it is then not counted again."""
    now: Present | None = None
    """How it is powered now; left out, it has no circuit yet."""
    ways: Ways = Ways()
    """Ways of powering open to this machine."""
    recipes: dict[str, Recipe] = Field({})
    """Recipes that replace the catalog's for this machine only."""

    @property
    def always_counts(self) -> bool:
        """Whether it counts as running whatever was promised: it starts by itself, or runs with nobody there."""
        return bool(self.starts_by_itself or self.unattended)

    @property
    def kind(self) -> LoadKind:
        """What it is to its circuit."""
        return self.load or (LoadKind.MOTOR if self.motor_said else LoadKind.OTHER)

    @property
    def motor(self) -> bool:
        """Whether it is a motor."""
        return self.kind is LoadKind.MOTOR

    @property
    def of_motors(self) -> tuple[tuple[str, object], ...]:
        """What is said of its motors, by word."""
        return (
            ("more_motors", self.more_motors),
            ("two_speed", self.two_speed),
            ("brake", self.brake),
            ("rpm", self.rpm),
            ("frame", self.frame),
            ("shaft", self.shaft_in),
            ("enclosure", self.enclosure),
        )

    @property
    def own_cord_ft(self) -> Decimal:
        """Length of the cord it came with, feet."""
        said = self.cord.length_ft if self.cord is not None else self.own_cord_said_ft
        return USUAL_CORD_FT if said is None else said

    @model_validator(mode="after")
    def _is_one_thing(self) -> "Machine":
        if self.cord is not None and self.own_cord_said_ft is not None:
            raise MisreadError("says cord and own_cord", "write the length into cord")
        if self.kind is not LoadKind.HEATER and self.least_heat is not None:
            raise MisreadError("says least_heat, but is no heater", "write load: heater, or leave it out")
        if not self.motor:
            said = [word for word, value in self.of_motors if value]
            if said:
                raise MisreadError(
                    f"is no motor and says {', '.join(said)}", "add their amperes to amps, or leave it out"
                )
        if self.load is LoadKind.MOTOR and not self.motor_said:
            raise MisreadError("says load: motor and motor: false", "leave one of them out")
        return self

    @field_validator("now")
    @classmethod
    def _completed(cls, now: Present | None, info: ValidationInfo) -> Present | None:
        """What is left out of the present circuit follows from its receptacle, else from the nameplate."""
        if now is None or (now.poles and now.conductors and now.awg):
            return now
        phases, figures = info.data.get("phases", 1), info.data.get("plate_volts", ())
        only_120 = {nominal_volts(volts) for group in figures for volts in group} == {120}
        poles = 3 if phases == 3 else 1 if only_120 else 2
        wires = max(poles, 2) + (1 if info.data.get("neutral") and not only_120 else 0)
        device = receptacles.known(now.configuration)
        if device is not None:
            poles, wires = device.breaker_poles, device.conductors
        # What was written stays told apart from what follows, since reports mark the latter as assumed.
        awg = now.awg or _wire_of(now.breaker_a)
        followed = {"poles": now.poles or poles, "conductors": now.conductors or wires, "awg": awg}
        return Present.model_construct(now.model_fields_set, **(dict(now) | followed))


def _wire_of(breaker_a: Decimal) -> str:
    """The wire of a present circuit that nobody has looked at; it is asked about. Raises ValueError."""
    try:
        return thinnest_awg(int(breaker_a))
    except LookupError:
        raise MisreadError(
            f"leaves out awg, and no wire of the tables goes with {breaker_a:f} A", "write its awg"
        ) from None


class CordChoices(Entry):
    """Which cords to consider."""

    slack_ft: list[LengthFt] = Field([Decimal(0), Decimal(15)], alias="slack", min_length=1)
    """Slack lengths to choose from, coiled at the machine."""
    families: list[Family] = Field(list(Family), min_length=1)
    """Families of plugs and receptacles to choose from, for drops as well as cords."""
    spare_conductor: bool = True
    """Whether to consider a fourth conductor that today's machine does not use."""
    service: list[Service] = Field([Service.JUNIOR_HARD, Service.HARD], min_length=1)
    """Cord service classes to choose from."""
    pendant_ft: LengthFt = Field(Decimal(15), alias="pendant", gt=0)
    """Length of a pendant cord; it serves a circle around the ceiling outlet."""
    longest_ft: LengthFt = Field(Decimal(300), alias="longest", gt=0)
    """The longest cord to consider (the default is common practice, no source): longer ones are no way."""


class NextMachine(Machine):
    """A machine you think of buying; at most one of them is bought."""

    price_cents: MoneyCents = Field(alias="price", ge=0)
    """What the machine itself costs; at an auction, the hammer price."""
    premium: Share = Field(Decimal(0), ge=0)
    """The buyer's premium of an auction, as a share of the price."""
    tax: Share = Field(Decimal(0), ge=0)
    """Sales tax on price and premium."""
    trade_in_cents: MoneyCents = Field(Decimal(0), alias="trade_in", ge=0)
    """What the machine that it replaces fetches today."""
    freight_cents: MoneyCents = Field(Decimal(0), alias="freight", ge=0)
    """Bringing it in: freight, rigging, a rented pallet jack."""
    tooling_cents: MoneyCents = Field(Decimal(0), alias="tooling", ge=0)
    """What it needs besides power: tooling, a belt, a guard."""
    worth_at_end: Share = Field(Decimal(0), ge=0)
    """What it fetches at the end of the plan, as a share of its price."""


class Layout(Entry):
    """The same shop laid out otherwise today; what it does not name stays as it is."""

    name: str
    """What you call it; `--layout` takes it."""
    at: dict[str, str] = Field({})
    """By machine: the place where it stands instead."""
    without: list[str] = Field([])
    """Machines that are taken away today."""
    swap: dict[str, str] = Field({})
    """By machine: the brought machine that takes its place, its events and its part in every list; the old one goes."""
    brought: list[Machine] = Field([])
    """Machines that come today, in a machine's words."""


class Stored(Entry):
    """Something on the shelf: a part, or a cord with its ends."""

    part: str
    """Id of the part in parts.yaml; for a cord, of its cable."""
    count: int = Field(1, ge=1, le=100_000)
    """How many."""
    length_ft: LengthFt | None = Field(None, alias="length", gt=0)
    """Length of a cable or cord."""
    plug: str | None = None
    """Configuration of the plug on a cord."""
    connector: str | None = None
    """Configuration of the connector on a cord."""


class Shop(Entry):
    """A shop file."""

    name: str = Field(alias="shop")
    """The shop's name, as shown at the top of every report."""
    invented: bool | Literal["prices"] = False
    """True for demo data: reports then say that prices and people are invented; `prices` when only those are."""
    currency: Currency = "USD"
    """Three-letter code of the currency all money is in."""
    catalog: str | None = None
    """Folder of the parts catalog, relative to this file."""
    today: date
    """The day the plan is made; ages of prices are counted from here, never from the clock."""
    years: int = Field(ge=0, le=60)
    """How many years you plan for."""
    money: Money = Money()
    """Discounting, growth, the value of an hour."""
    code: Code = Code()
    """Which code rules apply."""
    building: Building = Building()
    """What the building, the landlord and the inspector allow."""
    panels: list[Panel] = Field([])
    """Panels that circuits can start from; a shop that has nothing but quotes needs none."""
    places: list[Spot] = Field([])
    """Named places; a machine with a route of its own needs none."""
    hour_factors: dict[str, HourFactor] = Field({})
    """What makes work slower, by name; those of the catalog's labor.yaml need not stand here."""
    routes: list[Route] = Field([])
    """Measured lengths; they win over lengths measured from coordinates."""
    machines: list[Machine] = Field([])
    """The machines; a shop may have none yet where `costplan next` prices the first."""
    quoted_ways: list[QuotedWay] = Field([])
    """Ways with a quote in the place of parts and recipes; their machines have only these unless `from_catalog`."""
    strategies: list[Strategy] = Field([])
    """Strategies for the whole shop that are compared by name."""
    hired_visits: VisitRule = VisitRule.YEARLY
    """Whether the hired moves of a year are done in one visit, or each has its own visit, call-out and permit."""
    installed: list[Installed] = Field([])
    """Outlets that are there already and unused."""
    service: PowerService | None = None
    """What the utility brings; left out, its capacity is not looked at."""
    gear: list[Gear] = Field([])
    """Shared gear: candidates to be bought when they pay, and what is there already."""
    next_machines: list[NextMachine] = Field([])
    """Machines you think of buying; `costplan next` prices them."""
    layouts: list[Layout] = Field([])
    """Other layouts that are priced beside today's."""
    shelf: list[Stored] = Field([])
    """What lies on the shelf: parts, and cords with their ends."""
    scenarios: list[Scenario] = Field([])
    """Courses of events; none means nothing ever changes."""
    cords: CordChoices = CordChoices()
    """Which cords, plugs and receptacles to consider."""
    crews: list[Crew] = Field([])
    """Crews that replace the catalog's crew of the same name, or add to them."""
    bids: list[FixedBid] = Field([])
    """Fixed bids received."""
    bids_file: str | None = None
    """File of the bids received, hourly and fixed, relative to this file; `costplan bids` levels them."""
    owner_does: list[str] | None = None
    """Tasks the owner does; left out means every task the labor file lets an owner do."""
    recipes: dict[str, Recipe] = Field({})
    """Recipes that replace the catalog's for the whole shop."""
    must_be_new: list[str] = Field([])
    """Part kinds that must be bought new, besides the catalog's."""
    may_be_used: list[str] = Field([])
    """Part kinds you allow used although the catalog says they must be new; a warning is shown."""
