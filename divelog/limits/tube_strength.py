"""What each part of the cylinder bears from outside, before depth and inside pressure come in.

A part carries its allowed pressure and the share of its ± each input makes, in pascals; ``tube`` turns them into
depths, ``cylinder_air`` and ``cylinder_leak`` take the weakest part's pressure as an edge.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from divelog.limits.refusal import in_words
from divelog.limits.rounding import rss
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics import tube as physics
from divelog.physics import tube_caps
from divelog.physics.tube_materials import (
    MATERIALS,
    Material,
    assumed_out_of_round,
    creep_left,
    hottest_allowed,
    stiffness_left,
)
from divelog.profiles.document import Basis, Num

STIFFNESS_U95: Final = 0.10
FORMULA_U95: Final = {"tube": 0.10, "cap": 0.05}
PLASTIC_WALL_U95: Final = 0.07
OTHER_WALL_U95: Final = 0.03
LENGTH_U95: Final = 0.005
BORE_U95: Final = 0.0005
DEPARTURE_U95: Final = 0.00005
SUPPORT_U95: Final = 0.0005
THICKNESS_U95: Final = 0.0002
WARMER: Final = 5.0
"""Kelvin the tube may be hotter than the warmest thing known about it; only hotter costs."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part: what it bears, ± by input (``shares``), and the words of its sum."""

    name: str
    kind: str
    """``tube`` or ``cap``."""
    allowed: float
    """Pressure across it that it may bear, Pa."""
    shares: Mapping[str, float]
    """u95 by input, Pa."""
    printed: bool
    basis: Basis
    starred: bool
    why: str
    calliper: tuple[float, float] | None = None
    """Allowed pressure and u95 if its wall were measured with a calliper; None where it is measured."""

    @property
    def u95(self) -> float:
        """95 % half-width of ``allowed``, Pa."""
        return rss(*self.shares.values())


@dataclass(frozen=True, slots=True)
class _Shape:
    """A tube as the sum takes it."""

    material: Material
    bore: float
    wall: float
    length: float
    temperature: float
    departure: float
    stiffness: float = 1.0

    @property
    def radius(self) -> float:
        return (self.bore + self.wall) / 2.0

    def modulus(self) -> float:
        left = stiffness_left(self.material, temperature=self.temperature)
        return self.material.modulus * left * self.stiffness

    def flattens(self) -> float:
        return physics.buckling_pressure(
            modulus=self.modulus(),
            poisson=self.material.poisson,
            wall=self.wall,
            radius=self.radius,
            length=self.length,
        ).pressure

    def collapses(self) -> float:
        return physics.collapse_pressure(
            buckling=self.flattens(),
            lasting_stress=self.material.lasting_stress,
            wall=self.wall,
            radius=self.radius,
            departure=self.departure,
        )

    def by_flattening(self) -> float:
        return self.collapses() / self.material.safety

    def by_stress(self) -> float:
        return physics.wall_allowance(
            self.material.design_stress,
            inner_radius=self.bore / 2.0,
            outer_radius=self.bore / 2.0 + self.wall,
        )

    def allowed(self) -> float:
        return min(self.by_flattening(), self.by_stress())


@dataclass(frozen=True, slots=True)
class _Spreads:
    bore: float
    wall: float
    length: float
    departure: float
    hottest: float


def warmest(s: Sheet) -> Num:
    """Temperature taken for the tube, K: the greatest of the water, the air and where she was closed."""
    known = [
        n for n in (s.maybe(p) for p in ("today.water.temperature", "today.air.temperature", "closed")) if n
    ]
    if not known:
        raise UnknownError("today.water.temperature")
    return max(known, key=lambda n: n.si)


def material_of(s: Sheet, path: str) -> Material:
    """The row of a material field; UnknownError where no figures stand for it."""
    word = s.need_word(path)
    row = MATERIALS.get(word)
    if row is None:
        raise UnknownError(s.facts.canonical(path), because=f"no strength figures for {word}")
    return row


@in_words
def tube_part(s: Sheet) -> Part:
    """The tube between its caps: flattening with its roundness, or wall stress, whichever is less."""
    row = material_of(s, "cylinder.material")
    bore, length, wall = (s.num(f"cylinder.{p}") for p in ("inside_diameter", "inside_length", "wall"))
    heat = warmest(s)
    ovality = s.stated("cylinder.roundness")
    if ovality is None:
        guess = assumed_out_of_round(row, radius=(bore.si + wall.si) / 2.0)
        departure = s.assume(
            "roundness", guess, guess, "m", "out of round by the usual for its kind", star=True
        )
    else:
        departure = Num(ovality.si / 4.0, DEPARTURE_U95, ovality.basis)
    shape = _Shape(row, bore.si, wall.si, length.si, heat.si, departure.si)
    usual = (PLASTIC_WALL_U95 if row.kind == "plastic" else OTHER_WALL_U95) * wall.si
    spreads = _Spreads(
        bore.u95 or BORE_U95,
        wall.u95 or usual,
        length.u95 or LENGTH_U95,
        departure.u95,
        min(heat.si + WARMER, hottest_allowed(row, heat.si)),
    )
    shares = _tube_shares(shape, spreads)
    calliper = None
    if not wall.u95:
        better = _tube_shares(shape, replace(spreads, wall=DEPARTURE_U95))
        calliper = (shape.allowed(), rss(*better.values()))
    basis = max((bore, wall, length, heat, departure), key=lambda n: n.basis.rank).basis
    return Part(
        "tube", "tube", shape.allowed(), shares, row.kind == "print", basis, ovality is None,
        _tube_words(shape, starred=ovality is None), calliper,
    )  # fmt: skip


@lru_cache(maxsize=64)
def _tube_shares(shape: _Shape, spreads: _Spreads) -> Mapping[str, float]:
    def half(low: _Shape, high: _Shape) -> float:
        return abs(high.allowed() - low.allowed()) / 2.0

    def moved(name: str, by: float) -> float:
        now = getattr(shape, name)
        return half(replace(shape, **{name: now - by}), replace(shape, **{name: now + by}))

    # out of round cannot fall below nothing, nor rise above the wall the sum holds for
    low, high = (
        max(0.0, shape.departure - spreads.departure),
        min(shape.wall, shape.departure + spreads.departure),
    )
    here = shape.allowed()
    shares = {
        "wall": moved("wall", spreads.wall),
        "formula": FORMULA_U95["tube"] * here,
        "stiffness": moved("stiffness", STIFFNESS_U95),
        "roundness": half(replace(shape, departure=low), replace(shape, departure=high)),
        "warmth": here - replace(shape, temperature=spreads.hottest).allowed(),
        "length": moved("length", spreads.length),
        "bore": moved("bore", spreads.bore),
    }
    return MappingProxyType(shares)


@lru_cache(maxsize=64)
def _tube_words(shape: _Shape, *, starred: bool) -> str:
    row = shape.material
    star = " as round as assumed*" if starred else " as round as measured"
    outside = (shape.bore + 2.0 * shape.wall) * 1e3
    flat, round_ = shape.flattens() / 1e3, shape.collapses() / 1e3
    words = (
        f"{_said(row)} {outside:.0f} x {shape.wall * 1e3:.3g} mm, {shape.length * 1e3:.0f} mm between caps, "
        f"E {shape.modulus() / 1e9:.2f} GPa (creep {creep_left(row):.2g}): flattens at {flat:.0f} kPa, "
        f"{round_:.0f}{star}; "
        f"a {_ORDINAL.get(row.safety, f'1/{row.safety:g}')} of it is {shape.by_flattening() / 1e3:.0f} kPa"
    )
    if shape.by_stress() < shape.by_flattening():
        words += f"; its wall stress allows less, {shape.by_stress() / 1e3:.0f} kPa"
    return words


def _said(row: Material) -> str:
    return row.name.upper() if len(row.name) == 3 else row.name.capitalize()


_ORDINAL: Final = {3.0: "third", 4.0: "quarter", 5.0: "fifth"}


@in_words
def cap_part(s: Sheet, name: str) -> Part:
    """One flat cap or window."""
    at = f"cap[{name}]"
    row = material_of(s, f"{at}.material")
    thickness, support = s.num(f"{at}.thickness"), s.num(f"{at}.supported")
    held, hole = s.need_word(f"{at}.held_by"), s.need_word(f"{at}.hole")
    heat = warmest(s)
    hottest_allowed(row, heat.si)
    edge: tube_caps.Edge = "clamped" if held == "bonded" else "supported"
    stress = row.design_stress if hole == "none" else row.drilled_stress
    if hole == "plain":
        stress /= tube_caps.HOLE_FACTOR

    def bears(t: float = 0.0, a: float = 0.0) -> float:
        return tube_caps.cap_allowance(
            stress, radius=support.si / 2.0 + a, thickness=thickness.si + t, poisson=row.poisson, edge=edge
        )

    dt, da = thickness.u95 or THICKNESS_U95, (support.u95 / 2.0) or SUPPORT_U95
    shares = {
        "thickness": abs(bears(t=dt) - bears(t=-dt)) / 2.0,
        "support": abs(bears(a=da) - bears(a=-da)) / 2.0,
        "formula": FORMULA_U95["cap"] * bears(),
    }
    assumed = s.basis_of(f"{at}.hole") is Basis.ASSUMED
    basis = max((thickness, support, heat), key=lambda n: n.basis.rank).basis
    why = (
        f"{name.capitalize()} {thickness.si * 1e3:.3g} mm over {support.si * 1e3:.4g} mm, {stress / 1e6:.3g} MPa: "
        f"{bears() / 1e3:.0f} kPa"
    )
    return Part(
        name, "cap", bears(), MappingProxyType(shares), row.kind == "print", Basis.ASSUMED if assumed else basis,
        assumed, why,
    )  # fmt: skip


def cap_parts(s: Sheet) -> tuple[Part, ...]:
    """Every cap; UnknownError where none is written down or one misses a figure."""
    names = s.ids("cap")
    if not names:
        raise UnknownError("boat.cap", because="caps not measured: they often bind")
    return tuple(cap_part(s, name) for name in names)


def weakest(s: Sheet) -> float | None:
    """Least pressure that any part known may bear, Pa, at its safe end; None where no part is known."""
    works: tuple[Callable[[Sheet], tuple[Part, ...]], ...] = (
        lambda x: (x.of(tube_part),),
        lambda x: x.of(cap_parts),
    )
    safe: list[float] = []
    for work in works:
        try:
            safe += [max(0.0, part.allowed - part.u95) for part in work(s)]
        except UnknownError:
            continue
    return min(safe, default=None)


def weakest_unrecorded(s: Sheet) -> float | None:
    """``weakest`` for a comparison: its inputs do not count until it binds and ``weakest`` is asked."""
    found, _ = s.recorded(lambda x: x.of(weakest))
    return found if isinstance(found, float) else None


def height_over_keel(s: Sheet) -> float:
    """Height of the tube's lowest point over the keel, m, less what a bow-down angle takes; 0 where unknown."""
    above = s.num("cylinder.above_keel").si
    if above <= 0.0:
        return 0.0
    angle = s.stated("plan.dive_angle")
    tilt = angle.si if angle is not None else math.radians(15.0)
    return max(0.0, above - s.num("cylinder.outside_length").si / 2.0 * math.sin(tilt))
