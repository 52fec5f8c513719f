"""One shop solved again and again at other costs: each search begins from the last plan, and as far above its relaxation."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from costplan.ledger.options import Option
from costplan.ledger.plan import Plan
from costplan.ledger.pricing import Pricer
from costplan.program.bench import Allowed, Bench
from costplan.program.choice import Choice
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import TOO_LITTLE_TIME, NoPlanError, Ranked
from costplan.program.ranking import all_open, as_ranked
from costplan.program.search import USUAL_GAP, Search, Searches

WIDER = 1.1
"""How much wider than at the last costs that share is taken."""

NO_PLAN = "no plan keeps all limits"


@dataclass
class _Known:
    """Of one way of hiring: the serials of its variables, the last answer, how far above its relaxation that was."""

    serials: list[int] = field(default_factory=list)
    values: tuple[int, ...] = ()
    gap: float = USUAL_GAP


class Anew:
    """The best plan of some ways of every machine, at one cost after another."""

    def __init__(
        self,
        bench: Bench,
        allowed: Allowed | None = None,
        unlike: Plan | None = None,
    ) -> None:
        """bench: the shop that is solved anew.

        allowed: options that are left; unlike: a plan whose kinds of ways, gear and hands are not wanted together. Raises
        NoPlanError where a machine has no way.
        """
        self.unlike = unlike
        self.options: Mapping[str, tuple[Option, ...]] = all_open(bench, allowed)
        self.known: dict[str, _Known] = defaultdict(_Known)

    def best(
        self, bench: Bench, clock: Clock, at_most: int | None = None, tick: Tick = bool
    ) -> Ranked | None:
        """The proven best plan on a bench `recosted` from the first; None where nothing is as cheap as `at_most` cents.

        Raises NoPlanError without one, or where time is up.
        """
        searches = Searches([self._choice(bench, pricer, clock) for pricer in bench.pricers], at_most)
        for search in searches.open:
            self._begin(search, at_most)
        searches.fill(1, clock, tick)
        found = searches.found[0] if searches.found else None
        if found is None and not searches.unfinished:
            if at_most is None:
                raise NoPlanError([NO_PLAN])
            return None
        if found is None or found.bound_cents < found.cost_cents:
            raise NoPlanError([TOO_LITTLE_TIME])
        self._remember(next(search for search in searches.open if search.choice is found.choice))
        return as_ranked(bench.facts, found, self.options)

    def _choice(self, bench: Bench, pricer: Pricer, clock: Clock) -> Choice:
        choice = bench.choice(pricer, clock).narrowed(self.options)
        if self.unlike is not None and self.unlike.hiring.name == pricer.hiring.name:
            choice.exclude(self.unlike, more_gear=True)
        return choice

    def _begin(self, search: Search, at_most: int | None) -> None:
        known = self.known[search.name]
        if search.relaxed is None:
            return
        there = enumerate(zip(search.choice.program.variables, known.serials, known.values, strict=False))
        search.hint = {index: value for index, (one, serial, value) in there if one.serial == serial}
        near = int(search.relaxed.cost + abs(search.relaxed.cost) * known.gap * WIDER)
        search.near = near if at_most is None else min(near, at_most)

    def _remember(self, search: Search) -> None:
        known = self.known[search.name]
        known.values = search.answer.values
        known.serials = [variable.serial for variable in search.choice.program.variables]
        if search.relaxed is not None and search.relaxed.cost:
            known.gap = abs(search.answer.cost / search.relaxed.cost - 1)
