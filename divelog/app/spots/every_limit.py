"""Every limit of the boat, a page at a time; a digit opens why."""

from __future__ import annotations

from divelog.app.display import limit_row
from divelog.app.frames import framed
from divelog.app.look import rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page
from divelog.app.look.stack import KEPT, Block
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.why import Why
from divelog.limits.model import Limit, Verdict


class EveryLimit(Spot):
    """All results but those not fitted, nine a page."""

    place = Place.LIMITS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.top = 0

    def _all(self) -> list[Limit]:
        return [one for one in self.desk.limits() if one.verdict is not Verdict.NOT_FITTED]

    def draw(self, layout: Layout) -> Page:
        """Nine rows with numbers."""
        found = self._all()
        page = found[self.top : self.top + 9]
        items = [limit_row(one, str(n)) for n, one in enumerate(page, 1)]
        spread = [item for pair in zip(items, [None] * len(items), strict=True) for item in pair]
        listed = rows.listed(layout, 0, spread if layout.gauge is not None else items)
        what = f"{self.top + 1} to {self.top + len(page)} of {len(found)}"
        return framed(
            self, layout, [Block(listed, row=3, rank=KEPT)], place="Every limit", what=what,
            first=(Key("1-9", "why"), Key("down", "further"), Key("up", "back"), None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """Digits open why, arrows turn the page."""
        found = self._all()
        if key.isdecimal() and key != "0":
            index = self.top + int(key) - 1
            if index < len(found):
                self.shell.push(Why(self.shell, found[index].key, found[index].item))
            return True
        if key in ("down", "pagedown", "enter", "space"):
            self.top = self.top + 9 if self.top + 9 < len(found) else self.top
            return True
        if key in ("up", "pageup"):
            self.top = max(0, self.top - 9)
            return True
        return False
