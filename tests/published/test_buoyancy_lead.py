"""Pieces of lead and foam against library densities."""

import gsw
import pytest
from iapws import IAPWS95

from divelog.physics import buoyancy_lead as lead

RHO_20 = float(IAPWS95(T=293.15, P=0.101325).rho)
RHO_10 = float(IAPWS95(T=283.15, P=0.101325).rho)
RHO_SEA = float(gsw.rho(35.165, gsw.CT_from_t(35.165, 15.0, 0.0), 0.0))


def test_shares_in_the_water():
    # 1 − ρ/ρ_s by hand; densities of lead, steel and brass from handbooks, from memory.
    assert lead.effect(RHO_20) == pytest.approx(0.91197, abs=1e-5)
    assert pytest.approx(1025.98, abs=0.01) == RHO_SEA
    assert lead.effect(RHO_SEA) == pytest.approx(0.90953, abs=1e-5)
    assert lead.effect(RHO_20, lead.STEEL_DENSITY) == pytest.approx(0.8728, abs=1e-4)
    assert lead.effect(RHO_20, lead.BRASS_DENSITY) == pytest.approx(0.8826, abs=1e-4)
    assert lead.effect(RHO_20, 10_900.0) == pytest.approx(0.908, abs=5e-4)


def test_taking_lead_for_six_grams():
    # 6.0/0.912 = 6.58 g in the water, 6.0 inside.
    assert lead.piece_for(0.0060, RHO_10) * 1e3 == pytest.approx(6.6, abs=0.05)
    assert lead.piece_for(0.0060, RHO_10, inside=True) == 0.0060


def test_foam_for_twenty_grams():
    # 20 g / (999.70 − 100) kg/m³ = 22.23 mL.
    assert lead.foam_for(0.020, RHO_10, 100.0) * 1e6 == pytest.approx(22.23, rel=1e-3)


def test_two_stations():
    # w_f = (1.5 + 10 × 0.3)/0.6 = 7.5 g, w_a = 2.5 g (statics, by hand).
    two = lead.split_between(0.010, 0.0015, 0.3, -0.3)
    assert (two.fore, two.aft) == (pytest.approx(0.0075), pytest.approx(0.0025))
