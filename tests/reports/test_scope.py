"""The scope sheet: every circuit and quantity of the plan, no price, nothing left open for a bidder."""

import csv
import io
import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest
from strategies import (
    CREWS,
    DRILL,
    LATHE,
    PANEL,
    SAW,
    Row,
    make_catalog,
    make_shop,
    move,
    scenario,
    store_offers,
)

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.reports.page import scope_page
from costplan.reports.plan_tables import shared_text
from costplan.reports.proof import NOT_PROVEN
from costplan.reports.scope import GearRow, _priced, scope_sheet
from costplan.reports.scope_text import CSV_COLUMNS, scope_csv, scope_text
from costplan.reports.shopping import shopping_list
from costplan.reports.words import difference
from costplan.studies.comparison import Comparison, compare
from costplan.studies.protection_cost import PLACE, turning_on
from costplan.studies.wanted import Wanted


@cache
def compared() -> Comparison:
    shop = make_shop([SAW, DRILL, LATHE], scenarios=[scenario(move(2, "saw", "bench D"))])
    return compare(Facts(shop, make_catalog()), Wanted(plans=3))


def held(machines: list[Row], way: str, **more: object) -> Comparison:
    """The shop with every machine powered one way."""
    facts = Facts(make_shop(machines, **more), make_catalog())
    return compare(facts, Wanted(plans=1, held={machine["name"]: way for machine in machines}))


def test_every_machine_of_today_has_a_circuit_with_nothing_left_open() -> None:
    sheet = scope_sheet(compared())
    assert sorted(name for row in sheet.circuits for name in row.machines) == ["drill", "lathe", "saw"]
    assert [row.number for row in sheet.circuits] == [1, 2, 3]
    for row in sheet.circuits:
        words = (row.nameplate, row.place, row.panel, row.method, row.conductors, row.outlet, row.state)
        assert all(words), row
        assert min(row.volts, row.phases, row.breaker_a, row.poles, row.run_ft) > 0


def test_a_wall_drop_by_hand() -> None:
    """25 ft of route and 5 ft extra; 16 A at 240 V take 20 A, 12 AWG, a NEMA 6-20R."""
    (row,) = scope_sheet(held([SAW], "wall drop")).circuits
    assert (row.place, row.panel, row.run_ft) == ("bench A", "panel", 30)
    assert (row.volts, row.phases, row.breaker_a, row.poles) == (240, 1, 20, 2)
    assert row.current_a == 16
    assert row.conductors == "2 × 12 AWG and 12 AWG ground, cable in the wall"
    assert row.outlet == "receptacle NEMA 6-20R"
    assert row.cord == ""


def test_a_cord_is_the_owner_s_and_its_outlet_is_beside_the_panel() -> None:
    """The cord is 25 ft of way and 5 ft extra."""
    (row,) = scope_sheet(held([SAW], "cord")).circuits
    assert (row.place, row.method, row.run_ft) == ("beside panel", "outlet beside panel", 5)
    assert row.cord == "owner's cord, 30 ft, 3 × 12 AWG with the ground"


def test_a_hard_wired_machine_ends_in_a_disconnect() -> None:
    wired = SAW | {"ways": {"hard_wired": True}}
    (row,) = scope_sheet(held([wired], "wall drop, hard-wired")).circuits
    assert row.outlet == "disconnect, 2-pole, 30 A 240 V or more, lockable"


def test_the_sheet_says_where_a_cord_from_todays_outlet_goes_later() -> None:
    """Bench D is 19 ft from bench A over the floor; at 10 ft of ceiling a cord goes up 6, across 19 and down 6 ft: 31 ft."""
    far = [{"name": "panel wall", "at": [0, 0]}, {"name": "bench A", "at": [20, 0]}]
    far += [{"name": "bench D", "at": [39, 0]}]
    shop: Row = {
        "places": far,
        "panels": [PANEL | {"place": "panel wall"}],
        "building": {"ceiling_height": 10},
        "scenarios": [scenario(move(2, "saw", "bench D"))],
        "routes": [],
    }
    at = "line 1, outlet at bench A: the cord of saw goes later to bench D,"
    kept = held([SAW | {"own_cord": 31}], "wall drop", **shop)
    assert scope_sheet(kept).reach == (f"{at} 31 ft hung, up from the outlet, across and down (year 2)",)
    assert (
        scope_sheet(held([SAW | {"own_cord": 30}], "wall drop", **shop)).reach == ()
    )  # another outlet is made
    measured = shop | {"routes": [{"from": "bench A", "to": "bench D", "cord": 21}]}
    kept = held([SAW | {"own_cord": 21}], "wall drop", **measured)
    assert scope_sheet(kept).reach == (f"{at} 21 ft as measured (year 2)",)
    near = [*far[:2], {"name": "bench D", "at": [25, 0]}]
    kept = held([SAW], "wall drop", **(shop | {"places": near}))
    assert scope_sheet(kept).reach == (f"{at} 5 ft from its outlet (year 2)",)
    # From the panel 5 ft up to the ceiling, 39 across, 6 down.
    cord = scope_sheet(held([SAW], "cord", **shop))
    assert cord.reach == (
        "line 1, outlet beside panel: the cord of saw goes later to bench D, 50 ft hung (year 2)",
    )
    assert "bench D, 50 ft hung" in " ".join(scope_text(cord).split())


def test_machines_that_take_turns_share_a_row() -> None:
    turns = [SAW | {"takes_turns": "cutting"}, LATHE | {"at": "bench A", "takes_turns": "cutting"}]
    sheet = scope_sheet(held(turns, "wall drop"))
    assert [row.machines for row in sheet.circuits] == [("lathe", "saw")]
    assert sheet.circuits[0].nameplate.count("240 V 1-phase 16 A") == 2


def test_an_outlet_of_turns_is_told_with_the_most_that_goes_through_it_and_the_cord_of_each() -> None:
    """The saw draws 16 A over 25 + 5 ft, the lathe 12 A over 35 + 5 ft; one outlet beside the panel serves both."""
    turns = [SAW | {"takes_turns": "cutting"}, LATHE | {"amps": 12, "takes_turns": "cutting"}]
    comparison = held(turns, "cord")
    (row,) = scope_sheet(comparison).circuits
    assert row.machines == ("lathe", "saw")
    assert shared_text(comparison.facts, comparison.best, 80) == (
        "  lathe and saw share one outlet and its circuit: they take turns"
    )
    assert row.current_a == 16
    assert row.cord == (
        "lathe: owner's cord, 40 ft, 3 × 12 AWG with the ground; saw: owner's cord, 30 ft, 3 × 12 AWG with the ground"
    )


def test_machines_that_take_turns_at_two_places_share_a_breaker_and_its_poles() -> None:
    turns = [SAW | {"takes_turns": "cutting"}, LATHE | {"takes_turns": "cutting"}]
    comparison = held(turns, "wall drop")
    sheet = scope_sheet(comparison)
    breakers = [line.quantity for line in comparison.best.lines if line.what == "breaker 2p 20 A"]
    assert breakers == [1]
    assert [(row.machines, row.breaker_with) for row in sheet.circuits] == [
        (("saw",), "lathe"),
        (("lathe",), ""),
    ]
    assert "spaces free, counted in poles: 12 today, 10 after" in dict(sheet.site)["panel"]
    assert "on the breaker of lathe" in shared_text(comparison.facts, comparison.best, 80)
    assert "20 A 2-pole, the one of lathe" in " ".join(scope_page(sheet).split())
    (spliced,) = [note for note in sheet.notes if "runs on one breaker" in note]
    assert spliced.startswith(
        "bench C (lathe) and bench A (saw): runs on one breaker. A terminal takes one wire"
    )
    apart = scope_sheet(held([SAW, LATHE], "wall drop"))
    assert not [note for note in apart.notes if "runs on one breaker" in note]


def test_protection_of_two_receptacles_on_one_breaker_is_asked_and_counted_once() -> None:
    """One ground-fault breaker protects what is on it: two runs to two places, 5 times the plain breaker's price, once."""
    turns = [SAW | {"takes_turns": "cutting"}, LATHE | {"takes_turns": "cutting"}]
    comparison = held(turns, "wall drop", code={"edition": 2020, "occupancy": "commercial"})
    asked = [words for words in scope_sheet(comparison).asked if words.startswith("Ground-fault")]
    assert asked == [
        "Ground-fault protection of the receptacles at bench C and at bench A (lathe, NEMA 6-20 and saw, NEMA 6-20, on one "
        "breaker): is it required here? Price with: ____________ without: ____________"
    ]
    (turning,) = turning_on(PLACE, comparison.facts, comparison.best)
    assert {turning.machine, *turning.others} == {"lathe", "saw"}
    prices = {offer.part: offer.price_cents for offer in comparison.facts.catalog.offers}
    assert turning.all_cents == prices["breaker-2p-20-gf"] - prices["breaker-2p-20"]
    apart = held([SAW, LATHE], "wall drop", code={"edition": 2020, "occupancy": "commercial"})
    assert (
        sum(entry.all_cents for entry in turning_on(PLACE, apart.facts, apart.best)) == 2 * turning.all_cents
    )


def test_protection_is_asked_once_a_place_with_every_machine_named() -> None:
    both = [SAW, LATHE | {"at": "bench A"}, DRILL]
    code = {"edition": 2020, "occupancy": "commercial"}
    asked = [
        words for words in scope_sheet(held(both, "wall drop", code=code)).asked if words.startswith("Ground")
    ]
    assert asked == [
        "Ground-fault protection of the receptacles at bench A: is it required here? Price of each, with / without: "
        "lathe, NEMA 6-20 ____________ / ____________; saw, NEMA 6-20 ____________ / ____________",
        "Ground-fault protection of the receptacle at bench B (drill, NEMA 5-20): is it required here? Price with: "
        "____________ without: ____________",
    ]


def test_a_group_of_two_ways_has_a_line_for_each_and_work_names_its_own() -> None:
    """In the alternate two of four saws are on cords and two on drops; in the base all four are one line."""
    group = SAW | {"name": "saws", "count": 4}
    comparison = compare(Facts(make_shop([group]), make_catalog()), Wanted(plans=2))
    sheet = scope_sheet(comparison)
    assert [(row.number, row.count) for row in sheet.circuits] == [(1, 4)]
    (other,) = sheet.alternates
    at = {row.number: row.place for row in other.circuits}
    assert [(row.number, row.count) for row in other.circuits] == [(1, 2), (2, 2)]
    for row in other.adds:
        assert all(at[number] == row.place for number in row.lines)
    assert {number for row in other.adds for number in row.lines} == {
        number for number, place in at.items() if place != sheet.circuits[0].place
    }


def test_an_alternate_of_machines_that_take_turns_is_told_as_one() -> None:
    turns = [SAW | {"takes_turns": "cutting"}, LATHE | {"at": "bench A", "takes_turns": "cutting"}, DRILL]
    best, others = (held(turns, way).best for way in ("cord", "wall drop"))
    facts = held(turns, "cord").facts
    assert (
        difference(facts, others, best)
        == "drill by wall drop from panel, lathe and saw by wall drop from panel"
    )


def test_an_outlet_that_is_there_is_to_be_checked_not_made() -> None:
    there = {"place": "bench A", "panel": "panel", "method": "wall drop", "configuration": "NEMA 6-20"}
    sheet = scope_sheet(held([SAW], "wall drop", installed=[there]))
    assert [row.state for row in sheet.circuits] == ["outlet is there already: check it"]
    assert "there already: check it" in " ".join(scope_page(sheet).split())


def test_one_outlet_that_is_there_serves_one_machine() -> None:
    there = {"place": "bench A", "panel": "panel", "method": "wall drop", "configuration": "NEMA 6-20"}
    both = [SAW, LATHE | {"at": "bench A"}]
    states = [row.state for row in scope_sheet(held(both, "wall drop", installed=[there])).circuits]
    assert sorted(states) == ["new", "outlet is there already: check it"]


@pytest.mark.parametrize("rank", [1, 2, 3])
def test_quantities_are_those_of_the_plan_s_labor(rank: int) -> None:
    comparison = compared()
    sheet = scope_sheet(comparison, rank)
    asked: Counter[str] = Counter()
    for line in comparison.plans[rank - 1].lines:
        if line.kind is LineKind.LABOR and line.year == 0:
            asked[line.what] += line.quantity  # type: ignore[assignment]
    listed: Counter[str] = Counter()
    for row in (*sheet.work, *sheet.owner_does):
        listed[row.what] += row.quantity  # type: ignore[assignment]
    assert listed == asked
    assert listed["run cable"] == 3
    assert all(row.machines for row in sheet.work)


def dearer(times: int) -> Comparison:
    """The same shop where everything costs so many times as much, which changes no choice."""
    offers = [row | {"price": Decimal(str(row["price"])) * times} for row in store_offers()]
    money = ("rate", "call_out", "permit")
    crews = [
        crew | {name: Decimal(str(crew[name])) * times for name in money if name in crew} for crew in CREWS
    ]
    catalog = make_catalog(offers, crews=crews)
    return compare(Facts(make_shop([SAW, DRILL]), catalog), Wanted(plans=3))


def test_no_price_is_on_the_sheet() -> None:
    """The sheet is word for word the same when every price and rate is 7 or 13 times as high."""
    sheets = [scope_sheet(dearer(times)) for times in (1, 7, 13)]
    assert len({scope_text(sheet) for sheet in sheets}) == 1
    assert len({scope_csv(sheet) for sheet in sheets}) == 1
    assert len({scope_page(sheet) for sheet in sheets}) == 1


def test_no_figure_looks_like_money_and_no_supplier_is_named() -> None:
    sheet = scope_sheet(compared())
    for paper in (scope_text(sheet), scope_csv(sheet)):
        assert not re.search(r"\d\.\d\d(?!\d| %)", paper)
        assert "$" not in paper
        assert "USD" not in paper
        assert "Supplier A" not in paper


def test_the_owner_s_parts_are_those_of_the_shopping_list() -> None:
    sheet = scope_sheet(compared())
    bought = {line.offer_row for line in compared().best.lines if line.kind == "part" and line.year == 0}
    assert len(sheet.owner_supplies) + len(sheet.owners_cords) == len(bought)
    assert any("cord 12/3" in row.what and row.cuts for row in sheet.owners_cords)


def test_what_changes_later_is_to_be_priced_for_one() -> None:
    """A saw that moves far by wall drop leaves an outlet to be made safe."""
    shop = make_shop([SAW], scenarios=[scenario(move(2, "saw", "bench C"))])
    sheet = scope_sheet(compare(Facts(shop, make_catalog()), Wanted(plans=1, held={"saw": "wall drop"})))
    later = {(row.when, row.place, row.what) for row in sheet.later}
    assert {("2", "bench A", "make safe"), ("2", "bench C", "run cable")} <= later
    assert any(entry.startswith("one more circuit, wall drop, 20 A 2-pole") for entry in sheet.each)


def test_a_machine_that_comes_later_is_foreseen_and_not_in_today_s_work() -> None:
    sheet = scope_sheet(held([SAW, LATHE | {"arrives": 2}], "wall drop"))
    assert [row.machines for row in sheet.circuits] == [("saw",)]
    assert any("foreseen: the circuit of lathe (240 V 1-phase 16 A) at bench C" in e for e in sheet.each)
    assert not [row for row in sheet.work if "lathe" in row.machines]


def test_the_sheet_says_who_takes_out_the_permit_and_for_what() -> None:
    words = " ".join(scope_sheet(compared()).permits)
    assert "as the local authority asks" in words
    assert "takes out the permit" in words
    assert "run cable" in words


def test_papers_of_a_plan_that_is_not_proven_say_so_first() -> None:
    """Whatever is printed, and in an alternate too; of proven plans nothing is said."""
    comparison = compared()
    assert not any("NOT PROVEN" in paper for paper in (scope_text(scope_sheet(comparison)),))
    best = replace(comparison.plans[0], bound_cents=comparison.plans[0].present_value_cents - 1)
    cut_short = replace(comparison, plans=[best, *comparison.plans[1:]])
    for rank in (1, 2):
        sheet = scope_sheet(cut_short, rank)
        assert sheet.title.startswith(NOT_PROVEN)
        assert shopping_list(cut_short, rank).title.startswith(NOT_PROVEN)
        assert NOT_PROVEN in " ".join(scope_page(sheet).split())
    assert [entry.words.endswith("(not proven)") for entry in scope_sheet(cut_short, 2).alternates] == [
        True,
        False,
    ]


def test_a_sheet_without_work_that_needs_a_permit_says_who_takes_one_out_all_the_same() -> None:
    catalog = make_catalog()
    tasks = [task.model_copy(update={"permit": False}) for task in catalog.tasks]
    facts = Facts(make_shop([SAW]), catalog.model_copy(update={"tasks": tasks}))
    first, second = scope_sheet(compare(facts, Wanted(plans=1))).permits[:2]
    assert first.startswith(
        "Permit and inspection as the local authority asks. The bidder takes out the permit"
    )
    assert second.startswith("By the owner's list nothing here needs a permit")


def test_only_work_that_needs_a_permit_is_named_for_it() -> None:
    catalog = make_catalog()
    tasks = [task.model_copy(update={"permit": task.id == "set-outlet"}) for task in catalog.tasks]
    facts = Facts(make_shop([SAW]), catalog.model_copy(update={"tasks": tasks}))
    words = scope_sheet(compare(facts, Wanted(plans=1))).permits
    assert "By the owner's list these need one: set outlet." in words


def test_the_site_says_what_methods_mean_and_how_many_poles_go_where() -> None:
    """A saw of two poles by cord and a drill of one by wall drop: three poles in the panel."""
    held = {"saw": "cord", "drill": "wall drop"}
    sheet = scope_sheet(compare(Facts(make_shop([SAW, DRILL]), make_catalog()), Wanted(plans=1, held=held)))
    site = dict(sheet.site)
    assert "spaces free, counted in poles: 12 today, 9 after" in site["panel"]
    assert "inside the wall" in site["wall drop means"]
    assert "the owner's" in site["cord means"]
    assert "conduit drop means" not in site


def test_access_hours_are_the_owner_s_words_or_a_blank() -> None:
    assert "Access: Mon to Fri, 7 to 16" in scope_sheet(compared(), access="Mon to Fri, 7 to 16").access
    assert "____" in scope_sheet(compared()).access[0]


def test_an_unknown_code_edition_is_asked_for() -> None:
    """Where the space is one of the listed places of NFPA 70 210.8(B); elsewhere no receptacle changes with it."""
    listed = {"ground_fault_place": True}
    known = scope_sheet(held([SAW], "wall drop", code=listed | {"edition": 2014}))
    unknown = scope_sheet(held([SAW], "wall drop", code=listed))
    asked = "saw: Which code edition applies"
    assert any(entry.startswith(asked) for entry in unknown.asked)
    assert not any(asked in entry for entry in known.asked)
    assert not any(asked in entry for entry in scope_sheet(held([SAW], "wall drop", code={})).asked)
    assert ("code edition", "unknown, please say which applies") in unknown.site


def test_other_plans_are_alternates_with_the_circuits_that_differ() -> None:
    comparison = compared()
    sheet = scope_sheet(comparison)
    assert [alternate.letter for alternate in sheet.alternates] == ["A", "B"]
    for alternate, other in zip(sheet.alternates, comparison.plans[1:], strict=True):
        changed = {
            name
            for name, ways in other.plan.ways.items()
            if {way.signature for way in ways} != {way.signature for way in comparison.best.plan.ways[name]}
        }
        assert {name for row in alternate.circuits for name in row.machines} == changed
        assert all(name in alternate.words for name in changed)
    assert scope_sheet(comparison, alternates=0).alternates == ()


def test_a_plan_that_asks_for_nothing_else_is_no_alternate() -> None:
    """A bidder cannot price what is told as the base is (common practice, no source); the next plan takes its place."""
    comparison = compared()
    best, *others = comparison.plans
    twins = replace(comparison, plans=[best, replace(best, bound_cents=best.bound_cents + 1), *others])
    assert scope_sheet(twins).alternates == scope_sheet(comparison).alternates


def test_alternates_of_the_same_work_are_one_with_both_names() -> None:
    """They differ in the owner's cord alone, so a bidder would price the same lines twice; the third plan is another."""
    first, second = scope_sheet(compared()).alternates
    mine = replace(first, words="by a cord wired in", owner_instead=("brings: a cord", "brings: grips"))
    theirs = replace(first, letter="B", words="by a cord", owner_instead=("brings: a cord", "brings: a plug"))
    assert mine.same_work_as(theirs)
    assert not mine.same_work_as(second)
    assert not mine.same_work_as(replace(theirs, permits=("another",)))
    entries, _ = _priced([(None, mine), (None, theirs), (None, second)], 2)  # type: ignore[list-item]
    assert [entry.words for entry in entries] == [
        "by a cord wired in; or by a cord (the same work)",
        second.words,
    ]
    assert entries[0].owner_instead == (
        "brings: a cord",
        "by a cord wired in: brings: grips",
        "by a cord: brings: a plug",
    )
    assert _priced([(None, mine)], 0)[0] == []  # type: ignore[list-item]


def test_new_parts_in_place_of_the_owners_are_priced_on_one_line() -> None:
    """All of the store is new; as two of the parts are said to be used, the bidder prices new ones and says what he refuses."""
    sheet = scope_sheet(compared())
    assert sheet.not_new == 0
    assert not any("new parts in place" in total for total in sheet.totals)
    used = [replace(part, condition="used") for part in sheet.owner_supplies[:2]]
    other = replace(sheet, owner_supplies=(*used, *sheet.owner_supplies[2:]))
    assert "new parts in place of the owner's 2 that are not new, add" in other.totals


@pytest.mark.parametrize(
    ("panel", "service", "said"),
    [
        ({}, None, "its rating is not known, nor what the service carries"),
        ({"rating": 100}, None, "it is rated 100 A, what the service carries is not known"),
        ({}, {"amps": 100, "other_load": 10}, "its rating is not known"),
        ({"rating": 100}, {"amps": 100, "other_load": 10}, ""),
        ({"rating": 100}, {"amps": 100}, "it is rated 100 A, what the service carries is not known"),
    ],
)
def test_what_runs_at_once_is_told_where_no_limit_is_known(
    panel: Row, service: Row | None, said: str
) -> None:
    """By hand: saw and lathe draw 16 A each at 240 V and are on both lines of the panel, so each carries 32 A."""
    limit = {"service": service | {"system": "120/240 single-phase"}} if service else {}
    sheet = scope_sheet(held([SAW, LATHE], "wall drop", panels=[PANEL | panel], **limit))
    assert sheet.loads == ((f"panel: about 32 A on its fullest line; {said}",) if said else ())
    assert ("load calculation (NEC 220)" in sheet.totals) is bool(said)
    assert ("What may run at once" in scope_text(sheet)) is bool(said)


def test_shared_gear_is_shown_when_there_is_some() -> None:
    gear = (GearRow("subpanel, 100 A", "east wall", "panel", "6 spaces"),)
    sheet = replace(scope_sheet(compared()), gear=gear)
    for paper in (scope_text(sheet), scope_csv(sheet), scope_page(sheet)):
        assert "subpanel, 100 A" in paper
        assert "6 spaces" in paper


def test_the_csv_has_every_row_in_its_section() -> None:
    sheet = scope_sheet(compared())
    rows = list(csv.DictReader(io.StringIO(scope_csv(sheet))))
    assert tuple(rows[0]) == CSV_COLUMNS
    sections = Counter(row["section"] for row in rows)
    assert sections["circuit"] == len(sheet.circuits)
    assert sections["work"] == len(sheet.work)
    assert sections["owner supplies"] == len(sheet.owner_supplies)
    assert sections["owner's cords"] == len(sheet.owners_cords)
    assert sections["price each"] == len(sheet.each)
    assert all(row["your_price"] == "" for row in rows)


def test_a_plan_there_is_not_is_an_error() -> None:
    with pytest.raises(IndexError, match="only 3 plans"):
        scope_sheet(compared(), 4)


def test_later_work_says_what_its_disconnect_is_rated_for() -> None:
    """A load of 16 A at 240 V, continuous or not, behind 30 A here: what a bidder prices is poles, amperes and volts."""
    wired = SAW | {"ways": {"hard_wired": True}}
    moves = [scenario(move(2, "saw", "bench D"))]
    sheet = scope_sheet(held([wired], "wall drop, hard-wired", scenarios=moves))
    (today,) = sheet.circuits
    (later,) = [row for row in sheet.later if row.detail.startswith("wall drop")]
    assert later.detail.endswith(today.outlet)
    assert today.outlet == "disconnect, 2-pole, 30 A 240 V or more, lockable"
    assert today.outlet in sheet.each[0]
    assert f"30 A 2-pole, {today.conductors.partition(', ')[0]}, disconnect" in sheet.each[0]
