"""Ways to cut one reel: the patterns of the cutting-stock problem."""

from collections.abc import Iterator

MOST_PATTERNS = 400
"""More patterns than this make the program larger than counting pieces reel by reel."""


MOST_STEPS = 100_000
"""How many pieces the search for a cutting lays down before it gives up."""


def fit_into_reels(pieces_ft: list[int], reel_ft: int, most: int) -> list[int] | None:
    """For each piece the number of the reel it is cut from; None when no cutting into `most` reels was found.

    `cannot_fit` tells whether there is none at all.
    """
    order = sorted(range(len(pieces_ft)), key=lambda i: (-pieces_ft[i], i))
    search = _Cutting([pieces_ft[i] for i in order], reel_ft, most)
    if not search.found():
        return None
    reel_of = [0] * len(pieces_ft)
    for position, reel in zip(order, search.reel_of, strict=True):
        reel_of[position] = reel
    return reel_of


def cannot_fit(pieces_ft: list[int], reel_ft: int, most: int) -> bool:
    """Whether it is proven that the pieces cannot be cut from so many reels; False also when undecided."""
    search = _Cutting(sorted(pieces_ft, reverse=True), reel_ft, most)
    return not search.found() and search.steps < MOST_STEPS


class _Cutting:
    """A search over all cuttings, the longest piece first, into the fullest reel that takes it."""

    def __init__(self, pieces_ft: list[int], reel_ft: int, most: int) -> None:
        self.pieces, self.reel_ft, self.most = pieces_ft, reel_ft, most
        self.room = [reel_ft] * most
        self.reel_of: list[int] = []
        self.steps = 0

    def found(self) -> bool:
        """Whether all pieces are laid down; `reel_of` then says where."""
        position = len(self.reel_of)
        if position == len(self.pieces):
            return True
        length = self.pieces[position]
        tried: set[int] = set()
        for reel in sorted(range(self.most), key=lambda number: (self.room[number], number)):
            room = self.room[reel]
            if room < length or room in tried or self.steps >= MOST_STEPS:
                continue
            tried.add(room)
            self.steps += 1
            self.room[reel] -= length
            self.reel_of.append(reel)
            if self.found():
                return True
            self.reel_of.pop()
            self.room[reel] += length
        return False


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
