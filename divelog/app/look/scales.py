"""Scales of charts: round steps, round figures, and a grid of cells that becomes part of a page."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from divelog.app.look.page import Kind, Part, Role, at, joined

_MANTISSAS = (1, 2, 5)


def step_over(span: float, most: int) -> float:
    """The smallest of 1, 2, 5 x 10^n of which at most `most` fit into `span` (span > 0, most >= 1)."""
    if not (math.isfinite(span) and span > 0):
        return 1.0
    power = math.floor(math.log10(span / most)) - 1
    while True:
        for mantissa in _MANTISSAS:
            step = mantissa * 10.0**power
            if span / step <= most * (1 + 1e-9):
                return step
        power += 1


def level(low: float, high: float) -> bool:
    """Whether two ends are so near each other that a scale between them would say nothing."""
    return high - low <= max(abs(low), abs(high), 1e-3) * 1e-6


def coarser(step: float) -> float:
    """The next larger of 1, 2, 5 x 10^n."""
    power = math.floor(math.log10(step) + 1e-9)
    return {1: 2.0, 2: 5.0}.get(round(step / 10.0**power), 10.0) * 10.0**power


def decimals(step: float) -> int:
    """Decimals a multiple of `step` needs."""
    return max(0, -math.floor(math.log10(step) + 1e-9))


def figure_of(value: float, step: float) -> str:
    """A multiple of `step` as text, never `-0`."""
    return f"{value + 0.0 if abs(value) > step / 1e6 else 0.0:.{decimals(step)}f}"


class Grid:
    """Cells of a chart while it is drawn; nothing outside is kept."""

    def __init__(self, width: int, height: int) -> None:
        self.width = width
        self.height = height
        self._cells: list[list[tuple[str, Role] | None]] = [[None] * width for _ in range(height)]

    def put(self, x: int, y: int, sign: str, role: Role) -> None:
        """Write one cell, over what was there."""
        if 0 <= x < self.width and 0 <= y < self.height:
            self._cells[y][x] = (sign, role)

    def free(self, x: int, y: int) -> bool:
        """Whether a cell lies inside and is empty."""
        return 0 <= x < self.width and 0 <= y < self.height and self._cells[y][x] is None

    def sign(self, x: int, y: int) -> str | None:
        """What stands in a cell; None where it is empty or outside."""
        if not (0 <= x < self.width and 0 <= y < self.height):
            return None
        cell = self._cells[y][x]
        return cell[0] if cell is not None else None

    def part(self, row: int, column: int) -> Part:
        """The cells as spans, top left at (`row`, `column`)."""
        parts: list[Part] = []
        for y, cells in enumerate(self._cells):
            start = 0
            for x in range(1, self.width + 1):
                here = cells[start]
                if (
                    x == self.width
                    or (cells[x] is None) != (here is None)
                    or _role(cells[x]) is not _role(here)
                ):
                    if here is not None:
                        text = "".join(c[0] for c in cells[start:x] if c is not None)
                        parts.append(at(row + y, column + start, text, here[1], Kind.CHART))
                    start = x
        return joined(parts)


def _role(cell: tuple[str, Role] | None) -> Role | None:
    return None if cell is None else cell[1]


def between(points: Sequence[tuple[float, float]], x: float) -> float | None:
    """Linear interpolation in points sorted by x; None outside them."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1:
            return y0 if x1 == x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    if len(points) == 1 and points[0][0] == x:
        return points[0][1]
    return None
