"""What stands at a machine whose cord is wired into it, so that its plug is beside the panel."""

import pytest
from strategies import MILL, make_catalog, make_gear_shop, with_gear

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.model.choices import Family, Method, Service, Supply
from costplan.years.calendar import first_standings


@pytest.mark.parametrize("supply", [Supply.DRIVE, Supply.MOTOR])
@pytest.mark.parametrize("wired_in", [True, False])
def test_a_motor_or_its_drive_has_a_switch_in_sight(supply: Supply, wired_in: bool) -> None:
    """NFPA 70 430.102(A), (B), 430.128: a disconnect at the machine, of no less than its breaker."""
    facts = Facts(make_gear_shop([MILL | {"plug": None}]), make_catalog(**with_gear()))
    (machine,) = facts.shop.machines
    way = Way(Method.CORD, "panel", Family.STRAIGHT, service=Service.HARD, supply=supply, wired_in=wired_in)
    circuit = Builder(facts, machine, way).build(first_standings(facts.shop)[machine.name])
    if wired_in:
        assert circuit.switch is not None
        assert dict(circuit.switch.item.spec.at_least)["rating_a"] >= circuit.size.breaker_a
    else:
        assert circuit.switch is None or circuit.plug_marks.switched
