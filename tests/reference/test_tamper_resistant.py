"""Tamper-resistant receptacles by edition, occupancy and use, as parts that are bought, worked by hand.

NFPA 70 406.12 and 406.4(D)(5), from memory: straight-blade receptacles of 15 and 20 A, 125 V, from 2017 250 V as well, in
dwellings with their garages, and in child care, preschools and elementary schools; none above 5-1/2 ft. Prices are
invented. Two cases: - A garage, 2020, 240 V 16 A on NEMA 6-20: tamper-resistant at 16.00 in place of 10.00; in 2014
the plain one. - A school that does not say whose: plain at 10.00, and 6.00 an outlet are asked about, 12.00 for two.
"""

from dataclasses import replace
from typing import Any

import pytest
from strategies import DRILL, KINDS, LATHE, SAW, make_catalog, make_shop, offer, ranked

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.receptacle_marks import Asked, demanded, tamper_resistant
from costplan.circuits.still_serves import end_still_serves
from costplan.circuits.ways import Way
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, Method, Occupancy
from costplan.reports.noted_machine import ByWay
from costplan.reports.noted_ways import way_topics
from costplan.reports.remarks import Topic
from costplan.studies.protection_cost import EDITION_FOR_RESISTANT, SMALL_CHILDREN, turning_on, unknown_words
from costplan.years.calendar import first_standings

Row = dict[str, Any]
GARAGE = Occupancy.DWELLING_GARAGE
SCHOOL = Occupancy.SCHOOL
DROP = Way(Method.WALL, "panel", Family.STRAIGHT)


def catalog(*configurations: str, protects: bool = False) -> Catalog:
    """The store with tamper-resistant receptacles of these configurations at 16.00; `protects`: of ground-fault ones."""
    more: Row = {"ground_fault": True} if protects else {}
    kinds = [
        kind | ({"may_state": ["ground_fault", "tamper_resistant"]} if kind["kind"] == "receptacle" else {})
        for kind in KINDS
    ]
    rows = [
        {
            "id": f"tr {code}",
            "kind": "receptacle",
            "name": f"tamper-resistant {code}",
            "attributes": {"configuration": code, "tamper_resistant": True} | more,
        }
        for code in configurations
    ]
    return make_catalog(
        kinds=kinds, more_parts=rows, more_offers=[offer(row["id"], "store", 16) for row in rows]
    )


def facts(found: Catalog, *machines: Row, **code: Any) -> Facts:
    return Facts(make_shop(list(machines) or [SAW], code={"edition": 2020, **code}), found)


def built(known: Facts, way: Way = DROP) -> Circuit:
    machine = known.shop.machines[0]
    circuit: Circuit = Builder(known, machine, way).build(first_standings(known.shop)[machine.name])
    return circuit


@pytest.mark.parametrize(
    ("code", "edition", "occupancy", "children", "asked"),
    [
        ("NEMA 5-20", 2014, GARAGE, None, "yes"),
        ("NEMA 6-20", 2014, GARAGE, None, "no"),
        ("NEMA 6-20", 2017, GARAGE, None, "yes"),
        ("NEMA 6-20", None, GARAGE, None, "yes"),
        ("NEMA 6-30", 2023, GARAGE, None, "no"),
        ("NEMA L6-20", 2023, GARAGE, None, "no"),
        ("NEMA 5-15", 2020, Occupancy.DWELLING_ROOM, False, "yes"),
        ("NEMA 5-15", 2020, SCHOOL, None, "unsaid"),
        ("NEMA 5-15", 2020, SCHOOL, False, "no"),
        ("NEMA 5-15", 2020, SCHOOL, True, "yes"),
        ("NEMA 5-15", 2020, Occupancy.COMMERCIAL, None, "no"),
        ("NEMA 5-15", 2020, Occupancy.COMMERCIAL, True, "yes"),
        (None, 2020, GARAGE, None, "no"),
    ],
)
def test_where_it_is_asked_for(
    code: str | None, edition: int | None, occupancy: Occupancy, children: bool | None, asked: str
) -> None:
    rules = facts(catalog()).rules
    rules = replace(rules, edition=edition, occupancy=occupancy, small_children=children)
    assert tamper_resistant(code, Method.WALL, rules) == asked
    assert tamper_resistant(code, Method.CEILING, rules) is Asked.NO


@pytest.mark.parametrize(("edition", "cents"), [(2020, 1600), (2014, 1000)])
def test_a_garage_buys_the_one_that_is_listed(edition: int, cents: int) -> None:
    """Hand case 1. The walls of a dwelling need no words; a breaker protects the circuit from 2020."""
    known = facts(catalog("NEMA 6-20"), edition=edition, occupancy="dwelling garage")
    plan = ranked(known.shop, known.catalog)[0]
    (line,) = [line for line in plan.lines if "NEMA 6-20" in line.what and line.amount_cents in (1000, 1600)]
    assert (line.amount_cents, "tamper" in line.what) == (cents, edition == 2020)
    whys = [why.detail for why in built(known).size.reasons if why.what == "tamper-resistant"]
    assert bool(whys) is (edition == 2020)


def test_a_school_that_does_not_say_whose_is_asked_with_the_money() -> None:
    """Hand case 2: two outlets of 6-20 at 6.00 more; the drill's 5-20 is sold plain only, and has no amount."""
    known = facts(catalog("NEMA 6-20"), SAW, LATHE, DRILL, occupancy="school")
    plan = ranked(known.shop, known.catalog)[0]
    outlets = {line.what for line in plan.lines if "receptacle" in line.what or "tamper" in line.what}
    assert not any("tamper" in what for what in outlets)
    found = turning_on(SMALL_CHILDREN, known, plan)
    assert sum(entry.all_cents for entry in found) == 1200
    assert {entry.machine for entry in found} == {"saw", "lathe"}
    (words,) = [words for words in unknown_words(known, plan) if "small_children" in words]
    assert "USD 12.00" in words
    for said in (True, False):
        other = facts(catalog("NEMA 6-20"), SAW, LATHE, DRILL, occupancy="school", small_children=said)
        best = ranked(other.shop, other.catalog)[0]
        assert not turning_on(SMALL_CHILDREN, other, best)
        assert best.present_value_cents - plan.present_value_cents == (1200 if said else 0)


def test_an_unknown_edition_takes_the_newer_reading_and_tells_the_money() -> None:
    """Only 250 V turns on the edition: 6.00 for the saw, nothing for the drill."""
    known = facts(catalog("NEMA 6-20", "NEMA 5-20"), SAW, DRILL, edition=None, occupancy="dwelling garage")
    plan = ranked(known.shop, known.catalog)[0]
    assert [(entry.machine, entry.cents) for entry in turning_on(EDITION_FOR_RESISTANT, known, plan)] == [
        ("saw", 600)
    ]
    assert any("tamper-resistant (NEC 406.12)" in words for words in unknown_words(known, plan))


def topics(known: Facts) -> set[Topic]:
    return {topic for topic, _ in way_topics(ByWay(known, known.shop.machines[0], DROP, built(known)))}


def test_where_none_is_on_offer_a_plain_one_is_priced_and_asked_about() -> None:
    for found, code, topic in (
        (catalog(), {"occupancy": "dwelling garage"}, Topic.TAMPER_RESISTANT),
        (catalog("NEMA 5-20"), {"occupancy": "dwelling garage"}, Topic.TAMPER_RESISTANT),
        (catalog("NEMA 6-20"), {"occupancy": "school"}, Topic.SMALL_CHILDREN),
        (catalog("NEMA 6-20"), {"occupancy": "dwelling garage"}, None),
        (catalog("NEMA 6-20"), {"occupancy": "school", "small_children": False}, None),
    ):
        mine = topics(facts(found, **code)) & {Topic.TAMPER_RESISTANT, Topic.SMALL_CHILDREN}
        assert mine == ({topic} if topic else set()), code


def test_a_ground_fault_receptacle_stands_in_only_where_it_is_tamper_resistant_too() -> None:
    """At 120 V in a garage either the breaker or the receptacle protects; a plain ground-fault one is refused there."""
    way = replace(DROP, ground_fault_receptacle=True)
    both = facts(catalog("NEMA 5-20", protects=True), DRILL, occupancy="dwelling garage")
    assert built(both, way).size.ground_fault_receptacle
    base = catalog("NEMA 5-20")
    plain = base.parts[0].model_validate(
        {
            "id": "gf",
            "kind": "receptacle",
            "name": "ground-fault",
            "attributes": {"configuration": "NEMA 5-20", "ground_fault": True},
        }
    )
    row = base.offers[0].model_validate({"row": 999, **offer("gf", "store", 12)})
    apart = base.model_copy(update={"parts": [*base.parts, plain], "offers": [*base.offers, row]})
    refused = built(facts(apart, DRILL, occupancy="dwelling garage"), way).size
    assert (refused.ground_fault_receptacle, refused.ground_fault) == (False, True)
    assert built(facts(apart, DRILL, ground_fault_place=True), way).size.ground_fault_receptacle


def test_a_receptacle_that_stays_need_not_be_changed_for_it() -> None:
    known = facts(catalog("NEMA 6-20"), occupancy="dwelling garage")
    wanted = built(known)
    there = replace(wanted, receptacle=built(facts(catalog("NEMA 6-20"))).receptacle)
    assert there.receptacle != wanted.receptacle
    assert end_still_serves(there, wanted)
    assert demanded(known, wanted.size, Method.WALL, known.rules)
