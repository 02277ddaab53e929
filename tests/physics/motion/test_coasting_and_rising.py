"""Added mass, coasting and rising: properties."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion import coasting, rising
from divelog.physics.motion.added_mass import added_mass
from divelog.physics.motion.rising import Blow, Rise, rise, rise_with_blow

few = settings(max_examples=100, deadline=None)
NAN = math.nan


class TestAddedMass:
    @few
    @given(st.floats(1.0, 1e4), st.floats(1.001, 3.0))
    def test_a_longer_hull_slips_ahead_and_drags_broadside(self, slenderness, factor):
        one, longer = added_mass(slenderness), added_mass(min(1e4, slenderness * factor))
        assert 0.0 < longer.ahead <= one.ahead <= 0.5
        assert 0.5 <= one.broadside <= longer.broadside <= 1.0
        assert 0.0 <= one.pitch <= longer.pitch + 1e-9 <= 1.0 + 1e-9

    def test_limits(self):
        assert (added_mass(1.0).ahead, added_mass(1.0).broadside, added_mass(1.0).pitch) == (0.5, 0.5, 0.0)
        needle = added_mass(1e4)
        assert (needle.ahead, needle.broadside, needle.pitch) == pytest.approx((0, 1, 1), abs=1e-6)
        # Just past the switch the formula meets the sphere.
        assert added_mass(1.001).ahead == pytest.approx(0.5, abs=1e-3)
        assert added_mass(1.001).pitch == pytest.approx(0.0, abs=1e-5)

    def test_eccentricity_is_the_root(self):
        assert added_mass(7.0).ahead == pytest.approx(0.0358, abs=1e-4)  # 0.0596 without the root

    @pytest.mark.parametrize("bad", [0.9, NAN, math.inf])
    def test_refuses(self, bad):
        with pytest.raises(OutOfRangeError, match="Length over diameter"):
            added_mass(bad)


class TestCoasting:
    @few
    @given(st.floats(0.05, 3.0), st.floats(0.01, 1.0), st.floats(0.0, 100.0))
    def test_speed_and_distance_agree(self, start, rate, time):
        now = coasting.coast_speed(start, rate, time)
        assert 0.0 < now <= start
        if time > 0.01:
            assert coasting.coast_distance_to(start, now, rate) == pytest.approx(
                coasting.coast_distance(start, rate, time), rel=1e-9
            )
            assert coasting.coast_time_to(start, now, rate) == pytest.approx(time, rel=1e-6)

    @few
    @given(st.floats(0.05, 3.0), st.floats(0.1, 100.0))
    def test_no_drag_is_no_slowing(self, start, time):
        assert coasting.coast_distance(start, 0.0, time) == start * time
        assert coasting.coast_distance(start, 1e-9, time) == pytest.approx(start * time, rel=1e-6)
        assert coasting.coast_speed(start, 0.0, time) == start

    def test_more_mass_runs_on_farther(self):
        rates = [coasting.coast_rate(1.5, m) for m in (5.0, 10.0, 20.0)]
        assert rates == [0.3, 0.15, 0.075]
        runs = [coasting.coast_distance_to(0.8, 0.1, a) for a in rates]
        assert runs == sorted(runs)

    @few
    @given(st.floats(0.0, 3.0), st.floats(0.5, 200.0), st.floats(0.1, 20.0), st.floats(0.0, 3.0))
    def test_strong_thrust_leaves_the_reaction_only(self, start, mass, drag, reaction):
        stop = coasting.stop_with_astern(start, mass, drag, 1e12, reaction)
        assert stop.distance == pytest.approx(start * reaction, abs=1e-6)
        assert stop.time == pytest.approx(reaction, abs=1e-6)
        weak, strong = (coasting.stop_with_astern(start, mass, drag, t, reaction) for t in (1.0, 2.0))
        assert strong.distance <= weak.distance
        assert strong.time <= weak.time

    @pytest.mark.parametrize(
        "call",
        [
            lambda: coasting.coast_rate(1.0, 0.0),
            lambda: coasting.coast_rate(-1.0, 1.0),
            lambda: coasting.coast_speed(-0.1, 0.1, 1.0),
            lambda: coasting.coast_distance(0.1, 0.1, NAN),
            lambda: coasting.coast_distance_to(0.1, 0.2, 0.1),
            lambda: coasting.coast_distance_to(math.inf, 0.2, 0.1),
            lambda: coasting.coast_distance_to(0.3, 0.2, 0.0),
            lambda: coasting.coast_time_to(0.3, 0.0, 0.1),
            lambda: coasting.stop_with_astern(0.8, 12.0, 0.0, 2.0),
            lambda: coasting.stop_with_astern(0.8, 12.0, 3.0, 0.0),
        ],
    )
    def test_refuses(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()


buoyancies = st.floats(0.003, 0.4)
masses = st.floats(1.0, 200.0)
areas = st.floats(0.01, 0.6)
depths = st.floats(0.05, 6.0)


class TestRising:
    @few
    @given(buoyancies, masses, areas, depths, st.floats(1.05, 3.0))
    def test_monotone(self, buoyancy, mass, area, depth, more):
        base = rise(buoyancy, mass, 999.0, area).time(depth)
        assert rise(buoyancy * more, mass, 999.0, area).time(depth) < base
        assert rise(buoyancy, mass * more, 999.0, area).time(depth) > base
        assert rise(buoyancy, mass, 999.0, area * more).time(depth) > base
        assert rise(buoyancy, mass, 999.0, area, 1.2 * more / 1.5).time(depth) > 0
        assert rise(buoyancy, mass, 999.0, area).time(depth * more) > base

    @few
    @given(buoyancies, masses, areas, depths)
    def test_time_height_and_speed_agree(self, buoyancy, mass, area, depth):
        law = rise(buoyancy, mass, 999.0, area)
        time = law.time(depth)
        assert law.risen(time) == pytest.approx(depth, rel=1e-9)
        assert 0.0 < law.speed(time) <= law.terminal_speed
        assert time >= depth / law.terminal_speed

    @few
    @given(buoyancies, masses, areas)
    def test_the_first_moment_is_free_acceleration(self, buoyancy, mass, area):
        law = rise(buoyancy, mass, 999.0, area)
        depth = 1e-6 * law.terminal_speed * law.time_constant
        free = math.sqrt(2 * depth * mass / (9.80665 * buoyancy))
        assert law.time(depth) == pytest.approx(free, rel=1e-5)
        assert law.time(0.0) == 0.0

    def test_deep_does_not_overflow(self):
        law = Rise(0.08, 3.58)
        assert law.time(1e4) == pytest.approx(1e4 / 0.08 + 3.58 * math.log(2), rel=1e-9)
        assert rising.log_cosh(1e6) == pytest.approx(1e6 - math.log(2))

    @few
    @given(st.floats(-20.0, 20.0))
    def test_log_cosh(self, x):
        assert rising.log_cosh(x) == pytest.approx(math.log(math.cosh(x)), rel=1e-7, abs=1e-15)

    @pytest.mark.parametrize("buoyancy", [0.0, -0.01, NAN])
    def test_a_heavy_boat_does_not_come_up(self, buoyancy):
        with pytest.raises(OutOfRangeError, match="not come up by herself"):
            rise(buoyancy, 10.0, 999.0, 0.1)


class TestBlow:
    BOAT = (17.531, 999.1, 0.102)

    @settings(max_examples=25, deadline=None)
    @given(st.floats(0.005, 0.1), st.floats(0.2, 3.0), st.floats(0.1, 1.0), st.floats(1.0, 40.0))
    def test_between_no_blow_and_all_of_it_at_once(self, buoyancy, depth, mass, duration):
        got = rise_with_blow(depth, buoyancy, Blow(mass, duration, 1.5), *self.BOAT).time
        unaided = rise(buoyancy, *self.BOAT).time(depth)
        at_once = rise(buoyancy + mass, *self.BOAT).time(depth)
        assert at_once - 0.01 <= got <= min(unaided, 1.5 + duration + at_once) + 0.01

    def test_no_ballast_given_out_is_the_closed_form(self):
        got = rise_with_blow(1.0, 0.04, Blow(0.0, 1.0), *self.BOAT)
        assert got.time == pytest.approx(rise(0.04, *self.BOAT).time(1.0), rel=1e-5)
        assert got.sank == 0.0

    def test_the_bottom_holds_her(self):
        deep = rise_with_blow(1.0, -0.05, Blow(0.9, 20.0, 5.0), *self.BOAT)
        held = rise_with_blow(1.0, -0.05, Blow(0.9, 20.0, 5.0), *self.BOAT, room_below=0.05)
        laid = rise_with_blow(1.0, -0.05, Blow(0.9, 20.0, 5.0), *self.BOAT, room_below=0.0)
        assert deep.sank > 0.05
        assert held.sank == pytest.approx(0.05)
        assert laid.sank == 0.0
        assert laid.time < held.time < deep.time

    def test_given_out(self):
        blow = Blow(0.9, 20.0, 1.5)
        assert [blow.given_out(t) for t in (0.0, 1.5, 11.5, 21.5, 60.0)] == pytest.approx(
            [0.0, 0.0, 0.45, 0.9, 0.9]
        )

    def test_too_slow_is_said(self):
        with pytest.raises(OutOfRangeError, match="half an hour"):
            rise_with_blow(3.0, -0.1, Blow(0.1 + 1e-9, 20.0), *self.BOAT)

    @pytest.mark.parametrize(
        ("depth", "buoyancy", "blow"),
        [
            (1.0, -0.05, Blow(0.04, 20.0)),
            (1.0, NAN, Blow(0.04, 20.0)),
            (0.0, 0.05, Blow(0.04, 20.0)),
            (1.0, 0.05, Blow(0.04, 0.0)),
            (1.0, 0.05, Blow(0.04, 1.0, -1.0)),
            (1.0, 0.05, Blow(-0.01, 1.0)),
        ],
    )
    def test_refuses(self, depth, buoyancy, blow):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            rise_with_blow(depth, buoyancy, blow, *self.BOAT)


class TestByPlanes:
    @few
    @given(depths, st.floats(0.1, 2.0), st.floats(0.02, 1.5))
    def test_time_goes_with_depth(self, depth, speed, angle):
        time = rising.climb_time(depth, speed, angle)
        assert rising.climb_time(2 * depth, speed, angle) == pytest.approx(2 * time)
        assert time >= depth / speed
        assert rising.climb_time(depth, speed, angle / 2) > time

    def test_holding_speed(self):
        # m g BG sin 10 deg of a 9 kg boat, 12 mm; planes 30 cm2, slope 2.5, 20 degrees, arm 0.4 m.
        moment = 9 * 9.80665 * 0.012 * math.sin(math.radians(10))
        planes = 0.003 * 2.5 * math.radians(20) * 0.4
        v = rising.holding_speed(moment, planes, 999.0)
        assert 0.5 * 999.0 * v * v * planes == pytest.approx(moment)
        assert rising.holding_speed(0.0, planes, 999.0) == 0.0

    @pytest.mark.parametrize(
        "call",
        [
            lambda: rising.climb_time(1.0, 0.5, 0.0),
            lambda: rising.climb_time(1.0, 0.5, 1.6),
            lambda: rising.climb_time(1.0, 0.0, 0.2),
            lambda: rising.climb_time(-1.0, 0.5, 0.2),
            lambda: rising.holding_speed(-1.0, 1.0, 999.0),
            lambda: rising.holding_speed(1.0, 0.0, 999.0),
            lambda: Rise(0.1, 1.0).time(-1.0),
            lambda: Rise(0.1, 1.0).risen(-1.0),
            lambda: Rise(0.1, 1.0).speed(NAN),
            lambda: rise(0.1, 10.0, 999.0, 0.1, 0.1),
            lambda: rise(0.1, 10.0, 999.0, 0.0),
            lambda: rise(0.1, 0.0, 999.0, 0.1),
        ],
    )
    def test_refuses(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()
