"""How far apart runs are supported: NFPA 70 2023 330.30(B), 334.30 and 358.30(A), all from memory; no page was at hand."""

from decimal import Decimal

import pytest

from costplan.standards import supports


@pytest.mark.parametrize(
    ("kind", "every_ft", "from_box_in"),
    [("building cable", "4.5", 12), ("armored cable", "6", 12), ("conduit", "10", 36)],
)
def test_supports_by_wiring(kind: str, every_ft: str, from_box_in: int) -> None:
    assert supports.of(kind) == supports.Support(Decimal(every_ft), from_box_in)


def test_what_has_no_row_has_no_supports() -> None:
    assert supports.of("cord") is None
