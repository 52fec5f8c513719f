"""Strategies by name: priced, ranked where they are allowed, shown unranked or incomplete where not.

Totals start from tests/program/test_features.py: the saw by wall drop 780.00, by cord 618.60; all prices invented.
How a forbidden strategy, a cap and next year's cash are shown follows common practice, no source.
"""

from decimal import Decimal
from typing import Any

import pytest
from strategies import DRILL, SAW, UNSALABLE, make_catalog, make_shop, move, scenario, store_offers

from costplan.circuits.facts import Facts
from costplan.ledger.holding import UnknownWordsError
from costplan.model.catalog import Catalog
from costplan.reports.data import comparison_data
from costplan.reports.terminal import comparison_text
from costplan.reports.verdict_words import strategy_sentences
from costplan.studies.comparison import Comparison, compare

Row = dict[str, Any]

WALLS: Row = {"name": "all in the walls", "ways": {"*": "wall drop"}}
CORDS: Row = {"name": "long cords", "ways": {"*": "cord"}}
MIX: Row = {"name": "mix", "ways": {"saw": "cord", "drill": "wall drop"}}


def compared(
    *strategies: Row, machines: list[Row] | None = None, catalog: Catalog | None = None, **more: Any
) -> Comparison:
    shop = make_shop(machines or [SAW], strategies=list(strategies), **more)
    return compare(Facts(shop, catalog or make_catalog()))


def totals(result: Comparison, column: str = "surplus") -> dict[str, int | None]:
    return {row.name: row.cells[column].present_value_cents for row in result.strategies}


def forbidding(reason: str) -> Row:
    return SAW | {"ways": {"hard_wired": False, "forbid": {"cord": reason}}}


def test_every_strategy_is_a_row_with_its_total_and_the_cheapest_is_said() -> None:
    result = compared(WALLS, CORDS)
    assert totals(result) == totals(result, "new") == {"all in the walls": 78000, "long cords": 61860}
    first, second = strategy_sentences(result)
    assert first == 'Of the strategies "long cords" costs least, 618.60.'
    assert second.startswith('"all in the walls" costs 161.40 more')


def test_a_machine_that_is_named_and_one_that_is_not() -> None:
    machines = [SAW, DRILL]
    # what is not named takes its cheapest way, and the mix names the same as "*" would
    result = compared(MIX, {"name": "saw on a cord", "ways": {"saw": "cord"}}, machines=machines)
    ways = {row.name: row.cells["new"].ranked.plan.ways for row in result.strategies}  # type: ignore[union-attr]
    assert [way.group for way in ways["mix"]["drill"]] == ["wall drop"]
    assert [way.group for way in ways["saw on a cord"]["saw"]] == ["cord"]
    assert totals(result)["saw on a cord"] == result.best.present_value_cents


def test_a_forbidden_strategy_is_priced_and_never_the_winner() -> None:
    reason = "the fire marshal wants the aisle free"
    result = compared(WALLS, CORDS, machines=[forbidding(reason)])
    assert totals(result) == {"all in the walls": 78000, "long cords": 61860}
    (row,) = [row for row in result.strategies if row.reason]
    assert (row.name, reason in row.reason) == ("long cords", True)
    assert [name for name, _ in result.ranked_strategies] == ["all in the walls"]
    assert result.best.present_value_cents == 78000
    sentences = strategy_sentences(result)
    assert sentences[0] == 'Of the strategies "all in the walls" is the only one that can be ranked, 780.00.'
    assert sentences[1].startswith('"long cords" is not ranked: ')
    text = comparison_text(result)
    assert "long cords (unranked)" in text


def test_a_strategy_without_a_price_is_incomplete_and_names_no_winner_that_it_could_beat() -> None:
    offers = [o | ({"price": None} if o["part"].startswith("cord-") else {}) for o in store_offers()]
    result = compared(WALLS, CORDS, catalog=make_catalog(offers))
    (cell,) = [row.cells["new"] for row in result.strategies if row.name == "long cords"]
    # 618.60 without the cord's 90 and what 40 % of it would have fetched
    assert (cell.present_value_cents, cell.at_least_cents) == (None, 56460)
    first, second = strategy_sentences(result)
    assert "no winner is named" in first
    assert second.startswith(
        '"long cords" is incomplete, at least 564.60: 1 machine (saw): no price for cord'
    )
    (data,) = [row for row in comparison_data(result)["strategies"] if row["name"] == "long cords"]
    assert (data["new"], data["at_least"]["new"], data["ranked"]) == (None, Decimal("564.60"), False)
    assert "no price for cord" in data["reason"]


def test_an_incomplete_strategy_that_costs_more_anyway_takes_no_win() -> None:
    offers = [o | ({"price": None} if o["part"].startswith("nm-") else {}) for o in store_offers()]
    first, second = strategy_sentences(compared(WALLS, CORDS, catalog=make_catalog(offers)))
    # the wall drop is 750.00 without its cable
    assert first == 'Of the strategies "long cords" costs least, 618.60.'
    assert second.startswith('"all in the walls" is incomplete, at least 750.00')


def test_words_of_a_strategy_that_name_nothing_are_refused() -> None:
    with pytest.raises(UnknownWordsError, match='strategy "all in the walls": saw has no way "walls"'):
        compared({"name": "all in the walls", "ways": {"*": "walls"}})


def test_cash_by_year_is_in_the_money_of_the_year_and_next_year_is_not_discounted() -> None:
    shop: Row = {
        "money": {"discount_rate": "10 %", "outlay_cap": 900},
        "scenarios": [scenario(move(1, "saw", "bench D"))],
    }
    result = compared(WALLS, catalog=make_catalog(kinds=UNSALABLE), **shop)
    (row,) = comparison_data(result)["strategies"]
    # the move: (1 + 0.8 + 1 + 1 + 1 make safe) h = 480, 10 + 20 + 10 + 8, a cover 9, call-out 50, permit 60
    today, year_1, *later = row["cash_by_year"]
    assert (today, row["outlay"], row["left_under_cap"]) == (Decimal(780), Decimal(780), Decimal(120))
    assert year_1 == sum(line.amount_cents for line in _lines(result, 1)) / Decimal(100)
    assert year_1 > 600
    assert set(later) == {Decimal(0)}
    text = comparison_text(result)
    assert "left under the cap" in text
    assert "Under the cap of 900.00 plan 1 leaves" in text


def _lines(result: Comparison, year: int) -> list[Any]:
    (row,) = result.strategies
    plan = row.cells["surplus"].ranked
    assert plan is not None
    return [line for line in plan.lines if line.year == year and str(line.pocket) == "cash"]


def test_a_strategy_that_breaks_the_cap_says_so() -> None:
    result = compared(WALLS, CORDS, money={"discount_rate": "0 %", "outlay_cap": 650})
    assert totals(result)["all in the walls"] is None
    assert strategy_sentences(result)[-1].startswith('"all in the walls" cannot be done: ')


def test_two_names_for_one_plan_cost_the_same() -> None:
    sentences = strategy_sentences(compared(CORDS, CORDS | {"name": "hanging"}))
    assert sentences[1] == '"hanging" costs the same as "long cords".'


QUOTE: Row = {"name": "all in", "method": "fixed drop", "put_in": {"money": 500}}


def test_a_quote_for_a_fixed_drop_counts_in_the_row_of_fixed_drops() -> None:
    """An electrician who quotes a drop need not say in what it runs; a cord's quote is no drop."""
    cord = {"name": "hung", "method": "cord", "put_in": {"money": 300}}
    fixed = {"name": "all fixed", "ways": {"*": "fixed drop"}}
    result = compared(fixed, quoted_ways=[QUOTE, cord])
    assert totals(result) == {"all fixed": 50000}
    matrix = comparison_data(result)["matrix"]
    assert matrix["fixed drops"]["new"] == 500
    assert matrix["cords"]["new"] == 300
    assert comparison_data(result)["plans"][1]["machines"]["saw"]["method"] == "fixed drop"


def test_a_quoted_fixed_drop_is_forbidden_only_with_every_drop() -> None:
    runs = ("wall drop", "conduit drop", "armored drop")
    cord = {"name": "hung", "method": "cord", "put_in": {"money": 600}}
    for count, total in ((2, 50000), (3, 60000)):
        forbid = dict.fromkeys(runs[:count], "masonry")
        result = compared(quoted_ways=[QUOTE, cord], building={"forbid": forbid})
        assert result.best.present_value_cents == total
    only = SAW | {"ways": {"only": ["wall drop"]}}
    assert compared(machines=[only], quoted_ways=[QUOTE]).best.present_value_cents == 50000


@pytest.mark.parametrize(
    "words",
    [
        {"building": {"forbid": {"fixed drop": "no"}}},
        {"machines": [SAW | {"ways": {"only": ["fixed drop"]}}]},
        {"machines": [SAW | {"ways": {"forbid": {"fixed drop": "no"}}}]},
    ],
)
def test_only_a_quote_may_leave_open_in_what_a_drop_runs(words: Row) -> None:
    with pytest.raises(ValueError, match="names no run"):
        compared(**words)


def test_every_strategy_is_drawn_also_one_that_may_not_be_ranked() -> None:
    result = compared(WALLS, CORDS, MIX, machines=[forbidding("the inspector wants none"), DRILL])
    assert list(result.sureness.strategies) == ["all in the walls"]
    assert set(result.sureness.unranked) == {"long cords", "mix"}
    data = comparison_data(result)["sureness"]
    assert set(data["unranked_strategies"]) == {"long cords", "mix"}
    told = data["unranked_strategies"]["long cords"]
    assert (told["cheapest"], told["regret"]) == (None, None)
    assert told["total"]["p10"] < told["total"]["p50"] < told["total"]["p90"] < told["worst"]
    text = comparison_text(result)
    assert '"long cords" (unranked)' in text
    assert '"all in the walls"' in text
