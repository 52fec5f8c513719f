"""A plan of the ranking with all that follows from it, and why there may be none."""

from collections.abc import Mapping
from dataclasses import dataclass

from costplan.circuits.needs import Need
from costplan.ledger.lines import Line, Pocket, outlay, present_value
from costplan.ledger.options import Chosen
from costplan.ledger.plan import Plan
from costplan.ledger.steps import Step

TOO_LITTLE_TIME = "no plan was found within the time limit; give it more time"
NOT_EVEN_ANY = (
    "no plan was found within the time limit, nor afterwards, when any plan would have done: give it more time "
    "(--time-limit 600), hold machines to a way that they will have anyway (--hold 'saw=cord'), or leave out of the file "
    "shared equipment, kinds of plugs and spare lengths of cords that are out of the question"
)


@dataclass(frozen=True)
class Ranked:
    """A plan with its streams of events, its lines and today's steps.

    `bound_cents` is the proven lower bound, the total when optimal. `last`: the search was exhausted; no further plan exists.
    """

    plan: Plan
    chosen: tuple[Chosen, ...]
    lines: tuple[Line, ...]
    needed_by: Mapping[Need, Mapping[str, int]]
    bound_cents: int
    steps: tuple[Step, ...] = ()
    last: bool = False

    @property
    def present_value_cents(self) -> int:
        """The total: the sum of the lines' present values."""
        return present_value(self.lines)

    @property
    def outlay_cents(self) -> int:
        """Cash that leaves the pocket today."""
        return outlay(self.lines)

    @property
    def residual_cents(self) -> int:
        """Present value of what comes back, negative."""
        return sum(line.present_value_cents for line in self.lines if line.pocket is Pocket.COMES_BACK)

    @property
    def today_cents(self) -> int:
        """Present value of all that happens today, own time, lost time and allowances included."""
        return sum(
            line.present_value_cents
            for line in self.lines
            if line.year == 0 and line.pocket is not Pocket.COMES_BACK
        )

    @property
    def later_cents(self) -> int:
        """Present value of the later years, without what comes back."""
        return self.present_value_cents - self.residual_cents - self.today_cents

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper exists under the same limits."""
        return self.bound_cents >= self.present_value_cents


class DisagreementError(AssertionError):
    """The program's objective and the simulation's total differ: a defect, never a result."""


class NoPlanError(Exception):
    """No plan keeps all limits; `reasons` name the limits that clash, `lacking` the spaces by panel where only they lack."""

    def __init__(self, reasons: list[str], lacking: Mapping[str, int] | None = None) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons
        self.lacking = lacking or {}
