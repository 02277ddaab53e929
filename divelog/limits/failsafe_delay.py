"""How long the failsafe may take: by the room under her, by the bench rule, and with the dive stick over."""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog.limits.failsafe import PHASES, STICK_OVER, stick_over
from divelog.limits.model import Limit, Verdict
from divelog.limits.motion_figures import STEEPEST_KNOWN, Way, moved, plain, room, way
from divelog.limits.registry import key
from divelog.limits.rounding import down, judge, rss, text, up
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics.motion.excursion import SLOWEST
from divelog.physics.motion.room import longest_delay, longest_delay_planes_over
from divelog.profiles.document import Num

STEP = 0.1
BENCH_RULE = 3.0
"""Longest delay at the bench, whatever the room (common practice, no source)."""

NUISANCE = 0.5
"""Below this, ordinary short drop-outs trip the failsafe (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class _Longest:
    """Longest delay the room allows (s, may be below nought); None where it does not limit."""

    value: float
    u95: float


def _longest(s: Sheet) -> _Longest | None:
    how, under = s.of(way), s.of(room)
    kept = how.allowance
    angle, spread = how.dive_angle.si, how.dive_angle.u95
    if angle == 0.0:  # a level plan still wanders: reckoned at its ±
        angle, spread = spread, 0.0
    if angle == 0.0:
        return None if under.si >= under.u95 else _Longest(0.0, 0.0)  # level, but nothing under her

    def longest(
        r: float = under.si, v: float = how.speed.si, g: float = angle, t: float = how.plane_time.si
    ) -> float:
        return longest_delay(r / kept, v, g, t, how.length)

    least = math.radians(0.05)
    parts = (
        moved(lambda v: longest(v=v), how.speed.si, how.speed.u95, SLOWEST, 50.0, -1.0),
        moved(lambda g: longest(g=g), angle, spread, min(least, angle), STEEPEST_KNOWN, -1.0),
        moved(lambda t: longest(t=t), how.plane_time.si, how.plane_time.u95, 0.0, math.inf, -1.0),
        moved(lambda r: longest(r=r), under.si, under.u95, -math.inf, math.inf, -1.0),
    )
    return _Longest(longest(), rss(*parts))


@key(
    "failsafe.delay",
    "Failsafe delay",
    kind="limit",
    sense="max",
    unit="s",
    display="s",
    step="0.1 s down",
    where="bench",
    items="the delay · dive stick over",
    needs=(
        "site.bottom",
        "today.plan.depth",
        "boat.motion.cruise",
        "boat.radio.failsafe_delay",
        "today.plan.dive_angle",
    ),
    formula=(
        "(room - V sin(g) plane time - 1.5 lengths times the angle) / (V sin(g)), room = bottom - plan - kept over it",
        "never over 3.0 s, the bench rule; under 0.5 s no delay is both short enough and long enough",
    ),
    valid="ahead from 0.05 m/s, dives to 45 deg",
    sources=(PHASES, "3.0 s at the bench and 0.5 s of nuisance: common practice, no source"),
    reads="time",
    reading_unit="s",
)
def failsafe_delay(s: Sheet) -> tuple[Limit, ...]:
    """Longest delay that keeps her off the bottom, and the same with the dive stick over."""
    reading = s.reading("failsafe.delay") or s.stated("radio.failsafe_delay")
    try:
        main = _delay_limit(s, s.of(_longest), reading)
    except UnknownError as error:
        main = _bench_rule_alone(reading, error.missing)
        return (main,)
    over = _delay_stick_over(s, reading)
    return (main,) if over is None else (main, over)


def _bench_rule_alone(reading: Num | None, missing: tuple[str, ...]) -> Limit:
    return failsafe_delay.new().but(
        high=BENCH_RULE,
        shown_high=BENCH_RULE,
        shown=text(BENCH_RULE, "s", "time", STEP),
        missing=missing,
        binds=("bench rule",),
        reading=reading,
        remark="bench rule, room below not known",
        why=("Nobody has written how much room there is below her: the bench rule of 3 s stands alone.",),
        actions=tuple(f"write down {path}" for path in missing),
    )


def _delay_limit(s: Sheet, longest: _Longest | None, reading: Num | None) -> Limit:
    how = s.of(way)
    safe = math.inf if longest is None else longest.value - longest.u95
    shown = BENCH_RULE if safe >= BENCH_RULE else down(max(safe, 0.0), STEP)
    too_short = safe < NUISANCE
    binds, beyond = _binding(longest, safe)
    verdict = Verdict.OUTSIDE if too_short else judge(reading, None, shown)
    return failsafe_delay.new().but(
        high=BENCH_RULE if longest is None else longest.value,
        u95=0.0 if longest is None else longest.u95,
        shown_high=shown,
        shown=text(shown, "s", "time", STEP),
        binds=binds,
        next=beyond,
        reading=reading,
        verdict=verdict,
        remark="go shallower, slower or flatter" if too_short else ", ".join(binds),
        why=_delay_why(s, how, longest, reading, too_short),
        actions=_delay_actions(verdict, too_short),
    )


def _binding(longest: _Longest | None, safe: float) -> tuple[tuple[str, ...], str]:
    """What binds, by safe ends, and what is next; both are named where they lie within the room's ±."""
    if longest is None:
        return ("bench rule",), ""
    if safe >= BENCH_RULE:
        return ("bench rule",), f"bottom {down(safe, STEP):.1f}"
    if longest.value + longest.u95 >= BENCH_RULE:
        return ("bottom", "bench rule"), ""
    return ("bottom",), f"bench rule {BENCH_RULE:.1f}"


def _delay_why(
    s: Sheet, how: Way, longest: _Longest | None, reading: Num | None, too_short: bool
) -> tuple[str, ...]:
    speed, angle = plain(how.speed.si), math.degrees(how.dive_angle.si)
    first = f"{s.of(room).si:.1f} m under the keel at {speed} m/s, {angle:.0f}° down"
    lines = []
    if longest is None:
        lines.append(f"{first}: on a level path the delay does not limit; 3.0 s is the bench rule.")
    elif longest.value < 0.0:
        lines.append(f"{first}: she is on the bottom however soon the failsafe acts.")
    else:
        lines.append(
            f"{first}: the failsafe may take up to {longest.value:.1f} s, give or take {longest.u95:.1f}."
        )
    if too_short:
        lines.append("No delay is both short enough and long enough: go shallower, slower or flatter.")
    if reading is not None:
        lines.append(f"Hers takes {reading.si:.1f} s. Two delays add: receiver and failsafe module.")
    return tuple(lines)


def _delay_actions(verdict: Verdict, too_short: bool) -> tuple[str, ...]:
    if too_short:
        return ("plan a shallower keel", "go slower", "dive flatter")
    if verdict is Verdict.NO_READING:
        return ("time it: transmitter off at the bench, to the first movement",)
    if verdict is Verdict.WITHIN:
        return ()
    return ("set a shorter delay", "plan a shallower keel", "time it again, ten times")


def _delay_stick_over(s: Sheet, reading: Num | None) -> Limit | None:
    over = s.of(stick_over)
    if over is None:
        return None
    how, under = s.of(way), s.of(room)
    kept = how.allowance
    longest = longest_delay_planes_over(
        under.si / kept, how.speed.si, how.dive_angle.si, how.plane_time.si, how.length
    )
    new = failsafe_delay.new(STICK_OVER).but(
        kind="estimate",
        verdict=Verdict.NONE,
        reading=reading,
        remark="at most",
    )
    caution = f"Ease the dive stick before the last {up(over.si, 0.5):.1f} m over the bottom."
    if longest is None:
        return new.but(
            value=0.0,
            shown="none",
            cautions=(caution,),
            why=("With the dive stick over no delay is short enough to stay off the bottom.",),
        )
    shown = min(BENCH_RULE, down(longest, STEP))
    short = reading is not None and reading.si > longest
    return new.but(
        value=longest,
        shown_high=shown,
        shown=text(shown, "s", "time", STEP),
        cautions=(caution,) if short else (),
        why=(
            f"With the dive stick over when the signal goes: {shown:.1f} s at most. "
            "Her righting moment gives more; this is the worst.",
        ),
    )
