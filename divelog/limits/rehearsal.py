"""The rehearsal before the loss: her path after the signal goes, its ±, and how it stands to bottom, aerial and plan.

Not a limit: the limits stay with the bounds, which lie outside this. It shows what they are about.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from divelog.limits import rehearsal_words as words
from divelog.limits.failsafe_acts import acts
from divelog.limits.model import Input, Verdict
from divelog.limits.motion_figures import timed
from divelog.limits.radio import radio_term
from divelog.limits.recovery import LONGEST
from divelog.limits.refusal import in_words
from divelog.limits.rehearsal_figures import (
    CASES,
    CaseWords,
    Figures,
    acts_in,
    case_named,
    figures,
    stretch,
)
from divelog.limits.rounding import down, judge, rss, worst
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.physics.motion.rehearsal import Boat2D, End, Rehearsed, rehearse
from divelog.profiles.document import Basis, Num

__all__ = ["CASES", "SOURCE", "Moment", "Rehearsal", "assumed", "case_named", "work_out"]

MOMENTS = 100
LIMIT_STEP = 0.05
SOURCE = (
    "Lamb 1932 (moving body, added mass); Prestero 2001, MIT thesis (parts of a measured vehicle)",
    "planes, throw, tail arm and drag of the whole boat: common practice, no source",
)


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of the path: s, m of the keel amidships, rad bow up, m/s through the water, and the depth's ±."""

    time: float
    depth: float
    pitch: float
    speed: float
    u95: float


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """One case worked out; `path` is empty where something is missing.

    deepest: keel amidships; lowest: the lower end of the hull; both m with ±. turns_up: s. surfaced: s with ±,
    until the highest tip is out, or None. touched: s until the bottom, or None. most: deepest for the lower end
    that keeps its distance, m. aerial: keel depth where the signal no longer reaches her, m.
    """

    case: CaseWords
    does: str
    verdict: Verdict
    sentences: tuple[str, ...]
    """Deepest; times; aerial and plan."""
    cautions: tuple[str, ...] = ()
    path: tuple[Moment, ...] = ()
    deepest: Num | None = None
    lowest: Num | None = None
    turns_up: float | None = None
    surfaced: Num | None = None
    touched: float | None = None
    ends: str = ""
    plan: float | None = None
    tip: float | None = None
    bottom: float | None = None
    most: float | None = None
    aerial: float | None = None
    inputs: tuple[Input, ...] = ()
    missing: tuple[str, ...] = ()


def work_out(s: Sheet, which: CaseWords) -> Rehearsal:
    """One case on a sheet; what is missing or refused becomes a rehearsal in words. Worked out once a sheet."""
    found, inputs = s.recorded(lambda sheet: sheet.of(rehearsal, which))
    if isinstance(found, UnknownError | NotFittedError):
        missing = found.missing if isinstance(found, UnknownError) else ()
        because = found.because or "needs " + ", ".join(_plain(path) for path in missing)
        return Rehearsal(which, "", Verdict.UNKNOWN, (because,), inputs=inputs, missing=missing)
    return replace(found, inputs=inputs)


def _plain(path: str) -> str:
    return path.split(".", 1)[-1].replace("_", " ").replace(".", " ")


@dataclass(frozen=True, slots=True)
class _Ran:
    """A path with its rise stretched to the stopwatch."""

    path: Rehearsed
    boat: Boat2D
    start: float
    """When the stretched part begins, s."""
    factor: float

    def late(self, time: float) -> float:
        """A time of the reckoning as the stopwatch would have it."""
        return time if time <= self.start else self.start + self.factor * (time - self.start)

    def early(self, time: float) -> float:
        """The other way round."""
        return time if time <= self.start else self.start + (time - self.start) / self.factor

    def depth_at(self, time: float) -> float:
        return self.path.depth_at(self.early(time))

    @property
    def surfaced(self) -> float | None:
        return None if self.path.surfaced is None else self.late(self.path.surfaced)

    @property
    def end(self) -> float:
        return self.late(self.path.points[-1].time)


def _ran(s: Sheet, one: Figures, which: CaseWords, trial: Num | None) -> _Ran:
    does = acts_in(s, which)
    boat = one.boat()
    path = rehearse(boat, one.case(which, does))
    factor = None
    if trial is not None and path.surfaced is not None:
        factor = stretch(boat, one, s.of(acts), trial)
    return _Ran(path, boat, max(path.turns_up, one.delay), 1.0 if factor is None else factor)


@in_words
def rehearsal(s: Sheet, which: CaseWords) -> Rehearsal:
    """One case, worked out; raises UnknownError."""
    base, ends = s.of(figures)
    trial = s.of(timed)
    does = acts_in(s, which)
    ran = _ran(s, base, which, trial)
    others = [_ran(s, moved.figures, which, trial) for moved in ends]
    path, found = ran.path, [other.path for other in others]
    deepest = Num(path.deepest, rss(*(o.deepest - path.deepest for o in found)))
    lowest = Num(path.lowest, rss(*(o.lowest - path.lowest for o in found)))
    watch = _watch(base, ran, trial)
    surfaced = _surfaced(ran, others, watch)
    band = _band(ran, others, watch)
    bottom, most = _bottom(s, base)
    aerial = _aerial(s)
    under = [] if aerial is None else [m.time for m in band if m.depth + m.u95 > aerial]
    verdict = _verdict(s, path, lowest, surfaced, found, most)
    missing = () if bottom is not None else (s.facts.canonical("site.bottom"),)
    return Rehearsal(
        case=which,
        does=does.words,
        verdict=verdict,
        sentences=(
            words.deepest_words(s, path, deepest, lowest, bottom, most),
            words.time_words(path, surfaced, LONGEST[s.size]),
            words.reach_words(base.depth, deepest, under, len(under) == len(band), aerial, path.end),
        ),
        cautions=words.cautions(s, base, which, ran.boat, path, trial),
        path=band,
        deepest=deepest,
        lowest=lowest,
        turns_up=path.turns_up,
        surfaced=surfaced,
        touched=path.touched,
        ends=path.end.value,
        plan=base.depth,
        tip=base.tip,
        bottom=None if bottom is None else bottom.si,
        most=most,
        aerial=aerial,
        missing=missing,
    )


# -- ± --------------------------------------------------------------------------------------------------------------


def _watch(one: Figures, ran: _Ran, trial: Num | None) -> float:
    """95 % of the stretched part's factor, relative: the stopwatch's own."""
    if trial is None or ran.factor == 1.0:
        return 0.0
    return trial.u95 / (trial.si - one.delay)


def _surfaced(ran: _Ran, others: Sequence[_Ran], watch: float) -> Num | None:
    """Time to the surface; its ± is infinite where one input at its worse end keeps her down."""
    at = ran.surfaced
    if at is None:
        return None
    moved = [other.surfaced for other in others]
    if any(m is None for m in moved):
        return Num(at, math.inf)
    return Num(at, rss(*(m - at for m in moved if m is not None), watch * (at - ran.start)))


def _band(ran: _Ran, others: Sequence[_Ran], watch: float) -> tuple[Moment, ...]:
    """The path in even moments and where it is deepest, with the ± of its depth."""
    end = ran.end
    times = sorted({*(end * n / MOMENTS for n in range(MOMENTS + 1)), min(ran.path.turns_up, end)})
    points = ran.path.points
    moments, n = [], 0
    for time in times:
        own = ran.early(time)
        while n + 2 < len(points) and points[n + 1].time < own:
            n += 1
        a, b = points[n], points[min(n + 1, len(points) - 1)]
        share = min(1.0, max(0.0, (own - a.time) / (b.time - a.time))) if b.time > a.time else 1.0
        depth = ran.depth_at(time)
        spread = [other.depth_at(time) - depth for other in others]
        slip = watch * max(0.0, time - ran.start)
        spread.append(ran.depth_at(max(0.0, time - slip)) - depth)
        slow = ran.factor if own > ran.start else 1.0
        moments.append(
            Moment(
                time,
                depth,
                a.pitch + share * (b.pitch - a.pitch),
                (a.speed + share * (b.speed - a.speed)) / slow,
                rss(*spread),
            )
        )
    return tuple(moments)


# -- against bottom, aerial, plan -----------------------------------------------------------------------------------


def _bottom(s: Sheet, one: Figures) -> tuple[Num | None, float | None]:
    """The bottom, and the deepest her lower end may go to keep off it."""
    if one.bottom is None:
        return None, None
    bottom, over = s.num("site.bottom"), s.num("my_limits.over_bottom")
    return bottom, max(0.0, down(bottom.si - rss(bottom.u95, over.u95) - over.si, LIMIT_STEP))


def _aerial(s: Sheet) -> float | None:
    try:
        return s.of(radio_term).value
    except (UnknownError, NotFittedError):
        return None


def _verdict(
    s: Sheet,
    path: Rehearsed,
    lowest: Num,
    surfaced: Num | None,
    others: Sequence[Rehearsed],
    most: float | None,
) -> Verdict:
    if path.end is not End.SURFACED or path.touched is not None:
        return Verdict.OUTSIDE
    if most is None:
        return Verdict.UNKNOWN
    found = worst(judge(lowest, None, most), judge(surfaced, None, LONGEST[s.size]))
    stays = any(other.end is not End.SURFACED or other.touched is not None for other in others)
    return worst(found, Verdict.TOO_CLOSE) if stays else found


def assumed(found: Rehearsal) -> int:
    """How many of its inputs are assumed."""
    return sum(one.basis is Basis.ASSUMED for one in found.inputs)
