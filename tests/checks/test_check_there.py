"""Checks of what is there, where the small invented shop is not enough: other systems, other ways to reach."""

from pathlib import Path

import pytest
from small_shop import FILES, write_small_shop

from costplan.checks.checks import check_shop
from costplan.model.loading import load_catalog_with_places, load_shop_with_places

SHOP = FILES["garage.yaml"]
DELTA = "  - {name: other, system: SYSTEM, breakers: family A, spaces_free: 6, place: door}\n"


def codes(folder: Path, *changes: tuple[str, str]) -> list[str]:
    text = SHOP
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path = write_small_shop(folder, {"garage.yaml": text})
    shop = load_shop_with_places(path)
    assert not shop.problems
    return [problem.code for problem in check_shop(shop, load_catalog_with_places(folder / "catalog"))]


def now(words: str, machine: str = "    volts: 240\n") -> tuple[str, str]:
    return machine, f"{machine}    now: {{awg: '12', breaker: 20, {words}}}\n"


@pytest.mark.parametrize(
    ("system", "receptacle", "poles", "found"),
    [
        ("240 three-phase", "NEMA 15-20", 3, []),
        ("240 three-phase", "NEMA 6-20", 2, []),
        ("240 three-phase", "NEMA 5-20", 1, ["now-receptacle-volts"]),
        ("120/208 three-phase", "NEMA L21-20", 3, []),
        ("120/208 three-phase", "NEMA 14-20", 2, []),
        ("120/208 three-phase", "NEMA 5-20", 1, []),
        ("277/480 three-phase", "NEMA L16-20", 3, []),
        ("277/480 three-phase", "NEMA 7-20", 1, []),
        ("277/480 three-phase", "NEMA 6-20", 2, ["now-receptacle-volts"]),
        ("120/240 single-phase", "NEMA 7-20", 1, ["now-receptacle-volts"]),
        ("240 three-phase", "NEMA 6-20", 3, ["now-poles-receptacle"]),
    ],
)
def test_receptacles_by_system(
    system: str, receptacle: str, poles: int, found: list[str], tmp_path: Path
) -> None:
    """A wall drop with wires enough, from a panel of each system."""
    circuit = f"panel: other, method: wall drop, configuration: {receptacle}, poles: {poles}, conductors: 4"
    panel = ("places:\n", DELTA.replace("SYSTEM", system) + "places:\n")

    asked = {"now-takes-no-plug"}  # the saw's plug is a 6-20
    assert [code for code in codes(tmp_path, panel, now(circuit)) if code not in asked] == found


@pytest.mark.parametrize(
    ("ceiling_ft", "pendant", "found"),
    [
        (10, "", ["now-elsewhere"]),
        (10, "19 ft", []),
        (10, "18 ft", ["now-elsewhere"]),
        (12, "20 ft", ["ceiling-hours", "now-elsewhere"]),
    ],
)
def test_a_pendant_reaches_what_hangs_down_less(
    ceiling_ft: int, pendant: str, found: list[str], tmp_path: Path
) -> None:
    """The panel's wall is 12.65 ft from the bench; of a 19 ft pendant 6 ft hang from 10 ft down to 4: 13 ft are left."""
    cord = f", cord: {{length: {pendant}, awg: '12', conductors: 3}}" if pendant else ""
    circuit = f"place: panel wall, panel: main, method: ceiling outlet, configuration: NEMA 6-20{cord}"
    ceiling = ("ceiling_height: 10 ft", f"ceiling_height: {ceiling_ft} ft")

    assert codes(tmp_path, ceiling, now(circuit)) == found


def test_a_rearrangement_explains_where_a_circuit_ends(tmp_path: Path) -> None:
    circuit = now("place: panel wall, panel: main, method: wall drop, configuration: NEMA 6-20")
    among = "    rearranged: {times_per_year: 1, MACHINESamong: [bench, panel wall]}\n"
    stays = "    weight: 60 %\n"

    assert codes(tmp_path, circuit) == ["now-elsewhere"]
    assert codes(tmp_path, circuit, (stays, stays + among.replace("MACHINES", ""))) == []
    of_another = among.replace("MACHINES", "machines: [sander], ")
    assert codes(tmp_path, circuit, (stays, stays + of_another)) == ["now-elsewhere"]


def test_machines_that_never_had_a_circuit_or_only_have_quotes_are_not_measured(tmp_path: Path) -> None:
    circuit = now("place: panel wall, panel: main, method: wall drop, configuration: NEMA 6-20")
    quoted = (
        "cords:\n",
        "quoted_ways:\n  - {name: box, method: wall drop, machines: [table saw], put_in: {money: 9}}\ncords:\n",
    )

    assert "now-elsewhere" not in codes(tmp_path, circuit, quoted)
    later = ("    hp: 3\n", "    hp: 3\n    arrives: 1\n")
    assert "now-elsewhere" not in codes(tmp_path, circuit, later)


def test_poles_of_a_group_are_counted_for_each(tmp_path: Path) -> None:
    circuit = now("panel: main, method: wall drop, configuration: NEMA 6-20")
    group = ("  - name: table saw\n", "  - name: table saw\n    count: 3\n")
    spaces = ("    spaces_free: 6\n", "    spaces_free: 6\n    spaces: 11\n")

    assert codes(tmp_path, circuit, spaces) == []
    assert codes(tmp_path, circuit, spaces, group) == ["panel-spaces"]


def test_an_edition_that_lists_10_a_takes_it(tmp_path: Path) -> None:
    circuit = now("panel: main, method: wall drop", "    volts: 120\n")
    ten = ("breaker: 20, panel", "breaker: 10, poles: 1, panel")
    code = ("building:\n", "code: {edition: 2023}\nbuilding:\n")

    assert codes(tmp_path, circuit, ten) == ["now-breaker-size"]
    assert codes(tmp_path, circuit, ten, code) == []


@pytest.mark.parametrize(
    ("own_cord", "route", "found"),
    [
        (
            "17 ft",
            "",
            ["ceiling-left-out"],
        ),  # 17 + 15 ft of slack may reach the door, 16.1 ft away, or hang too short
        ("1 ft", "", []),  # 1 + 15 ft do not reach it over the floor, so no height matters
        ("17 ft", "  - {from: bench, to: door, cord: 20 ft}\n", []),  # measured
    ],
)
def test_a_ceiling_that_nobody_gave_is_asked_where_a_cord_hangs_by_it(
    own_cord: str, route: str, found: list[str], tmp_path: Path
) -> None:
    """Bench [12, 4] and door [20, 18] are the square root of 8 x 8 + 14 x 14 = 16.1 ft apart."""
    cord = ("    plug: NEMA 6-20\n", f"    plug: NEMA 6-20\n    own_cord: {own_cord}\n")
    routes = ("machines:\n", f"{route}machines:\n")
    no_ceiling = ("building:\n  ceiling_height: 10 ft\n", "")

    assert "ceiling-left-out" not in codes(tmp_path, cord, routes)
    assert [code for code in codes(tmp_path, cord, routes, no_ceiling) if code == "ceiling-left-out"] == found


@pytest.mark.parametrize(
    ("sander", "found"),
    [
        ("never_moves: true", ["rearranged-among-taken"]),
        ("never_moves: true\n    arrives: 2", []),
        ("never_moves: true\n    leaves: 3", []),
        ("never_moves: false", []),
    ],
)
def test_a_place_that_is_always_taken_is_asked_about(sander: str, found: list[str], tmp_path: Path) -> None:
    """The saw is to move to the door, where a sander that never moves stands; it leaves in the other scenario only."""
    moves = (
        "    weight: 60 %\n",
        "    weight: 60 %\n    rearranged: {times_per_year: 1, among: [bench, door]}\n",
    )
    asked = codes(tmp_path, moves, ("    amps: 12.8 A\n", f"    amps: 12.8 A\n    {sander}\n"))
    assert [code for code in asked if code == "rearranged-among-taken"] == found
