"""What `explain --line` says of ranges, held against the figures that the draws move, which are found elsewhere.

Shops and figures are invented.
"""

from decimal import Decimal
from typing import Any

import pytest
from strategies import KINDS, SAW, make_catalog, make_shop, offer, scenario

from costplan.circuits.facts import Facts
from costplan.files.yaml_reader import parse_yaml, place_by_names
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.reports.line_ranges import line_ranges
from costplan.studies.case import SHOP_FILE
from costplan.studies.uncertain import Uncertain

SCENARIO = scenario()["name"]
USED = offer("plug-6-20", "store", [3, 4, 8]) | {"condition": "used"}
PLUG = {"resale": {"used": [0, "20 %", "40 %"]}, "reject": {"used": ["5 %", "10 %", "20 %"]}}
MONEY = {
    "discount_rate": ["1 %", "3 %", "6 %"],
    "growth": {
        "parts": [0, "1 %", "3 %"],
        "labor": ["-1 %", "1 %", "2 %"],
        "electricity": ["1 %", "2 %", "9 %"],
    },
    "electricity_per_kwh": [0.1, 0.2, 0.45],
}
TURNS = {"times_per_year": [1, 2, 5], "machines": ["saw"], "among": ["bench A", "bench B"]}
CALM = {"name": "calm", "weight": "40 %"}
CREW = {"name": "electrician", "role": "electrician", "rate": [90, 100, 130]}
TEXT = """
money:
  discount_rate: [1 %, 3 %, 6 %]
scenarios:
  - name: SCENARIO
    weight: 40 %
  - {name: calm, weight: [20 %, 60 %, 80 %]}
""".replace("SCENARIO", SCENARIO)
LABOR = """tasks:
  - id: run-cable
    hours: [0.5, 1, 1.5]
"""


def facts() -> Facts:
    kinds = [kind | PLUG if kind["kind"] == "plug" else kind for kind in KINDS]
    busy = {"name": SCENARIO, "weight": ["40 %", "60 %", "80 %"], "rearranged": TURNS}
    shop = make_shop([SAW], scenarios=[busy, CALM], money=MONEY, crews=[CREW])
    return Facts(shop, make_catalog(more_offers=[USED], kinds=kinds))


ONE = facts()
ROW = next(each.row for each in ONE.catalog.offers if each.condition == "used")
HOURS = (Decimal("0.5"), Decimal(1), Decimal("1.5"))


def line(kind: LineKind, pocket: Pocket = Pocket.CASH, **more: Any) -> Line:
    own = {"year": 0, "scenario": "", "what": "thing", "machine": "", "trace": "labor.yaml"} | more
    return Line(kind=kind, pocket=pocket, amount_cents=100, present_value_cents=100, **own)


LATER = {"year": 2, "scenario": SCENARIO, "grown_years": 2}
LINES = {
    "a used part": line(LineKind.PART, offer_row=ROW),
    "one bought later": line(LineKind.PART, offer_row=ROW, forecast=True, **LATER),
    "a cut charge": line(LineKind.CUT, offer_row=ROW),
    "what may fail": line(LineKind.RISK, Pocket.ALLOWANCE, offer_row=ROW),
    "what may fail later": line(LineKind.RISK, Pocket.ALLOWANCE, offer_row=ROW, forecast=True, **LATER),
    "looking at it later": line(
        LineKind.LABOR, Pocket.OWN_TIME, crew="owner", offer_row=ROW, forecast=True, **LATER
    ),
    "what comes back": line(LineKind.RESALE, Pocket.COMES_BACK, offer_row=ROW, year=4),
    "an hour": line(LineKind.LABOR, crew="electrician", task="run-cable", hours_range=HOURS),
    "an hour exactly": line(LineKind.LABOR, crew="electrician", hours_range=(Decimal(1),) * 3),
    "own time looking at it": line(LineKind.LABOR, Pocket.OWN_TIME, crew="owner", offer_row=ROW),
    "a call": line(LineKind.CALL_OUT, **LATER),
    "a move in turn": line(LineKind.CALL_OUT, in_turn=True, **LATER),
    "power": line(LineKind.ELECTRICITY, **LATER),
}


@pytest.mark.parametrize("name", LINES)
def test_the_ranges_of_a_line_are_those_that_the_draws_move(name: str) -> None:
    """Draws may have hours as a factor and every figure in another unit, so ends are compared as shares of the likely."""
    ((group, _),) = Uncertain(ONE).grouped([LINES[name]]).worth.items()
    drawn = [(mover.figure.low, mover.figure.likely, mover.figure.high) for mover in group]
    found = [tuple(map(float, one.ends)) for one in line_ranges(ONE, LINES[name], {})]
    assert sorted(map(shares, found)) == pytest.approx(sorted(map(shares, drawn)))
    assert found or name == "a cut charge"


def shares(ends: tuple[float, ...]) -> float:
    """One number of three that says which figure it is, whatever its unit."""
    low, likely, high = ends
    return low / likely + 1000 * high / likely


def test_a_range_is_told_with_its_three_what_counts_and_its_place() -> None:
    """By hand: (3 + 4 x 4 + 8) / 6 = 4.50 a plug; (90 + 400 + 130) / 6 = 103.333 an hour, to a tenth of a cent."""
    (price,) = line_ranges(ONE, LINES["a used part"], {})
    assert price.words() == (
        f"price, USD per each: low 3.00, likely 4.00, high 8.00; their mean counts, 4.50 ((low + 4 likely + high) / 6); "
        f"offers.csv:{ROW}"
    )
    rate, hours = line_ranges(ONE, LINES["an hour"], {"labor.yaml": parse_yaml(LABOR, "labor.yaml").places})
    assert (str(rate.counts / 100), rate.where) == ("103.333", "the shop file")
    assert (hours.counts, hours.where) == (1, "labor.yaml:3")
    places = {SHOP_FILE: parse_yaml(TEXT, "shed/shop.yaml").places}
    assert [found.where for found in line_ranges(ONE, LINES["a call"], places)] == [
        "shop.yaml",  # it says nothing of growth
        "shop.yaml:3",
        "shop.yaml:6",
    ]


def test_a_list_is_entered_by_the_names_of_its_entries() -> None:
    places = parse_yaml(TEXT, "shop.yaml").places
    assert place_by_names(places, "scenarios", "calm", "weight") == "shop.yaml:7"
    assert place_by_names(places, "scenarios", "busy", "weight") == "shop.yaml"
