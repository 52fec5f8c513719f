"""What a panel's system is read as; nominal systems are those of IEEE/ANSI C84.1, labels of the trade from memory."""

import pytest
from pydantic import TypeAdapter, ValidationError

from costplan.files.quantities import MisreadError
from costplan.interview.answers import read_system
from costplan.model.system import StatedSystem, System, system_in

READ = TypeAdapter(StatedSystem)


@pytest.mark.parametrize(
    ("text", "system"),
    [
        ("208Y/120 three-phase", System.WYE_120_208),
        ("208/120 three-phase", System.WYE_120_208),
        ("480Y/277 three-phase", System.WYE_277_480),
        ("240/120 single-phase", System.SINGLE_120_240),
        ("240 three-phase", System.DELTA_240),
    ],
)
def test_a_label_in_its_own_order_is_read(text: str, system: System) -> None:
    assert READ.validate_python(text) is system
    assert read_system(text) == system


@pytest.mark.parametrize(
    "text", ["120/240 three-phase", "240/120 delta with a high leg", "120/240 3-phase", "high-leg delta 240"]
)
def test_a_high_leg_is_told_what_to_write(text: str) -> None:
    """Between lines it has 240 V, to the middle of one winding 120 V, from the third line 208 V."""
    with pytest.raises(MisreadError, match="write 240 three-phase"):
        system_in(text)
    with pytest.raises(ValidationError, match="high leg"):
        READ.validate_python(text)


@pytest.mark.parametrize("text", ["208 three-phase", "120/208 single-phase", "600 three-phase"])
def test_no_system_of_other_volts_or_phases_is_proposed(text: str) -> None:
    with pytest.raises(ValidationError) as found:
        READ.validate_python(text)
    assert "allowed: 120/240 single-phase" in str(found.value)
    assert (
        found.value.errors()[0]["type"] == "value_error"
    )  # an enum's complaint would be followed by a guess


@pytest.mark.parametrize("text", ["120/240 single phase", "240 tree-phase", "120/208"])
def test_a_slip_of_the_pen_has_its_guess(text: str) -> None:
    with pytest.raises(ValidationError) as found:
        READ.validate_python(text)
    assert found.value.errors()[0]["type"] == "enum"
