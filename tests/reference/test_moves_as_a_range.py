"""How often machines move, as a range: two cases worked by hand, no source; invented prices, hours and shops.

Each total is a straight line in the moves, so its percentiles are the totals at those of the beta-PERT distribution of the
moves. "Evenly over the years" is one line: moves a year x what a move costs x the sum of the years' factors. Drawn figures may
differ by 1 % and a chance by half a point in a hundred.
"""

from dataclasses import replace
from decimal import Decimal

import pytest
from strategies import SAW, make_catalog, make_shop, ranked

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.money import to_cents
from costplan.model.spelled_out import moves_of
from costplan.program.ranked import Ranked
from costplan.studies.sureness import Drawable, Settings, Sureness, how_sure, sampled

DRAWS = Settings(1, 200_000)
CATALOG = make_catalog()
PLAIN = ranked(make_shop([SAW]), CATALOG)[0]


def facts_of(often: list[str]) -> Facts:
    rearranged = {"times_per_year": often, "among": ["bench A", "bench B"]}
    busy = {"name": "busy", "weight": 1, "rearranged": rearranged}
    return Facts(make_shop([SAW], years=12, scenarios=[busy]), CATALOG)


def often_of(facts: Facts) -> Decimal:
    """The moves a year that plans reckon with: whole moves, over the years in which they may fall."""
    rearranged, years = facts.written.scenarios[0].rearranged, facts.written.years
    assert rearranged is not None
    return Decimal(len(moves_of(rearranged, years))) / (years - 1)


def line(year: int, dollars: str | Decimal, scenario: str = "", *, in_turn: bool = False) -> Line:
    cents = to_cents(Decimal(dollars) * 100)
    kind = LineKind.CALL_OUT
    return Line(year, scenario, kind, Pocket.CASH, "what it takes", "", cents, cents, "", in_turn=in_turn)


def plan(today: str, moves: Decimal, sold: str = "0") -> Ranked:
    """So much today, so many moves as worth today, and what comes back at the end as worth today."""
    lines = (line(0, today), line(1, moves, "busy", in_turn=True), line(1, sold, "busy"))
    return replace(PLAIN, lines=lines)


def evenly(rate: str, last: int) -> Decimal:
    """The sum of the factors of years 1 to the last but one."""
    return sum(((1 + Decimal(rate)) ** -year for year in range(1, last)), Decimal(0))


def drawn(facts: Facts, fixed: Ranked, cords: Ranked) -> tuple[Sureness, float, float, float]:
    """What the draws say, the means of both totals, and the standard deviation of the gap, in dollars."""
    pair = [Drawable(facts, fixed), Drawable(facts, cords)]
    totals = sampled(pair, DRAWS).totals / 100
    return how_sure(pair, DRAWS), totals[0].mean(), totals[1].mean(), (totals[0] - totals[1]).std()


def dollars(found: Sureness, place: int) -> tuple[float, float, float]:
    total = found.plans[place].total
    return total.low_cents / 100, total.median_cents / 100, total.high_cents / 100


def test_a_clear_answer() -> None:
    # [0, 0.2, 0.6] moves a year, 6 years, 4 %; a move 455.00 or 15.00; today 600.00 or 802.50
    factors = evenly("0.04", 6)
    assert round(factors, 6) == Decimal("4.451822")
    facts = facts_of(["0", "0.2", "0.6"])
    fixed, cords = (
        plan(today, often_of(facts) * move * factors) for today, move in (("600.00", 455), ("802.50", 15))
    )
    found, mean_fixed, mean_cords, apart = drawn(facts, fixed, cords)
    assert dollars(found, 0) == pytest.approx((785.98, 1056.74, 1383.24), rel=0.01)
    assert dollars(found, 1) == pytest.approx((808.63, 817.56, 828.32), rel=0.01)
    assert (mean_fixed, mean_cords) == pytest.approx((1072.64, 818.08), rel=0.002)
    assert apart == pytest.approx(216.55, rel=0.01)
    # each way with moves of its own would say 86.3 %, a normal curve 90.3 %, a triangle 91.1 %, a flat range 82.8 %
    assert found.plans[1].cheapest == pytest.approx(0.873, abs=0.005)


def test_the_mean_says_cords_and_the_odds_say_fixed() -> None:
    # [0, 0.1, 1.5] moves of a pair a year, 8 years, 3 %; 670.00 or 20.00 a move; today 1,060.00 or 2,460.00; 236.82 back
    factors = evenly("0.03", 8)
    assert round(factors, 6) == Decimal("6.230283")
    facts = facts_of(["0", "0.1", "1.5"])
    fixed = plan("1060.00", often_of(facts) * 670 * factors)
    cords = plan("2460.00", often_of(facts) * 20 * factors, "-236.82")
    found, mean_fixed, mean_cords, apart = drawn(facts, fixed, cords)
    assert dollars(found, 0) == pytest.approx((1308.32, 2175.35, 3768.56), rel=0.01)
    assert dollars(found, 1) == pytest.approx((2230.59, 2256.47, 2304.03), rel=0.01)
    assert (mean_fixed, mean_cords) == pytest.approx((2381.86, 2262.64), rel=0.005)
    assert apart == pytest.approx(936.97, rel=0.01)
    # below one half, though cords cost less on average; a normal curve would say 54.7 %, a triangle 70.0 %
    assert found.plans[1].cheapest == pytest.approx(0.467, abs=0.005)
    assert found.groups == ((1, 2),)
