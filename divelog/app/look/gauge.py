"""The gauge: a limit as a place, a reading beside it, its ± hatched; one row of plain characters.

The picture never contradicts a verdict reached by comparing reading and ± with the same limits: *within*
leaves the whole hatch inside the banks, *too close* shows hatch beyond a bank, *OUTSIDE* shows the reading
beyond it. Give the ± that was judged (0 where the verdict is reached without one).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined

FAIRWAY, BANK, HATCH = "-", "|", "/"
READING, READING_ASCII = "▄", "#"
OFF_LOW, OFF_HIGH = "<", ">"
WIDTH = 17
CHECK_WIDTH, CHECK_BANK, CHECK_COLUMN = 30, 14, 48


@dataclass(frozen=True, slots=True)
class Bounds:
    """The shown limit: `low` for *at least*, `high` for *at most*, both for a band.

    `far` is the end of the scale opposite a single limit: by default 0 for *at most*, twice the limit for
    *at least*. All numbers in one unit.
    """

    low: float | None = None
    high: float | None = None
    far: float | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading, or a span of them from `low` to `high`, with its ± (u95)."""

    low: float
    high: float
    u95: float = 0.0


def at_most(limit: float, far: float | None = None) -> Bounds:
    """A limit not to be passed upwards."""
    return Bounds(high=limit, far=far)


def at_least(limit: float, far: float | None = None) -> Bounds:
    """A limit not to be passed downwards."""
    return Bounds(low=limit, far=far)


def band(low: float, high: float) -> Bounds:
    """A low and a high limit."""
    return Bounds(low=low, high=high)


def one(value: float, u95: float = 0.0) -> Reading:
    """A single reading."""
    return Reading(value, value, u95)


@dataclass(frozen=True, slots=True)
class _Scale:
    """Cells first … last - 1 are the fairway from `lo` to `hi`; a bank stands where a limit does."""

    first: int
    last: int
    lo: float
    hi: float
    low: float | None
    high: float | None

    def side(self, value: float) -> int:
        """-1 under the low limit, +1 over the high one, else 0: by the numbers, not by cells."""
        if self.low is not None and value < self.low:
            return -1
        return 1 if self.high is not None and value > self.high else 0

    def cell(self, value: float) -> int:
        """The cell of a value, on the side of the banks its number is on."""
        x = (value - self.lo) / (self.hi - self.lo) * (self.last - self.first)
        at_cell = self.first + math.floor(max(-1000.0, min(1000.0, x)))
        side = self.side(value)
        if side < 0:
            return min(self.first - 2, at_cell - 1)
        if side > 0:
            return max(self.last + 1, at_cell + 1)
        if self.low is not None:
            at_cell = max(at_cell, self.first)
        if self.high is not None:
            at_cell = min(at_cell, self.last - 1)
        return at_cell


def picture(
    bounds: Bounds, reading: Reading | None = None, *, width: int = WIDTH, bank: int | None = None
) -> str:
    """The gauge as `width` ASCII characters; `#` is the reading.

    `bank` moves the bank of a single limit to that cell; by default a quarter of the width lies beyond it.
    Numbers that are not finite count as no reading.
    """
    scale = _scale(bounds, width, bank)
    cells = [FAIRWAY if scale.first <= n < scale.last else " " for n in range(width)]
    ends: list[tuple[int, str]] = []
    if reading is not None and all(map(math.isfinite, (reading.low, reading.high, reading.u95))):
        low, high = min(reading.low, reading.high), max(reading.low, reading.high)
        start, stop = scale.cell(low), scale.cell(high)
        if reading.u95 > 0:
            left, right = _hatch(scale, low, high, reading.u95, start, stop)
            for n in range(max(left, 0), min(right, width - 1) + 1):
                cells[n] = HATCH
        for n in range(max(start, 0), min(stop, width - 1) + 1):
            cells[n] = READING_ASCII
        if start < 0:
            ends.append((0, OFF_LOW))
        if stop >= width:
            ends.append((width - 1, OFF_HIGH))
    if scale.low is not None:
        cells[scale.first - 1] = BANK
    if scale.high is not None:
        cells[scale.last] = BANK
    for n, sign in ends:
        cells[n] = sign
    return "".join(cells)


def gauge(
    layout: Layout,
    row: int,
    column: int,
    bounds: Bounds,
    reading: Reading | None = None,
    *,
    width: int = WIDTH,
    bank: int | None = None,
) -> Part:
    """Place a gauge: fairway quiet, banks and ends bold, reading and ± accented."""
    return drawn(layout, row, column, picture(bounds, reading, width=width, bank=bank))


def drawn(layout: Layout, row: int, column: int, cells: str) -> Part:
    """Place a picture made earlier."""
    roles = {FAIRWAY: Role.QUIET, BANK: Role.BOLD, HATCH: Role.ACCENT, READING_ASCII: Role.ACCENT}
    parts: list[Part] = []
    start = 0
    for n in range(1, len(cells) + 1):
        if n == len(cells) or cells[n] != cells[start]:
            sign = cells[start]
            if sign != " ":
                ink = READING if sign == READING_ASCII and layout.blocks else sign
                role = roles.get(sign, Role.BOLD)
                parts.append(at(row, column + start, ink * (n - start), role, Kind.GAUGE))
            start = n
    return joined(parts)


def check_gauge(layout: Layout, row: int, bounds: Bounds, reading: Reading | None, words: str) -> Part:
    """The gauge of a check line, 30 wide at 48 with its bank at 62, and the limit in words under the bank.

    At 60 columns there is no room for the gauge and only the words are placed; at 40 nothing.
    """
    if layout.gauge is None or layout.limit is None:
        return at(row + 1, layout.limit, words) if layout.limit is not None else ()
    single = bounds.low is None or bounds.high is None
    picked = gauge(
        layout,
        row,
        CHECK_COLUMN,
        bounds,
        reading,
        width=CHECK_WIDTH,
        bank=CHECK_BANK if single else None,
    )
    return picked + at(row + 1, layout.gauge, words)


def _scale(bounds: Bounds, width: int, bank: int | None) -> _Scale:
    over = width // 4
    low, high = bounds.low, bounds.high
    if low is not None and high is not None:
        return _Scale(over + 1, width - 1 - over, low, _after(low, high), low, high)
    if high is not None:
        lo = bounds.far if bounds.far is not None else 0.0
        if not lo < high:
            lo = high - max(abs(high), 1.0)
        return _Scale(0, width - 1 - over if bank is None else bank, lo, high, None, high)
    if low is None:
        return _Scale(0, width, 0.0, 1.0, None, None)
    hi = bounds.far if bounds.far is not None else 2.0 * low
    if not hi > low:
        hi = low + max(abs(low), 1.0)
    return _Scale((over if bank is None else bank) + 1, width, low, hi, low, None)


def _after(low: float, high: float) -> float:
    """A band's upper end, never at its lower one."""
    return high if high > low else low + max(abs(low), 1.0) * 1e-9


def _hatch(scale: _Scale, low: float, high: float, u95: float, start: int, stop: int) -> tuple[int, int]:
    """First and last hatched cell: one cell at least on each side, cut at a bank the number does not pass."""
    left = min(scale.cell(low - u95), start - 1)
    right = max(scale.cell(high + u95), stop + 1)
    if scale.side(low - u95) == 0 and scale.low is not None:
        left = max(left, scale.first)
    if scale.side(low - u95) > 0:
        left = max(left, scale.last + 1)
    if scale.side(high + u95) == 0 and scale.high is not None:
        right = min(right, scale.last - 1)
    if scale.side(high + u95) < 0:
        right = min(right, scale.first - 2)
    return left, right
