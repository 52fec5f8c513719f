"""What a nameplate says."""

from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema, field_validator, model_validator

from costplan.files import quantities
from costplan.files.quantities import MisreadError
from costplan.model.base import CurrentA, Entry, PowerHp
from costplan.model.plate_figures import (
    NOMINAL_VOLTS,
    PlateFigures,
    PlateRating,
    nominal_volts,
    parse_amps,
    parse_volts,
    ratings,
)


class Enclosure(StrEnum):
    """How a motor is closed against dust and water (NEMA MG 1 1.25, 1.26)."""

    OPEN = "open"
    CLOSED = "totally enclosed"
    EXPLOSION_PROOF = "explosion-proof"


_ENCLOSURES_ON_PLATES = {
    **dict.fromkeys(("odp", "dp", "drip-proof", "open drip-proof"), Enclosure.OPEN),
    **dict.fromkeys(("tefc", "tenv", "te", "tebc", "enclosed"), Enclosure.CLOSED),
    **dict.fromkeys(("xp", "epfc", "explosion proof"), Enclosure.EXPLOSION_PROOF),
}


def known_enclosure(written: str) -> Enclosure | None:
    """How a motor is closed, by the word or as plates shorten it; None for any other word."""
    word = written.strip().lower()
    return _ENCLOSURES_ON_PLATES.get(word) or next((known for known in Enclosure if known == word), None)


def _enclosure(written: Any) -> Any:
    return (known_enclosure(written) or written) if isinstance(written, str) else written


def _inches(written: Any) -> Decimal:
    return quantities.parse_quantity(written, quantities.INCH_UNITS)


ShaftIn = Annotated[
    Decimal,
    BeforeValidator(_inches),
    WithJsonSchema({"type": ["string", "number"], "description": "inches: 1-1/8 in, 7/8, 28 mm"}),
]
_FIGURES = {"type": ["string", "number"], "description": "as on the plate: 230, 208-230, 208-230/460"}
PlateVolts = Annotated[PlateFigures, BeforeValidator(parse_volts), WithJsonSchema(_FIGURES)]
PlateAmps = Annotated[
    PlateFigures,
    WithJsonSchema(
        {"type": ["string", "number"], "description": "amperes, one for each of volts: 9.4-8.6/4.3"}
    ),
]


class SecondMotor(Entry):
    """A motor that a machine has besides its largest: a coolant pump, a hydraulic pump, a feed."""

    what: str = "second motor"
    """What it drives."""
    hp: PowerHp | None = Field(None, gt=0)
    """Its horsepower; the code's table then gives the amperes."""
    amps_a: CurrentA | None = Field(None, alias="amps", gt=0)
    """Its amperes at the machine's volts; they count where its horsepower is not said or below the code's table."""
    phases: int | None = None
    """1 or 3; left out, as the machine."""

    @model_validator(mode="after")
    def _has_a_load(self) -> "SecondMotor":
        if self.amps_a is None and self.hp is None:
            raise MisreadError("needs amps or hp", "write what its nameplate says")
        if self.phases not in (None, 1, 3):
            raise MisreadError(f"has {self.phases} phases", "allowed: 1, 3")
        return self


class Electrical(Entry):
    """What a nameplate says; shared by machines and by a retooling."""

    plate_volts: PlateVolts = Field((), alias="volts")
    """Rated volts as on the plate: 240, 208-230, 208-230/460; left out only where all ways are quoted."""
    phases: int = Field(1, alias="phases")
    """1 or 3."""
    plate_amps: PlateAmps | None = Field(None, alias="amps")
    """Nameplate amperes at these volts, with several volts one for each: 9.4-8.6/4.3; with more_motors, the largest motor's."""
    hp: PowerHp | None = Field(None, gt=0)
    """Nameplate horsepower of its largest motor; the code's table then gives the amperes."""
    more_motors: list[SecondMotor] = Field([])
    """Motors that it has besides: coolant pump, hydraulic pump; they rule out a drive or another motor alone."""
    other_load_a: CurrentA = Field(Decimal(0), alias="other_load", ge=0)
    """What it draws besides its motors, in amperes at its volts: a control transformer, a brake's coil."""
    two_speed: bool = False
    """Whether its motor has two speeds; hp and amps are then those of the higher draw."""
    brake: bool = False
    """Whether its motor has a brake."""
    control_transformer: bool = False
    """Whether a transformer in it feeds its controls from two of its lines."""
    rpm: int | None = Field(None, ge=100, le=20000)
    """Full-load speed on the motor's plate, revolutions a minute."""
    frame: str | None = None
    """Frame on the motor's plate, for example 182T."""
    shaft_in: ShaftIn | None = Field(None, alias="shaft", gt=0)
    """Diameter of the motor's shaft, in inches; left out, as its frame has it."""
    enclosure: Annotated[Enclosure, BeforeValidator(_enclosure)] | None = None
    """How the motor is closed: open, totally enclosed, explosion-proof; ODP, TEFC, TENV and XP are read."""
    neutral: bool = False
    """Whether the machine also needs a neutral (120 V controls on a 240 V machine)."""
    continuous: bool | None = None
    """Whether it runs three hours or more at full load; left out, a heater does and others do not (NEC 424.4(B))."""
    breaker_a: CurrentA | None = Field(None, alias="breaker", gt=0)
    """Breaker size the maker states on the plate; it wins over the calculated one."""
    breaker_at_most_a: CurrentA | None = Field(None, alias="largest_breaker", gt=0)
    """The largest breaker or fuse that the plate allows; the breaker stays within it."""

    @field_validator("plate_amps", mode="before")
    @classmethod
    def _one_for_each(cls, written: Any, info: ValidationInfo) -> PlateFigures | None:
        return None if written is None else parse_amps(written, info.data.get("plate_volts", ()))

    @field_validator("phases")
    @classmethod
    def _one_or_three(cls, phases: int) -> int:
        if phases not in (1, 3):
            raise MisreadError(f"is {phases}", "allowed: 1, 3")
        return phases

    @model_validator(mode="after")
    def _has_a_load(self) -> "Electrical":
        if not self.plate_volts:
            if self.plate_amps is None and self.hp is None:
                return self
            raise MisreadError("lacks volts", "write what the nameplate says")
        if self.plate_amps is None and self.hp is None:
            raise MisreadError("needs amps or hp", "write what the nameplate says")
        if None not in (self.breaker_a, self.breaker_at_most_a) and self.breaker_a != self.breaker_at_most_a:
            raise MisreadError(
                "says breaker and largest_breaker", "write breaker where the plate names one size"
            )
        if self.phases == 3 and 120 in self.nominal:
            raise MisreadError("is three-phase at 120 V", "three-phase machines are 208, 240 or 480 V")
        if self.phases == 1 and any(motor.phases == 3 for motor in self.more_motors):
            raise MisreadError(
                "is single-phase and has a three-phase motor among more_motors", "read the plates again"
            )
        return self

    @property
    def nominal(self) -> tuple[int, ...]:
        """The systems' volts that its plate names, each once, from the lowest."""
        return tuple(sorted({nominal_volts(volts) for group in self.plate_volts for volts in group}))

    @property
    def volts(self) -> Decimal:
        """The volts it is spoken of by: the highest that its plate names up to 240, else the lowest; 0 where none."""
        low = [volts for volts in self.nominal if volts <= NOMINAL_VOLTS[2]]
        return Decimal(max(low) if low else min(self.nominal, default=0))

    @property
    def volts_words(self) -> str:
        """The systems' volts of its plate in words: `240`, `208/240`."""
        return "/".join(map(str, self.nominal))

    @property
    def amps_a(self) -> Decimal | None:
        """The plate's amperes at those volts."""
        return next((known.amps_a for known in self.rated() if known.volts == self.volts), None)

    @property
    def amps_words(self) -> str:
        """The plate's amperes, one for each of those volts: `12.8`, `26/23`."""
        return "/".join(
            dict.fromkeys(f"{known.amps_a:f}" for known in self.rated() if known.amps_a is not None)
        )

    def rated(self, *, heater: bool = False) -> tuple[PlateRating, ...]:
        """What the plate says at each of the systems' volts it names."""
        return ratings(self.plate_volts, self.plate_amps, heater=heater)


class Retool(Electrical):
    """What the machine's nameplate will say after a change."""
