"""Properties of the air shut in a cylinder."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import cylinder as cy
from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import STANDARD_ATMOSPHERE, ZERO_CELSIUS

warm = st.floats(ZERO_CELSIUS, ZERO_CELSIUS + 45.0)
damp = st.floats(0.0, 1.0)
barometer = st.floats(95_000.0, 105_000.0)


def closed(pressure=STANDARD_ATMOSPHERE, temperature=293.15, humidity=0.6, volume=3e-3):
    return cy.ClosedAir(pressure, temperature, humidity, volume)


@settings(deadline=None, max_examples=100)
@given(warm, damp, barometer)
def test_nothing_changed_is_no_gauge(t, rh, b):
    air = cy.inside_air(closed(b, t, rh), temperature=t, outside=b)
    assert air.gauge == pytest.approx(0.0, abs=1e-6)
    assert air.absolute == pytest.approx(air.dry + air.vapour)


@settings(deadline=None, max_examples=100)
@given(warm, warm, damp, barometer)
def test_falling_barometer_raises_the_gauge_by_its_fall(t1, t2, rh, b):
    first = cy.inside_air(closed(b, t1, rh), temperature=t2, outside=b)
    later = cy.inside_air(closed(b, t1, rh), temperature=t2, outside=b - 700.0)
    assert later.gauge - first.gauge == pytest.approx(700.0, abs=1e-6)


@settings(deadline=None, max_examples=100)
@given(warm, damp, st.floats(0.1, 10.0))
def test_warmer_is_higher_and_the_slope_without_condensation_is_the_gas_law(t, rh, more):
    start = closed(temperature=t, humidity=rh)
    hotter = cy.inside_air(start, temperature=t + more, outside=STANDARD_ATMOSPHERE)
    assert hotter.gauge == pytest.approx(STANDARD_ATMOSPHERE * more / t, rel=1e-9)


@settings(deadline=None, max_examples=100)
@given(warm, st.floats(0.0, 0.2e-3), st.floats(0.01e-3, 0.2e-3))
def test_more_ballast_in_is_higher(t, taken, more):
    start = closed(humidity=0.0)
    less = cy.inside_air(start, temperature=t, outside=STANDARD_ATMOSPHERE, taken=taken)
    full = cy.inside_air(start, temperature=t, outside=STANDARD_ATMOSPHERE, taken=taken + more)
    assert full.gauge > less.gauge


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 1.0), st.floats(0.0, 15.0))
def test_colder_wall_never_raises_the_gauge(rh, colder):
    start = closed(humidity=rh)
    at = cy.inside_air(start, temperature=293.15, outside=STANDARD_ATMOSPHERE)
    cold = cy.inside_air(start, temperature=293.15, outside=STANDARD_ATMOSPHERE, coldest_wall=293.15 - colder)
    assert cold.gauge <= at.gauge


def test_a_warmer_wall_does_not_hold_back_vapour():
    start = closed(humidity=1.0)
    at = cy.inside_air(start, temperature=283.15, outside=STANDARD_ATMOSPHERE)
    warm_wall = cy.inside_air(start, temperature=283.15, outside=STANDARD_ATMOSPHERE, coldest_wall=300.0)
    assert warm_wall == at


@settings(deadline=None, max_examples=100)
@given(warm, warm, damp)
def test_dried_is_lowest_and_wet_highest(t1, t2, rh):
    start = closed(temperature=t1, humidity=rh)

    def gauge(**kw):
        return cy.inside_air(start, temperature=t2, outside=STANDARD_ATMOSPHERE, **kw).gauge

    assert gauge(damp="dried", dried_to=0.0) <= gauge() <= gauge(damp="wet") + 1e-9
    assert gauge(damp="dried") >= gauge(damp="dried", dried_to=0.0)


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 20.0), st.floats(-20e3, 20e3), st.floats(990.0, 1030.0))
def test_seal_pressure_is_depth_less_the_gauge(depth, gauge, density):
    across = cy.seal_pressure(depth=depth, gauge=gauge, density=density)
    assert cy.gauge_as_depth(across, density=density) == pytest.approx(
        depth - cy.gauge_as_depth(gauge, density=density), abs=1e-9
    )


def test_pushing_a_cap_home_is_boyles_law():
    area = math.pi * 0.07**2 / 4.0
    with_stroke = 1e-3 + area * 0.008
    made = cy.pumping_of_cap(stroke=0.008, bore=0.07, volume=1e-3, outside=STANDARD_ATMOSPHERE)
    assert made == pytest.approx(STANDARD_ATMOSPHERE * with_stroke / 1e-3 - STANDARD_ATMOSPHERE)
    assert cy.pumping_of_cap(stroke=0.0, bore=0.07, volume=1e-3, outside=1e5) == 0.0


@settings(deadline=None, max_examples=100)
@given(st.floats(0.001, 0.02), st.floats(0.1, 200.0), st.floats(1.0, 50.0), st.floats(0.02, 1.0))
def test_heat_balance_closes(wall, conductivity, power, area):
    u = cy.transmittance(wall=wall, conductivity=conductivity)
    assert cy.warming(power=power, area=area, transmittance=u) * u * area == pytest.approx(power)
    assert u < cy.INSIDE_FILM
    assert cy.transmittance(wall=wall * 2.0, conductivity=conductivity) < u


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 60.0))
def test_hottest_part_is_water_plus_rise_give_or_take_half_of_it(rise):
    hottest, u95 = cy.hottest_known(water=284.15, rise=rise)
    assert hottest == 284.15 + rise
    assert u95 == rise / 2.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: cy.inside_air(closed(pressure=101.325), temperature=283.15, outside=101_325.0),
        lambda: cy.inside_air(closed(), temperature=283.15, outside=1013.25),
        lambda: cy.inside_air(closed(volume=0.0), temperature=283.15, outside=101_325.0),
        lambda: cy.inside_air(closed(), temperature=283.15, outside=101_325.0, taken=2.1e-3),
        lambda: cy.inside_air(closed(), temperature=10.0, outside=101_325.0),
        lambda: cy.inside_air(closed(humidity=1.2), temperature=283.15, outside=101_325.0),
        lambda: cy.pumping_of_cap(stroke=0.01, bore=0.0, volume=1e-3, outside=1e5),
        lambda: cy.gauge_as_depth(1.0, density=0.0),
        lambda: cy.seal_pressure(depth=-0.1, gauge=0.0, density=1000.0),
        lambda: cy.seal_pressure(depth=0.1, gauge=0.0, density=0.0),
        lambda: cy.transmittance(wall=0.0, conductivity=0.19),
        lambda: cy.warming(power=10.0, area=0.0, transmittance=6.0),
        lambda: cy.hottest_known(water=284.15, rise=-1.0),
    ],
)
def test_refuses_what_lies_outside(call):
    with pytest.raises(OutOfRangeError):
        call()
