"""Whatever is printed adds up: JSON, CSV and tables alike."""

import csv
import io
import json
import re
from collections import defaultdict
from decimal import Decimal
from typing import Any

import pytest
from command import TINY, costplan

Data = dict[str, Any]
SHOPS = {
    "tiny": (TINY,),
    "tiny held": (TINY, "--hold", "saw=wall drop"),
    "tiny with the demo's prices": (TINY, "--catalog", "catalogs/demo"),
}


@pytest.fixture(params=SHOPS)
def arguments(request: pytest.FixtureRequest) -> tuple[str, ...]:
    return SHOPS[request.param]


def data_of(arguments: tuple[str, ...]) -> Data:
    done = costplan("compare", *arguments, "--format", "json")
    assert done.returncode == 0, done.stderr
    data = json.loads(done.stdout, parse_float=Decimal, parse_int=Decimal)
    assert isinstance(data, dict)
    return data


def of_today(plan: Data, *pockets: str) -> Decimal:
    lines = [line for line in plan["lines"] if line["year"] == 0 and line["pocket"] in pockets]
    return Decimal(sum(line["amount"] for line in lines))


def test_a_plans_total_is_the_sum_of_its_lines_and_of_its_columns(arguments: tuple[str, ...]) -> None:
    plans = data_of(arguments)["plans"]
    assert plans
    for plan in plans:
        total = sum(line["present_value"] for line in plan["lines"])
        columns = plan["outlay"] + plan["other_today"] + plan["later"] + plan["residual"]
        assert plan["present_value"] == total == columns
        assert plan["outlay"] == of_today(plan, "cash")


def test_the_bill_and_the_work_are_all_that_is_paid_today(arguments: tuple[str, ...]) -> None:
    for plan in data_of(arguments)["plans"]:
        listed = sum(row["amount"] for row in (*plan["bill_of_materials"], *plan["labor"]))
        apart = sum(
            line["amount"]
            for line in plan["lines"]
            if line["year"] == 0 and line["kind"] not in ("part", "labor") and line["pocket"] == "cash"
        )
        assert listed + apart == of_today(plan, "cash", "own time")


def test_quantity_times_price_is_the_amount(arguments: tuple[str, ...]) -> None:
    for plan in data_of(arguments)["plans"]:
        assert plan["bill_of_materials"]
        for row in plan["bill_of_materials"]:
            assert row["quantity"] * row["unit_price"] == row["amount"], row["part"]


def test_plans_are_ranked_by_total_and_the_first_is_the_best_mix(arguments: tuple[str, ...]) -> None:
    data = data_of(arguments)
    totals = [plan["present_value"] for plan in data["plans"]]
    assert totals == sorted(totals)
    assert totals[0] == data["matrix"]["best mix"]["surplus"]
    assert [plan["rank"] for plan in data["plans"]] == list(range(1, len(totals) + 1))
    assert all(plan["proven"] and plan["bound"] == plan["present_value"] for plan in data["plans"])


def test_no_row_of_the_matrix_beats_the_best_mix_nor_new_beats_surplus(arguments: tuple[str, ...]) -> None:
    matrix = data_of(arguments)["matrix"]
    assert set(matrix) == {"fixed drops", "cords", "best mix"}
    for row in matrix.values():
        assert row["surplus"] <= row["new"]
        assert all(matrix["best mix"][column] <= row[column] for column in ("new", "surplus"))


def test_csv_holds_the_lines_of_the_json(arguments: tuple[str, ...]) -> None:
    done = costplan("compare", *arguments, "--format", "csv")
    sums: dict[int, Decimal] = defaultdict(Decimal)
    for row in csv.DictReader(io.StringIO(done.stdout)):
        sums[int(row["rank"])] += Decimal(row["present_value"])
    assert sums == {int(plan["rank"]): plan["present_value"] for plan in data_of(arguments)["plans"]}


def table(report: str, title: str) -> list[dict[str, str]]:
    """The rows of a printed table; a cell that wraps stays in its first row, a heading that wraps is put together."""
    lines = report[report.index(title) :].split("\n\n")[0].splitlines()[1:]
    rule = next(place for place, line in enumerate(lines) if set(line) == {"-", " "})
    spans = [match.span() for match in re.finditer("-+", lines[rule])]
    heads = [" ".join(line[a:b].strip() for line in lines[:rule]).strip() for a, b in spans]
    rows = [
        dict(zip(heads, (line[a:b].strip() for a, b in spans), strict=True)) for line in lines[rule + 1 :]
    ]
    return [row for row in rows if any(re.fullmatch(r"-?[\d,]+\.\d\d", cell) for cell in row.values())]


def money(text: str) -> Decimal:
    return Decimal(text.replace(",", "") or 0)


@pytest.mark.parametrize(
    ("title", "columns"),
    [
        ("Plan 1: what to buy today", ["amount"]),
        ("Plan 1: today's work", ["amount"]),
        pytest.param(
            "Plan 1: today's work",
            ["hours"],
        ),
        ("Lines\n", ["in today's money"]),
    ],
)
def test_the_last_row_of_a_printed_table_is_the_sum_of_the_others(
    title: str, columns: list[str], arguments: tuple[str, ...]
) -> None:
    *rows, last = table(costplan("compare", *arguments, "--show", "all", columns=140).stdout, title)
    assert rows
    for column in columns:
        assert sum(money(row[column]) for row in rows) == money(last[column]), column


def test_the_printed_ranking_adds_up_across(arguments: tuple[str, ...]) -> None:
    rows = table(costplan("compare", *arguments, "--show", "all", columns=140).stdout, "Ranked plans")
    assert len(rows) == len(data_of(arguments)["plans"])
    best = money(rows[0]["total"])
    for row in rows:
        parts = ("cash today", "time and risk today", "later", "resale at the end")
        assert money(row["total"]) == sum(money(row[name]) for name in parts)
        assert_said(row["more"], money(row["total"]) - best)


def assert_said(words: str, difference: Decimal) -> None:
    """A difference is printed exactly, or rounded to 1, 10 or 100 and then called about."""
    if words.startswith("about "):
        said = money(words.removeprefix("about "))
        step = next(step for step in (100, 10, 1) if said % step == 0)
        assert abs(said - difference) <= Decimal(step) / 2
    elif words.startswith("less than "):
        assert 0 < difference <= money(words.removeprefix("less than "))
    else:
        assert money(words) == difference


POCKETS = ("cash", "own time", "lost time", "allowance", "resale at the end")


def test_the_printed_money_by_year_adds_up_both_ways(arguments: tuple[str, ...]) -> None:
    *years, all_years, worth = table(
        costplan("compare", *arguments, "--show", "all", columns=140).stdout, "Plan 1: money by year"
    )
    assert years
    for column in (*POCKETS, "total", "in today's money"):
        assert sum(money(row[column]) for row in years) == money(all_years[column]), column
    for row in (*years, all_years, worth):
        assert money(row["total"]) == sum(money(row[pocket]) for pocket in POCKETS)
    assert money(worth["total"]) == money(all_years["in today's money"])


def test_the_years_of_the_json_add_up_to_the_plan(arguments: tuple[str, ...]) -> None:
    for plan in data_of(arguments)["plans"]:
        assert sum(year["present_value"] for year in plan["by_year"]) == plan["present_value"]
        assert plan["by_year"][0]["cash"] == plan["outlay"]
