"""What makes work slower belongs to the place where it is done; rules of this tool, figures invented."""

from decimal import Decimal
from typing import Any

import pytest
from strategies import (
    FEET,
    KINDS,
    LATHE,
    MILL,
    PANEL,
    SAW,
    make_catalog,
    make_gear_shop,
    make_shop,
    move,
    one_pole,
    ranked,
    scenario,
    with_gear,
)

from costplan.circuits.circuit import Builder, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Slowed, Slowing
from costplan.circuits.shared_gear import candidate
from costplan.circuits.ways import Way, load_of
from costplan.ledger.lines import LineKind
from costplan.model.choices import Family, Method, Supply
from costplan.model.hour_factors import HourFactor, of_ceiling
from costplan.model.shop import Shop
from costplan.program.ranked import Ranked

Row = dict[str, Any]
FACTORS = {"brick": "1.5", "high": 2}
BRICK = Slowed((Slowing("brick", Decimal("1.5")),))
CARE = {"yearly cord care": {"tasks": [{"task": "wire-plug"}]}}
WEARING = [kind | ({"life": 3} if kind["kind"] in ("cord", "receptacle") else {}) for kind in KINDS]
SMALL = dict.fromkeys(("conduit drop", "armored drop", "ceiling outlet"), "left out to keep the test small")
TAKE_OUT = {"take out": {"tasks": [{"task": "change-device"}]}}


def shop_of(
    *events: Row,
    places: dict[str, list[str]] | None = None,
    routes: dict[str, list[str]] | None = None,
    machines: tuple[Row, ...] = (SAW,),
    only: str = "wall drop",
    **more: Any,
) -> Shop:
    """A shop whose places and routes from the panel may have hour factors; the panel hangs at bench D."""
    slow, along = places or {}, routes or {}
    ways = {"ways": {"only": [only], "hard_wired": False}}
    names = list(FEET)
    return make_shop(
        [machine | ways for machine in machines],
        panels=[PANEL | {"place": "bench D"}],
        places=[{"name": name, "hour_factors": slow.get(name, [])} for name in names],
        routes=[
            {"from": "panel", "to": place, "fixed": ft, "cord": ft, "hour_factors": along.get(place, [])}
            for place, ft in FEET.items()
        ]
        + [{"from": a, "to": b, "cord": 20} for i, a in enumerate(names) for b in names[i + 1 :]],
        hour_factors=FACTORS,
        scenarios=[scenario(*events)],
        **{"years": 6} | more,
    )


def hours(found: Ranked) -> dict[tuple[int, str], Decimal]:
    """Hours by year and task."""
    done: dict[tuple[int, str], Decimal] = {}
    for line in found.lines:
        if line.kind is LineKind.LABOR and line.task:
            key = (line.year, line.task)
            done[key] = done.get(key, Decimal(0)) + (line.hours or Decimal(0))
    return done


def test_a_factor_counts_for_the_tasks_it_touches_and_those_alone() -> None:
    """By hand: the run and its foot are high, x 1.2, the box is in brick, x 1.3; nothing is multiplied by both."""
    factors = {
        "high": {"factor": "1.2", "tasks": ["run-cable", "foot-of-cable"]},
        "brick": {"factor": "1.3", "tasks": ["set-outlet"]},
    }
    plain = best(shop_of())
    made = shop_of(places={"bench A": ["brick"]}, routes={"bench A": ["high"]}).model_copy(
        update={"hour_factors": {name: HourFactor.model_validate(by) for name, by in factors.items()}}
    )
    expected = {"run-cable": Decimal("1.2"), "foot-of-cable": Decimal("1.2"), "set-outlet": Decimal("1.3")}
    assert best(made) == {key: hours * expected.get(key[1], 1) for key, hours in plain.items()}


def test_the_book_has_factors_too_and_the_shops_own_come_first() -> None:
    book = {"brick": {"factor": "1.3", "tasks": ["set-outlet"]}, "wet": 4}
    catalog = make_catalog().model_copy(
        update={"hour_factors": {name: HourFactor.model_validate(by) for name, by in book.items()}}
    )
    facts = Facts(shop_of(places={"bench A": ["brick", "wet"]}), catalog)
    assert facts.slowed("bench A") == Slowed((*BRICK.by, Slowing("wet", Decimal(4))))


HIGH = {"factor": "1.2", "ceiling_above": 10, "ceiling_to": 14}
HIGHER = {"factor": "1.4", "ceiling_above": 14, "ceiling_to": 20}


@pytest.mark.parametrize(
    ("ceiling_ft", "counted"),
    [(10, ()), ("10.5", ("high",)), (14, ("high",)), (15, ("higher",)), (20, ("higher",)), (30, ("higher",))],
)
def test_the_factor_that_begins_nearest_below_the_ceiling_counts(ceiling_ft: Any, counted: Any) -> None:
    """Above the highest it goes on to count; check asks about it (rule of this tool)."""
    book = {"high": HourFactor.model_validate(HIGH), "higher": HourFactor.model_validate(HIGHER)}
    assert of_ceiling(book, {}, Decimal(ceiling_ft)) == counted
    own = {"lift": HourFactor.model_validate({"factor": 2, "ceiling_above": 14})}
    assert of_ceiling(book, own, Decimal(16)) == ("lift",)
    assert of_ceiling({}, {"wet": HourFactor.model_validate(3)}, Decimal(ceiling_ft)) == ()


def under_a_ceiling(
    places: dict[str, list[str]] | None = None, routes: dict[str, list[str]] | None = None
) -> Facts:
    """A shop under 12 ft with a book's factor from 10 ft on; only the places and routes given say something."""
    slow, along = places or {}, routes or {}
    shop = make_shop(
        [SAW],
        panels=[PANEL | {"place": "bench D"}],
        places=[{"name": name} | ({"hour_factors": slow[name]} if name in slow else {}) for name in FEET],
        routes=[
            {"from": "panel", "to": name, "fixed": 9, "cord": 9}
            | ({"hour_factors": along[name]} if name in along else {})
            for name in FEET
        ],
        building={"ceiling_height": 12},
        hour_factors=FACTORS | {"up": {"factor": 3, "ceiling_above": 20}},
    )
    high = {"10 to 14 ft": HourFactor.model_validate(HIGH)}
    return Facts(shop, make_catalog().model_copy(update={"hour_factors": high}))


def test_the_ceiling_counts_unless_the_place_or_the_route_speaks_of_it() -> None:
    facts = under_a_ceiling({"bench A": ["brick"], "bench B": [], "bench C": ["up"]}, {"bench D": []})
    assert facts.slowed("bench A").because == ("brick", "10 to 14 ft")
    assert facts.slowed("bench B", "panel", along=True) == facts.slowed("bench B") == Slowed()
    assert facts.slowed("bench C", "panel", along=True).because == ("up",)
    assert facts.slowed("bench D").because == ("10 to 14 ft",)
    assert facts.slowed("bench D", "panel", along=True) == facts.slowed_at_panel("panel") == Slowed()
    assert under_a_ceiling().slowed("bench A", "panel", along=True).factor == Decimal("1.2")


def test_a_new_spot_is_under_the_same_ceiling() -> None:
    """Drawn from a place that says nothing, it says nothing either."""
    event = {"year": 1, "machine": "saw", "new_spot": True}
    shop = make_shop(
        [SAW | {"ways": {"only": ["wall drop"], "hard_wired": False}}],
        places=[{"name": name} for name in FEET],
        building={"patching": False, "ceiling_height": 12},
        hour_factors={"high": HIGH},
        scenarios=[scenario(event)],
        years=3,
    )
    done = best(shop)
    assert done[0, "run-cable"] == done[1, "run-cable"] == Decimal("1.2")


def best(shop: Shop, **catalog: Any) -> dict[tuple[int, str], Decimal]:
    return hours(ranked(shop, make_catalog(**catalog))[0])


def test_factors_multiply_and_each_counts_once() -> None:
    facts = Facts(
        shop_of(places={"bench A": ["brick"]}, routes={"bench A": ["high", "brick"]}), make_catalog()
    )
    assert facts.slowed("bench A") == BRICK
    assert facts.slowed("bench A", "panel", along=True) == Slowed((*BRICK.by, Slowing("high", Decimal(2))))
    assert facts.slowed("bench B", "panel", along=True) == Slowed()
    assert facts.slowed_at_panel("panel") == Slowed()


def test_a_fixed_run_is_slower_by_its_place_and_its_route() -> None:
    done = best(shop_of(places={"bench A": ["brick"]}, routes={"bench A": ["high"]}))
    assert (done[0, "run-cable"], done[0, "foot-of-cable"], done[0, "set-outlet"]) == (3, 9, 3)
    assert done[0, "land-in-panel"] == 1


def test_work_in_the_panel_is_slower_by_the_panels_place() -> None:
    done = best(shop_of(places={"bench D": ["brick"]}))
    assert (done[0, "run-cable"], done[0, "land-in-panel"]) == (1, Decimal("1.5"))


def test_a_cord_is_slower_where_its_machine_stands_and_its_outlet_where_the_panel_hangs() -> None:
    slow = {"bench A": ["brick"], "bench D": ["high"]}
    done = best(shop_of(places=slow, only="cord"), recipes=CARE)
    assert done[0, "make-cord"] == Decimal("1.5")
    assert done[0, "run-cable"] == done[0, "set-outlet"] == done[0, "land-in-panel"] == 2
    assert done[1, "wire-plug"] == Decimal("1.5")  # yearly care, the last year's too
    assert done[6, "wire-plug"] == Decimal("1.5")
    done = best(shop_of(routes={"bench A": ["high"]}, only="cord"))
    assert done[0, "make-cord"] == 2
    assert done[0, "run-cable"] == 1


def test_the_move_of_a_machine_is_slower_where_it_comes_to() -> None:
    done = best(shop_of(move(1, "saw", "bench C"), places={"bench C": ["brick"]}))
    assert done[1, "move-machine"] == Decimal("1.5")
    assert done[1, "run-cable"] == Decimal("1.5")
    assert done[1, "make-safe"] == 1  # at bench A
    done = best(shop_of(move(1, "saw", "bench C"), places={"bench A": ["brick"]}))
    assert (done[1, "move-machine"], done[1, "make-safe"]) == (1, Decimal("1.5"))


@pytest.mark.parametrize("slow", ["bench A", "bench B"])
def test_wear_is_replaced_at_the_pace_of_where_a_thing_is_then(slow: str) -> None:
    """The cord comes along from bench A to bench B in year 1, and is replaced there in year 3."""
    shop = shop_of(move(1, "saw", "bench B"), places={slow: ["brick"]}, only="cord", years=5)
    done = best(shop, kinds=WEARING)
    assert done[0, "make-cord"] == (Decimal("1.5") if slow == "bench A" else 1)
    assert done[3, "make-cord"] == (Decimal("1.5") if slow == "bench B" else 1)


def test_a_receptacle_is_replaced_at_the_pace_of_its_place() -> None:
    done = best(shop_of(places={"bench A": ["brick"]}, years=5), kinds=WEARING)
    assert done[3, "change-device"] == Decimal("1.5")


def test_another_machine_that_comes_there_is_as_slow() -> None:
    """The lathe takes over the outlet; what it wears there is replaced at the place's pace."""
    leaves = {"year": 1, "machine": "saw", "leaves": True}
    lathe = LATHE | {"at": "bench A", "arrives": 1}
    shop = shop_of(leaves, places={"bench A": ["brick"]}, machines=(SAW, lathe), years=5)
    assert best(shop, kinds=WEARING)[3, "change-device"] == Decimal("1.5")


def test_taking_out_is_slower_where_the_outlet_is() -> None:
    building = {"patching": False, "forbid": SMALL, "lease": {"ends": 3, "take_out": True}}
    done = best(shop_of(places={"bench A": ["brick"]}, building=building, years=3), recipes=TAKE_OUT)
    assert done[3, "change-device"] == Decimal("1.5")


def test_a_quote_in_the_place_of_a_recipe_has_no_factor() -> None:
    quote = {"wall drop": {"quote": {"hours_per_run": 2, "own_hours_per_run": 1}}}
    done = best(shop_of(places={"bench A": ["brick"]}), recipes=quote)
    quoted = [value for (_, task), value in done.items() if task == "quoted work"]
    assert quoted == [3]


def test_a_new_spot_is_as_slow_as_the_one_it_is_drawn_from() -> None:
    event = {"year": 1, "machine": "saw", "new_spot": True}
    done = best(shop_of(event, places={"bench A": ["brick"]}, routes={"bench A": ["high"]}))
    assert done[1, "run-cable"] == 3


def test_a_drive_is_slower_where_its_machine_stands() -> None:
    """Put up, and replaced when it is worn out."""
    catalog = with_gear()
    catalog["kinds"] = [kind | ({"life": 2} if kind["kind"] == "drive" else {}) for kind in catalog["kinds"]]
    catalog["recipes"] = catalog["recipes"] | {"renew drive": {"tasks": [{"task": "wire-plug"}]}}
    shop = make_gear_shop([MILL], hour_factors=FACTORS)
    places = [
        spot.model_copy(update={"hour_factors": ["brick"]}) if spot.name == MILL["at"] else spot
        for spot in shop.places
    ]
    facts = Facts(shop.model_copy(update={"places": places}), make_catalog(**catalog))
    way = Way(Method.WALL, "panel", Family.STRAIGHT, supply=Supply.DRIVE)
    mill = facts.shop.machines[0]
    today = Standing(0, mill.at, load_of(mill), 0, Decimal(1), "is here today")
    device = Builder(facts, mill, way).build(today).supplied.device
    assert device is not None
    (wear,) = device.wears
    for bundle in (device.bought, device.reused, wear.work):
        assert bundle.work
        assert {done.slowed for done in bundle.work} == {BRICK}


FEEDER = {"feeder": {"tasks": [{"task": "run-cable"}, {"task": "foot-of-cable", "per": "ft"}]}}
ROOM = PANEL | {"place": "bench D", "tandems": 1, "one_pole_circuits": [one_pole(2)]}


def slow_gear(
    name: str, places: dict[str, list[str]], routes: dict[str, list[str]]
) -> dict[str, tuple[str, ...]]:
    """What makes each task of putting the gear in, and of replacing it, slower."""
    shop = make_gear_shop([SAW], (name,), hour_factors=FACTORS, panels=[ROOM])
    spots = [spot.model_copy(update={"hour_factors": places.get(spot.name, [])}) for spot in shop.places]
    ways = [
        route.model_copy(update={"hour_factors": routes[route.end]})
        if route.start == "panel" and route.end in routes
        else route
        for route in shop.routes
    ]
    facts = Facts(
        shop.model_copy(update={"places": spots, "routes": ways}), make_catalog(**with_gear(**FEEDER))
    )
    (gear,) = facts.shop.gear
    made = candidate(facts, gear)
    return {work.task: work.slowed.because for work in (made.bundle + made.renewed).work}


def test_a_feeder_is_slower_by_its_route_and_a_panel_by_its_place() -> None:
    """By hand: the run goes to the place along the route; the panel is put up at the place alone."""
    slow = {"bench C": ["brick"], "bench D": ["high"]}
    done = slow_gear("subpanel", slow, {"bench C": ["high"], "bench D": ["high"]})
    run, mounted = ("brick", "high"), ("brick",)
    assert done == {
        "run-cable": run,
        "foot-of-cable": run,
        "land-in-panel": mounted,
        "set-outlet": mounted,
    }
    done = slow_gear("second main", {"bench D": ["brick"]}, {"bench D": ["high"]})
    assert set(done.values()) == {("brick",)}


def test_a_converter_is_set_and_replaced_more_slowly_where_it_stands() -> None:
    done = slow_gear("converter", {"bench E": ["brick"]}, {})
    assert len(done) >= 4
    assert set(done.values()) == {("brick",)}


def test_a_tandem_breaker_is_put_in_where_its_panel_hangs_and_the_service_is_of_no_place() -> None:
    slow = {"bench D": ["brick"], "bench C": ["high"], "bench E": ["high"]}
    assert slow_gear("tandems", slow, {}) == {"land-in-panel": ("brick",)}
    assert slow_gear("upgrade", slow, {}) == {"land-in-panel": ()}
