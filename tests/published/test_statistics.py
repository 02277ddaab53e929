"""Robust statistics against scipy, numpy, exact enumeration and published examples."""

import statistics as standard
from itertools import permutations
from math import comb, exp, inf

import numpy as np
import pytest
from scipy import integrate, stats

from divelog.physics import statistics as own
from divelog.physics.statistics import usual

FILL_X = (0.4, 1.1, 1.7, 2.6, 3.3, 4.1, 4.8, 5.5)
FILL_Y = (41.2, 42.0, 41.6, 43.1, 44.0, 43.7, 45.2, 46.1)
SIX_Y = (0.42, 0.45, 0.44, 0.47, 0.50, 0.49)
WILD_Y = (10, 10.4, 10.3, 25, 11.0, 11.3, 11.2, 11.9, 12.0)

SAMPLES = [
    (41.2, 42.0, 41.6, 43.1, 41.9),
    SIX_Y,
    (1.8, 1.7, 1.9, 1.75, 1.82, 1.78, 1.86),
    (10, 10.4, 10.3, 25, 11.0, 11.3, 11.2),
]


@pytest.mark.parametrize("values", SAMPLES)
def test_median_and_its_deviation(values: tuple[float, ...]) -> None:
    # Source: python's own statistics.median; scipy.stats.median_abs_deviation.
    assert own.median(values) == standard.median(values)
    assert own.median_deviation(values) == pytest.approx(stats.median_abs_deviation(values), rel=1e-12)


def test_the_normal_factor() -> None:
    # Source: 1/quantile(3/4) of the standard normal, by scipy.
    assert pytest.approx(1 / stats.norm.ppf(0.75), rel=1e-12) == usual.NORMAL_CONSISTENT


@pytest.mark.parametrize(
    ("values", "spread"),
    [(SAMPLES[0], 0.54168), (SAMPLES[1], 0.044070), (SAMPLES[2], 0.084380)],
)
def test_spread_with_the_small_sample_factors(values: tuple[float, ...], spread: float) -> None:
    # Source: Croux and Rousseeuw 1992, factors 1.8056, 1.7628, 1.6876 as a public source file prints them.
    assert own.baseline(values).spread == pytest.approx(spread, rel=1e-4)


def test_spread_of_equal_readings_is_the_gauge() -> None:
    # Source: uniform spread of one step, step/sqrt(3) as 95 % half-width's floor: 0.1/1.732 = 0.0577.
    assert own.baseline([5, 5, 5, 5, 5], 0.1).spread == pytest.approx(0.0577, abs=5e-5)


@pytest.mark.parametrize("n", [3, 4, 5, 6, 7, 8, 9, 10, 12, 20])
def test_small_sample_factors_are_unbiased(n: int) -> None:
    # Source: simulation of normal samples with numpy, 100 000 a size; standard error under 0.3 %.
    drawn = np.random.default_rng(20_320_504 + n).standard_normal((100_000, n))
    centre = np.median(drawn, axis=1, keepdims=True)
    deviation = np.median(np.abs(drawn - centre), axis=1)
    assert own.deviation_factor(n) * deviation.mean() == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize("n", [5, 6, 8, 10, 12, 20])
@pytest.mark.parametrize("wide", [True, False])
def test_prediction_factors_hold_a_further_reading(n: int, wide: bool) -> None:
    # Source: simulation of normal samples with numpy: 1 % (5 %) of further readings fall outside.
    generator = np.random.default_rng(20_320_504 + n)
    drawn = generator.standard_normal((200_000, n))
    further = generator.standard_normal(200_000)
    centre = np.median(drawn, axis=1)
    spread = own.deviation_factor(n) * np.median(np.abs(drawn - centre[:, None]), axis=1)
    outside = np.mean(np.abs(further - centre) > own.prediction_factor(n, wide=wide) * spread)
    assert outside == pytest.approx(0.01 if wide else 0.05, rel=0.08)


@pytest.mark.parametrize("n", [5, 6, 7, 8, 9, 10, 12, 15, 20])
def test_student_factors(n: int) -> None:
    # Source: scipy.stats.t.
    for wide, q in ((True, 0.995), (False, 0.975)):
        expected = stats.t.ppf(q, n - 1) * (1 + 1 / n) ** 0.5
        assert own.prediction_factor(n, wide=wide, robust=False) == pytest.approx(expected, abs=6e-4)


def test_individuals_chart_of_a_published_example() -> None:
    # Source: NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2, flow rates, from memory: limits
    # 45.8159 and 55.8041 with 3/1.128, so 45.8151 and 55.8049 with the rounded 2.66.
    flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    chart = own.individuals_chart(flow)
    assert chart.centre == pytest.approx(50.81, abs=1e-9)
    assert (chart.low, chart.high) == (pytest.approx(45.8159, abs=2e-3), pytest.approx(55.8041, abs=2e-3))
    assert chart.step == pytest.approx(6.1347, abs=1e-3)
    robust = own.individuals_chart(flow, robust=True)
    assert (robust.low, robust.high) == (
        pytest.approx(46.093, abs=1e-3),
        pytest.approx(55.527, abs=1e-3),
    )


def test_control_chart_constants() -> None:
    # Source: mean range of two normal readings, 2/sqrt(pi), by numerical integration with scipy; ISO 7870-2
    # rounds d2 to 1.128 and D4 to 3.267; the median range of two is sqrt(2) times the normal quantile.
    d2, _ = integrate.quad(lambda x: 1 - (1 - stats.norm.cdf(x)) ** 2 - stats.norm.cdf(x) ** 2, -inf, inf)
    assert pytest.approx(3 / d2, abs=2e-3) == usual.MOVING_RANGE_FACTOR
    d3 = (2 - d2**2) ** 0.5
    assert pytest.approx(1 + 3 * d3 / d2, abs=1e-3) == usual.MOVING_RANGE_LIMIT
    assert pytest.approx(3 / (2**0.5 * stats.norm.ppf(0.75)), abs=2e-3) == usual.MEDIAN_MOVING_RANGE_FACTOR


TRENDS = [
    (FILL_X, FILL_Y),
    (tuple(range(1, 7)), SIX_Y),
    ((0, 2, 5, 9, 12, 15, 20), (1.8, 1.7, 1.9, 1.75, 1.82, 1.78, 1.86)),
    (tuple(range(1, 10)), WILD_Y),
    (tuple(range(12)), (3, 1, 4, 1.5, 9, 2.6, 5, 3.5, 8, 9.7, 9.3, 2.3)),
]


@pytest.mark.parametrize(("x", "y"), TRENDS)
def test_trends_against_scipy(x: tuple[float, ...], y: tuple[float, ...]) -> None:
    # Source: scipy.stats.theilslopes (its interval is the normal one, a rank off at most) and kendalltau
    # with exact chances.
    found = own.trend(x, y)
    library = stats.theilslopes(y, x, 0.95)
    exact = stats.kendalltau(x, y, method="exact")
    assert found.line.slope == pytest.approx(library.slope, rel=1e-9)
    assert found.pairs.tau == pytest.approx(exact.statistic, rel=1e-12)
    assert found.pairs.p == pytest.approx(exact.pvalue, rel=1e-9)
    slopes = sorted((y[j] - y[i]) / (x[j] - x[i]) for j in range(len(x)) for i in range(j))
    assert found.line.low is not None
    assert found.line.high is not None
    near = min(range(len(slopes)), key=lambda i: abs(slopes[i] - library.low_slope))
    assert abs(min(range(len(slopes)), key=lambda i: abs(slopes[i] - found.line.low)) - near) <= 1


def test_the_pump_series() -> None:
    # Source: scipy==1.17.1 (theilslopes, kendalltau exact), where its interval equals the exact one.
    found = own.trend(FILL_X, FILL_Y)
    assert found.line.slope == pytest.approx(0.94318, rel=1e-4)
    assert (found.line.low, found.line.high) == (
        pytest.approx(0.67568, rel=1e-4),
        pytest.approx(1.28571, rel=1e-4),
    )
    assert (found.pairs.s, found.pairs.p) == (24, pytest.approx(0.001736, rel=1e-3))
    assert found.line.at(0.0) == pytest.approx(40.6176, abs=1e-3)
    assert found.voice is own.Voice.SPEAKS


@pytest.mark.parametrize(
    ("x", "y", "voice", "low", "high"),
    [
        (range(1, 7), SIX_Y, own.Voice.PERHAPS, -0.01, 0.03),
        ((0, 2, 5, 9, 12, 15, 20), SAMPLES[2], own.Voice.SILENT, -0.012, 0.016),
        (range(1, 10), WILD_Y, own.Voice.SPEAKS, 0.10, 0.32),
    ],
)
def test_how_much_series_say(
    x: tuple[float, ...], y: tuple[float, ...], voice: own.Voice, low: float, high: float
) -> None:
    # Source: scipy.stats.theilslopes(y, x, 0.95); the ranks agree with exact counts for these.
    found = own.trend(list(x), y)
    assert found.voice is voice
    assert found.line.low == pytest.approx(low, abs=1e-3)
    assert found.line.high == pytest.approx(high, abs=4e-3)


TIED = [
    (tuple(range(1, 8)), (0.2, 0.2, 0.3, 0.2, 0.3, 0.4, 0.4)),
    ((1, 1, 2, 3, 3, 4), (5, 4, 6, 8, 7, 9)),
    ((1, 1, 2, 3, 3, 4), (5, 5, 6, 6, 7, 7)),
    ((1, 2, 2, 2, 3, 4, 4), (1, 1, 2, 1, 3, 3, 2)),
]


@pytest.mark.parametrize(("x", "y"), TIED)
def test_equal_values_by_trying_every_ordering(x: tuple[float, ...], y: tuple[float, ...]) -> None:
    # Source: the permutation distribution itself, every ordering of y tried.
    def s_of(values: tuple[float, ...]) -> int:
        return sum(
            int(np.sign(x[j] - x[i]) * np.sign(values[j] - values[i]))
            for j in range(len(x))
            for i in range(j)
        )

    found = own.kendall(x, y)
    every = [abs(s_of(order)) for order in permutations(y)]
    assert found.s == s_of(y)
    assert found.p == pytest.approx(sum(s >= abs(found.s) for s in every) / len(every), rel=1e-12)
    assert found.tau == pytest.approx(stats.kendalltau(x, y).statistic, rel=1e-12)


def test_equal_readings_of_a_coarse_gauge() -> None:
    # Source: scipy gives tau_b 0.7638; every ordering tried gives a chance of 0.02857.
    found = own.kendall(*TIED[0])
    assert (found.s, found.tau, found.p) == (
        14,
        pytest.approx(0.7638, abs=1e-4),
        pytest.approx(0.02857, abs=1e-5),
    )
    assert own.slope_of(*TIED[0]).slope == pytest.approx(0.03333, abs=1e-5)


@pytest.mark.parametrize("steps", [30, 10**9])
def test_many_readings_against_scipys_asymptotics(steps: int) -> None:
    # Source: scipy.stats.kendalltau(method="asymptotic") has no continuity correction; its z is undone here.
    generator = np.random.default_rng(4)
    x = generator.integers(0, steps, 60)
    y = x + generator.integers(0, 2 * steps, 60)
    found = own.kendall(x.tolist(), y.tolist())
    z = stats.norm.isf(stats.kendalltau(x, y, method="asymptotic").pvalue / 2)
    spread = abs(found.s) / z
    assert found.p == pytest.approx(2 * stats.norm.sf((abs(found.s) - 1) / spread), rel=1e-6)


def test_two_readings_have_two_orders() -> None:
    # Source: S is 1 or -1 with equal chance, so its variance is 1.
    assert own.variance_of_s(2) == 1.0


@pytest.mark.parametrize(
    ("n", "rank"),
    # Source: exact counts of permutations by inversions; the table of Hollander and Wolfe, from memory.
    list(enumerate((1, 2, 4, 6, 9, 12, 15, 19, 23, 28, 33, 38, 44, 51, 58, 65), start=5)),
)
def test_ranks_of_the_interval(n: int, rank: int) -> None:
    assert own.interval_rank(n) == rank


@pytest.mark.parametrize(("n", "least"), [(5, 0.0167), (6, 0.00278), (8, 4.96e-5), (10, 5.51e-7)])
def test_the_least_chance_of_a_sample(n: int, least: float) -> None:
    # Source: scipy.stats.kendalltau(range(n), range(n), method="exact") = 2/n!.
    found = own.kendall(range(n), range(n))
    assert found.p == pytest.approx(stats.kendalltau(range(n), range(n), method="exact").pvalue, rel=1e-9)
    assert found.p == pytest.approx(least, rel=5e-3)


def test_the_interval_covers_as_often_as_it_says() -> None:
    # Source: simulation with numpy, straight line plus normal noise: at least 95 % of intervals hold the slope.
    generator = np.random.default_rng(7)
    x = [0.0, 1.0, 2.0, 3.0, 4.5, 6.0, 7.0]
    held = 0
    for _ in range(2000):
        line = own.slope_of(x, list(0.5 * np.array(x) + generator.standard_normal(7)))
        assert line.low is not None
        assert line.high is not None
        held += line.low <= 0.5 <= line.high
    assert held / 2000 == pytest.approx(0.970, abs=0.015)


@pytest.mark.parametrize(
    ("limit", "at", "soonest", "latest"), [(50.0, 9.948, 8.083, 12.718), (47.0, 6.767, 5.750, 8.278)]
)
def test_crossing_of_the_pump_series(limit: float, at: float, soonest: float, latest: float) -> None:
    # Source: line and interval by scipy above; by hand (50 - 43.4)/0.94318 + 2.95 = 9.948.
    found = own.crossing(own.trend(FILL_X, FILL_Y), limit, FILL_Y[-1])
    assert found.meeting is own.Meeting.AHEAD
    assert found.at == pytest.approx(at, abs=2e-3)
    assert found.soonest == pytest.approx(soonest, abs=2e-3)
    assert found.latest == pytest.approx(latest, abs=2e-3)


@pytest.mark.parametrize(
    ("a", "b", "u", "p"),
    [
        ((41, 42, 41.5, 43, 42.2, 41.8), (47, 48, 46.5, 47.5), 0, 0.009524),
        ((0.42, 0.45, 0.44), (0.50, 0.52, 0.49, 0.51, 0.53), 0, 0.035714),
        ((0.42, 0.45, 0.44), (0.50, 0.52, 0.43), 2, 0.40),
    ],
)
def test_rank_test(a: tuple[float, ...], b: tuple[float, ...], u: float, p: float) -> None:
    # Source: scipy.stats.mannwhitneyu(method="exact").
    found = own.rank_test(a, b)
    library = stats.mannwhitneyu(a, b, method="exact")
    assert (found.u, found.p) == (library.statistic, pytest.approx(library.pvalue, rel=1e-9))
    assert (found.u, found.p) == (u, pytest.approx(p, abs=1e-5))


def test_rank_test_with_equal_values_by_trying_every_split() -> None:
    # Source: scipy.stats.permutation_test over all splits of the midrank sum.
    a, b = (1.0, 2.0, 2.0, 3.0), (2.0, 3.0, 3.0, 4.0, 5.0)

    def statistic(one: np.ndarray, two: np.ndarray) -> float:
        return float(stats.rankdata(np.concatenate([one, two]))[: len(one)].sum())

    library = stats.permutation_test((a, b), statistic, n_resamples=np.inf)
    assert own.rank_test(a, b).p == pytest.approx(library.pvalue, rel=1e-9)


def test_rank_test_of_large_samples() -> None:
    # Source: scipy.stats.mannwhitneyu(method="asymptotic"), ties and continuity corrected.
    generator = np.random.default_rng(3)
    a, b = generator.integers(0, 40, 30), generator.integers(5, 45, 35)
    library = stats.mannwhitneyu(a, b, method="asymptotic", use_continuity=True)
    found = own.rank_test(a.tolist(), b.tolist())
    assert (found.u, found.p) == (library.statistic, pytest.approx(library.pvalue, rel=1e-9))


@pytest.mark.parametrize(
    ("m", "n", "least", "judges"),
    [
        # Source: 2/C(m + n, m).
        (3, 3, 0.100, False),
        (3, 4, 0.0571, False),
        (4, 4, 0.0286, True),
        (3, 5, 0.0357, True),
        (4, 5, 0.0159, True),
        (5, 5, 0.0079, True),
        (2, 9, 0.0364, False),
    ],
)
def test_what_two_samples_can_say_at_all(m: int, n: int, least: float, judges: bool) -> None:
    assert own.rank_test(range(m), range(100, 100 + n)).p == pytest.approx(2 / comb(m + n, m), rel=1e-12)
    assert 2 / comb(m + n, m) == pytest.approx(least, abs=5e-5)
    assert own.can_judge(m, n) is judges


def test_shift_and_its_interval_by_the_exact_counts() -> None:
    # Source: Hodges and Lehmann 1963: median of differences; interval ends are the shifts at which scipy's
    # exact rank test passes 5 %.
    a, b = (41, 42, 41.5, 43, 42.2, 41.8), (47, 48, 46.5, 47.6)
    found = own.shift_of(a, b)
    assert found.shift == pytest.approx(np.median(np.subtract.outer(b, a)), rel=1e-12)
    assert found.low is not None
    assert found.high is not None
    for inner, outer in ((found.low + 1e-6, found.low - 1e-6), (found.high - 1e-6, found.high + 1e-6)):
        inside = stats.mannwhitneyu(a, np.array(b) - inner, method="exact").pvalue
        outside = stats.mannwhitneyu(a, np.array(b) - outer, method="exact").pvalue
        assert inside > 0.05 >= outside


def test_unrecorded_step() -> None:
    # Source: Pettitt 1979, from memory; by hand K = 35 after the seventh, 2 exp(-6 35^2/(12^3 + 12^2)).
    found = own.unrecorded_step([41, 42, 41.5, 43, 42, 41.8, 42.4, 47, 48, 46.5, 47.5, 48.2])
    assert found is not None
    assert (found.after, found.k, found.p) == (7, 35, pytest.approx(2 * exp(-6 * 35**2 / 1872), rel=1e-12))
    assert found.p == pytest.approx(0.0394, abs=1e-4)


@pytest.mark.parametrize(("s", "critical", "detectable"), [(0.01, 0.02326, 0.04653), (0.1, 0.2326, 0.4653)])
def test_detection_limits(s: float, critical: float, detectable: float) -> None:
    # Source: Currie 1968, paired weighings: 1.645 sqrt(2) s and twice it (normal quantile by scipy).
    quantile = stats.norm.ppf(0.95) * 2**0.5
    found = own.towel_leak(0.0, 0.0, s * 1e-3, 1.0, 1.0)
    assert found.under * 1e3 == pytest.approx(2 * quantile * s, rel=2e-4)
    assert found.under * 1e3 == pytest.approx(detectable, rel=1e-3)
    assert own.towel_leak(0.0, critical * 1.001e-3, s * 1e-3, 1.0, 1.0).seen
    assert not own.towel_leak(0.0, critical * 0.999e-3, s * 1e-3, 1.0, 1.0).seen


@pytest.mark.parametrize(
    ("before", "after", "s", "hours", "rate", "u95"),
    [(12.31, 12.43, 0.01, 0.75, 0.1603, 0.0378), (57.1, 58.2, 0.1, 1.2, 0.918, 0.236)],
)
def test_towel_weights(before: float, after: float, s: float, hours: float, rate: float, u95: float) -> None:
    # Source: by hand, density of water at 20 degC 998.2 kg/m3.
    found = own.towel_leak(before * 1e-3, after * 1e-3, s * 1e-3, hours * 3600, 998.2)
    assert found.seen
    assert found.rate is not None
    assert found.rate * 3.6e9 == pytest.approx(rate, rel=2e-3)
    assert found.u95 * 3.6e9 == pytest.approx(u95, rel=3e-3)


def test_a_gain_within_chance_is_not_nothing() -> None:
    # Source: by hand: 0.02 g is under 2.326 x 0.01 g; 0.0465 g over 0.75 h is 0.06 mL an hour.
    found = own.towel_leak(12.31e-3, 12.33e-3, 0.01e-3, 0.75 * 3600, 998.2)
    assert (found.seen, found.rate) == (False, None)
    assert found.under * 3.6e9 == pytest.approx(0.0621, abs=1e-3)


def test_a_scale_known_by_its_step() -> None:
    # Source: JCGM 100:2008, 4.3.7; by hand 0.01/(2 sqrt 3) = 0.00289.
    assert own.scale_repeatability(0.01) == pytest.approx(0.00289, abs=5e-6)


@pytest.mark.parametrize("k", [0, 1, 2, 3])
@pytest.mark.parametrize("n", [3, 10, 25, 30, 40, 100, 300])
def test_bounds_on_failing_runs(k: int, n: int) -> None:
    # Source: scipy.stats.binomtest(..., alternative="less") exact interval.
    expected = stats.binomtest(k, n, alternative="less").proportion_ci(0.95, "exact").high
    assert own.most_failures_a_run(k, n) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("runs", "bound"), [(1, 0.95), (3, 0.6316), (10, 0.2589), (29, 0.0981), (59, 0.0495), (299, 0.00997)]
)
def test_runs_without_a_failure(runs: int, bound: float) -> None:
    # Source: 1 - 0.05^(1/n), the rule of three (Eypasch et al. 1995, from memory).
    assert own.most_failures_a_run(0, runs) == pytest.approx(bound, abs=5e-5)


@pytest.mark.parametrize(("k", "hours"), [(0, 20), (1, 20), (3, 50)])
def test_bounds_on_failures_in_time(k: int, hours: float) -> None:
    # Source: scipy.stats.chi2: chi2(0.95, 2k + 2)/(2T).
    expected = stats.chi2.ppf(0.95, 2 * k + 2) / 2 / hours
    assert own.most_failures_a_second(k, hours) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("ratios", "value", "low", "high"),
    [
        ((52 / 45,), 1.12262, 0.8630, 1.4603),
        ((52 / 45, 50 / 45, 54 / 46, 51 / 44), 1.14394, 0.9665, 1.3539),
        ((1.2 / 1.5, 1.3 / 1.4, 1.1 / 1.5), 0.83120, 0.6544, 1.0558),
        (tuple(each / 25 for each in (30, 29, 31, 30, 32, 30, 31, 29)), 1.20629, 1.0514, 1.3840),
        ((1.0,), 1.0, 0.7688, 1.3008),
    ],
)
def test_factors(ratios: tuple[float, ...], value: float, low: float, high: float) -> None:
    # Source: normal-normal posterior, done here on a grid with numpy from prior and likelihood.
    logs = np.log(ratios)
    n = len(logs)
    s2 = float(np.var(logs, ddof=1)) if n > 1 else 0.0
    noise2 = (4 * 0.1**2 + (n - 1) * s2) / (n + 3)
    grid = np.linspace(-1.5, 1.5, 60_001)
    posterior = np.exp(-(grid**2) / (2 * 0.2**2) - ((logs[:, None] - grid) ** 2).sum(axis=0) / (2 * noise2))
    posterior /= posterior.sum()
    mean = float((grid * posterior).sum())
    sd = float((((grid - mean) ** 2) * posterior).sum() ** 0.5)
    found = own.factor_of(ratios)
    assert found.value == pytest.approx(exp(mean), rel=1e-6)
    assert found.spread == pytest.approx(sd, rel=1e-6)
    assert found.value == pytest.approx(value, rel=1e-4)
    centre, least, most = found.range95(1.0)
    assert (centre, least, most) == (
        pytest.approx(value, rel=1e-4),
        pytest.approx(low, rel=1e-4),
        pytest.approx(high, rel=1e-4),
    )
