"""Properties of pieces of lead and foam."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import buoyancy_lead as lead
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)
density = st.floats(990.0, 1035.0)


@few
@given(density, st.floats(-0.1, 0.1), st.booleans())
def test_the_piece_takes_up_the_change(rho, delta, inside):
    piece = lead.piece_for(delta, rho, inside=inside)
    assert lead.effective_mass(piece, rho, inside=inside) == pytest.approx(delta, abs=1e-15)
    assert abs(piece) >= abs(delta)


@few
@given(st.floats(-0.1, 0.1), st.floats(-0.02, 0.02), st.floats(0.01, 0.6), st.floats(-0.6, 0.0))
def test_two_stations_keep_sum_and_moment(total, moment, x_fore, x_aft):
    two = lead.split_between(total, moment, x_fore, x_aft)
    assert two.fore + two.aft == pytest.approx(total, abs=1e-12)
    assert two.fore * x_fore + two.aft * x_aft == pytest.approx(moment, abs=1e-9)


def test_foam_lifts_what_was_asked():
    volume = lead.foam_for(0.02, 1000.0, 100.0)
    assert volume * (1000.0 - 100.0) == pytest.approx(0.02)


def test_refusals():
    with pytest.raises(OutOfRangeError, match="does not sink"):
        lead.piece_for(0.01, 1000.0, 900.0)
    with pytest.raises(OutOfRangeError, match="does not float"):
        lead.foam_for(0.01, 1000.0, 1000.0)
    with pytest.raises(OutOfRangeError, match="ahead of"):
        lead.split_between(0.01, 0.0, 0.1, 0.1)


def test_lead_low_raises_b_over_g():
    assert lead.righting_gain(0.05, 0.06, 5.0) == pytest.approx(0.0006)
    assert lead.righting_gain(0.05, -0.06, 5.0) < 0.0
