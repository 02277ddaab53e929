"""What the electrical subjects share: units they count in, and straight lines between table points."""

from bisect import bisect_right
from collections.abc import Sequence
from typing import TypeAlias

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import ZERO_CELSIUS, Coulombs, Kelvin, Seconds

AMPERE_HOUR: Coulombs = 3600.0
"""One ampere hour in coulombs (definition)."""

HOUR: Seconds = 3600.0
DAY: Seconds = 86_400.0
MONTH: Seconds = 365.25 / 12 * DAY
"""A mean month, for losses counted by the month."""

ROOM: Kelvin = ZERO_CELSIUS + 25.0
"""25 degC, the temperature battery tables are stated at."""

Points: TypeAlias = Sequence[tuple[float, float]]
"""Table points (x, y), x strictly rising."""


def need_celsius(name: str, temperature: Kelvin, low: float, high: float) -> None:
    """Refuse a temperature (K) unless it lies from low to high degC; said in degC."""
    celsius = temperature - ZERO_CELSIUS
    # A nanokelvin of slack: 40 degC written in kelvin and back is not always 40.
    if not low - 1e-9 <= celsius <= high + 1e-9:
        raise OutOfRangeError(f"The {name} is {celsius:.4g} degC; this holds from {low:g} to {high:g} degC.")


def piecewise(points: Points, x: float) -> float:
    """Straight lines between points; the end value beyond either end."""
    if x <= points[0][0]:
        return points[0][1]
    if x >= points[-1][0]:
        return points[-1][1]
    above = bisect_right(points, x, key=lambda point: point[0])
    (x0, y0), (x1, y1) = points[above - 1], points[above]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def swapped(points: Points) -> tuple[tuple[float, float], ...]:
    """The same line read the other way; y must rise strictly too."""
    return tuple((y, x) for x, y in points)
