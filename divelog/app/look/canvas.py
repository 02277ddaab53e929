"""The one widget that paints: a page in a theme, line by line, only rows that changed.

A screen gives it a drawing, a pure function from a layout to a page; the canvas picks the layout that fits,
draws again when the size changes, and never moves or animates anything. It takes no focus and no mouse: keys
belong to the screen.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rich.segment import Segment
from textual import events
from textual.app import App
from textual.geometry import Region
from textual.strip import Strip
from textual.theme import Theme as FrameTheme
from textual.widget import Widget

from divelog.app.look.layout import STANDARD, Layout, layout_for
from divelog.app.look.page import Page, Role, page
from divelog.app.look.themes import SUN, Theme
from divelog.app.look.too_small import too_small

Drawing = Callable[[Layout], Page]
"""Draws the state of a screen for a layout; pure and quick."""


def _nothing(layout: Layout) -> Page:
    return page(layout)


class Canvas(Widget, can_focus=False):
    """Paints pages. `theme` and `blocks` (half blocks may be used) are the person's choice."""

    DEFAULT_CSS = """
    Canvas { width: 100%; height: 100%; }
    """
    ALLOW_SELECT = False

    def __init__(
        self,
        drawing: Drawing = _nothing,
        *,
        theme: Theme = SUN,
        blocks: bool = True,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id)
        self._drawing = drawing
        self._look = theme
        self._blocks = blocks
        self._page: Page | None = None

    @property
    def page(self) -> Page | None:
        """The page shown last; None before the first size is known."""
        return self._page

    @property
    def page_layout(self) -> Layout:
        """The layout pages are drawn for now (80 x 24 before the first size is known)."""
        return self._page.layout if self._page is not None else STANDARD

    @property
    def look(self) -> Theme:
        """The theme painted in."""
        return self._look

    def draw(self, drawing: Drawing | None = None) -> None:
        """Draw anew, with another drawing if one is given, and repaint the rows that differ."""
        if drawing is not None:
            self._drawing = drawing
        if self.size.width == 0 or self.size.height == 0:
            return
        self._show(self._drawn_now())

    def _drawn_now(self) -> Page:
        layout = layout_for(self.size.width, self.size.height, blocks=self._blocks)
        if layout is None:
            return too_small(self.size.width, self.size.height)
        return self._drawing(layout)

    def wear(self, theme: Theme, *, blocks: bool | None = None) -> None:
        """Change the theme, and whether half blocks are used; the whole page is repainted."""
        self._look = theme
        if blocks is not None:
            self._blocks = blocks
        self.draw()
        self.refresh()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.draw()

    def _show(self, new: Page) -> None:
        changed = new.changed(self._page)
        whole = self._page is None or self._page.layout != new.layout
        self._page = new
        if whole:
            self.refresh()
        elif changed:
            self.refresh(*(Region(0, row, self.size.width, 1) for row in changed))

    def render_line(self, y: int) -> Strip:
        """One row of the page, filled to the widget's width in the text style."""
        width = self.size.width
        ground = self._look.styles[Role.TEXT]
        if self._page is None and width > 0 and self.size.height > 0:
            # The first paint may come before the first resize message: draw now, not a refresh later.
            self._page = self._drawn_now()
        if self._page is None or y >= len(self._page.rows):
            return Strip([Segment(" " * width, ground)], width)
        return strip_of(self._page, y, self._look, width)


def strip_of(shown_page: Page, row: int, theme: Theme, width: int) -> Strip:
    """Row `row` of a page in a theme, as the strip that is painted, exactly `width` columns."""
    segments = [Segment(text, theme.styles[role]) for text, role in shown_page.runs(row)]
    strip = Strip(segments, shown_page.layout.width)
    return strip.adjust_cell_length(width, theme.styles[Role.TEXT])


def dress(app: App[Any], theme: Theme) -> None:
    """Give the application the ground of a theme, so that nothing around the canvas differs from it.

    Under *own* the framework's own theme without colours stands behind it.
    """
    if theme.page is None or theme.ink is None:
        app.theme = "ansi-dark"
        return
    name = f"divelog-{theme.name}"
    app.register_theme(
        FrameTheme(
            name=name,
            primary=theme.ink,
            foreground=theme.ink,
            background=theme.page,
            surface=theme.page,
            panel=theme.page,
            dark=theme.name == "dark",
        )
    )
    app.theme = name
