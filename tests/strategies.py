"""Small invented shops in plain Python, and hypothesis strategies over them.

Every price, rate and hour here is made up for the tests.
"""

from typing import Any

from hypothesis import strategies as st

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.model.catalog import RECIPE_NAMES, Catalog
from costplan.model.shop import Shop, SurplusRule
from costplan.plans.program import Program
from costplan.plans.purchase import PurchaseRows
from costplan.plans.ranking import Bench, Ranked, best_plans
from costplan.plans.solver import Answer, solve
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
    {"kind": "breaker", "attributes": ["family", "poles", "rating_a", "ground_fault"], "must_be_new": True},
    {"kind": "building cable", "attributes": ["awg", "conductors"], "sold": "cut length"},
    {"kind": "armored cable", "attributes": ["awg", "conductors"], "sold": "cut length"},
    {
        "kind": "cord",
        "attributes": ["awg", "conductors", "service", "volts", "type"],
        "sold": "cut length",
        "portable": True,
        "resale": {"new": "40 %", "used": "50 %"},
        "reject": {"used": "8 %"},
    },
    {"kind": "outlet box", "attributes": ["rating_a"]},
    {"kind": "disconnect", "attributes": ["rating_a", "poles"]},
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
            "attributes": {"family": "family A", "poles": poles, "rating_a": amps, "ground_fault": fault},
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
                row = {"id": f"{mark}-{awg}-{count}", "kind": kind, "name": f"{kind} {awg}/{count}"}
                rows.append(row | {"attributes": attributes})
    return [
        *rows,
        {"id": "box", "kind": "outlet box", "name": "outlet box", "attributes": {"rating_a": 60}},
        {
            "id": "switch",
            "kind": "disconnect",
            "name": "disconnect",
            "attributes": {"rating_a": 60, "poles": 3},
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


def tasks(hours: Row | None = None) -> list[Row]:
    """Every task takes exactly an hour (a tenth a foot) unless `hours` says otherwise."""
    known: Row = dict.fromkeys(HOURS, (1, 1, 1)) | {"foot-of-cable": ("0.1", "0.1", "0.1")} | (hours or {})
    return [
        {"id": name, "name": name.replace("-", " "), "hours": list(known[name]), "who": who, "permit": permit}
        for name, (who, permit) in HOURS.items()
    ]


CREWS: list[Row] = [
    {"name": "owner", "role": "owner", "rate": 20, "pace": 1},
    {"name": "electrician", "role": "electrician", "rate": 100, "pace": 1, "call_out": 50, "permit": 60},
]

RECIPES: Row = {name: {} for name in RECIPE_NAMES} | {
    "wall drop": {"extra": 5, "tasks": [{"task": "run-cable"}, {"task": "foot-of-cable", "per": "ft"}]},
    "armored drop": {"extra": 5, "tasks": [{"task": "run-cable"}, {"task": "foot-of-cable", "per": "ft"}]},
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
    "move within reach": {"tasks": [{"task": "move-machine"}]},
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
) -> Catalog:
    """A catalog; what is left out is the store's. Rows are numbered as in a file, from 2."""
    rows = (store_offers() if offers is None else offers) + (more_offers or [])
    return Catalog.model_validate(
        {
            "parts": parts() + (more_parts or []),
            "kinds": KINDS if kinds is None else kinds,
            "suppliers": SUPPLIERS if suppliers is None else suppliers,
            "tasks": tasks(hours),
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
    program = Program()
    asked = program.variable("everything", 1, low=1)
    facts = Facts(make_shop(), catalog)
    PurchaseRows(
        program,
        Market(facts, SurplusRule.ALLOWED),
        facts,
        {need: {asked: count} for need, count in needs.items()},
        {f"machine {i}": {need: count} for i, (need, count) in enumerate(needs.items())},
        frozenset(offer.row for offer in catalog.offers),
    )
    return solve(program, seconds=seconds)


def piece(length_ft: int, kind: str = "building cable", awg: str = "12") -> Need:
    """One unbroken piece of two-wire cable or of cord."""
    return Need(make_spec(kind, {}, {"awg": awg, "conductors": 3 if kind == "cord" else 2}), 1, length_ft)
