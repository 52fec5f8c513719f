"""Topics of one machine's circuit: what it ends in, what feeds it, how it was sized."""

from collections.abc import Mapping
from dataclasses import replace

from costplan.circuits.breaker import starting_a
from costplan.circuits.circuit import Builder
from costplan.circuits.currents import switched_hp, text
from costplan.circuits.facts import DRIVE
from costplan.circuits.grips import takes_grip
from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.circuits.heavier import sized
from costplan.circuits.listing import turns_on_listing
from costplan.circuits.machine_lead import machine_lead
from costplan.circuits.plug_marks import PORTABLE_HP, disconnected_anyway
from costplan.circuits.run_parts import wiring_of
from costplan.circuits.size_types import CannotSizeError, Rules, Wiring
from costplan.circuits.things import Made
from costplan.ledger.steps import Act
from costplan.model.choices import Occupancy
from costplan.model.installed import usual_ground_awg
from costplan.model.ratings import horsepower_mark, mark_words
from costplan.reports.circuits import rehung
from costplan.reports.marks import states_mark
from costplan.reports.noted_loads import LOAD_TOPICS
from costplan.reports.noted_machine import Holds, InPlan
from costplan.reports.noted_there import THERE_TOPICS, protects_a
from costplan.reports.noted_ways import OF_DEVICES, WAY_TOPICS
from costplan.reports.priced import Priced
from costplan.reports.remarks import Topic
from costplan.standards import conductors, motors, overcurrent, receptacles
from costplan.standards.cords import cord_ampacity_a, cord_sizes
from costplan.studies.protection_cost import space_of, turns_on_edition, turns_on_machine, turns_on_place
from costplan.studies.size_cost import breaker_words, difference_words, kept_words, lead_words

REACH_FT = 8
"""Above this work is done from a ladder; common practice, no source."""
LARGEST_ARC_FAULT_A = 20
"""Circuits of up to so many amperes get arc-fault protection (NFPA 70 210.12, from memory)."""
LAID = (
    *(Topic.CABLE_LAID, Topic.CABLE_IN_REACH, Topic.CABLE_SUPPORT, Topic.PIGTAILS, Topic.BUSHINGS),
    *(Topic.GROUND_COLOR, Topic.CABLE_FITTINGS, Topic.IN_THE_WALL),
)
"""Topics of a run itself, whatever is changed at its ends."""
FITTED = frozenset({Act.BUY, Act.TAKE_OVER, Act.TAKE_FROM_SHELF})


def _hung_cord(at: InPlan) -> bool:
    if at.circuit.cable is None:
        return False
    step = at.powered.cord
    return at.made or step is None or step.act is not Act.KEEP or rehung(at.facts, at.powered) is not None


def _hung_where(at: InPlan) -> str:
    """From where to where a cord is hung today, and how many feet it has."""
    circuit = at.circuit
    if circuit.cable is None or not _hung_cord(at):
        return ""
    starts = f"beside {circuit.panel}" if at.by_cord else circuit.standing.place
    ends = f" to {circuit.standing.place}" if at.by_cord and at.machine.at else ""
    return f"from {starts}{ends}, {circuit.cable.length_ft} ft"


def _factory_plug(at: InPlan) -> bool:
    return at.end_put_in and at.machine.plug is not None and not _plug_changes(at)


def _plug_changes(at: InPlan) -> bool:
    """Whether the plug that a machine came with is exchanged, or taken off to hard-wire it."""
    plug = at.machine.plug
    ends_in = at.circuit.machine_plug if at.size.configuration else None
    return plug is not None and plug != ends_in


def _bolted_on_plug(at: InPlan) -> bool:
    """Whether a machine that never moves gets a plug that it did not come with; of a cord the remark on that speaks."""
    bolted = at.machine.never_moves and at.machine.plug is None and not at.by_cord
    return bolted and not at.hard_wired and not at.powered.stays


def _own_cord(at: InPlan) -> str:
    """The least wire of the cord that a machine with bare ends is taken to have, where nobody described it."""
    machine, way, circuit = at.machine, at.way, at.circuit
    plug, now = circuit.machine_plug, machine.now
    makes_one = way.into_machine or at.device == DRIVE
    described = machine.plug is not None or machine.cord is not None
    if plug is None or makes_one or described or (now is not None and now.configuration == plug):
        return ""
    carrying = 3 if at.load.phases == 3 else 2
    asked_a = at.size.breaker_a
    thinnest = next(awg for awg in cord_sizes() if cord_ampacity_a(awg, carrying) >= asked_a)
    words = f"plug {plug} behind {asked_a} A: {thinnest} AWG or thicker"
    lead = machine_lead(Builder(at.facts, machine, way), circuit)
    if lead is None:
        return words
    money = lead_words(at.facts, at.ranked, way, circuit, machine)
    length = f"{lead.length_ft} ft of it are" if lead.length_ft else "a lead is"
    words = f"{words}; {length} priced in case it has none"
    return Priced(f"{words}: {money}", words) if money else words


def _bare_motor(at: InPlan) -> bool:
    """Whether it is a motor that did not come with a plug: one with it is an appliance with its own protection."""
    return at.load.motor and at.machine.plug is None and at.device != DRIVE


def _motor_start(at: InPlan) -> bool | str:
    """A motor hard-wired today, whose breaker has the margin; or any other whose breaker is below it, with both figures."""
    by_habit_a = starting_a(at.load, _rules(at))
    if at.made and at.hard_wired and _bare_motor(at):
        # Below its habit it is where no cable on offer has the ground that the habit asks for.
        below = at.size.breaker_a < by_habit_a and at.load.maker_breaker_a is None
        return f"{at.size.breaker_a} A, by habit at least {text(by_habit_a)} A" if below else True
    if not (at.asked_of and at.load.motor) or at.device == DRIVE or (at.hard_wired and at.made):
        return False
    breaker_a = at.powered.breaker_a
    enough = breaker_a >= by_habit_a or breaker_a == at.load.maker_breaker_a
    matched = at.machine.plug is not None and breaker_a >= at.size.minimum_ampacity_a
    if enough or matched:  # a maker's plug that leaves 125 % is matched to its motor
        return False
    where = "" if at.hard_wired else " behind its receptacle"
    rating_a = overcurrent.next_standard_size_a(by_habit_a, at.facts.shop.code.edition)
    # A breaker above its receptacle is no choice (NFPA 70 210.21(B)(1)), so it has no price here.
    money = breaker_words(at.facts, at.circuit, rating_a) if rating_a <= at.size.breaker_at_most_a else ""
    words = f"{breaker_a} A{where}, by habit at least {text(by_habit_a)} A"
    return Priced(f"{words}; {rating_a} A: {money}", words) if money else words


def _disconnect_in_sight(at: InPlan) -> bool:
    """A hard-wired motor, or one on a cord wired into it, whose plug is beside the panel, that gets its disconnect today."""
    if at.powered.unseen:
        return False
    if at.hard_wired:
        return _bare_motor(at) and not _end_stays(at)
    return at.changes and at.way.wired_in and at.circuit.switch is not None


def _lead_of_drive(at: InPlan) -> bool | str:
    """A drive bought today that is on a plug at the machine: whether its lead and what holds it are priced."""
    return not at.way.wired_in and _on_plug(at) and Act.BUY in _acts(at, DRIVE) and _held(at)


def _line_cord_of_drive(at: InPlan) -> bool:
    """A drive on a cord or a plug that was there: nobody described its line cord, and none is bought for it."""
    there, acts = at.machine.now is not None and at.machine.now.drive is not None, _acts(at, DRIVE)
    return _on_plug(at) and Act.BUY not in acts and (there or not FITTED.isdisjoint(acts))


def _on_plug(at: InPlan) -> bool:
    """Whether a drive feeds it that is itself on a cord or a plug."""
    return at.device == DRIVE and not at.hard_wired


def _acts(at: InPlan, kind: str) -> set[Act]:
    """What is done today with a machine's device of that kind."""
    return {step.act for step in at.ranked.steps if (step.kind, step.machine) == (kind, at.machine.name)}


NOT_DESCRIBED = "nobody described what disconnects it today"


def _disconnect_not_seen(at: InPlan) -> bool | str:
    """Such a motor, where no disconnect is put in today: what is there nobody described, or it was another machine's."""
    if at.machine.disconnected_by is not None:
        return False
    if at.powered.unseen:
        motor = at.load.motor and at.device != DRIVE
        asked = _marked_too_low(at) or _asked_mark(at)
        return "; ".join(filter(None, (NOT_DESCRIBED, asked))) if motor else False
    return _end_stays(at) and at.hard_wired and _bare_motor(at)


def _end_stays(at: InPlan) -> bool:
    """Whether the run was there, and what it ends in is not changed."""
    return at.powered.had is not None and at.powered.receptacle is None


def _switch_on_cord(at: InPlan) -> bool | str:
    """A switch that is put in between a machine's cord and its motor; whether what holds its cords is priced."""
    return not FITTED.isdisjoint(_acts(at, Made.OWN_SWITCH)) and _held(at)


def _held(at: InPlan) -> bool | str:
    """Whether what holds cords at a machine is priced; a text where it is not."""
    return takes_grip(at.facts, at.machine) or "neither grips nor a lead are priced: no recipe has them"


def _horsepower_mark(at: InPlan) -> str:
    """What must be marked for a motor, where what disconnects it is bought today and does not state it, or stays unmarked."""
    circuit, load, marks = at.circuit, at.load, at.circuit.plug_marks
    hard_wired = at.hard_wired and load.motor
    ahead = _on_plug(at) and at.machine.plug != circuit.machine_plug
    if not (hard_wired or _bare_motor(at) or ahead or (load.driven and circuit.switch is not None)):
        return ""
    answered = disconnected_anyway(at.machine, driven=load.driven)
    if answered and circuit.switch is None and not (hard_wired and at.made):
        return ""
    if at.powered.stays and not at.powered.unseen:
        return _marked_too_low(at)
    asked = _asked_mark(at)
    if not asked:
        return "its horsepower is not in the file"
    if at.powered.unseen:
        # Of a motor whose disconnect nobody described its amperes and its mark are asked in one.
        told = _disconnect_not_seen(at)
        return "" if told else _marked_too_low(at) or f"on what is there, {asked}"
    if marks.switched:
        return f"a switch at the machine, {asked}, since {marks.usually}"
    if circuit.switch is not None:
        return f"a switch at the machine, {asked}"
    if not hard_wired and not marks.mark:
        return ""
    if marks.all_stated or states_mark(
        at.facts, at.ranked, circuit.receptacle, horsepower_mark(load.volts, load.phases)
    ):
        return ""
    return asked if hard_wired else f"{asked}; {marks.usually}"


def _listing(at: InPlan) -> str:
    """What circuit a motor with its factory plug gets today if its machine is listed and if not, where nobody said."""
    if not at.changes:
        return ""
    turns = turns_on_listing(at.load, _rules(at))
    money = _said_otherwise(at, listed=False) if turns and at.made else ""
    return Priced(f"{turns}: {money} then", turns) if money else turns


def _plug_mark(at: InPlan) -> str:
    """A motor with its factory plug that is usually marked for less than its horsepower, or whose mark is not known.

    NFPA 70 430.109(F): the pair disconnects a motor only where its mark is not below the motor's. A portable motor up to
    1/3 hp needs none; what a switch of its own disconnects is said by `disconnected_by`.
    """
    machine, load = at.machine, at.load
    keeps_plug = machine.plug is not None and not at.hard_wired and not _plug_changes(at)
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


def _welder_plate(at: InPlan) -> str:
    """What the file does not say of an arc welder's plate, where it gets a circuit or its own is changed."""
    if not _welder(at):
        return ""
    duty = at.machine.effective_a is None and at.machine.duty_cycle is None
    lacks = {
        "I1eff or the duty cycle: effective_amps, duty_cycle": duty,
        "the breaker: breaker, largest_breaker": not at.says_breaker,
    }
    return " and ".join(word for word, lacking in lacks.items() if lacking)


def _asked_mark(at: InPlan) -> str:
    """What a motor's disconnect must be marked for at least; empty where its horsepower is not in the file."""
    load = at.load
    power_hp = switched_hp(load)
    if power_hp is None:
        return ""
    return f"at least {mark_words(horsepower_mark(load.volts, load.phases), power_hp)}"


def _marked_too_low(at: InPlan) -> str:
    """What the plug that a motor keeps is usually marked for, where that is below its horsepower; else empty."""
    power_hp, marks = switched_hp(at.load), at.circuit.plug_marks
    there = at.size.configuration
    usual_hp = receptacles.usual_mark_hp(there)
    if power_hp is None or usual_hp is None or not marks.mark or motors.covers(usual_hp, power_hp):
        return ""
    return f"{there} is usually marked {motors.hp_words(usual_hp)} hp; it is for {marks.motor}"


def _said_otherwise(at: InPlan, **said: object) -> str:
    """What a machine's new circuit costs more or less if the file said this of it; empty where that is not known."""
    other = replace(at.told, machine=at.machine.model_copy(update=said))
    return difference_words(at.facts, at.ranked, at.told, other)


def _terminals(at: InPlan) -> bool | str:
    """Thinner wire that would do with terminals marked for 75 C, where nobody said what they are marked for."""
    said = at.machine.terminals_c is not None or "terminals_c" in at.facts.shop.code.model_fields_set
    wiring = wiring_of(at.way)
    if said or not at.made or wiring is Wiring.CABLE:
        return False
    family = str(at.way.family) if at.way.family else None
    try:
        load, least_awg = replace(at.load, terminals_c=75), at.way.least_awg
        marked = sized(load, wiring, family, at.circuit.route_ft, _rules(at), least_awg=least_awg)
    except CannotSizeError:
        return False
    if conductors.awg_rank(marked.awg) >= conductors.awg_rank(at.size.awg):
        return False
    money = _said_otherwise(at, terminals_c=75)
    return Priced(f"{marked.awg} AWG then, {money}", f"{marked.awg} AWG then") if money else True


def _breaker_above_wire(at: InPlan) -> bool:
    """Whether the breaker is above what protects the wire of a circuit for anything; a welder's also where both stay."""
    load = at.load
    if not (at.made or at.changes or load.kind.welds) or not (load.motor or load.kind.welds):
        return False
    return at.powered.breaker_a > protects_a(at)


def _welder(at: InPlan) -> bool:
    return at.changes and at.load.kind.welds and not at.load.kind.resistance


def _working_space(at: InPlan) -> bool:
    """Whether its run ends in a disconnect that is put in today, or a switch is put in ahead of its motor."""
    return bool(_switch_on_cord(at)) or (at.end_put_in and at.hard_wired)


def _peak_horsepower(at: InPlan) -> bool:
    """A motor of which no amperes are said: of one phase, which alone is sold by its peak, or with its factory plug."""
    motor = at.load.motor and at.machine.amps_a is None
    one_phase = at.machine.phases == 1 and at.changes
    return motor and (one_phase or _factory_plug(at))


def _high_work(at: InPlan) -> bool:
    """A run or a hung cord that goes up to a ceiling above reach; an outlet beside its panel is within it."""
    high = at.facts.shop.building.ceiling_height_ft > REACH_FT
    return high and ((at.made and not at.by_cord) or _hung_cord(at))


def _fitted(at: InPlan, kind: str) -> bool:
    """Whether a device of that kind comes to the machine today."""
    acts = _acts(at, kind)
    return not FITTED.isdisjoint(acts) if acts else at.made


def _of_way(topic: Topic) -> Holds:
    """A topic of a way, in a plan: where its device is fitted, or its run is made, or what it ends in is changed today."""

    def holds(at: InPlan) -> bool | str:
        kind = OF_DEVICES.get(topic)
        if kind is not None:
            today = _fitted(at, kind)
        elif topic is Topic.CORD_WIRED_IN:
            today = _hung_cord(at)
        elif topic in LAID:
            today = at.made
        else:
            today = at.made or topic is Topic.DRIVE_ON_GROUND_FAULT or at.ends_anew
        return today and WAY_TOPICS[topic](at)

    return holds


def _arc_fault(at: InPlan) -> bool:
    """Outlets of 120 V up to 20 A in rooms of a dwelling (NFPA 70 210.12(A), from memory); garages are none."""
    rooms = (Occupancy.DWELLING_ROOM, Occupancy.FINISHED_BASEMENT)
    small = at.load.volts == ONE_LINE_V and at.size.breaker_a <= LARGEST_ARC_FAULT_A
    return at.made and small and _rules(at).occupancy in rooms


def _rules(at: InPlan) -> Rules:
    return at.facts.rules_at(space_of(at.facts, at.circuit))


_OF_CIRCUITS: Mapping[Topic, Holds] = {
    Topic.HUNG_CORD: _hung_where,
    Topic.FACTORY_PLUG: _factory_plug,
    Topic.PLUG_CHANGE: lambda at: at.end_put_in and _plug_changes(at),
    Topic.OWN_CORD: _own_cord,
    Topic.BOLTED_ON_PLUG: _bolted_on_plug,
    Topic.MOTOR_OVERLOAD: lambda at: at.asked_of and _bare_motor(at),
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
    Topic.RESISTANCE_WELDER: lambda at: at.changes and at.load.kind.resistance,
    Topic.PEAK_HORSEPOWER: _peak_horsepower,
    Topic.GROUND_FAULT: lambda at: (at.made or at.powered.breaker is not None) and at.size.ground_fault,
    Topic.EDITION_UNKNOWN: lambda at: at.made and turns_on_edition(at.facts, at.circuit),
    Topic.HIGH_WORK: _high_work,
    Topic.PLACE_UNKNOWN: lambda at: at.made and not at.hard_wired and turns_on_place(at.facts, at.circuit),
    Topic.CORD_TO_LISTED: lambda at: at.made and turns_on_machine(at.facts, at.circuit),
    Topic.ARC_FAULT: _arc_fault,
}


def _ground_size(at: InPlan) -> bool | str:
    """A ground that nobody looked at, with what its own circuit takes more if it is as such runs mostly have it."""
    found = THERE_TOPICS[Topic.GROUND_SIZE](at)
    thinner = _if_thinner(at) if found else ""
    return Priced(f"{found}{thinner}", str(found)) if thinner else found


def _if_thinner(at: InPlan) -> str:
    """What its own circuit takes more if its ground is as such runs mostly have it; empty where that is not known."""
    machine, now = at.machine, at.machine.now
    if now is None or at.powered.had is None or at.powered.had.owner != machine.name:
        return ""
    usual = usual_ground_awg(now.awg)
    other = machine.model_copy(update={"now": now.model_copy(update={"ground_awg": usual})})
    money = kept_words(at.facts, at.ranked, at.told, replace(at.told, machine=other))
    return f"; with one of {usual} AWG {money}" if money else ""


CIRCUIT_TOPICS: Mapping[Topic, Holds] = {
    **_OF_CIRCUITS,
    **LOAD_TOPICS,
    **{topic: _of_way(topic) for topic in WAY_TOPICS},
    **THERE_TOPICS,
    Topic.GROUND_SIZE: _ground_size,
}
"""When a circuit gives rise to a topic."""
