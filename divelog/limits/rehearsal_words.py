"""What a rehearsal says: how deep, when up, whether a signal reaches her, and what to know about it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from divelog.limits.rehearsal_figures import ASTERN, HELD, MISSING, STICK_OVER, CaseWords, Figures, acts_in
from divelog.limits.rounding import down, up
from divelog.limits.sheet import Sheet
from divelog.physics.motion.rehearsal import Boat2D, End, Rehearsed
from divelog.physics.motion.vertical_plane import backing_swing
from divelog.profiles.document import Num

OFF_STEP = 0.1
TURNED = 0.5
"""A turn sooner than this is not worth a word, s."""

NOBODY = "Nobody goes in after a boat."


def deepest_words(
    s: Sheet,
    path: Rehearsed,
    deepest: Num,
    lowest: Num,
    bottom: Num | None,
    most: float | None,
) -> str:
    """How deep, and how far off the bed the lower end stays at the end of its ±; ``most`` keeps its distance."""
    if path.end is End.STAYS_DOWN:
        return f"Not up within ten minutes; deepest {path.deepest:.2f} m"
    if path.end is End.TOO_DEEP:
        return f"Goes below {path.deepest:.0f} m and does not come back"
    if path.touched is not None:
        where = "and stays there" if path.end is End.ON_BOTTOM else f"at {path.lowest:.1f} m"
        return f"Touches the bottom after {path.touched:.0f} s {where}"
    first = f"Deepest {deepest.si:.2f} m"
    if deepest.u95 >= 0.005:
        first += f", give or take {deepest.u95:.2f}"
    if bottom is None or most is None:
        return f"{first}; the bottom is not known"
    off = bottom.si - lowest.si - lowest.u95
    if lowest.si > most:
        kept = s.num("my_limits.over_bottom").si
        return f"{first}; nearer the bed than {kept:.1f} m"
    return f"{first}; {max(0.0, down(off, OFF_STEP)):.1f} m off the bed"


def time_words(path: Rehearsed, surfaced: Num | None, longest: float) -> str:
    """When she turns up and when she is seen; ``longest`` is as long as that should take."""
    if surfaced is None:
        return "the motor runs on, or nothing lifts her"
    up_at = f"at the surface after {surfaced.si:.0f} s, "
    most = surfaced.si + surfaced.u95
    up_at += "not surely" if math.isinf(most) else f"at most {up(most, 1.0):.0f}"
    if longest < most < math.inf:
        return f"{up_at}; {longest:.0f} s is long enough"
    return up_at if path.turns_up <= TURNED else f"turns up after {path.turns_up:.0f} s, {up_at}"


def reach_words(
    plan: float, deepest: Num, under: Sequence[float], all_of_it: bool, aerial: float | None, end: End
) -> str:
    """How far under the plan, and when she is too deep for a signal: ``under`` holds those moments, s."""
    below = deepest.si - plan
    first = "never below the plan" if below < 0.005 else f"{below:.2f} m below the plan"
    if aerial is None:
        return f"{first}; where the aerial goes is not known"
    if not under:
        return f"{first}; above {aerial:.1f} m a signal still reaches her"
    if all_of_it:
        return f"{first}; no signal reaches her below {aerial:.1f} m"
    if end is not End.SURFACED:
        return f"{first}; from {under[0]:.0f} s on no signal reaches her"
    return f"{first}; from {under[0]:.0f} to {under[-1]:.0f} s no signal reaches her"


def cautions(
    s: Sheet, one: Figures, which: CaseWords, boat: Boat2D, path: Rehearsed, trial: Num | None
) -> tuple[str, ...]:
    """What to know about it, the gravest first."""
    lines: list[str] = []
    if path.end is not End.SURFACED:
        lines.append(NOBODY)
    if which is ASTERN:
        if backing_swing(boat, one.speed / 2.0) >= 1.0:
            lines.append("Backing this fast she does not keep her angle: back slower, or at the surface.")
        else:
            lines.append("Backing, the planes tilt her the other way: nothing is counted of them.")
    if which is STICK_OVER:
        lines.append("Ease the dive stick near the bottom.")
    if not path.kept:
        angle = math.degrees(one.angle)
        lines.append(
            f"Her planes cannot hold {angle:.0f} deg at {one.speed:.2f} m/s: she leaves it by herself."
        )
    if which not in (HELD, MISSING) and not all(
        s.proof(p).stands for p in ("failsafe_bench", "failsafe_wet")
    ):
        lines.append("It counts on her failsafe, which is still to prove.")
    lines.extend(acts_in(s, which).cautions)
    if path.end is End.SURFACED and trial is None:
        lines.append("Nobody has timed her coming up: the rise is worked out alone.")
    return tuple(dict.fromkeys(lines))
