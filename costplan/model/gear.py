"""What the user says about shared gear: the service, and what could be added to it or is there already."""

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from enum import StrEnum

from pydantic import Field, model_validator

from costplan.files.quantities import MisreadError
from costplan.model.base import CurrentA, Entry, HoursAYear, MoneyCents, PowerKw, Share, words_of
from costplan.model.catalog import Renewal
from costplan.model.samples import example_of
from costplan.model.system import StatedSystem, System, line_current_a

SERVICE = "service"
"""The word for the service itself where a panel's feed is named."""


class MeasuredPeak(Entry):
    """The highest draw that a meter showed (NEC 220.87)."""

    amps_a: CurrentA | None = Field(None, alias="amps", gt=0)
    """Amperes on the most loaded line."""
    power_kw: PowerKw | None = Field(None, alias="kw", gt=0)
    """The demand in kW that a bill or a meter states, in place of amps, with its power_factor."""
    power_factor: Share | None = Field(None, gt=0, le=1)
    """The power factor at that demand; 1 where kw is the kVA of the bill."""
    seen: date
    """The day the reading ended."""
    days: int = Field(30, ge=1)
    """How many days were recorded; 220.87 asks for a year, or 30 days on a recording meter."""

    @model_validator(mode="after")
    def _says_how_much(self) -> "MeasuredPeak":
        if (self.amps_a is None) is (self.power_kw is None):
            both = "says amps and kw; leave one of them out" if self.amps_a else "says neither amps nor kw"
            raise MisreadError(
                both, "write amps: of the most loaded line, or kw: and power_factor: of the bill"
            )
        return self


class AtMost(Entry):
    """Machines of which only so many ever run at the same time."""

    count: int = Field(ge=1)
    """How many of them run at once at the most."""
    of: list[str] = Field(min_length=2)
    """The machines; each of a group counts by itself."""


class PowerService(Entry):
    """What the utility brings to the building."""

    system: StatedSystem = System.SINGLE_120_240
    """Volts and phases."""
    amps_a: CurrentA = Field(alias="amps", gt=0)
    """Rating in amperes."""
    measured_peak: MeasuredPeak | None = None
    """The measured peak; new machines are added to 125 % of it."""
    other_load_a: CurrentA = Field(Decimal(0), alias="other_load", ge=0)
    """Calculated load of all that is not in this file, in amperes; used when no peak was measured."""
    at_once: list[list[str]] = Field([])
    """Sets of machines that run together; of these sets only the heaviest counts (NEC 220.60)."""
    at_most: list[AtMost] = Field([])
    """How many of a set of machines ever run at once; the heaviest so many of them count (NEC 220.60)."""

    @property
    def peak_a(self) -> Decimal | None:
        """Amperes a line of the measured peak; of kW those of lines that carry alike. None where none was measured."""
        peak = self.measured_peak
        if peak is None or peak.power_kw is None:
            return None if peak is None else peak.amps_a
        return line_current_a(self.system, peak.power_kw, peak.power_factor or Decimal(1))

    def naming(self, each: Callable[[Sequence[str]], list[str]]) -> "PowerService":
        """The same service with the machines that its sets name under other names."""
        return self.model_copy(
            update={
                "at_once": [each(names) for names in self.at_once],
                "at_most": [most.model_copy(update={"of": each(most.of)}) for most in self.at_most],
            }
        )


class GearKind(StrEnum):
    """What kind of shared gear it is."""

    SUBPANEL = "subpanel"
    CONVERTER = "phase converter"
    UTILITY = "utility three-phase"
    UPGRADE = "service upgrade"
    MANAGER = "load manager"
    TANDEM = "tandem breaker"
    MAIN = "main disconnect"


PANELS = (GearKind.SUBPANEL, GearKind.CONVERTER, GearKind.UTILITY)
"""Kinds that bring a panel of their own."""

_ASKS: dict[GearKind, tuple[str, ...]] = {
    GearKind.SUBPANEL: ("panel_part", "fed_from", "at"),
    GearKind.CONVERTER: ("part", "panel_part", "fed_from", "at", "hours_per_year"),
    GearKind.UTILITY: ("panel_part", "at", "system", "amps_a"),
    GearKind.UPGRADE: ("to_a",),
    GearKind.MANAGER: ("machines", "holds_to_a"),
    GearKind.TANDEM: ("panel",),
    GearKind.MAIN: ("amps_a",),
}


class Gear(Entry):
    """Gear that several machines share: a candidate to be bought when it pays, or there already."""

    name: str
    """Its name; for gear that brings a panel also the panel's."""
    kind: GearKind
    """What it is."""
    installed: bool = False
    """True for gear that is there already: it costs nothing to have, but runs and is limited as stated."""
    part: str | None = None
    """Id of the converter or the load manager in parts.yaml; its attributes are the ratings."""
    panel_part: str | None = Field(None, alias="panel_part")
    """Id of the panel in parts.yaml that comes with it."""
    fed_from: str | None = None
    """The panel it is fed from, or the word service for a second main panel."""
    at: str | None = None
    """The place its panel hangs at."""
    system: StatedSystem | None = None
    """For utility three-phase: volts and phases it brings."""
    amps_a: CurrentA | None = Field(None, alias="amps", gt=0)
    """For utility three-phase: rating of the new service; for a main disconnect: its fuses, in amperes."""
    to_a: CurrentA | None = Field(None, alias="to", gt=0)
    """For a service upgrade: the service's rating afterwards, in amperes."""
    panel: str | None = None
    """For tandem breakers: the panel they go into."""
    at_most: int = Field(1, ge=1, le=1000)
    """For tandem breakers: the most that may be added of all ratings together, one freed space each."""
    machines: list[str] | None = None
    """For a load manager: the machines it holds back."""
    holds_to_a: CurrentA | None = Field(None, alias="holds_to", gt=0)
    """For a load manager: amperes at the service that those machines together never exceed."""
    breaker_a: CurrentA | None = Field(None, alias="breaker", gt=0)
    """For a converter: the breaker that feeds it, which is there or wanted; left out, the largest NEC 455.7 allows."""
    life_years: int | None = Field(None, alias="life", ge=1)
    """For a converter: years in service; left out, that of its kind in the catalog."""
    hours_per_year: HoursAYear | None = Field(None, ge=0)
    """For a converter: hours a year it is switched on."""
    quote_cents: MoneyCents | None = Field(None, alias="quote")
    """A quote for all of it, in the place of parts and labor."""
    fees: dict[str, MoneyCents] = Field({})
    """Money paid besides, by what for: utility connection, trenching."""
    yearly_fee_cents: MoneyCents = Field(Decimal(0), alias="yearly_fee")
    """A charge every year it is there, for example a meter charge."""
    overhaul: Renewal | None = None
    """For a converter: work that comes back every so many years, bearings or capacitors."""

    @model_validator(mode="after")
    def _says_what_its_kind_asks(self) -> "Gear":
        missing = [name for name in _ASKS[self.kind] if getattr(self, name) is None]
        if self.kind is GearKind.UTILITY and self.quote_cents is None and not self.installed:
            missing.append("quote_cents")
        if missing:
            known = dict(words_of(type(self)))
            words = ", ".join(known[name] for name in missing)
            samples = [f"{known[name]}: {example_of(type(self), name)}" for name in missing]
            raise MisreadError(f"is a {self.kind} without {words}", f"add {', '.join(samples)}")
        return self

    @property
    def entry(self) -> str:
        """The name that is written in the shop file."""
        return self.name

    @property
    def required(self) -> bool:
        """Whether every plan puts it in today: a main disconnect saves nothing, so listing it asks for it."""
        return self.kind is GearKind.MAIN and not self.installed

    @property
    def brings_panel(self) -> bool:
        """Whether a panel of its own comes with it."""
        return self.kind in PANELS
