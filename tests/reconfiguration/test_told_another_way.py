"""The same things told in other words of the shop file cost the same, for product and plain reckoner alike.

The rule: what stands in the shop is worth what it is, whoever has it and whatever word says it. It follows from the
rules of a shop laid out anew, which are common practice without a source; no total is given here, two are compared.
`--hypothesis-profile=fresh` draws so many shops instead of a few.
"""

from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

import pytest
from drawn_anew import (
    METHODS,
    PLACES,
    PLENTY_OF_SPACES,
    Drawn,
    machine,
    outlet,
    present,
    priced,
    shop_of,
    shops,
)
from hypothesis import example, given, settings
from hypothesis import strategies as st
from soak import examples
from totals_anew import WIDE, product_cents, reckoned_cents

from costplan.model.catalog import Catalog
from costplan.model.shop import Shop

Cents = Callable[[Shop, Catalog], int | None]

LOOSE = ("breaker", "receptacle", "plug", "connector")
FREE_PARTS = priced(WIDE, frozenset(LOOSE), 0)
PLENTY = tuple(
    {"part": part.id, "count": 9}
    for part in WIDE.parts
    if part.kind in LOOSE and part.attributes.get("ground_fault") is not True
)
SAFE = 10500
WALL = st.just("wall drop")


def agreeing(**how: Any) -> st.SearchStrategy[Drawn]:
    """Drawn shops in which no known difference of the product shows."""
    return shops(**how)


few = settings(max_examples=examples(10))
of_both = pytest.mark.parametrize("cents", [product_cents, reckoned_cents])


def nobody_needs_it(shape: str) -> Drawn:
    """A saw that has just what it needs, and a drill whose circuit is of no use to anybody where it stands now."""
    now = present(shape, "C", "NEMA 6-30", 20)
    saw, drill = machine("saw", "saw", "A"), machine("drill", "drill", "B")
    return Drawn((saw, drill), (present("wall drop", "A", "NEMA 6-20"), now))


@of_both
@few
@given(drawn=agreeing(spaces=PLENTY_OF_SPACES))
@example(drawn=nobody_needs_it("wall drop"))
@example(drawn=nobody_needs_it("cord"))
def test_spares_and_cords_of_machines_are_worth_idle_outlets_and_cords_on_the_shelf(
    cents: Cents, drawn: Drawn
) -> None:
    by_now = cents(shop_of(drawn.row(spare=True)), WIDE)
    assert by_now == cents(shop_of(drawn.row_without_now()), WIDE)


@of_both
@few
@given(drawn=agreeing(methods=WALL, spaces=PLENTY_OF_SPACES))
@example(drawn=nobody_needs_it("wall drop"))
def test_spares_on_drops_are_worth_idle_outlets_whatever_kits_cost(cents: Cents, drawn: Drawn) -> None:
    assert cents(shop_of(drawn.row(spare=True)), WIDE) == cents(shop_of(drawn.row_without_now()), WIDE)


@of_both
@few
@given(drawn=agreeing())
def test_a_shelf_full_of_parts_is_worth_parts_that_cost_nothing(cents: Cents, drawn: Drawn) -> None:
    full = replace(drawn, shelf=(*drawn.shelf, *PLENTY))
    assert cents(shop_of(full.row()), WIDE) == cents(shop_of(drawn.row()), FREE_PARTS)


@of_both
@few
@given(
    drawn=agreeing(methods=WALL), part=st.sampled_from(["breaker-1p-20", "breaker-2p-20", "breaker-2p-30"])
)
def test_an_outlet_that_can_serve_nobody_is_worth_its_breaker_on_the_shelf(
    cents: Cents, drawn: Drawn, part: str
) -> None:
    """Its wire is too thin for anybody, so it is made safe, which is paid and leaves breaker and poles."""
    poles, amps = int(part[8]), int(part[-2:])
    thin = {"place": "A", "panel": "panel", "method": "wall drop", "breaker": f"{amps} A", "poles": poles}
    thin |= {"configuration": "NEMA 5-20" if poles == 1 else "NEMA 6-20", "awg": "14"}
    had = replace(drawn, now=(thin, *drawn.now[1:]))
    lying = replace(had, now=(None, *drawn.now[1:]), shelf=(*drawn.shelf, {"part": part}))
    lying = replace(lying, spaces_free=drawn.spaces_free + poles)
    before, after = cents(shop_of(had.row()), WIDE), cents(shop_of(lying.row()), WIDE)
    assert before == (None if after is None else after + SAFE)


@of_both
@few
@given(drawn=agreeing(methods=WALL), random=st.randoms(use_true_random=False))
def test_who_has_which_drop_today_is_the_same(cents: Cents, drawn: Drawn, random: Random) -> None:
    now = [*drawn.now]
    random.shuffle(now)
    shuffled = replace(drawn, now=tuple(now))
    assert cents(shop_of(drawn.row()), WIDE) == cents(shop_of(shuffled.row()), WIDE)


@of_both
@few
@given(
    drawn=agreeing(), part=st.sampled_from(["breaker-1p-20", "breaker-2p-20", "receptacle-5-20", "plug-6-20"])
)
def test_one_thing_more_on_the_shelf_saves_no_more_than_its_price(
    cents: Cents, drawn: Drawn, part: str
) -> None:
    more = replace(drawn, shelf=(*drawn.shelf, {"part": part}))
    price = {"breaker-2p-20": 2000}.get(part, 1000)
    before, after = cents(shop_of(drawn.row()), WIDE), cents(shop_of(more.row()), WIDE)
    if before is None or after is None:
        assert before is after is None
    else:
        assert before - price <= after <= before


@of_both
@few
@given(drawn=shops(), method=METHODS, place=PLACES)
def test_a_shop_that_is_laid_out_as_told_costs_nothing(
    cents: Cents, drawn: Drawn, method: str, place: str
) -> None:
    """Every machine has just what it asks for, where it asks for it, and an idle outlet is somewhere."""
    methods = [method if now is None else now["method"] for now in drawn.now]
    now = tuple(
        present(had, machine["at"], machine["plug"], 40)
        for had, machine in zip(methods, drawn.machines, strict=True)
    )
    told = replace(drawn, now=now, installed=(outlet("wall drop", place, "NEMA 6-30"),))
    assert cents(shop_of(told.row()), WIDE) == 0
