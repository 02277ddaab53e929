"""Forces in the vertical plane: strips in closed form, energy, signs, and a published vehicle."""

import math
from dataclasses import replace

import pytest
from boats2d import NU, RHO, G, drawn, middle_boat
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from divelog.physics.buoyancy_squeeze import air_loss
from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion.hull import Hull, plan_area
from divelog.physics.motion.steady import steady
from divelog.physics.motion.vertical_plane import (
    Planes,
    backing_swing,
    boat_of,
    forces_on,
    stern_planes,
)

speeds = st.floats(-2.0, 2.0)
turns = st.floats(-3.0, 3.0)
shares = st.floats(-1.0, 1.0)
BARE = {"planes": (), "hull_lift": 0.0, "drag": 0.0, "righting": 0.0}


@pytest.mark.parametrize(
    ("w", "q"),
    [(0.3, 0.0), (-0.2, 0.1), (0.05, 0.4), (-0.05, 0.4), (0.05, -1.7), (0.0, 0.6), (0.0, 0.0), (0.23, 0.5)],
)
def test_strips_against_quadrature(w, q):
    boat = middle_boat(**BARE)
    half, each = boat.length / 2, boat.crossflow / boat.length
    kink = [w / q] if q and abs(w / q) < half else None
    force = quad(lambda x: -each * (w - q * x) * abs(w - q * x), -half, half, points=kink, epsabs=1e-13)[0]
    lever = quad(lambda x: each * x * (w - q * x) * abs(w - q * x), -half, half, points=kink, epsabs=1e-13)[0]
    got = forces_on(boat)(0.0, 0.0, w, q, 0.0, 0.0)  # scipy
    assert got == pytest.approx((0.0, force, lever), abs=1e-11)


@given(speeds, speeds, turns, shares, st.integers(0, 200), st.booleans())
def test_the_water_only_takes_energy(u, w, q, planes, seed, bow_planes):
    boat = replace(drawn(seed).boat, righting=0.0)
    if bow_planes:
        boat = replace(boat, planes=(*boat.planes, Planes(0.004, 2.0, 0.1 * boat.length, aft=False)))
    ahead, down, moment = forces_on(boat)(0.0, u, w, q, planes, 0.0)
    assert ahead * u + down * w + moment * q <= 1e-12


@given(speeds, speeds, turns, shares, st.floats(-1.2, 1.2), st.floats(-0.1, 0.1))
def test_upside_down_is_the_mirror_image(u, w, q, planes, pitch, light):
    forces = forces_on(middle_boat())
    one = forces(pitch, u, w, q, planes, light)
    other = forces(-pitch, u, -w, -q, -planes, -light)
    assert one == pytest.approx((other[0], -other[1], -other[2]), abs=1e-12)


def test_signs():
    forces = forces_on(middle_boat())
    # Light: up across the boat. Bow up and light: pushed ahead. Bow up: righted.
    assert forces(0.0, 0.0, 0.0, 0.0, 0.0, 0.02) == pytest.approx((0.0, -0.02 * G, 0.0))
    ahead, down, moment = forces(0.3, 0.0, 0.0, 0.0, 0.0, 0.02)
    assert ahead > 0 > down
    assert moment < 0
    # Planes to rise, going ahead: stern down, bow up. Astern the other way round. At rest nothing.
    assert forces(0.0, 0.6, 0.0, 0.0, 1.0, 0.0)[2] > 0.0 < forces(0.0, 0.6, 0.0, 0.0, 1.0, 0.0)[1]
    assert forces(0.0, -0.6, 0.0, 0.0, 1.0, 0.0)[2] < 0.0
    assert forces(0.0, 0.0, 0.0, 0.0, 1.0, 0.0) == (0.0, 0.0, 0.0)


def test_bow_planes_to_rise_lift_the_bow():
    boat = middle_boat(planes=(Planes(0.003, 2.0, 0.3, aft=False),), hull_lift=0.0)
    _, down, moment = forces_on(boat)(0.0, 0.6, 0.0, 0.0, 1.0, 0.0)
    assert down < 0.0 < moment


def test_planes_stall():
    pair = replace(middle_boat().planes[0], slope=2.46)
    boat = middle_boat(hull_lift=0.0, crossflow=0.0, drag=0.0, planes=(pair,))
    most = RHO / 2 * pair.area * 0.6 * 0.6**2
    down = forces_on(boat)(0.0, 0.6, 0.0, 0.0, 1.0, 0.0)[1]
    assert down == pytest.approx(most * math.cos(pair.throw), rel=1e-12)  # 2.46 times 20 deg is over 0.6
    small = forces_on(boat)(0.0, 0.6, 0.0, 0.0, 0.1, 0.0)[1]
    angle = 0.1 * pair.throw
    by_hand = RHO / 2 * pair.area * pair.slope * 0.36 * math.sin(angle) * math.cos(angle)
    assert small == pytest.approx(by_hand, rel=1e-12)


@given(st.floats(0.0, 20.0), st.floats(0.0, 3e-4), st.floats(0.0, 0.01))
def test_what_depth_takes(depth, air, stiff):
    # Boyle's law for the air, as the depth at which she turns heavy has it.
    boat = middle_boat(air=air, stiff_loss=stiff)
    assert boat.loss(depth) == pytest.approx(air_loss(RHO, air, depth, 101_325.0) + stiff * depth, rel=1e-12)
    assert boat.loss(-depth) == 0.0


class TestPublishedVehicle:
    """Parts added up against the coefficients of a measured vehicle.

    Prestero 2001, MIT thesis, appendix of vehicle parameters and coefficients: torpedo-shaped, 1.33 m, 0.191 m,
    30.5 kg, sea water. He worked most of them out as here, from parts; 20 % tells a part left out or doubled.
    His added mass broadside has the fins' own in it (7 kg), which shows in the moment by 28 %.
    """

    SEA = 1030.0

    def boat(self):
        hull = Hull(1.33, 0.191)
        return boat_of(
            hull, area=plan_area(1.33, 0.191), form_mass=30.5, dived_mass=30.5, righting=0.0196, balance=0.0, tip=0.3,
            speed=1.5, density=self.SEA, viscosity=1.19e-6, planes=(stern_planes(1.33, 0.191),),
        )  # fmt: skip

    def slopes(self):
        boat, small = self.boat(), 1e-6
        forces = forces_on(replace(boat, righting=0.0))
        _, down, moment = forces(0.0, 1.0, small, 0.0, 0.0, 0.0)
        _, planes_down, planes_moment = forces(0.0, 1.0, 0.0, 0.0, small, 0.0)
        throw = small * boat.planes[0].throw
        munk = boat.mass_broadside - boat.mass_ahead
        return down / small, moment / small + munk, planes_down / throw, planes_moment / throw

    def test_added_mass(self):
        boat = self.boat()
        assert boat.mass_broadside - 30.5 == pytest.approx(35.5, rel=0.25)
        assert boat.mass_ahead - 30.5 == pytest.approx(0.93, rel=0.25)
        assert boat.inertia == pytest.approx(3.45 + 4.88, rel=0.05)

    def test_heave_and_pitch(self):
        down, moment, planes_down, planes_moment = self.slopes()
        assert down == pytest.approx(-28.6, rel=0.2)
        assert moment == pytest.approx(24.0, rel=0.3)
        assert planes_down == pytest.approx(9.64, rel=0.1)
        assert planes_moment == pytest.approx(6.15, rel=0.15)

    def test_cross_flow(self):
        assert self.boat().crossflow == pytest.approx(131.0, rel=0.05)

    def test_righting(self):
        assert self.boat().righting == pytest.approx(30.5 * 9.80665 * 0.0196, rel=1e-12)


class TestSteady:
    @given(st.integers(0, 300))
    def test_nothing_changes(self, seed):
        one = drawn(seed)
        light = one.boat.balance - one.boat.loss(one.depth)
        found = steady(one.boat, one.speed, -one.angle, light)
        ahead, down, moment = forces_on(one.boat)(-one.angle, one.speed, found.down, 0.0, found.planes, light)
        pull = one.boat.mass_broadside - one.boat.mass_ahead
        assert ahead + found.thrust == pytest.approx(0.0, abs=1e-9)
        assert down == pytest.approx(0.0, abs=1e-8)
        turning = moment + pull * one.speed * found.down
        if found.kept:
            assert turning == pytest.approx(0.0, abs=1e-8)
        else:
            assert abs(found.planes) == 1.0
            assert turning * found.planes < 0.0  # even at the stop she turns the other way

    @pytest.mark.parametrize("speed", [-0.3, -0.05])
    def test_astern_she_is_held_by_a_moment(self, speed):
        boat = middle_boat()
        found = steady(boat, speed, 0.2, 0.01)
        _, down, moment = forces_on(boat)(0.2, speed, found.down, 0.0, 0.0, 0.01)
        pull = boat.mass_broadside - boat.mass_ahead
        assert down == pytest.approx(0.0, abs=1e-10)
        assert moment + found.hold + pull * speed * found.down == pytest.approx(0.0, abs=1e-10)
        assert found.planes == 0.0

    def test_without_way_nothing_is_needed(self):
        found = steady(middle_boat(), 0.0, 0.0, 0.02)
        assert (found.down, found.planes, found.thrust, found.hold) == (0.0, 0.0, 0.0, 0.0)

    def test_small_planes_cannot_hold_a_steep_dive(self):
        boat = middle_boat(planes=(stern_planes(0.92, 0.13, 0.2),))
        found = steady(boat, 0.3, -0.4, 0.018)
        assert not found.kept
        assert found.planes == -1.0


class TestBacking:
    def test_first_order_of_the_forces(self):
        boat = middle_boat(righting=0.85)
        u, small = -0.4, 1e-7
        moment = forces_on(replace(boat, righting=0.0))(0.0, u, small, 0.0, 0.0, 0.0)[2]
        moment += (boat.mass_broadside - boat.mass_ahead) * u * small
        assert backing_swing(boat, 0.4) == pytest.approx(abs(moment) / (small / 0.4) / 0.85, rel=1e-5)

    def test_without_righting(self):
        assert backing_swing(middle_boat(righting=0.0), 0.4) == math.inf
        assert backing_swing(middle_boat(righting=0.0), 0.0) == 0.0


@pytest.mark.parametrize(
    "wrong",
    [
        {"length": 0.0}, {"mass_ahead": -1.0}, {"inertia": math.nan}, {"drag": -0.1}, {"righting": math.inf},
        {"air": -1e-6}, {"density": 1.0}, {"barometer": 0.0}, {"balance": math.nan}, {"tip": 99.0},
    ],
)  # fmt: skip
def test_what_is_no_boat_is_refused(wrong):
    with pytest.raises(OutOfRangeError):
        middle_boat(**wrong)


def test_viscosity_matters_only_to_drag():
    hull = Hull(1.0, 0.12)
    common = {
        "area": 0.1, "form_mass": 9.0, "dived_mass": 8.0, "righting": 0.01, "balance": 0.03, "tip": 0.2,
        "speed": 0.6, "density": RHO, "planes": (),
    }  # fmt: skip
    one, other = boat_of(hull, viscosity=NU, **common), boat_of(hull, viscosity=2 * NU, **common)
    assert other.drag > one.drag
    assert replace(other, drag=one.drag) == one
