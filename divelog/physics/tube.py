"""How deep a watertight tube carries: buckling, roundness, wall stress, and what depth does to its volume.

Pressures are differences across the wall, outside over inside, unless a name says gauge. What fails at model
depths: flat caps of large diameter (``tube_caps``), thin walls over about 200 mm, warm plastic, printed
parts, and any cap pushed from inside. A computed depth is never permission.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    GaugePascals,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    Ratio,
)

THINNEST: Final[Ratio] = 0.005
"""Least wall over mid-wall diameter the buckling sum is used for."""

THICKEST: Final[Ratio] = 0.15
"""Greatest wall over mid-wall diameter the buckling sum is used for.

Checked against shell theory to 0.06. A plastic tube with creep still buckles before it crushes at 0.08, so
the sum goes on, and the least of it and the wall stress rules.
"""

SHORTEST: Final[Ratio] = 0.3
"""Length over diameter under which a tube is taken as this long (the safe side)."""

LEAST_SAFETY: Final[Ratio] = 2.0
"""A person may raise the factor on collapse, never lower it below this (common practice)."""

PROOF_FACTOR: Final[Ratio] = 1.25
"""Static wet proof over the depth a printed part may then be used at (a class rule's test, common
practice)."""

_LOBES: Final = range(2, 41)


@dataclass(frozen=True, slots=True)
class Buckling:
    """Pressure at which a round tube flattens, Pa, and the number of lobes it flattens into."""

    pressure: Pascals
    lobes: int


@dataclass(frozen=True, slots=True)
class WallStress:
    """Stresses of a closed thick tube under outside pressure, Pa, compression negative."""

    hoop_inner: Pascals
    hoop_outer: Pascals
    axial: Pascals


@dataclass(frozen=True, slots=True)
class Shrink:
    """What outside pressure does to a thin closed tube.

    Change of ``diameter`` and ``length``, m, and of ``volume``, a share of it; all negative under water.
    """

    diameter: Metres
    length: Metres
    volume: Ratio


def pressure_across(
    *,
    density: KilogramsPerCubicMetre,
    keel_depth: Metres,
    height: Metres,
    inside: GaugePascals,
) -> Pascals:
    """Pressure across the wall at a depth, outside over inside: density g (keel_depth - height) - inside, Pa.

    ``height`` of the part's lowest point over the keel, m; ``inside`` gauge against the air over the water,
    Pa, negative for a vacuum: a vacuum test on the bench loads the tube exactly as water does. Keel depth 0
    to 50 m.
    Source: hydrostatics.
    """
    if not 0.0 <= keel_depth <= 50.0:
        raise OutOfRangeError(f"A keel depth of {keel_depth:g} m is outside 0 to 50 m.")
    if density <= 0.0:
        raise OutOfRangeError("The water's density must be above nothing.")
    return density * GRAVITY * (keel_depth - height) - inside


def keel_depth_at(
    allowed: Pascals, *, density: KilogramsPerCubicMetre, height: Metres, inside: GaugePascals
) -> Metres:
    """Keel depth at which a part bears just its allowed pressure, m: (allowed + inside)/(density g) + height.

    0 where the vacuum inside alone uses the allowance up. Arguments as ``pressure_across``, whose inverse it
    is.
    """
    if density <= 0.0:
        raise OutOfRangeError("The water's density must be above nothing.")
    left = allowed + inside
    if left <= 0.0:
        return 0.0
    return left / (density * GRAVITY) + height


def buckling_pressure(
    *, modulus: Pascals, poisson: Ratio, wall: Metres, radius: Metres, length: Metres
) -> Buckling:
    """Outside pressure, on sides and ends, at which a round tube held round at both ends flattens.

    p = min over n >= 2 of (E t/R) / (n^2 - 1 + L^2/2) { 1/(n^2/L^2 + 1)^2 + t^2/(12 R^2 (1 - nu^2)) (n^2 - 1
    + L^2)^2 }, L = pi R/length.

    ``modulus`` Pa, already reduced for creep and warmth; ``wall`` the least measured, m; ``radius`` to
    mid-wall, m (3 % of diameter is 8 % of pressure); ``length`` free between the inner faces of caps that
    hold it round (spigot engaged 10 mm or two walls) or of bonded bulkheads, m: a loose tray is none. Wall
    over diameter 0.005 to 0.15; a length under 0.3 of the diameter is taken as that.
    Within 4 % of shell theory for wall over diameter to 0.06. Tests of 530 tubes fell 2.2 % above such theory
    with a spread of 7 % (Cleaver 1956, ARC C.P. 253, abstract). Inputs dominate: 2.5 times the share of the
    wall.
    Source: von Mises 1929, as in Windenburg and Trilling 1934, Trans. ASME 56, eq. 6 (from memory).
    """
    _check_tube(wall, radius, length)
    if modulus <= 0.0 or not 0.0 <= poisson < 0.5:
        raise OutOfRangeError("The modulus must be above nothing and Poisson's ratio from 0 to under 0.5.")
    slender = wall / (2.0 * radius)
    if not THINNEST <= slender <= THICKEST:
        raise OutOfRangeError(
            f"A wall of {slender:.4f} of the diameter is outside {THINNEST:g} to {THICKEST:g}, "
            "where flattening is known."
        )
    wave = (math.pi * radius / max(length, SHORTEST * 2.0 * radius)) ** 2
    bending = wall**2 / (12.0 * radius**2 * (1.0 - poisson**2))
    stiffness = modulus * wall / radius
    pressure, lobes = min(
        (
            stiffness
            / (n * n - 1.0 + 0.5 * wave)
            * (1.0 / (n * n / wave + 1.0) ** 2 + bending * (n * n - 1.0 + wave) ** 2),
            n,
        )
        for n in _LOBES
    )
    return Buckling(pressure=pressure, lobes=lobes)


def long_tube_pressure(*, modulus: Pascals, poisson: Ratio, wall: Metres, radius: Metres) -> Pascals:
    """Pressure that flattens a tube too long to feel its ends: E t^3 / (4 (1 - nu^2) R^3), Pa.

    Never above ``buckling_pressure``. Source: Bryan 1888; Roark's Formulas for Stress and Strain, Table 35
    case 19a.
    """
    _check_tube(wall, radius, radius)
    return modulus * wall**3 / (4.0 * (1.0 - poisson**2) * radius**3)


def long_tube_length(*, wall: Metres, radius: Metres) -> Metres:
    """Length beyond which ends no longer help: 4.90 R sqrt(R/t), m. Source: Roark, Table 35 case 19a."""
    _check_tube(wall, radius, radius)
    return 4.90 * radius * math.sqrt(radius / wall)


def wall_stress(pressure: Pascals, *, inner_radius: Metres, outer_radius: Metres) -> WallStress:
    """Stresses of a closed tube of any wall under outside pressure.

    Hoop -2 p r_o^2/(r_o^2 - r_i^2) at the inner face, the worst, and -p (r_o^2 + r_i^2)/(r_o^2 - r_i^2)
    outside; axial -p r_o^2/(r_o^2 - r_i^2). Source: Lame; thick-vessel tables of Roark.
    """
    _check_radii(inner_radius, outer_radius)
    ring = outer_radius**2 - inner_radius**2
    return WallStress(
        hoop_inner=-2.0 * pressure * outer_radius**2 / ring,
        hoop_outer=-pressure * (outer_radius**2 + inner_radius**2) / ring,
        axial=-pressure * outer_radius**2 / ring,
    )


def wall_allowance(design_stress: Pascals, *, inner_radius: Metres, outer_radius: Metres) -> Pascals:
    """Outside pressure at which the inner face reaches a design stress: s (r_o^2 - r_i^2)/(2 r_o^2), Pa.

    ``wall_stress`` turned round; no further factor. Source: Lame.
    """
    _check_radii(inner_radius, outer_radius)
    if design_stress <= 0.0:
        raise OutOfRangeError("The design stress must be above nothing.")
    return design_stress * (outer_radius**2 - inner_radius**2) / (2.0 * outer_radius**2)


def out_of_round(*, greatest_diameter: Metres, least_diameter: Metres) -> Metres:
    """Departure from a circle out of two diameters of a two-lobed tube: (D_max - D_min)/4, m.

    A three-lobed tube has one diameter everywhere: a calliper cannot see it. Source: geometry of an ellipse.
    """
    if greatest_diameter < least_diameter or least_diameter <= 0.0:
        raise OutOfRangeError("The greatest diameter must be at least the least, and both above nothing.")
    return (greatest_diameter - least_diameter) / 4.0


def collapse_pressure(
    *, buckling: Pascals, lasting_stress: Pascals, wall: Metres, radius: Metres, departure: Metres
) -> Pascals:
    """Outside pressure at which the wall of a not quite round tube reaches its lasting strength, Pa.

    The smaller root of p^2 - [A + (1 + 6 w/t) p_cr] p + A p_cr = 0, A = s_c t/R: hoop stress p R/t and
    bending 6 p R w/(t^2 (1 - p/p_cr)) together reach s_c. A perfect tube gives the lesser of p_cr and A.

    ``lasting_stress`` sustained compressive strength, Pa (not the design stress: a safety factor follows);
    ``departure`` from a circle, m, up to the wall: beyond it the tube is not round and the sum is refused.
    u95 10 % where the departure is known. Source: Timoshenko and Gere, Theory of Elastic Stability (from
    memory).
    """
    _check_tube(wall, radius, radius)
    if buckling <= 0.0 or lasting_stress <= 0.0:
        raise OutOfRangeError("Buckling pressure and lasting strength must be above nothing.")
    if not 0.0 <= departure <= wall:
        raise OutOfRangeError(
            f"A tube {departure * 1000:.1f} mm out of round with a wall of {wall * 1000:.1f} mm is not "
            "round: measure it again or renew it."
        )
    crush = lasting_stress * wall / radius
    middle = crush + (1.0 + 6.0 * departure / wall) * buckling
    root = math.sqrt(middle**2 - 4.0 * crush * buckling)
    # the smaller root as product over the larger: no digits lost when the two are far apart
    return 2.0 * crush * buckling / (middle + root)


def shrink(
    pressure: Pascals, *, modulus: Pascals, poisson: Ratio, wall: Metres, radius: Metres, length: Metres
) -> Shrink:
    """Change of a thin closed tube under outside pressure.

    Hoop strain -(pR/(tE))(1 - nu/2), axial -(pR/(2tE))(1 - 2 nu), volume twice the one plus the other
    = -(pR/(2tE))(5 - 4 nu). Ends stay round, so a short tube loses 10 to 20 % less: the safe side. Grams lost
    a kilogram displaced = 1000 times the share: she grows heavier the deeper. Flat caps add
    ``tube_caps.cap_sag_volume``.
    Source: thin-wall strains of Hooke's law (Timoshenko).
    """
    _check_tube(wall, radius, length)
    if modulus <= 0.0:
        raise OutOfRangeError("The modulus must be above nothing.")
    strain = pressure * radius / (wall * modulus)
    hoop = -strain * (1.0 - poisson / 2.0)
    axial = -strain / 2.0 * (1.0 - 2.0 * poisson)
    return Shrink(diameter=2.0 * radius * hoop, length=length * axial, volume=2.0 * hoop + axial)


def stored_energy(*, gauge: GaugePascals, volume: CubicMetres, outside: Pascals) -> float:
    """Work the shut-in air can still do against the air outside, J: p V ln(p/p_a) - p_g V, isothermal.

    About p_g^2 V/(2 p_a) for small gauges, either sign. It is what throws a cap or breaks a tube: test with
    caps strapped, nobody in line. Source: isothermal work of an ideal gas.
    """
    inside = outside + gauge
    if inside <= 0.0 or outside <= 0.0 or volume < 0.0:
        raise OutOfRangeError("Pressures must be above nothing and the volume not below it.")
    return inside * volume * math.log(inside / outside) - gauge * volume


def _check_tube(wall: Metres, radius: Metres, length: Metres) -> None:
    if wall <= 0.0 or radius <= 0.0 or length <= 0.0:
        raise OutOfRangeError("The tube's wall, radius and length must be above nothing.")
    if wall >= 2.0 * radius:
        raise OutOfRangeError(
            f"A wall of {wall * 1000:g} mm leaves no bore in a radius of {radius * 1000:g} mm."
        )


def _check_radii(inner: Metres, outer: Metres) -> None:
    if not 0.0 < inner < outer:
        raise OutOfRangeError("The outer radius must be above the inner, and both above nothing.")
