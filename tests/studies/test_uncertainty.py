"""How uncertain a difference is, which plans are too close to call, and what would turn fixed drops and cords.

The sums of the first tests are worked by hand from the three-point (PERT) spread, (high - low) / 6, and from
the rule that variances of independent things add; invented hours and prices.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from strategies import LATHE, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.program.ranking import Ranked
from costplan.reports.terminal import comparison_text
from costplan.reports.words import tie
from costplan.studies.comparison import Comparison, close_groups, compare
from costplan.studies.uncertainty import combined_spread_cents

MONEY = {"discount_rate": "3 %", "price_uncertainty": "4 %"}
FACTS = Facts(make_shop([SAW], money=MONEY), make_catalog())


def labor(hours: str, spread: str, dollars: int, crew: str = "electrician", task: str = "drop") -> Line:
    return Line(
        0,
        "",
        LineKind.LABOR,
        Pocket.CASH,
        task,
        "saw",
        dollars * 100,
        dollars * 100,
        "",
        crew=crew,
        task=task,
        hours=Decimal(hours),
        hours_spread=Decimal(spread),
    )


def parts(dollars: int, what: str, row: int = 0, kind: LineKind = LineKind.PART) -> Line:
    return Line(0, "", kind, Pocket.CASH, what, "", dollars * 100, dollars * 100, "", offer_row=row)


def plan_of(*lines: Line) -> Ranked:
    return replace(ranked(FACTS.shop, FACTS.catalog)[0], lines=lines)


def test_a_slow_electrician_is_slow_at_drops_and_cords_alike() -> None:
    # 8 drops of 3.5 h and 8 cords of 0.85 h at 96 an hour, spreads 5/6 h and 1.1/6 h each; parts 1,150 and 2,785
    # hours 640.00 - 140.80 = 499.20; prices 46.00 and 111.40; in all sqrt(499.20^2 + 46.00^2 + 111.40^2) = 513.54
    drops = plan_of(labor("28", str(Decimal(40) / 6), 2688), parts(1150, "list of drops"))
    cords = plan_of(labor("6.8", str(Decimal("8.8") / 6), 0, task="cord"), parts(2785, "list of cords"))
    cords = replace(
        cords, lines=(replace(cords.lines[0], amount_cents=65280, present_value_cents=65280), cords.lines[1])
    )
    assert combined_spread_cents(FACTS, drops, cords) == pytest.approx(51354, abs=1)


def test_two_crews_err_by_themselves() -> None:
    one = plan_of(labor("10", "3", 1000), labor("10", "4", 1000, crew="owner"))
    # 300 and 400 are the sides of a right triangle
    assert combined_spread_cents(FACTS, one, plan_of()) == 50000


def test_one_price_errs_with_its_tax_whatever_it_is_called() -> None:
    one = plan_of(parts(1000, "cord, 30 ft", row=7), parts(100, "tax on cord", row=7, kind=LineKind.TAX))
    other = plan_of(parts(600, "cord, 18 ft", row=7))
    # 4 % of the 500 that differ
    assert combined_spread_cents(FACTS, one, other) == 2000
    # two offers of one name err by themselves: 30.00 and 40.00
    two = plan_of(parts(750, "cord", row=7), parts(1000, "cord", row=8))
    assert combined_spread_cents(FACTS, two, plan_of()) == 5000


def test_plans_closer_than_their_uncertainty_to_the_best_of_them_are_one_group() -> None:
    # 4 % of 1000, 1030, 1100 and 1110, each another price: the spreads are about 57, 59 and 60
    plans = [plan_of(parts(dollars, "", row)) for row, dollars in enumerate((1000, 1030, 1100, 1110), 1)]
    groups, spreads = close_groups(FACTS, plans)
    assert groups == ((1, 2), (3, 4))
    assert spreads[0] is None
    assert spreads[1] == pytest.approx(5742, abs=1)


def close() -> Comparison:
    money = {"discount_rate": "0 %", "price_uncertainty": "150 %"}
    # 3 ft from the panel the wall drop is 538.00 and the cord 579.00; their parts differ
    return compare(Facts(make_shop([SAW | {"at": "bench D"}], money=money), make_catalog()))


def test_a_group_says_what_sets_its_plans_apart() -> None:
    result = close()
    assert result.too_close
    assert result.groups == ((1, 2),)
    assert tie(result).startswith("Plans 1 and 2 are too close to call")
    text = comparison_text(result)
    assert "Plans 1 and 2 are too close to call; what sets them apart" in text
    assert "own hours, all years" in text


# turning points --------------------------------------------------------------------------------------


def moving(machines: list[dict[str, Any]], **more: Any) -> Comparison:
    events = [scenario(move(2, machines[0]["name"], "bench E"))]
    return compare(Facts(make_shop(machines, scenarios=events, **more), make_catalog()), plans=1)


def point(result: Comparison, figure: str) -> Any:
    return next((turning for turning in result.turning if turning.figure == figure), None)


def test_moves_are_tried_among_places_that_the_file_uses() -> None:
    found = point(moving([SAW, LATHE]), "moves")
    assert found is not None
    assert found.at is None or 0 < found.at <= 2


@pytest.mark.parametrize("more", [{"years": 1}, {"scenarios": []}])
def test_no_turning_by_moves_where_nothing_can_move(more: dict[str, Any]) -> None:
    shop = make_shop([SAW], **{"scenarios": [], **more})
    assert point(compare(Facts(shop, make_catalog()), plans=1), "moves") is None


def test_machines_that_never_move_have_no_moves_to_turn_by() -> None:
    still = [SAW | {"never_moves": True}, LATHE | {"never_moves": True}]
    assert point(compare(Facts(make_shop(still), make_catalog()), plans=1), "moves") is None


def test_no_turning_by_surplus_where_none_is_bought() -> None:
    assert point(moving([SAW, LATHE]), "surplus prices") is None


def test_nothing_turns_when_every_machine_is_held() -> None:
    shop = make_shop([SAW, LATHE], scenarios=[scenario(move(2, "saw", "bench E"))])
    result = compare(Facts(shop, make_catalog()), plans=1, held={"*": "cord"})
    assert result.turning == ()
    assert "What would turn" not in comparison_text(result)
