"""The air shut in a watertight cylinder: its gauge pressure over an outing, and what that does to seals.

Pressures are absolute unless the name says gauge (inside minus the air outside).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from divelog.physics.errors import OutOfRangeError
from divelog.physics.humidity import saturation_pressure, vapour_pressure
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    GaugePascals,
    Kelvin,
    KelvinDifference,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    Ratio,
    SquareMetres,
    Watts,
)

Damp: TypeAlias = Literal["kept", "dried", "wet"]
"""What became of the vapour: shut in with the air, taken by fresh desiccant, or topped up by water inside."""

WattsPerSquareMetreKelvin: TypeAlias = float
WattsPerMetreKelvin: TypeAlias = float

GREATEST_SHARE_TAKEN: Final[Ratio] = 0.7
"""Share of the air volume ballast may take before the sum is refused; caps go first (common practice)."""

DRIED_HUMIDITY: Final[Ratio] = 0.1
"""Relative humidity left by fresh desiccant (assumed; common practice, no source)."""

INSIDE_FILM: Final[WattsPerSquareMetreKelvin] = 8.0
"""Still air inside a wall, radiation included, W/(m2 K), 5 to 12 (heat-transfer handbooks, from memory)."""

OUTSIDE_FILM: Final[WattsPerSquareMetreKelvin] = 200.0
"""Slow water outside a wall, W/(m2 K), 100 to 500 (heat-transfer handbooks, from memory)."""


@dataclass(frozen=True, slots=True)
class ClosedAir:
    """The air at the moment the last opening was closed.

    ``pressure`` of the air outside then, Pa; ``temperature`` of the air inside, K (hand-warm or hot-car, not
    the weather); ``humidity`` 0 to 1; ``volume`` of free air with the ballast as it then stood, m3.
    """

    pressure: Pascals
    temperature: Kelvin
    humidity: Ratio
    volume: CubicMetres


@dataclass(frozen=True, slots=True)
class InsideAir:
    """What the shut-in air does later: its partial pressures, their sum, and the gauge, Pa."""

    dry: Pascals
    vapour: Pascals
    absolute: Pascals
    gauge: GaugePascals


def inside_air(
    closed: ClosedAir,
    *,
    temperature: Kelvin,
    outside: Pascals,
    taken: CubicMetres = 0.0,
    coldest_wall: Kelvin | None = None,
    damp: Damp = "kept",
    dried_to: Ratio = DRIED_HUMIDITY,
) -> InsideAir:
    """Pressure of shut-in air after it warmed or cooled, ballast moved and the barometer changed.

    dry p_d = (B_1 - e_1) (T_2/T_1) (V_1/V_2), vapour e_2 = min(e_1 (T_2/T_1) (V_1/V_2), e_s(T_cold)),
    gauge = p_d + e_2 - B_2, V_2 = V_1 - taken.

    ``temperature`` of the inside air later, K; ``outside`` pressure of the air around then, Pa; ``taken``
    ballast water let into the shared volume since closing, m3, negative if pumped out since; ``coldest_wall``
    K, where vapour settles (default: the air's own temperature); ``damp`` see Damp; ``dried_to`` the humidity
    desiccant leaves (0 takes all: the lowest gauge; show both ends).
    Valid for a perfect seal and a rigid body: a leak pulls the gauge to 0 in hours, and the give of caps and
    bags lowers its size, so the sum is the safe side. 1 K at closing is 0.35 kPa. Ballast taking over 0.7 of
    the air, or air outside -10 to 60 degC, raises OutOfRangeError.
    Source: ideal gas law and Dalton's law; vapour as in ``humidity``.
    """
    for name, pressure in (("at closing", closed.pressure), ("later", outside)):
        if not 50_000.0 <= pressure <= 120_000.0:
            raise OutOfRangeError(
                f"Air pressure {name} of {pressure / 1000:.1f} kPa is outside 50 to 120 kPa."
            )
    if closed.volume <= 0.0:
        raise OutOfRangeError("The cylinder's air volume must be above nothing.")
    if taken >= GREATEST_SHARE_TAKEN * closed.volume:
        raise OutOfRangeError(
            f"Ballast takes {taken * 1000:.2f} L of {closed.volume * 1000:.2f} L of air: over 0.7 of it, "
            "caps would go first."
        )
    vapour_then = vapour_pressure(temperature=closed.temperature, humidity=closed.humidity)
    stretch = (temperature / closed.temperature) * (closed.volume / (closed.volume - taken))
    dry = (closed.pressure - vapour_then) * stretch
    wall = temperature if coldest_wall is None else min(coldest_wall, temperature)
    if damp == "kept":
        vapour = min(vapour_then * stretch, saturation_pressure(wall))
    elif damp == "dried":
        vapour = vapour_pressure(temperature=temperature, humidity=dried_to)
    else:
        vapour = saturation_pressure(temperature)
    return InsideAir(dry=dry, vapour=vapour, absolute=dry + vapour, gauge=dry + vapour - outside)


def pumping_of_cap(*, stroke: Metres, bore: Metres, volume: CubicMetres, outside: Pascals) -> GaugePascals:
    """Gauge pressure made by pushing a piston-type cap home with every vent shut, Pa.

    p = B A s / V, A = pi bore^2/4: the air of the stroke pressed into the volume left, at one temperature.
    ``stroke`` m sealed travel; ``bore`` m; ``volume`` m3 of air with the cap home. Leave the vent plug to the
    last.
    Source: Boyle's law.
    """
    if stroke < 0.0 or bore <= 0.0 or volume <= 0.0:
        raise OutOfRangeError("The cap's stroke, bore and the air volume must be above nothing.")
    return outside * math.pi * bore**2 / 4.0 * stroke / volume


def gauge_as_depth(gauge: GaugePascals, *, density: KilogramsPerCubicMetre) -> Metres:
    """Water column that presses as much as this gauge pressure: gauge / (density g), m.

    Negative inside pressure adds its size to the depth every seal feels. Source: hydrostatics.
    """
    if density <= 0.0:
        raise OutOfRangeError("The water's density must be above nothing.")
    return gauge / (density * GRAVITY)


def seal_pressure(*, depth: Metres, gauge: GaugePascals, density: KilogramsPerCubicMetre) -> Pascals:
    """Pressure across a seal, positive inward: density g depth - gauge, Pa.

    ``depth`` of the seal itself, m (keel depth less its height, plus its distance forward times the sine of a
    bow-down angle); ``gauge`` inside against the air over the water, Pa. Negative: it presses outward.
    u95 from depth and gauge adds in squares. Source: hydrostatics.
    """
    if depth < 0.0:
        raise OutOfRangeError(f"A seal {-depth:g} m above the water carries no water.")
    if density <= 0.0:
        raise OutOfRangeError("The water's density must be above nothing.")
    return density * GRAVITY * depth - gauge


def transmittance(
    *,
    wall: Metres,
    conductivity: WattsPerMetreKelvin,
    inside_film: WattsPerSquareMetreKelvin = INSIDE_FILM,
    outside_film: WattsPerSquareMetreKelvin = OUTSIDE_FILM,
) -> WattsPerSquareMetreKelvin:
    """Heat let through a wall: 1/U = 1/h_i + t/k + 1/h_o, W/(m2 K).

    ``conductivity`` W/(m K): acrylic 0.19, aluminium 167 (from memory). Rough: give or take 40 %.
    Source: steady conduction through layers in series.
    """
    if wall <= 0.0 or conductivity <= 0.0 or inside_film <= 0.0 or outside_film <= 0.0:
        raise OutOfRangeError("Wall, conductivity and both films must be above nothing.")
    return 1.0 / (1.0 / inside_film + wall / conductivity + 1.0 / outside_film)


def warming(
    *, power: Watts, area: SquareMetres, transmittance: WattsPerSquareMetreKelvin
) -> KelvinDifference:
    """Steady rise of the inside air over the water: power / (U area), K.

    ``power`` lost inside as heat, W; ``area`` of wall that touches water, m2. For the sign and the size only,
    give or take 40 %; it takes 10 to 30 min to come about (common practice) and falls away when the set is
    switched off.
    Source: steady heat balance.
    """
    if power < 0.0 or area <= 0.0 or transmittance <= 0.0:
        raise OutOfRangeError("Power, wall area and transmittance must be above nothing.")
    return power / (transmittance * area)


def hottest_known(*, water: Kelvin, rise: KelvinDifference) -> tuple[Kelvin, KelvinDifference]:
    """Hottest known part inside in this water, K, and its one-sided u95 (upward), K.

    water + rise; u95 half the rise: a test of ten minutes is not the end of warming.
    ``rise`` measured closed up over ten minutes, K, 0 or more. Source: common practice, no source.
    """
    if rise < 0.0:
        raise OutOfRangeError(f"A heat rise of {rise:g} K is below nothing.")
    return water + rise, 0.5 * rise
