"""The wire a run is bought with: as heavy as the advice on voltage drop asks for, where that is sold."""

from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal
from functools import cache, partial

from costplan.circuits.currents import currents, text
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle
from costplan.circuits.run_parts import CABLE_KIND, conduit_size, wiring_needs
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Reason, RuleOf, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.wire_on_offer import as_heavy_as_sold, cord_on_offer, need_on_offer, part_on_offer
from costplan.model.catalog import PIGTAILS
from costplan.model.heavier_run import HeavierRun
from costplan.model.shop import Machine
from costplan.standards import overcurrent

LEAST_START = Decimal("1.5")
"""The share of its current with which the breaker of a motor lets it start as a rule; common practice, no source."""

sized = cache(size_circuit)
"""Sizing is pure and asked the same question for every way, so its answers are remembered."""


def rules_of(rules: Rules, machine: Machine) -> Rules:
    """A place's rules, with the machine's own advice on voltage drop where it has one."""
    limit = machine.drop_limit
    return rules if limit is None else replace(rules, drop_limit=limit)


@dataclass(frozen=True, slots=True)
class RunAsked:
    """A fixed run as it is asked for: `bought_ft` of it are bought, None where a quote has it.

    `at_receptacle` and `least_awg` as for `size_circuit`.
    """

    facts: Facts
    machine: Machine
    load: Load
    wiring: Wiring
    family: str | None
    route_ft: Decimal
    bought_ft: int | None
    at_receptacle: bool
    least_awg: str = ""

    def sized(self, rules: Rules) -> CircuitSize:
        """Its circuit. Raises CannotSizeError.

        Its wire is the thinnest within the advice on voltage drop that somebody sells new at a price, with the pigtails that
        it takes; else the heaviest below that; the one that the current asks for is always allowed. A hard-wired motor's
        breaker may be smaller than by habit, as `_with_ground_on_offer` says.
        """
        size = self.size(rules)
        if self.family is not None or not self.load.motor or self.bought_ft is None:
            return size
        return _with_ground_on_offer(self, rules, size) if self.wiring in CABLE_KIND else size

    def size(self, rules: Rules) -> CircuitSize:
        """Its circuit by these rules, with the breaker of habit. Raises CannotSizeError."""
        wished = self.machine.least_awg if isinstance(self.machine, HeavierRun) else self.least_awg
        by_rules = partial(
            sized,
            self.load,
            self.wiring,
            self.family,
            self.route_ft,
            rules,
            at_receptacle=self.at_receptacle,
            least_awg=wished,
            pigtails=self.bought_ft is not None and self.facts.has_recipe(PIGTAILS, self.machine),
        )
        return as_heavy_as_sold(by_rules, self._sold)

    def _sold(self, size: CircuitSize) -> bool:
        if self.bought_ft is None:
            return True
        try:
            trade = conduit_size(size) if self.wiring is Wiring.CONDUIT else ""
        except CannotSizeError:
            return False
        needs = wiring_needs(self.facts, self.wiring, size, self.bought_ft, trade)
        needs = (*needs, *pigtails(self.facts, self.machine, size).needs)
        return all(need_on_offer(self.facts, need) for need in needs)

    def cable_on_offer(self, size: CircuitSize) -> bool:
        """Whether somebody sells a cable of just its wire with its ground."""
        (need,) = wiring_needs(self.facts, self.wiring, size, self.bought_ft or 0, "")
        known = self.facts.parts_meeting(need.spec)
        parts = [part for part in known if part.attributes.get("awg") == size.awg]
        return any(part_on_offer(self.facts, part.id, need.length_ft) for part in parts)


def _with_ground_on_offer(run: RunAsked, rules: Rules, size: CircuitSize) -> CircuitSize:
    """The circuit of a hard-wired motor, with the next smaller breaker whose ground a cable of its wire has on offer.

    Only where the usual margin for starting, which no shop file states, makes the breaker so large that no cable of its wire
    has the ground (NFPA 70 Table 250.122), and only down to `LEAST_START` of the motor's current, with which it starts as a
    rule (common practice, no source).
    """
    if "starting_margin" in run.facts.shop.code.model_fields_set or run.cable_on_offer(size):
        return size
    known = currents(run.load)
    for smaller_a in reversed([each for each in overcurrent.usual_sizes_a() if each < size.breaker_a]):
        margin = ((smaller_a - known.rest_a) / known.largest_a).quantize(Decimal("0.001"), ROUND_FLOOR)
        if margin < min(LEAST_START, rules.starting_margin):
            break
        other = run.size(replace(rules, starting_margin=margin))
        if other.breaker_a < size.breaker_a and run.cable_on_offer(other):
            detail = (
                f"{other.breaker_a} A in place of {size.breaker_a} A, which is {text(rules.starting_margin * 100)} % by "
                f"habit and asks for a ground of {size.grounding_awg} AWG that no cable of {size.awg} AWG on offer has; "
                f"{text(margin * 100)} % starts it as a rule, and one that starts loaded is asked about"
            )
            source = "common practice, no source; NFPA 70 430.52(C)(1), Table 250.122"
            return other.with_reason(Reason(RuleOf.SMALLER_BREAKER, source, detail))
    return size


def size_of_cord(
    facts: Facts,
    load: Load,
    family: str | None,
    rules: Rules,
    drop_ft: Decimal,
    least_a: int,
    cord_ft: int,
    least_awg: str = "",
) -> CircuitSize:
    """The circuit of a flexible cord of `cord_ft`, the drop counted over `drop_ft`; `least_awg` as for `size_circuit`.

    Raises CannotSizeError.
    """
    by_rules = partial(sized, load, Wiring.CORD, family, drop_ft, rules, least_a, least_awg=least_awg)
    return as_heavy_as_sold(by_rules, lambda size: cord_on_offer(facts, size, cord_ft))


def pigtails(facts: Facts, machine: Machine, size: CircuitSize) -> Bundle:
    """What splicing a run to thinner pigtails takes, at each end that does not take its wire."""
    bundle = Bundle()
    for _ in range(size.pigtails):
        bundle = bundle + facts.expanded(PIGTAILS, machine, size=size)
    return bundle
