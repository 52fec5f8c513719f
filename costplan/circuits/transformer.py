"""A buck-boost transformer at the machine, where the panel's volts are not its plate's."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.breaker import protection
from costplan.circuits.currents import load_current_a, minimum_ampacity_a, text
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Attribute, Spec, make_spec
from costplan.circuits.size_types import NO_FIT, CannotSizeError, Load
from costplan.model.catalog import Part
from costplan.model.choices import TRANSFORMER, LoadKind
from costplan.model.installed import SMALLEST_CIRCUIT_A
from costplan.model.plate_figures import PlateRating, rounded_a
from costplan.standards.loads import autotransformer_breaker_a
from costplan.standards.motor_frames import transformer_tolerance
from costplan.standards.overcurrent import next_standard_size_a


@dataclass(frozen=True, slots=True)
class Transformed:
    """The transformer, and the load that it and its machine are to the circuit that feeds them."""

    spec: Spec
    load: Load


def transformed(facts: Facts, load: Load, known: PlateRating, volts: int) -> Transformed:
    """A transformer from a panel's `volts` to about the plate's. Raises CannotSizeError.

    Connected as an autotransformer: its series winding adds or takes `boost_v`, and its own kVA is that winding's volts
    times the machine's current (common practice; NFPA 70 210.9 Exception 1 and 450.4, from memory). The breaker ahead of it
    goes by its own rating (450.4(A)), so a load that asks for a larger breaker takes a larger transformer where one is sold.
    """
    if load.phases == 3:
        raise CannotSizeError(
            f"from {volts} V three-phase it takes two or three transformers, which are not sized here: ask for a quote"
        )
    if load.neutral:
        raise CannotSizeError(
            "it needs a neutral, which a buck-boost transformer does not give: ask its maker"
        )
    at_plate = replace(load, volts=known.volts, amps_a=known.amps_a, rated=(), plug=None)
    current_a = load_current_a(at_plate)[0]
    parts = [part for part in facts.parts_by_kind.get(TRANSFORMER, ()) if _suits(part, known, volts)]
    if not parts:
        raise CannotSizeError(
            f"no buck-boost transformer in the catalog brings {volts} V near {text(known.plate_v)} V; add one of that kind "
            "with kva, winding_v and boost_v, and ask its price"
        )
    part = min(parts, key=lambda part: (abs(_output_v(part, volts, known) / known.plate_v - 1), part.id))
    ratio = _output_v(part, volts, known) / volts
    load_a = current_a * (ratio * volts / known.plate_v) if load.kind is LoadKind.HEATER else current_a
    kva = part.number("boost_v") * max(current_a, load_a) / 1000
    fed = replace(
        load,
        volts=volts,
        amps_a=rounded_a(load_a * ratio),
        effective_a=None if load.effective_a is None else rounded_a(load.effective_a * ratio),
        hp=None,
        plug=None,
        maker_breaker_a=None,
        breaker_at_most_a=None,
        rated=(),
        more=(),
        other_a=Decimal(0),
        fit=NO_FIT,
        least_heat=None,
    )
    alike: dict[str, Attribute] = {name: part.attributes[name] for name in ("winding_v", "boost_v", "phases")}
    made = _protected(parts, alike, kva, max(ratio, Decimal(1)), _wanted_a(facts, fed))
    said = (
        f"through a buck-boost transformer of at least {text(made.kva.quantize(Decimal('0.01')))} kVA, {volts} to "
        f"{ratio * volts:.0f} V: {text(load_a.quantize(Decimal('0.1')))} A at the machine; the breaker ahead of it at most "
        f"{made.breaker_a} A by its own rating (NEC 450.4(A), from memory)"
    )
    spec = make_spec(TRANSFORMER, alike, {"kva": made.kva})
    return Transformed(spec, replace(fed, breaker_at_most_a=made.breaker_a, fed_at=said))


@dataclass(frozen=True, slots=True)
class _Protected:
    """The least kVA of a transformer, and the largest breaker that may be ahead of it, in amperes."""

    kva: Decimal
    breaker_a: int


def _wanted_a(facts: Facts, load: Load) -> int:
    """The breaker that a load asks for, in amperes: a motor's as usual, so that it starts, any other's as small as it may be.

    Raises CannotSizeError.
    """
    try:
        current_a = load_current_a(load)[0]
        ampacity_a = minimum_ampacity_a(load, current_a)[0]
        if load.motor:
            return protection(load, current_a, ampacity_a, None, facts.rules, 0).breaker_a
        return next_standard_size_a(max(current_a, ampacity_a, Decimal(SMALLEST_CIRCUIT_A)))
    except LookupError as missing:
        raise CannotSizeError(str(missing.args[0])) from missing


def _protected(
    parts: Iterable[Part], alike: Mapping[str, Attribute], kva: Decimal, ratio: Decimal, wanted_a: int
) -> _Protected:
    """The smallest transformer sold, of at least `kva`, behind which the breaker wanted may be.

    Where none is so large, the smallest that carries the load. Its rated input is its series winding's current, times
    `ratio` where it raises the volts. Raises CannotSizeError.
    """

    def breaker_a(size: Decimal) -> int:
        try:
            return autotransformer_breaker_a(size * 1000 / Decimal(str(alike["boost_v"])) * ratio)
        except LookupError:
            return 0

    sold = (part for part in parts if all(part.attributes[name] == value for name, value in alike.items()))
    sizes = sorted(size for size in map(_kva, sold) if size >= kva) or [kva]
    able = [size for size in sizes if breaker_a(size) >= wanted_a]
    carrying = [size for size in sizes if breaker_a(size)]
    if not carrying:
        raise CannotSizeError(
            f"a transformer of {text(sizes[-1])} kVA may have no breaker of a standard size ahead of it (NFPA 70 450.4(A), "
            "from memory): add a larger one to the catalog"
        )
    chosen = (able or carrying)[0]
    return _Protected(kva if chosen == sizes[0] else chosen, breaker_a(chosen))


def _kva(part: Part) -> Decimal:
    return part.number("kva")


def _suits(part: Part, known: PlateRating, volts: int) -> bool:
    if not {"winding_v", "boost_v", "kva", "phases"} <= set(part.attributes) or part.number("phases") != 1:
        return False
    return abs(_output_v(part, volts, known) / known.plate_v - 1) <= transformer_tolerance()


def _output_v(part: Part, volts: int, known: PlateRating) -> Decimal:
    """The volts that it makes of the panel's: raised where the plate's are higher, else lowered."""
    ratio = 1 + part.number("boost_v") / part.number("winding_v")
    return volts * ratio if known.plate_v > volts else volts / ratio
