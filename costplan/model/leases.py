"""How long the first building of a scenario is kept, and when its fixed wiring comes out."""

from costplan.model.events import Scenario
from costplan.model.presence import presence
from costplan.model.shop import Shop


def stays_until(shop: Shop, scenario: Scenario) -> int:
    """The year in which the last machine is gone from the first building; the plan's last where one stays, 0 where none came.

    The shop is spelled out, and the scenario is one of its own.
    """
    moves = [year for year in scenario.shop_move_years if year < shop.years]
    last = 0
    for machine in shop.machines:
        there = presence(shop, machine, scenario)
        if there is not None:
            until = min([shop.years if there[1] is None else there[1], *moves])
            last = max(last, until) if there[0] < until else last
    return last


def lease_ends(shop: Shop, scenario: Scenario) -> int | None:
    """The year, after the plan perhaps, in which the first building's lease ends in a scenario; None where there is none.

    It is the year that the scenario says. Where it says none, a lease that ends while machines are still there counts as
    renewed until the last of them is gone. The shop is spelled out, and the scenario is one of its own.
    """
    lease = shop.building.lease
    if lease is None:
        return None
    if scenario.lease_ends_year is not None:
        return scenario.lease_ends_year
    return max(lease.ends_year, stays_until(shop, scenario))


def capped_comes_out(shop: Shop) -> bool:
    """Whether the landlord has runs taken out that were made safe in a year before and lie capped in the wall."""
    lease = shop.building.lease
    return lease is not None and lease.take_out and bool(lease.capped_too)


def wired_before(shop: Shop) -> bool:
    """Whether any machine has a circuit from before the plan."""
    return any(machine.now is not None for machine in shop.machines)


def there_comes_out(shop: Shop) -> bool:
    """Whether the landlord has circuits taken out that were there before the plan, and not only what it put in."""
    lease = shop.building.lease
    return lease is not None and lease.take_out and bool(lease.there_too)


def wiring_out(shop: Shop, scenario: Scenario) -> int | None:
    """The year in which the landlord has the first building's fixed wiring taken out; None for never within the plan.

    The shop is spelled out, and the scenario is one of its own.
    """
    lease, ends = shop.building.lease, lease_ends(shop, scenario)
    return ends if lease is not None and lease.take_out and ends is not None and ends <= shop.years else None
