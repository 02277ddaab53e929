"""Arithmetic of the guides: by hand, by random draws, by the `uncertainties` library, and by IAPWS-95 for the water."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS95
from uncertainties import ufloat

from divelog.physics import cylinder_leak, measuring
from divelog.physics.buoyancy_lead import STEEL_DENSITY
from divelog.physics.errors import OutOfRangeError
from divelog.physics.measuring import Found

some = st.lists(st.floats(0.1, 1e3), min_size=1, max_size=9)


# -- repeats --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [3, 4, 5, 7, 10])
def test_the_mean_by_range_holds_the_truth_nineteen_times_in_twenty(count):
    """Source: simulation of normal readings with numpy, 60,000 draws; the tabled factors have three decimals."""
    draws = np.random.default_rng(7).normal(0.0, 1.0, (60_000, count))
    widths = measuring.RANGE_FACTORS[count] * (draws.max(axis=1) - draws.min(axis=1))
    held = np.mean(np.abs(draws.mean(axis=1)) <= widths)
    assert held == pytest.approx(0.95, abs=0.004)


@given(some, st.floats(0.0, 10.0))
def test_no_spread_makes_a_mean_better_than_its_reach(readings, reach):
    found = measuring.mean(readings, reach=reach)
    assert min(readings) - 1e-9 <= found.value <= max(readings) + 1e-9
    assert found.u95 >= reach
    assert found.u95 >= measuring.spread(readings)
    assert measuring.least(readings, reach=reach).value == min(readings)
    assert measuring.greatest(readings, reach=reach).value == max(readings)


def test_two_readings_are_a_bracket():
    assert measuring.mean([1.2, 1.0], reach=0.05) == Found(pytest.approx(1.1), pytest.approx(0.1))
    assert measuring.spread([3.0]) == 0.0
    assert measuring.spread([1.0] * 5 + [2.0] * 9) == pytest.approx(0.230)


def test_nothing_read_is_said():
    for work in (measuring.mean, measuring.least, measuring.greatest):
        with pytest.raises(OutOfRangeError, match="Nothing has been read"):
            work([], reach=1.0)


# -- mass and lift --------------------------------------------------------------------------------------------------


def test_steel_coins_pull_with_0_873_of_their_mass_at_11_degrees():
    """Source: density of water at 284.15 K and one atmosphere by IAPWS-95; of steel 7850 kg/m3, handbook value."""
    water = IAPWS95(T=284.15, P=0.101325).rho
    found = measuring.coins(0.024, 0.0075, water, STEEL_DENSITY)
    assert found.value / 0.024 == pytest.approx(0.8727, abs=5e-5)
    assert found.u95 / 0.0075 == pytest.approx(0.8727, abs=5e-5)


@given(st.floats(0.0, 0.5), st.floats(0.001, 0.02), st.floats(998.0, 1030.0))
def test_coins_hold_the_balance_between_floating_and_sinking(laid, last, density):
    found = measuring.coins(laid, last, density, STEEL_DENSITY)
    sinks = (laid + last) * (1 - density / STEEL_DENSITY)
    assert found.value <= sinks <= found.value + found.u95 + 1e-12


@given(st.floats(0.5, 20.0), st.floats(1e-4, 2e-3), st.floats(-0.01, 0.1), st.floats(998.0, 1028.0))
def test_displaced_volume_carries_its_parts_as_the_uncertainties_library_does(
    mass, ballast, balance, density
):
    parts = Found(mass, 0.01 * mass), Found(ballast, 0.02 * ballast), Found(balance, 0.004)
    found = measuring.displaced(*parts, density)
    m, b, n = (ufloat(p.value, p.u95) for p in parts)
    exact = (m + density * b + n) / density
    assert found.value == pytest.approx(exact.nominal_value, rel=1e-12)
    assert found.u95 == pytest.approx(exact.std_dev, rel=1e-9)


def test_displaced_volume_of_a_worked_boat():
    """By hand: (5.76 + 999.6 x 0.00042 + 0.021) / 999.6 = 6.2033 L."""
    found = measuring.displaced(Found(5.76, 0.01), Found(420e-6, 5e-6), Found(0.021, 0.004), 999.6)
    assert found.value == pytest.approx(6.2033e-3, abs=5e-8)


def test_ballast_by_two_weighings():
    found = measuring.ballast_by_weighing(6.18, 5.76, 0.005, 1000.0)
    assert found.value == pytest.approx(420e-6)
    assert found.u95 == pytest.approx(8.4e-6)  # 2 %, more than the scale's 7.1 mL
    assert measuring.ballast_by_weighing(6.18, 5.76, 0.01, 1000.0).u95 == pytest.approx(14.14e-6, rel=1e-3)
    with pytest.raises(OutOfRangeError, match="no more than empty"):
        measuring.ballast_by_weighing(5.0, 5.0, 0.01, 1000.0)


def test_air_inside_is_the_bore_less_the_contents():
    """By hand: pi/4 x 0.1^2 x 0.56 = 4.398 L."""
    found = measuring.air_inside(0.56, 0.1, 1.2e-3)
    assert found.value == pytest.approx(3.198e-3, abs=1e-6)
    assert found.u95 == pytest.approx(0.1 * found.value)
    with pytest.raises(OutOfRangeError, match="more room"):
        measuring.air_inside(0.56, 0.1, 4.5e-3)


def test_gas_of_a_blow_is_a_fifth_of_five():
    found = measuring.gas_of_a_blow(0.1500, 0.1400, 1e-4)
    assert found.value == pytest.approx(0.002)
    assert found.u95 == pytest.approx(math.sqrt(2) * 1e-4 / 5)
    with pytest.raises(OutOfRangeError, match="weighs no less"):
        measuring.gas_of_a_blow(0.14, 0.14, 1e-4)
    with pytest.raises(OutOfRangeError, match="one blow"):
        measuring.gas_of_a_blow(0.15, 0.14, 1e-4, 0)


# -- volts, minutes, paces ------------------------------------------------------------------------------------------


@given(st.floats(0.001, 0.2), st.floats(6.0, 13.0), st.floats(0.1, 2.0), st.floats(3.0, 20.0))
def test_two_loads_give_back_the_resistance_they_were_made_with(ohm, open_volts, small, large):
    found = measuring.resistance(open_volts - ohm * small, small, open_volts - ohm * large, large)
    assert found.value == pytest.approx(ohm, rel=1e-6)
    assert found.u95 == pytest.approx(0.15 * ohm, rel=1e-6)


def test_loads_the_wrong_way_round_are_refused_in_words():
    with pytest.raises(OutOfRangeError, match="no more amperes"):
        measuring.resistance(8.0, 2.0, 7.9, 2.0)
    with pytest.raises(OutOfRangeError, match="do not fall"):
        measuring.resistance(8.0, 1.0, 8.0, 5.0)


def test_charge_over_minutes():
    """By hand: 2.2 A h over 42 min is 3.143 A."""
    assert measuring.charge_rate(2.2 * 3600, 42 * 60).value == pytest.approx(3.143, abs=5e-4)


def test_speed_is_all_the_way_over_all_the_time():
    """By hand: 2 x 7.5 / (11 + 14) = 0.6 m/s; a mean of speeds would say 0.609."""
    assert measuring.speed(7.5, [11.0, 14.0]).value == pytest.approx(0.6)
    assert measuring.speed(7.5, [11.0, 14.0]).u95 == pytest.approx(0.09)
    assert measuring.speed(7.5, [5.0, 15.0]).u95 == pytest.approx(0.5)
    with pytest.raises(OutOfRangeError, match="above zero"):
        measuring.speed(7.5, [0.0, 2.0])


def test_a_pace_is_a_twentieth():
    assert measuring.pace(15.2).value == pytest.approx(0.76)
    with pytest.raises(OutOfRangeError, match="one pace"):
        measuring.pace(15.2, 0)


@given(st.floats(0.005, 0.03), st.floats(1.0, 15.0))
def test_a_coin_gives_back_the_stiffness_that_listed_her(height, mass):
    angle = math.radians(4.0)
    share = 1 - 999.6 / STEEL_DENSITY
    coin = mass * height * math.tan(angle) / (0.05 * share)
    found = measuring.righting(coin, 0.05, angle, mass, 999.6, STEEL_DENSITY)
    assert found.value == pytest.approx(height, rel=1e-9)
    assert found.u95 == pytest.approx(0.2 * height, rel=1e-9)


# -- leak test ------------------------------------------------------------------------------------------------------


def leak(start, end, **changed):
    figures = {"volume": Found(3.2e-3, 0.2e-3), "noise_u95": 300.0, "head": 9000.0, "air_viscosity": 1.8e-5,
               "water_viscosity": 1.3e-3}  # fmt: skip
    return measuring.leak(start, end, 600.0, **{**figures, **changed})


READ = cylinder_leak.GaugeReading


def test_a_colder_room_is_no_leak():
    """By hand: 121325 Pa x 292/293 at the end of the hold is the same air; the gauge fell by 414 Pa all the same."""
    start = READ(20_000.0, 101_325.0, 293.0)
    end = READ(121_325.0 * 292 / 293 - 101_325.0, 101_325.0, 292.0)
    assert start.gauge - end.gauge == pytest.approx(414, abs=1)
    found = leak(start, end)
    assert found.fall.value == pytest.approx(0.0, abs=1e-6)
    assert found.water.value == pytest.approx(0.0, abs=1e-18)
    assert found.water.u95 > 0
    assert found.worst == pytest.approx(3 * found.water.u95)


def test_water_of_a_leak_as_the_laminar_law_has_it():
    """By hand: V dp/t = 3.2e-3 x 500/600 Pa m3/s over (1.21325^2 - 1.01325^2)e10 Pa2, times 2 head mu_air/mu_water."""
    start, end = READ(20_000.0, 101_325.0, 293.0), READ(19_500.0, 101_325.0, 293.0)
    k = 3.2e-3 * 500 / 600 / (121_325.0**2 - 101_325.0**2)
    found = leak(start, end)
    assert found.fall == Found(pytest.approx(500.0), 300.0)
    assert found.water.value == pytest.approx(2 * k * 1.8e-5 / 1.3e-3 * 9000, rel=1e-12)
    share = math.hypot(300 / 500, 0.2 / 3.2)
    assert found.water.u95 == pytest.approx(share * found.water.value, rel=1e-9)


def test_a_vacuum_that_rises_is_the_same_leak():
    start, end = READ(-10_000.0, 101_325.0, 293.0), READ(-9_500.0, 101_325.0, 293.0)
    assert leak(start, end).fall.value == pytest.approx(500.0)
    assert leak(end, start).water.value == 0.0


def test_a_hold_without_pressure_or_time_is_refused():
    start = READ(0.0, 101_325.0, 293.0)
    with pytest.raises(OutOfRangeError, match="without pressure"):
        leak(start, start)
    with pytest.raises(OutOfRangeError, match="hold"):
        measuring.leak(start, start, 0.0, volume=Found(1e-3, 0), noise_u95=1, head=1, air_viscosity=1,
                       water_viscosity=1)  # fmt: skip
