"""Questions about the files stand beside the figures that they touch, in short; the rest is only counted."""

import json
import shutil
from pathlib import Path

import pytest
from strategies import MILL, WALL_ONLY, make_catalog, make_gear_shop, ranked, with_gear
from typer.testing import CliRunner

from costplan.circuits.facts import Facts
from costplan.cli.main import app
from costplan.files.problems import At, Problem
from costplan.reports.asked import asked_beside

TINY = Path(__file__).parents[2] / "examples" / "tiny"
CHANGES = {
    # The saw says twice what its plate says, the money grows as nobody's does, the cord's price is two years old.
    "shop.yaml": [("volts: 240", "volts: 240\n    hp: 10"), ("discount_rate: 0 %", "discount_rate: 30 %")],
    "catalog/offers.csv": [
        ("cord-12-3,store,new,2.00,ft,,2026-10-01", "cord-12-3,store,new,2.00,ft,,2024-10-01")
    ],
}


def shop(folder: Path, changes: dict[str, list[tuple[str, str]]]) -> Path:
    shutil.copytree(TINY, folder / "shop")
    for name, pairs in changes.items():
        path = folder / "shop" / name
        text = path.read_text(encoding="utf-8")
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new)
        path.write_text(text, encoding="utf-8")
    return folder / "shop" / "shop.yaml"


def printed(path: Path, *more: str) -> str:
    command = ["compare", str(path), "--plans", "1", *more]
    return CliRunner().invoke(app, command, env={"COLUMNS": "140"}).stdout


def sections(path: Path) -> dict[str, list[str]]:
    """The lines that ask, by the heading that they stand under."""
    output = printed(path, "--show", "all")
    found: dict[str, list[str]] = {}
    for block in output.split("\n\n"):
        heading, *lines = block.splitlines()
        asked = [line for line in lines if line.startswith("  ? ")]
        if asked:
            found[heading] = asked
    return found


def test_each_question_stands_beside_the_figure_that_it_touches(tmp_path: Path) -> None:
    found = sections(shop(tmp_path, CHANGES))

    assert set(found) == {
        "Ranked plans",
        "Plan 1: how each machine is powered",
        "Plan 1: what to buy today",
    }
    assert "discount_rate is 30 %; usual is" in found["Ranked plans"][0]
    assert found["Plan 1: how each machine is powered"][0].startswith("  ? saw › hp is 10 hp, 50 A")
    assert "the price was seen on 2024-10-01" in found["Plan 1: what to buy today"][0]
    assert all(
        (len(lines) == 1 and ".yaml:" in lines[0]) or "offers.csv:16" in lines[0] for lines in found.values()
    )


def test_json_has_the_same_questions_whole_in_each_plan(tmp_path: Path) -> None:
    path = shop(tmp_path, CHANGES)

    result = CliRunner().invoke(app, ["compare", str(path), "--plans", "3", "--format", "json"])

    plans = json.loads(result.stdout)["plans"]
    first, _, no_cord = ({question["beside"]: question for question in plan["questions"]} for plan in plans)
    assert set(first) == {"machines", "bill_of_materials", "totals"}
    assert (first["totals"]["code"], first["totals"]["severity"]) == ("discount-rate-odd", "question")
    assert first["machines"]["field"].endswith("saw › hp")
    assert Path(first["bill_of_materials"]["path"]).name == "offers.csv"
    assert first["bill_of_materials"]["line"] == 16
    assert all(question["mend"] for question in first.values())
    # The cord's price is asked about only where the cord is bought.
    assert not any(row["part"] == "cord-12-3" for row in plans[2]["bill_of_materials"])
    assert set(no_cord) == {"machines", "totals"}
    assert "3 questions about the files" in result.stderr


def test_a_question_about_what_is_not_bought_is_only_counted(tmp_path: Path) -> None:
    blank = ("blank-cover,store,new,5.00,each,,2026-10-01", "blank-cover,store,new,5.00,each,,2024-10-01")
    path = shop(tmp_path, {"catalog/offers.csv": [blank]})

    assert sections(path) == {}
    assert "\n1 question about the files; costplan check SHOP lists it.\n" in printed(path, "--show", "all")
    assert "\n? touches nothing bought in this plan: " in printed(path)


def test_the_first_screen_asks_first_what_is_hardly_meant_then_what_touches_most(tmp_path: Path) -> None:
    parts = ("plug-6-20", "cord-12-3", "connector-6-20")
    text = (TINY / "catalog" / "offers.csv").read_text(encoding="utf-8")
    old = [
        (row, row.replace("2026-10-01", "2024-10-01")) for row in text.splitlines() if row.startswith(parts)
    ]
    path = shop(tmp_path, {"shop.yaml": CHANGES["shop.yaml"][1:], "catalog/offers.csv": old})
    asked = [
        line
        for line in printed(path).splitlines()
        if line.startswith("? ") or " more: costplan check" in line
    ]

    assert asked[0].startswith("? touches every total: money › discount_rate is 30 %")
    # by hand: 30 ft of cord at 2.00, a connector at 20.00, a plug at 10.00
    amounts = [line.split()[1] for line in asked[1:] if line.startswith("? ")]
    assert amounts == ["60.00", "20.00", "10.00"]


@pytest.mark.parametrize("as_asked", [4, 6])
def test_many_questions_are_cut_short(as_asked: int, tmp_path: Path) -> None:
    parts = ("connector-6-20", "plug-6-20", "breaker-2p-20", "cord-12-3", "mc-12-2", "nm-12-2")[:as_asked]
    text = (TINY / "catalog" / "offers.csv").read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line.startswith(parts)]
    old = [(row, row.replace("2026-10-01", "2024-10-01")) for row in rows]

    found = sections(shop(tmp_path, {"catalog/offers.csv": old}))["Plan 1: what to buy today"]

    assert len(found) == 4
    assert found[-1].startswith(f"  ? and {as_asked - 3} more; costplan check lists")


def test_a_question_about_gear_that_the_plan_leaves_out_touches_nothing_of_it() -> None:
    """The mill needs a converter or a drive, and the panel has room, so that nothing needs the subpanel."""
    shop = make_gear_shop([MILL | WALL_ONLY], ("subpanel", "converter"))
    catalog = make_catalog(**with_gear())
    best = ranked(shop, catalog)[0]
    taken = [index for index, gear in enumerate(shop.gear) if gear.name in best.plan.gear_names]
    asked = [
        Problem("x", At("shop.yaml", 1, 1), f"gear {index}", "is asked", "say", trail=("gear", index, "part"))
        for index in (0, 1)
    ]
    found = asked_beside(Facts(shop, catalog), asked, best)
    assert 0 not in taken
    assert [problem.trail[1] for problem in found.totals] == taken
    assert len(found.totals) + len(found.others) == 2
