"""Mass against displaced water: reserve surfaced, balance dived, ballast and tower that follow.

Sign: a balance above zero floats. Reserve and balance are carried in kilograms of lift (force over
standard gravity). `displaced` is all volume that keeps water out when dived with the ballast empty: sealed
bodies by their outside, solids, and the empty ballast tank; never free-flooding space. Water in free-flooding
spaces weighs nothing while dived and does not appear here (Archimedes' principle); `lift_mass` and
`trapped_water_loss` are the two places where it counts.

Source: Archimedes' principle; derivations in each docstring. A ± is 95 % (`u95`).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    Ratio,
    SquareMetres,
)

DENSITY_LEAST: KilogramsPerCubicMetre = 900.0
DENSITY_MOST: KilogramsPerCubicMetre = 1100.0
"""Densities of water these balances are made for; beyond them an input is in the wrong unit."""

RESERVE_LEAST_SHARE: Ratio = -0.05
RESERVE_MOST_SHARE: Ratio = 0.60
"""Reserve over mass outside this is a fault of entry, not a boat (common practice, no source)."""

AIR_DENSITY: KilogramsPerCubicMetre = 1.20
SCALE_MASSES_DENSITY: KilogramsPerCubicMetre = 8000.0
"""Conventional air and calibration masses of OIML D 28 (from memory)."""

SURFACE_TENSION = 0.073
"""N/m, clean water near 18 degC (CoolProp 'I' for Water, 73.1 mN/m)."""

LEAST_SHARE: Ratio = 0.003
MOST_SHARE: Ratio = 0.01
WEED_SHARE: Ratio = 0.001
"""Dived balance as shares of the dived mass: least, most, and what weeping and weed may take
(common practice, no source)."""


def _need_water(density: KilogramsPerCubicMetre) -> None:
    need_within("water density", density, DENSITY_LEAST, DENSITY_MOST, "kg/m³")


def reserve(density: KilogramsPerCubicMetre, displaced: CubicMetres, mass: Kilograms) -> Kilograms:
    """Reserve buoyancy surfaced, R = ρ·V − m, in kg; ballast empty.

    Refuses a reserve under −5 % or over 60 % of the mass: then displaced volume and mass do not belong
    together. u95 = √(u95(m)² + (ρ·u95(V))²): a volume from geometry is rarely better than 0.5 %, so anchor it
    to a measured neutral trim.
    """
    _need_water(density)
    need_positive("displaced volume", displaced, "m³")
    need_positive("mass", mass, "kg")
    lift = density * displaced - mass
    share = lift / mass
    if not RESERVE_LEAST_SHARE <= share <= RESERVE_MOST_SHARE:
        raise OutOfRangeError(
            f"The reserve comes out at {share * 100:.0f} % of the mass: check the displaced volume "
            f"({displaced * 1e3:g} L) and the mass ({mass:g} kg)."
        )
    return lift


def dived_balance(
    reserve: Kilograms, ballast_volume: CubicMetres, ballast_density: KilogramsPerCubicMetre
) -> Kilograms:
    """Balance with water aboard, N = R − ρ_b·V_b, in kg.

    A hard tank (the water is weight) and an open-bottomed one (the volume is lost) give the same N.
    `ballast_density` is that of the water taken in, which is today's unless it came from elsewhere.
    """
    _need_water(ballast_density)
    need_not_negative("ballast volume", ballast_volume, "m³")
    return reserve - ballast_density * ballast_volume


def ballast_needed(
    reserve: Kilograms, wished_balance: Kilograms, ballast_density: KilogramsPerCubicMetre
) -> CubicMetres:
    """Ballast water that brings the reserve down to the wished balance, V = (R − N*)/ρ_b, in m³.

    Zero or less means that she is heavy without ballast: lead must come off.
    """
    _need_water(ballast_density)
    return (reserve - wished_balance) / ballast_density


def weight_lacking(needed: CubicMetres, usable: CubicMetres, density: KilogramsPerCubicMetre) -> Kilograms:
    """Effective weight that a tank too small leaves to be made up, (V_need − V_usable)·ρ, kg; 0 if it holds.

    This is weight inside the sealed body; for lead in the water divide by `buoyancy_lead.effect`.
    """
    _need_water(density)
    need_not_negative("usable ballast", usable, "m³")
    return max(0.0, needed - usable) * density


def displaced_from_weighing(
    mass: Kilograms, reading_submerged: Kilograms, density: KilogramsPerCubicMetre
) -> CubicMetres:
    """Displaced volume from hydrostatic weighing, V = (m − m_read)/ρ, in m³.

    `reading_submerged` is the scale's reading with the sealed boat under water, sinker and its own wet weight
    taken off; negative if she pulls the sinker up.
    """
    _need_water(density)
    need_positive("mass", mass, "kg")
    if reading_submerged >= mass:
        raise OutOfRangeError("The reading under water is not below the mass: check both.")
    return (mass - reading_submerged) / density


def displaced_from_trim(
    mass: Kilograms, ballast_volume: CubicMetres, balance: Kilograms, density: KilogramsPerCubicMetre
) -> CubicMetres:
    """Displaced volume from a known dived balance, V = (m + ρ·V_b + N)/ρ, in m³: the way to anchor it."""
    _need_water(density)
    need_positive("mass", mass, "kg")
    need_not_negative("ballast volume", ballast_volume, "m³")
    return (mass + balance) / density + ballast_volume


def mass_from_scale(
    reading: Kilograms,
    boat_density: KilogramsPerCubicMetre,
    air_density: KilogramsPerCubicMetre = AIR_DENSITY,
) -> Kilograms:
    """True mass from a scale's reading in air, m = W·(1 − ρ_a/8000)/(1 − ρ_a/ρ_boat), in kg.

    The air buoys a boat by about 1.05 g a kilogram, as much as the dived balance of a large boat. It cancels
    when trim was set in water and changes are followed on the same scale. Source: air-buoyancy convention of
    OIML D 28 (from memory); Archimedes' principle.
    """
    need_positive("scale reading", reading, "kg")
    need_within("air density", air_density, 0.0, 2.0, "kg/m³")
    need_within("mean density of the boat", boat_density, 100.0, 20_000.0, "kg/m³")
    return reading * (1.0 - air_density / SCALE_MASSES_DENSITY) / (1.0 - air_density / boat_density)


def dived_mass(mass: Kilograms, ballast_volume: CubicMetres, density: KilogramsPerCubicMetre) -> Kilograms:
    """Mass with the ballast in, m_d = m + ρ·V_b, in kg: the base of every percentage of the dived balance."""
    _need_water(density)
    need_positive("mass", mass, "kg")
    need_not_negative("ballast volume", ballast_volume, "m³")
    return mass + density * ballast_volume


@dataclass(frozen=True, slots=True)
class Band:
    """Least and most wished for, in the unit of what is judged."""

    least: float
    most: float


def balance_band(
    dived_mass: Kilograms,
    loss_at_depth: Kilograms,
    declared_least: Kilograms | None = None,
    declared_most: Kilograms | None = None,
) -> Band:
    """Wished dived balance: least max(declared, else 0.3 % of m_d; loss + 0.1 % of m_d), most 1 % of m_d.

    `loss_at_depth` is what shrinks away at the planned depth (`buoyancy_squeeze`); 0.1 % more covers weeping
    and weed. What the planes can hold down does not move this band. Source: common practice, no source.
    """
    need_positive("dived mass", dived_mass, "kg")
    need_not_negative("loss at depth", loss_at_depth, "kg")
    floor = LEAST_SHARE * dived_mass if declared_least is None else declared_least
    ceiling = MOST_SHARE * dived_mass if declared_most is None else declared_most
    return Band(least=max(floor, loss_at_depth + WEED_SHARE * dived_mass), most=ceiling)


def tower_height(balance: Kilograms, density: KilogramsPerCubicMetre, section: SquareMetres) -> Metres:
    """Height of tower left out of the water at full ballast, h = N/(ρ·A), in m; negative: she sinks.

    `section` is the sectional area of what keeps water out at the waterline: the outline of a sealed tower,
    but only walls, masts and foam of a flooding one (a fifth of the outline or less: taking the outline makes
    a neutral boat look buoyant). Level boat, still water, upright tower; the meniscus (`meniscus_lift`) adds.
    """
    _need_water(density)
    need_positive("section of the tower", section, "m²")
    return balance / (density * section)


def tower_height_u95(
    height: Metres,
    balance_u95: Kilograms,
    density: KilogramsPerCubicMetre,
    section: SquareMetres,
    section_share: Ratio = 0.10,
    reading_u95: Metres = 0.002,
) -> Metres:
    """u95 of `tower_height`, √((u95(N)/ρA)² + (0.10·h)² + (2 mm)²), in m.

    5 % of section and 1 mm of reading at one standard deviation, doubled (common practice, no source).
    """
    return math.hypot(tower_height(balance_u95, density, section), section_share * height, reading_u95)


def balance_from_tower(height: Metres, density: KilogramsPerCubicMetre, section: SquareMetres) -> Kilograms:
    """Dived balance seen from the tower left showing, N = ρ·A·h, in kg; the inverse of `tower_height`."""
    _need_water(density)
    need_positive("section of the tower", section, "m²")
    return density * section * height


def tower_height_varying(
    balance: Kilograms,
    density: KilogramsPerCubicMetre,
    lift_below: Callable[[Metres], CubicMetres],
    tower: Metres,
) -> Metres:
    """Height out of the water of a tower whose section varies, from ρ·V(h) = N, in m.

    `lift_below(h)` is the water-excluding volume, m³, between the waterline and the top when h stands out; it
    must rise from 0. Solved by bisection over 0 … `tower` (its full height, m); refuses a balance that is
    negative or that the whole tower cannot take.
    """
    _need_water(density)
    need_positive("height of the tower", tower, "m")
    if not 0.0 <= balance <= density * lift_below(tower):
        raise OutOfRangeError(
            f"A balance of {balance * 1e3:g} g does not leave the waterline within the tower."
        )
    low, high = 0.0, tower
    for _ in range(60):
        middle = 0.5 * (low + high)
        if density * lift_below(middle) < balance:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def meniscus_lift(wetted_outline: Metres, surface_tension: float = SURFACE_TENSION) -> Kilograms:
    """Most that the meniscus can pull on a tower, γ·P/g, in kg: wet the tower, tap it and read twice."""
    need_not_negative("wetted outline", wetted_outline, "m")
    return surface_tension * wetted_outline / GRAVITY


def lift_mass(mass: Kilograms, residue_share: Ratio) -> Kilograms:
    """Drained mass to lift, m·(1 + share of water that stays behind), in kg.

    Shares 0.05 to 0.4 by size (common practice, no source). Undrained she weighs far more.
    """
    need_positive("mass", mass, "kg")
    need_within("share of water left", residue_share, 0.0, 1.0)
    return mass * (1.0 + residue_share)


def trapped_water_loss(
    trapped: CubicMetres,
    density: KilogramsPerCubicMetre,
    height_above_centre: Metres,
    mass: Kilograms,
) -> Metres:
    """Stiffness (GM or BG) lost while water drains above the waterline, ρ·V_t·(z_t − z_G)/m, in m.

    Flooded spaces weigh nothing dived, but on surfacing water still standing above the outside waterline
    does, at its height. `trapped` is a guess of ± 50 % at best. Moment of a weight about G, first order.
    """
    _need_water(density)
    need_not_negative("trapped water", trapped, "m³")
    need_positive("mass", mass, "kg")
    return density * trapped * height_above_centre / mass
