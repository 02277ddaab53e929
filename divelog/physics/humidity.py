"""Water vapour in the air of a closed cylinder: saturation, dew point, sweat, and the gel that holds it."""

from __future__ import annotations

import math
from typing import Final

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import (
    ZERO_CELSIUS,
    CubicMetres,
    Kelvin,
    Kilograms,
    KilogramsPerCubicMetre,
    Pascals,
    Ratio,
)

VAPOUR_GAS_CONSTANT: Final = 461.52
"""Gas constant of water vapour, J/(kg K): 8.314463 J/(mol K) over 18.01527 g/mol (CODATA 2018, IAPWS
R6-95)."""

LEAST_TEMPERATURE: Final[Kelvin] = ZERO_CELSIUS - 10.0
GREATEST_TEMPERATURE: Final[Kelvin] = ZERO_CELSIUS + 60.0

SAFE_UPTAKE: Final[Ratio] = 0.10
"""Water a kilogram of fresh silica gel is counted on to hold; the low end at 20 to 25 % humidity (from
memory)."""

_MAGNUS_PRESSURE: Final[Pascals] = 611.2
_MAGNUS_SLOPE: Final = 17.62
_MAGNUS_OFFSET: Final = 243.12


def saturation_pressure(temperature: Kelvin) -> Pascals:
    """Pressure of water vapour over liquid water, Pa.

    e_s = 611.2 exp(17.62 t / (243.12 + t)), t in degC.

    ``temperature`` K, -10 to 60 degC; beyond it OutOfRangeError. Against the IAPWS-95 saturation line the
    form is 0 to 0.32 % low from 0 to 50 degC and 0.25 % high at 60 degC. The enhancement by air (+0.4 %) is
    left out. Over ice the true pressure is lower: the form stays on the liquid line below freezing.
    Source: Sonntag 1990 constants, as in WMO-No. 8, Guide to Meteorological Instruments, 2008.
    """
    _check_temperature(temperature)
    celsius = temperature - ZERO_CELSIUS
    return _MAGNUS_PRESSURE * math.exp(_MAGNUS_SLOPE * celsius / (_MAGNUS_OFFSET + celsius))


def vapour_pressure(*, temperature: Kelvin, humidity: Ratio) -> Pascals:
    """Vapour pressure of air at a relative humidity: e = humidity * e_s(temperature), Pa.

    ``humidity`` 0 to 1. Source: definition of relative humidity over water, WMO-No. 8.
    """
    if not 0.0 <= humidity <= 1.0:
        raise OutOfRangeError(f"Humidity {humidity * 100:g} % is not between 0 and 100 %.")
    return humidity * saturation_pressure(temperature)


def vapour_density(*, temperature: Kelvin, humidity: Ratio) -> KilogramsPerCubicMetre:
    """Mass of vapour in a cubic metre of air: e / (R_v T), kg/m3.

    Ideal vapour; 0 to 0.65 % under the handbook's table from 0 to 34 degC. Source: ideal gas law.
    """
    pressure = vapour_pressure(temperature=temperature, humidity=humidity)
    return pressure / (VAPOUR_GAS_CONSTANT * temperature)


def dew_point(*, temperature: Kelvin, humidity: Ratio) -> Kelvin:
    """Temperature at which air of this temperature and humidity begins to sweat, K.

    t_d = 243.12 L / (17.62 - L), L = ln(e / 611.2): the saturation form solved for its temperature.
    ``humidity`` above 0, to 1; refused where the dew point falls under -10 degC.
    """
    pressure = vapour_pressure(temperature=temperature, humidity=humidity)
    if pressure < saturation_pressure(LEAST_TEMPERATURE):
        raise OutOfRangeError("The air is so dry that its dew point lies under -10 degC.")
    logarithm = math.log(pressure / _MAGNUS_PRESSURE)
    return ZERO_CELSIUS + _MAGNUS_OFFSET * logarithm / (_MAGNUS_SLOPE - logarithm)


def sweat(*, volume: CubicMetres, closed_at: Kelvin, humidity: Ratio, wall: Kelvin) -> Kilograms:
    """Most water that can settle on the walls of a closed volume, kg.

    m = V max(0, e_1 / (R_v T_1) - e_s(T_wall) / (R_v T_wall)): the vapour shut in less what the air still
    holds at the coldest wall.

    ``volume`` free air, m3 (not the cylinder's own volume); ``closed_at`` and ``humidity`` of the air when
    the last opening was closed; ``wall`` the coldest wall, that is the water. Zero when the wall is at or
    above the dew point: any water is then a leak. Never more than the vapour shut in; in proportion to the
    volume.
    Uncertainty: formula under 0.1 mg per litre; 5 % of humidity is 1.15 mg per litre at 25 degC.
    Relative humidity is not moisture: air closed in a hot car holds three times that of a cool shed.
    Source: mass balance of ideal vapour in a rigid volume.
    """
    if volume < 0.0:
        raise OutOfRangeError(f"An air volume of {volume * 1000:g} L is below nothing.")
    held = vapour_density(temperature=closed_at, humidity=humidity)
    kept = vapour_density(temperature=wall, humidity=1.0)
    return volume * max(0.0, held - kept)


def desiccant_needed(vapour: Kilograms, *, uptake: Ratio = SAFE_UPTAKE) -> Kilograms:
    """Fresh silica gel that holds this much vapour: vapour / uptake, kg.

    ``uptake`` kg of water a kg of gel; about 0.05, 0.10, 0.15, 0.22 and 0.30 at 10, 20, 30, 40 and 60 %
    relative humidity and 25 degC (adsorption isotherms of regular-density gel, from memory), give or take 40
    %.
    An hour or more in still air. Gel hides a small leak: weigh the bag. Follow its maker's sheet.
    """
    if vapour < 0.0 or not 0.0 < uptake <= 0.4:
        raise OutOfRangeError(
            f"Gel for {vapour * 1e6:g} mg at an uptake of {uptake:g}: the uptake lies above 0, to 0.4."
        )
    return vapour / uptake


def _check_temperature(temperature: Kelvin) -> None:
    if not LEAST_TEMPERATURE <= temperature <= GREATEST_TEMPERATURE:
        raise OutOfRangeError(
            f"Air at {temperature - ZERO_CELSIUS:.1f} degC is outside -10 to 60 degC, where damp is computed."
        )
