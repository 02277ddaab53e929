"""Permittivity of water against a second model, the international formulation and published values."""

import cmath
import math

import pytest
from iapws import IAPWS95
from iapws._iapws import _Dielectric

from divelog.physics.water_conductivity import sea_conductivity
from divelog.physics.water_permittivity import permittivity


def kelvin(t: float) -> float:
    return 273.15 + t


def second_model(gigahertz: float, t: float, practical: float, sigma: float) -> complex:
    """ITU-R Recommendation P.527-4 (2017), pure and salt water, written from its text as published."""
    theta = 300.0 / kelvin(t) - 1.0
    static = 77.66 + 103.3 * theta
    first, infinite = 0.0671 * static, 3.52 - 7.52 * theta
    f1 = 20.20 - 146.4 * theta + 316.0 * theta**2
    f2 = 39.8 * f1
    s = practical
    exponent = math.exp(-3.56417e-3 * s + 4.74868e-6 * s * s + 1.15574e-5 * t * s)
    static *= exponent
    f1 *= 1.0 + s * (2.39357e-3 - 3.13530e-5 * t + 2.52477e-7 * t * t)
    first *= math.exp(-6.28908e-3 * s + 1.76032e-4 * s * s - 9.22144e-5 * t * s)
    f2 *= 1.0 + s * (-1.99723e-2 + 1.81176e-4 * t)
    infinite *= 1.0 + s * (-2.04265e-3 + 1.57883e-4 * t)
    f = gigahertz
    return (
        (static - first) / complex(1.0, f / f1)
        + (first - infinite) / complex(1.0, f / f2)
        + infinite
        - 18.0j * sigma / f
    )


def nepers(gigahertz: float, eps: complex) -> float:
    return -2.0 * math.pi * gigahertz * 1e9 / 299_792_458.0 * cmath.sqrt(eps).imag


def test_fresh_water_against_the_second_model() -> None:
    for gigahertz in (0.0407, 0.459, 0.868, 2.44, 5.8):
        for t in range(0, 41, 4):
            for sigma in (0.0, 0.02, 0.05, 0.2):
                ours = permittivity(gigahertz * 1e9, kelvin(t), sigma)
                theirs = second_model(gigahertz, t, 0.0, sigma)
                assert ours.real == pytest.approx(theirs.real, rel=0.005)
                assert nepers(gigahertz, ours) == pytest.approx(nepers(gigahertz, theirs), rel=0.014)


def test_salt_water_against_the_second_model() -> None:
    for gigahertz in (0.0407, 0.459, 0.868, 2.44):
        for t in range(0, 33, 4):
            for practical in (2.0, 3.5, 10.0, 20.0, 35.0, 40.0):
                sigma = sea_conductivity(practical / 1e3, kelvin(t))
                ours = permittivity(gigahertz * 1e9, kelvin(t), sigma, practical / 1e3)
                theirs = second_model(gigahertz, t, practical, sigma)
                assert nepers(gigahertz, ours) == pytest.approx(nepers(gigahertz, theirs), rel=0.012)


def test_static_limit_is_that_of_the_international_formulation() -> None:
    # IAPWS R8-97 static permittivity, library iapws.
    for t in (0.01, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0):
        rho = IAPWS95(T=kelvin(t), P=0.101325).rho
        assert permittivity(1e6, kelvin(t), 0.0).real == pytest.approx(_Dielectric(rho, kelvin(t)), abs=0.05)


@pytest.mark.parametrize(
    ("hertz", "t", "practical", "expected", "share"),
    [
        # Kaatze 1989, J. Chem. Eng. Data 34:371-374: single relaxation, 78.36, 8.27 ps, 5.2; from memory.
        (2.44e9, 25.0, 0.0, 77.20 - 9.13j, 0.003),
        # Ulaby & Long 2014, Microwave Radar and Radiometric Remote Sensing, as quoted in an open package.
        (10e9, 10.0, 0.0, 53.45 - 38.07j, 0.005),
        (10e9, 10.0, 10.0, 51.79 - 38.32j, 0.02),
        # Boutin et al. 2021, IEEE Trans. Geosci. Remote Sens., as quoted in an open package's tests.
        (1.4e9, 5.0, 33.0, 76.41 - 50.06j, 0.012),
    ],
)
def test_published_values(hertz: float, t: float, practical: float, expected: complex, share: float) -> None:
    sigma = sea_conductivity(practical / 1e3, kelvin(t)) if practical else 0.0
    found = permittivity(hertz, kelvin(t), sigma, practical / 1e3)
    assert found.real == pytest.approx(expected.real, rel=share)
    assert found.imag == pytest.approx(expected.imag, rel=share)
