"""The shop of a layout: a pure function of the shop file, and what is refused of it.

Shops are invented; what a layout means is this tool's own.
"""

from pathlib import Path
from typing import Any

import pytest
from strategies import SAW, make_shop

from costplan.checks.check_rooms import NO_WAY
from costplan.checks.checks import check_shop
from costplan.files.problems import Problem, errors_of
from costplan.model.layouts import LaidOutShop, MovedToday, TakenAway, laid_out
from costplan.model.loading import load_catalog_with_places, load_shop_with_places
from costplan.model.shop import Machine

Row = dict[str, Any]
ROOT = Path(__file__).parents[2]
SHED = ROOT / "tests" / "shops" / "layouts.yaml"

NOW: Row = {
    "method": "wall drop",
    "panel": "panel",
    "configuration": "NEMA 6-20",
    "breaker": "20 A",
    "awg": "12",
}
PLANER: Row = SAW | {"name": "planer", "at": "bench B"}
CABINET: Row = {"name": "cabinet saw", "volts": 240, "amps": 20}


def move(year: int, place: str, name: str = "saw") -> Row:
    return {"year": year, "machine": name, "move": place}


def busy(*events: Row, **more: Any) -> list[Row]:
    return [{"name": "busy", "weight": 1, "events": list(events), **more}]


def of(layout: Row, machines: list[Row] | None = None, **more: Any) -> LaidOutShop:
    shop = make_shop(machines or [SAW | {"now": NOW}, PLANER], layouts=[{"name": "idea"} | layout], **more)
    return laid_out(shop, shop.layouts[0])


def machine(shop: LaidOutShop, name: str) -> Machine:
    return next(entry for entry in shop.machines if entry.name == name)


def test_a_machine_that_is_moved_keeps_its_circuit_where_it_stood() -> None:
    saw = machine(of({"at": {"saw": "bench C"}}), "saw")
    assert isinstance(saw, MovedToday)
    assert (saw.at, saw.stood_at) == ("bench C", "bench A")
    assert saw.now is not None
    assert saw.now.place == "bench A"


def test_a_circuit_that_ends_elsewhere_already_stays_there() -> None:
    there = SAW | {"now": NOW | {"place": "bench B"}}
    saw = machine(of({"at": {"saw": "bench C"}}, [there]), "saw")
    assert saw.now is not None
    assert saw.now.place == "bench B"


def test_a_machine_without_a_place_stood_at_its_own() -> None:
    routed = {word: said for word, said in SAW.items() if word != "at"} | {"route": {"fixed": 9, "cord": 9}}
    shop = of({"at": {"saw": "bench C"}}, [routed | {"now": NOW}])
    saw = machine(shop, "saw")
    assert isinstance(saw, MovedToday)
    assert (saw.stood_at, saw.route) == ("saw", None)
    assert "saw" in {spot.name for spot in shop.places}


def test_machines_that_are_not_named_stay_the_same() -> None:
    shop = make_shop([SAW, PLANER], layouts=[{"name": "idea", "at": {"saw": "bench C"}}])
    known = laid_out(shop, shop.layouts[0])
    assert machine(known, "planer") is shop.machines[1]
    assert known.layouts == []
    assert shop.machines[0].at == "bench A"


def test_what_is_taken_away_stays_known_and_its_events_are_dropped() -> None:
    happens = busy(move(1, "bench C"), move(2, "bench A", "planer"))
    shop = of({"without": ["saw"]}, scenarios=happens)
    assert isinstance(machine(shop, "saw"), TakenAway)
    assert [event.machine for event in shop.scenarios[0].events] == ["planer"]
    assert [(entry.scenario, entry.machine) for entry in shop.dropped] == [("busy", "saw")]


def test_what_is_swapped_in_takes_the_place_and_the_moves_but_no_retooling() -> None:
    retool = {"year": 2, "machine": "saw", "retool": {"volts": 240, "amps": 12}}
    shop = of(
        {"swap": {"saw": "cabinet saw"}, "brought": [CABINET]},
        scenarios=busy(move(1, "bench C"), retool),
        service={"amps": 100, "at_once": [["saw"], ["planer"]]},
        strategies=[{"name": "s", "ways": {"saw": "cord", "planer": "wall drop"}}],
    )
    assert machine(shop, "cabinet saw").at == "bench A"
    assert isinstance(machine(shop, "saw"), TakenAway)
    assert [(event.machine, event.move) for event in shop.scenarios[0].events] == [("cabinet saw", "bench C")]
    assert [entry.event.retool is not None for entry in shop.dropped if entry.event] == [True]
    assert shop.service is not None
    assert shop.service.at_once == [["cabinet saw"], ["planer"]]
    assert shop.strategies[0].ways == {"cabinet saw": "cord", "planer": "wall drop"}


def test_strategies_say_nothing_of_what_is_taken_away() -> None:
    shop = of({"without": ["saw"]}, strategies=[{"name": "s", "ways": {"saw": "cord", "planer": "cord"}}])
    assert shop.strategies[0].ways == {"planer": "cord"}


def test_a_rearrangement_goes_on_without_what_is_taken_away() -> None:
    turns = {"times_per_year": 1, "among": ["bench A", "bench C"], "machines": ["saw", "planer"]}
    shop = of({"without": ["saw"]}, scenarios=busy(rearranged=turns))
    assert shop.scenarios[0].rearranged is not None
    assert shop.scenarios[0].rearranged.machines == ["planer"]
    assert [(entry.machine, entry.event) for entry in shop.dropped] == [("saw", None)]


# refusals ---------------------------------------------------------------------------------------------


def problems(tmp_path: Path, layouts: str, old: str = "", new: str = "") -> list[Problem]:
    text = SHED.read_text(encoding="utf-8")
    head = text[: text.index("layouts:")]
    assert old in head
    path = tmp_path / "shop.yaml"
    path.write_text(head.replace(old, new) + f"layouts:\n{layouts}\n", encoding="utf-8")
    shop = load_shop_with_places(path)
    catalog = load_catalog_with_places(ROOT / "examples" / "tiny" / "catalog")
    return [*shop.problems, *check_shop(shop, catalog)]


BRINGS = "{name: new, at: bench C, volts: 240, amps: 16, ways: {hard_wired: false}}"
REFUSED: dict[str, tuple[str, str, str, str]] = {
    "an unknown machine": ("{name: a, at: {saww: bench B}}", "layout-machine", "at › saww", "saw"),
    "an unknown machine taken away": ("{name: a, without: [dril]}", "layout-machine", "without", "drill"),
    "an unknown place": ("{name: a, at: {saw: bench Q}}", "layout-place", "at › saw", "bench C"),
    "two entries": (
        "{name: a, without: [saw, saw]}",
        "layout-machine-twice",
        "without › #2",
        "delete it here or under without:",
    ),
    "moved and taken away": (
        "{name: a, at: {saw: bench B}, without: [saw]}",
        "layout-machine-twice",
        "without › #1",
        "delete it here or under at:",
    ),
    "moved and swapped": (
        f"{{name: a, at: {{saw: bench B}}, swap: {{saw: new}}, brought: [{BRINGS}]}}",
        "layout-machine-twice",
        "swap › saw",
        "delete it here or under at:",
    ),
    "the same key twice": (
        "{name: a, at: {saw: bench B, saw: bench C}}",
        "yaml-repeated-word",
        "at › saw",
        "keep one of them",
    ),
    "brought under a name that exists": (
        "{name: a, brought: [{name: saw, at: bench C, volts: 240, amps: 16}]}",
        "layout-brought-name",
        "brought › saw › name",
        "give it another name",
    ),
    "two brought of one name": (
        f"{{name: a, brought: [{BRINGS}, {BRINGS}]}}",
        "layout-brought-name",
        "brought › new › name",
        "give it another name",
    ),
    "brought and moved": (
        f"{{name: a, at: {{new: bench B}}, brought: [{BRINGS}]}}",
        "layout-machine-brought",
        "at › new",
        "under brought:",
    ),
    "swapped for what is not listed": (
        "{name: a, swap: {saw: new}}",
        "layout-swap",
        "swap › saw",
        "list new under brought:",
    ),
    "swapped for one machine twice": (
        f"{{name: a, swap: {{saw: new, drill: new}}, brought: [{BRINGS}]}}",
        "layout-swap-twice",
        "swap › drill",
        "under without:",
    ),
    "two layouts of one name": (
        "{name: a, without: [saw]}\n  - {name: a, without: [drill]}",
        "layout-repeated",
        "name",
        "give it another name",
    ),
    "as it is": ("{name: as it is, without: [saw]}", "layout-as-it-is", "name", "a name of its own"),
    "a place without a length": (
        "{name: a, at: {saw: attic}}",
        "machine-no-route",
        "at › saw",
        "add a route",
    ),
    "brought with volts that nobody has": (
        "{name: a, brought: [{name: new, at: bench C, volts: 480, amps: 9}]}",
        "machine-no-panel",
        "brought › new › volts",
        "add a panel",
    ),
    "brought to nowhere": (
        "{name: a, brought: [{name: new, volts: 240, amps: 16}]}",
        "machine-at-missing",
        "brought › new",
        "add at:",
    ),
    "brought later": (
        f"{{name: a, brought: [{BRINGS.replace('amps: 16', 'amps: 16, arrives: 2')}]}}",
        "layout-brought-later",
        "arrives",
        "belongs under machines:",
    ),
    "brought with a circuit": (
        "{name: a, brought: [{name: new, at: bench C, volts: 240, amps: 16, now: {method: cord, panel: panel, "
        'configuration: NEMA 6-20, breaker: 20, awg: "12"}}]}',
        "layout-brought-now",
        "now",
        "under installed:",
    ),
    "an unknown word": ("{name: a, moved: {saw: bench B}}", "layouts-unknown-word", "moved", "at, without"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_a_layout_may_not_say_is_refused_with_its_place_and_the_mend(case: str, tmp_path: Path) -> None:
    text, code, field, mend = REFUSED[case]
    attic = ("places: [", "places: [{name: attic}, ")
    said = problems(tmp_path, f"  - {text}", *attic)
    found = [problem for problem in said if problem.severity == "error" or problem.code in NO_WAY]
    assert [problem.code for problem in found] == [code]
    assert found[0].at.line > 50
    assert field in found[0].field_path
    assert mend in found[0].mend


LATE = ("    at: bench B\n    volts: 240", "    at: bench B\n    arrives: 1\n    volts: 240")
CIRCUIT = '    now: {method: wall drop, panel: panel, configuration: NEMA 6-20, breaker: 20 A, awg: "12"}\n'


@pytest.mark.parametrize("text", ["at: {drill: bench A}", "without: [drill]"])
def test_a_machine_that_comes_later_is_in_no_layout(text: str, tmp_path: Path) -> None:
    found = errors_of(problems(tmp_path, f"  - {{name: a, {text}}}", *LATE))
    assert "layout-machine-later" in [problem.code for problem in found]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("{name: a}", "layout-nothing"),
        ("{name: a, at: {saw: bench A}}", "layout-moves-nowhere"),
    ],
)
def test_what_changes_nothing_is_asked_about(text: str, code: str, tmp_path: Path) -> None:
    found = problems(tmp_path, f"  - {text}")
    assert [(problem.code, problem.severity) for problem in found] == [(code, "question")]


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("{name: a, at: {saw: bench B}}", True),
        ("{name: a, at: {saw: bench B, drill: bench A}}", False),
        ("{name: a, at: {saw: bench B}, without: [drill]}", False),
        (f"{{name: a, brought: [{BRINGS.replace('bench C', 'bench B')}]}}", True),
        (f"{{name: a, brought: [{BRINGS.replace('bench C', 'bench B')}], swap: {{drill: new}}}}", False),
        (f"{{name: a, brought: [{BRINGS}]}}", False),
    ],
)
def test_two_where_one_stands_is_asked_about(text: str, asked: bool, tmp_path: Path) -> None:
    found = [problem for problem in problems(tmp_path, f"  - {text}") if problem.code == "layout-crowded"]
    assert [problem.severity for problem in found] == ["question"] * asked
    assert all('where "drill" stands and stays' in problem.message for problem in found)


def test_moving_what_never_moves_is_asked_about(tmp_path: Path) -> None:
    never = ("  - name: saw\n", "  - name: saw\n    never_moves: true\n")
    found = problems(tmp_path, "  - {name: a, at: {saw: bench C}}", *never)
    assert [problem.code for problem in found] == ["layout-never-moves"]


def test_the_shed_has_no_mistakes() -> None:
    shop = load_shop_with_places(SHED)
    catalog = load_catalog_with_places(ROOT / "examples" / "tiny" / "catalog")
    assert [*shop.problems, *check_shop(shop, catalog)] == []
