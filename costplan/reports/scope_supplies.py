"""What the owner has on site for a plan's work, what his cords take, and what is left with him."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from costplan.circuits.clamps import KIT_RECIPE
from costplan.circuits.facts import Facts
from costplan.circuits.needs import LOOSE, Need, Spec, StockNeed
from costplan.circuits.outlets import place_of
from costplan.circuits.things import Made
from costplan.ledger.holding import written
from costplan.ledger.steps import Act, Step
from costplan.model.catalog import Condition, Part
from costplan.program.ranked import Ranked
from costplan.reports.before_after import circuit_name
from costplan.reports.circuits import end_words
from costplan.reports.scope_work import OF_CORDS
from costplan.reports.shopping import ListedPart, list_of
from costplan.reports.there import Powered, There
from costplan.reports.work_words import ENDS, piece, whose
from costplan.sourcing.designation import described
from costplan.years.stream import Use


@dataclass(frozen=True, slots=True)
class Supplied:
    """A part the owner has on site before the work begins, or puts into a cord himself; `goes_to` are places.

    `pieces` are lengths cut at the counter, in feet, with how many of each; `length_ft` is that of one such piece where a
    part is told by its pieces.
    """

    quantity: int
    unit: str
    what: str
    condition: str
    cuts: str
    goes_to: str = ""
    pieces: tuple[tuple[int, int], ...] = ()
    length_ft: int = 0


@dataclass(frozen=True, slots=True)
class Supplies:
    """Parts that the work takes, parts of the owner's own cords, and what is taken out and stays with him."""

    parts: tuple[Supplied, ...]
    cords: tuple[Supplied, ...]
    left: tuple[str, ...]


def supplies(facts: Facts, ranked: Ranked, there: There) -> Supplies:
    """All that a plan takes of the owner today, and leaves with him."""
    going = _Going(ranked, there)
    listed = [
        (part, going.of_cord(part.offer_row), _supplied(facts, going, part))
        for part in list_of(facts, ranked).parts
    ]
    parts = [supplied for _, of_cord, supplied in listed if not of_cord]
    cords = [supplied for _, of_cord, supplied in listed if of_cord]
    return Supplies(
        (*parts, *_on_hand(facts, ranked, there, of_cords=False)),
        (*cords, *_on_hand(facts, ranked, there, of_cords=True), *_own_ends(facts, ranked, there)),
        _left(facts, ranked, there),
    )


def _supplied(facts: Facts, going: "_Going", part: ListedPart) -> Supplied:
    counts: Counter[int] = Counter()
    for cut in (*part.pieces, *(cut for reel in part.reels for cut in reel.pieces)):
        counts[cut.length_ft] += cut.count
    cuts = ", ".join(f"{counts[length]} of {length} ft" for length in sorted(counts, reverse=True))
    words = part.described
    if part.part in facts.parts:
        words = _undecided(facts.parts[part.part]) + (f" ({part.read})" if part.read else "")
    bought: Counter[int] = Counter()
    for cut in part.pieces:
        bought[cut.length_ft] += cut.count
    places = ", ".join(going.places(part.offer_row))
    lengths = tuple(sorted(bought.items(), reverse=True))
    return Supplied(part.quantity, part.unit, words, part.condition, cuts, places, lengths)


def _undecided(part: Part) -> str:
    """A part in words that leave open whether a circuit without ground-fault protection is right."""
    said = {name: value for name, value in part.attributes.items() if name != "ground_fault" or value is True}
    return described(part.model_copy(update={"attributes": said}))


class _Going:
    """Where the parts bought today go, and which of them are for cords."""

    def __init__(self, ranked: Ranked, there: There) -> None:
        self._by_row: dict[int, set[_Kind]] = defaultdict(set)
        for bought in ranked.plan.bought:
            self._by_row[bought.offer_row].add(_kind(bought.need))
        needed = {(_kind(need), machine) for need, by in ranked.needed_by.items() for machine in by}
        stands = {powered.machine.name: powered.circuit.standing.place for powered in there.powered}
        self._places: dict[_Kind, set[str]] = defaultdict(set)
        self._cords: dict[_Kind, set[bool]] = defaultdict(set)
        for need, machine, place, of_cord in _asked(ranked, stands):
            if (_kind(need), machine) in needed:
                self._places[_kind(need)].add(place)
                self._cords[_kind(need)].add(of_cord)

    def places(self, row: int) -> list[str]:
        """Places that what is bought of an offer goes to."""
        return sorted({place for kind in self._by_row[row] for place in self._places[kind] if place})

    def of_cord(self, row: int) -> bool:
        """Whether all that is bought of an offer goes into cords."""
        return {of for kind in self._by_row[row] for of in self._cords[kind]} == {True}


_Kind = tuple[Spec, int]


def _kind(need: Need) -> _Kind:
    """A need however long what meets it is to last."""
    return need.spec, need.length_ft


def _asked(ranked: Ranked, stands: Mapping[str, str]) -> Iterable[tuple[Need, str, str, bool]]:
    """Every need that a machine may have today, where it goes, and whether it is a cord's."""
    for chosen in ranked.chosen:
        machine = chosen.option.machine
        at = ("", "")
        for use in chosen.option.stream.uses:
            if use.since[0] == 0 and use.thing.item.spec.kind == "outlet":
                key = use.thing.item.outlet  # of one that is there too: its ends may be changed
                at = key.place, key.panel
            if use.since[0] == 0 and not use.present:
                for need, place, of_cord in _needs(use.thing, at, stands.get(machine, "")):
                    yield need, machine, place, of_cord
            for need, place in _left_needs(use):
                yield need, machine, place, False


def _needs(thing: StockNeed, run_at: tuple[str, str], stands: str) -> Iterable[tuple[Need, str, bool]]:
    """The parts of a thing with where they go: of a run to its outlet, its breaker into the panel, all else to the machine.

    `run_at`: the place of the outlet, and its panel.
    """
    kind = thing.item.spec.kind
    of_cord, of_run = kind in OF_CORDS, kind == "outlet" or kind in LOOSE
    for need in thing.bought.needs:
        at = run_at[need.spec.kind == "breaker"] if of_run else stands
        yield need, at, of_cord
    for inner in (*thing.inner, *thing.ends):
        for need, place, of in _needs(inner, run_at if of_run else (stands, ""), stands):
            yield need, place, of or of_cord


def _left_needs(use: Use) -> Iterable[tuple[Need, str]]:
    """What making an outlet safe today takes."""
    for _, end in use.ends:
        if end is not None and end.date[0] == 0 and end.left is not None:
            for need in end.left.unused.needs:
                yield need, place_of(end.left.item.spec)


# the owner's own ----------------------------------------------------------------------------------


def _on_hand(facts: Facts, ranked: Ranked, there: There, *, of_cords: bool) -> Iterable[Supplied]:
    """What is taken off the shelf, and pieces of cords that change hands."""
    counts: Counter[tuple[str, str, str]] = Counter()
    stands = {powered.machine.name: powered.circuit.standing.place for powered in there.powered}
    for step in ranked.steps:
        if (step.kind in OF_CORDS) is of_cords and _taken(step, of_cords=of_cords):
            cut = f"1 of {step.cut_to_ft} ft" if step.cut_to_ft else ""
            whole = ", whole" if step.whole else ""
            source = f", from {written(facts, step.source)}" if step.source else ""
            counts[f"{piece(step.item)}{whole}{source}", cut, _goes_to(step, stands)] += 1
    return [
        Supplied(count, "each", what, str(Condition.ON_HAND), cut, place)
        for (what, cut, place), count in sorted(counts.items())
    ]


def _own_ends(facts: Facts, ranked: Ranked, there: There) -> Iterable[Supplied]:
    """Ends and kits of machines' own that go onto cords which are not their own until now."""
    for powered in there.powered:
        cord, machine = powered.cord, powered.machine.name
        if cord is None or cord.whole or (cord.act is Act.KEEP and not cord.cut_off):
            continue
        own = [step for step in ranked.steps if step.machine == machine and step.act is Act.KEEP]
        words = _ends_words([step.kind for step in own], kit=_keeps_kit(ranked, powered))
        if words:
            what = f"{words}: the {whose(written(facts, machine))} own"
            yield Supplied(1, "set", what, str(Condition.ON_HAND), "", powered.circuit.standing.place)


def _keeps_kit(ranked: Ranked, powered: Powered) -> bool:
    """Whether a cord hangs from what its machine's old one hung from; no step tells of a kit that stays."""
    machine, now = powered.machine, powered.machine.now
    if now is None or now.method is not powered.way.method or now.method not in KIT_RECIPE:
        return False
    return not any(
        step.kind == Made.KIT and machine.name in (step.machine, step.source) for step in ranked.steps
    )


def _ends_words(kinds: Sequence[str], *, kit: bool) -> str:
    """Which of a cord's ends are among these kinds, and its kit."""
    ends = [kind for kind in ENDS if kind in kinds]
    named = ["ends"] if len(ends) == len(ENDS) else ends
    return " and ".join([*named, *(["kit"] if kit else [])])


def _taken(step: Step, *, of_cords: bool) -> bool:
    """Whether the owner gives a thing to today's work; breakers that change place have a list of their own."""
    if step.act is Act.TAKE_FROM_SHELF:
        return step.item.spec.outlet is None
    return of_cords and step.act is Act.TAKE_OVER


def _goes_to(step: Step, stands: Mapping[str, str]) -> str:
    if step.run is None:
        return stands.get(step.machine, "")
    return step.run.outlet.panel if step.kind == "breaker" else step.run.outlet.place


def _left(facts: Facts, ranked: Ranked, there: There) -> tuple[str, ...]:
    """What is taken out today and nobody takes: receptacles, breakers, cords and their ends."""
    counts: Counter[str] = Counter()
    for powered in there.powered:
        if powered.had is not None and powered.receptacle is not None:
            counts[f"{end_words(powered.had.end)}, out of the outlet {powered.had.where}"] += 1
    for had, act in there.left.items():
        if act is Act.MAKE_SAFE:
            counts[f"{end_words(had.end)}, out of the outlet {had.where}"] += 1
    for step in ranked.steps:
        if step.act is Act.BACK_TO_SHELF and step.wanted is None:
            counts[_left_words(facts, there, step)] += 1
    return tuple(f"{count} x {words}" for words, count in sorted(counts.items()))


def _left_words(facts: Facts, there: There, step: Step) -> str:
    if step.kind == "breaker" and step.out_of is not None:
        poles = dict(step.item.spec.equal)["poles"]
        return f"breaker {poles}-pole {there.rating_a(step, 0)} A, out of the {circuit_name(step.out_of)}"
    return f"{piece(step.item)}, {whose(written(facts, step.machine))} until now"
