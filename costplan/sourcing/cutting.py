"""Ways to cut one reel: the patterns of the cutting-stock problem."""

from collections.abc import Iterator

MOST_PATTERNS = 400
"""More patterns than this make the program larger than counting pieces reel by reel."""


def fit_into_reels(pieces_ft: list[int], reel_ft: int, most: int) -> list[int] | None:
    """For each piece the number of the reel it is cut from, longest pieces first into the fullest reel.

    None when that takes more than `most` reels, which does not prove that no other cutting would do.
    """
    left: list[int] = []
    reel_of = [0] * len(pieces_ft)
    for piece in sorted(range(len(pieces_ft)), key=lambda i: (-pieces_ft[i], i)):
        length = pieces_ft[piece]
        open_reels = [reel for reel, room in enumerate(left) if room >= length]
        if not open_reels:
            left.append(reel_ft)
            open_reels = [len(left) - 1]
        reel = min(open_reels, key=lambda number: (left[number], number))
        left[reel] -= length
        reel_of[piece] = reel
    return reel_of if len(left) <= most else None


def cutting_patterns(sizes_ft: tuple[int, ...], room_ft: int) -> list[tuple[int, ...]] | None:
    """Every way to cut a reel that leaves no room for another piece: counts in the order of the sizes.

    sizes_ft: distinct lengths, longest first; room_ft: length of the reel.
    None when there are more than MOST_PATTERNS.
    Source: the pattern formulation of the cutting-stock problem, Gilmore and Gomory 1961, from memory.
    """
    found: list[tuple[int, ...]] = []
    for pattern in _patterns(sizes_ft, room_ft):
        found.append(pattern)
        if len(found) > MOST_PATTERNS:
            return None
    return found


def _patterns(sizes_ft: tuple[int, ...], room_ft: int) -> Iterator[tuple[int, ...]]:
    """Counts for the sizes from here on; a size may be cut short only where a later one fills the room."""
    if not sizes_ft:
        yield ()
        return
    first, rest = sizes_ft[0], sizes_ft[1:]
    most = room_ft // first
    for count in range(most, -1, -1):
        left = room_ft - count * first
        for later in _patterns(rest, left):
            waste = left - sum(n * size for n, size in zip(later, rest, strict=True))
            if count == most or waste < first:
                yield (count, *later)
