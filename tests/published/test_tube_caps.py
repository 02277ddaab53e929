"""Flat caps against printed examples and the plate equation solved numerically."""

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_bvp

from divelog.physics import tube_caps as tc

PSI = 6894.757293168  # Pa, NIST SP 811
INCH = 0.0254


def test_timoshenko_clamped_steel_plate():
    # Timoshenko, Strength of Materials, part II, 3rd ed. 1956, pp. 96 to 103, as a structural program's manual quotes
    # it: E 30e6 psi, nu 0.3, r 40 in, t 1 in, 6 psi: 7200 psi at the edge, 0.0874 in, 780 in lb/in at the centre
    plate = {"radius": 40 * INCH, "thickness": 1 * INCH, "poisson": 0.3}
    assert tc.cap_stress(6 * PSI, edge="clamped", **plate) / PSI == pytest.approx(7200, rel=1e-9)
    sag = tc.cap_sag(6 * PSI, modulus=30e6 * PSI, edge="clamped", **plate)
    assert sag / INCH == pytest.approx(0.0874, abs=0.00005)
    # a supported plate's centre moment exceeds the clamped one's by the edge moment p a^2/8
    supported = tc.cap_stress(6 * PSI, **plate) / PSI * (1.0 / 6.0)
    assert supported - 6 * 40**2 / 8 == pytest.approx(780, rel=1e-9)


def test_factors_of_the_data_handbook():
    # Mechanical Engineer's Data Handbook p. 53, nu 0.3: stress 1.238 and 0.75 p a^2/t^2, sag 0.696 and 0.171 times
    # p a^4/(E t^3)
    plate = {"radius": 1.0, "thickness": 0.1, "poisson": 0.3}
    for edge, stress, sag in (("supported", 1.238, 0.696), ("clamped", 0.75, 0.171)):
        assert tc.cap_stress(1.0, edge=edge, **plate) * 0.01 == pytest.approx(stress, abs=0.0006)
        assert tc.cap_sag(1.0, modulus=1.0, edge=edge, **plate) * 0.001 == pytest.approx(sag, abs=0.0006)


CAPS = [
    # kPa, radius mm, thickness mm, E GPa, nu
    (19.6, 50.0, 6.0, 2.8, 0.37),
    (58.8, 150.0, 12.0, 2.8, 0.37),
    (58.8, 30.0, 5.0, 2.38, 0.38),
    (100.0, 100.0, 10.0, 200.0, 0.30),
]


@pytest.mark.parametrize("edge", ["supported", "clamped"])
@pytest.mark.parametrize(("kpa", "radius", "thickness", "e", "nu"), CAPS)
def test_against_the_plate_equation(kpa, radius, thickness, e, nu, edge):
    """Solve D (1/r (r phi)')' = p r/2 for the slope phi, with phi(0) = 0 and the edge, in units of the radius."""
    stiffness = tc.plate_stiffness(modulus=e * 1e9, thickness=thickness / 1e3, poisson=nu)
    assert stiffness == pytest.approx(e * 1e9 * (thickness / 1e3) ** 3 / (12 * (1 - nu**2)))
    a = radius / 1e3
    load = kpa * 1e3 * a**3 / stiffness
    start = 1e-3
    x = np.linspace(start, 1.0, 400)
    answer = solve_bvp(
        lambda r, y: np.vstack([y[1], y[0] / r**2 - y[1] / r - load * r / 2]),
        lambda ya, yb: np.array([ya[0] - start * ya[1], yb[0] if edge == "clamped" else yb[1] + nu * yb[0]]),
        x,
        np.zeros((2, x.size)),
        tol=1e-8,
        max_nodes=50_000,
    )
    assert answer.success

    def sag_at(r):
        return quad(lambda s: float(answer.sol(s)[0]), r, 1.0, limit=200)[0] * a

    kw = {"radius": a, "thickness": thickness / 1e3, "poisson": nu, "edge": edge}
    found = tc.cap_sag(kpa * 1e3, modulus=e * 1e9, **kw)
    assert found == pytest.approx(sag_at(start), rel=1e-4)
    # moment at the centre (supported) or the edge (clamped) over t^2/6
    at = start if edge == "supported" else 1.0
    phi, slope = answer.sol(at)
    moment = stiffness / a * (slope + nu * phi / at)
    stress = abs(moment) * 6.0 / (thickness / 1e3) ** 2
    assert tc.cap_stress(kpa * 1e3, **kw) == pytest.approx(stress, rel=1e-4)
    volume, _ = quad(lambda r: 2.0 * math.pi * (r * a) * sag_at(r) * a, start, 1.0, limit=50)
    assert tc.cap_sag_volume(kpa * 1e3, modulus=e * 1e9, **kw) == pytest.approx(volume, rel=1e-4)


def test_big_acrylic_disc_is_a_shallow_part():
    # 5.2 MPa over 3 (3 + 0.37)/8 (10/150)^2, by hand
    by_hand = 5.2e6 * (10.0 / 150.0) ** 2 / (3.0 * 3.37 / 8.0)
    found = tc.cap_allowance(5.2e6, radius=0.15, thickness=0.010, poisson=0.37)
    assert found == pytest.approx(by_hand)
    assert by_hand / 1e3 == pytest.approx(18.29, abs=0.01)


@pytest.mark.parametrize(("bore", "kpa"), [(100, 30), (100, 5), (60, 20), (300, 20), (300, 5)])
def test_push_by_integrating_over_the_cap(bore, kpa):
    force, _ = quad(lambda r: 2.0 * math.pi * r * kpa * 1e3, 0.0, bore / 2e3)
    assert tc.cap_push(kpa * 1e3, bore=bore / 1e3) == pytest.approx(force)


def test_a_greased_ring_holds_almost_nothing():
    # 0.1 N/mm round a 100 mm bore (low end of friction charts, from memory): 31.4 N, lets go at 4.0 kPa
    hold = tc.ring_hold(bore=0.1)
    assert hold == pytest.approx(31.4, abs=0.02)
    assert tc.gauge_held(hold, bore=0.1, factor=1.0) == pytest.approx(4000.0)
    assert tc.gauge_held(hold, bore=0.1) == pytest.approx(1333.3, abs=0.1)
