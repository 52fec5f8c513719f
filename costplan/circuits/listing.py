"""Whether a motor's circuit turns on the listing of its machine, by which amperes rule beside horsepower."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from costplan.circuits.currents import load_current_a, text
from costplan.circuits.heavier import sized
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Rules, Wiring
from costplan.circuits.volts import best_fed
from costplan.model.choices import Family
from costplan.model.shop import Panel
from costplan.standards import motors

LISTING = "NFPA 70 430.6(A)(1) Exception No. 3, from memory"


def turns_on_listing(load: Load, rules: Rules) -> str:
    """The circuit of a machine at a panel's volts if it is listed, and if not, in words; empty where that changes nothing.

    Only amperes marked on a listed appliance rule beside its horsepower (NFPA 70 430.6(A)(1) Exception No. 3, from memory);
    any other motor goes by the table, whatever plug it came with. The run is short, so that only the current counts.
    """
    if load.listed is not None or load.plug is None or load.hp is None or not load.motor or load.worked_from:
        return ""
    try:
        table_a = load_current_a(replace(load, amps_a=None, plug=None))[0]
    except CannotSizeError:
        return ""
    if load.amps_a is not None and table_a >= load.amps_a * motors.FAR_APART:
        return ""  # a peak, no rating, which is asked about as such
    listed, other = (_sized_if(load, rules, listed=listed) for listed in (True, False))
    if (
        listed is not None
        and other is not None
        and (listed.breaker_a, listed.awg) == (other.breaker_a, other.awg)
    ):
        return ""
    return "" if listed is other else f"{_words(listed)} if it is listed, {_words(other)} if not"


def at_a_panel(panels: Iterable[Panel], load: Load) -> Load | None:
    """The load as the first panel that can feed it does; None where none can."""
    return next((fed.load for _, fed in best_fed(panels, load) if fed.load is not None), None)


def _sized_if(load: Load, rules: Rules, *, listed: bool) -> CircuitSize | None:
    try:
        return sized(replace(load, listed=listed), Wiring.CONDUIT, str(Family.STRAIGHT), Decimal(0), rules)
    except CannotSizeError:
        return None


def _words(size: CircuitSize | None) -> str:
    if size is None:
        return "no outlet that takes its plug"
    return f"{size.breaker_a} A on {size.awg} AWG for {text(size.minimum_ampacity_a)} A"
