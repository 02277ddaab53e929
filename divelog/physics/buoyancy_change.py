"""What the dived balance gains or loses between the water of the last trim and today's.

Two effects that pull against each other: denser water lifts more, and a cold hull displaces less. With a
plastic cylinder the second is as large as the first, so leaving growth out gives the wrong sign.

Source: Archimedes' principle and linear expansion; expansions from handbook tables (each row says so), middle
of the tables with their half-spread as one standard deviation, doubled here. A ± is 95 % (`u95`).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    CubicMetres,
    KelvinDifference,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    PerKelvin,
    Seconds,
)

EXPANSION_MOST: PerKelvin = 150e-6
"""More than this for a solid is an error of print or unit."""


@dataclass(frozen=True, slots=True)
class Expansion:
    """Linear expansion of a material, 1/K, with its u95."""

    alpha: PerKelvin
    u95: PerKelvin


EXPANSIONS: Mapping[str, Expansion] = MappingProxyType(
    {
        "acrylic": Expansion(71e-6, 12e-6),  # tables 68 to 75, cast sheet to 81
        "acrylic cast": Expansion(71e-6, 12e-6),
        "polycarbonate": Expansion(66e-6, 6e-6),  # 65
        "pvc": Expansion(65e-6, 30e-6),  # 80, and 52 from a cubic 156: the tables disagree
        "aluminium": Expansion(23e-6, 2e-6),  # 21 to 24
        "brass": Expansion(19e-6, 2e-6),  # 18 to 19
        "steel": Expansion(16.5e-6, 2e-6),  # austenitic, 16 to 17.3
        "grp": Expansion(25e-6, 16e-6),  # from memory
        "abs": Expansion(85e-6, 30e-6),  # 72 to 108
        "pla": Expansion(70e-6, 15e-6),  # from memory
        "petg": Expansion(60e-6, 8e-6),  # from memory
        "printed": Expansion(65e-6, 30e-6),  # the plastic is not named: as unknown
        "resin": Expansion(55e-6, 10e-6),  # cast epoxy 45 to 65
        "unknown": Expansion(65e-6, 30e-6),  # some plastic; assumed
    }
)
"""By the material's word. Handbook tables of linear expansion, 0 to 40 degC."""

REST_EXPANSION = Expansion(40e-6, 40e-6)
"""All that is neither cylinder nor ballast tank (assumed)."""

HEAT_CAPACITIES: Mapping[str, float] = MappingProxyType(
    {
        "acrylic": 1.75e6,
        "acrylic cast": 1.75e6,
        "polycarbonate": 1.44e6,
        "pvc": 1.40e6,
        "aluminium": 2.43e6,
        "grp": 1.9e6,
        "abs": 1.5e6,
    }
)
"""Density times specific heat, J/(m³·K), from memory of handbook tables; others `UNKNOWN_HEAT_CAPACITY`."""

UNKNOWN_HEAT_CAPACITY = 1.9e6
WALL_TO_WATER = 150.0
"""W/(m²·K) from a wall to still water (order of magnitude, from memory)."""

NOTICED: Kilograms = 0.001
"""A change of trim that is not worth waiting for: 1 g."""


@dataclass(frozen=True, slots=True)
class GrowingPart:
    """A part that displaces `volume` (m³, outside, at the first temperature) and grows by `alpha` (1/K)."""

    volume: CubicMetres
    alpha: PerKelvin


@dataclass(frozen=True, slots=True)
class BalanceChange:
    """Change of the dived balance, kg, above zero: lighter. `growth` follows the order of the parts given."""

    water: Kilograms
    growth: tuple[Kilograms, ...]

    @property
    def total(self) -> Kilograms:
        """Water and growth together, kg."""
        return self.water + math.fsum(self.growth)


def balance_change(
    displaced: CubicMetres,
    ballast_volume: CubicMetres,
    density_then: KilogramsPerCubicMetre,
    density_now: KilogramsPerCubicMetre,
    parts: Sequence[GrowingPart],
    warming: KelvinDifference,
) -> BalanceChange:
    """Change of the dived balance from trim day to today, in kg.

    ΔN = (V − V_b)·(ρ₂ − ρ₁) + ρ₂·Σ 3α_i·V_i·(T₂ − T₁), exact for first-order growth when the tank is filled
    with the day's own water and its volume is fixed: ballast water gets lighter too, so only V − V_b counts.
    `warming` is T₂ − T₁ of the parts themselves (K). Holds for 0 to 40 degC water, salinity to 42 g/kg. Only
    the wall's temperature matters, never that of cold solids inside a sealed cylinder.
    """
    need_positive("displaced volume", displaced, "m³")
    need_within("ballast volume", ballast_volume, 0.0, displaced, "m³")
    need_within("water density at the trim", density_then, 900.0, 1100.0, "kg/m³")
    need_within("water density today", density_now, 900.0, 1100.0, "kg/m³")
    need_within("change of temperature", warming, -60.0, 60.0, "K")
    growth = []
    for part in parts:
        need_not_negative("volume of a part", part.volume, "m³")
        need_within("linear expansion", part.alpha, -20e-6, EXPANSION_MOST, "1/K")
        growth.append(density_now * 3.0 * part.alpha * part.volume * warming)
    return BalanceChange((displaced - ballast_volume) * (density_now - density_then), tuple(growth))


def balance_at(
    density: KilogramsPerCubicMetre,
    mass: Kilograms,
    ballast_volume: CubicMetres,
    parts: Sequence[GrowingPart],
    warming: KelvinDifference,
    tank_alpha: PerKelvin = 0.0,
) -> Kilograms:
    """Dived balance written out, N = ρ·ΣV_i(1 + 3α_i·ΔT) − m − ρ·V_b(1 + 3α_tank·ΔT), in kg.

    `warming` is counted from the temperature at which the volumes hold. `tank_alpha` stays 0 unless "full" is
    set by the tank's walls (not by a clock or a sensor).
    """
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    displaced = math.fsum(part.volume * (1.0 + 3.0 * part.alpha * warming) for part in parts)
    return density * (displaced - ballast_volume * (1.0 + 3.0 * tank_alpha * warming)) - mass


def tube_volume(outside_diameter: Metres, outside_length: Metres) -> CubicMetres:
    """Volume a closed cylinder displaces by its outside, π/4·D²·L, in m³."""
    need_positive("outside diameter", outside_diameter, "m")
    need_positive("outside length", outside_length, "m")
    return math.pi / 4.0 * outside_diameter**2 * outside_length


def expansion_of(material: str) -> Expansion:
    """Expansion by the material's word; a word not in the table counts as an unknown plastic."""
    return EXPANSIONS.get(material, EXPANSIONS["unknown"])


def heat_capacity_of(material: str) -> float:
    """Volumetric heat capacity by the material's word, J/(m³·K); a word not in the table takes 1.9e6."""
    return HEAT_CAPACITIES.get(material, UNKNOWN_HEAT_CAPACITY)


@dataclass(frozen=True, slots=True)
class Soak:
    """How a hull out of temperature comes to rest in the water."""

    time_constant: Seconds
    """Of the wall, τ = ρ_p·c_p·t/h."""
    error_at_first: Kilograms
    """Balance too high (or low) as she goes in."""
    wait: Seconds
    """Until less than a gram of it is left."""


def soak(
    heat_capacity: float,
    wall: Metres,
    density: KilogramsPerCubicMetre,
    volume: CubicMetres,
    alpha: PerKelvin,
    difference: KelvinDifference,
    start: Kilograms = NOTICED,
) -> Soak:
    """Wait before trim may be judged: τ = C·t/h, ε₀ = ρ·V·3α·|ΔT|, t = 2τ·ln(ε₀/1 g); 0 if ε₀ ≤ 1 g.

    Lumped wall cooled by still water, h 150 W/(m²·K) and rough, hence the factor 2. `difference` is hull less
    water (K, either sign), `heat_capacity` in J/(m³·K), `start` the error that no longer matters (kg). The
    air inside takes longer (10 to 30 min): the cylinder's gauge waits longer than the trim.
    """
    need_positive("heat capacity", heat_capacity, "J/m³K")
    need_positive("wall", wall, "m")
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_positive("volume", volume, "m³")
    need_within("linear expansion", alpha, 0.0, EXPANSION_MOST, "1/K")
    need_within("difference of temperature", difference, -80.0, 80.0, "K")
    tau = heat_capacity * wall / WALL_TO_WATER
    error = density * volume * 3.0 * alpha * abs(difference)
    wait = 2.0 * tau * math.log(error / start) if error > start else 0.0
    return Soak(tau, error, wait)
