"""Forces on a boat in the vertical plane: surge, heave and pitch of a hull with its flood water.

Axes in the boat: x forward, z down, from the middle of her length; pitch is positive bow up, depth positive
down. Every force of the water takes energy out or none, at any attitude and way, so that without thrust and
buoyancy nothing speeds up: the added-mass terms only pass energy on (Lamb, Hydrodynamics, article 124), and
hull lift, planes and cross-flow each push against the part's own motion.
Far from surface and bottom, one density, no current, no waves.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from divelog.physics.motion._guard import between, not_negative, positive
from divelog.physics.motion.added_mass import added_mass
from divelog.physics.motion.drag import APPENDAGES, drag_factor
from divelog.physics.motion.hull import Hull
from divelog.physics.motion.planes import hull_lift_area, lift_slope
from divelog.physics.motion.rising import BROADSIDE_DRAG
from divelog.physics.si import (
    GRAVITY,
    CubicMetres,
    Kilograms,
    KilogramsPerCubicMetre,
    KilogramsPerMetre,
    Metres,
    MetresPerSecond,
    NewtonMetres,
    Newtons,
    Pascals,
    Radians,
    Ratio,
    SquareMetres,
    SquareMetresPerSecond,
)

TAIL_ARM: Ratio = 0.45
"""Stern planes aft of the middle, in lengths. Common practice, no source; 0.48 on the vehicle of
Prestero 2001."""

SIDE_AREA: Ratio = 1.0 / 40.0
"""Area of one stern plane over length times diameter. Common practice, no source; 1/38 on the vehicle of
Prestero 2001."""

TAIL_ASPECT: Ratio = 1.0
"""Aspect ratio of a stern plane with its image in the hull. Common practice, no source; with it planes of the
usual size push as those of the vehicle of Prestero 2001 do, within 5 %."""

THROW: Radians = math.radians(20.0)
"""Throw of stern planes from the middle to a stop. Common practice, no source."""

STALL: Ratio = 0.6
"""Most force coefficient of a model's plane. Common practice, no source."""

LIFT_CENTRE: Ratio = 0.15
"""Where the hull's own lift acts, aft of the middle, in lengths (0.6 to 0.7 behind the bow: Hoerner as
Prestero 2001, section 4.4, from memory)."""


@dataclass(frozen=True, slots=True)
class Planes:
    """A pair of planes.

    area: of the pair, m2. slope: normal force per dynamic pressure, area and radian, 1/rad. place: forward
    of the middle, m; stern planes have it below nought. throw: rad. stall: most coefficient.
    aft: True for stern planes (trailing edges up to rise), False for bow and sail planes (down).
    """

    area: SquareMetres
    slope: Ratio
    place: Metres
    throw: Radians = THROW
    stall: Ratio = STALL
    aft: bool = True


@dataclass(frozen=True, slots=True)
class Boat2D:
    """A boat as the vertical plane sees her; SI.

    length: m. mass_ahead, mass_broadside: everything that moves, flood water and added mass in, kg.
    inertia: in pitch, the same in, kg m2. drag: c of R = c V^2, kg/m. crossflow: rho C A / 2 of level rise,
    kg/m. hull_lift: rho K / 2 per radian, kg/m. righting: moment over the sine of pitch, N m.
    balance: dived balance at the surface, up positive, kg. air: what depth can squeeze, m3 at the surface.
    stiff_loss: lift lost to each metre by tube and stiff foam, kg/m. density: kg/m3. barometer: Pa.
    tip: highest tip above the keel, m. planes: pairs that the failsafe and the sticks move together.
    """

    length: Metres
    mass_ahead: Kilograms
    mass_broadside: Kilograms
    inertia: float
    drag: KilogramsPerMetre
    crossflow: KilogramsPerMetre
    hull_lift: KilogramsPerMetre
    righting: NewtonMetres
    balance: Kilograms
    density: KilogramsPerCubicMetre
    tip: Metres
    air: CubicMetres = 0.0
    stiff_loss: KilogramsPerMetre = 0.0
    barometer: Pascals = 101_325.0
    planes: tuple[Planes, ...] = ()

    def __post_init__(self) -> None:
        for what, value in (
            ("The length in m", self.length),
            ("The mass moving ahead in kg", self.mass_ahead),
            ("The mass moving broadside in kg", self.mass_broadside),
            ("The inertia in kg m2", self.inertia),
        ):
            positive(what, value)
        for what, value in (
            ("The drag in kg/m", self.drag),
            ("The cross-flow drag in kg/m", self.crossflow),
            ("The hull's lift in kg/m", self.hull_lift),
            ("The righting moment in N m", self.righting),
            ("The trapped air in m3", self.air),
            ("The stiff loss in kg/m", self.stiff_loss),
        ):
            not_negative(what, value)
        between("The density in kg/m3", self.density, 900.0, 1100.0)
        between("The barometer in Pa", self.barometer, 45_000.0, 110_000.0)
        between("The balance in kg", self.balance, -1e3, 1e3)
        between("The tip's height in m", self.tip, -1.0, 10.0)

    def loss(self, depth: Metres) -> Kilograms:
        """Lift that depth has taken, kg: Boyle's law for the air, Hooke's for tube and stiff foam."""
        if depth <= 0.0:
            return 0.0
        gauge = self.density * GRAVITY * depth
        return self.density * self.air * gauge / (self.barometer + gauge) + self.stiff_loss * depth


def boat_of(
    hull: Hull,
    *,
    area: SquareMetres,
    form_mass: Kilograms,
    dived_mass: Kilograms,
    righting: Metres,
    balance: Kilograms,
    tip: Metres,
    speed: MetresPerSecond,
    density: KilogramsPerCubicMetre,
    viscosity: SquareMetresPerSecond,
    planes: tuple[Planes, ...],
    appendages: Ratio = APPENDAGES,
    air: CubicMetres = 0.0,
    stiff_loss: KilogramsPerMetre = 0.0,
    barometer: Pascals = 101_325.0,
) -> Boat2D:
    """Return the boat of a hull, out of the formulas of drag, added mass, rise and hull lift.

    area: seen from above, m2. form_mass: of the whole form, flood water in, kg. dived_mass: kg, with
    `righting`, B above G, m. speed: where the drag ahead is taken, m/s. viscosity: kinematic, m2/s.
    appendages: whole boat over bare hull. The rest as in `Boat2D`.
    The inertia is that of an even tube, m (L^2 / 12 + D^2 / 16) (solid geometry), and the added part of a
    spheroid: the slow end for a hull that tapers; the vehicle of Prestero 2001 has 1 % more.
    """
    added = added_mass(max(1.0, hull.slenderness))
    mass = positive("The mass of the form in kg", form_mass)
    return Boat2D(
        length=hull.length,
        mass_ahead=mass * (1.0 + added.ahead),
        mass_broadside=mass * (1.0 + added.broadside),
        inertia=mass * (hull.length**2 / 12.0 + hull.diameter**2 / 16.0) * (1.0 + added.pitch),
        drag=drag_factor(hull, speed, density, viscosity, appendages=appendages),
        crossflow=density * BROADSIDE_DRAG * positive("The area from above in m2", area) / 2.0,
        hull_lift=density * hull_lift_area(hull.length, hull.diameter) / 2.0,
        righting=GRAVITY
        * positive("The dived mass in kg", dived_mass)
        * not_negative("B above G in m", righting),
        balance=balance,
        density=density,
        tip=tip,
        air=air,
        stiff_loss=stiff_loss,
        barometer=barometer,
        planes=planes,
    )


Forces = Callable[[float, float, float, float, float, float], tuple[Newtons, Newtons, NewtonMetres]]
"""Force ahead, force downwards across the boat, moment bow up, of (pitch, ahead, down, turning, planes,
light): rad, m/s, m/s, rad/s, share of the throw (+ to rise), kg up. Thrust and masses left out."""


def forces_on(boat: Boat2D) -> Forces:
    """Return the forces of water, weight and buoyancy on a boat.

    Drag ahead -c u |u|. Cross-flow, each strip of the hull by its own speed s = w - q x:
    -(k / L) integral of s |s| dx, in closed form. Hull lift -K |u| w at its centre. Planes: a normal force
    -rho S a |V| v / 2, v the speed across the plane's own chord, up to the stall. Righting -M sin(pitch).
    Source: sum of these parts; each is named where its figure comes from.
    """
    half, strip = boat.length / 2.0, boat.crossflow / boat.length
    cube, square, fourth = half**3, half**2, half**4
    drag, lift, aft, righting = boat.drag, boat.hull_lift, LIFT_CENTRE * boat.length, boat.righting
    pairs = [
        (
            boat.density * p.area * p.slope / 2.0,
            boat.density * p.area * p.stall / 2.0,
            p.place,
            p.throw if p.aft else -p.throw,
        )
        for p in boat.planes
    ]
    sin, cos = math.sin, math.cos

    def forces(
        pitch: float, u: float, w: float, q: float, planes: float, light: float
    ) -> tuple[float, float, float]:
        sine, up = sin(pitch), GRAVITY * light
        ahead = -drag * u * abs(u) + up * sine
        down = -up * cos(pitch)
        moment = -righting * sine
        # Cross-flow: the sum over the strips, and its lever.
        if abs(w) >= abs(q) * half:
            sign = 1.0 if w > 0.0 else -1.0
            total = sign * (boat.length * w * w + q * q * cube / 1.5)
            levered = -abs(w) * q * cube / 0.75
        else:
            where, sign = w / q, 1.0 if q > 0.0 else -1.0  # the strip that only turns
            total = sign * q * q * where / 1.5 * (where * where + 3.0 * square)
            levered = sign * q * q * (where * where * (where * where / 6.0 - square) - fourth / 2.0)
        down -= strip * total
        moment += strip * levered
        local = -lift * abs(u) * (w + q * aft)
        down += local
        moment += aft * local
        for slope, stall, place, throw in pairs:
            across = w - q * place
            speed = u * u + across * across
            angle = throw * planes
            lean, along = sin(angle), cos(angle)
            push = -slope * math.sqrt(speed) * (across * along - u * lean)
            most = stall * speed
            push = most if push > most else -most if push < -most else push
            ahead -= push * lean
            down += push * along
            moment -= place * push * along
        return ahead, down, moment

    return forces


def stern_planes(length: Metres, diameter: Metres, size: Ratio = 1.0) -> Planes:
    """Stern planes of the usual size: 1/40 of length times diameter a side, times `size`.

    length, diameter: m. Their slope is Whicker and Fehlner's for an aspect ratio of 1.
    """
    area = 2.0 * SIDE_AREA * positive("The length in m", length) * positive("The diameter in m", diameter)
    return Planes(area * not_negative("The planes' size", size), lift_slope(TAIL_ASPECT), -TAIL_ARM * length)


def backing_swing(boat: Boat2D, speed: MetresPerSecond) -> Ratio:
    """How hard the water swings her when she backs, over what rights her; from 1 up she does not keep her angle.

    speed: backing, m/s, not below nought. The flow turns a hull broadside, and stern first the hull's lift and
    the tail help it: (m2 - m1 + K a + sum of k |x|) V^2 over the righting moment, all per radian. Infinite
    where nothing rights her. Source: the forces of `forces_on`, first order in the angle.
    """
    swinging = boat.mass_broadside - boat.mass_ahead + boat.hull_lift * LIFT_CENTRE * boat.length
    for p in boat.planes:
        swinging -= boat.density * p.area * p.slope / 2.0 * p.place
    moment = swinging * not_negative("The backing speed in m/s", speed) ** 2
    return moment / boat.righting if boat.righting > 0.0 else math.inf if moment > 0.0 else 0.0
