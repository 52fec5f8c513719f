"""Heavier wire in a run as an option: worked by hand, no source; invented prices.

A run of 90 ft, 95 bought, at 1.10 a foot with 12 AWG and 1.75 with 10 AWG, 4.2 h at 90.00 and a visit of 100.00, 4 %. One of
30 A that comes at the end of year 4 needs another breaker and outlet whichever wire is there; 12 AWG must then be run anew in
the same visit: 4.2 x 90.00 + 95 x 1.75 = 544.25 more, x 0.854804 = 465.23. Today 95 x 0.65 = 61.75 more. (The case it is taken
from has 0.4 h more to pull the heavier wire, 97.75 in all; here pulling takes the same hours.)
"""

import re
from decimal import Decimal
from typing import Any

import pytest
from command import ROOT
from strategies import HOURS, UNSALABLE, make_catalog, make_shop, store_offers

from costplan.circuits.facts import Facts
from costplan.model.nameplate import Retool
from costplan.program.clock import Clock
from costplan.reports.explained_data import _head
from costplan.reports.heavier_text import heavier_data, heavier_text
from costplan.studies.explained import RankedShop, opened
from costplan.studies.heavier_wire import Heavier, NoHeavierError, heavier

CREWS: list[dict[str, Any]] = [
    {"name": "owner", "role": "owner", "rate": 0, "pace": 1},
    {"name": "electrician", "role": "electrician", "rate": 90, "pace": 1, "call_out": 100},
]
NO_TIME = dict.fromkeys(HOURS, ("0", "0", "0")) | {"run-cable": ("4.2", "4.2", "4.2")}
SAW = {"name": "saw", "at": "bench A", "volts": 120, "amps": 9, "plug": "NEMA 5-20"}
PRICES = {"nm-12-2": "1.10", "nm-10-2": "1.75", "box": 0, "cover": 0}
OFFERS = [one | ({"price": PRICES[one["part"]]} if one["part"] in PRICES else {}) for one in store_offers()]
ROUTES = [{"from": "panel", "to": "bench A", "fixed": 90, "cord": 90}]
BIGGER = Retool(volts=240, amps=Decimal(24))


def case(only: str = "wall drop", offers: list[dict[str, Any]] | None = None, **of_saw: Any) -> RankedShop:
    saw = SAW | {"ways": {"only": [only], "hard_wired": False}} | of_saw
    shop = make_shop([saw], years=8, money={"discount_rate": "4 %"}, routes=ROUTES)
    catalog = make_catalog(offers or OFFERS, kinds=UNSALABLE, crews=CREWS, hours=NO_TIME)
    return opened(Facts(shop, catalog))


@pytest.fixture(scope="module")
def opened_case() -> RankedShop:
    return case()


@pytest.fixture(scope="module")
def found(opened_case: RankedShop) -> Heavier:
    return heavier(opened_case, "saw", BIGGER, 4, Clock())


def test_what_it_costs_saves_and_from_which_chance_it_pays(found: Heavier) -> None:
    assert (found.awg, found.heavier_awg) == ("12", "10")
    assert (found.cash_today_cents, found.more_cents) == (6175, 6175)
    assert found.saved_cents == pytest.approx(46_523, abs=3)
    # 61.75 / 465.23; 12 %: 55.83 - 61.75; 20 %: 93.05 - 61.75; 40 %: 186.09 - 61.75
    assert found.break_even == pytest.approx(Decimal("0.1327"), abs=Decimal("0.0001"))
    worth = [found.worth_cents(Decimal(chance) / 100) for chance in (12, 20, 40)]
    assert worth == pytest.approx([-592, 3130, 12434], abs=2)


def test_it_is_told(opened_case: RankedShop, found: Heavier) -> None:
    text = " ".join(heavier_text(found, "amps 24, volts 240", 80).split())
    assert "10 AWG in place of 12" in text
    assert "It costs 61.75 more today" in text
    assert (
        "It pays where that is likelier than 13.3 %. You are 403.48 ahead if it comes, and 61.75 out" in text
    )
    assert "25 % 116.31 +54.56" in text
    data = heavier_data(opened_case, found, "amps 24, volts 240")
    page = (ROOT / "costplan" / "guide" / "json-and-csv.md").read_text(encoding="utf-8")
    told = [row.split("|")[1] for row in page.splitlines() if "| heavier wire |" in row]
    assert set(re.findall(r"`(\w+)`", "".join(told))) == set(data) - set(_head(opened_case, ""))
    assert (data["explains"], data["more"], data["break_even"]) == (
        "heavier wire",
        Decimal("61.75"),
        Decimal("0.1327"),
    )


def test_later_it_is_worth_less(opened_case: RankedShop) -> None:
    later = heavier(opened_case, "saw", BIGGER, 6, Clock())
    # 544.25 x 0.790315
    assert later.saved_cents == pytest.approx(43_013, abs=3)


def test_it_is_worth_nothing_where_todays_wire_may_stay_or_the_heavier_one_goes_too(
    opened_case: RankedShop,
) -> None:
    stays = heavier(opened_case, "saw", Retool(volts=120, amps=Decimal(16)), 4, Clock())
    assert stays.saved_cents == 0
    assert stays.break_even is None
    assert "the heavier wire saves nothing" in " ".join(heavier_text(stays, "amps 16, volts 120", 80).split())


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"only": "cord"}, "saw hangs on a cord in plan 1"),
        (
            {"offers": [one for one in store_offers() if not one["part"].startswith("nm-10")]},
            "nobody sells 10 AWG or heavier new for this run of saw",
        ),
    ],
)
def test_where_there_is_none_to_choose_it_says_why(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(NoHeavierError, match=words):
        heavier(case(**changes), "saw", BIGGER, 4, Clock())
