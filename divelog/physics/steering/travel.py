"""How long the planes take from full dive to full rise, and how wide she turns."""

import math

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Metres, Radians, Ratio, Seconds

LOAD_FACTOR: Ratio = 1.4
"""Slowing by load and stiff seals, 1.2 to 2. Common practice, no source."""

PLANE_TIME: Seconds = 0.4
PLANE_TIME_U95: Seconds = 0.2
"""Full dive to full rise where nobody timed it. Common practice, no source."""

TURN_LENGTHS: Ratio = 4.0
"""Turning diameter in lengths of a cross at 30 degrees, +/- 2 under water. Surface ships turn in 3 to 4;
at most 5 is allowed by IMO resolution MSC.137(76)."""


def plane_time(
    servo_time_60: Seconds,
    swing: Radians,
    linkage: Ratio,
    load: Ratio = LOAD_FACTOR,
    voltage_share: Ratio = 1.0,
) -> Seconds:
    """Time for the planes to swing, t = (t60 / 60 deg) swing linkage load / voltage share (s).

    servo_time_60: the sheet's time for 60 degrees at its rated voltage, s. swing: of the *plane*, full
    dive to full rise, twice the throw, rad. linkage: servo angle over plane angle, 1.2 to 2. load: see
    `LOAD_FACTOR`. voltage_share: volts now over rated; speed goes with volts.
    Traps: the 60 degree time taken for the plane's; a stalled servo never arrives. Ten timed cycles beat
    it. Source: common practice, no source; speed with volts, direct-current motor law.
    """
    for what, value in (
        ("The servo's time in s", servo_time_60),
        ("The swing", swing),
        ("The linkage", linkage),
        ("The load factor", load),
        ("The share of the rated volts", voltage_share),
    ):
        if not (math.isfinite(value) and value > 0.0):
            raise OutOfRangeError(f"{what} must be above zero, not {value:g}.")
    return servo_time_60 / math.radians(60.0) * swing * linkage * load / voltage_share


def turning_diameter(length: Metres, rudder: Radians, strength: Ratio = 2.0) -> Metres:
    """Steady turning diameter under water, 4 L (30 deg / rudder) (2 / strength) (m), +/- half.

    length: m. rudder: 5 to 45 degrees (rad). strength: surfaces' worth of turn, 2 a cross, 2.83 an X.
    Advance is about one diameter; she loses 20 to 40 % of her speed and may squat half a length.
    One timed circle, V t / pi, replaces it. Source: common practice, no source.
    """
    if not (math.isfinite(length) and length > 0.0):
        raise OutOfRangeError(f"The length in m must be above zero, not {length:g}.")
    if not math.radians(5.0) - 1e-12 <= rudder <= math.radians(45.0) + 1e-12:
        raise OutOfRangeError(
            f"The rudder angle must lie from 5 to 45 degrees, not {math.degrees(rudder):g}."
        )
    if not (math.isfinite(strength) and strength > 0.0):
        raise OutOfRangeError(f"The tail's strength must be above zero, not {strength:g}.")
    return TURN_LENGTHS * length * math.radians(30.0) / rudder * 2.0 / strength
