"""Rules over plugs, connectors and the circuits machines hang on: known to the standard, and fitting what hangs there."""

from collections.abc import Iterator
from contextlib import suppress
from decimal import Decimal

from costplan.checks.check_catalog import configuration_problem
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.pair import Pair, Rule
from costplan.standards import conductors, overcurrent, receptacles, tables
from costplan.standards.cords import CORD_AMPACITY, cord_ampacity_a, cord_sizes


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


def cords_for_sale_have_a_ground(pair: Pair) -> Iterator[Problem]:
    """Questions about cords of two wires, which serve no machine here: of cords the ground counts."""
    for index, part in enumerate(pair.catalog.parts):
        if part.kind == "cord" and part.attributes.get("conductors") == 2:
            message = "is 2, so it has no ground and serves no machine"
            mend = "count again with the ground: 12/3 has 3"
            where: Trail = ("parts", index, "attributes", "conductors")
            yield pair.in_file("parts.yaml", "part-cord-wires", where, message, mend, question=True)


IN_BOTH_MEASURES = frozenset({"1", "4", "6", "10"})
"""Wire sizes that are written alike in AWG and in square millimeters (IEC 60228, from memory)."""


def wires_there_fit_their_terminals(pair: Pair) -> Iterator[Problem]:
    """Questions about wire that is there and thicker than the terminals of its circuit mostly take: square millimeters?"""
    for word, trail, there in pair.outlets_there():
        if there.breaker_a is None or there.awg not in IN_BOTH_MEASURES:
            continue
        with suppress(LookupError):
            device_a = int(there.breaker_a)
            most = receptacles.largest_terminal_awg(device_a)
            if conductors.awg_rank(there.awg) > conductors.awg_rank(most):
                message = (
                    f"is {there.awg} AWG, but terminals of a {device_a} A device mostly take up to {most} AWG "
                    "(common practice, no source)"
                )
                nearest = conductors.nearest_awg(Decimal(there.awg))
                mend = (
                    "read the jacket of the cable again; is it square millimeters? "
                    f"{there.awg} mm2 is about {nearest} AWG"
                )
                yield pair.in_shop(f"{word}-wire-thick", (*trail, "awg"), message, mend, question=True)


def shelf_cords_carry_their_plugs(pair: Pair) -> Iterator[Problem]:
    """Questions about a cord on the shelf whose two ends are of different amperes or volts, or too large for its wire."""
    parts = pair.parts()
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
        elif awg in cord_sizes():
            carries_a = cord_ampacity_a(awg, 3 if plug.phases == 3 else 2)
            if plug.rating_a > overcurrent.next_standard_size_a(carries_a, pair.shop.code.edition):
                message = (
                    f"is {plug.code}, {plug.rating_a} A, on {awg} AWG, which carries {carries_a} A "
                    f"({tables.cite(CORD_AMPACITY)})"
                )
                mend = "read jacket and plug again"
                yield pair.in_shop("shelf-cord-thin", where, message, mend, question=True)


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
"""Codes of its questions, and of those about present cords that need a machine's current (`circuits.cords_as_they_stand`)."""

RULES: tuple[Rule, ...] = (
    configurations_are_known,
    wires_there_fit_their_terminals,
    cords_for_sale_have_a_ground,
    shelf_cords_carry_their_plugs,
)
