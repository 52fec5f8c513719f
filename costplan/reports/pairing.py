"""Tandem breakers of a plan in words: which circuits go on each, and what must be known beside it."""

from collections import Counter, defaultdict
from collections.abc import Iterable

from costplan.circuits.facts import Facts
from costplan.ledger.plan import GearBought, Plan
from costplan.model.tandems import TandemPair, may_move, not_offered


def pairs_of(facts: Facts, plan: Plan) -> dict[GearBought, tuple[str, ...]]:
    """For each lot of tandem breakers put in, which two circuits go on each, in words.

    Circuits of a rating are taken in the order of the shop file, those of today first; which of alike circuits
    they are is the electrician's choice.
    """
    found: dict[GearBought, tuple[str, ...]] = {}
    left: dict[tuple[str, int, str], list[str]] = {}
    bought = [entry for entry in plan.gear if isinstance(facts.gear[entry.name], TandemPair)]
    for entry in sorted(bought, key=lambda entry: (entry.year, entry.scenario, entry.name)):
        gear = facts.gear[entry.name]
        assert isinstance(gear, TandemPair)
        words: Counter[str] = Counter()
        for _ in range(entry.count):
            ends = [_next(facts, left, gear.panel or "", amps, entry.scenario) for amps in gear.halves_a]
            words[" and ".join(ends)] += 1
        found[entry] = tuple(f"{count} x {text}" if count > 1 else text for text, count in words.items())
    return found


def _next(
    facts: Facts, left: dict[tuple[str, int, str], list[str]], panel: str, amps: int, scenario: str
) -> str:
    """The next circuit of a rating; each scenario goes on where today's work ends."""
    if (panel, amps, scenario) not in left:
        start = left.get((panel, amps, ""))
        left[panel, amps, scenario] = list(_circuits(facts, panel, amps) if start is None else start)
    return left[panel, amps, scenario].pop(0)


def _circuits(facts: Facts, panel: str, amps: int) -> Iterable[str]:
    for circuits in facts.panels[panel].one_pole_circuits:
        if may_move(circuits) and circuits.breaker_a == amps:
            yield from [f"a {amps} A on {circuits.awg} AWG"] * circuits.count


def pair_note(facts: Facts, plan: Plan, bought: GearBought) -> str:
    """Which circuits pair up on a lot of tandem breakers; empty for other gear."""
    pairs = pairs_of(facts, plan).get(bought)
    gear = facts.gear[bought.name]
    if pairs is None or not isinstance(gear, TandemPair):
        return ""
    low, high = gear.halves_a
    return f"tandem {low}/{high}: {', '.join(pairs)}"


def today_by_ratings(facts: Facts, plan: Plan) -> dict[tuple[str, int, int], str]:
    """Today's pairs in words, by breaker family and ratings, as the shopping list needs them."""
    found: dict[tuple[str, int, int], list[str]] = defaultdict(list)
    for entry, pairs in pairs_of(facts, plan).items():
        gear = facts.gear[entry.name]
        if isinstance(gear, TandemPair) and entry.year == 0:
            family = facts.panels[gear.panel or ""].breakers
            found[family, *gear.halves_a].append(f"{gear.panel}: {', '.join(pairs)}")
    return {key: "; ".join(words) for key, words in found.items()}


def no_more_words(facts: Facts) -> list[str]:
    """Why panels are not offered more spaces by tandem breakers, a line for each."""
    return [
        f"{panel}: no more spaces by tandem breakers: {'; '.join(reasons)}"
        for panel, reasons in not_offered(facts.shop).items()
    ]
