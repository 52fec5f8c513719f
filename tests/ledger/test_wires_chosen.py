"""The wires of which a plan chooses: gauges that a later load asks for, in every length; invented prices, no source."""

from itertools import pairwise
from typing import Any

import pytest
from strategies import make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.ledger.options import survey
from costplan.model.shop import Shop
from costplan.years.calendar import lives

CATALOG = make_catalog(recipes={"move machine": {"tasks": [{"task": "move-machine"}]}})
TO_30_A = {"year": 2, "machine": "band saw", "retool": {"volts": 240, "amps": 22}}
LIMITS = ("0.5 %", "1 %", "1.5 %", "2 %", "2.5 %", "3 %", "4 %", "8 %")


def shop_of(*events: dict[str, Any], limit: str = "3 %", ways: tuple[str, ...] = ("cord",)) -> Shop:
    saw = {"name": "band saw", "at": "bench A", "volts": 120, "amps": 15, "drop_limit": limit}
    cords = {"slack": [0, 15], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    only = {"ways": {"only": list(ways), "hard_wired": False}}
    return make_shop([saw | only], scenarios=[scenario(*events)], cords=cords)


def first_wires(shop: Shop) -> set[tuple[str, int | None, str | None]]:
    """The run's gauge, the cord's feet and its gauge today, by every way."""
    facts = Facts(shop, CATALOG)
    first = lives(shop, shop.scenarios[0])["band saw"].standings[0]
    found = set()
    for option in survey(facts).options["band saw"]:
        if option.refused:
            continue
        circuit = Builder(facts, facts.machines["band saw"], option.way).build(first)
        cord = circuit.cord_size
        found.add((circuit.size.awg, circuit.cable and circuit.cable.length_ft, cord and cord.awg))
    return found


def test_each_gauge_that_is_asked_for_later_is_a_choice_at_each_length() -> None:
    """15 A at 120 V go on 12 AWG, 22 A on 10 AWG (NFPA 70 Tables 310.16, 400.5(A)(1), 240.4(D)); 25 ft and 5 ft at the ends."""
    assert first_wires(shop_of(TO_30_A)) == {
        ("12", 30, "12"),
        ("12", 45, "12"),
        ("10", 30, "10"),
        ("10", 45, "10"),
    }
    drop = first_wires(shop_of(TO_30_A, ways=("wall drop",)))
    assert {run for run, _, _ in drop} == {"12", "10"}


@pytest.mark.parametrize("events", [(), (move(1, "band saw", "bench C"),)])
def test_where_no_load_asks_for_more_there_is_no_such_choice(events: tuple[dict[str, Any], ...]) -> None:
    assert all(not option.way.least_awg for option in _options(shop_of(*events)))
    fewer = {"year": 2, "machine": "band saw", "retool": {"volts": 120, "amps": 8}}
    assert all(not option.way.least_awg for option in _options(shop_of(fewer)))


def _options(shop: Shop) -> Any:
    return survey(Facts(shop, CATALOG)).options["band saw"]


@pytest.mark.parametrize("ways", [("cord",), ("wall drop",), ("cord", "wall drop")], ids="-".join)
@pytest.mark.parametrize(
    "events",
    [
        (TO_30_A,),
        (TO_30_A, move(1, "band saw", "bench E")),
        (TO_30_A, move(3, "band saw", "bench B")),
        (move(1, "band saw", "bench C"),),
    ],
    ids=["retooled", "moved and retooled", "retooled and moved", "moved"],
)
def test_loosening_the_limit_on_the_drop_never_costs_more(
    events: tuple[dict[str, Any], ...], ways: tuple[str, ...]
) -> None:
    """Heavier wire costs more here; whatever a tighter limit makes worth its money stays a choice under a looser one."""
    totals = [
        ranked(shop_of(*events, limit=limit, ways=ways), CATALOG)[0].present_value_cents for limit in LIMITS
    ]
    assert all(looser <= tighter for tighter, looser in pairwise(totals)), totals
