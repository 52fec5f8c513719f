"""Sizes one machine's circuit from its nameplate, and keeps the reason for every figure.

It serves the choice of parts and their prices; it is no design. Where the code leaves a choice, the
smaller current for the wire and the dearer reading are taken.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import wraps
from typing import ParamSpec

from costplan.circuits.breaker import Protection, protection
from costplan.circuits.currents import load_current_a, minimum_ampacity_a, text
from costplan.circuits.ground_fault import ONE_LINE_V, ground_fault
from costplan.circuits.size_types import (
    CannotSizeError,
    CircuitSize,
    Load,
    Reason,
    RuleOf,
    Rules,
    WiresBy,
    Wiring,
)
from costplan.circuits.wire import (
    FROM_MEMORY,
    Asked,
    Conductor,
    alone_on_it,
    current_carrying,
    largest_kept_a,
    outlet_of_a_welder,
    temperature_column,
    thinnest_conductor,
    wire_sizes,
)
from costplan.model.choices import ListedPlace
from costplan.model.installed import SMALLEST_AWG
from costplan.standards import conductors, overcurrent, receptacles, tables, welders

_P = ParamSpec("_P")


def _refusing(size: Callable[_P, CircuitSize]) -> Callable[_P, CircuitSize]:
    """The same, a look-up that finds nothing being CannotSizeError."""

    @wraps(size)
    def refused(*asked: _P.args, **named: _P.kwargs) -> CircuitSize:
        try:
            return size(*asked, **named)
        except tables.NoRowError as missing:
            raise CannotSizeError(
                f"{missing.args[0]}; read the plate again, or have it designed"
            ) from missing
        except LookupError as missing:
            raise CannotSizeError(str(missing.args[0])) from missing

    return refused


@_refusing
def size_circuit(
    load: Load,
    wiring: Wiring,
    family: str | None,
    length_ft: Decimal,
    rules: Rules,
    rating_floor_a: int = 0,
    *,
    at_receptacle: bool = False,
    heaviest: str | None = None,
    least_awg: str = "",
    pigtails: bool = False,
) -> CircuitSize:
    """Breaker, receptacle, conductors and voltage drop of a circuit of its own for one machine.

    `family` is straight, locking or pin and sleeve, None when hard-wired; `length_ft` is one way.
    `rating_floor_a` asks for at least that class: wire and receptacle always follow it, the breaker too
    unless the maker's stated size or the motor's limit (430.52) is lower. `at_receptacle` has ground-fault
    protection, where it is needed, in the receptacle of a 120 V circuit instead of the breaker. The wire that the
    current asks for is always allowed; for the voltage drop it grows up to `heaviest`, and past what the terminals at
    its ends take only where `pigtails` can be spliced to it. It is of `least_awg` or heavier where that may be laid, empty
    for no such wish.
    Raises CannotSizeError when no standard size or device fits, saying which and what would.
    """
    if length_ft < 0:
        raise CannotSizeError(f"a run of {length_ft:f} ft is negative; write its length in feet")
    current_a, current_reason = load_current_a(load)
    ampacity_a, ampacity_reason = minimum_ampacity_a(load, current_a)
    protected = protection(load, current_a, ampacity_a, family, rules, rating_floor_a)
    least_receptacle_a = protected.receptacle_a
    if least_receptacle_a is None:
        least_receptacle_a = max(Decimal(protected.class_a), current_a)
    device, device_reasons = _receptacle(load, family, least_receptacle_a)
    column = temperature_column(load, wiring, rules, ampacity_a)
    asked = Asked(wiring, current_carrying(load), ampacity_a, rules.ambient_c, *column)
    alone = not protected.class_a and wiring is not Wiring.CORD
    class_a = min(rules.smallest_circuit_a, protected.breaker_a) if alone else protected.breaker_a
    wire = thinnest_conductor(
        alone_on_it(asked, load, protected.breaker_a) if alone else asked, max(class_a, protected.class_a)
    )
    device_a = device.rating_a if device else protected.breaker_a
    awg_at_most = receptacles.largest_terminal_awg(device_a)
    run = _Run(load, wiring, current_a, length_ft, rules.drop_limit)
    spliced = pigtails and wiring is not Wiring.CORD
    awg, drop, drop_reason = _thickened(run, wire.awg, awg_at_most, device_a, heaviest, least_awg, spliced)
    ends = (awg_at_most, overcurrent.largest_lug_awg(protected.breaker_a)) if spliced else ()
    splices = sum(conductors.awg_rank(awg) > conductors.awg_rank(end) for end in ends)
    most_a = _most_a(protected, wire, device, rules)
    kept_at_most_a = largest_kept_a(protected, load, asked, wire.awg) or most_a
    grounding_awg, grounding_reason = _grounding(protected.breaker_a, wire.awg, awg)
    at_most_a = _with_same_ground(protected.breaker_a, most_a, rules)
    protects, ground_fault_reason = ground_fault(load, family, protected.breaker_a, rules)
    in_receptacle = protects and at_receptacle and load.volts == ONE_LINE_V
    neutral = load.neutral_beside_lines or (
        device is not None and receptacles.brings_neutral(device.code, load.volts)
    )
    insulated = (3 if load.phases == 3 else 2) + neutral
    cord_volts = 600 if load.volts > 240 else 300
    return CircuitSize(
        current_a=current_a,
        minimum_ampacity_a=ampacity_a,
        poles=_poles(load),
        breaker_a=protected.breaker_a,
        breaker_at_least_a=min(protected.least_a, protected.breaker_a),
        breaker_at_most_a=at_most_a,
        breaker_most_a=kept_at_most_a,
        awg=awg,
        awg_at_least=_least_awg(asked, protected, load),
        awg_at_most=conductors.thicker(awg_at_most, awg),
        conductors=insulated,
        wires=insulated + 1,
        grounding_awg=grounding_awg,
        configuration=device.code if device else None,
        ground_fault=protects and not in_receptacle,
        ground_fault_receptacle=in_receptacle,
        voltage_drop=drop,
        drops_too_much=drop > rules.drop_limit,
        cord_volts_at_least=cord_volts,
        reasons=(
            current_reason,
            ampacity_reason,
            *protected.reasons,
            Reason(
                RuleOf.LARGEST_BREAKER,
                _cite_largest(load),
                f"a breaker that is there may have up to {kept_at_most_a} A: the least of what the "
                f"wire, the receptacle{_limiting(load)} and the maker allow"
                f"{_ground_of(kept_at_most_a, grounding_awg, wire.awg)}; "
                f"one that is bought up to {at_most_a} A",
            ),
            *device_reasons,
            wire.reason,
            *outlet_of_a_welder(asked, load, protected, wire.awg),
            Reason(
                RuleOf.LARGEST_WIRE,
                tables.cite(receptacles.TERMINALS),
                f"terminals of a {device_a} A device usually take up to {awg_at_most} AWG",
            ),
            drop_reason,
            grounding_reason,
            ground_fault_reason,
            *_splice_reasons(splices, awg, wire.awg, protected.breaker_a),
            Reason(
                RuleOf.CORD_VOLTS,
                "NFPA 70 Table 400.4",
                f"a {load.volts} V circuit takes cord rated {cord_volts} V",
            ),
        ),
        awg_by_current=wire.awg,
        drop_by_current=run.drop(wire.awg),
        awg_in_advice=run.in_advice(wire.awg) or "",
        column_c=None if wiring is Wiring.CORD else asked.column_c,
        pigtails=splices,
        damp=device is not None and rules.ground_fault_place is ListedPlace.DAMP,
    )


def _cite_largest(load: Load) -> str:
    """The sections that bound the breaker of a load: by its kind, a motor's and a welder's are not that of its wire."""
    if load.kind.welds:
        resistance = load.kind.resistance
        breaker = welders.cite_rule("breaker", resistance=resistance)
        wire = welders.cite_rule("wire", resistance=resistance)
        return f"{breaker}; {wire}; 240.4(G)"
    return "NFPA 70 240.4, 430.52" if load.motor else "NFPA 70 240.4"


def _limiting(load: Load) -> str:
    if load.kind.welds:
        return ", the welder"
    return ", the motor" if load.motor else ""


def _ground_of(kept_a: int, bought_awg: str, awg: str) -> str:
    """What ground the largest breaker that is there asks for, where that is thicker than the one that is bought."""
    asked = conductors.least_ground_awg(kept_a, awg)
    thicker = conductors.awg_rank(asked) > conductors.awg_rank(bought_awg)
    return f", with a ground of {asked} AWG" if thicker else ""


def _splice_reasons(splices: int, awg: str, thin: str, breaker_a: int) -> tuple[Reason, ...]:
    """Why a run that is heavier than its ends is spliced to pigtails, and what to read at the breaker."""
    if not splices:
        return ()
    source = f"{tables.cite(receptacles.TERMINALS)}; {tables.cite(overcurrent.LUGS)}; NFPA 70 110.14, 314.16"
    where = "at its outlet" if splices == 1 else "at its outlet and in the panel"
    detail = (
        f"{awg} AWG is spliced to {thin} AWG {where}, in a box deep enough; the breaker stays {breaker_a} A, and its "
        "lug range is read first"
    )
    return (Reason(RuleOf.PIGTAILS, source, detail),)


def voltage_drop_v(phases: int, length_ft: Decimal, ohm_per_kft: Decimal, current_a: Decimal) -> Decimal:
    """Volts lost along a run and back, line to line on three-phase; `length_ft` is one way.

    Resistance only, at unity power factor: 2 L R I / 1000 single-phase, √3 L R I / 1000 three-phase.
    """
    lengths = Decimal(3).sqrt() if phases == 3 else Decimal(2)
    return lengths * length_ft * ohm_per_kft * current_a / 1000


def _poles(load: Load) -> int:
    if load.phases == 3:
        return 3
    return 1 if load.volts == 120 else 2


def _receptacle(
    load: Load, family: str | None, rating_a: Decimal
) -> tuple[receptacles.Configuration | None, tuple[Reason, ...]]:
    if family is None:
        return None, (Reason(RuleOf.RECEPTACLE, "way of powering", "hard-wired, no receptacle"),)
    needed_a = int(rating_a) + (rating_a % 1 > 0)
    own = None if load.plug is None else receptacles.find_configuration(load.plug)
    if own is not None and own.family == family:
        taking = receptacles.taking(own.code)
        device = next((known for known in taking if known.rating_a >= needed_a), None)
        if device is None:
            raise CannotSizeError(
                f"its plug {own.code} goes on circuits up to {taking[-1].rating_a} A, and the circuit asked for has "
                f"{needed_a} A: read plate and plug again"
            )
        detail = f"{device.code}: takes the machine's own plug, {own.code}"
        if not load.neutral and receptacles.brings_neutral(device.code, load.volts):
            detail += (
                f", {load.volts} V between its lines; a neutral is pulled to it, which the machine may use for its 120 V "
                "parts: look, and write neutral: true where it does"
            )
        return device, (Reason(RuleOf.RECEPTACLE, f"NFPA 70 210.21(B)(1); {device.source}", detail),)
    neutral = load.neutral_beside_lines
    device = receptacles.smallest_configuration(family, load.volts, load.phases, neutral, needed_a)
    detail = (
        f"{device.code}: smallest usual {family} device for the volts, phases and poles, {device.rating_a} A"
    )
    if device.confirmation == "from memory":
        detail += FROM_MEMORY
    return device, (Reason(RuleOf.RECEPTACLE, f"NFPA 70 210.21(B)(1); {device.source}", detail),)


def _most_a(
    protected: Protection,
    wire: Conductor,
    device: receptacles.Configuration | None,
    rules: Rules,
) -> int:
    """The largest breaker that the circuit may have: by its receptacle, maker and motor, and, but for a motor, its wire."""
    by_wire = () if wire.protection_a is None else (wire.protection_a,)
    bounds_a = (*by_wire, *protected.bounds_a, *((device.rating_a,) if device else ()))
    return max(protected.breaker_a, overcurrent.largest_standard_size_a(min(bounds_a), rules.edition))


def _with_same_ground(breaker_a: int, most_a: int, rules: Rules) -> int:
    """The largest breaker that may be bought: one that asks for no thicker ground than is bought."""
    ground = conductors.grounding_conductor_awg(breaker_a)
    sizes = overcurrent.standard_sizes_a(rules.edition)
    return max(
        size
        for size in (breaker_a, *sizes)
        if size == breaker_a
        or (breaker_a < size <= most_a and conductors.grounding_conductor_awg(size) == ground)
    )


def _least_awg(asked: Asked, protected: Protection, load: Load) -> str:
    """The thinnest wire that would do if it were there; a welder's follows its current alone (NFPA 70 240.4(G), 630.12(B))."""
    by_current = load.kind.welds and asked.wiring is not Wiring.CORD
    class_a = min(protected.least_a, protected.breaker_a) if protected.class_a and not by_current else 0
    return asked.thinnest(class_a) or SMALLEST_AWG


@dataclass(frozen=True, slots=True)
class _Run:
    """A run whose voltage drop is looked at."""

    load: Load
    wiring: Wiring
    current_a: Decimal
    length_ft: Decimal
    limit: Decimal

    def drop(self, awg: str) -> Decimal:
        """The share of the volts that is lost on wire of that size."""
        ohms = conductors.resistance_ohm_per_kft(awg)
        return voltage_drop_v(self.load.phases, self.length_ft, ohms, self.current_a) / self.load.volts

    def in_advice(self, least: str) -> str | None:
        """The thinnest size from `least` up that keeps the drop within the limit; None when none does."""
        thick = (
            awg for awg in wire_sizes(self.wiring) if conductors.awg_rank(awg) >= conductors.awg_rank(least)
        )
        return next((awg for awg in thick if self.drop(awg) <= self.limit), None)


def _thickened(
    run: _Run, awg: str, awg_at_most: str, device_a: int, heaviest: str | None, least_awg: str, spliced: bool
) -> tuple[str, Decimal, Reason]:
    """The gauge that keeps the voltage drop within the limit, or the nearest to it that may be laid; its drop, and why.

    The limit is advice (NFPA 70 210.19 informational note): past it the drop is said, with what thicker wire on
    pigtails would do, and nothing is refused.
    """
    least, most = conductors.awg_rank(awg), conductors.awg_rank(awg_at_most)
    if least > most:
        raise CannotSizeError(
            f"the current asks for {awg} AWG, but the terminals of a {device_a} A device usually take up to "
            f"{awg_at_most} AWG ({tables.cite(receptacles.TERMINALS)}); use another family or a larger class"
        )
    sizes = [known for known in wire_sizes(run.wiring) if conductors.awg_rank(known) >= least]
    within = run.in_advice(awg)
    wished = max(least, conductors.awg_rank(least_awg)) if least_awg else least
    end = max(most, wished, conductors.awg_rank(within or awg)) if spliced else most
    sold = end if heaviest is None else max(least, conductors.awg_rank(heaviest))
    taken = [known for known in sizes if conductors.awg_rank(known) <= min(end, sold)]
    heavy = [known for known in taken if conductors.awg_rank(known) >= wished] or taken
    size = next((known for known in heavy if run.drop(known) <= run.limit), taken[-1])
    share = run.drop(size)
    detail = (
        f"{_percent(share)} over {_feet(run.length_ft)} ft of {size} AWG at {text(run.current_a)} A, "
        f"limit {_percent(run.limit)}; {conductors.resistance_ohm_per_kft(size)} ohm per 1000 ft, "
        "direct current at 75 C, unity power factor"
    )
    if share > run.limit:
        detail += "; more than advised"
        if within is not None:
            why = (
                "nobody sells that new at a price, with what it takes"
                if sold < min(end, conductors.awg_rank(within))
                else f"no thicker wire goes under the terminals of a {device_a} A device, and no recipe splices pigtails"
            )
            detail += f": {within} AWG would drop {_percent(run.drop(within))}, but {why}"
    if size != awg:
        detail += f"; {awg} AWG would carry the current and drop {_percent(run.drop(awg))}"
    if within is not None and conductors.awg_rank(size) > conductors.awg_rank(within):
        detail += f"; {size} AWG is laid for a later load"
    note = "215.2 note" if run.load.wires_by is WiresBy.FEEDER else "210.19 note"
    source = f"{tables.cite(conductors.RESISTANCE)}; NFPA 70 {note} (advice, not a rule)"
    return size, share, Reason(RuleOf.VOLTAGE_DROP, source, detail)


def _grounding(breaker_a: int, least_awg: str, awg: str) -> tuple[str, Reason]:
    """The grounding conductor, enlarged as the circuit's wires were (250.122(B)), never thicker than they."""
    base = conductors.grounding_conductor_awg(breaker_a)
    asked = Decimal(conductors.area_cmil(base)) * conductors.area_cmil(awg) / conductors.area_cmil(least_awg)
    enlarged = next((size for size in wire_sizes(Wiring.CONDUIT) if conductors.area_cmil(size) >= asked), awg)
    chosen = conductors.thinner(enlarged, awg)
    detail = f"{chosen} AWG for a breaker of {breaker_a} A"
    if conductors.awg_rank(chosen) < conductors.awg_rank(base):
        detail += (
            f": the table has {base} AWG, and it need not be thicker than the circuit's wires (250.122(A))"
        )
    if awg != least_awg:
        detail += f", enlarged in proportion as {least_awg} became {awg} AWG (250.122(B))"
    return chosen, Reason(RuleOf.GROUNDING_CONDUCTOR, tables.cite(conductors.GROUNDING), detail)


def _feet(length_ft: Decimal) -> str:
    return text(length_ft.quantize(Decimal("0.1")))


def _percent(share: Decimal) -> str:
    return f"{share * 100:.1f} %"
