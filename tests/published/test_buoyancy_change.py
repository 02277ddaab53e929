"""Change of trim against library densities of water."""

import gsw
import numpy as np
import pytest
from iapws import IAPWS95
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize_scalar

from divelog.physics import buoyancy_change as change


def iapws_density(celsius: float) -> float:
    return float(IAPWS95(T=273.15 + celsius, P=0.101325).rho)


def salt_density(salinity: float, celsius: float) -> float:
    return float(gsw.rho(salinity, gsw.CT_from_t(salinity, celsius, 0.0), 0.0))


def per_kilogram(then: float, now: float, alpha: float, warming: float) -> float:
    volume = 1.0 / then
    return change.balance_change(volume, 0.0, then, now, [change.GrowingPart(volume, alpha)], warming).total


# g per kg displaced; independently computed from IAPWS-95 as ρ₂(1 + 3αΔT)/ρ₁ − 1. Columns: α in 1e-6/K.
@pytest.mark.parametrize(
    ("then", "now", "expected"),
    [
        (20, 10, {0: +1.498, 70: -0.605, 67: -0.515, 60: -0.305, 23: +0.807}),
        (10, 20, {0: -1.496, 70: +0.601, 67: +0.511, 60: +0.302, 23: -0.807}),
        (5, 20, {0: -1.760, 70: +1.385, 67: +1.250, 60: +0.936, 23: -0.726}),
        (4, 25, {0: -2.927, 70: +1.470, 67: +1.281, 60: +0.842, 23: -1.483}),
    ],
)
def test_fresh_water_between_two_temperatures(then, now, expected):
    rho1, rho2 = iapws_density(then), iapws_density(now)
    for alpha, grams in expected.items():
        got = per_kilogram(rho1, rho2, alpha * 1e-6, now - then) * 1e3
        assert got == pytest.approx(grams, abs=0.005)
        assert got == pytest.approx((rho2 * (1 + 3e-6 * alpha * (now - then)) / rho1 - 1) * 1e3, abs=1e-9)


@pytest.mark.parametrize(("salinity", "grams"), [(3.0, 2.31), (10.0, 7.65), (35.165, 26.90)])
def test_from_fresh_to_salt_at_15_degc(salinity, grams):
    # TEOS-10 (gsw), absolute salinity in g/kg; rigid boat.
    got = per_kilogram(salt_density(0.0, 15.0), salt_density(salinity, 15.0), 0.0, 0.0)
    assert got * 1e3 == pytest.approx(grams, abs=0.01)


@pytest.mark.parametrize(
    ("alpha", "celsius"), [(0.0, 4.0), (23, 8.6), (60, 17.5), (67, 19.5), (70, 20.3), (75, 21.7)]
)
def test_a_boat_is_lightest_where_her_growth_meets_the_waters(alpha, celsius):
    # The root of 3α = β in IAPWS-95, and the maximum of the balance over TEOS-10 densities, by a search.
    root = brentq(lambda t: IAPWS95(T=273.15 + t, P=0.101325).alfav - 3e-6 * alpha, 1.0, 30.0, xtol=1e-3)
    assert root == pytest.approx(celsius, abs=0.2)
    parts = [change.GrowingPart(1e-3, alpha * 1e-6)]

    def heaviness(t: float) -> float:
        return -change.balance_at(salt_density(0.0, t), 1.0, 0.0, parts, t - root)

    top = minimize_scalar(heaviness, bounds=(0.5, 35.0), method="bounded", options={"xatol": 1e-6}).x
    assert top == pytest.approx(root, abs=0.2)
    sweep = np.array([heaviness(t) for t in np.arange(0.0, 35.1, 0.5)])
    turns = np.sign(np.diff(sweep))
    assert np.count_nonzero(np.diff(turns)) == 1  # one extreme only


def test_worked_trim_from_20_to_10_degc():
    # By hand with IAPWS-95: 4.63 L × 1.495 kg/m³ = 6.92 g; 4.0 L × 999.70 × 213e-6 × −10 = −8.52 g.
    got = change.balance_change(
        4.63e-3, 0.0, iapws_density(20.0), iapws_density(10.0), [change.GrowingPart(4.0e-3, 71e-6)], -10.0
    )
    assert got.water * 1e3 == pytest.approx(6.92, abs=0.01)
    assert got.growth[0] * 1e3 == pytest.approx(-8.52, abs=0.01)
    assert 30.0 + got.total * 1e3 == pytest.approx(28.4, abs=0.1)


def test_only_displaced_less_ballast_counts_for_the_water():
    # Two boats differing by their tank alone: 0.42 L × Δρ is the difference (Archimedes' principle).
    rho1, rho2 = iapws_density(19.0), iapws_density(11.0)
    without = change.balance_change(6.21e-3, 0.0, rho1, rho2, [], -8.0).total
    with_tank = change.balance_change(6.21e-3, 0.42e-3, rho1, rho2, [], -8.0).total
    assert without - with_tank == pytest.approx(0.42e-3 * (rho2 - rho1), rel=1e-9)


def test_acrylic_wall_comes_to_the_waters_temperature():
    # The lumped wall dT/dt = −(T − T_w)/τ, integrated numerically: under 5 % left after three time constants.
    soak = change.soak(1.75e6, 0.004, 999.6, 5.3e-3, 71e-6, 8.0)
    assert soak.time_constant == pytest.approx(46.7, abs=0.1)  # 1.75e6 × 0.004 / 150
    run = solve_ivp(
        lambda _t, y: -y / soak.time_constant, (0.0, soak.wait), [soak.error_at_first], rtol=1e-9, atol=1e-14
    )
    # The wait holds a factor 2 for the rough film coefficient, so (1 g)²/ε₀ is left.
    assert run.y[0, -1] == pytest.approx(1e-3**2 / soak.error_at_first, rel=1e-4)


def test_hot_car_on_an_acrylic_body():
    # 15 K × 3 × 70e-6 = 3.15 g a kilogram, about the printed +3.1 (linear expansion, by hand).
    assert change.soak(1.75e6, 0.004, 1000.0, 1e-3, 70e-6, 15.0).error_at_first * 1e3 == pytest.approx(
        3.15, abs=0.01
    )


@pytest.mark.parametrize(
    ("material", "low", "high"),
    [
        ("acrylic", 50, 90),  # Lange's Handbook of Chemistry, 15th ed., table 10.2, cast sheet
        ("polycarbonate", 60, 70),  # engineering plastics tables, 65
        ("aluminium", 22.9, 23.8),  # Callister, Materials Science and Engineering, table B.6
        ("brass", 18, 20.5),  # metals tables 18 to 19; Callister, table B.6, to 20.5
        ("steel", 15.9, 17.3),  # Callister, table B.6, austenitic stainless
        ("resin", 45, 65),  # table of solids, unfilled cast epoxy
    ],
)
def test_expansions_lie_inside_handbook_spans(material, low, high):
    assert low <= change.EXPANSIONS[material].alpha * 1e6 <= high


def test_tube_of_108_by_580_mm():
    # π/4 × 0.108² × 0.58 by hand.
    assert change.tube_volume(0.108, 0.580) * 1e3 == pytest.approx(5.3133, abs=1e-4)
