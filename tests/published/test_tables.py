"""Figures that stand in tables of the physics, against the publication or the law they were taken from."""

import math

import numpy as np
import pytest

from divelog.physics import battery_capacity, buoyancy_change, humidity, waves_wind
from divelog.physics.battery_chemistry import Chemistry
from divelog.physics.radio_bands import band
from divelog.physics.stability import righting_from_shifts
from divelog.physics.tube_materials import MATERIALS, assumed_out_of_round


@pytest.mark.parametrize(
    ("number", "floor", "top"),
    # WMO Beaufort scale, m/s at 10 m, as its table prints the classes.
    [(1, 0.3, 1.5), (3, 3.4, 5.4), (5, 8.0, 10.7), (6, 10.8, 13.8), (7, 13.9, 17.1), (8, 17.2, 20.7)],
)
def test_both_ends_of_a_beaufort_class(number: int, floor: float, top: float) -> None:
    assert waves_wind.beaufort_class(floor) == number == waves_wind.beaufort_class(top)
    assert (waves_wind.CLASS_FLOORS[number], waves_wind.CLASS_TOPS[number]) == (floor, top)


@pytest.mark.parametrize(
    ("name", "low", "high", "milliwatts"),
    [
        # ERC Recommendation 70-03, non-specific short range devices, effective radiated power; from memory.
        ("433 MHz", 433.05e6, 434.79e6, 10.0),
        ("868 MHz", 868.0e6, 868.6e6, 25.0),
        # ETSI EN 300 328: 100 mW, isotropic.
        ("2.4 GHz", 2400.0e6, 2483.5e6, 100.0),
    ],
)
def test_assumed_sets_send_no_more_than_the_band_allows(
    name: str, low: float, high: float, milliwatts: float
) -> None:
    found = band(name)
    assert found is not None
    assert low <= found.lowest <= found.frequency <= high
    decibels = 10.0 * math.log10(milliwatts)
    over_dipole = 2.15 if name != "2.4 GHz" else 0.0  # gain of a half-wave dipole, textbook
    assert decibels - 0.05 <= found.sent <= decibels + over_dipole


def test_gas_constant_of_water_vapour() -> None:
    # Specific gas constant of water of IAPWS R6-95(2018): 461.51805 J/(kg K).
    assert pytest.approx(461.51805, abs=0.01) == humidity.VAPOUR_GAS_CONSTANT


def test_heat_capacity_of_aluminium() -> None:
    # Handbook of Chemistry and Physics, from memory: 2.70 g/cm3 and 0.897 J/(g K).
    assert buoyancy_change.HEAT_CAPACITIES["aluminium"] == pytest.approx(2.70e6 * 0.897, rel=0.01)


@pytest.mark.parametrize(
    ("name", "expected"), [("acrylic", 0.25e-3), ("pvc", 0.25e-3), ("aluminium", 0.075e-3), ("grp", 0.30e-3)]
)
def test_departure_of_an_unmeasured_tube(name: str, expected: float) -> None:
    # By hand for a radius of 30 mm: plastic 0.5 % and 0.1 mm, metal 0.25 %, the rest 1 %.
    assert assumed_out_of_round(MATERIALS[name], radius=0.030) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("chemistry", "current", "expected"),
    [
        # Peukert's law by hand, (C/(H I))^(k-1), for 5 A h: lithium rated at one hour, k = 1.05; nickel at five
        # hours (IEC 61951), k = 1.07; lead at twenty hours (IEC 61056), k = 1.20.
        (Chemistry.LITHIUM_POLYMER, 5.0, 1.0),
        (Chemistry.LITHIUM_POLYMER, 10.0, 2.0**-0.05),
        (Chemistry.LITHIUM_IRON_PHOSPHATE, 20.0, 4.0**-0.05),
        (Chemistry.NICKEL_METAL_HYDRIDE, 1.0, 1.0),
        (Chemistry.NICKEL_CADMIUM, 5.0, 5.0**-0.07),
        (Chemistry.LEAD_ACID, 0.25, 1.0),
        (Chemistry.LEAD_ACID, 5.0, 20.0**-0.20),
    ],
)
def test_charge_left_at_a_current_by_its_rated_time(
    chemistry: Chemistry, current: float, expected: float
) -> None:
    factor = battery_capacity.rate_factor(chemistry=chemistry, capacity=5.0 * 3600.0, current=current)
    assert factor == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("offset", [0.0, 0.02, -0.03])
def test_righting_from_uneven_shifts(offset: float) -> None:
    # tan(angle) = offset + moment/(m GM), GM 12 mm and 4 kg; slope by numpy's polyfit. The shifts do not sum to nought.
    moments = [-0.0060, -0.0040, -0.0020, 0.0030, 0.0080, 0.0150]
    angles = [math.atan(offset + each / (4.0 * 0.012)) for each in moments]
    slope = np.polyfit(moments, np.tan(angles), 1)[0]
    assert righting_from_shifts(moments, angles, 4.0) == pytest.approx(0.012, rel=1e-9)
    assert 1.0 / (4.0 * slope) == pytest.approx(0.012, rel=1e-9)
