"""Charge of a stroke against quadrature and hand figures."""

import pytest
from scipy.integrate import quad

from divelog.physics import ballast, ballast_stroke

LITRES_A_MINUTE = 1e-3 / 60
HA = 101_325.0 / (999.702 * 9.80665)
"""Standard atmosphere in IAPWS-95 water at 10 degC."""


def by_quadrature(volume, head, flow, hs, free, stall):
    def rate(v):
        h = head(v)
        return (free + (stall - free) * max(0.0, h) / hs) / (flow * (1 - h / hs))

    return quad(rate, 0.0, volume, epsrel=1e-10, limit=200)[0]


def test_gauss_legendre_against_quad():
    def f(x):
        return 1.0 / (1.05 - x)

    assert ballast_stroke.integrate(f, 0.0, 1.0) == pytest.approx(quad(f, 0, 1, epsrel=1e-12)[0], rel=1e-9)


def test_milliampere_hours_of_a_cycle():
    # I₀ 1.5 A, I_s 3.0 A, 600 mL at 2 L/min; hand figures, each proved by quadrature of I/Q.
    flow, free, stall = 2 * LITRES_A_MINUTE, 1.5, 3.0
    free_time = 6e-4 / flow
    assert ballast_stroke.stroke_charge_linear(free_time, 6e-4, flow, free, stall) / 3.6 == pytest.approx(
        7.50, rel=2e-3
    )
    t = ballast.vented_empty_time(6e-4, 0.06, 1.0, flow, 2.5)
    charge = ballast_stroke.stroke_charge_linear(t, 6e-4, flow, free, stall)
    assert charge / 3.6 == pytest.approx(17.01, rel=2e-3)
    wanted = by_quadrature(6e-4, lambda v: 1.0 - 0.06 * (1 - v / 6e-4), flow, 2.5, free, stall)
    assert charge == pytest.approx(wanted, rel=1e-8)
    t = ballast.sealed_fill_time(6e-4, 2e-3, HA, HA, 0.0, flow, 5.0)
    charge = ballast_stroke.stroke_charge_linear(t, 6e-4, flow, free, stall)
    assert charge / 3.6 == pytest.approx(25.16, rel=2e-3)
    wanted = by_quadrature(6e-4, lambda v: HA / (1 - v / 2e-3) - HA, flow, 5.0, free, stall)
    assert charge == pytest.approx(wanted, rel=1e-8)


def test_emptying_with_squeezed_air_costs_the_free_current():
    # 13.382 s × 1.5 A = 5.58 mA h: the air helps all along.
    t = ballast.sealed_empty_time(6e-4, 2e-3, HA, HA, 0.0, 2 * LITRES_A_MINUTE, 5.0)
    assert 1.5 * t / 3.6 == pytest.approx(5.58, rel=2e-3)

    def head(v):
        return HA - HA / (1 - (6e-4 - v) / 2e-3)

    got = ballast_stroke.stroke_charge(6e-4, head, 2 * LITRES_A_MINUTE, 5.0, 1.5, 3.0)
    assert got == pytest.approx(1.5 * t, rel=1e-8)


def test_a_head_that_changes_sign_against_quadrature():
    def head(v):
        return 0.5 - 1500.0 * v

    got = ballast_stroke.stroke_charge(6e-4, head, 3e-5, 2.5, 1.0, 4.0)
    assert got == pytest.approx(by_quadrature(6e-4, head, 3e-5, 2.5, 1.0, 4.0), rel=1e-5)


def test_floor_from_work():
    # 999.7 × 9.80665 × 600 mL × 1 m = 5.88 J; 5.88/(0.2 × 7.4 V) = 1.10 mA h (mechanics, by hand).
    work = ballast_stroke.work_floor(6e-4, 1.0, 999.702)
    assert work == pytest.approx(5.88, rel=2e-3)
    assert ballast_stroke.charge_floor(work, 7.4, 0.2) / 3.6 == pytest.approx(1.10, rel=5e-3)


def test_nine_cycles():
    # 300 mA h over 25.2 + 5.6 mA h: nine whole cycles.
    assert ballast_stroke.whole_cycles(300 * 3.6, (25.16 + 5.58) * 3.6) == 9
