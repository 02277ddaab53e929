"""How much depth is lost before she turns up, and what that leaves over the bottom."""

from __future__ import annotations

import math

from divelog.limits import water
from divelog.limits.model import Limit, Part, Term, Verdict
from divelog.limits.motion_figures import (
    Way,
    astern,
    depth_lost,
    plain,
    way,
    worst_basis,
)
from divelog.limits.registry import key
from divelog.limits.rounding import rss, text, up
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion import excursion as physics
from divelog.physics.motion.drag import TESTED_REYNOLDS, reynolds
from divelog.profiles.document import Basis, Num

DEPTH_STEP = 0.05
STEADY, STICK_OVER, ASTERN = "steady", "dive stick over", "astern"
PHASES = (
    "kinematics of waiting, planes travelling, boat answering; lag of 1.5 lengths, common practice, no source"
)


def excursion(s: Sheet) -> Num:
    """Depth lost in a steady dive before she turns up, the hull's tilt inside it, m."""
    return depth_lost(s.of(way), planes_over=False)


def stick_over(s: Sheet) -> Num | None:
    """The same with the dive stick over when the signal goes; None for a receiver that fails safe at once."""
    if s.word("radio.on_loss") == "failsafe at once":
        return None
    return depth_lost(s.of(way), planes_over=True)


def bottom_term(s: Sheet) -> Term:
    """Deepest keel that stays off the bottom when the signal goes: bottom - what is kept - depth lost."""
    bottom, over, lost = s.num("site.bottom"), s.num("my_limits.over_bottom"), s.of(excursion)
    value, u95 = bottom.si - over.si - lost.si, rss(bottom.u95, over.u95, lost.u95)
    return Term(
        "bottom",
        value,
        u95,
        basis=worst_basis((bottom.basis, over.basis, lost.basis)),
        why=(
            f"Bottom {bottom.si:.1f} m, {over.si:.1f} kept, {lost.si:.2f} lost before she turns up: "
            f"{value:.2f} m, give or take {u95:.2f}"
        ),
        source=PHASES,
    )


@key(
    "failsafe.excursion",
    "Depth lost before she turns up",
    kind="estimate",
    sense="estimate",
    unit="m",
    display="m",
    step="0.05 m up",
    where="tank",
    items="steady · dive stick over · astern",
    needs=(
        "boat.motion.cruise",
        "boat.radio.failsafe_delay",
        "boat.controls.plane_time",
        "today.plan.dive_angle",
    ),
    formula=(
        "steady: V sin(g) (delay + plane time) + 1.5 lengths times the angle, or the hull's lowest end, the larger",
        "a quarter more from 18 deg or a Froude number of 0.45 up",
        "dive stick over: the path bends down on an arc of two lengths while the receiver waits",
        "astern: bow up at half cruise, motor stopped, coasting against her buoyancy",
    ),
    valid="ahead from 0.05 m/s, dives to 45 deg",
    sources=(PHASES, "Prestero 2001, MIT thesis: coefficients of the simulation the bound stands against"),
)
def failsafe_excursion(s: Sheet) -> tuple[Limit, ...]:
    """Depth lost, by what she was doing when the signal went."""
    how, lost, over = s.of(way), s.of(excursion), s.of(stick_over)
    found = [_depth_limit(STEADY, lost, _steady_why(how, how.phases(), lost, over))]
    if over is not None:
        found.append(_stick_over_limit(how, over))
    found.append(_astern_limit(s, how))
    return tuple(found)


def _depth_limit(item: str, lost: Num, why: tuple[str, ...]) -> Limit:
    shown = up(lost.si + lost.u95, DEPTH_STEP)
    return failsafe_excursion.new(item).but(
        value=lost.si,
        u95=lost.u95,
        shown_high=shown,
        shown=text(shown, "m", "length", DEPTH_STEP),
        basis=lost.basis,
        why=why,
    )


def _steady_why(how: Way, phases: physics.Excursion, lost: Num, over: Num | None) -> tuple[str, ...]:
    lines = [
        f"Signal lost at {plain(how.speed.si)} m/s, {math.degrees(how.dive_angle.si):.0f}° down: "
        f"{how.delay.si:.1f} s of waiting is {100 * phases.waiting:.0f} cm, planes moving "
        f"{100 * phases.travelling:.0f}, turning up at most {100 * phases.turning:.0f}: "
        f"{lost.si:.2f} m, {up(lost.si + lost.u95, DEPTH_STEP):.2f} with its ±."
    ]
    if phases.allowance > 1.0:
        lines.append("So steep or so fast a quarter more is reckoned: she answers later than she seems to.")
    if over is not None:
        lines.append(
            f"With the dive stick over when it goes: allow {up(over.si + over.u95, DEPTH_STEP):.1f} m."
        )
    return tuple(lines)


def _stick_over_limit(how: Way, over: Num) -> Limit:
    phases = how.phases(planes_over=True)
    found = _depth_limit(
        STICK_OVER,
        over,
        (
            f"The receiver holds the dive for {how.delay.si:.1f} s: she bends down to "
            f"{math.degrees(phases.angle):.0f}° and loses at most {over.si:.2f} m.",
            "At most: her righting moment ends a slow boat's dive sooner.",
        ),
    )
    return found.but(
        remark="at most",
        cautions=("Ease the dive stick near the bottom, or go shallower.",),
    )


_ASTERN = "Going astern the planes tilt her the other way: plan it only with room below, or at the surface."
_SLOW = "She backs slower than the drag lines were tested for: the depth is a rough one."


def _too_slow(s: Sheet, how: Way) -> bool:
    number = reynolds(how.speed.si / 2.0, how.length, s.of(water.viscosity).si)
    return number < TESTED_REYNOLDS[0]


def _astern_limit(s: Sheet, how: Way) -> Limit:
    new = failsafe_excursion.new(ASTERN)
    try:
        lost = s.of(astern)
    except UnknownError as error:
        return new.but(
            shown="unknown",
            verdict=Verdict.UNKNOWN,
            missing=error.missing,
            remark=error.because,
            basis=Basis.MISSING,
            actions=tuple(f"write down {path}" for path in error.missing),
        )
    except OutOfRangeError as error:
        return new.but(
            shown="unknown",
            verdict=Verdict.UNKNOWN,
            remark=str(error),
            basis=Basis.MISSING,
            why=(str(error),),
        )
    found = _depth_limit(
        ASTERN,
        Num(lost.depth, 0.0, how.basis),
        (
            f"Backing at {plain(how.speed.si / 2.0)} m/s with the bow {math.degrees(how.dive_angle.si):.0f}° up: "
            f"{lost.depth:.2f} m down, {lost.time:.1f} s after the motor stops; no help from the planes.",
        ),
    )
    return found.but(
        parts=(Part("time", lost.time, 0.0, f"{lost.time:.1f} s"),),
        cautions=(_ASTERN, *((_SLOW,) if _too_slow(s, how) else ())),
    )
