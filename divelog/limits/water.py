"""The water today, as every other subject takes it: density, viscosity, conductivity, salinity.

A day's figure wins over the site's. Salinity rules the density and conductivity everything electrical; where only one
of them is known, the other follows from it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from divelog.limits.sheet import Sheet
from divelog.physics import water as physics
from divelog.physics import water_conductivity as ions
from divelog.physics.si import ZERO_CELSIUS, Kelvin
from divelog.profiles.document import Basis, Num

ROOM = ZERO_CELSIUS + 25.0
"""The temperature a conductivity is referred to."""

UNSAID = 0.10
"""Share taken as the ± of a conductivity or salinity written without one (common practice, no source)."""

METER = 0.05
"""The same where a pocket meter measured it (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Ions:
    """What radio and stray currents meet: conductivity at the water's own temperature, and the salinity in kg/kg that
    the permittivity takes, 0 under 2 g/kg.
    """

    conductivity: Num
    salinity: float


def spread(s: Sheet, path: str, found: Num) -> Num:
    """A conductivity or salinity with its ±: as said, a tenth where nothing was said, a twentieth off a meter."""
    fact = s.fact(path)
    if fact is None or fact.said or found.u95 > 0.0:
        return found
    return replace(found, u95=found.si * (METER if found.basis is Basis.MEASURED else UNSAID))


def _first(s: Sheet, *paths: str) -> Num | None:
    for path in paths:
        found = s.stated(path)
        if found is not None:
            return spread(s, path, found)
    return None


def temperature(s: Sheet) -> Num:
    """Temperature of the water today, K."""
    return s.num("today.water.temperature")


def salinity(s: Sheet) -> Num:
    """Salinity today, kg/kg: the day's, the site's, out of a conductivity, or assumed by the kind of water."""
    found = _first(s, "today.water.salinity", "site.salinity")
    if found is not None:
        return found
    meter = _first(s, "today.water.conductivity", "site.conductivity")
    if meter is not None:
        value = ions.salinity(meter.si, ROOM)
        # Pond salts are not sea salt: a fifth of what the scale makes of them, besides the meter's own error.
        kind = 0.20 * value if value < ions.SALT_FROM else 0.0
        moved = ions.salinity(meter.si + meter.u95, ROOM) - value
        return Num(value, math.hypot(kind, moved), meter.basis)
    return s.num("site.salinity")


def density(s: Sheet) -> Num:
    """Density of the water today, kg/m3."""
    t, salt = temperature(s), s.of(salinity)
    rho = physics.density(t.si, salt.si)
    return Num(rho, physics.density_u95(t.si, t.u95, salt.si, salt.u95), _worse(t, salt))


def viscosity(s: Sheet) -> Num:
    """Kinematic viscosity of the water today, m2/s; 1 % and the thermometer's share."""
    t, salt = temperature(s), s.of(salinity)
    nu = physics.kinematic_viscosity(t.si, salt.si)
    coldest = physics.freezing_temperature(salt.si)
    moved = nu - physics.kinematic_viscosity(min(t.si + t.u95, physics.WARMEST), salt.si)
    back = physics.kinematic_viscosity(max(t.si - t.u95, coldest), salt.si) - nu
    return Num(nu, math.hypot(0.01 * nu, max(moved, back)), _worse(t, salt))


def conductivity_25(s: Sheet) -> Num:
    """Conductivity at 25 degC, S/m: the day's, the site's, out of a salinity from 2 g/kg up, or assumed."""
    found = _first(s, "today.water.conductivity", "site.conductivity")
    if found is not None:
        return found
    salt = _first(s, "today.water.salinity", "site.salinity")
    if salt is not None and salt.si >= ions.SALT_FROM:
        value = ions.conductivity(salt.si, ROOM)
        more = ions.conductivity(min(salt.si + salt.u95, physics.SALTIEST), ROOM)
        return Num(value, more - value, salt.basis)
    return s.num("site.conductivity")


def ions_of(at_25: Num, kelvin: Kelvin) -> Ions:
    """What a conductivity at 25 degC is at another temperature: as sea salt from 2 g/kg up, else by 1.91 % a kelvin."""
    salt = ions.salinity(at_25.si, ROOM)
    if salt >= ions.SALT_FROM:
        here = ions.sea_conductivity(salt, kelvin)
        return Ions(Num(here, here * at_25.u95 / at_25.si, at_25.basis), salt)
    here = ions.conductivity_at(at_25.si, kelvin)
    return Ions(Num(here, ions.conductivity_at(at_25.u95, kelvin), at_25.basis), 0.0)


def electrical(s: Sheet) -> Ions:
    """What radio and stray currents meet today."""
    t = temperature(s)
    found = ions_of(s.of(conductivity_25), t.si)
    return replace(found, conductivity=replace(found.conductivity, basis=_worse(found.conductivity, t)))


def conductivity(s: Sheet) -> Num:
    """Conductivity today at the water's own temperature, S/m."""
    return s.of(electrical).conductivity


def _worse(*several: Num) -> Basis:
    return max((n.basis for n in several), key=lambda basis: basis.rank)
