"""Drag ahead, fully under water: friction lines, and the whole boat with its band.

The safe side differs by use: *high* drag for speed, endurance and the time to run, *low* drag for how
far she coasts. The laminar line tells how wrong a clean small hull can be; no limit is figured with it.
Nearer the surface than three diameters or half a length (centreline) she makes waves and none of this
holds: time a course instead. Uncertainty of the bare hull 10 % if turbulent, of the whole boat
-30/+40 %.
"""

import math

from divelog.physics.motion._guard import between, not_negative, positive
from divelog.physics.motion.hull import Hull, form_factor
from divelog.physics.si import (
    KilogramsPerCubicMetre,
    KilogramsPerMetre,
    Metres,
    MetresPerSecond,
    Newtons,
    Ratio,
    SquareMetresPerSecond,
)

APPENDAGES: Ratio = 1.8
"""Whole boat over bare hull. Free-flood holes, sail, rails and guards. Common practice, no source; a
torpedo-shaped vehicle measured 1.5 to 2.5 (Prestero 2001, MIT thesis, section 4.2.1)."""

APPENDAGES_LOW: Ratio = 1.3
"""The low end, for the distance she coasts. Common practice, no source."""

APPENDAGES_HIGH: Ratio = 2.5
"""The high end, for speed and endurance (Prestero 2001, section 4.2.1)."""

TESTED_REYNOLDS: tuple[Ratio, Ratio] = (5e4, 1e7)
"""Range of the friction lines for models; outside it the lines are extrapolated."""

TRANSITION_REYNOLDS: Ratio = 5e5
"""Where a clean plate's boundary layer turns turbulent (White, Fluid Mechanics, section 7.4)."""


def reynolds(speed: MetresPerSecond, length: Metres, kinematic_viscosity: SquareMetresPerSecond) -> Ratio:
    """Reynolds number V L / nu (speed m/s, length m, viscosity m2/s)."""
    positive("The kinematic viscosity in m2/s", kinematic_viscosity)
    return not_negative("The speed in m/s", speed) * positive("The length in m", length) / kinematic_viscosity


def friction_turbulent(reynolds_number: Ratio) -> Ratio:
    """Friction coefficient of a smooth turbulent plate, C_F = 0.075 / (log10 Re - 2)^2, on wetted area.

    reynolds_number: 1e4 to 1e10; models run from 5e4 to 1e7.
    Trap: the logarithm is to base ten. Source: ITTC-1957 model-ship correlation line.
    """
    between("The Reynolds number", reynolds_number, 1e4, 1e10)
    return 0.075 / math.pow(math.log10(reynolds_number) - 2.0, 2.0)


def friction_clean(reynolds_number: Ratio) -> Ratio:
    """Friction coefficient of a very clean hull with natural transition: a floor, only for a caution.

    Re < 5e5: 1.328 / sqrt(Re). Above: 0.031 Re^(-1/7) - 1440 / Re, never under the laminar value.
    reynolds_number: 1e4 to 1e10. Source: Blasius (laminar); White, Fluid Mechanics, equation 7.49a.
    """
    between("The Reynolds number", reynolds_number, 1e4, 1e10)
    laminar = 1.328 / math.sqrt(reynolds_number)
    if reynolds_number < TRANSITION_REYNOLDS:
        return laminar
    return max(laminar, 0.031 * math.pow(reynolds_number, -1.0 / 7.0) - 1440.0 / reynolds_number)


def friction_rough(length: Metres, sand_height: Metres) -> Ratio:
    """Friction coefficient of a fully rough plate, (1.89 + 1.62 log10(L / k_s))^-2.5.

    length: m. sand_height: equivalent sand roughness, m; painted 50e-6 to 300e-6, weedy 1e-3
    (common practice, no source). L / k_s from 100. Source: White, Fluid Mechanics, equation 7.48b
    (Prandtl-Schlichting), from memory.
    """
    relative = positive("The length in m", length) / positive("The sand height in m", sand_height)
    between("Length over sand height", relative, 100.0, 1e9)
    return math.pow(1.89 + 1.62 * math.log10(relative), -2.5)


def drag_factor(
    hull: Hull,
    speed: MetresPerSecond,
    density: KilogramsPerCubicMetre,
    kinematic_viscosity: SquareMetresPerSecond,
    *,
    appendages: Ratio = APPENDAGES,
    sand_height: Metres | None = None,
) -> KilogramsPerMetre:
    """Return c of R = c V^2 for the whole boat (kg/m): c = rho S C_F (1 + k) f / 2.

    speed: m/s, above zero, where C_F is taken. density: kg/m3. kinematic_viscosity: m2/s.
    appendages: f, whole boat over bare hull. sand_height: m; where given, the larger of the smooth and
    the rough friction counts.
    """
    friction = friction_turbulent(reynolds(speed, hull.length, kinematic_viscosity))
    if sand_height is not None:
        friction = max(friction, friction_rough(hull.length, sand_height))
    return _factor(hull, friction, density, appendages)


def clean_drag_factor(
    hull: Hull,
    speed: MetresPerSecond,
    density: KilogramsPerCubicMetre,
    kinematic_viscosity: SquareMetresPerSecond,
) -> KilogramsPerMetre:
    """Return c of R = c V^2 (kg/m) of the bare hull, partly laminar: a floor, never for a limit."""
    friction = friction_clean(reynolds(speed, hull.length, kinematic_viscosity))
    return _factor(hull, friction, density, 1.0)


def resistance(
    hull: Hull,
    speed: MetresPerSecond,
    density: KilogramsPerCubicMetre,
    kinematic_viscosity: SquareMetresPerSecond,
    *,
    appendages: Ratio = APPENDAGES,
    sand_height: Metres | None = None,
) -> Newtons:
    """Drag of the whole boat at `speed`, R = c V^2 (N); see `drag_factor`."""
    factor = drag_factor(
        hull, speed, density, kinematic_viscosity, appendages=appendages, sand_height=sand_height
    )
    return factor * speed * speed


def _factor(
    hull: Hull, friction: Ratio, density: KilogramsPerCubicMetre, appendages: Ratio
) -> KilogramsPerMetre:
    positive("The density in kg/m3", density)
    between("The whole boat over the bare hull", appendages, 1.0, 10.0)
    return 0.5 * density * hull.wetted_area * friction * form_factor(hull.slenderness) * appendages
