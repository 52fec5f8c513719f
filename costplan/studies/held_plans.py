"""A plan held as it is on a bench: at other figures, who prices it there, and its lines; and the same by other hands."""

from collections.abc import Iterable
from dataclasses import replace

from costplan.ledger.crews import Hiring
from costplan.ledger.lines import Line
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.model.labor import Role
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked


def held_walk(bench: Bench, ranked: Ranked) -> tuple[Line, ...]:
    """The lines of a plan on a bench that was `recosted`, held as it is, with the same hands at what they charge there."""
    return walk(bench.facts, held_pricer(bench, ranked), ranked.plan, ranked.chosen).lines


def held_pricer(bench: Bench, ranked: Ranked) -> Pricer:
    """What prices a plan on a bench that was `recosted`: the same hands at what they charge there."""
    crews = {crew.name: crew for crew in bench.facts.crews}
    hiring = ranked.plan.hiring
    hiring = replace(hiring, crew=crews.get(hiring.crew.name, hiring.crew))
    return Pricer.among(bench.pricers, bench.facts, bench.pricers[0].market, hiring)


def held_on(bench: Bench, ranked: Ranked) -> Ranked:
    """A plan held as it is on a bench, walked there; nothing proves it to be the best, so its bound is nothing."""
    done = walk(bench.facts, held_pricer(bench, ranked), ranked.plan, ranked.chosen)
    return Ranked(ranked.plan, ranked.chosen, done.lines, done.needed_by, 0, done.steps)


def by_other_hands(bench: Bench, plans: Iterable[Ranked]) -> tuple[Ranked, ...]:
    """The same ways and purchases by every other crew that could be hired, each once; a plan with a bid keeps its hands.

    None of them is proven to be the best of its kind, so their bound is nothing.
    """
    crews = [crew for crew in bench.facts.crews if crew.role is Role.ELECTRICIAN]
    known, found = {ranked.plan.key for ranked in plans}, list[Ranked]()
    for ranked in plans:
        for crew in crews if ranked.plan.hiring.bid is None else ():
            other = replace(ranked, plan=replace(ranked.plan, hiring=Hiring(crew)))
            if other.plan.key in known:
                continue
            known.add(other.plan.key)
            found.append(held_on(bench, other))
    return tuple(found)
