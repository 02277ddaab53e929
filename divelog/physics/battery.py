"""A pack under load: its resistance, the volts it must hold, the resistance that still holds them.

Beside it: `battery_chemistry` (tables), `battery_charge` (state of charge by volts), `battery_capacity`,
`battery_current` (throttle), `battery_endurance`, `battery_log` (what runs took).
"""

import math
from dataclasses import dataclass

from divelog.physics.battery_chemistry import FACTS, Chemistry
from divelog.physics.electrical import AMPERE_HOUR
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive
from divelog.physics.si import Amperes, Coulombs, Ohms, Ratio, Volts

SUPPLY_MARGIN: Volts = 0.5
"""Kept above the receiver's least volts for dips a meter cannot see (common practice, no source)."""

SWITCHING_DROP: Volts = 0.5
"""What a switching supply needs above its output (assumed; a maker's sheet rules)."""

RESISTANCE_GROWTH: Ratio = 1.5
"""Cold, or under 30 % charge, against the resistance measured; also the growth that is still "usual"
(assumed, from memory: lead-acid 1.3-1.5, lithium at 0 degC 2-3)."""


def internal_resistance(
    *, light_volts: Volts, light_current: Amperes, heavy_volts: Volts, heavy_current: Amperes
) -> Ohms:
    """Resistance of pack and leads from two loads, R = (V1 - V2)/(I2 - I1).

    Both volts read the same time (10 s) after the load is on, light load first, two minutes between. Compare
    only 10 s with 10 s: a maker's figure at 1 kHz is 1.3 to 2 times lower (from memory). Read at the boat's
    own plug it holds the joints as well.

    Raises:
        OutOfRangeError: the heavy current is not the greater, or the volts rise with the load.

    Source: Ohm's law.
    """
    need_not_negative("light current", light_current, "A")
    if not (heavy_current > light_current and math.isfinite(heavy_current)):
        raise OutOfRangeError("The second current must be greater than the first.")
    if not heavy_volts <= light_volts:
        raise OutOfRangeError("The volts must fall as the current rises; read both again, ten seconds after.")
    return (light_volts - heavy_volts) / (heavy_current - light_current)


def internal_resistance_u95(
    *, light_current: Amperes, heavy_current: Amperes, light_u95: Volts, heavy_u95: Volts
) -> Ohms:
    """u95 of `internal_resistance`, √(u95(V1)² + u95(V2)²)/(I2 - I1).

    The meter's resolution and repeatability count, not its gain: same meter, same range. Currents exact.
    """
    if not (heavy_current > light_current and math.isfinite(heavy_current)):
        raise OutOfRangeError("The second current must be greater than the first.")
    return math.hypot(light_u95, heavy_u95) / (heavy_current - light_current)


def load_voltage(*, rest: Volts, current: Amperes, resistance: Ohms, growth: Ratio = 1.0) -> Volts:
    """Volts under load, V = V_rest - I·R·g.

    `growth` g is 1 as measured, 1.5 cold or under 30 % charge. Not below 0. Source: Ohm's law.
    """
    need_positive("rest voltage", rest, "V")
    need_not_negative("current", current, "A")
    need_not_negative("resistance", resistance, "ohm")
    need_not_negative("growth of the resistance", growth)
    return max(0.0, rest - current * resistance * growth)


def cut_off_voltage(*, chemistry: Chemistry, cells: int, capacity: Coulombs, current: Amperes) -> Volts:
    """Volts under load a pack is not drawn below: by the current over the capacity, to C/5, to 1C, above.

    Above 3C the figure of 1C to 3C stands (the safe side). Sources at the chemistry's table.
    """
    if cells < 1:
        raise OutOfRangeError(f"A pack has at least one cell; {cells} was given.")
    need_positive("pack's capacity", capacity / AMPERE_HOUR, "A h")
    need_not_negative("current", current, "A")
    rate = current * AMPERE_HOUR / capacity
    slow, middle, fast = FACTS[chemistry].cut_off
    if rate <= 0.2:
        return cells * slow
    return cells * (middle if rate <= 1.0 else fast)


def floor_voltage(
    *, cut_off: Volts, receiver_least: Volts | None = None, drop: Volts = SWITCHING_DROP
) -> Volts:
    """Volts the pack must hold: its cut-off, and what the receiver needs when it hangs on this pack.

    V = max(cut-off, least of the receiver + drop of its supply + 0.5 V). `receiver_least` None: the receiver
    has a pack of its own. Common practice, no source.
    """
    need_positive("cut-off voltage", cut_off, "V")
    if receiver_least is None:
        return cut_off
    need_positive("receiver's least voltage", receiver_least, "V")
    need_not_negative("drop of the receiver's supply", drop, "V")
    return max(cut_off, receiver_least + drop + SUPPLY_MARGIN)


@dataclass(frozen=True, slots=True)
class ResistanceLimit:
    """Most resistance a pack may show, and the two terms it is the least of.

    own       1.5 times its own usual resistance, or None without one
    by_floor  what leaves the floor at the end of the plan, cold
    """

    limit: Ohms
    own: Ohms | None
    by_floor: Ohms


def resistance_limit(
    *, usual: Ohms | None, rest_at_end: Volts, floor: Volts, peak_current: Amperes
) -> ResistanceLimit:
    """Most resistance, min(1.5·R_usual, (V_rest(end) - V_floor)/(1.5·I_peak)).

    Args:
        usual: the pack's own resistance, ohm; None when not known: the second term alone.
        rest_at_end: rest volts at the charge the plan ends with.
        floor: volts to hold (`floor_voltage`).
        peak_current: drive and ballast at the same moment, A.

    Raises:
        OutOfRangeError: the pack cannot hold the floor at the end of the plan, whatever its resistance.
    """
    need_positive("peak current", peak_current, "A")
    by_floor = (rest_at_end - floor) / (RESISTANCE_GROWTH * peak_current)
    if not by_floor > 0:
        raise OutOfRangeError(
            f"This pack rests at {rest_at_end:.2f} V at the end of the plan and {floor:.2f} V must be held: "
            "it cannot."
        )
    if usual is None:
        return ResistanceLimit(limit=by_floor, own=None, by_floor=by_floor)
    need_positive("pack's usual resistance", usual, "ohm")
    own = RESISTANCE_GROWTH * usual
    return ResistanceLimit(limit=min(own, by_floor), own=own, by_floor=by_floor)
