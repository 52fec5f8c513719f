"""The wire of a circuit: what it must carry, the thinnest size that does, and what its breaker may then be."""

from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.breaker import Protection
from costplan.circuits.currents import text
from costplan.circuits.size_types import CannotSizeError, Load, Reason, RuleOf, Rules, Wiring
from costplan.model.installed import SMALLEST_AWG
from costplan.standards import conductors, overcurrent, tables, welders
from costplan.standards.cords import CORD_AMPACITY, cord_ampacity_a, cord_sizes

FROM_MEMORY = "; from memory, not confirmed"
_SMALL_CIRCUIT_A = 100


@dataclass(frozen=True, slots=True)
class Conductor:
    """The wire that the current alone asks for, and the largest breaker it may have, None where that is the motor's alone."""

    awg: str
    protection_a: int | None
    reason: Reason


@dataclass(frozen=True, slots=True)
class Alone:
    """A circuit that nothing else may go on, so that its breaker may be above what protects its wire (NFPA 70 240.4(G)).

    `times` is how often a welder's wire carries what its breaker may have (630.12(B), 630.32(B)), None for a motor, whose
    overload device protects its wire (430.32); `breaker_a` is the breaker that it has.
    """

    times: Decimal | None
    breaker_a: int
    source: str

    def protection_a(self, ampacity_a: Decimal) -> int:
        """The largest breaker that a wire of an ampacity may have, in amperes; without a bound of its own, that breaker."""
        if self.times is None:
            return self.breaker_a
        return overcurrent.next_standard_size_a(ampacity_a * self.times)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a wire must carry, how it runs, and the temperature column that its terminals allow."""

    wiring: Wiring
    carrying: int
    least_a: Decimal
    ambient_c: Decimal
    column_c: int
    why_column: str
    alone: "Alone | None" = None
    """Where nothing but one motor or one welder is on it: what its breaker may then be."""

    def ampacity_a(self, awg: str) -> Decimal:
        """What a wire of that size carries here."""
        if self.wiring is Wiring.CORD:
            cool = min(Decimal(1), conductors.ambient_factor(self.ambient_c, 60))
            return cord_ampacity_a(awg, self.carrying) * cool
        warm_a = conductors.building_wire_ampacity_a(awg, 90) * conductors.ambient_factor(self.ambient_c, 90)
        return min(warm_a, Decimal(conductors.building_wire_ampacity_a(awg, self.column_c)))

    def protection_a(self, awg: str) -> int:
        """The largest breaker that protects it: for cord not above its ampacity, else the next size up."""
        ampacity_a = self.ampacity_a(awg)
        if self.wiring is Wiring.CORD:
            return max((size for size in overcurrent.standard_sizes_a() if size <= ampacity_a), default=0)
        return overcurrent.largest_breaker_a(awg, ampacity_a)

    def thinnest(self, class_a: int) -> str | None:
        """The thinnest size that carries what is asked and suits a breaker of `class_a`; None when none does."""
        return next(
            (
                awg
                for awg in wire_sizes(self.wiring)
                if self.ampacity_a(awg) >= self.least_a
                and self.protection_a(awg) >= class_a
                and (
                    self.alone is None
                    or self.alone.protection_a(self.ampacity_a(awg)) >= self.alone.breaker_a
                )
            ),
            None,
        )


def current_carrying(load: Load) -> int:
    """Conductors that carry current: a neutral counts only beside two lines of a wye (NFPA 70 400.5(A))."""
    return 3 if load.phases == 3 or (load.neutral and load.volts in (208, 480)) else 2


def temperature_column(load: Load, wiring: Wiring, rules: Rules, ampacity_a: Decimal) -> tuple[int, str]:
    """The temperature column of Table 310.16 that holds, in degrees C, and why."""
    unmarked_c = conductors.terminal_column_c()
    if wiring is Wiring.CABLE:
        return conductors.terminal_column_c("nonmetallic cable"), "as 334.80 has it"
    if ampacity_a > _SMALL_CIRCUIT_A:
        return conductors.terminal_column_c("over 100 A"), "since it carries more than 100 A"
    marked_c = load.terminals_c or rules.terminals_c
    return (
        marked_c,
        "since 75 C terminals are not known" if marked_c == unmarked_c else "as its terminals are marked",
    )


def thinnest_conductor(asked: Asked, class_a: int) -> Conductor:
    """The wire that is asked for. Raises CannotSizeError."""
    awg = asked.thinnest(class_a)
    if awg is not None:
        alone, ampacity_a = asked.alone, asked.ampacity_a(awg)
        protection_a = asked.protection_a(awg) if alone is None else alone.protection_a(ampacity_a)
        no_bound = alone is not None and alone.times is None
        reason = _conductor_reason(asked, awg, class_a)
        return Conductor(awg, None if no_bound else protection_a, reason)
    thickest = wire_sizes(asked.wiring)[-1]
    other = {
        Wiring.CORD: "power it by fixed wiring, or by portable power cable, which is not sized here",
        Wiring.CABLE: "use wire in conduit or armored cable",
    }.get(asked.wiring, "have it designed")
    most_a, why = asked.ampacity_a(thickest), _ampacity_source(asked.wiring)
    ends = f"the thickest here, {thickest} AWG, carries {text(most_a)} A at {text(asked.ambient_c)} C ({why})"
    if most_a < asked.least_a:
        needs = f"its wires must carry {text(asked.least_a)} A, and no {asked.wiring} does"
    else:
        needs = f"its breaker is {class_a} A, and no {asked.wiring} may have one so large"
    raise CannotSizeError(f"{needs}: {ends}; {other}")


def _ampacity_source(wiring: Wiring) -> str:
    if wiring is Wiring.CORD:
        return tables.cite(CORD_AMPACITY)
    also = "; 334.80" if wiring is Wiring.CABLE else ""
    return f"{tables.cite(conductors.BUILDING_WIRE)}; 110.14(C){also}"


def _conductor_reason(asked: Asked, awg: str, class_a: int) -> Reason:
    memory = False
    if asked.wiring is Wiring.CORD:
        column = f"{asked.carrying} current-carrying conductors, protected at its ampacity (240.5)"
        memory = tables.look_up(CORD_AMPACITY, {"awg": awg}, "confirmation") == "from memory"
    else:
        column = f"{asked.column_c} C column, {asked.why_column}; 90 C wire corrected from its own column"
    suits = f"suits a {class_a} A breaker" if asked.alone is None else _suits_alone(asked.alone, asked, awg)
    detail = f"{awg} AWG copper carries {text(asked.ampacity_a(awg))} A at {text(asked.ambient_c)} C ({column}) and {suits}"
    source = f"{_ampacity_source(asked.wiring)}; {tables.cite(conductors.AMBIENT)}"
    return Reason(RuleOf.CONDUCTOR, source, detail + (FROM_MEMORY if memory else ""))


def _suits_alone(alone: Alone, asked: Asked, awg: str) -> str:
    """Why a wire that a motor or a welder has to itself suits its breaker."""
    if alone.times is None:
        return "the motor's overload device protects it (240.4(G), 430.32)"
    most_a = alone.protection_a(asked.ampacity_a(awg))
    return (
        f"its breaker may be {text(alone.times * 100)} % of that or the next size, {most_a} A, for this welder alone "
        f"({alone.source}, 240.4(G))"
    )


def alone_on_it(asked: Asked, load: Load, breaker_a: int) -> Asked:
    """What is asked of a wire that nothing but a motor or a welder is on."""
    if not load.kind.welds:
        return replace(asked, alone=Alone(None, breaker_a, ""))
    resistance = load.kind.resistance
    times = welders.largest_on_wire_factor(resistance=resistance)
    return replace(asked, alone=Alone(times, breaker_a, welders.cite_rule("wire", resistance=resistance)))


def largest_kept_a(protected: Protection, load: Load, asked: Asked, awg: str) -> int | None:
    """The largest breaker of a circuit that is there, where that is not the largest of one made anew."""
    kept_a, alone = protected.kept_at_most_a, alone_on_it(asked, load, protected.breaker_a).alone
    if kept_a is None or not load.arc_behind_its_plug or alone is None or asked.wiring is Wiring.CORD:
        return kept_a
    return max(protected.breaker_a, min(kept_a, alone.protection_a(asked.ampacity_a(awg))))


def outlet_of_a_welder(asked: Asked, load: Load, protected: Protection, awg: str) -> tuple[Reason, ...]:
    """Why an outlet for a welder has thicker wire than the welder alone asks for."""
    if not (load.kind.welds and protected.class_a) or asked.wiring is Wiring.CORD:
        return ()
    alone = alone_on_it(asked, load, protected.breaker_a)
    thin = alone.thinnest(0)
    if thin is None or alone.alone is None or conductors.awg_rank(thin) >= conductors.awg_rank(awg):
        return ()
    detail = (
        f"{awg} AWG, though {alone.alone.source} would allow {thin} AWG for this welder alone: anything may be plugged into "
        "an outlet, so its wire suits its breaker; ask before you pull less, and label it"
    )
    return (Reason(RuleOf.WIRE_OF_ITS_OUTLET, f"{alone.alone.source}; common practice, no source", detail),)


def largest_on_welders_wire_a(load: Load, awg: str, column_c: int | None = None) -> int:
    """The largest breaker that a wire which is there may have where nothing but the load is on it, 0 where it is no welder.

    At 30 C and by a column of Table 310.16, that of unknown terminals unless said. Raises LookupError.
    Source: NFPA 70 630.12(B), 630.32(B), 240.4(G), 110.14(C).
    """
    if not load.kind.welds:
        return 0
    ampacity_a = conductors.building_wire_ampacity_a(awg, column_c or conductors.terminal_column_c())
    times = welders.largest_on_wire_factor(resistance=load.kind.resistance)
    return overcurrent.next_standard_size_a(ampacity_a * times)


def wire_sizes(wiring: Wiring) -> tuple[str, ...]:
    """The sizes that a wiring is made in, from thin to thick, from the thinnest of a branch circuit on."""
    sizes = {
        Wiring.CABLE: conductors.nonmetallic_cable_sizes,
        Wiring.CORD: cord_sizes,
    }.get(wiring, conductors.building_wire_sizes)()
    smallest = conductors.awg_rank(SMALLEST_AWG)
    return tuple(awg for awg in sizes if conductors.awg_rank(awg) >= smallest)
