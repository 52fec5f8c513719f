"""Heaters too large to be carried about: whether one may stay where it is, as far as a file says."""

from costplan.model.choices import LoadKind, Method
from costplan.model.shop import Machine

PORTABLE_HEATER_A = 20
"""Above so many amperes a heater is mostly a kiln or an oven that stays. A choice, no source."""


def heater_may_stay(machine: Machine) -> bool:
    """Whether it is a large heater without a cord today, of which nobody said whether it stays, nor asked for a cord."""
    said = "never_moves" in machine.model_fields_set or machine.ways.only is not None
    there = machine.now is not None and machine.now.method is Method.CORD
    large = machine.kind is LoadKind.HEATER and (machine.amps_a or 0) > PORTABLE_HEATER_A
    return large and not said and not there
