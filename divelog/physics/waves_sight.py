"""How deep a hull can be seen through the surface, from the depth at which a white plate vanishes.

The plate alone flatters: it is white and looked at straight down; a hull is neither.
"""

import math

from divelog.physics.ranges import need_within
from divelog.physics.si import Metres, MetresPerSecond, Radians, Ratio

WATER_INDEX = 1.333
"""Refractive index of water for light (textbook)."""

PLATE_REFLECTANCE: Ratio = 0.85
"""Reflectance of a white plate, from memory."""

WATER_REFLECTANCE: Ratio = 0.02
"""Reflectance of the water body: 0.01 black and peaty, 0.05 milky; from memory."""

CONTRAST_CONSTANT = 8.69
"""(c + K) times the depth at which the plate vanishes (Tyler 1968; 8.0 to 9.6 in Preisendorfer 1986; from
memory)."""

SKY_RATIO = 30.0
"""Radiance of sky over that of water: 5 through polarised glasses, 90 under a white overcast (assumed)."""

FAR_SHARE: Ratio = 0.66
"""Depth over sight line far off: cos(asin(1/1.333)), rounded down. Source: Snell's law."""

STEEPEST_ANGLE: Radians = math.radians(80.0)
"""Beyond this, from the vertical, look from higher or nearer."""

REFLECTANCES: dict[str, Ratio] = {
    "white": 0.80,
    "bright": 0.50,
    "grey": 0.20,
    "dark grey": 0.10,
    "black": 0.03,
}
"""Reflectance by the words of a boat's shade (common practice, no source)."""


def surface_reflectance(angle: Radians) -> Ratio:
    """Share of unpolarised light that still water reflects; `angle` from the vertical, 0 to 89.99 degrees.

    Source: Fresnel's equations.
    """
    need_within("angle from the vertical", math.degrees(angle), 0.0, 89.99, "degrees")
    if angle < 1e-6:
        return ((WATER_INDEX - 1.0) / (WATER_INDEX + 1.0)) ** 2
    inside = math.asin(math.sin(angle) / WATER_INDEX)
    across = math.sin(angle - inside) / math.sin(angle + inside)
    along = math.tan(angle - inside) / math.tan(angle + inside)
    return 0.5 * (across * across + along * along)


def cosine_in_water(angle: Radians) -> Ratio:
    """Cosine of the sight line's angle from the vertical in the water; never under 0.661. Source: Snell's
    law."""
    need_within("angle from the vertical", math.degrees(angle), 0.0, 90.0, "degrees")
    return math.sqrt(1.0 - (math.sin(angle) / WATER_INDEX) ** 2)


def ripple_factor(wind: MetresPerSecond) -> Ratio:
    """Contrast left by a moving surface: 1 calm, 0.5 over 2 m/s, 0.25 over 5 m/s (common practice, no
    source)."""
    if wind > 5.0:
        return 0.25
    return 0.5 if wind > 2.0 else 1.0


def contrast_share(
    hull_reflectance: Ratio, water_reflectance: Ratio = WATER_REFLECTANCE, seen: Ratio = 1.0
) -> Ratio:
    """Share of the plate's depth at which a hull of this reflectance vanishes, 0 to 1.

    1 + ln(|C| s/C0)/Gamma with the contrasts C = (R - R_w)/R_w of hull and plate, s the contrast the surface
    leaves. A hull of the water's own reflectance is never seen; a black one is lost sooner than a truly black
    one. Source: contrast law of Duntley and Preisendorfer as reviewed in Zaneveld & Pegau 2003, Optics
    Express 11:2997-3009, with `CONTRAST_CONSTANT`.
    """
    need_within("hull's reflectance", hull_reflectance, 0.0, 1.0)
    need_within("water's reflectance", water_reflectance, 0.001, 0.2)
    ratio = abs(hull_reflectance - water_reflectance) * seen / (PLATE_REFLECTANCE - water_reflectance)
    if ratio == 0.0:
        return 0.0
    return min(1.0, max(0.0, 1.0 + math.log(ratio) / CONTRAST_CONSTANT))


def deck_depth_far(plate_depth: Metres, hull_reflectance: Ratio) -> Metres:
    """Deepest deck seen from far off, the sight line bent to 48.6 degrees: 0.66 times plate depth times
    share.

    `plate_depth` m, 0 to 20. Glare and ripples are left to `sight_depth`. 25 % (95 %).
    Source: Snell's law and `contrast_share`.
    """
    _check_plate(plate_depth)
    return FAR_SHARE * plate_depth * contrast_share(hull_reflectance)


def sight_depth(
    plate_depth: Metres,
    hull_reflectance: Ratio,
    angle: Radians = 0.0,
    *,
    ripples: Ratio = 1.0,
    sky_ratio: float = SKY_RATIO,
    water_reflectance: Ratio = WATER_REFLECTANCE,
) -> Metres:
    """Depth at which a hull is lost from sight, looked at `angle` from the vertical with the sky on the
    water.

    Z [1 + ln(|C| G r/C0)/Gamma] cos(theta), between 0 and Z; glare G = [1 + q rho0/(1 - rho0)]/[1 + q rho/(1
    - rho)], q the sky ratio and rho the surface's reflectance, r the ripples. `plate_depth` m, 0 to 20;
    `angle` 0 to 80 degrees (tan = distance/height of the eye). 25 % (95 %); objects wider than 0.1 m by day.
    Source: as `contrast_share`; glare own derivation from Fresnel's equations.
    """
    _check_plate(plate_depth)
    need_within("angle from the vertical", math.degrees(angle), 0.0, 80.0 + 1e-9, "degrees")
    straight, here = surface_reflectance(0.0), surface_reflectance(angle)
    glare = (1.0 + sky_ratio * straight / (1.0 - straight)) / (1.0 + sky_ratio * here / (1.0 - here))
    share = contrast_share(hull_reflectance, water_reflectance, glare * ripples)
    return plate_depth * share * cosine_in_water(angle)


def _check_plate(plate_depth: Metres) -> None:
    need_within("depth where the plate vanishes", plate_depth, 0.0, 20.0, "m")
