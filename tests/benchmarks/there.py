"""A shop that is there and is laid out anew: CPU seconds to the proven best plan, and what the program weighs.

python tests/benchmarks/there.py [--example forty] [--limit SECONDS]

Every machine of the example has the circuit that the example's best plan gives it, and stands where the next of the same
half of them stood, so that outlets, runs, cords and drives are there for others. The floor is the same shop with every
machine where its circuit ends. Aim: 40 machines under 30 CPU seconds.
"""

import argparse
from time import process_time
from typing import Any

from generator import facts_of
from tabulate import tabulate

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.model.choices import Method
from costplan.model.circuits_there import Present
from costplan.model.layouts import laid_out
from costplan.model.shop import Machine, Shop
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranking import best_plans
from costplan.years.calendar import lives, scenarios_of

EVERY_OTHER = 2
"""Only so many machines go elsewhere: the second of each so many."""


def present(circuit: Circuit, way: Way) -> dict[str, Any]:
    """A circuit as `now:` says it."""
    size = circuit.size
    row: dict[str, Any] = {
        "method": str(way.method),
        "panel": circuit.panel,
        "configuration": size.configuration,
        "breaker": size.breaker_a,
        "poles": size.poles,
        "awg": size.awg,
        "conductors": size.conductors,
    }
    if circuit.cable is not None and circuit.cord_size is not None and way.method is Method.CORD:
        cord = circuit.cord_size
        row["cord"] = {"length": circuit.cable.length_ft, "awg": cord.awg, "conductors": cord.wires}
    return row


def there(facts: Facts, limit_s: float) -> Shop:
    """The shop with what its best plan puts in today."""
    ranked = best_plans(Bench.over(facts, facts.shop.money.surplus), 1, clock=Clock(limit_s))[0]
    scenario = scenarios_of(facts.shop)[0]
    fates = lives(facts.shop, scenario)
    machines: list[Machine] = []
    for machine in facts.shop.machines:
        way = next(way for name, way, _ in ranked.plan.shares() if name == machine.name)
        standing = next((one for one in fates[machine.name].standings if one.year == 0), None)
        if standing is None or way.quoted or way.panel in facts.gear:
            machines.append(machine)
            continue
        now = present(Builder(facts, machine, way).build(standing), way)
        machines.append(machine.model_copy(update={"now": Present.model_validate(now)}))
    return facts.shop.model_copy(update={"machines": machines})


def anew(shop: Shop) -> Shop:
    """The shop with every other machine where the one after the next stood."""
    moving = [m for m in shop.machines if m.now is not None and m.arrives == 0][::EVERY_OTHER]
    at = {
        one.name: other.at
        for one, other in zip(moving, [*moving[1:], moving[0]], strict=True)
        if one.at != other.at
    }
    layout = {"name": "anew", "at": at}
    written = Shop.model_validate(shop.model_dump(by_alias=True, exclude_unset=True) | {"layouts": [layout]})
    return laid_out(written, written.layouts[0])


def measure(name: str, shop: Shop, facts: Facts, limit_s: float) -> list[object]:
    """One row: CPU seconds of the survey and of the best plan, open ways, variables, rows, whether it is proven."""
    started = process_time()
    bench = Bench.over(Facts(shop, facts.catalog), shop.money.surplus)
    surveyed = process_time() - started
    ranked = best_plans(bench, 1, clock=Clock(limit_s))[0]
    whole = process_time() - started
    program = bench.choice(bench.pricers[0]).program
    ways = sum(len(options) for options in bench.open_options().values())
    proven = "yes" if ranked.proven else "no"
    return [
        name,
        len(shop.machines),
        ways,
        len(program.variables),
        len(program.rows),
        surveyed,
        whole,
        proven,
    ]


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--example", default="forty")
    parser.add_argument("--limit", type=float, default=120.0)
    asked = parser.parse_args()
    facts = facts_of(asked.example)
    shop = there(facts, asked.limit)
    rows = [
        measure("nothing there", facts.shop, facts, asked.limit),
        measure("as it stands", shop, facts, asked.limit),
        measure("laid out anew", anew(shop), facts, asked.limit),
    ]
    headers = ["", "machines", "open ways", "variables", "rows", "survey s", "in all s", "proven"]
    print(tabulate(rows, headers, floatfmt=".1f"))


if __name__ == "__main__":
    main()
