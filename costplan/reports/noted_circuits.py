"""Topics of one machine's circuit: what it ends in, what feeds it, how it was sized."""

from collections.abc import Mapping
from dataclasses import replace

from costplan.circuits.circuit import Builder
from costplan.circuits.currents import switched_hp, text
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.grips import takes_grip
from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.circuits.heavier import sized
from costplan.circuits.listing import turns_on_listing
from costplan.circuits.machine_lead import machine_lead
from costplan.circuits.outlets import OWN_SWITCH
from costplan.circuits.plug_marks import PORTABLE_HP, disconnected_anyway
from costplan.circuits.protection import starting_a
from costplan.circuits.run_parts import wiring_of
from costplan.circuits.size_types import CannotSizeError, Wiring
from costplan.ledger.steps import Act
from costplan.model.choices import Method, Occupancy
from costplan.model.installed import usual_ground_awg
from costplan.model.ratings import horsepower_mark, mark_words
from costplan.program.ranking import Ranked
from costplan.reports.circuits import rehung
from costplan.reports.marks import states_mark
from costplan.reports.noted_heaters import HEATER_TOPICS, Holds
from costplan.reports.noted_motors import MOTOR_TOPICS
from costplan.reports.noted_there import THERE_TOPICS, protects_a
from costplan.reports.noted_ways import OF_DEVICES, WAY_TOPICS, device_of
from costplan.reports.priced import Priced
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered
from costplan.standards import conductors, motors, overcurrent, receptacles
from costplan.studies.protection_cost import space_of, turns_on_edition, turns_on_machine, turns_on_place
from costplan.studies.size_cost import Told, breaker_words, difference_words, kept_words, lead_words

REACH_FT = 8
"""Above this work is done from a ladder; common practice, no source."""
LARGEST_ARC_FAULT_A = 20
"""Circuits of up to so many amperes get arc-fault protection (NFPA 70 210.12, from memory)."""
LAID = (
    *(Topic.CABLE_LAID, Topic.CABLE_IN_REACH, Topic.PIGTAILS, Topic.BUSHINGS),
    *(Topic.GROUND_COLOR, Topic.CABLE_FITTINGS, Topic.IN_THE_WALL),
)
"""Topics of a run itself, whatever is changed at its ends."""
FITTED = (Act.BUY, Act.TAKE_OVER, Act.TAKE_FROM_SHELF)


def _hung_cord(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    if powered.circuit.cable is None:
        return False
    step = powered.cord
    return made or step is None or step.act is not Act.KEEP or rehung(facts, powered) is not None


def _hung_where(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> str:
    """From where to where a cord is hung today, and how many feet it has."""
    circuit = powered.circuit
    if circuit.cable is None or not _hung_cord(facts, ranked, powered, made):
        return ""
    beside = powered.way.method is Method.CORD
    starts = f"beside {circuit.panel}" if beside else circuit.standing.place
    ends = f" to {circuit.standing.place}" if beside and powered.machine.at else ""
    return f"from {starts}{ends}, {circuit.cable.length_ft} ft"


def _factory_plug(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    plug = powered.machine.plug
    return (made or powered.receptacle is not None) and plug is not None and not _plug_changes(powered)


def _plug_change(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return (made or powered.receptacle is not None) and _plug_changes(powered)


def _plug_changes(powered: Powered) -> bool:
    """Whether the plug that a machine came with is exchanged, or taken off to hard-wire it."""
    plug = powered.machine.plug
    ends_in = powered.circuit.machine_plug if powered.circuit.size.configuration else None
    return plug is not None and plug != ends_in


def _bolted_on_plug(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """Whether a machine that never moves gets a plug that it did not come with; of a cord the remark on that speaks."""
    machine, on_plug = powered.machine, powered.circuit.size.configuration is not None
    bolted = machine.never_moves and machine.plug is None and powered.way.method is not Method.CORD
    return bolted and on_plug and not powered.stays


def _own_cord(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> str:
    """The least wire of the cord that a machine with bare ends is taken to have, where nobody described it."""
    machine, way, circuit = powered.machine, powered.way, powered.circuit
    plug, now = circuit.machine_plug, powered.machine.now
    makes_one = way.into_machine or device_of(circuit) == DRIVE
    described = machine.plug is not None or machine.cord is not None
    if plug is None or makes_one or described or (now is not None and now.configuration == plug):
        return ""
    carrying = 3 if circuit.supplied.load.phases == 3 else 2
    asked_a = circuit.size.breaker_a
    thinnest = next(
        awg for awg in conductors.cord_sizes() if conductors.cord_ampacity_a(awg, carrying) >= asked_a
    )
    words = f"plug {plug} behind {asked_a} A: {thinnest} AWG or thicker"
    lead = machine_lead(Builder(facts, machine, way), circuit)
    if lead is None:
        return words
    money = lead_words(facts, ranked, way, circuit, machine)
    length = f"{lead.length_ft} ft of it are" if lead.length_ft else "a lead is"
    words = f"{words}; {length} priced in case it has none"
    return Priced(f"{words}: {money}", words) if money else words


def _bare_motor(powered: Powered) -> bool:
    """Whether it is a motor that did not come with a plug: one with it is an appliance with its own protection."""
    fed_by_drive = device_of(powered.circuit) == DRIVE
    return powered.circuit.supplied.load.motor and powered.machine.plug is None and not fed_by_drive


def _motor_start(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
    """A motor hard-wired today, whose breaker has the margin; or any other whose breaker is below it, with both figures."""
    circuit = powered.circuit
    on_drive = device_of(circuit) == DRIVE
    hard_wired = circuit.size.configuration is None
    by_habit_a = starting_a(circuit.supplied.load, facts.rules_at(space_of(facts, circuit)))
    if made and hard_wired and _bare_motor(powered):
        # Below its habit it is where no cable on offer has the ground that the habit asks for.
        below = circuit.size.breaker_a < by_habit_a and circuit.supplied.load.maker_breaker_a is None
        return f"{circuit.size.breaker_a} A, by habit at least {text(by_habit_a)} A" if below else True
    asked = powered.changes or powered.unseen
    if not (asked and circuit.supplied.load.motor) or on_drive or (hard_wired and made):
        return False
    breaker_a = powered.breaker_a
    enough = breaker_a >= by_habit_a or breaker_a == circuit.supplied.load.maker_breaker_a
    matched = powered.machine.plug is not None and breaker_a >= circuit.size.minimum_ampacity_a
    if enough or matched:  # a maker's plug that leaves 125 % is matched to its motor
        return False
    where = "" if hard_wired else " behind its receptacle"
    rating_a = overcurrent.next_standard_size_a(by_habit_a, facts.shop.code.edition)
    # A breaker above its receptacle is no choice (NFPA 70 210.21(B)(1)), so it has no price here.
    money = breaker_words(facts, circuit, rating_a) if rating_a <= circuit.size.breaker_at_most_a else ""
    words = f"{breaker_a} A{where}, by habit at least {text(by_habit_a)} A"
    return Priced(f"{words}; {rating_a} A: {money}", words) if money else words


def _motor_overload(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return (powered.changes or powered.unseen) and _bare_motor(powered)


def _disconnect_in_sight(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A hard-wired motor, or one on a cord wired into it, whose plug is beside the panel, that gets its disconnect today."""
    circuit = powered.circuit
    if powered.unseen:
        return False
    if circuit.size.configuration is None:
        return _bare_motor(powered) and not _end_stays(powered)
    return powered.changes and powered.way.wired_in and circuit.switch is not None


def _lead_of_drive(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
    """A drive bought today that is on a plug at the machine: whether its lead and what holds it are priced."""
    if powered.way.wired_in or not _on_plug(powered) or not _drive_comes(ranked, powered, Act.BUY):
        return False
    return takes_grip(facts, powered.machine) or "neither grips nor a lead are priced: no recipe has them"


def _line_cord_of_drive(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A drive on a cord or a plug that was there: nobody described its line cord, and none is bought for it."""
    there = powered.machine.now is not None and powered.machine.now.drive is not None
    return (
        _on_plug(powered)
        and not _drive_comes(ranked, powered, Act.BUY)
        and (there or _drive_comes(ranked, powered))
    )


def _on_plug(powered: Powered) -> bool:
    """Whether a drive feeds it that is itself on a cord or a plug."""
    return device_of(powered.circuit) == DRIVE and powered.circuit.size.configuration is not None


def _drive_comes(ranked: Ranked, powered: Powered, *acts: Act) -> bool:
    """Whether a drive comes to a machine today, by one of these acts, by any where none is said."""
    mine = (step for step in ranked.steps if (step.kind, step.machine) == (DRIVE, powered.machine.name))
    return any(step.act in (acts or FITTED) for step in mine)


NOT_DESCRIBED = "nobody described what disconnects it today"


def _disconnect_not_seen(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
    """Such a motor, where no disconnect is put in today: what is there nobody described, or it was another machine's."""
    circuit = powered.circuit
    if powered.machine.disconnected_by is not None:
        return False
    if powered.unseen:
        motor = circuit.supplied.load.motor and device_of(circuit) != DRIVE
        asked = _marked_too_low(powered) or _asked_mark(powered)
        return "; ".join(filter(None, (NOT_DESCRIBED, asked))) if motor else False
    return _end_stays(powered) and circuit.size.configuration is None and _bare_motor(powered)


def _end_stays(powered: Powered) -> bool:
    """Whether the run was there, and what it ends in is not changed."""
    return powered.had is not None and powered.receptacle is None


def _switch_on_cord(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
    """A switch that is put in between a machine's cord and its motor; whether what holds its cords is priced."""
    name = powered.machine.name
    if not any(s.kind == OWN_SWITCH and s.machine == name and s.act in FITTED for s in ranked.steps):
        return False
    return takes_grip(facts, powered.machine) or "neither grips nor a lead are priced: no recipe has them"


def _horsepower_mark(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> str:
    """What must be marked for a motor, where what disconnects it is bought today and does not state it, or stays unmarked."""
    circuit, load, marks = powered.circuit, powered.circuit.supplied.load, powered.circuit.plug_marks
    hard_wired = circuit.size.configuration is None and load.motor
    ahead = _on_plug(powered) and powered.machine.plug != circuit.machine_plug
    if not (hard_wired or _bare_motor(powered) or ahead or (load.driven and circuit.switch is not None)):
        return ""
    answered = disconnected_anyway(powered.machine, driven=load.driven)
    if answered and circuit.switch is None and not (hard_wired and made):
        return ""
    power_hp = switched_hp(load)
    if powered.stays and not powered.unseen:
        return _marked_too_low(powered)
    if power_hp is None:
        return "its horsepower is not in the file"
    mark = horsepower_mark(load.volts, load.phases)
    asked = f"at least {mark_words(mark, power_hp)}"
    if powered.unseen:
        # Of a motor whose disconnect nobody described its amperes and its mark are asked in one.
        told = _disconnect_not_seen(facts, ranked, powered, made)
        return "" if told else _marked_too_low(powered) or f"on what is there, {asked}"
    if marks.switched:
        return f"a switch at the machine, {asked}, since {marks.usually}"
    if circuit.switch is not None:
        return f"a switch at the machine, {asked}"
    if not hard_wired and not marks.mark:
        return ""
    if marks.all_stated or states_mark(facts, ranked, circuit.receptacle, mark):
        return ""
    return asked if hard_wired else f"{asked}; {marks.usually}"


def _listing(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> str:
    """What circuit a motor with its factory plug gets today if its machine is listed and if not, where nobody said."""
    if not powered.changes:
        return ""
    turns = turns_on_listing(powered.circuit.supplied.load, facts.rules_at(space_of(facts, powered.circuit)))
    money = _said_otherwise(facts, ranked, powered, listed=False) if turns and made else ""
    return Priced(f"{turns}: {money} then", turns) if money else turns


def _plug_mark(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> str:
    """A motor with its factory plug that is usually marked for less than its horsepower, or whose mark is not known.

    NFPA 70 430.109(F): the pair disconnects a motor only where its mark is not below the motor's. A portable motor up to
    1/3 hp needs none; what a switch of its own disconnects is said by `disconnected_by`.
    """
    machine, load = powered.machine, powered.circuit.supplied.load
    there = powered.circuit.size.configuration
    keeps_plug = machine.plug is not None and there is not None and not _plug_changes(powered)
    power_hp = switched_hp(load)
    if not (keeps_plug and load.turns) or power_hp is None:
        return ""
    if disconnected_anyway(machine, driven=load.driven):
        return ""
    usual_hp = receptacles.usual_mark_hp(machine.plug)
    if power_hp <= PORTABLE_HP or (usual_hp is not None and motors.covers(usual_hp, power_hp)):
        return ""
    mark = (
        "the usual mark is not known"
        if usual_hp is None
        else f"usually marked {motors.hp_words(usual_hp)} hp"
    )
    return (
        f"{machine.plug}, {mark}; it is for {mark_words(horsepower_mark(load.volts, load.phases), power_hp)}"
    )


def _welder_plate(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> str:
    """What the file does not say of an arc welder's plate, where it gets a circuit or its own is changed."""
    if not _welder(facts, ranked, powered, made):
        return ""
    machine = powered.machine
    duty = machine.effective_a is None and machine.duty_cycle is None
    breaker = machine.breaker_a is None and machine.breaker_at_most_a is None
    lacks = (
        *(("I1eff or the duty cycle: effective_amps, duty_cycle",) if duty else ()),
        *(("the breaker: breaker, largest_breaker",) if breaker else ()),
    )
    return " and ".join(lacks)


def _asked_mark(powered: Powered) -> str:
    """What a motor's disconnect must be marked for at least; empty where its horsepower is not in the file."""
    load = powered.circuit.supplied.load
    power_hp = switched_hp(load)
    if power_hp is None:
        return ""
    return f"at least {mark_words(horsepower_mark(load.volts, load.phases), power_hp)}"


def _marked_too_low(powered: Powered) -> str:
    """What the plug that a motor keeps is usually marked for, where that is below its horsepower; else empty."""
    power_hp, marks = switched_hp(powered.circuit.supplied.load), powered.circuit.plug_marks
    there = powered.circuit.size.configuration
    usual_hp = receptacles.usual_mark_hp(there)
    if power_hp is None or usual_hp is None or not marks.mark or motors.covers(usual_hp, power_hp):
        return ""
    return f"{there} is usually marked {motors.hp_words(usual_hp)} hp; it is for {marks.motor}"


def _said_otherwise(facts: Facts, ranked: Ranked, powered: Powered, **said: object) -> str:
    """What a machine's new circuit costs more or less if the file said this of it; empty where that is not known."""
    known = Told(powered.way, powered.circuit.standing, powered.machine)
    return difference_words(
        facts, ranked, known, replace(known, machine=known.machine.model_copy(update=said))
    )


def _terminals(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
    """Thinner wire that would do with terminals marked for 75 C, where nobody said what they are marked for."""
    said = powered.machine.terminals_c is not None or "terminals_c" in facts.shop.code.model_fields_set
    wiring = wiring_of(powered.way)
    if said or not made or wiring is Wiring.CABLE:
        return False
    load = powered.circuit.supplied.load
    family = str(powered.way.family) if powered.way.family else None
    try:
        rules = facts.rules_at(space_of(facts, powered.circuit))
        marked = sized(replace(load, terminals_c=75), wiring, family, powered.circuit.route_ft, rules)
    except CannotSizeError:
        return False
    if conductors.awg_rank(marked.awg) >= conductors.awg_rank(powered.circuit.size.awg):
        return False
    money = _said_otherwise(facts, ranked, powered, terminals_c=75)
    return Priced(f"{marked.awg} AWG then, {money}", f"{marked.awg} AWG then") if money else True


def _breaker_above_wire(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """Whether the breaker is above what protects the wire of a circuit for anything; a welder's also where both stay."""
    load = powered.circuit.supplied.load
    if not (made or powered.changes or load.kind.welds) or not (load.motor or load.kind.welds):
        return False
    return powered.breaker_a > protects_a(facts, powered)


def _welder(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    kind = powered.circuit.supplied.load.kind
    return powered.changes and kind.welds and not kind.resistance


def _resistance_welder(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return powered.changes and powered.circuit.supplied.load.kind.resistance


def _working_space(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """Whether its run ends in a disconnect that is put in today, or a switch is put in ahead of its motor."""
    put_in = made or powered.receptacle is not None
    switched = bool(_switch_on_cord(facts, ranked, powered, made))
    return switched or (put_in and powered.circuit.size.configuration is None)


def _peak_horsepower(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A motor of which no amperes are said: of one phase, which alone is sold by its peak, or with its factory plug."""
    motor = powered.circuit.supplied.load.motor and powered.machine.amps_a is None
    one_phase = powered.machine.phases == 1 and powered.changes
    return motor and (one_phase or _factory_plug(facts, ranked, powered, made))


def _protected(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return (made or powered.breaker is not None) and powered.circuit.size.ground_fault


def _edition_unknown(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return made and turns_on_edition(facts, powered.circuit)


def _place_unknown(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    ends_in_one = powered.circuit.size.configuration is not None
    return made and ends_in_one and turns_on_place(facts, powered.circuit)


def _protected_at_machine(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return made and turns_on_machine(facts, powered.circuit)


def _high_work(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A run or a hung cord that goes up to a ceiling above reach; an outlet beside its panel is within it."""
    run = made and powered.way.method is not Method.CORD
    return facts.shop.building.ceiling_height_ft > REACH_FT and (
        run or _hung_cord(facts, ranked, powered, made)
    )


def _fitted(ranked: Ranked, powered: Powered, kind: str, *, made: bool) -> bool:
    """Whether a device of that kind comes to the machine today."""
    steps = [step for step in ranked.steps if (step.kind, step.machine) == (kind, powered.machine.name)]
    return any(step.act in FITTED for step in steps) if steps else made


def _of_way(topic: Topic) -> Holds:
    """A topic of a way, in a plan: where its device is fitted, or its run is made, or what it ends in is changed today."""

    def holds(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
        kind = OF_DEVICES.get(topic)
        if kind is not None:
            today = _fitted(ranked, powered, kind, made=made)
        elif topic is Topic.CORD_WIRED_IN:
            today = _hung_cord(facts, ranked, powered, made)
        elif topic in LAID:
            today = made
        else:
            today = made or topic is Topic.DRIVE_ON_GROUND_FAULT or _ends_anew(powered)
        return today and WAY_TOPICS[topic](facts, powered.machine, powered.way, powered.circuit)

    return holds


def _ends_anew(powered: Powered) -> bool:
    """Whether a run that is there gets another receptacle or breaker."""
    return powered.receptacle is not None or powered.breaker is not None


def _arc_fault(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """Outlets of 120 V up to 20 A in rooms of a dwelling (NFPA 70 210.12(A), from memory); garages are none."""
    load, breaker_a = powered.circuit.supplied.load, powered.circuit.size.breaker_a
    rooms = (Occupancy.DWELLING_ROOM, Occupancy.FINISHED_BASEMENT)
    small = load.volts == ONE_LINE_V and breaker_a <= LARGEST_ARC_FAULT_A
    return made and small and facts.rules_at(space_of(facts, powered.circuit)).occupancy in rooms


_OF_CIRCUITS: Mapping[Topic, Holds] = {
    Topic.HUNG_CORD: _hung_where,
    Topic.FACTORY_PLUG: _factory_plug,
    Topic.PLUG_CHANGE: _plug_change,
    Topic.OWN_CORD: _own_cord,
    Topic.BOLTED_ON_PLUG: _bolted_on_plug,
    Topic.MOTOR_OVERLOAD: _motor_overload,
    Topic.MOTOR_START: _motor_start,
    Topic.DISCONNECT_IN_SIGHT: _disconnect_in_sight,
    Topic.DISCONNECT_NOT_SEEN: _disconnect_not_seen,
    Topic.WORKING_SPACE: _working_space,
    Topic.SWITCH_ON_CORD: _switch_on_cord,
    Topic.LEAD_OF_DRIVE: _lead_of_drive,
    Topic.LINE_CORD_OF_DRIVE: _line_cord_of_drive,
    Topic.HORSEPOWER_MARK: _horsepower_mark,
    Topic.TERMINALS: _terminals,
    Topic.BREAKER_ABOVE_WIRE: _breaker_above_wire,
    Topic.WELDER: _welder,
    Topic.WELDER_PLATE: _welder_plate,
    Topic.PLUG_MARK: _plug_mark,
    Topic.LISTING: _listing,
    Topic.RESISTANCE_WELDER: _resistance_welder,
    Topic.PEAK_HORSEPOWER: _peak_horsepower,
    Topic.GROUND_FAULT: _protected,
    Topic.EDITION_UNKNOWN: _edition_unknown,
    Topic.HIGH_WORK: _high_work,
    Topic.PLACE_UNKNOWN: _place_unknown,
    Topic.CORD_TO_LISTED: _protected_at_machine,
    Topic.ARC_FAULT: _arc_fault,
}


def _of_there(topic: Topic) -> Holds:
    """A topic of what is there, whether or not anything is done to it today."""

    def holds(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
        found = THERE_TOPICS[topic](facts, powered)
        thinner = _if_thinner(facts, ranked, powered) if found and topic is Topic.GROUND_SIZE else ""
        return Priced(f"{found}{thinner}", str(found)) if thinner else found

    return holds


def _if_thinner(facts: Facts, ranked: Ranked, powered: Powered) -> str:
    """What its own circuit takes more if its ground is as such runs mostly have it; empty where that is not known."""
    machine, now = powered.machine, powered.machine.now
    if now is None or powered.had is None or powered.had.owner != machine.name:
        return ""
    usual = usual_ground_awg(now.awg)
    other = machine.model_copy(update={"now": now.model_copy(update={"ground_awg": usual})})
    known = Told(powered.way, powered.circuit.standing, powered.machine)
    money = kept_words(facts, ranked, known, replace(known, machine=other))
    return f"; with one of {usual} AWG {money}" if money else ""


CIRCUIT_TOPICS: Mapping[Topic, Holds] = {
    **_OF_CIRCUITS,
    **HEATER_TOPICS,
    **MOTOR_TOPICS,
    **{topic: _of_way(topic) for topic in WAY_TOPICS},
    **{topic: _of_there(topic) for topic in THERE_TOPICS},
}
"""When a circuit gives rise to a topic."""
