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
from costplan.studies.uncertain import Bend, Figure, Group, Grouped, Mover, Short

Floats = NDArray[np.float64]
Ranks = NDArray[np.intp]
SmallRanks = NDArray[np.uint16]

RANKS = 1 << 13
"""A distribution is drawn from so many values that are equally likely: a rank is a raw word of 16 bits less its last three."""
GRID = 4097
"""Points at which a density is summed up; odd, for halves."""
FARTHEST = 6.0
"""Standard deviations to which the normal distribution is tabulated."""
CHUNK = 100_000
"""So many draws have their words made at once, a multiple of the four in one word; of the first of them the ranks are kept."""
BLOCK_BYTES = 16_000_000
"""How much the factors of one block of draws take. Each block reads all tables anew, so a small one is slow, as measured."""
LEAST_BLOCK = 1024
"""Draws of a block where there are very many factors."""


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
    many = len(plans)
    sums = [plan.worth for plan in plans] + [plan.cash_today for plan in plans]
    shorts = [(place, short) for place, plan in enumerate(plans) for short in plan.shorts if _most(short) > 0]
    times = list(dict.fromkeys(short.time for _, short in shorts))
    sums += [short.lacking for _, short in shorts] + [{time: 1} for time in times]
    groups, coefficients = _stacked(sums)
    found = np.empty((2 * many, draws))
    at_once = max(LEAST_BLOCK, BLOCK_BYTES // (8 * max(1, len(groups))) // 4 * 4)
    desk = _Desk(shape, seed, groups)
    factors = np.empty((len(groups), min(at_once, draws)))
    # Pages are asked of the system once: for every block anew it would take longer than the draws.
    scratch = np.empty((len(desk.streams) + len(desk.mixes), factors.shape[1]), np.intp)
    summed = np.empty((len(sums), factors.shape[1]))
    for chunk in range(0, draws, CHUNK):
        desk.draw(min(CHUNK, draws - chunk))
        for start in range(chunk, min(chunk + CHUNK, draws), at_once):
            wide = min(at_once, draws - start, chunk + CHUNK - start)
            block, rows = factors[:, :wide], summed[:, :wide]
            desk.fill(block, scratch[:, :wide], start - chunk)
            np.matmul(coefficients, block, out=rows)
            for row, (place, short) in enumerate(shorts, 2 * many):
                lacking = np.maximum(rows[row], 0)
                if short.today:
                    rows[many + place] += lacking
                    rows[place] += lacking
                else:
                    time = rows[2 * many + len(shorts) + times.index(short.time)]
                    rows[place] += np.rint(lacking * time * short.worth)
            np.rint(rows[: 2 * many], out=found[:, start : start + wide])
    return Sample(found[:many], found[many:], desk.seen)


def _most(short: Short) -> float:
    """What visits may be short of at most, every figure at the end of its range that makes them so."""
    most = 0.0
    for group, cents in short.lacking.items():
        ends = [_bent(np.array([of.figure.low, of.figure.high]), of) for of in group]
        most += cents * float(np.prod([found.max() if cents > 0 else found.min() for found in ends]))
    return most


def _stacked(sums: Sequence[Mapping[Group, int]]) -> tuple[list[Group], Floats]:
    """All groups, and a row for each of the sums with what it has of each of them."""
    places: dict[Group, int] = {}
    # Plans share many of their groups as objects, and comparing two by their figures takes much longer.
    known: dict[int, int] = {}
    for group in (group for cents in sums for group in cents):
        if id(group) not in known:
            known[id(group)] = places.setdefault(group, len(places))
    coefficients = np.zeros((len(sums), len(places)))
    for row, cents in zip(coefficients, sums, strict=True):
        for group, amount in cents.items():
            row[known[id(group)]] = amount
    return list(places), coefficients


def below(cents: Floats, share: float) -> float:
    """The figure that so large a share of the draws does not exceed."""
    return float(np.quantile(cents, share))


@dataclass(frozen=True)
class _Mixed:
    """A figure that has a share of its ranks in common with others: a Gaussian copula of one factor.

    `common` and `own` are streams by place, `of_common` and `of_own` what each rank of them adds to a place among GRID points
    of the normal distribution.
    """

    name: str
    common: int
    own: int
    of_common: Floats
    of_own: Floats


@dataclass(frozen=True)
class _Factor:
    """What a line is multiplied by: a table by the rank of a stream, or, below nothing, by the point of a mixed figure."""

    table: Floats
    at: int
    beside: tuple[tuple[Floats, int], ...] = ()
    """Tables and streams of all weights, by whose sum it is divided."""


class _Desk:
    """The streams of all figures, read on chunk by chunk, and the tables over them; made once for all blocks."""

    def __init__(self, shape: Distribution, seed: int, groups: Sequence[Group]) -> None:
        self.shape, self.seed = shape, seed
        self.streams: dict[str, np.random.PCG64] = {}
        self.mixed: dict[Figure, _Mixed] = {}
        self.tables: dict[tuple[Figure, Bend, int], _Factor] = {}
        self.rows = [[self._factor(mover) for mover in group] for group in groups]
        self.mixes = list(reversed(self.mixed.values()))
        self.words = np.empty((len(self.streams), 0), np.uint16)
        self.points = np.empty((0, 0), np.uint16)
        self.seen: dict[str, SmallRanks] = {}
        """The ranks of all figures in the first chunk."""

    def draw(self, many: int) -> None:
        """The ranks of all streams in the next draws."""
        self.words = np.empty((len(self.streams), many), np.uint16)
        for row, stream in zip(self.words, self.streams.values(), strict=True):
            raw = stream.random_raw((many + 3) // 4).astype("<u8", copy=False).view("<u2")
            np.right_shift(raw[:many], 3, out=row)
        self.points = np.empty((len(self.mixes), 0 if self.seen else many), np.uint16)
        if not self.seen:
            own = {mixed.name: row for mixed, row in zip(self.mixes, self.points, strict=True)}
            self.seen = dict(zip(self.streams, self.words, strict=True)) | own

    def fill(self, block: Floats, at: Ranks, start: int) -> None:
        """A row of factors for each group, of the draws from there on; `at` is room for all ranks and points."""
        many, streams = block.shape[1], len(self.words)
        at[:streams] = self.words[:, start : start + many]
        sums, more = np.empty(many), np.empty(many)
        for mixed, points, seen in zip(self.mixes, at[streams:], self.points, strict=True):
            mixed.of_common.take(at[mixed.common], out=sums, mode="clip")
            mixed.of_own.take(at[mixed.own], out=more, mode="clip")
            sums += more
            np.trunc(sums, out=points, casting="unsafe")
            kept = seen[start : start + many]
            kept[:] = _ranks_of_points()[points[: len(kept)]]
        for row, factors in zip(block, self.rows, strict=True):
            if not factors:
                row[:] = 1
            for number, factor in enumerate(factors):
                # Every rank is within its table; where numpy has to look at that it takes longer and copies.
                factor.table.take(at[factor.at], out=more if number else row, mode="clip")
                if number:
                    row *= more
                if factor.beside:
                    weights = (table[at[stream]] for table, stream in factor.beside)
                    row /= sum(weights, np.zeros(many))

    def _factor(self, mover: Mover) -> _Factor:
        """The table of a line's factor at every rank of the figure; of a weight, beside all weights together."""
        key = (mover.figure, mover.bend, mover.years)
        if key not in self.tables:
            figure, table = mover.figure, _bent(self._values(mover.figure), mover)
            beside = tuple(
                (self._values(other), self._stream(other.name))
                for other in (mover.beside if mover.bend is Bend.WEIGHT else ())
            )
            if not figure.along or not figure.share:
                found = _Factor(table, self._stream(figure.name), beside)
            elif figure.share == 1:
                found = _Factor(table, self._stream(figure.along), beside)
            else:
                found = _Factor(table[_ranks_of_points()], self._mix(figure), beside)
            self.tables[key] = found
        return self.tables[key]

    def _mix(self, figure: Figure) -> int:
        """The mixed figure, by place below nothing: the first is the last."""
        if figure not in self.mixed:
            normal, steps = _normal_quantiles(), (GRID - 1) / (2 * FARTHEST)
            of_common = figure.share**0.5 * steps * normal
            # Half a step more, since whole numbers are cut and not rounded.
            of_own = ((1 - figure.share) ** 0.5 * normal + FARTHEST) * steps + 0.5
            common, own = self._stream(figure.along), self._stream(figure.name)
            self.mixed[figure] = _Mixed(figure.name, common, own, of_common, of_own)
        return -1 - list(self.mixed).index(figure)

    def _values(self, figure: Figure) -> Floats:
        """The figure at every rank."""
        width = figure.high - figure.low
        if not width:
            return np.full(RANKS, figure.likely)
        return figure.low + width * _quantiles(self.shape, round((figure.likely - figure.low) / width, 9))

    def _stream(self, name: str) -> int:
        """The stream of that name, by place."""
        if name not in self.streams:
            words = np.frombuffer(sha256(name.encode()).digest(), dtype="<u4")
            entropy = [self.seed, *(int(word) for word in words)]
            self.streams[name] = np.random.PCG64(np.random.SeedSequence(entropy))
        return list(self.streams).index(name)


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


@cache
def _ranks_of_points() -> SmallRanks:
    """The rank of a normal deviate at each point of the grid."""
    _, chances = _normal()
    return np.minimum((chances * RANKS).astype(np.uint16), RANKS - 1).astype(np.uint16)
