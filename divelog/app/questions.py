"""A page that asks one question after another: shared by guides, tests and the ten questions."""

from __future__ import annotations

from abc import abstractmethod

from divelog.app.asking import NOT_KNOWN, Answer, Ask, Line, answered_line, options, told_rows
from divelog.app.look import answers
from divelog.app.look.layout import Layout
from divelog.app.look.page import Part, Role, at, below, moved
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.limits.sheet import Sheet
from divelog.text import shown

WITHOUT = "without it nothing comes of this; Esc leaves, nothing is kept"
_BY_HAND = ("length", "time")
"""Kinds of reading whose ± is the guide's own, not that of a meter in the kit."""


class Questions(Spot):
    """Questions in order, answers by name. What is done with them is the page's own."""

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.told: dict[str, Answer] = {}
        self.line = Line()

    # -- what a page says ---------------------------------------------------------------------------------------

    @property
    @abstractmethod
    def questions(self) -> tuple[Ask, ...]:
        """The questions as they stand with what has been told."""

    def answered(self, ask: Ask, answer: Answer) -> None:
        """One question was answered: keep it before the next one shows. May raise StorageError."""

    def complete(self) -> None:
        """All are answered."""

    # -- where we are -------------------------------------------------------------------------------------------

    @property
    def ask(self) -> Ask | None:
        """The question that is open; None when all are answered."""
        return next((one for one in self.questions if one.name not in self.told), None)

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """Letters are the unit once a number stands."""
        return self.line.typing

    def rows(self) -> list[tuple[str, Status | None, str]]:
        """Each question with how it stands."""
        found = []
        for one in self.questions:
            answer = self.told.get(one.name)
            status = None if answer is None else Status.DONE if answer.known else Status.SKIPPED
            words = "" if answer is None else answer.typed if answer.known else "left"
            found.append((one.title, status, shown(words)))
        return found

    def asking(self, layout: Layout, guide: Part = ()) -> list[Block]:
        """How to do it, the questions, the plate, and what was wrong."""
        ask = self.ask
        blocks = [Block(guide, row=3, rank=3)] if guide else []
        present = next(
            (n for n, one in enumerate(self.questions) if ask is not None and one.name == ask.name), None
        )
        blocks.append(Block(told_rows(layout, self.rows(), present), row=9 if guide else 4, rank=KEPT))
        if ask is not None:
            part = options(layout, 0, ask) if ask.choices else ()
            part += moved(self.plate(layout, ask), below(part))
            blocks.append(Block(part, row=15 if ask.choices else 16, rank=KEPT))
        said = self.line.fault or (ask.note if ask is not None else "")
        if said:
            word = "Fault" if self.line.fault else "Note"
            blocks.append(Block(answers.note(layout, 0, word, cut(said, layout.measure)), row=20, rank=8))
        return blocks

    def plate(self, layout: Layout, ask: Ask) -> Part:
        """Where the answer is typed."""
        return answered_line(layout, 0, ask, self.line)

    # -- keys ---------------------------------------------------------------------------------------------------

    def typed(self, key: str) -> bool:
        """Take a key for the open question: type, choose, keep, go back, leave unknown, begin again."""
        ask = self.ask
        if ask is None:
            return False
        if self.line.take(ask, key):
            return True
        if key == "enter":
            answer = self.line.answer(ask, self._meters(ask))
            if answer is not None:
                self._told(ask, answer)
            return True
        if self.line.typed.words:
            return False
        if key == "b":
            self.back()
        elif key == "r":
            self.again()
        elif key == "u":
            self._unknown(ask)
        else:
            return False
        return True

    def _meters(self, ask: Ask) -> Sheet | None:
        return (
            None
            if ask.dimension in _BY_HAND or not ask.meter or self.desk.slug is None
            else self.desk.sheet()
        )

    def _told(self, ask: Ask, answer: Answer) -> None:
        self.told[ask.name] = answer
        try:
            self.answered(ask, answer)
        except Exception:
            del self.told[ask.name]  # not kept: the same question stands
            raise
        self.line.clear(self.ask)
        if self.ask is None:
            self.complete()

    def _unknown(self, ask: Ask) -> None:
        if ask.need:
            self.line.fault = WITHOUT
            return
        self._told(ask, NOT_KNOWN)

    def back(self) -> None:
        """Ask the last answered question again."""
        if self.told:
            del self.told[next(reversed(self.told))]
        self.line.clear(self.ask)

    def again(self) -> None:
        """Begin again."""
        self.told.clear()
        self.line.clear(self.ask)


def how_to(layout: Layout, needs: str, how: tuple[str, ...]) -> Part:
    """What is needed, and at most five lines of how it goes."""
    part = answers.note(layout, 0, "With", needs)
    row = below(part)
    for number, line in enumerate(how[:5], 1):
        part += at(row, layout.title, str(number), Role.BOLD)
        part += at(row, layout.title + 3, cut(line, layout.edge - layout.title - 3))
        row += 1
    return part
