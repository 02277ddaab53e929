"""Leak rates against regulations, handbooks, libraries and integration."""

import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import quad

from divelog.physics import cylinder_leak as le
from divelog.physics.si import STANDARD_ATMOSPHERE, ZERO_CELSIUS

ML_PER_HOUR = 3.6e9
WATER_10 = PropsSI("V", "T", 283.15, "P", 101_325, "Water")
WATER_20 = PropsSI("V", "T", 293.15, "P", 101_325, "Water")
AIR_20 = PropsSI("V", "T", 293.15, "P", 101_325, "Air")
HEAD_2M = 2.0 * 9.80665 * PropsSI("D", "T", 283.15, "P", 101_325, "Water")


@pytest.mark.parametrize("celsius", range(-10, 61, 2))
def test_air_viscosity_against_the_library(celsius):
    kelvin = ZERO_CELSIUS + celsius
    truth = PropsSI("V", "T", kelvin, "P", 101_325, "Air")
    assert le.air_viscosity(kelvin) == pytest.approx(truth, rel=1e-4)


@pytest.mark.parametrize(
    ("kelvin", "micropascal_seconds"),
    # CRC Handbook of Chemistry and Physics (Lide 1996, p. 6-206), as reprinted in a water-treatment textbook
    [(273.15, 17.1), (300.15, 18.6)],
)
def test_air_viscosity_of_the_handbook(kelvin, micropascal_seconds):
    assert le.air_viscosity(kelvin) * 1e6 == pytest.approx(micropascal_seconds, rel=0.01)


def test_vacuum_decay_example():
    # 40 CFR 1065.644: 2.0000 L, 25.300 to 50.600 kPa at 293.15 K in 70 s, R 8.314472; the page prints inputs only,
    # so n = (V/R)(p2/T2 - p1/T1)/(t2 - t1) is worked here from them
    printed = (2.0e-3 / 8.314472) * (50_600 / 293.15 - 25_300 / 293.15) / 70.0
    outside = 100_000.0
    start = le.GaugeReading(25_300 - outside, outside, 293.15)
    end = le.GaugeReading(50_600 - outside, outside, 293.15)
    flow = le.throughput(volume=2.0e-3, fall=le.corrected_fall(start, end), time=70.0)
    assert -le.moles(flow, temperature=293.15) == pytest.approx(printed, rel=1e-5)
    assert printed == pytest.approx(2.966e-4, rel=1e-3)  # 0.7229 Pa m3/s over R T, by hand


def test_fall_of_a_cooling_tight_cylinder():
    # 121 325 Pa cooled by 1 K at constant volume: 121 325 x 292.15/293.15 = 120 911.1 by hand
    fall = le.corrected_fall(
        le.GaugeReading(20_000, 101_325, 293.15), le.GaugeReading(120_911.1 - 101_325, 101_325, 292.15)
    )
    assert fall == pytest.approx(0.0, abs=0.1)


def test_fall_of_a_rising_barometer():
    fall = le.corrected_fall(
        le.GaugeReading(20_000, 101_000, 293.15), le.GaugeReading(19_500, 101_500, 293.15)
    )
    assert fall == pytest.approx(0.0, abs=1e-9)


def test_pumping_up_warms_the_air():
    # CoolProp real air: isentropic from 101.325 to 121.325 kPa, then cooled at constant volume
    s = PropsSI("S", "T", 293.15, "P", 101_325, "Air")
    hot = PropsSI("T", "S", s, "P", 121_325, "Air")
    density = PropsSI("D", "T", hot, "P", 121_325, "Air")
    cold = PropsSI("P", "T", 293.15, "D", density, "Air")
    rise, fall = le.false_fall(start=101_325, pumped=121_325, temperature=293.15)
    assert rise == pytest.approx(hot - 293.15, rel=0.005)
    assert fall == pytest.approx(121_325 - cold, rel=0.005)


def test_size_of_a_leak_by_numerical_integration():
    # time for the law to take a pressure down: t = (V/k) integral of dP/(P^2 - Pa^2), scipy quad
    for start, end in ((121_325.0, 120_825.0), (121_325.0, 105_000.0), (81_325.0, 81_825.0)):
        integral, _ = quad(lambda p: 1.0 / (p * p - 101_325.0**2), end, start)
        k = le.conductance(volume=3e-3, start=start, end=end, outside=101_325.0, time=600.0)
        assert k == pytest.approx(3e-3 / 600.0 * integral, rel=1e-9)


def test_throughput_class_called_watertight():
    # "watertight" as 1e-2 mbar L/s with air (a leak-test instrument maker's note); in water that leak passes, by
    # laminar flow integrated along a uniform tube in the test, about half a millilitre an hour at the same 20 kPa
    inside, outside = 121_325.0, 101_325.0
    gas_factor, _ = quad(lambda p: p, outside, inside)  # q mu_a L/c = integral of P dP
    path = 1e-3 * AIR_20 / gas_factor
    truth = path / WATER_20 * 20_000.0
    k = 1e-3 / (inside**2 - outside**2)
    found = le.water_through(k, head=20_000.0, air_viscosity=AIR_20, water_viscosity=WATER_20)
    assert found == pytest.approx(truth, rel=1e-9)
    assert found * ML_PER_HOUR == pytest.approx(0.588, rel=0.01)


def test_vacuum_rise_as_water():
    # 0.5 kPa in 10 min of 3 L at -20 kPa: laminar conductance C = 2 mu_a Q/(pa^2 - pb^2), water C dp/mu_w (the
    # two steps by hand), 19.6 kPa at 10 degC
    c = 2.0 * AIR_20 * 2.5e-3 / (101_325**2 - 81_325**2)
    by_hand = c * 19_600 / WATER_10
    k = 2.5e-3 / (101_325**2 - 81_325**2)
    found = le.water_through(k, head=19_600, air_viscosity=AIR_20, water_viscosity=WATER_10)
    assert found == pytest.approx(by_hand)
    assert found * ML_PER_HOUR == pytest.approx(1.34, rel=0.01)


def test_hole_of_half_a_millilitre_an_hour():
    # Hagen-Poiseuille by integration of the parabolic profile over the bore
    width = le.hole_diameter(0.5 / ML_PER_HOUR, length=5e-3, head=HEAD_2M, water_viscosity=WATER_10)
    gradient = HEAD_2M / 5e-3
    radius = width / 2.0
    flow, _ = quad(
        lambda r: 2.0 * 3.141592653589793 * r * gradient / (4.0 * WATER_10) * (radius**2 - r**2), 0.0, radius
    )
    assert flow * ML_PER_HOUR == pytest.approx(0.5, rel=1e-6)
    assert width * 1e6 == pytest.approx(37.0, abs=0.3)


@pytest.mark.parametrize(("micrometres", "kilopascals"), [(10, 29.7), (30, 9.9), (100, 2.97)])
def test_surface_tension_shuts_fine_pores(micrometres, kilopascals):
    # surface tension of water at 10 degC from CoolProp (IAPWS 1994)
    tension = PropsSI("I", "T", 283.15, "Q", 0, "Water")
    assert le.pore_holds(micrometres * 1e-6, surface_tension=tension) / 1e3 == pytest.approx(
        kilopascals, rel=0.005
    )


@pytest.mark.parametrize(
    ("interval", "cubic_centimetres_per_second"),
    # a test-machine maker's table of 2 mm bubbles: two a second 0.01, one in 4.2 s 1e-3, one in 41.9 s 1e-4
    [(4.2, 1e-3), (41.9, 1e-4)],
)
def test_bubbles_of_two_millimetres(interval, cubic_centimetres_per_second):
    flow = le.bubble_flow(diameter=2e-3, interval=interval, pressure=STANDARD_ATMOSPHERE)
    assert flow / STANDARD_ATMOSPHERE * 1e6 == pytest.approx(cubic_centimetres_per_second, rel=0.005)


def test_two_bubbles_a_second():
    flow = le.bubble_flow(diameter=2e-3, interval=0.5, pressure=STANDARD_ATMOSPHERE)
    # the same table rounds 8.4e-3 to 0.01
    assert flow / STANDARD_ATMOSPHERE * 1e6 == pytest.approx(0.01, rel=0.2)


def test_a_cubic_millimetre_in_ten_seconds():
    # a test-equipment maker's leak table: 1 mm3 in 10 s is 1e-5 Pa m3/s (at one bar)
    diameter = (6.0 / 3.141592653589793 * 1e-9) ** (1.0 / 3.0)
    assert le.bubble_flow(diameter=diameter, interval=10.0, pressure=1e5) == pytest.approx(1e-5, rel=1e-6)


def test_bubble_sensitivity_in_two_units():
    # ASTM E515, scope: 4.5e-10 mol/s, 1e-5 standard cm3/s (at 0 degC and one atmosphere)
    assert le.moles(1.01325e-6, temperature=273.15) == pytest.approx(4.5e-10, rel=0.02)


# noise and shortest holds of three gauges, 0.5 mL/h at 2 m in 10 degC water, test +20 kPa: squares by hand
# (one standard deviation each: gauge, barometer, thermometer; 2 u_g^2 + 2 u_B^2 + 2 (121 325 u_T/293.15)^2)
@pytest.mark.parametrize(
    ("gauge", "barometer", "thermometer", "noise", "seconds"),
    [
        (144.0, 29.0, 0.2, 239.0, (317.0, 1900.0, 12_667.0)),
        (50.0, 25.0, 0.1, 98.0, (130.0, 783.0, 5217.0)),
        (10.0, 10.0, 0.05, 35.0, (47.0, 282.0, 1880.0)),
    ],
)
def test_what_a_gauge_can_see(gauge, barometer, thermometer, noise, seconds):
    flow = le.allowed_throughput(
        water=0.5 / ML_PER_HOUR,
        head=HEAD_2M,
        test=20_000.0,
        outside=101_325.0,
        air_viscosity=AIR_20,
        water_viscosity=WATER_10,
        factor=1.0,
    )
    assert flow == pytest.approx(1.1313e-3, rel=1e-3)
    assert le.allowed_fall(flow, volume=3e-3, hold=600.0) == pytest.approx(226.0, abs=1.0)
    u95 = le.fall_u95(
        gauge=2.0 * gauge,
        barometer=2.0 * barometer,
        thermometer=2.0 * thermometer,
        pressure=121_325.0,
        temperature=293.15,
    )
    by_hand = (2.0 * gauge**2 + 2.0 * barometer**2 + 2.0 * (121_325.0 * thermometer / 293.15) ** 2) ** 0.5
    assert u95 / 2.0 == pytest.approx(by_hand)
    assert u95 / 2.0 == pytest.approx(noise, rel=0.015)
    for litres, hold in zip((0.5, 3.0, 20.0), seconds, strict=True):
        found = le.shortest_hold(flow, noise_u95=u95, volume=litres * 1e-3)
        assert found == pytest.approx(hold, rel=0.01)


def test_least_mass_a_towel_is_sure_of():
    # 0.01 g scale taken as one s.d., handling 0.02 g: twice the root of the squares, by hand
    assert le.found_u95(20e-6) * 1e3 == pytest.approx(2.0 * (2.0 * 0.01**2 + 0.02**2) ** 0.5, rel=1e-9)


def test_tenth_of_a_gram_in_half_an_hour():
    rate = le.found_rate(1e-4, time=1800.0, density=1000.0, head=9_800.0, planned_head=9_800.0)
    assert rate * ML_PER_HOUR == pytest.approx(0.20)
