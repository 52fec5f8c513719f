"""Seeded shops of any size on the shipped catalog, all of them invented."""

from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

from costplan.circuits.facts import Facts
from costplan.files.problems import errors_of, render_text
from costplan.files.shipped import shipped
from costplan.model.gear import Gear, PowerService
from costplan.model.loading import load_catalog, load_shop
from costplan.model.shop import Shop
from costplan.model.system import phases

SEED = 7
SINGLE, THREE = "120/240 single-phase", "240 three-phase"
DEMO = "demo"
GEAR = "+gear"
"""Ending of a shop's name that asks for it with gear."""
IN_GROUPS = "in"
"""Between a number of machines and a number of groups of equal ones, `100in8`."""

_PLATES: tuple[dict[str, Any], ...] = (
    {"volts": 120, "hp": "1/2"},
    {"volts": 120, "hp": "3/4"},
    {"volts": 120, "hp": "1"},
    {"volts": 120, "amps": 9, "load": "heater"},
    {"volts": 240, "hp": "1-1/2"},
    {"volts": 240, "hp": "2"},
    {"volts": 240, "hp": "3"},
    {"volts": 240, "hp": "5"},
    {"volts": 240, "amps": 16, "load": "heater", "continuous": True},
)
_THREE_PHASE_PLATES: tuple[dict[str, Any], ...] = (
    {"volts": 240, "phases": 3, "hp": "3"},
    {"volts": 240, "phases": 3, "hp": "5"},
    {"volts": 240, "phases": 3, "hp": "7-1/2"},
)


def generate_shop(count: int, seed: int = SEED, *, gear: bool = False) -> Shop:
    """A shop of `count` machines, at least 5; the same count and seed always give the same shop.

    One machine in five is three-phase, one pair in ten machines takes turns, one machine in ten never moves.
    gear: one machine in three is three-phase and no panel has three phases; in its place there are a service
    with room and four candidates, see `_gear`.
    """
    random = Random(f"{seed} {count}")
    names = [f"machine {number:02}" for number in range(1, count + 1)]
    bays = [f"bay {number:02}" for number in range(1, count + 1)]
    every = 3 if gear else 5
    plates = [_plate(random, three_phase=number % every == 2) for number in range(count)]
    machines: list[dict[str, Any]] = [
        {"name": name, "at": bay, **plate} for name, bay, plate in zip(names, bays, plates, strict=True)
    ]
    for first in range(0, count - 1, 10):
        # Both plates are alike and both machines stand together, else there is no outlet to share.
        machines[first + 1] = machines[first] | {"name": names[first + 1]}
        for machine in machines[first : first + 2]:
            machine["takes_turns"] = f"turn {first // 10 + 1}"
    for number in range(3, count, 10):
        machines[number]["never_moves"] = True
    return Shop.model_validate(
        {
            "shop": f"Generated shop of {count} machines (invented)",
            "invented": True,
            "today": "2026-11-02",
            "years": 8,
            "money": {"shop_hour": 40, "growth": {"labor": "1 %"}},
            "code": {"edition": 2020, "drop_limit": "5 %"},
            "panels": _panels(3 * count + 6)[: 1 if gear else 2],
            "places": list(_places(random, bays)),
            "machines": machines,
            "scenarios": _scenarios(machines, bays),
        }
        | (_gear(count, "panel one", ("east wall", bays[count // 2])) if gear else {})
    )


def generate_groups(count: int, groups: int) -> Shop:
    """A shop of `groups` kinds of machines, at least 5, of which there are `count` in all, as evenly as can be.

    Its machines take no turns, and half of every group that moves is rearranged each year in one scenario.
    """
    plain = generate_shop(groups)
    machines = [
        machine.model_copy(update={"count": count // groups + (number < count % groups), "takes_turns": None})
        for number, machine in enumerate(plain.machines)
    ]
    moved = [
        {"every": 1, "machine": machine.name, "how_many": machine.count // 2, "new_spot": True}
        for machine in machines
        if not machine.never_moves and machine.phases == 1
    ]
    values = plain.model_dump(by_alias=True, exclude_none=True, exclude_defaults=True) | {
        "shop": f"Generated shop of {count} machines in {groups} groups (invented)",
        "panels": _panels(3 * count + 6),
        "machines": [m.model_dump(by_alias=True, exclude_none=True, exclude_defaults=True) for m in machines],
        "scenarios": [
            {"name": "stay", "weight": 0.5},
            {"name": "rearranged", "weight": 0.5, "events": moved},
        ],
    }
    return Shop.model_validate(values)


def _plate(random: Random, *, three_phase: bool) -> dict[str, Any]:
    return dict(random.choice(_THREE_PHASE_PLATES if three_phase else _PLATES))


def _panels(spaces_free: int) -> list[dict[str, Any]]:
    free = {"spaces_free": spaces_free}
    return [
        {"name": "panel one", "system": SINGLE, "breakers": "family A", "place": "west wall", **free},
        {"name": "panel two", "system": THREE, "breakers": "family B", "place": "east wall", **free},
    ]


def _gear(count: int, fed_from: str, places: tuple[str, str]) -> dict[str, Any]:
    """A service with room, two candidate subpanels, and a rotary and a solid-state converter."""
    converter = {
        "kind": "phase converter",
        "panel_part": "panel-b-100",
        "breaker": 100,
        "fed_from": fed_from,
        "at": places[0],
        "hours_per_year": 200,
    }
    subpanel = {"kind": "subpanel", "panel_part": "panel-a-100", "fed_from": fed_from}
    return {
        "service": {"system": SINGLE, "amps": 200 + 30 * count},
        "gear": [
            {"name": "first subpanel", "at": places[0], **subpanel},
            {"name": "second subpanel", "at": places[1], **subpanel},
            {"name": "rotary converter", "part": "rotary-converter-20", **converter},
            {"name": "solid-state converter", "part": "solid-state-converter-20", **converter},
        ],
    }


def _places(random: Random, bays: list[str]) -> Iterator[dict[str, Any]]:
    width_ft = 50 if len(bays) <= 20 else 80
    yield {"name": "west wall", "at": [0, 20]}
    yield {"name": "east wall", "at": [width_ft, 20]}
    for bay in bays:
        yield {"name": bay, "at": [random.randint(2, width_ft - 2), random.randint(2, 38)]}


def _scenarios(machines: list[dict[str, Any]], bays: list[str]) -> list[dict[str, Any]]:
    single = [machine for machine in machines if machine.get("phases", 1) == 1]
    movers = [machine["name"] for machine in single if not machine.get("never_moves")][-6:]
    here = [machine["at"] for machine in machines if machine["name"] in movers]
    retooled = next(m for m in single if m["volts"] == 240 or m["name"] == movers[0])
    return [
        {"name": "stay", "weight": 0.4},
        {
            "name": "rearranged",
            "weight": 0.4,
            "rearranged": {"times_per_year": 1, "machines": movers, "among": list(dict.fromkeys(here))},
        },
        {
            "name": "growing",
            "weight": 0.2,
            "events": [
                {
                    "year": 2,
                    "machine": retooled["name"],
                    "retool": {"volts": 240, "phases": 3, "hp": "3"},
                },
                {"year": 3, "machine": machines[-1]["name"], "arrives": bays[-1]},
                {"year": 4, "machine": machines[2]["name"], "leaves": True},
            ],
        },
    ]


def with_gear(shop: Shop) -> Shop:
    """A shop that has three-phase panels with candidate gear in their place; it is fed from its first panel."""
    single = [panel for panel in shop.panels if phases(panel.system) == 1]
    lost = next(panel for panel in shop.panels if phases(panel.system) == 3)
    values = _gear(len(shop.machines), single[0].name, (lost.place, shop.machines[0].at))
    return shop.model_copy(
        update={
            "panels": single,
            "service": PowerService.model_validate(values["service"]),
            "gear": [Gear.model_validate(entry) for entry in values["gear"]],
        }
    )


def facts_of(name: str) -> Facts:
    """`demo` or another shipped example, or a number of machines to generate; either may end in `+gear`.

    `100in8` are so many machines in groups.
    """
    gear, name = name.endswith(GEAR), name.removesuffix(GEAR)
    count, _, groups = name.partition(IN_GROUPS)
    if count.isdigit() and groups.isdigit():
        catalog = _sound(load_catalog(shipped("catalogs") / DEMO))
        return Facts(generate_groups(int(count), int(groups)), catalog)
    if name.isdigit():
        return Facts(generate_shop(int(name), gear=gear), _sound(load_catalog(shipped("catalogs") / DEMO)))
    path: Path = shipped("examples") / name / "shop.yaml"
    shop = _sound(load_shop(path))
    catalog = _sound(load_catalog(path.parent / (shop.catalog or f"../../catalogs/{DEMO}")))
    return Facts(with_gear(shop) if gear else shop, catalog)


def _sound(loaded: Any) -> Any:
    found, problems = loaded
    if found is None or errors_of(problems):
        raise SystemExit(render_text(problems))
    return found


if __name__ == "__main__":
    for machines in (5, 10, 20, 40, 100):
        for gear in (False, True):
            shop = generate_shop(machines, gear=gear)
            assert shop == generate_shop(machines, gear=gear)
            three = sum(machine.phases == 3 for machine in shop.machines)
            print(
                f"{shop.name:<45} {three:>3} three-phase, {len(shop.places):>3} places, {len(shop.gear)} of gear"
            )
