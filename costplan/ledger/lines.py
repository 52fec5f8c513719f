"""The lines every total is the sum of."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from costplan.ledger.steps import Step
from costplan.years.stream import Cause, Trip

INSPECT_SURPLUS = "inspect surplus"
"""The task of the owner's look at surplus that is bought, which no file lists."""


class LineKind(StrEnum):
    """What a line is."""

    PART = "part"
    CUT = "cut charge"
    TAX = "tax"
    MARKUP = "markup"
    FREIGHT = "freight"
    FEE = "supplier fee"
    RISK = "surplus risk"
    LABOR = "labor"
    CALL_OUT = "call-out"
    MINIMUM = "minimum charge"
    PERMIT = "permit"
    BID = "fixed bid"
    QUOTE = "quoted work"
    ELECTRICITY = "electricity"
    MACHINE = "machine"
    LOST_TIME = "lost shop time"
    RESALE = "resale"


WITH_PARTS = (LineKind.CUT, LineKind.TAX, LineKind.MARKUP, LineKind.FREIGHT, LineKind.FEE)
"""What is paid with the parts that are bought."""


class Pocket(StrEnum):
    """Where the money goes or comes from; the columns that are kept apart."""

    CASH = "cash"
    OWN_TIME = "own time"
    LOST_TIME = "lost time"
    COMES_BACK = "comes back"
    ALLOWANCE = "allowance"


@dataclass(frozen=True, slots=True)
class Line:
    """One amount: in its year's money, and its share of the expected present value, both in whole cents.

    `scenario` is empty for what happens in every scenario; elsewhere the present value carries the weight.
    `trace` says where the figure comes from. `place` is where work on a run or from its outlet is done, and empty for
    work at the machine; `step` is what the work is part of, None where no thing is put in or left.
    """

    year: int
    scenario: str
    kind: LineKind
    pocket: Pocket
    what: str
    machine: str
    amount_cents: int
    present_value_cents: int
    trace: str
    crew: str = ""
    task: str = ""
    quantity: Decimal = Decimal(0)
    per: str = ""
    """What one of the quantity is where an offer stands behind it: `ft`, `each`, a pack as the offer has it."""
    hours: Decimal = Decimal(0)
    hours_range: tuple[Decimal, Decimal, Decimal] | None = None
    """Low, likely and high hours of one unit, as the task or the quote has them; None where nobody gave three."""
    hour_factor: Decimal = Decimal(1)
    offer_row: int = 0
    price_of: str = ""
    """Whose price it is where no offer stands behind it: a supplier's for something, a charge's or a quote's."""
    grown_years: int = 0
    """Years by which its price had grown."""
    forecast: bool = False
    """Whether the part is bought in a later year, at what a counter would then ask."""
    place: str = ""
    step: Step | None = None
    in_turn: bool = False
    """Whether only moves of its scenario's rearrangement bring it, so that it follows how often there are such moves."""
    cause: Cause = Cause.RUN
    """What brings it, where it is not of today."""
    trip: Trip = ()
    """The move whose own visit it belongs to; empty for the visit of the year, and for what belongs to none."""
    bought_for: tuple[str, ...] = ()
    """Machines that today's purchase on this line is for; empty for all other lines, and where it is for the whole order."""

    pieces: int = 0
    """Of how many pieces, each rounded to the cent by itself, the amount is the sum; 0 where it is rounded once."""

    @property
    def machines(self) -> tuple[str, ...]:
        """The machines that it is for, empty for what the whole shop pays once."""
        return (self.machine,) if self.machine else self.bought_for


def present_value(lines: "list[Line] | tuple[Line, ...]") -> int:
    """Sum of the present values, in cents."""
    return sum(line.present_value_cents for line in lines)


def is_hired_labor(line: Line) -> bool:
    """Whether it counts towards the least charge of a visit of the hired crew."""
    return line.kind is LineKind.LABOR and line.pocket is Pocket.CASH


def hired_labor(lines: "list[Line] | tuple[Line, ...]") -> int:
    """Labor of the hired crew, its set-up with it, in the year's money, in cents."""
    return sum(line.amount_cents for line in lines if is_hired_labor(line))


def outlay(lines: "list[Line] | tuple[Line, ...]") -> int:
    """Money that leaves the pocket today, in cents."""
    return sum(line.amount_cents for line in lines if line.year == 0 and line.pocket is Pocket.CASH)
