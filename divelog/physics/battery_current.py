"""Current from a pack by throttle, and of loads behind a supply."""

import math

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import Amperes, Ratio, Volts

SLOW_THROTTLE: Ratio = 0.30
HALF_THROTTLE: Ratio = 0.50
FULL_THROTTLE: Ratio = 1.00
"""Fractions of full throttle that "slow", "half" and "full" of a plan mean."""

THROTTLE_EXPONENT: Ratio = 2.0
"""For want of a measured one: the safe side (a chopping controller gives 2.5 to 3)."""

THROTTLE_EXPONENT_LEAST: Ratio = 1.5
THROTTLE_EXPONENT_MOST: Ratio = 3.5


def band_current(
    *, throttle: Ratio, hotel: Amperes, no_load: Amperes, full: Amperes, exponent: Ratio = THROTTLE_EXPONENT
) -> Amperes:
    """Battery current at a throttle δ, I = I_h + I_nl·δ + (I_full - I_h - I_nl)·δ^p.

    Args:
        throttle: δ, 0 to 1 of what reaches the motor (after the transmitter's curve).
        hotel: I_h, everything but the motor, A.
        no_load: I_nl, motor with the shaft free, A.
        full: I_full, all of it at full ahead in the water, A; at least hotel + no-load.
        exponent: p, 1.5 to 3.5: 2 the safe side, near 2.5 usual, 3 a chopping controller without resistance.

    Source: for a fixed propeller torque goes as n², power as n³ (propeller law); a chopping controller's
    battery current is δ times the motor's.

    Raises:
        OutOfRangeError: any input out of its range.
    """
    need_within("throttle", throttle, 0.0, 1.0)
    need_within("throttle exponent", exponent, THROTTLE_EXPONENT_LEAST, THROTTLE_EXPONENT_MOST)
    need_not_negative("idle current", hotel, "A")
    need_not_negative("no-load current", no_load, "A")
    water = _propeller_current(hotel=hotel, no_load=no_load, full=full)
    return float(hotel + no_load * throttle + water * throttle**exponent)


def throttle_exponent(*, hotel: Amperes, no_load: Amperes, half: Amperes, full: Amperes) -> Ratio:
    """Exponent p of `band_current` from the current at half throttle.

    p = ln[(I_half - I_h - I_nl/2)/(I_full - I_h - I_nl)]/ln ½.

    Raises:
        OutOfRangeError: p outside 1.5 to 3.5, or currents that do not rise: measure again.
    """
    water = _propeller_current(hotel=hotel, no_load=no_load, full=full)
    at_half = half - hotel - 0.5 * no_load
    if not at_half > 0:
        raise OutOfRangeError(
            f"{half:.3g} A at half throttle is no more than idle and the motor alone take; measure again."
        )
    p = math.log(at_half / water) / math.log(0.5)
    if not THROTTLE_EXPONENT_LEAST <= p <= THROTTLE_EXPONENT_MOST:
        raise OutOfRangeError(
            f"{half:.3g} A at half and {full:.3g} A at full throttle do not belong to one propeller; "
            "measure both again."
        )
    return p


def _propeller_current(*, hotel: Amperes, no_load: Amperes, full: Amperes) -> Amperes:
    water = full - hotel - no_load
    if not (water > 0 and math.isfinite(water)):
        raise OutOfRangeError(
            f"{full:.3g} A at full throttle must be more than {hotel + no_load:.3g} A, "
            "idle and the motor alone."
        )
    return water


def supply_input_current(
    *, output_volts: Volts, output_current: Amperes, pack_volts: Volts, efficiency: Ratio = 0.85
) -> Amperes:
    """Pack current of a load behind a switching supply, I = I_out·V_out/(η·V_pack).

    A linear regulator draws the load's own current whatever the volts. Source: power balance; η assumed.
    """
    need_positive("supply's output voltage", output_volts, "V")
    need_not_negative("supply's output current", output_current, "A")
    need_positive("pack voltage", pack_volts, "V")
    need_within("supply's efficiency", efficiency, 0.3, 1.0)
    return output_current * output_volts / (efficiency * pack_volts)
