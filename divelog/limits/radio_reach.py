"""How deep the aerial's tip may go under control, and how far the radio carries over the surface."""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog.limits.radio_link import budget, link, reach_from_budget, reach_from_trial, trial
from divelog.limits.rounding import down, rss
from divelog.limits.sheet import Sheet
from divelog.limits.water import electrical, temperature
from divelog.limits.waves import crest
from divelog.physics import radio as physics
from divelog.physics import radio_path as path
from divelog.physics.water_permittivity import permittivity

DEPTH_STEP = 0.05
UNTRIED_DEEPEST = 1.0
"""Without a trial, no deeper than this on the low bands (common practice, no source)."""

UNTRIED_SHARE = 0.5
"""And no more than this share of what is computed (common practice, no source)."""

HELD_BACK = rss(physics.FADING_IN_AIR, physics.AIR_BUDGET_U95)
"""Held back for fading and for the unknown budget together, dB, with the aerial in air."""


@dataclass(frozen=True, slots=True)
class Control:
    """How deep the tip may go under control: value and ±, what is shown, and what it came from."""

    value: float
    u95: float
    shown: float
    held_back: float
    in_hand: float
    lost: float
    per_metre: float
    tried: bool
    cap: float
    """No deeper than this whatever the numbers say: the trial's own depth, or infinity."""


def control(s: Sheet) -> Control:
    """The deepest tip today, waves taken off."""
    here, tried, top = s.of(link), s.of(trial), s.of(crest).si
    if tried is not None:
        reach = reach_from_trial(s, here, tried)
        value = max(0.0, reach.lost - top)
        held = rss(physics.FADING_TRIED / reach.per_metre, reach.u95)
        shown = down(max(0.0, min(tried.depth.si, value - held)), DEPTH_STEP)
        return Control(
            value, held, shown, held, reach.in_hand, reach.lost, reach.per_metre, True, tried.depth.si
        )
    reach = reach_from_budget(s, here)
    kept = physics.FADING_UNTRIED / reach.per_metre
    limit = min(max(0.0, reach.lost - kept), physics.DEEPEST_TIP)
    value = safe = 0.0
    if here.band.low:
        value = safe = max(0.0, min(UNTRIED_DEEPEST, UNTRIED_SHARE * limit) - top)
    elif here.band.frequency < 1e9:
        value = max(0.0, limit - top)
        safe = max(0.0, value - reach.u95)
    return Control(
        value,
        reach.u95,
        down(safe, DEPTH_STEP),
        kept,
        reach.in_hand,
        reach.lost,
        reach.per_metre,
        False,
        math.inf,
    )


def surface_permittivity(s: Sheet) -> complex:
    """Permittivity of the water surface at her band."""
    found, ions = s.of(budget), s.of(electrical)
    return permittivity(found.frequency, s.of(temperature).si, ions.conductivity.si, ions.salinity)


def range_for(s: Sheet, held_back: float, tip: float) -> float:
    """Distance that leaves so many dB in hand with the tip so high, m."""
    found = s.of(budget)
    loss = max(0.0, found.sent + found.gain - found.sensitivity - held_back)
    eps = s.of(surface_permittivity)
    return path.distance_for_loss(loss, path.TRANSMITTER_HEIGHT, tip, found.frequency, eps)


def surfaced_tip(s: Sheet) -> float:
    """Height of the tip above the water with her surfaced, m; nought at least."""
    return max(0.0, s.num("radio.tip_above_deck").si + s.num("height").si - s.num("draught").si)
