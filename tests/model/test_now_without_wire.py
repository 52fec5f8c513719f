"""A circuit that is there and whose wire nobody read: the thinnest copper that its breaker may protect, and a question.

Checked against NFPA 70 240.4(D) (14, 12, 10 AWG: 15, 20, 30 A) and Table 310.16, 60 C: 8 AWG 40 A, 6 AWG 55 A, so 50 A asks for
6 AWG, by 240.4(B) even where 8 AWG would do at 75 C.
"""

import pytest
from pydantic import ValidationError

from costplan.model.shop import Machine

NOW = {"method": "wall drop", "panel": "p", "configuration": "NEMA 6-20"}
SAW = {"name": "saw", "volts": 240, "amps": 12}


@pytest.mark.parametrize(("breaker", "awg"), [("15 A", "14"), ("20 A", "12"), ("30 A", "10"), ("50 A", "6")])
def test_the_thinnest_wire_that_the_breaker_may_protect(breaker: str, awg: str) -> None:
    machine = Machine.model_validate({**SAW, "now": {**NOW, "breaker": breaker}})
    assert machine.now is not None
    assert machine.now.awg == awg
    assert "awg" not in machine.now.model_fields_set


def test_a_wire_that_is_said_stays() -> None:
    machine = Machine.model_validate({**SAW, "now": {**NOW, "breaker": "20 A", "awg": "10"}})
    assert machine.now is not None
    assert machine.now.awg == "10"


def test_a_breaker_beyond_the_tables_asks_for_the_wire() -> None:
    with pytest.raises(
        ValidationError, match="leaves out awg, and no wire of the tables goes with 9000 A; write its awg"
    ):
        Machine.model_validate({**SAW, "now": {**NOW, "breaker": "9000 A"}})
