"""Shops of up to four machines, worked by hand: the product's least total, and the plain reckoner's where it can read them.

Every rule of a shop laid out anew is checked here, today's and the later years'. The totals are worked by hand, from the
prices of the tiny example and from common practice; no source gives them. Every task of the electrician is 100, the
owner's work free, making safe 105. Feet from the panel, with the 5 ft of each run or cord: A 30, B 20, C 40, D 25, E 40.
A new drop of n ft is n + 100 + receptacle 10 + box 5 + set 100 + land 100, and a breaker unless one is free; a new outlet
beside the panel 325 likewise; a new cord set of n ft 2n - n back + plug 10 + connector 20 + kit 15. *Safe* is made safe.
"""

import pytest
from drawn_anew import unsold
from totals_anew import SHOPS, TINY, WIDE, product_cents, read, reckoned_cents

BY_HAND = {
    "s1": 0,  # two machines on equal drops change places: unplug, plug in
    "s2": 0,  # one on a drop and one on a cord change places: each takes the other's outlet, cord and kit stay
    "s3": 0,  # two on cords of 30 and 40 ft change places: the cords are exchanged
    "s4": 0,  # a place that needs 40 ft, and a remnant of 40 ft on the shelf: the ends go onto it
    "s5": 46000,  # run 40 + 100, receptacle 10, box 5, set 100, breaker kept and landed 100, old drop safe 105
    "s6": 23000,  # receptacle changed 100, breaker 100 + 20, plug 10, cable kept
    "s6w": 22000,  # receptacle changed 100, breaker 100 + 20, run kept
    "s8": 46000,  # new run with the other's freed breaker 355, the other's old drop safe 105
    "s10": 12000,  # kit 15, old drop safe 105
    "s11": 44500,  # outlet beside the panel 10 + 100 + 10 + 5 + 100 + 100, kit 15, old drop safe 105
    "s13": 42000,  # two receptacles changed and bought 220, two breakers exchanged 200
    "r1": 2500,  # the 40 ft cord to the saw, the 30 ft to the jointer, 25 ft bought for the planer 50 - 25
    "r2": 0,  # saw onto the planer's drop, jointer onto the saw's, planer onto its outlet, cord and kit
    "r3": 2500,  # saw onto the planer's outlet, 25 ft of cable 50 - 25, the planer's ends, its kit hung again 0
    "r4": 4000,  # planer the saw's 30 ft; the saw or the sander the remnant, the other 40 ft bought 80 - 40
    "r5": 34500,  # receptacle 110, breaker 100 (from A), plug 10, connector 20, the saw's kit 0, drop at A safe 105
    "r8": 41000,  # two receptacles from the shelf 200, two-pole breaker exchanged 100, one-pole 100 + 10 (15 A is too small)
    "r9": 12000,  # both idle outlets and the shelf's cord, kit 15, drop at B safe 105; no space is needed
    "r10": 10500,  # year 2: drill onto the idle drop, sander onto the drill's, the sander's safe 105
    "r11": 10500,  # year 1: saw leaves, jointer onto its drop, the jointer's safe 105
    "r12": 48000,  # sander onto the saw's drop, drill onto the sander's; saw at E 355, breaker 20; the drill's safe 105
    "r13": 66000,  # sander converts A 110 + 100; jointer at E 355 - receptacle 10, breaker out of A; C safe 105
    "r14": 22000,  # saw and planer take each other's; sander: receptacle from the shelf 100, breaker 100 + 20
    "r14b": 23500,  # the same as installed: and shelf:, which hold no kit: 15 more
    "r14c": 22000,  # r14b with the kit on the shelf too
    "r15": 0,  # it keeps outlet and cord at both places, though an idle drop and a shorter cord tempt
    "r16": 10500,  # year 1: saw leaves, planer takes its longer cord; one of two outlets beside the panel safe 105
    "r17": 56500,  # r13 with nothing made safe: 345 + 110 + 100, and the one-pole breaker bought 10, since C keeps its own
}
"""Totals in cents of the shops in `shops/`."""
IN_LATER_YEARS = {"r10", "r11", "r15", "r16"}
"""Shops in which something happens after today, which the plain reckoner does not read."""
KILN_TAKES_HEATERS_RUN = 20500
"""r7: heater onto the idle drop; kiln onto the run at B, breaker changed 100 with A's, A safe 105."""


@pytest.mark.parametrize("name", BY_HAND)
def test_the_product_finds_what_was_worked_by_hand(name: str) -> None:
    assert product_cents(read(name), TINY) == BY_HAND[name]


@pytest.mark.parametrize("name", [name for name in BY_HAND if name not in IN_LATER_YEARS])
def test_the_plain_reckoner_finds_what_was_worked_by_hand(name: str) -> None:
    assert reckoned_cents(read(name), TINY) == BY_HAND[name]


def test_a_run_that_is_there_serves_though_nobody_sells_its_parts() -> None:
    assert product_cents(read("r7"), TINY) == KILN_TAKES_HEATERS_RUN


@pytest.mark.parametrize("cents", [product_cents, reckoned_cents])
def test_it_serves_where_somebody_sells_them(cents: object) -> None:
    assert callable(cents)
    assert cents(read("r7"), WIDE) == KILN_TAKES_HEATERS_RUN


LOOSE = ("receptacle", "breaker", "plug", "connector")
RUNS = ("building cable", "armored cable", "cord")
NOT_BOUGHT = {
    "s1": (*LOOSE, *RUNS, "outlet box"),
    "s2": (*LOOSE, *RUNS, "overhead kit"),
    "s5": ("breaker", "plug", "connector", "cord"),
    "s10": (*LOOSE, *RUNS, "outlet box"),
    "s13": ("breaker", "plug", *RUNS),
    "r8": ("receptacle", "plug", "connector", *RUNS),
    "r10": (*LOOSE, *RUNS),
    "r14": ("receptacle", "plug", *RUNS),
}
"""Kinds of which the best plan of a shop buys nothing: it stays the best when nobody sells them."""
BOUGHT = {"s5": "building cable", "s10": "overhead kit", "s13": "receptacle", "r8": "breaker"}
"""A kind that every plan of a shop buys something of."""


@pytest.mark.parametrize("name", NOT_BOUGHT)
def test_nobody_need_sell_what_is_there(name: str) -> None:
    assert product_cents(read(name), unsold(TINY, frozenset(NOT_BOUGHT[name]))) == BY_HAND[name]


@pytest.mark.parametrize(("name", "kind"), BOUGHT.items())
def test_what_must_be_bought_and_nobody_sells_leaves_no_plan(name: str, kind: str) -> None:
    assert product_cents(read(name), unsold(TINY, frozenset({kind, *NOT_BOUGHT[name]}))) is None


def test_every_shop_of_the_folder_is_looked_at() -> None:
    assert {path.stem for path in SHOPS.glob("*.yaml")} == {*BY_HAND, "r7"}
