"""Depth lost between the loss of signal and the moment she turns upwards, going ahead.

Three phases at constant speed (a stopping motor shortens them; ignoring that is safe): the receiver
waits, the planes travel, the boat answers. While it waits, either the path keeps its angle, or the
planes were over at the moment of loss, are held, and bend the path down on an arc. Then the path angle
relaxes towards rise with the time k L / V, so the lag costs a fixed number of boat lengths at any
speed. Depths are added depths of the boat's centre, downwards positive; angles are magnitudes bow-down.

The bound stands against a depth-plane simulation with the published coefficients of a 1.33 m
torpedo-shaped vehicle (Prestero 2001, appendix of coefficients; 0.5 to 1.6 m/s, planes of 20 degrees).
Compared at the *path* angle it is 1.00 to 1.50 of the simulated depth in steady dives of 5 to 15 degrees
and 0.91 to 1.02 at 20, hence the allowance; with the planes held over 1.1 to 6, because the righting
moment and not the arc ends a slow boat's dive. A boat's bow points steeper than her path, so her
bow-down angle put in is on the safe side.
Source: kinematics of the phases above; the two constants are common practice, no source.
"""

import math
from dataclasses import dataclass

from divelog.physics.motion._guard import between, not_negative, positive, slope
from divelog.physics.motion.speed import froude_speed
from divelog.physics.si import Metres, MetresPerSecond, Radians, Ratio, Seconds

LAG_LENGTHS: Ratio = 1.5
"""k: lag of the path in boat lengths, 1 to 2.5; 2.5 for planes under 1/40 of L D a side."""

ARC_LENGTHS: Ratio = 2.0
"""n: radius of a dive with the planes held over, in boat lengths; small is the safe side."""

SLOWEST: MetresPerSecond = 0.05
"""Below this she drifts, and the phases mean nothing."""

STEEP: Radians = math.radians(18.0)
FAST_FROUDE: Ratio = 0.45
STEEP_ALLOWANCE: Ratio = 1.25
"""From 18 degrees or a Froude number of 0.45 up the bound is too tight and gets a quarter more."""


@dataclass(frozen=True, slots=True)
class Excursion:
    """Depth lost, by phase (m), and the path angle when the planes begin to bite (rad).

    waiting: while the receiver waits. travelling: while the planes travel. turning: at most, until the
    path is level. hull_lowest: depth of the deeper end when the turn begins. allowance: 1 or 1.25.
    """

    waiting: Metres
    travelling: Metres
    turning: Metres
    angle: Radians
    hull_lowest: Metres
    allowance: Ratio

    @property
    def bound(self) -> Metres:
        """Depth the centre cannot exceed, sum of the phases (m), allowance left out."""
        return self.waiting + self.travelling + self.turning

    @property
    def worst(self) -> Metres:
        """What must clear the bottom: bound or hull's lowest point, the larger, with the allowance (m).

        The hull's tilt is inside it; never add tilt again.
        """
        return self.allowance * max(self.bound, self.hull_lowest)


_NONE = Excursion(0.0, 0.0, 0.0, 0.0, 0.0, 1.0)


def allowance(speed: MetresPerSecond, dive_angle: Radians, length: Metres) -> Ratio:
    """Return 1.25 where the bound is too tight (from 18 degrees, or 0.45 of sqrt(g L), up), else 1."""
    fast = speed >= froude_speed(length, FAST_FROUDE)
    return STEEP_ALLOWANCE if fast or dive_angle >= STEEP - 1e-12 else 1.0


def excursion(
    speed: MetresPerSecond,
    dive_angle: Radians,
    delay: Seconds,
    plane_time: Seconds,
    length: Metres,
    *,
    planes_over: bool = False,
    lag_lengths: Ratio = LAG_LENGTHS,
    arc_lengths: Ratio = ARC_LENGTHS,
) -> Excursion:
    """Bound of the depth lost before she turns up.

    waiting = V sin(g0) t_d, or on the arc R (cos g0 - cos gA) with gA = g0 + V t_d / R up to straight
    down and then V for the rest; travelling = V sin(gA) t_s; turning <= k L gA.

    speed: V, m/s, 0 or from 0.05. dive_angle: g0, 0 to 45 degrees (rad). delay: t_d, s, receiver *and*
    failsafe module. plane_time: t_s, s. length: L, m. planes_over: dive stick over when the signal goes,
    and a receiver that holds the last command. lag_lengths: k. arc_lengths: n, R = n L.
    """
    positive("The length in m", length)
    slope("The dive angle", dive_angle, 45.0)
    not_negative("The delay in s", delay)
    not_negative("The planes' travel time in s", plane_time)
    positive("The lag in lengths", lag_lengths)
    positive("The arc in lengths", arc_lengths)
    if speed == 0.0:
        return _NONE
    between("The speed in m/s", speed, SLOWEST, 50.0)
    angle, waiting = dive_angle, speed * math.sin(dive_angle) * delay
    if planes_over:
        angle, waiting = _on_the_arc(speed, dive_angle, delay, arc_lengths * length)
    travelling = speed * math.sin(angle) * plane_time
    return Excursion(
        waiting=waiting,
        travelling=travelling,
        turning=lag_lengths * length * angle,
        angle=angle,
        hull_lowest=waiting + travelling + length / 2.0 * math.sin(angle),
        allowance=allowance(speed, dive_angle, length),
    )


def turning_estimate(
    angle: Radians, rise_angle: Radians, length: Metres, lag_lengths: Ratio = LAG_LENGTHS
) -> Metres:
    """Best estimate of the depth lost while she turns, k L (gA - g1 ln(1 + gA / g1)) (m).

    angle: gA when the planes bite, 0 to 90 degrees (rad). rise_angle: g1 the planes lead to, above 0 to
    45 degrees (rad). Below the bound k L gA; 20 to 40 % too small in steady dives: never for a limit.
    Trap: degrees into it.
    """
    positive("The rise angle", rise_angle)
    slope("The rise angle", rise_angle, 45.0)
    slope("The path angle", angle, 90.0)
    lag = positive("The lag in lengths", lag_lengths) * positive("The length in m", length)
    # rounding may leave a hair under nought at a vanishing angle
    return max(0.0, lag * (angle - rise_angle * math.log1p(angle / rise_angle)))


def _on_the_arc(
    speed: MetresPerSecond, start: Radians, time: Seconds, radius: Metres
) -> tuple[Radians, Metres]:
    """Path angle and depth after `time` on an arc downwards; straight down once it points there."""
    angle = start + speed * time / radius
    if angle <= math.pi / 2.0:
        return angle, radius * (math.cos(start) - math.cos(angle))
    to_vertical = (math.pi / 2.0 - start) * radius / speed
    return math.pi / 2.0, radius * math.cos(start) + speed * (time - to_vertical)
