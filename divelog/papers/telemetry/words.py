"""Readings of instruments in the units people read, and the figures of a file in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from divelog.papers.telemetry.model import Telemetry

SHOWN: Mapping[str, tuple[str, float, float, int]] = MappingProxyType(
    {
        "depth": ("m", 1.0, 0.0, 2), "volts": ("V", 1.0, 0.0, 2), "current": ("A", 1.0, 0.0, 2),
        "charge": ("A h", 3600.0, 0.0, 3), "temperature": ("degC", 1.0, 273.15, 1), "pressure": ("kPa", 1e3, 0.0, 2),
        "signal": ("%", 0.01, 0.0, 0), "throttle": ("%", 0.01, 0.0, 0),
    }
)  # fmt: skip
"""Quantity -> unit, factor and offset to SI, decimals."""


def in_unit(name: str, si: float) -> float:
    """A reading in the unit of `SHOWN`."""
    _, factor, offset, _ = SHOWN[name]
    return (si - offset) / factor


def figure(name: str, si: float) -> str:
    """A reading without its unit, never ``-0``."""
    places = SHOWN[name][3]
    return f"{round(in_unit(name, si), places) + 0.0:.{places}f}"


def reading(name: str, least: float, most: float | None = None) -> str:
    """``0.42 m``, or ``0.40 to 0.46 m`` where the ends differ as they are shown."""
    one, other = figure(name, least), figure(name, least if most is None else most)
    unit = SHOWN[name][0]
    return f"{one} {unit}" if one == other else f"{one} to {other} {unit}"


def minutes(seconds: float) -> str:
    """``40 s``, ``12 min``; from ten minutes up whole minutes, below that with a decimal."""
    if seconds < 120.0:
        return f"{seconds:.0f} s"
    if seconds < 600.0:
        return f"{seconds / 60.0:.1f}".removesuffix(".0") + " min"
    return f"{seconds / 60.0:.0f} min"


def clock(seconds: float) -> str:
    """``12:40``, minutes and seconds; with its sign before the start."""
    whole = round(abs(seconds))
    return f"{'-' if seconds < -0.5 else ''}{whole // 60}:{whole % 60:02d}"


def telemetry_text(found: Telemetry) -> Iterable[str]:
    """What was read, a line a quantity."""
    gaps = f"{found.gaps} gap{'' if found.gaps == 1 else 's'}"
    yield f"{found.rows} rows over {found.seconds / 60:.1f} min, {found.bad} passed over, {gaps}"
    for name, stat in found.stats.items():
        mean = "" if stat.mean is None else f", {figure(name, stat.mean)} in the mean"
        yield f"  {name:<13}{figure(name, stat.least)} to {figure(name, stat.most)} {SHOWN[name][0]}{mean}"
    if found.deepest is not None and found.deepest_at is not None:
        yield f"  {'deepest':<13}{found.deepest:.2f} m at {found.deepest_at / 60:.1f} min"
    for words, seconds in (
        ("below limit", found.below_keel), ("below plan", found.below_plan), ("under volts", found.under_volts),
    ):  # fmt: skip
        if seconds is not None:
            yield f"  {words:<13}{seconds:.0f} s"
    if found.charge is not None:
        spread = f", +/- {found.charge_u95 / 3600:.3f}" if found.charge_u95 else ""
        yield f"  {'charge':<13}{found.charge / 3600:.3f} A h{spread}, {found.charge_how}"
