"""Conductivity of water against the practical salinity scale and published standards."""

import gsw
import pytest

from divelog.physics import water_conductivity as conductivity


def kelvin(t: float) -> float:
    return 273.15 + t


@pytest.mark.parametrize(
    ("ratio", "celsius68", "decibars", "expected"),
    # Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44, p. 9.
    [(1.0, 15.0, 0.0, 35.000000), (1.2, 20.0, 2000.0, 37.245628), (0.65, 5.0, 1500.0, 27.995347)],
)
def test_check_values_of_the_scale(ratio: float, celsius68: float, decibars: float, expected: float) -> None:
    found = conductivity.practical_salinity_from_ratio(ratio, celsius68, decibars * 1e4)
    assert found == pytest.approx(expected, abs=1e-6)


def test_salinity_over_the_whole_range() -> None:
    # Library gsw. It rescales the low-salinity extension at 2, hence 4e-4.
    for milli in (
        20,
        50,
        100,
        200,
        350,
        500,
        800,
        1000,
        2000,
        3000,
        3500,
        5000,
        10_000,
        20_000,
        40_000,
        53_000,
    ):
        for t in range(0, 31, 2):
            practical = float(gsw.SP_from_C(milli * 1e-3, t, 0.0))
            if practical <= 42.0:
                found = conductivity.salinity(milli * 1e-4, kelvin(t))
                assert 1e3 * found == pytest.approx(practical, abs=4e-4)


def test_conductivity_of_a_salinity() -> None:
    # Library gsw.
    for practical in (0.5, 2.5, 3.5, 10.0, 20.0, 35.0, 42.0):
        for t in (0.0, 5.0, 12.0, 20.0, 28.0, 34.0):
            expected = float(gsw.C_from_SP(practical, t, 0.0)) / 10.0
            assert conductivity.conductivity(practical / 1e3, kelvin(t)) == pytest.approx(expected, rel=5e-4)


def test_fitted_conductivity_of_sea_salt() -> None:
    # Library gsw; the fit is 0.7 % off at 2, 0.15 % from 3.5 up.
    for practical, share in ((2.0, 0.008), (3.5, 0.0017), (10.0, 0.0017), (20.0, 0.0017), (35.0, 0.0017)):
        for t in (0.0, 5.0, 15.0, 25.0, 30.0):
            expected = float(gsw.C_from_SP(practical, t, 0.0)) / 10.0
            assert conductivity.sea_conductivity(practical / 1e3, kelvin(t)) == pytest.approx(
                expected, rel=share
            )


@pytest.mark.parametrize(
    ("t", "at_25", "expected"),
    # Potassium chloride standards of 84 and 1413 uS/cm: table of conductivity standards in a laboratory conductivity
    # meter's manual. Their coefficient is 0.0185 to 0.0197; pond water's 0.0191 is used, so 3 % below 25 degC.
    [
        (10.0, 84e-4, 60.34e-4),
        (15.0, 84e-4, 67.61e-4),
        (20.0, 84e-4, 75.80e-4),
        (30.0, 84e-4, 92.19e-4),
        (10.0, 1413e-4, 1020e-4),
        (20.0, 1413e-4, 1278e-4),
        (30.0, 1413e-4, 1552e-4),
    ],
)
def test_temperature_correction_against_standards(t: float, at_25: float, expected: float) -> None:
    assert conductivity.conductivity_at(at_25, kelvin(t)) == pytest.approx(expected, rel=0.012)


def test_temperature_correction_against_dilute_sea_salt() -> None:
    # Library gsw, practical salinity 0.5: the straight line of 1.91 % holds within the meter's own error.
    at_25 = float(gsw.C_from_SP(0.5, 25.0, 0.0)) / 10.0
    for t, share in ((5.0, 0.02), (10.0, 0.02), (15.0, 0.02), (20.0, 0.02), (30.0, 0.02)):
        expected = float(gsw.C_from_SP(0.5, t, 0.0)) / 10.0
        assert conductivity.conductivity_at(at_25, kelvin(t)) == pytest.approx(expected, rel=share)
