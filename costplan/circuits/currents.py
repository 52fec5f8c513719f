"""The current a load draws, and the current its wires must carry."""

from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache

from costplan.circuits.size_types import NO_FIT, CannotSizeError, Load, Reason, RuleOf, WiresBy
from costplan.model.choices import LoadKind
from costplan.model.plate_figures import PlateRating
from costplan.standards import motors, receptacles, tables, welders

_MOTOR_OR_CONTINUOUS = Decimal("1.25")


@dataclass(frozen=True, slots=True)
class Currents:
    """What a load draws, in amperes: its largest motor, or all of what is no motor, and all else beside it."""

    largest_a: Decimal
    rest_a: Decimal
    reason: Reason

    @property
    def total_a(self) -> Decimal:
        """All of it."""
        return self.largest_a + self.rest_a


def load_current_a(load: Load) -> tuple[Decimal, Reason]:
    """The current that a load draws in all, in amperes, and why. Raises CannotSizeError when the plate gives none."""
    known = currents(load)
    return known.total_a, known.reason


@cache
def currents(load: Load) -> Currents:
    """The current that wire and breaker are sized by, and why. Raises CannotSizeError when the plate gives none.

    A motor's horsepower gives the table current, however little its plate says (NFPA 70 430.6(A)(1)); a plate above the
    table rules, since only motors of low speed, high torque or several speeds draw more. A machine that came with a plug
    is taken as listed unless `listed` denies it, and the amperes marked on it rule beside its horsepower (430.6(A)(1)
    Exception No. 3, from memory), as they do for a motor of low speed or of two; at volts that its plate does not name the
    table rules if it has more.
    All motors of a machine count, each as a motor (430.24).
    """
    main_a, reason = _main_current_a(load)
    if load.fed_at:
        reason = replace(reason, detail=f"{reason.detail}; {load.fed_at}")
    if not load.more and not load.other_a:
        return Currents(main_a, Decimal(0), reason)
    words, all_a = [reason.detail], [main_a]
    for motor in load.more:
        mine = replace(
            load,
            phases=motor.phases,
            hp=motor.hp,
            amps_a=motor.amps_a,
            plug=None,
            worked_from=None,
            fit=NO_FIT,
            more=(),
            other_a=Decimal(0),
        )
        current_a, why = _main_current_a(mine)
        words.append(f"{motor.what} {why.detail}")
        all_a.append(current_a)
    if load.other_a:
        words.append(f"{text(load.other_a)} A besides")
    total_a = sum(all_a) + load.other_a
    detail = f"{'; '.join(words)}; {text(total_a)} A in all"
    return Currents(max(all_a), total_a - max(all_a), Reason(reason.what, f"{reason.source}; 430.24", detail))


def switched_hp(load: Load) -> Decimal | None:
    """The horsepower that a switch of a motor must be marked for; of several, the table's for their sum of currents.

    What a drive is unplugged by disconnects the motor behind it. Source: NFPA 70 430.102, 430.110(C)(1), from memory. None
    where no horsepower is known, or the table ends.
    """
    if load.hp is None or not load.more:
        return load.hp
    try:
        return max(load.hp, motors.equivalent_hp(currents(load).total_a, load.phases, load.volts))
    except LookupError:
        return None


def _main_current_a(load: Load) -> tuple[Decimal, Reason]:
    table_a, said = _table_current_a(load)
    if table_a is None:
        if load.amps_a is None:
            raise CannotSizeError(f"{said or 'neither amps nor hp is stated'}; write amps from the nameplate")
        stated = "" if load.fed_at and load.worked_from is None else f" {_stated(load)}"
        detail = f"{text(load.amps_a)} A{stated}" + (f"; {said}" if said else "")
        return load.amps_a, Reason(RuleOf.LOAD_CURRENT, "nameplate", detail)
    source = f"NFPA 70 430.6(A)(1); {tables.cite(motors.table_name(load.phases))}"
    if load.amps_a is None:
        own = receptacles.known(load.plug)
        apart = own is not None and own.rating_a < table_a < own.rating_a * motors.FAR_APART
        if own is not None and apart and load.listed is not False:
            detail = (
                f"taken as {own.rating_a} A at most, since it came with a {own.code} plug, which proves no current; {said}; "
                "read its plate and write its amperes"
            )
            return Decimal(own.rating_a), Reason(RuleOf.LOAD_CURRENT, f"plug; {source}", detail)
        return table_a, Reason(RuleOf.LOAD_CURRENT, source, said)
    if load.plug is not None and load.worked_from is not None:
        return _plugged_at_other_volts_a(load, load.worked_from, load.amps_a, table_a, said)
    if load.plug is not None and load.listed is not False:
        taken = "is listed" if load.listed else "is taken as listed, since nobody said (listed)"
        detail = (
            f"{text(load.amps_a)} A stated: it came with a plug and {taken}, so the amperes marked on it rule beside its "
            f"horsepower; {said}"
        )
        source = source.replace("430.6(A)(1)", "430.6(A)(1) Exception No. 3, from memory")
        return load.amps_a, Reason(RuleOf.LOAD_CURRENT, f"nameplate; {source}", detail)
    marked = f"{text(load.amps_a)} A {_stated(load)}"
    if load.fit.two_speed:
        detail = f"{marked}: of a two-speed motor the plate rules; {said}"
        return load.amps_a, Reason(RuleOf.LOAD_CURRENT, f"nameplate; {source}, from memory", detail)
    if load.fit.rpm is not None and load.fit.rpm < motors.TABLE_FROM_RPM:
        detail = f"{marked}: of a motor below {motors.TABLE_FROM_RPM} rpm the plate rules; {said}"
        return load.amps_a, Reason(RuleOf.LOAD_CURRENT, f"nameplate; {source}, from memory", detail)
    if _above_the_table(load, load.hp, load.amps_a, table_a):
        detail = (
            f"{marked}, above the table, so the plate rules, as of a motor of low speed or high "
            f"torque; {said}"
        )
        return load.amps_a, Reason(RuleOf.LOAD_CURRENT, f"nameplate; {source}, from memory", detail)
    detail = f"{said}; the nameplate says {text(load.amps_a)} A, but a motor's circuit goes by the table"
    return table_a, Reason(RuleOf.LOAD_CURRENT, source, detail)


def _stated(load: Load) -> str:
    """Whether the amperes at a load's volts are the plate's own or worked out from them."""
    known = load.worked_from
    if known is None or known.amps_a is None:
        return "stated"
    return f"reckoned from {text(known.amps_a)} A at the plate's {text(known.plate_v)} V"


def _plugged_at_other_volts_a(
    load: Load, known: PlateRating, reckoned_a: Decimal, table_a: Decimal, said: str
) -> tuple[Decimal, Reason]:
    """A motor that came with a plug, at volts its plate does not name: the code's table, or the plate's amperes if more.

    No amperes are marked for those volts, so that NFPA 70 430.6(A)(1) Exception 3 does not reach them (from memory). A
    horsepower that the plate's amperes are far below is a peak, no rating, and is left out.
    """
    marked = f"{text(reckoned_a)} A {_stated(load)}"
    source = f"NFPA 70 430.6(A)(1); {tables.cite(motors.table_name(load.phases))}"
    if known.amps_a is not None and table_a >= reckoned_a * motors.FAR_APART:
        detail = f"{marked}; its horsepower is far above them, a peak, no rating; {said}"
        return reckoned_a, Reason(RuleOf.LOAD_CURRENT, f"nameplate; {source}", detail)
    which = "the larger of the two counts, since no amperes are marked for these volts"
    return max(reckoned_a, table_a), Reason(RuleOf.LOAD_CURRENT, source, f"{said}; {marked}; {which}")


def _above_the_table(load: Load, power_hp: Decimal | None, amps_a: Decimal, table_a: Decimal) -> bool:
    """Whether its plate's amperes, at the plate's own volts, are above the table's."""
    known = load.worked_from
    if known is None or known.amps_a is None or power_hp is None:
        return amps_a > table_a
    return known.amps_a > motors.full_load_current_a(power_hp, load.phases, known.volts)


def _table_current_a(load: Load) -> tuple[Decimal | None, str]:
    """The full-load current by horsepower and what to say about it, None when the table has none."""
    if load.hp is None or not (load.motor or load.amps_a is None):
        return None, ""
    if load.amps_a is not None and motors.below_the_table(load.hp, load.phases):
        return None, f"{motors.hp_words(load.hp)} hp is below {tables.cite(motors.table_name(load.phases))}"
    try:
        row = motors.full_load_row(load.hp, load.phases)
        table_a = motors.full_load_current_a(load.hp, load.phases, load.volts)
    except LookupError as missing:
        return None, str(missing.args[0])
    return table_a, f"{motors.hp_words(load.hp)} hp at {load.volts} V: row {row} hp, {text(table_a)} A"


def minimum_ampacity_a(load: Load, current_a: Decimal) -> tuple[Decimal, Reason]:
    """The current that the wires must carry at least, in amperes, and why.

    125 % for a motor (NFPA 70 430.22) or a continuous load (210.19(A)); a welder's by its duty cycle (630.11(A), 630.31(A)).
    """
    if load.kind.resistance:
        return _resistance_welder_ampacity_a(load, current_a)
    if load.kind.welds:
        return _welder_ampacity_a(load, current_a)
    if not (load.motor or load.continuous):
        feeder = load.wires_by is WiresBy.FEEDER
        why = "the rating of the panel it feeds" if feeder else "neither a motor nor continuous"
        source = f"NFPA 70 {load.wires_by or '210.19(A)'}"
        return current_a, Reason(RuleOf.MINIMUM_AMPACITY, source, f"100 % of {text(current_a)} A: {why}")
    source, why = _grown_by(load)
    known = currents(load)
    if not load.motor or not known.rest_a:
        ampacity_a = current_a * _MOTOR_OR_CONTINUOUS
        detail = f"125 % of {text(current_a)} A for {why}: {text(ampacity_a)} A"
        return ampacity_a, Reason(RuleOf.MINIMUM_AMPACITY, f"NFPA 70 {source}", detail)
    ampacity_a, source = known.largest_a * _MOTOR_OR_CONTINUOUS + known.rest_a, "430.24"
    detail = (
        f"125 % of the largest motor's {text(known.largest_a)} A and all of the other {text(known.rest_a)} A: "
        f"{text(ampacity_a)} A"
    )
    return ampacity_a, Reason(RuleOf.MINIMUM_AMPACITY, f"NFPA 70 {source}", detail)


_RATED_INPUT = {
    WiresBy.CONVERTER: "the rated single-phase input of a converter",
    WiresBy.DRIVE: "the rated input of a drive",
    WiresBy.FEEDER: "a continuous load",
}


def _grown_by(load: Load) -> tuple[str, str]:
    """The sections that ask for 125 %, and the words for what it is asked for."""
    if load.wires_by is not None:
        return load.wires_by, _RATED_INPUT[load.wires_by]
    if load.motor:
        return "430.22", "a motor"
    if load.kind is LoadKind.HEATER:
        why = "a continuous load, as a heater is unless continuous: false is written"
        return "210.19(A), 210.20(A); 422.10(A), 424.4(B) and, since 2017, 425.4, from memory", why
    return "210.19(A), 210.20(A)", "a continuous load"


def _welder_ampacity_a(load: Load, current_a: Decimal) -> tuple[Decimal, Reason]:
    if load.effective_a is not None:
        detail = f"{text(load.effective_a)} A effective, as the plate says"
        return load.effective_a, Reason(RuleOf.MINIMUM_AMPACITY, "nameplate; NFPA 70 630.11(A)", detail)
    if load.duty_cycle is None:
        detail = f"all of {text(current_a)} A, since the plate's duty cycle is not known"
        return current_a, Reason(RuleOf.MINIMUM_AMPACITY, "NFPA 70 630.11(A)", detail)
    factor = welders.factor(load.duty_cycle)
    ampacity_a = current_a * factor
    detail = (
        f"{text(factor)} x {text(current_a)} A at a duty cycle of {text(load.duty_cycle * 100)} %: "
        f"{text(ampacity_a)} A"
    )
    return ampacity_a, Reason(RuleOf.MINIMUM_AMPACITY, tables.cite(welders.FACTORS), detail)


def _resistance_welder_ampacity_a(load: Load, current_a: Decimal) -> tuple[Decimal, Reason]:
    """By 630.31(A)(1) unless it ever does one operation, of known current and duty, which (A)(2) wants."""
    if load.one_operation and load.duty_cycle is not None:
        factor = welders.resistance_factor(load.duty_cycle)
        why = f"one operation at a duty cycle of {text(load.duty_cycle * 100)} %"
        source = tables.cite(welders.RESISTANCE_FACTORS)
    else:
        automatic = load.kind is LoadKind.SEAM_WELDER
        factor = welders.varying_factor(automatic=automatic)
        why = f"a resistance welder {'fed by itself' if automatic else 'worked by hand'}, whose operation varies"
        source = "NFPA 70 630.31(A)(1)"
    ampacity_a = current_a * factor
    detail = f"{text(factor)} x {text(current_a)} A, {why}: {text(ampacity_a)} A"
    return ampacity_a, Reason(RuleOf.MINIMUM_AMPACITY, f"{source}, from memory", detail)


def text(value: Decimal) -> str:
    """A figure without trailing zeros."""
    return f"{value.normalize():f}"
