"""Feeds of gear against NFPA 70 (NEC) 2023 Article 455 and 215, worked by hand with the section named."""

from decimal import Decimal
from pathlib import Path

import pytest

from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import candidate
from costplan.model.gear import Gear
from costplan.model.loading import load_catalog_with_places, load_shop_with_places
from costplan.standards.converters import disconnect_a, supply_breaker_a

ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.fixture(scope="module")
def facts() -> Facts:
    shop = load_shop_with_places(ROOT / "examples" / "bargain" / "shop.yaml").shop
    catalog = load_catalog_with_places(ROOT / "catalogs" / "demo").catalog
    assert shop is not None
    assert catalog is not None
    return Facts(shop, catalog)


def test_the_supply_of_a_converter_is_sized_as_455_6_and_455_7_say(facts: Facts) -> None:
    # 50 A input: 125 % is 62.5 A; the next standard size is 70 A; 4 AWG carries 70 A at 60 C (Table 310.16)
    found = candidate(facts, facts.gear["rotary converter"])
    size = found.input_size

    assert size is not None
    assert (size.breaker_a, size.poles, size.awg) == (70, 2, "4")
    assert size.minimum_ampacity_a == Decimal("62.5")
    assert size.breaker_a == supply_breaker_a(Decimal(50), 2020)


def test_the_disconnect_carries_115_percent_of_the_input(facts: Facts) -> None:
    # 455.8(C): 1.15 x 50 A = 57.5 A
    found = candidate(facts, facts.gear["rotary converter"])
    need = next(need for need in found.bundle.needs if need.spec.kind == "disconnect")

    assert disconnect_a(Decimal(50)) == Decimal("57.5")
    assert dict(need.spec.at_least)["rating_a"] == Decimal("57.5")


@pytest.mark.parametrize("part", ["rotary-converter-5", "rotary-converter-10", "solid-state-converter-20"])
def test_no_converter_has_a_breaker_above_455_7(facts: Facts, part: str) -> None:
    gear = Gear.model_validate(
        {
            "name": "rotary converter",
            "kind": "phase converter",
            "part": part,
            "panel_part": "panel-b-100",
            "fed_from": "main panel",
            "at": "far corner",
            "hours_per_year": 100,
        }
    )
    size = candidate(facts, gear).input_size
    input_a = Decimal(str(facts.parts[part].attributes["input_a"]))

    assert size is not None
    assert size.breaker_a <= supply_breaker_a(input_a, 2020)
    assert size.minimum_ampacity_a >= input_a * Decimal("1.25")


def test_a_feeder_is_sized_to_its_panel(facts: Facts) -> None:
    # 60 A panel: 60 A breaker, two poles and neutral; 4 AWG at 60 C carries 70 A (Table 310.16), 6 AWG only 55 A
    size = candidate(facts, facts.gear["far subpanel"]).input_size

    assert size is not None
    assert (size.breaker_a, size.poles, size.conductors, size.awg) == (60, 2, 3, "4")


@pytest.mark.parametrize(
    ("gear", "section", "note"),
    [("rotary converter", "NFPA 70 455.6(A)(1)", "210.19"), ("far subpanel", "NFPA 70 215.2(A)(1)", "215.2")],
)
def test_a_feed_names_the_section_that_sizes_it(facts: Facts, gear: str, section: str, note: str) -> None:
    """A converter's wires go by 455.6, a feeder's by 215.2, not by 210.19 of branch circuits (from memory)."""
    size = candidate(facts, facts.gear[gear]).input_size
    assert size is not None
    reasons = {reason.what: reason.source for reason in size.reasons}
    assert reasons["minimum ampacity"] == section
    assert f"NFPA 70 {note} note" in reasons["voltage drop"]


def test_single_phase_machines_are_kept_off_the_made_leg(facts: Facts) -> None:
    # 455.9: single-phase loads are not connected to the manufactured phase; here they are not offered that panel
    from costplan.circuits.ways import feeds, load_of

    panel = facts.panels["rotary converter"]
    saw = facts.machines["table saw"]
    three = next(m for m in facts.shop.next_machines if m.phases == 3)

    assert panel.manufactured_leg
    assert not feeds(panel, load_of(saw))
    assert feeds(panel, load_of(three))


@pytest.mark.parametrize(
    ("flush", "walls", "tasks"),
    [
        (False, 0, {}),
        (True, 0, {"open-flush-panel": 1, "patch-wall": 1}),
        (True, 2, {"open-flush-panel": 1, "patch-wall": 1, "firestop": 2}),
    ],
)
def test_a_feed_opens_a_flush_panel_and_goes_through_walls_as_a_drop_does(
    facts: Facts, flush: bool, walls: int, tasks: dict[str, int]
) -> None:
    """By hand from the demo's recipes: opening the wall at the panel and closing it once, firestop at each rated wall."""
    shop = facts.shop
    panels = [panel.model_copy(update={"flush": flush}) for panel in shop.panels]
    building = shop.building.model_copy(update={"rated_walls": walls})
    told = Facts(shop.model_copy(update={"panels": panels, "building": building}), facts.catalog)
    work = candidate(told, told.gear["far subpanel"]).bundle.work
    asked = ("open-flush-panel", "patch-wall", "firestop")
    found = {task: sum(entry.quantity for entry in work if entry.task == task) for task in asked}
    assert {task: quantity for task, quantity in found.items() if quantity} == tasks
