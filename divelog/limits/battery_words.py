"""Words the battery keys share."""

from __future__ import annotations

from divelog.limits.rounding import nearest, text
from divelog.physics.battery_chemistry import Chemistry

HOUR_CHARGE = 3600.0
"""Coulombs in an ampere hour."""

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def counted(count: int, what: str) -> str:
    """``five runs``, ``one run``, ``23 runs``."""
    number = _COUNTS[count] if count < len(_COUNTS) else str(count)
    return f"{number} {what}" if count == 1 else f"{number} {what}s"


def coarsest(si: float, unit: str, dimension: str, *steps: float) -> str:
    """A shown number at the first of its steps (SI, coarse to fine) that loses nothing: ``5.0 V``, ``4.25 V``."""
    for step in steps[:-1]:
        if abs(si - nearest(si, step)) < 1e-6 * step:
            return text(si, unit, dimension, step)
    return text(si, unit, dimension, steps[-1])


def percent(share: float) -> str:
    """``90 %``."""
    return f"{share * 100:.0f} %"


def lithium_caution(chemistry: Chemistry) -> tuple[str, ...]:
    """The usual caution of a lithium pack; nothing for others."""
    return ("A lithium pack swollen, wet or hot stays out of the boat.",) if chemistry.is_lithium else ()
