"""A built program: narrowed to fewer ways, freed of plans that are known, and read out of an answer."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from costplan.circuits.things import Made, PartKind
from costplan.circuits.ways import Way
from costplan.ledger.options import Option
from costplan.ledger.plan import Plan
from costplan.ledger.pricing import Pricer
from costplan.ledger.same_plan import other_from
from costplan.program.body import Body
from costplan.program.gear_rows import GearRows
from costplan.program.program import Program, Terms
from costplan.program.purchase import PurchaseRows
from costplan.program.relaxation import UNKNOWN_BOUND, Linear, Relaxation
from costplan.program.solver import Answer, Records, with_least
from costplan.program.visit_rows import VisitRows
from costplan.years.stream import Use

LESS_LIKED: Mapping[str, int] = {PartKind.CORD: 9, PartKind.PLUG: 1, PartKind.CONNECTOR: 1, Made.KIT: 1}
"""By kind, the weight against a piece of a cord that serves apart from the others, among plans that cost the same."""
GIVEN_UP = 2
"""The same for a circuit that a machine has and gives up: more than a plug's or a kit's, less than a cord's. A choice."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Choice:
    """A built program and how to read a plan out of an answer."""

    body: Body
    program: Program
    pricer: Pricer
    ways: Mapping[str, Mapping[Way, int]]
    """Those of the body that are left."""
    purchase: PurchaseRows
    gear: GearRows
    visits: VisitRows
    linear: Linear
    """The relaxations of this program and of all its copies."""
    records: Records
    """What the solver reads of this program and of all its copies."""

    def plan(self, answer: Answer) -> Plan:
        """The plan an answer stands for."""
        values, body = answer.values, self.body
        return Plan(
            {
                name: {way: values[i] for way, i in ways.items() if values[i]}
                for name, ways in self.ways.items()
            },
            self.pricer.hiring,
            self.purchase.bought(values),
            self.purchase.packs(values),
            tuple(replace(entry, count=values[i]) for i, entry in body.reuse.items() if values[i]),
            tuple(replace(entry, count=values[i]) for i, entry in body.lasting.items() if values[i]),
            tuple(replace(entry, saved=values[i]) for i, entry in body.shared.items() if values[i]),
            tuple(replace(entry, count=values[i]) for i, entry in body.whole_cords.items() if values[i]),
            self.gear.bought_in(values),
            self.visits.made(values),
        )

    def narrowed(self, options: Mapping[str, Iterable[Option]]) -> "Choice":
        """A choice among these options only, to be changed on its own; all others are closed."""
        other = self.copy()
        for machine, ways in self.ways.items():
            kept = {option.way for option in options[machine]}
            for way, index in ways.items():
                if way not in kept:
                    other.program.close(index)
        ways_kept = {
            machine: {option.way: self.ways[machine][option.way] for option in found}
            for machine, found in options.items()
        }
        return replace(other, ways=ways_kept)

    def floor(self) -> int:
        """A whole-cent lower bound on every plan, what was left out for lack of time included.

        What is cut off a cord serves where the whole of it could: where a cord serves any number of times, nothing is dearer.
        """
        loose = self.linear.relaxed(self.program.without(self.body.stock_rows or frozenset()))
        return UNKNOWN_BOUND if loose is None else loose.bound

    def relaxed(self) -> Relaxation | None:
        """The relaxation of the program as it is now."""
        return self.linear.relaxed(self.program)

    def copy(self) -> "Choice":
        """The same choice, to be changed on its own."""
        program = self.program.copy()
        return replace(self, program=program, purchase=self.purchase.on(program), gear=self.gear.on(program))

    def tidied(self, answer: Answer, relaxed: Relaxation | None) -> Answer:
        """An answer of the same cost in which no machine gives up what it has for nothing, and cords go whole."""
        pooled = [index for ways in self.ways.values() for way, index in ways.items() if way.pooled]
        kinds = {index: entry.use.thing.item.spec.kind for index, entry in self.body.reuse.items()}
        apart = {index: LESS_LIKED[kind] for index, kind in kinds.items() if kind in LESS_LIKED}
        taken_apart = {self.body.reuse[index].use for index in apart if answer.values[index]}
        if not self._whole_would_do(taken_apart) and not any(answer.values[index] for index in pooled):
            return answer
        rather_not = dict.fromkeys(pooled, GIVEN_UP) | apart
        found = with_least(self.program, rather_not, answer, relaxed, self.records)
        return answer if self.purchase.reels.unfit(found.values) else found

    def _whole_would_do(self, taken_apart: set[Use]) -> bool:
        """Whether pieces that serve apart could be one whole cord of just the length asked for."""
        return any(
            taken_apart.issuperset(entry.asked.pieces)
            and entry.cord.cable.length_ft == entry.asked.cable.thing.item.length_ft
            for entry in self.body.whole_cords.values()
        )

    def exclude(self, plan: Plan, *, more_gear: bool = False) -> tuple[int, ...]:
        """Rule out every plan that `repeats` this one (`ledger.same_plan`).

        more_gear: let a plan with the same ways and more gear be another one. Where machines come in groups, gives variables
        of which one must be 1: each stands for where a plan differs, in half of one strand, or in the single machines and
        the gear.
        """
        differs: Terms = {}
        single: Terms = {self.gear.ever(name): -1 for name in plan.gear_names}
        if more_gear:
            others = (i for i, bought in self.gear.bought.items() if bought.entry not in plan.gear_names)
            single |= dict.fromkeys(others, 1)
        for strand, ways in self.ways.items():
            kinds = plan.kinds[strand]
            by_kind: dict[str, list[int]] = defaultdict(list)
            for way, index in ways.items():
                by_kind[way.signature].append(index)
            moved: Terms = {}
            for kind, indices in by_kind.items():
                moved |= self._more_than(kinds[kind], indices, kinds.total())
            if kinds.total() == 1:
                single |= moved
            else:
                half = self.program.variable(f"half of {strand} another way")
                self.program.row(f"half of {strand} another way", moved | {half: -other_from(kinds)}, low=0)
                differs[half] = 1
        if not differs:
            self.program.row("another plan", single, low=1 - len(plan.gear_names))
            return ()
        if single:
            other = self.program.variable("another single machine or less gear")
            row = single | {other: -1}
            self.program.row("another single machine or less gear", row, low=-len(plan.gear_names))
            differs[other] = 1
        self.program.row("another plan", differs, low=1)
        return tuple(differs)

    def _more_than(self, there: int, indices: list[int], most: int) -> Terms:
        """An expression that never exceeds max(0, sum of variables - there), and can always be that.

        In textbooks a big-M lower bound: one more variable says whether the sum is any more, and M is what it can be more.
        """
        if not there:
            return dict.fromkeys(indices, 1)
        if there == most:
            return {}
        more = self.program.variable(f"more than {there} from {indices[0]}", most - there)
        any_more = self.program.variable(f"any more than {there} from {indices[0]}")
        self.program.row(
            f"more from {indices[0]}", {more: -1, any_more: -there} | dict.fromkeys(indices, 1), low=0
        )
        self.program.row(f"more from {indices[0]} only then", {more: -1, any_more: most - there}, low=0)
        return {more: 1}
