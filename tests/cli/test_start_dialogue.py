"""Five shops typed through `start` at a pseudo-terminal, as a person would, slips included; all are invented.

Keystrokes and seconds are printed (`pytest -s`), never asserted. What was shown stands in tests/dialogues.
"""

import json
import os
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import command
import pytest
from terminal import ALL, END, INTERRUPT, PROGRAM, ROOT, Shown, typed

from costplan.checks.checks import check_shop
from costplan.files.problems import errors_of
from costplan.model.loading import catalog_of, load_shop_with_places
from costplan.model.ranges import ends_of
from costplan.model.shop import Shop

DIALOGUES = ROOT / "tests" / "dialogues"
TODAY = ["--today", "2026-11-02"]
OK, USER_MISTAKE = 0, 2
DOT = ""
"""Enter alone."""

SHED = [
    *("?", "Hal's shed", DOT, "soon", "3", "1"),
    *(DOT, DOT, "?", DOT, "12.5", "12", "?", "don't know", DOT),
    *(
        "table saw",
        DOT,
        "twelve",
        "12.8",
        "480",
        "240",
        "2",
        DOT,
        "motor",
        "3",
        "6-21",
        "6-20",
        "about 25-30 ft",
        "22",
    ),
    *("often", "never", DOT, "arives soon", "40 h a year"),
    *("back", DOT, DOT),
    *("$90 to $130 an hour", "30 to 45", DOT, "16 cents", DOT, DOT, "nope", DOT, DOT, DOT),
]
"""A shed of one saw; nothing moves."""
THIRTY = [
    *("School of turning", DOT, "6", "school"),
    *("main", DOT, "type T1", "60", "200 A lugs", "20", DOT),
    *(
        "wood lathe",
        "12",
        DOT,
        "120",
        "1",
        "1",
        "5-20",
        "from 40 to 55 ft",
        DOT,
        "42",
        "from 30 to 42",
        "7 of them every summer",
        *[DOT] * 3,
    ),
    *("table saw", "2", "12.8", "240", DOT, "1", "3", DOT, "38 / 30", DOT, DOT, DOT),
    *("drill press", "5", DOT, "115", "motor", "3/4 hp", "5-15", "22", DOT, "once a year", *[DOT] * 3),
    *("again 3", "grinder", "20", DOT),
    *("kiln", DOT, "18", "240", DOT, "heater", DOT, DOT, "62", "55", "never", DOT, DOT),
    *("sewing machine", "4", "3", "120", "other", "5-15", "70", DOT, DOT, DOT, DOT),
    *("welder", DOT, "30", "240", DOT, "welder", "40", "6-50", "15", DOT, DOT, DOT, DOT),
    *("compressor", "2", "20", "230", DOT, "1", "5", DOT, "15", DOT, "never", DOT, "starts by itself", DOT),
    *("table saws and welder", "change sewing machine distance 65 ft", DOT, DOT, DOT, "ten"),
    *("95", "0", "38", "2020", "14 ft", "yes, we spray", "ends 6, take out"),
    *("wall drop; masonry walls", DOT, DOT, "1", DOT),
]
"""Thirty machines on eight lines."""
THIRTY_COUNTS = {
    "wood lathe at 42 ft": 3,
    "wood lathe at 46 ft": 3,
    "wood lathe at 50 ft": 3,
    "wood lathe at 54 ft": 3,
    "table saw": 2,
    "drill press": 5,
    "grinder": 3,
    "kiln": 1,
    "sewing machine": 4,
    "welder": 1,
    "compressor": 2,
}
QUOTED = [
    *("Evening school", "2", "3"),
    *("lathes", "12", "7 of them every year", "420", "400", "90", "15"),
    *("kiln", DOT, "bolted down", DOT, DOT, "250", DOT),
    *("in two years", *[DOT] * 3),
]
"""Nothing but quotes; the kiln has one for a cord only, since that for a fixed drop was left out."""
FULL = [
    *("Full panel", DOT, "1", "1"),
    *(DOT, DOT, DOT, "none", DOT, DOT),
    *("saw", DOT, DOT, "240", DOT, "1", "3", DOT, "20", DOT, "never", DOT, DOT, DOT),
    *("2", "4, 1", "1", "2", "4", "0"),
    *(DOT, DOT, DOT, DOT, DOT, DOT, DOT, "cord; it is bolted down", DOT, DOT),
]
"""No space is free."""
BAY = [
    *("Rented bay", DOT, "5", "commercial"),
    *("bay panel", "240 three", DOT, "8", DOT, DOT),
    *("planer", DOT, "14", "240", "3", "1", "5", "L15-20", "44", "36", "every 2 years", *[DOT] * 3),
    *("saw", DOT, "12", "240", DOT, "1", "3 hp", "6-20", "30", DOT, "twice a year", "2", DOT, "20"),
    *("4", DOT, "20 A", DOT, "own cord 8 ft"),
    *(
        "kiln",
        DOT,
        DOT,
        "240",
        DOT,
        "heater",
        "back",
        "back",
        "back",
        "24",
        DOT,
        DOT,
        "heater",
        DOT,
        DOT,
        "50",
        DOT,
        DOT,
        DOT,
    ),
    *("arrives in 6 months", "arrives in 1 year", DOT),
    *("none", "100", "none", "all"),
    *(DOT, DOT, DOT, DOT, DOT, DOT, "in 4 years", "yes", DOT, DOT, DOT),
]
"""A bay with a three-phase panel, a circuit whose wire nobody knows, and a kiln that comes later."""


def person(
    name: str, folder: Path, lines: list[str], program: str = PROGRAM, *more: str
) -> tuple[Shown, Path]:
    """What a person is shown, and the shop file; keystrokes and seconds are printed."""
    file = folder / f"{name}.yaml"
    shown = typed(file, [*TODAY, *more], lines, program)
    print(f"start {name}: {shown.keystrokes} keystrokes, {shown.seconds:.1f} s")
    return shown, file


def matches_golden(name: str, shown: Shown, file: Path) -> None:
    """The dialogue up to the file that it wrote is as the golden has it; COSTPLAN_REWRITE writes it anew."""
    text = shown.dialogue.replace(str(file.parent) + "/", "").partition("\nNext: ")[0]
    text = re.sub(r"(\nWrote [^\n]*\n).*", r"\1", text + "\n", flags=re.DOTALL)
    golden = DIALOGUES / f"{name}.txt"
    if os.environ.get("COSTPLAN_REWRITE"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")


def shop_of(file: Path) -> Shop:
    """The shop, which has no mistakes against the catalog that it names."""
    loaded = load_shop_with_places(file)
    catalog = catalog_of(loaded)
    found = errors_of([*loaded.problems, *catalog.problems, *check_shop(loaded, catalog)])
    assert found == []
    assert loaded.shop is not None
    return loaded.shop


def best(file: Path) -> dict[str, Any]:
    """Plan 1 of a comparison."""
    done = command.run("compare", str(file), "--plans", "1", "--format", "json")
    assert done.returncode == OK, done.stderr
    plan: dict[str, Any] = json.loads(done.stdout)["plans"][0]
    return plan


def test_a_shed_costs_what_its_file_written_by_hand_costs(tmp_path: Path) -> None:
    """The pair's rate rises with the answered one: 170 x 90, 110 and 130 / 95; all else of the crews is the demo's."""
    shown, file = person("shed", tmp_path, SHED)
    assert shown.status == OK, shown.text
    matches_golden("shed", shown, file)
    shop = shop_of(file)
    assert shop.invented
    assert [(crew.name, crew.rate_from) for crew in shop.crews] == [
        ("owner", None),
        ("one electrician", None),
        ("pair of electricians", "one electrician"),
    ]
    assert ends_of(shop.crews[0].rate_cents) == (3000, 3750, 4500)
    by_hand = tmp_path / "by_hand.yaml"
    by_hand.write_text(
        """\
shop: By hand
catalog: shed-catalog
invented: true
today: 2026-11-02
years: 3
money: {electricity_per_kwh: 0.16}
code: {occupancy: dwelling garage}
panels: [{name: p, system: 120/240 single-phase, breakers: as on the label of main panel, spaces_free: 12}]
machines:
  - {name: table saw, route: {fixed: 30 ft, cord: 22 ft}, volts: 240, hp: 3, amps: 12.8, plug: NEMA 6-20, never_moves: true,
     full_load_hours: 40}
crews:
  - {name: owner, role: owner, rate: [30, 37.50, 45], pace: 0.6}
  - {name: one electrician, role: electrician, rate: [90, 110, 130], call_out: 85, minimum: 190, permit: 65,
     set_up: 0.75 h}
  - {name: pair of electricians, role: electrician, people: 2, rate: [161.05, 196.84, 232.63], call_out: 120, minimum: 340,
     permit: 65, set_up: 0.75 h}
""",
        encoding="utf-8",
    )
    assert best(file)["present_value"] == best(by_hand)["present_value"]


def test_thirty_machines_in_groups(tmp_path: Path) -> None:
    shown, file = person("thirty", tmp_path, THIRTY)
    assert shown.status == OK, shown.text
    matches_golden("thirty", shown, file)
    shop = shop_of(file)
    assert {machine.name: machine.count for machine in shop.machines} == THIRTY_COUNTS
    assert sum(THIRTY_COUNTS.values()) == 30
    events = [(e.every, e.machine, e.how_many, e.times) for e in shop.scenarios[0].events]
    assert events == [
        *((1, "wood lathe at 42 ft", None, 1), (1, "wood lathe at 46 ft", None, 1)),
        *((1, "wood lathe at 50 ft", 1, 1), (1, "drill press", None, 1), (1, "grinder", None, 1)),
    ]
    lathe, (_, drill, grinder, kiln, sewing, welder, compressor) = shop.machines[0], shop.machines[4:]
    assert (drill.hp, grinder.hp, drill.plug, grinder.plug) == (Decimal("0.75"),) * 2 + ("NEMA 5-15",) * 2
    assert (kiln.load, sewing.load, welder.load, compressor.load) == ("heater", "other", "welder", None)
    assert (welder.duty_cycle, compressor.starts_by_itself, lathe.starts_by_itself) == (
        Decimal("0.4"),
        True,
        None,
    )
    assert (compressor.hp, compressor.amps_a) == (5, 20)
    assert shop.service is not None
    assert shop.service.measured_peak is not None
    assert (shop.service.amps_a, shop.service.measured_peak.amps_a) == (200, 38)
    assert [(panel.breakers, panel.rating_a) for panel in shop.panels] == [("type T1", 200)]
    assert (kiln.unattended, shop.service.at_most[0].count) == (True, 1)


def test_quotes_alone_are_compared_at_the_end(tmp_path: Path) -> None:
    """By hand: 12 cords at 90 and a kiln's at 250 today, 1,330; seven moves at 15 at the end of years 1 and 2, 105 each, at
    3 % a year 101.94 and 98.97; 1,530.91 but for cents of rounding. Fixed drops at 420 each cost 5,040 before any move."""
    shown, file = person("quotes", tmp_path, QUOTED, ALL)
    assert shown.status == OK, shown.text
    matches_golden("quotes", shown, file)
    assert not shop_of(file).panels
    assert not (tmp_path / "quotes-catalog").exists()
    after = shown.dialogue.partition("Wrote ")[2]
    assert "lathes" in after
    assert "invented, and matter most" not in after
    assert abs(best(file)["present_value"] - 1530.91) < 0.2


def test_a_full_panel_is_helped_by_what_start_offers(tmp_path: Path) -> None:
    """The saw needs two spaces, none is free: two tandem breakers free two, a subpanel alone would find none for its own."""
    shown, file = person("full", tmp_path, FULL, ALL)
    assert shown.status == OK, shown.text
    matches_golden("full", shown, file)
    shop = shop_of(file)
    assert [(str(gear.kind), gear.at_most) for gear in shop.gear] == [("tandem breaker", 2)]
    assert [(c.count, c.breaker_a) for c in shop.panels[0].one_pole_circuits] == [(4, 20)]
    after = shown.dialogue.partition("Wrote ")[2]
    assert "tandem breaker" in after
    assert "These figures are invented, and matter most" in after
    figures = after.partition("These figures are invented")[2]
    assert "crews: in the shop file" in figures
    assert "labor.yaml" in figures


def test_a_bay_with_a_circuit_whose_wire_nobody_knows(tmp_path: Path) -> None:
    shown, file = person("bay", tmp_path, BAY)
    assert shown.status == OK, shown.text
    matches_golden("bay", shown, file)
    planer, saw, kiln = shop_of(file).machines
    assert (planer.phases, planer.plug) == (3, "NEMA L15-20")
    assert saw.now is not None
    assert (saw.now.awg, "awg" in saw.now.model_fields_set) == ("12", False)
    assert (kiln.arrives, kiln.amps_a, kiln.load) == (1, 24, "heater")
    loaded = load_shop_with_places(file)
    asked = [
        problem for problem in check_shop(loaded, catalog_of(loaded)) if problem.code == "now-wire-unsaid"
    ]
    assert [problem.severity for problem in asked] == ["question"]


@pytest.mark.parametrize("ending", [END, INTERRUPT, "stop"], ids=["end of input", "interrupt", "stop"])
def test_nothing_that_was_answered_is_lost(ending: str, tmp_path: Path) -> None:
    half = FULL[:19]
    shown, file = person("half", tmp_path, [*half, ending], PROGRAM, "--catalog", "demo")
    assert shown.status == (OK if ending == "stop" else USER_MISTAKE)
    assert "answers are kept in" in shown.text
    assert "Traceback" not in shown.text
    kept = tmp_path / "half-answers.txt"
    assert [path.name for path in tmp_path.iterdir()] == [kept.name]
    before = kept.read_text(encoding="utf-8")
    assert before.endswith("distance: 20 ft\n")
    on, file = person("half", tmp_path, FULL[19:], PROGRAM, "--catalog", "demo")
    assert on.status == OK, on.text
    assert kept.read_text(encoding="utf-8").startswith(before)
    assert [machine.name for machine in shop_of(file).machines] == ["saw"]


def test_kept_answers_that_make_no_sense_are_told_with_their_line(tmp_path: Path) -> None:
    person("odd", tmp_path, [*FULL[:8], "stop"])
    kept = tmp_path / "odd-answers.txt"
    good = kept.read_text(encoding="utf-8")
    for bad, words in (
        (good.replace("years: 1", "years: soon"), "odd-answers.txt:4: years is"),
        (good.replace("years: 1", "yaers: 1"), 'odd-answers.txt:4: yaers: what is asked here is "years"'),
        (good.replace("years: 1", "years 1"), 'odd-answers.txt:4: "years 1" has no colon'),
        ("mine\n", "holds no answers of start"),
    ):
        kept.write_text(bad, encoding="utf-8")
        shown, file = person("odd", tmp_path, [])
        assert shown.status == USER_MISTAKE
        assert words in " ".join(shown.text.split())
        assert kept.read_text(encoding="utf-8") == bad
        assert not file.exists()


def test_what_options_say_is_not_asked(tmp_path: Path) -> None:
    lines = ["6", DOT, DOT, *("saw", DOT, "9", "120", "1", DOT, DOT, "9", *[DOT] * 4, DOT), *[DOT] * 9]
    words = ["--catalog", "demo", "--years", "7", "--shop-name", "Mine", "--occupancy", "commercial"]
    shown, file = person("told", tmp_path, [DOT, DOT, DOT, DOT, *lines], PROGRAM, *words)
    assert shown.status == OK, shown.text
    assert "How many years" not in shown.text
    assert "What is the building" not in shown.text
    assert (shop_of(file).years, shop_of(file).name) == (7, "Mine")


def test_a_folder_where_the_catalog_would_be_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "mine-catalog").mkdir()
    shown, file = person("mine", tmp_path, [])
    assert shown.status == USER_MISTAKE
    assert "mine-catalog is there already" in " ".join(shown.text.split())
    assert list((tmp_path / "mine-catalog").iterdir()) == []
    assert not file.exists()
