"""Stock as the walk over the years keeps it: what is set free, what the plan takes of it, what is left."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from costplan.circuits.needs import Item, Return
from costplan.plans.plan import Reused


class SimulationError(AssertionError):
    """The plan does not hold together: it uses stock that is not there, or buys too little."""


class Stockroom:
    """The stock of one scenario, or of today; `planned` says what the plan means to take."""

    def __init__(self, planned: Iterable[Reused]) -> None:
        self.planned = list(planned)
        self.pieces: dict[tuple[int, Item], list[tuple[str, Return]]] = defaultdict(list)

    def set_free(self, year: int, machine: str, back: Return, count: int = 1) -> None:
        """A machine gives something back."""
        self.pieces[year, back.item] += [(machine, back)] * count

    def take(self, year: int, asked: Item) -> bool:
        """Whether the plan meets this need from stock, which it then leaves. Raises SimulationError."""
        position = next(
            (i for i, r in enumerate(self.planned) if r.count and (r.to_year, r.need) == (year, asked)), None
        )
        if position is None:
            return False
        reuse = self.planned[position]
        self.planned[position] = replace(reuse, count=reuse.count - 1)
        if not reuse.item.serves(asked):
            raise SimulationError(f"{reuse.item} cannot serve {asked}")
        self.remove(reuse.from_year, reuse.item)
        return True

    def remove(self, year: int, item: Item) -> None:
        """Take one piece out. Raises SimulationError when there is none."""
        if not self.pieces[year, item]:
            raise SimulationError(f"{item} is not in stock")
        self.pieces[year, item].pop()

    def unused(self) -> Iterator[tuple[int, str, Return]]:
        """What nobody took, with its year and the machine it came from. Raises SimulationError."""
        if any(reuse.count for reuse in self.planned):
            raise SimulationError("stock set aside is never used")
        for (year, _), left in self.pieces.items():
            for machine, back in left:
                yield year, machine, back
