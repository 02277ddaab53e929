"""Paths of a rehearsal: closed forms, a second writing by scipy, energy, the bottom, and how they end."""

import itertools
import math
from dataclasses import replace

import pytest
from boats2d import RHO, G, again, drawn, middle_boat
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipk

from divelog.physics.buoyancy_squeeze import heavy_depth
from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion.coasting import coast_speed
from divelog.physics.motion.rehearsal import AtLoss, Case, End, PlanesAfter, rehearse
from divelog.physics.motion.rising import Blow, Rise, rise_with_blow
from divelog.physics.motion.steady import steady

FINE = 1e-10
DIVE = Case(0.7, 0.6, -math.radians(10), 1.5, 0.4, blow=Blow(0.42, 52.0, 1.5), bottom=2.2)
ASTERN = replace(DIVE, speed=-0.3, pitch=math.radians(10), planes=PlanesAfter.NO_EFFECT)
STOPPED = replace(DIVE, speed=0.0, pitch=0.0, blow=None, bottom=None)


def bare(**other):
    """No planes, no air, no stiffness: what closed forms know."""
    return middle_boat(**{"planes": (), "hull_lift": 0.0, "air": 0.0, "stiff_loss": 0.0, **other})


class TestClosedForms:
    @pytest.mark.parametrize("depth", [0.3, 0.7, 2.0, 6.0])
    @pytest.mark.parametrize("light", [0.004, 0.018, 0.09])
    def test_rising_from_rest(self, depth, light):
        boat = bare(balance=light)
        law = Rise(
            math.sqrt(G * light / boat.crossflow), boat.mass_broadside / math.sqrt(G * light * boat.crossflow)
        )
        got = rehearse(boat, replace(STOPPED, depth=depth), FINE)
        assert got.surfaced == pytest.approx(law.time(depth - 0.27), rel=1e-8)
        for point in got.points:
            assert depth - point.depth == pytest.approx(law.risen(point.time), abs=1e-8)
        assert (got.deepest, got.lowest, got.turns_up, got.end) == (depth, depth, 0.0, End.SURFACED)

    @pytest.mark.parametrize("light", [0.040, 0.002, -0.050])
    def test_rising_with_a_blow(self, light):
        # Against the package's own stepping of the same law, 0.02 s a step.
        boat, blow = bare(balance=light), Blow(0.9, 20.0, 1.5)
        got = rehearse(boat, replace(STOPPED, depth=1.27, blow=blow), FINE)
        area = boat.crossflow * 2 / RHO / 1.2
        want = rise_with_blow(1.0, light, blow, boat.mass_broadside, RHO, area)
        assert got.surfaced == pytest.approx(want.time, abs=2e-3)
        assert got.deepest - 1.27 == pytest.approx(want.sank, abs=1e-4)

    def test_coasting_level(self):
        boat = bare(balance=0.0)
        got = rehearse(boat, replace(STOPPED, speed=0.6, delay=2.0), FINE)
        rate = boat.drag / boat.mass_ahead
        for point in got.points:
            assert point.depth == pytest.approx(0.7, abs=1e-9)
            want = coast_speed(0.6, rate, max(0.0, point.time - 2.0))
            assert point.speed == pytest.approx(want, rel=1e-7)
        assert got.end is End.STAYS_DOWN

    def test_swinging_in_still_water(self):
        # A pendulum without drag: period 4 K(sin^2(a/2)) sqrt(I/M) (scipy's ellipk).
        boat = bare(balance=0.0, crossflow=0.0, drag=0.0)
        angle = 0.6
        got = rehearse(boat, replace(STOPPED, pitch=angle, delay=0.0), FINE)
        quarter = ellipk(math.sin(angle / 2) ** 2) * math.sqrt(boat.inertia / boat.righting)
        early = [p for p in got.points if p.time < 8 * quarter]
        signs = [
            a.time + (b.time - a.time) * a.pitch / (a.pitch - b.pitch)
            for a, b in itertools.pairwise(early)
            if (a.pitch > 0) != (b.pitch > 0)
        ]
        assert signs[:3] == pytest.approx([quarter, 3 * quarter, 5 * quarter], abs=2e-3)

    def test_still_water_at_rest(self):
        got = rehearse(bare(balance=0.0), STOPPED)
        assert all((p.depth, p.pitch, p.speed) == (0.7, 0.0, 0.0) for p in got.points)
        assert got.end is End.STAYS_DOWN
        assert got.surfaced is None

    def test_a_held_dive_goes_straight_on(self):
        # Planes held, motor on, nothing shrinks: the steady dive is a straight line.
        tried = 0
        for seed in range(20):
            one = drawn(seed)
            boat = replace(one.boat, air=0.0)
            before = steady(boat, one.speed, -one.angle, boat.balance)
            sink = one.speed * math.sin(one.angle) + before.down * math.cos(one.angle)
            if not before.kept or sink < 0.0:
                continue  # her planes cannot hold this dive, or she floats up in it
            case = Case(one.depth, one.speed, -one.angle, 1.0, 0.4, planes=PlanesAfter.HELD, motor=1.0)
            got = rehearse(boat, case, FINE)
            assert got.depth_at(3.0) - one.depth == pytest.approx(3.0 * sink, rel=1e-5)
            tried += 1
        assert tried >= 10


class TestAgain:
    """The same motion written a second time and integrated by scipy's DOP853, to 1e-8."""

    def check(self, boat, case, until, abs_depth=1e-8):
        light = boat.balance - boat.loss(case.depth)
        before = steady(boat, case.speed, case.pitch, light)
        first = -1.0 if case.at_loss is AtLoss.DIVE else before.planes
        last = {"rise": 1.0, "middle": 0.0, "held": first, "no effect": 0.0}[case.planes.value]
        travel = 0.0 if case.planes is PlanesAfter.NO_EFFECT else case.plane_time * abs(last - first) / 2

        def planes(t):
            if t < case.delay:
                return first
            return last if t >= case.delay + travel else first + (last - first) * (t - case.delay) / travel

        def given(t):
            if case.blow is None:
                return 0.0
            return case.blow.mass * min(1.0, max(0.0, (t - case.blow.delay) / case.blow.duration))

        def acted(t):
            return t >= case.delay and case.motor == 0.0

        breaks = (case.delay, case.delay + travel)
        if case.blow is not None:
            breaks += (case.blow.delay, case.blow.delay + case.blow.duration)
        path = again(
            boat,
            (case.depth, case.pitch, case.speed, before.down, 0.0),
            until,
            planes=planes,
            given=given,
            thrust=lambda t: 0.0 if acted(t - 1e-12) else before.thrust,
            hold=lambda t: 0.0 if acted(t - 1e-12) else before.hold,
            breaks=breaks,
        )
        got = rehearse(boat, case, FINE)
        worst = 0.0
        for point in got.points:
            if point.time <= until and point.time not in breaks:
                z, pitch, u, w, _ = path(point.time)
                assert point.depth == pytest.approx(z, abs=abs_depth)
                assert point.pitch == pytest.approx(pitch, abs=10 * abs_depth)
                assert point.speed == pytest.approx(math.hypot(u, w), abs=10 * abs_depth)
                worst = max(worst, z)
        assert got.deepest >= worst - abs_depth
        return got

    @pytest.mark.parametrize(
        "case",
        [
            DIVE,
            replace(DIVE, blow=None),
            replace(DIVE, at_loss=AtLoss.DIVE, bottom=None),
            replace(DIVE, planes=PlanesAfter.HELD),
            replace(DIVE, planes=PlanesAfter.MIDDLE, plane_time=1.0),
            replace(DIVE, motor=1.0),
            replace(DIVE, plane_time=0.0, delay=0.0, blow=Blow(0.42, 3.0, 2.0)),
            ASTERN,
            replace(STOPPED, blow=Blow(0.42, 52.0, 1.5)),
        ],
    )
    def test_every_way_of_going(self, case):
        self.check(middle_boat(), case, 8.0)

    @pytest.mark.parametrize("seed", range(8))
    def test_boats_at_random(self, seed):
        one = drawn(1000 + seed)
        case = Case(one.depth, one.speed, -one.angle, one.delay, one.plane_time, blow=one.blow)
        self.check(one.boat, case, 5.0, abs_depth=2e-8)

    def test_deepest_and_time_up(self):
        boat = middle_boat()
        got = rehearse(boat, DIVE, FINE)
        finer = rehearse(boat, DIVE, 1e-12)
        assert got.deepest == pytest.approx(finer.deepest, abs=1e-8)
        assert got.surfaced == pytest.approx(finer.surfaced, abs=1e-7)
        at = min(got.points, key=lambda p: abs(p.time - got.turns_up))
        assert got.deepest == pytest.approx(got.depth_at(got.turns_up), abs=1e-9)
        assert abs(at.sinking) < 0.02
        last = got.points[-1]
        assert last.depth == pytest.approx(0.27 * math.cos(last.pitch), abs=1e-9)


class TestConvergence:
    @pytest.mark.parametrize("case", [DIVE, replace(DIVE, at_loss=AtLoss.DIVE), ASTERN, STOPPED])
    def test_with_the_step(self, case):
        boat = middle_boat()
        true = rehearse(boat, case, 1e-12)
        errors = []
        for tolerance in (1e-4, 1e-6, 1e-8):
            got = rehearse(boat, case, tolerance)
            errors.append(max(abs(got.deepest - true.deepest), abs(got.surfaced - true.surfaced)))
            assert errors[-1] <= 2000 * tolerance
        assert errors[2] <= max(errors[0], 1e-9)

    def test_the_usual_step_is_fine_enough(self):
        # A millimetre and a hundredth of a second: a tenth of what is shown.
        for seed in range(40):
            one = drawn(seed)
            case = Case(
                one.depth, one.speed, -one.angle, one.delay, one.plane_time, blow=one.blow, bottom=12.0
            )
            got, true = rehearse(one.boat, case), rehearse(one.boat, case, FINE)
            assert got.deepest == pytest.approx(true.deepest, abs=1e-3)
            assert got.end is true.end
            if true.surfaced is not None:
                assert got.surfaced == pytest.approx(true.surfaced, abs=1e-2)


class TestEnergy:
    @settings(max_examples=40)
    @given(st.integers(0, 10_000), st.sampled_from(list(PlanesAfter)))
    def test_nothing_is_gained_without_thrust_or_ballast(self, seed, planes):
        one = drawn(seed)
        boat = one.boat
        case = Case(one.depth, one.speed, -one.angle, 0.0, one.plane_time, planes=planes)
        before = steady(boat, one.speed, -one.angle, boat.balance - boat.loss(one.depth))
        way = (boat.mass_ahead * one.speed**2 + boat.mass_broadside * before.down**2) / 2
        start = way + self.stored(boat, one.depth, -one.angle)
        for point in rehearse(boat, case, 1e-8).points:
            # Less than she has: turning left out, and all her mass taken for the lighter one ahead.
            least = boat.mass_ahead * point.speed**2 / 2 + self.stored(boat, point.depth, point.pitch)
            assert least <= start + 1e-6

    def stored(self, boat, depth, pitch):
        """Energy in righting and depth, J, by scipy's quadrature."""
        lift = quad(lambda z: boat.balance - boat.loss(z), 0, depth)[0]
        return boat.righting * (1 - math.cos(pitch)) + G * lift

    @pytest.mark.parametrize("case", [DIVE, ASTERN])
    def test_it_falls_all_the_way_by_scipy(self, case):
        boat = middle_boat()
        before = steady(boat, case.speed, case.pitch, boat.balance - boat.loss(0.7))
        path = again(
            boat, (0.7, case.pitch, case.speed, before.down, 0.0), 20.0,
            planes=lambda t: 1.0, given=lambda t: 0.0, thrust=lambda t: 0.0,
        )  # fmt: skip
        energies = []
        for n in range(81):
            z, pitch, u, w, q = path(n / 4)
            whole = boat.mass_ahead * u * u + boat.mass_broadside * w * w + boat.inertia * q * q
            energies.append(whole / 2 + self.stored(boat, z, pitch))
        assert all(b <= a + 1e-9 for a, b in itertools.pairwise(energies))


class TestBottom:
    def test_she_touches_and_comes_up_when_the_motor_stops(self):
        got = rehearse(middle_boat(), replace(DIVE, depth=1.8, delay=6.0, blow=Blow(0.42, 52.0, 6.0)))
        assert got.end is End.SURFACED
        assert got.touched is not None
        assert got.touched < 6.0
        assert got.lowest == pytest.approx(2.2, abs=1e-6)
        lying = [p for p in got.points if got.touched <= p.time <= 6.0 and p.speed == 0.0]
        assert len(lying) >= 2
        assert lying[-1].time == pytest.approx(6.0)
        assert all(p.depth == lying[0].depth for p in lying)

    def test_with_the_motor_running_she_stays(self):
        got = rehearse(middle_boat(), replace(DIVE, planes=PlanesAfter.HELD, motor=1.0, blow=None))
        assert got.end is End.ON_BOTTOM
        assert got.surfaced is None
        assert got.points[-1].time == got.touched

    def test_heavy_she_waits_for_her_ballast(self):
        boat = middle_boat(balance=-0.05)
        got = rehearse(boat, replace(STOPPED, depth=1.5, bottom=1.6, blow=Blow(0.42, 60.0, 3.0)))
        assert got.end is End.SURFACED
        assert got.touched is not None
        leaves = max(p.time for p in got.points if p.speed == 0.0)
        # Light again where 0.42 kg in 60 s has given what she lacks at that depth.
        lacks = 0.05 + boat.loss(1.6)
        assert leaves == pytest.approx(3.0 + 60.0 * lacks / 0.42, abs=0.01)

    def test_heavy_without_ballast_she_stays(self):
        got = rehearse(middle_boat(balance=-0.05), replace(STOPPED, bottom=1.6))
        assert got.end is End.ON_BOTTOM
        assert got.lowest == pytest.approx(1.6, abs=1e-6)

    def test_ballast_too_small_for_her(self):
        case = replace(STOPPED, bottom=1.6, blow=Blow(0.42, 60.0, 30.0))
        assert rehearse(middle_boat(balance=-0.5), case).end is End.ON_BOTTOM

    def test_heavy_without_a_bottom_she_goes_out_of_what_is_known(self):
        assert rehearse(middle_boat(balance=-0.5), STOPPED).end is End.TOO_DEEP

    def test_already_on_it(self):
        got = rehearse(middle_boat(), replace(DIVE, depth=2.18))
        assert got.touched == 0.0
        assert got.end is End.SURFACED

    @settings(max_examples=60)
    @given(st.integers(0, 10_000), st.floats(0.0, 1.5), st.booleans(), st.booleans())
    def test_never_below_it(self, seed, under, over, motor):
        one = drawn(seed)
        case = Case(
            one.depth, one.speed, -one.angle, one.delay, one.plane_time, blow=one.blow,
            at_loss=AtLoss.DIVE if over else AtLoss.STEADY, motor=float(motor), bottom=one.depth + under,
        )  # fmt: skip
        got = rehearse(one.boat, case)
        start = one.depth + one.length / 2 * math.sin(one.angle)
        assert got.lowest <= max(case.bottom, start) + 1e-6
        assert all(math.isfinite(v) for p in got.points for v in (p.time, p.depth, p.pitch, p.speed))
        assert all(a.time <= b.time for a, b in zip(got.points[:-1], got.points[1:], strict=True))


class TestShrinkingAir:
    def test_it_decides_whether_she_comes_back(self):
        boat = bare(balance=0.010, air=50e-6)
        limit = heavy_depth(0.010, boat.loss)
        assert limit is not None
        shallow = rehearse(boat, replace(STOPPED, depth=limit - 0.05))
        deep = rehearse(boat, replace(STOPPED, depth=limit + 0.05))
        assert shallow.end is End.SURFACED
        assert deep.end is End.TOO_DEEP


class TestProperties:
    @settings(max_examples=50)
    @given(st.integers(0, 10_000), st.floats(0.1, 1.5))
    def test_a_longer_wait_is_never_shallower(self, seed, more):
        one = drawn(seed)
        if one.boat.balance - one.boat.loss(one.depth + 2.0) <= 0.0:
            return
        case = Case(one.depth, one.speed, -one.angle, one.delay, one.plane_time)
        later = replace(case, delay=one.delay + more)
        if steady(one.boat, one.speed, -one.angle, one.boat.balance - one.boat.loss(one.depth)).kept:
            assert rehearse(one.boat, later).deepest >= rehearse(one.boat, case).deepest - 1e-3

    @settings(max_examples=50)
    @given(st.integers(0, 10_000))
    def test_ballast_out_is_never_slower_from_rest(self, seed):
        one = drawn(seed)
        case = Case(one.depth, 0.0, 0.0, one.delay, one.plane_time)
        alone = rehearse(one.boat, case)
        blown = rehearse(one.boat, replace(case, blow=Blow(0.1 * one.boat.mass_ahead, 30.0, one.delay)))
        assert blown.surfaced is not None
        assert alone.surfaced is None or blown.surfaced <= alone.surfaced + 1e-4

    def test_upside_down(self):
        # Without buoyancy a dive and a climb are mirror images.
        boat = middle_boat(balance=0.0, air=0.0, stiff_loss=0.0, tip=-1.0)
        down = rehearse(
            boat, replace(DIVE, depth=5.0, blow=None, bottom=None, planes=PlanesAfter.MIDDLE), FINE
        )
        up = rehearse(
            boat,
            replace(DIVE, depth=5.0, pitch=-DIVE.pitch, blow=None, bottom=None, planes=PlanesAfter.MIDDLE),
            FINE,
        )
        for t in (1.0, 3.0, 8.0):
            assert down.depth_at(t) - 5.0 == pytest.approx(5.0 - up.depth_at(t), abs=1e-7)

    def test_the_tip_out_from_the_start(self):
        at_once = rehearse(middle_boat(), replace(STOPPED, depth=0.2))
        assert (at_once.surfaced, at_once.end, len(at_once.points)) == (0.0, End.SURFACED, 1)
        dives = rehearse(middle_boat(), replace(DIVE, depth=0.1))
        assert dives.end is End.SURFACED
        assert dives.surfaced > dives.turns_up > 0.0
        awash = rehearse(middle_boat(), replace(DIVE, depth=0.05, speed=0.3, delay=0.2))
        assert awash.end is End.SURFACED
        assert awash.deepest < 0.27
        assert awash.surfaced == pytest.approx(awash.turns_up, abs=1.0)

    def test_depth_between_points(self):
        got = rehearse(middle_boat(), DIVE)
        finer = rehearse(middle_boat(), DIVE, FINE)
        for n in range(60):
            assert got.depth_at(n / 5) == pytest.approx(finer.depth_at(n / 5), abs=1e-3)
        assert got.depth_at(1e6) == got.points[-1].depth


@pytest.mark.parametrize(
    "wrong",
    [
        {"depth": -0.1}, {"depth": 30.0}, {"speed": math.nan}, {"pitch": 1.2}, {"delay": -1.0}, {"delay": 1e4},
        {"plane_time": -0.1}, {"motor": 1.5}, {"bottom": 0.5}, {"blow": Blow(-1.0, 1.0)}, {"blow": Blow(1.0, 0.0)},
        {"blow": Blow(1.0, 1.0, -1.0)},
    ],
)  # fmt: skip
def test_what_is_no_case_is_refused(wrong):
    with pytest.raises(OutOfRangeError):
        replace(DIVE, **wrong)
