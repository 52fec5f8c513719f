"""What the user says will happen: dated events, rearranging in short form, scenarios with their weights."""

from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field, model_validator

from costplan.files.quantities import MisreadError
from costplan.model.base import Entry, Number
from costplan.model.choices import NewBuilding
from costplan.model.conditions import SpaceWords
from costplan.model.nameplate import Retool
from costplan.model.ranges import MOST_A_YEAR, MOST_IN_ALL, Likelihood, Often, OftenInAll


class Event(Entry):
    """A dated change."""

    year: int = Field(0, ge=1)
    """Year from today; the change falls at the end of that year."""
    years: list[Annotated[int, Field(ge=1)]] | None = Field(None, min_length=1)
    """Several years, in place of one."""
    every: int | None = Field(None, ge=1)
    """Every so many years, as long as the plan goes: 1 is every year but the last."""
    machine: str | None = None
    """The machine it happens to; left out when the whole shop moves."""
    how_many: int | None = Field(None, ge=1)
    """How many of a group it happens to, always the same first ones; left out means all."""
    move: str | None = None
    """The place the machine moves to."""
    new_spot: bool = False
    """The machine moves to a spot where it has no outlet yet, as far from the panels as where it stands."""
    times: int = Field(1, ge=1, le=1000)
    """How often in that year it moves to a new spot."""
    retool: Retool | None = None
    """The machine's new nameplate."""
    arrives: str | None = None
    """The place a machine listed with this event's name comes to in this scenario only."""
    leaves: bool = False
    """The machine leaves."""
    shop_moves: bool = False
    """The whole shop moves to another building."""
    route_factor: Number = Field(Decimal(1), gt=0)
    """When the shop moves: the new building's runs as a multiple of today's."""
    new_building: NewBuilding | None = None
    """When the shop moves: whether somebody looked, and service, phases, panels, walls and who may wire it are as here."""

    building: SpaceWords | None = None
    """When the shop moves: what the code calls the new building, in a place's words; what is left out is as here."""

    @model_validator(mode="before")
    @classmethod
    def _one_thing(cls, values: Any) -> Any:
        if not isinstance(values, dict):
            return values
        changes = ("move", "new_spot", "retool", "arrives", "leaves", "shop_moves")
        said = [key for key in changes if values.get(key)]
        if len(said) != 1:
            raise MisreadError(f"must say exactly one of {', '.join(changes)}", "write one event a change")
        if sum(values.get(key) is not None for key in ("year", "years", "every")) != 1:
            raise MisreadError("must say when, by exactly one of year, years, every", "add year:")
        if values.get("times") is not None and said != ["new_spot"]:
            raise MisreadError("has times, which belongs to new_spot only", "write the other moves as events")
        for word in ("route_factor", "new_building", "building"):
            if values.get(word) is not None and said != ["shop_moves"]:
                raise MisreadError(f"has {word}, which belongs to shop_moves only", "delete it")
        if said == ["shop_moves"] and "machine" in values:
            raise MisreadError("moves the whole shop, so it must not name a machine", "delete machine:")
        if said != ["shop_moves"] and "machine" not in values:
            raise MisreadError("must name a machine", "add machine:")
        return values


class MoveInTurn(Event):
    """A move that a rearrangement in short form brings; nobody writes it."""


class Rearranged(Entry):
    """The short form: so many moves, among these places, in turn."""

    times_per_year: Often | None = Field(None, ge=0, le=MOST_A_YEAR)
    """Machine moves a year, all machines together; 0.5 is one every second year, or [low, likely, high]."""
    times_in_all: OftenInAll | None = Field(None, ge=0, le=MOST_IN_ALL)
    """Machine moves over all years of the plan, spread evenly, in place of times_per_year, or [low, likely, high]."""
    machines: list[str] | None = None
    """Machines that are moved, in turn; left out means all that may move."""
    among: list[str]
    """Places they are moved among, in turn."""

    @model_validator(mode="after")
    def _says_how_often(self) -> "Rearranged":
        if (self.times_per_year is None) == (self.times_in_all is None):
            raise MisreadError("must say exactly one of times_per_year, times_in_all", "add times_per_year:")
        return self

    @property
    def often(self) -> Decimal | int:
        """Machine moves, a year or in all: whichever is said."""
        return self.times_in_all if self.times_per_year is None else self.times_per_year  # type: ignore[return-value]


class Scenario(Entry):
    """A named course of events with a weight."""

    name: str
    """Name shown in the lines."""
    weight: Likelihood = Field(gt=0)
    """How likely, or [low, likely, high]; the weights of all scenarios add to 1, the likely ones of ranges."""
    events: list[Event] = Field([])
    """Dated events."""
    rearranged: Rearranged | None = None
    """Regular rearrangement, in short form."""
    lease_ends_year: int | None = Field(None, alias="lease_ends", ge=1)
    """Year in which the lease ends in this scenario; after the plan's last one, nothing is taken out within the plan."""

    @property
    def shop_move_years(self) -> list[int]:
        """Years in which the whole shop moves."""
        return [event.year for event in self.events if event.shop_moves]

    def first_shop_move(self, horizon: int) -> int:
        """The year in which the whole shop first moves; the one after the horizon where it never does."""
        return min(self.shop_move_years, default=horizon + 1)
