"""The shipped snap switches as disconnects of small motors: NFPA 70 430.109(C)(2), from memory: up to 2 hp and 300 V, with a
full-load current of at most 80 % of the switch's amperes; currents are those of Table 430.248, 2023.

Of 20 A, 80 % are 16 A. By habit the breaker has 175 %, and what disconnects suits it here, so 20 A serve up to 1/2 hp at 120 V
(9.8 A, 17.15 A: 20 A breaker) and 1-1/2 hp at 240 V (10 A, 17.5 A: 20 A); 1 hp (16 A) and 2 hp (12 A) have breakers above 20 A.
"""

from decimal import Decimal

import pytest
from shipped_shops import demo_catalog
from strategies import make_shop

from costplan.circuits.facts import Facts
from costplan.circuits.run_parts import disconnect_need
from costplan.circuits.size_types import Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import load_of
from costplan.model.choices import Occupancy

RULES = Rules(2023, Occupancy.COMMERCIAL, False, Decimal("0.03"), Decimal(30))


@pytest.mark.parametrize(
    ("volts", "hp", "switches"),
    [
        (120, "1/3 hp", {"motor-switch-1p-20", "motor-switch-2p-20"}),
        (120, "1/2 hp", {"motor-switch-1p-20", "motor-switch-2p-20"}),
        (120, "1 hp", set()),
        (240, "1-1/2 hp", {"motor-switch-2p-20"}),
        (240, "2 hp", set()),
        (240, "3 hp", set()),
    ],
)
def test_a_snap_switch_serves_small_motors_only(volts: int, hp: str, switches: set[str]) -> None:
    shop = make_shop([{"name": "fan", "volts": volts, "hp": hp, "at": "bench A"}])
    catalog = demo_catalog()
    facts, load = Facts(shop, catalog), load_of(shop.machines[0])
    size = size_circuit(load, Wiring.ARMORED, None, Decimal(20), RULES)
    need = disconnect_need(facts, shop.panels[0].name, size, load)
    found = {part.id for part in facts.parts_meeting(need.spec)}
    assert {name for name in found if name.startswith("motor-switch")} == switches
    assert not switches or size.current_a <= Decimal(16)
    assert not switches or Decimal(str(load.hp)) <= 2
