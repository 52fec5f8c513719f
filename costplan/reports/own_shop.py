"""What today's work takes of the shop's own: off the shelf, and from one machine for another."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.plans.holding import written
from costplan.plans.ranking import Ranked
from costplan.plans.steps import Act, Step
from costplan.reports.before_after import circuit_words
from costplan.reports.kept import piece
from costplan.reports.there import There

ENDS = ("plug", "connector")
LEFT = (Act.MAKE_SAFE, Act.LEAVE_LIVE, Act.BACK_TO_SHELF)
FROM_YOUR_OWN = "From your own shop"
OWN_NOTE = "nothing of it is bought; what is cut you cut yourself"
SHELF = "the shelf"
OWN_HEADERS = ("qty", "what", "from", "for", "cut to", "left over")


@dataclass(frozen=True, slots=True)
class OwnThing:
    """So many things of the shop's own that go elsewhere today; feet are 0 where nothing is cut."""

    count: int
    what: str
    source: str
    machine: str
    cut_to_ft: int = 0
    offcut_ft: int = 0

    @property
    def cells(self) -> tuple[str, str, str, str, str, str]:
        """It in words, in the order of the headers."""
        cut = f"{self.cut_to_ft} ft" if self.cut_to_ft else ""
        left = f"{self.offcut_ft} ft" if self.offcut_ft else ""
        return str(self.count), self.what, self.source, self.machine, cut, left


def own_things(facts: Facts, ranked: Ranked) -> tuple[OwnThing, ...]:
    """What to take and where from, off the shelf first; what is only kept, and outlets, which stay, are left out."""
    there = There(facts, ranked)
    keeps_cable = {step.machine for step in ranked.steps if step.kind == "cord" and step.act is Act.KEEP}
    counts: Counter[OwnThing] = Counter()
    for step in ranked.steps:
        if _taken(step, step.machine in keeps_cable):
            whose = step.source == step.machine
            source = SHELF if step.act is Act.TAKE_FROM_SHELF else _source(facts, step)
            what = _what(there, step)
            mine = written(facts, step.machine)
            cut = (step.cut_to_ft, step.offcut_ft) if not whose else (0, 0)
            counts[OwnThing(1, what, source, mine, *cut)] += 1
    found = [
        OwnThing(count, thing.what, thing.source, thing.machine, thing.cut_to_ft, thing.offcut_ft)
        for thing, count in counts.items()
    ]
    return tuple(
        sorted(found, key=lambda thing: (thing.source != SHELF, thing.source, thing.machine, thing.what))
    )


def _taken(step: Step, keeps_cable: bool) -> bool:
    """Whether a step takes a thing from one place to another."""
    if step.act in LEFT or step.act in (Act.BUY, Act.SHARE) or "outlet" in step.kind:
        return False
    if step.act is not Act.KEEP:
        return True
    # An own end goes elsewhere only with another cable, an own breaker only into another run.
    return step.run is not None or (step.kind in ENDS and not keeps_cable)


def _source(facts: Facts, step: Step) -> str:
    out = f"{circuit_words(step.out_of)}" if step.out_of is not None else ""
    if step.source == step.machine:
        return out or "its old cord"
    return out or written(facts, step.source)


def _what(there: There, step: Step) -> str:
    if step.kind == "breaker":
        poles = dict(step.item.spec.equal)["poles"]
        return f"breaker, {poles}-pole {there.rating_a(step, 0)} A"
    if step.whole:
        return f"{piece(step.item)}, whole, {'as it hangs' if step.source else 'with its ends'}"
    return "overhead kit" if step.kind == "kit" else piece(step.item)


def off_the_shelf(ranked: Ranked) -> Iterable[tuple[str, int]]:
    """What the shelf gives today, in words, with how many."""
    taken = (step for step in ranked.steps if step.act is Act.TAKE_FROM_SHELF)
    counts = Counter(piece(step.item) for step in taken if "outlet" not in step.kind)
    return sorted(counts.items())
