"""Water and air through holes and valves, and a blower against the depth of the outlet.

Source: Torricelli's law with a discharge coefficient, Q = C_d·A·√(2·g·ΔH); 0.6 for a plain orifice (Midoux,
Mécanique et rhéologie des fluides en génie chimique), 0.61 sharp-edged and 0.82 for a short tube (from
memory).
"""

import math

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    CubicMetresPerSecond,
    GaugePascals,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    Ratio,
    Seconds,
    SquareMetres,
)

DISCHARGE: Ratio = 0.62
DISCHARGE_U95: Ratio = 0.12
"""A valve or hole nobody measured (assumed): one standard deviation of 0.06, doubled."""

KV_PRESSURE: Pascals = 1e5
KV_DENSITY: KilogramsPerCubicMetre = 1000.0
SECONDS_PER_HOUR = 3600.0


def hole_area(diameter: Metres) -> SquareMetres:
    """Area of a round hole, π/4·d², in m². Below 2 mm the discharge coefficient falls: time it instead."""
    need_positive("diameter of the hole", diameter, "m")
    return math.pi / 4.0 * diameter**2


def orifice_flow(area: SquareMetres, head: Metres, discharge: Ratio = DISCHARGE) -> CubicMetresPerSecond:
    """Flow through a hole, C_d·A·√(2gΔH), in m³/s; ± 20 % of C_d, twice that with hose and strainer."""
    need_positive("area of the hole", area, "m²")
    need_not_negative("head", head, "m")
    need_within("discharge coefficient", discharge, 0.05, 1.0)
    return discharge * area * math.sqrt(2.0 * GRAVITY * head)


def effective_area_of_kv(kv: float) -> SquareMetres:
    """C_d·A of a valve from its K_v (m³/h of water at 1 bar), K_v/3600·√(ρ/2e5), in m².

    Definition of K_v, IEC 60534 (from memory). C_v in US gallons is another number: K_v = 0.865·C_v.
    """
    need_positive("K_v", kv, "m³/h")
    return kv / SECONDS_PER_HOUR * math.sqrt(KV_DENSITY / (2.0 * KV_PRESSURE))


def with_air_vent(
    water_area: SquareMetres,
    air_area: SquareMetres,
    water_density: KilogramsPerCubicMetre,
    air_density: KilogramsPerCubicMetre,
) -> SquareMetres:
    """C_d·A that counts when air must leave by its own hole: 1/(CA)² = 1/(CA_w)² + (ρ_air/ρ_w)/(CA_v)², in
    m².

    Both areas already times their C_d. Same volume flow through both, pressures add.
    """
    need_positive("area for the water", water_area, "m²")
    need_positive("area for the air", air_area, "m²")
    need_positive("water density", water_density, "kg/m³")
    need_positive("air density", air_density, "kg/m³")
    return 1.0 / math.sqrt(water_area**-2 + air_density / water_density * air_area**-2)


def passive_time(
    section: SquareMetres, effective_area: SquareMetres, head_at_start: Metres, head_at_end: Metres
) -> Seconds:
    """Time for a vented tank of even section to fill or drain by itself, (2A/(C·A_o·√2g))·(√H₁ − √H₂), in s.

    Heads across the hole at start and end (m), falling; filling from z₁ to z₂ at depth d: d − z₁ and d − z₂.
    It never completes past equal levels.
    """
    need_positive("section of the tank", section, "m²")
    need_positive("area of the hole", effective_area, "m²")
    need_not_negative("head at the end", head_at_end, "m")
    if head_at_start < head_at_end:
        raise OutOfRangeError("The head must fall from start to end.")
    drop = math.sqrt(head_at_start) - math.sqrt(head_at_end)
    return 2.0 * section / (effective_area * math.sqrt(2.0 * GRAVITY)) * drop


def blower_time(
    volume: CubicMetres,
    outlet_depth: Metres,
    free_flow: CubicMetresPerSecond,
    dead_end_pressure: GaugePascals,
    density: KilogramsPerCubicMetre,
    barometer: Pascals,
) -> Seconds:
    """Time for a snort and blower to empty a tank, V·(P_a + Δp)/P_a ÷ [Q_f·(1 − Δp/Δp_m)], in s; Δp = ρ·g·d.

    Constant worst back pressure, a little long. Works only with the air mouth out of the water. Isothermal
    air, linear blower curve; refuses Δp ≥ Δp_m. ± 40 % before calibration. No printed check: derived.
    """
    need_not_negative("volume of the tank", volume, "m³")
    need_not_negative("depth of the outlet", outlet_depth, "m")
    need_positive("flow of the blower", free_flow, "m³/s")
    need_positive("dead-end pressure of the blower", dead_end_pressure, "Pa")
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_within("barometer", barometer, 60_000.0, 110_000.0, "Pa")
    back = density * GRAVITY * outlet_depth
    if back >= dead_end_pressure:
        raise OutOfRangeError(
            f"The blower gives {dead_end_pressure / 1e3:.1f} kPa; the outlet needs {back / 1e3:.1f} kPa."
        )
    return volume * (barometer + back) / barometer / (free_flow * (1.0 - back / dead_end_pressure))
