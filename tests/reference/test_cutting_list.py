"""A published cutting-stock instance as a cut list: the fewest reels, every piece once, nothing cut too long.

Source: the paper mill of the encyclopedia article "Cutting stock problem", 211 pieces from rolls of 5600 mm,
73 rolls (the figure from memory of the article, and no fewer can be: the pieces are longer than 72 rolls).
Millimetres stand for feet here.
"""

import re
from collections import Counter

import pytest
from bought_today import bought_today
from strategies import make_catalog, offer, piece

from costplan.reports.shopping import ShoppingList, list_of
from costplan.reports.shopping_text import cut_rows

MILL = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
REEL, FEWEST = 5600, 73


@pytest.fixture(scope="module")
def listed() -> ShoppingList:
    catalog = make_catalog([offer("nm-12-2", "store", 1, f"reel of {REEL} ft")])
    needs = {piece(size): count for size, count in MILL.items()}
    return list_of(*bought_today(catalog, needs, seconds=60))


def test_the_list_buys_the_fewest_reels(listed: ShoppingList) -> None:
    (part,) = listed.parts
    assert (part.quantity, part.unit) == (FEWEST, f"reel of {REEL} ft")
    assert listed.total_cents == FEWEST * 100


def test_every_piece_is_cut_once_and_no_reel_is_cut_longer_than_it_is(listed: ShoppingList) -> None:
    (part,) = listed.parts
    cut: Counter[int] = Counter()
    for reel in part.reels:
        used = sum(entry.length_ft * entry.count for entry in reel.pieces)
        assert used <= REEL
        assert used + reel.left_over_ft == REEL
        for entry in reel.pieces:
            cut[entry.length_ft] += entry.count
    assert len(part.reels) == FEWEST
    assert cut == Counter(MILL)


def test_what_is_left_over_is_what_the_article_s_figures_leave(listed: ShoppingList) -> None:
    """Computed here: 73 rolls of 5600 less 407,160 of pieces."""
    (part,) = listed.parts
    assert part.spare == sum(reel.left_over_ft for reel in part.reels) == 1640


def test_reels_cut_alike_are_one_row_of_the_cut_list(listed: ShoppingList) -> None:
    (part,) = listed.parts
    rows = list(cut_rows(part))
    assert len(rows) == len({reel.pieces for reel in part.reels})
    counted = [re.search(r"no\. (\d+)(?: to (\d+))? of 73", source) for _, source, _, _ in rows]
    numbers = [n for m in counted if m for n in range(int(m[1]), int(m[2] or m[1]) + 1)]
    assert numbers == list(range(1, FEWEST + 1))
