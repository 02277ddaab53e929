"""Properties of the leak test, the towel and the bubbles."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from divelog.physics import cylinder_leak as le
from divelog.physics.errors import OutOfRangeError

OUTSIDE = 101_325.0
volumes = st.floats(0.2e-3, 40e-3)
gauges = st.floats(2e3, 60e3) | st.floats(-34e3, -2e3)


@settings(deadline=None, max_examples=100)
@given(volumes, gauges, st.floats(0.01, 0.9), st.floats(180.0, 3600.0))
def test_conductance_makes_the_law_fall_as_read(volume, gauge, share, time):
    start, end = OUTSIDE + gauge, OUTSIDE + gauge * (1.0 - share)
    k = le.conductance(volume=volume, start=start, end=end, outside=OUTSIDE, time=time)
    # the law solved the other way: (P - Pa)/(P + Pa) dies away as exp(-2 Pa k t / V)
    left = gauge / (start + OUTSIDE) * math.exp(-2.0 * OUTSIDE * k * time / volume)
    assert OUTSIDE * (1.0 + left) / (1.0 - left) == pytest.approx(end, rel=1e-9)
    assert k > 0.0


@pytest.mark.parametrize("gauge", [20e3, 5e3, -10e3, -30e3])
@pytest.mark.parametrize("k", [1e-13, 6e-12])
def test_conductance_against_integration_of_the_law(gauge, k):
    volume, time = 3e-3, 900.0
    run = solve_ivp(
        lambda _, p: -(k / volume) * (p**2 - OUTSIDE**2),
        (0.0, time),
        [OUTSIDE + gauge],
        rtol=1e-12,
        atol=1e-9,
    )
    found = le.conductance(
        volume=volume, start=OUTSIDE + gauge, end=float(run.y[0, -1]), outside=OUTSIDE, time=time
    )
    assert found == pytest.approx(k, rel=1e-6)


@settings(deadline=None, max_examples=100)
@given(volumes, gauges, st.floats(0.0005, 0.03))
def test_small_fall_is_the_same_flow_within_two_per_cent(volume, gauge, share):
    start, end = OUTSIDE + gauge, OUTSIDE + gauge * (1.0 - share)
    k = le.conductance(volume=volume, start=start, end=end, outside=OUTSIDE, time=600.0)
    flow = le.throughput(volume=volume, fall=start - end, time=600.0)
    assert flow == pytest.approx(le.flow_through(k, inside=start, outside=OUTSIDE), rel=0.02)


@settings(deadline=None, max_examples=100)
@given(st.floats(-30e3, 60e3), st.floats(273.15, 313.15), st.floats(-3.0, 3.0))
def test_temperature_and_barometer_alone_are_no_fall(gauge, t, warmer):
    start = le.GaugeReading(gauge, OUTSIDE, t)
    later = start.absolute * (t + warmer) / t
    end = le.GaugeReading(later - 100_900.0, 100_900.0, t + warmer)
    assert le.corrected_fall(start, end) == pytest.approx(0.0, abs=1e-6)


@settings(deadline=None, max_examples=100)
@given(st.floats(1.0, 1e4), st.floats(1e-13, 1e-10))
def test_water_follows_head_and_viscosities_and_not_the_volume(head, k):
    def water(head=head, air=18e-6, wet=1.1e-3):
        return le.water_through(k, head=head, air_viscosity=air, water_viscosity=wet)

    assert water(head=2.0 * head) == pytest.approx(2.0 * water())
    assert water(air=36e-6) == pytest.approx(2.0 * water())
    assert water(wet=2.2e-3) == pytest.approx(water() / 2.0)


@settings(deadline=None, max_examples=100)
@given(gauges, st.floats(1e3, 6e4), st.floats(1e-11, 1e-9), st.floats(1.0, 10.0))
def test_allowed_flow_turns_back_into_the_water_allowed(test, head, water, factor):
    flow = le.allowed_throughput(
        water=water,
        head=head,
        test=test,
        outside=OUTSIDE,
        air_viscosity=18e-6,
        water_viscosity=1.1e-3,
        factor=factor,
    )
    k = flow / abs((OUTSIDE + test) ** 2 - OUTSIDE**2)
    back = le.water_through(k, head=head, air_viscosity=18e-6, water_viscosity=1.1e-3)
    assert back * factor == pytest.approx(water)


@settings(deadline=None, max_examples=100)
@given(volumes, st.floats(1e-5, 1e-2), st.floats(10.0, 2000.0))
def test_fall_goes_down_and_hold_up_with_the_volume(volume, flow, noise):
    assert le.allowed_fall(flow, volume=2.0 * volume, hold=600.0) == pytest.approx(
        le.allowed_fall(flow, volume=volume, hold=600.0) / 2.0
    )
    hold = le.shortest_hold(flow, noise_u95=noise, volume=volume)
    assert le.shortest_hold(flow, noise_u95=noise, volume=2.0 * volume) == pytest.approx(2.0 * hold)
    # in the shortest hold the fall allowed is three standard deviations of the noise
    assert le.allowed_fall(flow, volume=volume, hold=hold) == pytest.approx(1.5 * noise)
    tenfold = le.shortest_hold(flow, noise_u95=noise, volume=volume, sigmas=10.0)
    assert tenfold == pytest.approx(hold * 10.0 / 3.0)


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 500.0), st.floats(0.0, 100.0), st.floats(0.0, 2.0))
def test_noise_of_a_fall_adds_in_squares(gauge, barometer, thermometer):
    def noise(g=gauge, b=barometer, t=thermometer):
        return le.fall_u95(gauge=g, barometer=b, thermometer=t, pressure=121_325.0, temperature=293.15)

    parts = noise(b=0.0, t=0.0), noise(g=0.0, t=0.0), noise(g=0.0, b=0.0)
    assert noise() == pytest.approx(math.sqrt(sum(p * p for p in parts)), abs=1e-9)


def test_scale_steps():
    assert le.step_u95(500.0) == pytest.approx(2.0 * 500.0 / math.sqrt(12.0))
    assert le.step_u95(500.0, by_eye=True) == 500.0


@settings(deadline=None, max_examples=100)
@given(st.floats(1e-12, 1e-9), st.floats(1e-3, 2e-2), st.floats(1e3, 6e4))
def test_hole_passes_the_water_it_was_found_from(flow, length, head):
    width = le.hole_diameter(flow, length=length, head=head, water_viscosity=1.3e-3)
    back = math.pi * width**4 * head / (128.0 * 1.3e-3 * length)
    assert back == pytest.approx(flow)


def test_bubbles_and_pores():
    one = le.bubble_flow(diameter=2e-3, interval=1.0, pressure=OUTSIDE)
    assert le.bubble_flow(diameter=4e-3, interval=1.0, pressure=OUTSIDE) == pytest.approx(8.0 * one)
    assert le.pore_holds(2e-5, surface_tension=0.07) == pytest.approx(
        2.0 * le.pore_holds(4e-5, surface_tension=0.07)
    )


@settings(deadline=None, max_examples=100)
@given(st.floats(273.15, 313.15), st.floats(0.0, 60e3))
def test_the_false_fall_ends_where_still_air_pumped_slowly_stands(t, gauge):
    rise, fall = le.false_fall(start=OUTSIDE, pumped=OUTSIDE + gauge, temperature=t)
    assert rise >= 0.0
    # cooling at constant volume from T + rise to T
    assert (OUTSIDE + gauge - fall) / t == pytest.approx((OUTSIDE + gauge) / (t + rise))


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 1e-4), st.floats(0.0, 1e-4))
def test_towel_uncertainty_counts_two_weighings(scale, handling):
    assert le.found_u95(scale, handling=handling) ** 2 == pytest.approx(2.0 * scale**2 + handling**2)


def test_found_water_scales_with_head():
    rate = le.found_rate(1e-4, time=1800.0, density=1000.0, head=9_800.0, planned_head=19_600.0)
    assert rate == pytest.approx(2.0 * 1e-4 / 1000.0 / 1800.0)
    assert le.found_rate(0.0, time=1800.0, density=1000.0, head=1.0, planned_head=1.0) == 0.0


good = le.GaugeReading(20e3, OUTSIDE, 293.15)


@pytest.mark.parametrize(
    "call",
    [
        lambda: le.air_viscosity(200.0),
        lambda: le.air_viscosity(400.0),
        lambda: le.corrected_fall(good, le.GaugeReading(20e3, OUTSIDE, 0.0)),
        lambda: le.corrected_fall(le.GaugeReading(-OUTSIDE, OUTSIDE, 293.15), good),
        lambda: le.throughput(volume=0.0, fall=1.0, time=1.0),
        lambda: le.throughput(volume=1.0, fall=1.0, time=0.0),
        lambda: le.moles(1.0, temperature=0.0),
        lambda: le.conductance(volume=1e-3, start=121e3, end=OUTSIDE, outside=OUTSIDE, time=600.0),
        lambda: le.conductance(volume=1e-3, start=121e3, end=81e3, outside=OUTSIDE, time=600.0),
        lambda: le.conductance(volume=1e-3, start=-1.0, end=-2.0, outside=OUTSIDE, time=600.0),
        lambda: le.conductance(volume=1e-3, start=121e3, end=120e3, outside=0.0, time=600.0),
        lambda: le.false_fall(start=OUTSIDE, pumped=90e3, temperature=293.15),
        lambda: le.water_through(1e-12, head=-1.0, air_viscosity=18e-6, water_viscosity=1e-3),
        lambda: le.water_through(1e-12, head=1.0, air_viscosity=18e-6, water_viscosity=0.0),
        lambda: le.allowed_throughput(
            water=1e-10, head=1e4, test=0.0, outside=OUTSIDE, air_viscosity=18e-6, water_viscosity=1e-3
        ),
        lambda: le.allowed_throughput(
            water=1e-10, head=1e4, test=-2e5, outside=OUTSIDE, air_viscosity=18e-6, water_viscosity=1e-3
        ),
        lambda: le.allowed_throughput(
            water=1e-10, head=0.0, test=1e4, outside=OUTSIDE, air_viscosity=18e-6, water_viscosity=1e-3
        ),
        lambda: le.allowed_fall(1e-3, volume=1e-3, hold=0.0),
        lambda: le.step_u95(0.0),
        lambda: le.fall_u95(gauge=1.0, barometer=1.0, thermometer=1.0, pressure=0.0, temperature=1.0),
        lambda: le.shortest_hold(0.0, noise_u95=1.0, volume=1.0),
        lambda: le.shortest_hold(1.0, noise_u95=-1.0, volume=1.0),
        lambda: le.bubble_flow(diameter=0.0, interval=1.0, pressure=1.0),
        lambda: le.hole_diameter(0.0, length=1.0, head=1.0, water_viscosity=1.0),
        lambda: le.pore_holds(0.0, surface_tension=0.07),
        lambda: le.found_u95(-1.0),
        lambda: le.found_rate(-1e-5, time=1.0, density=1.0, head=1.0, planned_head=1.0),
        lambda: le.found_rate(1e-5, time=1.0, density=1.0, head=float("nan"), planned_head=1.0),
    ],
)
def test_refuses_what_lies_outside(call):
    with pytest.raises(OutOfRangeError):
        call()
