"""Rules over what machines' plates say: plug, amperes, horsepower and duty cycle must not contradict each other."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.circuits.currents import minimum_ampacity_a
from costplan.circuits.ways import load_of
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.choices import LoadKind, Method
from costplan.model.heaters import PORTABLE_HEATER_A, heater_may_stay
from costplan.model.pair import NO_EFFECT, Pair, Rule, percent, plain
from costplan.model.shop import Machine
from costplan.standards import motors, receptacles, tables, welders

ONE_LINE_V = 120
LARGEST_ON_A_LINE_HP = 2
"""Motors of 120 V are hardly made for more: 2 hp are 24 A, above any common outlet. Common practice, no source."""


def plugs_fit_their_plates(pair: Pair) -> Iterator[Problem]:
    """Questions about a plug for other volts than the machine's, and about one for fewer amperes than the plate's."""
    for trail, machine in _plated(pair):
        plug = receptacles.known(machine.plug)
        if plug is None:
            continue
        where = (*trail, "plug")
        if not _fits(machine, plug):
            message = (
                f"is {plug.code}, for {plug.volts} V {plug.phases}-phase, but the machine is "
                f"{machine.volts_words} V {machine.phases}-phase{' with a neutral' if machine.neutral else ''}"
            )
            other = (
                "another plug is put on its cord"
                if machine.plug_may_change
                else "the machine has no way with a plug"
            )
            mend = f"read plate and plug again; as it stands, {other}"
            yield pair.in_shop("plug-other-volts", where, message, mend, question=True)
        elif (amps_a := _amps_at_plug(machine, plug)) is not None and amps_a > plug.rating_a:
            message = f"is {plug.code}, which carries {plug.rating_a} A, but the plate says {amps_a:f} A"
            mend = "read plate and plug again; as it stands, the machine has no way with a plug"
            if machine.kind.welds:
                mend = f"a welder's plate has its output too: write the amperes of its input (I1, primary); {mend}"
            wires_a = wires_of_arc_welder_a(machine, amps_a)
            if wires_a is None or wires_a > plug.rating_a:
                yield pair.in_shop("plug-too-small", where, message, mend, question=True)
            elif machine.breaker_a is None and machine.breaker_at_most_a is None:
                message = (
                    f"is {plug.code}, of {plug.rating_a} A, on an arc welder that draws up to {amps_a:f} A; its outlet need "
                    f"only reach {plain(wires_a)} A (NEC 210.21(B)(1) Exception 2, from memory; 630.11(A))"
                )
                mend = (
                    "which breaker do plate or manual name (breaker:, or largest_breaker:)? As it stands, one of "
                    f"{plug.rating_a} A, which may open at full output"
                )
                yield pair.in_shop("welder-breaker", where, message, mend, question=True)


def horsepower_and_amperes_agree(pair: Pair) -> Iterator[Problem]:
    """Questions about amperes that are twice or half of what the code's table has for the horsepower."""
    for trail, machine in _plated(pair):
        if machine.hp is None or machine.amps_a is None or not machine.motor:
            continue
        try:
            table_a = motors.full_load_current_a(machine.hp, machine.phases, int(machine.volts))
        except LookupError:
            continue
        if table_a < machine.amps_a * motors.FAR_APART and machine.amps_a < table_a * motors.FAR_APART:
            continue
        by_plate = machine.plug is not None and machine.listed is not False
        rules = "the plate's amperes count" if by_plate else "the larger counts"
        message = (
            f"is {motors.hp_words(machine.hp)} hp, {table_a:f} A by {tables.cite(motors.table_name(machine.phases))}, "
            f"but the plate says {machine.amps_a:f} A"
        )
        mend = f'read the plate again (a "peak" horsepower is no rating); as it stands, {rules}'
        yield pair.in_shop("plate-horsepower", (*trail, "hp"), message, mend, question=True)


def amperes_are_within_the_table(pair: Pair) -> Iterator[Problem]:
    """Questions about amperes of a bare motor above what the code's table has for its horsepower."""
    for trail, machine in _plated(pair):
        slow = machine.rpm is not None and machine.rpm < motors.TABLE_FROM_RPM
        if not machine.motor or machine.hp is None or machine.plug is not None or machine.two_speed or slow:
            continue
        for known in machine.rated():
            table_a = _table_a(machine.hp, machine.phases, known.volts)
            if table_a is None or known.amps_a is None or not 1 < known.amps_a / table_a < motors.FAR_APART:
                continue
            message = (
                f"is {known.amps_a:f} A at {known.volts} V, above the {table_a:f} A that "
                f"{tables.cite(motors.table_name(machine.phases))} has for {motors.hp_words(machine.hp)} hp"
            )
            mend = (
                f"read hp, rpm and A again; is it high-torque or below {motors.TABLE_FROM_RPM} rpm? "
                "NEC 430.6(A)(1); as it stands, the plate's amperes count"
            )
            yield pair.in_shop("plate-above-table", (*trail, "amps"), message, mend, question=True)
            break


def _table_a(power_hp: Decimal, phases: int, volts: int) -> Decimal | None:
    """The table's amperes of a motor; None where the plate's are all there is."""
    if motors.below_the_table(power_hp, phases):
        return None
    try:
        return motors.full_load_current_a(power_hp, phases, volts)
    except LookupError:
        return None


def plugs_carry_the_horsepower(pair: Pair) -> Iterator[Problem]:
    """Questions about a plug of fewer amperes than the code's table has for the horsepower, where no amperes are stated."""
    for trail, machine in _plated(pair):
        plug = receptacles.known(machine.plug)
        if plug is None or machine.hp is None or machine.amps_a is not None or not machine.motor:
            continue
        if not _fits(machine, plug):
            continue
        try:
            table_a = motors.full_load_current_a(machine.hp, machine.phases, _volts_of_plug(machine, plug))
        except LookupError:
            continue
        if table_a > plug.rating_a:
            counts = table_a < plug.rating_a * motors.FAR_APART
            message = (
                f"is {plug.code}, which carries {plug.rating_a} A, but {motors.hp_words(machine.hp)} hp is {table_a:f} A by "
                f"{tables.cite(motors.table_name(machine.phases))}"
            )
            stands = f"{plug.rating_a} A at most count" if counts else "the machine has no way with a plug"
            if counts and machine.listed is False:
                stands = "the table's count, and its plug takes no outlet for them"
            mend = f"a plug proves no current: write amps: from the plate; as it stands, {stands}"
            yield pair.in_shop("plug-horsepower", (*trail, "plug"), message, mend, question=True)


def horsepower_is_one_of_its_volts(pair: Pair) -> Iterator[Problem]:
    """Questions about more horsepower than motors of 120 V have, without amperes that would show what it draws."""
    for trail, machine in _plated(pair):
        amps = machine.plug is not None or machine.amps_a is not None
        if (
            amps
            or machine.hp is None
            or not machine.motor
            or machine.volts != ONE_LINE_V
            or machine.hp <= LARGEST_ON_A_LINE_HP
        ):
            continue
        table_a = _table_a(machine.hp, machine.phases, ONE_LINE_V)
        told = (
            "" if table_a is None else f", {table_a:f} A by {tables.cite(motors.table_name(machine.phases))}"
        )
        message = (
            f"is {motors.hp_words(machine.hp)} hp on {ONE_LINE_V} V{told}; motors of that voltage hardly have more than "
            f"{LARGEST_ON_A_LINE_HP} hp that they run at"
        )
        mend = 'a "peak" or "developed" horsepower is no rating: write amps: from the plate; as it stands, the table counts'
        yield pair.in_shop("horsepower-volts", (*trail, "hp"), message, mend, question=True)


def welders_say_their_duty(pair: Pair) -> Iterator[Problem]:
    """Questions about a welder's duty cycle, and about one of what is no welder."""
    for trail, machine in _plated(pair):
        said = [
            word
            for word, value in (("duty_cycle", machine.duty_cycle), ("effective_amps", machine.effective_a))
            if value is not None
        ]
        if not machine.kind.welds:
            for word in [*said, *(["one_operation"] if machine.one_operation else [])]:
                message = "is said, but the machine is no welder"
                mend = "write load: welder, or leave it out: it counts for nothing"
                yield pair.in_shop("duty-no-welder", (*trail, word), message, mend, question=True, key=True)
        elif machine.kind.resistance:
            yield from _resistance_welder(pair, trail, machine)
        else:
            yield from _arc_welder(pair, trail, machine, said)


def _arc_welder(pair: Pair, trail: Trail, machine: Machine, said: list[str]) -> Iterator[Problem]:
    """Questions about an arc welder: nothing said of its duty, less said than arc welders have, words of another kind."""
    if not said:
        message = (
            "is a welder without duty_cycle or effective_amps, so that its wires carry all of its amperes"
        )
        mend = "read I1eff, or the duty cycle at I1max, on its plate (NEC 630.11)"
        yield pair.in_shop("welder-duty", (*trail, "load"), message, mend, question=True)
    if machine.effective_a is not None and machine.effective_a > (machine.amps_a or Decimal(0)):
        message = f"is {machine.effective_a:f} A, more than the {machine.amps_a or 0:f} A at full output"
        mend = "amps: is the largest current (I1max), effective_amps: the lesser one (I1eff)"
        yield pair.in_shop("welder-effective", (*trail, "effective_amps"), message, mend)
    if machine.duty_cycle is not None and machine.duty_cycle < welders.LEAST_ARC_DUTY:
        message = (
            f"is {percent(machine.duty_cycle)}, less than arc welders have; it counts as "
            f"{percent(welders.LEAST_ARC_DUTY)} ({tables.cite(welders.FACTORS)})"
        )
        mend = "is it a resistance welder? Then write load: spot welder, or load: seam welder"
        yield pair.in_shop("welder-kind", (*trail, "duty_cycle"), message, mend, question=True)
    if machine.one_operation:
        message = "is said, but counts only for a resistance welder (load: spot welder, seam welder)"
        where = (*trail, "one_operation")
        yield pair.in_shop("welder-word-unused", where, message, NO_EFFECT, question=True, key=True)


def _resistance_welder(pair: Pair, trail: Trail, machine: Machine) -> Iterator[Problem]:
    """Questions about a resistance welder: a duty cycle that counts only for one operation, and words of an arc welder."""
    if machine.effective_a is not None:
        message = "is said, but counts only for an arc welder"
        where = (*trail, "effective_amps")
        yield pair.in_shop("welder-word-unused", where, message, NO_EFFECT, question=True, key=True)
    share = percent(welders.varying_factor(automatic=machine.kind is LoadKind.SEAM_WELDER))
    if machine.one_operation and machine.duty_cycle is None:
        message = "is said without its duty_cycle, and counts for nothing without"
        mend = f"write duty_cycle:, and amps: as it draws then; as it stands, its wires carry {share} of its amperes"
        where = (*trail, "one_operation")
        yield pair.in_shop("welder-operation", where, message, mend, question=True, key=True)
    if machine.duty_cycle is not None and not machine.one_operation:
        message = (
            f"is said of a resistance welder, and where its work varies its wires carry {share} of its rated amperes "
            "(NEC 630.31(A)(1), from memory)"
        )
        mend = (
            "does it ever weld one thing only, and are amps: what it draws then? Then write one_operation: true; "
            "if not, leave duty_cycle out"
        )
        yield pair.in_shop("welder-operation", (*trail, "duty_cycle"), message, mend, question=True)


def wires_of_arc_welder_a(machine: Machine, amps_a: Decimal) -> Decimal | None:
    """What the wires of an arc welder carry at least, in amperes (NFPA 70 630.11(A)); None for what is none."""
    return minimum_ampacity_a(load_of(machine), amps_a)[0] if machine.kind is LoadKind.WELDER else None


def _fits(machine: Machine, plug: receptacles.Configuration) -> bool:
    return any(_at(machine, plug, volts) for volts in machine.nominal)


def _at(machine: Machine, plug: receptacles.Configuration, volts: int) -> bool:
    neutral = machine.neutral and volts != 120
    return receptacles.fits(plug.code, volts, machine.phases, neutral=neutral)


def _volts_of_plug(machine: Machine, plug: receptacles.Configuration) -> int:
    """The highest of its plate's volts that the plug is for."""
    return max((volts for volts in machine.nominal if _at(machine, plug, volts)), default=int(machine.volts))


def drawn_at_a(machine: Machine, device: receptacles.Configuration) -> Decimal | None:
    """What a machine draws from a receptacle by its plate, else by its horsepower; None where nobody knows."""
    amps_a = _amps_at_plug(machine, device)
    if amps_a is not None or machine.hp is None or not _fits(machine, device):
        return amps_a
    return _table_a(machine.hp, machine.phases, _volts_of_plug(machine, device))


def _amps_at_plug(machine: Machine, plug: receptacles.Configuration) -> Decimal | None:
    """The largest amperes that its plate has at volts that the plug is for."""
    amps = [known.amps_a for known in machine.rated() if _at(machine, plug, known.volts)]
    return max((each for each in amps if each is not None), default=None)


def _plated(pair: Pair) -> Iterator[tuple[Trail, Machine]]:
    """Machines whose plate is stated, with where they stand in the file."""
    return ((trail, machine) for trail, machine in pair.machines() if machine.volts)


def heaters_say_whether_they_stay(pair: Pair) -> Iterator[Problem]:
    """Questions about large heaters that may get a cord, of which nobody said whether they stay (NFPA 70 400.12(1))."""
    for trail, machine in pair.machines():
        open_to_a_cord = (
            machine.ways.hard_wired is not True
            and Method.CORD not in machine.ways.forbid
            and Method.CORD not in pair.shop.building.forbid
        )
        if not (open_to_a_cord and heater_may_stay(machine)):
            continue
        message = f"is a heater of {plain(machine.amps_a or Decimal(0))} A, and nobody said whether it stays where it is"
        mend = (
            "a kiln or an oven mostly does, and a cord is no fixed wiring (NEC 400.12): write never_moves: true; false where "
            "it moves and its maker allows a longer cord, away from the heat of its shell; until then no cord is ranked"
        )
        yield pair.in_shop("heater-stays", (*trail, "load"), message, mend, question=True)


def large_loads_say_what_they_are(pair: Pair) -> Iterator[Problem]:
    """Questions about a machine of many amperes of which nothing says that it is a motor, as which it is reckoned."""
    for trail, machine in _plated(pair):
        amps_a = machine.amps_a or Decimal(0)
        of_a_motor = machine.hp or machine.rpm or machine.frame or any(said for _, said in machine.of_motors)
        said = {"load", "motor_said"} & machine.model_fields_set
        if not machine.motor or said or of_a_motor or amps_a <= PORTABLE_HEATER_A:
            continue
        message = (
            f"is {plain(amps_a)} A, and nothing says what draws them: it is reckoned as a motor, whose breaker may be 250 % "
            "of that (NEC 430.52)"
        )
        mend = "a motor's plate has hp: too; an oven, a kiln or a charger is none: write load: heater, other or welder"
        yield pair.in_shop("load-unsaid", (*trail, "amps"), message, mend, question=True)


RULES: tuple[Rule, ...] = (
    plugs_fit_their_plates,
    large_loads_say_what_they_are,
    horsepower_and_amperes_agree,
    amperes_are_within_the_table,
    plugs_carry_the_horsepower,
    horsepower_is_one_of_its_volts,
    welders_say_their_duty,
    heaters_say_whether_they_stay,
)
"""What must hold of plates."""
