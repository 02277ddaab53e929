"""Terminals and wiring against printed tables, a water library and second derivations."""

import math

import gsw
import numpy as np
import pytest
from scipy import constants

from divelog.physics import terminals, terminals_electrolysis, terminals_water, terminals_wiring
from divelog.physics.terminals import ContactMetal
from divelog.physics.terminals_electrolysis import Anode, Gas
from divelog.physics.water_conductivity import conductivity_at

MM2 = 1e-6


def celsius(degrees: float) -> float:
    return degrees + 273.15


# Joints ---------------------------------------------------------------------------------------------


# Source: Ohm's law by hand.
@pytest.mark.parametrize(
    ("drop", "current", "ohms", "watts"),
    [(0.020, 5.0, 4.00e-3, 0.100), (0.050, 15.0, 3.3333e-3, 0.75)],
)
def test_resistance_of_a_joint(drop: float, current: float, ohms: float, watts: float) -> None:
    assert terminals.joint_resistance(drop=drop, current=current) == pytest.approx(ohms, rel=1e-4)
    assert terminals.joint_power(drop=drop, current=current) == pytest.approx(watts, rel=1e-9)


def test_resistance_of_a_joint_and_its_spread() -> None:
    # Source: second derivation: a seeded draw of 400,000 pairs (numpy), 0.2 mV and 0.1 A one s.d.
    rng = np.random.default_rng(20_261_125)
    drops = rng.normal(0.020, 0.0002, 400_000)
    currents = rng.normal(5.0, 0.1, 400_000)
    u95 = terminals.joint_resistance_u95(drop=0.020, current=5.0, drop_u95=0.0004, current_u95=0.2)
    assert u95 == pytest.approx(2 * 0.0894e-3, rel=1e-3)
    assert u95 == pytest.approx(2 * float(np.std(drops / currents)), rel=0.01)


@pytest.mark.parametrize(
    ("metal", "force", "milliohm"),
    [
        (ContactMetal.COPPER, 1.0, 0.432),
        (ContactMetal.COPPER, 10.0, 0.137),
        (ContactMetal.COPPER, 50.0, 0.061),
        (ContactMetal.TIN, 10.0, 0.322),
    ],
)
def test_clean_contact(metal: ContactMetal, force: float, milliohm: float) -> None:
    # Source: second derivation by hand from ρ/(2a), F = H π a².
    found = terminals.clean_contact_resistance(metal=metal, force=force)
    assert found * 1e3 == pytest.approx(milliohm, rel=0.01)


def test_clean_copper_contact_against_the_empirical_law() -> None:
    # Source: public contact-physics pages, R = c F^-m with c 0.08 to 0.14 mΩ, m 0.5 to 1 for copper; F in kgf (from
    # memory). 1 kgf is where m does not matter.
    found = terminals.clean_contact_resistance(metal=ContactMetal.COPPER, force=9.80665)
    assert 0.08e-3 <= found <= 0.14e-3


def test_lorenz_number() -> None:
    # Source: π²/3 (k/e)² with the constants of scipy.
    assert pytest.approx(math.pi**2 / 3 * (constants.k / constants.e) ** 2, rel=2e-3) == (
        terminals.LORENZ_NUMBER
    )


# Source: by hand from T² = T0² + U²/(4L) with scipy's constants; T0 20 degC (and 10 degC for the last).
@pytest.mark.parametrize(
    ("millivolts", "around", "rise"),
    [(0, 20, 0.0), (10, 20, 1.74), (20, 20, 6.91), (50, 20, 40.84), (100, 20, 140.9), (120, 20, 190.05),
     (50, 10, 42.10)],
)  # fmt: skip
def test_rise_of_the_spot(millivolts: float, around: float, rise: float) -> None:
    found = terminals.spot_temperature(drop=millivolts / 1e3, surroundings=celsius(around))
    assert found - celsius(around) == pytest.approx(rise, abs=0.05)


# Source: softening and melting volts of contact metals, Holm 1967 and Slade 2014, from memory; temperatures CRC.
# Zinc and lead melt within 15 %, the rest within 0.02 V: the relation takes no account of the alloy.
@pytest.mark.parametrize(
    ("degrees", "published"),
    [
        (100, 0.07),
        (232, 0.13),
        (200, 0.12),
        (327.5, 0.19),
        (170, 0.10),
        (419.5, 0.17),
        (190, 0.12),
        (1084.6, 0.43),
    ],
)
def test_softening_and_melting_volts(degrees: float, published: float) -> None:
    found = terminals.drop_at_spot_temperature(spot=celsius(degrees), surroundings=celsius(20))
    assert found == pytest.approx(published, rel=0.16)


def test_great_drops_follow_3200_kelvin_a_volt() -> None:
    # Source: public contact-physics pages, T_max about 3200 K a volt.
    assert terminals.spot_temperature(drop=2.0, surroundings=293.15) / 2.0 == pytest.approx(3200, rel=0.01)


@pytest.mark.parametrize(
    ("current", "baseline", "limit", "binds"),
    [
        (5.0, 1.0e-3, 7.5e-3, "own baseline"),
        (10.0, None, 50.0e-3, "heat of the spot"),
        (20.0, None, 33.333e-3, "heat of the joint"),
        (2.0, 0.2e-3, 1.0e-3, "own baseline"),
    ],
)
def test_permitted_drop(current: float, baseline: float | None, limit: float, binds: str) -> None:
    # Source: by hand: 1.5 R I; 0.667 W over I; R I plus three standard deviations of 0.2 mV.
    found = terminals.permitted_drop(current=current, baseline=baseline, drop_u95=0.0004)
    assert found.limit == pytest.approx(limit, abs=1e-6)
    assert found.binds == binds


# Wires ----------------------------------------------------------------------------------------------

# Source: IEC 60228, class 5, as reproduced in two public tables: mm², Ω/km plain, tinned.
IEC_60228_CLASS_5 = [
    (0.5, 39.0, 40.1), (0.75, 26.0, 26.7), (1.0, 19.5, 20.0), (1.5, 13.3, 13.7), (2.5, 7.98, 8.21), (4, 4.95, 5.09),
    (6, 3.30, 3.39), (10, 1.91, 1.95),
]  # fmt: skip


@pytest.mark.parametrize(("section", "plain", "tinned"), IEC_60228_CLASS_5)
def test_wire_resistance(section: float, plain: float, tinned: float) -> None:
    for coated, expected in ((False, plain), (True, tinned)):
        found = terminals_wiring.conductor_resistance_per_metre(area=section * MM2, tinned=coated)
        assert found * 1e3 == pytest.approx(expected, rel=1e-12)
        drop = terminals_wiring.wire_drop(ohm_per_metre=found, length=1.0, current=10.0)
        assert drop == pytest.approx(expected / 100, rel=1e-9)


# Source: correction factors of IEC 60228 as reproduced by a cable maker: degC, K_t (R = R20 / K_t).
@pytest.mark.parametrize(
    ("degrees", "factor"),
    [(5, 1.064), (10, 1.042), (15, 1.020), (20, 1.000), (25, 0.980), (30, 0.962), (40, 0.926), (50, 0.893),
     (60, 0.862), (75, 0.820), (90, 0.781), (100, 0.758)],
)  # fmt: skip
def test_wire_resistance_by_temperature(degrees: float, factor: float) -> None:
    found = terminals_wiring.conductor_resistance_per_metre(area=1.5 * MM2, temperature=celsius(degrees))
    assert 13.3e-3 / found == pytest.approx(factor, abs=6e-4)


def test_drop_of_a_warm_wire() -> None:
    # Source: by hand: 7.98 mΩ/m × 0.8 m × 15 A × 1.08.
    metre = terminals_wiring.conductor_resistance_per_metre(area=2.5 * MM2, temperature=celsius(40))
    drop = terminals_wiring.wire_drop(ohm_per_metre=metre, length=0.8, current=15.0)
    assert drop == pytest.approx(0.1034, abs=1e-4)


# Source: ASTM B258 sections, from memory.
@pytest.mark.parametrize(("gauge", "section"), [(12, 3.31), (14, 2.08), (16, 1.31), (18, 0.823)])
def test_wire_gauge(gauge: int, section: float) -> None:
    assert terminals_wiring.wire_gauge_area(gauge) / MM2 == pytest.approx(section, rel=2e-3)


# Source: boat practice in open air for wire of 105 degC insulation, as reproduced by marine electricians: AWG, A.
@pytest.mark.parametrize(("gauge", "open_air"), [(16, 25), (14, 35), (12, 45), (10, 60)])
def test_rating_in_a_closed_cylinder_is_well_below_open_air(gauge: int, open_air: float) -> None:
    found = terminals_wiring.wire_rating(area=terminals_wiring.wire_gauge_area(gauge))
    assert 0.2 * open_air < found < 0.5 * open_air


def test_short_and_stall() -> None:
    # Source: by hand: (115/100)² s; 12.6 V over 655 mΩ.
    assert terminals_wiring.short_circuit_time(area=1.0 * MM2, current=100.0) == pytest.approx(1.3225)
    stall = terminals_wiring.stall_current(volts=12.6, pack=0.035, wiring=0.020, motor=0.600)
    assert stall == pytest.approx(19.24, abs=0.01)


# Water ----------------------------------------------------------------------------------------------


# Source: by hand from (1/(πσ))(1/a - 1/s), a = √(A/2π), and (V - 1.5 V)/R: S/m, m², m, V, Ω, mA.
@pytest.mark.parametrize(
    ("sigma", "area", "gap", "volts", "ohms", "milliamps"),
    [
        (0.035, 118e-6, 0.05, 12.8, 1916.7, 5.896),
        (0.035, 118e-6, 0.05, 6.4, 1916.7, 2.556),
        (0.035, 11.8e-6, 0.05, 12.8, 6454.5, 1.751),
        (0.08, 300e-6, 0.08, 12.8, 526.1, 21.48),
        (5.307, 118e-6, 0.05, 6.4, 12.64, 387.6),
    ],
)
def test_leakage(sigma: float, area: float, gap: float, volts: float, ohms: float, milliamps: float) -> None:
    found = terminals_water.water_resistance(conductivity=sigma, area=area, gap=gap)
    assert found == pytest.approx(ohms, rel=1e-3)
    current = terminals_water.leakage_current(volts=volts, resistance=found)
    assert current * 1e3 == pytest.approx(milliamps, rel=1e-3)


def test_a_lone_hemisphere() -> None:
    # Source: worked textbook problem: hemisphere of 25 mm in ground of 1e-6 S/m has 6.37 MΩ to far away. The
    # formula goes with 1/σ, so 1 S/m and six places.
    area = 2 * math.pi * 0.025**2
    pair = terminals_water.water_resistance(conductivity=1.0, area=area, gap=1e9)
    assert pair / 2 * 1e6 == pytest.approx(6.37e6, rel=1e-3)


# Source: exact series for two equal spheres in full space, R = 1/(2πσ·a·Σ sinh u/sinh nu), cosh u = s/2a (Maxwell;
# Smythe, from memory), summed here; a half space doubles it.
@pytest.mark.parametrize(("ratio", "error"), [(4.0, 0.0058), (6.0, 0.0010)])
def test_gap_term_against_the_two_sphere_series(ratio: float, error: float) -> None:
    radius = 0.00433
    u = math.acosh(ratio / 2)
    series = sum(math.sinh(u) / math.sinh(n * u) for n in range(1, 200))
    exact = 1 / (math.pi * 0.035 * radius * series)
    found = terminals_water.water_resistance(
        conductivity=0.035, area=2 * math.pi * radius**2, gap=ratio * radius
    )
    assert found / exact - 1 == pytest.approx(error, rel=0.05)


def test_a_tab_as_hemisphere_and_as_driven_rod() -> None:
    # Source: driven-rod formula of earthing handbooks, (ln(4l/r) - 1)/(2πσl): a tab 6.35 × 0.8 mm, 7.9 mm long.
    area = 2 * 7.9e-3 * (6.35e-3 + 0.8e-3) + 6.35e-3 * 0.8e-3
    assert area == pytest.approx(118e-6, rel=0.01)
    hemisphere = 1 / (2 * math.pi * terminals_water.electrode_radius(area))
    rod = (math.log(4 * 7.9 / ((6.35 + 0.8) / 4)) - 1) / (2 * math.pi * 7.9e-3)
    assert hemisphere == pytest.approx(rod, rel=0.035)


def test_current_in_a_numerical_field() -> None:
    # Source: second derivation: two point sources on an insulating plane, potential 1/(2πσr); the potential averaged
    # over one hemisphere (numpy, Gauss-Legendre by angle) less that over the other.
    radius, gap, sigma = 0.00433, 0.05, 0.035
    nodes, weights = np.polynomial.legendre.leggauss(64)
    cosines = 0.5 * (nodes + 1)
    angles = np.linspace(0, 2 * math.pi, 129)[:-1]
    x = radius * np.sqrt(1 - cosines**2)[:, None] * np.cos(angles)[None, :]
    distance = np.sqrt(radius**2 + gap**2 - 2 * gap * x)
    mean = float((weights * 0.5) @ (1 / distance).mean(axis=1))
    ohms = 2 * (1 / radius - mean) / (2 * math.pi * sigma)
    found = terminals_water.water_resistance(conductivity=sigma, area=2 * math.pi * radius**2, gap=gap)
    assert found == pytest.approx(ohms, rel=2e-4)


@pytest.mark.parametrize(("volts", "two", "ten"), [(12.8, 119e-4, 594e-4), (6.4, 274e-4, 1369e-4)])
def test_conductivity_at_a_limit(volts: float, two: float, ten: float) -> None:
    # Source: by hand, solving the resistance of the case above for σ.
    for current, expected in ((0.002, two), (0.010, ten)):
        found = terminals_water.conductivity_at_current(current=current, volts=volts, area=118e-6, gap=0.05)
        assert found == pytest.approx(expected, rel=3e-3)


# Source: gsw's C_from_SP, practical salinity scale 1978: a table of waters, S/m at 25 degC; brackish water at 15 degC.
def test_salt_waters_are_over_the_chloride_limit() -> None:
    for salinity in (3.0, 10.0, 35.0):
        sigma = float(gsw.C_from_SP(salinity, 25.0, 0.0)) / 10
        assert sigma > terminals_water.CHLORIDE_LIMIT
    at_25, at_15 = (float(gsw.C_from_SP(10.0, t, 0.0)) / 10 for t in (25.0, 15.0))
    assert conductivity_at(at_25, celsius(15), 0.02) == pytest.approx(at_15, rel=0.01)


@pytest.mark.parametrize(
    ("showing", "milliamps"), [(1.0, 5.90), (0.5, 4.06), (0.2, 2.51), (0.1, 1.75), (0.05, 1.23)]
)
def test_grease(showing: float, milliamps: float) -> None:
    # Source: by hand, a·√ε for a in the resistance above.
    area = terminals_water.greased_area(area=118.05e-6, showing=showing)
    ohms = terminals_water.water_resistance(conductivity=0.035, area=area, gap=0.05)
    current = terminals_water.leakage_current(volts=12.8, resistance=ohms)
    assert current * 1e3 == pytest.approx(milliamps, rel=5e-3)


@pytest.mark.parametrize(
    ("holes", "radius", "ratio"), [(100, 1e-4, 0.595), (10, 1e-4, 0.128), (100, 2e-4, 0.746)]
)
def test_pinholes(holes: int, radius: float, ratio: float) -> None:
    # Source: by hand, 1/(2πa) and 1/(4 n r) in series.
    found = terminals_water.pinhole_ratio(area=118.05e-6, holes=holes, hole_radius=radius)
    assert found == pytest.approx(ratio, rel=2e-3)


@pytest.mark.parametrize(
    ("pack", "plus", "minus", "megohm"),
    [(12.0, 5.5, 5.5, 0.909), (12.6, 5.0, 6.0, 1.455), (12.0, 6.0, 6.0, 0.0)],
)
def test_isolation(pack: float, plus: float, minus: float, megohm: float) -> None:
    # Source: by hand, R_m (V/(V1 + V2) - 1) with 10 MΩ.
    found = terminals_water.isolation_resistance(
        pack=pack, to_plus=plus, to_minus=minus, meter_resistance=10e6
    )
    assert found / 1e6 == pytest.approx(megohm, abs=1e-3)


@pytest.mark.parametrize(("leak_plus", "leak_minus"), [(3e6, 5e6), (2e6, 40e6), (20e6, 20e6)])
def test_isolation_against_a_solved_circuit(leak_plus: float, leak_minus: float) -> None:
    # Source: second derivation: node equations of two leaks to the metal and a 10 MΩ meter (numpy).
    pack, meter = 12.0, 10e6

    def reading(plus_side: bool) -> float:
        to_plus = 1 / leak_plus + (1 / meter if plus_side else 0.0)
        to_minus = 1 / leak_minus + (0.0 if plus_side else 1 / meter)
        (metal,) = np.linalg.solve([[to_plus + to_minus]], [pack * to_plus])
        return pack - metal if plus_side else metal

    found = terminals_water.isolation_resistance(
        pack=pack, to_plus=reading(True), to_minus=reading(False), meter_resistance=meter
    )
    assert found == pytest.approx(1 / (1 / leak_plus + 1 / leak_minus), rel=1e-9)


# Electrolysis ---------------------------------------------------------------------------------------


def test_faraday_and_gas_constants() -> None:
    # Source: SI 2019 through scipy.
    assert pytest.approx(constants.e * constants.N_A, rel=1e-9) == terminals_electrolysis.FARADAY
    assert pytest.approx(constants.R, rel=1e-9) == terminals_electrolysis.GAS_CONSTANT


# Source: molar masses (CRC) over z F, grams an A h.
@pytest.mark.parametrize(
    ("anode", "grams"),
    [(Anode.COPPER, 1.1855), (Anode.LEAD, 3.865), (Anode.IRON, 1.042), (Anode.ALUMINIUM, 0.3356)],
)
def test_metal_lost_an_ampere_hour(anode: Anode, grams: float) -> None:
    assert terminals_electrolysis.metal_lost(anode=anode, charge=3600.0) * 1e3 == pytest.approx(
        grams, rel=5e-4
    )


@pytest.mark.parametrize(
    ("gas", "litres"), [(Gas.HYDROGEN, 0.456), (Gas.OXYGEN, 0.228), (Gas.CHLORINE, 0.456)]
)
def test_gas_an_ampere_hour(gas: Gas, litres: float) -> None:
    # Source: R T/(z F p) with scipy's constants; public battery-room figures 0.425 (0 degC: 0.418) and 0.457 L an A h.
    assert terminals_electrolysis.gas_made(gas=gas, charge=3600.0) * 1e3 == pytest.approx(litres, abs=5e-4)


def test_hydrogen_when_cold() -> None:
    # Source: molar volume of the ideal gas at 0 degC, scipy.
    found = terminals_electrolysis.gas_made(gas=Gas.HYDROGEN, charge=3600.0, temperature=celsius(0))
    moles = 3600.0 / (2 * constants.e * constants.N_A)
    assert found == pytest.approx(moles * constants.physical_constants[
        "molar volume of ideal gas (273.15 K, 101.325 kPa)"][0], rel=1e-6)  # fmt: skip


def test_an_hour_in_the_wet() -> None:
    # Source: by hand, Faraday: 5.896 mA and 0.894 A for an hour on copper; a tab of 0.36 g.
    hour = 3600.0
    lost = terminals_electrolysis.metal_lost(anode=Anode.COPPER, charge=5.896e-3 * hour)
    assert lost * 1e6 == pytest.approx(6.99, rel=2e-3)
    lost = terminals_electrolysis.metal_lost(anode=Anode.COPPER, charge=0.894 * hour)
    assert lost * 1e3 == pytest.approx(1.060, rel=2e-3)
    gas = terminals_electrolysis.gas_made(gas=Gas.HYDROGEN, charge=0.894 * hour)
    assert gas * 1e6 == pytest.approx(408, rel=2e-3)
    life = terminals_electrolysis.terminal_life(anode=Anode.COPPER, mass=0.36e-3, current=5.9e-3)
    assert life / hour == pytest.approx(15.5, rel=5e-3)
    life = terminals_electrolysis.terminal_life(anode=Anode.COPPER, mass=0.36e-3, current=0.894)
    assert life / 60 == pytest.approx(6.1, rel=5e-3)
