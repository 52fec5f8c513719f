"""What an order costs besides its goods; rules of this tool, figures invented."""

from decimal import Decimal

import pytest

from costplan.model.catalog import Supplier
from costplan.sourcing.orders import order_charges


@pytest.mark.parametrize(
    ("free_over", "goods_cents", "delivery_cents"),
    [
        ("100", 9_999, 900),
        ("100", 10_000, 0),
        ("100.0050", 10_000, 0),
        ("100.0150", 10_001, 900),
        (None, 10**6, 900),
    ],
)
def test_delivery_is_free_from_the_whole_cents_that_are_printed(
    free_over: str | None, goods_cents: int, delivery_cents: int
) -> None:
    """A threshold of half a cent counts as it is printed, half to even, as the program has it in its rows."""
    given = {} if free_over is None else {"free_over": free_over}
    supplier = Supplier.model_validate({"id": "store", "name": "a store (invented)", "delivery": 9} | given)
    assert order_charges(supplier, goods_cents, Decimal(0)).delivery_cents == delivery_cents
