"""What `check` and `start` say of panels without room is true of every plan. Shops are invented; poles are counted by hand."""

from pathlib import Path
from typing import Any

import pytest
from strategies import DRILL, LATHE, PANEL, SAW, make_catalog, make_shop, ranked

from costplan.checks.checks import pair_of
from costplan.circuits.facts import Facts
from costplan.circuits.runs_at_once import asked_what_runs_at_once, passed_at_once
from costplan.circuits.spaces_needed import asked_of_spaces, spaces_lacking
from costplan.files.shipped import shipped
from costplan.model.loading import load_catalog_with_places, load_shop_with_places
from costplan.model.pair import Pair
from costplan.program.ranked import NoPlanError

SHOP = """
shop: Three (invented)
catalog: demo
today: 2026-11-26
years: 5
code: {occupancy: school}
service: {amps: 60 A, other_load: 0 A, at_most: [{count: 2, of: [saw, drill, lathe]}]}
panels: [{name: main, system: 120/240 single-phase, breakers: family A, spaces_free: 3}]
machines:
  - {name: saw, route: {panel: main, fixed: 30 ft, cord: 30 ft}, volts: 240, amps: 20, load: other}
  - {name: drill, route: {panel: main, fixed: 30 ft, cord: 30 ft}, volts: 120, amps: 10, load: other}
  - {name: lathe, route: {panel: main, fixed: 30 ft, cord: 30 ft}, volts: 240, amps: 45, load: other, arrives: 2}
"""


def read(folder: Path, *changes: tuple[str, str]) -> tuple[Pair, Facts]:
    text = SHOP
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    path = folder / "shop.yaml"
    path.write_text(text, encoding="utf-8")
    pair = pair_of(load_shop_with_places(path), load_catalog_with_places(shipped("catalogs") / "demo"))
    assert pair is not None
    return pair, Facts(pair.shop, pair.catalog)


GEAR = "gear: [{name: sub, kind: subpanel, panel_part: panel-a-60, fed_from: main, at: beside}]\nplaces: [{name: beside}]\n"


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        # 2 + 1 poles today, 2 more when the lathe comes: 5 of 3.
        ((), [(5, 3, 2)]),
        ((("spaces_free: 3", "spaces_free: 2"),), [(5, 2, 0)]),
        ((("spaces_free: 3", "spaces_free: 5"),), []),
        # Who takes turns may share one outlet of two poles: 2 + 1.
        ((("arrives: 2", "arrives: 2, takes_turns: t"), ("20, load", "20, takes_turns: t, load")), []),
        # Who is gone when the lathe comes has left its two: 1 + 2.
        ((("20, load: other", "20, load: other, leaves: 2"),), []),
        ((("machines:", f"{GEAR}machines:"),), []),
    ],
)  # fmt: skip
def test_poles_that_every_plan_takes(
    changes: tuple[tuple[str, str], ...], found: list[tuple[int, int, int]], tmp_path: Path
) -> None:
    pair, facts = read(tmp_path, *changes)
    assert [(short.needed, short.free, short.year) for short in spaces_lacking(pair, facts)] == found
    assert len(list(asked_of_spaces(pair, facts))) == len(found)


@pytest.mark.parametrize("free", range(6))
def test_where_it_is_asked_the_program_finds_no_plan(free: int) -> None:
    """240 V takes two, 120 V one: five. The other opinion is the program, which has no plan below five."""
    machines: list[dict[str, Any]] = [SAW, DRILL, LATHE]
    shop, catalog = make_shop(machines, panels=[PANEL | {"spaces_free": free}]), make_catalog()
    pair = Pair(shop, None, catalog, None, None)  # type: ignore[arg-type]
    asked = list(spaces_lacking(pair, Facts(shop, catalog)))
    assert bool(asked) is (free < 5)
    if asked:
        with pytest.raises(NoPlanError, match="too few spaces"):
            ranked(shop, catalog)


def test_a_rating_that_is_passed_once_all_machines_are_there_is_asked_about(tmp_path: Path) -> None:
    """By hand: two at once are at most 20 + 45 = 65 A of 60 A from year 2 on; before, 20 + 10 on the one line."""
    pair, facts = read(tmp_path)
    (passed,) = passed_at_once(pair, facts)
    assert (passed.name, round(passed.together_a), passed.left_a, passed.year) == ("service", 65, 60, 2)
    assert [problem.code for problem in asked_what_runs_at_once(pair, facts)] == ["passed-at-once"]
    pair, facts = read(tmp_path, ("amps: 60 A", "amps: 70 A"))
    assert list(asked_what_runs_at_once(pair, facts)) == []


@pytest.mark.parametrize("amps", [35, 36, 37])
def test_where_a_rating_is_passed_the_program_finds_no_plan(amps: int) -> None:
    """By hand: two motors of 16 A at once are 16 and 125 % of 16 (NFPA 70 430.24), 36 A."""
    service = {"amps": amps, "other_load": 0, "at_most": [{"count": 2, "of": ["saw", "lathe"]}]}
    shop, catalog = make_shop([SAW, LATHE], service=service), make_catalog()
    asked = list(passed_at_once(Pair(shop, None, catalog, None, None), Facts(shop, catalog)))  # type: ignore[arg-type]
    assert bool(asked) is (amps < 36)
    if asked:
        with pytest.raises(NoPlanError, match="too much load on service"):
            ranked(shop, catalog)
    else:
        assert ranked(shop, catalog)
