"""Supports and fittings of every shipped recipe of a run, against the spacing that is asked of them, by hand.

NFPA 70 330.30(B) (armored cable: each 6 ft, and within 12 in of each box), 334.30 (nonmetallic: each 4-1/2 ft, and within
12 in), 358.30(A) (EMT: each 10 ft, and within 3 ft of each box), from memory and the shared worked cases; a metal box is
grounded by 250.148(C), from memory. Two cases by hand:

- 30 ft of armored cable between two boxes: one support 1 ft from each, 28 ft between them at 6 ft or less are 5 spans: 6.
- The short run beside the panel: one near each end: 2.
"""

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from functools import cache
from math import ceil

import pytest
from shipped_shops import demo_catalog
from strategies import make_shop

from costplan.checks.check_effects import _unused
from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.heavier import sized
from costplan.circuits.needs import Bundle
from costplan.circuits.size_types import Wiring
from costplan.circuits.ways import Way, load_of
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, Method
from costplan.years.calendar import first_standings

SPACING = {
    "wall drop": ("cable staple", Decimal("4.5"), 1),
    "armored drop": ("armored cable support", Decimal(6), 1),
    "ceiling outlet": ("armored cable support", Decimal(6), 1),
    "conduit drop": ("conduit strap", Decimal(10), 3),
    "feeder": ("conduit strap", Decimal(10), 3),
}
"""What holds a run, how far apart at most, and how far from a box at most, feet."""


@cache
def demo() -> Facts:
    catalog = demo_catalog()
    return Facts(make_shop([]), catalog)


def count(bundle: Bundle) -> Counter[str]:
    found: Counter[str] = Counter()
    for need in bundle.needs:
        found[need.spec.kind] += need.quantity
    return found


def asked(route_ft: int, apart_ft: Decimal, end_ft: int) -> int:
    """Supports of a straight run: one near each box, and the rest evenly between."""
    return max(2, ceil((route_ft - 2 * end_ft) / apart_ft) + 1) if route_ft > end_ft else 1


def test_the_case_by_hand() -> None:
    assert asked(30, Decimal(6), 1) == 6


@pytest.mark.parametrize("name", SPACING)
def test_a_run_of_any_length_is_bought_with_enough_supports(name: str) -> None:
    facts, (kind, apart_ft, end_ft) = demo(), SPACING[name]
    recipe = facts.recipe(name)
    for route_ft in range(2, 200):
        feet = facts.run_length_ft(recipe, Decimal(route_ft))
        bought = count(facts.expanded(name, length_ft=feet, laid_ft=Decimal(route_ft)))[kind]
        assert bought >= asked(route_ft, apart_ft, end_ft), route_ft


def test_the_run_beside_the_panel_and_the_lead_of_a_heater_are_held_and_joined() -> None:
    for name in ("outlet beside panel", "heater lead"):
        found = count(demo().expanded(name))
        assert (found["armored cable support"], found["armored cable connector"]) == (2, 2), name


def bought(machine: dict[str, object], way: Way) -> Bundle:
    facts = Facts(make_shop([{"name": "it", "at": "bench A"} | machine]), demo().catalog)
    builder = Builder(facts, facts.shop.machines[0], way)
    circuit = builder.build(first_standings(facts.shop)["it"])
    return circuit.outlet.bought


@pytest.mark.parametrize(("amps", "ground"), [(12, "12"), (24, "10"), (40, "10")])
def test_a_steel_box_is_grounded_by_a_tail_of_the_circuits_ground(amps: int, ground: str) -> None:
    """Table 250.122: 12 AWG to 20 A, 10 AWG to 60 A."""
    machine: dict[str, object] = {"volts": 240, "amps": amps, "load": "other"}
    bundle = bought(machine, Way(Method.CORD, "panel", Family.STRAIGHT))
    (tail,) = [need for need in bundle.needs if need.spec.kind == "grounding pigtail"]
    facts = demo()
    thinnest = min(facts.parts_meeting(tail.spec), key=lambda part: -int(str(part.attributes["ground_awg"])))
    assert thinnest.attributes["ground_awg"] == ground
    assert count(bundle)["armored cable support"] == 2


@pytest.mark.parametrize("wires", [3, 4, 5])
def test_what_is_spliced_or_capped_is_counted_by_the_wires_of_the_circuit(wires: int) -> None:
    """Two lines, three, or three and a neutral, and a ground: as many pigtails at an end; two caps a wire made safe."""
    facts = Facts(make_shop([{"name": "it", "at": "bench A", "volts": 240, "amps": 12}]), demo().catalog)
    machine = facts.shop.machines[0]
    size = sized(load_of(machine), Wiring.ARMORED, None, Decimal(10), facts.rules)
    size = replace(size, conductors=wires - 1, wires=wires)
    assert count(facts.expanded("pigtails", size=size))["pigtail"] == wires
    assert count(facts.expanded("make safe", size=size))["wire connector"] == 2 * wires


def test_a_recipe_that_is_told_of_no_circuit_counts_no_wires() -> None:
    recipe = demo().recipe("pigtails")
    assert not list(_unused("pigtails", recipe))
    assert [trail for trail, _ in _unused("pendant", recipe)] == [("parts", 4, "per")]


def test_every_recipe_names_kinds_that_somebody_sells() -> None:
    catalog: Catalog = demo().catalog
    sold = {part.kind for part in catalog.parts if part.id in demo().priced_parts}
    assert {part.kind for recipe in catalog.recipes.values() for part in recipe.parts} <= sold
