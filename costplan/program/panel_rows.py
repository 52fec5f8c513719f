"""The spaces of panels: no panel ever has more poles in it than it has room for, until the shop moves."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.ledger.plan import Shared
from costplan.program.gear_rows import GearRows
from costplan.program.program import Gives, Program, Terms, add_terms


class PanelRows:
    """Collects the poles that ways take, by panel, scenario and year, in `spaces`; then adds the rows."""

    def __init__(self, program: Program, facts: Facts) -> None:
        self.program, self.facts = program, facts
        self.spaces: dict[tuple[str, str, int], Terms] = defaultdict(dict)

    def add(
        self,
        waiting: Mapping[tuple[str, str, int], Terms],
        shared: Mapping[int, Shared],
        gear: GearRows,
    ) -> None:
        """Add the rows.

        waiting: poles of outlets that wait to be used; shared: things that machines share, by the variable that says so;
        gear: what takes and frees poles.
        """
        seen: set[tuple[str, tuple[tuple[int, int], ...]]] = set()
        dates = {(panel, *date) for panel in self.facts.panels for date in gear.dates()}
        for panel, scenario, year in sorted(dates | set(self.spaces)):
            row = dict(self.spaces.get((panel, scenario, year), {}))
            add_terms(row, waiting.get((panel, scenario, year), {}))
            for index, thing in shared.items():
                # Sharing frees poles only where something takes them at that date.
                if row and thing.panel == panel and not thing.use.scenario:
                    row[index] = -replace(thing, saved=1).poles
            row |= gear.poles(panel, scenario, year)
            key = (panel, tuple(sorted(row.items())))
            if year >= gear.first_shop_move[scenario] or key in seen or not row:
                continue
            seen.add(key)
            high = self.facts.panels[panel].spaces_free
            limit = (Gives.SPACES, panel)
            self.program.row(f"spaces in {panel}, {scenario}, year {year}", row, high=high, limit=limit)
