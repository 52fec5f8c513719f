"""The product against the plain reckoner where visits of every year are paid up to a crew's least charge.

Hours, rates and growth are such that every amount before discounting is in whole cents, and 40 % of it too: the reckoner
rounds the worth of all visits of a year at once, the product that of each. So nothing is discounted where they are several.
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
YEARS = [(2, 2), (1, 3), (3, 3)]
"""Of the moves of two machines."""


@pytest.mark.parametrize(("rule", "rate"), [("one a year", "4 %"), ("each move", "0 %")])
@pytest.mark.parametrize("growth", ["0 %", "10 %"])
@pytest.mark.parametrize(
    "fees", [{}, {"set_up": "0.5", "call_out": "50.00"}, {"permit": "50.00", "later_permit": "100.00"}]
)
def test_every_visit_is_paid_up_as_the_reckoner_pays_it(
    rule: str, rate: str, growth: str, fees: dict[str, Any]
) -> None:
    bites = set()
    for years, minimum, hours in product(YEARS, ("0.00", "100.00", "200.00"), ("0.5", "1")):
        shop = Shop.model_validate(
            {
                "shop": "moved (invented)",
                "today": "2026-11-02",
                "years": 4,
                "hired_visits": rule,
                "money": {"discount_rate": rate, "growth": {"labor": growth}},
                "machines": [{"name": "saw"}, {"name": "planer"}],
                "crews": [
                    {"name": "electrician", "role": "electrician", "rate": "100.00", "minimum": minimum}
                    | fees
                ],
                "quoted_ways": [
                    {
                        "name": "bus",
                        "method": "cord",
                        "put_in": {"hours": "0.7"},
                        "move": {"hours": hours, "permit": True},
                    }
                ],
                "scenarios": [
                    {"name": "calm", "weight": "60 %"},
                    {
                        "name": "busy",
                        "weight": "40 %",
                        "events": [
                            {"year": years[0], "machine": "saw", "new_spot": True},
                            {"year": years[1], "machine": "planer", "new_spot": True},
                        ],
                    },
                ],
                "strategies": [{"name": "bus", "ways": {"*": "bus"}}],
            }
        )
        (row,) = compare(Facts(shop, NOTHING), Wanted(plans=1)).strategies
        ranked = row.cells["surplus" if shop.money.surplus == "allowed" else "new"].ranked
        assert ranked is not None
        found = reckon(shop, NOTHING, "bus")
        bites |= {line.year for line in found.lines if line.what == "up to the minimum"}
        assert ranked.present_value_cents == found.total_cents, (years, minimum, hours)
        assert ranked.outlay_cents == found.today_cash_cents
    assert bites >= {1, 2, 3}
