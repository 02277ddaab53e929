"""Sentences, notes, choices, cautions, the verdict and faults: what a page says in words."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.rows import FOCUS
from divelog.app.look.words import Status, cut, size, wrap

CAUTIONS = 3
"""Most cautions on one page."""
BAND_ROWS = 3
MEASURE = 62
"""Longest line of a sentence."""


def sentence(
    layout: Layout,
    row: int,
    text: str,
    *,
    column: int | None = None,
    role: Role = Role.TEXT,
    most: int | None = None,
) -> Part:
    """A sentence wrapped at words, from the reading edge (or `column`) to the page's edge; `most` rows."""
    start = layout.title if column is None else column
    room = min(layout.edge_for(start) - start, MEASURE)
    lines = wrap(text, room)
    if most is not None and len(lines) > most:
        lines = (*lines[: most - 1], cut(" ".join(lines[most - 1 :]), room))
    return joined(at(row + n, start, line, role) for n, line in enumerate(lines))


def note(
    layout: Layout, row: int, word: str, text: str, *, loud: bool = False, role: Role = Role.TEXT
) -> Part:
    """A margin word and its sentence: *Measure next*, *Source*, *Open 3*. `loud` writes the word bold.

    At 40 columns the word leads the sentence instead.
    """
    ink = Role.BOLD if loud else Role.TEXT
    if layout.margin:
        return at(row, layout.sign, cut(word, layout.number - 1), ink) + sentence(
            layout, row, text, role=role
        )
    start = layout.sign + size(word) + 1
    lines = wrap("_" * size(word) + " " + text, layout.edge - layout.sign)
    first, *rest = lines or ("",)
    parts = [
        at(row, layout.sign, word, ink),
        at(row, start, first[size(word) + 1 :], role, Kind.AFTER),
    ]
    parts.extend(at(row + 1 + n, layout.sign, line, role) for n, line in enumerate(rest))
    return joined(parts)


def cautions(layout: Layout, row: int, texts: Sequence[str]) -> Part:
    """At most three cautions, the first three given: `Caution` bold in the margin, the sentence regular."""
    part: Part = ()
    for text in texts[:CAUTIONS]:
        placed = note(layout, row, "Caution", text, loud=True)
        row = max((p.row for p in placed), default=row) + 1
        part += placed
    return part


def choices(
    layout: Layout,
    row: int,
    options: Sequence[tuple[str, str]],
    *,
    column: int | None = None,
    loud: bool = True,
) -> Part:
    """Options under each other: digit bold, words three columns on. No option is ever lit beforehand."""
    start = layout.title if column is None else column
    width = (layout.until(start) if start == layout.limit else layout.edge - start) - 3
    digit_role = Role.BOLD if loud else Role.TEXT
    return joined(
        at(row + n, start, digit, digit_role) + at(row + n, start + 3, cut(words, width), kind=Kind.LABEL)
        for n, (digit, words) in enumerate(options)
    )


def next_steps(
    layout: Layout, row: int, options: Sequence[tuple[str, str]], *, word: str = "Next", rows: int = 2
) -> Part:
    """Choices in one line (`1 read again   2 pack D3`), three blanks apart, at most `rows` rows."""
    x = start = layout.title if layout.margin else layout.sign + size(word) + 2
    part = at(row, layout.sign, word, Role.BOLD)
    y = row
    for digit, words in options:
        length = size(digit) + 1 + size(words)
        if x > start and x + length > layout.edge:
            x, y = start, y + 1
        if y >= row + rows:
            break
        part += at(y, x, digit, Role.BOLD, Kind.INLINE)
        said = cut(words, layout.edge - x - size(digit) - 1)
        part += at(y, x + size(digit) + 1, said, kind=Kind.INLINE)
        x += length + 3
    return part


def verdict(layout: Layout, row: int, status: Status, text: str) -> Part:
    """The verdict on rows `row` to `row + 2`, kept empty before: nothing jumps.

    OUTSIDE is the reverse band; the others are one row in the middle, bold where the status is.
    """
    if status is Status.OUTSIDE:
        return band(layout, row, f"{status.sign} {status.word}", text)
    role = Role.BOLD if status.bold else Role.TEXT
    if not layout.margin:
        return note(layout, row, f"{status.sign} {status.word}", text, loud=status.bold, role=role)
    mark = at(row + 1, layout.sign, status.sign, role) + at(row + 1, layout.word, status.word, role)
    return mark + sentence(layout, row + 1, text, role=role, most=2)


def band(layout: Layout, row: int, word: str, text: str) -> Part:
    """The reverse band: three rows, full width, word at 1 and sentence at the reading edge, in the middle.

    A longer sentence takes the lower row and then the upper one too.
    """
    start = layout.title if layout.margin else layout.sign + size(word) + 2
    room = min(layout.edge - start, MEASURE)
    lines = list(wrap(text, room))
    if len(lines) > BAND_ROWS:
        lines = [*lines[: BAND_ROWS - 1], cut(" ".join(lines[BAND_ROWS - 1 :]), room)]
    top = 0 if len(lines) == BAND_ROWS else 1
    parts = []
    for n in range(BAND_ROWS):
        said = lines[n - top] if 0 <= n - top < len(lines) else ""
        left = (" " * layout.sign + word if n == top else "").ljust(start)
        filled = left + said
        filled += " " * (layout.band - size(filled))
        parts.append(at(row + n, 0, filled, Role.OUTSIDE, Kind.BLOCK))
    return joined(parts)


def fault(
    layout: Layout, row: int, *, where: str, found: str, wanted: str, options: Sequence[tuple[str, str]] = ()
) -> Part:
    """A fault of a file as a page: where, what was found and what is wanted, what can be done."""
    part = note(layout, row, "Fault", where, loud=True, role=Role.BOLD)
    for word, text in (("found", found), ("wanted", wanted)):
        row = max(p.row for p in part) + 1 + (word == "found")
        part += note(layout, row, word, text)
    if options:
        part += next_steps(layout, max(p.row for p in part) + 2, options)
    return part


def not_kept(layout: Layout, row: int, *, why: str, kept: str, options: Sequence[tuple[str, str]]) -> Part:
    """The one fault with the reverse band: `X NOT KEPT`, the last answer that is safe, what can be done."""
    part = band(layout, row, "X NOT KEPT", why)
    part += note(layout, row + BAND_ROWS + 1, "Kept", kept)
    return part + next_steps(layout, max(p.row for p in part) + 2, options)


def steps(
    layout: Layout, row: int, items: Sequence[tuple[str, str]], *, present: int, most: int | None = None
) -> Part:
    """Steps by the clock: time right-aligned in 3 to 8, what to do at the reading edge; `=` the ones done.

    The present one is bold, between two empty rows, with `>`. Where `most` rows do not hold them all, the
    first ones done go, then the last ones to come; the present one stays.
    """
    first = 0
    while True:
        part = _steps(layout, row, items, first, present)
        if most is None or max((p.row for p in part), default=row) < row + most or first >= present:
            break
        first += 1
    return part if most is None else tuple(p for p in part if p.row < row + most)


def _steps(layout: Layout, row: int, items: Sequence[tuple[str, str]], first: int, present: int) -> Part:
    parts: list[Part] = []
    for n, (time, words) in enumerate(items[first:], first):
        here = n == present
        if here and n > first:
            row += 1
        role = Role.BOLD if here else Role.TEXT
        if here:
            parts.append(at(row, 0, FOCUS, role, Kind.MARK))
        elif n < present:
            parts.append(at(row, layout.sign, Status.DONE.sign))
        if layout.margin:
            parts.append(at(row, 9 - size(time), time, role, Kind.RIGHT))
            said = sentence(layout, row, words, role=role, most=2)
        else:
            said = sentence(layout, row, f"{time}: {words}", column=layout.word, role=role, most=2)
        parts.append(said)
        row = max((p.row for p in said), default=row) + 1 + here
    return joined(parts)


def facts(
    layout: Layout, row: int, items: Sequence[tuple[str, str]], *, gap: int = 2, loud: bool = True
) -> Part:
    """Facts with their value: word at 48, value bold at 62, `gap` rows apart.

    One step to the left at 60 columns; at 40 at the title and the reading, without gaps.
    """
    words = layout.limit if layout.gauge is not None else layout.reading
    values = layout.gauge if layout.gauge is not None else layout.limit
    if words is None or values is None:
        words, values, gap = layout.title, layout.reading, 1
    return joined(
        at(row + n * gap, words, cut(word, values - words - 1))
        + at(row + n * gap, values, cut(value, layout.edge - values), Role.BOLD if loud else Role.TEXT)
        for n, (word, value) in enumerate(items)
    )
