"""Horsepower marks of switches that have to be read, where the catalog does not say them."""

from collections.abc import Iterable

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
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
