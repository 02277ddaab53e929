"""Time to come up by buoyancy alone, with a blow, and by planes.

Level rise from rest against broadside drag: m dw/dt = B - rho C A w |w| / 2, B = g dm. The moving mass
is the whole form, flood water in, plus its added mass; without them the start is two to four times too
quick. Weed, mud and a snag beat all of this. Holds below the drag crisis, speed times diameter over
viscosity 2e3 to 2e5, and for depths of 0.05 to 6 m.
Source: integrals of the law above; drag of cylinders across the stream by length over diameter,
Matthews, Aeronautical Engineer's Data Book, drag tables (5: 0.74, 10: 0.82, endless: 1.20).
"""

import math
from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion._guard import between, not_negative, positive, slope
from divelog.physics.si import (
    GRAVITY,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    MetresPerSecond,
    NewtonMetres,
    Radians,
    Ratio,
    Seconds,
    SquareMetres,
)

BROADSIDE_DRAG: Ratio = 1.2
"""On the plan area: the slow, safe end; the best estimate is 0.9. Common practice, no source."""

_STEP: Seconds = 0.02
_LONGEST: Seconds = 1800.0


@dataclass(frozen=True, slots=True)
class Rise:
    """A level rise from rest.

    terminal_speed: V_t = sqrt(2 B / (rho C A)), m/s. time_constant: tau = m V_t / B, s.
    """

    terminal_speed: MetresPerSecond
    time_constant: Seconds

    def time(self, depth: Metres) -> Seconds:
        """Time to rise `depth` (m), t = tau arcosh(e^x), x = d / (V_t tau), written so it cannot overflow.

        Deep: d / V_t + 0.693 tau. Shallow: sqrt(2 d m / B).
        """
        x = not_negative("The depth to rise in m", depth) / (self.terminal_speed * self.time_constant)
        return self.time_constant * (x + math.log1p(math.sqrt(-math.expm1(-2.0 * x))))

    def risen(self, time: Seconds) -> Metres:
        """Height risen after `time` (s), V_t tau ln cosh(t / tau) (m)."""
        x = not_negative("The time in s", time) / self.time_constant
        return self.terminal_speed * self.time_constant * log_cosh(x)

    def speed(self, time: Seconds) -> MetresPerSecond:
        """Speed upwards after `time` (s), V_t tanh(t / tau) (m/s)."""
        return self.terminal_speed * math.tanh(not_negative("The time in s", time) / self.time_constant)


def log_cosh(x: float) -> float:
    """Natural logarithm of cosh x without overflow, and without losing small x."""
    x = abs(x)
    if x < 1e-4:
        return x * x / 2.0 * (1.0 - x * x / 6.0)
    return x + math.log1p(math.exp(-2.0 * x)) - math.log(2.0)


def rise(
    buoyancy: Kilograms,
    moving_mass: Kilograms,
    density: KilogramsPerCubicMetre,
    area: SquareMetres,
    drag_coefficient: Ratio = BROADSIDE_DRAG,
) -> Rise:
    """Return the rise of a boat that is `buoyancy` light.

    buoyancy: dm, kg, positive up; at or below zero there is no finite time and it is refused.
    moving_mass: flood water and added mass in, kg. density: kg/m3. area: plan area, m2.
    drag_coefficient: on that area, 0.3 to 3; +/- 30 % makes +/- 15 % of time, but dm rules: time goes
    with 1 / sqrt(dm).
    Traps: grams-force for newtons; the reserve with empty ballast where nothing blows.
    """
    if not (math.isfinite(buoyancy) and buoyancy > 0.0):
        raise OutOfRangeError(f"At {buoyancy * 1000.0:g} g of buoyancy she will not come up by herself.")
    force = GRAVITY * buoyancy
    terminal = math.sqrt(2.0 * force / _broadside(density, area, drag_coefficient))
    return Rise(terminal, positive("The moving mass in kg", moving_mass) * terminal / force)


@dataclass(frozen=True, slots=True)
class Blow:
    """Ballast given out: `mass` (kg) at an even rate over `duration` (s), after `delay` (s)."""

    mass: Kilograms
    duration: Seconds
    delay: Seconds = 0.0

    def given_out(self, time: Seconds) -> Kilograms:
        """Mass given out by `time` (s), kg."""
        if time <= self.delay:
            return 0.0
        return self.mass * min(1.0, (time - self.delay) / self.duration)


@dataclass(frozen=True, slots=True)
class BlownRise:
    """Time to the top (s), and how far below the start she sank first (m)."""

    time: Seconds
    sank: Metres


def rise_with_blow(
    depth: Metres,
    buoyancy: Kilograms,
    blow: Blow,
    moving_mass: Kilograms,
    density: KilogramsPerCubicMetre,
    area: SquareMetres,
    drag_coefficient: Ratio = BROADSIDE_DRAG,
    *,
    room_below: Metres | None = None,
) -> BlownRise:
    """Time to rise `depth` while ballast is blown, by fixed fourth-order steps of 0.02 s.

    depth: m to rise. buoyancy: dm before the blow, kg; below zero she sinks first. room_below: m to the
    bottom, where she stops; None for no bottom. The rest as in `rise`.
    The blow's rate is that at depth, not the bench's.
    Refuses if she stays heavy, or is not up within half an hour.
    """
    goal = positive("The depth to rise in m", depth)
    mass = positive("The moving mass in kg", moving_mass)
    positive("The time to blow in s", blow.duration)
    not_negative("The delay of the blow in s", blow.delay)
    not_negative("The ballast blown in kg", blow.mass)
    floor = -math.inf if room_below is None else -not_negative("The room below in m", room_below)
    if not (math.isfinite(buoyancy) and buoyancy + blow.mass > 0.0):
        raise OutOfRangeError("She stays heavy after the blow and will not come up by herself.")
    drag = _broadside(density, area, drag_coefficient) / 2.0

    def pull(time: Seconds, speed: MetresPerSecond) -> float:
        return (GRAVITY * (buoyancy + blow.given_out(time)) - drag * speed * abs(speed)) / mass

    time = height = speed = lowest = 0.0
    while time < _LONGEST:
        k1 = pull(time, speed)
        k2 = pull(time + _STEP / 2.0, speed + k1 * _STEP / 2.0)
        k3 = pull(time + _STEP / 2.0, speed + k2 * _STEP / 2.0)
        k4 = pull(time + _STEP, speed + k3 * _STEP)
        gained = _STEP * (speed + _STEP * (k1 + k2 + k3) / 6.0)
        if height + gained >= goal:
            return BlownRise(time + _STEP * (goal - height) / gained, abs(lowest))
        height += gained
        speed += _STEP * (k1 + 2.0 * k2 + 2.0 * k3 + k4) / 6.0
        time += _STEP
        if height <= floor:
            height, speed = floor, max(speed, 0.0)
        lowest = min(lowest, height)
    raise OutOfRangeError("She is not up within half an hour: count on her staying down.")


def climb_time(depth: Metres, speed: MetresPerSecond, angle: Radians) -> Seconds:
    """Time to climb `depth` (m) under power at `speed` (m/s) and path `angle` (rad), d / (V sin) (s).

    A better case only: a stopped motor, a jammed plane or weed takes it away.
    """
    positive("The climbing angle", angle)
    rate = positive("The speed in m/s", speed) * math.sin(slope("The climbing angle", angle, 90.0))
    return not_negative("The depth to rise in m", depth) / rate


def holding_speed(
    righting: NewtonMetres, plane_moment_slope: float, density: KilogramsPerCubicMetre
) -> MetresPerSecond:
    """Least speed at which the planes hold her nose up against the righting moment (m/s).

    V = sqrt(2 M / (rho K)). righting: M = m g BG sin(angle), N m. plane_moment_slope:
    K = S C_La delta l, m3: area of the pair (m2), lift slope (1/rad), throw (rad), arm (m).
    """
    moment = not_negative("The righting moment in N m", righting)
    slope_ = positive("The planes' moment", plane_moment_slope)
    return math.sqrt(2.0 * moment / (positive("The density in kg/m3", density) * slope_))


def _broadside(density: KilogramsPerCubicMetre, area: SquareMetres, drag_coefficient: Ratio) -> float:
    between("The drag coefficient broadside", drag_coefficient, 0.3, 3.0)
    return positive("The density in kg/m3", density) * drag_coefficient * positive("The area in m2", area)
