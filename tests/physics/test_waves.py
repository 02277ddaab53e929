"""Wind, waves, drift and sight: how they behave, and what is refused."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import waves, waves_drift, waves_sight, waves_wind
from divelog.physics.errors import OutOfRangeError

quick = settings(max_examples=100, deadline=None)
winds = st.floats(1.0, 12.0)
fetches = st.floats(10.0, 1000.0)
depths = st.floats(0.3, 10.0)


@quick
@given(st.floats(1.0, 11.5), fetches, depths, st.floats(0.01, 0.5))
def test_more_wind_raises_higher_and_longer_waves(u: float, fetch: float, depth: float, more: float) -> None:
    less, greater = waves.sea_state(u, fetch, depth), waves.sea_state(u + more, fetch, depth)
    assert greater.height > less.height
    assert greater.period > less.period
    assert greater.length > less.length


@quick
@given(winds, st.floats(10.0, 900.0), depths, st.floats(0.1, 99.0))
def test_more_fetch_raises_higher_waves(u: float, fetch: float, depth: float, more: float) -> None:
    less, greater = waves.sea_state(u, fetch, depth), waves.sea_state(u, fetch + more, depth)
    assert greater.height >= less.height
    assert greater.period >= less.period
    assert greater.full_after > less.full_after


@quick
@given(winds, fetches, st.floats(0.3, 9.0), st.floats(0.01, 1.0))
def test_deeper_water_never_lowers_the_waves(u: float, fetch: float, depth: float, more: float) -> None:
    assert waves.sea_state(u, fetch, depth + more).height >= waves.sea_state(u, fetch, depth).height - 1e-12


@quick
@given(winds, fetches, depths)
def test_waves_never_stand_higher_than_they_can(u: float, fetch: float, depth: float) -> None:
    state = waves.sea_state(u, fetch, depth)
    steepest = 0.142 * state.length * math.tanh(2.0 * math.pi * depth / state.length)
    assert state.height <= min(steepest, 0.78 * depth) + 1e-12
    assert state.height_tenth == pytest.approx(1.27 * state.height)
    assert state.steepest_slope == pytest.approx(math.pi * state.height_tenth / state.length)
    assert state.height_u95 == pytest.approx((0.40 if fetch <= 200.0 else 0.25) * state.height)


def test_breaking_height_caps_the_waves() -> None:
    # Ten metres of fetch in the strongest wind: the formulas would stand the waves steeper than they can be.
    uncapped = max(waves.wave_height_manual(12.0, 10.0, 0.5)[0], waves.wave_height_lake(12.0, 10.0, 0.5)[0])
    state = waves.sea_state(12.0, 10.0, 0.5)
    assert state.height < uncapped
    assert state.height == pytest.approx(0.142 * state.length * math.tanh(math.pi / state.length))


@pytest.mark.parametrize(("wind", "fetch"), [(0.0, 100.0), (0.99, 100.0), (5.0, 9.9), (5.0, 0.0)])
def test_next_to_no_wind_or_water_makes_ripples_only(wind: float, fetch: float) -> None:
    state = waves.sea_state(wind, fetch, 2.0)
    assert state.ripples_only
    assert state.height_tenth == state.steepest_slope == 0.0
    assert waves.crest(state, 2400.0, None) == waves.Crest(0.0, 0.0, highest=False)


@quick
@given(st.floats(0.1, 10.0), st.floats(0.05, 50.0))
def test_wave_length_solves_the_dispersion_relation(period: float, depth: float) -> None:
    k = 2.0 * math.pi / waves.wave_length(period, depth)
    assert 9.80665 * k * math.tanh(k * depth) == pytest.approx((2.0 * math.pi / period) ** 2, rel=1e-10)


def test_wave_length_in_deep_and_shallow_water() -> None:
    assert waves.wave_length(0.5, 100.0) == pytest.approx(9.80665 * 0.25 / (2.0 * math.pi), rel=1e-12)
    assert waves.wave_length(30.0, 0.05) == pytest.approx(30.0 * math.sqrt(9.80665 * 0.05), rel=1e-4)


def test_quiet_depth() -> None:
    state = waves.sea_state(8.0, 300.0, 2.0)
    z = waves.quiet_depth(state, 0.005)
    assert 0.5 * state.height_tenth * math.exp(-2.0 * math.pi * z / state.length) == pytest.approx(0.005)
    assert waves.quiet_depth(state, 0.004) > z
    assert waves.quiet_depth(state, 0.1) == 0.0
    assert waves.quiet_depth(waves.sea_state(0.0, 100.0, 2.0), 0.005) == 0.0


def test_a_boat_averages_short_waves_out() -> None:
    assert waves.length_factor(0.0, 0.5) == 1.0
    assert waves.length_factor(0.5, 0.5) == pytest.approx(0.0, abs=1e-12)
    assert waves.length_factor(0.25, 0.5) == pytest.approx(2.0 / math.pi)


@quick
@given(st.floats(1.5, 12.0), st.floats(20.0, 1000.0), st.floats(60.0, 7200.0))
def test_an_unknown_hold_never_counts_for_less_than_a_short_one(u: float, fetch: float, run: float) -> None:
    state = waves.sea_state(u, fetch, 2.0)
    unknown, short = waves.crest(state, run, None), waves.crest(state, run, 0.5 * state.period)
    long = waves.crest(state, run, state.period + 0.1)
    assert unknown == short
    assert unknown.highest
    assert not long.highest
    assert long.height == pytest.approx(0.6 * 1.27 * state.height)
    assert unknown.height == pytest.approx(0.6 * unknown.wave)


def test_waves_longer_than_three_boats_count_half() -> None:
    state = waves.sea_state(8.0, 1000.0, 3.0)
    short = waves.crest(state, 2400.0, 2.0, boat_length=0.3 * state.length)
    long = waves.crest(state, 2400.0, 2.0, boat_length=0.5 * state.length)
    assert short.height == pytest.approx(0.5 * long.height)
    assert waves.crest(state, 2400.0, 2.0).height == long.height


def test_beaufort_classes_leave_no_gap() -> None:
    assert [waves_wind.beaufort_class(u) for u in (3.3, 3.35, 3.4)] == [2, 2, 3]
    for number, (floor, top) in enumerate(zip(waves_wind.CLASS_FLOORS, waves_wind.CLASS_TOPS, strict=True)):
        assert waves_wind.beaufort_class(floor) == number
        assert waves_wind.beaufort_class(top) == number


@quick
@given(st.floats(0.0, 20.0), st.floats(0.5, 19.0), st.floats(0.1, 1.0))
def test_lower_down_the_same_reading_means_more_wind(u: float, height: float, more: float) -> None:
    assert waves_wind.wind_at_10m(u, height) >= waves_wind.wind_at_10m(u, height + more)
    assert waves_wind.wind_at_10m(u, 10.0) == u


@quick
@given(st.floats(1.0, 500.0), st.floats(0.1, 5.0), st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_drift_times_stand_in_order(distance: float, low: float, more: float, most: float) -> None:
    found = waves_drift.drift(distance, low, low + more, low + more + most)
    assert found.slow <= found.likely <= found.fast
    assert found.latest is not None
    assert found.expected is not None
    assert found.earliest is not None
    assert found.earliest <= found.expected <= found.latest


def test_without_wind_she_stays_where_she_is() -> None:
    assert waves_drift.drift(60.0, 0.0, 0.0, 0.0) == waves_drift.Drift(0.0, 0.0, 0.0, None, None, None)
    calm = waves_drift.drift(60.0, 0.0, 0.1, 0.2)
    assert calm.latest is None
    assert calm.earliest == pytest.approx(6000.0)


@quick
@given(st.floats(0.0, 1.0), st.floats(0.0, 80.0), st.floats(0.1, 10.0))
def test_a_hull_is_never_seen_deeper_than_the_plate(shade: float, angle: float, plate: float) -> None:
    seen = waves_sight.sight_depth(plate, shade, math.radians(angle))
    assert 0.0 <= seen <= plate
    assert waves_sight.deck_depth_far(plate, shade) <= 0.66 * plate + 1e-12


@quick
@given(st.floats(0.05, 0.85), st.floats(0.0, 79.0), st.floats(0.1, 1.0))
def test_lower_looks_and_moving_water_see_less(shade: float, angle: float, more: float) -> None:
    straight = waves_sight.sight_depth(2.0, shade, math.radians(angle))
    assert waves_sight.sight_depth(2.0, shade, math.radians(angle + more)) <= straight
    assert waves_sight.sight_depth(2.0, shade, math.radians(angle), ripples=0.5) <= straight
    assert waves_sight.sight_depth(2.0, shade, math.radians(angle), sky_ratio=90.0) <= straight


def test_a_hull_of_the_waters_own_shade_is_never_seen() -> None:
    assert waves_sight.sight_depth(5.0, 0.02) == 0.0
    assert waves_sight.deck_depth_far(5.0, 0.02) == 0.0
    assert waves_sight.sight_depth(2.0, 0.85) == pytest.approx(2.0)
    assert waves_sight.contrast_share(1.0) == 1.0


def test_lighter_shades_are_seen_deeper() -> None:
    depths_by_shade = [waves_sight.deck_depth_far(1.1, r) for r in waves_sight.REFLECTANCES.values()]
    assert depths_by_shade == sorted(depths_by_shade, reverse=True)


def test_ripples_by_wind() -> None:
    assert [waves_sight.ripple_factor(u) for u in (0.0, 2.0, 2.1, 5.0, 5.1)] == [1.0, 1.0, 0.5, 0.5, 0.25]


def test_refusals() -> None:
    state = waves.sea_state(5.0, 100.0, 2.0)
    refused: list[Callable[[], object]] = [
        lambda: waves.sea_state(12.1, 100.0, 2.0),
        lambda: waves.sea_state(5.0, -1.0, 2.0),
        lambda: waves.sea_state(5.0, 100.0, 0.2),
        lambda: waves.sea_state(math.nan, 100.0, 2.0),
        lambda: waves.wave_height_manual(0.0, 100.0, 2.0),
        lambda: waves.wave_height_lake(5.0, 0.0, 2.0),
        lambda: waves.time_to_grow(0.0, 100.0),
        lambda: waves.time_to_grow(5.0, 0.0),
        lambda: waves.wave_length(0.01, 2.0),
        lambda: waves.wave_length(1.0, 0.0),
        lambda: waves.quiet_depth(state, 0.0),
        lambda: waves.length_factor(1.0, 0.0),
        lambda: waves.length_factor(-1.0, 1.0),
        lambda: waves.highest_wave(0.1, 0.5),
        lambda: waves_wind.beaufort_class(-0.1),
        lambda: waves_wind.beaufort_class(25.0),
        lambda: waves_wind.wind_at_10m(5.0, 0.1),
        lambda: waves_wind.wind_at_10m(-1.0),
        lambda: waves_drift.drift(60.0, 3.0, 2.0, 4.0),
        lambda: waves_drift.drift(-1.0, 1.0, 2.0, 4.0),
        lambda: waves_sight.surface_reflectance(math.radians(90.0)),
        lambda: waves_sight.cosine_in_water(-0.1),
        lambda: waves_sight.contrast_share(1.1),
        lambda: waves_sight.contrast_share(0.5, 0.5),
        lambda: waves_sight.sight_depth(21.0, 0.5),
        lambda: waves_sight.sight_depth(2.0, 0.5, math.radians(81.0)),
        lambda: waves_sight.deck_depth_far(-1.0, 0.5),
    ]
    for attempt in refused:
        with pytest.raises(OutOfRangeError):
            attempt()
