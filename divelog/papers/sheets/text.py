"""A paper as plain text, at most 78 columns wide: for a printer without a browser, and for reading aloud."""

from __future__ import annotations

import textwrap

from divelog.papers.sheets.model import (
    Bigs,
    Blank,
    Blanks,
    Pairs,
    Paper,
    Part,
    Row,
    Rows,
    Space,
    Steps,
    Table,
    Words,
)
from divelog.text import shown

WIDTH = 78
LOUD = "<<<"
_ASIDE = 5
_LINE = "________"


def as_text(paper: Paper) -> str:
    """The whole paper. Every part begins with its title, after an empty row."""
    out = [f"{paper.boat}  {paper.title}", *_wrapped(paper.under), "=" * WIDTH]
    for part in paper.parts:
        out += ["", *_part(part)]
    if paper.cautions or paper.foot:
        out.append("")
    for words in paper.cautions:
        out += _wrapped(f"Caution: {words}", 0, 9)
    for words in paper.foot:
        out += _wrapped(words)
    out.append(f"Printed {paper.made:%Y-%m-%d %H:%M}")
    return "\n".join(row.rstrip() for row in out) + "\n"


def _wrapped(words: str, indent: int = 0, hang: int | None = None) -> list[str]:
    if not words:
        return []
    after = indent if hang is None else hang
    return textwrap.wrap(
        shown(words, 1000), WIDTH, initial_indent=" " * indent, subsequent_indent=" " * after
    )


def _part(part: Part) -> list[str]:
    match part:
        case Bigs():
            return [
                f"{one.title + ':':<34}{one.number or _LINE} {one.unit}{f'  ({one.remark})' if one.remark else ''}"[
                    :WIDTH
                ]
                for one in part.items
            ]
        case Rows():
            return _titled(part.title, [text for row in part.rows for text in _row(row)], part.note)
        case Blanks():
            rows = [row for blank in part.rows for row in _blank(blank, part.short)]
            return _titled(part.title, rows, part.note)
        case Table():
            return _titled(part.title, _table(part), part.note)
        case Pairs():
            rows = [row for a, b in part.pairs for row in _wrapped(f"{a + ':':<22} {b}", 2, 25)]
            return _titled(part.title, rows, part.note)
        case Steps():
            rows = []
            for number, (when, what, how) in enumerate(part.steps, 1):
                rows += _wrapped(
                    f"{number}. {f'[{when}] ' if when else ''}{what}{f'  {how}' if how else ''}", 2, _ASIDE
                )
            return _titled(part.title, rows, "")
        case Words(lined=True):
            rows = [f"  {line} {_LINE * 4}   Date {_LINE}" for line in part.lines]
            return _titled(part.title, rows, "")
        case Words():
            return _titled(part.title, [row for line in part.lines for row in _wrapped(line, 2, 4)], "")


def _titled(title: str, rows: list[str], note: str) -> list[str]:
    return [title, *rows, *_wrapped(note, 2)]


def _table(table: Table) -> list[str]:
    """Heads, then rows, each cell wrapped inside its own column."""
    room = WIDTH - len(LOUD) - 1 if table.loud else WIDTH
    widths = [max(4, room * share // 100) for share in table.widths]
    out = [_cells(table.heads, widths)[0], "-" * room]
    for index, row in enumerate(table.rows):
        lines = _cells(row, widths)
        if index in table.loud:
            lines[0] = f"{lines[0]:<{WIDTH - len(LOUD)}}{LOUD}"
        out += lines
    return out if table.rows else [*out, "none"]


def _cells(cells: tuple[str, ...], widths: list[int]) -> list[str]:
    columns = [
        textwrap.wrap(shown(cell, 400), width - 1) or [""] for cell, width in zip(cells, widths, strict=True)
    ]
    rows = []
    for line in range(max(len(column) for column in columns)):
        parts = [column[line] if line < len(column) else "" for column in columns]
        rows.append("".join(f"{part:<{width}}" for part, width in zip(parts, widths, strict=True)).rstrip())
    return rows


def _row(row: Row) -> list[str]:
    """Sign, name, reading and limit in one row, or the last two under it where they do not fit."""
    text = f"{row.sign:<13}{row.name[:30]:<31}{row.reading:<15}{row.limit}"
    room = WIDTH - len(LOUD) - 1 if row.loud else WIDTH
    more: list[str] = []
    if len(text) > room or len(row.reading) > 14 or len(row.name) > 30:
        text = f"{row.sign:<13}{row.name}"
        more = _wrapped(", ".join(part for part in (row.reading, row.limit) if part), 15, 15)
    return [f"{text[:room]:<{WIDTH - len(LOUD)}}{LOUD}" if row.loud else text[:room], *more]


def _blank(blank: Blank, short: bool) -> list[str]:
    mark = "C" if blank.critical else " "
    again = " (again before launch)" if blank.again else ""
    head = _wrapped(f"{blank.number:>3} {mark} {blank.say}{again}", 0, 6)
    if blank.sign:
        words = f"{blank.sign}  {blank.filled}".rstrip()
        if blank.loud:
            words = f"{words:<{WIDTH - 10}}{LOUD}"
        return [*head, *_wrapped(words, 6, 6)]
    rows = [] if short else _wrapped(blank.how, 6, 6)
    if any(s.digit for s in blank.spaces):
        return [*head, *rows, *(line for s in blank.spaces for line in _wrapped(_space(s), 6, 8))]
    return [*head, *rows, *_wrapped("   ".join(_space(s) for s in blank.spaces), 6, 6)]


def _space(space: Space) -> str:
    if space.tick:
        return f"[ ] {space.label}".rstrip()
    if space.digit:
        return f"{space.label} [_]"
    label = f"{space.label}: " if space.label else ""
    limit = f" ({space.limit})" if space.limit else ""
    if space.choices:
        rung = " | ".join(f"{n} {words}" for n, words in enumerate(space.choices, 1))
        return f"{label}{rung}{f' | {_LINE} {space.unit}' if space.unit else ''}{limit}"
    return f"{label}{_LINE} {space.unit}".rstrip() + limit
