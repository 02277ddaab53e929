"""How deep and how far the radio reaches her, and how it is shown at reduced power."""

from __future__ import annotations

from dataclasses import dataclass, replace

from divelog.limits.antenna import tip_height
from divelog.limits.model import Limit, Part, Term, Verdict
from divelog.limits.radio_link import Link, budget, link, trial
from divelog.limits.radio_reach import (
    DEPTH_STEP,
    HELD_BACK,
    Control,
    control,
    range_for,
    surface_permittivity,
    surfaced_tip,
)
from divelog.limits.registry import key
from divelog.limits.rounding import down, text, up
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics import radio as physics
from divelog.physics import radio_path as path
from divelog.profiles.document import Basis

RANGE_STEP = 5.0
IN_SIGHT = {"S": 60.0, "M": 80.0, "L": 150.0}
"""As far as a boat can be seen and read, by size, m (common practice, no source)."""

CHECK_MARGIN = 10.0
"""What a check at reduced power must prove beyond the run's own loss, dB (common practice, no source)."""

LEAST_PACES = 30.0
"""No check at reduced power from nearer: a shorter walk passes a half-broken aerial (trade practice, no source)."""

BASELINE_SHARE = 0.9
RULES = "Radio rules differ by country: the set's marking and the regulator's text decide. Alter no set or aerial."
NO_DEPTH = "No computed depth replaces a failsafe that was seen to work."
SOURCE = "Meissner & Wentz 2004, IEEE Trans. Geosci. Remote Sens. 42:1836-1849; Norton 1941; Bullington 1947"


@key(
    "radio.control_depth",
    "How deep the aerial may go",
    kind="limit",
    sense="max",
    unit="m",
    display="m",
    step="0.05 m down",
    where="desk",
    needs=("boat.radio.band", "today.plan.distance", "site.conductivity", "boat.radio.signal_lost_at.depth"),
    formula=(
        "dB in hand with the tip awash over dB a metre of this water, less the crest of the waves",
        "after a trial: its own dB, moved to today's distance and water; held back root(3 dB^2 + its own give or take)",
        "without one: half of it and 1.0 m at most from 27 to 76 MHz; less 14 dB from 433 MHz; none at 2.4 GHz",
    ),
    valid="still water to 6 m, 5 to 500 m away, upright aerials, transmitter 1.2 m up",
    sources=(
        "Meissner & Wentz 2004, IEEE Trans. Geosci. Remote Sens. 42:1836-1849 (permittivity)",
        "plane wave in a conducting medium; coupling through the surface by its boundary conditions (own derivation)",
        "surface wave over water: Norton 1941, Bullington 1947",
    ),
    reads="length",
    reading_unit="m",
)
def radio_control_depth(s: Sheet) -> Limit:
    """Deepest aerial tip with margin."""
    found = s.of(control)
    here: Link = s.of(link)
    low = here.band.low
    starred = low and not found.tried
    if found.shown > 0.0:
        shown = text(found.shown, "m", "length", DEPTH_STEP) + ("*" if starred else "")
    else:
        shown = "keep the tip out of the water"
    return radio_control_depth.new().but(high=found.value, u95=found.u95, shown_high=found.shown, shown=shown,
        starred=starred, reading=s.reading("radio.control_depth"), why=_depth_why(s, found, here),
        binds=("trial",) if found.tried else ("assumed set",), cautions=(RULES, NO_DEPTH),
        parts=(Part("signal goes", max(found.lost, 0.0), found.u95, _depth(found.lost)),),
        actions=() if found.tried else ("lower her on a string and write down where the signal goes",),
    )  # fmt: skip


def _depth_why(s: Sheet, found: Control, here: Link) -> tuple[str, ...]:
    tried = s.of(trial)
    origin = (
        f"from your trial, {tried.depth.si:.1f} m at {tried.distance:.0f} m" if tried is not None
        else f"by the usual {here.band.name} set"
    )  # fmt: skip
    in_hand = (
        f"{found.in_hand:.1f} dB in hand with the tip awash at {here.distance:.0f} m ({origin})"
        if found.in_hand > 0.0
        else f"nothing in hand with the tip awash at {here.distance:.0f} m ({origin})"
    )
    lines = [
        f"{in_hand}.",
        f"This water takes {_per_metre(found.per_metre)}: the signal goes at {_depth(found.lost)}.",
    ]
    if found.tried:
        lines.append(f"Held back {found.held_back:.2f} m for fading and for what is not known.")
    elif here.band.low:
        lines.append("Without a trial: half of what 10 dB in hand would allow, and 1.0 m at most.")
    elif here.band.frequency < 1e9:
        lines.append(f"Held back {found.held_back:.2f} m for fading and {found.u95:.2f} for the unknown set.")
    else:
        lines.append("At 2.4 GHz there is no depth to plan on: the tip comes out or the signal goes.")
    if here.band.low:
        rise = physics.rise_to_return(found.per_metre)
        lines.append(f"Once lost, it comes back only with the tip about {rise:.1f} m higher.")
    return tuple(lines)


def _depth(metres: float) -> str:
    deep = max(metres, 0.0)
    return f"{deep:.2f} m" if deep >= 0.1 else f"{1e3 * deep:.0f} mm"


def _per_metre(per_metre: float) -> str:
    return f"{per_metre:.1f} dB a metre" if per_metre < 100.0 else f"{per_metre / 100.0:.1f} dB a centimetre"


def radio_term(s: Sheet) -> Term:
    """The radio part of the deepest keel under control."""
    above_keel = s.num("height").si + s.num("radio.tip_above_deck").si
    found = s.of(control)
    basis = Basis.STATED if found.tried else Basis.ASSUMED
    if found.shown <= 0.0:
        height = s.of(tip_height)
        why = f"tip {above_keel:.2f} m above the keel, to stand {1e3 * height.shown:.0f} mm clear"
        return Term("radio", above_keel - height.shown, 0.0, basis=Basis.ASSUMED, why=why, source=SOURCE)
    low = s.of(link).band.low
    u95 = found.u95 if found.tried or not low else 0.0
    value = min(found.value, found.cap + u95)
    why = f"tip {above_keel:.2f} m above the keel, and it may be {found.shown:.2f} m under"
    return Term("radio", value + above_keel, u95, basis=basis, why=why, source=SOURCE)


@key(
    "radio.range",
    "How far she may go",
    kind="limit",
    sense="max",
    unit="m",
    display="m",
    step="5 m down",
    where="desk",
    needs=("boat.radio.band", "boat.radio.tip_above_deck", "boat.height", "boat.draught"),
    formula=(
        "the distance whose path loss leaves root(20^2 + 10^2) = 22.4 dB in hand for fading and the unknown set",
        "never beyond what can be seen and read: 60, 80 or 150 m by size",
    ),
    valid="27 MHz to 2.44 GHz, upright aerials over flat water, 5 to 500 m",
    sources=(
        "free space: Friis 1946, Recommendation ITU-R P.525",
        "surface wave over water: Norton 1941, Bullington 1947",
    ),
    reads="length",
    reading_unit="m",
)
def radio_range(s: Sheet) -> Limit:
    """Farthest surface range."""
    tip = s.of(surfaced_tip)
    full, safe = range_for(s, physics.FADING_IN_AIR, tip), range_for(s, HELD_BACK, tip)
    cap = IN_SIGHT[s.size]
    shown = down(min(safe, cap), RANGE_STEP)
    sight = cap <= safe
    why = (
        f"The radio would carry {safe:.0f} m over the surface; {cap:.0f} m is as far as she can be seen and read."
        if sight
        else f"Tip {tip:.2f} m up: {safe:.0f} m leave 22 dB in hand for fading and for the unknown set."
    )
    rare = 100.0 * physics.fade_share(physics.FADING_IN_AIR)
    alone = f"{full:.0f} m leave 20 dB for fading alone: {rare:.0f} place in 100 fades deeper."
    planned = s.stated("plan.distance")
    return radio_range.new().but(high=full, u95=full - safe, shown_high=shown,
        shown=text(shown, "m", "length", RANGE_STEP), reading=s.reading("radio.range") or planned,
        binds=("sight",) if sight else ("radio",), why=(why, alone),
        cautions=(RULES,), parts=(Part("radio alone", safe, 0.0, f"{safe:.0f} m"),),
        actions=("plan nearer",),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Walk:
    """Paces that must still work at reduced power: worked out, as shown, and why."""

    paces: float
    shown: float
    binds: str
    why: tuple[str, ...]


def _walk(s: Sheet) -> Walk:
    baseline = s.stated("radio.check_paces")
    if baseline is None:
        return _walk_by_loss(s)
    paces = BASELINE_SHARE * baseline.si
    why = (
        f"Your baseline is {baseline.si:.0f} paces; nine tenths of it must still work with motor and pump on."
    )
    return Walk(paces, up(paces, 1.0), "baseline", (why,))


def _walk_by_loss(s: Sheet) -> Walk:
    drop = s.stated("transmitter.range_mode_drop")
    if drop is None:
        raise UnknownError(
            s.facts.canonical("transmitter.range_mode_drop"), s.facts.canonical("radio.check_paces"),
            because="walk her range once at reduced power and write down the paces",
        )  # fmt: skip
    found, tip, eps = s.of(budget), s.of(surfaced_tip), s.of(surface_permittivity)
    planned = max(s.si("plan.distance"), path.CLOSEST)
    run = path.path_loss(planned, path.TRANSMITTER_HEIGHT, tip, found.frequency, eps)
    allowed = max(0.0, run + CHECK_MARGIN - drop.si)
    distance = path.distance_for_loss(allowed, path.TRANSMITTER_HEIGHT, tip, found.frequency, eps)
    paces = distance / s.si("settings.own_pace")
    first = (
        f"At {planned:.0f} m the way costs {run:.1f} dB; with 10 dB more and {drop.si:.0f} dB less power "
        f"that is {distance:.1f} m, {up(paces, 1.0):.0f} paces."
    )
    if paces > LEAST_PACES:
        return Walk(paces, up(paces, 1.0), "path loss", (first,))
    floor = "Never under 30 paces: a shorter walk passes a half-broken aerial."
    return Walk(paces, LEAST_PACES, "floor", (first, floor))


@key(
    "radio.check_distance",
    "Range check at reduced power",
    kind="limit",
    sense="min",
    unit="paces",
    display="paces",
    step="1 pace up",
    where="pond",
    needs=("boat.radio.check_paces", "kit.transmitter.range_mode_drop", "settings.own_pace"),
    formula=(
        "nine tenths of the baseline walked with the motor off",
        "without one: the distance that costs the run's path loss + 10 dB - the power taken away, 30 paces at least",
    ),
    valid="afloat, tip as it runs, motor and pump on; a check on the bank must be walked farther",
    sources=(
        "surface wave over water: Norton 1941, Bullington 1947",
        "common practice, no source (nine tenths, 30)",
    ),
    reads="paces",
    reading_unit="paces",
)
def radio_check_distance(s: Sheet) -> Limit:
    """Paces at reduced power that must still work."""
    if s.word("site.kind") in ("pool", "tank"):
        raise NotFittedError("no room to walk it here")
    walk = _walk(s)
    reading = s.reading("radio.check_distance")
    if reading is not None and reading.u95 == 0.0:
        reading = replace(reading, u95=0.1 * reading.si)
    verdict, remark = Verdict.NO_READING, ""
    if reading is None:
        proof = s.proof("range")
        if proof.stands:
            verdict, remark = Verdict.WITHIN, "walked already"
        elif proof.because != "never":
            verdict, remark = Verdict.TO_PROVE, proof.because
    return radio_check_distance.new().but(low=walk.paces, shown_low=walk.shown,
        shown=text(walk.shown, "paces", "paces", 1.0), reading=reading, verdict=verdict, remark=remark,
        binds=(walk.binds,), why=walk.why,
        actions=("look at aerial, plugs and mast", "walk it again with the aerials upright", "stay ashore"),
        cautions=("Put the transmitter back to full power before launch.",),
    )  # fmt: skip
