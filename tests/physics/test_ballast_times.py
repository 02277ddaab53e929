"""Properties of the band around a boat's own times."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import ballast, ballast_times
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)
times = st.floats(1.0, 500.0)
ratios = st.lists(st.floats(0.3, 3.0), min_size=5, max_size=12)


@few
@given(times, times, st.booleans())
def test_band_is_in_order(by_volts, by_model, measured):
    band = ballast_times.time_band(by_volts, by_model, measured)
    assert band.short_under < band.notice_from < band.most
    predicted = ballast_times.predicted_time(by_volts, by_model, measured)
    assert band.most == pytest.approx(1.25 * predicted)
    assert predicted == by_model if measured else predicted == max(by_volts, by_model)


@few
@given(ratios)
def test_learned_band_stays_inside_the_fixed_one(series):
    low, high = ballast_times.learned_band(series)
    assert low >= 0.7
    assert high <= 1.25


def test_steady_times_make_a_band_of_a_tenth_and_scatter_widens_it():
    low, high = ballast_times.learned_band([1.0] * 5)
    assert (low, high) == (pytest.approx(0.9), pytest.approx(1.1))
    low, high = ballast_times.learned_band([0.95, 0.97, 1.0, 1.03, 1.05])
    assert (low, high) == (pytest.approx(1 - 3 * 1.4826 * 0.03), pytest.approx(1 + 3 * 1.4826 * 0.03))


def test_the_last_five_make_the_factor():
    assert ballast_times.flow_factor([9.0, 1.0, 1.1, 1.2, 1.3, 1.4]) == 1.2
    assert ballast_times.flow_factor([1.1]) == 1.1


def test_refusals():
    with pytest.raises(OutOfRangeError, match="at least 5"):
        ballast_times.learned_band([1.0] * 4)
    with pytest.raises(OutOfRangeError, match="at least one"):
        ballast_times.flow_factor([])
    with pytest.raises(OutOfRangeError, match=r"0\.5 m apart"):
        ballast_times.pump_from_two_depths(6e-4, 0.3, 20.0, 0.7, 30.0)
    with pytest.raises(OutOfRangeError, match="tenth longer"):
        ballast_times.pump_from_two_depths(6e-4, 0.3, 20.0, 1.3, 21.0)
    with pytest.raises(OutOfRangeError, match="tenth longer"):
        ballast_times.pump_from_two_depths(6e-4, 1.3, 20.0, 0.3, 30.0)


@few
@given(st.floats(2.0, 10.0), st.floats(5e-6, 1e-4), st.floats(0.1, 0.2), st.floats(0.5, 0.8))
def test_two_times_give_the_pump_back(hs, flow, shallow, deep):
    d1, d2, volume, height = shallow * hs, deep * hs, 6e-4, 0.04
    t1 = ballast.vented_empty_time(volume, height, d1, flow, hs)
    t2 = ballast.vented_empty_time(volume, height, d2, flow, hs)
    got = ballast_times.pump_from_two_depths(volume, d2 - height / 2, t2, d1 - height / 2, t1)
    assert got.pump_head == pytest.approx(hs, rel=0.01)
    assert got.free_flow == pytest.approx(flow, rel=0.01)
    assert got.pump_head_u95 > 0.0
