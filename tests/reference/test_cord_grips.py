"""Cords wired into machines, each held by a grip that fits its jacket, worked by hand.

Jackets and the ranges of grips are typical figures from memory, in inches; makers differ. Prices are invented.
"""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

import pytest
from strategies import KINDS, make_catalog, make_shop, offer, ranked, store_offers

from costplan.circuits.facts import Facts
from costplan.circuits.grips import grips_for
from costplan.circuits.needs import make_spec
from costplan.circuits.ways import Way
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, Method, Service
from costplan.model.shop import Shop
from costplan.program.ranked import Ranked
from costplan.reports.bill import bill_of_materials
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

Row = dict[str, Any]
GRIPS: dict[str, tuple[str, str, int]] = {
    "A": ("0.250", "0.375", 5),
    "B": ("0.375", "0.500", 5),
    "C": ("0.500", "0.625", 6),
    "D": ("0.625", "0.750", 9),
    "E": ("0.750", "0.875", 14),
    "F": ("0.875", "1.000", 15),
}
"""Jackets that each holds, and its price."""
JACKETS = {
    "14/3 SJOOW": "0.36",
    "12/3 SJOOW": "0.43",
    "10/3 SJOOW": "0.55",
    "14/3 SOOW": "0.53",
    "12/3 SOOW": "0.60",
    "10/3 SOOW": "0.67",
    "8/3 SOOW": "0.81",
    "6/3 SOOW": "0.94",
    "14/4 SOOW": "0.57",
    "12/4 SOOW": "0.65",
    "10/4 SOOW": "0.72",
}
INTO: Row = {"cord into machine": {"parts": [{"kind": "cord grip"}], "tasks": [{"task": "wire-plug"}]}}


def cord_part(name: str, jacket: str | None) -> Row:
    size, kind = name.split(" ")
    awg, wires = size.split("/")
    hard = kind == "SOOW"
    attributes: Row = {"awg": awg, "conductors": int(wires), "volts": 600 if hard else 300, "type": kind}
    attributes |= {"service": "hard" if hard else "junior hard"}
    if jacket is not None:
        attributes["jacket_in"] = Decimal(jacket)
    return {"id": name, "kind": "cord", "name": f"cord {name}", "attributes": attributes}


def grip_part(name: str) -> Row:
    low, high, _ = GRIPS[name]
    attributes = {"jacket_from_in": Decimal(low), "jacket_to_in": Decimal(high)}
    return {"id": f"grip {name}", "kind": "cord grip", "name": f"grip {name}", "attributes": attributes}


def catalog(
    cords: Iterable[str], jackets: dict[str, str | None] | None = None, grips: Iterable[str] = GRIPS
) -> Catalog:
    """The store with these cords only, at 2.00 a foot, and these grips."""
    known: dict[str, str | None] = {**JACKETS, **(jackets or {})}
    names = list(cords)
    kinds = [
        *(kind | ({"may_state": ["jacket_in"]} if kind["kind"] == "cord" else {}) for kind in KINDS),
        {"kind": "cord grip", "may_state": ["jacket_from_in", "jacket_to_in"]},
    ]
    offers = [row for row in store_offers() if not row["part"].startswith("cord-")]
    offers += [offer(name, "store", 2, "ft") for name in names]
    offers += [offer(f"grip {name}", "store", GRIPS[name][2]) for name in grips]
    more = [*(cord_part(name, known[name]) for name in names), *(grip_part(name) for name in grips)]
    return make_catalog(offers, kinds=kinds, more_parts=more, recipes=INTO)


SAW: Row = {
    "name": "saw",
    "at": "bench A",
    "volts": 240,
    "amps": 16,
    "motor": False,
    "ways": {"only": ["cord"]},
}
"""Taken as no motor, which a cord wired in would want a switch for (NFPA 70 430.102(B))."""


def shop_of(*machines: Row, service: str = "hard") -> Shop:
    cords = {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": [service]}
    return make_shop(list(machines), cords=cords)


def grips_bought(shop: Shop, found: Catalog) -> tuple[Ranked, dict[str, Decimal]]:
    plan = ranked(shop, found)[0]
    rows = bill_of_materials(Facts(shop, found), plan)
    return plan, {row.part: row.quantity for row in rows if row.part.startswith("grip")}


@pytest.mark.parametrize(
    ("cord", "fits"),
    [
        ("14/3 SJOOW", "A"),
        ("12/3 SJOOW", "B"),
        ("10/3 SJOOW", "C"),
        ("14/3 SOOW", "C"),
        ("12/3 SOOW", "C"),
        ("10/3 SOOW", "D"),
        ("8/3 SOOW", "E"),
        ("6/3 SOOW", "F"),
        ("14/4 SOOW", "C"),
        ("12/4 SOOW", "D"),
        ("10/4 SOOW", "D"),
    ],
)
def test_a_grip_is_chosen_by_the_jacket_and_never_by_the_wire(cord: str, fits: str) -> None:
    assert _fitting(cord) == [fits]


@pytest.mark.parametrize(("jacket", "fits"), [("0.500", ["B", "C"]), ("0.375", ["A", "B"]), ("1.03", [])])
def test_ends_of_a_range_fit_and_nothing_beyond(jacket: str, fits: list[str]) -> None:
    """Exactly 0.500 fits two grips; 1.03 none, and never the nearest."""
    assert _fitting("12/3 SOOW", jacket) == fits


def test_an_unknown_jacket_fits_no_grip() -> None:
    assert _fitting("12/3 SOOW", None) == []


def _fitting(cord: str, jacket: str | None = "as listed") -> list[str]:
    jackets = {} if jacket == "as listed" else {cord: jacket}
    shop, found = shop_of(SAW), catalog([cord], jackets)
    way = Way(Method.CORD, "panel", Family.STRAIGHT, service=Service.HARD, wired_in=True)
    awg, wires = cord.split(" ")[0].split("/")
    spec = make_spec("cord", {}, {"awg": awg, "conductors": int(wires)})
    ranges = grips_for(Facts(shop, found), way, spec)
    return [name for name, (low, high, _) in GRIPS.items() if (Decimal(low), Decimal(high)) in ranges]


def test_a_cord_wired_into_a_machine_without_a_plug() -> None:
    """12/3 SOOW, 25 + 5 ft: grip C at 6.00, though A and B cost 5.00; one plug, no connector, no plug of the machine.

    It spares the connector at 20.00 and the machine's plug at 12.00, each with an hour of 20.00, and takes the grip and an
    hour of 20.00.
    """
    shop, found = shop_of(SAW), catalog(["12/3 SOOW"])
    plan, grips = grips_bought(shop, found)
    ((_, way, _),) = plan.plan.shares()
    assert way.group == "cord, wired into the machine"
    assert grips == {"grip C": 1}
    parts = {row.part for row in bill_of_materials(Facts(shop, found), plan)}
    assert "connector-6-20" not in parts
    plain = ranked(shop, catalog(["12/3 SOOW"], {"12/3 SOOW": None}))[0]
    # The connector with the hour of its end, the machine's plug less the fifth of it that comes back, with its hour.
    spared = 2000 + 2000 + 1200 - 240 + 2000
    assert plain.present_value_cents - plan.present_value_cents == spared - 600 - 2000


def test_the_cord_and_its_grip_are_chosen_together() -> None:
    """A cord that costs 1.00 more in all with a grip 3.00 cheaper wins; brute force over the two pairs."""
    base = catalog(["12/3 SOOW", "12/3 SJOOW"])
    prices = {"12/3 SOOW": 2, "12/3 SJOOW": 2}
    for soow, sjoow in ((200, 210), (210, 200), (200, 203), (200, 204)):
        offers = [
            row.model_copy(update={"price_cents": Decimal(soow if row.part == "12/3 SOOW" else sjoow)})
            if row.part in prices
            else row
            for row in base.offers
        ]
        found = base.model_copy(update={"offers": offers})
        shop = shop_of(SAW, service="junior hard")
        _, grips = grips_bought(shop, found)
        # 30 ft of cord, less 40 % of its price at the end, and the grip: C at 6.00 for SOOW, B at 5.00 for SJOOW.
        costs = {
            "grip C": Decimal(30 * soow) * Decimal("0.6") + 600,
            "grip B": Decimal(30 * sjoow) * Decimal("0.6") + 500,
        }
        assert list(grips) == [min(costs, key=lambda name: costs[name])]


def test_an_unknown_jacket_is_asked_and_the_way_is_not_ranked() -> None:
    shop, found = shop_of(SAW), catalog(["12/3 SOOW"], {"12/3 SOOW": None})
    result = compare(Facts(shop, found), Wanted(plans=1))
    (entry,) = [entry for entry in result.out if entry.way == "cord, wired into the machine"]
    assert "write jacket_in for the cord" in entry.reason
    assert all(not way.wired_in for _, way, _ in result.best.plan.shares())


def test_a_plug_is_not_cut_off_to_wire_a_cord_in() -> None:
    """A listed machine keeps its plug (110.3(B)), unless its maker allows the change; nor where a plug is a must."""
    plug: Row = {"plug": "NEMA 6-20"}
    for machine, wired in (
        (SAW, True),
        (SAW | plug, False),
        (SAW | plug | {"plug_may_change": True}, True),
        (SAW | {"ways": {"only": ["cord"], "hard_wired": False}}, False),
    ):
        shop, found = shop_of(machine), catalog(["12/3 SOOW"])
        plan = ranked(shop, found)[0]
        assert any(way.wired_in for _, way, _ in plan.plan.shares()) == wired


def test_a_longer_machine_cord_has_a_grip_too() -> None:
    """A drop whose machine is to reach another place has a longer cord wired in, of the size asked for: grip C."""
    saw = SAW | {"ways": {"only": ["wall drop"]}}
    events = [{"year": 1, "machine": "saw", "move": "bench B"}]
    cords = {"slack": [20], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    shop = make_shop([saw], cords=cords, scenarios=[{"name": "moves", "weight": 1, "events": events}])
    plan, grips = grips_bought(shop, catalog(["12/3 SOOW"]))
    ((_, way, _),) = plan.plan.shares()
    assert way.group == "wall drop, longer machine cord"
    assert grips == {"grip C": 1}


def test_a_thicker_cord_later_has_its_own_grip() -> None:
    """Retooled in year 1 from 16 A to 24 A: 12/3 in grip C today, 10/3 in grip D then; the way stays open and complete."""
    saw = SAW | {"amps": 16}
    events = [{"year": 1, "machine": "saw", "retool": {"volts": 240, "amps": 24}}]
    cords = {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    shop = make_shop([saw], cords=cords, scenarios=[{"name": "grows", "weight": 1, "events": events}])
    plan, grips = grips_bought(shop, catalog(["12/3 SOOW", "10/3 SOOW"]))
    ((_, way, _),) = plan.plan.shares()
    assert way.wired_in
    later = {line.what for line in plan.lines if line.year == 1 and line.what.startswith("grip")}
    assert (set(grips), later) in (({"grip C"}, {"grip D"}), ({"grip D"}, set()))
