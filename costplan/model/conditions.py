"""What holds for the whole shop: how money is compared, which facts of the code apply, what the building allows."""

from decimal import Decimal

from pydantic import Field, field_validator

from costplan.files.quantities import MisreadError
from costplan.model.base import CurrentA, Edition, Entry, LengthFt, MoneyCents, Number, Share, TerminalsC
from costplan.model.choices import Construction, Distribution, Listed, Occupancy, RejectRule, Run, SurplusRule
from costplan.model.ranges import PriceSpread, RangedMoney, RangedRate


class Growth(Entry):
    """Real growth a year, over and above general inflation, by class of cost."""

    parts: RangedRate = Decimal(0)
    """Growth of part prices a year, or [low, likely, high]."""
    labor: RangedRate = Decimal(0)
    """Growth of wages and call-outs a year, or [low, likely, high]."""
    electricity: RangedRate = Decimal(0)
    """Growth of the electricity price a year, or [low, likely, high]."""


class Money(Entry):
    """How money in different years is compared."""

    discount_rate: RangedRate = Decimal("0.03")
    """Real discount rate a year, or [low, likely, high]; amounts fall at year end, today is year 0."""
    growth: Growth = Growth()
    """Real growth by class of cost."""
    shop_hour_cents: MoneyCents = Field(Decimal(0), alias="shop_hour")
    """What an hour of standing shop or machine costs you; 0 leaves lost time out and says so."""
    electricity_cents_per_kwh: RangedMoney = Field(Decimal(0), alias="electricity_per_kwh")
    """Price of a kilowatt-hour, or [low, likely, high]."""
    outlay_cap_cents: MoneyCents | None = Field(None, alias="outlay_cap")
    """The most that may be spent today."""
    surplus: SurplusRule = SurplusRule.ALLOWED
    """Whether surplus parts may be bought at all."""
    rejects: RejectRule = RejectRule.EXPECTED
    """expected share: what fails costs its share on average; whole spares: so many counted pieces more are bought at once."""
    price_uncertainty: PriceSpread = Decimal("0.10")
    """One standard deviation of the price of a new part seen lately, as a share; used and old prices are more uncertain."""
    distribution: Distribution = Distribution.PERT
    """How likely the figures of a range [low, likely, high] are: beta-PERT or triangular."""


class Code(Entry):
    """Facts that decide which rules of the local code apply."""

    edition: Edition | None = None
    """NEC edition in force, for example 2020. Left out: unknown; the dearer reading is priced and said so."""
    occupancy: Occupancy = Occupancy.COMMERCIAL
    """What the building is to the code."""
    ground_fault_place: Listed | None = None
    """Outside dwellings: whether the inspector classes the space as one of the places NEC 210.8(B) lists, or which: an
    unfinished basement (listed since 2017), a damp place (2020). Left out: unknown; priced without, and said so."""
    small_children: bool | None = None
    """Whether it is a preschool, an elementary school or child care, whose 15 and 20 A receptacles are tamper-resistant (NEC
    406.12). Left out: of a school it is asked, with the money that turns on it; elsewhere taken as none."""
    drop_limit: Share = Decimal("0.03")
    """Voltage drop allowed in a branch circuit (NEC 210.19 note: advice, not a rule)."""
    ambient_c: Number = Decimal(30)
    """Warmest air around the wiring in degrees C; the tables are for 30."""
    terminals_c: TerminalsC = Field(60, alias="terminals")
    """60 or 75: what the terminals at both ends of circuits are marked for (NEC 110.14(C)); above 100 A 75 anyway."""
    starting_margin: Share = Field(Decimal("1.75"), ge=1)
    """Breaker of a hard-wired motor at least, as a share of its current, so that it starts; within NEC 430.52."""
    smallest_circuit_a: CurrentA | None = Field(None, alias="smallest_circuit")
    """The smallest circuit made anew, 15 or 20 A; left out, 20 A, or 15 A where the shop has 15 A circuits already."""

    @field_validator("smallest_circuit_a")
    @classmethod
    def _small(cls, amps: Decimal | None) -> Decimal | None:
        if amps is not None and amps not in (15, 20):
            raise MisreadError(f"is {amps:f} A", "allowed: 15 A, 20 A")
        return amps


MOST_RATED_WALLS = 20
"""More on one run is a mistake. A choice, no source."""


class Lease(Entry):
    """What the landlord asks when the lease ends."""

    ends_year: int = Field(alias="ends", ge=1)
    """Year in which the lease ends, counted from today; at most the horizon."""
    take_out: bool = False
    """Whether fixed wiring must be taken out again."""
    capped_too: bool | None = None
    """Whether runs made safe before, which lie capped in the wall, must come out too; not said: they stay, and it is asked."""
    there_too: bool | None = None
    """Whether circuits that were there before the plan (now:) must come out too; not said: they stay, and it is asked."""


class SpaceWords(Entry):
    """What may be said of the space at a place, or of another building, in the words of code: and building:."""

    occupancy: Occupancy | None = None
    """What the space here is to the code; left out, as code: says for the shop."""
    ground_fault_place: Listed | None = None
    """Outside dwellings: whether NEC 210.8(B) lists the space here, or as what; left out, as code: says for the shop."""
    construction: Construction | None = None
    """The type of construction here, I to V; left out, as building: says."""
    finished_walls: bool | None = None
    """Whether walls here have a finish that stands fire for 15 minutes; left out, as building: says."""
    detached: bool | None = None
    """Whether it is in a building apart from the one that feeds it; left out, as building: says."""
    wood_dust: bool | None = None
    """Whether wood dust lies about here; left out, as building: says."""
    flammable_vapors: bool | None = None
    """Whether finishes, solvents or fuels give off vapors here; left out, as building: says."""


class Building(Entry):
    """What the building allows."""

    ceiling_height_ft: LengthFt = Field(Decimal(10), alias="ceiling_height")
    """Height of the ceiling or the beams that cords and ceiling outlets hang from."""
    forbid: dict[Run, str] = Field({})
    """Ways the building, the landlord or the inspector does not allow, each with the reason."""
    construction: Construction | None = None
    """Its type of construction, I to V; outside dwellings nonmetallic cable goes only into types III, IV and V (NEC 334.10)."""
    finished_walls: bool | None = None
    """Whether cable in its walls is behind a finish that stands fire for 15 minutes, mostly gypsum board (NEC 334.10(3))."""
    rated_walls: int | None = Field(None, ge=0, le=MOST_RATED_WALLS)
    """Fire-rated walls and ceilings that each fixed run goes through, 0 for none; left out, taken as none, and asked."""
    detached: bool | None = None
    """Whether it stands apart from the building that feeds it, as a garage or a shed may; left out, it is asked."""
    wood_dust: bool | None = None
    """Whether wood is worked in it, so that its dust lies about; left out, it is asked where motors get circuits."""
    flammable_vapors: bool | None = None
    """Whether finishes, solvents or fuels are sprayed, dipped, poured or kept open in it; left out, it is asked."""
    lease: Lease | None = None
    """The lease, if there is one."""
    patching: bool = True
    """Whether walls opened for wiring must be patched."""
    make_safe: bool = True
    """Whether wiring nobody uses any more is made safe at a cost."""
