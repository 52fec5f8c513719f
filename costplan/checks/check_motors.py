"""Rules over motors, cords and heat in plates: what contradicts itself, must be read, or counts for nothing."""

from collections.abc import Iterator

from costplan.files.problems import Problem
from costplan.model.brought import panels_of
from costplan.model.choices import LoadKind
from costplan.model.nameplate import Electrical
from costplan.model.other_volts import HOTTER, LIKE, share_of_heat
from costplan.model.pair import NO_EFFECT, Pair, Rule, percent, plain
from costplan.model.shop import Machine
from costplan.model.system import feeds
from costplan.standards import motor_frames, motors, tables
from costplan.standards.cords import CORD_AMPACITY, cord_ampacity_a

FASTEST_RPM = 3600
"""Of an induction motor at 60 hertz: two poles."""


def the_largest_motor_is_the_machines(pair: Pair) -> Iterator[Problem]:
    """No motor among more_motors is larger than the machine's own, by which drives and converters are taken."""
    for trail, plate in pair.plates():
        for index, motor in enumerate(plate.more_motors):
            if motor.hp is not None and plate.hp is not None and motor.hp > plate.hp:
                message = f"is {motors.hp_words(motor.hp)} hp, larger than the machine's {motors.hp_words(plate.hp)} hp"
                mend = "hp: is the largest motor's, more_motors: all others"
                yield pair.in_shop("motor-larger", (*trail, "more_motors", index, "hp"), message, mend)


def amperes_are_for_each_volts(pair: Pair) -> Iterator[Problem]:
    """Questions about one ampere figure for a range of volts, and about a two-speed motor without any."""
    for trail, plate in pair.plates():
        amps = plate.plate_amps
        if amps is not None and any(
            len(mine) < len(group) for mine, group in zip(amps, plate.plate_volts, strict=True)
        ):
            message = "has one figure for a range of volts"
            mend = "it counts at the highest of them, and a motor draws more below; write each as on the plate: 9.4-8.6"
            yield pair.in_shop("plate-amperes-range", (*trail, "amps"), message, mend, question=True)
        if plate.two_speed and amps is None:
            message = (
                "is said without amps:, and of a two-speed motor the plate's amperes rule (NEC 430.6(A)(1))"
            )
            mend = (
                "write those of the speed that draws more; as it stands, the table's for its horsepower count"
            )
            yield pair.in_shop("two-speed-amperes", (*trail, "two_speed"), message, mend, question=True)


def motors_are_read_right(pair: Pair) -> Iterator[Problem]:
    """Questions about a shaft that is not its frame's, and about a speed that no induction motor has."""
    for trail, plate in pair.plates():
        usual_in = motor_frames.shaft_of_frame_in(plate.frame) if plate.frame is not None else None
        if usual_in is not None and plate.shaft_in is not None and plate.shaft_in != usual_in:
            message = f"is {plain(plate.shaft_in)} in, but frame {plate.frame} has {plain(usual_in)} in"
            mend = f"({tables.cite(motor_frames.FRAMES)}, from memory) measure again; as it stands, the shaft counts"
            yield pair.in_shop("shaft-not-frames", (*trail, "shaft"), message, mend, question=True)
        if plate.rpm is not None and plate.rpm > FASTEST_RPM:
            message = f"is {plate.rpm}, faster than an induction motor at 60 hertz turns"
            mend = "write the motor's own speed, not the spindle's"
            yield pair.in_shop("motor-speed", (*trail, "rpm"), message, mend, question=True)


def cords_carry_their_plates(pair: Pair) -> Iterator[Problem]:
    """Questions about a cord too thin for the plate's amperes."""
    for trail, machine in pair.machines():
        if machine.cord is None or machine.amps_a is None:
            continue
        carries_a = cord_ampacity_a(machine.cord.awg, 3 if machine.phases == 3 else 2)
        if machine.amps_a > carries_a:
            message = (
                f"is {machine.cord.awg} AWG, which carries {carries_a} A ({tables.cite(CORD_AMPACITY)}), but the plate "
                f"says {plain(machine.amps_a)} A"
            )
            mend = "read jacket and plate again; as it stands, no other plug goes on it"
            yield pair.in_shop("cord-too-thin", (*trail, "cord", "awg"), message, mend, question=True)


def heaters_have_their_heat(pair: Pair) -> Iterator[Problem]:
    """Questions about a heater that runs hotter than its plate, and about a least heat that nothing asks for."""
    panels = list(panels_of(pair.shop, pair.catalog.parts).values())
    for trail, machine in pair.machines():
        if machine.kind is not LoadKind.HEATER:
            continue
        for known in machine.rated(heater=True):
            if known.plate_v in HOTTER:
                share = share_of_heat(known, known.volts)
                message = f"is {plain(known.plate_v)} V, and on {known.volts} V it gives {percent(share)} of its heat"
                mend = f"ask its maker whether it may; as it stands, it is priced at {known.volts} V"
                yield pair.in_shop("heater-hotter", (*trail, "volts"), message, mend, question=True)
        others = {LIKE.get(volts, 0) for volts in machine.nominal} - {*machine.nominal}
        lower = [volts for volts in others if volts < machine.volts]
        if machine.least_heat is not None and not any(
            feeds(panel.system, volts, machine.phases, neutral=False) for panel in panels for volts in lower
        ):
            message = "is said, but no panel has lower volts than its plate"
            yield pair.in_shop(
                "least-heat-unused", (*trail, "least_heat"), message, NO_EFFECT, question=True, key=True
            )


def motor_words_count(pair: Pair) -> Iterator[Problem]:
    """Questions about words that count only where a three-phase motor may get its power otherwise."""
    three_phase = pair.later_three_phase()
    for trail, plate in pair.plates():
        if not isinstance(plate, Machine) and plate.control_transformer:
            message = "is said of a retooling, and only papers about today speak of it"
            where = (*trail, "control_transformer")
            yield pair.in_shop("motor-word-later", where, message, NO_EFFECT, question=True, key=True)
        if plate.phases == 3 or (isinstance(plate, Machine) and plate.name in three_phase):
            continue
        said = {
            "brake": plate.brake,
            "control_transformer": plate.control_transformer,
            "rpm": None if _slow_plate(plate) else plate.rpm,
            "frame": plate.frame,
            "shaft": plate.shaft_in,
            "enclosure": plate.enclosure,
        }
        for word in (word for word, value in said.items() if value):
            message = "is said, but counts only for a three-phase motor"
            yield pair.in_shop(
                "motor-word-unused", (*trail, word), message, NO_EFFECT, question=True, key=True
            )


def listings_count(pair: Pair) -> Iterator[Problem]:
    """Questions about a listing that decides nothing: it counts for a motor with a plug and horsepower alone."""
    for trail, machine in pair.machines():
        counts = machine.motor and machine.plug is not None and machine.hp is not None
        if machine.listed is not None and not counts:
            message = "is said, but counts only for a motor with a plug and horsepower"
            yield pair.in_shop(
                "listing-unused", (*trail, "listed"), message, NO_EFFECT, question=True, key=True
            )


def _slow_plate(plate: Electrical) -> bool:
    """Whether the plate's speed decides that its amperes count, not the table's (NFPA 70 430.6(A)(1))."""
    return (
        plate.rpm is not None and plate.rpm < motors.TABLE_FROM_RPM and None not in (plate.amps_a, plate.hp)
    )


RULES: tuple[Rule, ...] = (
    the_largest_motor_is_the_machines,
    amperes_are_for_each_volts,
    motors_are_read_right,
    cords_carry_their_plates,
    heaters_have_their_heat,
    motor_words_count,
    listings_count,
)
"""What must hold of motors, cords and heat."""
