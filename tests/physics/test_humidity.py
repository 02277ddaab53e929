"""Properties of vapour, sweat and desiccant."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import humidity as hu
from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import ZERO_CELSIUS

celsius = st.floats(-9.0, 59.0)
damp = st.floats(0.05, 1.0)


@settings(deadline=None, max_examples=100)
@given(celsius, st.floats(0.01, 1.0))
def test_saturation_rises_with_temperature(t, more):
    low = hu.saturation_pressure(ZERO_CELSIUS + t)
    assert hu.saturation_pressure(ZERO_CELSIUS + t + more) > low > 0.0


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 59.0))
def test_dew_point_of_full_air_is_its_temperature(t):
    kelvin = ZERO_CELSIUS + t
    assert hu.dew_point(temperature=kelvin, humidity=1.0) == pytest.approx(kelvin, abs=1e-9)


@settings(deadline=None, max_examples=100)
@given(st.floats(15.0, 59.0), st.floats(0.3, 0.99))
def test_dew_point_inverts_saturation(t, rh):
    point = hu.dew_point(temperature=ZERO_CELSIUS + t, humidity=rh)
    assert hu.saturation_pressure(point) == pytest.approx(
        rh * hu.saturation_pressure(ZERO_CELSIUS + t), rel=1e-12
    )
    assert point < ZERO_CELSIUS + t


@settings(deadline=None, max_examples=100)
@given(celsius, damp, celsius)
def test_sweat_is_never_more_than_the_vapour_shut_in(t, rh, wall):
    found = hu.sweat(volume=1e-3, closed_at=ZERO_CELSIUS + t, humidity=rh, wall=ZERO_CELSIUS + wall)
    held = 1e-3 * hu.vapour_density(temperature=ZERO_CELSIUS + t, humidity=rh)
    assert 0.0 <= found <= held


@settings(deadline=None, max_examples=100)
@given(st.floats(20.0, 50.0), st.floats(0.3, 1.0), st.floats(0.0, 10.0))
def test_no_sweat_at_or_above_the_dew_point(t, rh, above):
    # cooling the air at constant volume lowers its vapour pressure a little, so sweat starts below the dew point
    point = hu.dew_point(temperature=ZERO_CELSIUS + t, humidity=rh)
    assert hu.sweat(volume=1.0, closed_at=ZERO_CELSIUS + t, humidity=rh, wall=point + above) == 0.0


@settings(deadline=None, max_examples=100)
@given(st.floats(15.0, 50.0), st.floats(0.2, 0.9), st.floats(0.0, 10.0), st.floats(1e-4, 0.04))
def test_sweat_grows_with_damp_and_cold_and_in_proportion_to_volume(t, rh, wall, volume):
    def found(rh=rh, wall=wall, volume=volume):
        return hu.sweat(volume=volume, closed_at=ZERO_CELSIUS + t, humidity=rh, wall=ZERO_CELSIUS + wall)

    assert found(rh=rh + 0.05) >= found()
    assert found(wall=wall - 1.0) >= found()
    assert found(volume=2.0 * volume) == pytest.approx(2.0 * found())


def test_desiccant_is_the_vapour_over_the_uptake():
    assert hu.desiccant_needed(69e-6) == pytest.approx(0.69e-3)
    assert hu.desiccant_needed(0.0) == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: hu.saturation_pressure(ZERO_CELSIUS - 10.5),
        lambda: hu.saturation_pressure(ZERO_CELSIUS + 60.5),
        lambda: hu.saturation_pressure(float("nan")),
        lambda: hu.vapour_pressure(temperature=293.15, humidity=-0.01),
        lambda: hu.vapour_pressure(temperature=293.15, humidity=60.0),
        lambda: hu.dew_point(temperature=293.15, humidity=0.0),
        lambda: hu.sweat(volume=-1.0, closed_at=293.15, humidity=0.5, wall=283.15),
        lambda: hu.desiccant_needed(-1e-6),
        lambda: hu.desiccant_needed(1e-6, uptake=0.0),
        lambda: hu.desiccant_needed(1e-6, uptake=0.5),
    ],
)
def test_refuses_what_lies_outside(call):
    with pytest.raises(OutOfRangeError):
        call()
