"""Losses with depth against Boyle's law on library densities, and a second derivation of the tube."""

import math

import pytest
from iapws import IAPWS95

from divelog.physics import buoyancy_squeeze as squeeze

P0 = 101_325.0
G = 9.80665
RHO_10 = float(IAPWS95(T=283.15, P=0.101325).rho)
RHO_15 = float(IAPWS95(T=288.15, P=0.101325).rho)


@pytest.mark.parametrize(
    ("depth", "percent"), [(0.3, 2.82), (1.0, 8.82), (2.0, 16.21), (3.0, 22.49), (5.0, 32.59)]
)
def test_trapped_air_in_15_degc_water(depth, percent):
    # Boyle's law with IAPWS-95 density: 1 − P₀/(P₀ + ρgd).
    assert percent == pytest.approx(100 * (1 - P0 / (P0 + RHO_15 * G * depth)), abs=0.01)
    assert squeeze.air_loss(RHO_15, 1e-3, depth, P0) / (RHO_15 * 1e-3) * 100 == pytest.approx(
        percent, abs=0.01
    )


def test_half_is_gone_at_one_atmosphere_of_water():
    depth = P0 / (RHO_10 * G)
    assert depth == pytest.approx(10.335, abs=0.001)
    assert squeeze.air_loss(RHO_10, 1e-3, depth, P0) / RHO_10 * 1e3 == pytest.approx(0.5, rel=1e-9)
    # Diving practice: half the volume at 33 ft of sea water (1025 kg/m³, from memory of the tables).
    assert squeeze.air_loss(1025.0, 1e-3, 33 * 0.3048, P0) / 1.025 == pytest.approx(0.5, abs=0.005)


@pytest.mark.parametrize(
    ("grams", "millilitres", "depth", "tolerance"),
    [(10, 50, 2.58, 0.01), (26, 200, 1.545, 0.005)],
)
def test_depth_at_which_air_makes_her_heavy(grams, millilitres, depth, tolerance):
    # By hand from N₀ = ρV₀p/(P₀ + p) at 10 degC.
    got = squeeze.heavy_depth_of_air(grams / 1e3, RHO_10, millilitres / 1e6, P0)
    assert got == pytest.approx(depth, abs=tolerance)


def test_thirty_grams_hold_up_thirty_millilitres_at_any_depth():
    assert squeeze.heavy_depth_of_air(0.030, RHO_10, 30e-6, P0) is None


def test_acrylic_tube_at_two_metres():
    # Second derivation: strains of a thin closed cylinder from its stresses by Hooke's law, then the change of the
    # volume π·r²·L itself. r 50 mm, t 3 mm, E 3.0 GPa, ν 0.37, 2 m of water at 10 degC.
    p, r, t, modulus, nu, length = RHO_10 * G * 2.0, 0.050, 0.003, 3.0e9, 0.37, 0.5
    hoop, axial = -p * r / t, -p * r / (2 * t)
    strain_hoop = (hoop - nu * axial) / modulus
    strain_axial = (axial - nu * hoop) / modulus
    before = math.pi * r**2 * length
    after = math.pi * (r * (1 + strain_hoop)) ** 2 * length * (1 + strain_axial)
    wanted = 1 - after / before
    got = squeeze.tube_shrink(p, r, t, modulus, nu)
    assert got == pytest.approx(wanted, rel=5e-4)
    assert got == pytest.approx(1.917e-4, rel=0.01)
    assert squeeze.tube_loss(RHO_10, 1e-3, 2.0, r, t, modulus, nu) * 1e3 == pytest.approx(0.19, abs=0.005)


def test_thick_tube_against_lame():
    # Lamé's thick cylinder with closed ends: outside radius b shrinks by (p·b/E)·[(b² + a²)/(b² − a²) − ν] plus the
    # axial stress part. The corrected thin form lies within 2.5 % for t/r up to 0.4; the plain thin form below 0.15
    # gives up to 9 % too much, the safe side.
    p, modulus, nu = 1e5, 3.0e9, 0.37
    for ratio in (0.03, 0.08, 0.15, 0.16, 0.25, 0.4):
        r = 0.05
        t = ratio * r
        a, b = r - t / 2, r + t / 2
        axial = -p * b**2 / (b**2 - a**2)
        hoop, radial = -p * (b**2 + a**2) / (b**2 - a**2), -p
        e_hoop = (hoop - nu * (radial + axial)) / modulus
        e_axial = (axial - nu * (hoop + radial)) / modulus
        wanted = -(2 * e_hoop + e_axial)
        got = squeeze.tube_shrink(p, r, t, modulus, nu)
        if ratio > squeeze.THIN_WALL_MOST:
            assert got == pytest.approx(wanted, rel=0.025)
        else:
            assert wanted <= got <= 1.09 * wanted


def test_aluminium_shrinks_less_in_the_ratio_of_the_moduli():
    plastic = squeeze.tube_shrink(1e4, 0.05, 0.003, 2.8e9, 0.35)
    metal = squeeze.tube_shrink(1e4, 0.05, 0.003, 69e9, 0.35)
    assert metal / plastic == pytest.approx(2.8 / 69)


def test_two_hundred_millilitres_of_bag_air_at_two_metres():
    # 200 mL × 16.2 % = 32 g (Boyle's law, by hand).
    assert squeeze.air_loss(RHO_15, 200e-6, 2.0, P0) * 1e3 == pytest.approx(32.4, abs=0.1)
