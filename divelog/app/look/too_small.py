"""The one sentence for a terminal too small for any page."""

from __future__ import annotations

from dataclasses import replace

from divelog.app.look.layout import TINY, Layout
from divelog.app.look.page import Page, at, joined, page
from divelog.app.look.words import head, wrap

SENTENCE = "Make the window larger: at least 40 columns and 12 rows. What you typed is kept."


def too_small(width: int, height: int) -> Page:
    """A page of any size from 1 x 1 with the sentence, as much of it as fits."""
    layout: Layout = replace(TINY, name="too small", width=width, height=height, keys=())
    room = max(min(width, 80) - 2, 1)
    column = 1 if width > 2 else 0
    lines = wrap(SENTENCE, room)
    return page(layout, joined(at(n, column, head(line, room)) for n, line in enumerate(lines)))
