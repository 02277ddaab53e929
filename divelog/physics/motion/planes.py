"""Lift of planes and hull, and the least speed that holds a buoyant boat down.

Below that speed she floats up by herself: a safety property to show, not to hide. Uncertainty of the
speed 30 %.
"""

import math

from divelog.physics.motion._guard import between, not_negative, positive, slope
from divelog.physics.si import (
    GRAVITY,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    MetresPerSecond,
    Radians,
    Ratio,
    SquareMetres,
)

BODY_LIFT_SLENDERNESS: tuple[Ratio, Ratio] = (6.0, 11.0)
"""Length over diameter between which the hull's own lift is known; beyond it is held at the end."""

HOLDING_ANGLE: Radians = math.radians(8.0)
"""Nose-down angle a boat can be held at without alarm. Common practice, no source."""


def effective_aspect_ratio(span: Metres, area: SquareMetres) -> Ratio:
    """Aspect ratio of a plane mounted on the hull, 2 b^2 / S: the hull mirrors it.

    span: b of one, exposed, m. area: S of one, m2.
    """
    return 2.0 * positive("The plane's span in m", span) ** 2 / positive("The plane's area in m2", area)


def lift_slope(aspect_ratio: Ratio, sweep: Radians = 0.0) -> Ratio:
    """Lift slope of a low-aspect-ratio plane, 5.7 A / (1.8 + cos L sqrt(A^2 / cos^4 L + 4)) (1/rad).

    aspect_ratio: effective A, 0.05 to 20 (tested 0.5 to 6). sweep: L of the quarter chord, 0 to 45
    degrees (rad). The least of the three formulas here, so the safe one to hold a boat down with.
    Source: Whicker & Fehlner 1958, DTMB report 933.
    """
    between("The aspect ratio", aspect_ratio, 0.05, 20.0)
    cosine = math.cos(slope("The sweep", sweep, 45.0))
    return 5.7 * aspect_ratio / (1.8 + cosine * math.sqrt(aspect_ratio**2 / cosine**4 + 4.0))


def lift_slope_helmbold(aspect_ratio: Ratio, section_slope: Ratio = 2.0 * math.pi) -> Ratio:
    """Lift slope a0 / (sqrt(1 + q^2) + q), q = a0 / (pi A) (1/rad), of an unswept low wing.

    aspect_ratio: A above zero. section_slope: a0, 1/rad.
    Source: Helmbold, as Anderson, Aircraft Performance and Design, equation 2.18a.
    """
    q = positive("The section's slope", section_slope) / (
        math.pi * positive("The aspect ratio", aspect_ratio)
    )
    return section_slope / (math.sqrt(1.0 + q * q) + q)


def lift_slope_hoerner(aspect_ratio: Ratio) -> Ratio:
    """Lift slope 1 / (1 / (2 0.9 pi) + 1 / (pi A)) (1/rad); 20 to 65 % above `lift_slope`, A 2 to 0.5.

    Source: Hoerner, Fluid-Dynamic Lift, as Prestero 2001, equation 4.38.
    """
    positive("The aspect ratio", aspect_ratio)
    return 1.0 / (1.0 / (1.8 * math.pi) + 1.0 / (math.pi * aspect_ratio))


def most_lift(chord_reynolds: Ratio) -> Ratio:
    """Lift coefficient at which a model's plane stalls.

    0.6 up to a chord Reynolds number of 5e4, 0.9 from 1e5, evenly between.
    Source: common practice, no source.
    """
    share = (not_negative("The chord's Reynolds number", chord_reynolds) - 5e4) / 5e4
    return 0.6 + 0.3 * min(1.0, max(0.0, share))


def hull_lift_area(length: Metres, diameter: Metres) -> SquareMetres:
    """Lift of the bare hull per dynamic pressure and radian, D^2 (L/D) 0.003 (180 / pi) (m2).

    L/D counts between 6 and 11 only. Trap: the 0.003 is per *degree*.
    Uncertainty: four methods differed by an order of magnitude. Source: Hoerner's body lift, as
    Prestero 2001, section 4.4 (stated for L/D 6.7 to 10).
    """
    slenderness = positive("The length in m", length) / positive("The diameter in m", diameter)
    low, high = BODY_LIFT_SLENDERNESS
    return diameter**2 * min(high, max(low, slenderness)) * math.degrees(0.003)


def plane_lift_area(
    area: SquareMetres,
    slope_: Ratio,
    angle: Radians,
    throw: Radians,
    most: Ratio = 0.6,
) -> SquareMetres:
    """Lift of bow or sail planes per dynamic pressure, S min(C_La (alpha + delta), C_Lmax) (m2).

    area: of the pair, m2. slope_: 1/rad. angle, throw: rad. most: stall.
    Stern planes count nothing: to hold the nose down they push the stern *up*.
    """
    incidence = not_negative("The nose-down angle", angle) + not_negative("The throw", throw)
    lift = min(positive("The lift slope", slope_) * incidence, positive("The most lift", most))
    return not_negative("The planes' area in m2", area) * lift


def least_speed(
    buoyancy: Kilograms,
    density: KilogramsPerCubicMetre,
    hull_lift: SquareMetres,
    angle: Radians = HOLDING_ANGLE,
    planes_lift: SquareMetres = 0.0,
) -> MetresPerSecond:
    """Least speed that holds her down level, V = sqrt(2 g dm / (rho (K alpha + S C_L))) (m/s).

    buoyancy: dm, kg, not below 0 (trap: the ballast's state changes it tenfold). density: kg/m3.
    hull_lift: K of `hull_lift_area`. angle: nose-down alpha, above 0 to 10 degrees (rad). planes_lift:
    of `plane_lift_area`, 0 with stern planes only.
    """
    force = GRAVITY * not_negative("The buoyancy in kg", buoyancy)
    positive("The nose-down angle", angle)
    slope("The nose-down angle", angle, 10.0)
    hull = positive("The hull's lift in m2", hull_lift) * angle
    lift = hull + not_negative("The planes' lift in m2", planes_lift)
    return math.sqrt(2.0 * force / (positive("The density in kg/m3", density) * lift))
