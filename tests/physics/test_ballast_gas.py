"""Properties of gas blows."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import ballast_gas as gas
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)
T0 = 273.15
names = st.sampled_from(sorted(gas.FLUIDS))
usable = st.sampled_from(["isobutane", "propane", "R-134a", "CO2"])


@few
@given(names, st.floats(-9.0, 29.0), st.floats(0.05, 1.0))
def test_vapour_pressure_rises(name, celsius, more):
    assert gas.saturation_pressure(name, T0 + celsius + more) > gas.saturation_pressure(name, T0 + celsius)


@few
@given(usable, st.floats(5.0, 29.0), st.floats(0.0, 4.0), st.floats(0.1, 3.0), st.floats(0.0, 0.1))
def test_blows_never_rise_with_depth(name, celsius, depth, more, mass):
    try:
        deep = gas.mass_per_blow(name, T0 + celsius, gas.blow_pressure(depth + more, 1000.0, 101_325.0), 6e-4)
    except OutOfRangeError:
        return
    shallow = gas.mass_per_blow(name, T0 + celsius, gas.blow_pressure(depth, 1000.0, 101_325.0), 6e-4)
    assert deep > shallow
    assert gas.blows_left(mass, deep) <= gas.blows_left(mass, shallow)


@few
@given(usable, st.floats(0.0, 29.0))
def test_real_vapour_is_denser_than_the_ideal(name, celsius):
    pressure = 0.9 * min(gas.saturation_pressure(name, T0 + celsius), 150e3)
    ideal = gas.FLUIDS[name].molar_mass * pressure / (gas.GAS_CONSTANT * (T0 + celsius))
    assert gas.vapour_density(name, T0 + celsius, pressure) > ideal


def test_refusals():
    with pytest.raises(OutOfRangeError, match="No figures for the gas 'helium'"):
        gas.saturation_pressure("helium", 283.15)
    with pytest.raises(OutOfRangeError, match=r"temperature of the gas is 60"):
        gas.saturation_pressure("isobutane", T0 + 60.0)
    with pytest.raises(OutOfRangeError, match="dissolves in water"):
        gas.mass_per_blow("dimethyl ether", 283.15, 111e3, 6e-4)
    with pytest.raises(OutOfRangeError, match="n-butane is liquid"):
        gas.mass_per_blow("n-butane", T0 + 4.0, 125e3, 6e-4)
    with pytest.raises(OutOfRangeError, match="CO2 left"):
        gas.dead_mass("CO2", 283.15, 1e-5)
    with pytest.raises(OutOfRangeError, match="pressure of the gas"):
        gas.vapour_density("CO2", 283.15, 40e5)
    with pytest.raises(OutOfRangeError, match="depth"):
        gas.blow_pressure(11.0, 1000.0, 101_325.0)
    with pytest.raises(OutOfRangeError, match="mass of gas"):
        gas.blows_left(math.nan, 0.002)


def test_blows_are_whole_and_kept_ones_are_taken_off():
    assert gas.blows_left(0.060, 0.00205) == 27
    assert gas.blows_left(0.060, 0.00205, kept=3) == 26
    assert gas.blows_left(0.003, 0.00205) == 0
    assert gas.blows_left(-0.003, 0.00205) == 0


def test_cold_gas_reaches_no_depth():
    assert gas.gas_depth("n-butane", T0, 1000.0, 101_325.0) == 0.0
    assert gas.gas_depth("isobutane", T0 + 20.0, 1000.0, 101_325.0) > gas.gas_depth(
        "isobutane", T0 + 10.0, 1000.0, 101_325.0
    )


def test_a_heel_of_liquid_adds_to_what_is_dead():
    plain = gas.dead_mass("isobutane", 283.15, 1e-4)
    assert gas.dead_mass("isobutane", 283.15, 1e-4, heel=0.002) == pytest.approx(plain + 0.002)


@few
@given(st.floats(1.0001, 15.0))
def test_a_fast_blow_gives_less_air(ratio):
    slow = gas.air_given(ratio * 1e5, 1e5, fast=False)
    fast = gas.air_given(ratio * 1e5, 1e5, fast=True)
    assert fast < slow
    if ratio < 1.01:
        # Equal but for the factor 1/γ as P₁ → P_t, both towards nothing.
        assert fast == pytest.approx(slow / 1.4, rel=0.01)


def test_air_bottle_limits():
    assert gas.air_blows(1e-4, 1.2e5, 1.1e5, 6e-4) == 0.0
    with pytest.raises(OutOfRangeError, match="pressure of the bottle"):
        gas.air_blows(1e-4, 50e5, 1.1e5, 6e-4)
    with pytest.raises(OutOfRangeError, match="heat capacity"):
        gas.cooling(0.002, 344e3, 0.0, 2338.0, 0.0, 900.0)
