"""Water: how density, viscosity, conductivity and permittivity behave, and what is refused."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import water, water_air, water_conductivity, water_permittivity
from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import STANDARD_ATMOSPHERE, ZERO_CELSIUS

quick = settings(max_examples=100, deadline=None)
celsius = st.floats(0.0, 40.0)
cool_celsius = st.floats(0.0, 34.0)
salts = st.floats(0.0, 0.042)
sea_salts = st.floats(0.002, 0.040)


def kelvin(t: float) -> float:
    return ZERO_CELSIUS + t


def test_pure_water_is_densest_just_under_four_degrees() -> None:
    densities = {t / 1000: water.density(kelvin(t / 1000)) for t in range(3500, 4500)}
    assert max(densities, key=densities.__getitem__) == pytest.approx(3.983, abs=0.02)
    assert max(densities.values()) == pytest.approx(999.974950, abs=1e-4)


@quick
@given(st.floats(4.5, 39.0), st.floats(0.01, 1.0))
def test_density_falls_with_warmth_above_four_degrees(t: float, step: float) -> None:
    assert water.density(kelvin(t + step)) < water.density(kelvin(t))


@quick
@given(celsius, st.floats(0.0, 0.041), st.floats(1e-5, 1e-3))
def test_density_and_viscosity_rise_with_salt(t: float, salt: float, more: float) -> None:
    assert water.density(kelvin(t), salt + more) > water.density(kelvin(t), salt)
    assert water.viscosity(kelvin(t), salt + more) > water.viscosity(kelvin(t), salt)


@quick
@given(celsius)
def test_salt_joins_fresh_water_without_a_step(t: float) -> None:
    assert water.density(kelvin(t), 1e-9) == pytest.approx(water.density(kelvin(t)), abs=1e-5)


@quick
@given(celsius, salts, st.floats(5e4, 3.9e5))
def test_pressure_makes_water_denser(t: float, salt: float, pressure: float) -> None:
    assert water.density(kelvin(t), salt, pressure + 1e4) > water.density(kelvin(t), salt, pressure)


@quick
@given(celsius, salts)
def test_kinematic_viscosity_is_the_quotient(t: float, salt: float) -> None:
    quotient = water.viscosity(kelvin(t), salt) / water.density(kelvin(t), salt)
    assert water.kinematic_viscosity(kelvin(t), salt) == pytest.approx(quotient, rel=1e-12)


@quick
@given(st.floats(0.0, 39.0), st.floats(0.01, 1.0))
def test_viscosity_falls_with_warmth(t: float, step: float) -> None:
    assert water.viscosity(kelvin(t + step)) < water.viscosity(kelvin(t))


def test_salt_water_stays_liquid_below_zero() -> None:
    assert water.freezing_temperature() == ZERO_CELSIUS
    assert water.density(kelvin(-1.9), 0.035) > water.density(kelvin(0.0), 0.035)
    with pytest.raises(OutOfRangeError, match="ice"):
        water.density(kelvin(-1.0), 0.010)


def test_no_spread_in_gives_no_spread_out() -> None:
    assert water.density_u95(kelvin(15), 0.0, 0.01, 0.0) == 0.0


@quick
@given(celsius, st.floats(0.0, 5.0), salts, st.floats(0.0, 0.005))
def test_spread_of_density_is_no_less_than_either_part(t: float, dt: float, salt: float, ds: float) -> None:
    both = water.density_u95(kelvin(t), dt, salt, ds)
    assert both >= water.density_u95(kelvin(t), dt, salt) - 1e-12
    assert both >= water.density_u95(kelvin(t), 0.0, salt, ds) - 1e-12
    assert math.isfinite(both)


def test_spread_of_density_at_the_ends_of_the_range() -> None:
    # At the coldest, only warming counts; near the densest point both sides lie lower.
    assert water.density_u95(kelvin(0.0), 2.0) == pytest.approx(
        water.density(kelvin(2.0)) - water.density(kelvin(0.0))
    )
    assert water.density_u95(kelvin(4.0), 3.0) > 0.0
    # Salt water at its own freezing point: less salt would be ice there, and is taken at its own.
    assert water.density_u95(water.freezing_temperature(0.035), 0.0, 0.035, 0.005) > 3.0


@pytest.mark.parametrize("t", [-0.1, 40.1, math.nan, math.inf])
def test_temperatures_out_of_range_are_refused(t: float) -> None:
    for formula in (water.density, water.viscosity):
        with pytest.raises(OutOfRangeError, match="degC"):
            formula(kelvin(t))


@pytest.mark.parametrize("salt", [-1e-6, 0.0421, 35.0, math.nan])
def test_salinities_out_of_range_are_refused(salt: float) -> None:
    for formula in (water.density, water.viscosity):
        with pytest.raises(OutOfRangeError, match="g/kg"):
            formula(kelvin(15), salt)


def test_other_refusals() -> None:
    refused: list[Callable[[], object]] = [
        lambda: water.density(kelvin(15), 0.0, 4.1e5),
        lambda: water.density_u95(kelvin(15), -0.1),
        lambda: water.density_u95(kelvin(15), 0.1, 0.0, -1e-3),
        lambda: water_air.air_pressure(12_000.0),
        lambda: water_air.air_pressure(0.0, 8e4),
        lambda: water_conductivity.conductivity_at(350.0, kelvin(15)),
        lambda: water_conductivity.conductivity_at(0.035, kelvin(15), 0.5),
        lambda: water_conductivity.salinity(7.9, kelvin(15)),
        lambda: water_conductivity.salinity(9.0, kelvin(15)),
        lambda: water_conductivity.salinity(1.0, kelvin(36)),
        lambda: water_conductivity.conductivity(0.043, kelvin(15)),
        lambda: water_conductivity.sea_conductivity(0.001, kelvin(15)),
        lambda: water_conductivity.sea_conductivity(0.010, kelvin(35)),
        lambda: water_permittivity.permittivity(5e5, kelvin(15), 0.03),
        lambda: water_permittivity.permittivity(1e9, kelvin(15), -0.03),
        lambda: water_permittivity.permittivity(1e9, kelvin(15), 0.03, 0.001),
        lambda: water_permittivity.permittivity(1e9, kelvin(35), 5.0, 0.035),
    ]
    for attempt in refused:
        with pytest.raises(OutOfRangeError):
            attempt()


def test_at_25_degrees_the_meter_shows_the_water() -> None:
    assert water_conductivity.conductivity_at(0.0420, kelvin(25)) == pytest.approx(0.0420, rel=1e-12)


@quick
@given(st.floats(0.01, 7.0), st.floats(0.0, 39.0), st.floats(0.01, 0.9))
def test_conductivity_rises_with_warmth(at_25: float, t: float, step: float) -> None:
    now = water_conductivity.conductivity_at(at_25, kelvin(t))
    assert water_conductivity.conductivity_at(at_25, kelvin(t + step)) > now


@quick
@given(st.floats(1e-5, 0.042), st.floats(0.0, 35.0))
def test_salinity_and_conductivity_are_inverse(salt: float, t: float) -> None:
    there = water_conductivity.conductivity(salt, kelvin(t))
    assert water_conductivity.salinity(there, kelvin(t)) == pytest.approx(salt, abs=1e-9)


def test_no_ions_no_salt() -> None:
    assert water_conductivity.salinity(0.0, kelvin(15)) == pytest.approx(0.0, abs=1e-6)
    assert water_conductivity.practical_salinity_from_ratio(-0.1, 15.0) == 0.0


@quick
@given(st.floats(0.003, 0.039), st.floats(0.0, 33.0))
def test_both_salt_water_conductivities_agree(salt: float, t: float) -> None:
    fitted = water_conductivity.sea_conductivity(salt, kelvin(t))
    scale = water_conductivity.conductivity(salt, kelvin(t))
    assert fitted == pytest.approx(scale, rel=0.004)


@quick
@given(st.floats(1e6, 90e9), cool_celsius, st.floats(0.0, 7.0), st.one_of(st.just(0.0), sea_salts))
def test_permittivity_is_that_of_a_passive_liquid(f: float, t: float, sigma: float, salt: float) -> None:
    eps = water_permittivity.permittivity(f, kelvin(t), sigma, salt)
    assert 1.0 < eps.real < 90.0
    assert eps.imag < 0.0


@quick
@given(st.floats(1e6, 90e9), cool_celsius, st.floats(0.0, 6.0), st.floats(1e-4, 1.0))
def test_ions_add_loss_alone(f: float, t: float, sigma: float, more: float) -> None:
    less = water_permittivity.permittivity(f, kelvin(t), sigma)
    greater = water_permittivity.permittivity(f, kelvin(t), sigma + more)
    assert greater.real == pytest.approx(less.real, rel=1e-12)
    assert greater.imag < less.imag


def test_salt_shift_of_the_relaxation_joins_at_30_degrees() -> None:
    below = water_permittivity.permittivity(2.44e9, kelvin(30.0), 5.0, 0.035)
    above = water_permittivity.permittivity(2.44e9, kelvin(30.0001), 5.0, 0.035)
    assert abs(above - below) < 0.01


def test_air_pressure_falls_with_height_and_follows_the_weather() -> None:
    heights = [water_air.air_pressure(h) for h in range(-500, 11_001, 100)]
    assert heights == sorted(heights, reverse=True)
    assert water_air.air_pressure(0.0) == STANDARD_ATMOSPHERE
    assert water_air.air_pressure(420.0, 99_000.0) / water_air.air_pressure(420.0) == pytest.approx(
        99_000.0 / STANDARD_ATMOSPHERE
    )
