"""What a nameplate says."""

from decimal import Decimal

from pydantic import Field, field_validator, model_validator

from costplan.model.base import CurrentA, Entry, PowerHp, Volts


def nominal_volts(volts: Decimal) -> Decimal:
    """The volts of the system that a plate's volts are for. Raises ValueError for others."""
    nominal: dict[Decimal | int, int] = {
        115: 120,
        110: 120,
        125: 120,
        200: 208,
        220: 240,
        230: 240,
        250: 240,
        460: 480,
        440: 480,
    }
    volts = Decimal(nominal.get(volts, volts))
    if volts not in (120, 208, 240, 480):
        raise ValueError(f"is {volts}; allowed: 120, 208, 240, 480")
    return volts


class Electrical(Entry):
    """What a nameplate says; shared by machines and by a retooling."""

    volts: Volts = Decimal(0)
    """Rated volts: 120, 208, 240, 480 (115, 230 and 460 are read as those); left out only where all ways are quoted."""
    phases: int = Field(1, alias="phases")
    """1 or 3."""
    amps_a: CurrentA | None = Field(None, alias="amps", gt=0)
    """Nameplate amperes at these volts."""
    hp: PowerHp | None = Field(None, gt=0)
    """Nameplate horsepower of a motor; the code's table then gives the amperes."""
    neutral: bool = False
    """Whether the machine also needs a neutral (120 V controls on a 240 V machine)."""
    continuous: bool = False
    """Whether it runs three hours or more at full load."""
    breaker_a: CurrentA | None = Field(None, alias="breaker", gt=0)
    """Breaker size the maker states on the plate; it wins over the calculated one."""
    breaker_at_most_a: CurrentA | None = Field(None, alias="largest_breaker", gt=0)
    """The largest breaker or fuse that the plate allows; the breaker stays within it."""

    @field_validator("volts")
    @classmethod
    def _nominal(cls, volts: Decimal) -> Decimal:
        return nominal_volts(volts)

    @field_validator("phases")
    @classmethod
    def _one_or_three(cls, phases: int) -> int:
        if phases not in (1, 3):
            raise ValueError(f"is {phases}; allowed: 1, 3")
        return phases

    @model_validator(mode="after")
    def _has_a_load(self) -> "Electrical":
        if not self.volts:
            if self.amps_a is None and self.hp is None:
                return self
            raise ValueError("lacks volts; write what the nameplate says")
        if self.amps_a is None and self.hp is None:
            raise ValueError("needs amps or hp; write what the nameplate says")
        if None not in (self.breaker_a, self.breaker_at_most_a) and self.breaker_a != self.breaker_at_most_a:
            raise ValueError("says breaker and largest_breaker; write breaker where the plate names one size")
        if self.phases == 3 and self.volts == 120:
            raise ValueError("is three-phase at 120 V; three-phase machines are 208, 240 or 480 V")
        return self


class Retool(Electrical):
    """What the machine's nameplate will say after a change."""
