"""Inside pressure against CoolProp's humid air and steam, and against hand sums by another road."""

import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from divelog.physics import cylinder as cy
from divelog.physics.si import GRAVITY, STANDARD_ATMOSPHERE, ZERO_CELSIUS

R = 8.314462618  # J/(mol K), CODATA 2018


def mole_balance(b1, t1, rh, b2, t2, v1, v2):
    """The same by counting moles, with the steam tables' saturation line: an independent road."""
    t1, t2 = t1 + ZERO_CELSIUS, t2 + ZERO_CELSIUS
    e1 = rh * PropsSI("P", "T", t1, "Q", 0, "Water")
    air = (b1 - e1) * v1 / (R * t1)
    vapour = e1 * v1 / (R * t1)
    most = PropsSI("P", "T", t2, "Q", 0, "Water") * v2 / (R * t2)
    return (air + min(vapour, most)) * R * t2 / v2 - b2


CASES = [
    # barometer, closed degC, humidity, barometer later, later degC, taken L of 3 L
    (101_325, 20, 0.0, 101_325, 10, 0.0),
    (101_325, 20, 0.6, 101_325, 10, 0.0),
    (101_325, 25, 0.6, 101_325, 10, 0.0),
    (101_325, 35, 0.0, 101_325, 10, 0.0),
    (101_325, 35, 0.4, 101_325, 10, 0.0),
    (101_325, 10, 0.7, 101_325, 30, 0.0),
    (102_500, 20, 0.5, 99_800, 12, 0.0),
    (101_325, 22, 0.55, 100_525, 9, 0.5),
    (98_000, 45, 0.9, 98_500, 4, 1.2),
    (101_325, 19, 0.6, 101_325, 11, 0.42),
    (101_325, 20, 0.6, 101_325, 20, -0.3),
]


@pytest.mark.parametrize(("b1", "t1", "rh", "b2", "t2", "taken"), CASES)
def test_gauge_against_a_mole_balance(b1, t1, rh, b2, t2, taken):
    found = cy.inside_air(
        cy.ClosedAir(b1, ZERO_CELSIUS + t1, rh, 3e-3),
        temperature=ZERO_CELSIUS + t2,
        outside=b2,
        taken=taken * 1e-3,
    ).gauge
    truth = mole_balance(b1, t1, rh, b2, t2, 3e-3, (3.0 - taken) * 1e-3)
    # what is left is the saturation form, 0.32 % of at most 9 kPa of vapour
    assert found == pytest.approx(truth, abs=25.0)


@pytest.mark.parametrize(("t1", "rh", "t2"), [(20, 0.5, 30), (25, 0.6, 20), (30, 0.3, 15)])
def test_gauge_of_a_rigid_box_against_humid_air(t1, rh, t2):
    # a closed box keeps its humidity ratio and its density while nothing condenses: CoolProp real humid air
    k1, k2 = t1 + ZERO_CELSIUS, t2 + ZERO_CELSIUS
    ratio = HAPropsSI("W", "T", k1, "R", rh, "P", 101_325)
    volume = HAPropsSI("V", "T", k1, "R", rh, "P", 101_325)
    low, high = 90_000.0, 115_000.0
    for _ in range(60):
        mid = 0.5 * (low + high)
        if HAPropsSI("V", "T", k2, "W", ratio, "P", mid) > volume:
            low = mid
        else:
            high = mid
    found = cy.inside_air(cy.ClosedAir(101_325, k1, rh, 1e-3), temperature=k2, outside=101_325).gauge
    assert found == pytest.approx(low - 101_325, abs=12.0)


def test_boyle_for_shared_air():
    # dry air at one temperature: P V constant (Boyle 1662)
    def gauge(volume, taken):
        start = cy.ClosedAir(STANDARD_ATMOSPHERE, 293.15, 0.0, volume)
        return cy.inside_air(start, temperature=293.15, outside=STANDARD_ATMOSPHERE, taken=taken).gauge

    assert gauge(2.0e-3, 0.30e-3) == pytest.approx(101_325 * 2.0 / 1.7 - 101_325, abs=0.1)
    assert gauge(3.0e-3, 0.50e-3) == pytest.approx(101_325 * 3.0 / 2.5 - 101_325, abs=0.1)
    assert gauge(1.7e-3, -0.30e-3) == pytest.approx(101_325 * 1.7 / 2.0 - 101_325, abs=0.1)
    assert gauge(2.0e-3, -0.30e-3) == pytest.approx(101_325 * 2.0 / 2.3 - 101_325, abs=0.1)


def test_desiccant_takes_the_vapours_pressure_away():
    start = cy.ClosedAir(101_325, 293.15, 0.5, 1e-3)
    e = 0.5 * PropsSI("P", "T", 293.15, "Q", 0, "Water")
    air = cy.inside_air(start, temperature=293.15, outside=101_325, damp="dried", dried_to=0.0)
    assert air.gauge == pytest.approx(-e, rel=0.004)
    # a tenth of saturation left is what is assumed for a fresh bag
    usual = cy.inside_air(start, temperature=293.15, outside=101_325, damp="dried")
    assert usual.gauge - air.gauge == pytest.approx(0.2 * e, rel=0.004)


def test_cold_cylinder_is_deeper_than_its_depth():
    # 2 m of fresh water at 10 degC, IAPWS-95 density, and 5.672 kPa of vacuum
    density = PropsSI("D", "T", 283.15, "P", 101_325, "Water")
    across = cy.seal_pressure(depth=2.0, gauge=-5672.0, density=density)
    assert across == pytest.approx(2.0 * density * GRAVITY + 5672.0)
    assert across == pytest.approx(25_280, abs=10)
    assert cy.gauge_as_depth(across, density=density) == pytest.approx(2.579, abs=0.001)


@pytest.mark.parametrize(
    ("celsius", "kilopascals"),
    [(10, 9.804), (15, 9.798)],  # a metre of fresh water with CoolProp's density, recomputed below
)
def test_a_metre_of_water(celsius, kilopascals):
    density = PropsSI("D", "T", ZERO_CELSIUS + celsius, "P", 101_325, "Water")
    assert cy.seal_pressure(depth=1.0, gauge=0.0, density=density) == pytest.approx(
        kilopascals * 1e3, abs=0.6
    )


@pytest.mark.parametrize(
    ("wall", "conductivity", "u", "kelvin"),
    [(0.004, 0.19, 6.62, 10.8), (0.003, 167.0, 7.69, 9.3)],  # layers in series by hand: 1/(1/8 + t/k + 1/200)
)
def test_warming_by_ten_watts(wall, conductivity, u, kelvin):
    found = cy.transmittance(wall=wall, conductivity=conductivity)
    assert found == pytest.approx(u, abs=0.005)
    assert cy.warming(power=10.0, area=0.14, transmittance=found) == pytest.approx(kelvin, abs=0.05)
