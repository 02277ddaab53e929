"""A pump stroke against any head: time and charge by quadrature, and cycles a pack can give.

For tanks of uneven section, tall sealed tanks, or heads that change sign, where the closed forms of `ballast`
do not hold. `head` is a function of the volume already moved (m³) giving the head against the pump (m).
"""

import math
from collections.abc import Callable

from divelog.physics.ballast import Curve
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    Amperes,
    Coulombs,
    CubicMetres,
    CubicMetresPerSecond,
    Joules,
    KilogramsPerCubicMetre,
    Metres,
    Ratio,
    Seconds,
    Volts,
)

_NODES = (
    (0.1834346424956498, 0.3626837833783620),
    (0.5255324099163290, 0.3137066458778873),
    (0.7966664774136267, 0.2223810344533745),
    (0.9602898564975363, 0.1012285362903763),
)
"""Gauss–Legendre, eight points: half of them, the rest by symmetry (Abramowitz and Stegun, table 25.4)."""


def integrate(f: Callable[[float], float], low: float, high: float, panels: int = 24) -> float:
    """Integral of a smooth f by eight-point Gauss–Legendre in equal panels."""
    half = (high - low) / panels / 2.0
    parts: list[float] = []
    for i in range(panels):
        middle = low + half * (2 * i + 1)
        parts.extend(weight * (f(middle - half * x) + f(middle + half * x)) for x, weight in _NODES)
    return half * math.fsum(parts)


def _flow(
    free_flow: CubicMetresPerSecond, pump_head: Metres, curve: Curve, head: Metres
) -> CubicMetresPerSecond:
    left = 1.0 - head / pump_head
    if left <= 0.0:
        raise OutOfRangeError(f"The pump stalls on the way, at a head of {pump_head:.2f} m.")
    return free_flow * (left if curve == "linear" else math.sqrt(left))


def stroke_time(
    volume: CubicMetres,
    head: Callable[[CubicMetres], Metres],
    free_flow: CubicMetresPerSecond,
    pump_head: Metres,
    curve: Curve = "linear",
) -> Seconds:
    """Time of a stroke, ∫dV/Q(H(V)), in s; refuses a head that stalls the pump on the way."""
    need_not_negative("volume moved", volume, "m³")
    need_positive("flow of the pump", free_flow, "m³/s")
    need_positive("shut-off head of the pump", pump_head, "m")
    _flow(free_flow, pump_head, curve, head(0.0))
    _flow(free_flow, pump_head, curve, head(volume))
    return integrate(lambda v: 1.0 / _flow(free_flow, pump_head, curve, head(v)), 0.0, volume)


def stroke_charge(
    volume: CubicMetres,
    head: Callable[[CubicMetres], Metres],
    free_flow: CubicMetresPerSecond,
    pump_head: Metres,
    free_current: Amperes,
    stall_current: Amperes,
    curve: Curve = "linear",
) -> Coulombs:
    """Charge of a stroke, ∫I(H)/Q dV with I = I₀ + (I_s − I₀)·H/H_s, I₀ where water or air helps (H < 0), in
    C."""
    need_not_negative("volume moved", volume, "m³")
    need_positive("flow of the pump", free_flow, "m³/s")
    need_positive("shut-off head of the pump", pump_head, "m")
    need_not_negative("free current", free_current, "A")
    need_not_negative("stalled current", stall_current, "A")
    _flow(free_flow, pump_head, curve, head(0.0))
    _flow(free_flow, pump_head, curve, head(volume))

    def rate(v: float) -> float:
        h = head(v)
        current = free_current + (stall_current - free_current) * max(0.0, h) / pump_head
        return current / _flow(free_flow, pump_head, curve, h)

    return integrate(rate, 0.0, volume)


def stroke_charge_linear(
    time: Seconds,
    volume: CubicMetres,
    free_flow: CubicMetresPerSecond,
    free_current: Amperes,
    stall_current: Amperes,
) -> Coulombs:
    """Charge of a stroke with the linear pump curve and H ≥ 0, exact for any heads: I_s·t − (I_s − I₀)·V/Q₀,
    in C.

    Follows from H/H_s = 1 − Q/Q₀. `time` is the stroke's own (predicted or timed), not under V/Q₀: where the
    pump was helped take `free_current` × time instead. A pinched hose gives I_s: for a second only. ± 15 %.
    """
    need_not_negative("volume moved", volume, "m³")
    need_positive("flow of the pump", free_flow, "m³/s")
    need_not_negative("free current", free_current, "A")
    need_not_negative("stalled current", stall_current, "A")
    free_time = volume / free_flow
    if time < free_time * (1.0 - 1e-9):
        raise OutOfRangeError("The stroke was shorter than at free flow: the pump was helped.")
    return stall_current * time - (stall_current - free_current) * free_time


def work_floor(volume: CubicMetres, mean_head: Metres, density: KilogramsPerCubicMetre) -> Joules:
    """Least work of lifting the water, ρ·g·V·H, in J; a pump needs it over its efficiency (0.1 to 0.3)."""
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_not_negative("volume moved", volume, "m³")
    need_not_negative("mean head", mean_head, "m")
    return density * GRAVITY * volume * mean_head


def charge_floor(work: Joules, volts: Volts, efficiency: Ratio) -> Coulombs:
    """Least charge for that work, W/(η·U), in C."""
    need_positive("volts", volts, "V")
    need_within("efficiency", efficiency, 1e-3, 1.0)
    return work / (efficiency * volts)


def whole_cycles(spare: Coulombs, per_cycle: Coulombs) -> int:
    """Cycles a spare charge gives, ⌊Q/C⌋, never below 0. Keep a full emptying at depth × 1.5 out of
    `spare`."""
    need_positive("charge of a cycle", per_cycle, "C")
    if not math.isfinite(spare):
        raise OutOfRangeError("The spare charge is not a number.")
    return max(0, math.floor(spare / per_cycle))
