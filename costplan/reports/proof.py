"""What is said of plans whose search was not ended, on screens and on papers."""

from collections.abc import Sequence

from costplan.circuits.facts import Facts
from costplan.program.ranked import Ranked
from costplan.reports.words import title_today

NO_PROOF = "Not proven: time ran out; another run, and so shopping and scope, may list another plan."
NOT_PROVEN = (
    "NOT PROVEN, time ran out: another run or command may list another plan; keep to the papers of one run, or leave "
    "--time-limit out"
)
"""What a paper says of a plan whose search was not ended, so that no two papers differ in silence."""


def unproven_words(plans: Sequence[Ranked]) -> str:
    """What is said where the search for some of the plans was not ended: how far they are proven; empty where all are."""
    proven = next((place for place, plan in enumerate(plans) if not plan.proven), len(plans))
    if proven == len(plans):
        return ""
    if not proven:
        return NO_PROOF
    which = "Plan 1 is" if proven == 1 else f"Plans 1 {'and' if proven == 2 else 'to'} {proven} are"
    return f"{which} proven; time ran out for the plans after, so another run may list others there."


def title_of_paper(facts: Facts, plans: Sequence[Ranked], rank: int) -> str:
    """The title of today's work of the plan of that rank, ahead of it that the search for it was not ended."""
    title = title_today(facts, plans[rank - 1])
    return f"{NOT_PROVEN}; {title}" if unproven(plans, rank) else title


def unproven(plans: Sequence[Ranked], rank: int) -> bool:
    """Whether another run may come to another plan of that rank: the search for it, or for one above it, was not ended."""
    return not all(plan.proven for plan in plans[:rank])
