"""The breaker of a machine's circuit: what it is by habit, and from which to which size another would do."""

from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from functools import cache

from costplan.circuits.currents import currents, text
from costplan.circuits.size_types import CannotSizeError, Load, Reason, RuleOf, Rules
from costplan.model.choices import LoadKind
from costplan.model.installed import SMALLEST_CIRCUIT_A
from costplan.standards import loads, overcurrent, receptacles, tables, welders


@dataclass(frozen=True, slots=True)
class Protection:
    """The breaker, the rating that wire and receptacle must match, and the bounds on another breaker, in amperes.

    `class_a` is 0 where the wire follows the current alone: a motor has an overload device of its own, a welder its duty
    cycle, and the breaker guards against short circuits only (NFPA 70 240.4(G)). `least_a` is the smallest that carries
    the load, `kept_at_most_a` the largest of a circuit that is there, with wire for it, where a larger receptacle takes the
    plug. `receptacle_a` is what its receptacle has at least, None where that is `class_a` and all of its current.
    """

    breaker_a: int
    class_a: int
    least_a: int
    bounds_a: tuple[int, ...]
    reasons: tuple[Reason, ...]
    kept_at_most_a: int | None = None
    receptacle_a: Decimal | None = None


@cache
def protection(
    load: Load, current_a: Decimal, ampacity_a: Decimal, family: str | None, rules: Rules, floor_a: int
) -> Protection:
    """The breaker of a load's circuit; `family` None is hard-wired, `floor_a` the class that is asked for at least.

    Raises CannotSizeError, and LookupError above the list of standard sizes.
    """
    at_plug = family is not None and load.arc_behind_its_plug
    carried_a = ampacity_a if load.kind is LoadKind.WELDER else current_a
    case = _Case(load, current_a, ampacity_a, family, rules, floor_a, _allowed_a(load, carried_a, rules))
    if load.plug is not None and family is not None:
        _must_carry(load, load.plug, carried_a)
    if load.maker_breaker_a is not None:
        found = _makers(case, load.maker_breaker_a, carried_a)
        return _behind_arc_plug(load, ampacity_a, found) if at_plug else found
    if load.plug is not None and family is not None:
        return _behind_a_plug(case, load.plug)
    if load.motor:
        return _of_a_motor(case)
    return _of_a_welder(case) if load.kind.welds else _of_another_load(case)


@dataclass(frozen=True, slots=True)
class _Case:
    """What is asked of a breaker, as `protection` has it; `allowed_a` is the largest that the plate allows."""

    load: Load
    current_a: Decimal
    ampacity_a: Decimal
    family: str | None
    rules: Rules
    floor_a: int
    allowed_a: int

    def found(self, breaker_a: int, reasons: tuple[Reason, ...], limit_a: int | None = None) -> Protection:
        """The breaker, no larger than the plate allows; one with a limit of its own guards no wire where it is hard-wired."""
        reasons = (*reasons, *_lowered(breaker_a, self.allowed_a, self.ampacity_a))
        breaker_a = min(breaker_a, self.allowed_a)
        class_a = 0 if limit_a is not None and self.family is None else max(breaker_a, self.floor_a)
        bounds_a = (self.allowed_a,) if limit_a is None else (limit_a, self.allowed_a)
        return Protection(breaker_a, class_a, _least_a(self.ampacity_a), bounds_a, reasons)


def _allowed_a(load: Load, carried_a: Decimal, rules: Rules) -> int:
    """The largest standard size that the plate allows, the largest there is where it says none. Raises CannotSizeError."""
    most_a = load.breaker_at_most_a
    if most_a is None:
        largest_a = overcurrent.standard_sizes_a(rules.edition)[-1]
        by_code_a = appliance_limit_a(load, carried_a)
        return largest_a if by_code_a is None else min(largest_a, by_code_a)
    if most_a < carried_a:
        raise CannotSizeError(
            f"its plate allows a breaker of at most {most_a} A, and it draws {text(carried_a)} A: read the plate again"
        )
    return overcurrent.largest_standard_size_a(most_a, rules.edition)


def appliance_limit_a(load: Load, current_a: Decimal) -> int | None:
    """The largest breaker of a heater whose plate names none, in amperes; None for anything else.

    20 A up to 13.3 A, above that 150 %, or the next standard size where that is none. Source: NFPA 70 422.11(E), from memory.
    """
    if (
        load.kind is not LoadKind.HEATER
        or load.breaker_at_most_a is not None
        or load.maker_breaker_a is not None
    ):
        return None
    try:
        return loads.appliance_breaker_a(current_a)
    except LookupError:
        return None


def _appliance_reason(load: Load, current_a: Decimal, breaker_a: int, asked_a: int) -> tuple[Reason, ...]:
    """Why the breaker of a heater is below its plug."""
    limit_a = appliance_limit_a(load, current_a)
    if limit_a is None or breaker_a >= asked_a:
        return ()
    detail = (
        f"{breaker_a} A in place of {asked_a} A: at most {limit_a} A, 150 % of {text(current_a)} A or the next standard size, "
        "unless its plate names a larger one (largest_breaker)"
    )
    return (Reason(RuleOf.APPLIANCE_LIMIT, "NFPA 70 422.11(E), from memory", detail),)


def motor_limit_a(load: Load, current_a: Decimal) -> int:
    """The largest inverse-time breaker of a motor, in amperes: 250 %, then the next standard size up.

    Of several on one circuit: that of the largest and the currents of all else, then down to a standard size (430.53(C)(4),
    430.62(A), from memory). Raises LookupError above the list. Source: NFPA 70 430.52(C)(1).
    """
    kind = "single-phase" if load.phases == 1 else "polyphase"
    percent = overcurrent.motor_protection_percent("inverse-time breaker", kind)
    if not load.more and not load.other_a:
        return overcurrent.next_standard_size_a(current_a * percent / 100)
    known = currents(load)
    largest_a = overcurrent.next_standard_size_a(known.largest_a * percent / 100)
    return overcurrent.largest_standard_size_a(largest_a + known.rest_a)


def _must_carry(load: Load, plug: str, carried_a: Decimal) -> None:
    """Refuse a plug for fewer amperes than go through it, whatever breaker its maker allows. Raises CannotSizeError."""
    own = receptacles.find_configuration(plug)
    if carried_a > own.rating_a and load.worked_from is not None:
        raise CannotSizeError(
            f"its plug {plug} carries {own.rating_a} A, and at {load.volts} V, which its plate does not name, "
            f"{text(carried_a)} A must be taken (NEC 430.6(A)(1)): ask its maker for its amperes there, or feed it at its "
            "plate's volts"
        )
    if carried_a > own.rating_a:
        raise CannotSizeError(
            f"its plug {plug} carries {own.rating_a} A and the nameplate asks for {text(carried_a)} A: read both "
            "again; a plug is never exchanged for a larger one on the cord the machine came with"
        )


def _behind_a_plug(case: _Case, plug: str) -> Protection:
    """A machine that came with a plug: the receptacles that take it set the circuit, and the plug stays."""
    load, current_a, ampacity_a, allowed_a = case.load, case.current_a, case.ampacity_a, case.allowed_a
    smallest_a = case.rules.smallest_circuit_a
    own = receptacles.find_configuration(plug)
    taking = receptacles.taking(plug)
    asked_a = max(Decimal(own.rating_a), ampacity_a, Decimal(smallest_a))
    asked_a = min(asked_a, Decimal(allowed_a), Decimal(taking[-1].rating_a))
    by_plug_a = next(known.rating_a for known in taking if known.rating_a >= asked_a)
    breaker_a = min(by_plug_a, allowed_a)
    if load.kind is LoadKind.HEATER and breaker_a < by_plug_a and load.breaker_at_most_a is None:
        breaker_a = _usual_within(ampacity_a, allowed_a, ampacity_a)
    if load.continuous and ampacity_a > breaker_a:
        raise CannotSizeError(
            f"its plug {plug} is for circuits up to {breaker_a} A, and it runs at {text(current_a)} A for hours, which "
            f"asks for {text(ampacity_a)} A (NFPA 70 210.20(A)): read plate and plug again, or hard-wire it"
        )
    detail = f"{breaker_a} A: as the receptacle that takes its own plug, {plug}"
    if breaker_a < by_plug_a:
        detail = f"{breaker_a} A: below the receptacle that takes its own plug, {plug}"
    if breaker_a > own.rating_a:
        detail += f"; no circuit below {smallest_a} A is made here"
    reason = Reason(RuleOf.BREAKER, "nameplate and plug; NFPA 70 210.21(B), 110.3(B)", detail)
    least_a = _least_a(min(ampacity_a, Decimal(breaker_a)))
    most_a = min(taking[-1].rating_a, allowed_a)
    reasons = (reason, *_appliance_reason(load, current_a, breaker_a, by_plug_a))
    found = Protection(breaker_a, breaker_a, least_a, (breaker_a,), reasons, kept_at_most_a=most_a)
    if not load.arc_behind_its_plug:
        return found
    limit_a, limit_reason = _welder_limit(load, current_a)
    kept_a = max(breaker_a, min(limit_a, allowed_a))
    reasons = (*found.reasons, limit_reason)
    return _behind_arc_plug(load, ampacity_a, replace(found, reasons=reasons, kept_at_most_a=kept_a))


def _behind_arc_plug(load: Load, ampacity_a: Decimal, found: Protection) -> Protection:
    """An arc welder's receptacle may be below its current and its breaker, not below what its wires must carry.

    It is the one that takes the welder's own plug; none smaller is looked for. Source: NFPA 70 210.21(B)(1) Exception 2.
    """
    largest_a = receptacles.taking(load.plug or "")[-1].rating_a
    receptacle_a = max(ampacity_a, Decimal(min(found.class_a, largest_a)))
    detail = f"of an arc welder alone on its outlet it need only reach the {text(ampacity_a)} A that its wires must carry"
    reason = Reason(
        RuleOf.RECEPTACLES_RATING, "NFPA 70 210.21(B)(1) Exception 2, from memory; 630.11(A)", detail
    )
    return replace(found, receptacle_a=receptacle_a, reasons=(*found.reasons, reason))


def _welder_limit(load: Load, current_a: Decimal) -> tuple[int, Reason]:
    """The largest breaker of a welder, in amperes: its share of rated primary current, then the next standard size up.

    Raises LookupError above the list. Source: NFPA 70 630.12(A), 630.32(A).
    """
    resistance = load.kind.resistance
    share = welders.largest_breaker_factor(resistance=resistance)
    limit_a = overcurrent.next_standard_size_a(current_a * share)
    detail = f"{text(share * 100)} % of {text(current_a)} A, next standard size: at most {limit_a} A"
    return limit_a, Reason(RuleOf.WELDER_LIMIT, welders.cite_rule("breaker", resistance=resistance), detail)


def _of_a_motor(case: _Case) -> Protection:
    load, rules, floor_a = case.load, case.rules, case.floor_a
    current_a, ampacity_a = case.current_a, case.ampacity_a
    limit_a = motor_limit_a(load, current_a)
    least_a = max(ampacity_a, Decimal(SMALLEST_CIRCUIT_A))
    habit_a = max(least_a, Decimal(min(rules.smallest_circuit_a, limit_a)), Decimal(min(floor_a, limit_a)))
    known, starts_at_a = currents(load), starting_a(load, rules)
    said = (
        f"usual size not below {text(rules.starting_margin * 100)} % of {text(known.largest_a)} A"
        f"{f' and {text(known.rest_a)} A more' if known.rest_a else ''}, so that it starts"
    )
    breaker_a = _usual_within(max(habit_a, starts_at_a), limit_a, least_a)
    if case.family is not None:
        by_current_a = _usual_within(habit_a, limit_a, least_a)
        device_a = _receptacle_a(load, case.family, max(Decimal(by_current_a), Decimal(floor_a), current_a))
        breaker_a = max(by_current_a, min(breaker_a, _usual_up_to(device_a)))
        if breaker_a < starts_at_a:
            said = (
                f"smallest usual size not below {text(ampacity_a)} A; a start would have {text(starts_at_a)} A by habit, "
                f"and its receptacle carries {device_a} A"
            )
    if floor_a > limit_a:
        said += f"; {floor_a} A would pass the motor's limit, so the breaker stays smaller"
    reasons = (
        Reason(RuleOf.BREAKER, _cite_breakers(), f"{breaker_a} A: {said}"),
        Reason(
            RuleOf.MOTOR_LIMIT,
            tables.cite(overcurrent.MOTOR_LIMITS),
            _limit_words(load, current_a, limit_a),
        ),
    )
    return case.found(breaker_a, reasons, limit_a)


def starting_a(load: Load, rules: Rules) -> Decimal:
    """What the breaker of a motor has at least by habit, in amperes, so that its largest motor starts beside the rest."""
    known = currents(load)
    return known.largest_a * rules.starting_margin + known.rest_a


def _receptacle_a(load: Load, family: str, least_a: Decimal) -> int:
    """The amperes of the receptacle that a motor's current asks for; no start makes it larger. Raises LookupError."""
    neutral = load.neutral_beside_lines
    needed_a = int(least_a.to_integral_value(ROUND_CEILING))
    return receptacles.smallest_configuration(family, load.volts, load.phases, neutral, needed_a).rating_a


def _usual_up_to(rating_a: int) -> int:
    """The largest usual breaker that a receptacle of so many amperes may be behind."""
    return max(size for size in overcurrent.usual_sizes_a() if size <= rating_a)


def _lowered(breaker_a: int, allowed_a: int, ampacity_a: Decimal) -> tuple[Reason, ...]:
    """Why the breaker is smaller than by habit, where the maker's largest lowers it (NFPA 70 110.3(B))."""
    if breaker_a <= allowed_a:
        return ()
    detail = f"{allowed_a} A in place of {breaker_a} A: the plate allows no larger breaker"
    if allowed_a < ampacity_a:
        detail += f"; it is below the {text(ampacity_a)} A that its wires must carry: read the plate again"
    return (Reason(RuleOf.MAKERS_LARGEST_BREAKER, "nameplate; NFPA 70 110.3(B)", detail),)


def _limit_words(load: Load, current_a: Decimal, limit_a: int) -> str:
    if not load.more and not load.other_a:
        return f"250 % of {text(current_a)} A, next standard size: a breaker of at most {limit_a} A"
    known = currents(load)
    return (
        f"250 % of the largest motor's {text(known.largest_a)} A, next standard size, and the other {text(known.rest_a)} A, "
        f"then down: a breaker of at most {limit_a} A (430.53(C)(4), from memory; the motors' own overload devices and a "
        "machine marked for it are asked for)"
    )


def _of_another_load(case: _Case) -> Protection:
    """A heater or anything else: the breaker protects the wire as on any circuit."""
    breaker_a, reason = _smallest_usual(case, case.ampacity_a, "NFPA 70 210.20(A)")
    return case.found(breaker_a, (reason,))


def _smallest_usual(case: _Case, carried_a: Decimal, source: str) -> tuple[int, Reason]:
    """The smallest usual size that carries so much, and is none below what is asked for or made here."""
    least_a = max(carried_a, Decimal(case.rules.smallest_circuit_a), Decimal(case.floor_a))
    breaker_a = overcurrent.next_usual_size_a(least_a)
    said = f"{breaker_a} A: smallest usual size not below {text(carried_a)} A"
    return breaker_a, Reason(RuleOf.BREAKER, f"{_cite_breakers()}; {source}", said)


def _of_a_welder(case: _Case) -> Protection:
    """A welder without a plug of its own: hard-wired its wire goes by its duty cycle, and not by its breaker.

    Behind an outlet, into which anything may be plugged, breaker, wire and receptacle suit each other (common practice,
    no source; NFPA 70 630.12 asks for less).
    """
    share = welders.usual_breaker_factor(resistance=case.load.kind.resistance)
    carried_a = max(case.ampacity_a, case.current_a * share)
    breaker_a, reason = _smallest_usual(case, carried_a, tables.cite(welders.HABITS))
    limit_a, limit_reason = _welder_limit(case.load, case.current_a)
    return case.found(breaker_a, (reason, limit_reason), limit_a)


def _usual_within(habit_a: Decimal, limit_a: int, least_a: Decimal) -> int:
    """The smallest usual size that suits the habit; where that passes the limit, the largest below it, else the limit."""
    asked_a = overcurrent.next_usual_size_a(habit_a)
    if asked_a <= limit_a:
        return asked_a
    within = [size for size in overcurrent.usual_sizes_a() if least_a <= size <= limit_a]
    return within[-1] if within else limit_a


def _least_a(ampacity_a: Decimal) -> int:
    """The smallest breaker that carries a load, at least that of the smallest circuit."""
    return overcurrent.next_standard_size_a(max(ampacity_a, Decimal(SMALLEST_CIRCUIT_A)))


def _cite_breakers() -> str:
    return f"{tables.cite(overcurrent.STANDARD_SIZES)}; usual sizes are common practice, no source"


def _makers(case: _Case, maker_a: int, carried_a: Decimal) -> Protection:
    sizes = overcurrent.standard_sizes_a(case.rules.edition)
    if maker_a not in sizes:
        near = sorted(sorted(sizes, key=lambda size: abs(size - maker_a))[:2])
        raise CannotSizeError(
            f"the maker's {maker_a} A breaker is no standard size (NFPA 70 240.6(A), edition in force); "
            f"the nearest are {near[0]} and {near[1]} A: write what the nameplate allows"
        )
    if case.family is not None and maker_a < SMALLEST_CIRCUIT_A:
        raise CannotSizeError(
            f"the maker's {maker_a} A breaker may not feed a receptacle (NFPA 70 210.18); hard-wire it, "
            f"or leave the breaker out for {SMALLEST_CIRCUIT_A} A"
        )
    detail = f"{maker_a} A: the maker's stated size wins over the calculated one"
    if maker_a < carried_a:
        detail += f"; it is below the load current of {text(carried_a)} A, so check the nameplate"
    elif maker_a < case.ampacity_a:
        detail += (
            f"; it is below the {text(case.ampacity_a)} A that its wires must carry: read the plate again"
        )
    reason = Reason(RuleOf.BREAKER, "nameplate; NFPA 70 110.3(B)", detail)
    # A motor's wire follows its current and a welder's its duty cycle, whatever breaker the maker allows.
    alone = case.load.motor or case.load.kind.welds
    class_a = 0 if alone and case.family is None else max(maker_a, case.floor_a)
    return Protection(maker_a, class_a, maker_a, (maker_a,), (reason,))
