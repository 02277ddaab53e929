"""Propeller near the surface: how much throttle before it draws air.

Loading, way and depth of the shaft decide together; thrust collapses, the motor races, steering goes.
All of it is coarse: a throttle at which froth was *seen*, times 0.9, replaces it.
"""

import math

from divelog.physics.motion._guard import between, not_negative, positive
from divelog.physics.si import GRAVITY, KilogramsPerCubicMetre, Metres, Newtons, Ratio

BLADE_AREA_RATIO: Ratio = 0.5
"""Expanded blade area over disc. Common practice, no source."""

FROTH_MARGIN: Ratio = 0.9
"""Share of the throttle at which froth was seen. Common practice, no source."""

_CAPS: tuple[tuple[Ratio, Ratio], ...] = ((3.0, 1.0), (2.0, 0.75), (1.5, 0.55), (1.0, 0.4))
_TIPS_OUT = 0.25


def throttle_cap_by_depth(depth_over_radius: Ratio) -> Ratio:
    """Throttle allowed by the shaft's depth over the propeller's radius.

    Under 1 (tips out) 0.25; to 1.5 0.40; to 2 0.55; to 3 0.75; from 3 not limiting, 1.
    Source: common practice, no source; 3 is the immersion of open-water tests, ITTC 7.5-02-03-02.1,
    from memory.
    """
    if not math.isfinite(depth_over_radius):
        not_negative("The shaft's depth over the radius", depth_over_radius)
    return next((cap for least, cap in _CAPS if depth_over_radius >= least), _TIPS_OUT)


def thrust_before_air(
    shaft_depth: Metres,
    diameter: Metres,
    density: KilogramsPerCubicMetre,
    blade_area_ratio: Ratio = BLADE_AREA_RATIO,
) -> Newtons:
    """Thrust at which the suction on the blades beats the water over them, 4.5 rho g A (h - 0.7 R) (N).

    Mean suction (2/3) T / A against the static head at 0.7 R, air from a ratio of about 3.
    shaft_depth: h under the working level, m; at or above 0.7 R of it, or out of the water: 0.
    diameter: m. density: kg/m3. blade_area_ratio: expanded area over disc, 0.1 to 1.5.
    Source: the ratio was set from published thruster tests (Koushan 2006, from memory).
    """
    radius = positive("The propeller's diameter in m", diameter) / 2.0
    between("The blade area ratio", blade_area_ratio, 0.1, 1.5)
    head = _depth(shaft_depth) - 0.7 * radius
    blades = blade_area_ratio * math.pi * radius * radius
    return 4.5 * positive("The density in kg/m3", density) * GRAVITY * blades * max(0.0, head)


def throttle_cap_by_loading(thrust_allowed: Newtons, full_thrust: Newtons) -> Ratio:
    """Throttle at which thrust reaches what is allowed, sqrt(T / T_full) up to 1 (thrust goes with n^2)."""
    allowed = not_negative("The thrust allowed in N", thrust_allowed)
    return min(1.0, math.sqrt(allowed / positive("The full thrust in N", full_thrust)))


def throttle_cap(
    shaft_depth: Metres,
    diameter: Metres,
    full_thrust: Newtons,
    density: KilogramsPerCubicMetre,
    blade_area_ratio: Ratio = BLADE_AREA_RATIO,
) -> Ratio:
    """Throttle cap on the surface: the smaller of depth and loading (0 to 1).

    shaft_depth: shaft's centre under the working level, m: still-water depth less half the waves' height
    and any rise of the stern. Trap: to the shaft, not to the tip. full_thrust: N at full throttle.
    """
    by_depth = throttle_cap_by_depth(_depth(shaft_depth) / (positive("The diameter in m", diameter) / 2.0))
    allowed = thrust_before_air(shaft_depth, diameter, density, blade_area_ratio)
    return min(by_depth, throttle_cap_by_loading(allowed, full_thrust))


def thrust_left(depth_over_radius: Ratio) -> Ratio:
    """Share of thrust left as the propeller nears the surface, 1 - 0.675 (1 - 0.769 h/R)^1.258.

    depth_over_radius: h/R from 0; 1 from 1.3. Source: Minsaas 1983 as used in thruster control, from
    memory.
    """
    ratio = not_negative("The shaft's depth over the radius", depth_over_radius)
    return 1.0 - 0.675 * math.pow(1.0 - 0.769 * ratio, 1.258) if ratio < 1.3 else 1.0


def _depth(shaft_depth: Metres) -> Metres:
    return between("The shaft's depth in m", shaft_depth, -10.0, 100.0)
