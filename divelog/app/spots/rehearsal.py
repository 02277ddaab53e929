"""The rehearsal: her path from the signal lost to the mast out; a digit picks what goes wrong."""

from __future__ import annotations

from divelog.app.display import STATUS
from divelog.app.frames import framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at, below, joined
from divelog.app.look.rows import Entry
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.rehearsal_chart import chart_rows, rehearsal_chart
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.limits.rehearsal import Rehearsal, work_out
from divelog.limits.rehearsal_figures import CASES
from divelog.limits.rehearsal_words import NOBODY
from divelog.text import shown


class RehearsalPage(Spot):
    """One case drawn. Nothing here is kept: it is worked out from the day as it stands."""

    place = Place.LIMITS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.number = 0

    def found(self, number: int | None = None) -> Rehearsal:
        """A case worked out; the day's sheet keeps it until something changes."""
        return work_out(self.desk.sheet(), CASES[self.number if number is None else number])

    def draw(self, layout: Layout) -> Page:
        """The chart, then how deep, when up, and the gravest caution."""
        if self.desk.slug is None:
            words = answers.sentence(layout, 0, "Take a boat first: 1 in places.")
            return framed(self, layout, [Block(words, row=4)], place="Limits: rehearsal")
        one = self.found()
        title = _title(layout, one)
        if one.path:
            chart = rehearsal_chart(layout, 0, one) + title
            reserved = chart_rows(layout) if layout.gauge is not None else 0
            room = layout.last - layout.first - below(chart)
            said = _said(layout, one, 2)
            if below(said) > room:
                said = _said(layout, one, 1)
            blocks = [
                Block(chart, row=3, rank=6, height=reserved),
                Block(said, row=18, rank=KEPT),
            ]
        else:
            blocks = [Block(title, row=3, rank=6), Block(_said(layout, one, 3), row=5, rank=KEPT)]
        if layout.second is not None:
            blocks.append(Block(self._others(layout), row=23, rank=3))
        place = "Limits: rehearsal" if layout.gauge is not None else "Rehearsal"
        what = "" if one.plan is None else f"the signal goes at {one.plan:.1f} m"
        if layout.gauge is None:
            what = what.removeprefix("the signal goes ")
        keys = [Key(str(n), case.name, case.short) for n, case in enumerate(CASES, 1)]
        return framed(self, layout, blocks, place=place, what=what, first=keys[:4], second=keys[4:])

    def _others(self, layout: Layout) -> Part:
        """Every case in a row, where there is room."""
        found = [self.found(number) for number in range(len(CASES))]
        return joined(
            rows.entry(
                layout,
                n,
                _row(one, str(n + 1)),
                focused=n == self.number,
            )
            for n, one in enumerate(found)
        )

    def press(self, key: str) -> bool:
        """Digits pick the case, left and right walk them, r goes back."""
        if key.isdecimal():
            if 1 <= int(key) <= len(CASES):
                self.number = int(key) - 1
            return True
        if key in ("left", "right", "up", "down"):
            self.number = (self.number + (1 if key in ("right", "down") else -1)) % len(CASES)
            return True
        if key == "r":
            self.shell.pop()
            return True
        return False


def _row(one: Rehearsal, number: str) -> Entry:
    deepest = "" if one.deepest is None else f"deepest {one.deepest.si:.2f} m"
    above = (
        "" if not one.path else "stays down" if one.surfaced is None else f"up after {one.surfaced.si:.0f} s"
    )
    words = deepest or shown(one.sentences[0])
    return Entry(one.case.name, words, above, status=STATUS.get(one.verdict), number=number)


def _title(layout: Layout, one: Rehearsal) -> Part:
    text = shown(f"{one.case.name}: {one.case.says}")
    return at(0, layout.title, cut(text, layout.edge - layout.title), Role.BOLD)


def _said(layout: Layout, one: Rehearsal, most: int) -> Part:
    """Verdict and deepest; when up, and what to know first. Where she is lost, the caution stands alone."""
    status = STATUS.get(one.verdict, Status.UNKNOWN)
    part = rows.status(layout, 0, status, block=status is Status.OUTSIDE)
    part += answers.sentence(layout, 0, shown(one.sentences[0]), role=Role.BOLD, most=most)
    if NOBODY in one.cautions:
        return part + answers.cautions(layout, below(part) + 1, [NOBODY])
    for line in (*one.sentences[1:2], *(one.cautions[:1] or one.sentences[2:])):
        part += answers.sentence(layout, below(part), shown(line), most=most)
    return part
