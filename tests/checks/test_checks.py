from pathlib import Path

import pytest
from small_shop import FILES, with_change, write_small_shop

from costplan.checks.checks import RULES, check_shop
from costplan.files.problems import Problem
from costplan.model.loading import load_catalog_with_places, load_shop_with_places


def found(folder: Path, changed: dict[str, str | bytes | None]) -> list[Problem]:
    path = write_small_shop(folder, changed)
    return check_shop(load_shop_with_places(path), load_catalog_with_places(folder / "catalog"))


def test_small_shop_breaks_no_rule(tmp_path: Path) -> None:
    assert found(tmp_path, {}) == []


@pytest.mark.parametrize("name", ["demo", "tiny", "forty", "bargain", "school"])
def test_shipped_examples_raise_questions_at_most(name: str) -> None:
    path = Path(__file__).parents[2] / "examples" / name / "shop.yaml"
    shop = load_shop_with_places(path)
    assert shop.shop is not None
    catalog = load_catalog_with_places(path.parent / str(shop.shop.catalog))
    problems = [*shop.problems, *catalog.problems, *check_shop(shop, catalog)]

    assert [problem for problem in problems if problem.severity == "error"] == []


def test_no_scenarios_means_nothing_changes(tmp_path: Path) -> None:
    shop = write_small_shop(tmp_path).read_text()
    start, end = shop.index("scenarios:"), shop.index("cords:")

    assert found(tmp_path, {"garage.yaml": shop[:start] + shop[end:]}) == []


def test_machine_that_comes_in_one_scenario_is_absent_from_the_others(tmp_path: Path) -> None:
    brings = with_change(
        "garage.yaml",
        "    weight: 60 %\n",
        "    weight: 60 %\n    events: [{year: 1, machine: table saw, arrives: bench}]\n",
    )

    assert [problem.code for problem in found(tmp_path, brings)] == ["event-not-there"]


def test_installed_outlets_and_events_point_at_their_own_line(tmp_path: Path) -> None:
    problems = found(tmp_path, with_change("garage.yaml", "{year: 4,", "{year: 14,"))

    assert [(problem.at.line, problem.code) for problem in problems] == [(39, "event-after-plan")]


def test_unreadable_files_are_not_checked(tmp_path: Path) -> None:
    assert found(tmp_path, {"garage.yaml": ""}) == []


def test_every_rule_says_what_must_hold() -> None:
    assert all(rule.__doc__ for rule in RULES)
    assert len({rule.__name__ for rule in RULES}) == len(RULES)


@pytest.mark.parametrize(
    ("stays", "moves", "told"),
    [
        ("", "", ["lease-before-plan"]),  # both scenarios go on to year 6
        ("    lease_ends: 6\n", "", ["lease-before-plan"]),
        ("    lease_ends: 6\n", "    lease_ends: 7\n", []),
        ("    lease_ends: 5\n", "    lease_ends: 7\n", ["lease-too-short"]),
        ("    lease_ends: 6\n", "    events: [{year: 3, shop_moves: true}]\n", []),
        ("    lease_ends: 6\n", "    events: [{year: 5, shop_moves: true}]\n", ["lease-before-plan"]),
        ("    lease_ends: 6\n", "    lease_ends: 5\n    events: [{year: 5, shop_moves: true}]\n", []),
        (
            "    lease_ends: 6\n",
            "    lease_ends: 3\n    events: [{year: 5, shop_moves: true}]\n",
            ["lease-too-short"],
        ),
    ],
)
def test_every_scenario_says_what_becomes_of_the_lease(
    stays: str, moves: str, told: list[str], tmp_path: Path
) -> None:
    """A lease to year 4 in a plan of 6 years: nobody stays beyond it without being asked, or on wiring that is gone."""
    text = FILES["garage.yaml"].replace("  ceiling_height: 10 ft", "  lease: {ends: 4, take_out: true}")
    events = text[text.index("    events:") : text.index("cords:")]
    text = text.replace(events, moves if "events" in moves else moves + events)
    text = text.replace("    weight: 60 %\n", "    weight: 60 %\n" + stays)
    assert [code for code in codes(tmp_path, {"garage.yaml": text}) if code.startswith("lease")] == told


_HIGH = "high: {factor: 1.2, ceiling_above: 10 ft, ceiling_to: 14 ft}"


@pytest.mark.parametrize(
    ("ceiling", "factors", "at_bench", "told"),
    [
        ("10 ft", "", "", []),
        ("11 ft", "", "", ["ceiling-hours"]),
        ("11 ft", "", ", hour_factors: []", []),
        ("11 ft", "brick: 1.5", ", hour_factors: [brick]", []),
        ("10 ft", _HIGH, "", ["hour-factor-unused"]),
        ("14 ft", _HIGH, "", []),
        ("15 ft", _HIGH, "", ["ceiling-hours"]),
        ("15 ft", "high: {factor: 1.2, ceiling_above: 10 ft}", "", []),
        ("14 ft", _HIGH + ", brick: 1.5", ", hour_factors: [brick]", ["hour-factor-and-ceiling"]),
        ("14 ft", _HIGH + ", brick: 1.5", ", hour_factors: [brick, high]", ["hour-factors-multiplied"]),
    ],
)
def test_a_ceiling_above_what_the_hours_hold_for_is_asked(
    ceiling: str, factors: str, at_bench: str, told: list[str], tmp_path: Path
) -> None:
    """Hours hold to what a ladder reaches, 10 ft (common practice, no source), or as far as a factor says."""
    text = FILES["garage.yaml"].replace("ceiling_height: 10 ft", f"ceiling_height: {ceiling}")
    text = text.replace("at: [12, 4]}", f"at: [12, 4]{at_bench}}}")
    text = text.replace("cords:\n", f"hour_factors: {{{factors}}}\ncords:\n")
    assert codes(tmp_path, {"garage.yaml": text}) == told


@pytest.mark.parametrize(
    ("known", "asked"), [("", 1), (", new_building: not known", 0), (", new_building: as here", 0)]
)
def test_of_the_next_building_it_is_asked_once_what_it_has(known: str, asked: int, tmp_path: Path) -> None:
    stays = "    weight: 60 %\n"
    moves = "    events: [{year: 3, shop_moves: true" + known + "}]\n"
    text = FILES["garage.yaml"].replace(stays, stays + moves)
    assert codes(tmp_path, {"garage.yaml": text}).count("move-building-unknown") == asked


@pytest.mark.parametrize(
    ("life", "offered", "asked"),
    [(", life: 2", False, True), (", life: 2", True, False), (", life: 9", False, False), ("", False, False)],
)
def test_a_part_on_the_shelf_that_wears_out_sooner_than_what_is_sold_is_asked(
    life: str, offered: bool, asked: bool, tmp_path: Path
) -> None:
    """Of the six years: after two it is to be replaced, which no line counts where nobody sells its like."""
    part = (
        f"  - {{id: old-plug, kind: plug, name: old plug, attributes: {{configuration: NEMA 6-20}}{life}}}\n"
    )
    changed = {
        "garage.yaml": FILES["garage.yaml"] + "shelf:\n  - {part: old-plug}\n",
        "catalog/parts.yaml": FILES["catalog/parts.yaml"] + part,
    }
    if offered:
        row = FILES["catalog/offers.csv"].strip().splitlines()[1].split(",")
        changed["catalog/offers.csv"] = FILES["catalog/offers.csv"] + ",".join(["old-plug", *row[1:]]) + "\n"
    assert ("shelf-life-not-counted" in codes(tmp_path, dict(changed))) is asked


SERVICE = "service: {amps: 100 A, measured_peak: {amps: 40 A, seen: 2025-05-31, days: 30}}\n"


def codes(folder: Path, changed: dict[str, str | bytes | None]) -> list[str]:
    return [problem.code for problem in found(folder, changed)]


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("    volts: 240\n    amps: 34\n    load: heater\n", True),
        ("    volts: 240\n    amps: 18\n    load: heater\n", False),
        ("    volts: 240\n    amps: 34\n    load: heater\n    never_moves: true\n", False),
        ("    volts: 240\n    amps: 34\n    load: heater\n    never_moves: false\n", False),
        ("    volts: 240\n    amps: 34\n    load: heater\n    ways: {hard_wired: true}\n", False),
        ("    volts: 240\n    amps: 34\n    load: other\n", False),
    ],
)
def test_a_large_heater_is_asked_whether_it_stays(words: str, asked: bool, tmp_path: Path) -> None:
    """NFPA 70 400.12(1): a cord is no substitute for fixed wiring; a kiln is no portable appliance."""
    saw = "    volts: 240\n    hp: 3\n    plug: NEMA 6-20\n"
    shop = with_change("garage.yaml", saw, words)
    assert ("heater-stays" in codes(tmp_path, shop)) is asked


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("    load: heater\n    takes_turns: by hand\n", ["heater-promised"]),
        ("    load: heater\n    takes_turns: by hand\n    unattended: false\n", []),
        ("    load: heater\n    takes_turns: by hand\n    unattended: true\n", ["runs-unattended"]),
        ("    load: heater\n", []),
        ("    load: other\n    takes_turns: by hand\n", []),
    ],
)
def test_a_heater_that_is_said_to_wait_is_asked_about_the_night(
    words: str, asked: list[str], tmp_path: Path
) -> None:
    """Common practice, no source: a kiln fires for hours with nobody there who could keep a promise."""
    saw = "    volts: 240\n    hp: 3\n    plug: NEMA 6-20\n"
    text = with_change("garage.yaml", saw, "    volts: 240\n    amps: 18\n" + words)["garage.yaml"]
    counted = {"garage.yaml": str(text).replace("machines:\n", f"{SERVICE}machines:\n", 1)}
    told = [code for code in codes(tmp_path, counted) if code in ("heater-promised", "runs-unattended")]
    assert told == asked


@pytest.mark.parametrize(
    ("panel", "before", "asked"),
    [
        ("    rating: 100 A\n", "", True),
        ("    rating: 100 A\n    other_load: 0 A\n", "", False),
        ("    rating: 100 A\n    other_load: 20 A\n", "", False),
        ("    rating: 100 A\n", SERVICE, False),
        ("    rating: 100 A\n", "service: {amps: 100 A}\n", True),
        ("", "", False),
    ],
)
def test_what_else_hangs_on_a_rated_panel_is_asked(
    panel: str, before: str, asked: bool, tmp_path: Path
) -> None:
    """NFPA 70 220.87: what is free is what present loads leave."""
    text = str(with_change("garage.yaml", "machines:\n", f"{before}machines:\n")["garage.yaml"])
    text = text.replace("    spaces_free:", f"{panel}    spaces_free:", 1)
    assert ("panel-other-load" in codes(tmp_path, {"garage.yaml": text})) is asked


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("    spaces_free:", "    flush: true\n    spaces_free:"),
        ("  ceiling_height: 10 ft", "  ceiling_height: 10 ft\n  rated_walls: 1"),
    ],
)
def test_a_wall_that_no_recipe_works_in_is_asked_about(old: str, new: str, tmp_path: Path) -> None:
    assert codes(tmp_path, with_change("garage.yaml", old, new)) == ["wall-no-recipe"]


def test_which_motors_start_by_themselves_is_asked_once_where_loads_are_counted(tmp_path: Path) -> None:
    """NFPA 70 220.14, 430.24: what nobody switches on runs whenever it likes, so no promise holds it back."""
    assert "self-starters" not in codes(tmp_path, {})
    counted = with_change("garage.yaml", "machines:\n", f"{SERVICE}machines:\n")
    said = [problem for problem in found(tmp_path, counted) if problem.code == "self-starters"]
    assert len(said) == 1
    assert "table saw" in said[0].message
    told = {
        "garage.yaml": str(counted["garage.yaml"]).replace(
            "    hp: 3\n", "    hp: 3\n    starts_by_itself: true\n", 1
        )
    }
    assert "self-starters" not in codes(tmp_path, told)
