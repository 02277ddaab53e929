"""How she goes before the signal is lost: the sideslip, planes and thrust that keep her on her way."""

from __future__ import annotations

from dataclasses import dataclass

from divelog.physics.motion.vertical_plane import Boat2D, forces_on
from divelog.physics.roots import crossing
from divelog.physics.si import Kilograms, MetresPerSecond, NewtonMetres, Newtons, Radians, Ratio


@dataclass(frozen=True, slots=True)
class Steady:
    """What keeps her on her way.

    down: speed downwards across the boat, m/s. planes: share of the throw, + to rise. thrust: N, astern
    below nought. hold: moment that planes nobody can reckon give, N m; 0 going ahead. kept: False where her
    planes at the stop cannot hold that angle: she starts on it all the same, and leaves it.
    """

    down: MetresPerSecond
    planes: Ratio
    thrust: Newtons
    hold: NewtonMetres
    kept: bool


def steady(boat: Boat2D, speed: MetresPerSecond, pitch: Radians, light: Kilograms) -> Steady:
    """Find what keeps a boat at a speed (m/s, astern below nought) and pitch (rad), `light` kg up.

    Ahead the planes hold the angle, as far as they go. Astern nobody knows what planes do: she is put on
    her angle by a moment of its own. Without way she lies still.
    """
    forces = forces_on(boat)
    pull = boat.mass_broadside - boat.mass_ahead

    def sideslip(planes: Ratio) -> MetresPerSecond:
        most = abs(speed) + 1.0
        return crossing(lambda w: forces(pitch, speed, w, 0.0, planes, light)[1], -most, most)

    def turning(planes: Ratio) -> NewtonMetres:
        w = sideslip(planes)
        return forces(pitch, speed, w, 0.0, planes, light)[2] + pull * speed * w

    if speed == 0.0:
        return Steady(0.0, 0.0, 0.0, 0.0, kept=True)
    planes, hold, kept = 0.0, 0.0, True
    if speed < 0.0 or not boat.planes:
        hold = -turning(0.0)
    else:
        at_dive, at_rise = turning(-1.0), turning(1.0)
        if at_dive <= 0.0 <= at_rise:
            planes = crossing(turning, -1.0, 1.0)
        else:
            planes, kept = (-1.0 if at_dive > 0.0 else 1.0), False
    w = sideslip(planes)
    return Steady(w, planes, -forces(pitch, speed, w, 0.0, planes, light)[0], hold, kept)
