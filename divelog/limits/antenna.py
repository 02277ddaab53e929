"""How high the aerial's tip must stand above the water, and how much of it clear of metal."""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog.limits.model import Limit
from divelog.limits.radio_link import her_band
from divelog.limits.radio_reach import HELD_BACK, control, range_for
from divelog.limits.registry import key
from divelog.limits.rounding import text, up
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.limits.waves import crest, waves
from divelog.physics.radio_aerial import exposed_loss, quarter_wave, tube_attenuation
from divelog.physics.radio_path import mean_wetting, wetted_share
from divelog.profiles.document import Num

STEP = 0.005
CLEAR_STEP = 0.001
PITCH_WANDER = math.radians(3.0)
"""How far her pitch wanders at periscope depth (common practice, no source)."""

LIST = math.radians(5.0)
"""List to reckon with (common practice, no source)."""

USUAL_BORE = 0.006
"""Bore of a usual metal mast, m; the loss for each bore's width hardly depends on it."""

HIGHEST_MAST = 0.5
"""The path formula was checked for tips up to this height, m."""


@dataclass(frozen=True, slots=True)
class TipHeight:
    """Least height of the tip above still water, its parts in metres, and what is shown."""

    value: float
    u95: float
    shown: float
    bare: float
    crest: float
    tilt: float
    for_range: float


def _bare(s: Sheet) -> float:
    """Bare end that must stay out of the water: a quarter wave from 433 MHz up, nought on the low bands."""
    found = s.of(her_band)
    return 0.0 if found.low else quarter_wave(found.lowest)


def _height_for_range(s: Sheet) -> float:
    """Least tip height in metres from which the radio reaches the planned distance with everything held back."""
    wanted = s.si("plan.distance")
    low, high = 0.0, HIGHEST_MAST
    if range_for(s, HELD_BACK, low) >= wanted:
        return 0.0
    if range_for(s, HELD_BACK, high) < wanted:
        raise UnknownError(because=f"no mast to {HIGHEST_MAST:g} m carries {wanted:.0f} m: plan nearer")
    for _ in range(40):
        middle = 0.5 * (low + high)
        if range_for(s, HELD_BACK, middle) < wanted:
            low = middle
        else:
            high = middle
    return high


def tip_height(s: Sheet) -> TipHeight:
    """Least height of the tip above still water at periscope depth today."""
    bare, top = s.of(_bare), s.of(crest)
    above_centre = s.num("radio.tip_above_deck").si + 0.5 * s.num("height").si
    forward = abs(s.num("radio.mast_forward").si)
    tilt = forward * math.sin(PITCH_WANDER) + max(0.0, above_centre) * (1.0 - math.cos(LIST))
    for_range = s.of(_height_for_range)
    value = max(for_range, bare + top.si + tilt)
    return TipHeight(value, top.u95, up(value + top.u95, STEP), bare, top.si, tilt, for_range)


@key(
    "antenna.tip_height",
    "Aerial tip above still water",
    kind="limit",
    sense="min",
    unit="m",
    display="mm",
    step="5 mm up",
    where="pond",
    needs=("boat.radio.band", "boat.radio.tip_above_deck", "today.air.look", "today.plan.distance"),
    formula=(
        "bare end (a quarter wave from 433 MHz up) + crest of the bigger waves + pitch of 3 deg + list of 5 deg",
        "or what the planned distance needs, if that is more",
    ),
    valid="periscope depth, dived: she does not ride the waves",
    sources=(
        "Rayleigh heights: Longuet-Higgins 1952; crest 0.6 of the height, common practice, no source",
        "quarter-wave monopole (textbook)",
        "surface wave over water: Norton 1941, Bullington 1947",
    ),
    reads="length",
    reading_unit="mm",
)
def antenna_tip_height(s: Sheet) -> Limit:
    """Least height of the tip above still water with today's waves."""
    found = s.of(tip_height)
    dry_from = s.of(her_band).low and s.of(control).shown > 0.0
    lines = [_sum_line(found)]
    if found.for_range > 0.0:
        lines.append(f"The planned distance alone needs {1e3 * found.for_range:.0f} mm.")
    if dry_from:
        lines.append("Lower than this the waves wet the tip; how deep it may go is another limit.")
    reading = s.reading("antenna.tip_height")
    if reading is not None:
        lines.extend(_wetting(s, reading.si, found.shown))
    title = "Aerial tip kept dry from" if dry_from else antenna_tip_height.info.title
    return antenna_tip_height.new().but(title=title, low=found.value, u95=found.u95, shown_low=found.shown,
        shown=text(found.shown, "mm", "length", STEP), reading=reading,
        binds=("range",) if found.for_range >= found.value > 0.0 else ("waves",), why=tuple(lines),
        actions=("run shallower, tip higher", "lengthen the mast", "wait for less wind"),
    )  # fmt: skip


def _wetting(s: Sheet, height: float, enough: float) -> tuple[str, ...]:
    """How often and how long waves wet a tip that stands too low, against the hold of the failsafe."""
    if s.word("site.kind") == "tank" or not 0.0 <= height < enough:
        return ()
    state = s.of(waves).state
    if state.ripples_only or height > 7.0 * state.height:
        return ()
    share, each = wetted_share(height, state.height), mean_wetting(height, state.height, state.period)
    hold = s.stated("radio.failsafe_delay")
    ends = "" if hold is None else ": glitches" if each < hold.si else ": the failsafe starts"
    return (
        f"At {1e3 * height:.0f} mm waves wet it {100 * share:.1f} % of the time, {each:.2f} s each{ends}.",
    )


def _sum_line(found: TipHeight) -> str:
    bare = f"Bare end {1e3 * found.bare:.0f} mm, crests" if found.bare else "Crests"
    total = found.bare + found.crest + found.tilt
    return (
        f"{bare} of the bigger waves {1e3 * found.crest:.0f} mm, pitch and list {1e3 * found.tilt:.0f}: "
        f"{1e3 * total:.0f} mm, {1e3 * found.shown:.0f} with the give or take of the waves."
    )


@key(
    "antenna.clear_length",
    "Aerial clear of metal",
    kind="limit",
    sense="min",
    unit="m",
    display="mm",
    step="1 mm up",
    where="bench",
    needs=("boat.radio.band", "boat.radio.mast", "boat.radio.clear_length", "boat.radio.aerial_length"),
    formula=("a quarter of the wavelength at the lowest channel; on the low bands the whole wire",),
    valid="straight whiskers; loops, patches and loaded wires follow the maker's sheet",
    sources=("quarter-wave monopole (textbook)",),
    reads="length",
    reading_unit="mm",
)
def antenna_clear_length(s: Sheet) -> Limit:
    """Length of aerial that must stand clear of a metal mast."""
    mast = s.need_word("radio.mast")
    if mast != "metal":
        raise NotFittedError("no metal mast")
    band = s.of(her_band)
    if band.low:
        wire = s.stated("radio.aerial_length")
        if wire is None:
            raise UnknownError(
                s.facts.canonical("radio.aerial_length"),
                because=f"a {band.name} wire must stand clear of metal along its whole length; "
                "write down how long the maker says",
            )  # fmt: skip
        low = wire.si
        why = f"A {band.name} wire must stand clear of metal along its whole length, {1e3 * low:.0f} mm."
    else:
        low = quarter_wave(band.lowest)
        why = f"A quarter wave at {band.lowest / 1e6:g} MHz is {1e3 * low:.1f} mm."
    slipped = tube_attenuation(USUAL_BORE, band.frequency) * USUAL_BORE
    shown = up(low, CLEAR_STEP)
    reading = s.reading("antenna.clear_length") or s.stated("radio.clear_length")
    return antenna_clear_length.new().but(low=low, shown_low=shown, shown=text(shown, "mm", "length", CLEAR_STEP),
        reading=reading, why=(why, *_short(low, reading)),
        actions=("push the aerial up through the mast", "measure again from the mast's metal"),
        cautions=(
            "Never shorten, lengthen or coil the bare end.",
            f"Slipped down inside a metal mast it loses {slipped:.0f} dB for each bore's width.",
        ),
    )  # fmt: skip


def _short(whole: float, reading: Num | None) -> tuple[str, ...]:
    if reading is None or not 0.001 * whole < reading.si < whole:
        return ()
    lost = exposed_loss(reading.si / whole)
    return (f"With {1e3 * reading.si:.0f} mm clear at least {lost:.0f} dB are lost, and more by mismatch.",)
