"""How far she runs on when the throttle is cut, and how far with the motor astern.

Quadratic drag on a constant mass: m dV/dt = -c V^2. The mass is *everything* that moves, flood water
and added mass included; the dry mass of a wet hull halves the distance, on the unsafe side. The law
never stops her: quote "until 0.1 m/s". Use the low drag for the distance to keep clear; a stopped
propeller drags 10 to 40 % more (common practice, no source) and is left out on the safe side.
Uncertainty of the distance -40/+60 %. Source: integrals of the law above.
"""

import math
from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion._guard import not_negative, positive
from divelog.physics.si import (
    Kilograms,
    KilogramsPerMetre,
    Metres,
    MetresPerSecond,
    Newtons,
    PerMetre,
    Seconds,
)


def coast_rate(drag: KilogramsPerMetre, moving_mass: Kilograms) -> PerMetre:
    """Return a = c / m (1/m): drag c of R = c V^2 (kg/m) over the moving mass (kg)."""
    return not_negative("The drag in kg/m", drag) / positive("The moving mass in kg", moving_mass)


def coast_speed(start: MetresPerSecond, rate: PerMetre, time: Seconds) -> MetresPerSecond:
    """Speed after coasting for `time`, V = V0 / (1 + a V0 t) (m/s)."""
    return start / (1.0 + _travel(start, rate, time))


def coast_distance(start: MetresPerSecond, rate: PerMetre, time: Seconds) -> Metres:
    """Distance coasted in `time`, s = ln(1 + a V0 t) / a; V0 t where there is no drag (m)."""
    x = _travel(start, rate, time)
    if x < 1e-12:  # the quotient loses itself; the next term of the series is below rounding
        return start * time
    return math.log1p(x) / rate


def coast_distance_to(start: MetresPerSecond, end: MetresPerSecond, rate: PerMetre) -> Metres:
    """Distance until she is down to `end`, s = ln(V0 / V) / a (m). Refuses end above start, or no drag."""
    _slows(start, end)
    return math.log(start / end) / positive("The coasting rate in 1/m", rate)


def coast_time_to(start: MetresPerSecond, end: MetresPerSecond, rate: PerMetre) -> Seconds:
    """Time until she is down to `end`, t = (1 / V - 1 / V0) / a (s). Refuses as `coast_distance_to`."""
    _slows(start, end)
    return (1.0 / end - 1.0 / start) / positive("The coasting rate in 1/m", rate)


@dataclass(frozen=True, slots=True)
class Stop:
    """Distance (m) and time (s) until she lies still."""

    distance: Metres
    time: Seconds


def stop_with_astern(
    start: MetresPerSecond,
    moving_mass: Kilograms,
    drag: KilogramsPerMetre,
    astern_thrust: Newtons,
    reaction: Seconds = 0.0,
) -> Stop:
    """Stop with steady astern thrust T after `reaction` at full speed.

    s = V0 t_r + m / (2 c) ln(1 + c V0^2 / T); t = t_r + m / sqrt(c T) atan(V0 sqrt(c / T)).
    start m/s, moving_mass kg, drag c kg/m above zero, thrust N (0.4 of the thrust ahead at rest where
    nobody measured it: common practice, no source), reaction s.
    """
    not_negative("The speed in m/s", start)
    c = positive("The drag in kg/m", drag)
    mass = positive("The moving mass in kg", moving_mass)
    thrust = positive("The astern thrust in N", astern_thrust)
    wait = not_negative("The reaction time in s", reaction)
    distance = start * wait + mass / (2.0 * c) * math.log1p(c * start * start / thrust)
    time = wait + mass / math.sqrt(c * thrust) * math.atan(start * math.sqrt(c / thrust))
    return Stop(distance, time)


def _travel(start: MetresPerSecond, rate: PerMetre, time: Seconds) -> float:
    return (
        not_negative("The coasting rate in 1/m", rate)
        * not_negative("The speed in m/s", start)
        * not_negative("The time in s", time)
    )


def _slows(start: MetresPerSecond, end: MetresPerSecond) -> None:
    positive("The end speed in m/s", end)
    if not (math.isfinite(start) and start >= end):
        raise OutOfRangeError(f"She cannot coast from {start:g} m/s up to {end:g} m/s.")
