"""Stock as the walk over the years keeps it: what is set free, what the plan takes of it, what is left."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from costplan.circuits.needs import Return
from costplan.ledger.plan import Reused
from costplan.years.stream import Date, Use


class SimulationError(AssertionError):
    """The plan does not hold together: it uses stock that is not there, or buys too little."""


class Stockroom:
    """All stock, by the scenario (empty: today's) and date it was set free; the plan says what is taken."""

    def __init__(self, planned: Iterable[Reused]) -> None:
        self.planned = list(planned)
        self.pieces: dict[tuple[str, Date, Return], list[tuple[str, Return]]] = defaultdict(list)
        self.to_be_taken: dict[tuple[str, Date, Return], Counter[str]] = defaultdict(Counter)
        for reused in self.planned:
            by = self.to_be_taken[reused.scenario, reused.since, reused.left]
            by[reused.use.scenario] += reused.count
        self.taken_by: Counter[tuple[str, str, Date, Return]] = Counter()

    def set_free(self, scenario: str, date: Date, machine: str, left: Return) -> None:
        """A machine gives something back."""
        self.pieces[scenario, date, left].append((machine, left))

    def dates(self, scenario: str) -> set[Date]:
        """Dates of a scenario at which something was set free so far."""
        return {date for of, date, _ in self.pieces if of == scenario}

    def never_used(self, scenario: str, date: Date) -> Iterator[tuple[str, Return]]:
        """What is set free at a date and taken by nobody ever, of things that come apart then."""
        for (of, then, left), found in list(self.pieces.items()):
            if (of, then) == (scenario, date) and left.freed:
                by = self.to_be_taken[of, then, left]
                kept = by[of] + max((count for name, count in by.items() if name != of), default=0)
                yield from found[: max(len(found) - kept, 0)]

    def take(
        self, machine: str, use: Use, which: Callable[[Reused], bool] = lambda _: True
    ) -> tuple[Date, str, Return] | None:
        """What the plan takes from stock for a machine's use, the date it was set free, and by whom. Raises SimulationError."""
        found = [i for i, r in enumerate(self.planned) if r.count and r.use == use and which(r)]
        if not found:
            return None
        # A piece that is yet to be cut off another comes after that one.
        position = next((i for i in found if self._left(self.planned[i])), found[0])
        reused = self.planned[position]
        self.planned[position] = replace(reused, count=reused.count - 1)
        if reused.scenario not in ("", use.scenario) or reused.since > use.since:
            raise SimulationError(f"{reused.item} is set free too late")
        return reused.since, *self.remove(reused.scenario, reused.since, reused.left, use.scenario, machine)

    def _left(self, reused: Reused) -> bool:
        key = (reused.scenario, reused.since, reused.left)
        return len(self.pieces[key]) > self.taken_by[reused.use.scenario, *key]

    def remove(
        self, scenario: str, date: Date, left: Return, by: str = "", machine: str = ""
    ) -> tuple[str, Return]:
        """Take one piece out, the machine's own where there is one; gives whose it was, too.

        What is left of today is there for each later scenario. Raises SimulationError.
        """
        found = self.pieces[scenario, date, left]
        self.taken_by[by, scenario, date, left] += scenario != by
        if len(found) < max(self.taken_by[by, scenario, date, left], 1):
            raise SimulationError(f"{left.item} is not in stock")
        if scenario != by:
            return found[0]
        own = next((number for number, (of, _) in enumerate(found) if of == machine), -1)
        return found.pop(own)

    def giver_of(self, scenario: str, date: Date, pieces: Iterable[Return], machine: str) -> str:
        """Who set free all the pieces of one cord: the machine itself where it did, empty for the shelf."""
        known = [{of for of, _ in self.pieces[scenario, date, left]} for left in pieces]
        givers = set.intersection(*known)
        return machine if machine in givers else min(givers, default="")

    def unused(self, scenarios: Iterable[str]) -> Iterator[tuple[str, Date, str, Return]]:
        """What nobody took, with its scenario and date and the machine it came from. Raises SimulationError.

        What was set free today is left over in each scenario that does not take it, but when it comes apart or is
        made safe: that is done today, or in no scenario.
        """
        if any(reuse.count for reuse in self.planned):
            raise SimulationError("stock set aside is never used")
        for (scenario, date, thing), found in self.pieces.items():
            if scenario:
                yield from ((scenario, date, machine, left) for machine, left in found)
                continue
            taken = {name: self.taken_by[name, "", date, thing] for name in scenarios}
            if thing.unused or thing.freed:
                if len(set(taken.values())) > 1:
                    raise SimulationError(
                        f"{thing.item} is left live today and not taken over in every scenario"
                    )
                taken = {"": max(taken.values(), default=0)}
            for name, count in taken.items():
                yield from ((name, date, machine, left) for machine, left in found[count:])
