"""Blocks under one another: one description of a page's content for every size.

At 80 x 24 (and 120 x 40) a block stands on its own row, as designed, unless one above it grew. On smaller
pages blocks follow each other, one empty row apart; without room blocks of
rank 2 and less go first, then the gaps, then the lowest rank.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.app.look.layout import Layout
from divelog.app.look.page import Page, Part, below, joined, moved, page


@dataclass(frozen=True, slots=True)
class Block:
    """A part built at row 0, and the row it stands on at 80 x 24.

    `rank` says what is left out first on a small page (the lowest; 9 never). `height` reserves more rows than
    the part has now. `close` wants no gap above on small pages.
    """

    part: Part
    row: int
    rank: int = 5
    height: int = 0
    close: bool = False

    @property
    def rows(self) -> int:
        """Rows the block takes."""
        return max(below(self.part), self.height)


KEPT = 9
"""The rank of what is never left out."""
SMALL_TALK = 2
"""The highest rank that goes before the empty rows between blocks do."""


def stack(layout: Layout, blocks: Sequence[Block], *, last: int | None = None) -> Part:
    """Place blocks, in order, on the content rows of a layout; `last` is the lowest row they may use."""
    bottom = layout.keys[0] - 1 if last is None else last
    chosen = [block for block in blocks if block.rows]
    if layout.gauge is not None:
        rows = _designed(chosen, 1)
        if rows and rows[-1] + chosen[-1].rows > bottom + 1:
            rows = _designed(chosen, 0)
    else:
        chosen, rows = _followed(chosen, layout.first, bottom)
    placed = joined(moved(block.part, row) for block, row in zip(chosen, rows, strict=True))
    return tuple(p for p in placed if p.row <= bottom)


def _designed(blocks: Sequence[Block], gap: int) -> list[int]:
    """Each block's own row, or lower, `gap` rows apart, where one above it grew."""
    rows: list[int] = []
    free = 0
    for block in blocks:
        rows.append(block.row if block.row >= free else free + (0 if block.close else gap))
        free = rows[-1] + block.rows
    return rows


def _followed(blocks: Sequence[Block], first: int, bottom: int) -> tuple[list[Block], list[int]]:
    """Blocks one under another: those of rank 2 and less go before the gaps do, the others after."""
    chosen = list(blocks)
    room = bottom - first + 1
    while True:
        gaps = [0 if n == 0 or block.close else 1 for n, block in enumerate(chosen)]
        need = sum(block.rows for block in chosen)
        weakest = min((block.rank for block in chosen), default=KEPT)
        fits = need + (sum(gaps) if weakest <= SMALL_TALK else 0) <= room
        if fits or weakest >= KEPT:
            break
        # The last of the weakest goes: what stands higher is read first.
        del chosen[max(n for n, block in enumerate(chosen) if block.rank == weakest)]
    if need + sum(gaps) > room:
        gaps = [0] * len(chosen)  # never two different gaps on one page
    rows, row = [], first
    for block, gap in zip(chosen, gaps, strict=True):
        rows.append(row + gap)
        row += gap + block.rows
    return chosen, rows


def screen(layout: Layout, frame: Part, blocks: Sequence[Block], *more: Part) -> Page:
    """A page of its frame (header, waterline, keys) and stacked content; content never covers the keys."""
    return page(layout, stack(layout, blocks), *more, frame)
