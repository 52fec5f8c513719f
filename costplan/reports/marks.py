"""Horsepower marks that have to be read, where the catalog does not say them, and what was taken for them."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.plug_marks import PlugMarks
from costplan.ledger.holding import written
from costplan.model.catalog import Part
from costplan.model.ratings import CLAMPING, GRIP_TO_IN, HORSEPOWER_MARKS, JACKET_IN, mark_words
from costplan.program.ranked import Ranked
from costplan.reports.noted_damp import to_ask_in_damp
from costplan.standards import conductors, receptacles
from costplan.standards.cords import cord_ampacity_a, cord_sizes


def marks_to_read(part: Part, needs: Iterable[Need]) -> str:
    """What to read on a part before it is paid for: marks that its needs ask for and it does not state; else empty."""
    asked: dict[str, str] = {}
    for need in sorted(needs, key=lambda need: need.spec.if_stated):
        asked |= {
            mark: mark_words(mark, hp)
            for mark, hp in need.spec.if_stated
            if mark in HORSEPOWER_MARKS and mark not in part.attributes
        }
    return f"read the horsepower mark: at least {' and '.join(asked.values())}" if asked else ""


def to_read(facts: Facts, ranked: Ranked, part: Part, needs: Collection[Need]) -> str:
    """All that is to be read on a part before it is paid for: marks, its clamp, what the damp asks for; else empty."""
    clamp, damp = _clamp_to_read(facts, ranked, part, needs), to_ask_in_damp(facts, ranked, part, needs)
    return "; ".join(filter(None, (marks_to_read(part, needs), clamp, damp)))


def _clamp_to_read(facts: Facts, ranked: Ranked, part: Part, needs: Collection[Need]) -> str:
    """The cord that a clamp must hold, where the part does not state its range and the cord is thicker than is usual there.

    Where not all of the parts are on such a cord it says how many are, for which machine.
    """
    if part.kind not in CLAMPING or GRIP_TO_IN in part.attributes:
        return ""
    whose: Counter[str] = Counter()
    for need in needs:
        whose.update(ranked.needed_by.get(need, {}))
    code = part.attributes.get("configuration")
    offers = {offer.row: offer.part for offer in facts.catalog.offers}
    on_it: dict[str, dict[str, tuple[int, Decimal]]] = {name: {} for name in whose}
    cords: Counter[str] = Counter()
    codes: dict[str, set[str]] = {name: set() if code is None else {str(code)} for name in whose}
    for bought in ranked.plan.bought:
        have = facts.parts[offers[bought.offer_row]].attributes
        for name in set(whose) & set(ranked.needed_by.get(bought.need, {})):
            if bought.need.spec.kind == "cord":
                cords[name] = max(cords[name], ranked.needed_by[bought.need][name])
                size = conductors.awg_rank(str(have["awg"])), Decimal(str(have["conductors"]))
                on_it[name][_cord_words(have)] = size
            elif code is None and bought.need.spec.kind in ("plug", "connector"):
                codes[name].add(str(have["configuration"]))
    thick: dict[str, Counter[str]] = {}
    for name, sizes in on_it.items():
        for words, size in sizes.items():
            # A mesh is made for few jackets, so its size is read whatever the cord.
            if code is None or any(_thicker_than_usual(size, each) for each in codes[name]):
                # A cord has one such end or one kit; another plug of its machine is on the machine's own cord.
                ends = thick.setdefault(words, Counter())
                ends[written(facts, name)] += min(cords[name], whose[name])
    return _clamp_words("size" if code is None else "clamp", thick, whose.total())


def _clamp_words(what: str, thick: Mapping[str, Counter[str]], parts: int) -> str:
    """What clamps must take, by the cord, with how many for which machine unless all of the parts are on one such cord."""
    if len(thick) == 1 and next(iter(thick.values())).total() == parts:
        return f"read its {what}: it must take {next(iter(thick))}"
    which = (
        f"{' and '.join(f'{count} for {name}' for name, count in sorted(ends.items()))} must take {words}"
        for words, ends in sorted(thick.items())
    )
    return f"read its {what}: {'; '.join(which)}" if thick else ""


def _cord_words(have: Mapping[str, object]) -> str:
    jacket = f"{have[JACKET_IN]} in across" if JACKET_IN in have else "of a jacket to be measured"
    return f"a cord {have['awg']}/{have['conductors']}, {jacket}"


def _thicker_than_usual(cord: tuple[int, Decimal], configuration: str) -> bool:
    """Whether a cord has thicker or more wires than a plug's amperes and contacts ask for (NFPA 70 Table 400.5(A)(1))."""
    known = receptacles.known(configuration)
    if known is None:
        return False
    carrying = 3 if known.phases == 3 else 2
    usual = next(
        (awg for awg in cord_sizes() if cord_ampacity_a(awg, carrying) >= known.rating_a),
        None,
    )
    if usual is None:
        return False
    return cord[0] > conductors.awg_rank(usual) or cord[1] > known.wires


def states_mark(facts: Facts, ranked: Ranked, need: Need, mark: str) -> bool:
    """Whether every part bought for such a need states the mark."""
    offers = {offer.row: offer for offer in facts.catalog.offers}
    parts = [
        facts.parts[offers[bought.offer_row].part]
        for bought in ranked.plan.bought
        if bought.need.spec == need.spec and bought.offer_row in offers
    ]
    return bool(parts) and all(mark in part.attributes for part in parts)


def pair_words(marks: PlugMarks) -> str:
    """Whether a motor's plug, and what takes it, are marked for it, and what stands in where they are not."""
    if marks.switched:
        below = (
            f"below the motor's {marks.motor}"
            if marks.usual_hp is not None
            else f"and the motor has {marks.motor}"
        )
        return f"{marks.usually}, {below}: a switch marked for it stands at the machine"
    if marks.all_stated:
        return f"plug and outlet are marked for {marks.motor}, as the catalog states"
    if marks.smaller:
        return f"{marks.usually}, enough for {marks.motor}, in place of {marks.smaller}: read the mark"
    return f"{marks.usually}, enough for {marks.motor}: read the mark"
