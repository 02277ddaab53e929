"""Vapour and sweat against printed tables and CoolProp."""

import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from divelog.physics import humidity as hu
from divelog.physics.si import ZERO_CELSIUS

# Handbook of Chemistry and Physics, 62nd ed. (1981), saturated water vapour: degC, density g/m3, pressure hPa.
# Read in an appendix that reprints it; rows over water only.
HANDBOOK = [
    (34, 37.66, 53.26),
    (32, 33.87, 47.60),
    (30, 30.43, 42.48),
    (28, 27.29, 37.84),
    (26, 24.43, 33.65),
    (24, 21.83, 29.86),
    (22, 19.46, 26.45),
    (20, 17.33, 23.40),
    (18, 15.40, 20.65),
    (16, 13.66, 18.19),
    (14, 12.09, 15.99),
    (12, 10.68, 14.03),
    (10, 9.42, 12.28),
    (8, 8.28, 10.72),
    (6, 7.27, 9.35),
    (4, 6.37, 8.13),
    (2, 5.57, 7.05),
    (0, 4.86, 6.11),
]


@pytest.mark.parametrize(("celsius", "density", "hectopascals"), HANDBOOK)
def test_saturated_vapour_of_the_handbook(celsius, density, hectopascals):
    kelvin = ZERO_CELSIUS + celsius
    assert hu.saturation_pressure(kelvin) / 100.0 == pytest.approx(hectopascals, rel=0.0035)
    found = hu.vapour_density(temperature=kelvin, humidity=1.0) * 1000.0
    # 0.32 % of the saturation form and 0.3 % of ideal against real vapour
    assert found == pytest.approx(density, rel=0.0065)


def test_triple_point_pressure():
    # Wexler 1976, J. Res. NBS 80A, 775: 611.657 Pa at 0.01 degC
    assert hu.saturation_pressure(ZERO_CELSIUS + 0.01) == pytest.approx(611.657, rel=1e-4)


@pytest.mark.parametrize("tenths", range(1, 601, 5))
def test_saturation_against_the_steam_tables(tenths):
    kelvin = ZERO_CELSIUS + tenths / 10.0
    truth = PropsSI("P", "T", kelvin, "Q", 0, "Water")
    assert -0.0033 < hu.saturation_pressure(kelvin) / truth - 1.0 < 0.0025


@pytest.mark.parametrize(("celsius", "humidity"), [(10, 0.7), (20, 0.6), (25, 0.6), (30, 0.9), (40, 0.3)])
def test_dew_point_against_humid_air(celsius, humidity):
    kelvin = ZERO_CELSIUS + celsius
    truth = HAPropsSI("D", "T", kelvin, "R", humidity, "P", 101_325)
    assert hu.dew_point(temperature=kelvin, humidity=humidity) == pytest.approx(truth, abs=0.1)


@pytest.mark.parametrize(
    ("closed", "humidity", "wall"),
    [(25, 0.6, 10), (25, 0.8, 10), (20, 0.6, 10), (20, 0.6, 5), (30, 0.7, 12), (15, 0.6, 15)],
)
def test_sweat_against_steam_table_densities(closed, humidity, wall):
    # the vapour shut in keeps its density in a rigid volume; what the wall leaves is saturated vapour's
    e1 = humidity * PropsSI("P", "T", ZERO_CELSIUS + closed, "Q", 1, "Water")
    held = PropsSI("D", "T", ZERO_CELSIUS + closed, "P", e1, "Water")
    kept = PropsSI("D", "T", ZERO_CELSIUS + wall, "Q", 1, "Water")
    found = hu.sweat(
        volume=1e-3, closed_at=ZERO_CELSIUS + closed, humidity=humidity, wall=ZERO_CELSIUS + wall
    )
    assert found == pytest.approx(1e-3 * max(0.0, held - kept), abs=0.08e-6)


def test_vapour_held_by_a_litre_of_room_air():
    # 25 degC and 60 %: 23.0 g/m3 saturated (Handbook of Chemistry and Physics, from memory), so 13.8 mg a litre
    assert hu.vapour_density(temperature=298.15, humidity=0.6) * 1e3 == pytest.approx(13.8, abs=0.06)
