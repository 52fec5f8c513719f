"""Plans over the years beside each other, as printed; the tiny shop is worked by hand in the guide (first-answer).

By hand: plan 1 takes 795 today, 80 in year 2 and gets 70 back; plan 2 (both by cord) 870, 80 and 90 back; plan 3 (fixed
drops) 710 and 460.
"""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

import costplan
from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind, Pocket
from costplan.reports.outlays_text import outlays_data, outlays_text
from costplan.reports.over_time import paid_text, so_far_text, waiting_text
from costplan.studies.comparison import Comparison
from costplan.studies.outlays import Frontier
from costplan.studies.rows import Cell

TINY = Path(__file__).parents[2] / "examples" / "tiny" / "shop.yaml"


@pytest.fixture(scope="module")
def tiny() -> Comparison:
    return costplan.compare(costplan.load(TINY), draws=100).comparison


def rows(text: str) -> list[list[str]]:
    return [line.split() for line in text.splitlines()]


def test_cash_so_far_is_printed_where_it_grows(tiny: Comparison) -> None:
    *_, today, second = rows(so_far_text(tiny, 80))
    assert today[:4] == ["today", "795.00", "870.00", "710.00"]
    assert second[:4] == ["2", "875.00", "950.00", "1,170.00"]


def test_what_more_money_pays_back_is_printed_with_its_reasons(tiny: Comparison) -> None:
    """Plan 1 for plan 3: 85 more, 365 saved, all of it in year 2; 380 / (85 - 70) = 25.33; 25.33 ** (1/4) - 1 = 124.3 %.
    Plan 2 for plan 1: 75 more and 20 of it back, nothing saved between: 55 lost."""
    text = paid_text(tiny, 80)
    assert [
        "plan",
        "2",
        "plan",
        "2",
        "75.00",
        "-55.00",
        "not",
        "in",
        "4",
        "not",
        "in",
        "4",
        "-",
        "-",
    ] in rows(text)
    assert ["plan", "3", "plan", "1", "85.00", "365.00", "2", "2", "25.33", "124.3", "%"] in rows(text)
    assert "- plan 2: it saves nothing of running costs" in text
    said = " ".join(text.split())
    assert "Counted: cash, own time, lost time, resale at the end, allowance;" in said
    assert "discounted at 0 % a year: all else" in said
    # there is no own time, lost time or allowance, so that cash alone would say the same
    assert text.count("More money today") == 1


def test_lost_time_has_a_second_table_for_cash_alone() -> None:
    """The shop's hour at 20: what stands still while outlets are made is money, but no cash."""
    case = costplan.load(TINY)
    money = case.facts.shop.money.model_copy(update={"shop_hour_cents": 2000})
    catalog = case.facts.catalog
    tasks = [task.model_copy(update={"stops_shop_hours": Decimal(1)}) for task in catalog.tasks]
    stopping = catalog.model_copy(update={"tasks": tasks})
    dearer = costplan.Case(Facts(case.facts.written.model_copy(update={"money": money}), stopping))
    assert paid_text(costplan.compare(dearer, draws=100).comparison, 80).count("More money today") == 2


def test_less_cash_today_and_what_could_wait(tiny: Comparison) -> None:
    text = outlays_text(tiny, None, 80)
    table = [row[2:] for row in rows(text) if row[:1] == ["plan"] and row[1].isdigit() and "=" not in row]
    # of cash today, and what each more of it saves later: (460 - 440) / 75, (440 - 10) / 10, (10 + 10) / 75
    assert [row[:4] for row in table] == [
        ["710.00", "460.00", "1,170.00", "-"],
        ["785.00", "440.00", "1,225.00", "0.27"],
        ["795.00", "10.00", "805.00", "43.00"],
        ["870.00", "-10.00", "860.00", "0.27"],
    ]
    assert "--show outlays searches" in " ".join(text.split())
    # 10 more today than plan 3's 785 comes back: nothing is invested; said beside the row
    assert "plan 1: what it costs more today comes back by resale" in " ".join(text.split())
    # 450 for the saw and 345 for the drill; the two boxes of 5, one row of the bill, are for both
    waiting = rows(waiting_text(tiny, tiny.best, 80))
    assert ["today", "saw", "445.00", "all"] in waiting
    assert ["today", "drill", "340.00", "all"] in waiting
    assert ["2", "saw", "80.00", "all"] in waiting


def test_more_cash_but_less_in_all_is_not_called_the_same(tiny: Comparison) -> None:
    """Plan 3's cash of 710 beside plan 1's 795, and 100 of own time today with plan 3: 810, 15 more than plan 1."""
    first, third = tiny.plans[0], tiny.plans[2]
    own = replace(third.lines[0], kind=LineKind.LABOR, pocket=Pocket.OWN_TIME)
    slow = replace(third, lines=(*third.lines, replace(own, amount_cents=10000, present_value_cents=10000)))
    alone = replace(tiny, plans=(first, slow), matrix={**tiny.matrix, **_without_cells(tiny)})
    text = " ".join(outlays_text(alone, None, 80).split())
    assert "both cost the same" not in text
    assert "plan 1: with own time and all else of today counted it takes less today" in text
    assert "not in 4" not in text


def test_a_plan_that_is_only_searched_for_is_told_by_what_it_does_otherwise(tiny: Comparison) -> None:
    alone = replace(tiny, plans=tiny.plans[:1], matrix={**tiny.matrix, **_without_cells(tiny)})
    found = Frontier((tiny.plans[0], tiny.plans[2]), ended=False)
    text = " ".join(outlays_text(alone, found, 80).split())
    assert "row 1: as plan 1, but saw by wall drop from panel" in text
    assert "Time ran out" in text
    told = outlays_data(alone, found)
    assert told["ended"] is False
    assert [(entry["names"], entry["outlay"]) for entry in told["plans"]] == [([], 710), (["plan 1"], 795)]
    assert told["plans"][1]["net_savings"] == 365
    assert told["plans"][1]["saved_each"] == round(Decimal(450) / 85, 4)


def _without_cells(tiny: Comparison) -> dict[tuple[str, str], Cell]:
    """The pure ways as they are where neither has a plan."""
    return {(row, tiny.column): Cell(None, ()) for row in ("fixed drops", "cords")}


@pytest.mark.parametrize("width", [60, 80, 140])
def test_no_line_is_wider_than_asked(width: int, tiny: Comparison) -> None:
    texts = [so_far_text(tiny, width), paid_text(tiny, width), outlays_text(tiny, None, width)]
    texts.append(waiting_text(tiny, tiny.best, width))
    assert all(len(line) <= width for text in texts for line in text.splitlines())
