"""Horsepower marks of what a bare motor is unplugged by: whether they will do, a larger configuration, or a switch."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache

from costplan.circuits.currents import switched_hp
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Attribute
from costplan.circuits.numbered import numbered
from costplan.circuits.size_types import CircuitSize, Load
from costplan.model.catalog import Part
from costplan.model.choices import DisconnectedBy, Supply
from costplan.model.ratings import horsepower_mark, mark_words
from costplan.model.shop import Machine
from costplan.standards import motors, receptacles
from costplan.standards.cords import cord_ampacity_a

PORTABLE_HP = Decimal("0.334")
"""A portable motor up to 1/3 hp needs no marked plug (NFPA 70 430.109(F), from memory)."""


@numbered
@dataclass(frozen=True)
class PlugMarks:
    """What the plug of a bare motor, and the receptacle or connector that takes it, must be marked for, by kind of part.

    `must_state` are kinds whose part must state the mark, since the usual one will not do and a stated one is sold;
    `not_below` kinds of which some part states a mark, which is not below the motor's; `switched` says that neither will do,
    so that a marked switch stands at the machine. `usual_hp` is the usual mark, None where it is not known; `smaller` the
    configuration that its current alone asks for, where a larger one was taken for its mark.
    """

    configuration: str = ""
    mark: str = ""
    power_hp: Decimal = Decimal(0)
    usual_hp: Decimal | None = None
    must_state: frozenset[str] = frozenset()
    not_below: frozenset[str] = frozenset()
    switched: bool = False
    smaller: str = ""

    def at_least(self, kind: str) -> dict[str, Attribute]:
        """The mark that a part of this kind must state."""
        return {self.mark: self.power_hp} if kind in self.must_state and not self.switched else {}

    def if_stated(self, kind: str) -> dict[str, Attribute]:
        """The mark that a part of this kind may not be below, where it states one."""
        return {self.mark: self.power_hp} if kind in self.not_below and not self.switched else {}

    @property
    def all_stated(self) -> bool:
        """Whether both parts of the pair must state their marks, so that nothing is left to read."""
        return len(self.must_state) == 2 and not self.switched

    @property
    def motor(self) -> str:
        """The motor in words, `3 hp at 240 V, 1-phase`; empty where no mark is asked for."""
        return mark_words(self.mark, self.power_hp) if self.mark else ""

    @property
    def usually(self) -> str:
        """What the configuration is usually marked for, in words."""
        if self.usual_hp is None:
            return f"the usual mark of {self.configuration} is not known"
        return f"{self.configuration} is usually marked {motors.hp_words(self.usual_hp)} hp"


NO_MARKS = PlugMarks()
"""Nothing is asked of marks: no motor, one whose factory plug its listing covers, or one of unknown horsepower."""


def asks_for_a_switch(machine: Machine, supply: Supply, load: Load) -> bool:
    """Whether nothing in sight disconnects a motor on a cord wired into it; ahead of a drive its own switch is none.

    Source: NFPA 70 430.102(A), (B), from memory.
    """
    if supply is Supply.DRIVE:
        return not disconnected_anyway(machine, driven=True)
    return load.motor and not disconnected_anyway(machine)


def disconnected_anyway(machine: Machine, *, driven: bool = False) -> bool:
    """Whether something else than its plug disconnects a motor: its breaker in sight, or a switch of its own.

    Its own switch is behind the drive that it is on, and disconnects no drive (NFPA 70 430.102, 430.109, from memory).
    """
    by = machine.disconnected_by
    return by is DisconnectedBy.BREAKER if driven else by is not None


def power_to_mark(machine: Machine, load: Load, configuration: str | None = None) -> Decimal | None:
    """The horsepower that a motor's plug must be marked for; None for what needs no mark, or whose horsepower is not known.

    What a switch of its own or its breaker in sight disconnects is not disconnected by its plug (NFPA 70 430.102, 430.109).
    The listing of a machine's own plug says nothing of the one ahead of a drive, unless that plug is the drive's:
    `configuration` is then the one that it hangs on.
    """
    came_with = machine.plug is not None and (not load.driven or machine.plug == configuration)
    asked = load.turns and not came_with and not disconnected_anyway(machine, driven=load.driven)
    power_hp = switched_hp(load) if asked else None
    portable = power_hp is not None and power_hp <= PORTABLE_HP and not machine.never_moves
    return None if portable else power_hp


def plug_marks(facts: Facts, machine: Machine, load: Load, configuration: str | None, into: str) -> PlugMarks:
    """What a motor's plug and what it goes `into`, a receptacle or a connector, must be marked for.

    A mark that nobody states and that is not usually known counts as too small, the dearer reading. Source: NFPA 70
    430.109(F): the pair disconnects a motor, or its drive, only if its mark is not below the motor's; a listed machine
    with its own plug (422.33) and a portable motor up to 1/3 hp need none; from memory.
    """
    power_hp = power_to_mark(machine, load, configuration)
    if power_hp is None or configuration is None:
        return NO_MARKS
    mark, usual_hp = horsepower_mark(load.volts, load.phases), receptacles.usual_mark_hp(configuration)
    usual_will_do = usual_hp is not None and motors.covers(usual_hp, power_hp)
    must_state, not_below, switched = set(), set(), False
    for kind in ("plug", into):
        parts = sold_new(facts, kind, configuration)
        stated = [part.number(mark) for part in parts if mark in part.attributes]
        if usual_will_do and (len(stated) < len(parts) or not parts):
            not_below |= {kind} if stated else set()
        elif any(motors.covers(mark_hp, power_hp) for mark_hp in stated):
            must_state.add(kind)
        else:
            switched = True
    return PlugMarks(
        configuration, mark, power_hp, usual_hp, frozenset(must_state), frozenset(not_below), switched
    )


def with_marked_ends(
    facts: Facts,
    machine: Machine,
    load: Load,
    size: CircuitSize,
    cord_size: CircuitSize | None,
    *,
    hangs: bool,
) -> tuple[CircuitSize, CircuitSize | None, PlugMarks]:
    """A circuit and its cord with ends marked for its motor, where the next larger ones are; and what marks are asked.

    hangs: whether the cord has a connector at the machine, which is then where the motor is unplugged. A receptacle may be
    above its circuit (NFPA 70 210.21(B)(1)); no plug for more than the wire of the machine's own cord carries goes on that.
    """
    code, into = size.configuration, "connector" if hangs else "receptacle"
    at_machine = (cord_size or size).configuration if hangs else code
    marks = plug_marks(facts, machine, load, at_machine, into)
    larger = receptacles.next_larger(code) if marks.switched and code == at_machine and code else None
    if larger is None or not _may_be_larger(facts, machine, load, larger, {into, "receptacle", "plug"}):
        return size, cord_size, marks
    marked = plug_marks(facts, machine, load, larger.code, into)
    if marked.switched:
        return size, cord_size, marks
    ends_in = None if cord_size is None else _ending_in(cord_size, larger.code)
    return _ending_in(size, larger.code), ends_in, replace(marked, smaller=code or "")


def _may_be_larger(
    facts: Facts, machine: Machine, load: Load, larger: receptacles.Configuration, kinds: Iterable[str]
) -> bool:
    """Whether a larger configuration is sold, and suits the cord that the machine came with."""
    if machine.cord is not None and not load.driven:
        carrying = 3 if load.phases == 3 else 2
        if larger.rating_a > cord_ampacity_a(machine.cord.awg, carrying):
            return False
    return all(sold_new(facts, kind, larger.code) for kind in kinds)


@cache
def _ending_in(size: CircuitSize, configuration: str) -> CircuitSize:
    """The circuit with another configuration; the same one each time, so that what is made of it is recognised."""
    return replace(size, configuration=configuration)


def sold_new(facts: Facts, kind: str, configuration: str) -> list[Part]:
    """Parts of a kind and configuration that somebody sells new at a price, as many as are asked for."""
    return [
        part
        for part in facts.parts_by_kind.get(kind, ())
        if part.attributes.get("configuration") == configuration
        and part.id in facts.sold
        and facts.sold[part.id].new_without_limit
    ]
