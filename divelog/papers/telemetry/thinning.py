"""A long series made short enough to draw: least and greatest of each stretch, in memory that does not grow."""

from __future__ import annotations

STRETCHES = 400
"""Stretches kept at least, once there are as many rows; at most twice as many."""


class Thinned:
    """Takes points in order of time; keeps the extremes of equal counts of rows."""

    def __init__(self, stretches: int = STRETCHES) -> None:
        self._most = 2 * stretches
        self._each = 1
        self._in_last = 0
        self._kept: list[tuple[tuple[float, float], tuple[float, float]]] = []

    def add(self, time: float, value: float) -> None:
        """One more point."""
        point = (time, value)
        if self._kept and self._in_last < self._each:
            low, high = self._kept[-1]
            self._kept[-1] = (point if value < low[1] else low, point if value > high[1] else high)
            self._in_last += 1
            return
        if len(self._kept) == self._most:
            self._halve()
        self._kept.append((point, point))
        self._in_last = 1

    def _halve(self) -> None:
        pairs = zip(self._kept[::2], self._kept[1::2], strict=True)
        self._kept = [(min(a[0], b[0], key=_value), max(a[1], b[1], key=_value)) for a, b in pairs]
        self._each *= 2

    def points(self) -> tuple[tuple[float, float], ...]:
        """What is kept, in order of time; each point once."""
        found = []
        for low, high in self._kept:
            found += [low] if low == high else [low, high] if low[0] <= high[0] else [high, low]
        return tuple(found)


def _value(point: tuple[float, float]) -> float:
    return point[1]
