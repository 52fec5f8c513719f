"""The shop with one machine's fixed run in heavier wire than it needs; nobody writes it, `explain --bigger` asks it."""

from costplan.model.layouts import as_kind
from costplan.model.shop import Machine, Shop


class HeavierRun(Machine):
    """A machine whose fixed runs have wire of that size or heavier."""

    least_awg: str
    """The thinnest wire: `10`, `1/0`."""


def with_heavier_run(shop: Shop, name: str, awg: str) -> Shop:
    """The shop with that machine's runs in wire of that size or heavier, where it is sold. Pure."""
    machines = [
        as_kind(HeavierRun, machine, {"least_awg": awg}) if machine.name == name else machine
        for machine in shop.machines
    ]
    return shop.model_copy(update={"machines": machines})
