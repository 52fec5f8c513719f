"""Horsepower marks that have to be read, where the catalog does not say them, and what was taken for them."""

from collections.abc import Iterable

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.plug_marks import PlugMarks
from costplan.model.catalog import Part
from costplan.model.ratings import mark_words
from costplan.plans.ranking import Ranked


def marks_to_read(part: Part, needs: Iterable[Need]) -> str:
    """What to read on a part before it is paid for: marks that its needs ask for and it does not state; else empty."""
    asked: dict[str, str] = {}
    for need in sorted(needs, key=lambda need: need.spec.if_stated):
        asked |= {
            mark: mark_words(mark, hp) for mark, hp in need.spec.if_stated if mark not in part.attributes
        }
    return f"read the horsepower mark: at least {' and '.join(asked.values())}" if asked else ""


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
