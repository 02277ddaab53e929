"""Depth lost when the signal goes, and the room that allows it: properties."""

import math
from math import radians

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion import excursion as model
from divelog.physics.motion import room
from divelog.physics.motion.excursion import excursion, turning_estimate
from divelog.physics.motion.rising import Rise
from divelog.physics.motion.sternway import coasting_excursion

few = settings(max_examples=150, deadline=None)
speeds = st.floats(0.05, 2.0)
angles = st.floats(0.0, radians(45))
delays = st.floats(0.0, 5.0)
travels = st.floats(0.0, 1.0)
lengths = st.floats(0.3, 2.5)
NAN = math.nan


class TestExcursion:
    @few
    @given(speeds, angles, delays, travels, lengths, st.booleans(), st.floats(0.01, radians(45)))
    def test_estimate_never_beats_the_bound(self, v, g, td, ts, length, over, up):
        lost = excursion(v, g, td, ts, length, planes_over=over)
        estimate = turning_estimate(lost.angle, up, length)
        assert 0.0 <= estimate <= lost.turning + 1e-12
        assert lost.bound <= lost.worst
        assert lost.hull_lowest <= lost.worst
        assert 0.0 <= lost.angle <= math.pi / 2

    @few
    @given(
        speeds, angles, delays, travels, lengths, st.booleans(), st.sampled_from(["v", "g", "td", "ts", "l"])
    )
    def test_more_of_anything_is_deeper(self, v, g, td, ts, length, over, which):
        more = {"v": v, "g": g, "td": td, "ts": ts, "l": length}
        base = excursion(v, g, td, ts, length, planes_over=over)
        more[which] = min(more[which] * 1.1 + 0.001, radians(45)) if which == "g" else more[which] * 1.1
        deeper = excursion(more["v"], more["g"], more["td"], more["ts"], more["l"], planes_over=over)
        if which == "l" and over:
            return  # a longer boat dives on a wider arc
        assert deeper.bound >= base.bound - 1e-12

    @few
    @given(angles, delays, travels, lengths)
    def test_lying_still_loses_nothing(self, g, td, ts, length):
        lost = excursion(0.0, g, td, ts, length)
        assert (lost.bound, lost.worst, lost.angle) == (0.0, 0.0, 0.0)

    @few
    @given(speeds, angles, st.floats(0.0, 2.0), travels, lengths)
    def test_linear_in_the_delay_when_steady(self, v, g, td, ts, length):
        one, two = (excursion(v, g, t, ts, length).bound for t in (td, 2 * td))
        assert two - one == pytest.approx(v * math.sin(g) * td, abs=1e-12)

    def test_small_quick_boat_loses_what_she_runs(self):
        lost = excursion(0.8, radians(10), 1.5, 0.0, 1e-6)
        assert lost.bound == pytest.approx(0.8 * math.sin(radians(10)) * 1.5, abs=1e-5)

    @few
    @given(speeds, angles, st.floats(0.01, 5.0), travels, lengths)
    def test_planes_over_is_never_less(self, v, g, td, ts, length):
        assert (
            excursion(v, g, td, ts, length, planes_over=True).bound
            >= excursion(v, g, td, ts, length).bound - 1e-12
        )

    def test_the_arc_runs_over_into_straight_down(self):
        # 90 degrees from level on a radius of 2 m takes pi seconds at 1 m/s; a second more is a metre.
        lost = excursion(1.0, 0.0, math.pi + 1.0, 0.0, 1.0, planes_over=True)
        assert lost.angle == pytest.approx(math.pi / 2)
        assert lost.waiting == pytest.approx(3.0)
        before = excursion(1.0, 0.0, math.pi - 1e-7, 0.0, 1.0, planes_over=True)
        assert before.waiting == pytest.approx(2.0, abs=1e-6)

    def test_allowance_from_eighteen_degrees_or_fast(self):
        assert model.allowance(0.6, radians(17.9), 1.0) == 1.0
        assert model.allowance(0.6, radians(18), 1.0) == 1.25
        fast = 0.45 * math.sqrt(9.80665)
        assert model.allowance(fast * 0.999, radians(5), 1.0) == 1.0
        assert model.allowance(fast * 1.001, radians(5), 1.0) == 1.25
        steep = excursion(0.6, radians(20), 1.5, 0.4, 1.0)
        assert steep.worst == pytest.approx(1.25 * steep.bound)

    def test_the_hull_may_be_lower_than_the_path(self):
        lost = excursion(0.6, radians(30), 1.0, 0.2, 2.0, lag_lengths=0.1)
        assert lost.hull_lowest > lost.bound
        assert lost.worst == pytest.approx(1.25 * lost.hull_lowest)

    @pytest.mark.parametrize(
        "call",
        [
            lambda: excursion(0.04, 0.1, 1.0, 0.4, 1.0),
            lambda: excursion(-0.1, 0.1, 1.0, 0.4, 1.0),
            lambda: excursion(NAN, 0.1, 1.0, 0.4, 1.0),
            lambda: excursion(0.5, radians(46), 1.0, 0.4, 1.0),
            lambda: excursion(0.5, -0.01, 1.0, 0.4, 1.0),
            lambda: excursion(0.5, 0.1, -1.0, 0.4, 1.0),
            lambda: excursion(0.5, 0.1, 1.0, NAN, 1.0),
            lambda: excursion(0.5, 0.1, 1.0, 0.4, 0.0),
            lambda: excursion(0.5, 0.1, 1.0, 0.4, 1.0, lag_lengths=0.0),
            lambda: excursion(0.5, 0.1, 1.0, 0.4, 1.0, arc_lengths=0.0),
            lambda: turning_estimate(0.1, 0.0, 1.0),
            lambda: turning_estimate(1.6, 0.1, 1.0),
        ],
    )
    def test_refuses(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()


rises = st.builds(Rise, st.floats(0.02, 0.2), st.floats(0.5, 20.0))


class TestSternway:
    @few
    @given(st.floats(0.0, 2.0), angles, delays, st.floats(0.02, 1.0), rises)
    def test_between_what_is_driven_and_the_whole_coast(self, v, g, td, rate, law):
        lost = coasting_excursion(v, g, td, rate, law)
        driven = math.sin(g) * v * td
        alone = coasting_excursion(v, g, td, rate, None)
        assert driven - 1e-12 <= lost.depth
        if lost.time <= alone.time:
            assert lost.depth <= alone.depth + 1e-9
        # The deepest moment is one: a little before and after is not deeper.
        for t in (lost.time * 0.99, lost.time * 1.01):
            slip = math.sin(g) * math.log1p(rate * v * t) / rate - law.risen(t)
            assert driven + slip <= lost.depth + 1e-12

    @few
    @given(st.floats(0.06, 2.0), st.floats(0.02, radians(45)), delays, st.floats(0.02, 1.0), rises)
    def test_more_lift_is_less_deep(self, v, g, td, rate, law):
        lighter = Rise(law.terminal_speed * 1.2, law.time_constant)
        assert (
            coasting_excursion(v, g, td, rate, lighter).depth
            <= coasting_excursion(v, g, td, rate, law).depth + 1e-12
        )

    def test_brakes_hard_enough_leave_the_delay_only(self):
        lost = coasting_excursion(0.5, radians(10), 1.5, 1e9, Rise(0.08, 3.0))
        assert lost.depth == pytest.approx(0.5 * math.sin(radians(10)) * 1.5, abs=1e-6)

    def test_level_or_still_loses_nothing(self):
        for law in (None, Rise(0.08, 3.0)):
            assert coasting_excursion(0.5, 0.0, 1.5, 0.2, law).depth == 0.0
            assert coasting_excursion(0.0, 0.2, 1.5, 0.2, law).depth == 0.0

    def test_heavy_coasts_down_to_a_drift(self):
        lost = coasting_excursion(0.5, radians(10), 1.5, 0.2, None)
        sine = math.sin(radians(10))
        assert lost.depth == pytest.approx(sine * (0.75 + math.log(0.5 / 0.05) / 0.2))
        assert lost.time == pytest.approx((1 / 0.05 - 1 / 0.5) / 0.2)

    @pytest.mark.parametrize(
        "call",
        [
            lambda: coasting_excursion(-0.1, 0.1, 1.0, 0.2, None),
            lambda: coasting_excursion(0.5, 0.9, 1.0, 0.2, None),
            lambda: coasting_excursion(0.5, 0.1, -1.0, 0.2, None),
            lambda: coasting_excursion(0.5, 0.1, 1.0, 0.0, None),
        ],
    )
    def test_refuses(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()


class TestRoom:
    @few
    @given(st.floats(0.0, 5.0), speeds, st.floats(0.01, radians(45)), travels, lengths)
    def test_longest_delay_fills_the_room(self, r, v, g, ts, length):
        delay = room.longest_delay(r, v, g, ts, length)
        assume(delay >= 0.0)
        assert excursion(v, g, delay, ts, length).bound == pytest.approx(r, rel=1e-9)

    @few
    @given(speeds, st.floats(0.1, radians(45)), travels, lengths)
    def test_a_flat_lag_lets_the_hull_rule(self, v, g, ts, length):
        delay = room.longest_delay(5.0, v, g, ts, length, lag_lengths=0.01)
        assert excursion(v, g, max(delay, 0.0), ts, length, lag_lengths=0.01).hull_lowest == pytest.approx(
            5.0, rel=1e-9
        )

    @settings(max_examples=60, deadline=None)
    @given(st.floats(0.1, 5.0), st.floats(0.2, 2.0), angles, travels, lengths)
    def test_planes_over_fills_the_room_too(self, r, v, g, ts, length):
        delay = room.longest_delay_planes_over(r, v, g, ts, length)
        if delay is None:
            assert excursion(v, g, 0.0, ts, length, planes_over=True).bound > r or (
                excursion(v, g, 0.0, ts, length, planes_over=True).hull_lowest > r
            )
            return
        lost = excursion(v, g, delay, ts, length, planes_over=True)
        assert max(lost.bound, lost.hull_lowest) == pytest.approx(r, abs=1e-6)

    def test_level_does_not_limit(self):
        assert room.longest_delay(1.0, 0.6, 0.0, 0.4, 1.0) == math.inf
        assert room.longest_delay(-0.1, 0.6, 0.0, 0.4, 1.0) == -math.inf

    def test_no_room_is_negative_or_none(self):
        assert room.longest_delay(0.1, 0.6, radians(10), 0.4, 1.0) < 0.0
        assert room.longest_delay_planes_over(0.1, 0.6, radians(10), 0.4, 1.0) is None
        assert room.longest_delay_planes_over(500.0, 0.06, 0.0, 0.4, 1.0) == room.LONGEST_DELAY_SOUGHT

    @few
    @given(st.floats(0.01, 5.0), speeds, delays, travels, lengths)
    def test_steepest_angle_fills_the_room(self, r, v, td, ts, length):
        angle = room.steepest_angle(r, v, td, ts, length)
        lost = v * math.sin(angle) * (td + ts) + 1.5 * length * angle
        if angle < math.pi / 2:
            assert lost == pytest.approx(r, rel=1e-9)
        else:
            assert lost <= r + 1e-12

    def test_steepest_angle_at_the_ends(self):
        assert room.steepest_angle(0.0, 0.6, 1.5, 0.4, 1.0) == 0.0
        assert room.steepest_angle(-1.0, 0.6, 1.5, 0.4, 1.0) == 0.0
        assert room.steepest_angle(100.0, 0.6, 1.5, 0.4, 1.0) == math.pi / 2

    @few
    @given(st.floats(0.01, 5.0), speeds, delays, travels, lengths)
    def test_her_own_end_never_reaches_the_bottom_first(self, r, v, td, ts, length):
        angle = room.steepest_angle(r, v, td, ts, length)
        sunk = v * math.sin(angle) * (td + ts) + length / 2 * math.sin(angle)
        assert sunk <= r + 1e-9

    @pytest.mark.parametrize(
        "call",
        [
            lambda: room.longest_delay(NAN, 0.6, 0.1, 0.4, 1.0),
            lambda: room.longest_delay(1.0, 0.0, 0.1, 0.4, 1.0),
            lambda: room.longest_delay(1.0, 0.6, 1.0, 0.4, 1.0),
            lambda: room.longest_delay_planes_over(math.inf, 0.6, 0.1, 0.4, 1.0),
            lambda: room.longest_delay_planes_over(1.0, 0.01, 0.1, 0.4, 1.0),
            lambda: room.steepest_angle(1.0, -0.6, 0.1, 0.4, 1.0),
            lambda: room.steepest_angle(NAN, 0.6, 0.1, 0.4, 1.0),
            lambda: room.steepest_angle(1.0, 0.6, 0.1, 0.4, 0.0),
        ],
    )
    def test_refuses(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()
