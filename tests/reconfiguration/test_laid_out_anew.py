"""What the plain reckoner is: it shares nothing with what it checks, states sizes as the product has them, refuses the rest.

The sizes that it states are those of `costplan size`, whose sources are in the product's tables; nothing here is a rule of
a shop laid out anew. Its totals are checked in `test_shops_anew`, `test_rules_anew` and `test_told_another_way`.
"""

import ast
from pathlib import Path

import pytest
from drawn_anew import LOADS, Drawn, machine, shop_of
from laid_out_anew import ASKS, NotReckonedError, lay_out
from totals_anew import WIDE

from costplan.circuits.facts import Facts
from costplan.circuits.size_types import Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import load_of

HERE = Path(__file__).parent
SAW = machine("saw", "saw", "A")


def _imported(tree: ast.AST) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return {name for name in found if name.startswith("costplan")}


@pytest.mark.parametrize("module", ["laid_out_anew", "prices_anew", "drawn_anew"])
def test_nothing_of_what_it_is_to_check_is_imported(module: str) -> None:
    found = _imported(ast.parse((HERE / f"{module}.py").read_text()))
    assert found
    assert all(name.startswith("costplan.model.") for name in found), found


@pytest.mark.parametrize(("volts", "amps"), ASKS)
def test_the_sizes_that_are_stated_are_the_products(volts: int, amps: int) -> None:
    ask = ASKS[volts, amps]
    name = next(name for name, load in LOADS.items() if load[2] == ask.configuration)
    row = Drawn((machine(name, name, "C"),), (None,)).row()
    facts = Facts(shop_of(row), WIDE)
    load = load_of(facts.shop.machines[0])
    run = size_circuit(load, Wiring.CABLE, "straight", facts.routes.fixed_ft("panel", "C"), facts.rules)
    cord = size_circuit(load, Wiring.CORD, "straight", facts.routes.cord_ft("panel", "C"), facts.rules)
    assert (run.configuration, run.breaker_a, run.breaker_at_most_a) == (
        ask.configuration,
        ask.breaker_a,
        ask.breaker_a,
    )
    assert (run.poles, run.awg, run.conductors) == (ask.poles, str(ask.awg), ask.conductors)
    assert (cord.awg, cord.wires, cord.configuration) == (str(ask.awg), ask.cord_wires, ask.configuration)
    assert int(cord.awg_at_most) <= 10
    assert not run.ground_fault


def test_what_it_cannot_reckon_is_refused() -> None:
    row = Drawn((SAW,), (None,)).row()
    later = row | {"scenarios": [{"name": "busy", "weight": 1, "events": []}]}
    with pytest.raises(NotReckonedError):
        lay_out(shop_of(later), WIDE)
    other = row | {"machines": [SAW | {"amps": "9 A"}]}
    with pytest.raises(NotReckonedError):
        lay_out(shop_of(other), WIDE)
