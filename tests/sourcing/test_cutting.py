"""Pieces cut from reels, against plain searches over every cutting."""

from collections import Counter
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from costplan.sourcing.cutting import fit_into_reels

PIECES = st.lists(st.integers(1, 12), max_size=6)


def reels_needed(pieces_ft: list[int], reel_ft: int) -> int:
    """The fewest reels, by every way to hand out the pieces."""
    if not pieces_ft:
        return 0
    least = len(pieces_ft)
    for reels in product(range(len(pieces_ft)), repeat=len(pieces_ft)):
        used = Counter[int]()
        for reel, piece in zip(reels, pieces_ft, strict=True):
            used[reel] += piece
        if max(used.values()) <= reel_ft:
            least = min(least, len(used))
    return least


@given(PIECES, st.integers(12, 20))
def test_a_cutting_is_found_where_there_is_one_and_only_there(pieces_ft: list[int], reel_ft: int) -> None:
    needed = reels_needed(pieces_ft, reel_ft)
    reels = fit_into_reels(pieces_ft, reel_ft, needed)

    assert reels is not None
    used = Counter[int]()
    for reel, piece in zip(reels, pieces_ft, strict=True):
        used[reel] += piece
    assert len(used) <= needed
    assert all(feet <= reel_ft for feet in used.values())
    if needed:
        assert fit_into_reels(pieces_ft, reel_ft, needed - 1) is None


def test_many_pieces_alike_are_told_apart_by_number_only() -> None:
    """20 pieces of 45 ft need four reels of 250 ft at five a reel; a search piece by piece would not end."""
    assert fit_into_reels([45] * 20 + [57] * 3, 250, 4) is None
    assert fit_into_reels([45] * 20, 250, 4) is not None
    assert fit_into_reels([45] * 21, 250, 4) is None
