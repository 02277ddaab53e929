"""Angles of rest, dived and surfaced, and the lead that takes them out."""

from __future__ import annotations

import math
from collections.abc import Callable

from divelog.limits import water
from divelog.limits.balance import dived_mass
from divelog.limits.model import Limit, Move, Part, Verdict
from divelog.limits.registry import Key, key
from divelog.limits.rests import rests_on
from divelog.limits.sheet import Sheet
from divelog.limits.trim_change import LEAD_CAUTION
from divelog.physics import buoyancy_lead, stability
from divelog.profiles.document import Basis, Num

DIVED, SURFACED = "dived", "surfaced"
ANGLES = {DIVED: math.radians(2.0), SURFACED: math.radians(1.0)}
"""Static angles to allow (common practice, no source)."""

DEGREE = math.radians(1.0)
SHIFT = 0.300
"""Lever named where nobody wrote where lead sits, m; no more than a third of her length."""

BEAM_SHIFT = 0.090
"""The same across, m; no more than her beam."""

STEP = 0.1 * DEGREE
NEAR_NOUGHT = math.radians(0.05)
"""An angle this small has no lead to be moved for it."""

STATICS = "statics of a floating body; Barrass and Derrett, Ship Stability for Masters and Mates"
ANGLE_SOURCE = "allowed angles: common practice, no source"


def stiffness(s: Sheet) -> tuple[Num, Num]:
    """BG and the dived mass."""
    return s.num("motion.righting"), s.of(dived_mass)


def _pitch_lever(s: Sheet) -> tuple[float, str]:
    """Lever fore and aft, m, and how it is known: between the two outermost pieces of lead, else a round shift."""
    places = [(s.si(f"lead[{name}].x"), name) for name in s.ids("lead")]
    if len(places) > 1:
        (aft, low), (fore, high) = min(places), max(places)
        if fore - aft > 0.02:
            return fore - aft, f"{low} to {high}"
    lever = min(SHIFT, math.floor(s.si("boat.length") / 3.0 / 0.05) * 0.05)
    return max(0.02, lever), "a shift"


def _list_lever(s: Sheet) -> tuple[float, str]:
    return max(0.02, min(BEAM_SHIFT, math.floor(s.si("boat.beam") / 0.01) * 0.01)), "a shift"


def _towards(pitch: bool, angle: float) -> str:
    if pitch:
        return "forward" if angle > 0 else "aft"
    return "to port" if angle > 0 else "to starboard"


def _angle_words(pitch: bool, angle: float) -> str:
    side = (
        ("bow up" if angle > 0 else "bow down") if pitch else ("starboard down" if angle > 0 else "port down")
    )
    return f"{abs(math.degrees(angle)):.1f} deg {side}"


def _moves(s: Sheet, pitch: bool, seen: Num, lever: float) -> tuple[Move, ...]:
    righting, m_d = stiffness(s)
    inside = stability.weight_to_move(seen.si, lever, m_d.si, righting.si)
    share = stability.weight_to_move_relative_u95(seen.si, seen.u95, righting.si, righting.u95)
    wet = buoyancy_lead.piece_for(inside, s.of(water.density).si)
    end = f"{lever * 1e3:.0f} mm {_towards(pitch, seen.si)}"
    return (
        Move("lead inside", inside, inside * share, "", end),
        Move("lead in the water", wet, wet * share, "", end),
    )


def _angles(s: Sheet, this: Key, pitch: bool) -> tuple[Limit, ...]:
    righting, m_d = stiffness(s)
    lever, how = (_pitch_lever if pitch else _list_lever)(s)
    a_degree = stability.moment_for_angle(DEGREE, m_d.si, righting.si)
    a_gram = math.degrees(abs(stability.pitch_from_moment(0.001 * 0.1, m_d.si, righting.si)))
    guessed = righting.basis is Basis.ASSUMED
    why = [
        f"B {righting.si * 1e3:.0f} mm above G, give or take {righting.u95 * 1e3:.0f}; {m_d.si:.2f} kg dived",
        f"1 g moved 100 mm tips her {a_gram:.2f} deg",
    ]
    results = []
    for item, edge in ANGLES.items():
        seen = s.reading(this.info.key, item)
        one = this.new(item).but(
            low=-edge,
            high=edge,
            shown_low=-edge,
            shown_high=edge,
            shown=f"{-math.degrees(edge):.0f} to {math.degrees(edge):+.0f} deg",
            starred=guessed and item == DIVED,
            reading=seen,
            reading_text=_angle_words(pitch, seen.si) if seen is not None else "",
            why=tuple(why)
            if item == DIVED
            else ("Surfaced the waterline rights her too: only the angle is judged",),
        )
        if item == DIVED:
            shown = f"{a_degree * 1e6:.0f} g mm"
            one = one.but(
                parts=(Part("moment of one degree", a_degree, a_degree * righting.u95 / righting.si, shown),),
            )
            if not pitch and guessed:
                # A list against a guessed height of B is no verdict; the lead to move is all that can be said.
                one = one.but(
                    low=None,
                    high=None,
                    shown_low=None,
                    shown_high=None,
                    shown="moves only",
                    verdict=Verdict.NONE,
                )
            if seen is not None and NEAR_NOUGHT < abs(seen.si) <= stability.ANGLE_MOST:
                moves = _moves(s, pitch, seen, lever)
                inside, wet = (f"{m.mass * 1e3:.1f} g" for m in moves)
                told = f"{inside} inside, or {wet} in the water, {moves[0].end} ({how})"
                one = one.but(
                    moves=moves,
                    why=(*why, f"{_angle_words(pitch, seen.si)}: {told}"),
                    cautions=(LEAD_CAUTION,),
                    actions=(f"move {told}",),
                )
        results.append(one)
    return tuple(results)


def _key_of_angle(name: str, title: str, along: str) -> Callable[[Callable[[Sheet], tuple[Limit, ...]]], Key]:
    return key(
        name,
        title,
        kind="limit",
        sense="band",
        unit="rad",
        display="deg",
        step="none",
        where="tank",
        items="dived · surfaced",
        needs=("boat.motion.righting", "boat.mass", "boat.ballast.volume"),
        formula=(
            f"tan(angle) = moment of the weights {along} / (dived mass x BG)",
            "lead to move = dived mass x BG x tan(angle) / lever; in the water / (1 - rho/11340)",
        ),
        valid="at rest, near neutral, to 60 deg",
        sources=(STATICS, ANGLE_SOURCE),
        reads="angle",
        reading_unit="deg",
    )


@_key_of_angle("trim.pitch", "Pitch at rest", "fore and aft")
def trim_pitch(s: Sheet) -> tuple[Limit, ...]:
    """Pitch allowed, dived and surfaced, and the lead that takes out what is seen."""
    return rests_on(
        s, lambda sheet: _angles(sheet, trim_pitch, True), "motion.righting", "boat.mass", "ballast.volume"
    )


@_key_of_angle("trim.list", "List at rest", "across")
def trim_list(s: Sheet) -> tuple[Limit, ...]:
    """List allowed, dived and surfaced, and the lead that takes out what is seen."""
    return rests_on(
        s, lambda sheet: _angles(sheet, trim_list, False), "motion.righting", "boat.mass", "ballast.volume"
    )
