"""What a number of good runs does not rule out. Shown on demand only; counts are shown, not percentages."""

from collections.abc import Callable
from math import comb, exp

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Ratio, Seconds

BOUND_LEAST = 10
"""Runs from which the bound is offered: common practice, no source."""


def _bisect(too_low: Callable[[float], bool], low: float, high: float) -> float:
    while (middle := (low + high) / 2.0) not in (low, high):
        if too_low(middle):
            low = middle
        else:
            high = middle
    return middle


def most_failures_a_run(failures: int, runs: int) -> Ratio:
    """One-sided 95 % upper bound of the share of runs that fail, after so many failures in so many runs.

    Without a failure 1 - 0.05^(1/n), about 3/n; else the exact binomial bound. It assumes that runs
    are alike; runs before a change of the part do not count for the new part.
    Source: Clopper and Pearson 1934; the rule of three, Eypasch et al. 1995 (BMJ), from memory.

    Raises:
        OutOfRangeError: no runs, or more failures than runs.
    """
    if runs < 1 or not 0 <= failures <= runs:
        raise OutOfRangeError("A bound needs at least one run, and no more failures than runs.")
    if failures == runs:
        return 1.0
    if failures == 0:
        return float(1.0 - 0.05 ** (1.0 / runs))

    def too_low(p: float) -> bool:
        chance = sum(comb(runs, k) * p**k * (1.0 - p) ** (runs - k) for k in range(failures + 1))
        return chance > 0.05

    return _bisect(too_low, failures / runs, 1.0)


def most_failures_a_second(failures: int, time: Seconds) -> float:
    """One-sided 95 % upper bound of failures a second, after so many in a time: 2.996/T without one.

    Source: exact Poisson bound, half the 95 % point of chi-square with 2k + 2 degrees (Garwood 1936, from
    memory).

    Raises:
        OutOfRangeError: no time, or a negative number of failures.
    """
    if time <= 0.0 or failures < 0:
        raise OutOfRangeError("A bound needs a time, and a number of failures.")

    def too_low(mean: float) -> bool:
        term = total = 1.0
        for k in range(1, failures + 1):
            term *= mean / k
            total += term
        return exp(-mean) * total > 0.05

    return _bisect(too_low, failures, 4.0 * failures + 20.0) / time
