"""Speeds: top speed from power and from pitch, distance by throttle, scale speed, the length's own speed."""

import math
from collections.abc import Iterable

from divelog.physics.motion._guard import between, not_negative, positive
from divelog.physics.motion.drag import APPENDAGES, drag_factor
from divelog.physics.motion.hull import Hull
from divelog.physics.si import (
    GRAVITY,
    KilogramsPerCubicMetre,
    KilogramsPerMetre,
    Metres,
    MetresPerSecond,
    Ratio,
    Seconds,
    SquareMetresPerSecond,
    Watts,
)

EFFICIENCY: Ratio = 0.35
"""Motor times shaft times propeller, 0.2 to 0.5. Common practice, no source."""

SLIP: Ratio = 0.3
"""Slip of a loaded propeller, 0.15 to 0.5. Common practice, no source."""


def froude_speed(length: Metres, froude: Ratio) -> MetresPerSecond:
    """Speed at a Froude number of the length, F sqrt(g L) (m/s)."""
    return not_negative("The Froude number", froude) * math.sqrt(
        GRAVITY * positive("The length in m", length)
    )


def speed_for_power(power: Watts, drag: KilogramsPerMetre, efficiency: Ratio = EFFICIENCY) -> MetresPerSecond:
    """Speed where power and drag balance, V = (eta P / c)^(1/3) (m/s).

    power: electrical, W. drag: c of R = c V^2, kg/m. efficiency: motor, shaft and propeller together.
    """
    between("The efficiency", efficiency, 0.01, 1.0)
    useful = efficiency * not_negative("The power in W", power)
    return math.cbrt(useful / positive("The drag in kg/m", drag))


def top_speed(
    hull: Hull,
    power: Watts,
    density: KilogramsPerCubicMetre,
    kinematic_viscosity: SquareMetresPerSecond,
    *,
    efficiency: Ratio = EFFICIENCY,
    appendages: Ratio = APPENDAGES,
) -> MetresPerSecond:
    """Speed where `power` (W, electrical) meets the drag, the friction taken at that speed (m/s).

    Valid where the answer's Reynolds number lies in 1e4 to 1e10. A timed course replaces it.
    """
    speed = 1.0
    for _ in range(15):  # C_F falls slowly with V: each step shrinks the error about tenfold
        factor = drag_factor(hull, speed, density, kinematic_viscosity, appendages=appendages)
        speed = speed_for_power(positive("The power in W", power), factor, efficiency)
    return speed


def pitch_speed(turns_per_second: Ratio, pitch: Metres, slip: Ratio = SLIP) -> MetresPerSecond:
    """Speed a loaded propeller allows, n p (1 - s) (m/s); says nothing about thrust.

    turns_per_second: loaded, 1/s. pitch: m a turn. slip: 0 to 1.
    """
    between("The slip", slip, 0.0, 1.0)
    return (
        not_negative("The turns a second", turns_per_second)
        * positive("The pitch in m", pitch)
        * (1.0 - slip)
    )


def speed_at_throttle(full: MetresPerSecond, throttle: Ratio) -> MetresPerSecond:
    """Steady speed at a share of full throttle, V = V_max tau (m/s); power goes with tau^3.

    full: m/s. throttle: 0 to 1; low trust until timed, and below 0.2 seals rub more than the hull drags.
    """
    return not_negative("The full speed in m/s", full) * between("The throttle", throttle, 0.0, 1.0)


def distance_run(full: MetresPerSecond, bands: Iterable[tuple[Ratio, Seconds]]) -> Metres:
    """Distance run through all throttle bands, sum of V_i t_i (m).

    bands: pairs of throttle (0 to 1) and time (s). Out *and* back: the far point is at most half of it.
    """
    return math.fsum(speed_at_throttle(full, tau) * not_negative("The time in s", t) for tau, t in bands)


def scale_speed(full_size: MetresPerSecond, scale: Ratio) -> MetresPerSecond:
    """Speed at which a model of 1 : `scale` makes the wave pattern of the ship, V / sqrt(scale) (m/s).

    A look at the surface, not a law of drag. Source: Froude's law of comparison.
    """
    return not_negative("The ship's speed in m/s", full_size) / math.sqrt(
        between("The scale", scale, 1.0, 1e4)
    )
