"""Moves that are counted in place of those in the scenarios: all else happens as it is written."""

from decimal import Decimal
from typing import Any

from strategies import LATHE, SAW, make_catalog, make_shop, move, scenario

from costplan.circuits.facts import Facts
from costplan.program.bench import Bench
from costplan.studies.moves import MOVES, among_places, at_moves, may_move, scenarios_without_moves
from costplan.studies.shops_anew import between_moves, moves_of, share_of_moves

SAW_NAME, LATHE_NAME = str(SAW["name"]), str(LATHE["name"])
RETOOLED = {"year": 2, "machine": SAW_NAME, "retool": {"volts": 240, "hp": 3}}


def facts_of(*scenarios: dict[str, Any], **more: Any) -> Facts:
    return Facts(make_shop([SAW, LATHE], scenarios=list(scenarios), **more), make_catalog())


def weighed(name: str, weight: str, *events: dict[str, Any]) -> dict[str, Any]:
    return {"name": name, "weight": weight, "events": list(events)}


def test_what_happens_besides_moves_stays() -> None:
    facts = facts_of(scenario(RETOOLED, move(1, SAW_NAME, "bench E")))
    for moves in (0, 1, 2, 7):
        (only,) = at_moves(facts, may_move(facts), among_places(facts, may_move(facts)), moves).shop.scenarios
        retools = [(event.year, event.machine) for event in only.events if event.retool]
        assert retools == [(2, SAW_NAME)]
        assert sum(event.move is not None for event in only.events) == moves


def test_scenarios_that_differ_in_moves_alone_are_one() -> None:
    facts = facts_of(
        weighed("seldom", "40 %", RETOOLED),
        weighed("often", "60 %", RETOOLED, move(1, SAW_NAME, "bench E")),
    )
    (only,) = scenarios_without_moves(facts, may_move(facts))
    assert (only.name, only.weight, len(only.events)) == (MOVES, 1, 1)


def test_scenarios_that_differ_otherwise_keep_their_weights_at_every_share() -> None:
    leaves = {"year": 3, "machine": LATHE_NAME, "leaves": True}
    facts = facts_of(
        weighed("stays", "30 %", move(1, SAW_NAME, "bench E")),
        weighed("goes", "50 %", leaves),
        weighed("moves", "20 %", move(2, SAW_NAME, "bench E")),
    )
    assert [(s.name, s.weight) for s in scenarios_without_moves(facts, may_move(facts))] == [
        ("stays", Decimal("0.5")),
        ("goes", Decimal("0.5")),
    ]
    figure = moves_of(facts)
    assert figure is not None
    between, more = between_moves(figure, 0)
    share = share_of_moves(between, more)
    assert share.likely == 50
    there = share.of(Decimal(30)).shop.scenarios
    assert [(s.name, s.weight) for s in there] == [
        ("stays, as many moves", Decimal("0.35")),
        ("goes, as many moves", Decimal("0.35")),
        ("stays, one more", Decimal("0.15")),
        ("goes, one more", Decimal("0.15")),
    ]


def test_where_places_are_measured_from_the_panel_alone_machines_move_to_new_spots() -> None:
    """Routes from the panel say nothing of the way between two benches, so nobody can be moved there."""
    places = [{"name": "panel wall", "at": [0, 0]}, {"name": "here"}, {"name": "there"}]
    routes = [{"from": "panel", "to": name, "fixed": "30 ft", "cord": "25 ft"} for name in ("here", "there")]
    machines = [SAW | {"at": "here"}, SAW | {"name": "another", "at": "there"}]
    facts = Facts(make_shop(machines, scenarios=[], places=places, routes=routes), make_catalog())
    assert among_places(facts, may_move(facts)) == []
    figure = moves_of(facts)
    assert figure is not None
    options = Bench.over(figure.at(1), facts.shop.money.surplus).priced_survey.options
    assert [any(option.open for option in found) for found in options.values()] == [True, True]
