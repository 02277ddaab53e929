"""A long series over time as rows of a page: half blocks, limits dashed, gaps left empty, a cursor. Numbers as named.

Two plots may stand under one another on one `Window`: depth downwards, and a value below it.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look.charts import CHANGE, DASH, FILLED_ASCII, left_labels, ticks
from divelog.app.look.figures import HALVES
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.scales import Grid, decimals, figure_of, level, step_over
from divelog.app.look.words import cut

LEFT = 8
NAMES = 10
"""Columns right of a plot for the names of its lines."""
_STEPS = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5, 10.0)
Points = Sequence[tuple[float, float]]
Spans = Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Window:
    """The stretch of time that is drawn: seconds `first` to `last` over `width` columns."""

    first: float
    last: float
    width: int

    def column(self, time: float) -> int:
        """The column a moment falls into; outside, a column outside."""
        share = (time - self.first) / (self.last - self.first)
        return self.width - 1 if time == self.last else math.floor(share * self.width + 1e-9)

    def span(self, column: int) -> tuple[float, float]:
        """Seconds from where to where a column reaches."""
        each = (self.last - self.first) / self.width
        return self.first + column * each, self.first + (column + 1) * each


@dataclass(frozen=True, slots=True)
class Level:
    """A limit: a value with its name."""

    value: float
    name: str


@dataclass(frozen=True, slots=True)
class Curve:
    """One quantity: points in order of time, breaks it is not drawn across, its limits, its unit."""

    points: Points
    breaks: Spans
    levels: Sequence[Level]
    unit: str


def width_for(layout: Layout) -> int:
    """Columns of a plot in a layout."""
    return layout.edge - LEFT - 1 - NAMES


def ends(curve: Curve, first: float, last: float) -> tuple[float, float] | None:
    """Least and greatest between two moments; None where nothing was read."""
    points = curve.points
    low, high = bisect_left(points, (first,)), bisect_left(points, (last,))
    values = [value for _, value in points[low:high]]
    for time in (first, last):
        value = value_at(curve, time)
        if value is not None:
            values.append(value)
    return (min(values), max(values)) if values else None


def value_at(curve: Curve, time: float) -> float | None:
    """On the straight line between two readings; None before the first, after the last, and in a break."""
    points = curve.points
    n = bisect_left(points, (time,))
    if n < len(points) and points[n][0] == time:
        return points[n][1]
    if n == 0 or n == len(points):
        return None
    (t0, y0), (t1, y1) = points[n - 1], points[n]
    inside = [(a, b) for a, b in curve.breaks if a < t1 and b > t0]
    if not inside:
        return y0 + (y1 - y0) * (time - t0) / (t1 - t0)
    if time <= inside[0][0]:
        return y0
    return y1 if time >= inside[-1][1] else None


def depth_step(deepest: float, rows: int) -> float:
    """Metres a row of a plot from the surface down: the least round step that holds `deepest`."""
    wanted = max(deepest, 0.05) / max(rows - 0.5, 0.5)
    power = 10.0 ** math.floor(math.log10(wanted))
    return next(step * power for step in _STEPS if step * power >= wanted * (1 - 1e-9))


def depth_plot(
    layout: Layout, row: int, rows: int, window: Window, curve: Curve, deepest: float, cursor: int | None
) -> Part:
    """Depth from the surface down; what lies deeper than the last row is drawn in it."""
    step = depth_step(deepest, rows)
    grid = Grid(window.width, rows)
    names = [(math.floor(each.value / step + 1e-9), each.name) for each in curve.levels]
    for y, _ in names:
        _dashes(grid, y)
    for x in range(window.width):
        found = ends(curve, *window.span(x))
        if found is not None:
            top, bottom = (math.floor(2 * max(value, 0.0) / step + 1e-9) for value in found)
            _fill(layout, grid, x, min(top, 2 * rows - 1), min(bottom, 2 * rows - 1))
    _cursor(grid, cursor)
    shown = 2 * step
    labels = [(y, f"{y * step:.{decimals_of(shown)}f} {curve.unit}") for y in range(0, rows, 2)]
    return grid.part(row, LEFT) + left_labels(row, labels) + _names(layout, row, rows, names)


def value_plot(layout: Layout, row: int, rows: int, window: Window, curve: Curve, cursor: int | None) -> Part:
    """A value upwards, from its least to its greatest reading; its limits are drawn where they lie between or near."""
    values = [value for _, value in curve.points]
    if not values:
        return ()
    low, high = min(values), max(values)
    near = [each for each in curve.levels if low - (high - low) <= each.value <= high + (high - low)]
    low, high = (
        min([low, *(each.value for each in near)]),
        max([high, *(each.value for each in near)]),
    )
    flat = level(low, high)
    span = max(abs(high), 1.0) if flat else high - low
    grid = Grid(window.width, rows)

    def half(value: float) -> int:
        share = 0.5 if flat else (high - value) / span
        return min(max(int(share * 2 * rows), 0), 2 * rows - 1)

    names = [(half(each.value) // 2, each.name) for each in near]
    for y, _ in names:
        _dashes(grid, y)
    for x in range(window.width):
        found = ends(curve, *window.span(x))
        if found is not None:
            _fill(layout, grid, x, half(found[1]), half(found[0]))
    _cursor(grid, cursor)
    fine = step_over(span, 100)
    labels = [(0, f"{figure_of(high, fine)} {curve.unit}")]
    if not flat and rows > 1:
        labels.append((rows - 1, f"{figure_of(low, fine)} {curve.unit}"))
    return grid.part(row, LEFT) + left_labels(row, labels) + _names(layout, row, rows, names)


def time_axis(row: int, window: Window) -> Part:
    """Round minutes under the plots."""
    return ticks(row, LEFT, window.width, window.first / 60.0, window.last / 60.0, " min", at_start=True)


def signs(row: int, window: Window, moments: Sequence[tuple[float, str]]) -> Part:
    """A sign a moment above the plots; one that would cover another stands one or two columns on, or not at all."""
    parts: list[Part] = []
    taken: set[int] = set()
    for time, sign in moments:
        here = window.column(time)
        if not 0 <= here < window.width:
            continue
        place = next((x for x in (here, here + 1, here + 2) if x not in taken and x < window.width), None)
        if place is not None:
            taken.add(place)
            parts.append(at(row, LEFT + place, sign, Role.BOLD, Kind.CHART))
    return joined(parts)


def decimals_of(step: float) -> int:
    """Decimals that a multiple of `step` needs, at most three."""
    return next((n for n in range(3) if abs(round(step, n) - step) < 1e-9), decimals(step))


def _fill(layout: Layout, grid: Grid, x: int, top: int, bottom: int) -> None:
    for y in range(top // 2, bottom // 2 + 1):
        upper, lower = top <= 2 * y <= bottom, top <= 2 * y + 1 <= bottom
        grid.put(x, y, HALVES[upper, lower] if layout.blocks else FILLED_ASCII, Role.ACCENT)


def _dashes(grid: Grid, y: int) -> None:
    for x in range(grid.width):
        grid.put(x, y, DASH, Role.QUIET)


def _cursor(grid: Grid, x: int | None) -> None:
    """A line down the plot, behind what was read."""
    if x is None:
        return
    for y in range(grid.height):
        if grid.sign(x, y) in (None, DASH):
            grid.put(x, y, CHANGE, Role.TEXT)


def _names(layout: Layout, row: int, rows: int, names: Sequence[tuple[int, str]]) -> Part:
    """Names of lines at their right ends; of two on one row the later stands a row off, with a sign that points to its line."""
    left = LEFT + width_for(layout) + 1
    taken: set[int] = set()
    parts: list[Part] = []
    for y, name in names:
        if not 0 <= y < rows:
            continue
        free = [
            other for other in (y, y + 1, y - 1, y + 2, y - 2) if other not in taken and 0 <= other < rows
        ]
        if free:
            taken.add(free[0])
            words = name if free[0] == y else f"{'^' if free[0] > y else 'v'} {name}"
            parts.append(at(row + free[0], left, cut(words, NAMES), Role.BOLD, Kind.CHART))
    return joined(parts)
