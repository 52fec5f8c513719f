"""Quoted ways over the years, and quotes in the place of recipes; every amount is invented, in whole dollars."""

from decimal import Decimal
from typing import Any

import pytest
from strategies import PANEL, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.facts import Facts
from costplan.circuits.quoted_work import quoted_bundle
from costplan.circuits.ways import Way
from costplan.ledger.ledger import moments
from costplan.ledger.lines import LineKind, Pocket
from costplan.model.choices import Method
from costplan.model.shop import Shop
from costplan.program.ranked import Ranked
from costplan.studies.protection_cost import unknown_words
from costplan.years.calendar import lives, scenarios_of
from costplan.years.quoted import quoted_stream
from costplan.years.stream import Standing

Row = dict[str, Any]
PUT_IN = {"money": 100, "hours": 2, "permit": True}
MOVE = {"money": 7, "own_hours": 1}
TO_C = move(2, "saw", "bench C")
BACK = move(4, "saw", "bench A")
SHOP_MOVES = {"year": 2, "shop_moves": True}
LEAVES = {"year": 2, "machine": "saw", "leaves": True}


def quoted(*events: Row, years: int = 6, quote: Row | None = None, **shop: Any) -> Ranked:
    """A saw by one quoted way."""
    way = {"name": "bus", "method": "cord", "put_in": PUT_IN} | (quote or {})
    made: Shop = make_shop([SAW], scenarios=[scenario(*events)], years=years, quoted_ways=[way], **shop)
    return ranked(made, make_catalog())[0]


def money(found: Ranked, kind: LineKind = LineKind.QUOTE) -> list[tuple[int, int]]:
    """Years with dollars."""
    return sorted((line.year, int(line.amount_cents / 100)) for line in found.lines if line.kind is kind)


def labor(found: Ranked, crew: str) -> list[tuple[int, int]]:
    """Years with hours of a crew."""
    lines = [line for line in found.lines if line.kind is LineKind.LABOR and line.crew == crew]
    return sorted((line.year, int(line.hours or 0)) for line in lines)


def test_a_quoted_way_is_put_in_today_and_nothing_else() -> None:
    found = quoted()
    assert money(found) == [(0, 100)]
    assert labor(found, "electrician") == [(0, 2)]
    assert money(found, LineKind.CALL_OUT) == [(0, 50)]
    assert money(found, LineKind.PERMIT) == [(0, 60)]
    assert money(found, LineKind.PART) == []
    assert [way.quoted for way in found.plan.ways["saw"]] == ["bus"]


def test_without_move_every_new_place_is_put_in_anew_and_an_old_one_serves_again() -> None:
    found = quoted(TO_C, BACK)
    assert money(found) == [(0, 100), (2, 100)]
    assert labor(found, "electrician") == [(0, 2), (2, 2)]
    assert labor(found, "owner") == []  # moving the machine itself is not charged


def test_with_move_it_goes_along_wherever_it_goes() -> None:
    found = quoted(TO_C, BACK, quote={"move": MOVE})
    assert money(found) == [(0, 100), (2, 7), (4, 7)]
    assert labor(found, "owner") == [(2, 1), (4, 1)]
    assert money(found, LineKind.PERMIT) == [(0, 60)]


@pytest.mark.parametrize("back", ["bench A", "bench B"])
def test_several_moves_in_a_year(back: str) -> None:
    events = (TO_C, move(2, "saw", back))
    assert money(quoted(*events, quote={"move": MOVE})) == [(0, 100), (2, 7), (2, 7)]
    anew = [(0, 100), (2, 100)] if back == "bench A" else [(0, 100), (2, 100), (2, 100)]
    assert money(quoted(*events)) == anew


@pytest.mark.parametrize("move_along", [None, MOVE])
def test_when_the_shop_moves_all_is_put_in_again(move_along: Row | None) -> None:
    assert money(quoted(SHOP_MOVES, quote={"move": move_along})) == [(0, 100), (2, 100)]


def test_retooling_changes_nothing() -> None:
    retool = {"year": 2, "machine": "saw", "retool": {"volts": 240, "amps": 24}}
    assert money(quoted(retool)) == [(0, 100)]


def test_renewals_come_every_so_many_years_and_not_in_the_last() -> None:
    renew = {"every": 2, "money": 30, "hours": 1}
    found = quoted(quote={"renew": renew})
    assert money(found) == [(0, 100), (2, 30), (4, 30)]
    assert labor(found, "electrician") == [(0, 2), (2, 1), (4, 1)]
    assert money(quoted(quote={"renew": renew | {"every": 6}})) == [(0, 100)]


def test_a_move_along_does_not_restart_the_years_to_its_renewal() -> None:
    found = quoted(TO_C, quote={"move": MOVE, "renew": {"every": 3, "money": 30}})
    assert money(found) == [(0, 100), (2, 7), (3, 30)]


def test_what_is_put_in_anew_is_new() -> None:
    found = quoted(TO_C, quote={"renew": {"every": 3, "money": 30}})
    assert money(found) == [(0, 100), (2, 100), (5, 30)]


def test_nothing_is_renewed_once_the_machine_is_gone() -> None:
    found = quoted(LEAVES, quote={"renew": {"every": 1, "money": 30}, "comes_back": 20})
    assert money(found) == [(0, 100), (1, 30)]
    assert money(found, LineKind.RESALE) == []


def test_what_is_in_use_comes_back_at_the_end() -> None:
    """What a quote says comes back is money of the end: no growth of prices touches it, and it is no cash of a year."""
    grown = {"discount_rate": "0 %", "growth": {"parts": "10 %"}}
    found = quoted(TO_C, quote={"comes_back": 20}, money=grown)
    assert money(found, LineKind.RESALE) == [(6, -20)]
    assert [line.pocket for line in found.lines if line.kind is LineKind.RESALE] == [Pocket.COMES_BACK]


@pytest.mark.parametrize(
    ("machine", "present", "why", "year"),
    [({}, True, "is there already", 0), ({"arrives": 2}, False, "arrives", 2)],
)
def test_what_is_there_today_is_there_for_who_is_here_today(
    machine: Row, present: bool, why: str, year: int
) -> None:
    """A machine that comes later finds nothing of its own; it draws what its plate says, so the quote adds no load."""
    quote = {
        "name": "bus",
        "method": "cord",
        "put_in": PUT_IN,
        "there_today": True,
        "panel": "panel",
        "poles": 2,
    }
    made = make_shop([SAW | machine], scenarios=[scenario()], years=6, quoted_ways=[quote])
    way = Way(Method.CORD, "panel", None, quoted="bus")
    fate = {"as planned": lives(made, made.scenarios[0])["saw"]}
    known = quoted_stream(made, made.machines[0], way, made.quoted_ways[0], fate)

    assert [(use.present, use.why, use.since) for use in known.uses] == [(present, why, (year, 0))]
    assert known.at("as planned", year) == Standing(year, "panel", 2, 0)


def test_a_quoted_way_takes_the_poles_it_says_also_while_one_waits() -> None:
    """Two poles are free: the one left at bench A, taken again in year 4, holds them while it waits."""
    enough = quoted(TO_C, BACK, quote={"panel": "panel", "poles": 2}, panels=[PANEL | {"spaces_free": 4}])
    assert money(enough) == [(0, 100), (2, 100)]
    panel = [PANEL | {"spaces_free": 2}]
    tight = quoted(TO_C, BACK, quote={"panel": "panel", "poles": 2}, panels=panel)
    assert money(tight) == [(0, 100), (2, 100), (4, 100)]


def test_the_panel_says_how_much_room_a_waiting_one_takes() -> None:
    quote = {"panel": "panel", "poles": 2}
    way = {"name": "bus", "method": "cord", "put_in": PUT_IN} | quote
    made = make_shop([SAW], scenarios=[scenario(TO_C, BACK)], years=6, quoted_ways=[way])
    found = ranked(made, make_catalog())[0]
    known = moments(Facts(made, make_catalog()), found.plan, found.chosen, scenarios_of(made)[0])
    rooms = {year: moment.panels()[0].by_circuits for year, moment in known}
    assert [rooms[year] for year in (0, 2, 4)] == [2, 4, 2]


def test_each_of_a_group_is_paid_for() -> None:
    way = {"name": "bus", "method": "cord", "put_in": PUT_IN, "move": MOVE, "comes_back": 20}
    made = make_shop(
        [SAW | {"count": 3}],
        scenarios=[scenario(TO_C | {"how_many": 2})],
        years=6,
        quoted_ways=[way],
    )
    found = ranked(made, make_catalog())[0]
    assert sum(dollars for _, dollars in money(found)) == 3 * 100 + 2 * 7
    assert sum(dollars for _, dollars in money(found, LineKind.RESALE)) == -60
    assert money(found, LineKind.CALL_OUT) == [(0, 50)]


# quotes in the place of recipes -----------------------------------------------------------------------


def by_recipe(quote: Row, **more: Any) -> Ranked:
    only = {"ways": {"only": ["wall drop"], "hard_wired": False}}
    recipes = {"wall drop": {"extra": 5, "quote": quote}}
    made = make_shop([SAW | only], scenarios=[scenario()], **more)
    return ranked(made, make_catalog(recipes=recipes))[0]


def test_a_quote_for_a_run_counts_runs_and_feet() -> None:
    """25 ft are laid, and 5 more bought; the quote holds the receptacle and what it takes, not the breaker."""
    found = by_recipe({"per_run": 40, "per_ft": 2, "hours_per_run": 1, "own_hours_per_ft": "0.2"})
    assert money(found) == [(0, 90)]
    assert labor(found, "owner") == [(0, 5)]
    assert labor(found, "electrician") == [(0, 1), (0, 1)]  # of the quote, and landing in the panel


@pytest.mark.parametrize(
    ("hired", "own", "money_permit", "work_permits"),
    [(1, 0, False, [True]), (0, 1, False, [True]), (1, 1, False, [True, False]), (0, 0, True, [])],
)
def test_one_permit_a_quote(hired: int, own: int, money_permit: bool, work_permits: list[bool]) -> None:
    """Asked for by the hired hours, else by the owner's own, else by the money."""
    made = quoted_bundle("x", Decimal(500), (Decimal(hired),) * 3, (Decimal(own),) * 3, permit=True)
    assert [work.permit for work in made.work] == work_permits
    assert [charge.permit for charge in made.charges] == [money_permit]


def test_a_quote_without_a_permit_asks_for_none() -> None:
    made = quoted_bundle("x", Decimal(0), (Decimal(1),) * 3, (Decimal(0),) * 3, permit=False)
    assert [work.permit for work in made.work] == [False]
    assert made.charges == ()


def test_of_quotes_alone_no_edition_is_asked_for() -> None:
    """What is quoted has no circuit of the catalog whose protection could turn on the code's edition."""
    way = {"name": "bus", "method": "cord", "put_in": PUT_IN}
    for quotes, asked in (([way], False), ([], True)):
        shop = make_shop([SAW], quoted_ways=quotes, code={})
        words = unknown_words(Facts(shop, make_catalog()), ranked(shop, make_catalog())[0])
        assert any("edition" in entry for entry in words) is asked
