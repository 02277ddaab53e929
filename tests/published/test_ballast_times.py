"""A pump from two timed strokes, its ± by a numerical derivative, and the scale of the median deviation."""

import math

import pytest
from scipy.stats import norm

from divelog.physics import ballast_times


def test_pump_from_two_depths():
    # By hand: 30 and 20 mL/s at 0.3 and 1.3 m: H_s = (30 × 1.3 − 20 × 0.3)/10 = 3.30 m, Q₀ = 30/(1 − 0.3/3.3).
    got = ballast_times.pump_from_two_depths(6e-4, 0.3, 20.0, 1.3, 30.0)
    assert got.pump_head == pytest.approx(3.30, abs=1e-9)
    assert got.free_flow * 1e6 == pytest.approx(33.0, abs=1e-9)


def test_u95_of_the_head_by_numerical_derivative():
    def head(t1, t2):
        return ballast_times.pump_from_two_depths(6e-4, 0.3, t1, 1.3, t2).pump_head

    step = 1e-5
    by_1 = (head(20 * (1 + step), 30) - head(20 * (1 - step), 30)) / (2 * step) * 0.02
    by_2 = (head(20, 30 * (1 + step)) - head(20, 30 * (1 - step))) / (2 * step) * 0.02
    got = ballast_times.pump_from_two_depths(6e-4, 0.3, 20.0, 1.3, 30.0, time_share_u95=0.02)
    assert got.pump_head_u95 == pytest.approx(math.hypot(by_1, by_2), rel=1e-4)


def test_median_deviation_scale():
    assert pytest.approx(1 / norm.ppf(0.75), abs=1e-4) == ballast_times.DEVIATION_SCALE
