"""Plans over the years beside each other, as printed; the tiny shop is worked by hand in the guide (first-answer).

By hand: plan 1 takes 795 today, 80 in year 2 and gets 70 back; plan 2 (both by cord) 870, 80 and 90 back; plan 3 (fixed
drops) 710 and 460.
"""

from decimal import Decimal
from pathlib import Path

import pytest

import costplan
from costplan.circuits.facts import Facts
from costplan.reports.over_time import frontier_text, paid_text, so_far_text, waiting_text
from costplan.studies.comparison import Comparison

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
    """Plan 1 for plan 3: 85 more, 365 saved, 85 / 380 into year 2; 380 / (85 - 70) = 25.33; 25.33 ** (1/4) - 1 = 124.3 %.
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
        "0.00",
        "-",
    ] in rows(text)
    assert ["plan", "3", "plan", "1", "85.00", "365.00", "1.2", "1.2", "25.33", "124.3", "%"] in rows(text)
    assert "- plan 2: it saves nothing in the years between" in text
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
    assert [row[2:4] for row in rows(frontier_text(tiny, 80)) if row[:1] == ["plan"] and row[1] in "13"][
        :2
    ] == [
        ["795.00", "805.00"],
        ["710.00", "1,170.00"],
    ]
    # 450 for the saw and 345 for the drill; the two boxes of 5, one row of the bill, are for both
    waiting = rows(waiting_text(tiny, tiny.best, 80))
    assert ["today", "saw", "445.00", "all"] in waiting
    assert ["today", "drill", "340.00", "all"] in waiting
    assert ["2", "saw", "80.00", "all"] in waiting


@pytest.mark.parametrize("width", [60, 80, 140])
def test_no_line_is_wider_than_asked(width: int, tiny: Comparison) -> None:
    texts = [so_far_text(tiny, width), paid_text(tiny, width), frontier_text(tiny, width)]
    texts.append(waiting_text(tiny, tiny.best, width))
    assert all(len(line) <= width for text in texts for line in text.splitlines())
