"""How deep she may go and still be seen: the sight term of the deepest keel, and what glare takes off it."""

from __future__ import annotations

import math

from divelog.limits.model import Term
from divelog.limits.sheet import Sheet, UnknownError
from divelog.limits.waves import Wind, wind_today
from divelog.physics import waves_sight as physics
from divelog.profiles.document import Basis, Num

EYE = 1.6
"""Height of the operator's eye above the water, m (common practice, no source)."""

DEEPEST_PLATE = 20.0
SOURCE = "Snell's law; contrast law of Duntley and Preisendorfer (Zaneveld & Pegau 2003, Opt. Express 11:2997-3009)"


def _plate(s: Sheet) -> Num:
    found = s.num("today.water.clarity")
    return Num(min(found.si, DEEPEST_PLATE), found.u95, found.basis)


def sight_term(s: Sheet) -> Term:
    """Deepest keel whose deck is still seen far off: 0.66 of the plate's depth, less by the hull's shade, + height."""
    plate, shade, height = s.of(_plate), s.need_word("shade"), s.num("height")
    reflectance = physics.REFLECTANCES[shade]
    deck = physics.deck_depth_far(plate.si, reflectance)
    u95 = deck * plate.u95 / plate.si if plate.si else 0.0
    basis = max((plate.basis, s.basis_of("shade"), height.basis), key=lambda b: b.rank)
    guess = "*" if s.basis_of("shade") is Basis.ASSUMED else ""
    why = (
        f"plate lost at {plate.si:.1f} m; far off the line of sight runs 1.5 times the depth: "
        f"{shade}{guess} deck {deck:.2f} m, keel {deck + height.si:.2f}"
    )
    return Term("sight", deck + height.si, u95, basis=basis, why=why, source=SOURCE)


def sight_caution(s: Sheet) -> str:
    """A sentence where the sky on the water hides her sooner than the sight term says; empty where it does not."""
    distance = s.maybe("plan.distance")
    if distance is None:
        return ""
    plate, shade = s.of(_plate), s.need_word("shade")
    angle = min(physics.STEEPEST_ANGLE, math.atan(distance.si / EYE))
    reflectance = physics.REFLECTANCES[shade]
    seen = physics.sight_depth(plate.si, reflectance, angle, ripples=_ripples(s))
    if seen >= physics.deck_depth_far(plate.si, reflectance):
        return ""
    return (
        f"From {distance.si:.0f} m with the sky on the water expect nearer {seen:.2f} m to the deck: "
        "keep a mast showing or stand nearer."
    )


def _ripples(s: Sheet) -> float:
    try:
        blowing: Wind = s.of(wind_today)
    except UnknownError:
        return 0.5
    return physics.ripple_factor(blowing.high)
