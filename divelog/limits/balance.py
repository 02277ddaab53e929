"""Figures that buoyancy, ballast, trim and motion share: today's dived balance, mass and reserve, and what depth takes.

A balance is only ever carried from a trim record by differences; a volume out of drawings is never good enough.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from divelog.limits import water
from divelog.limits.cylinder_air import outside_pressure
from divelog.limits.rounding import rss
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics import buoyancy, buoyancy_change, buoyancy_squeeze
from divelog.physics import water as water_physics
from divelog.physics.tube_materials import MATERIALS
from divelog.profiles.assumed import salinity_of
from divelog.profiles.document import Basis, Num

WALL = 0.004
"""Wall of a cylinder nobody has measured, m: it only sets her outside here (assumed)."""

FRESH = frozenset({"fresh", "rain"})
SAME_SALT_U95 = 0.0002
"""kg/kg between two fresh waters nobody has measured (common practice, no source)."""

TREATED_SALT_U95 = 0.0005
"""The same where one of them is, or may be, a treated pool or tank."""

SOFTEST = (1.0e9, 0.38)
"""Modulus (Pa) and Poisson's ratio of the softest plastic in use, where a material has no figures (assumed)."""


@dataclass(frozen=True, slots=True)
class Hull:
    """What she displaces, part by part, m3; ballast is 0 where she takes none in."""

    displaced: Num
    ballast: Num
    cylinder: float
    rest: float
    expansion: buoyancy_change.Expansion
    material: str


@dataclass(frozen=True, slots=True)
class Change:
    """Change of the dived balance since the trim record, kg: its parts, and u95 by input."""

    parts: buoyancy_change.BalanceChange
    shares: Mapping[str, float]
    then: Num
    now: Num

    @property
    def total(self) -> float:
        """All of it, kg."""
        return self.parts.total

    @property
    def u95(self) -> float:
        """95 % half-width, without the trim record's own."""
        return rss(*self.shares.values())


def worse(*several: Num) -> Basis:
    """The worst basis of some figures."""
    return max((n.basis for n in several), key=lambda basis: basis.rank)


def ballast(s: Sheet) -> Num:
    """Usable ballast volume, m3; 0 for a boat that takes none in."""
    if s.word("ballast.kind") == "none":
        return Num(0.0)
    return s.num("ballast.volume")


def hull(s: Sheet) -> Hull:
    """Her volumes: the cylinder by its outside, the ballast tank, and the rest."""
    displaced, tank = s.num("boat.displaced"), s.of(ballast)
    material = s.need_word("cylinder.material")
    expansion = buoyancy_change.expansion_of(material)
    if s.need_word("boat.hull") == "dry":
        cylinder = displaced.si
    else:
        wall = s.stated("cylinder.wall") or s.assume("wall", WALL, 0.0, "m", "4 mm until measured")
        bore, length = s.si("cylinder.inside_diameter"), s.si("cylinder.outside_length")
        cylinder = buoyancy_change.tube_volume(bore + 2 * wall.si, length)
    outside_tank = 0.0 if s.flag("ballast.inside_cylinder") else tank.si
    rest = max(0.0, displaced.si - cylinder - (0.0 if s.word("boat.hull") == "dry" else outside_tank))
    return Hull(displaced, tank, cylinder, rest, expansion, material)


# -- since the trim record ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Salts:
    then: Num
    now: Num
    apart: float | None
    """u95 of their difference where both are taken alike, kg/kg; None where each has its own."""


def _salts(s: Sheet) -> _Salts:
    now = s.of(water.salinity)
    here = s.word("today.site")
    same_site = here is not None and s.word("trimmed_at.site") == here
    trimmed_in = s.word("trimmed_at.water") or (s.word("site.water") if same_site else None)
    then = s.stated("trimmed_at.salinity")
    measured = then is not None and (s.stated("today.water.salinity") or s.stated("today.water.conductivity"))
    if not measured and trimmed_in in FRESH and s.word("site.water") in FRESH:
        untreated = same_site and s.word("site.kind") not in ("pool", "tank")
        return _Salts(now, now, SAME_SALT_U95 if untreated else TREATED_SALT_U95)
    if then is not None:
        return _Salts(water.spread(s, "boat.trimmed_at.salinity", then), now, None)
    if trimmed_in is None:
        raise UnknownError("boat.trimmed_at.water")
    guess = salinity_of(trimmed_in)
    if guess is None:
        raise UnknownError("boat.trimmed_at.salinity", because=f"{trimmed_in} water may be of any salinity")
    return _Salts(
        s.assume("trimmed_at.salinity", guess.si, guess.u95, "kg/kg", f"by {trimmed_in} water"), now, None
    )


def _density(kelvin: float, salinity: float) -> float:
    """Density with the inputs kept inside the range they can have, for moving them by their ±."""
    salinity = min(max(salinity, 0.0), water_physics.SALTIEST)
    kelvin = min(max(kelvin, water_physics.freezing_temperature(salinity)), water_physics.WARMEST)
    return water_physics.density(kelvin, salinity)


CYLINDER_GROWS, REST_GROWS = "cylinder's expansion", "expansion of the rest"


def growth(s: Sheet) -> tuple[Num, Num]:
    """Expansion of the cylinder and of the rest, 1/K, from tables; results that turn on them list them."""
    alpha, rest = s.of(hull).expansion, buoyancy_change.REST_EXPANSION
    return s.unlisted(CYLINDER_GROWS, alpha.alpha, alpha.u95), s.unlisted(REST_GROWS, rest.alpha, rest.u95)


def change(s: Sheet) -> Change:
    """What water and temperature did to the dived balance since the trim record."""
    parts, then, now, salts = (
        s.of(hull),
        s.num("trimmed_at.temperature"),
        s.of(water.temperature),
        s.of(_salts),
    )
    alpha, rest = growth(s)
    # Refuses what is out of range before anything is moved.
    s.of(water.density)

    def work(
        alpha_now: float, rest_now: float, t1: float, t2: float, s1: float, s2: float
    ) -> buoyancy_change.BalanceChange:
        return buoyancy_change.balance_change(
            parts.displaced.si,
            min(parts.ballast.si, parts.displaced.si),
            _density(t1, s1),
            _density(t2, s2),
            (
                buoyancy_change.GrowingPart(parts.cylinder, alpha_now),
                buoyancy_change.GrowingPart(parts.rest, rest_now),
            ),
            t2 - t1,
        )

    base = (alpha.si, rest.si, then.si, now.si, salts.then.si, salts.now.si)
    here = work(*base)
    moved = {
        "cylinder's growth": (0, alpha.u95),
        "growth of the rest": (1, rest.u95),
        "temperature at the trim": (2, then.u95),
        "temperature today": (3, now.u95),
    }
    if salts.apart is None:
        moved["salinity at the trim"] = (4, salts.then.u95)
        moved["salinity today"] = (5, salts.now.u95)
    shares = {
        name: abs(work(*(v + u95 if i == place else v for i, v in enumerate(base))).total - here.total)
        for name, (place, u95) in moved.items()
    }
    if salts.apart is not None:
        lift = _density(now.si, salts.now.si + salts.apart) - _density(now.si, salts.now.si)
        shares["salt of two fresh waters"] = (parts.displaced.si - parts.ballast.si) * lift
    return Change(here, shares, then, now)


def dived_balance(s: Sheet) -> Num:
    """Dived balance today, kg upward: the trim record carried to today's water, and lead moved since."""
    missing = [p for p in ("boat.dived_balance", "boat.trimmed_at.temperature") if s.stated(p) is None]
    if missing:
        for path in missing:
            s.maybe(path)
        raise UnknownError(*missing)
    record, since = s.num("boat.dived_balance"), s.of(change)
    moves = s.observed.trim_moves
    value = record.si + since.total + math.fsum(m.si for m in moves)
    return Num(
        value, rss(record.u95, since.u95, *(m.u95 for m in moves)), worse(record, since.then, since.now)
    )


def dived_mass(s: Sheet) -> Num:
    """Mass with the ballast in, kg."""
    mass, tank, rho = s.num("boat.mass"), s.of(ballast), s.of(water.density)
    value = buoyancy.dived_mass(mass.si, tank.si, rho.si)
    return Num(value, rss(mass.u95, rho.si * tank.u95), worse(mass, tank))


def reserve(s: Sheet) -> Num:
    """Reserve buoyancy surfaced, kg: dived balance and ballast, or (far wider) displaced less mass."""
    tank, rho = s.of(ballast), s.of(water.density)
    try:
        balance = s.of(dived_balance)
    except UnknownError:
        displaced, mass = s.num("boat.displaced"), s.num("boat.mass")
        value = buoyancy.reserve(rho.si, displaced.si, mass.si)
        return Num(value, rss(mass.u95, rho.si * displaced.u95), worse(displaced, mass))
    return Num(balance.si + rho.si * tank.si, rss(balance.u95, rho.si * tank.u95), worse(balance, tank))


# -- what depth takes -----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Squeeze:
    """Everything that shrinks with depth; the losses are kg at a keel depth in m."""

    density: float
    barometer: float
    air: float
    foam: float
    soft: bool
    cylinder: float
    radius: float
    wall: float
    modulus: float
    poisson: float

    def of_air(self, depth: float) -> float:
        """Lost by trapped air."""
        return buoyancy_squeeze.air_loss(self.density, self.air, depth, self.barometer)

    def of_tube(self, depth: float) -> float:
        """Lost by the tube, doubled for its flat caps."""
        one = buoyancy_squeeze.tube_loss(
            self.density, self.cylinder, depth, self.radius, self.wall, self.modulus, self.poisson
        )
        return buoyancy_squeeze.FLAT_CAPS_FACTOR * one

    def of_foam(self, depth: float) -> float:
        """Lost by foam."""
        if not self.foam:
            return 0.0
        if self.soft:
            return buoyancy_squeeze.soft_foam_loss(self.density, self.foam, depth, self.barometer)
        return buoyancy_squeeze.rigid_foam_loss(self.density, self.foam, depth)

    def loss(self, depth: float) -> float:
        """All of it."""
        return self.of_air(depth) + self.of_tube(depth) + self.of_foam(depth)


def squeeze(s: Sheet) -> Squeeze:
    """Her air, foam and tube, as depth meets them."""
    parts, rho, air = s.of(hull), s.of(water.density), s.num("boat.trapped_air")
    foam = s.stated("boat.foam.volume")
    soft = foam is not None and s.word("boat.foam.kind") != "rigid"
    wall = s.stated("cylinder.wall")
    thickness = wall.si if wall is not None else WALL
    row = MATERIALS.get(parts.material)
    if row is not None:
        modulus, poisson = row.modulus, row.poisson
    else:
        modulus, poisson = SOFTEST
        s.assume("tube's stiffness", modulus, 0.0, "Pa", "as the softest plastic")
    radius = (s.si("cylinder.inside_diameter") + thickness) / 2.0
    return Squeeze(
        rho.si, s.of(outside_pressure).si, air.si, foam.si if foam is not None else 0.0, soft, parts.cylinder, radius,
        thickness, modulus, poisson,
    )  # fmt: skip
