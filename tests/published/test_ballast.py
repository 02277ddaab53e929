"""Fill and empty times against numerical quadrature, and scaling against a printed affinity example."""

import itertools
import math

import pytest
from iapws import IAPWS95
from scipy.integrate import quad

from divelog.physics import ballast

RHO = float(IAPWS95(T=283.15, P=0.101325).rho)
HA = 101_325.0 / (RHO * 9.80665)
LITRES_A_MINUTE = 1e-3 / 60


def by_quadrature(volume, head, flow, pump_head, curve):
    def rate(v):
        left = 1 - head(v) / pump_head
        return 1 / (flow * (left if curve == "linear" else math.sqrt(left)))

    return quad(rate, 0.0, volume, epsabs=0.0, epsrel=1e-10, limit=200)[0]


# Printed to 0.01 s; derived by hand and by quadrature.
@pytest.mark.parametrize(
    ("ml", "mm", "d", "lpm", "hs", "empty", "empty_q", "fill"),
    [
        (600, 60, 0.25, 2, 2.5, 19.738, 18.849, 16.545),
        (600, 60, 1.0, 2, 2.5, 29.416, 23.010, 12.969),
        (600, 60, 2.0, 2, 2.5, 84.997, 39.109, 10.067),
        (1500, 80, 1.5, 3, 3.0, 58.455, 41.875, 20.180),
    ],
)
def test_vented_tank(ml, mm, d, lpm, hs, empty, empty_q, fill):
    args = (ml * 1e-6, mm / 1e3, d, lpm * LITRES_A_MINUTE, hs)
    assert ballast.vented_empty_time(*args) == pytest.approx(empty, abs=0.01)
    assert ballast.vented_empty_time(*args, "quadratic") == pytest.approx(empty_q, abs=0.01)
    assert ballast.vented_fill_time(*args) == pytest.approx(fill, abs=0.01)


def test_vented_tank_over_the_whole_range():
    sweep = itertools.product(
        (5e-5, 8e-3), (0.02, 0.3), (0.3, 12.0), (1.0, 4.0, 15.0), (0.0, 0.5, 0.95), ("linear", "quadratic")
    )
    for volume, height, lpm, hs, part, curve in sweep:
        flow, d, area = lpm * LITRES_A_MINUTE, part * hs, volume / height
        wanted = by_quadrature(volume, lambda v, a=area, d=d, h=height: d - (h - v / a), flow, hs, curve)
        assert ballast.vented_empty_time(volume, height, d, flow, hs, curve) == pytest.approx(
            wanted, rel=1e-6
        )
        wanted = by_quadrature(volume, lambda v, a=area, d=d: v / a - d, flow, hs, curve)
        assert ballast.vented_fill_time(volume, height, d, flow, hs, curve) == pytest.approx(wanted, rel=1e-6)


def test_short_form_is_good_for_low_tanks():
    # t ≈ V/(Q₀(1 − (d − h/2)/H_s)), within 0.2 % while h < 0.15(H_s − d).
    for hs, d in itertools.product((1.0, 3.0, 10.0), (0.0, 0.3, 0.8)):
        h = 0.15 * (hs - d * hs)
        t = ballast.vented_empty_time(6e-4, h, d * hs, 3e-5, hs)
        assert 6e-4 / (3e-5 * (1 - (d * hs - h / 2) / hs)) == pytest.approx(t, rel=2.1e-3)


# Printed to 0.01 s at 999.702 kg/m³ and P₁ = P_a; derived by hand and by quadrature.
@pytest.mark.parametrize(
    ("ml", "litres", "d", "hs", "most", "fill", "fill_q", "empty", "gauge"),
    [
        (600, 2.0, 0.25, 5, 0.33685, 34.019, 23.944, 13.917, 43.425),
        (300, 1.0, 0.25, 10, 0.49793, 11.122, 9.973, 7.780, 43.425),
        (600, 4.0, 1.0, 3, 0.27903, 17.731, 17.797, 19.527, 17.881),
        (600, 2.0, 0.0, 5, 0.32604, 39.189, 25.412, 13.382, 43.425),
    ],
)
def test_sealed_tank(ml, litres, d, hs, most, fill, fill_q, empty, gauge):
    args = (ml * 1e-6, litres * 1e-3, HA, HA, d, 2 * LITRES_A_MINUTE, hs)
    assert ballast.sealed_share_most(HA, HA, d, hs) == pytest.approx(most, abs=1e-5)
    assert ballast.sealed_fill_time(*args) == pytest.approx(fill, abs=0.01)
    assert ballast.sealed_fill_time(*args, "quadratic") == pytest.approx(fill_q, abs=0.01)
    assert ballast.sealed_empty_time(*args) == pytest.approx(empty, abs=0.01)
    squeezed = ballast.air_left_head(101_325.0, RHO, ml * 1e-6 / (litres * 1e-3)) - HA
    assert squeezed * RHO * 9.80665 / 1e3 == pytest.approx(gauge, abs=0.002)


def test_sealed_tank_by_valve_alone():
    # 1 − P_a/(P_a + 2 m of water), Boyle's law.
    assert ballast.sealed_share_most(HA, HA, 2.0) == pytest.approx(0.16214, abs=1e-5)


def test_sealed_tank_over_the_whole_range():
    sweep = itertools.product(
        (5e-5, 8e-3),
        (1.2, 3.0, 20.0),
        (1.0, 4.0, HA, 15.0),
        (0.0, 0.5, 0.95),
        (0.95, 1.0, 1.15),
        ("linear", "quadratic"),
    )
    seen_fill = seen_empty = 0
    flow = 2 * LITRES_A_MINUTE
    for volume, ratio, hs, part, pressure, curve in sweep:
        air, d, pi = ratio * volume, part * hs, pressure * HA
        if volume / air < 0.99 * ballast.sealed_share_most(pi, HA, d, hs):
            wanted = by_quadrature(
                volume, lambda v, a=air, d=d, p=pi: p / (1 - v / a) - HA - d, flow, hs, curve
            )
            got = ballast.sealed_fill_time(volume, air, pi, HA, d, flow, hs, curve)
            assert got == pytest.approx(wanted, rel=1e-6)
            seen_fill += 1
        if d < 0.99 * ballast.sealed_stall_depth(pi, HA, hs):
            wanted = by_quadrature(
                volume,
                lambda v, a=air, d=d, p=pi, full=volume: HA + d - p / (1 - (full - v) / a),
                flow,
                hs,
                curve,
            )
            got = ballast.sealed_empty_time(volume, air, pi, HA, d, flow, hs, curve)
            assert got == pytest.approx(wanted, rel=1e-6)
            seen_empty += 1
    assert seen_fill > 60
    assert seen_empty > 90


@pytest.mark.parametrize("curve", ["linear", "quadratic"])
@pytest.mark.parametrize("excess", [-0.02, -1e-4, -1e-9, 0.0, 1e-9, 1e-4, 0.02])
def test_emptying_where_head_and_barometer_balance(curve, excess):
    # H_s = h_a + d and near it, where the closed forms lose their digits.
    hs, air, volume, flow = HA + 1.0 + excess, 2e-3, 6e-4, 3e-5
    wanted = by_quadrature(volume, lambda v: HA + 1.0 - HA / (1 - (volume - v) / air), flow, hs, curve)
    assert ballast.sealed_empty_time(volume, air, HA, HA, 1.0, flow, hs, curve) == pytest.approx(
        wanted, rel=1e-9
    )


def test_tank_shut_at_the_surface_and_taken_down():
    # Boyle's law by hand: 30 mL at 1.0 m with 2.5 m of head gives 5.1 mL of 600; 150 mL and 3 m gives 36 mL.
    assert ballast.volume_out_before_stall(30e-6, HA, 1.0, 2.5) * 1e6 == pytest.approx(5.1, abs=0.05)
    assert ballast.volume_out_before_stall(150e-6, HA, 1.0, 3.0) * 1e6 == pytest.approx(36.0, abs=0.1)


def test_affinity_laws():
    # Engineering course example of the affinity laws: 1750 to 3500 rpm takes 100 gpm to 200, 100 ft to 400.
    assert ballast.flow_at_volts(100.0, 2.0) == pytest.approx(200.0)
    assert ballast.head_at_volts(100.0, 2.0, centrifugal=True) == pytest.approx(400.0)


def test_nine_tenths_of_the_volts():
    # 600 mL, 60 mm, 1.0 m: by quadrature with the scaled pumps.
    flow = ballast.flow_at_volts(2 * LITRES_A_MINUTE, 0.9)
    gear = ballast.vented_empty_time(6e-4, 0.06, 1.0, flow, ballast.head_at_volts(2.5, 0.9))
    assert gear == pytest.approx(35.163, abs=0.01)
    head = ballast.head_at_volts(2.5, 0.9, centrifugal=True)
    fan = ballast.vented_empty_time(6e-4, 0.06, 1.0, flow, head, "quadratic")
    assert fan == pytest.approx(27.712, abs=0.01)
    area = 6e-4 / 0.06
    assert fan == pytest.approx(
        by_quadrature(6e-4, lambda v: 1.0 - (0.06 - v / area), flow, head, "quadratic"), rel=1e-6
    )


def test_cold_cylinder_takes_depth_off():
    # −4.7 kPa is 0.48 m of water at 10 degC.
    assert ballast.head_of(-4700.0, RHO) == pytest.approx(-0.48, abs=0.005)
