"""What is charged to which variables: bundles by when they are done, and of today's the things that they need."""

from collections import defaultdict
from collections.abc import Mapping
from decimal import Decimal

from costplan.circuits.needs import Bundle, Need
from costplan.ledger.pricing import When
from costplan.program.body import Causes
from costplan.program.program import Terms, add_terms
from costplan.years.stream import Trip


class Charges:
    """Collects what the program will pay for; `charged` by bundle, date and visit of a move, `demand` of today by need."""

    def __init__(self, weights: Mapping[str, Decimal]) -> None:
        """weights: of the scenarios, by name."""
        self.weights = weights
        self.charged: dict[tuple[Bundle, When, Trip], Terms] = defaultdict(dict)
        self.demand: dict[Need, Terms] = defaultdict(dict)
        self._dated: dict[tuple[str, int], When] = {}

    def when(self, scenario: str, year: int) -> When:
        """A year of a scenario by its weight, made once."""
        if (scenario, year) not in self._dated:
            self._dated[scenario, year] = When.of(self.weights, scenario, year)
        return self._dated[scenario, year]

    def apply(self, bundle: Bundle, when: When, terms: Terms, trip: Trip = ()) -> None:
        """Charge a bundle to an integer expression of variables."""
        if not bundle:
            return
        if when.year == 0:
            for need in bundle.needs:
                add_terms(self.demand[need.each], terms, need.quantity)
        add_terms(self.charged[bundle, when, trip], terms)

    def askers(self, causes: Causes) -> dict[str | int, dict[Need, int]]:
        """The most each machine can ask of each need; other variables count as themselves."""
        askers: dict[str | int, dict[Need, int]] = defaultdict(dict)
        for need, terms in self.demand.items():
            for index, count in terms.items():
                asker = askers[causes.owner(index)]
                asker[need] = max(asker.get(need, 0), count * causes.program.variables[index].high)
        return dict(askers)
