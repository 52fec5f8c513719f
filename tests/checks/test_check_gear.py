"""Rules over shared gear beyond the word-for-word cases of tests/bad_input, and what they leave through."""

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from small_shop import GEAR_FILES, with_gear_change, write_small_shop

from costplan.checks.checks import check_shop
from costplan.files.problems import Problem
from costplan.model.loading import load_catalog_with_places, load_shop_with_places

SHOP = "garage.yaml"
Changed = dict[str, str | bytes | None]


def found(folder: Path, changed: Changed) -> list[Problem]:
    path = write_small_shop(folder, changed)
    shop, catalog = load_shop_with_places(path), load_catalog_with_places(folder / "catalog")
    return [*shop.problems, *catalog.problems, *check_shop(shop, catalog)]


def codes(folder: Path, changed: Changed) -> list[str]:
    return [problem.code for problem in found(folder, changed)]


def changed(old: str, new: str, file: str = SHOP) -> Changed:
    return with_gear_change(file, old, new)


@pytest.mark.parametrize(
    ("old", "new"),
    [("part: CV-5", "part: CV-50"), ("spaces_free: 6", "spaces_free: -1"), ("amps: 40 A", "amps: 140 A")],
)
def test_a_mistake_about_gear_ends_with_2_and_no_traceback(tmp_path: Path, old: str, new: str) -> None:
    shop = write_small_shop(tmp_path, changed(old, new))
    done = subprocess.run(
        [sys.executable, "-m", "costplan", "check", str(shop)],
        capture_output=True,
        encoding="utf-8",
        check=False,
        timeout=60,
    )
    assert done.returncode == 2
    assert "nothing was computed" in done.stdout + done.stderr
    assert "Traceback" not in done.stdout + done.stderr


MILL_PLATE = "    phases: 3\n    hp: 5\n"
FORBIDDEN = "{single-phase motor: its head is geared}"
DRIVE: Changed = {
    "catalog/kinds.yaml": GEAR_FILES["catalog/kinds.yaml"]
    + "  - kind: drive\n    attributes: [hp, volts, output_a, input_a, efficiency]\n",
    "catalog/parts.yaml": GEAR_FILES["catalog/parts.yaml"]
    + "  - {id: DR, kind: drive, name: drive, "
    + "attributes: {hp: 7.5, volts: 240, output_a: 25, input_a: 47, efficiency: 0.96}}\n",
    "catalog/recipes.yaml": GEAR_FILES["catalog/recipes.yaml"] + "  drive: {}\n",
}


def no_converter(**more: Any) -> Changed:
    """The shop without its converter, so that the mill needs something else."""
    text = GEAR_FILES[SHOP]
    start, end = text.index("  - name: converter"), text.index("  - name: far panel")
    text = (text[:start] + text[end:]).replace(", electricity_per_kwh: 0.15", "")
    return {**GEAR_FILES, SHOP: text, **more}


def test_without_any_source_of_three_phases_nothing_is_computed(tmp_path: Path) -> None:
    assert codes(tmp_path, no_converter()) == ["machine-no-three-phase"]


def test_a_drive_in_the_catalog_is_a_source(tmp_path: Path) -> None:
    assert [code for code in codes(tmp_path, no_converter(**DRIVE)) if "three-phase" in code] == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (FORBIDDEN, "{drive: its motor dislikes it, single-phase motor: its head is geared}"),
        (MILL_PLATE, MILL_PLATE + "    load: heater\n"),
        ("    hp: 5\n", "    hp: 10\n"),
    ],
    ids=["forbidden", "no motor", "too large"],
)
def test_a_drive_that_does_not_suit_is_none(tmp_path: Path, old: str, new: str) -> None:
    files = no_converter(**DRIVE)
    text = files[SHOP]
    assert isinstance(text, str)
    assert "machine-no-three-phase" in codes(tmp_path, {**files, SHOP: text.replace(old, new)})


NOW = "    now: {method: wall drop, panel: main, breaker: 60 A, awg: '6', drive: "


@pytest.mark.parametrize(
    ("plate", "drive", "expected"),
    [
        (MILL_PLATE, "DR", []),
        (MILL_PLATE, "DR-0", ["now-drive"]),
        (MILL_PLATE, "CV-5", ["now-drive"]),
        ("    phases: 3\n    hp: 10\n", "DR", ["now-drive-small"]),
        ("    hp: 5\n", "DR", ["now-drive-phases"]),
    ],
    ids=["suits", "unknown", "a converter", "too small", "single-phase"],
)
def test_a_drive_that_is_on_a_machine_is_one_for_it(
    tmp_path: Path, plate: str, drive: str, expected: list[str]
) -> None:
    files = {**GEAR_FILES, **DRIVE}
    text = GEAR_FILES[SHOP].replace(MILL_PLATE, f"{plate}{NOW}{drive}}}\n")
    found = codes(tmp_path, {**files, SHOP: text})
    assert [code for code in found if code.startswith("now-drive")] == expected


def test_a_utility_to_be_bought_is_a_source(tmp_path: Path) -> None:
    files = no_converter()
    text = files[SHOP]
    assert isinstance(text, str)
    utility = (
        "  - {name: street, kind: utility three-phase, system: 240 three-phase, amps: 100 A, "
        "panel_part: PN-3-60, at: door, quote: 3000}\n"
    )
    files[SHOP] = text.replace("gear:\n", "gear:\n" + utility)
    files["catalog/recipes.yaml"] = GEAR_FILES["catalog/recipes.yaml"] + "  utility three-phase: {}\n"
    assert codes(tmp_path, files) == []


def test_a_retooling_to_three_phases_asks_the_same_of_a_converter(tmp_path: Path) -> None:
    """The table saw turns into 7.5 hp three-phase; nothing but the 5 hp converter could feed it."""
    files = changed(
        "{year: 2, machine: table saw, move: door}",
        "{year: 2, machine: table saw, retool: {volts: 240, phases: 3, hp: 7.5}}",
    )
    assert "converter-small" in codes(tmp_path, files)


def test_gear_that_is_installed_or_quoted_needs_no_recipe(tmp_path: Path) -> None:
    files = changed("  load manager: {}\n", "", "catalog/recipes.yaml")
    assert codes(tmp_path, files) == ["gear-recipe"]
    for line in ("    installed: true\n", "    quote: 300\n"):
        text = GEAR_FILES[SHOP].replace("    part: LM-60\n", "    part: LM-60\n" + line)
        assert codes(tmp_path, {**files, SHOP: text}) == []


def test_a_recipe_of_the_shop_counts(tmp_path: Path) -> None:
    files = changed("  load manager: {}\n", "", "catalog/recipes.yaml")
    text = GEAR_FILES[SHOP].replace("cords:\n", "recipes:\n  load manager: {}\ncords:\n")
    assert codes(tmp_path, {**files, SHOP: text}) == []


@pytest.mark.parametrize("name", ["main", "bench", "service", "far panel"])
def test_gear_shares_its_name_with_nothing(tmp_path: Path, name: str) -> None:
    assert "gear-repeated" in codes(tmp_path, changed("name: load manager", f"name: {name}"))


def test_an_efficiency_is_a_number(tmp_path: Path) -> None:
    files = changed("efficiency: 0.9}", "efficiency: good}", "catalog/parts.yaml")
    assert codes(tmp_path, files) == ["part-attribute"]


def test_one_mistake_with_a_name_is_one_problem(tmp_path: Path) -> None:
    assert codes(tmp_path, changed("name: far panel", "name: main")) == ["gear-repeated"]


@pytest.mark.parametrize(
    ("old", "new"),
    [("panel_part: PN-3-60", "panel_part: PN-1-60"), ("panel_part: PN-1-60", "panel_part: PN-3-60")],
    ids=["single-phase behind a converter", "three-phase behind one phase"],
)
def test_a_panel_fits_what_feeds_it(tmp_path: Path, old: str, new: str) -> None:
    assert codes(tmp_path, changed(old, new)) != []


def test_tandems_of_one_panel_stand_in_one_entry(tmp_path: Path) -> None:
    second = "  - {name: more tandems, kind: tandem breaker, panel: main, at_most: 2}\n"
    assert codes(tmp_path, changed("gear:\n", "gear:\n" + second)) != []


def test_a_load_manager_carries_what_it_switches(tmp_path: Path) -> None:
    assert codes(tmp_path, changed("holds_to: 20 A", "holds_to: 80 A")) != []


def test_what_is_there_hangs_on_nothing_that_is_not(tmp_path: Path) -> None:
    other = (
        "  - {name: other, system: 120/240 single-phase, breakers: family A, spaces_free: 2, "
        "place: door, fed_from: far panel}\n"
    )
    assert codes(tmp_path, changed("places:\n", other + "places:\n")) != []


def test_a_converter_has_the_volts_of_its_panel(tmp_path: Path) -> None:
    files = changed("{volts: 240, largest", "{volts: 480, largest", "catalog/parts.yaml")
    assert codes(tmp_path, files) != []


@pytest.mark.parametrize(("volts", "found"), [(208, ["gear-panel-volts"]), (240, []), (480, [])])
def test_a_panel_is_rated_for_the_volts_between_its_lines(
    tmp_path: Path, volts: int, found: list[str]
) -> None:
    """The far panel is fed by 120/240 V."""
    files = changed("spaces: 8, volts: 240}", f"spaces: 8, volts: {volts}}}", "catalog/parts.yaml")
    assert [code for code in codes(tmp_path, files) if "volts" in code] == found


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("phases: 1, rating_a: 60", "phases: 1, rating_a: sixty"),
        ("largest_motor_hp: 5", "largest_motor_hp: five"),
    ],
)
def test_ratings_of_gear_are_numbers(tmp_path: Path, old: str, new: str) -> None:
    assert codes(tmp_path, changed(old, new, "catalog/parts.yaml")) != []


@pytest.mark.parametrize(
    ("old", "new"), [("efficiency: 0.9}", "efficiency: 0}"), ("rating_a: 60, spaces", "rating_a: 0, spaces")]
)
def test_ratings_of_gear_are_above_nothing(tmp_path: Path, old: str, new: str) -> None:
    assert codes(tmp_path, changed(old, new, "catalog/parts.yaml")) != []


@pytest.mark.parametrize(
    ("input_a", "panel_a", "more", "expected"),
    [
        # 50 x 1.25 = 62.5 -> 70 A ahead of the panel
        (50, 60, "", ["converter-panel-small error"]),
        (50, 70, "", []),
        (50, 60, "    breaker: 60 A\n", []),
        (50, 60, "    installed: true\n", ["converter-panel-small question"]),
        # 36 x 1.25 = 45 A
        (36, 60, "", []),
        (36, 40, "", ["converter-panel-small error"]),
    ],
)
def test_the_panel_behind_a_converter_is_rated_for_its_feed(
    tmp_path: Path, input_a: int, panel_a: int, more: str, expected: list[str]
) -> None:
    """NFPA 70 408.36, from memory: a panel has protection at its rating; what feeds the converter is all there is (455.7)."""
    parts, file = GEAR_FILES["catalog/parts.yaml"], "catalog/parts.yaml"
    parts = parts.replace("phases: 3, rating_a: 60", f"phases: 3, rating_a: {panel_a}")
    files = changed("    hours_per_year", f"{more}    hours_per_year")
    files[file] = parts.replace("input_a: 36", f"input_a: {input_a}")
    told = [f"{problem.code} {problem.severity}" for problem in found(tmp_path, files)]
    assert [words for words in told if words.startswith("converter-panel")] == expected
