"""A plan held as it is while prices change: what it costs then, without walking it again."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from costplan.circuits.needs import Need
from costplan.ledger.lines import present_value
from costplan.ledger.options import Chosen
from costplan.ledger.plan import Plan
from costplan.ledger.pricing import Pricer, When
from costplan.ledger.receipt import Asked, purchase_lines
from costplan.ledger.simulation import walk


@dataclass(frozen=True)
class HeldPlan:
    """A plan with what it buys: `asked` today, `later` by need and date, and all else that it costs, in cents of worth."""

    plan: Plan
    asked: Asked
    later: Mapping[tuple[Need, When], int]
    first: Pricer
    later_cents: Mapping[str, int]
    besides_cents: int

    @classmethod
    def of(cls, pricer: Pricer, plan: Plan, chosen: Sequence[Chosen]) -> "HeldPlan":
        """A plan walked once, at prices at which all of it can be had."""
        walked = walk(pricer.facts, pricer, plan, chosen)
        later: Counter[str] = Counter()
        for entry, count in walked.later.items():
            later[entry[0].spec.kind] += count * pricer.part_worth_cents(*entry)
        today = present_value(purchase_lines(pricer.facts, pricer, plan, walked.needed_by))
        besides = present_value(walked.lines) - today - later.total()
        return cls(plan, walked.needed_by, walked.later, pricer, later, besides)

    def cents(self, pricer: Pricer) -> int:
        """What it costs in a market `repriced` from the first, by the same hiring."""
        today = present_value(purchase_lines(pricer.facts, pricer, self.plan, self.asked))
        mine, its = self.first.market.deals, pricer.market.deals
        alike = {kind for kind in self.later_cents if mine.get(kind) is its.get(kind)}
        changed = (
            count * pricer.part_worth_cents(*entry)
            for entry, count in self.later.items()
            if entry[0].spec.kind not in alike
        )
        return self.besides_cents + today + sum(self.later_cents[kind] for kind in alike) + sum(changed)
