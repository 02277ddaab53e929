"""Robust statistics: what must hold whatever the readings."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import statistics as own
from divelog.physics.errors import OutOfRangeError
from divelog.physics.statistics import Conditions, Meeting, Voice

few = settings(max_examples=100, deadline=None)
readings = st.floats(-100, 100).map(lambda value: round(value, 2))
samples = st.lists(readings, min_size=5, max_size=14)
rising = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]


@few
@given(values=samples, scale=st.floats(0.01, 50), shift=readings)
def test_a_baseline_moves_and_scales_with_its_readings(
    values: list[float], scale: float, shift: float
) -> None:
    one = own.baseline(values)
    two = own.baseline([scale * value + shift for value in values])
    assert two.median == pytest.approx(scale * one.median + shift, abs=1e-6)
    assert two.spread == pytest.approx(scale * one.spread, abs=1e-6)


@few
@given(values=samples, wild=st.floats(1e3, 1e6))
def test_one_wild_reading_cannot_carry_a_baseline_off(values: list[float], wild: float) -> None:
    found = own.baseline([*values, wild])
    assert min(values) <= found.median <= max(values)


@few
@given(values=samples, resolution=st.floats(0.01, 5))
def test_a_spread_is_never_under_what_the_gauge_can_see(values: list[float], resolution: float) -> None:
    assert own.baseline(values, resolution).spread >= resolution / 3**0.5


@few
@given(values=samples)
def test_the_usual_range_holds_its_own_middle(values: list[float]) -> None:
    found = own.usual_range(values)
    assert found is not None
    assert found.low <= own.median(values) <= found.high


def test_four_readings_say_nothing_of_the_next() -> None:
    assert own.usual_range([1, 2, 3, 4]) is None


def test_from_fifteen_readings_the_chart_counts() -> None:
    values = [10.0, 10.2, 9.9, 10.1, 10.0] * 3
    chart = own.individuals_chart(values)
    found = own.usual_range(values)
    assert found is not None
    assert (found.low, found.high, found.n) == (chart.low, chart.high, 15)


def test_between_the_listed_numbers_the_lower_row_counts() -> None:
    assert own.prediction_factor(11) == own.prediction_factor(10)
    assert own.prediction_factor(14) == own.prediction_factor(12)
    assert own.prediction_factor(60) == own.prediction_factor(20)


def test_eight_in_a_row_on_one_side_have_shifted() -> None:
    quiet = [9.0, 11.0] * 4
    assert own.has_shifted([*quiet, *[11.0] * 8], 10.0)
    assert own.has_shifted([*quiet, *[9.0] * 8], 10.0)
    assert not own.has_shifted([*quiet, *[11.0] * 7, 10.0], 10.0)
    assert not own.has_shifted([11.0] * 14, 10.0)


@few
@given(
    ys=st.lists(readings, min_size=8, max_size=8),
    scale=st.floats(0.1, 10),
    shift=readings,
)
def test_slopes_scale_shift_and_turn_round(ys: list[float], scale: float, shift: float) -> None:
    line = own.slope_of(rising, ys)
    moved = own.slope_of(rising, [scale * y + shift for y in ys])
    turned = own.slope_of(rising, [-y for y in ys])
    assert line.low is not None
    assert turned.high is not None
    assert moved.slope == pytest.approx(scale * line.slope, abs=1e-6)
    assert turned.slope == pytest.approx(-line.slope, abs=1e-9)
    assert turned.high == pytest.approx(-line.low, abs=1e-9)
    assert line.low <= line.slope <= (line.high or line.slope)


@few
@given(
    pairs=st.lists(st.tuples(readings, readings), min_size=2, max_size=12, unique_by=lambda p: p[0]),
    order=st.randoms(),
)
def test_the_order_of_events_does_not_matter(pairs: list[tuple[float, float]], order: object) -> None:
    mixed = list(pairs)
    order.shuffle(mixed)  # type: ignore[attr-defined]
    one = own.trend([x for x, _ in pairs], [y for _, y in pairs])
    two = own.trend([x for x, _ in mixed], [y for _, y in mixed])
    assert one.line.slope == two.line.slope
    assert one.pairs == two.pairs


@few
@given(ys=st.lists(readings, min_size=4, max_size=20))
def test_chances_lie_between_nothing_and_one(ys: list[float]) -> None:
    found = own.kendall(range(len(ys)), ys)
    assert 0.0 < found.p <= 1.0 + 1e-12
    assert -1.0 - 1e-12 <= found.tau <= 1.0 + 1e-12


def test_all_equal_readings_do_not_trend() -> None:
    found = own.kendall(range(8), [5.0] * 8)
    assert (found.s, found.tau, found.p) == (0, 0.0, 1.0)
    long = own.kendall([1.0, 1.0, 2.0] * 8, [5.0] * 24)
    assert (long.s, long.p) == (0, 1.0)


def test_few_readings_are_silent_however_well_they_line_up() -> None:
    assert own.trend([1, 2, 3, 4, 5], [1, 2, 3, 4, 5]).voice is Voice.SILENT
    assert own.trend([1, 2, 3], [1, 2, 3]).line.low is None
    assert own.trend([1, 2, 3, 4, 5, 6], [1, 2, 3, 4, 5, 6]).voice is Voice.SPEAKS


def test_readings_at_few_counters_are_silent() -> None:
    xs = [1, 1, 1, 2, 2, 2, 3, 3, 3]
    assert own.trend(xs, [1.0, 1.1, 1.2, 2.0, 2.1, 2.2, 3.0, 3.1, 3.2]).voice is Voice.SILENT


def test_a_rise_the_gauge_cannot_see_does_not_speak() -> None:
    ys = [10.00, 10.01, 10.02, 10.03, 10.04, 10.05, 10.06, 10.07]
    assert own.trend(rising, ys).voice is Voice.SPEAKS
    assert own.trend(rising, ys, resolution=0.1).voice is Voice.PERHAPS


def test_equal_counters_make_the_interval_wider() -> None:
    ys = [0.0, 1.1, 1.9, 3.2, 3.9, 5.1, 6.0, 6.8]
    apart = own.slope_of(rising, ys)
    together = own.slope_of([0.0, 1.0, 2.0, 3.0, 3.0, 5.0, 6.0, 7.0], ys)
    assert apart.low is not None
    assert together.low is not None
    assert together.low <= apart.low


def test_many_readings_still_give_an_interval() -> None:
    xs = [float(i) for i in range(30)]
    line = own.slope_of(xs, [0.5 * x + (i * 7 % 5) for i, x in enumerate(xs)])
    assert line.low is not None
    assert line.high is not None
    assert line.low < 0.5 < line.high
    assert own.interval_rank(4) is None


def _trend(ys: list[float]) -> own.Trend:
    return own.trend(rising, ys)


UP = [40.0, 41.1, 41.9, 43.2, 43.9, 45.1, 46.0, 46.8]


def test_what_is_said_of_a_limit() -> None:
    assert own.crossing(_trend(UP), 46.5, 46.8).meeting is Meeting.PAST
    assert own.crossing(_trend(UP), 48.0, 46.8).meeting is Meeting.AHEAD
    assert own.crossing(_trend(UP), 80.0, 46.8).meeting is Meeting.FAR
    assert own.crossing(_trend(UP[::-1]), 48.0, 40.0).meeting is Meeting.AWAY
    assert own.crossing(own.trend([1, 2, 3], [1, 2, 3]), 4.0, 3.0).meeting is Meeting.SILENT
    assert own.crossing(_trend(UP), 39.0, 46.8, upper=False).meeting is Meeting.AWAY


def test_a_falling_quantity_meets_its_least_value_at_the_mirrored_place() -> None:
    up = own.crossing(_trend(UP), 48.0, 46.8)
    down = own.crossing(_trend([-y for y in UP]), -48.0, -46.8, upper=False)
    assert up.at is not None
    assert down.at == pytest.approx(up.at)
    assert down.soonest == pytest.approx(up.soonest)
    assert down.latest == pytest.approx(up.latest)
    assert up.soonest is not None
    assert up.latest is not None
    assert up.soonest <= up.at <= up.latest


@few
@given(
    a=st.lists(readings, min_size=1, max_size=8),
    b=st.lists(readings, min_size=1, max_size=8),
)
def test_rank_tests_do_not_care_which_sample_comes_first(a: list[float], b: list[float]) -> None:
    one, two = own.rank_test(a, b), own.rank_test(b, a)
    assert one.p == pytest.approx(two.p)
    assert one.u + two.u == len(a) * len(b)
    assert 0.0 < one.p <= 1.0
    assert own.shift_of(a, b).shift == pytest.approx(-own.shift_of(b, a).shift)


@few
@given(a=st.lists(readings, min_size=4, max_size=8), by=readings)
def test_a_sample_moved_is_moved_by_that_much(a: list[float], by: float) -> None:
    found = own.shift_of(a, [value + by for value in a])
    assert found.low is not None
    assert found.high is not None
    assert found.low - 1e-9 <= by <= found.high + 1e-9


def test_large_samples_have_no_exact_interval() -> None:
    values = [float(i) for i in range(25)]
    found = own.shift_of(values, values)
    assert (found.shift, found.low, found.high) == (0.0, None, None)
    assert own.shift_of([1.0, 2.0], [3.0, 4.0]).low is None


def test_equal_large_samples_do_not_differ() -> None:
    assert own.rank_test([5.0] * 25, [5.0] * 25).p == 1.0


def test_a_step_is_only_asked_about_from_twelve_readings_and_when_it_is_plain() -> None:
    assert own.unrecorded_step([1.0] * 5 + [9.0] * 6) is None
    assert own.unrecorded_step([1.0] * 6 + [9.0] * 6) is not None
    assert own.unrecorded_step([1.0, 2.0] * 8) is None


@few
@given(gain=st.floats(0, 1e-3), s=st.floats(1e-6, 1e-4), hours=st.floats(0.1, 10))
def test_towels(gain: float, s: float, hours: float) -> None:
    found = own.towel_leak(0.05, 0.05 + gain, s, hours * 3600, 998.2)
    assert found.under > found.u95 > 0.0
    assert found.seen == (found.rate is not None)
    longer = own.towel_leak(0.05, 0.05 + gain, s, hours * 7200, 998.2)
    assert longer.under == pytest.approx(found.under / 2)


def test_sweat_is_not_a_leak() -> None:
    dry = own.towel_leak(0.05, 0.0502, 1e-5, 3600.0, 1000.0, sweat=2e-7)
    assert dry.rate == pytest.approx(0.0, abs=1e-15)


@few
@given(n=st.integers(1, 200), k=st.integers(0, 5))
def test_more_runs_rule_out_more_and_more_failures_less(n: int, k: int) -> None:
    if k > n:
        return
    found = own.most_failures_a_run(k, n)
    assert k / n <= found <= 1.0
    assert own.most_failures_a_run(k, n + 1) < found or found == 1.0
    assert own.most_failures_a_run(min(n, k + 1), n) >= found


def test_all_failed() -> None:
    assert own.most_failures_a_run(3, 3) == 1.0


@few
@given(k=st.integers(0, 6), hours=st.floats(1, 500))
def test_time_without_more_failures_rules_out_more(k: int, hours: float) -> None:
    found = own.most_failures_a_second(k, hours)
    assert found > k / hours
    assert own.most_failures_a_second(k, 2 * hours) == pytest.approx(found / 2)


ratio = st.floats(0.4, 2.5)


@few
@given(ratios=st.lists(ratio, min_size=1, max_size=4))
def test_a_factor_lies_between_one_and_what_was_measured(ratios: list[float]) -> None:
    product = 1.0
    for each in ratios:
        product *= each
    mean = product ** (1 / len(ratios))
    found = own.factor_of(ratios)
    assert min(1.0, mean) - 1e-9 <= found.value <= max(1.0, mean) + 1e-9
    assert 0.0 <= found.weight <= 1.0


def test_no_measurement_leaves_the_prediction_alone() -> None:
    found = own.factor_of([])
    assert (found.value, found.n, found.weight) == (1.0, 0, 0.0)
    assert found.range95(10.0)[0] == 10.0


def test_more_equal_measurements_are_believed_more() -> None:
    values = [own.factor_of([1.3] * n).value for n in range(1, 20)]
    assert values == sorted(values)
    assert values[-1] == pytest.approx(1.3, abs=2e-3)
    assert own.factor_of([1.3] * 20 + [1.3] * 40).value == own.factor_of([1.3] * 20).value


def test_one_wild_measurement_among_many_is_not_followed() -> None:
    steady = own.factor_of([1.1] * 5 + [60.0])
    assert steady.value < 1.3


def test_measurements_in_two_heaps_follow_the_larger_heap() -> None:
    # Here mean and median of ln lie further apart than the noise: the median, 0, counts.
    assert own.factor_of([1.0, 1.0, 1.0, 20.0, 20.0]).value == 1.0


def test_when_a_factor_applies_and_which_side_is_bold() -> None:
    assert own.applies(own.factor_of([1.2]))
    assert not own.applies(own.factor_of([9.0] * 6))
    one = own.factor_of([1.2])
    assert own.cautious(one, larger_is_bolder=True) == 1.0
    assert own.cautious(one, larger_is_bolder=False) == one.value
    three = own.factor_of([1.2] * 3)
    assert own.cautious(three, larger_is_bolder=True) == three.value


def test_like_conditions() -> None:
    usual = Conditions(7.6, 288.15, "fresh")
    assert own.alike(Conditions(7.8, 292.0, "fresh"), usual)
    assert own.alike(Conditions(), usual)
    assert not own.alike(Conditions(volts=8.0), usual)
    assert not own.alike(Conditions(temperature=282.0), usual)
    assert not own.alike(Conditions(water="sea"), usual)


def test_usual_conditions_are_medians_and_the_commonest_water() -> None:
    found = own.usual_conditions(
        [Conditions(7.6, 288.0, "fresh"), Conditions(7.8, None, "sea"), Conditions(7.7, 290.0, "sea")]
    )
    assert found == Conditions(7.7, 289.0, "sea")
    assert own.usual_conditions([]) == Conditions()
    assert own.usual_conditions([Conditions(water="sea"), Conditions(water="fresh")]).water == "fresh"


@pytest.mark.parametrize(
    "call",
    [
        lambda: own.median([]),
        lambda: own.deviation_factor(2),
        lambda: own.baseline([1.0, 2.0]),
        lambda: own.prediction_factor(4),
        lambda: own.individuals_chart([1.0]),
        lambda: own.kendall([1.0], [1.0]),
        lambda: own.kendall([1.0, 2.0], [1.0]),
        lambda: own.slope_of([1.0], [1.0]),
        lambda: own.slope_of([1.0, 1.0], [1.0, 2.0]),
        lambda: own.rank_test([], [1.0]),
        lambda: own.shift_of([1.0], []),
        lambda: own.towel_leak(0.0, 1e-3, 1e-5, 0.0, 1000.0),
        lambda: own.most_failures_a_run(0, 0),
        lambda: own.most_failures_a_run(3, 2),
        lambda: own.most_failures_a_second(0, 0.0),
        lambda: own.factor_of([1.0, 0.0]),
    ],
)
def test_refusals(call: object) -> None:
    assert callable(call)
    with pytest.raises(OutOfRangeError) as fault:
        call()
    assert str(fault.value).endswith(".")
