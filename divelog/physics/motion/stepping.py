"""Steps through a system of ordinary differential equations, with the step chosen by its own error.

Source: Dormand & Prince, A family of embedded Runge-Kutta formulae, J. Comput. Appl. Math. 6 (1980),
formula 5(4), 7 stages, the last the first of the next step; step control of Hairer, Norsett & Wanner,
Solving Ordinary Differential Equations I, section II.4.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.roots import crossing
from divelog.physics.si import Ratio, Seconds

State = tuple[float, ...]
Law = Callable[[Seconds, Sequence[float]], State]
"""Rates of a state at a time; called very often, so it takes and gives plain tuples."""

_SAFETY, _SHRINK, _GROW = 0.9, 0.2, 5.0
_LEAST_STEP: Seconds = 1e-9


@dataclass(frozen=True, slots=True)
class Leap:
    """One accepted step: times (s), states and rates at both ends."""

    start: Seconds
    end: Seconds
    before: State
    after: State
    rate_before: State
    rate_after: State


def step(law: Law, t: Seconds, y: Sequence[float], k1: State, h: Seconds) -> tuple[State, State, State]:
    """One step of the fifth-order formula: the new state, its rates, and the error of each part.

    k1: the rates at (t, y). h: the step, s.
    """
    k2 = law(t + h / 5, [a + h * b / 5 for a, b in zip(y, k1, strict=True)])
    k3 = law(t + 0.3 * h, [a + h * (3 / 40 * b + 9 / 40 * c) for a, b, c in zip(y, k1, k2, strict=True)])
    k4 = law(
        t + 0.8 * h,
        [a + h * (44 / 45 * b - 56 / 15 * c + 32 / 9 * d) for a, b, c, d in zip(y, k1, k2, k3, strict=True)],
    )
    k5 = law(
        t + 8 / 9 * h,
        [
            a + h * (19372 / 6561 * b - 25360 / 2187 * c + 64448 / 6561 * d - 212 / 729 * e)
            for a, b, c, d, e in zip(y, k1, k2, k3, k4, strict=True)
        ],
    )
    k6 = law(
        t + h,
        [
            a + h * (9017 / 3168 * b - 355 / 33 * c + 46732 / 5247 * d + 49 / 176 * e - 5103 / 18656 * f)
            for a, b, c, d, e, f in zip(y, k1, k2, k3, k4, k5, strict=True)
        ],
    )
    after = tuple(
        a + h * (35 / 384 * b + 500 / 1113 * d + 125 / 192 * e - 2187 / 6784 * f + 11 / 84 * g)
        for a, b, d, e, f, g in zip(y, k1, k3, k4, k5, k6, strict=True)
    )
    k7 = law(t + h, after)
    error = tuple(
        h * (71 / 57600 * b - 71 / 16695 * d + 71 / 1920 * e - 17253 / 339200 * f + 22 / 525 * g - k / 40)
        for b, d, e, f, g, k in zip(k1, k3, k4, k5, k6, k7, strict=True)
    )
    return after, k7, error


def leaps(
    law: Law, start: Seconds, end: Seconds, state: State, tolerance: Ratio, longest: Seconds
) -> Iterator[Leap]:
    """Accepted steps from `start` to `end` (s), each within `tolerance` of every part or of 1, the larger.

    longest: no step is longer, s. Raises `OutOfRangeError` if the steps shrink to nothing.
    """
    t, y = start, state
    k1 = law(t, y)
    h = min(longest, end - start, 0.05)
    while end - t > _LEAST_STEP:
        h = min(h, longest, end - t)
        after, k7, error = step(law, t, y, k1, h)
        size = max(abs(e) / max(1.0, abs(a)) for e, a in zip(error, after, strict=True)) / tolerance
        if size <= 1.0:
            done = end if end - (t + h) <= _LEAST_STEP else t + h
            yield Leap(t, done, y, after, k1, k7)
            t, y, k1 = done, after, k7
        elif not math.isfinite(size) or h <= _LEAST_STEP:
            raise OutOfRangeError("The motion runs away: a figure of the boat does not belong to a boat.")
        h *= min(_GROW, max(_SHRINK, _SAFETY * size**-0.2)) if size > 0.0 else _GROW


def within(law: Law, leap: Leap, when: Callable[[Sequence[float]], float]) -> tuple[Seconds, State]:
    """Time and state inside a step at which `when` comes to nought from its sign at the step's start.

    `when` takes a state and changes its sign within the step. Found with steps of the same order, so to
    their accuracy.
    """

    def at(h: Seconds) -> State:
        return step(law, leap.start, leap.before, leap.rate_before, h)[0]

    h = crossing(lambda part: when(at(part)), 0.0, leap.end - leap.start)
    return leap.start + h, at(h)
