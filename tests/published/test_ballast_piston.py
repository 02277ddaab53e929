"""A piston tank against statics by hand and quadrature."""

import math

import pytest
from iapws import IAPWS95
from scipy.integrate import quad

from divelog.physics import ballast_piston as piston

RHO = float(IAPWS95(T=283.15, P=0.101325).rho)
PA = 101_325.0
AREA = math.pi / 4 * 0.060**2


def test_push_of_the_water():
    # 60 mm bore at 10 degC: A·ρ·g·d, by hand.
    for depth, newtons in ((1.0, 27.72), (3.0, 83.16)):
        outside = piston.water_pressure(depth, RHO, PA)
        assert piston.push_on_piston(AREA, outside, PA) == pytest.approx(newtons, rel=1e-3)
    outside = piston.water_pressure(3.0, RHO, PA)
    assert piston.push_on_piston(AREA, outside, PA + 10_000.0) == pytest.approx(54.88, rel=1e-3)


def test_screw():
    # T = F·ℓ/(2πη): 108.16 N on 1 mm at 0.35 is 0.0492 N·m.
    assert piston.screw_torque(108.16, 1e-3, 0.35) == pytest.approx(0.0492, rel=1e-3)


def test_stroke_at_free_speed():
    # 250 mL on 60 mm is 88.4 mm; at 10 turns of 1 mm a second 8.84 s.
    assert pytest.approx(88.4, rel=1e-3) == 250e-6 / AREA * 1e3
    strong = piston.Piston(AREA, 1e-3, 0.35, 10.0, 1e9, 0.0)
    assert piston.piston_time(strong, 250e-6, 1.0, PA, PA, filling=True) == pytest.approx(8.84, rel=1e-3)


def test_told_example_at_three_metres():
    # 83 N and 25 N of friction at 40 % of stall: 6 of 10 turns a second, 250 mL in 15 s (by hand, large cylinder).
    torque = piston.screw_torque(83.16 + 25.0, 1e-3, 0.35)
    one = piston.Piston(AREA, 1e-3, 0.35, 10.0, torque / 0.4, 25.0)
    outside = piston.water_pressure(3.0, RHO, PA)
    assert piston.piston_time(one, 250e-6, 1e6, PA, outside, filling=False) == pytest.approx(
        8.84 / 0.6, rel=2e-3
    )


@pytest.mark.parametrize("filling", [False, True])
def test_stroke_against_quadrature(filling):
    one = piston.Piston(AREA, 1e-3, 0.35, 10.0, 0.08, 18.0)
    outside, air, volume = piston.water_pressure(0.3, RHO, PA), 2e-3, 250e-6

    def rate(v):
        push = AREA * (outside - PA * air / (air - v))
        force = max(0.0, (-push if filling else push) + 18.0)
        turns = 10.0 * (1 - force * 1e-3 / (2 * math.pi * 0.35) / 0.08)
        return 1 / (AREA * 1e-3 * turns)

    wanted = quad(rate, 0.0, volume, epsrel=1e-10)[0]
    got = piston.piston_time(one, volume, air, PA, outside, filling)
    assert got == pytest.approx(wanted, rel=1e-4)  # the force meets its floor of zero with a corner
