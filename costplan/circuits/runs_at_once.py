"""What runs at once, asked where nobody said: all machines count as running, which few services carry."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.circuits.capacity import Capacity, line_amperes, system_of
from costplan.circuits.currents import load_current_a
from costplan.circuits.facts import Facts
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.supply import counted_va
from costplan.circuits.ways import load_of, panels_for
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.gear import SERVICE
from costplan.model.pair import Pair
from costplan.model.shop import Machine

NEAR = Decimal("0.5")
"""From which share of what is left of a rating it is asked what runs at once, since what is left for more turns on it; a
choice, no source."""


def asked_what_runs_at_once(pair: Pair, facts: Facts) -> Iterator[Problem]:
    """A question of `check` about each service or panel rating that all machines together come near to, or pass."""
    shop = pair.shop
    service = shop.service
    if service is not None and (service.at_once or service.at_most):
        return
    capacity = Capacity(facts)
    marks: dict[str, Trail] = {SERVICE: ("service", "amps")}
    marks |= {panel.name: ("panels", index, "rating") for index, panel in enumerate(shop.panels)}
    for name, trail in marks.items():
        limit = capacity.limits.get(name)
        if limit is None:
            continue
        behind = [
            machine
            for where, machine in pair.machines()
            if where[0] == "machines" and _behind(pair, machine, name)
        ]
        sum_va = _sum_va(behind)
        if len(behind) < 2 or sum_va < limit.free_va * NEAR:
            continue
        system = system_of(facts, name)
        together_a, left_a = line_amperes(system, int(sum_va)), line_amperes(system, limit.free_va)
        message = (
            f"leaves {left_a:.1f} A, and the {len(behind)} machines that hang on it count for {together_a:.1f} A all at once; "
            "nothing says which ones run together"
        )
        promised = "service: at_once or at_most, or " if service is not None else ""
        mend = f"as it stands, all of them count as running; write {promised}takes_turns: at those that never run together"
        yield pair.in_shop("runs-at-once", trail, message, mend, question=True)


def _behind(pair: Pair, machine: Machine, limit: str) -> bool:
    """Whether a machine of today hangs on a limit whatever way it gets, and is not in its measured peak already."""
    if not machine.volts or machine.arrives:
        return False
    service = pair.shop.service
    if limit == SERVICE:
        measured = service is not None and service.measured_peak is not None
        return not (measured and machine.in_measured_peak)
    return panels_for(pair.shop.panels, load_of(machine)) == [limit]


def _sum_va(machines: list[Machine]) -> Decimal:
    """Volt-amperes of all of them, of those that take turns the largest; what has no known current counts as none.

    What is continuous counts at 125 % (NFPA 70 215.2(A)(1), 230.42(A)(1)), as it does in a plan.
    """
    alone, turns = Decimal(0), dict[str, Decimal]()
    for machine in machines:
        load = load_of(machine)
        try:
            drawn_va = counted_va(load, load, load_current_a(load)[0])
        except (CannotSizeError, LookupError):
            continue
        if machine.takes_turns is None:
            alone += drawn_va * machine.count
        else:
            turns[machine.takes_turns] = max(drawn_va, turns.get(machine.takes_turns, Decimal(0)))
    return alone + sum(turns.values())
