"""Seeded draws of what plans come to: the one module that loads numpy, and the only one that makes random numbers.

Every figure has a stream of its own, told by the seed and its name, so that all plans, also those of another layout or
another run, see the same draw of the same figure (common random numbers). The streams are the raw words of PCG64, whose
values numpy promises not to change; nothing here depends on its other generators.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from costplan.model.choices import Distribution
from costplan.studies.uncertain import Bend, Figure, Group, Grouped, Mover

Floats = NDArray[np.float64]
Ranks = NDArray[np.intp]
SmallRanks = NDArray[np.uint16]

RANKS = 1 << 13
"""A distribution is drawn from so many values that are equally likely: a rank is a raw word of 16 bits less its last three."""
GRID = 4097
"""Points at which a density is summed up; odd, for halves."""
FARTHEST = 6.0
"""Standard deviations to which the normal distribution is tabulated."""
RANKED_DRAWS = 100_000
"""In how many of the draws the ranks of figures are kept."""
BLOCK_BYTES = 4_000_000
"""How much the factors of one block of draws take: so many stay near the processor."""


@dataclass(frozen=True)
class Sample:
    """What each plan comes to in each draw, in whole cents: a row for a plan."""

    totals: Floats
    cash: Floats
    ranks: Mapping[str, SmallRanks] = field(default_factory=dict)
    """Of every figure by name, and of what figures have in common, in the first draws."""

    def of(self, places: Sequence[int]) -> "Sample":
        """Some of the plans, by place."""
        return Sample(self.totals[list(places)], self.cash[list(places)], self.ranks)


def sample(plans: Sequence[Grouped], shape: Distribution, seed: int, draws: int) -> Sample:
    """Draw every plan so many times, all with the same figures."""
    sums = [plan.worth for plan in plans] + [plan.cash_today for plan in plans]
    short = [place for place, plan in enumerate(plans) if plan.minimum_cents]
    sums += [plans[place].hired_today for place in short]
    groups = list(dict.fromkeys(group for cents in sums for group in cents))
    coefficients = np.array([[float(cents.get(group, 0)) for group in groups] for cents in sums])
    coefficients = coefficients.reshape(len(sums), len(groups))
    found = np.empty((len(sums), draws))
    at_once = max(1024, BLOCK_BYTES // (8 * max(1, len(groups))) // 4 * 4)
    desk = _Desk(shape, seed)
    for start in range(0, draws, at_once):
        many = min(at_once, draws - start)
        np.matmul(coefficients, desk.block(groups, many), out=found[:, start : start + many])
    many = len(plans)
    for row, place in enumerate(short, 2 * many):
        lacking = np.maximum(plans[place].minimum_cents - found[row], 0)
        found[place] += lacking
        found[many + place] += lacking
    np.rint(found, out=found)
    ranks = {name: np.concatenate(seen) for name, seen in desk.seen.items()}
    return Sample(found[:many], found[many : 2 * many], ranks)


def below(cents: Floats, share: float) -> float:
    """The figure that so large a share of the draws does not exceed."""
    return float(np.quantile(cents, share))


@dataclass
class _Desk:
    """The streams of all figures, read on block by block."""

    shape: Distribution
    seed: int
    streams: dict[str, np.random.PCG64] = field(default_factory=dict)
    tables: dict[tuple[Figure, Bend, int], Floats] = field(default_factory=dict)
    seen: dict[str, list[SmallRanks]] = field(default_factory=dict)
    drawn: int = 0

    def block(self, groups: Sequence[Group], many: int) -> Floats:
        """A row of factors for each group."""
        streams: dict[str, Ranks] = {}
        ranks: dict[Figure, Ranks] = {}
        factors = np.empty((len(groups), many))
        for row, group in zip(factors, groups, strict=True):
            if not group:
                row[:] = 1
            for number, mover in enumerate(group):
                if mover.figure not in ranks:
                    ranks[mover.figure] = self._ranks(mover.figure, streams, many)
                table = self._table(mover)
                if number:
                    row *= table[ranks[mover.figure]]
                else:
                    np.take(table, ranks[mover.figure], out=row, mode="clip")
                if mover.bend is Bend.WEIGHT:
                    row /= self._together(mover, streams, many)
        if self.drawn < RANKED_DRAWS:
            own = {figure.name: found for figure, found in ranks.items() if figure.share != 1}
            for name, found in (streams | own).items():
                self.seen.setdefault(name, []).append(found.astype(np.uint16))
        self.drawn += many
        return factors

    def _table(self, mover: Mover) -> Floats:
        """What a line is multiplied by at every rank of the figure; of a weight, beside all weights together."""
        key = (mover.figure, mover.bend, mover.years)
        if key not in self.tables:
            self.tables[key] = _bent(self._values(mover.figure), mover)
        return self.tables[key]

    def _values(self, figure: Figure) -> Floats:
        """The figure at every rank."""
        width = figure.high - figure.low
        if not width:
            return np.full(RANKS, figure.likely)
        return figure.low + width * _quantiles(self.shape, round((figure.likely - figure.low) / width, 9))

    def _together(self, mover: Mover, streams: dict[str, Ranks], many: int) -> Floats:
        """The sum of all weights."""
        weights = (self._values(other)[self._ranks(other, streams, many)] for other in mover.beside)
        return sum(weights, np.zeros(many))

    def _ranks(self, figure: Figure, streams: dict[str, Ranks], many: int) -> Ranks:
        """The ranks of a figure, some of which it has in common with others: a Gaussian copula of one factor."""
        if not figure.along or not figure.share:
            return self._stream(figure.name, streams, many)
        common = self._stream(figure.along, streams, many)
        if figure.share == 1:
            return common
        own = self._stream(figure.name, streams, many)
        normal = _normal_quantiles()
        mixed = figure.share**0.5 * normal[common] + (1 - figure.share) ** 0.5 * normal[own]
        return _ranks_of(mixed)

    def _stream(self, name: str, ranks: dict[str, Ranks], many: int) -> Ranks:
        if name not in ranks:
            if name not in self.streams:
                words = np.frombuffer(sha256(name.encode()).digest(), dtype="<u4")
                entropy = [self.seed, *(int(word) for word in words)]
                self.streams[name] = np.random.PCG64(np.random.SeedSequence(entropy))
            raw = self.streams[name].random_raw((many + 3) // 4).astype("<u8", copy=False).view("<u2")
            ranks[name] = (raw[:many] >> 3).astype(np.intp)
        return ranks[name]


def _bent(values: Floats, mover: Mover) -> Floats:
    """How a line follows its figure: 1 where that is what plans reckon with."""
    base, found = mover.figure.base, values
    match mover.bend:
        case Bend.ALONG | Bend.WEIGHT:
            found = values / base
        case Bend.AGAINST:
            found = base / values
        case Bend.COMPOUND:
            found = ((1 + values) / (1 + base)) ** mover.years
        case Bend.ODDS:
            found = (values / (1 - values)) / (base / (1 - base))
        case Bend.BOUGHT:
            found = (1 - base) / (1 - values)
    return found


@cache
def _middles() -> Floats:
    """The chance below each rank's middle."""
    return (np.arange(RANKS) + 0.5) / RANKS


@cache
def _quantiles(shape: Distribution, mode: float) -> Floats:
    """The value at every rank, of a range from 0 to 1 with that mode.

    Source: the beta-PERT, alpha = 1 + 4 mode, beta = 1 + 4 (1 - mode) on 0 to 1 (D. Vose, Risk Analysis, from memory);
    the triangular distribution by its inverse.
    """
    chances = _middles()
    if shape is Distribution.TRIANGULAR:
        rising, falling = np.sqrt(chances * mode), 1 - np.sqrt((1 - chances) * (1 - mode))
        found: Floats = np.where(chances < mode, rising, falling)
        return found
    at = np.linspace(0, 1, GRID)
    density = at ** (4 * mode) * (1 - at) ** (4 * (1 - mode))
    return np.asarray(np.interp(chances, _summed(density), at))


def _summed(density: Floats) -> Floats:
    """The chance below each point of a grid: the density summed up by trapezoids, to 1 in all."""
    steps: Floats = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2)])
    whole: Floats = steps / steps[-1]
    return whole


@cache
def _normal() -> tuple[Floats, Floats]:
    """Points of the normal distribution, and the chance below each."""
    at = np.linspace(-FARTHEST, FARTHEST, GRID)
    return at, _summed(np.exp(-(at**2) / 2))


@cache
def _normal_quantiles() -> Floats:
    at, chances = _normal()
    return np.interp(_middles(), chances, at)


def _ranks_of(normal: Floats) -> Ranks:
    """The ranks of normal deviates."""
    _, chances = _normal()
    place = np.clip((normal + FARTHEST) * ((GRID - 1) / (2 * FARTHEST)) + 0.5, 0, GRID - 1).astype(np.intp)
    return np.minimum((chances[place] * RANKS).astype(np.intp), RANKS - 1)
