"""Which two plans a person calls the same: by the kinds of ways of their machines, `Way.signature`, and by their gear.

A machine is `changed` where anything about its kinds of ways differs, be it one of a group. A plan `repeats` another while
no single machine, and less than half of any strand of a group, has another kind of way. So a plan that repeats another may
still have changed machines; a plan without changed machines repeats every plan whose gear it has.
"""

from collections import Counter

from costplan.ledger.plan import Plan


def changed_machines(plan: Plan, other: Plan) -> set[str]:
    """Strands of which any machine, be it one of many, has another kind of way in the other plan."""
    theirs = other.kinds
    return {strand for strand, kinds in plan.kinds.items() if kinds != theirs[strand]}


def repeats(plan: Plan, other: Plan) -> bool:
    """Whether a plan is the other one over again, perhaps with gear added that the other does without.

    It is not when a single machine, or at least half of a strand of a group, has another kind of way: see `other_from`.
    """
    theirs = other.kinds
    return other.gear_names <= plan.gear_names and all(
        (kinds - theirs[strand]).total() < other_from(kinds) for strand, kinds in plan.kinds.items()
    )


def other_from(kinds: Counter[str]) -> int:
    """How many machines of a strand must have another kind of way for a plan to be another one: half, rounded up."""
    return (kinds.total() + 1) // 2
