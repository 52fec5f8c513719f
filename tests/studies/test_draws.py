"""The draws against closed forms, against scipy's distributions, and against themselves. All money and hours are invented."""

import math

import numpy as np
import pytest
from scipy import stats

from costplan.model.choices import Distribution
from costplan.studies import draws
from costplan.studies.draws import sample
from costplan.studies.uncertain import Bend, Figure, Group, Grouped, Mover, Short

PERT, TRIANGULAR = Distribution.PERT, Distribution.TRIANGULAR
MANY = 40_000
FIRST = [83368.0, 112102.0, 89504.0, 118875.0, 100531.0]
TENTH = (0.1, 0.5, 0.9)


def figure(name: str, low: float, likely: float, high: float, **more: object) -> Figure:
    return Figure(name, low, likely, high, likely, **more)  # type: ignore[arg-type]


def plan(**cents: tuple[int, Group]) -> Grouped:
    """Lines of a plan, all in cash today."""
    sums = {group: amount for amount, group in cents.values()}
    return Grouped(sums, sums)


def one(*movers: Mover, shape: Distribution = PERT, cents: int = 100_000) -> "draws.Floats":
    return sample([plan(line=(cents, movers))], shape, 1, MANY).totals[0]


def frozen(shape: Distribution, low: float, likely: float, high: float) -> "stats.rv_frozen":
    """The same distribution by scipy."""
    width, mode = high - low, (likely - low) / (high - low)
    if shape is TRIANGULAR:
        return stats.triang(mode, low, width)
    return stats.beta(1 + 4 * mode, 1 + 4 * (1 - mode), low, width)


@pytest.mark.parametrize("shape", [PERT, TRIANGULAR])
@pytest.mark.parametrize("ends", [(2, 3, 7), (1, 1, 5), (0.5, 0.75, 1.6), (90, 100, 100), (-0.02, 0, 0.01)])
def test_quantiles_at_every_rank_are_those_of_scipy(
    shape: Distribution, ends: tuple[float, float, float]
) -> None:
    low, likely, high = ends
    known = frozen(shape, low, likely, high)
    found = low + (high - low) * draws._quantiles(shape, round((likely - low) / (high - low), 9))
    middles = (np.arange(draws.RANKS) + 0.5) / draws.RANKS
    assert np.abs(found - known.ppf(middles)).max() < 2e-4 * (high - low)
    assert found.mean() == pytest.approx(known.mean(), abs=1e-5 * (high - low))
    assert found.var() == pytest.approx(known.var(), rel=1e-4)


def test_ranks_are_spread_evenly_and_two_figures_know_nothing_of_each_other() -> None:
    # Kolmogorov-Smirnov and Spearman, at one in a thousand
    x = one(Mover(figure("one", 0.5, 1, 1.5)))
    y = one(Mover(figure("other", 0.5, 1, 1.5)))
    assert stats.kstest(x / 100_000, frozen(PERT, 0.5, 1, 1.5).cdf).pvalue > 0.001
    assert stats.spearmanr(x, y).pvalue > 0.001


def test_mean_and_variance_of_a_linear_shop_are_the_closed_form() -> None:
    # 2,000.00 of hours (2, 3, 7): mean 3.5, variance (3.5 - 2)(7 - 3.5) / 7 = 0.75; 800.00 at a price of 0.6 to 1.4:
    # variance 0.4 * 0.4 / 7; 300.00 that is certain
    hours = Mover(Figure("hours", 2, 3, 7, 3.5))
    total = sample(
        [
            plan(
                labor=(200_000, (hours,)),
                parts=(80_000, (Mover(figure("price", 0.6, 1, 1.4)),)),
                fee=(30_000, ()),
            )
        ],
        PERT,
        7,
        MANY,
    ).totals[0]
    variance = 200_000**2 * 0.75 / 3.5**2 + 80_000**2 * 0.16 / 7
    assert total.mean() == pytest.approx(310_000, abs=4 * math.sqrt(variance / MANY))
    assert total.std() == pytest.approx(math.sqrt(variance), rel=0.02)


def test_a_product_of_two_figures_has_the_variance_of_a_product() -> None:
    # independent: (1 + a)(1 + b) - 1, a = 0.16 / 7, b = 0.25 / 7
    found = one(Mover(figure("price", 0.6, 1, 1.4)), Mover(figure("share", 0.5, 1, 1.5)))
    exact = (1 + 0.16 / 7) * (1 + 0.25 / 7) - 1
    assert found.var() / 1e10 == pytest.approx(exact, rel=0.03)


def test_a_triangular_rate_has_the_mean_and_variance_of_the_triangle() -> None:
    # 10 h at 90, 100 or 140: mean 110, variance (90² + 100² + 140² - 90*100 - 90*140 - 100*140) / 18 = 116.67
    found = one(Mover(figure("rate", 90, 100, 140)), shape=TRIANGULAR)
    assert found.mean() / 100 == pytest.approx(1100, rel=0.002)
    assert found.std() / 100 == pytest.approx(10 * math.sqrt(2100 / 18), rel=0.02)


@pytest.mark.parametrize(
    ("mover", "at_low", "at_high"),
    [
        (Mover(figure("q", 0.1, 0.1, 0.2), Bend.ODDS), 1, (0.2 / 0.8) / (0.1 / 0.9)),
        (Mover(figure("q", 0.1, 0.1, 0.2), Bend.BOUGHT), 1, 0.9 / 0.8),
        (Mover(figure("r", 0.03, 0.03, 0.05), Bend.COMPOUND, -4), 1, (1.03 / 1.05) ** 4),
        (Mover(figure("g", 0.0, 0.0, 0.02), Bend.COMPOUND, 3), 1, 1.02**3),
        (Mover(figure("pace", 1, 1, 2), Bend.AGAINST), 1, 0.5),
    ],
)
def test_a_line_bends_with_its_figure_as_the_reckoning_does(
    mover: Mover, at_low: float, at_high: float
) -> None:
    """The ends of the draws are what the reckoning gives for the ends of the range."""
    found = one(mover) / 100_000
    low, high = sorted((at_low, at_high))
    assert low <= found.min() + 1e-5
    assert found.max() - 1e-5 <= high
    # the first and last of 8,192 ranks come within a fifth of the way of either end, even where the density runs out
    assert found.min() < low + 0.2 * (high - low)
    assert found.max() > high - 0.2 * (high - low)


def test_weights_are_a_share_of_all_of_them() -> None:
    calm, busy = figure("calm", 0.5, 0.6, 0.7), figure("busy", 0.4, 0.4, 0.4)
    both = (calm, busy)
    found = sample(
        [
            plan(
                a=(60_000, (Mover(calm, Bend.WEIGHT, beside=both),)),
                b=(40_000, (Mover(busy, Bend.WEIGHT, beside=both),)),
            )
        ],
        PERT,
        1,
        1000,
    ).totals[0]
    # 1,000.00 whichever comes is 1,000.00 at any weights
    assert np.abs(found - 100_000).max() <= 1


def test_prices_along_copper_share_the_ranks_of_a_normal_copula() -> None:
    # Spearman's correlation under a normal copula is 6 / pi * asin(share / 2) (Pearson 1907, from memory)
    tied = {"along": "copper", "share": 0.5}
    x = one(Mover(figure("cable", 0.7, 1, 1.3, **tied)))
    y = one(Mover(figure("cord", 0.7, 1, 1.3, **tied)))
    found = stats.spearmanr(x, y).statistic
    assert found == pytest.approx(6 / math.pi * math.asin(0.25), abs=0.02)
    # and each alone is as far off as it says
    assert stats.kstest(x / 100_000, frozen(PERT, 0.7, 1, 1.3).cdf).pvalue > 0.001


def test_figures_that_share_all_ranks_err_together() -> None:
    slow = {"along": "hours of crew", "share": 1.0}
    x = one(Mover(figure("drop", 0.5, 1, 2, **slow)))
    y = one(Mover(figure("cord", 0.8, 1, 1.1, **slow)))
    assert stats.spearmanr(x, y).statistic == pytest.approx(1, abs=1e-6)


def test_a_least_charge_is_paid_in_the_draws_that_stay_below_it() -> None:
    # 8 h of 6 to 10 at 100.00 with a least charge of 800.00: never less, and half of the draws are at it
    hours = (Mover(figure("hours", 0.75, 1, 1.25)),)
    sums = {hours: 80_000}
    short = Short({(): 80_000, hours: -80_000}, (), 1.0, today=True)
    found = sample([Grouped(sums, sums, (short,))], PERT, 1, MANY)
    assert found.totals.min() == 80_000
    assert (found.cash == 80_000).mean() == pytest.approx(0.5, abs=0.02)


def test_a_least_charge_of_a_later_year_is_worth_what_its_year_is_and_no_cash_of_today() -> None:
    """The same 8 h in year 1, worth 0.8 of it, with a least charge that wages move up to 10 % either way.

    By hand: every draw is worth 0.8 of the larger of the two, so never less than 0.8 x 720.00, and of those in which the
    labor is below it the mean is that of the least charge.
    """
    hours = (Mover(figure("hours", 0.5, 1, 1)),)
    wages = (Mover(figure("growth of labor", 0.9, 1, 1.1)),)
    rate = (Mover(figure("discount rate", 1, 1, 1)),)
    worth = {tuple(sorted((*hours, *rate))): 64_000}
    short = Short({wages: 80_000, hours: -80_000}, rate, 0.8, today=False)
    found = sample(
        [Grouped(worth, {}, (short,)), plan(a=(64_000, hours)), plan(a=(64_000, wages))], PERT, 1, MANY
    )
    topped, labor, least = found.totals
    assert abs(topped - np.maximum(labor, least)).max() <= 1
    assert (least > labor).mean() > 0.5
    assert not found.cash[0].any()
    assert topped.min() >= 57_600


def test_a_visit_that_is_above_its_least_charge_in_any_case_costs_no_more_rows() -> None:
    hours = (Mover(figure("hours", 0.75, 1, 1.25)),)
    sums = {hours: 80_000}
    for least, bites in ((59_999, False), (60_001, True)):
        short = Short({(): least, hours: -80_000}, (), 1.0, today=True)
        assert (draws._most(short) > 0) is bites
        assert sample([Grouped(sums, sums, (short,))], PERT, 1, MANY).totals.min() >= 60_000


def test_a_figure_is_drawn_alike_whatever_is_drawn_beside_it_and_in_any_blocks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    price = (Mover(figure("price", 0.7, 1, 1.3)),)
    other = (Mover(figure("other", 0.7, 1, 1.3)),)
    alone = sample([plan(a=(10_000, price))], PERT, 3, 5000).totals[0]
    beside = sample([plan(b=(5_000, other)), plan(a=(10_000, price))], PERT, 3, 5000).totals[1]
    monkeypatch.setattr(draws, "BLOCK_BYTES", 1)
    assert (alone == beside).all()
    assert (alone == sample([plan(a=(10_000, price))], PERT, 3, 5000).totals[0]).all()
    assert not (alone == sample([plan(a=(10_000, price))], PERT, 4, 5000).totals[0]).all()


def test_where_blocks_and_chunks_end_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    # one price alone, two that have half of their ranks in common, work that follows its hours and the discount rate
    tied = [(Mover(figure(name, 0.7, 1, 1.3, along="copper", share=0.5)),) for name in ("one", "two")]
    work = (Mover(figure("hours", 0.5, 1, 2)), Mover(figure("rate", 0.01, 0.03, 0.06), Bend.COMPOUND, -3))
    plans = [plan(a=(10_000, tied[0]), b=(20_000, tied[1]), c=(30_000, work), d=(500, ()))]
    whole = sample(plans, PERT, 3, 5001)
    monkeypatch.setattr(draws, "BLOCK_BYTES", 1)
    monkeypatch.setattr(draws, "CHUNK", 2048)
    cut = sample(plans, PERT, 3, 5001)
    assert (whole.totals == cut.totals).all()
    assert set(whole.ranks) == set(cut.ranks) == {"copper", "one", "two", "hours", "rate"}
    assert all((ranks[:2048] == cut.ranks[name]).all() for name, ranks in whole.ranks.items())
    # the ranks kept of a price are those it was drawn by
    value = 0.7 + 0.6 * draws._quantiles(PERT, 0.5)[whole.ranks["one"]]
    alone = sample([plan(a=(10_000, tied[0]))], PERT, 3, 5001).totals[0]
    assert np.abs(alone - 10_000 * value).max() <= 0.5


def test_the_stream_is_the_same_on_every_machine() -> None:
    """The first cents of seed 1, as they were when this was written: a change of numpy or of a processor changes nothing."""
    found = sample([plan(a=(100_000, (Mover(figure("price", 0.5, 1, 1.5)),)))], PERT, 1, 5).totals[0]
    assert found.tolist() == FIRST
