"""The product against the plain reckoner on quoted shops with a lease: who leaves, comes or moves out when.

The two share no code for when wiring comes out; `cases/lease_*` hold the same rule to sums by hand.
"""

from itertools import product
from typing import Any

import pytest
from reckoner import reckon

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.shop import Shop
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

NOTHING = Catalog(parts=[], kinds=[], suppliers=[], tasks=[], crews=[], recipes={}, offers=[])
MOVES: list[list[dict[str, Any]]] = [[], *([{"year": year, "shop_moves": True}] for year in (2, 4, 5))]
SAW: list[dict[str, Any]] = [{}, {"leaves": 3}, {"leaves": 5}]
PLANER: list[dict[str, Any]] = [{}, {"leaves": 4}, {"arrives": 3}, {"arrives": 5}]
SAID: list[dict[str, Any]] = [{}, {"lease_ends": 6}, {"lease_ends": 9}]


@pytest.mark.parametrize(
    "move", [{}, {"move": {"money": "30.00"}}], ids=["outlets stay", "outlets come along"]
)
@pytest.mark.parametrize("events", MOVES, ids=["stays", "moves in 2", "moves in 4", "moves in 5"])
def test_wiring_comes_out_when_the_reckoner_has_it_come_out(
    events: list[dict[str, Any]], move: dict[str, Any]
) -> None:
    for saw, planer, said in product(SAW, PLANER, SAID):
        shop = Shop.model_validate(
            {
                "shop": "rented (invented)",
                "today": "2026-11-02",
                "years": 6,
                "money": {"discount_rate": "5 %"},
                "building": {"lease": {"ends": 4, "take_out": True}},
                "machines": [{"name": "saw", **saw}, {"name": "planer", **planer}],
                "crews": [{"name": "electrician", "role": "electrician", "rate": "100.00"}],
                "quoted_ways": [
                    {"name": "outlet", "method": "wall drop", "put_in": {"money": "500.00"}}
                    | {"take_out": {"money": "100.00"}}
                    | move
                ],
                "scenarios": [
                    {"name": "calm", "weight": "60 %"},
                    {"name": "busy", "weight": "40 %", "events": events} | said,
                ],
                "strategies": [{"name": "outlet", "ways": {"*": "outlet"}}],
            }
        )
        (row,) = compare(Facts(shop, NOTHING), Wanted(plans=1)).strategies
        ranked = row.cells["surplus" if shop.money.surplus == "allowed" else "new"].ranked
        assert ranked is not None
        expected = reckon(shop, NOTHING, "outlet").total_cents
        assert ranked.present_value_cents == expected, (saw, planer, said)
