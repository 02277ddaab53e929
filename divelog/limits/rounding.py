"""Rounding to the safe side, texts of shown numbers, and the verdict."""

from __future__ import annotations

import math
from functools import lru_cache

from divelog import units
from divelog.limits.model import Verdict
from divelog.profiles.document import Num

_SLACK = 1e-9
"""Relative slack, so that 0.8 typed is not under 0.8 computed."""


def down(value: float, step: float) -> float:
    """The greatest multiple of step not above value; a value a hair under a multiple counts as that multiple."""
    return _tidy(math.floor(value / step + _SLACK * max(1.0, abs(value / step))) * step, step)


def up(value: float, step: float) -> float:
    """The least multiple of step not below value; a value a hair over a multiple counts as that multiple."""
    return _tidy(math.ceil(value / step - _SLACK * max(1.0, abs(value / step))) * step, step)


def nearest(value: float, step: float) -> float:
    """The nearest multiple of step, halves away from nought."""
    return _tidy(math.copysign(math.floor(abs(value) / step + 0.5), value) * step, step)


def _tidy(value: float, step: float) -> float:
    return round(value, _digits(step)) + 0.0


@lru_cache(maxsize=256)
def _digits(step: float) -> int:
    return max(0, 3 - math.floor(math.log10(step)))


@lru_cache(maxsize=256)
def decimals(step_in_unit: float) -> int:
    """Decimals that show a step: 0.05 -> 2, 0.5 -> 1, 5 -> 0."""
    for places in range(7):
        if abs(round(step_in_unit, places) - step_in_unit) < 1e-9 * max(1.0, step_in_unit):
            return places
    return 6


def text(si: float, unit: str, dimension: str, step: float) -> str:
    """A shown number with its unit: ``text(0.8, "m", "length", 0.1)`` -> ``0.8 m``. ``step`` is in SI."""
    place = units.find(unit, dimension)
    return f"{units.number_text((si - place.offset) / place.factor, decimals(step / place.factor))} {unit}"


def judge(reading: Num | None, low: float | None, high: float | None) -> Verdict:
    """Within if the reading clears the shown limit by its own ±, outside if it is itself beyond, else too close."""
    if reading is None:
        return Verdict.NO_READING
    slack = _SLACK * max(abs(reading.si), abs(low or 0.0), abs(high or 0.0), 1e-12)
    if (high is not None and reading.si > high + slack) or (low is not None and reading.si < low - slack):
        return Verdict.OUTSIDE
    if (high is None or reading.si + reading.u95 <= high + slack) and (
        low is None or reading.si - reading.u95 >= low - slack
    ):
        return Verdict.WITHIN
    return Verdict.TOO_CLOSE


def worst(*verdicts: Verdict) -> Verdict:
    """The verdict that needs somebody most."""
    return min(verdicts, key=_ORDER.index)


_ORDER = (
    Verdict.OUTSIDE, Verdict.TO_PROVE, Verdict.TOO_CLOSE, Verdict.UNKNOWN, Verdict.NO_READING, Verdict.WITHIN,
    Verdict.NOT_FITTED, Verdict.NONE,
)  # fmt: skip


def rss(*parts: float) -> float:
    """Root of the sum of squares (JCGM 100:2008, 5.1.2, independent inputs)."""
    return math.sqrt(math.fsum(part * part for part in parts))
