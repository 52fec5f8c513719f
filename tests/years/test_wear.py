"""What wears out in a circuit over the years, and what replacing it takes; rules of this tool, all figures invented."""

from decimal import Decimal
from typing import Any

import pytest
from strategies import (
    KINDS,
    LATHE,
    MILL,
    NOW,
    SAW,
    UNSALABLE,
    make_catalog,
    make_gear_shop,
    make_shop,
    move,
    now_cord,
    offer,
    ranked,
    scenario,
    store_offers,
    with_gear,
)

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import Way
from costplan.ledger.aging import begun, follow, inner_uses
from costplan.ledger.lines import Cause, LineKind
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, Method, Service, Supply
from costplan.model.shop import Shop
from costplan.program.ranked import Ranked
from costplan.years.calendar import lives
from costplan.years.course import stream
from costplan.years.stream import Stream

Row = dict[str, Any]
DROP = Way(Method.WALL, "panel", Family.STRAIGHT)
LONGER = Way(Method.WALL, "panel", Family.STRAIGHT, Decimal(25), False, Service.HARD)
WIRED = Way(Method.WALL, "panel", None)
CORD = Way(Method.CORD, "panel", Family.STRAIGHT, Decimal(0), False, Service.HARD)
TO_30_A = {"volts": 240, "amps": 24}
PLUGLESS = {key: value for key, value in SAW.items() if key != "plug"}


def worn(lasting: dict[str, int], **more: Any) -> Catalog:
    """A catalog of kinds with lives."""
    kinds = [
        kind | ({"life": lasting[kind["kind"]]} if kind["kind"] in lasting else {})
        for kind in more.pop("kinds", KINDS)
    ]
    return make_catalog(kinds=kinds, **more)


def stream_of(way: Way, shop: Shop, catalog: Catalog, machine: str = "saw") -> tuple[Facts, Stream]:
    facts = Facts(shop, catalog)
    fate = {known.name: lives(facts.shop, known)[machine] for known in facts.shop.scenarios}
    return facts, stream(Builder(facts, facts.machines[machine], way), fate)


def renewed(way: Way, shop: Shop, catalog: Catalog, machine: str = "saw") -> list[tuple[int, str, list[str]]]:
    """Every replacement when all is bought new and lasts as short as it may: year, part, tasks."""
    facts, known = stream_of(way, shop, catalog, machine)
    found = []
    for use in known.uses:
        for thing in (use, *inner_uses(use)):
            wear = begun(facts, thing)
            for name, _ in thing.ends:
                for year, bundle in follow(thing, name, *wear, shop.years)[0]:
                    kinds = [need.spec.kind for need in bundle.needs]
                    found.append((year, " ".join(kinds), sorted(work.task for work in bundle.work)))
    return sorted(found)


def one(*events: Row, machine: Row = SAW, years: int = 6, only: str | None = None, **more: Any) -> Shop:
    """A shop of one machine, perhaps by one method only."""
    ways = {"ways": {"hard_wired": False, "only": [only]}} if only else {}
    return make_shop([machine | ways], scenarios=[scenario(*events)], years=years, **more)


def paid(found: Ranked, kind: LineKind = LineKind.PART) -> list[tuple[int, str]]:
    return [(line.year, line.what) for line in found.lines if line.kind is kind]


# every slot -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("way", "machine", "kind", "tasks"),
    [
        (DROP, SAW, "receptacle", ["change-device"]),
        (WIRED, SAW, "disconnect", ["set-outlet"]),
        (DROP, SAW, "breaker", ["change-device"]),
        (DROP, PLUGLESS, "plug", ["wire-plug"]),  # the machine's own
        (CORD, SAW, "plug", ["wire-plug"]),
        (CORD, SAW, "connector", ["wire-plug"]),
        (CORD, SAW, "cord", ["make-cord"]),
        (CORD, SAW, "overhead kit", []),
    ],
)
def test_every_part_of_a_circuit_is_replaced_when_it_is_worn(
    way: Way, machine: Row, kind: str, tasks: list[str]
) -> None:
    """Bought today, it lasts 2 years of 6: replaced at the ends of years 2 and 4, not in the last."""
    found = renewed(way, one(machine=machine), worn({kind: 2}))
    assert found == [(2, kind, tasks), (4, kind, tasks)]


@pytest.mark.parametrize(("life", "years"), [(5, [5]), (6, []), (7, [])])
def test_nothing_is_replaced_in_the_last_year(life: int, years: list[int]) -> None:
    assert [year for year, _, _ in renewed(DROP, one(), worn({"receptacle": life}))] == years


def test_a_part_bought_later_wears_from_then_on() -> None:
    shop = one(move(1, "saw", "bench C"))
    assert [year for year, _, _ in renewed(DROP, shop, worn({"receptacle": 3}))] == [4]


def test_the_life_of_a_part_wins_over_its_kinds() -> None:
    catalog = worn({"receptacle": 2})
    known = [
        part.model_copy(update={"life_years": 4}) if part.id == "receptacle-6-20" else part
        for part in catalog.parts
    ]
    catalog = catalog.model_copy(update={"parts": known})
    assert [year for year, _, _ in renewed(DROP, one(), catalog)] == [4]


@pytest.mark.parametrize(
    ("share", "years"), [("0.5", [2, 4]), ("0.1", [1, 2, 3, 4, 5]), ("200 %", []), ("0.8", [4])]
)
def test_a_machine_wears_its_parts_sooner_or_later(share: str, years: list[int]) -> None:
    """A life of 5 years: half of it is 2 whole years, a tenth still 1, 0.8 of it 4, twice is more than the plan."""
    shop = one(machine=SAW | {"lasts": {"receptacle": share}})
    assert [year for year, _, _ in renewed(DROP, shop, worn({"receptacle": 5}))] == years


def test_lasts_says_nothing_of_other_kinds() -> None:
    shop = one(machine=SAW | {"lasts": {"plug": "0.2"}})
    assert [year for year, _, _ in renewed(DROP, shop, worn({"receptacle": 5}))] == [5]


# the work ---------------------------------------------------------------------------------------------


def test_a_recipe_of_its_own_says_what_replacing_takes() -> None:
    """It wins over `change receptacle`, and brings the part only where it says so."""
    mine = {"renew receptacle": {"parts": [{"kind": "blank cover"}], "tasks": [{"task": "set-outlet"}]}}
    found = renewed(DROP, one(), worn({"receptacle": 3}, recipes=mine))
    assert found == [(3, "receptacle blank cover", ["set-outlet"])]


def test_a_machine_may_have_a_renewal_of_its_own() -> None:
    mine = {"recipes": {"renew receptacle": {"tasks": [{"task": "set-outlet"}]}}}
    found = renewed(DROP, one(machine=SAW | mine), worn({"receptacle": 3}))
    assert found == [(3, "receptacle", ["set-outlet"])]


def test_a_kind_that_wears_needs_a_recipe_for_replacing_it() -> None:
    with pytest.raises(
        CannotSizeError, match='replacing a worn outlet box takes: add a recipe "renew outlet box"'
    ):
        renewed(DROP, one(), worn({"outlet box": 3}))
    mine = {"renew outlet box": {"tasks": [{"task": "set-outlet"}]}}
    assert renewed(DROP, one(), worn({"outlet box": 3}, recipes=mine)) == [(3, "outlet box", ["set-outlet"])]


def test_a_drive_wears_where_its_life_is_known() -> None:
    mill = make_gear_shop([MILL], years=6, scenarios=[scenario()])
    way = Way(Method.WALL, "panel", Family.STRAIGHT, supply=Supply.DRIVE)
    catalog = with_gear()
    catalog["kinds"] = [kind | ({"life": 4} if kind["kind"] == "drive" else {}) for kind in catalog["kinds"]]
    with pytest.raises(CannotSizeError, match='add a recipe "renew drive"'):
        renewed(way, mill, make_catalog(**catalog), "mill")
    catalog["recipes"] = catalog["recipes"] | {"renew drive": {"tasks": [{"task": "wire-plug"}]}}
    assert renewed(way, mill, make_catalog(**catalog), "mill") == [(4, "drive", ["wire-plug"])]


# moves ------------------------------------------------------------------------------------------------


def test_what_a_move_replaces_anyway_is_bought_once() -> None:
    """The cord is worn out in year 3, and too short for where the saw goes in that year."""
    found = ranked(one(move(3, "saw", "bench C"), only="cord"), worn({"cord": 3}))[0]
    cords = [(year, what) for year, what in paid(found) if what.startswith("cord ")]
    assert cords == [(3, "cord 12/3, 40 ft"), (0, "cord 12/3, 30 ft")]


def test_what_a_move_keeps_is_replaced_in_the_year_it_wears_out_all_the_same() -> None:
    shop = one(move(3, "saw", "bench B"))
    assert [year for year, kind, _ in renewed(CORD, shop, worn({"cord": 3})) if kind == "cord"] == [3]


@pytest.mark.parametrize(("life", "from_stock"), [(3, True), (2, False)])
def test_what_is_set_free_in_the_year_it_wears_out_is_scrap(life: int, from_stock: bool) -> None:
    """The saw leaves in year 2, and the lathe comes in that year: a cord with a year left serves it."""
    only = {"ways": {"only": ["cord"]}}
    shop = make_shop(
        [SAW | only, LATHE | only | {"arrives": 2, "at": "bench B"}],
        scenarios=[scenario({"year": 2, "machine": "saw", "leaves": True})],
        years=3,
    )
    plan = ranked(shop, worn({"cord": life}))[0].plan
    served = {reuse.item.spec.kind for reuse in plan.reused}
    served |= {piece.spec.kind for used in plan.whole_cords for piece in used.cord.pieces}
    assert ("cord" in served) == from_stock


def test_what_has_worn_since_keeps_its_years_at_a_machine_that_wears_sooner() -> None:
    """A breaker of 6 years, free in year 2, has two left in year 4; one that is new would last the lathe 3."""
    only = {"ways": {"only": ["wall drop"], "hard_wired": False}}
    lathe = LATHE | only | {"arrives": 4, "lasts": {"breaker": "0.5"}}
    gone = scenario({"year": 2, "machine": "saw", "leaves": True})
    found = ranked(make_shop([SAW | only, lathe], scenarios=[gone], years=8), worn({"breaker": 6}))[0]
    breakers = [year for year, what in paid(found) if what.startswith("breaker")]
    assert sorted(breakers) == [0, 6]


def test_nothing_is_replaced_in_the_year_in_which_the_machine_leaves() -> None:
    shop = one({"year": 4, "machine": "saw", "leaves": True})
    assert [year for year, _, _ in renewed(DROP, shop, worn({"receptacle": 2}))] == [2]


def test_a_used_thing_keeps_its_age() -> None:
    """A cord bought today and free in year 1 is replaced at the lathe in year 4, not in year 5."""
    only = {"ways": {"only": ["cord"]}}
    shop = make_shop(
        [SAW | only, LATHE | only | {"arrives": 1, "at": "bench B"}],
        scenarios=[scenario({"year": 1, "machine": "saw", "leaves": True})],
        years=6,
    )
    found = ranked(shop, worn({"cord": 4}))[0]
    assert [year for year, what in paid(found) if what.startswith("cord ")] == [4, 0]


@pytest.mark.parametrize("kind", ["plug", "overhead kit", "cord", "connector", "breaker"])
@pytest.mark.parametrize("way", [DROP, CORD])
def test_nothing_of_a_machine_that_is_gone_is_replaced(kind: str, way: Way) -> None:
    shop = one({"year": 3, "machine": "saw", "leaves": True}, machine=PLUGLESS)
    assert max((year for year, _, _ in renewed(way, shop, worn({kind: 1}))), default=0) <= 2


# the ends of a run ------------------------------------------------------------------------------------


def test_ends_that_were_changed_wear_from_then_on_and_the_old_ones_no_more() -> None:
    """Retooled in year 3: the receptacle of year 0 is due in 2, 4, 6; the new one in 5, 7."""
    retool = {"year": 3, "machine": "saw", "retool": {"volts": 120, "amps": 16}}
    found = renewed(DROP, one(retool, years=8), worn({"receptacle": 2}))
    assert [(year, kind) for year, kind, _ in found] == [
        (2, "receptacle"),
        (5, "receptacle"),
        (7, "receptacle"),
    ]
    found = renewed(DROP, one(retool, years=8), worn({"breaker": 2}))
    assert [year for year, _, _ in found] == [2, 5, 7]


def test_what_is_kept_of_a_run_whose_other_end_is_changed_goes_on_wearing() -> None:
    """At 20 A on one leg less, the receptacle is another and the breaker is, too; the box is what it was."""
    retool = {"year": 3, "machine": "saw", "retool": {"volts": 120, "amps": 16}}
    mine = {"renew outlet box": {"tasks": [{"task": "set-outlet"}]}}
    found = renewed(DROP, one(retool, years=8), worn({"outlet box": 2}, recipes=mine))
    assert [year for year, _, _ in found] == [2, 4, 6]


def test_an_end_changed_later_is_not_replaced_once_its_machine_is_gone() -> None:
    retool = {"year": 2, "machine": "saw", "retool": {"volts": 120, "amps": 16}}
    leaves = {"year": 5, "machine": "saw", "leaves": True}
    found = renewed(DROP, one(retool, leaves, years=9), worn({"receptacle": 2}))
    assert [year for year, _, _ in found] == [4]


def test_a_receptacle_worn_in_the_year_it_is_changed_is_bought_once() -> None:
    retool = {"year": 2, "machine": "saw", "retool": {"volts": 120, "amps": 16}}
    found = ranked(one(retool, only="wall drop"), worn({"receptacle": 2}))[0]
    receptacles = [(year, what) for year, what in paid(found) if what.startswith("receptacle")]
    assert sorted(receptacles) == [
        (0, "receptacle NEMA 6-20"),
        (2, "receptacle NEMA 5-20"),
        (4, "receptacle NEMA 5-20"),
    ]


# the breaker of an outlet -----------------------------------------------------------------------------


def after_the_saw(**more: Any) -> Shop:
    """The saw leaves in year 2, and the lathe comes to its place in year 3."""
    only = {"ways": {"only": ["wall drop"], "hard_wired": False}}
    return make_shop(
        [SAW | only, LATHE | only | {"arrives": 3, "at": "bench A"}],
        scenarios=[scenario({"year": 2, "machine": "saw", "leaves": True})],
        **{"years": 8} | more,
    )


def test_the_breaker_of_an_outlet_that_another_takes_over_goes_on_wearing() -> None:
    """Bought today with 5 years to go, used by the saw and then by the lathe: replaced once, in year 5."""
    found = ranked(after_the_saw(), worn({"breaker": 5}))[0]
    breakers = [(year, what) for year, what in paid(found) if what.startswith("breaker")]
    assert sorted(breakers) == [(0, "breaker 2p 20 A"), (5, "breaker 2p 20 A")]
    assert "outlet" in {reuse.item.spec.kind for reuse in found.plan.reused}


def test_an_outlet_whose_breaker_wore_out_while_it_waited_serves_nobody() -> None:
    found = ranked(after_the_saw(), worn({"breaker": 3}))[0]
    assert "outlet" not in {reuse.item.spec.kind for reuse in found.plan.reused}


def test_a_breaker_set_free_keeps_its_age() -> None:
    """The lathe comes elsewhere: the saw's breaker of 6 years serves it from year 3 to 6, then another does."""
    only = {"ways": {"only": ["wall drop"], "hard_wired": False}}
    shop = make_shop(
        [SAW | only, LATHE | only | {"arrives": 2}],
        scenarios=[scenario({"year": 2, "machine": "saw", "leaves": True})],
        years=9,
    )
    found = ranked(shop, worn({"breaker": 6}))[0]
    breakers = [(year, what) for year, what in paid(found) if what.startswith("breaker")]
    assert sorted(breakers) == [(0, "breaker 2p 20 A"), (6, "breaker 2p 20 A")]
    assert "breaker" in {reuse.item.spec.kind for reuse in found.plan.reused}


# what is there already --------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["receptacle", "breaker"])
def test_what_a_machine_has_now_counts_as_new_today(kind: str) -> None:
    shop = one(machine=SAW | {"now": NOW}, only="wall drop")
    found = ranked(shop, worn({kind: 4}))[0]
    assert [(year, what.split()[0]) for year, what in paid(found)] == [(4, kind)]


def test_the_wear_of_what_a_machine_has_now_is_of_what_it_has() -> None:
    """A present cord of another size is replaced by its like."""
    cord = {"length": 40, "awg": "10", "conductors": 3, "volts": 600, "service": "hard"}
    now = NOW | {"method": "cord", "cord": cord}
    found = ranked(one(machine=SAW | {"now": now}, only="cord"), worn({"cord": 4}))[0]
    assert paid(found) == [(4, "cord 10/3, 40 ft")]


def test_what_nobody_offers_any_more_cannot_be_replaced() -> None:
    """The kind's life holds though nobody offers the present cord's like: no silence, the way is out."""
    cord = {"length": 40, "awg": "8", "conductors": 3, "volts": 600, "service": "hard"}
    now = NOW | {"method": "cord", "cord": cord}
    found = renewed(CORD, one(machine=SAW | {"now": now}), worn({"cord": 4}))
    assert (4, "cord", ["make-cord"]) in found


def test_the_shelf_counts_as_new_today() -> None:
    shelf = [{"part": "cord-12-3", "length": 40}]
    found = ranked(one(only="cord", shelf=shelf), worn({"cord": 4}))[0]
    assert [(year, what) for year, what in paid(found) if what.startswith("cord ")] == [
        (4, "cord 12/3, 30 ft")
    ]


def test_a_machine_wears_what_lay_on_the_shelf_as_it_wears_all() -> None:
    shelf = [{"part": "cord-12-3", "length": 40}]
    shop = one(machine=SAW | {"lasts": {"cord": "0.5"}}, only="cord", shelf=shelf)
    found = ranked(shop, worn({"cord": 8}))[0]
    assert [year for year, what in paid(found) if what.startswith("cord ")] == [4]


MADE_UP: Row = {"part": "cord-12-3", "length": 40, "plug": "NEMA 6-20", "connector": "NEMA 6-20"}
"""A cord on the shelf, ends and all."""
LOOSE_CABLE: Row = {"part": "cord-12-3", "length": 40}


def test_a_breaker_given_up_today_wears_as_it_does_at_the_machine_that_takes_it() -> None:
    """New today, it would last the saw 3 x 1.6 years of 5; the lathe has it from today on, for 3."""
    hung = NOW | {"method": "cord", "cord": now_cord(25)}
    saw = SAW | {
        "now": hung,
        "lasts": {"breaker": "160 %"},
        "ways": {"hard_wired": False, "only": ["wall drop"]},
    }
    shop = make_shop(
        [saw, LATHE | {"ways": {"hard_wired": False, "only": ["cord"]}}], years=5, scenarios=[scenario()]
    )
    found = ranked(shop, worn({"breaker": 3}))[0]
    renewed_in = {
        line.machine: line.year
        for line in found.lines
        if line.kind is LineKind.PART and line.cause is Cause.WORN
    }
    assert renewed_in == {"saw": 4, "lathe": 3}


def test_a_cord_with_a_worn_end_is_not_hung_as_it_is() -> None:
    """The shelf's plug is worn out at the end of year 3: nothing is done to it before the lathe comes at the end of year 4.

    Then its cable is made a cord (20), its connector wired (20), and a plug is bought (12) and wired (20); all else is 475:
    5 ft armored cable 10, box 10, run 100, outlet 100, breaker 20, landing 100, receptacle 10, kit 15, call 50, permit 60.
    """
    found = ranked(
        one(machine=LATHE | {"arrives": 4}, years=5, only="cord", shelf=[MADE_UP]),
        worn({"plug": 3}, kinds=UNSALABLE),
    )
    assert {line.year for line in found[0].lines} == {4}
    assert found[0].present_value_cents == 54700


@pytest.mark.parametrize(
    ("share", "cable", "cents"),
    [
        ("160 %", MADE_UP, 47500),
        ("100 %", MADE_UP, 65500),
        ("160 %", LOOSE_CABLE, 56700),
        ("100 %", LOOSE_CABLE, 68700),
    ],
)
def test_the_shelf_lasts_as_it_does_at_the_machine_that_comes_for_it(
    share: str, cable: Row, cents: int
) -> None:
    """A cord that lasts 3 years serves who comes in year 3 where it lasts 3 x 1.6; else its feet are bought: 40 ft at 3.

    Whole it takes no work, 475 as above; else it is made a cord (20) and both ends are wired (20 each), which are 12 and 20
    where the shelf has none.
    """
    lathe = LATHE | {"arrives": 3, "lasts": {"cord": share}}
    shop = one(machine=lathe, years=4, only="cord", shelf=[cable])
    found = ranked(shop, worn({"cord": 3}, kinds=UNSALABLE))
    assert found[0].present_value_cents == cents


# which part is bought ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("price", "years"), [(25, [0]), (60, [0, 2, 4])])
def test_a_lasting_part_is_bought_where_it_pays(price: int, years: list[int]) -> None:
    """Three cheap receptacles of 10 with two changes by hand of 100 each, or one good one."""
    good = {
        "id": "good",
        "kind": "receptacle",
        "name": "good receptacle",
        "attributes": {"configuration": "NEMA 6-20"},
        "life": 10,
    }
    crews = [
        {"name": "owner", "role": "owner", "rate": 0, "pace": 1},
        {"name": "electrician", "role": "electrician", "rate": 1, "pace": 1},
    ]
    catalog = worn(
        {"receptacle": 2},
        more_parts=[good],
        offers=[*store_offers(), offer("good", "store", price)],
        crews=crews,
    )
    found = ranked(one(only="wall drop"), catalog)[0]
    bought = [(year, what) for year, what in paid(found) if "receptacle" in what]
    assert sorted(year for year, _ in bought) == years
    assert all(("good" in what) == (len(years) == 1) for _, what in bought)


def test_a_lasting_part_that_was_set_free_lasts_on() -> None:
    """A good cord, bought for the long life it has, is not taken for a short-lived one where it serves again."""
    good = {
        "id": "good",
        "kind": "cord",
        "name": "good cord",
        "attributes": {"awg": "12", "conductors": 3, "service": "hard", "volts": 600, "type": "SOOW"},
        "life": 30,
    }
    only = {"ways": {"only": ["cord"]}}
    shop = make_shop(
        [SAW | only, LATHE | only | {"arrives": 4, "at": "bench B"}],
        scenarios=[scenario({"year": 4, "machine": "saw", "leaves": True})],
        years=8,
    )
    catalog = worn({"cord": 1}, more_parts=[good], more_offers=[offer("good", "store", 3, "ft")])
    found = ranked(shop, catalog)[0]
    assert [year for year, what in paid(found) if "cord" in what and "kit" not in what] == [0]
