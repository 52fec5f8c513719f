"""What is there today: the circuit of a machine, and outlets that nobody uses."""

from decimal import Decimal

from pydantic import Field

from costplan.model.base import CurrentA, Entry, LengthFt, Volts
from costplan.model.choices import Run, Service


class PresentCord(Entry):
    """The cord a machine hangs on now."""

    length_ft: LengthFt = Field(alias="length", gt=0)
    """Its length."""
    awg: str
    """Its wire size."""
    conductors: int = Field(ge=2, le=100)
    """Its wires, the ground included."""
    volts: Volts = Decimal(600)
    """What it is rated for: 300 or 600."""
    service: Service = Service.HARD
    """How much it is built to take."""


class Present(Entry):
    """The circuit a machine has now."""

    method: Run
    """How its run is made."""
    panel: str
    """The panel it is fed from."""
    place: str | None = None
    """The place its outlet is at; left out means where the machine stands."""
    configuration: str | None = None
    """Its receptacle; left out means hard-wired."""
    breaker_a: CurrentA = Field(alias="breaker", gt=0)
    """Its breaker, in amperes."""
    poles: int = Field(0, ge=1, le=3)
    """The breaker's poles, not among the panel's free spaces; left out means as many as receptacle or machine ask for."""
    awg: str = ""
    """Wire size of the fixed run; left out means the thinnest that the breaker may protect, and is asked about."""
    conductors: int = Field(0, ge=2, le=100)
    """Wires of the fixed run, the ground left out; left out means those that the receptacle or the machine ask for."""
    ground_awg: str | None = None
    """Wire size of the ground in its run; left out, nobody looked."""
    duplex: bool | None = None
    """Whether its receptacle is one of two openings; one of 15 A on 20 A must be (NEC 210.21(B)); left out, it is asked."""
    alone: bool | None = None
    """Whether nothing else is on its circuit; one too large to share it is then refused (NEC 210.23); left out, it is asked."""
    disconnect_a: CurrentA | None = Field(None, alias="disconnect", gt=0)
    """Rating of its disconnect, of a hard-wired machine; left out means at least the breaker's."""
    cord: PresentCord | None = None
    """Its cord, unless it has only the one it came with."""
    drive: str | None = None
    """The drive that makes its three phases, a part of the catalog."""
    spare: bool = False
    """Whether its outlet is kept live as a spare when nobody uses it any more, instead of being made safe."""


class Installed(Entry):
    """An outlet that is there already and no machine of the file uses today; it stays live as a spare."""

    place: str
    """The place it serves, or the panel's place for an outlet beside the panel."""
    panel: str
    """The panel it is fed from."""
    method: Run
    """How its run is made."""
    configuration: str
    """The receptacle, for example NEMA 6-20."""
    breaker_a: CurrentA | None = Field(None, alias="breaker", gt=0)
    """Its breaker, in amperes; left out means as many as the receptacle has."""
    poles: int | None = Field(None, ge=1, le=3)
    """The breaker's poles; left out means as many as the receptacle asks for."""
    awg: str | None = None
    """Wire size of the fixed run; left out means the thinnest that the breaker may protect."""
    conductors: int | None = Field(None, ge=2, le=100)
    """Wires of the fixed run, the ground left out; left out means those the receptacle asks for."""
    ground_awg: str | None = None
    """Wire size of the ground in its run; left out, nobody looked."""
    duplex: bool | None = None
    """Whether its receptacle is one of two openings; one of 15 A on 20 A must be (NEC 210.21(B)); left out, it is asked."""
