"""Weights that rule cuttings out: valid for everything a reel holds, and telling where pieces need another reel."""

from collections import Counter
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.program.cutting_weights import telling_weights
from costplan.sourcing.cutting import fit_into_reels

SIZES = st.lists(st.integers(3, 15), min_size=1, max_size=4, unique=True)


def heaviest(by_ft: dict[int, int], reel_ft: int) -> int:
    """The most that any cutting of one reel weighs, every cutting tried."""
    cuts = product(*(range(reel_ft // size + 1) for size in by_ft))
    return max(
        sum(count * weight for count, weight in zip(cut, by_ft.values(), strict=True))
        for cut in cuts
        if sum(count * size for count, size in zip(cut, by_ft, strict=True)) <= reel_ft
    )


@given(SIZES, st.data(), st.integers(15, 30))
def test_no_reel_holds_more_than_the_weights_say_and_what_is_ruled_out_cannot_be_cut(
    sizes: list[int], data: st.DataObject, reel_ft: int
) -> None:
    pieces = {size: data.draw(st.integers(1, 4)) for size in sizes}
    others = data.draw(st.sets(st.integers(3, 15), max_size=2))
    told = Counter(pieces)
    for reels in range(1, 6):
        weights = telling_weights(pieces, reel_ft, reels, others | set(sizes))
        if weights is None:
            continue
        assert set(weights.by_ft) == others | set(sizes)
        assert heaviest(dict(weights.by_ft), reel_ft) <= weights.reel
        assert sum(count * weights.by_ft[size] for size, count in pieces.items()) > reels * weights.reel
        assert fit_into_reels(list(told.elements()), reel_ft, reels) is None


@pytest.mark.parametrize(
    ("pieces", "reels", "told"),
    [
        # Five pieces of 45 ft a reel of 250 ft, so 20 a four: the 21st needs another, though 945 ft are less than 1,000.
        ({45: 21}, 4, True),
        ({45: 20}, 4, False),
        # As long together as four reels; three of 66 leave 52 ft, one of 39 beside them 13 ft, which 5 and 6 ft do not fill.
        ({66: 12, 39: 3, 6: 11, 5: 5}, 4, True),
        ({126: 3}, 2, True),
    ],
)
def test_cuttings_of_250_ft(pieces: dict[int, int], reels: int, told: bool) -> None:
    """Each worked by hand: how many fit on a reel of 250 ft, times the reels."""
    assert (telling_weights(pieces, 250, reels, set()) is not None) is told


def test_fractions_of_a_relaxation_are_told_too() -> None:
    """Two thirds of a piece of 150 ft weigh as much as two thirds of a reel of 250 ft, not as 0.4."""
    assert telling_weights({150: 2 / 3}, 250, 0.5, set(), 0.001) is not None
    assert telling_weights({150: 2 / 3}, 250, 0.6666, set(), 0.001) is None
    assert telling_weights({150: 2 / 3}, 250, 0.7, set(), 0.001) is None
