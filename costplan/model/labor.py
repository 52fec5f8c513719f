"""Who works and at what: tasks with their hours, crews with their pace."""

from decimal import Decimal
from enum import StrEnum

from pydantic import Field, PrivateAttr, field_validator, model_validator

from costplan.files.quantities import MisreadError
from costplan.model.base import Entry, Hours, MoneyCents, Number, not_rising, three_times
from costplan.model.ranges import RangedMoney


class Role(StrEnum):
    """Who may do a task."""

    OWNER = "owner"
    ELECTRICIAN = "electrician"


class Task(Entry):
    """A unit of labor with low, likely and high hours of one person."""

    id: str
    """Short name used in recipes."""
    name: str
    """What is done."""
    hours: tuple[Hours, Hours, Hours]
    """[low, likely, high] man-hours of one journeyman in an open shop, or of the owner where only the owner may do it."""
    who: list[Role] = Field(min_length=1)
    """Who may do it."""
    permit: bool = False
    """Whether it needs a permit."""
    stops_shop_hours: Hours = Field(Decimal(0), alias="stops_shop")
    """Hours the machine or shop stands while it is done; once a visit, for its longest task, where the hired crew does it."""

    _three = field_validator("hours", mode="before")(three_times)

    @field_validator("hours")
    @classmethod
    def _ordered(cls, hours: tuple[Decimal, Decimal, Decimal]) -> tuple[Decimal, Decimal, Decimal]:
        if not 0 <= hours[0] <= hours[1] <= hours[2]:
            raise not_rising(hours)
        return hours


class JobCharge(Entry):
    """Money that a piece of work costs besides hours and parts: a lift, a place at the dump."""

    id: str
    """Short name used in recipes."""
    name: str
    """Name shown in lists."""
    price_cents: MoneyCents = Field(alias="price", ge=0)
    """Money each time; it grows with the prices of parts."""


PAIR = 2
PAIR_PACE = Decimal("1.9")
PAIR_PACES = (Decimal("1.7"), Decimal("2.2"))
"""What two electricians do in an hour, of what one does, likely and from low to high: below 2 where one waits, above
where a lone man climbs down for each piece. Common practice, no source."""
PAIR_SPREAD = (PAIR_PACES[1] - PAIR_PACES[0]) / 6 / PAIR_PACE
"""One standard deviation of that pace as a share of it. Source: the three-point (PERT) spread."""


def paceless(people: int) -> tuple[str, str]:
    """What is wrong with a crew of so many people without a pace, and the mend."""
    return (
        f'is {people} people and lacks "pace"',
        "add pace: what they do in an hour of what one electrician does; only two electricians have one of their own, 1.9",
    )


class Crew(Entry):
    """Who works: an hourly rate, a pace, and what a visit costs."""

    name: str
    """Name shown in lists."""
    role: Role
    """owner or electrician."""
    rate_cents: RangedMoney = Field(alias="rate", ge=0)
    """Money an hour for the whole crew, or [low, likely, high]; for the owner, what your own hour is worth to you."""
    rate_from: str | None = None
    """The crew from whose rate this one's was reckoned, since nobody asked it; it is asked. Left out, it was asked."""
    people: int = Field(1, ge=1)
    """How many work together."""
    pace: Number = Field(Decimal(1), ge=Decimal("0.05"), le=10)
    """Work done an hour relative to one electrician, an owner about 0.6; left out, 1, of two electricians 1.9."""
    call_out_cents: MoneyCents = Field(Decimal(0), alias="call_out", ge=0)
    """Charged each visit."""
    minimum_cents: MoneyCents = Field(Decimal(0), alias="minimum", ge=0)
    """Least labor charged for a visit, today or later, where it grows with labor."""
    set_up_hours: Hours = Field(Decimal(0), alias="set_up", ge=0)
    """Set-up and clean-up a visit, hours of one electrician."""
    permit_cents: MoneyCents = Field(Decimal(0), alias="permit", ge=0)
    """Permit and inspection, for a visit with work that needs one; of the owner: for work that he does himself."""
    later_permit_cents: MoneyCents | None = Field(None, alias="later_permit", ge=0)
    """Every permit after the first; left out means as the first."""
    _pace_spread: Decimal = PrivateAttr(Decimal(0))

    @model_validator(mode="after")
    def _pace_of_a_pair(self) -> "Crew":
        """Two electricians of whom nobody said the pace have that of common practice, with its spread."""
        if self.people > 1 and "pace" not in self.model_fields_set:
            if self.people > PAIR or self.role is not Role.ELECTRICIAN:
                raise MisreadError(*paceless(self.people))
            object.__setattr__(self, "pace", PAIR_PACE)
            self._pace_spread = PAIR_SPREAD
        return self

    @property
    def pace_spread(self) -> Decimal:
        """One standard deviation of the pace, as a share of it; 0 where the pace was said."""
        return self._pace_spread

    def at_pace(self, pace: Decimal, spread: Decimal) -> "Crew":
        """The same crew at another pace, with its spread as a share of it."""
        crew = self.model_copy(update={"pace": pace})
        crew._pace_spread = spread
        return crew


class FixedBid(Entry):
    """A fixed price for named tasks today; what it leaves out is done by an hourly crew."""

    name: str
    """Name shown in lists."""
    price_cents: MoneyCents = Field(alias="price", ge=0)
    """The bid."""
    covers: tuple[str, ...] = Field(min_length=1)
    """Task ids the bid covers today, for all machines."""
    rest_by: str
    """The hourly electrician crew that does the rest and all later work."""
    includes_permit: bool = False
    """Whether the price holds the permit of the covered work; work it leaves out may still need one."""
