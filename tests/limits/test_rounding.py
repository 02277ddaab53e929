"""Rounding to the safe side, the text of a shown number, and the verdict; DESIGN's rule as properties."""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from divelog.limits.model import Verdict
from divelog.limits.rounding import decimals, down, judge, nearest, rss, text, up, worst
from divelog.profiles.document import Num

STEPS = (0.001, 0.005, 0.01, 0.05, 0.1, 0.5, 1.0, 5.0, 100.0, 1e-6)
values = st.floats(-1e4, 1e4, allow_nan=False)
steps = st.sampled_from(STEPS)


@pytest.mark.parametrize(
    ("value", "step", "below", "above"),
    [
        (0.805, 0.1, 0.8, 0.9), (0.8, 0.1, 0.8, 0.8), (0.7 + 0.1, 0.1, 0.8, 0.8), (-0.805, 0.1, -0.9, -0.8),
        (8.2435, 0.01, 8.24, 8.25), (1.15 * 100, 5.0, 115.0, 115.0), (0.0, 0.1, 0.0, 0.0), (2831.0, 60.0, 2820.0, 2880.0),
    ],
)  # fmt: skip
def test_to_the_safe_side(value, step, below, above):
    assert down(value, step) == below
    assert up(value, step) == above


@given(values, steps)
def test_down_and_up_hold_the_value_between_them(value, step):
    low, high = down(value, step), up(value, step)
    slack = 1e-8 * max(step, abs(value))
    assert low <= value + slack
    assert high >= value - slack
    assert value - low < step + slack
    assert high - value < step + slack
    for edge in (low, high):
        assert abs(edge / step - round(edge / step)) < 1e-5
        assert down(edge, step) == pytest.approx(edge, abs=slack)
        assert up(edge, step) == pytest.approx(edge, abs=slack)
    assert -up(-value, step) == pytest.approx(low, abs=slack)
    assert low <= nearest(value, step) + slack
    assert nearest(value, step) <= high + slack


@given(st.integers(-(10**6), 10**6), st.sampled_from((1, 2, 3)))
def test_agrees_with_decimal_arithmetic(thousandths, places):
    """What was typed as decimals is rounded as decimals, never by the binary shadow of them."""
    exact, step = Decimal(thousandths) / 1000, Decimal(1).scaleb(-places)
    assert down(float(exact), float(step)) == float(exact.quantize(step, ROUND_FLOOR))
    assert up(float(exact), float(step)) == float(exact.quantize(step, ROUND_CEILING))


def test_no_minus_nought():
    assert math.copysign(1.0, down(-1e-15, 0.1)) == 1.0
    assert math.copysign(1.0, nearest(-0.01, 0.1)) == 1.0


@pytest.mark.parametrize(("value", "expected"), [(0.05, 0.1), (-0.05, -0.1), (0.04, 0.0), (1.25, 1.3)])
def test_nearest_takes_halves_away_from_nought(value, expected):
    assert nearest(value, 0.1) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("step", "places"), [(1.0, 0), (5.0, 0), (0.5, 1), (0.1, 1), (0.05, 2), (0.01, 2), (1e-6, 6), (1 / 3, 6)]
)
def test_decimals_that_show_a_step(step, places):
    assert decimals(step) == places


@pytest.mark.parametrize(
    ("si", "unit", "dimension", "step", "shown"),
    [
        (0.8, "m", "length", 0.1, "0.8 m"), (0.03, "mm", "length", 0.005, "30 mm"), (363.15, "degC", "temperature", 1.0, "90 degC"),
        (2820.0, "min", "time", 60.0, "47 min"), (0.2617993878, "deg", "angle", math.radians(1), "15 deg"),
        (-5000.0, "kPa", "pressure", 100.0, "-5.0 kPa"),
    ],
)  # fmt: skip
def test_text(si, unit, dimension, step, shown):
    assert text(si, unit, dimension, step) == shown


# -- the verdict ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reading", "u95", "low", "high", "verdict"),
    [
        (8.31, 0.04, 8.25, None, Verdict.WITHIN), (8.28, 0.04, 8.25, None, Verdict.TOO_CLOSE),
        (8.24, 0.04, 8.25, None, Verdict.OUTSIDE), (8.25, 0.0, 8.25, None, Verdict.WITHIN),
        (0.7, 0.05, None, 0.8, Verdict.WITHIN), (0.75, 0.05, None, 0.8, Verdict.WITHIN),
        (0.76, 0.05, None, 0.8, Verdict.TOO_CLOSE), (0.81, 0.5, None, 0.8, Verdict.OUTSIDE),
        (0.62, 0.01, 0.5, 0.74, Verdict.WITHIN), (0.79, 0.01, 0.5, 0.74, Verdict.OUTSIDE),
        (0.505, 0.01, 0.5, 0.74, Verdict.TOO_CLOSE), (0.735, 0.01, 0.5, 0.74, Verdict.TOO_CLOSE),
        (0.49, 0.0, 0.5, 0.74, Verdict.OUTSIDE), (3.0, 1.0, None, None, Verdict.WITHIN),
    ],
)  # fmt: skip
def test_judge(reading, u95, low, high, verdict):
    assert judge(Num(reading, u95), low, high) is verdict


def test_nothing_read_is_no_verdict():
    assert judge(None, 0.0, 1.0) is Verdict.NO_READING


@given(values, st.floats(0, 10), values, st.floats(0, 10))
def test_a_wider_spread_never_makes_it_better(reading, u95, high, more):
    order = [Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.WITHIN]
    narrow = judge(Num(reading, u95), None, high)
    wide = judge(Num(reading, u95 + more), None, high)
    assert order.index(wide) <= order.index(narrow)
    # outside is a matter of the reading itself, whatever its spread
    assert (wide is Verdict.OUTSIDE) is (narrow is Verdict.OUTSIDE)
    mirrored = judge(Num(-reading, u95), -high, None)
    assert mirrored is narrow


@given(values, st.floats(0, 10), values, st.floats(0, 10))
def test_a_tighter_limit_never_makes_it_better(reading, u95, high, less):
    order = [Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.WITHIN]
    loose = judge(Num(reading, u95), None, high)
    tight = judge(Num(reading, u95), None, high - less)
    assert order.index(tight) <= order.index(loose)


@given(st.lists(st.sampled_from(list(Verdict)), min_size=1))
def test_worst_is_one_of_them_and_minds_no_order(verdicts):
    assert worst(*verdicts) in verdicts
    assert worst(*verdicts) is worst(*reversed(verdicts))
    if Verdict.OUTSIDE in verdicts:
        assert worst(*verdicts) is Verdict.OUTSIDE


def test_every_verdict_has_a_place_in_the_order():
    for verdict in Verdict:
        assert worst(verdict, verdict) is verdict


@given(st.lists(st.floats(-1e6, 1e6), max_size=8))
def test_rss_is_a_norm(parts):
    assert rss(*parts) == pytest.approx(math.hypot(*parts), rel=1e-12, abs=1e-12)
