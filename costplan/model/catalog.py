"""What the user keeps in the catalog folder: parts, suppliers, labor, recipes, offers."""

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any, Literal

from pydantic import Field, field_validator, model_validator

from costplan.files.quantities import MisreadError
from costplan.model.base import Entry, Hours, LengthFt, MoneyCents, Number, Share, ThreeHours
from costplan.model.choices import ResaleRule
from costplan.model.hour_factors import HourFactor
from costplan.model.labor import Crew, JobCharge, Task
from costplan.model.ranges import FailingShare, PriceSpread, RangedMoney, RangedShare

_UNIT = re.compile(
    r"each|ft|100 ft|1000 ft|(box|pack|bag|lot) of [1-9][0-9]{0,5}"
    r"|(reel|roll|piece|stick) of (?!0+(\.0+)? )[0-9]{1,6}(\.[0-9]{1,3})? ft"
)


class Condition(StrEnum):
    """What state a part is sold in."""

    NEW = "new"
    NEW_OLD_STOCK = "new-old-stock"
    USED = "used"
    ON_HAND = "on-hand"


SURPLUS = (Condition.NEW_OLD_STOCK, Condition.USED)
"""The conditions of used parts, as the screens call them together: used ones, and new ones that lay in store for years."""


def _known_unit(per: str) -> str:
    if not _UNIT.fullmatch(per):
        raise MisreadError(
            f'is "{per}"',
            "allowed: each, ft, 100 ft, 1000 ft, box of 25, lot of 40, reel of 250 ft, "
            "piece of 47 ft, stick of 10 ft",
        )
    return per


def _exact(attributes: Any) -> Any:
    """Whole numbers as Decimal, so that a size is a number however it was written."""
    if not isinstance(attributes, dict):
        return attributes
    return {
        name: Decimal(str(value)) if type(value) in (int, float) else value
        for name, value in attributes.items()
    }


class Part(Entry):
    """What a thing is, whoever sells it. Attributes beyond these are free words of its kind."""

    id: str
    """Your own short name for it, used in offers.csv."""
    kind: str
    """Its kind; kinds.yaml lists them with the attributes each must have."""
    name: str
    """What to say at the counter."""
    attributes: dict[str, str | Decimal | bool] = Field({})
    """The kind's attributes, for example configuration, awg, conductors, rating."""
    life_years: int | None = Field(None, alias="life", ge=1)
    """Years in service before it is replaced; left out means that of its kind."""
    resale: dict[Condition, RangedShare] | None = None
    """What it fetches at the end, as a share of the price paid, by condition, as in kinds; left out means that of its kind."""
    resale_rule: ResaleRule | None = None
    """Whether that share stays, or falls over its life; left out means that of its kind."""

    _exact_attributes = field_validator("attributes", mode="before")(_exact)

    def number(self, attribute: str) -> Decimal:
        """An attribute that is a number. Raises KeyError where the part does not state it."""
        return Decimal(str(self.attributes[attribute]))


class Kind(Entry):
    """A kind of part: its attributes, life, worth at the end, and the risk of buying it as surplus."""

    kind: str
    """Name of the kind."""
    attributes: list[str] = Field([])
    """Attributes every part of the kind must state."""
    may_state: list[str] = Field([])
    """Attributes that a part may leave out, and that must suffice where it states them: horsepower (`hp_240_v_3_phase`)."""
    sold: Literal["each", "length", "cut length"] = "each"
    """each: counted; length: by the foot, joints allowed; cut length: one unbroken piece per run."""
    nonmetallic: bool | None = None
    """Of building cable: whether its sheath is nonmetallic, which outside dwellings few walls may hold (NEC 334.10)."""
    portable: bool = False
    """Whether it comes along when the machine or the shop moves, and can be sold at the end."""
    must_be_new: bool = False
    """Whether surplus is refused unless the shop says otherwise."""
    life_years: int | None = Field(None, alias="life", ge=1)
    """Years in service before it is replaced; left out means it outlasts any plan."""
    resale: dict[Condition, RangedShare] = Field({})
    """What it fetches at the end, as a share of the price paid, by the condition bought in, each one or [low, likely, high]."""
    resale_rule: ResaleRule = ResaleRule.SHARE
    """share of price: the share stays until it is worn out; straight line over life: it falls with every year."""
    reject: dict[Condition, FailingShare] = Field({})
    """Share of surplus pieces that fail inspection, by condition, each one or [low, likely, high]."""
    price_uncertainty: PriceSpread | None = None
    """One standard deviation of a new price of the kind, as a share; left out means the shop's money.price_uncertainty."""
    moves_with: str | None = None
    """What its prices rise and fall along with, a word of your own; left out, copper for wire, cable and cord, else nothing."""
    inspect_hours: Hours = Field(Decimal(0), alias="inspect")
    """Owner's time to inspect and test one surplus piece."""


class Errand(Entry):
    """What fetching an order takes, once however much is fetched."""

    money_cents: MoneyCents = Field(Decimal(0), alias="money", ge=0)
    """Fuel, parking, a rented van."""
    own_hours: Hours = Decimal(0)
    """Your own hours there and back."""


class Supplier(Entry):
    """Someone who sells parts; the shelf is a supplier too."""

    id: str
    """Short name used in offers.csv."""
    name: str
    """Name shown in lists."""
    phone: str = ""
    """Number to call, shown on the shopping list and beside the calls that are worth making."""
    account: str = ""
    """Your account there, shown on the shopping list."""
    address: str = ""
    """Where to drive to, or to write to, shown on the shopping list."""
    order_fee_cents: MoneyCents = Field(Decimal(0), alias="order_fee", ge=0)
    """Charged once when anything is bought."""
    delivery_cents: MoneyCents = Field(Decimal(0), alias="delivery", ge=0)
    """Delivery, charged once unless the order reaches free_over."""
    free_over_cents: MoneyCents | None = Field(None, alias="free_over", gt=0)
    """Order value from which delivery is free."""
    minimum_cents: MoneyCents = Field(Decimal(0), alias="minimum", ge=0)
    """Smallest order taken; where goods are worth less, the rest is paid all the same."""
    errand: Errand = Errand()
    """What fetching the order takes; left out, nothing."""
    cut_charge_cents: MoneyCents = Field(Decimal(0), alias="cut_charge", ge=0)
    """Charged for each piece cut to length."""
    tax: Share = Field(Decimal(0), ge=0)
    """Sales tax on goods."""
    markup: Share = Field(Decimal(0), ge=0)
    """What an electrician adds to the price of parts that he brings; his tax is in his prices."""

    @model_validator(mode="after")
    def _adds_one_thing(self) -> "Supplier":
        if self.tax and self.markup:
            raise MisreadError("says tax and markup", "write prices with the tax in them, and leave tax out")
        return self

    @property
    def reached(self) -> str:
        """Phone, account and address in one phrase; empty where none is known."""
        said = {"phone": self.phone, "account": self.account, "address": self.address}
        return ", ".join(f"{name} {words}" for name, words in said.items() if words)

    @property
    def on_goods(self) -> Decimal:
        """What comes on top of the price of goods, as a share: sales tax, or an electrician's markup."""
        return self.tax or self.markup

    @property
    def on_goods_words(self) -> str:
        """What that is called."""
        return f"markup of {(self.markup * 100).normalize():f} %" if self.markup else "sales tax"


class Offer(Entry):
    """A part at a supplier, in a condition, at a price: one row of offers.csv."""

    part: str
    """Id of a part."""
    supplier: str
    """Id of a supplier."""
    condition: Condition
    """new, new-old-stock, used or on-hand."""
    price_cents: RangedMoney | None = Field(alias="price", ge=0)
    """Price of one `per`, or its range as [40/55/80]; blank means to be asked."""
    per: str
    """each | ft | 100 ft | box of 25 | lot of 40 | reel of 250 ft | piece of 47 ft"""
    available: int | None = Field(None, ge=0)
    """How many `per` (for ft: how many feet) can be had; blank means as many as you like."""
    seen: date | None = None
    """Day the price was seen."""
    note: str = ""
    """Anything worth remembering."""
    their_number: str = ""
    """The number under which the supplier has it."""
    freight_cents: MoneyCents = Field(Decimal(0), alias="freight", ge=0)
    """Freight of one `per`, always due; not taxed, and no goods towards free delivery."""
    usable: Share | None = Field(None, gt=0, le=1)
    """Of a lot: the share of its pieces that can be used; blank means those that its kind does not reject."""
    row: int = 0
    """Row in offers.csv, for tracing."""

    @field_validator("per")
    @classmethod
    def known_unit(cls, per: str) -> str:
        """The unit itself. Raises ValueError when it is none of the units that prices are given in."""
        return _known_unit(per)

    @property
    def pack_size(self) -> int:
        """Pieces in one `per` when it is counted, else 1; of a lot, those that are no use among them."""
        match = re.fullmatch(r"(?:box|pack|bag|lot) of (\d+)", self.per)
        return int(match[1]) if match else 1

    @property
    def is_lot(self) -> bool:
        """Whether so many pieces go for one price, of which a share is no use."""
        return self.per.startswith("lot of ")

    @property
    def piece_length_ft(self) -> Decimal | None:
        """Length of one reel, roll, piece or stick in feet, None when not sold that way."""
        match = re.fullmatch(r"(?:reel|roll|piece|stick) of (\d+(?:\.\d+)?) ft", self.per)
        return Decimal(match[1]) if match else None

    @property
    def by_the_foot(self) -> int | None:
        """Feet that the price is for (1, 100 or 1000), None when not sold by the foot."""
        return {"ft": 1, "100 ft": 100, "1000 ft": 1000}.get(self.per)


class Phase(Entry):
    """What one step in the life of a quoted way takes, for one machine."""

    money_cents: MoneyCents = Field(Decimal(0), alias="money", ge=0)
    """Parts and everything else that is paid as a lump."""
    hours: ThreeHours = (Decimal(0), Decimal(0), Decimal(0))
    """Hired hours, of one electrician; they call for a visit."""
    own_hours: ThreeHours = (Decimal(0), Decimal(0), Decimal(0))
    """Your own hours, as they are; no pace is applied."""
    permit: bool = False
    """Whether it needs a permit that the money does not hold."""


class Renewal(Phase):
    """Replacing what is worn of a quoted way."""

    every: int = Field(ge=1)
    """Years from one to the next; the first comes so many years after it was put in."""


class RecipePart(Entry):
    """A part that a recipe takes."""

    kind: str
    """Kind of part."""
    per: Literal["run", "ft", "end", "wire"] = "run"
    """Once a run, for every foot, for each end, or for each wire of the circuit, its ground among them."""
    quantity: Number = Field(Decimal(1), gt=0)
    """How many; the total for a run is rounded up."""
    attributes: dict[str, str | Decimal | bool] = Field({})
    """Attributes the part must have."""

    _exact_attributes = field_validator("attributes", mode="before")(_exact)


class _Counted(Entry):
    """Something of a recipe that may also come once a visit."""

    per: Literal["run", "ft", "end", "visit"] = "run"
    """Once a run, for every foot, for each end, or once a visit for all work of it that asks."""
    quantity: Number = Field(Decimal(1), gt=0)
    """How many."""

    @model_validator(mode="after")
    def _one_a_visit(self) -> "_Counted":
        if self.per == "visit" and self.quantity != 1:
            raise MisreadError(f"is {self.quantity:f} a visit", "delete quantity, a visit has it once")
        return self


class RecipeTask(_Counted):
    """A task that a recipe takes."""

    task: str
    """Task id."""


class RecipeCharge(_Counted):
    """A charge that a recipe takes."""

    charge: str
    """Charge id."""


class Quote(Entry):
    """A plain quote that takes the place of a recipe's parts and tasks."""

    per_run_cents: MoneyCents = Field(Decimal(0), alias="per_run", ge=0)
    """Money a run, parts included."""
    per_ft_cents: MoneyCents = Field(Decimal(0), alias="per_ft", ge=0)
    """Money a foot, parts included."""
    hours_per_run: Hours = Decimal(0)
    """Electrician hours a run."""
    hours_per_ft: Hours = Decimal(0)
    """Electrician hours a foot."""
    own_hours_per_run: Hours = Decimal(0)
    """Your own hours a run."""
    own_hours_per_ft: Hours = Decimal(0)
    """Your own hours a foot."""
    permit: bool = False
    """Whether the work needs a permit that the price does not hold."""


class Recipe(Entry):
    """Which parts and tasks a piece of work takes."""

    extra_ft: LengthFt = Field(Decimal(0), alias="extra", ge=0)
    """Length beyond the route: in the panel, in boxes, floor slack."""
    waste: Share = Field(Decimal(0), ge=0)
    """Share of length lost to waste."""
    parts: list[RecipePart] = Field([])
    """Parts besides the conductors and the ends, which sizing names."""
    tasks: list[RecipeTask] = Field([])
    """Labor."""
    charges: list[RecipeCharge] = Field([])
    """Money besides."""
    quote: Quote | None = None
    """A quote in the recipe's place."""

    @model_validator(mode="before")
    @classmethod
    def _not_none(cls, values: Any) -> Any:
        return {} if values is None else values


RECIPE_NAMES = (
    "wall drop",
    "conduit drop",
    "armored drop",
    "ceiling outlet",
    "outlet beside panel",
    "receptacle",
    "disconnect",
    "breaker",
    "ground-fault breaker",
    "machine plug",
    "cord set",
    "cord end",
    "overhead cord",
    "pendant",
    "change receptacle",
    "change breaker",
    "change cord end",
    "move machine",
    "make safe",
    "take out",
    "patch",
    "yearly cord care",
)
"""The work a catalog must have a recipe for (docs in DEVELOPERS.md)."""

GEAR_RECIPE_NAMES = (
    "feeder",
    "subpanel",
    "phase converter",
    "drive",
    "motor swap",
    "buck-boost transformer",
    "utility three-phase",
    "service upgrade",
    "load manager",
    "tandem breaker",
    "main disconnect",
)
"""Work on shared gear; a catalog needs a recipe only for the gear its shops think of."""


MOVED_DROP_RECIPES = ("move wall drop", "move conduit drop", "move armored drop", "move ceiling outlet")
"""What moving an outlet takes, in place of a new run; a catalog has them only where that can be had."""

BESIDE_IN_CONDUIT, BESIDE_BY_CABLE = "outlet beside panel in conduit", "outlet beside panel by cable"
"""An outlet beside the panel by other runs than armored cable; a catalog has them where that is to be compared."""
INTO_MACHINE = "cord into machine"
"""What wiring a cord into a machine takes, its grip among it; without it no cord from beside the panel is wired in."""
HEATER_LEAD = "heater lead"
"""What the lead from its disconnect to a hard-wired heater takes besides its armored cable, as long as the recipe's extra."""
HARD_WIRED_LEAD = "hard-wired lead"
"""The same to any other hard-wired machine that came without a cord; without it none is priced, as if a cord were there."""
MACHINE_LEAD = "machine lead"
"""What a lead takes, besides its cord as long as the recipe's extra, from a machine without a cord to the plug it is given."""
MACHINE_SWITCH = "machine switch"
"""What mounting a switch at a machine takes, between its cord and its motor; without it as much as a disconnect."""
PIGTAILS = "pigtails"
"""What splicing one end of a run that is too heavy for its terminals takes; without it no run is made so heavy."""

FLUSH_PANEL = "flush panel"
"""What a new run takes besides at a panel that lies in the wall; a catalog has it where such panels are."""
RATED_WALL = "rated wall"
"""What each fire-rated wall or ceiling takes that a new run goes through; a catalog has it where such walls are."""

RENEW = "renew "
"""Begins the name of a recipe of replacing one worn part, followed by its kind: `renew receptacle`."""
RENEWED_BY = {
    "receptacle": "change receptacle",
    "disconnect": "disconnect",
    "breaker": "change breaker",
    "plug": "change cord end",
    "connector": "change cord end",
    "cord": "cord set",
    "overhead kit": "overhead cord",
}
"""The recipe whose tasks put in another part of the kind, where no recipe of its own says it; every catalog has these."""


class JobTask(Entry):
    """What one task took on a finished job."""

    task: str
    """Task id."""
    quantity: Number = Field(Decimal(1), gt=0)
    """How many; feet for a task that is counted by the foot."""
    hours: Hours = Field(ge=0)
    """Hours by the clock that the crew was at it, for the whole quantity; set-up and driving left out."""
    crew: str
    """The crew that did it. A pair moves its pace at tasks that one electrician did on a job too; all else moves the hours."""


class PaidPrice(Entry):
    """What a part really cost on a finished job."""

    part: str
    """Id of a part."""
    supplier: str
    """Id of a supplier."""
    condition: Condition
    """new, new-old-stock, used or on-hand."""
    price_cents: MoneyCents = Field(alias="price", ge=0)
    """Price paid for one `per`, without tax and delivery."""
    per: str
    """each | ft | 100 ft | box of 25 | reel of 250 ft | piece of 47 ft"""

    _unit = field_validator("per")(_known_unit)


class Job(Entry):
    """A finished job: the hours it took and the prices that were paid."""

    name: str
    """What it was."""
    day: date = Field(alias="date")
    """The day it was finished."""
    tasks: list[JobTask] = Field([])
    """Hours by task; the same task may stand more than once."""
    prices: list[PaidPrice] = Field([])
    """Prices by part."""

    @model_validator(mode="after")
    def _says_something(self) -> "Job":
        if not self.tasks and not self.prices:
            raise MisreadError("records nothing", "add tasks: or prices:")
        return self


class PriceInForce(Entry):
    """A price paid on a job that took the place of an offer's older one."""

    asked_cents: Decimal | None
    """The price that offers.csv says; None when it is blank there."""
    trace: str
    """Where the price is written: `jobs.yaml:12`."""


class Catalog(Entry):
    """A catalog folder, read."""

    parts: list[Part]
    kinds: list[Kind]
    suppliers: list[Supplier]
    tasks: list[Task]
    crews: list[Crew]
    recipes: dict[str, Recipe]
    offers: Sequence[Offer]
    """The offers, at the price last paid where a job was later than the day the price was seen."""
    charges: list[JobCharge] = Field([])
    """Money that work costs besides hours and parts."""
    hour_factors: dict[str, HourFactor] = Field({})
    """What makes work slower, by name."""
    jobs: list[Job] = Field([])
    """Finished jobs, in the file's order."""
    paid: dict[int, PriceInForce] = Field({})
    """By row of offers.csv, the prices that a job changed."""
    invented: bool = False
    """Whether it is the shipped demo's, whose prices are nobody's."""
