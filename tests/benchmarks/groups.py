"""How long a shop of groups takes beside the shop of single machines that it reduces to.

Run: python tests/benchmarks/groups.py [shop.yaml]; both are measured in one run, best plan and five plans.
"""

import sys
from pathlib import Path
from time import perf_counter

from costplan.circuits.facts import Facts
from costplan.model.loading import load_catalog, load_shop
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans

SCHOOL = Path(__file__).parents[2] / "examples" / "school" / "shop.yaml"


def singles(shop: Shop) -> Shop:
    """The same shop with one machine for every group; events for a part of a group then concern it."""
    machines = [machine.model_copy(update={"count": 1}) for machine in shop.machines]
    scenarios = [
        scenario.model_copy(
            update={"events": [event.model_copy(update={"how_many": None}) for event in scenario.events]}
        )
        for scenario in shop.scenarios
    ]
    return shop.model_copy(update={"machines": machines, "scenarios": scenarios})


def seconds(shop: Shop, path: Path, plans: int) -> tuple[float, int]:
    """Seconds from reading to so many plans, and the total of the best in cents."""
    assert shop.catalog is not None
    catalog, _ = load_catalog(path.parent / shop.catalog)
    assert catalog is not None
    start = perf_counter()
    ranked = best_plans(Bench.over(Facts(shop, catalog), shop.money.surplus), plans)
    return perf_counter() - start, ranked[0].present_value_cents


def main() -> None:
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else SCHOOL
    shop, _ = load_shop(path)
    assert shop is not None
    print(f"{path.parent.name}: {sum(machine.count for machine in shop.machines)} machines")
    for plans in (1, 5):
        one, _ = seconds(singles(shop), path, plans)
        group, _ = seconds(shop, path, plans)
        print(f"{plans} plans: singles {one:.1f} s, groups {group:.1f} s, {group / one:.2f} times")


if __name__ == "__main__":
    main()
