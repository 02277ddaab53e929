"""Lift of planes and hull, and the propeller near the surface: properties."""

import math
from math import radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion import planes, propeller

few = settings(max_examples=100, deadline=None)
NAN = math.nan


class TestLift:
    @few
    @given(st.floats(0.5, 6.0), st.floats(1.01, 3.0))
    def test_slope_grows_with_aspect_ratio_and_is_the_least(self, aspect, factor):
        slope = planes.lift_slope(aspect)
        assert 0.0 < slope < planes.lift_slope(aspect * factor) < 5.7
        assert slope < planes.lift_slope_helmbold(aspect)
        assert slope < planes.lift_slope_hoerner(aspect)

    def test_endless_wing_has_its_sections_slope(self):
        assert planes.lift_slope_helmbold(1e6, 5.9) == pytest.approx(5.9, rel=1e-5)

    def test_hull_mirrors_the_plane(self):
        assert planes.effective_aspect_ratio(0.05, 0.0025) == pytest.approx(2.0)

    def test_stall_by_chord_reynolds(self):
        values = [planes.most_lift(r) for r in (0.0, 5e4, 7.5e4, 1e5, 1e6)]
        assert values == pytest.approx([0.6, 0.6, 0.75, 0.9, 0.9])

    def test_hull_lift_is_held_at_the_ends(self):
        assert planes.hull_lift_area(0.5, 0.1) == planes.hull_lift_area(0.6, 0.1)
        assert planes.hull_lift_area(2.0, 0.1) == pytest.approx(planes.hull_lift_area(1.1, 0.1))
        # 0.003 a degree: at ten degrees and L/D 8 that is D^2 0.24.
        assert planes.hull_lift_area(0.8, 0.1) * radians(10) == pytest.approx(0.01 * 8 * 0.03)

    def test_planes_stall(self):
        free = planes.plane_lift_area(0.003, 2.0, 0.0, radians(10))
        assert free == pytest.approx(0.003 * 2.0 * radians(10))
        assert planes.plane_lift_area(0.003, 2.5, radians(8), radians(30)) == pytest.approx(0.003 * 0.6)

    @few
    @given(st.floats(0.001, 0.5), st.floats(0.001, 0.2), st.floats(0.01, radians(10)))
    def test_speed_goes_with_the_root_of_buoyancy(self, buoyancy, lift, angle):
        one = planes.least_speed(buoyancy, 999.0, lift, angle)
        assert planes.least_speed(4 * buoyancy, 999.0, lift, angle) == pytest.approx(2 * one)
        assert planes.least_speed(buoyancy, 999.0, lift, angle, 0.001) < one
        assert planes.least_speed(0.0, 999.0, lift, angle) == 0.0

    @pytest.mark.parametrize(
        "call",
        [
            lambda: planes.lift_slope(0.01),
            lambda: planes.lift_slope(2.0, radians(50)),
            lambda: planes.lift_slope_helmbold(0.0),
            lambda: planes.lift_slope_hoerner(NAN),
            lambda: planes.most_lift(-1.0),
            lambda: planes.effective_aspect_ratio(0.05, 0.0),
            lambda: planes.hull_lift_area(0.0, 0.1),
            lambda: planes.plane_lift_area(0.003, 0.0, 0.1, 0.1),
            lambda: planes.plane_lift_area(-0.003, 2.0, 0.1, 0.1),
            lambda: planes.least_speed(-0.1, 999.0, 0.02),
            lambda: planes.least_speed(0.1, 999.0, 0.0),
            lambda: planes.least_speed(0.1, 999.0, 0.02, radians(11)),
            lambda: planes.least_speed(0.1, 999.0, 0.02, 0.0),
            lambda: planes.least_speed(0.1, 999.0, 0.02, planes_lift=-1.0),
        ],
    )
    def test_refuses(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()


class TestPropeller:
    @few
    @given(st.floats(-0.1, 0.5), st.floats(0.02, 0.15), st.floats(0.1, 50.0), st.floats(1.0, 2.0))
    def test_deeper_allows_more_and_thrust_less(self, depth, diameter, full, factor):
        cap = propeller.throttle_cap(depth, diameter, full, 999.0)
        assert 0.0 <= cap <= 1.0
        assert propeller.throttle_cap(depth + 0.01, diameter, full, 999.0) >= cap
        assert propeller.throttle_cap(depth, diameter, full * factor, 999.0) <= cap
        if depth <= 0.35 * diameter:
            assert cap == 0.0

    def test_steps(self):
        caps = [propeller.throttle_cap_by_depth(x) for x in (-1, 0.99, 1, 1.49, 1.5, 1.99, 2, 2.99, 3, 9)]
        assert caps == [0.25, 0.25, 0.4, 0.4, 0.55, 0.55, 0.75, 0.75, 1.0, 1.0]

    def test_deep_does_not_limit(self):
        assert propeller.throttle_cap(1.0, 0.05, 4.0, 999.0) == 1.0

    @few
    @given(st.floats(0.0, 3.0), st.floats(0.0, 1.0))
    def test_thrust_left_rises_to_all(self, ratio, step):
        assert 0.3 < propeller.thrust_left(ratio) <= propeller.thrust_left(ratio + step) <= 1.0

    @pytest.mark.parametrize(
        "call",
        [
            lambda: propeller.throttle_cap_by_depth(NAN),
            lambda: propeller.throttle_cap_by_depth(math.inf),
            lambda: propeller.throttle_cap(NAN, 0.05, 4.0, 999.0),
            lambda: propeller.throttle_cap(0.1, 0.0, 4.0, 999.0),
            lambda: propeller.throttle_cap(0.1, 0.05, 0.0, 999.0),
            lambda: propeller.thrust_before_air(0.1, 0.05, 999.0, 2.0),
            lambda: propeller.thrust_before_air(0.1, 0.05, 0.0),
            lambda: propeller.throttle_cap_by_loading(-1.0, 1.0),
            lambda: propeller.thrust_left(-0.1),
        ],
    )
    def test_refuses(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()
