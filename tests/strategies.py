"""Small invented shops in plain Python, and hypothesis strategies over them.

Every price, rate and hour here is made up for the tests.
"""

from dataclasses import replace
from itertools import combinations
from typing import Any

from hypothesis import strategies as st

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.model.catalog import RECIPE_NAMES, Catalog
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.program import Program
from costplan.program.purchase import PurchaseRows
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.program.solver import Answer, solve
from costplan.sourcing.market import Market

Row = dict[str, Any]

KINDS: list[Row] = [
    {"kind": "receptacle", "attributes": ["configuration"]},
    {
        "kind": "plug",
        "attributes": ["configuration"],
        "portable": True,
        "resale": {"new": "20 %"},
        "reject": {"used": "10 %"},
        "inspect": "0.25 h",
    },
    {"kind": "connector", "attributes": ["configuration"], "portable": True},
    {
        "kind": "breaker",
        "attributes": ["family", "poles", "rating_a", "ground_fault", "volts"],
        "must_be_new": True,
    },
    {"kind": "building cable", "attributes": ["awg", "conductors", "ground_awg"], "sold": "cut length"},
    {"kind": "armored cable", "attributes": ["awg", "conductors", "ground_awg"], "sold": "cut length"},
    {
        "kind": "cord",
        "attributes": ["awg", "conductors", "service", "volts", "type"],
        "sold": "cut length",
        "portable": True,
        "resale": {"new": "40 %", "used": "50 %"},
        "reject": {"used": "8 %"},
    },
    {"kind": "outlet box", "attributes": ["rating_a"]},
    {"kind": "disconnect", "attributes": ["rating_a", "poles", "volts"]},
    {"kind": "overhead kit", "portable": True},
    {"kind": "blank cover"},
]

CONFIGURATIONS = ("NEMA 5-20", "NEMA 6-20", "NEMA 6-30", "NEMA 15-20", "NEMA 15-30")


def parts() -> list[Row]:
    """Devices, breakers, cables and cords for 20 and 30 A circuits of every phase."""
    rows: list[Row] = [
        {
            "id": f"{kind}-{name[5:]}",
            "kind": kind,
            "name": f"{kind} {name}",
            "attributes": {"configuration": name},
        }
        for kind in ("receptacle", "plug", "connector")
        for name in CONFIGURATIONS
    ]
    rows += [
        {
            "id": f"breaker-{poles}p-{amps}{'-gf' if fault else ''}",
            "kind": "breaker",
            "name": f"breaker {poles}p {amps} A",
            "attributes": {
                "family": "family A",
                "poles": poles,
                "rating_a": amps,
                "ground_fault": fault,
                "volts": 240,
            },
        }
        for poles in (1, 2, 3)
        for amps in (20, 30)
        for fault in (False, True)
    ]
    for kind, mark, wires in (
        ("building cable", "nm", (2, 3)),
        ("armored cable", "mc", (2, 3)),
        ("cord", "cord", (3, 4)),
    ):
        for awg in ("12", "10"):
            for count in wires:
                attributes: Row = {"awg": awg, "conductors": count}
                if kind == "cord":
                    attributes |= {"service": "hard", "volts": 600, "type": "SOOW"}
                else:
                    attributes |= {"ground_awg": awg}
                row = {"id": f"{mark}-{awg}-{count}", "kind": kind, "name": f"{kind} {awg}/{count}"}
                rows.append(row | {"attributes": attributes})
    return [
        *rows,
        {"id": "box", "kind": "outlet box", "name": "outlet box", "attributes": {"rating_a": 60}},
        {
            "id": "switch",
            "kind": "disconnect",
            "name": "disconnect",
            "attributes": {"rating_a": 60, "poles": 3, "volts": 240},
        },
        {"id": "kit", "kind": "overhead kit", "name": "overhead cord kit"},
        {"id": "cover", "kind": "blank cover", "name": "blank cover"},
    ]


PRICES = {
    "receptacle": 10,
    "plug": 12,
    "connector": 20,
    "breaker": 20,
    "building cable": 1,
    "armored cable": 2,
    "cord": 2,
    "outlet box": 10,
    "disconnect": 40,
    "overhead kit": 15,
    "blank cover": 9,
}
"""Dollars each or a foot in the store."""


def offer(part: str, supplier: str, price: object, per: str = "each", **more: object) -> Row:
    """One row of offers, new and without limit unless told otherwise."""
    return {"part": part, "supplier": supplier, "condition": "new", "price": price, "per": per, **more}


def store_offers() -> list[Row]:
    """Everything new at the store, singly or by the foot, at the prices above; thicker costs more."""
    rows = []
    for part in parts():
        price = PRICES[part["kind"]]
        if part["kind"] in ("building cable", "armored cable", "cord"):
            price = (
                price + part["attributes"]["conductors"] - 2 + (1 if part["attributes"]["awg"] == "10" else 0)
            )
            rows.append(offer(part["id"], "store", price, "ft"))
        else:
            fault = part.get("attributes", {}).get("ground_fault") is True
            rows.append(offer(part["id"], "store", price * 5 if fault else price))
    return rows


SUPPLIERS: list[Row] = [{"id": "store", "name": "The Store (invented)"}]

HOURS = {
    "run-cable": (["electrician"], True),
    "foot-of-cable": (["electrician"], True),
    "set-outlet": (["electrician"], True),
    "land-in-panel": (["electrician"], True),
    "change-device": (["electrician"], False),
    "make-safe": (["electrician"], False),
    "make-cord": (["owner"], False),
    "wire-plug": (["owner"], False),
    "move-machine": (["owner"], False),
}


def tasks(hours: Row | None = None, stops: Row | None = None) -> list[Row]:
    """Every task takes exactly an hour (a tenth a foot) unless `hours` says otherwise; `stops` those that stop the shop."""
    known: Row = dict.fromkeys(HOURS, (1, 1, 1)) | {"foot-of-cable": ("0.1", "0.1", "0.1")} | (hours or {})
    return [
        {
            "id": name,
            "name": name.replace("-", " "),
            "hours": list(known[name]),
            "who": who,
            "permit": permit,
            "stops_shop": (stops or {}).get(name, 0),
        }
        for name, (who, permit) in HOURS.items()
    ]


CREWS: list[Row] = [
    {"name": "owner", "role": "owner", "rate": 20, "pace": 1},
    {"name": "electrician", "role": "electrician", "rate": 100, "pace": 1, "call_out": 50, "permit": 60},
]

ENDS: Row = {"task": "foot-of-cable", "quantity": 5}
"""Work on the 5 ft that a run is longer than its route, which figures worked by hand count at the same pace."""
RECIPES: Row = {name: {} for name in RECIPE_NAMES} | {
    "wall drop": {"extra": 5, "tasks": [{"task": "run-cable"}, {"task": "foot-of-cable", "per": "ft"}, ENDS]},
    "armored drop": {
        "extra": 5,
        "tasks": [{"task": "run-cable"}, {"task": "foot-of-cable", "per": "ft"}, ENDS],
    },
    "outlet beside panel": {"extra": 5, "tasks": [{"task": "run-cable"}]},
    "ceiling outlet": {"extra": 5, "tasks": [{"task": "run-cable"}]},
    "receptacle": {"parts": [{"kind": "outlet box"}], "tasks": [{"task": "set-outlet"}]},
    "disconnect": {"tasks": [{"task": "set-outlet"}]},
    "breaker": {"tasks": [{"task": "land-in-panel"}]},
    "ground-fault breaker": {"tasks": [{"task": "land-in-panel"}]},
    "machine plug": {"tasks": [{"task": "wire-plug"}]},
    "cord set": {"extra": 5, "tasks": [{"task": "make-cord"}]},
    "cord end": {"tasks": [{"task": "wire-plug"}]},
    "overhead cord": {"parts": [{"kind": "overhead kit"}]},
    "change receptacle": {"tasks": [{"task": "change-device"}]},
    "change breaker": {"tasks": [{"task": "change-device"}]},
    "change cord end": {"tasks": [{"task": "wire-plug"}]},
    "move machine": {"tasks": [{"task": "move-machine"}]},
    "make safe": {"parts": [{"kind": "blank cover"}], "tasks": [{"task": "make-safe"}]},
}


def make_catalog(
    offers: list[Row] | None = None,
    *,
    more_offers: list[Row] | None = None,
    suppliers: list[Row] | None = None,
    kinds: list[Row] | None = None,
    more_parts: list[Row] | None = None,
    crews: list[Row] | None = None,
    hours: Row | None = None,
    recipes: Row | None = None,
    stops: Row | None = None,
    charges: list[Row] | None = None,
) -> Catalog:
    """A catalog; what is left out is the store's. Rows are numbered as in a file, from 2."""
    rows = (store_offers() if offers is None else offers) + (more_offers or [])
    return Catalog.model_validate(
        {
            "parts": parts() + (more_parts or []),
            "kinds": KINDS if kinds is None else kinds,
            "suppliers": SUPPLIERS if suppliers is None else suppliers,
            "tasks": tasks(hours, stops),
            "charges": charges or [],
            "crews": CREWS if crews is None else crews,
            "recipes": RECIPES | (recipes or {}),
            "offers": [{"row": row, **values} for row, values in enumerate(rows, 2)],
        }
    )


PANEL: Row = {"name": "panel", "system": "120/240 single-phase", "breakers": "family A", "spaces_free": 12}
DELTA: Row = {"name": "delta", "system": "240 three-phase", "breakers": "family A", "spaces_free": 12}

SAW: Row = {"name": "saw", "at": "bench A", "volts": 240, "amps": 16, "plug": "NEMA 6-20"}
DRILL: Row = {"name": "drill", "at": "bench B", "volts": 120, "amps": 16, "plug": "NEMA 5-20"}
LATHE: Row = {"name": "lathe", "at": "bench C", "volts": 240, "amps": 16, "plug": "NEMA 6-20"}

FEET = {"bench A": 25, "bench B": 15, "bench C": 35, "bench D": 3, "bench E": 30}
"""Feet from every panel to each place; between two places it is 20 ft."""


def make_shop(machines: list[Row] | None = None, *, panels: list[Row] | None = None, **more: Any) -> Shop:
    """A shop with wall drops and cords only, unless `more` says otherwise."""
    panels = [PANEL] if panels is None else panels
    machines = [SAW, DRILL] if machines is None else machines
    places = list(FEET)
    routes = [
        {"from": p["name"], "to": place, "fixed": ft, "cord": ft}
        for p in panels
        for place, ft in FEET.items()
    ]
    routes += [{"from": a, "to": b, "cord": 20} for i, a in enumerate(places) for b in places[i + 1 :]]
    why = "left out to keep the test small"
    values: Row = {
        "shop": "test shop (invented)",
        "invented": True,
        "today": "2026-11-02",
        "years": 4,
        "money": {"discount_rate": "0 %"},
        "code": {"edition": 2020},
        "building": {
            "patching": False,
            "construction": "type V",
            "finished_walls": True,
            "forbid": {"conduit drop": why, "armored drop": why, "ceiling outlet": why},
        },
        "panels": panels,
        "places": [{"name": place} for place in places],
        "routes": routes,
        "machines": [{"ways": {"hard_wired": False}} | machine for machine in machines],
        "cords": {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]},
    }
    return Shop.model_validate(values | more)


def move(year: int, machine: str, place: str) -> Row:
    """A dated move."""
    return {"year": year, "machine": machine, "move": place}


def scenario(*events: Row, name: str = "as planned", weight: str = "1") -> Row:
    """A scenario of events."""
    return {"name": name, "weight": weight, "events": list(events)}


def ranked(
    shop: Shop, catalog: Catalog, count: int = 1, rule: SurplusRule = SurplusRule.ALLOWED
) -> list[Ranked]:
    """The best plans of a shop."""
    return best_plans(Bench.over(Facts(shop, catalog), rule), count)


UNSALABLE: list[Row] = [kind | {"resale": {}} for kind in KINDS]
"""The kinds, when nothing can be sold at the end."""

MARKETS: dict[str, Row] = {
    "store only": {},
    "boxes": {
        "suppliers": [*SUPPLIERS, {"id": "depot", "name": "Depot (invented)", "tax": "7 %", "order_fee": 3}],
        "more_offers": [
            offer("box", "depot", 15, "box of 4"),
            offer("receptacle-6-20", "depot", "8.55"),
            offer("plug-6-20", "store", 1, condition="on-hand", available=1),
        ],
    },
    "reels": {
        "kinds": UNSALABLE,
        "suppliers": [
            {"id": "store", "name": "The Store (invented)", "cut_charge": "1.50", "tax": "6.25 %"},
            {"id": "yard", "name": "Yard (invented)", "order_fee": 4},
        ],
        "more_offers": [
            offer("cord-12-3", "yard", 70, "reel of 60 ft"),
            offer("nm-12-2", "yard", "20.25", "roll of 50 ft"),
            offer("cord-12-4", "yard", "21.35", "piece of 41 ft", condition="used", available=1),
        ],
    },
    "surplus": {
        "suppliers": [*SUPPLIERS, {"id": "surplus", "name": "Surplus Barn (invented)", "tax": "5 %"}],
        "more_offers": [
            offer("plug-6-20", "surplus", "2.35", condition="used", available=1),
            offer("connector-6-20", "surplus", "5.15", condition="used", available=2),
            offer("cord-12-3", "surplus", "0.85", "ft", condition="used", available=45),
        ],
    },
    "delivery": {
        "suppliers": [
            *SUPPLIERS,
            {"id": "post", "name": "By Post (invented)", "delivery": "5.50", "free_over": 60, "tax": "4 %"},
        ],
        "more_offers": [
            offer("receptacle-6-20", "post", "8.75"),
            offer("receptacle-5-20", "post", "9.75"),
            offer("plug-6-20", "post", "8.20"),
            offer("connector-6-20", "post", "18.10"),
            offer("cord-12-3", "post", "1.70", "ft"),
        ],
    },
}
"""Named markets on top of the store, each with one thing that makes buying hard."""

SALABLE_REELS: Row = MARKETS["reels"] | {"kinds": KINDS}
"""Reels of a cord that can be sold at the end."""


@st.composite
def situations(draw: st.DrawFn) -> tuple[Row, Row]:
    """Arguments of `make_shop` and `make_catalog` for two or three machines with at most four ways each."""
    machines = draw(st.sampled_from([[SAW, DRILL], [SAW, LATHE], [SAW, DRILL, LATHE]]))
    small = len(machines) == 3
    names = st.sampled_from([machine["name"] for machine in machines])
    places = st.sampled_from(["bench A", "bench B", "bench C", "bench E"])
    moves = draw(
        st.lists(
            st.builds(move, st.integers(1, 3), names, places), max_size=2, unique_by=lambda e: e["machine"]
        )
    )
    extra = draw(st.sampled_from([{}, {"slack": [0, 25]}] if not small else [{}]))
    panels = draw(
        st.sampled_from([[PANEL], [PANEL | {"spaces_free": 4}], [PANEL, PANEL | {"name": "second"}]])
    )
    if extra or small:
        panels = panels[:1]
        panels = [panels[0] | {"spaces_free": 12}] if small else panels
    shop: Row = {
        "machines": machines,
        "panels": panels,
        "scenarios": _scenarios(draw, moves),
        "money": {"discount_rate": draw(st.sampled_from(["0 %", "3 %", "7 %"])), "growth": {"labor": "1 %"}},
    }
    if extra:
        shop["cords"] = {"families": ["straight"], "spare_conductor": False, "service": ["hard"], **extra}
    rate = draw(st.integers(30, 180))
    crews = [
        {"name": "owner", "role": "owner", "rate": draw(st.sampled_from([0, 25])), "pace": 1},
        {"name": "one", "role": "electrician", "rate": rate, "call_out": 45, "minimum": 400, "permit": 60},
    ]
    if draw(st.booleans()):
        crews.append(
            {
                "name": "pair",
                "role": "electrician",
                "rate": rate * 2,
                "pace": "2.2",
                "call_out": 90,
                "set_up": 1,
            }
        )
    market = draw(st.sampled_from(sorted(MARKETS)))
    return shop, {"crews": crews, **MARKETS[market]}


def _scenarios(draw: st.DrawFn, moves: list[Row]) -> list[Row]:
    if draw(st.booleans()):
        return [scenario(*moves)]
    weight = draw(st.sampled_from(["0.25", "0.5"]))
    rest = "0.75" if weight == "0.25" else "0.5"
    return [scenario(name="calm", weight=rest), scenario(*moves, name="busy", weight=weight)]


def everything_bought(catalog: Catalog, needs: dict[Need, int], seconds: float | None = None) -> Answer:
    """Today's purchase of so many of each need, by the program and the solver that plans use.

    Each need is asked for by a machine of its own, as if nothing were left to choose.
    """
    return bought_by_program(Facts(make_shop(), catalog), needs, seconds)[1]


def bought_by_program(
    facts: Facts, needs: dict[Need, int], seconds: float | None = None
) -> tuple[PurchaseRows, Answer]:
    """The same, with what reads the answer; what cannot be cut from its reels is ruled out until it can."""
    program = Program()
    asked = program.variable("everything", 1, low=1)
    purchase = PurchaseRows(
        program,
        Market(facts, SurplusRule.ALLOWED),
        {need: {asked: count} for need, count in needs.items()},
        {f"machine {i}": {need: count} for i, (need, count) in enumerate(needs.items())},
    )
    answer, bound = solve(program, seconds=seconds), 0
    while not purchase.reels.can_be_cut(answer.values):
        bound = max(bound, answer.bound)
        answer = solve(program, seconds=seconds, hint=purchase.reels.first_fit(answer.values))
    return purchase, replace(answer, bound=max(bound, answer.bound))


def piece(length_ft: int, kind: str = "building cable", awg: str = "12") -> Need:
    """One unbroken piece of two-wire cable or of cord."""
    return Need(make_spec(kind, {}, {"awg": awg, "conductors": 3 if kind == "cord" else 2}), 1, length_ft)


MATCHING: Row = {"rpm": 1725, "frame": "184T", "shaft_in": 1.125, "enclosure": "totally enclosed"}
"""A motor that matches the plates of `READ`: its foot holes are further apart."""


# shared gear ------------------------------------------------------------------------------------------

GEAR_KINDS: list[Row] = [
    {"kind": "drive", "attributes": ["hp", "volts", "output_a", "input_a", "efficiency"], "portable": True},
    {"kind": "motor", "attributes": ["hp", "volts", "phases", "rpm", "frame", "shaft_in", "enclosure"]},
    {
        "kind": "phase converter",
        "attributes": ["volts", "largest_motor_hp", "output_a", "input_a", "idle_w", "efficiency"],
        "portable": True,
    },
    {"kind": "panel", "attributes": ["family", "phases", "rating_a", "spaces", "volts"]},
    {
        "kind": "tandem breaker",
        "attributes": ["family", "rating_a", "second_rating_a", "volts"],
        "must_be_new": True,
    },
    {"kind": "service equipment", "attributes": ["rating_a", "volts"]},
    {"kind": "load manager", "attributes": ["rating_a"]},
    {"kind": "fused disconnect", "attributes": ["rating_a", "poles", "volts"]},
    {"kind": "fuse", "attributes": ["rating_a", "volts"], "must_be_new": True},
    {"kind": "conduit", "attributes": ["trade_size"]},
    {"kind": "building wire", "attributes": ["awg"], "sold": "length"},
]

GEAR_PRICES: dict[str, tuple[str, int, Row]] = {
    "drive-3": (
        "drive",
        300,
        {"hp": 3, "volts": 240, "output_a": 11, "input_a": 16, "efficiency": 0.95},
    ),
    "drive-5": (
        "drive",
        450,
        {"hp": 5, "volts": 240, "output_a": 18, "input_a": 24, "efficiency": 0.96},
    ),
    "motor-3": ("motor", 280, {"hp": 3, "volts": 240, "phases": 1} | MATCHING),
    "converter-5": (
        "phase converter",
        700,
        {
            "volts": 240,
            "largest_motor_hp": 5,
            "output_a": 30,
            "input_a": 40,
            "idle_w": 400,
            "efficiency": "0.9",
        },
    ),
    "converter-4": (
        "phase converter",
        600,
        {
            "volts": 240,
            "largest_motor_hp": 5,
            "output_a": 24,
            "input_a": 30,
            "idle_w": 300,
            "efficiency": "0.9",
        },
    ),
    "panel-1": ("panel", 60, {"family": "family A", "phases": 1, "rating_a": 60, "spaces": 6, "volts": 240}),
    "panel-3": ("panel", 80, {"family": "family A", "phases": 3, "rating_a": 60, "spaces": 9, "volts": 240}),
    "tandem": (
        "tandem breaker",
        22,
        {"family": "family A", "rating_a": 20, "second_rating_a": 20, "volts": 240},
    ),
    "tandem-15": (
        "tandem breaker",
        17,
        {"family": "family A", "rating_a": 15, "second_rating_a": 15, "volts": 240},
    ),
    "tandem-15-20": (
        "tandem breaker",
        31,
        {"family": "family A", "rating_a": 15, "second_rating_a": 20, "volts": 240},
    ),
    "equipment-200": ("service equipment", 350, {"rating_a": 200, "volts": 240}),
    "manager-60": ("load manager", 240, {"rating_a": 60}),
    "breaker-2p-40": (
        "breaker",
        22,
        {"family": "family A", "poles": 2, "rating_a": 40, "ground_fault": False, "volts": 240},
    ),
    "breaker-2p-50": (
        "breaker",
        25,
        {"family": "family A", "poles": 2, "rating_a": 50, "ground_fault": False, "volts": 240},
    ),
    "breaker-2p-60": (
        "breaker",
        30,
        {"family": "family A", "poles": 2, "rating_a": 60, "ground_fault": False, "volts": 240},
    ),
    "fused-2p-60": ("fused disconnect", 120, {"rating_a": 60, "poles": 2, "volts": 240}),
    "fuse-60": ("fuse", 9, {"rating_a": 60, "volts": 250}),
    "breaker-3p-60": (
        "breaker",
        45,
        {"family": "family A", "poles": 3, "rating_a": 60, "ground_fault": False, "volts": 240},
    ),
}
"""Kind, dollars and ratings of what gear is made of, by part."""

GEAR_RECIPES: Row = {
    "feeder": {"quote": {"per_run": 90, "per_ft": 4}},
    "subpanel": {"tasks": [{"task": "land-in-panel"}, {"task": "set-outlet"}]},
    "phase converter": {"tasks": [{"task": "set-outlet", "quantity": 2}]},
    "drive": {"tasks": [{"task": "change-device"}]},
    "motor swap": {"tasks": [{"task": "move-machine", "quantity": 3}]},
    "utility three-phase": {"tasks": [{"task": "land-in-panel"}]},
    "service upgrade": {"tasks": [{"task": "land-in-panel", "quantity": 3}]},
    "load manager": {"tasks": [{"task": "change-device"}]},
    "tandem breaker": {"tasks": [{"task": "land-in-panel"}]},
    "main disconnect": {"tasks": [{"task": "land-in-panel", "quantity": 2}]},
}
"""Feeders by quote, so that what a purchase takes stays small."""


def gear_parts() -> list[Row]:
    """The parts that gear is made of."""
    return [
        {"id": name, "kind": kind, "name": name, "attributes": attributes}
        for name, (kind, _, attributes) in GEAR_PRICES.items()
    ]


def gear_offers(prices: dict[str, int] | None = None) -> list[Row]:
    """Everything for gear at the store, at the prices above unless told otherwise."""
    known = {name: price for name, (_, price, _) in GEAR_PRICES.items()} | (prices or {})
    return [offer(name, "store", price) for name, price in known.items()]


def with_gear(arguments: Row | None = None, prices: dict[str, int] | None = None, **recipes: Any) -> Row:
    """Arguments of `make_catalog` with what shared gear asks of a catalog."""
    given = dict(arguments or {})
    return given | {
        "kinds": [*given.get("kinds", KINDS), *GEAR_KINDS],
        "more_parts": [*given.get("more_parts", []), *gear_parts()],
        "more_offers": [*given.get("more_offers", []), *gear_offers(prices)],
        "recipes": given.get("recipes", {}) | GEAR_RECIPES | recipes,
    }


READ: Row = {"rpm": 1740, "frame": "182T", "enclosure": "TEFC"}
"""What the plates of the motors say that another motor must match."""
MILL: Row = {"name": "mill", "at": "bench C", "volts": 240, "phases": 3, "hp": 3, "breaker": 20} | READ
GRINDER: Row = {"name": "grinder", "at": "bench E", "volts": 240, "phases": 3, "hp": 5} | READ
"""Three-phase machines: 9.6 A and 15.2 A (NFPA 70, table 430.250)."""

WALL_ONLY: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}


def one_pole(count: int, breaker: int = 20, awg: str = "12", **more: Any) -> Row:
    """One-pole circuits alike of which all is known and nothing keeps them off a tandem breaker."""
    known = {"test_button": False, "shared_neutral": False, "tied": False}
    return {"breaker": breaker, "awg": awg, "count": count} | known | more


GEAR: dict[str, Row] = {
    "converter": {
        "kind": "phase converter",
        "part": "converter-5",
        "panel_part": "panel-3",
        "fed_from": "panel",
        "at": "bench E",
        "hours_per_year": 200,
    },
    "subpanel": {"kind": "subpanel", "panel_part": "panel-1", "fed_from": "panel", "at": "bench C"},
    "second main": {"kind": "subpanel", "panel_part": "panel-1", "fed_from": "service", "at": "bench D"},
    "tandems": {"kind": "tandem breaker", "panel": "panel", "at_most": 2},
    "upgrade": {"kind": "service upgrade", "to": 200, "fees": {"connection": 300}},
    "main switch": {"kind": "main disconnect", "amps": 60},
    "manager": {"kind": "load manager", "part": "manager-60", "machines": ["saw", "mill"], "holds_to": 10},
    "utility": {
        "kind": "utility three-phase",
        "system": "240 three-phase",
        "amps": 100,
        "panel_part": "panel-3",
        "at": "bench E",
        "quote": 1500,
        "yearly_fee": 40,
    },
}
"""Gear to think of, by name; panels that it brings hang near a bench."""


def gear(*names: str, **changes: Row) -> list[Row]:
    """The gear of a shop file by name, with fields changed for some."""
    return [{"name": name} | GEAR[name] | changes.get(name, {}) for name in names]


def gear_routes(rows: list[Row]) -> list[Row]:
    """Measured lengths from the panels that gear brings to every place: short to their own bench."""
    return [
        {"from": row["name"], "to": place, "fixed": ft, "cord": ft}
        for row in rows
        if "at" in row
        for place in FEET
        for ft in (4 if place == row["at"] else 18,)
    ]


def make_gear_shop(machines: list[Row], names: tuple[str, ...] = (), **more: Any) -> Shop:
    """A shop that thinks of the named gear, with a route from every panel to every place."""
    changes = more.pop("gear_changes", {})
    rows = more.pop("gear", gear(*names, **changes))
    shop = make_shop(machines, panels=more.pop("panels", None))
    panels = [panel.model_dump(by_alias=True, exclude_unset=True) for panel in shop.panels]
    routes = [route.model_dump(by_alias=True, exclude_none=True) for route in shop.routes]
    return make_shop(
        machines, **{"panels": panels, "routes": routes + gear_routes(rows), "gear": rows} | more
    )


@st.composite
def gear_situations(draw: st.DrawFn) -> tuple[Row, Row]:
    """Arguments of `make_gear_shop` and `make_catalog`: few machines and ways, some gear, one date of change."""
    mill = MILL | draw(st.sampled_from([WALL_ONLY, {}]))
    single = draw(st.sampled_from([SAW, SAW | {"load": "heater"}, DRILL])) | WALL_ONLY
    both = [MILL | WALL_ONLY, GRINDER | WALL_ONLY]
    turns = {"takes_turns": "by hand"}
    machines = draw(
        st.sampled_from(
            [
                [mill],
                [mill, single],
                [mill | turns, single | turns],
                both,
                [machine | turns for machine in both],
                [single],
            ]
        )
    )
    several = len(machines) > 1
    kinds = ["converter", "subpanel", "tandems", "upgrade", "manager", "second main", "utility"]
    names = draw(st.lists(st.sampled_from(kinds), min_size=1, max_size=2 if several else 3, unique=True))
    known = sorted(machine["name"] for machine in machines)
    changes: Row = {
        "manager": {"machines": known, "holds_to": draw(st.sampled_from([8, 20]))},
        "converter": {
            "hours_per_year": draw(st.sampled_from([0, 400])),
            "part": draw(st.sampled_from(["converter-4", "converter-5"])),
            **draw(st.sampled_from([{}, {"life": 2}, {"quote": 150}, {"installed": True}])),
            **draw(st.sampled_from([{}, {"overhaul": {"every": 1, "money": 40, "hours": "0.5"}}])),
        },
    }
    panel = PANEL | {
        "spaces_free": draw(st.sampled_from([1, 2, 3, 4, 12])),
        "tandems": 2,
        "one_pole_circuits": draw(
            st.sampled_from([[one_pole(2)], [one_pole(6)], [one_pole(1), one_pole(2, 15, "14")]])
        ),
    }
    shop: Row = {
        "machines": machines,
        "names": tuple(names),
        "panels": [panel],
        "scenarios": _gear_scenarios(draw, known),
        "years": 3,
        "gear_changes": changes,
        "money": {
            "discount_rate": draw(st.sampled_from(["0 %", "5 %"])),
            "electricity_per_kwh": draw(st.sampled_from([0, "0.20"])),
        },
    }
    if {"upgrade", "manager"} & set(names) or draw(st.booleans()):
        taken = draw(st.sampled_from([{}, {"other_load": 12}, {"measured_peak": MEASURED}]))
        promised = [{}, {"at_once": [[name] for name in known]}, {"at_most": [{"count": 1, "of": known}]}]
        turns_taken = any("takes_turns" in machine for machine in machines)
        said = draw(st.sampled_from(promised[:2] if turns_taken else promised)) if several else {}
        shop["service"] = {"amps": draw(st.sampled_from([25, 35, 45, 60, 100])), **said, **taken}
        if several and draw(st.booleans()):
            shop["machines"] = [machines[0] | {"starts_by_itself": True}, *machines[1:]]
    prices = {
        "converter-5": draw(st.sampled_from([100, 700])),
        "drive-3": draw(st.sampled_from([90, 300, 1500])),
        "drive-5": draw(st.sampled_from([120, 450, 1500])),
        "motor-3": draw(st.sampled_from([280, 2000])),
        "panel-1": draw(st.sampled_from([5, 60])),
    }
    owner = {"name": "owner", "role": "owner", "rate": 20, "pace": 1}
    one = {"name": "one", "role": "electrician", "rate": draw(st.integers(40, 120)), "permit": 60}
    fees = draw(st.sampled_from([{}, {"call_out": 150}, {"minimum": 500}, {"later_permit": 15}]))
    catalog = with_gear({"crews": [owner, one | fees]}, prices)
    draw(
        st.sampled_from([_as_it_is, _gear_behind_gear, _capped, _two_crews, _behind_a_panel, _wear_and_lease])
    )(shop, catalog, draw(st.integers(0, 3)))
    return shop, catalog


MEASURED: Row = {"amps": 8, "seen": "2026-10-01", "days": 30}


def _gear_scenarios(draw: st.DrawFn, machines: list[str]) -> list[Row]:
    """One thing that happens late, in the only scenario or in one of two."""
    year, name = draw(st.integers(1, 3)), draw(st.sampled_from(machines))
    events = [move(year, name, "bench A"), {"year": year, "shop_moves": True}]
    arrival = {"year": year, "machine": name, "arrives": "bench A"}
    if len(machines) > 1:
        events += [arrival, arrival, {"year": year, "machine": name, "leaves": True}]
    happens = draw(st.sampled_from(events))
    one = draw(st.sampled_from([None, [], [happens]]))
    if one is None:
        return [scenario(happens)]
    return [scenario(*one, name="one", weight="0.5"), scenario(happens, name="other", weight="0.5")]


def _as_it_is(shop: Row, catalog: Row, size: int) -> None:
    """Nothing more."""


def _gear_behind_gear(shop: Row, catalog: Row, size: int) -> None:
    """A subpanel behind the first panel that is thought of."""
    first = next((name for name in shop["names"] if name in ("subpanel", "converter")), None)
    if first is not None:
        part = "panel-1" if first == "subpanel" else "panel-3"
        far = {"name": "far", "kind": "subpanel", "panel_part": part, "fed_from": first, "at": "bench A"}
        shop["gear"] = [*gear(*shop["names"], **shop["gear_changes"]), far]


def _capped(shop: Row, catalog: Row, size: int) -> None:
    """Only so much money today."""
    shop["money"]["outlay_cap"] = (900, 1400, 2000, 2800)[size]


def _two_crews(shop: Row, catalog: Row, size: int) -> None:
    """Another crew to choose from."""
    pair = {"name": "pair", "role": "electrician", "rate": 140 + 20 * size, "pace": "2.2", "call_out": 90}
    catalog["crews"] = [*catalog["crews"], pair]


def _behind_a_panel(shop: Row, catalog: Row, size: int) -> None:
    """The panel hangs behind another one and carries only its rating."""
    rated = shop["panels"][0] | {"rating": (20, 30, 40, 60)[size], "fed_from": "big"}
    shop["panels"] = [rated, PANEL | {"name": "big", "spaces_free": 2 * size}]


def _wear_and_lease(shop: Row, catalog: Row, size: int) -> None:
    """Cords wear out, and what is fixed is taken out when the lease ends."""
    catalog["kinds"] = [kind | ({"life": 2} if kind["kind"] == "cord" else {}) for kind in catalog["kinds"]]
    if size > 1:
        methods = ("conduit drop", "armored drop", "ceiling outlet")
        forbid = dict.fromkeys(methods, "left out to keep the test small")
        shop["building"] = {"patching": False, "forbid": forbid, "lease": {"ends": 3, "take_out": True}}


# a shop that is there already -------------------------------------------------------------------------

NOW: Row = {
    "method": "wall drop",
    "panel": "panel",
    "configuration": "NEMA 6-20",
    "breaker": 20,
    "poles": 2,
    "awg": "12",
}
"""A wall drop for a 240 V machine of 16 A, as it would be built anew."""
NOW_ONE_POLE: Row = NOW | {"configuration": "NEMA 5-20", "poles": 1}
"""The same for 120 V."""


def now_cord(length_ft: int, **changes: Any) -> Row:
    """The cord a machine hangs on now."""
    return {"length": length_ft, "awg": "12", "conductors": 3, "volts": 600, "service": "hard"} | changes


CORD_LENGTHS_FT = (10, 25, 30, 40, 65)
SHELF: tuple[Row, ...] = (
    *({"part": "cord-12-3", "length": length} for length in CORD_LENGTHS_FT),
    {"part": "cord-10-3", "length": 45},
    {"part": "cord-12-4", "length": 45},
    *(
        {"part": "cord-12-3", "length": length, "plug": end, "connector": end}
        for length in (30, 45)
        for end in ("NEMA 6-20", "NEMA 5-20")
    ),
    {"part": "cord-12-3", "length": 45, "plug": "NEMA 6-20"},
    {"part": "cord-10-3", "length": 40, "plug": "NEMA 5-20", "connector": "NEMA 6-20"},
    *({"part": f"{kind}-6-20"} for kind in ("plug", "connector", "receptacle")),
    {"part": "plug-5-20"},
    {"part": "connector-15-20"},
    *({"part": f"breaker-{size}"} for size in ("2p-20", "2p-30", "1p-20", "3p-20")),
)
"""Things that may lie on the shelf."""


@st.composite
def stock_situations(draw: st.DrawFn) -> tuple[Row, Row]:
    """Arguments of `make_shop` and `make_catalog`: one to three machines, some powered now, and a shelf."""
    chosen = draw(st.sampled_from([[SAW], [DRILL], [SAW, DRILL], [SAW, LATHE], [SAW, LATHE, DRILL]]))
    few = len(chosen) < 3
    machines = [_with_now(draw, machine, few) for machine in chosen]
    if len(machines) == 2 and draw(st.integers(0, 5)) == 0:
        machines = [machine | {"takes_turns": "by hand", "at": "bench A"} for machine in machines]
    names = [machine["name"] for machine in machines]
    shelf = draw(st.lists(st.sampled_from(SHELF), max_size=3 if few else 2))
    shop: Row = {
        "machines": machines,
        "panels": [PANEL | {"spaces_free": draw(st.sampled_from([0, 2, 4, 12]))}],
        "shelf": [stored | draw(st.sampled_from([{}, {}, {"count": 2}])) for stored in shelf],
        "scenarios": _stock_scenarios(draw, names),
        "years": 3,
        "money": {"discount_rate": draw(st.sampled_from(["0 %", "4 %"]))}
        | draw(st.sampled_from([{}, {}, {}, {"outlay_cap": 450}, {"outlay_cap": 900}])),
    }
    if draw(st.integers(0, 3)) == 0:
        shop["installed"] = [
            {"place": place, "panel": "panel", "method": method, "configuration": "NEMA 6-20"}
            for place, method in (draw(st.sampled_from([("bench A", "wall drop"), ("bench C", "cord")])),)
        ]
    if len(machines) == 1 and draw(st.booleans()):
        shop["cords"] = {
            "slack": draw(st.sampled_from([[0], [0, 25]])),
            "families": ["straight"],
            "spare_conductor": draw(st.booleans()),
            "service": ["hard"],
        }
    if draw(st.integers(0, 3)) == 0:
        shop["building"] = _building(draw)
    rate = draw(st.sampled_from([5, 40, 100]))
    one = {
        "name": "one",
        "role": "electrician",
        "rate": rate,
        "call_out": draw(st.sampled_from([0, 60, 400])),
    }
    one |= draw(st.sampled_from([{}, {"permit": 60}, {"minimum": 500}]))
    catalog: Row = {
        "crews": [{"name": "owner", "role": "owner", "rate": draw(st.sampled_from([0, 25]))}, one],
        "hours": {"make-safe": draw(st.sampled_from([(0, 0, 0), (1, 1, 1), (9, 9, 9)]))},
        **draw(st.sampled_from([MARKETS["store only"], MARKETS["surplus"], MARKETS["delivery"], {}])),
    }
    catalog["crews"][0]["pace"] = one["pace"] = 1
    if draw(st.integers(0, 2)) == 0:
        care = {"yearly cord care": {"tasks": [{"task": "make-cord"}]}}
        catalog |= {"recipes": care, "kinds": [_wears(kind) for kind in catalog.get("kinds", KINDS)]}
    return shop, catalog


def _wears(kind: Row) -> Row:
    return kind | ({"life": 2} if kind["kind"] == "cord" else {})


def _with_now(draw: st.DrawFn, machine: Row, few: bool) -> Row:
    """A machine that has a circuit, or has none."""
    as_new = NOW if machine["volts"] == 240 else NOW_ONE_POLE
    if draw(st.integers(0, 3)) == 0:
        return machine
    now = as_new | draw(
        st.sampled_from(
            [
                {},
                {},
                {"breaker": 30},
                {"breaker": 30, "awg": "10"},
                {"awg": "10", "conductors": 3},
                {"breaker": 30, "awg": "10", "configuration": "NEMA 6-30", "poles": 2},
                {"place": "bench B"},
                {"method": "armored drop"},
                {"configuration": None},
            ]
        )
    )
    if now["configuration"] is None:
        del now["configuration"]
    elif draw(st.booleans()):
        cord = now_cord(draw(st.sampled_from(CORD_LENGTHS_FT)), **draw(st.sampled_from([{}, {"awg": "10"}])))
        now |= {"method": "cord", "cord": cord}
        now.pop("place", None)
    only = draw(st.sampled_from([{}, {}, {"only": ["wall drop"]}, {"only": ["cord"]}]))
    ways = {"ways": {"hard_wired": False} | only} if few or only else {}
    return machine | {"now": now} | ways


def _stock_scenarios(draw: st.DrawFn, names: list[str]) -> list[Row]:
    """At most two things that happen, in the only scenario or in one of two."""
    name = st.sampled_from(names)
    year = st.integers(1, 3)
    places = st.sampled_from(["bench A", "bench B", "bench C", "bench E"])
    retools = st.sampled_from(
        [{"volts": 120, "amps": 16}, {"volts": 240, "amps": 16}, {"volts": 240, "amps": 22}]
    )
    event = st.one_of(
        st.builds(move, year, name, places),
        st.builds(move, year, name, places),
        st.builds(lambda y, m, r: {"year": y, "machine": m, "retool": r}, year, name, retools),
        st.builds(lambda y, m: {"year": y, "machine": m, "leaves": True}, year, name),
        st.builds(lambda y: {"year": y, "shop_moves": True}, year),
    )
    events = draw(st.lists(event, max_size=2, unique_by=lambda e: e.get("machine")))
    if len(events) == 2 and draw(st.booleans()):
        same = events[0]["year"]
        events = [event | {"year": same} for event in events]
    if draw(st.booleans()):
        return [scenario(*events)]
    return [
        scenario(*events[:1], name="one", weight="0.5"),
        scenario(*events[draw(st.integers(0, 1)) :], name="other", weight="0.5"),
    ]


def _building(draw: st.DrawFn) -> Row:
    """A lease that ends, or nothing made safe."""
    methods = ("conduit drop", "armored drop", "ceiling outlet")
    forbid = dict.fromkeys(methods, "left out to keep the test small")
    more = draw(st.sampled_from([{"make_safe": False}, {"lease": {"ends": 3, "take_out": True}}]))
    return {"patching": False, "forbid": forbid, **more}


# wear, groups, quoted ways, visits of each move -------------------------------------------------------

LASTING: list[Row] = [
    {"id": "plug-lasting", "kind": "plug", "name": "plug that lasts", "life": 9}
    | {"attributes": {"configuration": "NEMA 6-20"}},
    {"id": "receptacle-lasting", "kind": "receptacle", "name": "receptacle that lasts", "life": 9}
    | {"attributes": {"configuration": "NEMA 6-20"}},
    {"id": "cord-lasting", "kind": "cord", "name": "cord that lasts", "life": 3}
    | {"attributes": {"awg": "12", "conductors": 3, "service": "hard", "volts": 600, "type": "SOOW"}},
]
"""Parts beside those of the store that last longer, or shorter, than their kind."""
MOVED_ALONG: tuple[Row, ...] = (
    {"tasks": [{"task": "run-cable"}]},
    {"tasks": [{"task": "foot-of-cable", "per": "ft"}], "parts": [{"kind": "outlet box"}]},
    {"quote": {"per_run": 90, "per_ft": 2, "hours_per_run": 1, "permit": True}},
)
"""Recipes for moving a drop along with its machine."""
BY_QUOTE: Row = {
    "name": "drop by quote",
    "method": "wall drop",
    "put_in": {"money": 400, "hours": 2},
    "panel": "panel",
    "poles": 2,
}
"""A way that somebody quoted."""
LIVES: tuple[Row, ...] = (
    {"plug": 2},
    {"plug": 1, "connector": 3},
    {"receptacle": 2},
    {"cord": 2, "plug": 3},
    {"cord": 1},
    {"overhead kit": 2},
    {"outlet box": 2, "receptacle": 3},
    {"breaker": 2},
    {"breaker": 3, "receptacle": 2},
)
"""Years that kinds last."""


def with_lives(kinds: list[Row], lives: Row) -> list[Row]:
    """The kinds, some of them worn out in so many years."""
    return [kind | ({"life": lives[kind["kind"]]} if kind["kind"] in lives else {}) for kind in kinds]


@st.composite
def lasting_situations(draw: st.DrawFn) -> tuple[Row, Row]:
    """Arguments of `make_shop` and `make_catalog`: few machines that move often, what wears, what was quoted."""
    shop, catalog = _often_moved(draw)
    if draw(st.booleans()):
        _wearing(draw, shop, catalog)
    for change in draw(st.lists(st.sampled_from(CHANGES), min_size=1, max_size=3, unique=True)):
        change(draw, shop, catalog)
    return shop, catalog


def _often_moved(draw: st.DrawFn) -> tuple[Row, Row]:
    chosen = draw(st.sampled_from([[SAW], [SAW | {"count": 2}], [SAW | {"count": 3}], [SAW, LATHE]]))
    several = sum(machine.get("count", 1) for machine in chosen) > 1
    ways = st.sampled_from([{"only": ["cord"]}, {"only": ["wall drop"]}, {}])
    machines = [machine | {"ways": {"hard_wired": False} | draw(ways)} for machine in chosen]
    places = st.sampled_from(["bench A", "bench A", "bench C", "bench D", "bench E"])
    events = []
    if len(chosen) == 2 and draw(st.booleans()):
        year = draw(st.integers(1, 3))
        events = [move(year, "saw", "bench C"), move(year + draw(st.integers(0, 1)), "lathe", "bench A")]
    for _ in range(draw(st.integers(0 if events else 1, 2 if several else 3))):
        machine = draw(st.sampled_from(machines))
        event = draw(
            st.one_of(
                st.builds(move, st.integers(1, 3), st.just(machine["name"]), places),
                st.builds(move, st.integers(1, 3), st.just(machine["name"]), places),
                st.builds(
                    lambda year, times, name=machine["name"]: {
                        "year": year,
                        "machine": name,
                        "new_spot": True,
                        "times": times,
                    },
                    st.integers(1, 2),
                    st.integers(1, 1 if several else 2),
                ),
            )
        )
        if machine.get("count", 1) > 1 and draw(st.booleans()):
            event |= {"how_many": draw(st.integers(1, machine["count"]))}
        events.append(event)
    scenarios = [scenario(*events)]
    if not several and draw(st.integers(0, 3)) == 0:
        scenarios = [scenario(name="calm", weight="0.5"), scenario(*events, name="busy", weight="0.5")]
    shop: Row = {
        "machines": machines,
        "panels": [PANEL | {"spaces_free": draw(st.sampled_from([12, 12, 2, 4, 6]))}],
        "scenarios": scenarios,
        "years": 5,
        "money": {"discount_rate": draw(st.sampled_from(["0 %", "4 %"])), "growth": {"labor": "2 %"}},
    }
    one = {"name": "one", "role": "electrician", "rate": draw(st.sampled_from([5, 20, 100])), "pace": 1}
    one |= draw(st.sampled_from([{"permit": 60}, {"call_out": 80}, {"call_out": 30, "permit": 45}]))
    owner = {"name": "owner", "role": "owner", "rate": 20, "pace": 1}
    return shop, {"crews": [owner, one], "kinds": UNSALABLE, "recipes": {}}


def _wearing(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Parts wear out, at one machine sooner."""
    lives = draw(st.sampled_from(LIVES))
    catalog["kinds"] = with_lives(catalog["kinds"], lives)
    catalog["recipes"] |= {"renew outlet box": {"parts": [], "tasks": [{"task": "change-device"}]}}
    if draw(st.booleans()):
        kind = draw(st.sampled_from(sorted(lives)))
        shop["machines"][0] = shop["machines"][0] | {
            "lasts": {kind: draw(st.sampled_from(["50 %", "160 %"]))}
        }


def _a_better_part(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Of some kinds there is a part that lasts another time."""
    catalog["kinds"] = with_lives(catalog["kinds"], {"plug": draw(st.integers(1, 2)), "receptacle": 2})
    catalog["more_parts"] = LASTING
    catalog["more_offers"] = [
        offer("plug-lasting", "store", draw(st.sampled_from([14, 30]))),
        offer("receptacle-lasting", "store", draw(st.sampled_from([12, 200]))),
        offer("cord-lasting", "store", draw(st.sampled_from(["1.50", "4"])), "ft"),
    ]


def _moved_along(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Drops may be moved along with their machine."""
    catalog["recipes"] |= {"move wall drop": draw(st.sampled_from(MOVED_ALONG))}


def _quoted(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Somebody quoted a way."""
    quote = BY_QUOTE | draw(
        st.sampled_from(
            [
                {},
                {"panel": None, "poles": 0, "put_in": {"money": 450, "own_hours": 2}},
                {"move": {"money": 50, "own_hours": 3}, "comes_back": 35},
                {"move": {"hours": 1, "permit": True}, "renew": {"every": 2, "money": 30, "hours": "0.5"}},
                {"renew": {"every": 3, "own_hours": 1}, "put_in": {"money": 90, "hours": [1, 2, 6]}},
            ]
        )
    )
    shop["quoted_ways"] = [quote]
    shop["machines"] = [m | {"ways": m["ways"] | {"from_catalog": True}} for m in shop["machines"]]


def _each_move(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Every move that needs the electrician is a visit of its own."""
    shop["hired_visits"] = "each move"


def _least_charge(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """A visit is paid up to a least charge, which later ones often come below."""
    owner, one = catalog["crews"]
    set_up = draw(st.sampled_from([0, "0.5"]))
    catalog["crews"] = [owner, one | {"minimum": draw(st.sampled_from([90, 400, 1000])), "set_up": set_up}]


def _standing_still(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Some work stops the shop, and an hour of that costs something."""
    names = ["land-in-panel", "set-outlet", "make-safe", "move-machine", "change-device"]
    chosen = draw(st.lists(st.sampled_from(names), min_size=1, max_size=3, unique=True))
    catalog["stops"] = {name: draw(st.sampled_from(["0.25", "0.5", "1.5"])) for name in chosen}
    shop["money"] = shop["money"] | {"shop_hour": draw(st.sampled_from([7, 40]))}


def _once_a_visit(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Some work and some money come once a visit, whatever asks for them."""
    catalog["charges"] = [{"id": "lift", "name": "a lift", "price": draw(st.sampled_from([10, 90]))}]
    names = ["wall drop", "receptacle", "make safe", "move machine", "machine plug", "change receptacle"]
    for name in draw(st.lists(st.sampled_from(names), min_size=1, max_size=4, unique=True)):
        recipe = {**RECIPES[name], **catalog.setdefault("recipes", {}).get(name, {})}
        asked = draw(st.sampled_from(["change-device", "make-cord", "lift"]))
        if "quote" in recipe:
            continue
        if asked == "lift":
            recipe["charges"] = [{"charge": "lift", "per": draw(st.sampled_from(["visit", "run"]))}]
        else:
            recipe["tasks"] = [*recipe.get("tasks", []), {"task": asked, "per": "visit"}]
        catalog["recipes"] = catalog["recipes"] | {name: recipe}


def _permits(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Later permits cost something else, and the owner needs his own."""
    owner, one = catalog["crews"]
    later = draw(st.sampled_from([0, 20, 130]))
    own = draw(st.sampled_from([{}, {"permit": 25, "later_permit": 5}, {"permit": 15, "call_out": 10}]))
    catalog["crews"] = [owner | own, one | {"permit": 60, "later_permit": later}]
    if draw(st.booleans()):
        quote = {"per_run": 7, "own_hours_per_run": 1, "permit": True}
        catalog["recipes"] |= {
            draw(st.sampled_from(["move machine", "machine plug", "cord end"])): {"quote": quote}
        }


def _slow_places(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Work is slower at some places and along some routes."""
    slow = draw(st.sampled_from(["bench A", "bench C", "bench E"]))
    shop["hour_factors"] = {"brick": "1.5", "high": "2"}
    shop["places"] = [
        {"name": place} | ({"hour_factors": ["brick"]} if place == slow else {}) for place in FEET
    ]
    shop["routes"] = [
        {"from": "panel", "to": place, "fixed": ft, "cord": ft}
        | ({"hour_factors": ["high"]} if place == "bench D" else {})
        for place, ft in FEET.items()
    ] + [{"from": a, "to": b, "cord": 20} for a, b in combinations(FEET, 2)]


def _in_stock(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Something lies on the shelf, or is there now."""
    shop["shelf"] = [draw(st.sampled_from(SHELF))]
    if all(machine.get("count", 1) == 1 for machine in shop["machines"]):
        shop["machines"] = [
            _with_now(draw, shop["machines"][0], few=False) | {"ways": shop["machines"][0]["ways"]},
            *shop["machines"][1:],
        ]


def _sold(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Some of it can be sold at the end, by either rule."""
    rule = draw(st.sampled_from(["share of price", "straight line over life"]))
    sold = {"cord": {"new": "40 %"}, "plug": {"new": "20 %"}, "connector": {"new": "30 %"}}
    catalog["kinds"] = [
        kind | ({"resale": sold[kind["kind"]], "resale_rule": rule} if kind["kind"] in sold else {})
        for kind in catalog["kinds"]
    ]


def _leased_or_left_live(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """What is fixed is taken out at the end of a lease, or is never made safe."""
    shop["building"] = _building(draw)
    if draw(st.booleans()):
        shop["building"] |= {"make_safe": False}
    if "lease" in shop["building"]:
        # A year that is said is one in which nobody is there any more: the plan's last one, or later.
        ends = draw(st.sampled_from([None, shop["years"], shop["years"] + 1]))
        shop["scenarios"][0] |= {} if ends is None else {"lease_ends": ends}
    if draw(st.booleans()):
        catalog["recipes"] |= {"take out": {"tasks": [{"task": "change-device"}]}}


def _something_else_happens(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """A machine leaves or is retooled, or the whole shop moves, as well."""
    year = draw(st.integers(1, 4))
    name = draw(st.sampled_from([machine["name"] for machine in shop["machines"]]))
    happens = [
        {"year": year, "machine": name, "leaves": True},
        {"year": year, "machine": name, "retool": {"volts": 240, "amps": 22}},
        {"year": year, "machine": name, "retool": {"volts": 120, "amps": 16}},
        {"year": year, "shop_moves": True, "route_factor": "1.2"},
    ]
    last = shop["scenarios"][-1]
    last["events"] = [*last["events"], draw(st.sampled_from(happens))]


def _in_turns(draw: st.DrawFn, shop: Row, catalog: Row) -> None:
    """Two machines take turns, perhaps at one place."""
    if len(shop["machines"]) == 2:
        where = draw(st.sampled_from([{}, {"at": "bench A"}]))
        shop["machines"] = [m | {"takes_turns": "by hand"} | where for m in shop["machines"]]


CHANGES = (
    _sold,
    _leased_or_left_live,
    _something_else_happens,
    _in_turns,
    _wearing,
    _a_better_part,
    _moved_along,
    _quoted,
    _each_move,
    _standing_still,
    _once_a_visit,
    _permits,
    _slow_places,
    _in_stock,
    _least_charge,
)
