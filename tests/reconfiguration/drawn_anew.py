"""Small shops that are there and are laid out anew today, drawn by hypothesis, as rows that a shop file could hold.

It checks no rule. It draws what the rules speak of: outlets and cords that machines have, at their place or another,
idle outlets, things on the shelf, few free spaces; and it says one shop in several ways. All of it is invented.
"""

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from costplan.model.catalog import Catalog, Offer, Part, RecipeTask
from costplan.model.loading import load_catalog
from costplan.model.shop import Shop

Row = dict[str, Any]

ROOT = Path(__file__).parents[2]
FEET = {"A": 25, "B": 15, "C": 35, "D": 20}
"""Feet from the panel to each place; between two places it is 20 ft."""
LOADS = {"saw": (240, 16, "NEMA 6-20"), "drill": (120, 16, "NEMA 5-20"), "kiln": (240, 24, "NEMA 6-30")}
BREAKERS = {"NEMA 5-20": (20, 1, "12"), "NEMA 6-20": (20, 2, "12"), "NEMA 6-30": (30, 2, "10")}
"""Amperes, poles and wire of an outlet, by its receptacle."""

_MORE_PARTS: list[Row] = [
    {
        "id": f"{kind}-6-30",
        "kind": kind,
        "name": f"{kind}, NEMA 6-30",
        "attributes": {"configuration": "NEMA 6-30"},
    }
    for kind in ("receptacle", "plug", "connector")
] + [
    {
        "id": "breaker-2p-30",
        "kind": "breaker",
        "name": "breaker, 2-pole 30 A",
        "attributes": {"family": "family A", "poles": 2, "rating_a": 30, "ground_fault": False, "volts": 240},
    },
    {
        "id": "nm-10-2",
        "kind": "building cable",
        "name": "building cable NM-B 10/2 with ground",
        "attributes": {"awg": "10", "conductors": 2, "ground_awg": "10"},
    },
    {
        "id": "mc-10-2",
        "kind": "armored cable",
        "name": "armored cable MC 10/2 with ground",
        "attributes": {"awg": "10", "conductors": 2, "ground_awg": "10"},
    },
    {
        "id": "cord-10-3",
        "kind": "cord",
        "name": "flexible cord SOOW 10/3",
        "attributes": {"awg": "10", "conductors": 3, "service": "hard", "volts": 600, "type": "SOOW"},
    },
]
_MORE_OFFERS = {
    "receptacle-6-30": (10, "each"),
    "plug-6-30": (10, "each"),
    "connector-6-30": (20, "each"),
    "breaker-2p-30": (20, "each"),
    "nm-10-2": (2, "ft"),
    "mc-10-2": (3, "ft"),
    "cord-10-3": (3, "ft"),
}
"""Prices of what the tiny example lacks; thicker wire costs a dollar a foot more. Invented, as all of it."""


def tiny_catalog() -> Catalog:
    """The catalog of the tiny example."""
    catalog, problems = load_catalog(ROOT / "examples" / "tiny" / "catalog")
    assert catalog is not None, problems
    # What walls may hold is no matter of these shops.
    kinds = [kind.model_copy(update={"nonmetallic": False}) for kind in catalog.kinds]
    return catalog.model_copy(update={"kinds": kinds})


def wide_catalog() -> Catalog:
    """The catalog of the tiny example with what a circuit of 30 A takes."""
    catalog = tiny_catalog()
    last = max(offer.row for offer in catalog.offers)
    offers = [
        Offer.model_validate(
            {
                "part": part,
                "supplier": "store",
                "condition": "new",
                "price": price,
                "per": per,
                "row": last + row,
            }
        )
        for row, (part, (price, per)) in enumerate(_MORE_OFFERS.items(), 1)
    ]
    parts = [Part.model_validate(row) for row in _MORE_PARTS]
    return catalog.model_copy(
        update={"parts": [*catalog.parts, *parts], "offers": [*catalog.offers, *offers]}
    )


def priced(catalog: Catalog, kinds: frozenset[str], dollars: int) -> Catalog:
    """The catalog in which every part of these kinds has that price."""
    those = {part.id for part in catalog.parts if part.kind in kinds}
    offers = [
        offer.model_copy(update={"price_cents": Decimal(100 * dollars)}) if offer.part in those else offer
        for offer in catalog.offers
    ]
    return catalog.model_copy(update={"offers": offers})


def unsold(catalog: Catalog, kinds: frozenset[str]) -> Catalog:
    """The catalog in which nobody names a price for any part of these kinds."""
    those = {part.id for part in catalog.parts if part.kind in kinds}
    offers = [
        offer.model_copy(update={"price_cents": None}) if offer.part in those else offer
        for offer in catalog.offers
    ]
    return catalog.model_copy(update={"offers": offers})


def with_hanging(catalog: Catalog) -> Catalog:
    """The catalog in which hanging a cord from its kit is an hour of the electrician's, 100.00."""
    recipe = catalog.recipes["overhead cord"]
    hung = recipe.model_copy(update={"tasks": [RecipeTask(task="change-device")]})
    return catalog.model_copy(update={"recipes": {**catalog.recipes, "overhead cord": hung}})


@dataclass(frozen=True, slots=True)
class Drawn:
    """A shop as it is and as it is to be: machines without what they have, and what each has (None: nothing)."""

    machines: tuple[Row, ...]
    now: tuple[Row | None, ...]
    installed: tuple[Row, ...] = ()
    shelf: tuple[Row, ...] = ()
    spaces_free: int = 20

    def row(self, *, spare: bool = False) -> Row:
        """The shop file, with `now:`; `spare` says of every outlet there that it is kept live."""
        had = zip(self.machines, self.now, strict=True)
        kept = {"spare": True} if spare else {}
        machines = [{**machine, "now": {**now, **kept}} if now else machine for machine, now in had]
        return shop_row(machines, [*self.installed], [*self.shelf], self.spaces_free)

    def row_without_now(self) -> Row:
        """The same things, said by `installed:` and `shelf:` alone, the kits that cords hang from among them."""
        had = [now for now in self.now if now is not None]
        installed = [*self.installed, *({name: now[name] for name in _OF_OUTLET} for now in had)]
        corded = [now for now in had if "cord" in now]
        kits = [{"part": "overhead-kit", "count": len(corded)}] if corded else []
        shelf = [*self.shelf, *(_as_stored(now) for now in corded), *kits]
        return shop_row([*self.machines], installed, shelf, self.spaces_free)


_OF_OUTLET = ("place", "panel", "method", "configuration", "breaker", "poles", "awg")


def _as_stored(now: Row) -> Row:
    """The cord of what a machine has, as the shelf says it."""
    ends = {"plug": now["configuration"], "connector": now["configuration"]}
    return {"part": f"cord-{now['cord']['awg']}-3", "length": now["cord"]["length"], **ends}


def shop_row(machines: list[Row], installed: list[Row], shelf: list[Row], spaces_free: int) -> Row:
    why = "left out"
    places = [*FEET]
    routes: list[Row] = [
        {"from": "panel", "to": place, "fixed": f"{feet} ft", "cord": f"{feet} ft"}
        for place, feet in FEET.items()
    ]
    routes += [
        {"from": a, "to": b, "cord": "20 ft"} for number, a in enumerate(places) for b in places[number + 1 :]
    ]
    return {
        "shop": "drawn",
        "invented": True,
        "catalog": "catalog",
        "today": "2026-11-02",
        "years": 4,
        "money": {"discount_rate": "0 %"},
        "code": {"edition": 2020, "occupancy": "commercial"},
        "building": {
            "patching": False,
            "forbid": {"conduit drop": why, "armored drop": why, "ceiling outlet": why},
        },
        "panels": [
            {
                "name": "panel",
                "system": "120/240 single-phase",
                "breakers": "family A",
                "spaces_free": spaces_free,
            }
        ],
        "places": [{"name": place} for place in places],
        "routes": routes,
        "machines": machines,
        "installed": installed,
        "shelf": shelf,
        "cords": {"slack": ["0 ft"], "families": ["straight"], "spare_conductor": False, "service": ["hard"]},
    }


def shop_of(row: Row) -> Shop:
    """The shop of a row."""
    return Shop.model_validate(row)


def machine(name: str, load: str, place: str) -> Row:
    """A machine of one of the loads, at a place."""
    volts, amps, plug = LOADS[load]
    return {
        "name": name,
        "at": place,
        "volts": volts,
        "amps": f"{amps} A",
        "plug": plug,
        "ways": {"hard_wired": False},
    }


def outlet(method: str, place: str, configuration: str) -> Row:
    """An outlet as `installed:` says it."""
    return {"place": place, "panel": "panel", "method": method, "configuration": configuration}


def present(
    method: str, place: str, configuration: str, length_ft: int = 0, awg: str = "", cord_awg: str = ""
) -> Row:
    """What a machine has; wire that is left out follows from the receptacle."""
    amps, poles, usual = BREAKERS[configuration]
    row = outlet(method, place, configuration) | {"breaker": f"{amps} A", "poles": poles, "awg": awg or usual}
    if method == "cord":
        row["cord"] = {"length": f"{length_ft} ft", "awg": cord_awg or usual, "conductors": 3}
    return row


METHODS = st.sampled_from(["wall drop", "cord"])
PLACES = st.sampled_from([*FEET])
CONFIGURATIONS = st.sampled_from([*BREAKERS])
LENGTHS = st.sampled_from([20, 30, 40])
FEW_SPACES = st.sampled_from([0, 1, 2, 20])
PLENTY_OF_SPACES = st.just(20)
PARTS = st.sampled_from(
    ["breaker-1p-20", "breaker-2p-20", "breaker-2p-30", "overhead-kit"]
    + [f"{kind}-{name}" for kind in ("receptacle", "plug", "connector") for name in ("5-20", "6-20", "6-30")]
)


@st.composite
def _now(draw: st.DrawFn, methods: st.SearchStrategy[str], places: st.SearchStrategy[str]) -> Row:
    """A circuit that is there; its wire may be thicker than its breaker asks for."""
    configuration = draw(CONFIGURATIONS)
    awg = draw(st.sampled_from([BREAKERS[configuration][2], "10"]))
    return present(draw(methods), draw(places), configuration, draw(LENGTHS), awg, awg)


@st.composite
def _stored(draw: st.DrawFn) -> Row:
    what = draw(st.sampled_from(["part", "cable", "cord"]))
    if what == "part":
        return {"part": draw(PARTS)}
    row = {"part": draw(st.sampled_from(["cord-12-3", "cord-10-3"])), "length": f"{draw(LENGTHS)} ft"}
    if what == "cable":
        return row
    configuration = draw(CONFIGURATIONS)
    return row | {"plug": configuration, "connector": configuration}


@st.composite
def shops(
    draw: st.DrawFn,
    *,
    methods: st.SearchStrategy[str] = METHODS,
    spaces: st.SearchStrategy[int] = FEW_SPACES,
) -> Drawn:
    """Two or three machines, most of which have a circuit at their place or another, and what lies about.

    `methods` are those of the circuits that machines have, `spaces` the free ones of the panel.
    """
    names = ("first", "second", "third")[: draw(st.integers(2, 3))]
    machines = [machine(name, draw(st.sampled_from([*LOADS])), draw(PLACES)) for name in names]
    wanted = st.sampled_from([machine["at"] for machine in machines])
    places = st.one_of(wanted, wanted, PLACES)
    circuits = _now(methods, places)
    now = [draw(st.one_of(circuits, circuits, st.none())) for _ in machines]
    installed = draw(st.lists(st.builds(outlet, METHODS, places, CONFIGURATIONS), max_size=2))
    shelf = draw(st.lists(_stored(), max_size=2))
    return Drawn(tuple(machines), tuple(now), tuple(installed), tuple(shelf), draw(spaces))
