"""How a spec is told where nobody sells it."""

from decimal import Decimal

from costplan.circuits.needs import Spec
from costplan.standards.conductors import awg_rank

TEN, EIGHT = (Decimal(awg_rank(awg)) for awg in ("10", "8"))


def test_a_figure_bounded_from_both_sides_is_said_once() -> None:
    exact = Spec("wire", at_least=(("awg", TEN),), at_most=(("awg", TEN),))
    assert exact.describe() == "wire, awg 10"
    between = Spec("wire", at_least=(("awg", TEN),), at_most=(("awg", EIGHT),))
    assert between.describe() == "wire, awg at least 10, awg at most 8"
