"""What of a plan is reckoned for a building that the shop moves to and that nobody described."""

from collections.abc import Iterator

from costplan.circuits.facts import Facts
from costplan.model.money import format_cents
from costplan.program.ranking import Ranked
from costplan.years.calendar import buildings_assumed

ASSUMED = "as in this building: its service and phases, panels with spaces enough, walls, and who may wire it"
"""What is taken of a building of which nothing is known."""


def assumed_of_the_next_building(facts: Facts, best: Ranked) -> Iterator[str]:
    """For each scenario with such a move: that its work is assumed, and what the plan counts in that year."""
    for scenario, years in buildings_assumed(facts.shop).items():
        for year in years:
            lines = [line for line in best.lines if (line.scenario, line.year) == (scenario, year)]
            cents = sum(line.present_value_cents for line in lines)
            yield (
                f"the later move ({scenario}, year {year}) is reckoned {ASSUMED}; nobody looked (new_building): of this "
                f"total {facts.shop.currency} {format_cents(cents)} is counted in that year"
            )
