"""Which figure moves which line, worked by hand from the rules of the guide; all figures invented."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest
from strategies import KINDS, SAW, make_catalog, make_shop, offer, scenario, store_offers

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.catalog import Condition, Kind, Offer
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.studies.figures import _of_used_parts
from costplan.studies.sureness import Drawable, Settings, how_sure
from costplan.studies.uncertain import Bend, Mover, Uncertain, moves_with, price_spread

TODAY = "2026-11-02"
HALF_OFF = {"run-cable": ("0.5", "1", "1.5")}
USED = offer("plug-6-20", "store", 4) | {"condition": "used"}


def facts(
    *, kinds: list[dict[str, Any]] | None = None, offers: tuple[dict[str, Any], ...] = (USED,), **more: Any
) -> Facts:
    return Facts(make_shop([SAW], **more), make_catalog(more_offers=list(offers), kinds=kinds))


def line(
    kind: LineKind, pocket: Pocket = Pocket.CASH, year: int = 0, scenario: str = "", **more: Any
) -> Line:
    return Line(year, scenario, kind, pocket, "thing", "", 10_000, 10_000, "", **more)


def moved(one: Facts, it: Line) -> tuple[Mover, ...]:
    ((group, cents),) = Uncertain(one).grouped([it]).worth.items()
    assert cents == 10_000
    return group


def named(group: tuple[Mover, ...]) -> dict[str, Bend]:
    return {mover.figure.name: mover.bend for mover in group}


def row_of(one: Facts, part: str, condition: str = "new") -> int:
    return next(o.row for o in one.catalog.offers if (o.part, o.condition) == (part, condition))


def an_offer(condition: Condition, seen: date | None) -> Offer:
    return Offer.model_validate(
        {"part": "p", "supplier": "s", "condition": condition, "price": 1, "per": "each", "seen": seen}
    )


@pytest.mark.parametrize(
    ("condition", "seen", "times"),
    [
        (Condition.NEW, "2026-10-01", "1"),
        (Condition.NEW, "2026-05-06", "1"),  # 180 days
        (Condition.NEW, "2026-05-05", "1.5"),  # 181
        (Condition.NEW, "2024-11-01", "2"),  # 731
        (Condition.NEW, None, "1.5"),
        (Condition.NEW_OLD_STOCK, "2026-10-01", "1.5"),
        (Condition.USED, "2026-10-01", "2"),
        (Condition.USED, None, "3"),
        (Condition.ON_HAND, None, "1"),
    ],
)
def test_used_and_old_prices_are_off_further(condition: Condition, seen: str | None, times: str) -> None:
    shop = facts(money={"price_uncertainty": "8 %"}, today=TODAY)
    day = None if seen is None else date.fromisoformat(seen)
    found = price_spread(shop, an_offer(condition, day), shop.kinds["plug"])
    assert found == Decimal("0.08") * Decimal(times)


def test_no_spread_lets_a_price_fall_below_nothing() -> None:
    shop = facts(money={"price_uncertainty": "30 %"})
    assert price_spread(shop, an_offer(Condition.USED, None), shop.kinds["plug"]) == Decimal("0.37")
    (mover,) = moved(shop, line(LineKind.PART, offer_row=row_of(shop, "plug-6-20", "used")))
    assert mover.figure.low > 0


def test_a_kind_has_its_own_spread() -> None:
    kinds = [kind | {"price_uncertainty": "2 %"} if kind["kind"] == "plug" else kind for kind in KINDS]
    shop = facts(kinds=kinds)
    day = date(2026, 10, 1)
    assert price_spread(shop, an_offer(Condition.NEW, day), shop.kinds["plug"]) == Decimal("0.02")
    assert price_spread(shop, an_offer(Condition.NEW, day), shop.kinds["cord"]) == Decimal("0.10")


def test_wire_moves_with_copper_unless_its_kind_says_otherwise() -> None:
    def kind(**more: Any) -> Kind:
        return Kind.model_validate({"kind": "k", **more})

    assert moves_with(kind(attributes=["awg"], sold="cut length")) == "copper"
    assert moves_with(kind(attributes=["awg"], sold="length")) == "copper"
    assert moves_with(kind(attributes=["awg"])) == ""  # a pigtail, counted
    assert moves_with(kind(attributes=["trade_size"], sold="length")) == ""
    assert moves_with(kind(attributes=["awg"], sold="length", moves_with="")) == ""
    assert moves_with(kind(moves_with="steel")) == "steel"
    shop = facts()
    row = next(o.row for o in shop.catalog.offers if shop.parts[o.part].kind == "cord")
    (cord,) = moved(shop, line(LineKind.PART, offer_row=row))
    assert (cord.figure.along, cord.figure.share) == ("price of copper", 0.5)


def test_figures_of_used_parts_go_by_the_very_names_that_are_drawn() -> None:
    shop = facts()
    row = row_of(shop, "plug-6-20", "used")
    bought: Any = SimpleNamespace(lines=[line(LineKind.PART, offer_row=row)])
    prices, failing = _of_used_parts(shop, [bought])
    allowed = named(moved(shop, line(LineKind.RISK, Pocket.ALLOWANCE, offer_row=row)))
    assert prices.drawn | failing.drawn == allowed.keys()


def test_what_fails_moves_its_allowance_by_the_odds_and_looking_by_all_that_is_bought() -> None:
    # 10 % fail: an allowance of q / (1 - q) of the price; 1 / (1 - q) pieces looked at for one good one
    shop = facts()
    row = row_of(shop, "plug-6-20", "used")
    price, failing = f"price of offer {row}", "failing of plug, used"
    assert named(moved(shop, line(LineKind.RISK, Pocket.ALLOWANCE, offer_row=row))) == {
        price: Bend.ALONG,
        failing: Bend.ODDS,
    }
    assert named(moved(shop, line(LineKind.PART, offer_row=row))) == {price: Bend.ALONG}
    inspected = line(LineKind.LABOR, Pocket.OWN_TIME, offer_row=row, crew="owner")
    assert named(moved(shop, inspected)) == {failing: Bend.BOUGHT}
    later = line(LineKind.PART, year=2, offer_row=row, forecast=True, grown_years=2)
    # what fails of a later purchase has lines of its own
    assert named(moved(shop, later)) == {price: Bend.ALONG}
    (figure,) = (mover.figure for mover in moved(shop, inspected))
    # 30 % of 10 % is one standard deviation, sqrt(7) of them to either side
    assert (figure.low, figure.base, figure.high) == pytest.approx(
        (0.1 - 0.03 * 7**0.5, 0.1, 0.1 + 0.03 * 7**0.5)
    )


def test_whole_spares_are_bought_whatever_fails() -> None:
    shop = facts(money={"rejects": "whole spares"})
    row = row_of(shop, "plug-6-20", "used")
    assert named(moved(shop, line(LineKind.PART, offer_row=row))) == {f"price of offer {row}": Bend.ALONG}
    assert moved(shop, line(LineKind.LABOR, Pocket.OWN_TIME, offer_row=row, crew="owner")) == ()


def test_what_comes_back_moves_with_price_and_share_and_discount() -> None:
    shop = facts(money={"discount_rate": ["1 %", "3 %", "6 %"]})
    row = row_of(shop, "plug-6-20")
    sold = moved(shop, line(LineKind.RESALE, Pocket.COMES_BACK, year=4, offer_row=row))
    assert named(sold) == {
        f"price of offer {row}": Bend.ALONG,
        "resale of plug, new": Bend.ALONG,
        "discount rate": Bend.COMPOUND,
    }
    assert [mover.years for mover in sold if mover.figure.name == "discount rate"] == [-4]


def test_growth_moves_a_line_by_the_years_its_price_had_grown() -> None:
    shop = facts(money={"growth": {"parts": [0, "1 %", "3 %"], "labor": ["-1 %", 0, "2 %"]}})
    row = row_of(shop, "plug-6-20")
    bought = moved(shop, line(LineKind.RESALE, Pocket.COMES_BACK, year=4, offer_row=row, grown_years=2))
    assert [m.years for m in bought if m.figure.name == "growth of parts"] == [2]
    call = moved(shop, line(LineKind.CALL_OUT, year=3, grown_years=3))
    assert [(m.figure.name, m.years) for m in call] == [("growth of labor", 3)]
    assert moved(shop, line(LineKind.CALL_OUT)) == ()


def test_cash_of_today_follows_no_rate_and_no_weight() -> None:
    scenarios = [scenario(), scenario() | {"name": "other"}]
    for one, weight in zip(scenarios, (["40 %", "60 %", "80 %"], "40 %"), strict=True):
        one["weight"] = weight
    shop = facts(scenarios=scenarios, money={"discount_rate": ["1 %", "3 %", "6 %"]})
    name = shop.shop.scenarios[0].name
    later = moved(shop, line(LineKind.CALL_OUT, year=2, scenario=name))
    assert {m.bend for m in later} == {Bend.COMPOUND, Bend.WEIGHT}
    assert [len(m.beside) for m in later if m.bend is Bend.WEIGHT] == [2]
    today = Uncertain(shop).grouped([line(LineKind.CALL_OUT)])
    assert today.cash_today == {(): 10_000}


def test_lines_that_follow_the_same_figures_are_one_sum() -> None:
    shop = facts()
    row = row_of(shop, "plug-6-20")
    lines = [line(LineKind.PART, offer_row=row), line(LineKind.TAX, offer_row=row), line(LineKind.PERMIT)]
    assert sorted(Uncertain(shop).grouped(lines).worth.values()) == [10_000, 20_000]


def test_every_store_price_is_a_figure_of_its_own() -> None:
    shop = facts()
    rows = [o.row for o in shop.catalog.offers]
    found = Uncertain(shop).grouped(line(LineKind.PART, offer_row=row) for row in rows)
    assert len(found.worth) == len(rows) == len(store_offers()) + 1


def test_a_shop_by_wall_drop_has_the_mean_and_variance_of_the_closed_form() -> None:
    """Symmetric ranges leave the mean at the likely total; every offer errs alone by 15 % (10 %, never seen: 1.5 times),
    and a range of 0.5 to 1.5 h about 1 h has a spread of 0.5 / sqrt(7) of it."""
    kinds = [kind | {"moves_with": ""} for kind in KINDS]
    shop = Facts(
        make_shop([SAW | {"ways": {"only": ["wall drop"]}}]), make_catalog(kinds=kinds, hours=HALF_OFF)
    )
    plan = best_plans(Bench.over(shop, shop.shop.money.surplus), 1)[0]
    prices: dict[int, int] = defaultdict(int)
    for entry in plan.lines:
        prices[entry.offer_row] += entry.present_value_cents * (entry.offer_row > 0)
    cable = sum(entry.present_value_cents for entry in plan.lines if entry.task == "run-cable")
    variance = sum((0.15 * cents) ** 2 for cents in prices.values()) + (cable * 0.5) ** 2 / 7
    assert len(prices) > 3
    assert cable
    found = how_sure([Drawable(shop, plan)], Settings(3, 40_000)).plans[0]
    assert found.spread_cents == pytest.approx(variance**0.5, rel=0.02)
    assert found.total.median_cents == pytest.approx(plan.present_value_cents, rel=0.002)
    # close to normal, a tenth is beyond 1.2816 spreads
    assert found.total.high_cents - plan.present_value_cents == pytest.approx(
        1.2816 * variance**0.5, rel=0.05
    )
