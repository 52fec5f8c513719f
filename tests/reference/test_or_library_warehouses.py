"""OR-Library instances cap71 and cap73: a warehouse is a supplier with an order fee, a customer a need.

Source: J. E. Beasley, OR-Library (1990), uncapacitated warehouse location; optima as published there:
932,615.750 and 1,010,641.450. A dollar of the files is 100 dollars here, so that no figure is rounded.
"""

from decimal import Decimal
from pathlib import Path

import pytest
from strategies import KINDS, everything_bought, make_catalog, offer

from costplan.circuits.needs import Need, make_spec

DATA = Path(__file__).parent / "data"
SCALE = 100


def read(name: str) -> tuple[list[Decimal], list[list[Decimal]]]:
    """Fixed costs of the warehouses, and for each customer the cost from each warehouse."""
    numbers = iter((DATA / f"{name}.txt").read_text().split())
    warehouses, customers = int(next(numbers)), int(next(numbers))
    fixed = [[Decimal(next(numbers)) for _ in range(2)][1] for _ in range(warehouses)]
    costs = [[Decimal(next(numbers)) for _ in range(warehouses + 1)][1:] for _ in range(customers)]
    return fixed, costs


@pytest.mark.parametrize(("name", "optimum"), [("cap71", "932615.750"), ("cap73", "1010641.450")])
def test_published_optimum(name: str, optimum: str) -> None:
    fixed, costs = read(name)
    catalog = make_catalog(
        [
            offer(f"customer {c}", f"warehouse {w}", cost * SCALE)
            for c, row in enumerate(costs)
            for w, cost in enumerate(row)
        ],
        suppliers=[
            {"id": f"warehouse {w}", "name": f"Warehouse {w}", "order_fee": fee * SCALE}
            for w, fee in enumerate(fixed)
        ],
        kinds=[*KINDS, {"kind": "customer", "attributes": ["number"]}],
        more_parts=[
            {"id": f"customer {c}", "kind": "customer", "name": f"customer {c}", "attributes": {"number": c}}
            for c in range(len(costs))
        ],
    )
    needs = {Need(make_spec("customer", {"number": c}), 1): 1 for c in range(len(costs))}
    answer = everything_bought(catalog, needs, seconds=60)
    assert answer.proven
    assert answer.cost == Decimal(optimum) * SCALE * 100
