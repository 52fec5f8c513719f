"""`import costplan`: the frames are the JSON and the CSV, the guide says their columns, and bad files raise what is printed.

The tiny example is worked by hand in the guide: 795 and 805 for its best mix, 710 and 1,170 for fixed drops.
"""

import csv
import io
import json
import re
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from command import TINY, costplan
from small_shop import with_change, write_small_shop

import costplan as package
from costplan.circuits.facts import Facts
from costplan.model.quotes import Strategy
from costplan.reports.answer_columns import TABLES, WHOLE_TABLES
from costplan.reports.data import comparison_data
from costplan.reports.data_text import json_text
from costplan.reports.frames import Result
from costplan.reports.framing import columns_of
from costplan.reports.next_columns import NEXT_TABLES, next_data
from costplan.reports.table_types import CENTS, Kind
from costplan.studies.case import Case

if TYPE_CHECKING:
    import pandas as pd

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "costplan" / "guide" / "json-and-csv.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def tiny() -> Result:
    return package.compare(package.load(ROOT / TINY))


@pytest.fixture(scope="module")
def data() -> dict[str, Any]:
    text = costplan("compare", TINY, "--format", "json").stdout
    found: dict[str, Any] = json.loads(text, parse_float=Decimal)
    return found


def records(frame: "pd.DataFrame") -> list[dict[str, Any]]:
    """Rows with none in place of what pandas has for it; loaded here, so that no other worker of the suite pays for it."""
    import pandas as pd

    return [
        {
            key: None if pd.api.types.is_scalar(value) and pd.isna(value) else value
            for key, value in row.items()
        }
        for row in frame.to_dict("records")
    ]


def as_json(row: dict[str, Any]) -> dict[str, Any]:
    """A row of a frame as JSON has it: cents under the short name, numbers rounded to JSON's decimals or fewer."""

    def money(value: Any) -> Any:
        if value is None:
            return None
        return [cents / 100 for cents in value] if isinstance(value, list) else round(value / 100, 4)

    return {
        key.removesuffix(CENTS): money(value) if key.endswith(CENTS) else value for key, value in row.items()
    }


def same(frame: "pd.DataFrame", rows: list[dict[str, Any]]) -> None:
    found = [as_json(row) for row in records(frame)]
    assert len(found) == len(rows)
    for one, other in zip(found, rows, strict=True):
        assert list(one) == list(other)
        for key, value in other.items():
            number = isinstance(value, Decimal | int) and not isinstance(value, bool)
            assert one[key] == (pytest.approx(float(value), abs=0.0051) if number else value), key


@pytest.mark.parametrize("name", ["lines", "by_year", "cash_due", "bill_of_materials", "labor"])
def test_frames_of_plans_are_the_json(name: str, tiny: Result, data: dict[str, Any]) -> None:
    rows = [{"rank": plan["rank"]} | row for plan in data["plans"] for row in plan[name]]
    same(getattr(tiny, name), rows)


@pytest.mark.parametrize("name", WHOLE_TABLES)
def test_frames_of_the_comparison_are_the_json(name: str, tiny: Result, data: dict[str, Any]) -> None:
    same(getattr(tiny, name), data["tables"][name])


@pytest.fixture(scope="module")
def laid_out() -> Result:
    """The shop that is there with its layouts, and two strategies; a cap on today's cash."""
    case = package.load(ROOT / "tests" / "shops" / "layouts.yaml")
    written = case.facts.written
    strategies = [
        Strategy(name="all cords", ways={"*": "cord"}),
        Strategy(name="never", ways={"saw": "conduit drop"}),
    ]
    facts = Facts(written.model_copy(update={"strategies": strategies}), case.facts.catalog)
    return package.compare(Case(facts), plans=1, draws=100, outlay_cap_cents=500000)


@pytest.mark.parametrize("name", ["strategies", "layouts", "ranges"])
def test_frames_of_strategies_and_layouts_are_the_json(name: str, laid_out: Result) -> None:
    data = json.loads(json_text(comparison_data(laid_out.comparison)), parse_float=Decimal)
    frame = getattr(laid_out, name)
    assert len(frame)
    same(frame, data["tables"][name])
    assert [str(kind) for kind in frame.dtypes] == [str(column.kind) for column in TABLES[name].columns]


def test_strategies_layouts_and_ranges_as_worked_by_hand(laid_out: Result) -> None:
    """Worked in tests/shops/layouts.yaml: as it is 460, the drill sold 105."""
    layouts = laid_out.layouts.set_index("name")
    assert layouts.loc["as it is", ["present_value_cents", "outlay_cents"]].tolist() == [46000, 0]
    assert layouts.loc["drill sold", ["present_value_cents", "outlets_made_safe"]].tolist() == [10500, 1]
    strategies = laid_out.strategies.set_index("name")
    cords = strategies.loc["all cords"]
    assert cords["surplus_cents"] == cords["new_cents"] == laid_out.matrix.query("row == 'cords'").iloc[0, 2]
    assert cords["left_under_cap_cents"] == 500000 - cords["outlay_cents"]
    assert cords["cash_by_year_cents"][0] == cords["outlay_cents"]
    assert not strategies.loc["never", "ranked"]
    assert "left out to keep the example small" in strategies.loc["never", "reason"]
    ranges = laid_out.ranges.set_index(["of", "name", "column"])
    assert ranges.loc[("plan", "1", "surplus"), "total_cents"] == 46000
    assert ranges.loc[("matrix", "as it is", "surplus"), "total_cents"] == 46000
    barred = ranges.loc[("strategy", "never", "surplus")]
    assert barred[["cheapest_share", "regret_cents"]].isna().all()
    assert barred["contingency_cents"] >= 0
    inside = ranges["total_p10_cents"] <= ranges["total_p50_cents"]
    assert (inside & (ranges["total_p50_cents"] <= ranges["total_p90_cents"])).all()


def test_every_figure_that_could_turn_the_answer_is_solved_only_when_asked(tiny: Result) -> None:
    """The tiny shop: an electrician at 100 an hour decides; below a rate another plan wins."""
    assert not tiny.turning_points["solved"].any()
    assert tiny.turning_points["figure"].nunique() <= 2
    asked = package.compare(
        package.load(ROOT / TINY), turning=True, only_plans=True, seconds=None
    ).turning_points
    assert asked["solved"].all()
    assert asked["figure"].nunique() > 2


def test_plans_alone_are_those_of_the_whole_comparison(tiny: Result) -> None:
    alone = package.compare(package.load(ROOT / TINY), only_plans=True)
    assert alone.plans.equals(tiny.plans)
    assert alone.ranges.empty
    assert alone.draws.equals(tiny.draws)


def test_the_csv_is_the_frame_of_lines(tiny: Result) -> None:
    text = costplan("compare", TINY, "--format", "csv").stdout
    rows = [row for row in csv.DictReader(io.StringIO(text)) if row["kind"] != "step"]
    found = [as_json(row) for row in records(tiny.lines)]
    money = ("amount", "present_value")
    said = [
        {key: f"{value:.2f}" if key in money else str(value) for key, value in row.items()} for row in found
    ]
    assert said == [{key: word.removeprefix("'") for key, word in row.items()} for row in rows]


@pytest.mark.parametrize("name", TABLES)
def test_columns_have_their_type_and_the_guide_says_them(name: str, tiny: Result) -> None:
    frame, columns = getattr(tiny, name), columns_of(TABLES[name])
    assert [(key, str(kind)) for key, kind in frame.dtypes.items()] == [
        (c.name, str(c.kind)) for c in columns
    ]
    assert told(f"`{name}`") == list(frame.columns)
    for column in columns:
        whole = (Kind.WHOLE, Kind.MAYBE_WHOLE, Kind.LIST)
        assert not column.name.endswith(CENTS) or column.kind in whole or "unit_price" in column.name
        assert column.means


def told(begin: str) -> list[str]:
    """The columns of a frame by the guide's table."""
    rows = PAGE.split("| frame | columns |", 1)[1].splitlines()
    row = next(line for line in rows if line.startswith(f"| {begin} |"))
    return re.findall(r"`(\w+)`", re.sub(r"\(.*?\)", "", row.split("|")[2].split(":")[0]))


def test_draws_are_those_of_the_printed_ranges(tiny: Result, data: dict[str, Any]) -> None:
    draws = tiny.draws
    assert list(draws.columns) == told("`draws`")
    assert len(draws) == 10_000 * len(data["plans"])
    for plan in data["plans"]:
        drawn = draws[draws["rank"] == plan["rank"]]
        for column, name in (("total_cents", "total"), ("cash_today_cents", "cash_today")):
            for share, key in ((0.1, "p10"), (0.5, "p50"), (0.9, "p90")):
                assert round(drawn[column].quantile(share)) == pytest.approx(
                    100 * plan["sure"][name][key], abs=1
                )


def test_the_frontier_is_what_caps_on_todays_cash_leave(tiny: Result) -> None:
    """All four plans of the tiny shop are ranked, so that those not beaten among them are all there are."""
    found = tiny.frontier(steps=100)
    assert list(found.columns) == told("`frontier()`")
    sums = found[["outlay_cents", "later_cents", "present_value_cents", "ended"]].to_numpy().tolist()
    assert sums == [
        [71000, 46000, 117000, True],
        [78500, 44000, 122500, True],
        [79500, 1000, 80500, True],
        [87000, -1000, 86000, True],
    ]
    assert found["names"].tolist()[0][0] == "plan 3"
    # 10.00 more than plan 4 today saves 430.00 later
    assert found["saved_each"].tolist()[2] == 43
    assert tiny.not_beaten["outlay_cents"].tolist() == [79500, 71000]
    # 785.00 today is dearer in all than 710.00, so a cap just below 795.00 leaves the one of least cash
    capped = package.compare(package.load(ROOT / TINY), outlay_cap_cents=79499, plans=1, draws=100).plans
    assert capped[["outlay_cents", "present_value_cents"]].to_numpy().tolist() == [[71000, 117000]]


def test_machines_that_are_held_stay_held_on_the_frontier(tiny: Result) -> None:
    """Both by cord: 870 today, and nothing with less."""
    held = package.compare(package.load(ROOT / TINY), held={"*": "cord"}, draws=100)
    frontier = held.frontier()
    assert held.plans["outlay_cents"].tolist()[:1] == [87000]
    assert frontier["outlay_cents"].tolist()[-1] == 87000


def test_the_example_of_the_guide_runs(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    monkeypatch.chdir(ROOT)
    code = re.search(r"<!-- figures.py; a test runs it -->\n```python\n(.*?)```", PAGE, re.DOTALL)
    assert code is not None
    exec(compile(code[1], "figures.py", "exec"), {})
    said = capsys.readouterr().out
    assert "79500" in said
    assert "117000" in said
    assert "lost shop time is counted as nothing" in said


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [("garage.yaml", "years:", "yaers:"), ("catalog/offers.csv", "R-6-20,counter", "R-6-99,counter")],
)
def test_a_bad_file_raises_what_the_command_prints(tmp_path: Path, file: str, old: str, new: str) -> None:
    shop = write_small_shop(tmp_path, with_change(file, old, new))
    with pytest.raises(package.UserMistakeError) as caught:
        package.load(shop)
    assert costplan("compare", str(shop)).stderr == f"{caught.value}\n"
    assert any(file in problem.at.path and problem.at.line for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("arguments", "asked"),
    [
        (("compare", TINY, "--seed", "seven"), {"seed": "seven"}),
        (("compare", TINY, "--draws", "1.5"), {"draws": 1.5}),
        (("compare", TINY, "--hold", "lathe=cord"), {"held": {"lathe": "cord"}}),
    ],
)
def test_wrong_use_raises_what_the_command_prints(arguments: tuple[str, ...], asked: dict[str, Any]) -> None:
    """The names of options without their dashes."""
    with pytest.raises(ValueError, match=r"\w") as caught:
        package.compare(package.load(ROOT / TINY), **asked)
    assert costplan(*arguments).stderr.replace("--", "") == f"{caught.value}\n"


def test_a_layout_that_is_not_there_raises_what_the_command_prints() -> None:
    with pytest.raises(package.WrongUseError) as caught:
        package.load(ROOT / TINY, layout="summer")
    assert costplan("compare", TINY, "--layout", "summer").stderr == f"--{caught.value}\n"


SANDER = {"name": "sander", "price": 600, "volts": 240, "amps": 12, "at": "bench A"}


def test_the_frames_of_a_next_machine_are_the_json() -> None:
    """Nothing else of the shop changes; its 600 are due today."""
    result = package.next_machines(package.load(ROOT / TINY), described=SANDER, up_to=1)
    (row,) = (data := next_data(result.answer))["machines"]
    frame = result.machines
    assert frame.loc[0, ["price_cents", "machine_cents"]].tolist() == [60000, 60000]
    assert frame.loc[0, "total_cents"] == 60000 + frame.loc[0, "power_cents"] == 100 * row["total"]
    assert frame.filter(regex="^power_.+_cents$").sum(axis=1).tolist() == frame["power_cents"].tolist()
    for name in ("variants", "work", "parts"):
        rows = json.loads(json_text(row[name]), parse_float=Decimal)
        assert rows
        same(getattr(result, name), [{"machine": "sander"} | entry for entry in rows])
    same(result.by_count, json.loads(json_text(data["by_count"]), parse_float=Decimal))
    for name, table in NEXT_TABLES.items():
        found = result.table(name)
        assert [str(kind) for kind in found.dtypes] == [str(column.kind) for column in table.columns]
        assert told(f"`next_machines().{name}`") == list(found.columns)


@pytest.mark.parametrize(
    ("arguments", "asked"),
    [
        (("--name", "planer"), {"described": {"name": "planer"}}),
        (("planer",), {"names": ["planer"]}),
        (
            ("--name", "saw", "--price", "9", "--volts", "240", "--at", "bench A"),
            {"described": {"name": "saw", "price": 9, "volts": 240, "at": "bench A"}},
        ),
    ],
)
def test_a_next_machine_that_cannot_be_priced_raises_what_the_command_prints(
    arguments: tuple[str, ...], asked: dict[str, Any]
) -> None:
    with pytest.raises(package.WrongUseError) as caught:
        package.next_machines(package.load(ROOT / TINY), **asked)
    assert costplan("next", TINY, *arguments).stderr == f"{caught.value.said}\n"


def test_bad_numbers_and_words_are_told(tiny: Result) -> None:
    case = package.load(ROOT / TINY)
    with pytest.raises(ValueError, match="draws 1 is out of range; write one from 100 to 1,000,000"):
        package.compare(case, draws=1)
    with pytest.raises(ValueError, match='outlay_cap_cents "-1" is no whole number; write one from 0 to'):
        package.compare(case, outlay_cap_cents=-1)
    with pytest.raises(package.UnknownWordsError, match="saw"):
        package.compare(case, held={"saw": "magic"})
    with pytest.raises(ValueError, match='no table "bills"; there are plans, matrix'):
        tiny.table("bills")
    with pytest.raises(ValueError, match="steps is 0"):
        tiny.frontier(steps=0)
    with pytest.raises(AttributeError, match="no attribute 'compares'"):
        _ = package.compares
