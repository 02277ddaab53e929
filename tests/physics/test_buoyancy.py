"""Properties of the balance of mass and displaced water."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import buoyancy
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within

settings.register_profile("few", max_examples=100, deadline=None)
settings.load_profile("few")

density = st.floats(990.0, 1035.0)
mass = st.floats(0.3, 80.0)
share = st.floats(0.0, 0.5)


@given(density, mass, share, st.floats(0.0, 1.0))
def test_ballast_needed_brings_the_balance_to_what_is_wished(rho, m, extra, part):
    lift = buoyancy.reserve(rho, m * (1 + extra) / rho, m)
    wished = part * lift
    needed = buoyancy.ballast_needed(lift, wished, rho)
    assert buoyancy.dived_balance(lift, max(0.0, needed), rho) == pytest.approx(wished, abs=1e-9)


@given(density, mass, share, st.floats(0.0, 0.01), st.floats(0.1, 20.0))
def test_balance_scales_with_the_boat(rho, m, extra, ballast, factor):
    volume = m * (1 + extra) / rho

    def balance(k):
        return buoyancy.dived_balance(buoyancy.reserve(rho, k * volume, k * m), k * ballast, rho)

    assert balance(factor) == pytest.approx(factor * balance(1.0), abs=1e-9 * factor)


@given(density, mass, share, st.floats(0.0, 0.01))
def test_volume_anchored_by_a_trim_gives_that_trim_back(rho, m, extra, ballast):
    balance = extra * 0.01 * m
    volume = buoyancy.displaced_from_trim(m, ballast, balance, rho)
    # Not through `reserve`, which refuses boats of odd proportions.
    assert rho * volume - m - rho * ballast == pytest.approx(balance, abs=1e-9)


@given(density, mass, st.floats(0.0, 0.3))
def test_weighing_under_water_gives_the_volume(rho, m, floats_by):
    volume = m * (1 + floats_by) / rho
    reading = m - rho * volume
    assert buoyancy.displaced_from_weighing(m, reading, rho) == pytest.approx(volume, rel=1e-12)


def test_balance_falls_in_a_straight_line_with_water_taken_in():
    a, b, c = (buoyancy.dived_balance(0.6, v, 1000.0) for v in (0.0, 2e-4, 4e-4))
    assert a - b == pytest.approx(b - c)
    assert a - b == pytest.approx(0.2)


def test_a_reserve_no_boat_has_is_a_fault_of_entry():
    with pytest.raises(OutOfRangeError, match="check the displaced volume"):
        buoyancy.reserve(1000.0, 10e-3, 5.0)
    with pytest.raises(OutOfRangeError, match="check the displaced volume"):
        buoyancy.reserve(1000.0, 4.5e-3, 5.0)
    assert buoyancy.reserve(1000.0, 5.0e-3, 5.0) == pytest.approx(0.0)


def test_refusals_name_the_input():
    with pytest.raises(OutOfRangeError, match="water density is 1"):
        buoyancy.reserve(1.0, 5e-3, 5.0)
    with pytest.raises(OutOfRangeError, match="mass is 0"):
        buoyancy.reserve(1000.0, 5e-3, 0.0)
    with pytest.raises(OutOfRangeError, match="ballast volume"):
        buoyancy.dived_balance(0.5, -1e-3, 1000.0)
    with pytest.raises(OutOfRangeError, match="reading under water"):
        buoyancy.displaced_from_weighing(5.0, 5.0, 1000.0)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_no_number_that_is_not_one_passes(bad):
    with pytest.raises(OutOfRangeError):
        need_within("x", bad, 0.0, 1.0, "m")
    with pytest.raises(OutOfRangeError):
        need_positive("x", bad)
    with pytest.raises(OutOfRangeError):
        need_not_negative("x", bad)


def test_weight_lacking_is_none_when_the_tank_holds_it():
    assert buoyancy.weight_lacking(3e-4, 4e-4, 1000.0) == 0.0
    assert buoyancy.weight_lacking(5e-4, 4e-4, 1000.0) == pytest.approx(0.1)


@given(mass, st.floats(0.0, 0.05))
def test_band_is_never_below_what_depth_takes(m, loss):
    band = buoyancy.balance_band(m, loss)
    assert band.least >= loss + 0.001 * m
    assert band.least >= 0.003 * m
    assert band.most == pytest.approx(0.01 * m)


def test_declared_edges_rule_but_not_over_the_loss():
    band = buoyancy.balance_band(6.0, 0.010, declared_least=0.002, declared_most=0.050)
    assert band.least == pytest.approx(0.016)
    assert band.most == 0.050
    assert buoyancy.balance_band(6.0, 0.0, declared_least=0.030).least == 0.030


@given(st.floats(-0.1, 0.5), density, st.floats(1e-4, 3e-2))
def test_tower_and_balance_are_inverse(balance, rho, section):
    height = buoyancy.tower_height(balance, rho, section)
    assert buoyancy.balance_from_tower(height, rho, section) == pytest.approx(balance, abs=1e-12)


def test_tower_of_even_section_is_a_case_of_the_varying_one():
    height = buoyancy.tower_height_varying(0.036, 1000.0, lambda h: 3e-3 * h, 0.1)
    assert height == pytest.approx(buoyancy.tower_height(0.036, 1000.0, 3e-3), abs=1e-9)


def test_tower_refuses_what_it_cannot_show():
    with pytest.raises(OutOfRangeError, match="within the tower"):
        buoyancy.tower_height_varying(0.5, 1000.0, lambda h: 3e-3 * h, 0.1)
    with pytest.raises(OutOfRangeError, match="within the tower"):
        buoyancy.tower_height_varying(-0.01, 1000.0, lambda h: 3e-3 * h, 0.1)


def test_u95_of_the_tower_is_no_less_than_any_part():
    u95 = buoyancy.tower_height_u95(0.010, 0.005, 1000.0, 18e-4)
    assert u95 >= max(0.005 / 1.8, 0.001, 0.002)
    assert buoyancy.tower_height_u95(0.0, 0.0, 1000.0, 18e-4) == pytest.approx(0.002)


def test_lift_mass_and_trapped_water():
    assert buoyancy.lift_mass(9.4, 0.2) == pytest.approx(11.28)
    assert buoyancy.trapped_water_loss(0.0, 1000.0, 0.06, 5.0) == 0.0
    one = buoyancy.trapped_water_loss(1e-4, 1000.0, 0.06, 5.0)
    assert buoyancy.trapped_water_loss(2e-4, 1000.0, 0.06, 5.0) == pytest.approx(2 * one)


def test_dived_mass_adds_the_water_taken_in():
    assert buoyancy.dived_mass(5.0, 4e-4, 1000.0) == pytest.approx(5.4)
    assert buoyancy.dived_mass(5.0, 0.0, 1000.0) == 5.0
