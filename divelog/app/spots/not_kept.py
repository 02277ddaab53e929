"""A storage fault: what is not kept, what is, and what can be done."""

from __future__ import annotations

from divelog.app.frames import framed
from divelog.app.look import answers
from divelog.app.look.layout import Layout
from divelog.app.look.page import Page
from divelog.app.look.stack import KEPT, Block
from divelog.app.shell import Shell
from divelog.app.spot import Spot


class NotKept(Spot):
    """Lies on top of the page whose answer was not kept.

    That page still asks the same question; where a part of an answer was kept, it keeps the rest first.
    """

    def __init__(self, shell: Shell, error: Exception) -> None:
        super().__init__(shell)
        self.error = error
        self.place = shell.here

    def draw(self, layout: Layout) -> Page:
        """The one fault with the reverse band."""
        kept = "everything answered before this is on disk"
        part = answers.not_kept(
            layout,
            0,
            why=str(self.error),
            kept=kept,
            options=[("1", "go back and answer again"), ("2", "leave")],
        )
        return framed(self, layout, [Block(part, row=4, rank=KEPT)], place="Not kept")

    def press(self, key: str) -> bool:
        """1 or Esc goes back, 2 leaves."""
        if key in ("1", "enter", "escape"):
            self.shell.pop()
        elif key == "2":
            self.shell.asked_to_leave = True
        return True
