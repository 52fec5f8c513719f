"""Ways to cut reels: pieces fitted into them, and the steps of the cutting-stock problem."""

from collections import Counter
from collections.abc import Iterator

MOST_STEPS = 100_000
"""How many fillings of a reel the search for a cutting tries before it gives up."""


def fit_into_reels(pieces_ft: list[int], reel_ft: int, most: int) -> list[int] | None:
    """For each piece the number of the reel it is cut from; None when no cutting into `most` reels was found."""
    order = sorted(range(len(pieces_ft)), key=lambda i: (-pieces_ft[i], i))
    longest_first = [pieces_ft[i] for i in order]
    reels = _into_fullest(longest_first, reel_ft, most)
    if reels is None:
        found = _Cutting(longest_first, reel_ft).into(most)
        if found is None:
            return None
        reels = _numbered(longest_first, found)
    reel_of = [0] * len(pieces_ft)
    for position, reel in zip(order, reels, strict=True):
        reel_of[position] = reel
    return reel_of


def _into_fullest(pieces_ft: list[int], reel_ft: int, most: int) -> list[int] | None:
    """The reel of each piece when every piece goes into the fullest reel that takes it; None when one finds no room."""
    room = [reel_ft] * most
    reels = []
    for length in pieces_ft:
        fullest = min(
            (reel for reel in range(most) if room[reel] >= length), key=lambda n: (room[n], n), default=None
        )
        if fullest is None:
            return None
        room[fullest] -= length
        reels.append(fullest)
    return reels


def _numbered(pieces_ft: list[int], reels: list[Counter[int]]) -> list[int]:
    """The reel of each piece, pieces of one length in the order of the reels."""
    left = [reel.copy() for reel in reels]
    numbers = []
    for length in pieces_ft:
        number = next(number for number, reel in enumerate(left) if reel[length])
        left[number][length] -= 1
        numbers.append(number)
    return numbers


class _Cutting:
    """A search over all cuttings, reel by reel: the longest piece left and whatever fills up its reel.

    Pieces of one length are counted, not told apart, and what cannot be cut from so many reels is remembered.
    """

    def __init__(self, pieces_ft: list[int], reel_ft: int) -> None:
        self.reel_ft = reel_ft
        self.counts = Counter(pieces_ft)
        self.sizes = tuple(sorted(self.counts, reverse=True))
        self.hopeless: set[tuple[tuple[int, ...], int]] = set()
        self.steps = 0

    def into(self, most: int) -> list[Counter[int]] | None:
        """What is cut from each of at most so many reels; None when nothing was found."""
        return self._rest(tuple(self.counts[size] for size in self.sizes), most)

    def _rest(self, left: tuple[int, ...], reels: int) -> list[Counter[int]] | None:
        if not any(left):
            return []
        feet = sum(count * size for count, size in zip(left, self.sizes, strict=True))
        if feet > reels * self.reel_ft or (left, reels) in self.hopeless:
            return None
        longest = next(position for position, count in enumerate(left) if count)
        for filling in _fillings(self.sizes, left, self.reel_ft):
            if self.steps >= MOST_STEPS:
                return None
            if not filling[longest]:
                continue
            self.steps += 1
            after = tuple(count - cut for count, cut in zip(left, filling, strict=True))
            rest = self._rest(after, reels - 1)
            if rest is not None:
                return [Counter(dict(zip(self.sizes, filling, strict=True))), *rest]
        self.hopeless.add((left, reels))
        return None


def _fillings(sizes_ft: tuple[int, ...], left: tuple[int, ...], room_ft: int) -> Iterator[tuple[int, ...]]:
    """Every way to fill a reel with pieces that are left until no further one fits."""
    if not sizes_ft:
        yield ()
        return
    first, most = sizes_ft[0], min(left[0], room_ft // sizes_ft[0])
    for count in range(most, -1, -1):
        room = room_ft - count * first
        for later in _fillings(sizes_ft[1:], left[1:], room):
            waste = room - sum(n * size for n, size in zip(later, sizes_ft[1:], strict=True))
            if count == most or waste < first:
                yield (count, *later)


def cutting_steps(sizes_ft: tuple[int, ...], room_ft: int) -> list[tuple[int, int]]:
    """Every step (from which foot, which length) by which reels can be cut with their longer pieces first."""
    reached = {0}
    steps = []
    for size in sorted(sizes_ft, reverse=True):
        for at in range(room_ft - size + 1):
            if at in reached:
                steps.append((at, size))
                reached.add(at + size)
    return steps
