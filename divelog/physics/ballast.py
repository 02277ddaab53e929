"""Times of a pump at a tank whose air stays at the air's pressure, and at one that is sealed.

Heads are metres of today's water. `depth` is that of the tank's bottom below the outside surface (m), at the
end of the stroke for filling and at its start for emptying (the safe sides). A pump is its flow at zero head
(m³/s) and its shut-off head (m), both at the volts it has while running; its curve is linear Q = Q₀(1 −
H/H_s) (gear, diaphragm, vane) or quadratic Q = Q₀√(1 − H/H_s) (centrifugal). Where the pump is helped (H < 0)
it passes more.

Which form holds depends on the vent *now*: open to the air (even through a hose) → `vented_*`; shut, or the
tank sharing a cylinder's air → `sealed_*`. A mast's vent shuts when its mouth goes under.

Source: integrals of dV/Q(H(V)), derived here and proved against numerical quadrature in the tests. Affinity
laws for scaling with volts: positive-displacement flow follows speed (US DOE-HDBK-1018/1-93), centrifugal
head its square.
"""

import math
from typing import Literal

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    CubicMetresPerSecond,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    Ratio,
    Seconds,
)

Curve = Literal["linear", "quadratic"]

USABLE_MEASURED: Ratio = 0.8
USABLE_STATED: Ratio = 0.6
USABLE_ASSUMED: Ratio = 0.5
"""Share of the shut-off head to count on, by how it is known (common practice, no source). At 0.8 a linear
pump takes five times its free time."""


def head_of(pressure: Pascals, density: KilogramsPerCubicMetre) -> Metres:
    """Pressure as a column of this water, p/(ρ·g), in m."""
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    return pressure / (density * GRAVITY)


def _need_pump(volume: CubicMetres, free_flow: CubicMetresPerSecond, pump_head: Metres) -> None:
    need_not_negative("volume moved", volume, "m³")
    need_positive("flow of the pump", free_flow, "m³/s")
    need_positive("shut-off head of the pump", pump_head, "m")


def vented_empty_time(
    volume: CubicMetres,
    tank_height: Metres,
    depth: Metres,
    free_flow: CubicMetresPerSecond,
    pump_head: Metres,
    curve: Curve = "linear",
) -> Seconds:
    """Time to pump out a tank whose air is at the air's pressure, in s; head d − z.

    Even section A = V/h: linear (A·H_s/Q₀)·ln[(H_s − d + h)/(H_s − d)], quadratic (2A·H_s/Q₀)·[√((H_s − d +
    h)/H_s) − √((H_s − d)/H_s)]; height 0 takes V/Q at the head d. Refuses d ≥ H_s, where the pump stalls (the
    quadratic form would end at a finite time). ± 8 % after calibration, 30 % from a printed pump figure.
    """
    _need_pump(volume, free_flow, pump_head)
    need_not_negative("height of the tank", tank_height, "m")
    need_not_negative("depth", depth, "m")
    left = pump_head - depth
    if left <= 0.0:
        raise OutOfRangeError(f"The pump stalls at {pump_head:.2f} m; it cannot empty at {depth:.2f} m.")
    if curve == "linear":
        share = tank_height / left
        return volume * pump_head / (free_flow * left) * _log1p_over(share)
    roots = math.sqrt(left + tank_height) + math.sqrt(left)
    return 2.0 * volume * math.sqrt(pump_head) / (free_flow * roots)


def vented_fill_time(
    volume: CubicMetres,
    tank_height: Metres,
    depth: Metres,
    free_flow: CubicMetresPerSecond,
    pump_head: Metres,
    curve: Curve = "linear",
) -> Seconds:
    """Time to pump a vented tank full, in s; head z − d, so the outside water helps.

    Even section A = V/h: linear (A·H_s/Q₀)·ln[(H_s + d)/(H_s + d − h)], quadratic with roots as in
    `vented_empty_time`. A tank below the surface also fills through anything that leaks back (`passive_time`
    in `ballast_valve`). Refuses a tank so tall that the pump cannot top it.
    """
    _need_pump(volume, free_flow, pump_head)
    need_not_negative("height of the tank", tank_height, "m")
    need_not_negative("depth", depth, "m")
    top = pump_head + depth
    if tank_height >= top:
        raise OutOfRangeError(f"The pump stalls at {pump_head:.2f} m; it cannot fill the tank to its top.")
    if curve == "linear":
        return volume * pump_head / (free_flow * top) * _log1p_over(-tank_height / top)
    return 2.0 * volume * math.sqrt(pump_head) / (free_flow * (math.sqrt(top) + math.sqrt(top - tank_height)))


def _log1p_over(x: float) -> float:
    """ln(1 + x)/x, and its limit 1 at zero."""
    return math.log1p(x) / x if x else 1.0


def air_left_head(air_pressure: Pascals, density: KilogramsPerCubicMetre, share: Ratio) -> Metres:
    """Head of air squeezed into what is left, (P₁/ρg)/(1 − f), in m absolute; isothermal."""
    need_positive("pressure of the air", air_pressure, "Pa")
    if not 0.0 <= share < 1.0:
        raise OutOfRangeError("The water would need more room than there is air.")
    return head_of(air_pressure, density) / (1.0 - share)


def sealed_share_most(
    air_head: Metres, barometer_head: Metres, depth: Metres, pump_head: Metres = 0.0
) -> Ratio:
    """Greatest share of the connected air that water can take, 1 − π/(H_s + d + h_a); pump_head 0: valve
    only.

    `air_head` π and `barometer_head` h_a are absolute pressures of the enclosed air (before) and of the open
    air as heads. 0 when not even the first drop goes in.
    """
    need_positive("pressure of the air as a head", air_head, "m")
    need_positive("barometer as a head", barometer_head, "m")
    need_not_negative("depth", depth, "m")
    need_not_negative("shut-off head of the pump", pump_head, "m")
    return max(0.0, 1.0 - air_head / (pump_head + depth + barometer_head))


def sealed_fill_time(
    volume: CubicMetres,
    air: CubicMetres,
    air_head: Metres,
    barometer_head: Metres,
    depth: Metres,
    free_flow: CubicMetresPerSecond,
    pump_head: Metres,
    curve: Curve = "linear",
) -> Seconds:
    """Time to take `volume` into a tank whose air (with all that is joined to it) only gets squeezed, in s.

    `air` is the volume connected with the tank empty (m³), `air_head` its absolute pressure then as a head π.
    With D = H_s + d + h_a and f = V/V_A, linear: (V_A·H_s/(Q₀·D))·[f + (π/D)·ln((D − π)/(D(1 − f) − π))];
    quadratic: (V_A·√H_s/Q₀)·[F(1) − F(1 − f)], F(y) = [π·asinh√((Dy − π)/π) + √(Dy(Dy − π))]/D^{3/2}.
    Isothermal; tank height left out (keep h ≪ H_s). Refuses f at or above `sealed_share_most`.
    """
    _need_pump(volume, free_flow, pump_head)
    need_positive("air joined to the tank", air, "m³")
    most = sealed_share_most(air_head, barometer_head, depth, pump_head)
    share = volume / air
    if share >= most:
        raise OutOfRangeError(
            f"The squeezed air stops the pump at {most * air * 1e3:.2f} L; it cannot take {volume * 1e3:.2f}."
        )
    D = pump_head + depth + barometer_head
    if curve == "linear":
        squeeze = math.log1p(D * share / (D * (1.0 - share) - air_head))
        return air * pump_head / (free_flow * D) * (share + air_head / D * squeeze)

    def antiderivative(y: float) -> float:
        over = D * y - air_head
        return (air_head * math.asinh(math.sqrt(over / air_head)) + math.sqrt(D * y * over)) / math.pow(
            D, 1.5
        )

    return air * math.sqrt(pump_head) / free_flow * (antiderivative(1.0) - antiderivative(1.0 - share))


def sealed_empty_time(
    volume: CubicMetres,
    air: CubicMetres,
    air_head: Metres,
    barometer_head: Metres,
    depth: Metres,
    free_flow: CubicMetresPerSecond,
    pump_head: Metres,
    curve: Curve = "linear",
) -> Seconds:
    """Time to pump `volume` back out against depth, the squeezed air helping, in s.

    Meanings as in `sealed_fill_time`; `air` and `air_head` are those of the *empty* tank. With E = H_s − h_a
    − d, linear: (V_A·H_s/(Q₀·E))·[f − (π/E)·ln((E + π)/(E(1 − f) + π))], and (V_A·H_s/(Q₀·π))·(1 − (1 −
    f)²)/2 at E = 0; quadratic: (V_A·√H_s/Q₀)·∫√(y/(E·y + π))dy over 1 − f … 1. Refuses depths at or past d =
    H_s + π − h_a, where the last of it cannot leave.
    """
    _need_pump(volume, free_flow, pump_head)
    need_positive("air joined to the tank", air, "m³")
    need_positive("pressure of the air as a head", air_head, "m")
    need_positive("barometer as a head", barometer_head, "m")
    need_not_negative("depth", depth, "m")
    share = volume / air
    if share >= 1.0:
        raise OutOfRangeError("The tank holds more water than there was air.")
    stall = sealed_stall_depth(air_head, barometer_head, pump_head)
    if depth >= stall:
        raise OutOfRangeError(
            f"The pump stalls at {max(0.0, stall):.2f} m of depth; it cannot empty at {depth:.2f} m."
        )
    q = (pump_head - barometer_head - depth) / air_head
    if curve == "linear":
        return air * pump_head / (free_flow * air_head) * _linear_integral(q, 1.0 - share)
    scale = air * math.sqrt(pump_head) / (free_flow * math.sqrt(air_head))
    return scale * _quadratic_integral(q, 1.0 - share)


def _linear_integral(q: float, y0: float) -> float:
    """∫ y/(1 + q·y) dy over y0 … 1; by its series near q = 0, where the closed form loses digits."""
    if abs(q) < 1e-2:
        return math.fsum((-q) ** k * (1.0 - y0 ** (k + 2)) / (k + 2) for k in range(8))
    return ((1.0 - y0) - math.log1p(q * (1.0 - y0) / (1.0 + q * y0)) / q) / q


def _quadratic_integral(q: float, y0: float) -> float:
    """∫ √(y/(1 + q·y)) dy over y0 … 1; series near q = 0, else by the substitution s = √(|q|·y)."""
    if abs(q) < 1e-2:
        series = enumerate((1.0, -1 / 2, 3 / 8, -5 / 16, 35 / 128, -63 / 256, 231 / 1024))
        return math.fsum(c * q**k * (1.0 - math.pow(y0, k + 1.5)) / (k + 1.5) for k, c in series)

    def antiderivative(y: float) -> float:
        root = math.sqrt(y * (1.0 + q * y)) / q
        s = math.sqrt(abs(q) * y)
        return (
            root - math.asinh(s) / math.pow(q, 1.5)
            if q > 0.0
            else root + math.asin(min(1.0, s)) / math.pow(-q, 1.5)
        )

    return antiderivative(1.0) - antiderivative(y0)


def sealed_stall_depth(air_head: Metres, barometer_head: Metres, pump_head: Metres) -> Metres:
    """Depth of the tank's bottom at which the last water will not leave, H_s + π − h_a, in m (may be
    negative).

    π is the absolute pressure of the air with the tank empty, as a head: a cold cylinder takes depth off.
    """
    return pump_head + air_head - barometer_head


def volume_out_before_stall(
    air_left: CubicMetres, barometer_head: Metres, depth: Metres, pump_head: Metres
) -> CubicMetres | None:
    """Water a pump can draw out of a tank shut at the surface and taken down: V₀·[h_a/(h_a + d − H_s) − 1],
    in m³.

    The tank was filled with the vent open, so `air_left` (m³) is at the barometer; it can only expand. None
    means no stall by vacuum (h_a + d ≤ H_s); 0 when the pump cannot even start (d ≥ H_s). This is why a
    mast-vented boat cannot come up by pump from below mast depth.
    """
    need_not_negative("air left", air_left, "m³")
    need_positive("barometer as a head", barometer_head, "m")
    need_not_negative("depth", depth, "m")
    need_positive("shut-off head of the pump", pump_head, "m")
    rest = barometer_head + depth - pump_head
    if rest <= 0.0:
        return None
    return max(0.0, air_left * (barometer_head / rest - 1.0))


def head_at_volts(pump_head: Metres, volts_ratio: Ratio, centrifugal: bool = False) -> Metres:
    """Shut-off head at other volts, H_s·k (torque follows volts) or H_s·k² (centrifugal: affinity law), in m.

    k = volts at the pump over those of the known head, both under load. 1 for a regulated drive.
    """
    need_positive("shut-off head of the pump", pump_head, "m")
    need_within("ratio of volts", volts_ratio, 0.2, 5.0)
    return pump_head * (volts_ratio**2 if centrifugal else volts_ratio)


def flow_at_volts(free_flow: CubicMetresPerSecond, volts_ratio: Ratio) -> CubicMetresPerSecond:
    """Free flow at other volts, Q₀·k: flow follows speed for every kind (affinity law), in m³/s."""
    need_positive("flow of the pump", free_flow, "m³/s")
    need_within("ratio of volts", volts_ratio, 0.2, 5.0)
    return free_flow * volts_ratio


def pump_depth(usable: Ratio, pump_head: Metres, relative_air_head: Metres = 0.0) -> Metres:
    """Depth of the tank's bottom down to which a pump is counted on, c·H_s + (P₁ − P_a)/ρg, in m; not below
    0.

    `usable` is one of the USABLE_ shares, `relative_air_head` the gauge pressure of the enclosed air as a
    head (0 with the vent open), negative when cold.
    """
    need_within("usable share of the head", usable, 0.0, 1.0)
    need_positive("shut-off head of the pump", pump_head, "m")
    return max(0.0, usable * pump_head + relative_air_head)
