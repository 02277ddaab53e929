"""The plate: where an answer is typed. A reverse block, the answer as holes in it."""

from __future__ import annotations

from divelog.app.look import figures
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.words import cut, size, tail, wrap

ROWS = 5
"""Rows of a full number plate; the figure stands in rows 1 to 3 of it."""
_WIDTH, _NARROW = 32, 24
_INSET = 2


def bounds(layout: Layout) -> tuple[int, int]:
    """First column of the plate and the first after it: 14 and 46; narrower at 40 columns."""
    start = layout.title - _INSET
    return start, start + (_WIDTH if layout.margin else _NARROW)


def rows(layout: Layout) -> int:
    """Rows of a number plate: 5, and 3 (the figure alone) at 40 columns."""
    return ROWS if layout.margin else ROWS - 2


def number_plate(layout: Layout, row: int, typed: str, *, unit: str = "") -> Part:
    """The typed number as figure 3 in its plate, and a low bar where the next digit goes.

    The unit stands right of the plate on the figure's last row. A number too long for figures is written on
    the middle row, its end in sight.
    """
    start, end = bounds(layout)
    inner = end - start - 2 * _INSET
    lines = [""] * ROWS
    drawn = _as_figure(layout, typed) or (typed == "" and layout.blocks)
    if drawn:
        lines[1:4] = figures.half_rows(typed)
        used = figures.width(typed, 3) + 1 if typed else 0
        if used + 3 <= inner:
            lines[3] = lines[3].ljust(used) + "▄▄▄"
    else:
        lines[2] = tail(typed, inner - 1) + "_"
    above = _above(layout)
    lines = lines[above : ROWS - above]
    plate = joined(
        at(row + n, start, _fill(line, end - start), Role.PLATE, Kind.BLOCK) for n, line in enumerate(lines)
    )
    beside = layout.limit if layout.limit is not None and layout.limit > end else end + 2
    kind = Kind.WORDS if beside == layout.limit else Kind.AFTER
    said = cut(unit, layout.edge - beside)
    return plate + at(row + (3 if drawn else 2) - above, beside, said, Role.BOLD, kind)


def kept_number(layout: Layout, row: int, typed: str, *, unit: str = "") -> Part:
    """The number after its verdict: exactly where it was typed, the plate gone.

    `row` is the plate's first row.
    """
    top = row - _above(layout)
    if _as_figure(layout, typed):
        drawn = figures.inked(top + 1, layout.title, figures.half_rows(typed), Role.ACCENT)
        wide, last = figures.width(typed, 3), top + 3
    else:
        drawn = at(top + 2, layout.title, cut(typed, layout.edge - layout.title), Role.BOLD, Kind.AFTER)
        wide, last = size(typed), top + 2
    after = layout.title + wide + 2
    return drawn + at(last, after, cut(unit, layout.edge - after), Role.BOLD, Kind.AFTER)


def _as_figure(layout: Layout, typed: str) -> bool:
    start, end = bounds(layout)
    fits = figures.drawable(typed) and figures.width(typed, 3) <= end - start - 2 * _INSET
    return bool(typed) and layout.blocks and fits


def _above(layout: Layout) -> int:
    """Rows of the full plate left away above (and below) the figure."""
    return (ROWS - rows(layout)) // 2


def choice_plate(layout: Layout, row: int, digit: str = "", words: str = "") -> Part:
    """One row: empty with a low bar until a digit is pressed, then digit and words."""
    return _line(layout, row, f"{digit}  {words}" if digit else "")


def text_plate(layout: Layout, row: int, typed: str, *, rows: int = 1) -> Part:
    """Text being typed, over `rows` rows (one as a rule); the end stays in sight."""
    start, end = bounds(layout)
    inner = end - start - 2 * _INSET
    if rows == 1:
        return _line(layout, row, typed)
    lines = list(wrap(typed + "_", inner))[-rows:]
    lines += [""] * (rows - len(lines))
    return joined(
        at(row + n, start, _fill(line, end - start), Role.PLATE, Kind.BLOCK) for n, line in enumerate(lines)
    )


def _line(layout: Layout, row: int, text: str) -> Part:
    start, end = bounds(layout)
    inner = end - start - 2 * _INSET
    if size(text) > inner - 1:
        text = "<" + tail(text, inner - 2)
    return at(row, start, _fill(text + "_", end - start), Role.PLATE, Kind.BLOCK)


def _fill(text: str, width: int) -> str:
    line = " " * _INSET + text
    return line + " " * (width - size(line))
