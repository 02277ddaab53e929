"""Terminals and wiring: what must hold whatever the numbers, inverses, and every refusal."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import terminals, terminals_electrolysis, terminals_water, terminals_wiring
from divelog.physics.errors import OutOfRangeError
from divelog.physics.terminals import ContactMetal
from divelog.physics.terminals_electrolysis import Anode, Gas

few = settings(max_examples=120, deadline=None)

currents = st.floats(2.0, 30.0)
drops = st.floats(0.0, 0.2)
sigmas = st.floats(1e-3, 6.0)
areas = st.floats(5e-6, 300e-6)
gaps = st.floats(0.03, 0.2)


def refused(call: Callable[[], object], *words: str) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        call()
    for word in words:
        assert word in str(caught.value)


# Joints ---------------------------------------------------------------------------------------------


@few
@given(drop=drops, zero=st.floats(0.0, 0.2), current=currents)
def test_a_joint_gives_its_drop_back(drop: float, zero: float, current: float) -> None:
    found = terminals.joint_resistance(drop=drop + zero, zero=zero, current=current)
    assert found * current == pytest.approx(drop, abs=1e-12)
    assert terminals.joint_resistance(drop=zero, zero=zero, current=current) == 0.0


def test_refusals_of_a_joint() -> None:
    refused(lambda: terminals.joint_resistance(drop=0.01, current=1.99), "too little")
    refused(lambda: terminals.joint_resistance(drop=0.01, current=math.nan), "too little")
    refused(lambda: terminals.joint_resistance(drop=0.01, current=math.inf), "too little")
    refused(lambda: terminals.joint_resistance(drop=0.01, zero=0.02, current=5.0), "over its zero")
    refused(lambda: terminals.permitted_drop(current=1.0, baseline=None), "too little")
    refused(lambda: terminals.permitted_drop(current=5.0, baseline=-1.0), "baseline")
    refused(
        lambda: terminals.joint_resistance_u95(drop=0.01, current=5.0, drop_u95=-1.0, current_u95=0.1), "drop"
    )


def test_heat_of_a_joint() -> None:
    assert terminals.body_rise(power=terminals.JOINT_POWER) == pytest.approx(terminals.BODY_RISE)
    assert terminals.body_rise(power=0.5, thermal_resistance=6.0) == pytest.approx(3.0)
    assert terminals.joint_power(drop=0.0, current=5.0) == 0.0


@few
@given(drop=st.floats(0.0, 1.0), more=st.floats(0.0, 0.5), around=st.floats(270, 320))
def test_the_spot_warms_with_the_drop(drop: float, more: float, around: float) -> None:
    low = terminals.spot_temperature(drop=drop, surroundings=around)
    assert around <= low <= terminals.spot_temperature(drop=drop + more, surroundings=around)
    assert terminals.drop_at_spot_temperature(spot=low, surroundings=around) == pytest.approx(drop, abs=1e-7)


def test_the_spot_at_either_end() -> None:
    # Small drops warm with the square, great ones in proportion.
    small = [terminals.spot_temperature(drop=u, surroundings=300.0) - 300.0 for u in (1e-4, 2e-4)]
    assert small[1] / small[0] == pytest.approx(4.0, rel=1e-3)
    great = [terminals.spot_temperature(drop=u, surroundings=300.0) for u in (100.0, 200.0)]
    assert great[1] / great[0] == pytest.approx(2.0, rel=1e-3)
    refused(lambda: terminals.drop_at_spot_temperature(spot=290.0, surroundings=300.0), "rise of the spot")


def test_the_heat_limit_keeps_off_softening_tin() -> None:
    softening = terminals.drop_at_spot_temperature(spot=373.15, surroundings=293.15)
    assert terminals.HEAT_LIMIT < terminals.STOP_DROP < softening


@few
@given(metal=st.sampled_from(list(ContactMetal)), force=st.floats(1.0, 50.0))
def test_four_times_the_force_halves_a_contact(metal: ContactMetal, force: float) -> None:
    one, four = (terminals.clean_contact_resistance(metal=metal, force=f) for f in (force, 4 * force))
    assert four == pytest.approx(one / 2)


def test_contact_force_is_checked() -> None:
    refused(lambda: terminals.clean_contact_resistance(metal=ContactMetal.TIN, force=0.5), "contact force")


@few
@given(current=currents, baseline=st.floats(0.0, 0.02), u95=st.floats(0.0, 0.002))
def test_the_permitted_drop_is_the_least_of_its_terms(current: float, baseline: float, u95: float) -> None:
    alone = terminals.permitted_drop(current=current, baseline=None, drop_u95=u95)
    found = terminals.permitted_drop(current=current, baseline=baseline, drop_u95=u95)
    assert alone.own is None
    assert found.own is not None
    assert found.limit == min(alone.limit, found.own)
    assert found.own >= 1.5 * baseline * current
    assert found.limit <= terminals.HEAT_LIMIT
    assert found.limit * current <= terminals.JOINT_POWER + 1e-12
    assert (found.binds == "own baseline") == (found.own < alone.limit)


def test_a_joint_gets_worse() -> None:
    def worse(now: float, u95: float = 0.0002) -> bool:
        return terminals.joint_worse(resistance=now, baseline=0.001, u95=u95)

    assert not worse(0.0015)
    assert worse(0.00151)
    assert not worse(0.00151, u95=0.0003)


# Wires ----------------------------------------------------------------------------------------------


def test_refusals_of_wires() -> None:
    resistance = terminals_wiring.conductor_resistance_per_metre
    refused(lambda: resistance(area=1.2e-6), "standard section")
    refused(lambda: resistance(area=1.5e-6, temperature=400.0), "degC")
    refused(lambda: terminals_wiring.wire_gauge_area(40), "wire gauge")
    refused(lambda: terminals_wiring.wire_rating(area=0.0), "section")
    refused(lambda: terminals_wiring.short_circuit_time(area=1e-6, current=0.0), "current")
    refused(lambda: terminals_wiring.stall_current(volts=12.0, pack=0.0, wiring=0.0, motor=0.0), "motor")


def test_standard_sections_written_in_metres_are_found() -> None:
    for square_mm in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0):
        assert terminals_wiring.conductor_resistance_per_metre(area=square_mm * 1e-6) > 0.0


@few
@given(gauge=st.integers(0, 35))
def test_a_thinner_gauge_has_less_section(gauge: int) -> None:
    area = terminals_wiring.wire_gauge_area
    assert area(gauge + 1) < area(gauge)
    assert area(gauge) * 1e6 * 10.0 == pytest.approx(
        terminals_wiring.wire_rating(area=area(gauge), one_minute=True)
    )


def test_a_fuse_protects_the_wire_or_none_fits() -> None:
    found = terminals_wiring.fuse_range(continuous=5.0, peak=8.0, wire=15.0)
    assert (found.least, found.most, found.fits) == (12.0, 15.0, True)
    found = terminals_wiring.fuse_range(continuous=10.0, peak=8.0, wire=12.0)
    assert (found.least, found.most, found.fits) == (12.5, 12.0, False)


@few
@given(motor=st.floats(0.01, 5.0), pack=st.floats(0.0, 0.5), wiring=st.floats(0.0, 0.5))
def test_a_stall_is_less_with_every_resistance(motor: float, pack: float, wiring: float) -> None:
    found = terminals_wiring.stall_current(volts=12.0, pack=pack, wiring=wiring, motor=motor)
    assert found <= 12.0 / motor
    assert found * (motor + pack + wiring) == pytest.approx(12.0)


def test_feeds_are_held_tighter_than_the_drive() -> None:
    assert terminals_wiring.FEED_SHARE < terminals_wiring.DRIVE_SHARE


# Water ----------------------------------------------------------------------------------------------


@few
@given(sigma=sigmas, area=areas, gap=gaps, volts=st.floats(0.0, 60.0))
def test_leakage_goes_with_conductivity(sigma: float, area: float, gap: float, volts: float) -> None:
    ohms = terminals_water.water_resistance(conductivity=sigma, area=area, gap=gap)
    assert ohms * sigma == pytest.approx(
        terminals_water.water_resistance(conductivity=1.0, area=area, gap=gap)
    )
    current = terminals_water.leakage_current(volts=volts, resistance=ohms)
    assert (current == 0.0) == (volts <= terminals_water.POLARISATION)
    if volts > terminals_water.POLARISATION:
        back = terminals_water.conductivity_at_current(current=current, volts=volts, area=area, gap=gap)
        assert back == pytest.approx(sigma, rel=1e-9)


@few
@given(area=areas, other=areas, gap=gaps, wider=st.floats(1.0, 10.0))
def test_size_and_gap(area: float, other: float, gap: float, wider: float) -> None:
    def ohms(one: float, two: float | None, s: float) -> float:
        return terminals_water.water_resistance(conductivity=0.05, area=one, gap=s, other_area=two)

    assert ohms(area, other, gap) == pytest.approx(ohms(other, area, gap))
    assert ohms(area, area, gap) == ohms(area, None, gap)
    assert ohms(area, other, gap) <= ohms(area, other, gap * wider)
    far = ohms(area, None, 1e9)
    assert ohms(4 * area, None, 1e9) == pytest.approx(far / 2)
    assert far == pytest.approx(2 / (2 * math.pi * 0.05 * terminals_water.electrode_radius(area)))


def test_refusals_of_leakage() -> None:
    def ohms(sigma: float = 0.05, area: float = 118e-6, gap: float = 0.05) -> float:
        return terminals_water.water_resistance(conductivity=sigma, area=area, gap=gap)

    refused(lambda: ohms(sigma=0.0), "conductivity")
    refused(lambda: ohms(sigma=55.0), "conductivity")
    refused(lambda: ohms(area=0.0), "exposed metal")
    refused(lambda: ohms(gap=0.017), "too close")
    refused(lambda: terminals_water.leakage_current(volts=61.0, resistance=10.0), "pack voltage")
    refused(lambda: terminals_water.leakage_current(volts=6.0, resistance=0.0), "resistance")
    for volts in (1.5, 61.0):
        refused(
            lambda volts=volts: terminals_water.conductivity_at_current(
                current=0.002, volts=volts, area=118e-6, gap=0.05
            ),
            "no current",
        )


@few
@given(sigma=sigmas, area=areas, showing=st.floats(0.001, 1.0))
def test_grease_helps_with_the_square_root(sigma: float, area: float, showing: float) -> None:
    def current(metal: float) -> float:
        ohms = terminals_water.water_resistance(conductivity=sigma, area=metal, gap=1e6)
        return terminals_water.leakage_current(volts=12.0, resistance=ohms)

    greased = current(terminals_water.greased_area(area=area, showing=showing))
    assert greased / current(area) == pytest.approx(math.sqrt(showing), rel=1e-4)


def test_refusals_of_grease() -> None:
    refused(lambda: terminals_water.greased_area(area=1e-4, showing=0.0), "showing")
    refused(lambda: terminals_water.greased_area(area=1e-4, showing=1.1), "showing")
    refused(lambda: terminals_water.greased_area(area=0.0, showing=0.1), "exposed metal")
    refused(lambda: terminals_water.pinhole_ratio(area=1e-4, holes=-1, hole_radius=1e-4), "holes")
    refused(lambda: terminals_water.pinhole_ratio(area=1e-4, holes=1, hole_radius=0.0), "radius")


@few
@given(holes=st.integers(0, 10_000), more=st.integers(1, 100), radius=st.floats(1e-5, 1e-3))
def test_pinholes_pass_more_the_more_there_are(holes: int, more: int, radius: float) -> None:
    low, high = (
        terminals_water.pinhole_ratio(area=118e-6, holes=n, hole_radius=radius) for n in (holes, holes + more)
    )
    assert 0.0 <= low < high < 1.0


def test_the_leakage_limit() -> None:
    limit = terminals_water.leakage_limit
    assert limit(10 * 3600.0) == 0.010
    assert limit(1 * 3600.0) == pytest.approx(0.002)
    refused(lambda: limit(0.0), "capacity")


def test_isolation_at_its_ends() -> None:
    def ohms(plus: float, minus: float) -> float:
        return terminals_water.isolation_resistance(
            pack=12.0, to_plus=plus, to_minus=minus, meter_resistance=10e6
        )

    assert ohms(0.0, 0.0) == math.inf
    assert ohms(6.1, 6.1) == 0.0
    refused(lambda: ohms(8.0, 8.0), "read them again")
    refused(lambda: ohms(-1.0, 5.0), "reading to plus")


# Electrolysis ---------------------------------------------------------------------------------------


@few
@given(anode=st.sampled_from(list(Anode)), gas=st.sampled_from(list(Gas)), charge=st.floats(0.0, 1e6))
def test_electrolysis_goes_with_charge(anode: Anode, gas: Gas, charge: float) -> None:
    for made in (
        lambda q: terminals_electrolysis.metal_lost(anode=anode, charge=q),
        lambda q: terminals_electrolysis.gas_made(gas=gas, charge=q),
    ):
        assert made(0.0) == 0.0
        assert made(2 * charge) == pytest.approx(2 * made(charge))


def test_gas_follows_temperature_and_pressure() -> None:
    def made(temperature: float = 300.0, pressure: float = 1e5) -> float:
        return terminals_electrolysis.gas_made(
            gas=Gas.OXYGEN, charge=100.0, temperature=temperature, pressure=pressure
        )

    assert made(temperature=330.0) == pytest.approx(1.1 * made())
    assert made(pressure=2e5) == pytest.approx(made() / 2)
    refused(lambda: made(temperature=500.0), "degC")
    refused(lambda: made(pressure=0.0), "pressure")


def test_life_of_a_terminal() -> None:
    def life(mass: float, current: float) -> float:
        return terminals_electrolysis.terminal_life(anode=Anode.LEAD, mass=mass, current=current)

    assert life(1e-3, 0.0) == math.inf
    worn = terminals_electrolysis.metal_lost(anode=Anode.LEAD, charge=0.01 * life(1e-3, 0.01))
    assert worn == pytest.approx(0.30e-3)
    refused(lambda: life(0.0, 0.01), "mass")
    refused(lambda: life(1e-3, -0.01), "current")
