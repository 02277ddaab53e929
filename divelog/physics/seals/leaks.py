"""Leaks through a clear gap round a shaft. What a falling vacuum says of them is in `cylinder_leak`."""

from math import pi

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import (
    CubicMetresPerSecond,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    PascalSeconds,
    Ratio,
)


def eccentric_factor(eccentricity: Ratio) -> Ratio:
    """How much more an off-centre gap lets through than a centred one: 1 + 1.5 e^2, e from 0 to 1.

    Source: Tao and Donovan 1955; the mean of (1 + e cos a)^3 round the gap.
    """
    if not 0.0 <= eccentricity <= 1.0:
        raise OutOfRangeError("A shaft's offset is 0 (centred) to 1 (touching) of its clearance.")
    return 1.0 + 1.5 * eccentricity**2


def annular_leak(
    diameter: Metres,
    clearance: Metres,
    length: Metres,
    difference: Pascals,
    viscosity: PascalSeconds,
    eccentricity: Ratio = 0.0,
) -> CubicMetresPerSecond:
    """Water through a clear gap round a shaft, pi d c^3 dp (1 + 1.5 e^2)/(12 mu L), cubic metres a second.

    clearance is radial (taking the diametral one is eight times wrong). Laminar; above a Reynolds number
    of 1000 the sum overstates, which is the safe side, and so does it in gaps under 10 micrometres, where
    surface tension can stop the flow. Order of magnitude only: 20 % of the gap is 73 % of the flow.
    Source: Tao and Donovan 1955.

    Raises:
        OutOfRangeError: a gap wider than a tenth of the shaft, or a size of nothing.
    """
    if min(diameter, clearance, length, viscosity) <= 0.0:
        raise OutOfRangeError("Shaft, gap, length and viscosity must be greater than nothing.")
    if clearance > 0.1 * diameter:
        raise OutOfRangeError("The gap is wider than a tenth of the shaft; the thin-gap sum does not hold.")
    factor = eccentric_factor(eccentricity)
    return pi * diameter * clearance**3 * difference * factor / (12.0 * viscosity * length)


def annular_reynolds(
    flow: CubicMetresPerSecond,
    diameter: Metres,
    density: KilogramsPerCubicMetre,
    viscosity: PascalSeconds,
) -> Ratio:
    """Reynolds number of that leak, 2 q rho/(pi d mu); laminar under about 1000."""
    return 2.0 * flow * density / (pi * diameter * viscosity)
