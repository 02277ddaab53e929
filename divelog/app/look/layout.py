"""The column grid and its sizes: where everything on a page may stand.

Columns and rows count from 0. A page is drawn for one fixed layout and stands at the top left of a larger
terminal; it is never centred and never stretched.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum


class Place(IntEnum):
    """The six places, in the order of an outing; the digit goes there."""

    BOATS = 1
    LIMITS = 2
    CHECKS = 3
    RUN = 4
    LOG = 5
    UPKEEP = 6

    @property
    def title(self) -> str:
        """The place in words."""
        return self.name.capitalize()


@dataclass(frozen=True, slots=True)
class Layout:
    """One size of page and its columns.

    The five stops are `sign`, `title`, `reading`, `limit`, `gauge`; `gauge` is None where there is no room for
    gauges. `edge` is the first column nothing is drawn in. `blocks` is False where half blocks cannot be
    trusted (no UTF-8, or two columns wide): ASCII stands in for them.
    """

    name: str
    width: int
    height: int
    word: int
    number: int
    title: int
    reading: int
    limit: int | None
    gauge: int | None
    marks: tuple[int, ...]
    bar: int
    first: int
    last: int
    keys: tuple[int, ...]
    key_stops: tuple[int, ...]
    figures: tuple[int, int, int]
    second: int | None = None
    blocks: bool = True

    @property
    def sign(self) -> int:
        """Column of the sign and of the margin words."""
        return 1

    @property
    def edge(self) -> int:
        """First column in which no character stands."""
        return min(self.width - 1, 79) if self.second is None else 79

    @property
    def band(self) -> int:
        """Columns a reverse band covers."""
        return min(self.width, 80)

    @property
    def measure(self) -> int:
        """Longest line of a sentence, in columns: 62, less on narrow pages."""
        return min(self.edge - self.title, 62)

    @property
    def stops(self) -> tuple[int, ...]:
        """The stops in use, left to right."""
        return tuple(
            c for c in (self.sign, self.title, self.reading, self.limit, self.gauge) if c is not None
        )

    def figure_step(self, step: int) -> int:
        """Return the figure size (3, 5 or 10; 3 is the smallest) that stands for `step` in this layout."""
        return self.figures[{3: 0, 5: 1, 10: 2}[step]]

    def until(self, column: int) -> int:
        """Columns free from `column` up to one blank before the next stop (or to the edge)."""
        later = [c for c in self.stops if c > column]
        return (later[0] - 1 if later else self.edge) - column

    def column(self, stop: int) -> int | None:
        """This layout's column for a stop of the 80-column grid (1, 16, 36, 48 or 62); None if it has none."""
        return {1: self.sign, 16: self.title, 36: self.reading, 48: self.limit, 62: self.gauge}[stop]

    def edge_for(self, column: int) -> int:
        """First column a span that begins at `column` may not reach."""
        return self.width - 1 if self.second is not None and column >= self.second else self.edge

    @property
    def margin(self) -> bool:
        """Whether status words and margin words have room left of the title."""
        return self.title - self.word >= 10

    def ascii(self) -> Layout:
        """The same layout without half blocks."""
        return replace(self, blocks=False)


STANDARD = Layout(
    name="80x24",
    width=80,
    height=24,
    word=3,
    number=14,
    title=16,
    reading=36,
    limit=48,
    gauge=62,
    marks=(1, 16, 26, 36, 48, 62),
    bar=7,
    first=3,
    last=20,
    keys=(22, 23),
    key_stops=(1, 16, 36, 48, 62),
    figures=(3, 5, 10),
)
WIDE = replace(
    STANDARD, name="120x40", width=120, height=40, last=36, keys=(38, 39), figures=(5, 10, 10), second=84
)
SMALL = replace(
    STANDARD,
    name="60x20",
    width=60,
    height=20,
    reading=32,
    limit=44,
    gauge=None,
    marks=(1, 14, 23, 33, 42, 50),
    last=16,
    keys=(18, 19),
    key_stops=(1, 16, 32, 44),
    figures=(3, 5, 5),
)
TINY = replace(
    STANDARD,
    name="40x12",
    width=40,
    height=12,
    word=3,
    number=3,
    title=5,
    reading=27,
    limit=None,
    gauge=None,
    marks=(1, 8, 14, 20, 26, 32),
    bar=4,
    first=3,
    last=9,
    keys=(11,),
    key_stops=(1, 14, 27),
    figures=(3, 3, 3),
)
LAYOUTS = (WIDE, STANDARD, SMALL, TINY)


def layout_for(width: int, height: int, *, blocks: bool = True) -> Layout | None:
    """Return the largest layout that fits `width` columns and `height` rows; None if none does."""
    for layout in LAYOUTS:
        if layout.width <= width and layout.height <= height:
            return layout if blocks else layout.ascii()
    return None
