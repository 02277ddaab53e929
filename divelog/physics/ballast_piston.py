"""A piston tank: what the water pushes with, what the screw must give, and where the motor stalls.

The piston works between the water outside, P_a + ρ·g·d, and the cylinder's air behind it. Emptying, it pushes
against the difference; filling, the difference helps until the squeezed air is above the water's pressure.

Source: statics of piston and screw; screw efficiencies 0.2 to 0.4 plain, 0.85 to 0.9 ball (from memory); a
brushed motor's speed falls in a straight line to stall.
"""

import math
from dataclasses import dataclass

from divelog.physics.ballast_stroke import integrate
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    KilogramsPerCubicMetre,
    Metres,
    NewtonMetres,
    Newtons,
    Pascals,
    Ratio,
    Seconds,
    SquareMetres,
)

FRICTION_PER_BORE = 300.0
FRICTION_SHARE_U95: Ratio = 0.5
"""N per m of bore (0.3 N/mm ± 50 %, assumed); two to three times that after a month dry."""


@dataclass(frozen=True, slots=True)
class Piston:
    """Bore area (m²), screw lead (m a turn), screw efficiency, free speed (1/s), stall torque (N·m), friction
    (N)."""

    area: SquareMetres
    lead: Metres
    efficiency: Ratio
    free_turns: float
    stall_torque: NewtonMetres
    friction: Newtons

    def __post_init__(self) -> None:
        """Refuse figures no piston has."""
        need_positive("area of the piston", self.area, "m²")
        need_positive("lead of the screw", self.lead, "m")
        need_within("efficiency of the screw", self.efficiency, 0.01, 1.0)
        need_positive("free speed", self.free_turns, "1/s")
        need_positive("stall torque", self.stall_torque, "N·m")
        need_not_negative("friction", self.friction, "N")


def water_pressure(depth: Metres, density: KilogramsPerCubicMetre, barometer: Pascals) -> Pascals:
    """Absolute pressure of the water at the piston, P_a + ρ·g·d, in Pa."""
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_not_negative("depth", depth, "m")
    return barometer + density * GRAVITY * depth


def push_on_piston(area: SquareMetres, outside: Pascals, inside: Pascals) -> Newtons:
    """Net push of the water on the piston, A·(P_out − P_in), in N; negative: the cylinder pushes it out."""
    need_positive("area of the piston", area, "m²")
    return area * (outside - inside)


def screw_torque(force: Newtons, lead: Metres, efficiency: Ratio) -> NewtonMetres:
    """Torque that gives an axial force, F·ℓ/(2π·η), in N·m."""
    need_positive("lead of the screw", lead, "m")
    need_within("efficiency of the screw", efficiency, 0.01, 1.0)
    return force * lead / (2.0 * math.pi * efficiency)


def screw_force_at_stall(piston: Piston) -> Newtons:
    """Most the screw can push, 2π·η·T_stall/ℓ, in N."""
    return 2.0 * math.pi * piston.efficiency * piston.stall_torque / piston.lead


def _turns(piston: Piston, against: Newtons) -> float:
    # A plain screw holds by itself, so help from the water makes the motor no faster than free.
    force = max(0.0, against + piston.friction)
    share = screw_torque(force, piston.lead, piston.efficiency) / piston.stall_torque
    if share >= 1.0:
        raise OutOfRangeError("The piston's motor stalls on the way: too deep or too much friction.")
    return piston.free_turns * (1.0 - share)


def piston_time(
    piston: Piston,
    volume: CubicMetres,
    air: CubicMetres,
    air_pressure: Pascals,
    outside: Pascals,
    filling: bool,
) -> Seconds:
    """Time of a whole stroke, ∫dV/(A·ℓ·n), in s.

    `air` (m³) and `air_pressure` (Pa, absolute) are the cylinder's with the tank empty; with V aboard it is
    P₁·V_A/(V_A − V), isothermal. n = n₀·(1 − T/T_stall). Refuses a stroke on which the motor stalls. ± 25 %
    before calibration, 8 % after.
    """
    need_not_negative("volume moved", volume, "m³")
    need_positive("pressure of the air", air_pressure, "Pa")
    if volume >= air:
        raise OutOfRangeError("The water would need more room than there is air.")
    sign = -1.0 if filling else 1.0

    def rate(aboard: float) -> float:
        inside = air_pressure * air / (air - aboard)
        against = sign * push_on_piston(piston.area, outside, inside)
        return 1.0 / (piston.area * piston.lead * _turns(piston, against))

    rate(0.0)
    rate(volume)
    return integrate(rate, 0.0, volume)


def piston_stall_depth(
    piston: Piston, air_pressure: Pascals, density: KilogramsPerCubicMetre, barometer: Pascals
) -> Metres:
    """Depth at which the motor can no longer push the last of the water out, in m; not below 0.

    From A·(P_a + ρ·g·d − P₁) + F_f = 2π·η·T_stall/ℓ. Count on 0.8 of it.
    """
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    pressure = (screw_force_at_stall(piston) - piston.friction) / piston.area + air_pressure - barometer
    return max(0.0, pressure / (density * GRAVITY))
