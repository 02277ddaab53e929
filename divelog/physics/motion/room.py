"""What the room under the keel allows: the longest failsafe delay, the steepest dive.

The inverse of `excursion`: room is the depth between keel and bottom less what is kept over it (m).
The allowance of 1.25 for steep and fast dives is not in these; divide the room by it where it holds.
Traps: clearance counted twice; keel for centre; two delays add (receiver and failsafe module).
Source: kinematics of the excursion's phases.
"""

import math

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion._guard import between, not_negative, positive, slope
from divelog.physics.motion.excursion import LAG_LENGTHS, SLOWEST, excursion
from divelog.physics.roots import crossing
from divelog.physics.si import Metres, MetresPerSecond, Radians, Ratio, Seconds

LONGEST_DELAY_SOUGHT: Seconds = 600.0
_UNDER: Seconds = 5e-10


def longest_delay(
    room: Metres,
    speed: MetresPerSecond,
    dive_angle: Radians,
    plane_time: Seconds,
    length: Metres,
    *,
    lag_lengths: Ratio = LAG_LENGTHS,
) -> Seconds:
    """Longest delay at a steady dive angle, (r - V sin(g) t_s - max(k L g, L sin(g) / 2)) / (V sin(g)).

    room: m, may be negative. speed: m/s from 0.05. dive_angle: 0 to 45 degrees (rad). plane_time: s.
    length: m. A negative answer (s): no delay is short enough. At no dive angle the delay does not
    limit: infinite with room, minus infinite without.
    """
    _finite_room(room)
    between("The speed in m/s", speed, SLOWEST, 50.0)
    slope("The dive angle", dive_angle, 45.0)
    not_negative("The planes' travel time in s", plane_time)
    lag = positive("The lag in lengths", lag_lengths) * positive("The length in m", length) * dive_angle
    if dive_angle == 0.0:
        return math.inf if room >= 0.0 else -math.inf
    sink = speed * math.sin(dive_angle)
    end = max(lag, length / 2.0 * math.sin(dive_angle))
    return (room - sink * plane_time - end) / sink


def longest_delay_planes_over(
    room: Metres,
    speed: MetresPerSecond,
    dive_angle: Radians,
    plane_time: Seconds,
    length: Metres,
    *,
    lag_lengths: Ratio = LAG_LENGTHS,
) -> Seconds | None:
    """Longest delay with the dive planes held over, to 1e-9 s and never over it.

    Inputs as `longest_delay`. None: no delay is short enough. At most 600 s.
    """
    _finite_room(room)
    between("The speed in m/s", speed, SLOWEST, 50.0)

    def spare(delay: Seconds) -> Metres:
        lost = excursion(
            speed, dive_angle, delay, plane_time, length, planes_over=True, lag_lengths=lag_lengths
        )
        return room - max(lost.bound, lost.hull_lowest)

    if spare(0.0) < 0.0:
        return None
    if spare(LONGEST_DELAY_SOUGHT) >= 0.0:
        return LONGEST_DELAY_SOUGHT
    return max(0.0, crossing(spare, 0.0, LONGEST_DELAY_SOUGHT) - _UNDER)


def steepest_angle(
    room: Metres,
    speed: MetresPerSecond,
    delay: Seconds,
    plane_time: Seconds,
    length: Metres,
    *,
    lag_lengths: Ratio = LAG_LENGTHS,
) -> Radians:
    """Largest steady dive angle the room allows, before any cap: V sin(g) (t_d + t_s) + k L g <= r (rad).

    room: m, no room gives 0. speed: m/s, not below 0. delay, plane_time: s. length: m. At most a right
    angle. Caps by vents, lead and packs and the mast come on top; the hull's
    own tilt never binds while the lag is over half a length.
    """
    _finite_room(room)
    run = not_negative("The speed in m/s", speed) * (
        not_negative("The delay in s", delay) + not_negative("The planes' travel time in s", plane_time)
    )
    lag = positive("The lag in lengths", lag_lengths) * positive("The length in m", length)
    if room <= 0.0:
        return 0.0
    straight_down = math.pi / 2.0
    if run + lag * straight_down <= room:
        return straight_down
    return crossing(lambda angle: run * math.sin(angle) + lag * angle - room, 0.0, straight_down)


def _finite_room(room: Metres) -> None:
    if not math.isfinite(room):
        raise OutOfRangeError(f"The room under the keel must be a number of metres, not {room:g}.")
