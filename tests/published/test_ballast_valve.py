"""Torricelli's law and a blower against quadrature and hand figures."""

import pytest
from iapws import IAPWS95
from scipy.integrate import quad

from divelog.physics import ballast_valve as valve


@pytest.mark.parametrize(
    ("mm", "head", "discharge", "ml_s"),
    [
        # C_d·A·√(2gΔH) by hand; coefficients: sharp edge 0.61, short tube 0.82 (from memory).
        (4, 1.0, 0.61, 33.95),
        (3, 0.30, 0.61, 10.46),
        (4, 1.0, 0.82, 45.64),
    ],
)
def test_flow_through_a_hole(mm, head, discharge, ml_s):
    got = valve.orifice_flow(valve.hole_area(mm / 1e3), head, discharge)
    assert got * 1e6 == pytest.approx(ml_s, rel=1e-3)


def test_draining_a_tank():
    # 0.01 m², 5 mm hole, C 0.61, from 0.30 m: ∫A·dz/Q(z).
    effective = 0.61 * valve.hole_area(0.005)
    got = valve.passive_time(0.01, effective, 0.30, 0.0)
    wanted = quad(lambda z: 0.01 / valve.orifice_flow(valve.hole_area(0.005), z, 0.61), 0.0, 0.30)[0]
    assert got == pytest.approx(wanted, rel=1e-6)
    assert got == pytest.approx(206.5, rel=1e-3)


def test_area_from_kv():
    # Definition (IEC 60534, from memory): K_v m³/h of water of 1000 kg/m³ at 1 bar, so C·A = K_v/3600·√(ρ/2Δp).
    assert valve.effective_area_of_kv(1.0) * 1e6 == pytest.approx(19.64, rel=1e-3)
    head = 1e5 / (1000.0 * 9.80665)
    back = valve.orifice_flow(valve.effective_area_of_kv(0.5), head, discharge=1.0)
    assert back * 3600 == pytest.approx(0.5, rel=1e-9)


def test_small_air_vents():
    # With ρ_air/ρ_w = (1/29)², a vent of 1/29 the area takes half the pressure: 1/√2 of the flow; 1/10 costs 6 %.
    density = 1000.0 / 29**2
    assert valve.with_air_vent(1e-5, 1e-5 / 29, 1000.0, density) / 1e-5 == pytest.approx(2**-0.5, rel=1e-9)
    assert valve.with_air_vent(1e-5, 1e-6, 1000.0, density) / 1e-5 == pytest.approx(0.94, abs=0.006)


def test_blower():
    # 1.5 L, outlet 0.15 m down, 6 L/min free, 4 kPa at the end, 10 degC water; hand figure.
    rho = IAPWS95(T=283.15, P=0.101325).rho
    assert rho * 9.80665 * 0.15 == pytest.approx(1470.6, abs=0.5)
    got = valve.blower_time(1.5e-3, 0.15, 1e-4, 4000.0, rho, 101_325.0)
    assert got == pytest.approx(24.06, rel=1e-3)
