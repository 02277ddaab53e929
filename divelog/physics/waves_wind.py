"""Wind: classes of the Beaufort scale, and the wind at the height the wave formulas want."""

from divelog.physics.ranges import need_within
from divelog.physics.si import Metres, MetresPerSecond

CLASS_FLOORS: tuple[MetresPerSecond, ...] = (0.0, 0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2)
"""Least mean wind of Beaufort classes 0 to 8, 10 m over open ground (WMO scale)."""

CLASS_TOPS: tuple[MetresPerSecond, ...] = (0.2, 1.5, 3.3, 5.4, 7.9, 10.7, 13.8, 17.1, 20.7)
"""Greatest mean wind of Beaufort classes 0 to 8, as the scale prints it (WMO scale)."""

HAND_HEIGHT: Metres = 2.0
"""A wind measured by hand is taken at this height (common practice, no source)."""

STANDARD_HEIGHT: Metres = 10.0
"""Height of the wind of a forecast and of the scale (WMO)."""


def beaufort_class(wind: MetresPerSecond) -> int:
    """Class of a wind at 10 m: the largest whose floor it reaches, so that no wind falls between two.

    `wind` m/s, 0 to 20.7 (class 8 is the highest kept). Source: WMO Beaufort scale.
    """
    need_within("wind", wind, 0.0, CLASS_TOPS[-1], "m/s")
    return max(number for number, floor in enumerate(CLASS_FLOORS) if floor <= wind)


def wind_at_10m(wind: MetresPerSecond, height: Metres = HAND_HEIGHT) -> MetresPerSecond:
    """Wind at 10 m from a wind measured at another height: U (10/z)^(1/7).

    `height` m above the water, 0.5 to 20. A forecast is already at 10 m. A logarithmic profile gives at 2 m a
    factor of 1.18 over open water and 1.38 over short grass; the power law's 1.26 lies between. Source: Shore
    Protection Manual (US Army Corps of Engineers, 1984), eq. 3-26; from memory.
    """
    need_within("height of the wind", height, 0.5, 20.0, "m")
    need_within("wind", wind, 0.0, 60.0, "m/s")
    return float(wind * (STANDARD_HEIGHT / height) ** (1.0 / 7.0))
