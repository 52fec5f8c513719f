"""A built program: narrowed to fewer ways, freed of plans that are known, and read out of an answer."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from costplan.circuits.ways import Way
from costplan.plans.gear_rows import GearRows
from costplan.plans.options import Option
from costplan.plans.plan import Lasting, Plan, Reused, Shared, Visits, WholeCordUsed
from costplan.plans.pricing import Pricer, When
from costplan.plans.program import Program, Terms
from costplan.plans.purchase import PurchaseRows
from costplan.plans.solver import Answer
from costplan.years.stream import Trip


@dataclass(frozen=True)
class Choice:
    """A built program and how to read a plan out of an answer."""

    program: Program
    pricer: Pricer
    ways: Mapping[str, Mapping[Way, int]]
    reuse: Mapping[int, Reused]
    lasting: Mapping[int, Lasting]
    shared: Mapping[int, Shared]
    purchase: PurchaseRows
    outlay: Mapping[int, int]
    gear: GearRows
    whole: Mapping[int, WholeCordUsed]
    visits: Mapping[Trip, Mapping[When, tuple[int, int | None]]]

    def plan(self, answer: Answer) -> Plan:
        """The plan an answer stands for."""
        values = answer.values
        return Plan(
            {
                name: {way: values[i] for way, i in ways.items() if values[i]}
                for name, ways in self.ways.items()
            },
            self.pricer.hiring,
            self.purchase.bought(values),
            self.purchase.packs(values),
            tuple(replace(entry, count=values[i]) for i, entry in self.reuse.items() if values[i]),
            tuple(replace(entry, count=values[i]) for i, entry in self.lasting.items() if values[i]),
            tuple(replace(entry, saved=values[i]) for i, entry in self.shared.items() if values[i]),
            tuple(replace(entry, count=values[i]) for i, entry in self.whole.items() if values[i]),
            self.gear.put_in(values),
            tuple(
                Visits(
                    when.scenario, when.year, trip, values[visit], values[permit] if permit is not None else 0
                )
                for trip, dated in self.visits.items()
                for when, (visit, permit) in dated.items()
                if values[visit]
            ),
        )

    def narrowed(self, options: Mapping[str, Iterable[Option]]) -> "Choice":
        """A choice among these options only, to be changed on its own; all others are closed."""
        program = self.program.copy()
        for machine, ways in self.ways.items():
            kept = {option.way for option in options[machine]}
            for way, index in ways.items():
                if way not in kept:
                    program.close(index)
        purchase, gear = self.purchase.on(program), self.gear.on(program)
        ways_kept = {
            machine: {option.way: self.ways[machine][option.way] for option in found}
            for machine, found in options.items()
        }
        return replace(self, program=program, ways=ways_kept, purchase=purchase, gear=gear)

    def exclude(self, plan: Plan) -> None:
        """Rule out every plan a person would call the same."""
        same: Terms = {}
        most = 0
        for machine, ways in self.ways.items():
            chosen = {way.signature for way, count in plan.ways[machine].items() if count}
            by_signature: dict[str, list[int]] = defaultdict(list)
            for way, index in ways.items():
                by_signature[way.signature].append(index)
            alone = all(self.program.variables[index].high == 1 for index in ways.values())
            for signature, indices in by_signature.items():
                if signature in chosen:
                    most += 1
                    same |= dict.fromkeys(indices, 1) if alone else {self.gear.any_of(indices): 1}
                elif not alone:
                    same[self.gear.any_of(indices)] = -1
        for name in plan.gear_names:
            same[self.gear.ever(name)] = 1
            most += 1
        self.program.row("another plan", same, high=most - 1)
