"""Where the wind takes a boat that lies dead on the surface, and when she lands."""

from dataclasses import dataclass

from divelog.physics.ranges import need_within
from divelog.physics.si import Metres, MetresPerSecond, Seconds

SLOW, LIKELY, FAST = 0.015, 0.03, 0.05
"""Drift over wind at 10 m: leeway of low-floating things 0.7 to 1.8 % (search-and-rescue leeway tables, Allen
& Plourde 1999, Breivik et al. 2011) on surface water moving at 1 to 3 % of the wind."""


@dataclass(frozen=True, slots=True)
class Drift:
    """Speeds down wind and times to the lee bank. A time is None where that wind does not move her."""

    slow: MetresPerSecond
    likely: MetresPerSecond
    fast: MetresPerSecond
    latest: Seconds | None
    expected: Seconds | None
    earliest: Seconds | None


def drift(
    distance: Metres, wind_low: MetresPerSecond, wind_middle: MetresPerSecond, wind_high: MetresPerSecond
) -> Drift:
    """Drift of a dead boat over `distance` to the lee bank, with the wind as a range at 10 m.

    1.5 % of the low wind, 3 % of the middle, 5 % of the high. She goes down wind within about 30 degrees; a
    boat left just under the surface or on the bottom does not follow this. Wind *from* 270 degrees drifts
    *towards* 090. Source: as `SLOW`, `LIKELY`, `FAST`.
    """
    need_within("highest wind", wind_high, 0.0, 60.0, "m/s")
    need_within("middle wind", wind_middle, 0.0, wind_high, "m/s")
    need_within("lowest wind", wind_low, 0.0, wind_middle, "m/s")
    need_within("distance", distance, 0.0, 1e5, "m")
    speeds = (SLOW * wind_low, LIKELY * wind_middle, FAST * wind_high)
    times = [distance / speed if speed > 0.0 else None for speed in speeds]
    return Drift(*speeds, *times)
