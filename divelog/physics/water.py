"""Density and viscosity of fresh and salt water.

Everything a limit multiplies by the weight or the thickness of water starts here. Temperatures are
kelvin; a salinity is kilograms of sea salt in a kilogram of water, read as one thousandth of the
practical salinity (the two differ by 0.47 %, less than any hand-held meter resolves).
"""

import math

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_within
from divelog.physics.si import (
    STANDARD_ATMOSPHERE,
    ZERO_CELSIUS,
    Kelvin,
    KelvinDifference,
    KilogramsPerCubicMetre,
    Pascals,
    PascalSeconds,
    Ratio,
    SquareMetresPerSecond,
)

WARMEST: Kelvin = ZERO_CELSIUS + 40.0
"""Upper end of the density formulas (Tanaka et al. 2001: 0 to 40 degC)."""

SALTIEST: Ratio = 0.042
"""Upper end of the practical salinity scale, 42 (Fofonoff & Millard 1983)."""

REFERENCE_PER_PRACTICAL: float = 35.16504 / 35.0
"""Reference salinity in g/kg over practical salinity (Millero et al. 2008, Deep-Sea Res. I 55:50-72)."""

# Tanaka, Girard, Davis, Peuto & Bignell 2001, Metrologia 38:301-309, p. 305.
_A1, _A2, _A3, _A4, _A5 = -3.983035, 301.797, 522_528.9, 69.34881, 999.974950

_SLACK = 1e-9
"""Rounding allowed at the ends of a range: 273.15 + t - 273.15 is not always t."""


def practical_salinity(salinity: Ratio) -> float:
    """Practical salinity (no unit) of a salinity in kg/kg, refused outside 0 to 42.

    Source: practical salinity scale 1978, Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44.
    """
    if not 0.0 <= salinity <= SALTIEST * (1.0 + _SLACK):
        raise OutOfRangeError(
            f"A salinity of {1e3 * salinity:.4g} g/kg is outside 0 to 42 g/kg. "
            "Was it a conductivity, or parts per million?"
        )
    return 1e3 * salinity


def freezing_temperature(salinity: Ratio = 0.0) -> Kelvin:
    """Temperature at which water of this salinity freezes under one atmosphere.

    t_f = -0.0575 S + 1.710523e-3 S^1.5 - 2.154996e-4 S^2 degC.
    `salinity` kg/kg, 0 to 0.042. Within 0.005 K of the thermodynamic equation of sea water.
    Source: Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44; coefficients from memory.
    """
    s = practical_salinity(salinity)
    return ZERO_CELSIUS - 0.0575 * s + 1.710523e-3 * s * math.sqrt(s) - 2.154996e-4 * s * s


def liquid_celsius(temperature: Kelvin, salinity: Ratio = 0.0, *, warmest: Kelvin = WARMEST) -> float:
    """Temperature in degC of water that is liquid and not warmer than `warmest`; refused otherwise."""
    coldest = freezing_temperature(salinity)
    if not coldest - _SLACK <= temperature <= warmest + _SLACK:
        raise OutOfRangeError(
            f"A water temperature of {temperature - ZERO_CELSIUS:.4g} degC is outside "
            f"{coldest - ZERO_CELSIUS:.3g} (ice) to {warmest - ZERO_CELSIUS:.3g} degC."
        )
    return temperature - ZERO_CELSIUS


def density(
    temperature: Kelvin, salinity: Ratio = 0.0, pressure: Pascals = STANDARD_ATMOSPHERE
) -> KilogramsPerCubicMetre:
    """Density of water, fresh or salt.

    rho = (rho0(t) + A S + B S^1.5 + C S^2) (1 + kappa (p - 101 325)), where rho0 is
    a5 [1 - (t + a1)^2 (t + a2) / (a3 (t + a4))] for air-free pure water and A, B, C are the salt terms of
    the one-atmosphere equation of state, laid on rho0 so that salinity 0 joins without a step.

    `temperature` K, freezing to 40 degC; `salinity` kg/kg, 0 to 0.042; `pressure` absolute Pa, 50 to 400 kPa.
    Returns kg/m3. Pure water within 0.0015 kg/m3 of the international formulation (IAPWS-95), salt within
    0.010 kg/m3 of the thermodynamic equation of sea water; for salts that are not sea salt take 10 % of the
    salt's share as 95 %. Sea water is 5 % stiffer than the pressure factor says: 2 g/m3 at 6 m.

    Source: Tanaka et al. 2001, Metrologia 38:301-309 (its pressure factor from memory); Millero & Poisson
    1981, Deep-Sea Res. 28A:625-629, printed in Fofonoff & Millard 1983, UNESCO Tech. Pap. 44, eq. 13 and 14.
    """
    t = liquid_celsius(temperature, salinity)
    s = practical_salinity(salinity)
    need_within("pressure", pressure / 1e3, 50.0, 400.0, "kPa")
    pure = _A5 * (1.0 - (t + _A1) ** 2 * (t + _A2) / (_A3 * (t + _A4)))
    t68 = 1.00024 * t
    a = 8.24493e-1 + t68 * (-4.0899e-3 + t68 * (7.6438e-5 + t68 * (-8.2467e-7 + t68 * 5.3875e-9)))
    b = -5.72466e-3 + t68 * (1.0227e-4 - t68 * 1.6546e-6)
    at_one_atmosphere = pure + a * s + b * s * math.sqrt(s) + 4.8314e-4 * s * s
    stiffness = (50.74 - 0.326 * t + 0.00416 * t * t) * 1e-11
    return at_one_atmosphere * (1.0 + stiffness * (pressure - STANDARD_ATMOSPHERE))


def density_u95(
    temperature: Kelvin,
    temperature_u95: KelvinDifference,
    salinity: Ratio = 0.0,
    salinity_u95: Ratio = 0.0,
) -> KilogramsPerCubicMetre:
    """95 % uncertainty of `density` from those of its temperature and salinity.

    Each input is moved both ways by its u95 (kept inside the range of the formula), the larger change counts,
    and the two add as squares. Source: JCGM 100:2008, 5.1.2, in its numerical form.
    """
    need_not_negative("temperature's u95", temperature_u95, "K")
    need_not_negative("salinity's u95", salinity_u95)
    here = density(temperature, salinity)
    coldest = max(temperature - temperature_u95, freezing_temperature(salinity))
    warmest = min(temperature + temperature_u95, WARMEST)
    # Around 4 degC (2.2 K less for each 10 g/kg) both ends may lie on one side of the densest water.
    densest = min(max(ZERO_CELSIUS - _A1 - 216.0 * salinity, coldest), warmest)
    by_temperature = max(abs(density(t, salinity) - here) for t in (coldest, densest, warmest))
    low, high = max(salinity - salinity_u95, 0.0), min(salinity + salinity_u95, SALTIEST)
    thawed = max(temperature, freezing_temperature(low))
    by_salinity = max(
        abs(density(thawed, low) - density(thawed, salinity)), abs(density(temperature, high) - here)
    )
    return math.hypot(by_temperature, by_salinity)


def viscosity(temperature: Kelvin, salinity: Ratio = 0.0) -> PascalSeconds:
    """Dynamic viscosity of fresh or salt water near one atmosphere.

    With T* = T/300 K: mu = (280.68 T*^-1.9 + 511.45 T*^-7.7 + 61.131 T*^-19.6 + 0.45903 T*^-40) micropascal
    seconds; salt multiplies by 1 + A w + B w^2, w the reference salinity in kg/kg.

    `temperature` K, freezing to 40 degC; `salinity` kg/kg, 0 to 0.042. Returns Pa s, within 1 % (95 %);
    6 m of water change it by less than 0.01 %.

    Source: pure water IAPWS SR6-08 (2011), and Huber et al. 2009, J. Phys. Chem. Ref. Data 38:101-125; salt
    Sharqawy, Lienhard & Zubair 2010, Desalination and Water Treatment 16:354-380, eq. 22.
    """
    t = liquid_celsius(temperature, salinity)
    x = temperature / 300.0
    pure = 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40.0)
    w = 1e-3 * REFERENCE_PER_PRACTICAL * practical_salinity(salinity)
    a = 1.541 + 1.998e-2 * t - 9.52e-5 * t * t
    b = 7.974 - 7.561e-2 * t + 4.724e-4 * t * t
    return float(pure * (1.0 + a * w + b * w * w))


def kinematic_viscosity(temperature: Kelvin, salinity: Ratio = 0.0) -> SquareMetresPerSecond:
    """Kinematic viscosity: `viscosity` over `density`, m2/s; same range and sources."""
    return viscosity(temperature, salinity) / density(temperature, salinity)
