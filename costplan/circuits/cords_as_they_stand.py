"""What of a present receptacle or cord does not go with its machine: other volts, too few wires, wire that is too thin."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.circuits.currents import load_current_a, minimum_ampacity_a, text
from costplan.circuits.facts import Facts
from costplan.circuits.size_types import CannotSizeError, Load
from costplan.circuits.volts import fed_from
from costplan.circuits.ways import load_of
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.circuits_there import Present
from costplan.model.pair import Pair
from costplan.model.shop import Machine
from costplan.standards import receptacles, tables
from costplan.standards.citations import cited
from costplan.standards.cords import CORD_AMPACITY, cord_ampacity_a, cord_sizes


def asked_of_present_cords(pair: Pair, facts: Facts) -> Iterator[Problem]:
    """Questions of `check` about receptacles and cords that are there and that their machines cannot be on."""
    for index, machine in enumerate(pair.shop.machines):
        if machine.now is not None and machine.volts:
            where: Trail = ("machines", index, "now")
            yield from _volts(pair, where, machine, machine.now)
            yield from _wires(pair, where, machine, machine.now)
            yield from _size(pair, facts, where, machine, machine.now)


def _volts(pair: Pair, where: Trail, machine: Machine, now: Present) -> Iterator[Problem]:
    """A receptacle for other volts than a machine with bare ends."""
    outlet = receptacles.known(now.configuration)
    if outlet is None or now.drive is not None or receptacles.known(machine.plug) is not None:
        return
    if machine.nominal and not _gives_volts(outlet, machine):
        message = (
            f'is "{outlet.code}", for {outlet.volts} V {outlet.phases}-phase, but "{machine.name}" is '
            f"{machine.volts_words} V {machine.phases}-phase"
        )
        mend = "read the receptacle's face and the plate again; as it stands, the circuit is made anew"
        yield pair.in_shop("now-other-volts", (*where, "configuration"), message, mend, question=True)


def _gives_volts(outlet: receptacles.Configuration, machine: Machine) -> bool:
    neutral = {True} if machine.neutral else {False, True}
    return any(
        receptacles.label_volts(volts, machine.phases, with_neutral) == outlet.volts
        and outlet.phases == machine.phases
        for volts in machine.nominal
        for with_neutral in neutral
    )


def _wires(pair: Pair, where: Trail, machine: Machine, now: Present) -> Iterator[Problem]:
    """A cord with fewer wires than the machine's plug, or its phases, neutral and ground."""
    plug = receptacles.known(machine.plug)
    wires = plug.wires if plug is not None else (4 if machine.phases == 3 else 3) + machine.neutral
    if now.cord is not None and now.cord.conductors < wires and now.drive is None:
        message = f"is {now.cord.conductors}, but {machine.name} takes {wires} wires, the ground among them"
        mend = "count again, with the ground: 12/3 has 3"
        yield pair.in_shop("now-cord-wires", (*where, "cord", "conductors"), message, mend, question=True)


def _size(pair: Pair, facts: Facts, where: Trail, machine: Machine, now: Present) -> Iterator[Problem]:
    """A cord that carries less than the machine draws (NFPA 70 Table 400.5(A)(1)), of a welder less than its wires must."""
    if now.cord is None or now.cord.awg not in cord_sizes():
        return
    draws_a = _drawn_a(facts, machine, now)
    carries_a = cord_ampacity_a(now.cord.awg, 3 if machine.phases == 3 else 2)
    if draws_a is not None and draws_a > carries_a:
        message = (
            f"is {now.cord.awg} AWG, which carries {carries_a} A ({tables.cite(CORD_AMPACITY)}), but "
            f"{machine.name} draws {text(draws_a)} A"
        )
        mend = "read the cord's jacket and the plate again; as it stands, another cord takes its place"
        said = cited(message, pair.shop.code.edition)
        yield pair.in_shop("now-cord-thin", (*where, "cord", "awg"), said, mend, question=True)


def _drawn_a(facts: Facts, machine: Machine, now: Present) -> Decimal | None:
    """Amperes through the cord, at the volts of its panel where that gives the machine's; None where no plate says it."""
    panel = facts.panels.get(now.panel)
    fed = fed_from(panel, load_of(machine)) if panel is not None else None
    load: Load = fed.load if fed is not None and fed.load is not None else load_of(machine)
    try:
        current_a, _ = load_current_a(load)
        return minimum_ampacity_a(load, current_a)[0] if load.kind.welds else current_a
    except (CannotSizeError, LookupError):
        return None
