"""Lift that depth takes away: trapped air, foam, the tube itself; and the depth at which a boat turns heavy.

Gauge pressure p = ρ·g·d of the part, d its depth below the surface (m); P₀ the barometer (Pa, absolute). All
losses are kilograms of lift, zero at the surface and rising with depth.
"""

import math
from collections.abc import Callable

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.roots import crossing
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    Ratio,
)

DEPTH_MOST: Metres = 20.0
BAROMETER_LEAST: Pascals = 60_000.0
BAROMETER_MOST: Pascals = 110_000.0

SOFT_FOAM_GAS: Ratio = 0.9
"""Share of gas in a foam nobody knows (assumed); soft polyethylene or neoprene foam has 0.6 to 0.95."""

RIGID_FOAM_MODULUS: Pascals = 20e6
"""Least bulk modulus of rigid PVC, polyurethane or syntactic foam, 20 to 500 MPa (from memory, order
only)."""

FLAT_CAPS_FACTOR = 2.0
"""Thin flat caps may sag as much again as the tube shrinks (common practice, no source)."""

THIN_WALL_MOST: Ratio = 0.15


def _gauge(density: KilogramsPerCubicMetre, depth: Metres) -> Pascals:
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_within("depth", depth, 0.0, DEPTH_MOST, "m")
    return density * GRAVITY * depth


def air_loss(
    density: KilogramsPerCubicMetre, air: CubicMetres, depth: Metres, barometer: Pascals
) -> Kilograms:
    """Lift lost by air that the water can squeeze, ρ·V₀·p/(P₀ + p), in kg.

    `air` is its volume at the surface (m³). Isothermal (Boyle's law): air squeezed in seconds stays warmer
    and loses less, so this is the safe side. Half is gone at P₀/ρg, about 10.3 m. Using gauge pressure in the
    ratio would lose all of it at the surface.
    """
    need_not_negative("trapped air", air, "m³")
    need_within("barometer", barometer, BAROMETER_LEAST, BAROMETER_MOST, "Pa")
    p = _gauge(density, depth)
    return density * air * p / (barometer + p)


def soft_foam_loss(
    density: KilogramsPerCubicMetre,
    foam: CubicMetres,
    depth: Metres,
    barometer: Pascals,
    gas_share: Ratio = SOFT_FOAM_GAS,
) -> Kilograms:
    """Most that soft foam can lose: its gas taken as free air, in kg (upper bound, Boyle's law)."""
    need_within("share of gas", gas_share, 0.0, 1.0)
    return air_loss(density, foam * gas_share, depth, barometer)


def rigid_foam_loss(
    density: KilogramsPerCubicMetre,
    foam: CubicMetres,
    depth: Metres,
    modulus: Pascals = RIGID_FOAM_MODULUS,
) -> Kilograms:
    """Lift lost by rigid foam, ρ·V·p/K, in kg; Hooke's law with bulk modulus K (Pa). Soaked-up water is
    mass."""
    need_not_negative("foam", foam, "m³")
    need_positive("bulk modulus", modulus, "Pa")
    return density * foam * _gauge(density, depth) / modulus


def tube_shrink(
    pressure: Pascals, mean_radius: Metres, wall: Metres, modulus: Pascals, poisson: Ratio
) -> Ratio:
    """Relative loss of volume of a thin closed tube, ΔV/V = p·r/(E·t)·(5/2 − 2ν).

    Twice the hoop strain and once the axial strain of a thin closed cylinder under outside pressure (membrane
    theory, for example Timoshenko, Strength of Materials; derivation in the tests), up to 9 % more than
    the exact thick form. Above t/r = 0.15 the factor 1 − t/2r is put in (within 2.5 % of Lamé's form to 0.4);
    refuses t/r over 0.5. The water's own squeeze (p/2.1e9) is left out.
    """
    need_positive("mean radius", mean_radius, "m")
    need_positive("wall", wall, "m")
    need_positive("modulus", modulus, "Pa")
    need_within("Poisson's ratio", poisson, 0.0, 0.5)
    need_not_negative("pressure", pressure, "Pa")
    ratio = wall / mean_radius
    need_within("wall over radius", ratio, 0.0, 0.5)
    thick = 1.0 - ratio / 2.0 if ratio > THIN_WALL_MOST else 1.0
    return thick * pressure * mean_radius / (modulus * wall) * (2.5 - 2.0 * poisson)


def tube_loss(
    density: KilogramsPerCubicMetre,
    volume: CubicMetres,
    depth: Metres,
    mean_radius: Metres,
    wall: Metres,
    modulus: Pascals,
    poisson: Ratio,
) -> Kilograms:
    """Lift lost by the tube alone, ρ·V·ΔV/V, in kg; times `FLAT_CAPS_FACTOR` unless the caps are computed."""
    need_positive("volume", volume, "m³")
    shrink = tube_shrink(_gauge(density, depth), mean_radius, wall, modulus, poisson)
    return density * volume * shrink


def heavy_depth_of_air(
    balance: Kilograms, density: KilogramsPerCubicMetre, air: CubicMetres, barometer: Pascals
) -> Metres | None:
    """Depth below which air alone makes her heavy, d = (P₀/ρg)·x/(1 − x), x = N₀/(ρ·V₀); None if x ≥ 1.

    `balance` is at the surface, with all of `air` aboard. A balance of zero or less is heavy from the start:
    0 m.
    """
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_not_negative("trapped air", air, "m³")
    need_within("barometer", barometer, BAROMETER_LEAST, BAROMETER_MOST, "Pa")
    if balance <= 0.0:
        return 0.0
    if balance >= density * air:
        return None
    x = balance / (density * air)
    return barometer / (density * GRAVITY) * x / (1.0 - x)


def heavy_depth(
    balance: Kilograms, loss: Callable[[Metres], Kilograms], deepest: Metres = DEPTH_MOST
) -> Metres | None:
    """Depth at which N₀ − Σ loss(d) comes to zero, on 0 … `deepest`; None if not that deep.

    `loss` must not fall with depth. Below this depth she does not come up by herself. 0 m when the balance is
    not above zero at the surface.
    """
    need_within("deepest depth looked at", deepest, 0.0, DEPTH_MOST, "m")
    if not math.isfinite(balance):
        raise OutOfRangeError("The dived balance is not a number.")
    if balance <= 0.0:
        return 0.0
    if balance > loss(deepest):
        return None
    return crossing(lambda depth: balance - loss(depth), 0.0, deepest)
