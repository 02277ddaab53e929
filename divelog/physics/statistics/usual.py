"""The usual value of a handful of readings, its spread, and whether a new one lies outside.

Nothing here is upset by one bad reading: medians, not means.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from types import MappingProxyType
from typing import Final

from divelog.physics.errors import OutOfRangeError

BASELINE_LEAST = 5
"""Readings from which one speaks of a baseline: common practice, no source."""

CHART_LEAST = 15
"""Readings from which the limits of an individuals chart hold."""

NORMAL_CONSISTENT = 1.482602218505602
"""1/quantile(3/4) of the standard normal: turns a median deviation into a standard deviation."""

_SMALL: Final = MappingProxyType(
    {
        3: 2.2053,
        4: 2.0164,
        5: 1.8056,
        6: 1.7628,
        7: 1.6876,
        8: 1.6717,
        9: 1.6326,
        10: 1.6254,
    }
)

_PREDICTION: Final = MappingProxyType(
    {
        # n: (robust 99 %, robust 95 %, Student 99 %, Student 95 %)
        5: (12.0, 4.91, 5.044, 3.041),
        6: (6.79, 3.54, 4.355, 2.777),
        7: (6.83, 3.55, 3.963, 2.616),
        8: (5.25, 3.04, 3.712, 2.508),
        9: (5.25, 3.04, 3.537, 2.431),
        10: (4.51, 2.77, 3.409, 2.373),
        12: (4.12, 2.63, 3.233, 2.291),
        15: (3.81, 2.50, 3.075, 2.215),
        20: (3.39, 2.33, 2.932, 2.145),
    }
)

MOVING_RANGE_FACTOR = 2.66
MOVING_RANGE_LIMIT = 3.267
MEDIAN_MOVING_RANGE_FACTOR = 3.145
"""3/0.954, for the median of the moving ranges instead of their mean."""


@dataclass(frozen=True, slots=True)
class Baseline:
    """Usual value of n readings: median, median deviation, and spread as one standard deviation."""

    n: int
    median: float
    deviation: float
    spread: float


@dataclass(frozen=True, slots=True)
class UsualRange:
    """Where a further reading would be expected, and from how many readings that is known."""

    low: float
    high: float
    n: int


@dataclass(frozen=True, slots=True)
class Chart:
    """Individuals chart: centre, limits of a reading, and the most two readings in a row may differ."""

    centre: float
    low: float
    high: float
    step: float


def median(values: Sequence[float]) -> float:
    """Middle value, or the mean of the two middle ones.

    Raises:
        OutOfRangeError: no values.
    """
    if not values:
        raise OutOfRangeError("A median needs at least one reading.")
    ordered = sorted(values)
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[middle]
    return (ordered[middle - 1] + ordered[middle]) / 2.0


def median_deviation(values: Sequence[float]) -> float:
    """Median distance from the median, not scaled."""
    centre = median(values)
    return median([abs(value - centre) for value in values])


def deviation_factor(n: int) -> float:
    """Factor from a median deviation of n readings to an unbiased standard deviation of a normal spread.

    Table for 3 to 10, then 1.4826 n/(n - 0.8).
    Source: Croux and Rousseeuw 1992, the table as a public statistics source file has it; the form beyond
    10 from memory.

    Raises:
        OutOfRangeError: fewer than three readings.
    """
    if n < 3:
        raise OutOfRangeError("A spread needs at least three readings.")
    return _SMALL[n] if n <= 10 else NORMAL_CONSISTENT * n / (n - 0.8)


def baseline(values: Sequence[float], resolution: float = 0.0) -> Baseline:
    """Median and robust spread of readings of one quantity under like conditions.

    resolution is the gauge's step in the same unit: the spread is at least step/sqrt(3), because coarse
    gauges often give the same number five times. Trap: the newest reading, the one to be judged, is not
    among them; and a baseline that follows its own drift never finds it.

    Raises:
        OutOfRangeError: fewer than three readings.
    """
    factor = deviation_factor(len(values))
    deviation = median_deviation(values)
    return Baseline(
        n=len(values),
        median=median(values),
        deviation=deviation,
        spread=max(factor * deviation, resolution / sqrt(3.0)),
    )


def _row(n: int) -> tuple[float, float, float, float]:
    return _PREDICTION[max(listed for listed in _PREDICTION if listed <= n)]


def prediction_factor(n: int, *, wide: bool = True, robust: bool = True) -> float:
    """How many spreads from the centre a further reading falls with 99 % (wide) or 95 % chance.

    robust: times the spread of `baseline`, by simulation of 2 000 000 normal samples a row, good to 1 %.
    Else Student's t sqrt(1 + 1/n), times the standard deviation. Between the listed n the lower row counts.

    Raises:
        OutOfRangeError: fewer than five readings.
    """
    if n < BASELINE_LEAST:
        raise OutOfRangeError("Fewer than five readings say nothing about the next one.")
    row = _row(n)
    return row[(0 if wide else 1) + (0 if robust else 2)]


def individuals_chart(values: Sequence[float], *, robust: bool = False) -> Chart:
    """Limits of single readings from how much each differs from the one before.

    mean +/- 2.66 of the mean moving range; robust: 3.145 of the median one. Two readings in a row may
    differ by 3.267 of the mean moving range. Trustworthy from 15 readings.
    Source: ISO 7870-2, from memory; several public control-chart pages.

    Raises:
        OutOfRangeError: fewer than two readings.
    """
    if len(values) < 2:
        raise OutOfRangeError("A chart needs at least two readings.")
    centre = sum(values) / len(values)
    steps = [abs(later - earlier) for earlier, later in pairwise(values)]
    mean_step = sum(steps) / len(steps)
    half = MEDIAN_MOVING_RANGE_FACTOR * median(steps) if robust else MOVING_RANGE_FACTOR * mean_step
    return Chart(centre, centre - half, centre + half, MOVING_RANGE_LIMIT * mean_step)


def usual_range(values: Sequence[float], resolution: float = 0.0) -> UsualRange | None:
    """Where a further reading would be expected; None under five readings, when nothing is said.

    Five to fourteen: the robust 99 % prediction interval; from fifteen: the individuals chart. It is not a
    limit: a reading outside it is unusual, and only the quantity's own limit decides.
    """
    n = len(values)
    if n < BASELINE_LEAST:
        return None
    if n >= CHART_LEAST:
        chart = individuals_chart(values)
        return UsualRange(chart.low, chart.high, n)
    usual = baseline(values, resolution)
    half = prediction_factor(n) * usual.spread
    return UsualRange(usual.median - half, usual.median + half, n)


def has_shifted(values: Sequence[float], centre: float) -> bool:
    """Whether the last eight readings all lie on one side of the centre (only from fifteen readings).

    Source: ISO 7870-2 run rule, from memory. No other run rule is used: each adds false alarms.
    """
    if len(values) < CHART_LEAST:
        return False
    last = values[-8:]
    return all(value > centre for value in last) or all(value < centre for value in last)
