"""Water found, by weighing a towel before and after."""

from dataclasses import dataclass
from math import sqrt

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import (
    CubicMetres,
    CubicMetresPerSecond,
    Kilograms,
    KilogramsPerCubicMetre,
    Seconds,
)

CRITICAL = 1.645 * sqrt(2.0)
"""Times the scale's repeatability: a larger gain was seen (one reading in twenty would be chance)."""

DETECTABLE = 2.0 * CRITICAL
"""Times the same: a gain this large is found nineteen times in twenty."""


@dataclass(frozen=True, slots=True)
class TowelLeak:
    """What two weighings say.

    rate in m3/s with its u95 where the gain was seen; else rate is None and under is the rate below which
    the leak stays (never "nothing").
    """

    gain: Kilograms
    seen: bool
    rate: CubicMetresPerSecond | None
    u95: CubicMetresPerSecond
    under: CubicMetresPerSecond


def scale_repeatability(step: Kilograms) -> Kilograms:
    """One standard deviation of a reading of a scale known only by its step, (step/2)/sqrt(3).

    Source: JCGM 100:2008, 4.3.7, uniform spread of half a step to each side.
    """
    return step / 2.0 / sqrt(3.0)


def towel_leak(
    before: Kilograms,
    after: Kilograms,
    repeatability: Kilograms,
    under_water: Seconds,
    density: KilogramsPerCubicMetre,
    sweat: CubicMetres = 0.0,
) -> TowelLeak:
    """Leak rate from a towel's weight before and after: ((gain/rho) - sweat)/time under water.

    repeatability is one standard deviation of the scale (weigh the dry towel five times), sweat the
    condensation to be expected. Seen: gain over 2.33 s; reliably detectable: 4.65 s. u95 = 2 sqrt(2) s.
    Traps: a towel dries on a windy bank and gains from damp air: keep it in a bag; divide by the time
    under water, not at the pond.
    Source: Currie 1968 (paired weighings), from memory.

    Raises:
        OutOfRangeError: no time, no density, or a negative repeatability.
    """
    if under_water <= 0.0 or density <= 0.0 or repeatability < 0.0:
        raise OutOfRangeError("A leak rate needs a time under water, a density and a scale.")
    gain = after - before
    per_kilogram = 1.0 / (density * under_water)
    seen = gain > CRITICAL * repeatability
    rate = (gain / density - sweat) / under_water if seen else None
    return TowelLeak(
        gain=gain,
        seen=seen,
        rate=rate,
        u95=2.0 * sqrt(2.0) * repeatability * per_kilogram,
        under=DETECTABLE * repeatability * per_kilogram,
    )
