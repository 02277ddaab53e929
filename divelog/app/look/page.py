"""A page as plain data: rows of placed spans, and the text they make.

Builders return parts (tuples of placed spans); `page` lays parts on a layout. Every span passes `shown`, so
nothing foreign in it can command the terminal.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from typing import NamedTuple

from rich.cells import cell_len, split_graphemes

from divelog.app.look.layout import Layout
from divelog.text import shown


class Role(Enum):
    """What a piece of ink means; a theme gives each its style."""

    TEXT = "text"
    BOLD = "bold"
    QUIET = "quiet"
    ACCENT = "accent"
    OUTSIDE = "outside"
    PLATE = "plate"
    FIGURE = "figure"


REVERSE = frozenset({Role.OUTSIDE, Role.PLATE, Role.FIGURE})
"""Roles that fill their cells; only these may cover the last column."""


class Kind(Enum):
    """What a span is, where the checks of the grid need to know."""

    WORDS = "words"
    LABEL = "label"
    RIGHT = "right"
    INLINE = "inline"
    AFTER = "after"
    GAUGE = "gauge"
    CHART = "chart"
    BLOCK = "block"
    MARK = "mark"


@dataclass(frozen=True, slots=True)
class Span:
    """Text from `column` on, in one role; harmless from the moment it exists."""

    column: int
    text: str
    role: Role = Role.TEXT
    kind: Kind = Kind.WORDS

    def __post_init__(self) -> None:
        if not (self.text.isascii() and self.text.isprintable()):
            object.__setattr__(self, "text", shown(self.text))

    @property
    def cells(self) -> int:
        """Width in columns."""
        return cell_len(self.text)

    @property
    def end(self) -> int:
        """First column after the span."""
        return self.column + self.cells


class Placed(NamedTuple):
    """A span on its row."""

    row: int
    span: Span


Part = tuple[Placed, ...]
"""What every builder returns; parts are joined with `+`."""

Run = tuple[str, Role]
"""A stretch of one role in a finished row."""


def at(row: int, column: int, text: str, role: Role = Role.TEXT, kind: Kind = Kind.WORDS) -> Part:
    """Place one piece of text; empty text places nothing."""
    return (Placed(row, Span(column, text, role, kind)),) if text else ()


def below(part: Part, otherwise: int = 0) -> int:
    """First row under a part; `otherwise` for an empty one."""
    return max((placed.row for placed in part), default=otherwise - 1) + 1


def moved(part: Part, rows: int, columns: int = 0) -> Part:
    """The same part, `rows` lower and `columns` to the right."""
    return tuple(Placed(row + rows, Span(s.column + columns, s.text, s.role, s.kind)) for row, s in part)


@dataclass(frozen=True, slots=True)
class Page:
    """One screen: `rows` holds the spans of each row of `layout`, in drawing order."""

    layout: Layout
    rows: tuple[tuple[Span, ...], ...]

    def runs(self, row: int) -> tuple[Run, ...]:
        """Row `row` as stretches of one role, together exactly `layout.width` columns."""
        return _runs(self.rows[row], self.layout)

    def lines(self) -> tuple[str, ...]:
        """Each row's characters, exactly `layout.width` columns; filled cells are blanks here."""
        return tuple("".join(text for text, _ in self.runs(row)) for row in range(len(self.rows)))

    def text(self) -> str:
        """The page as plain lines without trailing blanks.

        Blank cells of a figure are written `#`, blank cells of a plate `:`, as a drawing of the page needs.
        """
        signs = {Role.FIGURE: "#", Role.PLATE: ":"}
        lines = []
        for row in range(len(self.rows)):
            parts = [
                text.replace(" ", signs[role]) if role in signs else text for text, role in self.runs(row)
            ]
            lines.append("".join(parts).rstrip())
        return "\n".join(lines)

    def changed(self, other: Page | None) -> tuple[int, ...]:
        """Rows that differ from `other`; all of them if the layout differs."""
        if other is None or other.layout != self.layout:
            return tuple(range(len(self.rows)))
        return tuple(
            row
            for row, (mine, theirs) in enumerate(zip(self.rows, other.rows, strict=True))
            if mine != theirs and self.runs(row) != other.runs(row)
        )


def page(layout: Layout, *parts: Part) -> Page:
    """Lay parts on a layout; a later part covers an earlier one, what lies off the page is dropped."""
    rows: list[list[Span]] = [[] for _ in range(layout.height)]
    for row, span in (placed for part in parts for placed in part):
        if 0 <= row < layout.height and 0 <= span.column < layout.width:
            rows[row].append(span)
    return Page(layout, tuple(tuple(row) for row in rows))


def joined(parts: Iterable[Part]) -> Part:
    """Several parts as one."""
    return tuple(placed for part in parts for placed in part)


@lru_cache(maxsize=2048)
def _runs(spans: tuple[Span, ...], layout: Layout) -> tuple[Run, ...]:
    width = layout.width
    cells: list[str | None] = [" "] * width  # None: right half of a wide character
    roles = [Role.TEXT] * width
    for span in spans:
        column = span.column
        edge = layout.edge_for(column)
        full = width if layout.second is not None and column >= layout.second else layout.band
        for text, size in graphemes(span.text):
            limit = full if span.role in REVERSE and text == " " else edge
            if column + size > limit:
                break
            if size == 0:
                continue  # a mark without a letter; others stay with theirs
            for covered in (column, column + size - 1):
                _clear(cells, covered)
            cells[column] = text
            if size == 2:
                cells[column + 1] = None
            roles[column : column + size] = [span.role] * size
            column += size
    runs: list[Run] = []
    start = 0
    for column in range(1, width + 1):
        if column == width or roles[column] is not roles[start]:
            runs.append(("".join(c for c in cells[start:column] if c is not None), roles[start]))
            start = column
    return tuple(runs)


def graphemes(text: str) -> Iterable[tuple[str, int]]:
    """Split text into what stands in a cell (or two) together, each with its width."""
    if text.isascii():
        return [(character, 1) for character in text]
    return [(text[start:end], size) for start, end, size in split_graphemes(text)[0]]


def _clear(cells: list[str | None], column: int) -> None:
    """Blank a cell, and the other half if a wide character stood in it."""
    if cells[column] is None:
        cells[column - 1] = " "
    elif column + 1 < len(cells) and cells[column + 1] is None:
        cells[column + 1] = " "
    cells[column] = " "
