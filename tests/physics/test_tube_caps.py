"""Properties of flat caps."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import tube_caps as tc
from divelog.physics.errors import OutOfRangeError

radii = st.floats(0.02, 0.2)
thin = st.floats(0.05, 0.4)
ratios = st.floats(0.2, 0.45)
edges = st.sampled_from(["supported", "clamped"])


@settings(deadline=None, max_examples=100)
@given(st.floats(1e2, 1e5), radii, thin, ratios, edges)
def test_allowance_is_stress_turned_round(p, a, t, nu, edge):
    stress = tc.cap_stress(p, radius=a, thickness=t * a, poisson=nu, edge=edge)
    assert tc.cap_allowance(stress, radius=a, thickness=t * a, poisson=nu, edge=edge) == pytest.approx(p)


@settings(deadline=None, max_examples=100)
@given(st.floats(1e2, 1e5), radii, thin, ratios)
def test_supported_is_worse_than_clamped_in_stress_and_sag(p, a, t, nu):
    kw = {"radius": a, "thickness": t * a, "poisson": nu}
    assert tc.cap_stress(p, **kw) > tc.cap_stress(p, edge="clamped", **kw)
    assert tc.cap_sag(p, modulus=2e9, **kw) > 3.0 * tc.cap_sag(p, modulus=2e9, edge="clamped", **kw)
    volume = tc.cap_sag_volume(p, modulus=2e9, **kw)
    assert volume > tc.cap_sag_volume(p, modulus=2e9, edge="clamped", **kw)
    # less than a cylinder, more than a cone of that sag
    sag = tc.cap_sag(p, modulus=2e9, **kw)
    assert math.pi * a**2 * sag / 3.0 < volume < math.pi * a**2 * sag


@settings(deadline=None, max_examples=100)
@given(radii, st.floats(1.0, 5.0))
def test_gauge_held_is_the_push_of_a_share_of_the_hold(bore, factor):
    hold = tc.ring_hold(bore=bore)
    assert tc.cap_push(tc.gauge_held(hold, bore=bore, factor=factor), bore=bore) * factor == pytest.approx(
        hold
    )
    assert tc.gauge_held(hold, bore=bore) == pytest.approx(4.0 * tc.RING_GRIP / (3.0 * bore))
    assert tc.cap_push(-1e3, bore=bore) == -tc.cap_push(1e3, bore=bore)


@pytest.mark.parametrize(
    "call",
    [
        lambda: tc.cap_stress(1e4, radius=0.0, thickness=0.006, poisson=0.37),
        lambda: tc.cap_stress(1e4, radius=0.05, thickness=0.0, poisson=0.37),
        lambda: tc.cap_stress(1e4, radius=0.05, thickness=0.006, poisson=0.5),
        lambda: tc.cap_allowance(0.0, radius=0.05, thickness=0.006, poisson=0.37),
        lambda: tc.plate_stiffness(modulus=0.0, thickness=0.006, poisson=0.37),
        lambda: tc.cap_push(1e3, bore=0.0),
        lambda: tc.ring_hold(bore=0.1, grip=0.0),
        lambda: tc.gauge_held(-1.0, bore=0.1),
        lambda: tc.gauge_held(1.0, bore=0.1, factor=0.5),
    ],
)
def test_refuses_what_lies_outside(call):
    with pytest.raises(OutOfRangeError):
        call()
