"""The wires that a way may be made of, of which the plan chooses: gauge, jacket and length, as later years ask for them."""

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace

from costplan.circuits.circuit import Builder
from costplan.circuits.circuit import Standing as PlaceStanding
from costplan.circuits.facts import Facts
from costplan.circuits.present import keeps
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import Way
from costplan.model.choices import Method, Service
from costplan.model.routes import NoRouteError
from costplan.model.shop import Machine
from costplan.standards import conductors, cords
from costplan.years.calendar import Life


def standings_of(fate: Mapping[str, Life]) -> list[PlaceStanding]:
    """The standings of a machine in all scenarios, each once."""
    return list(dict.fromkeys(standing for life in fate.values() for standing in life.standings))


def by_gauge(facts: Facts, machine: Machine, way: Way, fate: Mapping[str, Life]) -> Way:
    """The way, by hard service cord where all its cords are thicker than junior hard ones are made (NFPA 70 Table 400.4)."""
    if way.service is not Service.JUNIOR_HARD:
        return way
    builder = Builder(facts, machine, way)
    try:
        sizes = [builder.build(standing).cord_size for standing in standings_of(fate)]
    except (CannotSizeError, NoRouteError):
        return way
    thick = all(size is not None and not cords.made_in_service(str(way.service), size.awg) for size in sizes)
    return replace(way, service=Service.HARD) if thick else way


def wired_for_later(facts: Facts, machine: Machine, way: Way, fate: Mapping[str, Life]) -> Iterator[Way]:
    """The way; and the same with wire as heavy from the first as each load asks for that the machine is retooled to.

    Only where heavier wire then goes under the ends that it has first, and is sold.
    """
    yield way
    lives = [life for life in fate.values() if life.standings]
    if all(len({standing.load for standing in life.standings}) < 2 for life in lives):
        return
    try:
        asked = [[_gauges(facts, machine, way, standing) for standing in life.standings] for life in lives]
    except (CannotSizeError, NoRouteError):
        return
    wished = {awg for life in asked for later in life[1:] for awg in _thicker(later, life[0])}
    for awg in sorted(wished):
        heavier = replace(way, least_awg=awg)
        with suppress(CannotSizeError, NoRouteError):
            firsts = (_gauges(facts, machine, heavier, life.standings[0]) for life in lives)
            if any(first != life[0] for first, life in zip(firsts, asked, strict=True)):
                yield heavier


def _gauges(facts: Facts, machine: Machine, way: Way, standing: PlaceStanding) -> tuple[str, ...]:
    """The wire of its run, and of its cord where it has one. Raises CannotSizeError and NoRouteError."""
    circuit = Builder(facts, machine, way).build(standing)
    return tuple(size.awg for size in (circuit.size, circuit.cord_size) if size is not None)


def _thicker(later: tuple[str, ...], first: tuple[str, ...]) -> Iterator[str]:
    """The wires of a later circuit that are thicker than those of the first."""
    for awg, was in zip(later, first, strict=False):
        if conductors.awg_rank(awg) > conductors.awg_rank(was):
            yield awg


def plain_cord(facts: Facts, way: Way) -> bool:
    """Whether it is a cord as short and plain as can be: cords that are there serve it whatever they have besides."""
    return (
        way.method is Method.CORD
        and not way.spare_conductor
        and way.slack_ft == min(facts.shop.cords.slack_ft)
    )


def longer_at_first(facts: Facts, machine: Machine, way: Way, fate: Mapping[str, Life]) -> Iterator[Way]:
    """The way with a cord that is there and longer than its first place asks for, where a later place asks for more."""
    kept = machine.now is not None and keeps(way, machine.now) and not way.pooled
    if kept or not plain_cord(facts, way):
        return
    builder = Builder(facts, machine, way)
    asked: list[list[int]] = []
    for life in fate.values():
        try:
            lengths = [builder.cord_ft(way.panel, standing) for standing in life.standings]
        except NoRouteError:
            continue
        asked.append([feet for feet in lengths if feet is not None])
    first = min((feet[0] for feet in asked if feet), default=0)
    later = {feet for lengths in asked for feet in lengths[1:] if feet > first}
    for length in facts.cord_lengths_there:
        if any(feet <= length for feet in later):
            yield replace(way, first_cord_ft=length)
