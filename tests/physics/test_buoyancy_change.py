"""Properties of the change of balance with water and temperature."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import buoyancy_change as change
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)
density = st.floats(990.0, 1035.0)
warming = st.floats(-30.0, 30.0)
alphas = st.floats(0.0, 120e-6)


@few
@given(
    density, density, warming, st.floats(1e-4, 5e-2), st.floats(1e-4, 5e-2), alphas, alphas, st.floats(0, 1)
)
def test_split_is_an_identity(rho1, rho2, dt, v1, v2, a1, a2, filled):
    parts = [change.GrowingPart(v1, a1), change.GrowingPart(v2, a2)]
    ballast = filled * v2
    got = change.balance_change(v1 + v2, ballast, rho1, rho2, parts, dt)
    then = change.balance_at(rho1, 1.0, ballast, parts, 0.0)
    now = change.balance_at(rho2, 1.0, ballast, parts, dt)
    assert got.total == pytest.approx(now - then, abs=1e-11)


@few
@given(density, st.floats(1e-4, 5e-2), alphas)
def test_nothing_changes_in_the_same_water(rho, volume, alpha):
    got = change.balance_change(volume, 0.0, rho, rho, [change.GrowingPart(volume, alpha)], 0.0)
    assert got.total == 0.0


@few
@given(density, density, warming, st.floats(1e-3, 5e-2))
def test_warming_floats_and_denser_water_floats(rho1, rho2, dt, volume):
    got = change.balance_change(volume, 0.0, rho1, rho2, [change.GrowingPart(volume, 50e-6)], dt)
    assert (got.water > 0) == (rho2 > rho1)
    assert got.growth[0] * dt >= 0.0


def test_a_tank_bounded_by_its_walls_grows_too():
    parts = [change.GrowingPart(5e-3, 70e-6)]
    fixed = change.balance_at(1000.0, 4.0, 5e-4, parts, 10.0)
    grown = change.balance_at(1000.0, 4.0, 5e-4, parts, 10.0, tank_alpha=70e-6)
    assert fixed - grown == pytest.approx(1000.0 * 5e-4 * 3 * 70e-6 * 10)


def test_refusals():
    part = [change.GrowingPart(1e-3, 234e-6)]
    with pytest.raises(OutOfRangeError, match="linear expansion"):
        change.balance_change(1e-3, 0.0, 1000.0, 1000.0, part, 1.0)
    with pytest.raises(OutOfRangeError, match="ballast volume"):
        change.balance_change(1e-3, 2e-3, 1000.0, 1000.0, [], 1.0)
    with pytest.raises(OutOfRangeError, match="change of temperature"):
        change.balance_change(1e-3, 0.0, 1000.0, 1000.0, [], 283.0)


def test_words_not_in_the_tables_count_as_an_unknown_plastic():
    assert change.expansion_of("mahogany") == change.expansion_of("unknown")
    assert change.heat_capacity_of("mahogany") == change.UNKNOWN_HEAT_CAPACITY
    assert change.expansion_of("pvc").alpha == 65e-6


@pytest.mark.parametrize("material", sorted(change.EXPANSIONS))
def test_every_expansion_is_believable(material):
    row = change.EXPANSIONS[material]
    assert 0 < row.u95 < row.alpha < change.EXPANSION_MOST


def test_soak_is_even_in_temperature_and_none_for_a_small_error():
    hot = change.soak(1.75e6, 0.004, 1000.0, 5e-3, 71e-6, 15.0)
    cold = change.soak(1.75e6, 0.004, 1000.0, 5e-3, 71e-6, -15.0)
    assert hot == cold
    assert hot.wait > 0.0
    assert change.soak(1.75e6, 0.004, 1000.0, 5e-3, 71e-6, 0.5).wait == 0.0
    assert change.soak(1.75e6, 0.004, 1000.0, 5e-3, 71e-6, 0.0).error_at_first == 0.0


@few
@given(st.floats(2.0, 40.0), st.floats(1.0, 20.0))
def test_soak_grows_with_difference_and_wall(dt, wall_mm):
    a = change.soak(1.75e6, wall_mm / 1e3, 1000.0, 5e-3, 71e-6, dt)
    b = change.soak(1.75e6, wall_mm / 1e3 * 1.5, 1000.0, 5e-3, 71e-6, dt * 1.5)
    assert b.wait > a.wait
    assert b.time_constant == pytest.approx(1.5 * a.time_constant)
