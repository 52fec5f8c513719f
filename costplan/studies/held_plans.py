"""A plan held as it is on a bench at other figures: who prices it there, and its lines."""

from dataclasses import replace

from costplan.ledger.lines import Line
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.program.ranking import Bench, Ranked


def held_walk(bench: Bench, ranked: Ranked) -> tuple[Line, ...]:
    """The lines of a plan on a bench that was `recosted`, held as it is, with the same hands at what they charge there."""
    return walk(bench.facts, held_pricer(bench, ranked), ranked.plan, ranked.chosen).lines


def held_pricer(bench: Bench, ranked: Ranked) -> Pricer:
    """What prices a plan on a bench that was `recosted`: the same hands at what they charge there."""
    crews = {crew.name: crew for crew in bench.facts.crews}
    hiring = ranked.plan.hiring
    hiring = replace(hiring, crew=crews.get(hiring.crew.name, hiring.crew))
    return Pricer.among(bench.pricers, bench.facts, bench.pricers[0].market, hiring)
