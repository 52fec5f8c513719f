"""Sizes one machine's circuit from its nameplate, and keeps the reason for every figure.

It serves the choice of parts and their prices; it is no design. Where the code leaves a choice, the
smaller current for the wire and the dearer reading are taken.
"""

from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Reason, Rules, Wiring
from costplan.standards import conductors, motors, overcurrent, receptacles, tables

SMALLEST_BREAKER_A = 15
SMALLEST_AWG = "14"
DWELLING_GARAGE = "dwelling garage"
_MOTOR_OR_CONTINUOUS = Decimal("1.25")
_NEWEST_READING = 2023
_FROM_MEMORY = "; from memory, not confirmed"


@dataclass(frozen=True, slots=True)
class _Protection:
    """The breaker, the rating that wire and receptacle must match, and the bounds on another breaker."""

    breaker_a: int
    class_a: int
    bounds_a: tuple[int, ...]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class _Conductor:
    """The wire that the current alone asks for, and the largest breaker that protects it."""

    awg: str
    protection_a: int
    reason: Reason


def size_circuit(
    load: Load,
    wiring: Wiring,
    family: str | None,
    length_ft: Decimal,
    rules: Rules,
    rating_floor_a: int = 0,
) -> CircuitSize:
    """Breaker, receptacle, conductors and voltage drop of a circuit of its own for one machine.

    `family` is straight, locking or pin and sleeve, None when hard-wired; `length_ft` is one way.
    `rating_floor_a` asks for at least that class: wire and receptacle always follow it, the breaker too
    unless the maker's stated size or the motor's limit (430.52) is lower.
    Raises CannotSizeError when no standard size or device fits, saying which and what would.
    """
    if length_ft < 0:
        raise CannotSizeError(f"a run of {length_ft:f} ft is negative; write its length in feet")
    try:
        return _size(load, wiring, family, length_ft, rules, rating_floor_a)
    except LookupError as missing:
        raise CannotSizeError(str(missing.args[0])) from missing


def _size(
    load: Load, wiring: Wiring, family: str | None, length_ft: Decimal, rules: Rules, floor_a: int
) -> CircuitSize:
    current_a, current_reason = load_current_a(load)
    ampacity_a, ampacity_reason = _minimum_ampacity_a(load, current_a)
    protection = _protection(load, current_a, ampacity_a, family, rules, floor_a)
    device, device_reasons = _receptacle(load, family, max(Decimal(protection.class_a), current_a))
    carrying = _current_carrying(load)
    wire = _conductor(wiring, carrying, ampacity_a, protection.class_a, rules.ambient_c)
    device_a = device.rating_a if device else protection.class_a
    awg_at_most = receptacles.largest_terminal_awg(device_a)
    awg, drop, drop_reason = _thickened(
        load, wiring, wire.awg, awg_at_most, device_a, current_a, length_ft, rules
    )
    bounds_a = (wire.protection_a, *protection.bounds_a, *((device.rating_a,) if device else ()))
    at_most_a = max(protection.breaker_a, overcurrent.largest_standard_size_a(min(bounds_a), rules.edition))
    grounding_awg, grounding_reason = _grounding(at_most_a, wire.awg, awg)
    ground_fault, ground_fault_reason = _ground_fault(load, family, protection.breaker_a, rules)
    insulated = (3 if load.phases == 3 else 2) + (1 if load.neutral and load.volts != 120 else 0)
    cord_volts = 600 if load.volts > 240 else 300
    return CircuitSize(
        current_a=current_a,
        minimum_ampacity_a=ampacity_a,
        poles=_poles(load),
        breaker_a=protection.breaker_a,
        breaker_at_most_a=at_most_a,
        awg=awg,
        awg_at_most=awg_at_most,
        conductors=insulated,
        wires=insulated + 1,
        grounding_awg=grounding_awg,
        configuration=device.code if device else None,
        ground_fault=ground_fault,
        voltage_drop=drop,
        cord_volts_at_least=cord_volts,
        reasons=(
            current_reason,
            ampacity_reason,
            *protection.reasons,
            Reason(
                "largest breaker",
                "NFPA 70 240.4, 430.52",
                f"another breaker may have up to {at_most_a} A: the least of what the wire, the receptacle, "
                "the motor and the maker allow",
            ),
            *device_reasons,
            wire.reason,
            Reason(
                "largest wire",
                tables.cite(receptacles.TERMINALS),
                f"terminals of a {device_a} A device usually take up to {awg_at_most} AWG",
            ),
            drop_reason,
            grounding_reason,
            ground_fault_reason,
            Reason(
                "cord volts",
                "NFPA 70 Table 400.4",
                f"a {load.volts} V circuit takes cord rated {cord_volts} V",
            ),
        ),
    )


def load_current_a(load: Load) -> tuple[Decimal, Reason]:
    """The current that wire and breaker are sized by, in amperes, and why.

    A motor's horsepower gives the table current; when amperes are stated too, the larger is taken.
    Raises CannotSizeError when neither gives a current. Source: NFPA 70 430.6(A)(1).
    """
    table_a, said = _table_current_a(load)
    if table_a is None:
        if load.amps_a is None:
            raise CannotSizeError(f"{said or 'neither amps nor hp is stated'}; write amps from the nameplate")
        detail = f"{_text(load.amps_a)} A stated" + (f"; {said}" if said else "")
        return load.amps_a, Reason("load current", "nameplate", detail)
    source = f"NFPA 70 430.6(A)(1); {tables.cite(motors.table_name(load.phases))}"
    if load.amps_a is None:
        return table_a, Reason("load current", source, said)
    larger = max(table_a, load.amps_a)
    detail = f"{said}; the nameplate says {_text(load.amps_a)} A; the larger, {_text(larger)} A, is used"
    return larger, Reason("load current", source, detail)


def _table_current_a(load: Load) -> tuple[Decimal | None, str]:
    """The full-load current by horsepower and what to say about it, None when the table has none."""
    if load.hp is None or not (load.motor or load.amps_a is None):
        return None, ""
    try:
        row = motors.full_load_row(load.hp, load.phases)
        table_a = motors.full_load_current_a(load.hp, load.phases, load.volts)
    except LookupError as missing:
        return None, str(missing.args[0])
    return table_a, f"{_text(load.hp)} hp at {load.volts} V: row {row} hp, {_text(table_a)} A"


def motor_breaker_limit_a(load: Load) -> int:
    """The largest inverse-time breaker a motor may have, in amperes: 250 %, then the next standard size up.

    Raises CannotSizeError when the load is no motor or its current is unknown.
    Source: NFPA 70 430.52(C)(1).
    """
    if not load.motor:
        raise CannotSizeError("is no motor, so the motor limit of NFPA 70 430.52 does not apply")
    current_a, _ = load_current_a(load)
    try:
        return _motor_limit_a(load, current_a)
    except LookupError as missing:
        raise CannotSizeError(str(missing.args[0])) from missing


def _motor_limit_a(load: Load, current_a: Decimal) -> int:
    kind = "single-phase" if load.phases == 1 else "polyphase"
    percent = overcurrent.motor_protection_percent("inverse-time breaker", kind)
    return overcurrent.next_standard_size_a(current_a * percent / 100)


def voltage_drop_v(phases: int, length_ft: Decimal, ohm_per_kft: Decimal, current_a: Decimal) -> Decimal:
    """Volts lost along a run and back, line to line on three-phase; `length_ft` is one way.

    Resistance only, at unity power factor: 2 L R I / 1000 single-phase, √3 L R I / 1000 three-phase.
    """
    lengths = Decimal(3).sqrt() if phases == 3 else Decimal(2)
    return lengths * length_ft * ohm_per_kft * current_a / 1000


def _minimum_ampacity_a(load: Load, current_a: Decimal) -> tuple[Decimal, Reason]:
    if not (load.motor or load.continuous):
        detail = f"100 % of {_text(current_a)} A: neither a motor nor continuous"
        return current_a, Reason("minimum ampacity", "NFPA 70 210.19(A)", detail)
    source, why = ("430.22", "a motor") if load.motor else ("210.19(A), 210.20(A)", "a continuous load")
    ampacity_a = current_a * _MOTOR_OR_CONTINUOUS
    detail = f"125 % of {_text(current_a)} A for {why}: {_text(ampacity_a)} A"
    return ampacity_a, Reason("minimum ampacity", f"NFPA 70 {source}", detail)


def _poles(load: Load) -> int:
    if load.phases == 3:
        return 3
    return 1 if load.volts == 120 else 2


def _protection(
    load: Load, current_a: Decimal, ampacity_a: Decimal, family: str | None, rules: Rules, floor_a: int
) -> _Protection:
    if load.maker_breaker_a is not None:
        return _makers_breaker(load.maker_breaker_a, current_a, family, rules, floor_a)
    least_a = max(ampacity_a, Decimal(SMALLEST_BREAKER_A))
    breaker_a = overcurrent.next_usual_size_a(max(least_a, Decimal(floor_a)))
    said = f"smallest usual size not below {_text(ampacity_a)} A"
    if floor_a > least_a:
        said += f" and the {floor_a} A asked for"
    if not load.motor:
        reason = Reason("breaker", f"{_cite_breakers()}; NFPA 70 210.20(A)", f"{breaker_a} A: {said}")
        return _Protection(breaker_a, max(breaker_a, floor_a), (), (reason,))
    limit_a = _motor_limit_a(load, current_a)
    if breaker_a > limit_a:
        breaker_a = overcurrent.next_usual_size_a(least_a)
        said += f"; {floor_a} A would pass the motor's limit, so the breaker stays smaller"
    reasons = (
        Reason("breaker", _cite_breakers(), f"{breaker_a} A: {said}"),
        Reason(
            "motor limit",
            tables.cite(overcurrent.MOTOR_LIMITS),
            f"250 % of {_text(current_a)} A, next standard size: a breaker of at most {limit_a} A",
        ),
    )
    return _Protection(breaker_a, max(breaker_a, floor_a), (limit_a,), reasons)


def _cite_breakers() -> str:
    return f"{tables.cite(overcurrent.STANDARD_SIZES)}; usual sizes are common practice, no source"


def _makers_breaker(
    maker_a: int, current_a: Decimal, family: str | None, rules: Rules, floor_a: int
) -> _Protection:
    sizes = overcurrent.standard_sizes_a(rules.edition)
    if maker_a not in sizes:
        near = sorted(sorted(sizes, key=lambda size: abs(size - maker_a))[:2])
        raise CannotSizeError(
            f"the maker's {maker_a} A breaker is no standard size (NFPA 70 240.6(A), edition in force); "
            f"the nearest are {near[0]} and {near[1]} A: write what the nameplate allows"
        )
    if family is not None and maker_a < SMALLEST_BREAKER_A:
        raise CannotSizeError(
            f"the maker's {maker_a} A breaker may not feed a receptacle (NFPA 70 210.18); hard-wire it, "
            f"or leave the breaker out for {SMALLEST_BREAKER_A} A"
        )
    detail = f"{maker_a} A: the maker's stated size wins over the calculated one"
    if maker_a < current_a:
        detail += f"; it is below the load current of {_text(current_a)} A, so check the nameplate"
    reason = Reason("breaker", "nameplate; NFPA 70 110.3(B)", detail)
    return _Protection(maker_a, max(maker_a, floor_a), (maker_a,), (reason,))


def _receptacle(
    load: Load, family: str | None, rating_a: Decimal
) -> tuple[receptacles.Configuration | None, tuple[Reason, ...]]:
    if family is None:
        return None, (Reason("receptacle", "way of powering", "hard-wired, no receptacle"),)
    neutral = load.neutral and load.volts != 120
    needed_a = int(rating_a) + (rating_a % 1 > 0)
    device = receptacles.smallest_configuration(family, load.volts, load.phases, neutral, needed_a)
    detail = (
        f"{device.code}: smallest usual {family} device for the volts, phases and poles, {device.rating_a} A"
    )
    if device.confirmation == "from memory":
        detail += _FROM_MEMORY
    return device, (Reason("receptacle", f"NFPA 70 210.21(B)(1); {device.source}", detail),)


def _current_carrying(load: Load) -> int:
    """Conductors that carry current: a neutral counts only beside two lines of a wye (NFPA 70 400.5(A))."""
    return 3 if load.phases == 3 or (load.neutral and load.volts in (208, 480)) else 2


def _sizes(wiring: Wiring) -> tuple[str, ...]:
    sizes = {
        Wiring.CABLE: conductors.nonmetallic_cable_sizes,
        Wiring.CORD: conductors.cord_sizes,
    }.get(wiring, conductors.building_wire_sizes)()
    smallest = conductors.awg_rank(SMALLEST_AWG)
    return tuple(awg for awg in sizes if conductors.awg_rank(awg) >= smallest)


def _ampacity_a(wiring: Wiring, awg: str, carrying: int, ambient_c: Decimal) -> Decimal:
    if wiring is Wiring.CORD:
        cool = min(Decimal(1), conductors.ambient_factor(ambient_c, 60))
        return conductors.cord_ampacity_a(awg, carrying) * cool
    warm_a = conductors.building_wire_ampacity_a(awg, 90) * conductors.ambient_factor(ambient_c, 90)
    terminals_a = conductors.building_wire_ampacity_a(awg, conductors.terminal_column_c())
    return min(warm_a, Decimal(terminals_a))


def _protection_a(wiring: Wiring, awg: str, ampacity_a: Decimal) -> int:
    """The largest breaker that protects a wire: for cord not above its ampacity, else the next size up."""
    if wiring is Wiring.CORD:
        return max((size for size in overcurrent.standard_sizes_a() if size <= ampacity_a), default=0)
    return overcurrent.largest_breaker_a(awg, ampacity_a)


def _conductor(
    wiring: Wiring, carrying: int, least_a: Decimal, class_a: int, ambient_c: Decimal
) -> _Conductor:
    sizes = _sizes(wiring)
    for awg in sizes:
        ampacity_a = _ampacity_a(wiring, awg, carrying, ambient_c)
        protection_a = _protection_a(wiring, awg, ampacity_a)
        if ampacity_a >= least_a and protection_a >= class_a:
            reason = _conductor_reason(wiring, awg, carrying, ampacity_a, class_a, ambient_c)
            return _Conductor(awg, protection_a, reason)
    thickest_a = _ampacity_a(wiring, sizes[-1], carrying, ambient_c)
    other = {
        Wiring.CORD: "power it by fixed wiring, or by portable power cable, which is not sized here",
        Wiring.CABLE: "use wire in conduit or armored cable",
    }.get(wiring, "have it designed")
    raise CannotSizeError(
        f"no {wiring} carries {_text(least_a)} A on a {class_a} A breaker at {_text(ambient_c)} C; "
        f"it ends at {sizes[-1]} AWG with {_text(thickest_a)} A ({_ampacity_source(wiring)}); {other}"
    )


def _ampacity_source(wiring: Wiring) -> str:
    if wiring is Wiring.CORD:
        return tables.cite(conductors.CORD)
    also = "; 334.80" if wiring is Wiring.CABLE else ""
    return f"{tables.cite(conductors.BUILDING_WIRE)}; 110.14(C){also}"


def _conductor_reason(
    wiring: Wiring, awg: str, carrying: int, ampacity_a: Decimal, class_a: int, ambient_c: Decimal
) -> Reason:
    if wiring is Wiring.CORD:
        column = f"{carrying} current-carrying conductors, protected at its ampacity (240.5)"
        memory = tables.look_up(conductors.CORD, {"awg": awg}, "confirmation") == "from memory"
    else:
        column = "60 C column, since 75 C terminals are not known; 90 C wire corrected from its own column"
        memory = False
    detail = (
        f"{awg} AWG copper carries {_text(ampacity_a)} A at {_text(ambient_c)} C ({column}) "
        f"and suits a {class_a} A breaker"
    )
    source = f"{_ampacity_source(wiring)}; {tables.cite(conductors.AMBIENT)}"
    return Reason("conductor", source, detail + (_FROM_MEMORY if memory else ""))


def _thickened(
    load: Load,
    wiring: Wiring,
    awg: str,
    awg_at_most: str,
    device_a: int,
    current_a: Decimal,
    length_ft: Decimal,
    rules: Rules,
) -> tuple[str, Decimal, Reason]:
    """The gauge that keeps the voltage drop within the limit, its drop as a share, and why."""
    least, most = conductors.awg_rank(awg), conductors.awg_rank(awg_at_most)
    if least > most:
        raise CannotSizeError(
            f"the current asks for {awg} AWG, but the terminals of a {device_a} A device usually take up to "
            f"{awg_at_most} AWG ({tables.cite(receptacles.TERMINALS)}); use another family or a larger class"
        )
    size, share = awg, Decimal(0)
    for size in (known for known in _sizes(wiring) if least <= conductors.awg_rank(known) <= most):
        ohms = conductors.resistance_ohm_per_kft(size)
        share = voltage_drop_v(load.phases, length_ft, ohms, current_a) / load.volts
        if share <= rules.drop_limit:
            detail = (
                f"{_percent(share)} over {_feet(length_ft)} ft of {size} AWG at {_text(current_a)} A, "
                f"limit {_percent(rules.drop_limit)}; {ohms} ohm per 1000 ft, "
                "direct current at 75 C, unity power factor"
            )
            if size != awg:
                detail += f"; {awg} AWG would carry the current but drop more"
            source = f"{tables.cite(conductors.RESISTANCE)}; NFPA 70 210.19 note (advice, not a rule)"
            return size, share, Reason("voltage drop", source, detail)
    raise CannotSizeError(
        f"the voltage drop over {_feet(length_ft)} ft is {_percent(share)} even with {size} AWG, the "
        f"thickest {wiring} here for the terminals of a {device_a} A device, and the limit is "
        f"{_percent(rules.drop_limit)}; shorten the run, raise the machine's volts or allow more drop"
    )


def _grounding(breaker_a: int, least_awg: str, awg: str) -> tuple[str, Reason]:
    """The grounding conductor, enlarged as the circuit's wires were (250.122(B)), never thicker than they."""
    base = conductors.grounding_conductor_awg(breaker_a)
    asked = Decimal(conductors.area_cmil(base)) * conductors.area_cmil(awg) / conductors.area_cmil(least_awg)
    enlarged = next((size for size in _sizes(Wiring.CONDUIT) if conductors.area_cmil(size) >= asked), awg)
    chosen = conductors.thinner(enlarged, awg)
    detail = f"{chosen} AWG for a breaker up to {breaker_a} A"
    if awg != least_awg:
        detail += f", enlarged in proportion as {least_awg} became {awg} AWG (250.122(B))"
    return chosen, Reason("grounding conductor", tables.cite(conductors.GROUNDING), detail)


def _ground_fault(load: Load, family: str | None, breaker_a: int, rules: Rules) -> tuple[bool, Reason]:
    if family is None:
        return False, Reason(
            "ground fault", "NFPA 70 210.8", "no receptacle, so the receptacle rule is silent"
        )
    dwelling = rules.occupancy == DWELLING_GARAGE
    section = "NFPA 70 210.8(A)" if dwelling else "NFPA 70 210.8(B)"
    if not dwelling and not rules.ground_fault_place:
        why = "the space is not said to be one of the listed places; ask the inspector"
        return False, Reason("ground fault", section, why)
    edition = _NEWEST_READING if rules.edition is None else rules.edition
    needed, why = (_in_dwelling_garage if dwelling else _in_listed_place)(load, breaker_a, edition)
    if rules.edition is None:
        why += "; the edition in force is not known, so the dearer, newer reading is taken"
    return needed, Reason("ground fault", section, why)


def _low_to_ground(load: Load) -> bool:
    """Single-phase of 150 V or less to ground; 240 V is taken as half of 120/240, the dearer reading."""
    return load.phases == 1 and load.volts <= 240


def _small_120(load: Load, breaker_a: int) -> bool:
    return load.volts == 120 and breaker_a <= 20


def _in_dwelling_garage(load: Load, breaker_a: int, edition: int) -> tuple[bool, str]:
    if edition < 2020:
        return _small_120(load, breaker_a), f"{edition}: only 120 V receptacles of 15 and 20 A in garages"
    return _low_to_ground(
        load
    ), "from 2020: every single-phase receptacle up to 250 V, 150 V or less to ground"


def _in_listed_place(load: Load, breaker_a: int, edition: int) -> tuple[bool, str]:
    if edition < 2017:
        return _small_120(
            load, breaker_a
        ), f"{edition}: only 120 V receptacles of 15 and 20 A in listed places"
    three_phase = load.phases == 3 and load.volts == 208 and breaker_a <= 100
    return (_low_to_ground(load) and breaker_a <= 50) or three_phase, (
        "from 2017: 150 V or less to ground, single-phase up to 50 A and three-phase up to 100 A"
    )


def _text(value: Decimal) -> str:
    return f"{value.normalize():f}"


def _feet(length_ft: Decimal) -> str:
    return _text(length_ft.quantize(Decimal("0.1")))


def _percent(share: Decimal) -> str:
    return f"{share * 100:.1f} %"
