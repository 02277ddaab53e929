"""The balance of mass and displaced water against printed values and library densities."""

import math

import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS95

from divelog.physics import buoyancy, buoyancy_lead

POUND = 0.45359237
"""kg, exact (international yard and pound agreement, 1959)."""


def test_ten_inch_balls_lose_18_9_lb_in_water():
    # NAVPERS 16160, The Fleet Type Submarine (1946), chapter 5: a 10 in ball of aluminium weighs 48 lb and reads
    # 29.1 lb under water. The volume of the ball is by hand.
    seen = buoyancy.displaced_from_weighing(48.0 * POUND, 29.1 * POUND, 1000.0)
    assert seen == pytest.approx(math.pi / 6 * 0.254**3, rel=5e-3)


def test_reserve_in_water_at_10_degc():
    # 999.702 kg/m³ is IAPWS-95 at 10 degC, one atmosphere; 5.2 × 999.702 − 4600 g by hand.
    rho = IAPWS95(T=283.15, P=0.101325).rho
    assert rho == pytest.approx(999.702, abs=1e-3)
    lift = buoyancy.reserve(rho, 5.2e-3, 4.6)
    assert lift == pytest.approx(0.59845, abs=1e-5)
    assert lift / 4.6 == pytest.approx(0.1301, abs=1e-4)
    needed = buoyancy.ballast_needed(lift, 0.026, rho)
    assert needed * 1e6 == pytest.approx(572.6, abs=0.1)  # (598.45 − 26)/0.999702 by hand
    short = buoyancy.weight_lacking(needed, 550e-6, rho)
    assert short * 1e3 == pytest.approx(22.6, abs=0.1)  # 22.6 mL of water
    assert buoyancy_lead.piece_for(short, rho) * 1e3 == pytest.approx(24.8, abs=0.1)  # 22.6/0.9118


def test_full_tank_of_570_ml():
    # 598.45 − 570 × 0.999702 = 28.6 g by hand.
    assert buoyancy.dived_balance(0.59845, 570e-6, 999.702) * 1e3 == pytest.approx(28.6, abs=0.05)


def test_scale_in_air_reads_a_boat_a_gram_a_kilogram_low():
    # By hand: 5 × (1 − 1.2/8000)/(1 − 1.2/1000); convention of OIML D 28, from memory.
    assert buoyancy.mass_from_scale(5.0, 1000.0) == pytest.approx(5.00526, abs=1e-4)
    # A calibration mass weighs itself.
    assert buoyancy.mass_from_scale(5.0, 8000.0) == pytest.approx(5.0, rel=1e-12)


def test_tower_left_showing():
    # 12 mm × 30 cm² of water at 1000 kg/m³ = 36 g, by hand; a flooding tower of 2 mm walls and 250 mm outline: 6 g.
    assert buoyancy.balance_from_tower(0.012, 1000.0, 30e-4) == pytest.approx(0.036)
    assert buoyancy.tower_height(0.036, 1000.0, 30e-4) == pytest.approx(0.012)
    assert buoyancy.balance_from_tower(0.012, 1000.0, 0.25 * 0.002) == pytest.approx(0.006)


def test_cone_shaped_tower():
    # Section c·z² gives a volume c·h³/3, so h = (3N/(ρ·c))^(1/3).
    c = 2.0
    wanted = (3 * 0.02 / (1000.0 * c)) ** (1 / 3)
    assert buoyancy.tower_height_varying(0.02, 1000.0, lambda h: c * h**3 / 3, 0.5) == pytest.approx(wanted)


def test_meniscus_on_a_quarter_metre_of_outline():
    # CoolProp surface tension of water at 18 degC; γ·P/g.
    gamma = PropsSI("I", "T", 291.15, "Q", 0, "Water")
    assert gamma == pytest.approx(buoyancy.SURFACE_TENSION, rel=2e-3)
    assert buoyancy.meniscus_lift(0.25) * 1e3 == pytest.approx(gamma * 0.25 / 9.80665 * 1e3, rel=2e-3)
    assert buoyancy.meniscus_lift(0.25) * 1e3 == pytest.approx(1.86, rel=0.01)


def test_water_draining_above_the_waterline():
    # 0.3 kg × 60 mm / 5 kg = 3.6 mm, moment of a weight about G.
    assert buoyancy.trapped_water_loss(0.3e-3, 1000.0, 0.060, 5.0) == pytest.approx(3.6e-3)
