"""Properties of strokes by quadrature."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import ballast, ballast_stroke
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=60, deadline=None)


@few
@given(
    st.floats(5e-5, 2e-3), st.floats(0.02, 0.3), st.floats(0.0, 0.9), st.sampled_from(["linear", "quadratic"])
)
def test_stroke_agrees_with_the_even_tank(volume, height, part, curve):
    hs, flow = 3.0, 3e-5
    d = part * hs
    got = ballast_stroke.stroke_time(volume, lambda v: d - height * (1 - v / volume), flow, hs, curve)
    assert got == pytest.approx(ballast.vented_empty_time(volume, height, d, flow, hs, curve), rel=1e-8)


@few
@given(st.floats(0.3, 3.0), st.floats(0.0, 6.0), st.floats(0.1, 0.9))
def test_exact_charge_agrees_with_the_integral(free, more, part):
    volume, height, hs, flow = 6e-4, 0.06, 2.5, 3e-5
    d = max(height, part * hs)

    def head(v):
        return d - height * (1 - v / volume)

    time = ballast_stroke.stroke_time(volume, head, flow, hs)
    exact = ballast_stroke.stroke_charge_linear(time, volume, flow, free, free + more)
    assert ballast_stroke.stroke_charge(volume, head, flow, hs, free, free + more) == pytest.approx(
        exact, rel=1e-8
    )
    assert exact >= free * volume / flow * (1 - 1e-9)


def test_help_costs_the_free_current():
    # Filling at depth: the water helps all along, so the charge is I₀ × time.
    def head(v):
        return 0.06 * v / 6e-4 - 1.0

    time = ballast_stroke.stroke_time(6e-4, head, 3e-5, 2.5)
    assert time < 6e-4 / 3e-5
    charge = ballast_stroke.stroke_charge(6e-4, head, 3e-5, 2.5, 1.5, 3.0)
    assert charge == pytest.approx(1.5 * time)
    with pytest.raises(OutOfRangeError, match="helped"):
        ballast_stroke.stroke_charge_linear(time, 6e-4, 3e-5, 1.5, 3.0)


@pytest.mark.parametrize("where", [0.0, 1.0])
def test_a_stroke_that_stalls_is_refused(where):
    def head(v):
        return 3.0 if v == where * 1e-3 else 0.5

    for f in (ballast_stroke.stroke_time, ballast_stroke.stroke_charge):
        extra = () if f is ballast_stroke.stroke_time else (1.0, 2.0)
        with pytest.raises(OutOfRangeError, match="stalls on the way"):
            f(1e-3, head, 3e-5, 2.5, *extra)


@few
@given(st.floats(0.0, 1e5), st.floats(1.0, 1e4))
def test_whole_cycles_fit_and_one_more_does_not(spare, each):
    n = ballast_stroke.whole_cycles(spare, each)
    assert n * each <= spare * (1 + 1e-12)
    assert (n + 1) * each > spare * (1 - 1e-12)


def test_no_cycles_out_of_nothing():
    assert ballast_stroke.whole_cycles(-5.0, 10.0) == 0
    with pytest.raises(OutOfRangeError):
        ballast_stroke.whole_cycles(float("nan"), 10.0)
    with pytest.raises(OutOfRangeError):
        ballast_stroke.whole_cycles(5.0, 0.0)
