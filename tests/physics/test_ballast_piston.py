"""Properties of a piston tank."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import ballast_piston as piston
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=60, deadline=None)
ONE = piston.Piston(math.pi / 4 * 0.06**2, 1e-3, 0.35, 10.0, 0.1, 18.0)
PA = 101_325.0


@few
@given(st.floats(0.0, 2.0), st.floats(0.05, 1.0))
def test_deeper_empties_slower(d, more):
    shallow = piston.piston_time(ONE, 2e-4, 3e-3, PA, piston.water_pressure(d, 1000.0, PA), filling=False)
    deep = piston.piston_time(ONE, 2e-4, 3e-3, PA, piston.water_pressure(d + more, 1000.0, PA), filling=False)
    assert deep >= shallow


@few
@given(st.floats(0.0, 2.0), st.booleans())
def test_never_faster_than_free(d, filling):
    free = 2e-4 / (ONE.area * ONE.lead * ONE.free_turns)
    outside = piston.water_pressure(d, 1000.0, PA)
    assert piston.piston_time(ONE, 2e-4, 3e-3, PA, outside, filling) >= free * (1 - 1e-12)


def test_push_changes_sign_where_the_pressures_meet():
    assert piston.push_on_piston(ONE.area, PA, PA) == 0.0
    assert piston.push_on_piston(ONE.area, PA, PA + 1) < 0.0


def test_stall_depth_is_where_the_stroke_is_refused():
    depth = piston.piston_stall_depth(ONE, PA, 1000.0, PA)
    above = piston.water_pressure(depth - 1e-6, 1000.0, PA)
    below = piston.water_pressure(depth + 1e-6, 1000.0, PA)
    assert piston.piston_time(ONE, 2e-4, 3e-3, PA, above, filling=False) > 0.0
    with pytest.raises(OutOfRangeError, match="stalls on the way"):
        piston.piston_time(ONE, 2e-4, 3e-3, PA, below, filling=False)
    # A cold cylinder takes depth off, friction more than the screw gives leaves none.
    assert piston.piston_stall_depth(ONE, PA - 4700.0, 1000.0, PA) < depth
    assert piston.piston_stall_depth(replace(ONE, friction=1e4), PA, 1000.0, PA) == 0.0


def test_squeezed_air_can_stop_the_filling():
    with pytest.raises(OutOfRangeError, match="stalls on the way"):
        piston.piston_time(replace(ONE, stall_torque=0.02), 4e-4, 6e-4, PA, PA, filling=True)
    with pytest.raises(OutOfRangeError, match="more room"):
        piston.piston_time(ONE, 6e-4, 6e-4, PA, PA, filling=True)


def test_no_piston_without_area():
    with pytest.raises(OutOfRangeError, match="area of the piston"):
        replace(ONE, area=0.0)
