"""A buck-boost transformer at the machine, where the panel's volts are not its plate's."""

from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.currents import load_current_a, text
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Spec, make_spec
from costplan.circuits.size_types import NO_FIT, CannotSizeError, Load
from costplan.model.catalog import Part
from costplan.model.choices import TRANSFORMER, LoadKind
from costplan.model.plate_figures import PlateRating, rounded_a
from costplan.standards.motor_frames import transformer_tolerance


@dataclass(frozen=True, slots=True)
class Transformed:
    """The transformer, and the load that it and its machine are to the circuit that feeds them."""

    spec: Spec
    load: Load


def transformed(facts: Facts, load: Load, known: PlateRating, volts: int) -> Transformed:
    """A transformer from a panel's `volts` to about the plate's. Raises CannotSizeError.

    Connected as an autotransformer: its series winding adds or takes `boost_v`, and its own kVA is that winding's volts
    times the machine's current (common practice; NFPA 70 210.9 Exception 1 and 450.4, from memory).
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
    kva = _number(part, "boost_v") * max(current_a, load_a) / 1000
    said = (
        f"through a buck-boost transformer of at least {text(kva.quantize(Decimal('0.01')))} kVA, {volts} to "
        f"{ratio * volts:.0f} V: {text(load_a.quantize(Decimal('0.1')))} A at the machine"
    )
    spec = make_spec(
        TRANSFORMER,
        {name: part.attributes[name] for name in ("winding_v", "boost_v", "phases")},
        {"kva": kva},
    )
    fed = replace(
        load,
        volts=volts,
        amps_a=rounded_a(load_a * ratio),
        hp=None,
        plug=None,
        maker_breaker_a=None,
        breaker_at_most_a=None,
        rated=(),
        more=(),
        other_a=Decimal(0),
        fed_at=said,
        fit=NO_FIT,
        least_heat=None,
    )
    return Transformed(spec, fed)


def _suits(part: Part, known: PlateRating, volts: int) -> bool:
    if not {"winding_v", "boost_v", "kva", "phases"} <= set(part.attributes) or _number(part, "phases") != 1:
        return False
    return abs(_output_v(part, volts, known) / known.plate_v - 1) <= transformer_tolerance()


def _output_v(part: Part, volts: int, known: PlateRating) -> Decimal:
    """The volts that it makes of the panel's: raised where the plate's are higher, else lowered."""
    ratio = 1 + _number(part, "boost_v") / _number(part, "winding_v")
    return volts * ratio if known.plate_v > volts else volts / ratio


def _number(part: Part, attribute: str) -> Decimal:
    return Decimal(str(part.attributes[attribute]))
