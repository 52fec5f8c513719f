"""Which machines are powered by quoted ways, and which of them by nothing else."""

from costplan.model.quotes import QuotedWay
from costplan.model.shop import Machine, Shop


def quoted_ways_of(shop: Shop, machine: str) -> list[QuotedWay]:
    """The ways that are quoted for a machine, in the file's order."""
    return [way for way in shop.quoted_ways if way.machines is None or machine in way.machines]


def only_quoted(shop: Shop, machine: Machine) -> bool:
    """Whether a machine has nothing but quoted ways."""
    return not machine.ways.from_catalog and bool(quoted_ways_of(shop, machine.name))


def quotes_only(shop: Shop) -> bool:
    """Whether no machine of the shop, there or thought of, is powered from the catalog."""
    machines = [*shop.machines, *shop.next_machines]
    return bool(machines) and all(only_quoted(shop, machine) for machine in machines)
