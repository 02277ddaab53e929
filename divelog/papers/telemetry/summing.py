"""Sums over rows as they come: extremes, time beyond a limit, charge. Nothing is kept of a row but the last two.

Between two rows a reading moves on a straight line; over a gap nothing is added up.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field

from divelog.papers.telemetry.mapping import Mapping
from divelog.papers.telemetry.model import Against, Stat
from divelog.papers.telemetry.thinning import Thinned

MOST_BREAKS = 400
"""Breaks of one quantity that are kept for drawing; of more, the longest."""


def beyond(seconds: float, one: float, other: float, edge: float) -> float:
    """Seconds of a straight line from `one` to `other` that lie above `edge`."""
    if one <= edge and other <= edge:
        return 0.0
    if one > edge and other > edge:
        return seconds
    return seconds * (max(one, other) - edge) / abs(other - one)


@dataclass(slots=True)
class Running:
    """One quantity."""

    u95: float
    count: int = 0
    least: float = 0.0
    least_at: float = 0.0
    most: float = 0.0
    most_at: float = 0.0
    first: float = 0.0
    last: float = 0.0
    last_at: float = 0.0
    area: float = 0.0
    seconds: float = 0.0
    thinned: Thinned = field(default_factory=Thinned)
    _breaks: list[tuple[float, float]] = field(default_factory=list)
    """Length and start of each break, a heap."""

    def add(self, at: float, value: float, gap: float) -> float:
        """One more reading; returns the seconds since the last one, 0 over a gap and for the first."""
        step = at - self.last_at if self.count else 0.0
        if step > gap:
            heapq.heappush(self._breaks, (step, self.last_at))
            if len(self._breaks) > MOST_BREAKS:
                heapq.heappop(self._breaks)
            step = 0.0
        if not self.count:
            self.first = value
        if not self.count or value < self.least:
            self.least, self.least_at = value, at
        if not self.count or value > self.most:
            self.most, self.most_at = value, at
        self.area += step * (value + self.last) / 2
        self.seconds += step
        self.count += 1
        self.last, self.last_at = value, at
        self.thinned.add(at, value)
        return step

    def breaks(self) -> tuple[tuple[float, float], ...]:
        """From when to when nothing was read, in order of time."""
        return tuple(sorted((start, start + length) for length, start in self._breaks))

    def stat(self) -> Stat:
        """What there is to say of it."""
        mean = self.area / self.seconds if self.seconds > 0 else None
        return Stat(
            self.count,
            self.least,
            self.least_at,
            self.most,
            self.most_at,
            self.first,
            self.last,
            mean,
            self.u95,
        )


class Sums:
    """All quantities of a file, and what they come to."""

    def __init__(self, mapping: Mapping, against: Against) -> None:
        self.against = against
        self.gap = mapping.gap
        self.running = {column.gives: Running(column.u95) for column in mapping.columns}
        self._order = [self.running[column.gives] for column in mapping.columns]
        self._names = [column.gives for column in mapping.columns]
        self.rows = 0
        self.start = self.last = 0.0
        self.gaps = 0
        self.gap_longest = self.gap_total = 0.0
        self.below_keel = self.below_plan = self.under_volts = 0.0
        self.charge_before = 0.0
        """Of a counter that was set back: what it had counted before."""
        self._depths: tuple[float, float, float] | None = None
        self._depth_times: tuple[float, float, float] = (0.0, 0.0, 0.0)
        self.deepest: float | None = None
        self.deepest_at: float | None = None

    def add(self, at: float, values: list[float | None]) -> None:
        """One row; `at` never before the last."""
        if self.rows == 0:
            self.start = at
        elif at - self.last > self.gap:
            self.gaps += 1
            self.gap_longest = max(self.gap_longest, at - self.last)
            self.gap_total += at - self.last
        self.last = at
        self.rows += 1
        for name, running, value in zip(self._names, self._order, values, strict=True):
            if value is None:
                continue
            before = running.last
            # A counter that fell by over half of what it had counted was set back; a smaller fall is noise.
            if name == "charge" and running.count and value - running.first < 0.5 * (before - running.first):
                self.charge_before += before - running.first
                running.first = value
            step = running.add(at, value, self.gap)
            if name == "depth":
                self._depth(at, value)
                if step > 0.0:
                    if self.against.keel is not None:
                        self.below_keel += beyond(step, before, value, self.against.keel)
                    if self.against.plan is not None:
                        self.below_plan += beyond(step, before, value, self.against.plan)
            elif name == "volts" and step > 0.0 and self.against.volts is not None:
                self.under_volts += beyond(step, -before, -value, -self.against.volts)

    def _depth(self, at: float, value: float) -> None:
        """The middle one by size of three rows one after another: a spike of one row never shows, the first neither.

        Of one or two rows, which is all some files have, the least.
        """
        count = self.running["depth"].count
        if self._depths is None:
            self._depths, self._depth_times = (value, value, value), (at, at, at)
        else:
            self._depths = (self._depths[1], self._depths[2], value)
            self._depth_times = (self._depth_times[1], self._depth_times[2], at)
        middle = sorted(self._depths)[1 if count > 2 else 0]
        if self.deepest is None or count < 4 or middle > self.deepest:
            self.deepest = middle
            self.deepest_at = self._depth_times[self._depths.index(middle)]
