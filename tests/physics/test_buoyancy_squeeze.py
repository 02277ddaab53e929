"""Properties of what depth takes away."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import buoyancy_squeeze as squeeze
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)
P0 = 101_325.0
depths = st.floats(0.0, 9.9)


@few
@given(depths, st.floats(0.01, 10.0), st.floats(1e-6, 1e-3))
def test_every_loss_starts_at_zero_and_rises(d, more, volume):
    for loss in (
        lambda x: squeeze.air_loss(1000.0, volume, x, P0),
        lambda x: squeeze.soft_foam_loss(1000.0, volume, x, P0),
        lambda x: squeeze.rigid_foam_loss(1000.0, volume, x),
        lambda x: squeeze.tube_loss(1000.0, volume, x, 0.05, 0.003, 3e9, 0.37),
    ):
        assert loss(0.0) == 0.0
        assert loss(d + more) > loss(d)
        assert loss(d) <= 1000.0 * volume


@few
@given(st.floats(0.001, 0.2), st.floats(10e-6, 400e-6), st.floats(990.0, 1035.0))
def test_bisection_finds_the_closed_form(balance, air, rho):
    closed = squeeze.heavy_depth_of_air(balance, rho, air, P0)
    found = squeeze.heavy_depth(balance, lambda d: squeeze.air_loss(rho, air, d, P0))
    if closed is None or closed > squeeze.DEPTH_MOST:
        assert found is None
    else:
        assert found == pytest.approx(closed, abs=1e-6)


@few
@given(st.floats(0.001, 0.05), st.floats(0.0001, 0.01), st.floats(20e-6, 400e-6))
def test_more_balance_goes_deeper(balance, more, air):
    a = squeeze.heavy_depth(balance, lambda d: squeeze.air_loss(1000.0, air, d, P0))
    b = squeeze.heavy_depth(balance + more, lambda d: squeeze.air_loss(1000.0, air, d, P0))
    assert b is None or (a is not None and b > a)


def test_heavy_from_the_start_and_never_heavy():
    assert squeeze.heavy_depth(0.0, lambda d: d) == 0.0
    assert squeeze.heavy_depth(-0.01, lambda d: d) == 0.0
    assert squeeze.heavy_depth(1.0, lambda d: 0.01 * d) is None
    assert squeeze.heavy_depth_of_air(0.0, 1000.0, 1e-4, P0) == 0.0
    assert squeeze.heavy_depth_of_air(0.1, 1000.0, 1e-4, P0) is None
    assert squeeze.heavy_depth_of_air(0.1, 1000.0, 0.0, P0) is None
    with pytest.raises(OutOfRangeError, match="not a number"):
        squeeze.heavy_depth(math.nan, lambda d: d)


def test_soft_foam_is_bounded_by_free_air():
    foam = squeeze.soft_foam_loss(1000.0, 1e-4, 3.0, P0)
    assert foam == pytest.approx(0.9 * squeeze.air_loss(1000.0, 1e-4, 3.0, P0))


def test_thick_wall_is_put_right_and_a_solid_bar_refused():
    thin = squeeze.tube_shrink(1e4, 0.05, 0.0075, 3e9, 0.37)
    thick = squeeze.tube_shrink(1e4, 0.05, 0.0076, 3e9, 0.37)
    assert thick < thin
    assert thick == pytest.approx(thin * 0.0075 / 0.0076 * (1 - 0.0076 / 0.1))
    with pytest.raises(OutOfRangeError, match="wall over radius"):
        squeeze.tube_shrink(1e4, 0.05, 0.03, 3e9, 0.37)


def test_refusals():
    with pytest.raises(OutOfRangeError, match="depth"):
        squeeze.air_loss(1000.0, 1e-4, 25.0, P0)
    with pytest.raises(OutOfRangeError, match="barometer"):
        squeeze.air_loss(1000.0, 1e-4, 1.0, 0.0)
    with pytest.raises(OutOfRangeError, match="share of gas"):
        squeeze.soft_foam_loss(1000.0, 1e-4, 1.0, P0, gas_share=1.2)
