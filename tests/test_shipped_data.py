"""The shipped catalogs and example shops: they validate, hang together, and say that they are invented."""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from demo_tasks import FOR_RECIPES_OF_ONES_OWN

from costplan.circuits.circuit import Builder, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Spec, make_spec
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import all_ways, load_of, refusal, sources
from costplan.files.problems import render_text
from costplan.files.yaml_reader import read_yaml
from costplan.model.catalog import (
    FLUSH_PANEL,
    GEAR_RECIPE_NAMES,
    HARD_WIRED_LEAD,
    HEATER_LEAD,
    INTO_MACHINE,
    MACHINE_LEAD,
    MACHINE_SWITCH,
    PIGTAILS,
    RATED_WALL,
    RECIPE_NAMES,
    Catalog,
    Condition,
    Offer,
)
from costplan.model.choices import LoadKind, Occupancy
from costplan.model.labor import Role
from costplan.model.ratings import HORSEPOWER_MARKS, INCHES
from costplan.model.routes import NoRouteError
from costplan.model.shop import Shop
from costplan.standards.receptacles import find_configuration

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "catalogs" / "demo"
CATALOGS = {"demo": DEMO, "tiny": ROOT / "examples" / "tiny" / "catalog"}
SHOPS = {
    name: ROOT / "examples" / name / "shop.yaml" for name in ("demo", "tiny", "forty", "bargain", "school")
}
NUMBERS = {
    *("rpm", "shaft_in", "kva", "winding_v", "boost_v", "smallest_motor_hp"),
    *("conductors", "poles", "rating_a", "volts", "hp", "largest_motor_hp", "output_a", "input_a"),
    *("idle_w", "efficiency", "phases", "spaces", "tandems", "second_rating_a"),
}
YES_NO = ("ground_fault", "tamper_resistant", "weather_resistant", "weatherproof")
YAML_FILES = ("kinds", "parts", "suppliers", "labor", "recipes")
OFFER_COLUMNS = ["part", "supplier", "condition", "price", "per", "available", "seen", "note"]


def read(path: Path) -> dict[str, object]:
    found = read_yaml(path)
    assert not found.problems, render_text(found.problems)
    assert isinstance(found.data, dict)
    return found.data


def offer_rows(folder: Path) -> list[dict[str, str]]:
    with (folder / "offers.csv").open(newline="", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        assert rows.fieldnames == OFFER_COLUMNS
        return list(rows)


def read_offers(folder: Path) -> list[Offer]:
    optional = ("available", "seen")
    return [
        Offer.model_validate(
            {name: (value or None) if name in (*optional, "price") else value for name, value in row.items()}
            | {"row": number}
        )
        for number, row in enumerate(offer_rows(folder), start=2)
    ]


def read_catalog(folder: Path) -> Catalog:
    files = {name: read(folder / f"{name}.yaml") for name in YAML_FILES}
    content = {key: value for file in files.values() for key, value in file.items()}
    return Catalog.model_validate(content | {"offers": read_offers(folder)})


def read_shop(name: str) -> Shop:
    return Shop.model_validate(read(SHOPS[name]))


@dataclass(frozen=True)
class Shipped:
    catalogs: dict[str, Catalog]
    shops: dict[str, Shop]

    def catalog_of(self, shop: str) -> Catalog:
        return self.catalogs["tiny" if shop == "tiny" else "demo"]


@pytest.fixture(scope="module")
def shipped() -> Shipped:
    return Shipped(
        {name: read_catalog(folder) for name, folder in CATALOGS.items()},
        {name: read_shop(name) for name in SHOPS},
    )


@pytest.fixture(scope="module", params=CATALOGS)
def catalog(request: pytest.FixtureRequest, shipped: Shipped) -> Catalog:
    return shipped.catalogs[request.param]


# What each file says


@pytest.mark.parametrize("folder", CATALOGS.values(), ids=CATALOGS.keys())
def test_each_catalog_file_says_that_it_is_invented(folder: Path) -> None:
    for name in YAML_FILES:
        first = (folder / f"{name}.yaml").read_text(encoding="utf-8").splitlines()[0]
        assert first.startswith("# Invented data"), name
    page = (folder / "README.md").read_text(encoding="utf-8")
    assert "invented" in page
    assert "offers.csv" in page


@pytest.mark.parametrize("name", SHOPS)
def test_each_shop_says_that_it_is_invented_and_finds_its_catalog(name: str, shipped: Shipped) -> None:
    first = SHOPS[name].read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("# Invented data")
    shop = shipped.shops[name]
    assert shop.invented
    assert "(invented)" in shop.name
    assert shop.catalog is not None
    assert (SHOPS[name].parent / shop.catalog).resolve() in CATALOGS.values()


def test_every_supplier_but_the_shelf_is_called_invented(catalog: Catalog) -> None:
    for supplier in catalog.suppliers:
        assert supplier.name == "Your own shelf" or supplier.name.endswith("(invented)")


# How a catalog hangs together


def test_demo_catalog_has_many_parts_and_offers_in_every_condition(shipped: Shipped) -> None:
    demo = shipped.catalogs["demo"]
    assert len(demo.parts) >= 150
    assert len(demo.offers) >= 400
    assert {offer.condition for offer in demo.offers} == set(Condition)


def test_tiny_catalog_is_small_and_its_prices_are_round(shipped: Shipped) -> None:
    tiny = shipped.catalogs["tiny"]
    assert 15 <= len(tiny.parts) <= 20
    assert all(offer.price_cents is not None and offer.price_cents % 100 == 0 for offer in tiny.offers)


def test_names_are_used_once(catalog: Catalog) -> None:
    for names in (
        [part.id for part in catalog.parts],
        [kind.kind for kind in catalog.kinds],
        [supplier.id for supplier in catalog.suppliers],
        [task.id for task in catalog.tasks],
        [crew.name for crew in catalog.crews],
    ):
        assert len(names) == len(set(names))


def test_every_part_states_the_attributes_of_its_kind_and_no_others(catalog: Catalog) -> None:
    kinds = {kind.kind: kind for kind in catalog.kinds}
    for part in catalog.parts:
        assert part.kind in kinds, part.id
        stated, kind = set(part.attributes), kinds[part.kind]
        assert set(kind.attributes) <= stated <= {*kind.attributes, *kind.may_state}, part.id


def test_wire_sizes_are_text_and_counts_are_numbers(catalog: Catalog) -> None:
    for part in catalog.parts:
        for name, value in part.attributes.items():
            expected = Decimal if name in NUMBERS | HORSEPOWER_MARKS | INCHES else str
            assert isinstance(value, bool if name in YES_NO else expected), (
                part.id,
                name,
            )


def test_every_configuration_is_one_the_standards_know(catalog: Catalog) -> None:
    codes = {
        str(part.attributes["configuration"]) for part in catalog.parts if "configuration" in part.attributes
    }
    assert codes
    assert {find_configuration(code).code for code in codes} == codes


def test_every_offer_names_a_part_and_a_supplier_and_every_part_has_an_offer(catalog: Catalog) -> None:
    parts, suppliers = {part.id for part in catalog.parts}, {supplier.id for supplier in catalog.suppliers}
    assert {offer.part for offer in catalog.offers} == parts
    assert {offer.supplier for offer in catalog.offers} == suppliers


def test_every_part_has_a_new_offer_with_a_price(catalog: Catalog) -> None:
    new = {o.part for o in catalog.offers if o.condition is Condition.NEW and o.price_cents is not None}
    assert new == {part.id for part in catalog.parts}


def test_offers_are_sold_as_their_kind_is(catalog: Catalog) -> None:
    kinds = {kind.kind: kind for kind in catalog.kinds}
    sold = {part.id: kinds[part.kind].sold for part in catalog.parts}
    for offer in catalog.offers:
        in_lengths = offer.by_the_foot is not None or offer.piece_length_ft is not None
        assert in_lengths == (sold[offer.part] != "each"), offer.row


def test_surplus_is_limited_and_the_shelf_is_free(shipped: Shipped) -> None:
    for offer in shipped.catalogs["demo"].offers:
        if offer.condition is Condition.ON_HAND:
            assert (offer.supplier, offer.price_cents) == ("shelf", 0), offer.row
        if offer.condition is not Condition.NEW and offer.price_cents is not None:
            assert offer.available is not None, offer.row


def test_a_blank_price_is_noted_as_still_to_be_asked(shipped: Shipped) -> None:
    blank = [offer for offer in shipped.catalogs["demo"].offers if offer.price_cents is None]
    assert blank
    assert {offer.note for offer in blank} == {"ask"}


def test_nearly_all_prices_were_seen_lately_and_a_few_are_old(shipped: Shipped) -> None:
    seen = [offer.seen for offer in shipped.catalogs["demo"].offers if offer.seen is not None]
    old = [day for day in seen if day < date(2026, 7, 1)]
    assert max(seen) <= date(2026, 10, 25)
    assert 2 <= len(old) <= 10


# Recipes and labor


def test_there_is_a_recipe_for_all_work_and_for_nothing_else(catalog: Catalog) -> None:
    assert (
        set(RECIPE_NAMES)
        <= set(catalog.recipes)
        <= {
            *(*RECIPE_NAMES, *GEAR_RECIPE_NAMES, HEATER_LEAD, INTO_MACHINE, MACHINE_SWITCH, PIGTAILS),
            *(FLUSH_PANEL, RATED_WALL, HARD_WIRED_LEAD, MACHINE_LEAD),
        }
    )


def test_recipes_name_kinds_attributes_and_tasks_that_exist(catalog: Catalog) -> None:
    kinds = {kind.kind: kind for kind in catalog.kinds}
    tasks = {task.id for task in catalog.tasks}
    for name, recipe in catalog.recipes.items():
        for part in recipe.parts:
            assert part.kind in kinds, name
            assert set(part.attributes) <= set(kinds[part.kind].attributes), name
        assert {task.task for task in recipe.tasks} <= tasks, name


def test_every_task_is_used_and_some_crew_may_do_it(catalog: Catalog) -> None:
    used = {task.task for recipe in catalog.recipes.values() for task in recipe.tasks}
    roles = {crew.role for crew in catalog.crews}
    assert roles == set(Role)
    for task in catalog.tasks:
        assert set(task.who) <= roles, task.id
    assert {task.id for task in catalog.tasks} - FOR_RECIPES_OF_ONES_OWN == used - FOR_RECIPES_OF_ONES_OWN
    assert used <= {task.id for task in catalog.tasks}


# Shops


@pytest.mark.parametrize("name", SHOPS)
def test_a_shop_names_only_places_machines_and_breakers_that_exist(name: str, shipped: Shipped) -> None:
    shop, catalog = shipped.shops[name], shipped.catalog_of(name)
    places = {spot.name for spot in shop.places}
    machines = {machine.name for machine in shop.machines}
    panels = {panel.name for panel in shop.panels}
    families = {part.attributes["family"] for part in catalog.parts if part.kind == "breaker"}
    assert len(machines) == len(shop.machines)
    assert {panel.breakers for panel in shop.panels} <= families
    assert {panel.place for panel in shop.panels} - {None} <= places
    assert {machine.at for machine in shop.machines if machine.route is None} <= places
    assert {route.start for route in shop.routes} <= panels | places
    assert {route.end for route in shop.routes} <= places
    for scenario in shop.scenarios:
        for event in scenario.events:
            assert event.year <= shop.years
            assert event.machine is None or event.machine in machines
            assert {event.move, event.arrives} - {None} <= places
        if scenario.rearranged is not None:
            assert set(scenario.rearranged.machines or ()) <= machines
            assert set(scenario.rearranged.among) <= places


@pytest.mark.parametrize("name", SHOPS)
def test_the_weights_of_a_shops_scenarios_add_to_one(name: str, shipped: Shipped) -> None:
    assert sum(scenario.weight for scenario in shipped.shops[name].scenarios) == 1


def test_forty_has_forty_machines_three_panels_and_ten_years(shipped: Shipped) -> None:
    shop = shipped.shops["forty"]
    assert (len(shop.machines), len(shop.panels), shop.years) == (40, 3, 10)


def needs_of(bundle: Bundle) -> Iterator[Spec]:
    yield from (need.spec for need in bundle.needs)


def specs_of_way(builder: Builder, standing: Standing) -> set[Spec]:
    """Every spec that the circuit of one machine by one way asks the catalog for."""
    circuit = builder.build(standing)
    found = {*needs_of(circuit.outlet.bought), *needs_of(circuit.breaker.bought)}
    if circuit.cable is not None:
        found.add(circuit.cable.spec)
        found |= {
            make_spec(kind, {"configuration": circuit.size.configuration or ""})
            for kind in ("plug", "connector")
        }
    return found


@pytest.mark.parametrize("name", SHOPS)
def test_each_machine_has_an_allowed_way_and_all_its_parts_can_be_bought_new(
    name: str, shipped: Shipped
) -> None:
    facts = Facts(shipped.shops[name], shipped.catalog_of(name))
    on_sale = new_offers(facts.catalog)
    for machine in facts.shop.machines:
        load = load_of(machine)
        standing = Standing(0, machine.at, load, 0, Decimal(1), "is here today")
        sized = 0
        starts = sources(tuple(facts.panels.values()), [load], ())
        for way in all_ways(facts.shop, machine, starts, load):
            if refusal(facts.shop, machine, way) is not None:
                continue
            try:
                specs = specs_of_way(Builder(facts, machine, way), standing)
            except (CannotSizeError, NoRouteError):
                continue
            sized += 1
            for spec in specs:
                assert meets(facts.catalog, spec, on_sale), (machine.name, way.describe(), spec.describe())
        assert sized > 0, machine.name


# What the demo catalog covers

DRY = Rules(
    edition=2020,
    occupancy=Occupancy.COMMERCIAL,
    ground_fault_place=False,
    drop_limit=Decimal("0.05"),
    ambient_c=Decimal(30),
)
WET = Rules(
    edition=2020,
    occupancy=Occupancy.DWELLING_GARAGE,
    ground_fault_place=True,
    drop_limit=Decimal("0.05"),
    ambient_c=Decimal(30),
)
SUPPLIES = [(120, 1, False), (240, 1, False), (240, 1, True), (240, 3, False)]


def new_offers(catalog: Catalog) -> set[str]:
    return {o.part for o in catalog.offers if o.condition is Condition.NEW and o.price_cents is not None}


def meets(catalog: Catalog, spec: Spec, on_sale: set[str]) -> bool:
    return any(part.id in on_sale and spec.met_by(part) for part in catalog.parts)


def sized(load: Load, wiring: Wiring, family: str, rules: Rules) -> CircuitSize | None:
    try:
        return size_circuit(load, wiring, family, Decimal(40), rules)
    except CannotSizeError:
        return None


def asked_for(size: CircuitSize, wiring: Wiring, breakers: str) -> list[Spec]:
    """Specs of all that one sized circuit needs from the catalog."""
    thin, thick = {"awg": size.awg}, {"awg": size.awg_at_most}
    cable = {**thin, "conductors": size.conductors, "ground_awg": size.grounding_awg}
    ends = [
        make_spec(kind, {"configuration": size.configuration or ""})
        for kind in ("receptacle", "plug", "connector")
    ]
    run = {
        Wiring.CABLE: make_spec("building cable", {}, dict(cable), dict(thick)),
        Wiring.ARMORED: make_spec("armored cable", {}, dict(cable), dict(thick)),
        Wiring.CONDUIT: make_spec("building wire", {}, dict(thin), {"awg": size.awg}),
        Wiring.CORD: make_spec(
            "cord",
            {"service": "hard"},
            {**thin, "conductors": size.wires, "volts": size.cord_volts_at_least},
            dict(thick),
        ),
    }[wiring]
    breaker = make_spec(
        "breaker",
        {"family": breakers, "poles": size.poles, "ground_fault": size.ground_fault},
        {"rating_a": size.breaker_a, "volts": 240},
        {"rating_a": size.breaker_at_most_a},
    )
    housing = [make_spec(kind, {}, {"rating_a": size.breaker_a}) for kind in ("outlet box", "device cover")]
    return [*ends, run, breaker, *housing]


@pytest.mark.parametrize("wiring", Wiring)
@pytest.mark.parametrize(("volts", "phases", "neutral"), SUPPLIES)
def test_demo_covers_machines_of_12_to_45_amperes(
    volts: int, phases: int, neutral: bool, wiring: Wiring, shipped: Shipped
) -> None:
    demo = shipped.catalogs["demo"]
    on_sale = new_offers(demo)
    breakers = ("family B",) if phases == 3 else ("family A", "family B")
    covered = 0
    for amps_a in range(12, 46):
        for motor in (False, True):
            load = Load(
                volts,
                phases,
                neutral,
                LoadKind.MOTOR if motor else LoadKind.OTHER,
                None,
                Decimal(amps_a),
                False,
                None,
            )
            for family in ("straight", "locking", "pin and sleeve"):
                for rules in (DRY, WET):
                    size = sized(load, wiring, family, rules)
                    if size is None:
                        continue
                    covered += 1
                    for name in breakers:
                        for spec in asked_for(size, wiring, name):
                            assert meets(demo, spec, on_sale), (amps_a, motor, family, spec.describe())
    assert covered > 20


def test_demo_has_breakers_of_the_usual_sizes(shipped: Shipped) -> None:
    demo = shipped.catalogs["demo"]
    have = {
        (a["family"], a["poles"], a["rating_a"], a["ground_fault"])
        for a in (part.attributes for part in demo.parts if part.kind == "breaker")
    }
    for rating_a in (15, 20, 30, 40, 50, 60):
        for poles, family in (
            (1, "family A"),
            (2, "family A"),
            (1, "family B"),
            (2, "family B"),
            (3, "family B"),
        ):
            for ground_fault in (False, True):
                assert (family, poles, rating_a, ground_fault) in have
