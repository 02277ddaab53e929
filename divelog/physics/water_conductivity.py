"""Conductivity of water: from a meter to today's water, to salinity and back.

Conductivities are S/m. A meter shows the value referred to 25 degC; the radio and stray currents feel the
value at the water's own temperature.
"""

import math

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_within
from divelog.physics.si import ZERO_CELSIUS, GaugePascals, Kelvin, Ratio, SiemensPerMetre
from divelog.physics.water import liquid_celsius, practical_salinity

STANDARD_SEA_CONDUCTIVITY: SiemensPerMetre = 4.2914
"""Conductivity of sea water of practical salinity 35 at 15 degC (Culkin & Smith 1980), which R refers to."""

FRESH_COEFFICIENT: float = 0.0191
"""Share of the 25 degC conductivity lost per kelvin below it in natural fresh water (ISO 7888, from
memory)."""

SALT_FROM: Ratio = 0.002
"""From 2 g/kg up the ions are taken as sea salt; below, the meter's own figure rules."""

_WARMEST: Kelvin = ZERO_CELSIUS + 35.0
_HIGHEST: SiemensPerMetre = 8.0


def _check(conductivity: SiemensPerMetre) -> None:
    if not 0.0 <= conductivity <= _HIGHEST:
        raise OutOfRangeError(
            f"A conductivity of {conductivity:.4g} S/m is outside 0 to {_HIGHEST:g} S/m "
            f"({_HIGHEST * 10:g} mS/cm). Was it in uS/cm?"
        )


def conductivity_at(
    at_25: SiemensPerMetre, temperature: Kelvin, coefficient: float = FRESH_COEFFICIENT
) -> SiemensPerMetre:
    """Conductivity at the water's own temperature of what a meter shows for 25 degC.

    sigma(t) = sigma25 (1 + theta (t - 25)), t in degC. `at_25` S/m, 0 to 8; `temperature` K, 0 to 40 degC;
    `coefficient` theta per kelvin, 0.0191 for every fresh and pool water whatever the meter applies (0.020 is
    common; the difference, under 2 % from 10 to 25 degC, lies inside the meter's own error). Below 10 degC
    the straight line overstates the fall by a few percent. Source: the linear form of ISO 7888's temperature
    correction; coefficient from memory.
    """
    _check(at_25)
    need_within("temperature coefficient", coefficient, 0.0, 0.03, "per kelvin")
    return at_25 * (1.0 + coefficient * (liquid_celsius(temperature) - 25.0))


def practical_salinity_from_ratio(ratio: Ratio, celsius68: float, pressure: GaugePascals = 0.0) -> float:
    """Practical salinity from the conductivity ratio R, the scale's own inputs.

    `ratio` is C(S, t, p)/C(35, 15, 0); `celsius68` degC on the scale of 1968 (1.00024 times that of 1990);
    `pressure` gauge Pa. Returns practical salinity, not below 0. Below 2 the low-salinity extension is
    subtracted; without it a 50 uS/cm pond reads 30 % too salty.

    Source: practical salinity scale 1978 in Fofonoff & Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44, eq. 1 to
    4; below 2, Hill, Dauphinee & Woods 1986, IEEE J. Oceanic Eng. 11:109-112.
    """
    t = celsius68
    p = pressure / 1e4
    standard = 0.6766097 + t * (2.00564e-2 + t * (1.104259e-4 + t * (-6.9698e-7 + t * 1.0031e-9)))
    compression = 1.0 + p * (2.070e-5 + p * (-6.370e-10 + p * 3.989e-15)) / (
        1.0 + 3.426e-2 * t + 4.464e-4 * t * t + (0.4215 - 3.107e-3 * t) * ratio
    )
    rt = max(ratio / (compression * standard), 0.0)
    x = math.sqrt(rt)
    f = (t - 15.0) / (1.0 + 0.0162 * (t - 15.0))
    s = 0.0080 + x * (-0.1692 + x * (25.3851 + x * (14.0941 + x * (-7.0261 + x * 2.7081))))
    s += f * (0.0005 + x * (-0.0056 + x * (-0.0066 + x * (-0.0375 + x * (0.0636 - x * 0.0144)))))
    if s < 2.0:
        big, small = 400.0 * rt, 100.0 * rt
        s -= 0.0080 / (1.0 + 1.5 * big + big * big)
        s -= 0.0005 * f / (1.0 + math.sqrt(small) + small + small**1.5)
    return max(s, 0.0)


def salinity(conductivity: SiemensPerMetre, temperature: Kelvin) -> Ratio:
    """Salinity of sea-salt water from its conductivity *at its own temperature*.

    `conductivity` S/m, 0 to 8; `temperature` K, 0 to 35 degC. Returns kg/kg, refused above 0.042. Within 4e-7
    kg/kg of the thermodynamic equation of sea water. For pond water it means sea-salt equivalent: good to 0.1
    kg/m3 of density; keep the measured conductivity for everything electrical. Source: as
    `practical_salinity_from_ratio`.
    """
    _check(conductivity)
    t68 = 1.00024 * liquid_celsius(temperature, warmest=_WARMEST)
    found = 1e-3 * practical_salinity_from_ratio(conductivity / STANDARD_SEA_CONDUCTIVITY, t68)
    practical_salinity(found)
    return found


def conductivity(salinity_now: Ratio, temperature: Kelvin) -> SiemensPerMetre:
    """Conductivity, at its own temperature, of sea-salt water: the inverse of `salinity`, by bisection.

    `salinity_now` kg/kg, 0 to 0.042; `temperature` K, 0 to 35 degC. Returns S/m.
    Source: as `practical_salinity_from_ratio`.
    """
    wanted = practical_salinity(salinity_now)
    t68 = 1.00024 * liquid_celsius(temperature, warmest=_WARMEST)
    low, high = 0.0, _HIGHEST
    for _ in range(60):
        middle = 0.5 * (low + high)
        if practical_salinity_from_ratio(middle / STANDARD_SEA_CONDUCTIVITY, t68) < wanted:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def sea_conductivity(salinity_now: Ratio, temperature: Kelvin) -> SiemensPerMetre:
    """Conductivity of salt water as the permittivity model wants it.

    sigma = sigma35(t) r15(S) q(S, t), polynomials and ratios fitted to the practical salinity scale.
    `salinity_now` kg/kg, 0.002 to 0.040; `temperature` K, 0 to 34 degC. Returns S/m, within 0.15 % of the
    practical salinity scale from 3.5 g/kg up and 0.7 % at 2 g/kg. Not for ponds: their salts are not sea
    salt. Source: Stogryn, Bull, Rubayi & Iravanchy 1995, as printed in Meissner & Wentz 2004, IEEE Trans.
    Geosci. Remote Sens. 42:1836-1849.
    """
    s = 1e3 * salinity_now
    need_within("salinity", s, 1e3 * SALT_FROM, 40.0, "g/kg")
    t = liquid_celsius(temperature, warmest=ZERO_CELSIUS + 34.0)
    s35 = 2.903602 + t * (8.607e-2 + t * (4.738817e-4 + t * (-2.991e-6 + t * 4.3047e-9)))
    r15 = s * (37.5109 + 5.45216 * s + 1.4409e-2 * s * s) / (1004.75 + 182.283 * s + s * s)
    alpha0 = (6.9431 + 3.2841 * s - 9.9486e-2 * s * s) / (84.850 + 69.024 * s + s * s)
    alpha1 = 49.843 - 0.2276 * s + 1.98e-3 * s * s
    return s35 * r15 * (1.0 + (t - 15.0) * alpha0 / (alpha1 + t))
