"""From when to when a machine is in the shop, in one scenario."""

from costplan.model.events import Scenario
from costplan.model.layouts import TakenAway
from costplan.model.shop import Machine, Shop


def presence(shop: Shop, machine: Machine, scenario: Scenario) -> tuple[int, int | None] | None:
    """The years from which and to which a machine is there, to None for the plan's end; None when it never is.

    One that is taken away today is there from 0 to 0. The shop is spelled out, and the scenario is one of its own.
    """
    if isinstance(machine, TakenAway):
        return 0, 0
    mine = [event for event in scenario.events if event.machine == machine.name]
    arrival = next((event for event in mine if event.arrives), None)
    others = (event for other in shop.scenarios for event in other.events)
    if arrival is None and any(event.arrives and event.machine == machine.name for event in others):
        return None
    arrives = arrival.year if arrival is not None else machine.arrives
    going = [event.year for event in mine if event.leaves and event.year < shop.years]
    leaves = min([*going, *([machine.leaves] if machine.leaves is not None else [])], default=None)
    if arrives >= max(shop.years, 1) or (leaves is not None and leaves <= arrives):
        return None
    return arrives, leaves if leaves is not None and leaves < shop.years else None
