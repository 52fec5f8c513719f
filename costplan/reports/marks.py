"""Horsepower marks of switches that have to be read, where the catalog does not say them."""

from collections.abc import Iterable, Iterator

from costplan.circuits.currents import switched_hp
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.model.catalog import Part
from costplan.model.ratings import horsepower_mark, mark_words
from costplan.plans.holding import written
from costplan.plans.ranking import Ranked
from costplan.reports.there import Powered, There

BLANK = "____________"


def marks_to_read(part: Part, needs: Iterable[Need]) -> str:
    """What to read on a part before it is paid for: marks that its needs ask for and it does not state; else empty."""
    asked: dict[str, str] = {}
    for need in sorted(needs, key=lambda need: need.spec.if_stated):
        asked |= {
            mark: mark_words(mark, hp) for mark, hp in need.spec.if_stated if mark not in part.attributes
        }
    return f"read the horsepower mark: at least {' and '.join(asked.values())}" if asked else ""


def horsepower_questions(facts: Facts, ranked: Ranked, there: There) -> Iterator[str]:
    """For each motor wired today to a disconnect whose horsepower mark nobody stated, what it reads."""
    for powered in there.powered:
        load = powered.circuit.supplied.load
        power_hp = switched_hp(load)
        if powered.circuit.size.configuration is None and load.motor and power_hp is not None:
            mark = horsepower_mark(load.volts, load.phases)
            if not _stays(powered) and not states_mark(facts, ranked, powered.circuit.receptacle, mark):
                name, at = written(facts, powered.machine.name), powered.circuit.outlet_place
                asked = mark_words(mark, power_hp)
                yield f"Horsepower mark of the disconnect of {name} at {at}: at least {asked}; it reads: {BLANK}"


def _stays(powered: Powered) -> bool:
    """Whether a machine keeps the disconnect that it has today."""
    had = powered.had
    return had is not None and had.owner == powered.machine.name and powered.receptacle is None


def states_mark(facts: Facts, ranked: Ranked, need: Need, mark: str) -> bool:
    """Whether every part bought for such a need states the mark."""
    offers = {offer.row: offer for offer in facts.catalog.offers}
    parts = [
        facts.parts[offers[bought.offer_row].part]
        for bought in ranked.plan.bought
        if bought.need.spec == need.spec and bought.offer_row in offers
    ]
    return bool(parts) and all(mark in part.attributes for part in parts)
