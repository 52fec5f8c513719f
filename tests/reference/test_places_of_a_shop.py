"""One shop, several places: ground fault by edition and place, cable by the building's type, priced and asked, worked by hand.

Sections are NFPA 70, editions 2014 to 2023; the tables and sums were worked by hand from 210.8(A) and (B) and 334.10, some of
it from memory. All prices are invented: a plain breaker 12.00, 22.00, 30.00 (1-pole and 2-pole 20 A, 2-pole 50 A), with
ground-fault protection 55.00, 112.00, 130.00, a 5-20 receptacle 5.00, with it 27.00, no other hours.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from strategies import KINDS, make_catalog, make_shop, offer, ranked, store_offers

from costplan.circuits.facts import Facts
from costplan.circuits.ground_fault import ground_fault
from costplan.circuits.size_types import Load, Rules
from costplan.model.catalog import Catalog
from costplan.model.choices import ListedPlace, LoadKind, Occupancy
from costplan.model.shop import Shop
from costplan.program.ranked import NoPlanError, Ranked
from costplan.reports.first_screen import first_screen, today_rows
from costplan.reports.noted import noted
from costplan.reports.remarks import Topic
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.sizes import sizes_text
from costplan.studies.comparison import Comparison, compare
from costplan.studies.protection_cost import (
    AT_THE_MACHINES,
    EDITION,
    PLACE,
    InQuestion,
    in_question,
    turning_on,
)
from costplan.studies.wanted import Wanted

Row = dict[str, Any]
EDITIONS = (2014, 2017, 2020, 2023)
NEVER, ALWAYS = (False,) * 4, (True,) * 4
FROM_2017, FROM_2020 = (False, True, True, True), (False, False, True, True)


def outlet(volts: int, phases: int = 1) -> Load:
    return Load(volts, phases, False, LoadKind.OTHER, None, Decimal(12), False, None)


# 210.8, place by place ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("occupancy", "listed", "load", "breaker_a", "by_edition"),
    [
        ("dwelling garage", None, outlet(120), 20, ALWAYS),
        ("dwelling garage", None, outlet(240), 20, FROM_2020),
        ("dwelling garage", None, outlet(240), 60, FROM_2020),
        ("unfinished dwelling basement", None, outlet(120), 20, ALWAYS),
        ("unfinished dwelling basement", None, outlet(240), 30, FROM_2020),
        ("finished dwelling basement", None, outlet(120), 20, FROM_2020),
        ("finished dwelling basement", None, outlet(240), 30, FROM_2020),
        ("dwelling room", None, outlet(120), 20, NEVER),
        ("commercial", True, outlet(120), 20, ALWAYS),
        ("commercial", True, outlet(240), 50, FROM_2017),
        ("commercial", True, outlet(240), 60, NEVER),
        ("commercial", True, outlet(208, 3), 100, FROM_2017),
        ("commercial", True, outlet(208, 3), 125, NEVER),
        ("commercial", True, outlet(480, 3), 20, NEVER),
        ("commercial", "unfinished basement", outlet(120), 20, FROM_2017),
        ("commercial", "unfinished basement", outlet(240), 50, FROM_2017),
        ("commercial", "damp", outlet(120), 20, FROM_2020),
        ("commercial", "damp", outlet(240), 50, FROM_2020),
        ("school", False, outlet(120), 20, NEVER),
        ("commercial", None, outlet(120), 20, NEVER),
    ],
)
def test_ground_fault_by_place_and_edition(
    occupancy: str, listed: bool | str | None, load: Load, breaker_a: int, by_edition: tuple[bool, ...]
) -> None:
    """The step is 2020 in a dwelling (210.8(A)) and 2017 elsewhere (210.8(B)); an unknown edition is read as the newest."""
    place = ListedPlace(listed) if isinstance(listed, str) else listed
    rules = [
        Rules(edition, Occupancy(occupancy), place, Decimal("0.03"), Decimal(30))
        for edition in (*EDITIONS, None)
    ]
    asked = tuple(ground_fault(load, "straight", breaker_a, each)[0] for each in rules)
    assert asked == (*by_edition, by_edition[-1])
    assert not any(ground_fault(load, None, breaker_a, each)[0] for each in rules)
    reasons = [ground_fault(load, "straight", breaker_a, each)[1] for each in rules]
    assert {each.source for each in reasons} == {f"NFPA 70 210.8({'A' if 'dwelling' in occupancy else 'B'})"}
    assert not any("edition in force is not known" in each.detail for each in reasons[:-1])
    reached = "dwelling" in occupancy or (
        listed is not None and breaker_a <= (50 if load.phases == 1 else 100)
    )
    turns_on_the_edition = load.volts <= 240 and reached
    assert ("edition in force is not known" in reasons[-1].detail) is turns_on_the_edition


def test_of_a_receptacle_above_50_a_the_inspector_is_not_asked() -> None:
    """210.8(B) reaches single-phase receptacles up to 50 A (2017 to 2023, from memory), so its place is of no matter."""
    rules = Rules(2023, Occupancy.COMMERCIAL, None, Decimal("0.03"), Decimal(30))
    told = [ground_fault(outlet(240), "pin and sleeve", amps, rules)[1].detail for amps in (50, 60)]
    assert ["ask the inspector" in each for each in told] == [True, False]


# a house and a bay ----------------------------------------------------------------------------------

DEVICES = {"1p-20": (12, 55), "2p-20": (22, 112), "2p-50": (30, 130)}
PANELS: list[Row] = [
    {"name": "panel", "system": "120/240 single-phase", "breakers": "family A", "spaces_free": 30}
]
HOUSE = {"name": "bench A", "occupancy": "dwelling garage"}
BAY = {"name": "bench B", "ground_fault_place": True}


def catalog(*, protected_receptacle: bool = True) -> Catalog:
    """The store at the prices above."""
    fifty: list[Row] = [
        {
            "id": f"breaker-2p-50{'-gf' if fault else ''}",
            "kind": "breaker",
            "name": "breaker 2p 50 A",
            "attributes": {
                "family": "family A",
                "poles": 2,
                "rating_a": 50,
                "ground_fault": fault,
                "volts": 240,
            },
        }
        for fault in (False, True)
    ]
    fifty += [
        {
            "id": "receptacle-6-50",
            "kind": "receptacle",
            "name": "6-50",
            "attributes": {"configuration": "NEMA 6-50"},
        },
        {
            "id": "receptacle-gf",
            "kind": "receptacle",
            "name": "5-20 ground-fault",
            "attributes": {"configuration": "NEMA 5-20", "ground_fault": True},
        },
        {
            "id": "nm-6-2",
            "kind": "building cable",
            "name": "cable 6/2",
            "attributes": {"awg": "6", "conductors": 2, "ground_awg": "10"},
        },
    ]
    prices: Row = {"receptacle-5-20": 5}
    for name, (plain, fault) in DEVICES.items():
        prices |= {f"breaker-{name}": plain, f"breaker-{name}-gf": fault}
    offers = [row | {"price": prices.get(row["part"], row["price"])} for row in store_offers()]
    offers += [offer(f"breaker-2p-50{end}", "store", prices[f"breaker-2p-50{end}"]) for end in ("", "-gf")]
    offers += [offer("receptacle-6-50", "store", 12), offer("nm-6-2", "store", 3, "ft")]
    offers += [offer("receptacle-gf", "store", 27)] if protected_receptacle else []
    kinds = [
        kind | ({"may_state": ["ground_fault"]} if kind["kind"] == "receptacle" else {}) for kind in KINDS
    ]
    return make_catalog(offers, more_parts=fifty, kinds=kinds)


PLUGGED: Row = {"ways": {"hard_wired": False, "only": ["wall drop"]}}
VACUUM = PLUGGED | {"volts": 120, "amps": 12, "plug": "NEMA 5-20"}
SAW = PLUGGED | {"volts": 240, "amps": 12, "plug": "NEMA 6-20"}
WELDER = PLUGGED | {"volts": 240, "amps": 40, "load": "other", "plug": "NEMA 6-50"}
LIFT: Row = {"volts": 240, "amps": 12, "ways": {"hard_wired": True, "only": ["wall drop"]}}
EIGHT = [
    kind | {"name": f"{name} {place}", "at": place}
    for place in ("bench A", "bench B")
    for name, kind in (("vacuum", VACUUM), ("saw", SAW), ("welder", WELDER), ("lift", LIFT))
]


def house_and_bay(edition: int | None, places: Sequence[Row] = (HOUSE, BAY), **more: Any) -> Shop:
    code: Row = {"terminals": 75} | ({"edition": edition} if edition else {})
    others = [{"name": name} for name in ("bench C", "bench D", "bench E")]
    return make_shop(EIGHT, panels=PANELS, code=code, places=[*places, *others], **more)


def best(shop: Shop) -> Ranked:
    return ranked(shop, catalog())[0]


def without() -> int:
    """What the shop costs with no protection anywhere: a dry commercial shop."""
    dry = [
        {"name": "bench A", "ground_fault_place": False},
        {"name": "bench B", "ground_fault_place": False},
    ]
    return best(house_and_bay(2023, dry)).present_value_cents


@pytest.mark.parametrize(
    ("edition", "extra"), [(2014, 4400), (2017, 23400), (2020, 42400), (2023, 42400), (None, 42400)]
)
def test_each_place_has_its_own_rule(edition: int | None, extra: int) -> None:
    """Two receptacles with it at 22.00; from 2017 the bay's 90.00 and 100.00, from 2020 the garage's as well; a lift never."""
    assert best(house_and_bay(edition)).present_value_cents - without() == extra


def test_what_turns_on_an_unknown_edition_is_told_by_circuit_and_in_all() -> None:
    """Of 424.00 that is priced, 380.00 turns on the edition; the two 120 V outlets have it in every one."""
    shop = house_and_bay(None)
    found = best(shop)
    turning = turning_on(EDITION, Facts(shop, catalog()), found)
    assert {(entry.machine, entry.cents) for entry in turning} == {
        ("saw bench A", 9000),
        ("welder bench A", 10000),
        ("saw bench B", 9000),
        ("welder bench B", 10000),
    }
    assert sum(entry.all_cents for entry in turning) == 38000
    assert in_question(Facts(shop, catalog()), found) == InQuestion(38000, 0, unpriced=False)
    comparison = compared(shop)
    (words,) = [note for note in comparison.warnings if note.startswith("code edition unknown")]
    assert "USD 380.00" in words
    said = " ".join(first_screen(comparison).split())
    assert "Ground-fault protection: 380 that not every edition asks for is in these." in said
    assert "saw bench A 90.00" in words


def compared(shop: Shop) -> Comparison:
    return compare(Facts(shop, catalog()), Wanted(plans=1))


def test_the_question_stands_in_size_and_scope_too() -> None:
    shop = house_and_bay(None)
    text = sizes_text(Facts(shop, catalog()), None)
    assert text.count("USD 90.00 turns on it") == 2
    assert text.count("USD 100.00 turns on it") == 2
    scope = scope_text(scope_sheet(compared(shop), alternates=0))
    assert scope.count("Ground-fault protection of the receptacles at ") == 2
    assert " ".join(scope.split()).count("____________ / ____________") == 4
    assert "380.00" not in scope
    assert "bench A is" in scope
    assert "a place that NEC 210.8(B) lists" in scope


def test_a_known_edition_leaves_nothing_to_ask() -> None:
    shop = house_and_bay(2020)
    assert not turning_on(EDITION, Facts(shop, catalog()), best(shop))
    assert not [note for note in compared(shop).warnings if "edition" in note]


def test_a_place_nobody_classed_is_priced_without_and_asked() -> None:
    """The bay unclassed, 2020: the garage's 22 + 90 + 100 are priced, as much for the bay is told beside the question."""
    shop = house_and_bay(2020, (HOUSE, {"name": "bench B"}))
    found = best(shop)
    assert found.present_value_cents - without() == 21200
    turning = turning_on(PLACE, Facts(shop, catalog()), found)
    assert sum(entry.all_cents for entry in turning) == 21200
    assert in_question(Facts(shop, catalog()), found) == InQuestion(0, 21200, unpriced=False)
    comparison = compared(shop)
    (words,) = [note for note in comparison.warnings if "ground_fault_place" in note]
    assert "USD 212.00" in words
    said = " ".join(first_screen(comparison).split())
    assert "Ground-fault protection: 212 more if asked for, not in these." in said
    whole = today_rows(comparison, 1, 9, 80)
    assert "without ground-fault 212." in " ".join(today_rows(comparison, 1, len(whole) - 1, 80))


def test_without_such_a_receptacle_a_breaker_is_bought() -> None:
    """43.00 in place of 22.00 for each of two."""
    shop = house_and_bay(2020)
    more = ranked(shop, catalog(protected_receptacle=False))[0].present_value_cents
    assert more - best(shop).present_value_cents == 2 * (4300 - 2200)


@pytest.mark.parametrize(("receptacle", "breaker"), [(20, 44), (22, 43), (43, 43), (50, 43)])
def test_the_cheaper_of_breaker_and_receptacle_is_bought(receptacle: int, breaker: int) -> None:
    """The least over all ways, each priced by hand: the plain parts and the cheaper extra, whatever both cost."""
    vacuum = VACUUM | {"name": "vacuum", "at": "bench A"}
    mine = ("receptacle-5-20", "breaker-1p-20", "breaker-1p-20-gf")
    rows = [row for row in store_offers() if row["part"] not in mine]
    gf = {
        "id": "receptacle-gf",
        "kind": "receptacle",
        "name": "5-20 ground-fault",
        "attributes": {"configuration": "NEMA 5-20", "ground_fault": True},
    }
    plain = [offer("receptacle-5-20", "store", 5), offer("breaker-1p-20", "store", 12)]
    dear = [offer("receptacle-gf", "store", 5 + receptacle), offer("breaker-1p-20-gf", "store", 12 + breaker)]
    found: Catalog = make_catalog([*rows, *plain, *dear], more_parts=[gf], kinds=None)

    def total(place: Row) -> int:
        others = [{"name": name} for name in ("bench B", "bench C", "bench D", "bench E")]
        shop = make_shop([vacuum], places=[place, *others])
        return ranked(shop, found)[0].present_value_cents

    extra = total(HOUSE) - total({"name": "bench A", "ground_fault_place": False})
    assert extra == min(receptacle, breaker) * 100


def test_a_later_place_asks_by_its_own_rule() -> None:
    """A saw that moves from the dry shop into the bay in year 2 finds a new outlet there, on a breaker 90.00 dearer."""

    def total(listed: bool) -> int:
        saw = SAW | {"name": "saw", "at": "bench A"}
        places = [
            {"name": "bench A", "ground_fault_place": False},
            {"name": "bench B", "ground_fault_place": listed},
            *({"name": name} for name in ("bench C", "bench D", "bench E")),
        ]
        events = [{"year": 2, "machine": "saw", "move": "bench B"}]
        scenarios = [{"name": "moves", "weight": 1, "events": events}]
        shop = make_shop([saw], places=places, scenarios=scenarios)
        return ranked(shop, catalog())[0].present_value_cents

    # The plain breaker of the old outlet, made safe, would have served again: 22.00 more.
    assert total(listed=True) - total(listed=False) == 9000 + 2200


# 334.10 ---------------------------------------------------------------------------------------------


def cable_catalog() -> Catalog:
    kinds = [kind | ({"nonmetallic": True} if kind["kind"] == "building cable" else {}) for kind in KINDS]
    return make_catalog(kinds=kinds)


BOTH = {"hard_wired": False, "only": ["wall drop", "armored drop"]}


def by_type(place: Row, building: Row) -> str:
    """How a saw is powered where cable in the wall is the cheapest, and why no other way."""
    saw = SAW | {"name": "saw", "at": "bench A", "ways": BOTH}
    others = [{"name": name} for name in ("bench B", "bench C", "bench D", "bench E")]
    shop = make_shop(
        [saw],
        panels=[PANELS[0] | {"place": "bench A"}],
        places=[{"name": "bench A", **place}, *others],
        building={"patching": False, **building},
    )
    found = compare(Facts(shop, cable_catalog()), Wanted(plans=1))
    (way,) = [way for _, way, _ in found.best.plan.shares()]
    out = [entry.reason for entry in found.out if entry.way == "wall drop"]
    return f"{way.method}: {'; '.join(out)}"


@pytest.mark.parametrize("construction", [None, "type I", "type II", "type V"])
def test_in_a_dwelling_cable_goes_into_any_type(construction: str | None) -> None:
    """334.10(1): one- and two-family dwellings, their garages and storage buildings; the type is not asked."""
    building = {} if construction is None else {"construction": construction}
    assert by_type({"occupancy": "dwelling garage"}, building) == "wall drop: "


@pytest.mark.parametrize(
    ("building", "why"),
    [
        ({}, "the type is not known: ask"),
        ({"construction": "type I", "finished_walls": True}, "not laid in a building of type I"),
        ({"construction": "type II", "finished_walls": True}, "not laid in a building of type II"),
        ({"construction": "type III"}, "nobody said whether the walls have one"),
        ({"construction": "type V", "finished_walls": False}, "not laid exposed"),
    ],
)
def test_elsewhere_cable_waits_for_type_and_finish(building: Row, why: str) -> None:
    """334.10(3) and (5): outside dwellings types III, IV, V behind a finish; what nobody said never makes it the cheapest."""
    said = by_type({}, building)
    assert said.startswith("armored drop: ")
    assert why in said


@pytest.mark.parametrize("construction", ["type III", "type IV", "type V"])
def test_in_types_iii_to_v_cable_goes_behind_a_finish(construction: str) -> None:
    assert by_type({}, {"construction": construction, "finished_walls": True}) == "wall drop: "


def test_a_place_has_its_own_type() -> None:
    said = by_type({"construction": "type II"}, {"construction": "type V", "finished_walls": True})
    assert said.startswith("armored drop: at bench A: ")


def test_size_tells_what_walls_may_not_hold() -> None:
    """A steel-frame bay, type II: no cable in the wall by `size` either; and none in walls that are forbidden."""
    saw = SAW | {"name": "saw", "at": "bench A", "ways": {"hard_wired": False}}
    shop = make_shop([saw], building={"patching": False, "construction": "type II"})
    text = sizes_text(Facts(shop, cable_catalog()), None)
    assert "\n  wall drop, from" not in text
    assert "not laid in a building of type II (NEC 334.10)" in text
    masonry = {"patching": False, "forbid": {"wall drop": "the walls are masonry"}}
    text = sizes_text(Facts(make_shop([saw], building=masonry), make_catalog()), None)
    assert "\n  wall drop, from" not in text
    assert "not allowed (the walls are masonry): wall drop" in text


def test_cable_that_is_there_may_stay() -> None:
    """A run that is there is kept where no new one would be laid; without it there is no plan of wall drops only."""
    now = {
        "method": "wall drop",
        "panel": "panel",
        "configuration": "NEMA 6-20",
        "breaker": 20,
        "awg": "12",
    }
    saw = SAW | {"name": "saw", "at": "bench A"}
    building = {"patching": False, "construction": "type II"}
    kept = make_shop([saw | {"now": now}], building=building)
    assert ranked(kept, cable_catalog())[0].present_value_cents == 0
    with pytest.raises(NoPlanError):
        ranked(make_shop([saw], building=building), cable_catalog())


def test_a_run_from_a_steel_bay_obeys_the_bay() -> None:
    """Each foot obeys the place it lies in: from a panel in a type II bay no cable runs to the garage of the house."""
    saw = SAW | {"name": "saw", "at": "bench A", "ways": BOTH}
    others = [{"name": name} for name in ("bench C", "bench D", "bench E")]
    shop = make_shop(
        [saw],
        panels=[PANELS[0] | {"place": "bench B"}],
        places=[HOUSE, {"name": "bench B", "construction": "type II"}, *others],
        building={"patching": False},
    )
    (way,) = [way for _, way, _ in ranked(shop, cable_catalog())[0].plan.shares()]
    assert way.method == "armored drop"


# beside the panel -----------------------------------------------------------------------------------

CONDUIT: list[Row] = [
    {"kind": "conduit", "attributes": ["trade_size"], "sold": "length"},
    {"kind": "building wire", "attributes": ["awg"], "sold": "length"},
]


@pytest.mark.parametrize(
    ("place", "conduit", "chosen"),
    [
        (HOUSE, 400, "WALL"),
        ({"name": "bench A"}, 400, None),
        ({"name": "bench A"}, 50, "CONDUIT"),
        (HOUSE, 50, "CONDUIT"),
    ],
)
def test_an_outlet_beside_the_panel_by_what_the_place_allows(
    place: Row, conduit: int, chosen: str | None
) -> None:
    """5 ft of armored cable at 2.00 a foot, of nonmetallic cable at 1.00 in a dwelling only, or of conduit and wire.

    By hand, over 5 ft: 10.00, 5.00, or 5 x conduit + 15 ft of wire at 0.10; outside dwellings cable is not laid exposed.
    """
    kinds = [kind | ({"nonmetallic": True} if kind["kind"] == "building cable" else {}) for kind in KINDS]
    more: list[Row] = [
        {"id": f"emt-{size}", "kind": "conduit", "name": size, "attributes": {"trade_size": size}}
        for size in ("1/2", "3/4")
    ]
    more += [{"id": "wire-12", "kind": "building wire", "name": "wire 12", "attributes": {"awg": "12"}}]
    offers = [offer("wire-12", "store", "0.10", "ft")]
    offers += [offer(f"emt-{size}", "store", Decimal(conduit) / 100, "ft") for size in ("1/2", "3/4")]
    recipes = {
        name: {"extra": 5, "tasks": [{"task": "run-cable"}]}
        for name in ("outlet beside panel in conduit", "outlet beside panel by cable")
    }
    found = make_catalog(kinds=[*kinds, *CONDUIT], more_parts=more, more_offers=offers, recipes=recipes)
    others = [{"name": name} for name in ("bench B", "bench C", "bench D", "bench E")]
    saw = SAW | {"name": "saw", "at": "bench A", "ways": {"hard_wired": False, "only": ["cord"]}}
    shop = make_shop([saw], panels=[PANELS[0] | {"place": "bench A"}], places=[place, *others])
    ((_, way, _),) = ranked(shop, found)[0].plan.shares()
    assert (way.beside.name if way.beside else None) == chosen


def test_an_outlet_that_stays_keeps_the_rule_of_its_own_place() -> None:
    """A saw on a longer cord moves into the bay, 20 ft off, and stays plugged in where it was: nothing is changed there."""

    def best_of(listed: bool) -> Ranked:
        saw = SAW | {"name": "saw", "at": "bench A", "plug_may_change": True}
        places = [
            {"name": "bench A", "ground_fault_place": False},
            {"name": "bench B", "ground_fault_place": listed},
            *({"name": name} for name in ("bench C", "bench D", "bench E")),
        ]
        cords = {"slack": [20], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
        events = [{"year": 2, "machine": "saw", "move": "bench B"}]
        scenarios = [{"name": "moves", "weight": 1, "events": events}]
        shop = make_shop([saw], places=places, cords=cords, scenarios=scenarios)
        return ranked(shop, catalog())[0]

    plain, protected = best_of(listed=False), best_of(listed=True)
    assert all(way.slack_ft for _, way, _ in protected.plan.shares())
    assert protected.present_value_cents == plain.present_value_cents


# which receptacles may protect ----------------------------------------------------------------------


def protected_by(found: Ranked) -> set[bool]:
    """Whether the plan's ways have the protection in the receptacle."""
    return {way.ground_fault_receptacle for _, way, _ in found.plan.shares()}


@pytest.mark.parametrize(
    ("run", "extra"),
    [("wall drop", 2200), ("armored drop", 2200), ("ceiling outlet", 4300)],
)
def test_a_receptacle_at_the_ceiling_does_not_protect(run: str, extra: int) -> None:
    """NFPA 70 210.8: the device is readily accessible, reached without a ladder (Article 100); at a ceiling it is the breaker.

    27.00 - 5.00 by the receptacle, 55.00 - 12.00 by the breaker.
    """
    vacuum = VACUUM | {"name": "vacuum", "at": "bench A", "ways": {"hard_wired": False, "only": [run]}}
    others = [{"name": name} for name in ("bench B", "bench C", "bench D", "bench E")]

    def total(place: Row) -> Ranked:
        building = {"patching": False, "finished_walls": False, "construction": "type V"}
        shop = make_shop(
            [vacuum], panels=PANELS, places=[place, *others], building=building, code={"edition": 2023}
        )
        return ranked(shop, catalog())[0]

    found = total(HOUSE)
    plain = total({"name": "bench A", "ground_fault_place": False, "occupancy": "commercial"})
    assert found.present_value_cents - plain.present_value_cents == extra
    assert protected_by(found) == {run != "ceiling outlet"}


def test_only_configurations_that_are_sold_protect_themselves() -> None:
    """210.8 on an L5-20: nobody sells that with protection of its own, so the breaker has it, in `size` as in the plan."""
    grinder = {"name": "grinder", "at": "bench A", "volts": 120, "amps": 12, **PLUGGED}
    locking: Row = {"slack": [0], "families": ["locking"], "service": ["hard"]}
    others = [{"name": name} for name in ("bench B", "bench C", "bench D", "bench E")]
    shop = make_shop([grinder], panels=PANELS, places=[HOUSE, *others], cords=locking, code={"edition": 2023})
    found: list[Row] = [
        {
            "id": "receptacle-l5-20",
            "kind": "receptacle",
            "name": "L5-20",
            "attributes": {"configuration": "NEMA L5-20"},
        },
        {
            "id": "plug-l5-20",
            "kind": "plug",
            "name": "L5-20",
            "attributes": {"configuration": "NEMA L5-20"},
        },
    ]
    held = catalog()
    more = [offer(row["id"], "store", 9) for row in found]
    offers = [row.model_dump(by_alias=True, exclude_unset=True) for row in held.offers]
    whole = Catalog.model_validate(
        held.model_dump(by_alias=True, exclude_unset=True)
        | {
            "parts": [
                *(row.model_dump(by_alias=True, exclude_unset=True) for row in held.parts),
                *found,
            ],
            "offers": [*offers, *({"row": 900 + at, **row} for at, row in enumerate(more))],
        }
    )
    assert protected_by(ranked(shop, whole)[0]) == {False}
    text = sizes_text(Facts(shop, whole), None)
    assert "1-pole ground-fault breaker" in text
    assert "ground-fault receptacle" not in text


@pytest.mark.parametrize(
    ("at_machine", "at_panel", "told"),
    [(True, False, {"saw": 9000, "vacuum": 2200}), (False, False, {}), (True, True, {}), (True, None, {})],
    ids=["the bay alone", "dry both", "the panel's too", "nobody said of the panel's, which is asked"],
)
def test_a_cord_from_a_dry_panel_to_a_listed_bay_is_asked_with_its_money(
    at_machine: bool, at_panel: bool | None, told: dict[str, int]
) -> None:
    """2-pole 112.00 - 22.00; at 120 V the receptacle 27.00 - 5.00 is cheaper than the breaker 55.00 - 12.00. In no total."""
    corded: Row = {"hard_wired": False, "only": ["cord"]}
    machines = [
        SAW | {"name": "saw", "at": "bench B", "ways": corded},
        VACUUM | {"name": "vacuum", "at": "bench B", "ways": corded},
    ]
    where: Row = {} if at_panel is None else {"ground_fault_place": at_panel}
    places = [
        {"name": "bench A"},
        {"name": "bench B", "ground_fault_place": at_machine},
        {"name": "bench C"} | where,
        {"name": "bench D"},
        {"name": "bench E"},
    ]
    panels = [PANELS[0] | {"place": "bench C"}]
    shop = make_shop(machines, panels=panels, code={"edition": 2023}, places=places)
    comparison = compared(shop)
    found = {
        entry.machine: entry.cents for entry in turning_on(AT_THE_MACHINES, comparison.facts, comparison.best)
    }
    assert found == told
    words = [note for note in comparison.warnings if "cords lead from" in note]
    assert ["USD 112.00 (saw 90.00, vacuum 22.00)" in note for note in words] == ([True] if told else [])
    topics = {entry.topic for entry in noted(comparison.facts, comparison.best)}
    assert (Topic.CORD_TO_LISTED in topics) is bool(told)
    scope = " ".join(scope_text(scope_sheet(comparison, alternates=0)).split())
    assert ("Ground-fault protection of" in scope) is bool(told or at_panel is None)
