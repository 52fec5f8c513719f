"""What a circuit is made of, stage by stage: ways of a machine with the same stage have it once."""

from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.needs import Item, Need, Slowed, Spec, StockNeed
from costplan.circuits.plug_marks import PlugMarks
from costplan.circuits.remembered import Remembered
from costplan.circuits.size_types import CircuitSize, Rules
from costplan.circuits.supply import Supplied
from costplan.model.catalog import Recipe


@dataclass(frozen=True, slots=True)
class Run:
    """A run to a standing: what feeds it, how long it is and its circuit, whatever cord goes on."""

    panel: str
    fed: Supplied
    recipe: Recipe
    length_ft: int
    laid_ft: Decimal
    rules: Rules
    size: CircuitSize


@dataclass(frozen=True, slots=True)
class Corded:
    """The circuits of a run and of a cord of some length on it, and the marks asked of what its machine is unplugged by."""

    size: CircuitSize
    cord_size: CircuitSize | None
    marks: PlugMarks
    out_of_sight: bool
    """Whether it is unplugged at the panel, out of sight of the motor or its drive."""


@dataclass(frozen=True, slots=True)
class Ended:
    """Such a run's two ends, and what its machine is plugged in by."""

    size: CircuitSize
    end: Need
    fuses: Need | None
    breaker: StockNeed
    plug: str | None
    slowed: Slowed
    machine_slowed: Slowed


class Known:
    """What was made for one machine, by what each stage turns on."""

    def __init__(self) -> None:
        self.feds: Remembered[tuple[object, ...], tuple[str, Supplied]] = Remembered()
        self.runs: Remembered[tuple[object, ...], Run] = Remembered()
        self.corded: Remembered[tuple[object, ...], Corded] = Remembered()
        self.ended: Remembered[tuple[object, ...], Ended] = Remembered()
        self.cables: Remembered[tuple[object, ...], Item | None] = Remembered()
        self.cords: Remembered[tuple[object, ...], Spec] = Remembered()
        self.kits: Remembered[tuple[object, ...], StockNeed | None] = Remembered()
        self.things: Remembered[tuple[object, ...], StockNeed] = Remembered()
