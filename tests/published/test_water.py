"""Water against the outside world: international formulations, published tables, general libraries."""

import math
import warnings

import gsw
import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS95
from iapws._iapws import _Liquid

from divelog.physics import water, water_air

REFERENCE = 35.16504 / 35.0  # g/kg of reference salinity for one unit of practical salinity, TEOS-10


def kelvin(t: float) -> float:
    return 273.15 + t


def teos_density(practical: float, t: float) -> float:
    absolute = practical * REFERENCE
    return float(gsw.rho(absolute, gsw.CT_from_t(absolute, t, 0.0), 0.0))


def test_pure_water_over_the_whole_range() -> None:
    # IAPWS-95 formulation, library iapws.
    for step in range(1, 161):
        t = 0.25 * step
        assert water.density(kelvin(t)) == pytest.approx(IAPWS95(T=kelvin(t), P=0.101325).rho, abs=0.0015)


def test_pure_water_six_metres_down() -> None:
    # IAPWS-95 formulation, library iapws.
    for t in (0.5, 5.0, 15.0, 25.0, 35.0):
        expected = IAPWS95(T=kelvin(t), P=0.161325).rho
        assert water.density(kelvin(t), 0.0, 161_325.0) == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize(
    ("practical", "celsius68", "expected"),
    [
        # Check values of the one-atmosphere equation of state: Millero & Poisson 1981, Deep-Sea Res. 28A:625-629,
        # as the tests of several open sea-water libraries print them.
        (0.0, 5.0, 999.96675),
        (35.0, 5.0, 1027.67547),
        (35.0, 25.0, 1023.34306),
        # Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44, p. 22.
        (35.0, 0.0, 1028.10633),
        (35.0, 30.0, 1021.72864),
    ],
)
def test_one_atmosphere_equation_of_state(practical: float, celsius68: float, expected: float) -> None:
    t = celsius68 / 1.00024  # the scale of 1968 to that of 1990
    assert water.density(kelvin(t), practical / 1e3) == pytest.approx(expected, abs=0.005)


def test_salt_water_over_the_whole_range() -> None:
    # Thermodynamic equation of sea water 2010, library gsw.
    for half in range(85):
        for t in range(36):
            practical = 0.5 * half
            assert water.density(kelvin(t), practical / 1e3) == pytest.approx(
                teos_density(practical, t), abs=0.010
            )


def test_pool_salt_lies_inside_the_stated_tenth() -> None:
    # Sodium-chloride brine of the library CoolProp (INCOMP::MNA): not sea salt, so 10 % of the salt's share.
    for share in (0.003, 0.004, 0.005):
        for t in (10.0, 20.0, 28.0):
            brine = PropsSI("D", "T", kelvin(t), "P", 101325, f"INCOMP::MNA[{share}]")
            ours = water.density(kelvin(t), share)
            assert abs(ours - brine) < 0.10 * (ours - water.density(kelvin(t)))


def test_freezing_point() -> None:
    # Thermodynamic equation of sea water 2010, library gsw, air-saturated water.
    for practical in range(43):
        expected = float(gsw.t_freezing(practical * REFERENCE, 0.0, 1.0))
        ours = water.freezing_temperature(practical / 1e3) - 273.15
        assert ours == pytest.approx(expected, abs=0.01)


def test_density_changes_as_first_order_propagation_says() -> None:
    # JCGM 100:2008, 5.1.2, with the expansion and contraction coefficients of the library gsw.
    for practical, t in ((0.0, 15.0), (0.0, 25.0), (10.0, 12.0), (35.0, 18.0)):
        absolute = practical * REFERENCE
        rho = teos_density(practical, t)
        by_t = rho * float(gsw.alpha_wrt_t_exact(absolute, t, 0.0)) * 0.02
        by_s = rho * float(gsw.beta_const_t_exact(absolute, t, 0.0)) * 0.02 * REFERENCE if practical else 0.0
        u95 = water.density_u95(kelvin(t), 0.02, practical / 1e3, 0.00002 if practical else 0.0)
        assert u95 == pytest.approx(math.hypot(by_t, by_s), rel=0.015)


def test_viscosity_of_pure_water_over_the_whole_range() -> None:
    # IAPWS R12-08 with IAPWS-95, and the supplementary release for 0.1 MPa, both in the library iapws.
    for step in range(1, 81):
        t = 0.5 * step
        expected = IAPWS95(T=kelvin(t), P=0.101325).mu
        assert water.viscosity(kelvin(t)) == pytest.approx(expected, rel=1e-4)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for t in (0.0, 10.0, 20.0, 30.0, 40.0):
            assert water.viscosity(kelvin(t)) == pytest.approx(_Liquid(kelvin(t), 0.1)["mu"], rel=1e-4)


@pytest.mark.parametrize(
    ("practical", "t", "expected", "tolerance"),
    [
        (0.0, 20.0, 1.0016e-3, 1e-3),  # ISO/TR 3666, reference viscosity of water, from memory
        (40.0, 25.0, 0.9654e-3, 0.01),  # Millero 1974, The Sea vol. 5, check value
    ],
)
def test_viscosity_of_tables(practical: float, t: float, expected: float, tolerance: float) -> None:
    assert water.viscosity(kelvin(t), practical / 1e3) == pytest.approx(expected, rel=tolerance)


@pytest.mark.parametrize(
    ("practical", "t", "expected", "tolerance"),
    [
        # ITTC Recommended Procedure 7.5-02-01-03, fresh and sea water, from memory.
        (0.0, 15.0, 1.1386e-6, 1e-3),
        (35.0, 15.0, 1.1892e-6, 0.01),
    ],
)
def test_kinematic_viscosity_of_tables(practical: float, t: float, expected: float, tolerance: float) -> None:
    assert water.kinematic_viscosity(kelvin(t), practical / 1e3) == pytest.approx(expected, rel=tolerance)


def test_viscosity_of_sea_water_over_the_whole_range() -> None:
    # Library CoolProp, INCOMP::MITSW, a fit to sea-water data of its own with absolute salinity as mass share.
    for practical in (5, 10, 20, 30, 35, 42):
        for t in range(1, 40, 3):
            share = practical * REFERENCE / 1e3
            expected = PropsSI("V", "T", kelvin(t), "P", 1e5, f"INCOMP::MITSW[{share}]")
            assert water.viscosity(kelvin(t), practical / 1e3) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(
    ("height", "expected"),
    # ISO 2533:1975 standard atmosphere, pressure over geopotential height, as open tables of it print them.
    [(1000.0, 89_874.6), (2000.0, 79_495.2), (11_000.0, 22_632.1)],
)
def test_standard_atmosphere(height: float, expected: float) -> None:
    assert water_air.air_pressure(height) == pytest.approx(expected, abs=2.0)


def test_standard_atmosphere_exponent() -> None:
    # g M/(R L) of ISO 2533:1975: 9.80665, 28.964420 g/mol, 8.31432 J/(K mol), 6.5 K/km, from memory.
    exponent = 9.80665 * 28.964420e-3 / (8.31432 * 6.5e-3)
    assert math.log(water_air.air_pressure(500.0) / 101_325.0) / math.log(
        1.0 - 0.0065 * 500.0 / 288.15
    ) == pytest.approx(exponent, rel=1e-5)
