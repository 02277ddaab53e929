"""Charts as rows of a page: readings against hours, a path of depth, a limit against one input.

Each has half blocks and an ASCII form; each says its scale in words. Numbers are in the units named.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look.figures import HALVES
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.scales import Grid, between, coarser, figure_of, level, step_over
from divelog.app.look.words import cut, size

SINCE, SINCE_ASCII, BEFORE, CHANGE, DASH, HATCH = "█", "#", "o", "|", "-", "/"
FILLED_ASCII = "#"
BED = "bed"
_LEFT = 8


@dataclass(frozen=True, slots=True)
class Point:
    """One reading: hours, value, and whether it lies before the last change of part."""

    x: float
    y: float
    before: bool = False


@dataclass(frozen=True, slots=True)
class Wear:
    """Readings over hours, a limit with its words, and the hours at which a part was changed."""

    points: tuple[Point, ...]
    y_unit: str
    limit: float | None = None
    limit_words: str = "at most"
    changes: tuple[float, ...] = ()
    x_words: str = "hours"


def wear_rows(layout: Layout) -> int:
    """Rows of the plot of a wear chart; the hours stand on the row below."""
    return _plot_rows(layout, 11)


def wear_chart(layout: Layout, row: int, wear: Wear) -> Part:
    """The chart with its value words at the left, hours below, the limit dashed and named at its right end.

    One row is one round unit. Newer points cover older ones in a cell.
    """
    rows = wear_rows(layout)
    width = (layout.edge - 10 if layout.margin else layout.edge) - _LEFT + 1
    width -= 1 if not layout.margin else 0
    points = [p for p in wear.points if math.isfinite(p.x) and math.isfinite(p.y)]
    values = [p.y for p in points] + ([wear.limit] if wear.limit is not None else [])
    if not values:
        return at(row, _LEFT, "no readings yet", kind=Kind.CHART)
    step, top = _rows_for(min(values), max(values), rows)
    hours = [p.x for p in points] + list(wear.changes)
    first, last = (min(hours), max(hours)) if hours else (0.0, 1.0)
    if last <= first:
        first, last = first - 0.5, first + 0.5

    def column(x: float) -> int:
        return round((x - first) / (last - first) * (width - 1))

    def line(y: float) -> int:
        return math.floor(top - y / step + 0.5)

    grid = Grid(width, rows)
    if wear.limit is not None:
        for x in range(width):
            grid.put(x, line(wear.limit), DASH, Role.QUIET)
    for change in wear.changes:
        for y in range(rows):
            grid.put(column(change), y, CHANGE, Role.TEXT)
    since = SINCE if layout.blocks else SINCE_ASCII
    for point in sorted(points, key=lambda p: not p.before):
        sign, role = (BEFORE, Role.QUIET) if point.before else (since, Role.ACCENT)
        grid.put(column(point.x), line(point.y), sign, role)
    labels = [
        (y, f"{figure_of((top - y) * step, step)} {wear.y_unit}") for y in range(rows) if (top - y) % 2 == 0
    ]
    part = grid.part(row, _LEFT) + left_labels(row, labels)
    if wear.limit is not None and layout.margin:
        part += at(row + line(wear.limit), _LEFT + width + 1, wear.limit_words, Role.BOLD, Kind.CHART)
    part += ticks(row + rows, _LEFT, width, first, last, "")
    return part + at(row + rows, _LEFT + width + 1, wear.x_words if layout.margin else "", kind=Kind.CHART)


def legend(layout: Layout, row: int, items: Sequence[tuple[str, str]]) -> Part:
    """Signs and their words in one line from the reading edge; what has no room is left out."""
    x = layout.title
    parts: list[Part] = []
    for sign, words in items:
        end = x + size(sign) + 2 + size(words)
        if end > layout.edge:
            break
        ink = sign if layout.blocks or sign != SINCE else SINCE_ASCII
        role = {BEFORE: Role.QUIET, SINCE: Role.ACCENT}.get(sign, Role.TEXT)
        parts.append(at(row, x, ink, role, Kind.CHART))
        parts.append(at(row, x + size(sign) + 2, words, kind=Kind.CHART))
        x = end + 3
    return joined(parts)


@dataclass(frozen=True, slots=True)
class Path:
    """Depth over time, downwards: seconds, metres, ± of each point (drawn on the deep side only).

    `bed` and `line` are depths in metres; `until` is the end of the time scale.
    """

    points: tuple[tuple[float, float], ...]
    u95: tuple[float, ...] = ()
    bed: float | None = None
    line: float | None = None
    line_words: str = ""
    until: float | None = None


def path_rows(layout: Layout) -> int:
    """Most rows of the plot of a path; the seconds stand on the row below."""
    return _plot_rows(layout, 12)


def path_chart(layout: Layout, row: int, path: Path) -> Part:
    """The path in half rows, the bed solid to the bottom, the line dashed and named at its right end."""
    rows = path_rows(layout)
    width = min(66, layout.edge - _LEFT)
    points = [p for p in path.points if math.isfinite(p[0]) and math.isfinite(p[1])]
    widths = list(path.u95) + [0.0] * (len(points) - len(path.u95))
    deep = [(t, d + u) for (t, d), u in zip(points, widths, strict=False)]
    depths = [d for _, d in deep] + [d for d in (path.bed, path.line) if d is not None]
    unit = step_over(max([*depths, 1e-3]), rows - 1)
    end = path.until if path.until is not None else max([t for t, _ in points], default=1.0)
    if not end > 0:
        end = 1.0
    if path.bed is not None:
        rows = min(rows, _floor(path.bed / unit) + 2)  # two rows of bed say as much as ten
    grid = Grid(width, rows)
    if path.line is not None:
        named = width - size(path.line_words) - 1 if path.line_words else width
        y = _floor(path.line / unit)
        for x in range(named):
            grid.put(x, y, DASH, Role.QUIET)
        for n, sign in enumerate(path.line_words):
            grid.put(named + 1 + n, y, sign, Role.BOLD)
    _bed(layout, grid, path.bed, unit)
    _water(layout, grid, points, deep, unit, end)
    labels = _depth_labels(rows, unit, path.bed)
    part = grid.part(row, _LEFT) + left_labels(row, labels)
    return part + ticks(row + rows, _LEFT, width, 0.0, end, " s", at_start=True)


@dataclass(frozen=True, slots=True)
class Response:
    """A result against one input: points sorted by the input, and the input's present value."""

    points: tuple[tuple[float, float], ...]
    now: float
    x_unit: str
    y_unit: str


RESPONSE_ROWS = 5


def response_chart(layout: Layout, row: int, response: Response, *, column: int | None = None) -> Part:
    """A small chart, five rows and the input's scale below: how the result moves as one input does.

    The present value is a `|` through the plot and stands under it in words.
    """
    left = (layout.title if layout.margin else _LEFT) if column is None else column + layout.title
    width = min(45, layout.edge_for(left) - left)
    points = [p for p in response.points if math.isfinite(p[0]) and math.isfinite(p[1])]
    if len(points) < 2 or not points[-1][0] > points[0][0]:
        return at(row, left, "not enough values to draw", kind=Kind.CHART)
    low, high = min(y for _, y in points), max(y for _, y in points)
    flat = level(low, high)
    span = max(abs(high), 1.0) if flat else high - low
    x0, x1 = points[0][0], points[-1][0]
    grid = Grid(width, RESPONSE_ROWS)
    now = round((response.now - x0) / (x1 - x0) * (width - 1))
    for y in range(RESPONSE_ROWS):
        grid.put(now, y, CHANGE, Role.TEXT)
    heights: list[int | None] = []
    for x in range(width):
        value = between(points, x0 + (x1 - x0) * x / (width - 1))
        share = None if value is None else 0.5 if flat else (high - value) / span
        heights.append(None if share is None else min(int(share * 2 * RESPONSE_ROWS), 2 * RESPONSE_ROWS - 1))
    _trace(layout, grid, heights, FILLED_ASCII)
    fine = step_over(span, 200)
    top, bottom = (figure_of(v, fine) + f" {response.y_unit}" for v in (high, low))
    part = grid.part(row, left)
    for y, text in ((0, top), (RESPONSE_ROWS - 1, bottom)):
        if y == 0 or not flat:
            said = cut(text, left - 2)
        part += at(row + y, left - 1 - size(said), said, kind=Kind.CHART)
    fine = step_over(x1 - x0, 200)
    ends = [(0, figure_of(x0, fine)), (width, figure_of(x1, fine) + f" {response.x_unit}")]
    below = row + RESPONSE_ROWS
    present = f"{figure_of(response.now, fine)} now"
    start = min(max(now - size(figure_of(response.now, fine)) // 2, 0), width - size(present))
    taken = (start - 2, start + size(present) + 2)
    part += at(below, left + start, present, Role.BOLD, Kind.CHART)
    for x, text in ends:
        begin = x if x == 0 else x - size(text)
        if begin + size(text) <= taken[0] or begin >= taken[1]:
            part += at(below, left + begin, text, kind=Kind.CHART)
    return part


def _plot_rows(layout: Layout, most: int) -> int:
    if layout.gauge is not None:
        return most
    return 9 if layout.margin else 5


def _rows_for(low: float, high: float, rows: int) -> tuple[float, int]:
    """A round step and the top row's multiple of it, so that `rows` rows hold low … high, centred."""
    step = step_over(high - low if not level(low, high) else max(abs(high), 1.0), rows - 1)
    while True:
        top, bottom = math.ceil(high / step - 1e-9), math.floor(low / step + 1e-9)
        spare = rows - 1 - (top - bottom)
        if spare >= 0:
            return step, top + (spare + 1) // 2
        step = coarser(step)


def left_labels(row: int, labels: Sequence[tuple[int, str]]) -> Part:
    """Value words at the left, right edges together, clear of the plot by one."""
    longest = max((size(text) for _, text in labels), default=0)
    right = 6 if longest <= 5 else _LEFT - 1
    parts = []
    for y, text in labels:
        said = text if size(text) <= right - 1 else cut(text.split(" ", 1)[0], right - 1)
        role = Role.BOLD if text.strip() == BED else Role.TEXT
        parts.append(at(row + y, max(right - size(said), 1), said, role, Kind.CHART))
    return joined(parts)


def ticks(
    row: int, left: int, width: int, first: float, last: float, unit: str, *, at_start: bool = False
) -> Part:
    """Round figures under a plot, at least three blanks apart."""
    step = step_over(last - first, max(2, width // 9))
    parts: list[Part] = []
    free = left
    for n in range(math.ceil(first / step - 1e-9), math.floor(last / step + 1e-9) + 1):
        text = figure_of(n * step, step) + unit
        x = left + round((n * step - first) / (last - first) * (width - 1))
        if not at_start:
            x = min(max(x - size(text) // 2, left), left + width - size(text))
        if x < free or x + size(text) > left + width:
            continue
        parts.append(at(row, x, text, kind=Kind.CHART))
        free = x + size(text) + 3
    return joined(parts)


def _floor(value: float) -> int:
    return math.floor(value + 1e-9)


def _bed(layout: Layout, grid: Grid, bed: float | None, unit: float) -> None:
    if bed is None:
        return
    half = _floor(2 * bed / unit) if layout.blocks else 2 * _floor(bed / unit)
    full = SINCE if layout.blocks else FILLED_ASCII
    for x in range(grid.width):
        for y in range(grid.height):
            if 2 * y >= half:
                grid.put(x, y, full, Role.QUIET)
            elif 2 * y + 1 == half:
                grid.put(x, y, HALVES[False, True], Role.QUIET)


def _water(
    layout: Layout,
    grid: Grid,
    points: Sequence[tuple[float, float]],
    deep: Sequence[tuple[float, float]],
    unit: float,
    end: float,
) -> None:
    """The path, and its ± as hatch in the cells below it."""
    halves: list[int | None] = []
    for x in range(grid.width):
        time = end * x / max(grid.width - 1, 1)
        depth, below = between(points, time), between(deep, time)
        halves.append(None if depth is None else max(_floor(2 * depth / unit), 0))
        if depth is None or below is None or not below > depth:
            continue
        for y in range(_floor(max(depth, 0.0) / unit) + 1, _floor(below / unit) + 1):
            grid.put(x, y, HATCH, Role.ACCENT)
    _trace(layout, grid, halves, FILLED_ASCII)


def _trace(layout: Layout, grid: Grid, halves: Sequence[int | None], filled: str) -> None:
    """Draw one half cell a column at the given half rows, steep places joined without gaps."""
    last: int | None = None
    for x, half in enumerate(halves):
        if half is None:
            last = None
            continue
        low = high = half
        if last is not None and abs(half - last) > 1:
            low, high = (last + 1, half) if half > last else (half, last - 1)
        for y in range(low // 2, high // 2 + 1):
            upper, lower = low <= 2 * y <= high, low <= 2 * y + 1 <= high
            grid.put(x, y, HALVES[upper, lower] if layout.blocks else filled, Role.ACCENT)
        last = half


def _depth_labels(rows: int, unit: float, bed: float | None) -> list[tuple[int, str]]:
    """Round depths down to the bed; `bed` on its first row that has no figure."""
    step = coarser(unit)
    bed_row = rows if bed is None else min(_floor(bed / unit + 0.5), rows - 1)
    labels = []
    for n in range(math.floor(rows * unit / step) + 1):
        y = _floor(n * step / unit)
        if y < rows and y <= bed_row:
            labels.append((y, f"{figure_of(n * step, step)} m"))
    if bed is not None:
        if labels and labels[-1][0] == bed_row:
            if bed_row < rows - 1:
                bed_row += 1
            else:
                labels.pop()
        labels.append((bed_row, BED.ljust(max((len(text) for _, text in labels), default=0))))
    return labels
