"""Drag, speeds and hull: properties."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion import drag, hull, speed
from divelog.physics.motion.hull import Hull

few = settings(max_examples=100, deadline=None)
NU = 1.138e-6
lengths = st.floats(0.3, 2.5)
slendernesses = st.floats(4.0, 15.0)
speeds = st.floats(0.1, 2.0)


@few
@given(lengths, slendernesses, speeds, speeds)
def test_drag_grows_with_speed(length, slenderness, one, other):
    boat = Hull(length, length / slenderness)
    low, high = sorted((one, other))
    slow, fast = (drag.resistance(boat, v, 999.0, NU) for v in (low, high))
    assert 0.0 < slow <= fast
    if high > low * 1.001:
        assert slow < fast


@few
@given(st.floats(1e5, 1e7))  # the two published lines cross at 1.2e7, past any model
def test_clean_hull_is_never_over_the_turbulent_line(reynolds):
    assert 0.0 < drag.friction_clean(reynolds) <= drag.friction_turbulent(reynolds)


@few
@given(st.floats(1e4, 1e8), st.floats(1.0001, 2.0))
def test_friction_falls_with_reynolds(reynolds, factor):
    assert drag.friction_turbulent(reynolds * factor) < drag.friction_turbulent(reynolds)


@few
@given(slendernesses, st.floats(1.01, 100.0))
def test_form_factor_falls_to_one(slenderness, factor):
    assert 1.0 < hull.form_factor(slenderness * factor) < hull.form_factor(slenderness)
    assert hull.form_factor(1e5) == pytest.approx(1.0, abs=1e-6)


@few
@given(lengths, slendernesses, speeds)
def test_bounds_of_the_whole_boat_keep_their_order(length, slenderness, v):
    boat = Hull(length, length / slenderness)
    factors = [
        drag.drag_factor(boat, v, 999.0, NU, appendages=f)
        for f in (drag.APPENDAGES_LOW, drag.APPENDAGES, drag.APPENDAGES_HIGH)
    ]
    assert factors == sorted(factors)
    assert factors[1] == pytest.approx(factors[0] * 1.8 / 1.3)
    assert drag.resistance(boat, v, 999.0, NU) == pytest.approx(factors[1] * v * v)


def test_rough_paint_only_ever_adds():
    boat = Hull(1.0, 0.12)
    smooth = drag.drag_factor(boat, 0.8, 999.0, NU)
    assert drag.drag_factor(boat, 0.8, 999.0, NU, sand_height=1e-5) == smooth
    assert drag.drag_factor(boat, 0.8, 999.0, NU, sand_height=1e-3) > smooth


def test_clean_floor_lies_far_under_the_whole_boat():
    boat = Hull(1.0, 0.12)
    assert drag.clean_drag_factor(boat, 0.8, 999.0, NU) < drag.drag_factor(
        boat, 0.8, 999.0, NU, appendages=1.0
    )


@few
@given(lengths, st.floats(0.05, 0.3), st.floats(0.05, 0.3))
def test_hull_of_a_section_keeps_its_area(length, beam, height):
    boat = Hull.of_section(length, beam, height)
    assert math.pi / 4 * boat.diameter**2 == pytest.approx(math.pi / 4 * beam * height)
    assert hull.form_volume(length, beam, height) == pytest.approx(
        0.8 * math.pi / 4 * boat.diameter**2 * length
    )
    assert boat.slenderness == pytest.approx(length / boat.diameter)
    assert hull.plan_area(length, beam) < length * beam
    assert boat.wetted_area < math.pi * boat.diameter * length


@few
@given(lengths, slendernesses, st.floats(2.0, 200.0))
def test_top_speed_balances_power_and_drag(length, slenderness, power):
    boat = Hull(length, length / slenderness)
    top = speed.top_speed(boat, power, 999.0, NU)
    assert drag.resistance(boat, top, 999.0, NU) * top == pytest.approx(0.35 * power, rel=1e-9)
    assert speed.top_speed(boat, power * 1.1, 999.0, NU) > top


def test_twice_the_power_is_the_cube_root_of_two_faster():
    assert speed.speed_for_power(40, 1.5) / speed.speed_for_power(20, 1.5) == pytest.approx(2 ** (1 / 3))
    assert speed.speed_for_power(0.0, 1.5) == 0.0


def test_distance_of_no_time_is_none():
    assert speed.distance_run(0.9, []) == 0.0
    assert speed.distance_run(0.9, [(0.25, 0.0), (1.0, 0.0)]) == 0.0


def test_pitch_and_scale():
    assert speed.pitch_speed(20.0, 0.05) == pytest.approx(0.7)
    assert speed.pitch_speed(20.0, 0.05, 1.0) == 0.0
    assert speed.scale_speed(3.0, 1.0) == 3.0
    assert speed.scale_speed(3.0, 100.0) == pytest.approx(0.3)
    assert speed.froude_speed(1.0, 0.0) == 0.0


NAN = math.nan


@pytest.mark.parametrize(
    "call",
    [
        lambda: Hull(0.0, 0.1),
        lambda: Hull(1.0, NAN),
        lambda: Hull.of_section(1.0, -0.1, 0.1),
        lambda: hull.plan_area(1.0, math.inf),
        lambda: hull.form_volume(1.0, 0.1, 0.0),
        lambda: hull.form_factor(3.9),
        lambda: hull.form_factor(NAN),
        lambda: drag.reynolds(-0.1, 1.0, NU),
        lambda: drag.reynolds(0.1, 1.0, 0.0),
        lambda: drag.friction_turbulent(9e3),
        lambda: drag.friction_clean(1e11),
        lambda: drag.friction_rough(1.0, 0.02),
        lambda: drag.friction_rough(1.0, 0.0),
        lambda: drag.drag_factor(Hull(1.0, 0.1), 0.0, 999.0, NU),
        lambda: drag.drag_factor(Hull(1.0, 0.1), 0.5, 0.0, NU),
        lambda: drag.drag_factor(Hull(1.0, 0.1), 0.5, 999.0, NU, appendages=0.5),
        lambda: speed.top_speed(Hull(1.0, 0.1), 0.0, 999.0, NU),
        lambda: speed.speed_for_power(10.0, 0.0),
        lambda: speed.speed_for_power(10.0, 1.0, 1.1),
        lambda: speed.speed_at_throttle(1.0, 1.2),
        lambda: speed.distance_run(1.0, [(0.5, -1.0)]),
        lambda: speed.scale_speed(1.0, 0.5),
        lambda: speed.pitch_speed(1.0, 0.1, -0.1),
        lambda: speed.froude_speed(0.0, 0.3),
    ],
)
def test_out_of_range_is_refused_in_words(call):
    with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
        call()
