"""What came out of a file of readings. Times in s from the start of the run, values in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType


class TelemetryError(ValueError):
    """The file, or its mapping, cannot be used; the message is a plain sentence."""


class StoppedError(Exception):
    """Whoever asked for it has stopped it. Nothing was kept."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far reading is."""

    rows: int
    read: int
    """Bytes read so far."""


@dataclass(frozen=True, slots=True)
class Against:
    """Limits that held in the run; None where none is known."""

    keel: float | None = None
    """Deepest keel, m."""
    plan: float | None = None
    """Planned depth, m."""
    volts: float | None = None
    """Least volts under load."""
    aerial: float | None = None
    """Keel depth at which the aerial goes too deep for the link, m; only drawn."""


@dataclass(frozen=True, slots=True)
class Stat:
    """One quantity: readings, extremes with their times, first and last, mean over time (gaps left out), ± of one."""

    count: int
    least: float
    least_at: float
    most: float
    most_at: float
    first: float
    last: float
    mean: float | None
    u95: float = 0.0


@dataclass(frozen=True, slots=True)
class Telemetry:
    """A file, read."""

    rows: int
    """Rows that were used."""
    bad: int
    """Rows passed over: no numbers, out of all bounds, or out of order."""
    faults: tuple[tuple[int, str], ...]
    """The first of them: line and what was wrong."""
    start: float
    end: float
    gaps: int
    gap_longest: float
    gap_total: float
    stats: Mapping[str, Stat]
    deepest: float | None = None
    """Greatest depth that three rows one after another bear out (their middle one by size): a lone spike is none."""
    deepest_at: float | None = None
    below_keel: float | None = None
    """Seconds below the limit in force; nought where `deepest` does not pass it."""
    below_plan: float | None = None
    under_volts: float | None = None
    charge: float | None = None
    """Charge used, C: out of a counter of the file, else current over time."""
    charge_u95: float | None = None
    charge_how: str = ""
    digest: str = ""
    size: int = 0
    series: Mapping[str, tuple[tuple[float, float], ...]] = field(
        default_factory=lambda: MappingProxyType({})
    )
    """Points for drawing, by quantity: least and greatest of each stretch, in order of time."""
    breaks: Mapping[str, tuple[tuple[float, float], ...]] = field(
        default_factory=lambda: MappingProxyType({})
    )
    """By quantity, from when to when nothing was read: a curve is not drawn across."""

    @property
    def seconds(self) -> float:
        """From the first row to the last, gaps left out."""
        return max(0.0, self.end - self.start - self.gap_total)
