"""Signal lost going astern, or planes jammed: no plane effect counted, only coasting and buoyancy.

With sternway the flow over a stern plane reverses, so *rise* pushes the bow down, and the hull is
unstable stern first. Pointing bow-up while backing, the stern leads downwards. The motor stops when the
failsafe acts; then the coast carries her down while buoyancy gathers way. Buoyancy needs seconds: it is
not enough that the sinking speed has fallen below the rising one. With the planes jammed *and* the motor
running there is no limit.
Source: sum of the coasting and rising laws of this package.
"""

import math
from dataclasses import dataclass

from divelog.physics.motion._guard import between, not_negative, positive, slope
from divelog.physics.motion.coasting import coast_distance, coast_distance_to, coast_speed, coast_time_to
from divelog.physics.motion.rising import Rise
from divelog.physics.roots import crossing
from divelog.physics.si import Metres, MetresPerSecond, PerMetre, Radians, Seconds

DRIFTING: MetresPerSecond = 0.05
"""Where the coast is taken as over if nothing lifts her."""


@dataclass(frozen=True, slots=True)
class DepthLost:
    """Added depth of the centre (m), reached `time` s after the motor stopped."""

    depth: Metres
    time: Seconds


def coasting_excursion(
    speed: MetresPerSecond, angle: Radians, delay: Seconds, rate: PerMetre, rise: Rise | None
) -> DepthLost:
    """Depth lost while she coasts down a slope against her buoyancy.

    E = sin(g) V0 t_d + max over t of [sin(g) ln(1 + a V0 t) / a - V_t tau ln cosh(t / tau)].

    speed: V0, 0 to 50 m/s. angle: g of the slope she runs down, 0 to 45 degrees (rad). delay: t_d until
    the motor stops, s. rate: a, 1/m, of the *low* drag. rise: of her buoyancy today, or None if nothing
    lifts her: then until 0.05 m/s, and the depth does not come back.
    """
    between("The speed in m/s", speed, 0.0, 50.0)
    sine = math.sin(slope("The slope", angle, 45.0))
    driven = sine * speed * not_negative("The delay in s", delay)
    positive("The coasting rate in 1/m", rate)
    if rise is None:
        if speed <= DRIFTING:
            return DepthLost(driven, 0.0)
        return DepthLost(
            driven + sine * coast_distance_to(speed, DRIFTING, rate), coast_time_to(speed, DRIFTING, rate)
        )

    def sinking(time: Seconds) -> MetresPerSecond:
        return sine * coast_speed(speed, rate, time) - rise.speed(time)

    if sinking(0.0) <= 0.0:
        return DepthLost(driven, 0.0)
    low, high = 0.0, rise.time_constant
    while sinking(high) > 0.0:  # ends: the coast dies out and the rise does not
        low, high = high, 2.0 * high
    time = crossing(sinking, low, high)
    return DepthLost(driven + sine * coast_distance(speed, rate, time) - rise.risen(time), time)
