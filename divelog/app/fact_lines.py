"""Facts as lines of a page: a word at the left, what it says beside it, wrapped; the word stands once."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.app.logbook import Fact
from divelog.app.look.layout import Layout
from divelog.app.look.page import Part, Role, at, joined
from divelog.app.look.words import cut, wrap
from divelog.text import shown

Line = tuple[str, str, bool]
"""Word at the left, text, loud."""


def fact_lines(layout: Layout, facts: Sequence[Fact]) -> list[Line]:
    """Facts broken to the page; on a narrow one the word has a line of its own."""
    room = layout.measure if layout.margin else layout.edge - layout.title
    found: list[Line] = []
    before = ""
    for fact in facts:
        words = fact.word if fact.word != before else ""
        before = fact.word
        if not layout.margin and words:
            found.append((words, "", False))
            words = ""
        for line in wrap(shown(fact.text), room) or ("",):
            found.append((words, line, fact.loud))
            words = ""
    return found


def drawn_lines(layout: Layout, lines: Sequence[Line]) -> Part:
    """Lines as `fact_lines` made them."""
    room = layout.number - 1 if layout.margin else layout.edge - 1
    parts = []
    for row, (word, text, loud) in enumerate(lines):
        parts.append(at(row, layout.sign, cut(shown(word), room), Role.TEXT if text else Role.BOLD))
        parts.append(at(row, layout.title, text, Role.BOLD if loud else Role.TEXT))
    return joined(parts)
