"""Properties of fill and empty times."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import ballast
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)
volumes = st.floats(5e-5, 8e-3)
heights = st.floats(0.0, 0.3)
flows = st.floats(5e-6, 2e-4)
heads = st.floats(1.0, 15.0)
curves = st.sampled_from(["linear", "quadratic"])
HA = 10.335


@few
@given(volumes, heights, flows, heads, st.floats(0.0, 0.9), st.floats(0.01, 0.05), curves)
def test_emptying_takes_longer_deeper_and_filling_less(v, h, q, hs, part, more, curve):
    d = part * hs
    assert ballast.vented_empty_time(v, h, d + more * hs, q, hs, curve) > ballast.vented_empty_time(
        v, h, d, q, hs, curve
    )
    assert ballast.vented_fill_time(v, h, d + more * hs, q, hs, curve) < ballast.vented_fill_time(
        v, h, d, q, hs, curve
    )


@few
@given(volumes, heights, flows, heads, st.floats(0.0, 0.95), curves)
def test_time_goes_with_volume_over_flow(v, h, q, hs, part, curve):
    for f in (ballast.vented_empty_time, ballast.vented_fill_time):
        one = f(v, h, part * hs, q, hs, curve)
        assert f(2 * v, h, part * hs, q, hs, curve) == pytest.approx(2 * one)
        assert f(v, h, part * hs, 2 * q, hs, curve) == pytest.approx(one / 2)


@few
@given(volumes, heights, flows, st.floats(0.0, 2.0), curves)
def test_an_endless_head_gives_volume_over_flow(v, h, q, d, curve):
    hs = 1e9
    assert ballast.vented_empty_time(v, h, d, q, hs, curve) == pytest.approx(v / q, rel=1e-6)
    assert ballast.vented_fill_time(v, h, d, q, hs, curve) == pytest.approx(v / q, rel=1e-6)
    assert ballast.sealed_fill_time(v, 10 * v, HA, HA, d, q, hs, curve) == pytest.approx(v / q, rel=1e-6)
    assert ballast.sealed_empty_time(v, 10 * v, HA, HA, d, q, hs, curve) == pytest.approx(v / q, rel=1e-6)


@few
@given(volumes, heights, flows, heads, st.floats(0.0, 0.95))
def test_the_linear_pump_is_slower_while_nothing_helps(v, h, q, hs, part):
    d = max(h, part * hs)
    linear = ballast.vented_empty_time(v, h, d, q, hs)
    assert linear >= ballast.vented_empty_time(v, h, d, q, hs, "quadratic") * (1 - 1e-12)


def test_a_flat_tank_is_the_limit_of_a_low_one():
    for f in (ballast.vented_empty_time, ballast.vented_fill_time):
        assert f(6e-4, 0.0, 1.0, 3e-5, 2.5) == pytest.approx(f(6e-4, 1e-9, 1.0, 3e-5, 2.5))


def test_stall_refusals():
    with pytest.raises(OutOfRangeError, match=r"stalls at 2\.50 m; it cannot empty"):
        ballast.vented_empty_time(6e-4, 0.06, 2.5, 3e-5, 2.5)
    with pytest.raises(OutOfRangeError, match="cannot empty"):
        ballast.vented_empty_time(6e-4, 0.06, 2.5, 3e-5, 2.5, "quadratic")
    with pytest.raises(OutOfRangeError, match="cannot fill the tank to its top"):
        ballast.vented_fill_time(6e-4, 0.6, 0.0, 3e-5, 0.5)
    with pytest.raises(OutOfRangeError, match="flow of the pump"):
        ballast.vented_fill_time(6e-4, 0.6, 0.0, 0.0, 0.5)
    with pytest.raises(OutOfRangeError, match="squeezed air stops the pump"):
        ballast.sealed_fill_time(1e-3, 2e-3, HA, HA, 0.0, 3e-5, 5.0)
    with pytest.raises(OutOfRangeError, match="more water than there was air"):
        ballast.sealed_empty_time(2e-3, 2e-3, HA, HA, 0.0, 3e-5, 5.0)
    with pytest.raises(OutOfRangeError, match=r"stalls at 4\.00 m of depth"):
        ballast.sealed_empty_time(5e-4, 2e-3, HA - 1.0, HA, 4.1, 3e-5, 5.0)


@few
@given(volumes, st.floats(1.3, 20.0), flows, heads, st.floats(0.0, 0.9), st.floats(9.5, 11.0), curves)
def test_squeezed_air_slows_filling_and_helps_emptying(v, ratio, q, hs, part, pi, curve):
    air, d = ratio * v, part * hs
    stall = ballast.sealed_stall_depth(pi, HA, hs)
    share = ballast.sealed_share_most(pi, HA, d, hs)
    if d < stall:
        more_air = ballast.sealed_empty_time(v, 3 * air, pi, HA, d, q, hs, curve)
        assert ballast.sealed_empty_time(v, air, pi, HA, d, q, hs, curve) < more_air
    if v / air < 0.99 * share:
        more_air = ballast.sealed_fill_time(v, 3 * air, pi, HA, d, q, hs, curve)
        assert ballast.sealed_fill_time(v, air, pi, HA, d, q, hs, curve) > more_air


@few
@given(st.floats(0.05, 0.99), st.sampled_from([0.01, -0.01]))
def test_no_step_where_series_and_closed_form_meet(y0, edge):
    for integral in (ballast._linear_integral, ballast._quadratic_integral):
        inside = integral(edge * (1 - 1e-12), y0)
        outside = integral(edge * (1 + 1e-12), y0)
        assert inside == pytest.approx(outside, rel=1e-9)


def test_filling_towards_the_most_takes_ever_longer():
    most = ballast.sealed_share_most(HA, HA, 0.0, 5.0)
    times = [
        ballast.sealed_fill_time(most * (1 - k) * 2e-3, 2e-3, HA, HA, 0.0, 3e-5, 5.0)
        for k in (1e-2, 1e-4, 1e-8)
    ]
    assert times[0] < times[1] < times[2]


def test_share_limits():
    assert ballast.sealed_share_most(HA, HA, 0.0, HA) == pytest.approx(0.5)
    assert ballast.sealed_share_most(HA, HA, 0.0) == 0.0
    assert ballast.sealed_share_most(20.0, HA, 1.0, 2.0) == 0.0
    assert ballast.air_left_head(101_325.0, 1000.0, 0.5) == pytest.approx(
        2 * ballast.head_of(101_325.0, 1000.0)
    )
    with pytest.raises(OutOfRangeError, match="more room"):
        ballast.air_left_head(101_325.0, 1000.0, 1.0)


@few
@given(st.floats(1e-6, 1e-3), st.floats(0.0, 5.0), st.floats(1.0, 9.0))
def test_water_out_of_a_shut_tank_stalls_the_pump_exactly(air, d, hs):
    out = ballast.volume_out_before_stall(air, HA, d, hs)
    assert out is not None
    if out == 0.0:
        assert d >= hs
        return
    pressure_left = HA * air / (air + out)
    assert HA + d - pressure_left == pytest.approx(hs)


def test_a_pump_stronger_than_vacuum_is_not_stopped():
    assert ballast.volume_out_before_stall(1e-5, HA, 0.5, HA + 1.0) is None


@few
@given(heads, st.floats(0.3, 2.0))
def test_head_and_flow_with_volts(hs, k):
    assert ballast.head_at_volts(hs, k) == pytest.approx(hs * k)
    assert ballast.head_at_volts(hs, k, centrifugal=True) == pytest.approx(hs * k * k)
    assert ballast.flow_at_volts(1e-5, k) == pytest.approx(1e-5 * k)


def test_depth_to_count_on():
    assert ballast.pump_depth(0.8, 2.5) == pytest.approx(2.0)
    assert ballast.pump_depth(0.8, 2.5, -0.48) == pytest.approx(1.52)
    assert ballast.pump_depth(0.5, 0.4, -0.48) == 0.0
    with pytest.raises(OutOfRangeError):
        ballast.pump_depth(1.2, 2.5)
    assert not math.isnan(ballast.pump_depth(0.0, 2.5))
