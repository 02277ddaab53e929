"""Angles of rest and what rights a boat, surfaced and dived.

Axes: x forward, y to starboard, z up; pitch bow-up is positive, list starboard-down is positive. Dived there
is no waterplane, so BG (B above G, m) is the same number for pitch and for list and holds at all angles;
surfaced use GM, lengthwise GM_L. Angles are radians. A ± is 95 % (`u95`).

Sources: statics of a floating body; Barrass and Derrett, Ship Stability for Masters and Mates (list,
wall-sided formula, loll, free surface), checked in the tests.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    KilogramMetres,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    NewtonMetres,
    Radians,
    Ratio,
)

ANGLE_MOST: Radians = math.radians(60.0)
INCLINE_MOST: Radians = math.radians(25.0)
FIT_RESIDUAL_MOST: Radians = math.radians(1.0)

RIGHTING_SHARE: Ratio = 0.03
"""BG to ask for, as a share of the greater of beam and outside diameter (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Assumed:
    """A default with its u95, both in the unit of the quantity."""

    value: float
    u95: float


def assumed_righting(length: Metres) -> Assumed:
    """BG when nobody measured it: 7, 12 or 25 mm ± 50 % for boats under 0.6 m, to 1.3 m, above (assumed).

    Below the middle of each size's range, so that moments come out small and the advice cautious.
    """
    need_positive("length", length, "m")
    bg = 0.007 if length < 0.6 else 0.012 if length <= 1.3 else 0.025
    return Assumed(bg, 0.5 * bg)


def _need_floating(mass: Kilograms, righting: Metres) -> None:
    need_positive("mass", mass, "kg")
    need_positive("righting height", righting, "m")


def pitch_from_moment(moment: KilogramMetres, mass: Kilograms, righting: Metres) -> Radians:
    """Pitch at rest, tan θ = −M_x/(m·BG); M_x (kg·m) is effective weight times its move forward.

    Weight forward gives bow down (negative). For weight added, its x is counted from B. Exact dived, at rest,
    near neutral (|N| ≤ 2 % of m); BG with the weights in their new places. Under way planes and lift rule.
    """
    _need_floating(mass, righting)
    return -math.atan(moment / (mass * righting))


def list_from_moment(moment: KilogramMetres, mass: Kilograms, righting: Metres) -> Radians:
    """List at rest, tan φ = +M_y/(m·BG); weight to starboard puts starboard down (positive)."""
    _need_floating(mass, righting)
    return math.atan(moment / (mass * righting))


def moment_for_angle(angle: Radians, mass: Kilograms, righting: Metres) -> KilogramMetres:
    """Size of the moment that makes (or nulls) an angle, m·BG·tan|θ|, in kg·m; |θ| up to 60°."""
    _need_floating(mass, righting)
    need_within("angle", math.degrees(abs(angle)), 0.0, 60.0, "degrees")
    return mass * righting * math.tan(abs(angle))


def weight_to_move(angle: Radians, lever: Metres, mass: Kilograms, righting: Metres) -> Kilograms:
    """Effective weight whose move over `lever` nulls an angle, m·BG·tan|θ|/L, in kg.

    Lead moved in the water must be heavier: divide by `buoyancy_lead.effect`.
    """
    need_positive("lever", lever, "m")
    return moment_for_angle(angle, mass, righting) / lever


def weight_to_move_relative_u95(
    angle: Radians, angle_u95: Radians, righting: Metres, righting_u95: Metres
) -> Ratio:
    """Relative u95 of `weight_to_move`, √((u95(BG)/BG)² + (u95(θ)/(sin θ·cos θ))²), first order (JCGM
    100)."""
    need_positive("righting height", righting, "m")
    need_within("angle", math.degrees(abs(angle)), 1e-3, 60.0, "degrees")
    return math.hypot(righting_u95 / righting, angle_u95 / (math.sin(abs(angle)) * math.cos(angle)))


# Surfaced: form stability ------------------------------------------------------------------------


def waterplane_inertia_rectangle(length: Metres, breadth: Metres) -> float:
    """Second moment of a rectangular waterplane about its long axis, l·b³/12, m⁴ (swap for pitch)."""
    need_positive("length", length, "m")
    need_positive("breadth", breadth, "m")
    return length * breadth**3 / 12.0


def waterplane_inertia_ellipse(length: Metres, breadth: Metres) -> float:
    """Second moment of an elliptical waterplane about its long axis, π·l·b³/64, m⁴."""
    need_positive("length", length, "m")
    need_positive("breadth", breadth, "m")
    return math.pi * length * breadth**3 / 64.0


def waterplane_inertia_stations(half_breadths: Sequence[Metres], spacing: Metres) -> float:
    """Second moment from half-breadths at even stations, (2/3)·∫y³dx by Simpson's first rule, m⁴.

    Needs an odd number of stations, three or more.
    """
    need_positive("spacing of stations", spacing, "m")
    count = len(half_breadths)
    if count < 3 or count % 2 == 0:
        raise OutOfRangeError("Give an odd number of half-breadths, three or more.")
    cubes = [y**3 for y in half_breadths]
    total = cubes[0] + cubes[-1] + 4.0 * math.fsum(cubes[1:-1:2]) + 2.0 * math.fsum(cubes[2:-1:2])
    return 2.0 / 3.0 * total * spacing / 3.0


def metacentric_height(
    inertia: float, mass: Kilograms, density: KilogramsPerCubicMetre, kb: Metres, kg: Metres
) -> Metres:
    """GM = KB + BM − KG with BM = I/∇ and ∇ = m/ρ, in m; I in m⁴.

    A round hull gets no stability from its form: M lies on its axis for any draught.
    """
    return kb + metacentric_radius(inertia, mass, density) - kg


def metacentric_radius(inertia: float, mass: Kilograms, density: KilogramsPerCubicMetre) -> Metres:
    """BM = I/∇ in m; dived there is no waterplane and it is zero."""
    need_not_negative("second moment of the waterplane", inertia, "m⁴")
    need_positive("mass", mass, "kg")
    need_positive("water density", density, "kg/m³")
    return inertia * density / mass


def righting_lever(gm: Metres, angle: Radians, bm: Metres = 0.0) -> Metres:
    """GZ = (GM + ½·BM·tan²φ)·sin φ, in m: wall-sided, to deck edge; BM = 0 dived, then exact at all angles.

    Refuses angles beyond 60°, where the wall-sided form means nothing.
    """
    need_within("angle", math.degrees(abs(angle)), 0.0, 60.0, "degrees")
    return (gm + 0.5 * bm * math.tan(angle) ** 2) * math.sin(angle)


def righting_moment(mass: Kilograms, lever: Metres) -> NewtonMetres:
    """Moment that rights her, m·g·GZ, in N·m."""
    need_positive("mass", mass, "kg")
    return mass * GRAVITY * lever


def heel_under_moment(moment: KilogramMetres, mass: Kilograms, gm: Metres, bm: Metres) -> Radians:
    """Heel at which w·d·cos φ = m·GZ(φ), 0 to 60°, by bisection; refuses what she cannot hold at 60°.

    With GM = 0 it is tan³φ = 2·w·d/(m·BM). With GM below zero the stable angle (loll or beyond) comes out.
    """
    need_not_negative("moment", moment, "kg·m")
    need_positive("mass", mass, "kg")

    def excess(angle: float) -> float:
        return mass * righting_lever(gm, angle, bm) - moment * math.cos(angle)

    low, high = 0.0, ANGLE_MOST
    if excess(high) < 0.0:
        raise OutOfRangeError("The moment heels her past 60 degrees.")
    for _ in range(60):
        middle = 0.5 * (low + high)
        if excess(middle) < 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def angle_of_loll(gm: Metres, bm: Metres) -> Radians:
    """Angle she lolls to with GM below zero, tan φ = √(−2·GM/BM); 0 when GM is not below zero."""
    need_positive("metacentric radius", bm, "m")
    return math.atan(math.sqrt(max(0.0, -2.0 * gm / bm)))


# Inclining test ----------------------------------------------------------------------------------


def righting_from_shift(effective: Kilograms, shift: Metres, mass: Kilograms, angle: Radians) -> Metres:
    """BG (dived) or GM (surfaced) from one shift, w_eff·a/(m·tan|φ|), in m; |φ| above 0, up to 25°.

    Still water, boat free of lines, near neutral. The classic inclining formula (Barrass and Derrett).
    """
    need_positive("weight shifted", effective, "kg")
    need_positive("shift", shift, "m")
    need_positive("mass", mass, "kg")
    need_within("angle", math.degrees(abs(angle)), 1e-3, 25.0, "degrees")
    return effective * shift / (mass * math.tan(abs(angle)))


def righting_from_shift_u95(
    righting: Metres,
    angle: Radians,
    angle_u95: Radians,
    weight_share_u95: Ratio = 0.0,
    shift_share_u95: Ratio = 0.0,
    mass_share_u95: Ratio = 0.0,
) -> Metres:
    """u95 of `righting_from_shift`: relative parts of w, a, m and u95(φ)/(sin φ·cos φ) in squares, in m."""
    need_within("angle", math.degrees(abs(angle)), 1e-3, 25.0, "degrees")
    angular = angle_u95 / (math.sin(abs(angle)) * math.cos(angle))
    return righting * math.hypot(angular, weight_share_u95, shift_share_u95, mass_share_u95)


def righting_from_shifts(
    moments: Sequence[KilogramMetres], angles: Sequence[Radians], mass: Kilograms
) -> Metres:
    """BG or GM from several shifts to both sides, 1/(m·slope) of tan φ against w_eff·a, offset free, in m.

    Least squares. Needs three positions on each side of the middle (an even count, or one more in the
    middle); refuses angles over 25° and a fit that misses any reading by more than 1°.
    """
    need_positive("mass", mass, "kg")
    if len(moments) != len(angles):
        raise OutOfRangeError("Give one angle for each shift.")
    if sum(m > 0 for m in moments) < 3 or sum(m < 0 for m in moments) < 3:
        raise OutOfRangeError("Give at least three shifts to each side.")
    for angle in angles:
        need_within("angle", math.degrees(abs(angle)), 0.0, 25.0, "degrees")
    tangents = [math.tan(angle) for angle in angles]
    count = len(moments)
    mean_m, mean_t = math.fsum(moments) / count, math.fsum(tangents) / count
    spread = math.fsum((m - mean_m) ** 2 for m in moments)
    slope = math.fsum((m - mean_m) * (t - mean_t) for m, t in zip(moments, tangents, strict=True)) / spread
    if slope <= 0.0:
        raise OutOfRangeError("The angles do not follow the shifts: check the signs.")
    for m, angle in zip(moments, angles, strict=True):
        if abs(math.atan(mean_t + slope * (m - mean_m)) - angle) > FIT_RESIDUAL_MOST:
            raise OutOfRangeError("A reading lies more than 1 degree off the line: measure again.")
    return 1.0 / (mass * slope)


# Part-filled tanks -------------------------------------------------------------------------------


def free_surface_loss(
    density: KilogramsPerCubicMetre, along: Metres, span: Metres, mass: Kilograms, cells: int = 1
) -> Metres:
    """BG or GM lost to the free surface of a part-filled tank, ρ·(along·span³/12)/m/n², in m.

    `span` is the length the water can run: breadth for roll, **length for pitch**; `along` is the other side.
    `cells` equal cells across the span (baffles + 1) divide by n². A round tank lying along x, half full, has
    span 2R in roll. Zero for a bag, a piston, a full or an empty tank. `mass` is of the whole boat. Small
    angles: beyond `free_surface_angle_most` the water reaches roof or floor (`free_surface_moment` bounds
    it).
    """
    need_positive("density of the tank's water", density, "kg/m³")
    need_positive("mass", mass, "kg")
    if cells < 1:
        raise OutOfRangeError("A tank has at least one cell.")
    return density * waterplane_inertia_rectangle(along, span) / mass / cells**2


def free_surface_angle_most(fill_height: Metres, tank_height: Metres, span: Metres) -> Radians:
    """Angle up to which the surface touches neither roof nor floor, tan θ = 2·min(h, H − h)/span."""
    need_positive("height of the tank", tank_height, "m")
    need_within("height of water", fill_height, 0.0, tank_height, "m")
    need_positive("span of the tank", span, "m")
    return math.atan(2.0 * min(fill_height, tank_height - fill_height) / span)


def free_surface_moment(
    density: KilogramsPerCubicMetre,
    along: Metres,
    span: Metres,
    volume: CubicMetres,
    fill: Ratio,
    angle: Radians,
) -> KilogramMetres:
    """Tipping moment of a part-filled tank at an angle, the lesser of ρ·i·tan θ and ρ·V·f·(l/2)·(1 − f), in
    kg·m.

    The bound is all the water at one end of a box tank. `volume` of the tank (m³), `fill` 0 to 1.
    """
    need_positive("density of the tank's water", density, "kg/m³")
    need_positive("volume of the tank", volume, "m³")
    need_within("fill", fill, 0.0, 1.0)
    need_within("angle", math.degrees(abs(angle)), 0.0, 60.0, "degrees")
    linear = density * waterplane_inertia_rectangle(along, span) * math.tan(abs(angle))
    bound = density * volume * fill * span / 2.0 * (1.0 - fill)
    return min(linear, bound)
