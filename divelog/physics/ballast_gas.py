"""Blowing a tank with liquefied gas or compressed air: grams a blow, blows left, and how deep the gas still
works.

Cautions that go with every number here: isobutane, butane, propane and dimethyl ether burn at 2 to 3 % in
air, so no bottle, line or valve inside the cylinder; fill outdoors, never over the maker's fill mass, never
over 50 degC; releasing R-134a to the air is forbidden in the EU (Regulation (EU) 2024/573) and restricted
elsewhere; CO2 stands near 57 bar: only rated, tested makers' parts. Local law and qualified people decide.

Vapour pressure ln P = A − B/(T + C) and second virial B₂ = c₃τ³ + c₂τ² + c₁τ + c₀ (cm³/mol, τ = 300/T) are
fits to the reference equations of state in CoolProp 8 (R-134a: Tillner-Roth and Baehr 1994; butanes: Buecker
and Wagner 2006), −10 to 50 degC within 0.1 % of pressure, CO2 −20 to 30 degC within 0.3 %. Density by B₂
within 0.1 % to 200 kPa.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    ZERO_CELSIUS,
    CubicMetres,
    Kelvin,
    KelvinDifference,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    Ratio,
)

GAS_CONSTANT = 8.314462618
"""J/(mol·K), exact (SI 2019)."""

OVERBLOW: Ratio = 0.2
"""Share of a blow that bubbles out of the tank, 0.1 to 0.3 (assumed)."""

BLOW_SHARE_U95: Ratio = 0.12
WEIGHED_SHARE_U95: Ratio = 0.05
"""Relative u95 of the grams a blow: computed (tank 5 %, overblow ± 0.1, cold gas 2 %), or weighed."""

FLOW_PRESSURE: Pascals = 50_000.0
"""What valve and hose need above the tank's pressure (assumed)."""

BLOWS_KEPT = 2
"""Blows always kept for coming up (common practice, no source)."""

FAST_BLOW_SHARE: Ratio = 0.7
"""Of the isothermal count, for a fast blow from a compressed-air bottle (assumed)."""

VIRIAL_MOST: Pascals = 250_000.0
"""Pressure up to which the second virial alone is trusted: a tank 10 m down has 200 kPa."""

AIR_GAMMA: Ratio = 1.4
AIR_BOTTLE_MOST: Pascals = 20e5


@dataclass(frozen=True, slots=True)
class Fluid:
    """Molar mass (kg/mol), vapour-pressure fit (K), virial fit (cm³/mol) and the span they hold (K)."""

    molar_mass: float
    pressure: tuple[float, float, float]
    virial: tuple[float, float, float, float]
    coldest: Kelvin
    warmest: Kelvin
    usable: bool = True


_LOW, _HIGH = ZERO_CELSIUS - 10.0, ZERO_CELSIUS + 50.0

FLUIDS: Mapping[str, Fluid] = MappingProxyType(
    {
        "isobutane": Fluid(
            0.0581222,
            (20.71778834, 2163.641348, -25.99568),
            (-381.9076, 235.2887, -695.4759, 220.5179),
            _LOW,
            _HIGH,
        ),
        "n-butane": Fluid(
            0.0581222,
            (20.75081129, 2240.711027, -29.75950),
            (-579.3066, 516.3643, -934.0866, 294.8531),
            _LOW,
            _HIGH,
        ),
        "propane": Fluid(
            0.0440956,
            (21.17674229, 2154.958068, -7.33732),
            (-156.4169, -22.9379, -311.2908, 105.1978),
            _LOW,
            _HIGH,
        ),
        "R-134a": Fluid(
            0.102032,
            (21.48353441, 2186.773759, -27.34881),
            (-875.3424, 1421.0377, -1506.7338, 475.5910),
            _LOW,
            _HIGH,
        ),
        # Dissolves in the ballast water, twenty times a blow: never counted as a blow gas.
        "dimethyl ether": Fluid(
            0.0460684,
            (21.14063435, 2135.708053, -26.16274),
            (-861.3163, 1310.0768, -1137.8946, 254.7802),
            _LOW,
            _HIGH,
            usable=False,
        ),
        "CO2": Fluid(
            0.0440098,
            (23.1682913, 2473.151679, 31.99524),
            (-76.3035, 71.6748, -193.5723, 76.9272),
            ZERO_CELSIUS - 20.0,
            ZERO_CELSIUS + 30.0,
        ),
    }
)
"""By the fluid's word. Mixtures lose the lighter part first: use the pure fluids as bounds."""


def _fluid(name: str) -> Fluid:
    try:
        return FLUIDS[name]
    except KeyError:
        raise OutOfRangeError(f"No figures for the gas {name!r}; known: {', '.join(FLUIDS)}.") from None


def _blow_fluid(name: str) -> Fluid:
    fluid = _fluid(name)
    if not fluid.usable:
        raise OutOfRangeError(f"{name.capitalize()} dissolves in water: it cannot blow a ballast tank.")
    return fluid


def _need_temperature(fluid: Fluid, temperature: Kelvin) -> None:
    need_within(
        "temperature of the gas",
        temperature - ZERO_CELSIUS,
        fluid.coldest - ZERO_CELSIUS,
        fluid.warmest - ZERO_CELSIUS,
        "degC",
    )


def saturation_pressure(name: str, temperature: Kelvin) -> Pascals:
    """Vapour pressure of the liquid, ln P = A − B/(T + C), absolute, in Pa.

    Flat until the last drop has gone: mass, not pressure, tells what is left.
    """
    fluid = _fluid(name)
    _need_temperature(fluid, temperature)
    a, b, c = fluid.pressure
    return math.exp(a - b / (temperature + c))


def vapour_density(name: str, temperature: Kelvin, pressure: Pascals) -> KilogramsPerCubicMetre:
    """Density of the vapour, M·2P/(RT)/(1 + √(1 + 4·B₂·P/(RT))), in kg/m³; refuses P at or above saturation.

    The ideal law would be 3.5 % light for isobutane, 2.7 % for R-134a (10 degC, 111 kPa).
    """
    need_within("pressure of the gas", pressure / 1e3, 0.0, VIRIAL_MOST / 1e3, "kPa")
    if pressure >= saturation_pressure(name, temperature):
        raise OutOfRangeError(
            f"At {temperature - ZERO_CELSIUS:.0f} degC {name} is liquid at {pressure / 1e3:.0f} kPa: no blow."
        )
    return _density(_fluid(name), temperature, pressure)


def _density(fluid: Fluid, temperature: Kelvin, pressure: Pascals) -> KilogramsPerCubicMetre:
    tau = 300.0 / temperature
    c3, c2, c1, c0 = fluid.virial
    b = (((c3 * tau + c2) * tau + c1) * tau + c0) * 1e-6
    ideal = pressure / (GAS_CONSTANT * temperature)
    return fluid.molar_mass * 2.0 * ideal / (1.0 + math.sqrt(1.0 + 4.0 * b * ideal))


def blow_pressure(depth: Metres, density: KilogramsPerCubicMetre, barometer: Pascals) -> Pascals:
    """Pressure in the tank when blown, P_a + ρ·g·d_b, in Pa; d_b depth of its outlet, up to 10 m."""
    need_within("depth", depth, 0.0, 10.0, "m")
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    need_within("barometer", barometer, 60_000.0, 110_000.0, "Pa")
    return barometer + density * GRAVITY * depth


def mass_per_blow(
    name: str,
    temperature: Kelvin,
    tank_pressure: Pascals,
    volume: CubicMetres,
    overblow: Ratio = OVERBLOW,
) -> Kilograms:
    """Gas that one blow takes, ρ_v(T, P_t)·V·(1 + w), in kg, u95 `BLOW_SHARE_U95`; weigh it to do better."""
    _blow_fluid(name)
    need_positive("volume blown", volume, "m³")
    need_within("overblow", overblow, 0.0, 1.0)
    return vapour_density(name, temperature, tank_pressure) * volume * (1.0 + overblow)


def dead_mass(name: str, temperature: Kelvin, bottle: CubicMetres, heel: Kilograms = 0.0) -> Kilograms:
    """Gas that stays in an "empty" bottle, ρ_v at saturation × V + what lies below the dip tube, in kg.

    Within 0.5 % to 20 degC, 4 % at 50. CO2 is refused: at its saturation the virial form does not hold, and a
    cartridge is used up whole.
    """
    need_positive("volume of the bottle", bottle, "m³")
    need_not_negative("heel of liquid", heel, "kg")
    fluid = _blow_fluid(name)
    if name == "CO2":
        raise OutOfRangeError("No figure for CO2 left in its bottle: weigh the empty bottle instead.")
    return _density(fluid, temperature, saturation_pressure(name, temperature)) * bottle + heel


def blows_left(usable: Kilograms, per_blow: Kilograms, kept: int = BLOWS_KEPT) -> int:
    """Blows to use, ⌊m/m_g⌋ − kept, never below 0. Never rises with depth."""
    need_positive("gas a blow", per_blow, "kg")
    if not math.isfinite(usable):
        raise OutOfRangeError("The mass of gas is not a number.")
    return max(0, math.floor(usable / per_blow) - kept)


def gas_depth(
    name: str,
    temperature: Kelvin,
    density: KilogramsPerCubicMetre,
    barometer: Pascals,
    flow_pressure: Pascals = FLOW_PRESSURE,
) -> Metres:
    """Depth of the tank's outlet down to which the gas can blow, (P_sat − Δp_flow − P_a)/(ρ·g), in m; not
    below 0.

    ± 0.2 m per 0.3 K of the bottle's temperature (isobutane near 4 degC).
    """
    need_within("water density", density, 900.0, 1100.0, "kg/m³")
    _blow_fluid(name)
    spare = saturation_pressure(name, temperature) - flow_pressure - barometer
    return max(0.0, spare / (density * GRAVITY))


def cooling(
    evaporated: Kilograms,
    heat_of_vaporisation: float,
    liquid: Kilograms,
    liquid_heat: float,
    bottle: Kilograms,
    bottle_heat: float,
) -> KelvinDifference:
    """Fall of the bottle's temperature from one blow, m_g·h_fg/(m_liq·c_p + m_b·c_b), in K; heats in J/kg,
    J/(kg·K).

    `liquid` is the mass before the blow. Gives the minutes to wait between blows.
    """
    need_not_negative("gas evaporated", evaporated, "kg")
    need_positive("heat of vaporisation", heat_of_vaporisation, "J/kg")
    capacity = liquid * liquid_heat + bottle * bottle_heat
    need_positive("heat capacity of bottle and liquid", capacity, "J/K")
    return evaporated * heat_of_vaporisation / capacity


# Compressed air ----------------------------------------------------------------------------------


def air_blows(
    bottle: CubicMetres,
    pressure: Pascals,
    tank_pressure: Pascals,
    volume: CubicMetres,
    overblow: Ratio = OVERBLOW,
    flow_pressure: Pascals = FLOW_PRESSURE,
) -> float:
    """Blows in a compressed-air bottle, V_b·(P₁ − P_end)/(P_t·V·(1 + w)), P_end = P_t + Δp_flow; isothermal.

    Pressures absolute, at most 20 bar (ideal gas within 1 %). A fast blow gives `FAST_BLOW_SHARE` of this. ±
    10 %. Bottles within the makers' rating and local law only; fill and relief by qualified people.
    """
    need_positive("volume of the bottle", bottle, "m³")
    need_within("pressure of the bottle", pressure, 0.0, AIR_BOTTLE_MOST, "Pa")
    need_positive("pressure of the tank", tank_pressure, "Pa")
    need_positive("volume blown", volume, "m³")
    spare = max(0.0, pressure - tank_pressure - flow_pressure)
    return bottle * spare / (tank_pressure * volume * (1.0 + overblow))


def air_given(pressure: Pascals, tank_pressure: Pascals, fast: bool) -> Ratio:
    """Air given at the tank's pressure, in bottle volumes: P₁/P_t − 1, or (P₁/P_t)^{1/γ} − 1 in one fast
    blow.

    Adiabatic floor for the second, γ = 1.4; never above the first.
    """
    need_positive("pressure of the tank", tank_pressure, "Pa")
    need_within("pressure of the bottle", pressure, tank_pressure, AIR_BOTTLE_MOST, "Pa")
    ratio: float = pressure / tank_pressure
    return math.pow(ratio, 1.0 / AIR_GAMMA) - 1.0 if fast else ratio - 1.0
