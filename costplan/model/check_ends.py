"""Rules over plugs, connectors and the circuits machines hang on: known to the standard, and fitting what hangs there."""

from collections.abc import Iterator
from contextlib import suppress
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.check_catalog import configuration_problem
from costplan.model.circuits_there import Present
from costplan.model.pair import Pair, Rule, plain
from costplan.model.shop import Machine
from costplan.standards import conductors, motors, overcurrent, receptacles, tables


def configurations_are_known(pair: Pair) -> Iterator[Problem]:
    """Plugs, connectors and receptacles are those of the tables, so that their volts, poles and amperes are known."""
    for code, where, configuration in _configurations(pair):
        found = configuration_problem(configuration) if configuration is not None else None
        if found is not None:
            yield pair.in_shop(code, where, *found)


def _configurations(pair: Pair) -> Iterator[tuple[str, Trail, str | None]]:
    """Code, place and configuration of everything in the shop file that has one."""
    for trail, machine in pair.machines():
        yield "machine-plug", (*trail, "plug"), machine.plug
        if machine.now is not None:
            yield "now-configuration", (*trail, "now", "configuration"), machine.now.configuration
    for index, outlet in enumerate(pair.shop.installed):
        yield "installed-configuration", ("installed", index, "configuration"), outlet.configuration
    for index, stored in enumerate(pair.shop.shelf):
        yield "shelf-configuration", ("shelf", index, "plug"), stored.plug
        yield "shelf-configuration", ("shelf", index, "connector"), stored.connector


def present_outlets_give_the_volts(pair: Pair) -> Iterator[Problem]:
    """Questions about a receptacle under now that is for other volts than a machine with bare ends."""
    for where, machine, now in _present(pair):
        outlet = receptacles.known(now.configuration)
        if outlet is None or now.drive is not None:
            continue
        plug = receptacles.known(machine.plug)
        if plug is None and machine.nominal and not _gives_volts(outlet, machine):
            message = (
                f'is "{outlet.code}", for {outlet.volts} V {outlet.phases}-phase, but "{machine.name}" is '
                f"{machine.volts_words} V {machine.phases}-phase"
            )
            mend = "read the receptacle's face and the plate again; as it stands, the circuit is made anew"
            yield pair.in_shop("now-other-volts", (*where, "configuration"), message, mend, question=True)


def _gives_volts(outlet: receptacles.Configuration, machine: Machine) -> bool:
    neutral = {machine.neutral, False, True} if not machine.neutral else {True}
    return any(
        receptacles.label_volts(volts, machine.phases, with_neutral) == outlet.volts
        and outlet.phases == machine.phases
        for volts in machine.nominal
        for with_neutral in neutral
    )


def _current_a(machine: Machine) -> Decimal | None:
    """What a machine draws: the larger of plate and table; None where neither says it."""
    found = [machine.amps_a] if machine.amps_a is not None else []
    if machine.hp is not None and machine.motor:
        with suppress(LookupError):
            found.append(motors.full_load_current_a(machine.hp, machine.phases, int(machine.volts)))
    return max(found, default=None)


def cords_for_sale_have_a_ground(pair: Pair) -> Iterator[Problem]:
    """Questions about cords of two wires, which serve no machine here: of cords the ground counts."""
    for index, part in enumerate(pair.catalog.parts):
        if part.kind == "cord" and part.attributes.get("conductors") == 2:
            message = "is 2, so it has no ground and serves no machine"
            mend = "count again with the ground: 12/3 has 3"
            where: Trail = ("parts", index, "attributes", "conductors")
            yield pair.in_file("parts.yaml", "part-cord-wires", where, message, mend, question=True)


def wires_there_fit_their_terminals(pair: Pair) -> Iterator[Problem]:
    """Questions about wire that is there and thicker than the terminals of its circuit mostly take: square millimeters?"""
    for word, trail, there in pair.outlets_there():
        if there.breaker_a is None or there.awg is None or not conductors.is_awg(there.awg):
            continue
        with suppress(LookupError):
            device_a = int(there.breaker_a)
            most = receptacles.largest_terminal_awg(device_a)
            if conductors.awg_rank(there.awg) > conductors.awg_rank(most):
                message = (
                    f"is {there.awg} AWG, but terminals of a {device_a} A device mostly take up to {most} AWG "
                    "(common practice, no source)"
                )
                nearest = conductors.nearest_awg(Decimal(there.awg)) if there.awg.isdecimal() else ""
                mend = "read the jacket of the cable again" + (
                    f"; is it square millimeters? {there.awg} mm2 is about {nearest} AWG" if nearest else ""
                )
                yield pair.in_shop(f"{word}-wire-thick", (*trail, "awg"), message, mend, question=True)


def present_cords_carry_their_machines(pair: Pair) -> Iterator[Problem]:
    """Questions about a present cord too thin for what the machine draws, or with too few wires."""
    for where, machine, now in _present(pair):
        cord, plug = now.cord, receptacles.known(machine.plug)
        if cord is None:
            continue
        wires = plug.wires if plug is not None else (4 if machine.phases == 3 else 3) + machine.neutral
        if cord.conductors < wires and now.drive is None:
            message = f"is {cord.conductors}, but {machine.name} takes {wires} wires, the ground among them"
            mend = "count again, with the ground: 12/3 has 3"
            yield pair.in_shop("now-cord-wires", (*where, "cord", "conductors"), message, mend, question=True)
        draws_a = _plugged_current_a(machine)
        if draws_a is None or cord.awg not in conductors.cord_sizes():
            continue
        carries_a = conductors.cord_ampacity_a(cord.awg, 3 if machine.phases == 3 else 2)
        if draws_a > carries_a:
            message = (
                f"is {cord.awg} AWG, which carries {carries_a} A ({tables.cite(conductors.CORD)}), but "
                f"{machine.name} draws {plain(draws_a)} A"
            )
            mend = "read the cord's jacket and the plate again; as it stands, another cord takes its place"
            yield pair.in_shop("now-cord-thin", (*where, "cord", "awg"), message, mend, question=True)


def _plugged_current_a(machine: Machine) -> Decimal | None:
    """What a machine on a cord draws: its plate's amperes rule where it came with a plug (NFPA 70 430.6(A)(1))."""
    return machine.amps_a if machine.amps_a is not None else _current_a(machine)


def shelf_cords_carry_their_plugs(pair: Pair) -> Iterator[Problem]:
    """Questions about a cord on the shelf whose two ends are of different amperes or volts, or too large for its wire."""
    parts = {part.id: part for part in pair.catalog.parts}
    for index, stored in enumerate(pair.shop.shelf):
        plug, connector = receptacles.known(stored.plug), receptacles.known(stored.connector)
        if plug is None or connector is None or stored.part not in parts:
            continue
        where: Trail = ("shelf", index, "plug")
        awg = str(parts[stored.part].attributes.get("awg", ""))
        if plug.system != connector.system:
            message = (
                f"is {plug.code}, {plug.volts} V {plug.phases}-phase, and the connector {connector.code}, "
                f"{connector.volts} V {connector.phases}-phase"
            )
            mend = "read both ends again"
            yield pair.in_shop("shelf-ends-differ", where, message, mend, question=True)
        elif awg in conductors.cord_sizes():
            carries_a = conductors.cord_ampacity_a(awg, 3 if plug.phases == 3 else 2)
            if plug.rating_a > overcurrent.next_standard_size_a(carries_a, pair.shop.code.edition):
                message = (
                    f"is {plug.code}, {plug.rating_a} A, on {awg} AWG, which carries {carries_a} A "
                    f"({tables.cite(conductors.CORD)})"
                )
                mend = "read jacket and plug again"
                yield pair.in_shop("shelf-cord-thin", where, message, mend, question=True)


def _present(pair: Pair) -> Iterator[tuple[Trail, Machine, Present]]:
    for index, machine in enumerate(pair.shop.machines):
        if machine.now is not None and machine.volts:
            yield ("machines", index, "now"), machine, machine.now


QUESTIONS = frozenset(
    {
        "now-other-volts",
        "now-cord-wires",
        "now-cord-thin",
        "now-wire-thick",
        "part-cord-wires",
        "installed-wire-thick",
        "shelf-ends-differ",
        "shelf-cord-thin",
    }
)
"""Codes of its questions."""

RULES: tuple[Rule, ...] = (
    configurations_are_known,
    present_outlets_give_the_volts,
    wires_there_fit_their_terminals,
    cords_for_sale_have_a_ground,
    present_cords_carry_their_machines,
    shelf_cords_carry_their_plugs,
)
