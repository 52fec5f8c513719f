"""Facility location through the choice of panels: a facility is a panel by quote, a customer a machine.

Source of cap71: J. E. Beasley, OR-Library (1990), uncapacitated warehouse location; its optimum as published there is
932,615.750. A hundred-thousandth of a dollar of the file is a foot of wiring at a cent here, so that no figure is
rounded. The small capacitated instances are made up; another solver, with a program of its own, finds the same.
"""

import json
import random
import subprocess
import sys
from collections import Counter
from decimal import Decimal

import pytest
from strategies import make_catalog, make_shop, offer, with_gear
from test_or_library_warehouses import read

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans

FEET = 100_000
"""Feet for a dollar of an instance; a foot is paid with a cent."""
FREE = {"recipes": {"wall drop": {"quote": {"per_ft": "0.01"}}, "breaker": {}}}


def cheapest(fixed: list[Decimal], costs: list[list[Decimal]], most: int = 200) -> Ranked:
    """The best plan of a shop whose machines may hang on any panel, each panel taking `most` of them."""
    arguments = with_gear(FREE, {"panel-1": 0})
    arguments["more_parts"] = [
        *(part for part in arguments["more_parts"] if part["id"] != "panel-1"),
        {
            "id": "panel-1",
            "kind": "panel",
            "name": "facility",
            "attributes": {
                "family": "family A",
                "phases": 1,
                "rating_a": 60,
                "spaces": 2 * most,
                "volts": 240,
            },
        },
    ]
    catalog = make_catalog([offer("breaker-2p-20", "store", 0)], **arguments)
    names = [f"customer {c}" for c in range(len(costs))]
    facilities = [f"facility {w}" for w in range(len(fixed))]
    shop = make_shop(
        [
            # so little current that no length of wire asks for a thicker one
            {
                "name": name,
                "at": name,
                "volts": 240,
                "amps": "0.000000001",
                "breaker": 20,
                "plug": "NEMA 6-20",
            }
            | {"ways": {"only": ["wall drop"], "hard_wired": False}}
            for name in names
        ],
        years=0,
        places=[{"name": "yard"}, *({"name": name} for name in names)],
        routes=[
            {"from": facility, "to": name, "fixed": costs[c][w] * FEET}
            for c, name in enumerate(names)
            for w, facility in enumerate(facilities)
        ],
        gear=[
            {"name": name, "kind": "subpanel", "panel_part": "panel-1", "fed_from": "service", "at": "yard"}
            | {"quote": fixed[w] * FEET / 100}
            for w, name in enumerate(facilities)
        ],
    )
    best = best_plans(Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED), 1)[0]
    assert best.proven
    return best


def test_published_optimum() -> None:
    best = cheapest(*read("cap71"))
    assert best.present_value_cents == Decimal("932615.750") * FEET
    assert {entry.name for entry in best.plan.gear} == {way.panel for _, way, _ in best.plan.shares()}


ANOTHER_SOLVER = """
import json, sys
import highspy
fixed, costs, most = json.load(sys.stdin)
facilities, customers = range(len(fixed)), range(len(costs))
model = highspy.Highs()
model.silent()
opened = [model.addBinary(obj=cost) for cost in fixed]
served = [[model.addBinary(obj=costs[c][w]) for w in facilities] for c in customers]
for c in customers:
    model.addConstr(sum(served[c]) == 1)
for w in facilities:
    model.addConstr(sum(served[c][w] for c in customers) <= most * opened[w])
model.setOptionValue("mip_rel_gap", 0)
model.run()
print(round(model.getObjectiveValue()))
"""


def by_another_solver(fixed: list[int], costs: list[list[int]], most: int) -> int:
    """The least cost of an instance by HiGHS, in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", ANOTHER_SOLVER],
        input=json.dumps([fixed, costs, most]),
        capture_output=True,
        encoding="utf-8",
        check=True,
        timeout=60,
    )
    return int(done.stdout.split()[-1])


@pytest.mark.parametrize(("seed", "most"), [(1, 3), (2, 4), (3, 12)])
def test_panels_that_take_only_so_many(seed: int, most: int) -> None:
    """Twelve customers, five facilities; made up, the same by another solver."""
    chance = random.Random(seed)
    fixed = [chance.randint(20, 60) for _ in range(5)]
    costs = [[chance.randint(1, 40) for _ in fixed] for _ in range(12)]
    best = cheapest([Decimal(cost) for cost in fixed], [[Decimal(c) for c in row] for row in costs], most)
    assert best.present_value_cents == by_another_solver(fixed, costs, most) * FEET
    used = Counter(way.panel for _, way, _ in best.plan.shares())
    assert max(used.values()) <= most
    assert set(used) == best.plan.gear_names
