"""Small pages: keys, leaving, faults of a file."""

from __future__ import annotations

from divelog.app.frames import framed
from divelog.app.look import answers
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.text import shown

_ANYWHERE = (
    ("Esc, 1-6", "Boats, Limits, Checks, Run, Log, Upkeep", "the six places"),
    ("Esc, q", "leave; everything answered is on disk", "leave; all is on disk"),
    ("a", "another boat", ""),
    ("c  g  k", "checks, log, upkeep", ""),
    ("n", "what happened: opened, fitted, charged", "write what happened"),
    ("t", "trouble: signal lost, leak, stuck, hot pack", "trouble: its steps"),
)
_CHECKS = (
    ("Enter", "done, or keep what was typed", "done, or keep"),
    ("digits", "a value; letters after them are its unit", "a value, then its unit"),
    ("b  r", "back one line, read again", ""),
    ("s  x  u", "skip, not fitted, can't tell", "skip, not fitted, unknown"),
    ("m  w  p", "measure it now, why, pause", "measure, why, pause"),
)
_RUN = (
    ("Space", "mark this moment", ""),
    ("Enter", "signal lost: steps and a clock", "signal lost: its steps"),
    ("e, 1", "end the run", ""),
)
"""Keys, what they do, and the same shorter where there is no room."""


class Keys(Spot):
    """What the keys do."""

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here

    def draw(self, layout: Layout) -> Page:
        """Three short lists."""
        parts: list[Part] = []
        row = 0
        for title, lines in (("Anywhere", _ANYWHERE), ("In a check", _CHECKS), ("In a run", _RUN)):
            if layout.margin:
                parts.append(at(row, layout.sign, title, Role.BOLD))
            for key, words, short in lines:
                room = layout.edge - layout.reading
                parts.append(at(row, layout.title, key, Role.BOLD))
                parts.append(at(row, layout.reading, words if len(words) <= room else short or words))
                row += 1
        parts.append(
            answers.sentence(
                layout, row + 1, "Make the terminal's font as large as 80 by 24 allows: words read to 1 m."
            )
        )
        return framed(self, layout, [Block(joined(parts), row=3, rank=KEPT)], place="Keys")

    def press(self, key: str) -> bool:
        """Any key but Esc stays."""
        if key in ("?", "/", "enter"):
            self.shell.pop()
            return True
        return key != "escape"


class Leave(Spot):
    """Leaving asks once, because a run may be on."""

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here

    def draw(self, layout: Layout) -> Page:
        """One question."""
        parts = at(0, layout.title, "Leave divelog?", Role.BOLD)
        parts += answers.sentence(
            layout, 1, "Everything answered is on disk. A run that is on stays on, and its clock goes on."
        )
        choices = answers.choices(layout, 0, [("1", "leave"), ("2", "stay")])
        return framed(
            self, layout, [Block(parts, row=4, rank=5), Block(choices, row=7, rank=KEPT)], place="Leave"
        )

    def press(self, key: str) -> bool:
        """1 leaves, anything else stays."""
        if key == "1":
            self.shell.asked_to_leave = True
        elif key in ("2", "escape", "enter"):
            self.shell.pop()
        return True


class Faults(Spot):
    """What is wrong in a boat's file, one fault after another."""

    place = Place.BOATS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.top = 0

    def draw(self, layout: Layout) -> Page:
        """Found and wanted as two lines each."""
        faults = self.desk.document().faults if self.desk.slug is not None else ()
        parts: list[Part] = []
        row = 0
        for fault in faults[self.top : self.top + (5 if layout.gauge is not None else 3)]:
            place = f"{fault.file}, line {fault.line}" if fault.line else fault.file
            parts.append(answers.note(layout, row, "Fault", cut(shown(place), layout.measure), loud=True))
            parts.append(
                at(row + 1, layout.title, cut(shown(f"found {fault.found}"), layout.measure), Role.BOLD)
            )
            parts.append(at(row + 2, layout.title, cut(shown(f"wanted {fault.wanted}"), layout.measure)))
            row += 3
        left = len(faults) - self.top
        what = f"{len(faults)} faults" if len(faults) != 1 else "one fault"
        blocks = [Block(joined(parts), row=3, rank=KEPT)]
        blocks.append(
            Block(answers.note(layout, 0, "Next", "1 read the file again, when it is mended"), row=20, rank=6)
        )
        return framed(self, layout, blocks, place="Fault", what=what if left else "no fault")

    def press(self, key: str) -> bool:
        """1 reads again, arrows walk."""
        if key == "1":
            self.desk.session.forget()
            if not self.desk.document().faults:
                self.shell.go(Place.BOATS)
            return True
        if key in ("down", "pagedown"):
            self.top = min(self.top + 1, max(0, len(self.desk.document().faults) - 1))
            return True
        if key in ("up", "pageup"):
            self.top = max(0, self.top - 1)
            return True
        return False
