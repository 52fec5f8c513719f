"""Receptacles, boxes and covers for damp places, as parts that are bought, worked by hand.

NFPA 70 406.9(A), 314.15, 406.4(D)(6), from memory: in damp places straight-blade receptacles of 15 and 20 A, 125 and 250 V, are
weather-resistant, covers weatherproof when closed. 334.12(B)(4), from memory: no nonmetallic cable there. Prices are invented.

- A damp bay, 240 V 16 A on NEMA 6-20: weather-resistant at 18.00 in place of 10.00; where it is only listed, the plain one.
"""

from dataclasses import replace
from typing import Any

import pytest
from shipped_shops import demo_catalog
from strategies import DRILL, KINDS, SAW, make_catalog, make_shop, offer, ranked

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.receptacle_marks import said_of, weather_resistant
from costplan.circuits.still_serves import end_still_serves
from costplan.circuits.ways import Way
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, ListedPlace, Method, Occupancy
from costplan.model.spaces import Space, cable_refused
from costplan.reports.circuits import to_be_made
from costplan.reports.marks import to_read
from costplan.reports.noted_machine import ByWay
from costplan.reports.noted_ways import way_topics
from costplan.reports.remarks import Topic
from costplan.years.calendar import first_standings

DROP = Way(Method.ARMORED, "panel", Family.STRAIGHT)
BESIDE = Way(Method.CORD, "panel", Family.STRAIGHT)
Row = dict[str, Any]


def catalog(*words: str) -> Catalog:
    """The store with one more 6-20 at 18.00 that states these words."""
    may = {"may_state": ["ground_fault", "tamper_resistant", "weather_resistant"]}
    kinds = [kind | (may if kind["kind"] == "receptacle" else {}) for kind in KINDS]
    stated = {"configuration": "NEMA 6-20"} | dict.fromkeys(words, True)
    part = {"id": "wr", "kind": "receptacle", "name": "weather-resistant 6-20", "attributes": stated}
    return make_catalog(kinds=kinds, more_parts=[part], more_offers=[offer("wr", "store", 18)])


def facts(found: Catalog, machine: Row = SAW, **code: Any) -> Facts:
    return Facts(make_shop([machine], code={"edition": 2023, **code}), found)


def built(known: Facts, way: Way = DROP) -> Circuit:
    machine = known.shop.machines[0]
    return Builder(known, machine, way).build(first_standings(known.shop)[machine.name])


@pytest.mark.parametrize(("place", "cents"), [("damp", 1800), (False, 1000), (None, 1000)])
def test_a_damp_place_buys_the_one_that_is_listed(place: object, cents: int) -> None:
    code = {} if place is None else {"ground_fault_place": place}
    known = facts(catalog("weather_resistant"), **code)
    plan = ranked(known.shop, known.catalog)[0]
    (line,) = [line for line in plan.lines if "6-20" in line.what and line.amount_cents in (1000, 1800)]
    assert line.amount_cents == cents
    whys = [why.source for why in built(known).size.reasons if why.what == "weather-resistant"]
    assert ("406.9(A)" in "".join(whys)) is (cents == 1800)


def asked_of(circuit: Circuit) -> dict[str, bool]:
    """Of the parts of an outlet, by kind: whether what is bought must be for damp places."""
    needs = (circuit.receptacle, *circuit.outlet.bought.needs)
    words = ("weather_resistant", "weatherproof")
    kinds = ("receptacle", "outlet box", "device cover")
    return {
        need.spec.kind: any((word, "true") in need.spec.equal for word in words)
        for need in needs
        if need.spec.kind in kinds
    }


@pytest.mark.parametrize(
    ("machine", "way", "code", "receptacle", "around"),
    [
        (SAW, DROP, {"ground_fault_place": "damp"}, True, True),
        (SAW | {"amps": 28, "plug": "NEMA 6-30"}, DROP, {"ground_fault_place": "damp"}, False, True),
        (SAW, DROP, {"ground_fault_place": True}, False, False),
        (SAW, DROP, {"ground_fault_place": "unfinished basement"}, False, False),
    ],
    ids=["20 A", "30 A: its cover alone", "listed", "basement"],
)
def test_box_and_cover_go_by_the_place(
    machine: Row, way: Way, code: Row, receptacle: bool, around: bool
) -> None:
    """The shipped catalog has all three parts for damp places."""
    found = asked_of(built(facts(demo_catalog(), machine, **code), way))
    assert found == {"receptacle": receptacle, "outlet box": around, "device cover": around}


def said(known: Facts) -> dict[Topic, str]:
    circuit = built(known)
    mine = (Topic.DAMP_PLACE, Topic.LISTED_PLACE)
    return {
        topic: more
        for topic, more in way_topics(ByWay(known, known.shop.machines[0], DROP, circuit))
        if topic in mine
    }


def test_what_nobody_offers_is_priced_plain_and_named() -> None:
    damp: Row = {"ground_fault_place": "damp"}
    assert said(facts(demo_catalog(), **damp)) == {Topic.DAMP_PLACE: ""}
    assert "outlet box" in said(facts(catalog("tamper_resistant"), **damp)).get(Topic.DAMP_PLACE, "")
    assert not asked_of(built(facts(catalog("tamper_resistant"), **damp)))["receptacle"]
    assert said(facts(demo_catalog(), ground_fault_place=True)) == {Topic.LISTED_PLACE: ""}
    assert said(facts(demo_catalog(), ground_fault_place=False)) == {}


def test_a_receptacle_that_protects_stands_in_only_where_it_is_for_damp_too() -> None:
    way = replace(DROP, ground_fault_receptacle=True)
    damp: Row = {"ground_fault_place": "damp"}
    assert built(facts(demo_catalog(), DRILL, **damp), way).size.ground_fault_receptacle
    fewer = [part for part in demo_catalog().parts if part.id != "receptacle-5-20-gf-wr"]
    offers = [row for row in demo_catalog().offers if row.part != "receptacle-5-20-gf-wr"]
    without = demo_catalog().model_copy(update={"parts": fewer, "offers": offers})
    size = built(facts(without, DRILL, **damp), way).size
    assert (size.ground_fault_receptacle, size.ground_fault) == (False, True)


def test_a_receptacle_that_stays_need_not_be_changed_for_it() -> None:
    wanted = built(facts(demo_catalog(), ground_fault_place="damp"))
    there = replace(wanted, receptacle=built(facts(demo_catalog(), ground_fault_place=True)).receptacle)
    assert there.receptacle != wanted.receptacle
    assert end_still_serves(there, wanted)


@pytest.mark.parametrize("occupancy", [Occupancy.COMMERCIAL, Occupancy.DWELLING_GARAGE])
def test_no_nonmetallic_cable_in_a_damp_place(occupancy: Occupancy) -> None:
    space = Space(occupancy, ListedPlace.DAMP, None, True)
    assert "334.12" in (cable_refused(space) or "")


@pytest.mark.parametrize(
    ("configuration", "named"),
    [
        *((code, True) for code in ("NEMA 5-15", "NEMA 6-20", "NEMA 14-20", "NEMA 15-20")),
        *((code, False) for code in ("NEMA 6-30", "NEMA L6-20", "NEMA L15-20", "NEMA 7-20", None)),
    ],
)
def test_push_in_ones_of_15_and_20_a_up_to_250_v_are_named_whatever_their_phases(
    configuration: str | None, named: bool
) -> None:
    """406.9(A), from memory: 15 and 20 A, 125 and 250 V, not locking; 277 V and 30 A are none."""
    known = facts(demo_catalog(), ground_fault_place="damp")
    size = replace(built(known).size, configuration=configuration)
    assert weather_resistant(size) is named
    assert not weather_resistant(replace(size, damp=False))
    assert ("no part on offer" in str(said_of(size, Method.ARMORED, known.rules, ()).reasons)) is named


def test_a_plain_one_is_said_at_its_line_where_nobody_offers_another() -> None:
    """The demo has 6-20 for damp places, the plain store of the tests has none."""
    damp: Row = {"ground_fault_place": "damp"}
    for found, lacks in ((catalog("tamper_resistant"), True), (demo_catalog(), False)):
        known = facts(found, **damp)
        assert ("no part on offer" in to_be_made(DROP, built(known))) is lacks
        topics = [topic for topic, _ in way_topics(ByWay(known, known.shop.machines[0], DROP, built(known)))]
        assert (Topic.WEATHER_RESISTANT in topics) is lacks
    known = facts(catalog("tamper_resistant"), **damp)
    (plan, *_) = ranked(known.shop, known.catalog)
    (need,) = [bought.need for bought in plan.plan.bought if bought.need.spec.kind == "receptacle"]
    part = next(part for part in known.catalog.parts if part.attributes.get("configuration") == "NEMA 6-20")
    assert "must be weather-resistant" in to_read(known, plan, part, [need])
    dry = facts(catalog("tamper_resistant"), ground_fault_place=False)
    assert not to_read(dry, ranked(dry.shop, dry.catalog)[0], part, [need])


@pytest.mark.parametrize("place", ["damp", False])
def test_a_disconnect_in_the_damp_is_listed_with_its_enclosure(place: object) -> None:
    """110.28, 312.2, from memory: cases in damp places are of a type for them, such as 3R; no catalog states one."""
    known, way = (
        facts(demo_catalog(), SAW | {"hp": 2}, ground_fault_place=place),
        Way(Method.CONDUIT, "panel", None),
    )
    circuit = built(known, way)
    assert ("type 3R" in to_be_made(way, circuit)) is (place == "damp")
    topics = dict(way_topics(ByWay(known, known.shop.machines[0], way, circuit)))
    assert topics.get(Topic.DAMP_PLACE, "") == ("no part on offer states it: disconnect" if place else "")
