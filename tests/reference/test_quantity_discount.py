"""A price that falls with the quantity, bought through the shopping list.

Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., Wiley 2019, Example 3.5: order cost 8,
demand 1300 a year, holding 0.3 of the price a year; 0.75 each below 400, 0.72 from 400, 0.68 from 800.
The stated best order is 800 at 978.60 a year, by c D + K D / Q + i c Q / 2. The tool buys what is needed today
and holds no store for years, so the list gives the price of each order and the formula of the example the rest.
"""

from decimal import Decimal

import pytest
from bought_today import bought_today
from strategies import make_catalog, offer

from costplan.circuits.needs import Need, make_spec
from costplan.reports.shopping import ListedPart, list_of

ORDER_COST, DEMAND, HOLDING = Decimal(8), Decimal(1300), Decimal("0.3")
BREAKS = {400: Decimal("0.72"), 800: Decimal("0.68")}
SINGLY = Decimal("0.75")
BEST_ORDER, BEST_YEAR = 800, Decimal("978.60")


def listed(quantity: int) -> tuple[ListedPart, ...]:
    """What the list says to buy when so many are needed; a price break is a box of that many."""
    boxes = [offer("label", "store", price * size, f"box of {size}") for size, price in BREAKS.items()]
    catalog = make_catalog(
        [offer("label", "store", SINGLY), *boxes],
        kinds=[{"kind": "label"}],
        more_parts=[{"id": "label", "kind": "label", "name": "label"}],
    )
    facts, plan = bought_today(catalog, {Need(make_spec("label"), 1): quantity})
    found = list_of(facts, plan)
    assert found.total_cents == sum(part.amount_cents for part in found.parts)
    return found.parts


def unit_price(quantity: int) -> Decimal:
    """Price of one, as the list has it for an order of that many."""
    return Decimal(sum(part.amount_cents for part in listed(quantity))) / 100 / quantity


def cost_a_year(quantity: int) -> Decimal:
    """The example's yearly cost of ordering that many at a time, at the list's price."""
    price = unit_price(quantity)
    return price * DEMAND + ORDER_COST * DEMAND / quantity + HOLDING * price * quantity / 2


@pytest.mark.parametrize(("quantity", "price"), [(304, SINGLY), *BREAKS.items()])
def test_the_list_buys_at_the_example_s_prices(quantity: int, price: Decimal) -> None:
    assert unit_price(quantity) == price


def test_the_example_s_best_order_is_the_best_of_its_candidates() -> None:
    """Candidates are the textbook's: the free optimum where its price holds, else the break."""
    years = {quantity: cost_a_year(quantity) for quantity in (304, 400, 800)}
    assert min(years, key=lambda quantity: years[quantity]) == BEST_ORDER
    assert years[BEST_ORDER] == BEST_YEAR


def test_a_little_more_reaches_the_break_and_the_list_says_what_is_left() -> None:
    """Computed here: 380 singly are 285.00, the box of 400 is 288.00; 385 singly would be 288.75."""
    assert [(part.quantity, part.unit) for part in listed(380)] == [(380, "each")]
    (box,) = listed(385)
    assert (box.quantity, box.unit, box.amount_cents, box.spare) == (1, "box of 400", 28800, 15)


def test_a_box_and_a_few_singly_beat_two_boxes() -> None:
    """Computed here: 450 as a box of 400 and 50 singly are 325.50; two boxes of 400 are 576.00, 800 are 544.00."""
    parts = {part.unit: (part.quantity, part.amount_cents) for part in listed(450)}
    assert parts == {"box of 400": (1, 28800), "each": (50, 3750)}
