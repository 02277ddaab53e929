"""What a person typed as a reading: its unit, its ± from the kit's meter, and readings that cannot be."""

from __future__ import annotations

import math

import pytest
import worked
from hypothesis import given
from hypothesis import strategies as st

from divelog import units
from divelog.limits import catalogue
from divelog.limits.readings import impossible, meter_u95, read
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis


def _info(key: str):
    found = catalogue.info(key)
    assert found is not None
    return found


@pytest.fixture
def sheet() -> Sheet:
    return worked.sheet("tansy")


@pytest.mark.parametrize(
    ("key", "typed", "si", "u95"),
    [
        ("battery.rest_voltage", "8.31 V", 8.31, 0.0416), ("battery.rest_voltage", "8.31", 8.31, 0.0416),
        ("battery.rest_voltage", "8,31", 8.31, 0.0416), ("battery.rest_voltage", "8310 mV", 8.31, 0.0416),
        ("battery.rest_voltage", "8.31 V ± 0.02 V", 8.31, 0.02), ("terminals.drop", "12 mV", 0.012, 0.01 / math.sqrt(3)),
        ("ballast.fill_time", "38 s", 38.0, 0.3), ("depth.keel", "2 ft", 0.6096, 0.001), ("depth.keel", "0.7", 0.7, 0.001),
        ("buoyancy.dived", "18 g", 0.018, 0.001), ("cylinder.heat", "29", 302.15, 0.1 / math.sqrt(3)),
        ("trim.pitch", "1.5 deg", math.radians(1.5), math.radians(0.5)), ("shaft.no_load_current", "0.62 A", 0.62, 0.0),
    ],
)  # fmt: skip
def test_a_number_with_the_spread_of_its_meter(sheet, key, typed, si, u95):
    found = read(sheet, _info(key), typed)
    assert found.si == pytest.approx(si)
    assert found.u95 == pytest.approx(u95, abs=1e-4)
    assert found.basis is Basis.MEASURED


def test_a_meter_of_a_step_alone_or_of_a_class_alone():
    by_class = worked.sheet("tansy", **{"kit__meter[small voltmeter]__step": "unknown"})
    assert meter_u95(by_class, "voltage", 8.0) == pytest.approx(0.04)
    by_step = worked.sheet("tansy", **{"kit__meter[small voltmeter]__accuracy": "unknown"})
    assert meter_u95(by_step, "voltage", 8.0) == pytest.approx(0.01 / math.sqrt(3))
    # A step that is none is no step, not a fault: examine names it.
    nonsense = worked.sheet("tansy", **{"kit__meter[small voltmeter]__step": "a bit"})
    assert meter_u95(nonsense, "voltage", 8.0) == pytest.approx(0.04)


@given(st.floats(0.01, 100.0))
def test_the_spread_is_never_less_than_class_or_step(volts):
    found = meter_u95(worked.sheet("tansy"), "voltage", volts)
    assert found >= 0.005 * volts - 1e-12
    assert found >= 0.01 / math.sqrt(3) - 1e-12


def test_a_key_that_is_not_read(sheet):
    with pytest.raises(units.UnitFaultError, match="worked out"):
        read(sheet, _info("wind.drift"), "3 min")


@pytest.mark.parametrize(
    ("key", "typed"),
    [
        ("battery.rest_voltage", "83.1 V"), ("battery.rest_voltage", "-8 V"), ("depth.keel", "-1 m"),
        ("ballast.fill_time", "-3 s"), ("battery.rest_voltage", "eight"), ("battery.rest_voltage", "8.31 m"),
        ("battery.rest_voltage", "9**9**9"), ("battery.rest_voltage", "1e400 V"), ("battery.rest_voltage", ""),
        ("battery.rest_voltage", "nan V"), ("battery.rest_voltage", "8.31 V" * 50),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_words(sheet, key, typed):
    with pytest.raises(units.UnitFaultError) as caught:
        read(sheet, _info(key), typed)
    assert len(str(caught.value)) < 400


def test_a_pack_nobody_has_described_refuses_nothing():
    bare = worked.sheet("tansy", **{"kit__pack[D2]__chemistry": "unknown"})
    assert impossible(bare, _info("battery.rest_voltage"), 83.1) == ""


@pytest.mark.parametrize(
    ("chemistry", "most"),
    [
        ("lithium polymer", 8.9), ("lithium iron phosphate", 7.8), ("sealed lead-acid", 5.2), ("nickel cadmium", 3.5),
    ],
)  # fmt: skip
def test_no_cell_shows_more_than_its_chemistry_can(chemistry, most):
    sheet = worked.sheet("tansy", **{"kit__pack[D2]__chemistry": chemistry})
    assert impossible(sheet, _info("battery.rest_voltage"), most) == ""
    assert f"0 to {most:.1f} V" in impossible(sheet, _info("battery.rest_voltage"), most + 0.01)


@given(st.text(max_size=60))
def test_any_text_is_a_number_or_a_plain_fault(typed):
    sheet = worked.sheet("tansy")
    for key in ("battery.rest_voltage", "depth.keel", "cylinder.water_found"):
        try:
            found = read(sheet, _info(key), typed)
        except units.UnitFaultError:
            continue
        assert math.isfinite(found.si)
        assert math.isfinite(found.u95)
        assert found.u95 >= 0
