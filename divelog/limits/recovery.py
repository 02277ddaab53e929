"""How long to wait for her to come up by herself: stopped, ahead and diving, or going astern."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from divelog.limits import water
from divelog.limits.failsafe import excursion
from divelog.limits.model import Limit, Part, Verdict
from divelog.limits.motion_figures import (
    LEAST_TEST_RISE,
    TEST_DEPTH,
    astern,
    balance,
    body,
    rising,
    test_rise,
    timed,
    tip_height,
    way,
)
from divelog.limits.registry import key
from divelog.limits.rounding import judge, text, up, worst
from divelog.limits.sheet import Sheet
from divelog.limits.weed import WEED, weed_month
from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion.excursion import LAG_LENGTHS
from divelog.physics.motion.rising import Blow, Rise, rise_with_blow
from divelog.profiles.document import Basis, Num

STEP = 1.0
LONGEST = {"S": 30.0, "M": 60.0, "L": 120.0}
"""Longest wait by size (common practice, no source)."""

SCALING = 0.15
"""95 % of a time scaled from one depth to another (drag coefficient +/- 30 %)."""

SLOW_BLOW = 1.25
"""A blow at depth against the bench's time (common practice, no source)."""

DRAG_KNOWN = (2e3, 2e5)
"""Rising speed times diameter over viscosity between which the drag coefficient holds."""


@dataclass(frozen=True, slots=True)
class _Law:
    """Time from the loss of signal to the tip out of the water, by height to rise (m)."""

    time: Callable[[float], float]
    u95: Callable[[float, float], float]
    """The ± of the time, from the height and the time."""
    starred: bool
    lines: tuple[str, ...]
    cautions: tuple[str, ...] = ()


def _from_trial(s: Sheet, trial: Num) -> _Law:
    """The stopwatch trial scaled to other depths by the theory of the rise, the blow left out."""
    delay, height = s.of(way).delay.si, s.of(test_rise)
    waited = min(delay, trial.si)
    law = rising(s, balance(s, cautious=False).si)
    cautions = _drag_cautions(s, law)
    if law is None:
        cautions = ("She is heavy today: what brought her up in the trial was her ballast alone.",)

    def ratio(depth: float) -> float:
        if law is None:  # no rise to scale by: as if her speed never grew
            return max(1.0, depth / height)
        return law.time(depth) / law.time(height)

    def time(depth: float) -> float:
        return 0.0 if depth <= 0.0 else waited + (trial.si - waited) * ratio(depth)

    def u95(depth: float, found: float) -> float:
        return math.hypot(trial.u95 * ratio(max(depth, 0.0)), SCALING * (found - trial.si))

    return _Law(time, u95, law is None, (f"Timed {trial.si:.0f} s from {TEST_DEPTH:.1f} m.",), cautions)


def _from_theory(s: Sheet) -> _Law | None:
    """The rise at the low end of today's balance; by a proved blow where she may be heavy; None: nothing lifts her."""
    delay = s.of(way).delay.si
    light = balance(s, cautious=True)
    law = rising(s, light.si)
    if law is not None:
        rises = law

        def time(depth: float) -> float:
            return 0.0 if depth <= 0.0 else delay + rises.time(depth)

        line = (
            f"Nobody has timed her: at {1e3 * light.si:.0f} g light she rises at "
            f"{100 * law.terminal_speed:.0f} cm/s."
        )
        return _Law(time, lambda _d, _t: 0.0, True, (line,), _drag_cautions(s, law))
    return _by_blow(s, light.si, delay)


def _by_blow(s: Sheet, light: float, delay: float) -> _Law | None:
    volume, empties = s.maybe("ballast.volume"), s.maybe("ballast.empty_time")
    proved = s.proof("failsafe_wet").stands and s.flag("ballast.empties_on_failsafe") is not False
    if not proved or volume is None or empties is None:
        return None
    density, her = s.of(water.density).si, s.of(body)
    blow = Blow(density * volume.si, SLOW_BLOW * empties.si, delay)
    if light + blow.mass <= 0.0:
        return None

    def time(depth: float) -> float:
        if depth <= 0.0:
            return 0.0
        return rise_with_blow(depth, light, blow, her.moving_up, density, her.area).time

    line = f"At {1e3 * light:.0f} g she comes up by her ballast alone, {blow.duration:.0f} s to empty."
    return _Law(time, lambda _d, _t: 0.0, True, (line,), ("She sinks until her ballast is out.",))


def _drag_cautions(s: Sheet, law: Rise | None) -> tuple[str, ...]:
    if law is None:
        return ()
    across = law.terminal_speed * s.of(body).hull.diameter / s.of(water.viscosity).si
    low, high = DRAG_KNOWN
    if low <= across <= high:
        return ()
    return ("She rises slower or faster than the drag is known for: time her.",)


@dataclass(frozen=True, slots=True)
class _Times:
    """The three times, s; astern None where the hull is too blunt for the drag formulas."""

    stopped: float
    ahead: float
    astern: float | None
    u95: float
    height: float
    law: _Law

    @property
    def worst(self) -> float:
        return max(t for t in (self.stopped, self.ahead, self.astern) if t is not None)


def _times(s: Sheet) -> _Times | None:
    height = s.num("plan.depth").si - s.of(tip_height)
    trial = s.of(timed)
    law = _from_theory(s) if trial is None else _from_trial(s, trial)
    if law is None:
        return None
    how, lost = s.of(way), s.of(excursion)
    stopped = law.time(height)
    answer = how.plane_time.si + LAG_LENGTHS * how.length / how.speed.si
    deeper = height + lost.si
    ahead = 0.0 if deeper <= 0.0 else law.time(deeper) + answer
    backing: float | None
    try:
        back = s.of(astern)
        backing = 0.0 if height + back.depth <= 0.0 else law.time(height + back.depth) + back.time
    except OutOfRangeError:  # too blunt a hull for the drag: the two others stand
        backing = None
    return _Times(stopped, ahead, backing, law.u95(height, stopped), height, law)


@key(
    "recovery.time_to_surface",
    "Up by herself",
    kind="limit",
    sense="max",
    unit="s",
    display="s",
    step="1 s up",
    where="pond",
    needs=(
        "boat.motion.time_up",
        "boat.dived_balance",
        "today.plan.depth",
        "boat.radio.tip_above_deck",
        "boat.radio.failsafe_delay",
    ),
    formula=(
        "delay + tau arcosh(exp(height / (terminal speed times tau))) for the height from keel plan to tip",
        "a trial from 0.5 m, scaled by that law, replaces it; ahead: from the depth lost, and the boat's lag; "
        "astern: from the depth lost backing",
        "at most 30, 60, 120 s for a small, middle, large boat",
    ),
    valid="heights of 0.05 to 6 m, no weed, no mud, no motor, no planes",
    sources=(
        "integral of rising against quadratic drag",
        "Lamb 1932; Imlay 1961 (added mass of a spheroid)",
        "longest waits and drag coefficient 1.2: common practice, no source",
    ),
    reads="time",
    reading_unit="s",
)  # fmt: skip
def recovery_time(s: Sheet) -> Limit:
    """Longest time until her tip is out, going ahead, stopped or astern."""
    most = LONGEST[s.size]
    new = recovery_time.new().but(high=most, shown_high=most, shown=text(most, "s", "time", STEP))
    shallow = s.stated("motion.time_up") is not None and s.of(timed) is None
    found = s.of(_times)
    if found is None:
        return _stays_down(new)
    slowest, law = found.worst, found.law
    star = "*" if law.starred else ""
    shown = up(slowest + found.u95, STEP)
    reckoned = Num(slowest, found.u95, Basis.ASSUMED)
    trial = s.reading("recovery.time_to_surface")
    verdict = judge(reckoned, None, most)
    if trial is not None:
        verdict = worst(verdict, judge(trial, None, most))
    return new.but(
        value=slowest,
        u95=found.u95,
        starred=law.starred,
        reading=trial or reckoned,
        reading_text=f"{trial.si:.0f} s" if trial is not None else f"{shown:.0f} s{star}",
        verdict=verdict,
        parts=_parts(found, star),
        why=_why(s, found, shown),
        cautions=(
            *law.cautions,
            *((_DEEPER,) if shallow else ()),
            *((WEED,) if s.of(weed_month) else ()),
            "Weed, mud or a line holds her longer than any figure. Nobody goes in after a boat.",
        ),
        actions=()
        if verdict is Verdict.WITHIN
        else ("plan a shallower keel", "take lead out", "time her from 0.5 m"),
    )


_DEEPER = f"In the trial her tip rose less than {LEAST_TEST_RISE:.1f} m: time her again from deeper."


def _parts(found: _Times, star: str) -> tuple[Part, ...]:
    def part(name: str, seconds: float) -> Part:
        return Part(name, seconds, found.u95, f"{up(seconds + found.u95, STEP):.0f} s{star}")

    listed = [part("ahead", found.ahead), part("stopped", found.stopped)]
    if found.astern is not None:
        listed.append(part("astern", found.astern))
    wait = 2.0 * up(found.worst + found.u95, STEP)
    return (*listed, Part("wait", wait, 0.0, f"{wait:.0f} s{star}"))


def _why(s: Sheet, found: _Times, shown: float) -> tuple[str, ...]:
    plan = s.num("plan.depth").si
    if found.height <= 0.0:
        first = f"At {plan:.1f} m her tip is out of the water: she is seen."
    else:
        first = f"From {plan:.1f} m she has {found.height:.2f} m to rise"
        if s.of(timed) is not None:
            first += f" instead of {s.of(test_rise):.2f}"
        first += f": {found.stopped:.0f} s stopped, {found.ahead:.0f} s if she is driving down when the signal goes"
        first += f", {found.astern:.0f} s if she is backing." if found.astern is not None else "."
    return (*found.law.lines, first, f"Wait twice {shown:.0f} s before you worry.")


def _stays_down(new: Limit) -> Limit:
    return new.but(
        reading_text="will not come up by herself",
        remark="will not come up by herself",
        verdict=Verdict.OUTSIDE,
        why=("At the low end of its ± nothing lifts her, and no emptying of the ballast has been proved.",),
        cautions=("She will not come up by herself: keep her where a hook reaches her.",),
        actions=("take lead out until she floats up by herself", "prove the failsafe from half a metre"),
    )
