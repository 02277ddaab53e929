"""Properties of holes, valves and blowers."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import ballast_valve as valve
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)


@few
@given(st.floats(1e-3, 2e-2), st.floats(0.01, 5.0))
def test_four_times_the_head_doubles_the_flow(diameter, head):
    area = valve.hole_area(diameter)
    assert valve.orifice_flow(area, 4 * head) == pytest.approx(2 * valve.orifice_flow(area, head))
    assert valve.orifice_flow(area, 0.0) == 0.0


@few
@given(st.floats(1e-7, 1e-4), st.floats(1e-7, 1e-4))
def test_a_vent_only_ever_slows(water, air):
    together = valve.with_air_vent(water, air, 1000.0, 1.2)
    assert together < water
    assert valve.with_air_vent(water, 2 * air, 1000.0, 1.2) > together


@few
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_passive_times_add_up(a, b, c):
    high, middle, low = sorted((a, b, c), reverse=True)
    whole = valve.passive_time(0.01, 1e-5, high, low)
    parts = valve.passive_time(0.01, 1e-5, high, middle) + valve.passive_time(0.01, 1e-5, middle, low)
    assert whole == pytest.approx(parts, abs=1e-9)


def test_head_must_fall():
    with pytest.raises(OutOfRangeError, match="must fall"):
        valve.passive_time(0.01, 1e-5, 0.1, 0.2)


def test_blower_limits():
    free = valve.blower_time(1.5e-3, 0.0, 1e-4, 4000.0, 1000.0, 101_325.0)
    assert free == pytest.approx(15.0)
    assert valve.blower_time(1.5e-3, 0.1, 1e-4, 4000.0, 1000.0, 101_325.0) > free
    with pytest.raises(OutOfRangeError, match="blower gives"):
        valve.blower_time(1.5e-3, 0.5, 1e-4, 4000.0, 1000.0, 101_325.0)
