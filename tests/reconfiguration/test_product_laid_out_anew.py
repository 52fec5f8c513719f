"""The product against the plain reckoner, to the cent, for shops laid out anew today.

Every rule at once: who takes which outlet, which run with other ends, which cord whole or in pieces, what is bought and
what is made safe, and which of it together is cheapest. The rules are common practice, without a source; neither of the
two knows the other's arithmetic. `--hypothesis-profile=fresh` draws so many shops instead of a few, and
`python tests/reconfiguration/differences.py 300` lists what differs. Nothing here is to be loosened.
"""

import pytest
from drawn_anew import PLENTY_OF_SPACES, Drawn, machine, outlet, present, priced, shop_of, shops, unsold
from hard_shops import HARD_SHOPS, HardShop
from hypothesis import given, settings
from hypothesis import strategies as st
from soak import examples
from totals_anew import WIDE, both, product_cents, reckoned_cents

SAW, KILN = machine("saw", "saw", "A"), machine("kiln", "kiln", "A")
DROP_AT_B = present("wall drop", "B", "NEMA 6-20")
PLANER, DRILL = machine("planer", "saw", "B"), machine("drill", "drill", "B")
EXCHANGES = {
    "a run that its machine leaves serves another": Drawn(
        (KILN, SAW), (present("wall drop", "A", "NEMA 5-20"), None)
    ),
    "an idle run serves with other ends": Drawn((SAW,), (None,), (outlet("wall drop", "A", "NEMA 5-20"),)),
    "cords exchange their ends, outlets their machines": Drawn(
        (SAW, DRILL), (present("cord", "A", "NEMA 5-20", 40), present("cord", "B", "NEMA 6-20", 20))
    ),
    "an idle outlet has its poles already": Drawn(
        (SAW,), (None,), (outlet("wall drop", "A", "NEMA 6-20"),), (), 0
    ),
    "the breaker of one of two drops alike goes to a new one": Drawn(
        (machine("drill", "drill", "A"), PLANER, SAW),
        (DROP_AT_B, present("wall drop", "A", "NEMA 5-20"), DROP_AT_B),
    ),
}
"""Small shops, one exchange each."""


@pytest.mark.parametrize("drawn", EXCHANGES.values(), ids=EXCHANGES.keys())
def test_the_product_finds_the_exchange(drawn: Drawn) -> None:
    found, right = both(drawn.row())
    assert found == right


@pytest.mark.parametrize("shop", HARD_SHOPS.values(), ids=HARD_SHOPS.keys())
def test_the_product_finds_what_is_right(shop: HardShop) -> None:
    assert product_cents(shop_of(shop.row()), shop.catalog) == shop.right


@pytest.mark.parametrize("shop", HARD_SHOPS.values(), ids=HARD_SHOPS.keys())
def test_the_plain_reckoner_finds_what_is_right(shop: HardShop) -> None:
    assert reckoned_cents(shop_of(shop.row()), shop.catalog) == shop.right


@settings(max_examples=examples(40))
@given(shops())
def test_the_product_finds_what_the_plain_reckoner_finds(drawn: Drawn) -> None:
    found, right = both(drawn.row())
    assert found == right


@settings(max_examples=examples(20))
@given(shops(spaces=PLENTY_OF_SPACES))
def test_the_product_finds_it_where_outlets_stay_live_as_spares(drawn: Drawn) -> None:
    found, right = both(drawn.row(spare=True))
    assert found == right


KINDS = (
    "breaker",
    "receptacle",
    "plug",
    "connector",
    "cord",
    "building cable",
    "armored cable",
    "overhead kit",
)
FORTUNE = 1_000_000


@settings(max_examples=examples(40))
@given(shops(), st.frozensets(st.sampled_from(KINDS), min_size=1, max_size=3))
def test_what_nobody_sells_is_taken_from_what_is_there_or_there_is_no_plan(
    drawn: Drawn, kinds: frozenset[str]
) -> None:
    """Priced at a fortune, what nobody sells is bought only where nothing else serves; then there is no plan."""
    shop = shop_of(drawn.row())
    right = reckoned_cents(shop, priced(WIDE, kinds, FORTUNE))
    without = right is None or right >= FORTUNE * 100 / 2
    assert product_cents(shop, unsold(WIDE, kinds)) == (None if without else right)
