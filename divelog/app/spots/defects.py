"""Open defects of a boat: what stops her, and how it is closed. A launch all the same needs a reason, at the launch."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.app.form import CHOICE, TEXT, Ask, Form, when
from divelog.app.frames import date_words, framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status
from divelog.app.sentences import said
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.clock import day_month
from divelog.history.defects import Defect
from divelog.history.folding import fold
from divelog.text import shown

CHECKS: tuple[tuple[str, str], ...] = (
    ("the long leak test", "leak-test"), ("ten minutes in 0.5 m, then opened", "ten-minutes"),
    ("the failsafe on the bench", "bench"), ("the tank", "tank-trim"), ("a look and a hand on it", "look"),
)  # fmt: skip
"""What may have proved that a defect is gone."""


class Defects(Spot):
    """Her open defects; a digit closes one."""

    place = Place.BOATS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.top = 0

    def found(self) -> tuple[Defect, ...]:
        """Open defects, those that stop a launch first."""
        if self.desk.slug is None:
            return ()
        events = self.desk.session.log(self.desk.slug).events
        defects = fold(events, self.desk.now()).open_defects(self.desk.slug)
        return tuple(sorted(defects, key=lambda each: not each.stops_launch))

    def draw(self, layout: Layout) -> Page:
        """Each with its day and whether it stops her."""
        defects = self.found()
        room = 5 if layout.gauge is not None else 3 if layout.margin else 2
        entries: list[Part] = []
        row = 0
        for number, defect in enumerate(defects[self.top : self.top + room], 1):
            stops = defect.stops_launch
            status = Status.OUTSIDE if stops else Status.UNKNOWN
            words = shown(defect.words)
            day = date_words(defect.at, True).split(" ", 1)[1]
            entry = rows.Entry(
                day, words, "", status, number=str(number), under=(_state(defect),), strong=True, loud=stops
            )
            entries.append(rows.entry(layout, row, entry, block=stops and not entries))
            row += 3 if layout.margin else 4
        blocks = [Block(joined(entries), row=4, rank=KEPT)]
        if not defects:
            blocks = [Block(answers.sentence(layout, 0, "No open defect."), row=4, rank=KEPT)]
        else:
            words = (
                "She goes all the same only with a reason, which the launch asks for (c) and the log keeps."
            )
            blocks.append(Block(answers.sentence(layout, 0, words), row=19, rank=4))
        what = "NOT TO LAUNCH" if any(each.stops_launch for each in defects) else f"{len(defects)} open"
        return framed(
            self, layout, blocks, place="Defects", what=what,
            first=(Key("1-9", "close it"), Key("c", "checks"), Key("n", "another"), None),
            second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit closes, arrows walk."""
        defects = self.found()
        if key.isdecimal() and key != "0":
            index = self.top + int(key) - 1
            if index < len(defects):
                self.shell.push(CloseDefect(self.shell, defects[index]))
            return True
        if key in ("down", "pagedown") and self.top + 1 < len(defects):
            self.top += 1
            return True
        if key in ("up", "pageup"):
            self.top = max(0, self.top - 1)
            return True
        return False


def _state(defect: Defect) -> str:
    if defect.overruled:
        last = defect.overruled[-1]
        return shown(f"overruled {day_month(last.at)}: {last.reason}")
    return "stops launch until closed" if defect.stops_launch else "does not stop launch"


class CloseDefect(Form):
    """What was done, and which check proved it."""

    title = "Close a defect"

    def __init__(self, shell: Shell, defect: Defect) -> None:
        self.defect = defect
        super().__init__(shell)

    def asks(self) -> Sequence[Ask]:
        """Done what, proved by what."""
        words = shown(self.defect.words)
        return (
            Ask("words", f"What was done about: {words}", TEXT, how="in a few words"),
            Ask("check", "What proved it", CHOICE, CHECKS),
            when("When was it closed"),
        )

    def write(self) -> str:
        """``defect.closed``, which names the event that opened it."""
        data = {"of": self.defect.id, "words": self.value("words"), "check": self.value("check")}
        found = said(self.desk.keep("defect.closed", data, happened=self.happened))
        return found.words
