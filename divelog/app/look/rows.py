"""Rows of lists: focus, sign and status word, number, title, reading, limit, gauge.

Status is always sign and word (at 40 columns the sign alone has room). The first OUTSIDE of a page may be the
one reverse block; every further one is bold. Focus is `>` in column 0 and a bold title.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look import gauge as gauges
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.words import Status, cut, size

FOCUS = ">"
BLOCK = 13
"""Columns of the reverse block of an OUTSIDE in a list: 0 to 12."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a list.

    `number` opens the row (`1` … `9`, `0`, or two digits). `remark` follows a reading in words after two
    blanks and takes the place of limit and gauge. A long limit without a reading starts at the reading.
    `strong` writes the title bold without focus.
    """

    title: str
    status: Status | None = None
    number: str = ""
    reading: str = ""
    limit: str = ""
    bounds: gauges.Bounds | None = None
    value: gauges.Reading | None = None
    remark: str = ""
    strong: bool = False


def listed(
    layout: Layout,
    row: int,
    items: Sequence[Row | None],
    *,
    focus: int | None = None,
    block: bool = True,
) -> Part:
    """Rows one under another from `row`; None is an empty row; `focus` counts in `items`.

    With `block` the first OUTSIDE is the page's reverse block: pass False where a page has another one.
    """
    parts: list[Part] = []
    for n, item in enumerate(items):
        if item is None:
            continue
        worst = block and item.status is Status.OUTSIDE
        block = block and not worst
        parts.append(one(layout, row + n, item, focused=n == focus, block=worst))
    return joined(parts)


def one(layout: Layout, row: int, item: Row, *, focused: bool = False, block: bool = False) -> Part:
    """A single row."""
    title_role = Role.BOLD if focused or item.strong else Role.TEXT
    parts = [
        status(layout, row, item.status, focused=focused, block=block, digits=len(item.number)),
        number(layout, row, item.number),
        at(row, layout.title, cut(item.title, layout.until(layout.title)), title_role),
    ]
    if item.remark:
        return joined(parts) + _remarked(layout, row, item)
    parts.append(at(row, layout.reading, cut(item.reading, layout.until(layout.reading)), Role.BOLD))
    drawn = item.bounds is not None and layout.gauge is not None
    if layout.limit is not None and item.limit:
        room = layout.until(layout.limit) if drawn else layout.edge - layout.limit
        start = layout.limit
        if not item.reading and size(item.limit) > room:
            start, room = layout.reading, room + layout.limit - layout.reading
        parts.append(at(row, start, cut(item.limit, room)))
    if item.bounds is not None and layout.gauge is not None:
        parts.append(gauges.gauge(layout, row, layout.gauge, item.bounds, item.value))
    return joined(parts)


def _remarked(layout: Layout, row: int, item: Row) -> Part:
    room = layout.edge - layout.reading
    words = cut(item.reading, room)
    after = layout.reading + size(words) + 2
    said = at(row, layout.reading, words, Role.BOLD)
    left = layout.edge - after
    return said + (at(row, after, cut(item.remark, left), kind=Kind.AFTER) if left > 3 else ())


def status(
    layout: Layout,
    row: int,
    of: Status | None,
    *,
    focused: bool = False,
    block: bool = False,
    word: str = "",
    digits: int = 0,
) -> Part:
    """Sign, word and focus at the left edge; `word` replaces the status word (a line of a check).

    Right of a reverse block the focus stands in 13, or in 15 beside a number of two `digits`.
    """
    if of is None:
        return _focus(row, 0) if focused else ()
    if not layout.margin:
        if block:
            return at(row, 0, f"{FOCUS if focused else ' '}{of.sign}", Role.OUTSIDE, Kind.BLOCK)
        lone = at(row, layout.sign, of.sign, Role.BOLD if of.bold else Role.TEXT)
        return lone + (_focus(row, 0) if focused else ())
    words = cut(word or of.word, BLOCK - layout.word)
    if block:
        filled = f" {of.sign} {words}".ljust(BLOCK)
        return at(row, 0, filled, Role.OUTSIDE, Kind.BLOCK) + (
            _focus(row, BLOCK if digits < 2 else layout.number + 1) if focused else ()
        )
    role = Role.BOLD if of.bold or (focused and word) else Role.TEXT
    mark = at(row, layout.sign, of.sign, role) + at(row, layout.word, words, role)
    return mark + (_focus(row, 0) if focused else ())


def number(layout: Layout, row: int, digits: str) -> Part:
    """The number that opens a row, bold; two digits start one column earlier."""
    return at(row, layout.number - len(digits) + 1, digits, Role.BOLD, Kind.MARK)


def _focus(row: int, column: int) -> Part:
    return at(row, column, FOCUS, Role.BOLD, Kind.MARK)


def margin(
    layout: Layout, row: int, lines: Sequence[tuple[Status | None, str]], *, focus: int | None = None
) -> Part:
    """The lines of this part of a check, down the left edge: sign and short name, `>` at the present one.

    Nothing at 40 columns, where the margin has no room.
    """
    if not layout.margin:
        return ()
    parts: list[Part] = []
    for n, (of, word) in enumerate(lines):
        present = n == focus
        short = cut(word, layout.number - 1 - layout.word)
        role = Role.BOLD if present else Role.TEXT
        if present:
            parts.append(_focus(row + n, 0))
        elif of is not None:
            parts.append(at(row + n, layout.sign, of.sign, Role.BOLD if of.bold else Role.TEXT))
        parts.append(at(row + n, layout.word, short, role))
    return joined(parts)


@dataclass(frozen=True, slots=True)
class Entry:
    """A list item with words instead of a reading: a boat, a line of the log.

    `lead` stands at the left edge in place of a status (a date). `words` stand at 36, `more` at 62; `under`
    are further lines at 36.
    """

    title: str
    words: str = ""
    more: str = ""
    status: Status | None = None
    lead: str = ""
    number: str = ""
    under: tuple[str, ...] = ()
    strong: bool = False
    loud: bool = False


def entry(layout: Layout, row: int, item: Entry, *, focused: bool = False, block: bool = False) -> Part:
    """Place an entry. `strong`: title bold; `loud`: words bold.

    Where there is no gauge stop, `more` follows under the words as one further line; at 40 columns the lines
    under the title start at the title.
    """
    lead = cut(item.lead, layout.number - 2) if layout.margin else ""
    strong = Role.BOLD if focused or item.strong else Role.TEXT
    loud = Role.BOLD if item.loud else Role.TEXT
    parts = [
        status(layout, row, item.status, focused=focused, block=block, digits=len(item.number)),
        at(row, layout.sign, lead) if item.status is None else (),
        number(layout, row, item.number),
    ]
    at_words = layout.reading if layout.margin else layout.title
    lines = list(item.under)
    if layout.margin:
        parts.append(at(row, layout.title, cut(item.title, layout.until(layout.title)), strong))
        room = (
            layout.gauge - 1 - at_words if layout.gauge is not None and item.more else layout.edge - at_words
        )
        parts.append(at(row, at_words, cut(item.words, room), loud))
        if layout.gauge is not None:
            parts.append(at(row, layout.gauge, cut(item.more, layout.edge - layout.gauge)))
        elif item.more:
            lines.insert(0, item.more)
    else:
        parts.append(at(row, layout.title, cut(item.title, layout.edge - layout.title), strong))
        lines[:0] = [line for line in (item.words, item.more) if line]
    parts.extend(at(row + 1 + n, at_words, cut(line, layout.edge - at_words)) for n, line in enumerate(lines))
    return joined(parts)
