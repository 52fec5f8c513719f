"""The shop without the machines that no way can power, so that one of them hides no answer for the rest."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from costplan.model.layouts import as_kind
from costplan.model.shop import Machine, Shop


class LeftOut(Machine):
    """A machine that has no possible way: plans are made without it, and what it has today stays as it is."""

    reasons: tuple[str, ...] = ()
    """Why, each with the ways that it keeps from the machine."""


@dataclass(frozen=True, slots=True)
class Without:
    """A machine of the user's file that is in no figure, how many of it there are, and why."""

    machine: str
    count: int
    reasons: tuple[str, ...]


def without_machines(shop: Shop, reasons: Mapping[str, tuple[str, ...]]) -> Shop:
    """The shop with these machines, by the name the user wrote, marked as `LeftOut`. Pure.

    They stay in the list, so that turns and events of the others keep their places. Nothing of their circuits may serve
    others, and the poles those fill are not free.
    """
    machines = [
        as_kind(LeftOut, machine, {"reasons": reasons[machine.name], "now": None})
        if machine.name in reasons
        else machine
        for machine in shop.machines
    ]
    return shop.model_copy(update={"machines": machines})


def left_out_of(machines: Iterable[Machine]) -> tuple[Without, ...]:
    """The machines of a shop as the user wrote it that are left out."""
    return tuple(
        Without(machine.name, machine.count, machine.reasons)
        for machine in machines
        if isinstance(machine, LeftOut)
    )
