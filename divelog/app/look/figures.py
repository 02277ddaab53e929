"""Figures: numbers drawn large on a font of 3 x 5 square pixels.

Figure 3 is drawn with half blocks (a pixel is half a cell), figures 5 and 10 with filled cells of 2 x 1 and
4 x 2. Without half blocks figure 3 is the number in bold on its middle row.
"""

from __future__ import annotations

from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.words import cut, size

FONT: dict[str, tuple[str, ...]] = {
    "0": ("111", "101", "101", "101", "111"),
    "1": ("010", "110", "010", "010", "111"),
    "2": ("111", "001", "111", "100", "111"),
    "3": ("111", "001", "111", "001", "111"),
    "4": ("101", "101", "111", "001", "001"),
    "5": ("111", "100", "111", "001", "111"),
    "6": ("111", "100", "111", "101", "111"),
    "7": ("111", "001", "001", "001", "001"),
    "8": ("111", "101", "111", "101", "111"),
    "9": ("111", "101", "111", "001", "111"),
    ".": ("0", "0", "0", "0", "1"),
    ":": ("0", "1", "0", "1", "0"),
    "-": ("000", "000", "111", "000", "000"),
}
HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}
_PIXEL = {3: (1, 1), 5: (2, 1), 10: (4, 2)}
_GAP = {3: 1, 5: 2, 10: 4}


def drawable(text: str) -> bool:
    """Whether every character has a figure."""
    return all(character in FONT for character in text)


def width(text: str, step: int) -> int:
    """Columns `text` takes as a figure of `step` (3, 5 or 10)."""
    pixels = sum(len(FONT[character][0]) for character in text)
    return pixels * _PIXEL[step][0] + _GAP[step] * max(len(text) - 1, 0)


def half_rows(text: str) -> tuple[str, str, str]:
    """Figure 3 as three rows of half blocks; the upper half of the first row is empty."""
    rows = [" ".join(FONT[c][y] for c in text) for y in range(5)]
    blank = "0" * len(rows[0])
    pixels = [blank, *(row.replace(" ", "0") for row in rows)]
    drawn = [
        "".join(HALVES[u == "1", lo == "1"] for u, lo in zip(pixels[y], pixels[y + 1], strict=True))
        for y in (0, 2, 4)
    ]
    return drawn[0], drawn[1], drawn[2]


def column_for(layout: Layout, text: str, step: int) -> int:
    """Where a lone figure starts: the reading edge, or column 1 where it would reach into the limits."""
    drawn = layout.figure_step(step)
    beside = layout.limit if layout.limit is not None else layout.edge + 2
    if drawable(text) and layout.title + width(text, drawn) > beside - 2:
        return layout.sign
    return layout.title


def figure(
    layout: Layout,
    row: int,
    column: int,
    text: str,
    *,
    step: int = 3,
    unit: str | tuple[str, ...] = "",
    end: int | None = None,
) -> Part:
    """Draw `text` as a figure with its unit, bold, right of it on the last row.

    `step` is the size meant for 80 x 24; the layout may change it. Several units may be given, longest first:
    the first with room before `end` (the page's edge, or the column of what stands beside) is taken. Text
    that cannot be drawn, or has no room, is written in bold on the middle row, so that a number is never lost.
    """
    step = layout.figure_step(step)
    edge = layout.edge_for(column) if end is None else end
    while step > 3 and drawable(text) and column + width(text, step) > edge:
        step = {10: 5, 5: 3}[step]
    large = drawable(text) and column + width(text, step) <= edge and (step > 3 or layout.blocks)
    wide = width(text, step) if large else size(text)
    last = row + (step - 1 if large else step // 2)
    units = (unit,) if isinstance(unit, str) else unit
    room = edge - column - wide - 2
    fitting = next((u for u in units if size(u) <= room), cut(units[-1], room) if units else "")
    after = at(last, column + wide + 2, fitting, Role.BOLD, Kind.AFTER)
    if not large:
        return at(last, column, text, Role.BOLD, Kind.AFTER) + after
    if step == 3:
        return inked(row, column, half_rows(text), Role.ACCENT) + after
    return _filled(row, column, text, step) + after


def inked(row: int, column: int, lines: tuple[str, ...], role: Role) -> Part:
    """Only the cells with ink, so that what lies between stays free."""
    parts: list[Part] = []
    for y, line in enumerate(lines):
        x = 0
        for word in line.split(" "):
            parts.append(at(row + y, column + x, word, role, Kind.BLOCK))
            x += len(word) + 1
    return joined(parts)


def _filled(row: int, column: int, text: str, step: int) -> Part:
    """Filled cells: blanks in the figure's role."""
    wide, high = _PIXEL[step]
    parts: list[Part] = []
    x = column
    for character in text:
        for y, line in enumerate(FONT[character]):
            for pixel, on in enumerate(line):
                if on == "1":
                    parts.extend(
                        at(row + y * high + h, x + pixel * wide, " " * wide, Role.FIGURE, Kind.BLOCK)
                        for h in range(high)
                    )
        x += len(FONT[character][0]) * wide + _GAP[step]
    return joined(parts)
