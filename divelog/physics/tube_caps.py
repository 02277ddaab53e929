"""Flat round caps and windows: what they bear from outside, how they sag, what throws them from inside."""

from __future__ import annotations

import math
from typing import Final, Literal, TypeAlias

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import CubicMetres, GaugePascals, Metres, Newtons, Pascals, Ratio

Edge: TypeAlias = Literal["supported", "clamped"]
"""How a cap is held round its rim.

A plug or lid held by a ring, screws or friction is supported; clamped only if one piece with, or bonded over
two thicknesses to, a wall at least as thick. Unsure is supported.
"""

NewtonsPerMetre: TypeAlias = float

HOLE_FACTOR: Final[Ratio] = 2.5
"""Stress at a plain hole over the stress without it, 2 to 3 (Peterson's charts, from memory)."""

RING_GRIP: Final[NewtonsPerMetre] = 100.0
"""Friction of a greased 2 to 4 mm ring along its seal line: a greased ring holds almost nothing.

The low end of 100 to 500 N/m (friction charts of sealing-ring handbooks, order of magnitude, from memory).
"""

RETENTION_FACTOR: Final[Ratio] = 3.0
"""What holds a cap must bear three times the push (common practice)."""

THIN_WINDOW: Final[Ratio] = 0.125
"""Thickness over free diameter under which a window is thin (ASME PVHO-1 flat discs, from memory)."""


def cap_stress(
    pressure: Pascals, *, radius: Metres, thickness: Metres, poisson: Ratio, edge: Edge = "supported"
) -> Pascals:
    """Greatest bending stress of a flat round cap under even pressure, Pa.

    Supported: 3(3 + nu)/8 p a^2/t^2, at the centre. Clamped: 3/4 p a^2/t^2, at the edge.
    ``radius`` to the support line, m (not a diameter: that is four times; not the flange); ``thickness`` the
    least, m (groove bottom if the ring groove lies inside ``radius``). Thin-plate theory, thickness over
    radius 0.05 to 0.4.
    u95 5 %, and the edge. Source: Timoshenko, Strength of Materials; Mechanical Engineer's Data Handbook p.
    53.
    """
    _check_cap(radius, thickness, poisson)
    return _stress_factor(poisson, edge) * pressure * (radius / thickness) ** 2


def cap_allowance(
    design_stress: Pascals, *, radius: Metres, thickness: Metres, poisson: Ratio, edge: Edge = "supported"
) -> Pascals:
    """Even pressure at which a flat cap reaches its design stress: s (t/a)^2 / k, Pa.

    ``cap_stress`` turned round, and its arguments.
    """
    _check_cap(radius, thickness, poisson)
    if design_stress <= 0.0:
        raise OutOfRangeError("The design stress must be above nothing.")
    return design_stress * (thickness / radius) ** 2 / _stress_factor(poisson, edge)


def plate_stiffness(*, modulus: Pascals, thickness: Metres, poisson: Ratio) -> float:
    """Bending stiffness of a plate: E t^3 / (12 (1 - nu^2)), N m. Source: Kirchhoff plate theory."""
    _check_cap(1.0, thickness, poisson)
    if modulus <= 0.0:
        raise OutOfRangeError("The modulus must be above nothing.")
    return modulus * thickness**3 / (12.0 * (1.0 - poisson**2))


def cap_sag(
    pressure: Pascals,
    *,
    radius: Metres,
    thickness: Metres,
    modulus: Pascals,
    poisson: Ratio,
    edge: Edge = "supported",
) -> Metres:
    """Sag at the centre of a flat cap, m: p a^4/(64 D), times (5 + nu)/(1 + nu) if supported.

    Over half the thickness the true sag is smaller (membrane): call it large. Source: as ``cap_stress``.
    """
    _check_cap(radius, thickness, poisson)
    clamped = (
        pressure * radius**4 / (64.0 * plate_stiffness(modulus=modulus, thickness=thickness, poisson=poisson))
    )
    return clamped if edge == "clamped" else clamped * (5.0 + poisson) / (1.0 + poisson)


def cap_sag_volume(
    pressure: Pascals,
    *,
    radius: Metres,
    thickness: Metres,
    modulus: Pascals,
    poisson: Ratio,
    edge: Edge = "supported",
) -> CubicMetres:
    """Volume a sagging flat cap gives up, m3: pi p a^6/(192 D), times (7 + nu)/(1 + nu) if supported.

    Source: the plate's deflection integrated over its face.
    """
    _check_cap(radius, thickness, poisson)
    stiffness = plate_stiffness(modulus=modulus, thickness=thickness, poisson=poisson)
    clamped = math.pi * pressure * radius**6 / (192.0 * stiffness)
    return clamped if edge == "clamped" else clamped * (7.0 + poisson) / (1.0 + poisson)


def cap_push(gauge: GaugePascals, *, bore: Metres) -> Newtons:
    """Force of inside pressure on a cap: gauge pi bore^2/4, N. Negative: it is drawn in.

    ``bore`` at the ring, m. +20 kPa on 100 mm is 157 N: strap caps, face and hands out of line, eye
    protection.
    Source: pressure times area.
    """
    if bore <= 0.0:
        raise OutOfRangeError("The bore must be above nothing.")
    return gauge * math.pi * bore**2 / 4.0


def ring_hold(*, bore: Metres, grip: NewtonsPerMetre = RING_GRIP) -> Newtons:
    """Force one greased ring holds by friction alone: pi bore grip, N. An order of magnitude; see
    ``RING_GRIP``."""
    if bore <= 0.0 or grip <= 0.0:
        raise OutOfRangeError("Bore and grip must be above nothing.")
    return math.pi * bore * grip


def gauge_held(hold: Newtons, *, bore: Metres, factor: Ratio = RETENTION_FACTOR) -> GaugePascals:
    """Inside gauge pressure at which a retention is used to a third: hold / (factor pi bore^2/4), Pa.

    For one greased ring, 4 grip/(3 bore): 1.3 kPa at 100 mm. Source: ``cap_push`` turned round.
    """
    if hold < 0.0 or factor < 1.0:
        raise OutOfRangeError("What holds a cap is not below nothing, and its factor not below one.")
    return hold / factor / cap_push(1.0, bore=bore)


def _stress_factor(poisson: Ratio, edge: Edge) -> float:
    return 0.75 if edge == "clamped" else 3.0 * (3.0 + poisson) / 8.0


def _check_cap(radius: Metres, thickness: Metres, poisson: Ratio) -> None:
    if radius <= 0.0 or thickness <= 0.0:
        raise OutOfRangeError("The cap's radius and thickness must be above nothing.")
    if not 0.0 <= poisson < 0.5:
        raise OutOfRangeError("Poisson's ratio lies from 0 to under 0.5.")
