"""Cubics between two moments of which value and rate are known."""

import math


def cubic(y0: float, r0: float, y1: float, r1: float, span: float, at: float) -> float:
    """The cubic through two values with their rates, `at` after the first (Hermite)."""
    if span <= 0.0:
        return y1
    s = at / span
    return (
        (1.0 + 2.0 * s) * (1.0 - s) ** 2 * y0
        + s * (1.0 - s) ** 2 * span * r0
        + s * s * (3.0 - 2.0 * s) * y1
        + s * s * (s - 1.0) * span * r1
    )


def crest(y0: float, r0: float, y1: float, r1: float, span: float) -> tuple[float, float]:
    """Greatest value of that cubic where its rate falls through nought, and how long after the first."""
    if not (r0 > 0.0 >= r1) or span <= 0.0:
        return (y0, 0.0) if y0 >= y1 else (y1, span)
    rise = (y1 - y0) / span
    a, b = 3.0 * (r0 + r1 - 2.0 * rise), 2.0 * (3.0 * rise - 2.0 * r0 - r1)
    # rate(s) = a s^2 + b s + r0, positive at 0 and not at 1: one root between.
    root = math.sqrt(max(0.0, b * b - 4.0 * a * r0))
    s = 2.0 * r0 / (root - b) if root - b > 0.0 else 1.0
    s = min(1.0, max(0.0, s))
    return cubic(y0, r0, y1, r1, span, s * span), s * span
