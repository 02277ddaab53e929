"""The border between text and SI: the table proved against pint, and a strict grammar."""

from __future__ import annotations

import math
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog import units

REGISTRY = pint.UnitRegistry()


@pytest.mark.parametrize("unit", units.UNITS, ids=lambda u: f"{u.dimension}-{u.symbol}")
def test_every_factor_and_offset_agrees_with_pint(unit):
    # Source: pint's default registry (general-purpose library). Levels in dB and paces are our own counts.
    if not unit.pint:
        assert unit.dimension in ("level", "paces")
        assert unit.factor == 1.0
        return
    target = units.DIMENSIONS[unit.dimension].pint
    one = REGISTRY.Quantity(1.0, unit.pint).to(target).magnitude
    nought = REGISTRY.Quantity(0.0, unit.pint).to(target).magnitude
    assert one - nought == pytest.approx(unit.factor, rel=1e-12)
    assert nought == pytest.approx(unit.offset, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "si", "u95"),
    [
        ("5.76 kg ± 10 g", "mass", 5.76, 0.01),
        ("5.76 kg +/- 10 g", "mass", 5.76, 0.01),
        ("12.5 degC ± 0.5 K", "temperature", 285.65, 0.5),
        ("54 degF", "temperature", 285.372222222, 0.0),
        ("420 mL ± 2 %", "volume", 4.2e-4, 8.4e-6),
        ("5 A h", "charge", 18000.0, 0.0),
        ("-3 kPa", "pressure", -3000.0, 0.0),
        ("320 µS/cm", "conductivity", 0.032, 0.0),
        ("30 %", "share", 0.3, 0.0),
        ("18 cm²", "area", 1.8e-3, 0.0),
        ("4", "count", 4.0, 0.0),
    ],
)
def test_a_text_with_its_unit_becomes_si(text, dimension, si, u95):
    found = units.parse(text, dimension)
    assert found.si == pytest.approx(si, rel=1e-9)
    assert found.u95 == pytest.approx(u95, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [("10 inHg", "pressure", 33863.9), ("2 fathom", "length", 3.6576), ("3 furlong/week", "speed", 9.979e-4)],
)
def test_a_rare_unit_is_resolved_by_pint(text, dimension, si):
    # 1 inHg (conventional) 3386.39 Pa, 1 fathom 1.8288 m: NIST Special Publication 811, appendix B (from memory)
    assert units.parse(text, dimension).si == pytest.approx(si, rel=1e-4)


@pytest.mark.parametrize(
    "text",
    [
        "920", "920 kg", "1e400 m", "9**9**9 m", "nan m", "inf m", "", "m", "12 13 m", "1_000 m", "0x10 m", "1e99 m",
        "5 m ± -1 cm", "5 m ± 1 kg", "5 m ± ", "__import__('os') m", "1 m; 2 m", "5 m\x1b[31m", "1e3000000 m",
        "5 meter**9**9", "5 a*b*c*d*e*f*g*h", "5 " + "m" * 200,
    ],
)  # fmt: skip
def test_what_is_no_length_is_a_fault_that_says_what_to_write(text):
    with pytest.raises(units.UnitFaultError) as fault:
        units.parse(text, "length")
    assert '"920 mm"' in fault.value.wanted


def test_below_absolute_zero_is_a_fault():
    with pytest.raises(units.UnitFaultError):
        units.parse("-300 degC", "temperature")


def test_a_decimal_comma_is_read_when_typed_and_not_in_files():
    assert units.parse("7,62 V", "voltage", typed=True).si == pytest.approx(7.62)
    with pytest.raises(units.UnitFaultError):
        units.parse("7,62 V", "voltage")


def test_a_unit_beside_the_answer_is_meant_where_none_is_typed():
    assert units.parse("8.31", "voltage", typed=True, assume_unit="V").si == pytest.approx(8.31)
    assert units.parse("3 ft", "length", typed=True, assume_unit="m").si == pytest.approx(0.9144)


@given(st.text(max_size=200), st.sampled_from(sorted(units.DIMENSIONS)))
def test_no_text_does_more_than_fault(text, dimension):
    try:
        found = units.parse(text, dimension, typed=True)
    except units.UnitFaultError:
        return
    assert math.isfinite(found.si)
    assert math.isfinite(found.u95)
    assert found.u95 >= 0


@given(
    st.floats(-1e6, 1e6).filter(lambda v: v == 0 or abs(v) > 1e-6),
    st.sampled_from([u for u in units.UNITS if u.dimension not in ("temperature",)]),
)
def test_written_reads_back(value, unit):
    si = value * unit.factor + unit.offset
    text = units.written(si, 0.0, unit.symbol, unit.dimension)
    assert units.parse(text, unit.dimension).si == pytest.approx(si, rel=1e-6, abs=1e-9 * unit.factor)


def test_pint_stays_off_the_start_path():
    code = (
        "import sys; from divelog import units; units.parse('920 mm', 'length'); "
        "assert 'pint' not in sys.modules; units.parse('2 fathom', 'length'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
