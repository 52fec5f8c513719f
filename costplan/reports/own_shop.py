"""What today's work takes of the shop's own, off the shelf and from one machine for another, and what the shelf gets."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.outlet_key import DISCONNECT
from costplan.circuits.things import Made
from costplan.ledger.steps import Act, Step
from costplan.program.ranked import Ranked
from costplan.reports.work_cords import kept_kit, stays_hanging, stays_on
from costplan.reports.work_words import AT_RUN, ENDS, LEFT, Today, piece, plain

FROM_YOUR_OWN = "From your own shop"
OWN_NOTE = "nothing of it is bought; what is cut you cut yourself; plugs and connectors come off cords, not off machines"
SHELF = "the shelf"
TO_YOUR_SHELF = "Goes to your shelf afterwards"
NOT_USED_AGAIN = "not used again by this plan: keep or discard"
DO_NOT_CUT = "do not cut"


@dataclass(frozen=True, slots=True)
class OwnThing:
    """So many things of the shop's own that go elsewhere today; `cut_to_ft` is 0 where nothing is cut.

    `needs_ft` is how long a cord must be, ends included, and 0 for all else.
    """

    count: int
    what: str
    source: str
    machine: str
    cut_to_ft: int = 0
    offcut_ft: int = 0
    needs_ft: int = 0

    @property
    def cells(self) -> tuple[str, str, str, str, str, str]:
        """It in words, in the order of the fields of its section."""
        cut = f"{self.cut_to_ft} ft" if self.cut_to_ft else ""
        if self.needs_ft and not self.cut_to_ft:
            cut = f"{DO_NOT_CUT}: needs {self.needs_ft} ft"
        left = f"{self.offcut_ft} ft" if self.offcut_ft else ""
        return str(self.count), self.what, self.source, self.machine, cut, left


@dataclass(frozen=True, slots=True)
class Returned:
    """So many things that nobody uses any more and that go to the shelf, with where they come from."""

    count: int
    what: str
    source: str

    @property
    def cells(self) -> tuple[str, str, str]:
        """It in words, in the order of the fields of its section."""
        return str(self.count), self.what, self.source


def own_things(facts: Facts, ranked: Ranked) -> tuple[OwnThing, ...]:
    """What to take and where from, off the shelf first; what is only kept, and outlets, which stay, are left out."""
    today = Today(facts, ranked)
    found: Counter[OwnThing] = Counter()
    for step, count in today.counts:
        if _taken(today, step):
            own = step.source == step.machine
            cut = (step.cut_to_ft, step.offcut_ft) if not own else (0, 0)
            needs = step.wanted.length_ft if step.wanted is not None and step.kind == "cord" else 0
            thing = OwnThing(
                1, _what(today, step), _source(today, step), today.name(step.machine), *cut, needs
            )
            found[thing] += count
        kit = kept_kit(today, step)
        if kit:
            place = today.circuit_place(step.machine)
            source = f"{today.old_cord(step.machine)}, at {place}"
            found[OwnThing(1, kit, source, today.name(step.machine))] += count
    things = [replace(thing, count=count) for thing, count in found.items()]
    return tuple(
        sorted(things, key=lambda thing: (thing.source != SHELF, thing.source, thing.machine, thing.what))
    )


def _taken(today: Today, step: Step) -> bool:
    """Whether a step takes a thing from one place to another."""
    if step.act in LEFT or step.act in (Act.BUY, Act.SHARE) or step.item.spec.outlet is not None:
        return False
    if step.act is not Act.KEEP:
        return True
    # An own end goes elsewhere only with another cable, an own breaker only into another run.
    keeps_cable = any(cable.act is Act.KEEP for cable, _ in today.of(step.machine, "cord"))
    return not plain(step) or (step.kind in ENDS and not keeps_cable)


def _source(today: Today, step: Step) -> str:
    """The shelf, the circuit that a breaker comes out of, or the old cord, with where it hangs today."""
    if step.act is Act.TAKE_FROM_SHELF:
        return SHELF
    if step.cut_off:
        return today.source(step)
    if step.out_of is not None:
        return today.circuit(step.source, step.out_of)
    if step.kind in (*ENDS, "cord", Made.KIT):
        stays = ", where it stays" if stays_hanging(today, step) else ""
        return f"{today.old_cord(step.source)}, at {today.circuit_place(step.source)}{stays}"
    return f"the {today.name(step.source)}"


def _what(today: Today, step: Step) -> str:
    if step.kind == "breaker":
        poles = dict(step.item.spec.equal)["poles"]
        return f"breaker, {poles}-pole {today.there.rating_a(step, 0)} A"
    if step.whole:
        return f"{piece(step.item)}, whole, {'as it hangs' if step.source else 'with its ends'}"
    return piece(step.item)


def returned(facts: Facts, ranked: Ranked) -> tuple[Returned, ...]:
    """What goes to the shelf when today's work is done: what nobody uses any more, and what is cut off."""
    today = Today(facts, ranked)
    found: Counter[tuple[str, str]] = Counter()
    for step, count in today.counts:
        if step.act is Act.BACK_TO_SHELF and step.item.spec.outlet is None and not step.cut_off:
            on = ", on its cord" if step.kind in ENDS and stays_on(today, step) else ""
            found[f"{_what(today, step)}{on}", _source(today, step)] += count
        elif step.offcut_ft and step.act not in (Act.KEEP, Act.BUY):
            if any(other.act is not Act.BACK_TO_SHELF for other in today.offcut(step)):
                continue
            cut_off = f"{piece(replace(step.item, length_ft=step.offcut_ft))}, cut off"
            found[cut_off, f"{today.source(step)}, for the {today.name(step.machine)}"] += count
    found.update(_not_used_again(today))
    return tuple(Returned(count, *what) for what, count in sorted(found.items()))


def _not_used_again(today: Today) -> Counter[tuple[str, str]]:
    """What comes out of a run or off a machine today, and no step takes: the plan does not count on it."""
    found: Counter[tuple[str, str]] = Counter()
    for step, count in today.counts:
        for what, source in _replaced(today, step):
            found[f"{what}, {NOT_USED_AGAIN}", source] += count
    return found


def _replaced(today: Today, step: Step) -> Iterator[tuple[str, str]]:
    """What a step takes out, in words, with where it comes from."""
    if step.kind == "outlet" and step.act is Act.MAKE_SAFE:
        yield _end_words(step.item.outlet.end), today.circuit(step.machine, step.item)
    if step.act in LEFT:
        return
    if step.kind in AT_RUN and step.run is not None and today.old_end(step):
        yield _end_words(today.old_end(step)), today.circuit(step.machine, step.run)
    other_breaker = step.kind == "breaker" and not step.within and step.act is not Act.SHARE
    if other_breaker and step.run is not None and not today.old_breaker_goes_on(step):
        yield "breaker", today.circuit(step.machine, step.run)
    plug = today.facts.machines[step.machine].plug
    if step.kind == Made.OWN_PLUG and step.act is not Act.KEEP and plug is not None:
        yield f"plug {plug}", f"the {today.name(step.machine)}"


def _end_words(end: str) -> str:
    return end if end == DISCONNECT else f"receptacle {end}"
