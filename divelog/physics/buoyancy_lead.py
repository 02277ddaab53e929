"""What a piece of lead or foam does to the balance, and where it must go so that pitch stays."""

from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_positive, need_within
from divelog.physics.si import (
    CubicMetres,
    KilogramMetres,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    Ratio,
)

LEAD_DENSITY: KilogramsPerCubicMetre = 11_340.0
"""Lead (handbook value, from memory); shot with antimony down to 10 900."""

STEEL_DENSITY: KilogramsPerCubicMetre = 7850.0
BRASS_DENSITY: KilogramsPerCubicMetre = 8500.0
"""Handbook values, from memory: coins and nuts for a trial."""


def effect(density: KilogramsPerCubicMetre, piece_density: KilogramsPerCubicMetre = LEAD_DENSITY) -> Ratio:
    """Share of a piece's mass that pulls down in the water, 1 − ρ/ρ_s (Archimedes' principle).

    Inside the sealed body the share is 1: the piece displaces nothing new. Solid pieces without trapped air;
    painted or taped ones are better weighed hanging in water. Below zero for what floats.
    """
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_positive("density of the piece", piece_density, "kg/m³")
    return 1.0 - density / piece_density


def effective_mass(
    mass: Kilograms,
    density: KilogramsPerCubicMetre,
    piece_density: KilogramsPerCubicMetre = LEAD_DENSITY,
    inside: bool = False,
) -> Kilograms:
    """Mass that counts for balance and moments: all of it inside, less its own lift in the water, kg."""
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    return mass if inside else mass * effect(density, piece_density)


def piece_for(
    change: Kilograms,
    density: KilogramsPerCubicMetre,
    piece_density: KilogramsPerCubicMetre = LEAD_DENSITY,
    inside: bool = False,
) -> Kilograms:
    """Mass of the piece that takes up a change of balance: add if she got lighter (+), take off if heavier.

    w = ΔN inside, ΔN/(1 − ρ/ρ_s) in the water. Using the second for lead inside overdoes it by 9.6 %. Refuses
    a piece that is not denser than the water (foam: `foam_for`). ± 0.4 % from the alloy, plus the scale.
    """
    if inside:
        need_within("water density", density, 900.0, 1100.0, "kg/m³")
        return change
    share = effect(density, piece_density)
    if share <= 0.0:
        raise OutOfRangeError("The piece does not sink in this water: it cannot be used as ballast.")
    return change / share


def foam_for(
    lift: Kilograms, density: KilogramsPerCubicMetre, foam_density: KilogramsPerCubicMetre
) -> CubicMetres:
    """Foam in the water that gives `lift`, V = ΔN/(ρ − ρ_f), in m³; refuses foam that does not float."""
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_positive("density of the foam", foam_density, "kg/m³")
    if foam_density >= density:
        raise OutOfRangeError("The foam does not float in this water: it gives no lift.")
    return lift / (density - foam_density)


@dataclass(frozen=True, slots=True)
class TwoStations:
    """Effective mass at the fore and the aft station, kg; below zero: take off there."""

    fore: Kilograms
    aft: Kilograms


def split_between(total: Kilograms, moment: KilogramMetres, x_fore: Metres, x_aft: Metres) -> TwoStations:
    """Two effective masses with a given sum and moment about B, w_f = (M − W·x_a)/(x_f − x_a), w_a = W − w_f.

    x forward positive, measured from B (m). To change the balance without moving pitch, give the moment of
    the change itself: ΔN times the x of the volume that changed (all of it for density, mid-length of the
    cylinder for its growth). Statics of two weights.
    """
    if not x_fore - x_aft > 1e-6:
        raise OutOfRangeError("The fore station must lie ahead of the aft station.")
    fore = (moment - total * x_aft) / (x_fore - x_aft)
    return TwoStations(fore, total - fore)


def righting_gain(effective: Kilograms, drop_below_b: Metres, dived_mass: Kilograms) -> Metres:
    """BG won by weight placed low, w_eff·(z_B − z_w)/m_d, in m (first order)."""
    need_positive("dived mass", dived_mass, "kg")
    return effective * drop_below_b / dived_mass
