"""Ten books in ten shops with a delivery fee of 4 for each shop used: 149 in all.

Source: puzzle page "Optimal Internet shopping" with the stated answer 149; the model is that of Blazewicz,
Kovalyov, Musial, Urbanski, Wojciechowski, "Internet shopping optimization problem", Int. J. Appl. Math.
Comput. Sci. 20 (2), 2010, 385-390.
"""

from strategies import KINDS, everything_bought, make_catalog, offer

from costplan.circuits.needs import Need, make_spec
from costplan.model.catalog import Catalog

BOOKS = (
    "English",
    "Math",
    "French",
    "History",
    "Art",
    "Geography",
    "Biology",
    "Physics",
    "Chemistry",
    "Music",
)
PRICES = (
    (13, 19, 16, 19, 19, 18, 17, 16, 15, 14),
    (18, 13, 17, 14, 15, 16, 15, 17, 18, 17),
    (17, 14, 13, 17, 16, 18, 16, 17, 18, 17),
    (19, 18, 17, 13, 16, 15, 15, 16, 17, 14),
    (16, 14, 17, 18, 13, 16, 15, 16, 17, 16),
    (17, 17, 16, 14, 15, 13, 16, 17, 18, 16),
    (17, 14, 16, 17, 15, 16, 13, 18, 19, 17),
    (17, 16, 15, 14, 17, 16, 15, 13, 15, 15),
    (15, 15, 16, 18, 17, 15, 16, 15, 13, 14),
    (16, 14, 16, 18, 17, 17, 15, 16, 18, 13),
)
"""Rows are books, columns shops."""
FEE = 4
NEEDS = {Need(make_spec("book", {"title": title}), 1): 1 for title in BOOKS}


def shops(fee: str, count: int = 10) -> Catalog:
    """The first `count` shops; `fee` is the supplier's field that holds the delivery fee."""
    suppliers = [{"id": f"shop {i}", "name": f"Shop {i} (invented)", fee: FEE} for i in range(1, count + 1)]
    offers = [
        offer(title, f"shop {i}", price)
        for title, row in zip(BOOKS, PRICES, strict=True)
        for i, price in enumerate(row[:count], 1)
    ]
    return make_catalog(
        offers,
        suppliers=suppliers,
        kinds=[*KINDS, {"kind": "book", "attributes": ["title"]}],
        more_parts=[{"id": b, "kind": "book", "name": b, "attributes": {"title": b}} for b in BOOKS],
    )


def test_the_fee_as_an_order_fee() -> None:
    answer = everything_bought(shops("order_fee"), NEEDS)
    assert (answer.cost, answer.proven) == (14900, True)


def test_the_fee_as_delivery() -> None:
    answer = everything_bought(shops("delivery"), NEEDS)
    assert (answer.cost, answer.proven) == (14900, True)


def test_one_shop_alone() -> None:
    """Computed here: the first shop's column and one fee."""
    assert everything_bought(shops("delivery", 1), NEEDS).cost == 100 * (sum(row[0] for row in PRICES) + FEE)


def test_the_traps_cost_more() -> None:
    """Computed from the same figures: cheapest shop for every book 170, best single shop 157."""
    assert sum(min(row) for row in PRICES) + FEE * len({row.index(min(row)) for row in PRICES}) == 170
    assert min(sum(row[i] for row in PRICES) for i in range(10)) + FEE == 157
