"""Weights of pieces by which no more than so much comes off one reel: what proves that pieces need another reel.

Source: the dual of the cutting-stock problem by patterns, Gilmore and Gomory 1961, from memory. The weights found are
rounded down, and what the heaviest reel then holds is reckoned exactly, so that the row is valid however the relaxation errs.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from costplan.program.program import Program
from costplan.program.relaxation import Linear

FINENESS = (60, 840, 10_000)
"""What the weight of a whole reel is rounded to, the coarsest that tells what it should first."""
MOST_PATTERNS = 200
"""How many patterns are looked at for the weights of one cutting."""


@dataclass(frozen=True, slots=True)
class Weights:
    """The weight of a piece by its length, and the most that a reel can hold of it."""

    by_ft: Mapping[int, int]
    reel: int


def telling_weights(
    pieces: Mapping[int, float], reel_ft: int, reels: float, others_ft: Collection[int], beyond: float = 0
) -> Weights | None:
    """Weights by which so many pieces, by length, are more than so many reels hold; None where none were found.

    Those of other lengths are as large as can be. beyond: by how much of a reel they must be more.
    """
    fractions = _dual(pieces, reel_ft)
    if fractions is None:
        return None
    for whole in FINENESS:
        weights = {size: int(share * whole + 1e-6) for size, share in fractions.items()}
        heaviest = _heaviest(weights, reel_ft)[reel_ft]
        if sum(count * weights[size] for size, count in pieces.items()) > heaviest * (reels + beyond):
            return Weights(_with_others(weights, heaviest, reel_ft, others_ft), heaviest)
    return None


def _dual(pieces: Mapping[int, float], reel_ft: int) -> dict[int, float] | None:
    """Shares of a reel that the pieces together take the most of while no reel holds more than one."""
    sizes = sorted(pieces, reverse=True)
    program = Program()
    for size in sizes:
        program.variable(f"{size} ft", 1, -round(pieces[size] * FINENESS[-1]))
    for index, size in enumerate(sizes):
        program.row(f"{size} ft alone", {index: reel_ft // size}, high=1)
    fine, linear = FINENESS[-1] * 100, Linear()
    for _ in range(MOST_PATTERNS):
        relaxed = linear.relaxed(program)
        if relaxed is None:
            return None
        shares = dict(zip(sizes, relaxed.values, strict=True))
        pattern = _heaviest_pattern({size: int(share * fine) for size, share in shares.items()}, reel_ft)
        if sum(shares[size] * count for size, count in pattern.items()) <= 1 + 1e-6:
            return shares
        program.row("pattern", {sizes.index(size): count for size, count in pattern.items()}, high=1)
    return None


def _heaviest(weights: Mapping[int, int], reel_ft: int) -> list[int]:
    """The most weight that comes off so many feet, by feet."""
    most = [0] * (reel_ft + 1)
    for feet in range(1, reel_ft + 1):
        cut = [weight + most[feet - size] for size, weight in weights.items() if size <= feet]
        most[feet] = max(most[feet - 1], *cut, 0)
    return most


def _heaviest_pattern(weights: Mapping[int, int], reel_ft: int) -> dict[int, int]:
    """The pieces of the heaviest reel, by length."""
    most, pattern, feet = _heaviest(weights, reel_ft), dict[int, int](), reel_ft
    while feet and most[feet]:
        cut = next(
            (s for s, w in weights.items() if s <= feet and w and w + most[feet - s] == most[feet]), None
        )
        if cut is None:
            feet -= 1
        else:
            pattern[cut] = pattern.get(cut, 0) + 1
            feet -= cut
    return pattern


def _with_others(
    weights: Mapping[int, int], heaviest: int, reel_ft: int, others_ft: Collection[int]
) -> dict[int, int]:
    """Weights of other lengths too, each as large as what may lie beside it allows."""
    found = dict(weights)
    for size in sorted(set(others_ft) - set(weights), reverse=True):
        most = _heaviest(found, reel_ft)
        found[size] = min((heaviest - most[reel_ft - n * size]) // n for n in range(1, reel_ft // size + 1))
    return found
