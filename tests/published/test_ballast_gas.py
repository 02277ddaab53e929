"""Gas blows against reference equations of state and printed tables."""

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS95

from divelog.physics import ballast_gas as gas

T0 = 273.15
RHO = float(IAPWS95(T=283.15, P=0.101325).rho)
COOLPROP = {
    "isobutane": "IsoButane",
    "n-butane": "n-Butane",
    "propane": "Propane",
    "R-134a": "R134a",
    "dimethyl ether": "DimethylEther",
    "CO2": "CO2",
}


@pytest.mark.parametrize("name", sorted(COOLPROP))
def test_vapour_pressure_over_the_range(name):
    fluid = gas.FLUIDS[name]
    tolerance = 0.004 if name == "CO2" else 0.001
    for kelvin in np.linspace(fluid.coldest, fluid.warmest, 41):
        wanted = PropsSI("P", "T", kelvin, "Q", 1, COOLPROP[name])
        assert gas.saturation_pressure(name, kelvin) == pytest.approx(wanted, rel=tolerance)


@pytest.mark.parametrize("name", sorted(COOLPROP))
def test_vapour_density_over_the_range(name):
    seen = 0
    for celsius in (0, 5, 10, 15, 20, 25, 29.9):
        for pressure in (100e3, 111_132.0, 150e3, 200e3):
            kelvin = T0 + celsius
            if pressure > 0.98 * gas.saturation_pressure(name, kelvin):
                continue
            wanted = PropsSI("D", "T", kelvin, "P", pressure, COOLPROP[name])
            assert gas.vapour_density(name, kelvin, pressure) == pytest.approx(wanted, rel=1e-3)
            seen += 1
    assert seen >= 7


@pytest.mark.parametrize("name", sorted(COOLPROP))
def test_molar_masses(name):
    assert gas.FLUIDS[name].molar_mass == pytest.approx(PropsSI("M", COOLPROP[name]), rel=1e-5)


@pytest.mark.parametrize(
    ("kilopascal", "celsius", "volume"),
    [
        # Superheated R-134a, an open thermodynamics course's metric table, m³/kg.
        (100, 0, 0.21587),
        (100, 10, 0.22473),
        (100, 20, 0.23349),
        (140, 0, 0.15219),
        (140, 10, 0.15875),
        (140, 20, 0.16520),
    ],
)
def test_superheated_r134a(kilopascal, celsius, volume):
    assert 1 / gas.vapour_density("R-134a", T0 + celsius, kilopascal * 1e3) == pytest.approx(volume, rel=4e-3)


@pytest.mark.parametrize(("bar", "celsius"), [(5.0, 15.68), (6.0, 21.54)])
def test_saturated_r134a(bar, celsius):
    # Mechanical Engineers' Handbook, volume 4, table 14: within 0.2 K.
    assert gas.saturation_pressure("R-134a", T0 + celsius - 0.2) < bar * 1e5
    assert gas.saturation_pressure("R-134a", T0 + celsius + 0.2) > bar * 1e5


@pytest.mark.parametrize(
    ("name", "celsius", "kilopascal"),
    [
        # R-134a: printed tables at 0 and 10 degC, CoolProp at 20; isobutane: CoolProp.
        ("R-134a", 0, 292.80),
        ("R-134a", 10, 414.61),
        ("R-134a", 20, 571.71),
        ("isobutane", 0, 156.96),
        ("isobutane", 4, 180.45),
        ("isobutane", 10, 220.61),
        ("isobutane", 20, 302.22),
        ("isobutane", 30, 404.72),
    ],
)
def test_vapour_pressures(name, celsius, kilopascal):
    assert gas.saturation_pressure(name, T0 + celsius) / 1e3 == pytest.approx(kilopascal, rel=1e-3)


def test_isobutane_boils_at_minus_11_7_degc():
    # Handbooks, from memory; just outside the fit, so taken at its cold end by the slope of the library.
    boiling = PropsSI("T", "P", 101_325.0, "Q", 0, "IsoButane")
    assert boiling - T0 == pytest.approx(-11.7, abs=0.2)
    slope = PropsSI("P", "T", T0 - 10, "Q", 1, "IsoButane") - 101_325.0
    assert gas.saturation_pressure("isobutane", T0 - 10) - 101_325.0 == pytest.approx(slope, rel=0.02)


@pytest.mark.parametrize(
    ("name", "density"), [("isobutane", 2.8421), ("R-134a", 4.9521), ("propane", 2.1262), ("CO2", 2.0912)]
)
def test_vapour_in_the_tank_one_metre_down(name, density):
    # CoolProp at 10 degC and 111 132 Pa.
    assert PropsSI("D", "T", 283.15, "P", 111_132.0, COOLPROP[name]) == pytest.approx(density, rel=1e-4)
    assert gas.vapour_density(name, 283.15, 111_132.0) == pytest.approx(density, rel=1e-3)


def test_grams_and_blows():
    pressure = gas.blow_pressure(1.0, RHO, 101_325.0)
    assert pressure == pytest.approx(111_129.0, abs=5.0)  # 101 325 + 9804
    isobutane = gas.mass_per_blow("isobutane", 283.15, pressure, 6e-4, overblow=0.0)
    r134a = gas.mass_per_blow("R-134a", 283.15, pressure, 6e-4, overblow=0.0)
    # CoolProp density × 0.6 L.
    assert isobutane * 1e3 == pytest.approx(1.705, rel=1e-3)
    assert r134a * 1e3 == pytest.approx(2.971, rel=1e-3)
    assert gas.blows_left(0.060, isobutane) == 33
    assert gas.blows_left(0.060, r134a) == 18
    cartridge = gas.mass_per_blow("CO2", 283.15, pressure, 6e-4)
    assert cartridge * 1e3 == pytest.approx(1.506, rel=1e-3)
    assert gas.blows_left(0.012, cartridge, kept=1) == 6


@pytest.mark.parametrize(("name", "grams"), [("isobutane", 0.587), ("R-134a", 2.023), ("propane", 1.378)])
def test_vapour_left_in_an_empty_bottle(name, grams):
    # CoolProp saturated vapour at 10 degC × 100 mL.
    wanted = PropsSI("D", "T", 283.15, "Q", 1, COOLPROP[name]) * 1e-4
    assert wanted * 1e3 == pytest.approx(grams, abs=1e-3)
    assert gas.dead_mass(name, 283.15, 1e-4) == pytest.approx(wanted, rel=5e-3)


@pytest.mark.parametrize(
    ("name", "celsius", "depth"),
    [
        # (P_sat − 50 kPa − 101.325 kPa)/9.806 kPa/m with CoolProp pressures.
        ("isobutane", 4, 2.97),
        ("isobutane", 0, 0.57),
        ("isobutane", 20, 15.4),
        ("R-134a", 4, 19.0),
    ],
)
def test_depth_the_gas_still_works(name, celsius, depth):
    rho = float(IAPWS95(T=T0 + celsius, P=0.101325).rho)
    by_library = (PropsSI("P", "T", T0 + celsius, "Q", 1, COOLPROP[name]) - 151_325.0) / (rho * 9.80665)
    got = gas.gas_depth(name, T0 + celsius, rho, 101_325.0)
    assert got == pytest.approx(by_library, rel=0.01, abs=0.01)
    assert got == pytest.approx(depth, rel=0.01)


def test_cooling_of_the_bottle():
    # 2.0 g of isobutane from 50 g in 40 g of aluminium at 10 degC; heats from CoolProp, aluminium 0.9 kJ/(kg·K).
    h_fg = PropsSI("H", "T", 283.15, "Q", 1, "IsoButane") - PropsSI("H", "T", 283.15, "Q", 0, "IsoButane")
    heat = PropsSI("C", "T", 283.15, "Q", 0, "IsoButane")
    assert h_fg / 1e3 == pytest.approx(344.6, rel=2e-3)
    assert heat / 1e3 == pytest.approx(2.338, rel=3e-3)
    assert gas.cooling(0.002, h_fg, 0.050, heat, 0.040, 900.0) == pytest.approx(4.6, abs=0.1)


def test_compressed_air():
    # By hand: 8 bar into 1.111 bar gives 6.20 bottle volumes, 3.10 when adiabatic; 10 into 1.2 gives 7.33 and 3.55.
    for bottle, tank, slow, fast in ((8.0, 1.111, 6.20, 3.10), (10.0, 1.2, 7.33, 3.55)):
        assert gas.air_given(bottle * 1e5, tank * 1e5, fast=False) == pytest.approx(slow, abs=0.005)
        assert gas.air_given(bottle * 1e5, tank * 1e5, fast=True) == pytest.approx(fast, abs=0.006)
    # CoolProp air at constant entropy agrees with the constant γ.
    entropy = PropsSI("S", "T", 283.15, "P", 8e5, "Air")
    before, after = (
        PropsSI("D", "T", 283.15, "P", 8e5, "Air"),
        PropsSI("D", "S", entropy, "P", 1.111e5, "Air"),
    )
    assert before / after - 1 == pytest.approx(3.10, rel=0.02)
    # 100 mL × (800 − 161.1) kPa / (111.1 kPa × 600 mL) = 0.96 of a blow.
    assert gas.air_blows(1e-4, 8e5, 111.1e3, 6e-4, overblow=0.0) == pytest.approx(0.96, rel=5e-3)
    # Ideal within 1 % to 20 bar.
    assert PropsSI("Z", "T", 283.15, "P", 20e5, "Air") == pytest.approx(1.0, abs=0.012)


def test_ideal_gas_would_be_light():
    # Printed: 3.5 % for isobutane, 2.7 % for R-134a at 10 degC and 111 kPa.
    for name, percent in (("isobutane", 3.5), ("R-134a", 2.7)):
        ideal = gas.FLUIDS[name].molar_mass * 111_132.0 / (8.314462618 * 283.15)
        real = gas.vapour_density(name, 283.15, 111_132.0)
        assert (1 - ideal / real) * 100 == pytest.approx(percent, abs=0.1)
    assert math.isclose(gas.GAS_CONSTANT, PropsSI("GAS_CONSTANT", "IsoButane"), rel_tol=1e-5)
