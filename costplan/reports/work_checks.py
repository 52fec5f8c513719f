"""Today's work that makes sure: what is looked at before a run serves otherwise, idle outlets verified, cords tested."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace

from costplan.circuits.needs import Item
from costplan.reports.conversion import HOT_SPARED, IN_CONDUIT, NEUTRAL_SPARED, Conductor, conductors
from costplan.reports.there import Had, Powered
from costplan.reports.work_draft import Draft, Phase
from costplan.reports.work_words import Doers, Today

WHITE_TO_BAR = "white to the neutral bar, re-marking off at both ends"
WHITE_TO_HOT = "white re-marked as hot at both ends and wherever it is seen, off the neutral bar"
_LANDED = {
    Conductor.WHITE_TO_NEUTRAL: WHITE_TO_BAR,
    Conductor.WHITE_TO_HOT: WHITE_TO_HOT,
    Conductor.WHITE_SPARED: NEUTRAL_SPARED,
    Conductor.HOT_SPARED: HOT_SPARED,
    Conductor.IN_CONDUIT: IN_CONDUIT,
}
"""What is done with each conductor; one more hot wire is looked for before."""
AT_RUN_RECIPES = ("change breaker", "change receptacle")


def check_drafts(today: Today, doers: Doers, who: str) -> Iterator[Draft]:
    """What is looked at, landed otherwise and verified at runs that are there, like ones together; `who` verifies."""
    found: Counter[Draft] = Counter()
    for powered in today.there.powered:
        if powered.had is not None:
            found.update(_otherwise(today, doers, powered, powered.had))
            if powered.from_idle:
                found[_verified(powered, powered.had, who)] += 1
    for draft, count in found.items():
        yield replace(draft, count=count)


def larger(today: Today, powered: Powered) -> bool:
    """Whether the breaker of a run that stays becomes larger than today's."""
    had = powered.had
    return had is not None and powered.breaker is not None and today.there.breaker_a(powered) > had.breaker_a


# runs that serve otherwise ------------------------------------------------------------------------


def _otherwise(today: Today, doers: Doers, powered: Powered, had: Had) -> Iterator[Draft]:
    if not (powered.converted or larger(today, powered)):
        return
    name, run = powered.machine.name, _run(powered)
    who = doers.of(name, AT_RUN_RECIPES, doers.hired)
    looked = Draft(Phase.OFF, 2, had.place, who, _looked_for(powered, had), name, circuit=run, in_panel=True)
    yield looked
    landed = "; ".join(_LANDED[found] for found in conductors(had, powered) if found in _LANDED)
    if landed:
        words = f"{landed}: the run {had.where}"
        yield replace(looked, phase=Phase.IN, rank=1, words=words)


def _run(powered: Powered) -> Item | None:
    steps = (powered.receptacle, powered.breaker)
    return next((step.run for step in steps if step is not None), None)


def _looked_for(powered: Powered, had: Had) -> str:
    """What must be so before a run serves other lines, or is on a larger breaker."""
    wires = []
    if had.neutral != powered.neutral:
        wires.append("white wire there")
    elif powered.poles > had.poles:
        wires.append("one more hot wire there")
    wires.append(f"wire size at least {powered.circuit.size.awg} AWG in every box")
    wires.append("nothing else on the circuit")
    if had.neutral or powered.neutral:
        wires.append("neutral not shared")
    return f"open the box {had.where} and the panel: {', '.join(wires)}; if not, stop"


# outlets and cords before they are used -----------------------------------------------------------


def _verified(powered: Powered, had: Had, who: str) -> Draft:
    """An outlet that served nobody: what is in the shop file of it may be assumed."""
    end = powered.circuit.size.configuration or had.end
    words = (
        f"verify breaker, wire, ground and volts before use: {end} {had.where}, idle so far; what is behind covers "
        "is for the electrician to look at"
    )
    return Draft(Phase.MOVE, 5, had.place, who, words, powered.machine.name)


def tested_cords(doers: Doers, cords: Iterable[Draft]) -> Iterator[Draft]:
    """One test of every cord that is made up, or gets another end, before it is plugged in."""
    made: dict[tuple[Phase, str], Draft] = {}
    for draft in cords:
        if draft.made:
            known = made.get((draft.phase, draft.machine), draft)
            made[draft.phase, draft.machine] = replace(draft, count=max(draft.count, known.count))
    for (phase, _), draft in made.items():
        what = "each cord made up" if phase is Phase.CORDS else "the cord with the other plug"
        words = f"test {what}: ground through, no short, each wire on its terminal"
        rank = TESTED[phase]
        yield replace(draft, rank=rank, words=words, step=None, frees=(), who=doers.owner)


TESTED = {Phase.CORDS: 2, Phase.MOVE: 3}
"""Where in a phase cords are tested: after their ends are on, and before they are hung or plugged in."""
