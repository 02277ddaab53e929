"""Open defects of a boat: what stops her, how each is closed by a check, and how it is overruled with a reason."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from divelog.app.form import CHOICE, TEXT, Answer, Ask, Form, when
from divelog.app.frames import date_words, framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.sentences import said
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.checks import Checks
from divelog.clock import day_month
from divelog.history.defects import Defect
from divelog.history.folding import fold
from divelog.session.defects import LOOK, PROVES, given_since
from divelog.session.entries import EntryError
from divelog.text import shown

LISTS: tuple[tuple[str, str], ...] = (
    ("leak-test", "leak test"), ("bench", "bench list"), ("tank-trim", "tank list"),
)  # fmt: skip
"""Lists that may be walked from a defect, by name and words."""


class Defects(Spot):
    """Her open defects; a digit opens one."""

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
        reasons = self.desk.overruled() if self.desk.slug is not None else {}
        room = 5 if layout.gauge is not None else 3 if layout.margin else 2
        entries: list[Part] = []
        row = 0
        for number, defect in enumerate(defects[self.top : self.top + room], 1):
            stops = defect.stops_launch
            status = Status.OUTSIDE if stops else Status.UNKNOWN
            day = date_words(defect.at, True).split(" ", 1)[1]
            entry = rows.Entry(
                day, shown(defect.words), "", status, number=str(number),
                under=(shown(_under(defect, reasons.get(defect.id, ""))),), strong=True, loud=stops,
            )  # fmt: skip
            entries.append(rows.entry(layout, row, entry, block=stops and not entries))
            row += 3 if layout.margin else 4
        blocks = [Block(joined(entries), row=4, rank=KEPT)]
        left = len(defects) - self.top - room
        if not defects:
            blocks = [Block(answers.sentence(layout, 0, "No open defect."), row=4, rank=KEPT)]
        elif left > 0:
            blocks.append(Block(answers.sentence(layout, 0, f"and {left} more: down"), row=19, rank=4))
        else:
            words = "A digit opens it: close it by a check, or say why she goes all the same."
            blocks.append(Block(answers.sentence(layout, 0, words), row=19, rank=4))
        return framed(
            self, layout, blocks, place="Defects", what=count_words(defects, reasons),
            first=(Key("1-9", "open it"), Key("c", "checks"), Key("n", "another"), None),
            second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit opens one, arrows walk."""
        defects = self.found()
        if key.isdecimal() and key != "0":
            index = self.top + int(key) - 1
            if index < len(defects):
                self.shell.push(OneDefect(self.shell, defects[index].id))
            return True
        if key in ("down", "pagedown") and self.top + 1 < len(defects):
            self.top += 1
            return True
        if key in ("up", "pageup"):
            self.top = max(0, self.top - 1)
            return True
        return False


def count_words(defects: Sequence[Defect], reasons: Collection[str]) -> str:
    """The corner of the page: whether she may launch."""
    stops = [each for each in defects if each.stops_launch]
    if any(each.id not in reasons for each in stops):
        return "NOT TO LAUNCH"
    return "overruled" if stops else f"{len(defects)} open"


def state_words(defect: Defect, reason: str = "") -> str:
    """How a defect stands: overruled for the next launch, stopping it, or neither; and when it was last overruled."""
    if reason:
        return f"overruled for the next launch: {reason}"
    words = "stops launch until closed" if defect.stops_launch else "does not stop launch"
    if defect.overruled:
        last = defect.overruled[-1]
        words += f"; overruled {day_month(last.at)}: {last.reason}"
    return words


def _under(defect: Defect, reason: str) -> str:
    """The same in one row: the sign beside it says whether it stops her."""
    if not reason and defect.overruled:
        last = defect.overruled[-1]
        return f"overruled {day_month(last.at)}: {last.reason}"
    return f"overruled: {reason}" if reason else state_words(defect)


class OneDefect(Spot):
    """One defect: its story, and what may be done about it."""

    place = Place.BOATS

    def __init__(self, shell: Shell, event: str) -> None:
        super().__init__(shell)
        self.event = event

    def defect(self) -> Defect | None:
        """The defect as it stands now; None where there is no such."""
        if self.desk.slug is None:
            return None
        events = self.desk.session.log(self.desk.slug).events
        return next((d for d in fold(events, self.desk.now()).defects if d.id == self.event), None)

    def ways(self, defect: Defect) -> list[tuple[str, str]]:
        """What may be done now: a name, and words."""
        found = [("close", "It is mended and proved: close it")]
        if defect.stops_launch and not self.desk.overruled().get(defect.id):
            found.append(("overrule", "She goes all the same: say why"))
        found += [(name, f"Walk the {words}") for name, words in LISTS]
        return found

    def draw(self, layout: Layout) -> Page:
        """Its words, its state, its past, and the ways on."""
        defect = self.defect()
        if defect is None or not defect.open:
            words = "It is closed." if defect is not None else "There is no such defect."
            blocks = [Block(answers.sentence(layout, 0, words), row=4, rank=KEPT)]
            return framed(self, layout, blocks, place="Defect")
        reason = self.desk.overruled().get(defect.id, "")
        stops = defect.stops_launch
        top = rows.status(layout, 0, Status.OUTSIDE if stops else Status.UNKNOWN, block=stops)
        top += answers.sentence(layout, 0, shown(defect.words), role=Role.BOLD, most=2)
        found = f"Found {date_words(defect.at, True)}; {state_words(defect, reason)}."
        blocks = [
            Block(top, row=4, rank=KEPT),
            Block(answers.sentence(layout, 0, shown(found), most=3), row=7, rank=7),
        ]
        options = [(str(n), words) for n, (_, words) in enumerate(self.ways(defect), 1)]
        if layout.margin:
            blocks.append(Block(answers.choices(layout, 0, options), row=11, rank=KEPT))
        else:
            blocks.append(Block(answers.next_steps(layout, 0, options, word="", rows=5), row=11, rank=KEPT))
        past = defect.overruled[-3:]
        parts: list[Part] = []
        for row, each in enumerate(past):
            words = f"overruled {date_words(each.at, True).split(' ', 1)[1]}: {each.reason}"
            parts.append(at(row, layout.title, cut(shown(words), layout.edge - layout.title)))
        if parts:
            blocks.append(Block(joined(parts), row=17, rank=3))
        return framed(
            self, layout, blocks, place="Defect", what="stops launch" if stops and not reason else "",
            first=(Key("1-5", "choose"), None, Key("n", "note"), None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit takes a way."""
        defect = self.defect()
        if defect is None or not defect.open or not key.isdecimal() or key == "0":
            return False
        ways = self.ways(defect)
        if int(key) > len(ways):
            return True
        name = ways[int(key) - 1][0]
        if name == "close":
            self.shell.push(CloseDefect(self.shell, defect))
        elif name == "overrule":
            self.shell.push(Overrule(self.shell, defect))
        else:
            checks = self.shell.spot(Place.CHECKS)
            assert isinstance(checks, Checks)
            checks.open(name)
            self.shell.go(Place.CHECKS)
        return True


class CloseDefect(Form):
    """What was done, and which check proved it."""

    title = "Close a defect"

    def __init__(self, shell: Shell, defect: Defect) -> None:
        self.defect = defect
        super().__init__(shell)

    def _given(self) -> dict[str, date]:
        report = self.desk.proofs()
        return given_since(report, self.defect.at)

    def asks(self) -> Sequence[Ask]:
        """Done what, proved by what: only a check made since it was found proves anything."""
        words = shown(self.defect.words)
        given = self._given()
        options = tuple(
            (f"{title}, {day_month(given[name])}" if name in given else f"not since: {title}", name)
            if name != LOOK
            else (title, name)
            for name, title, _ in PROVES
        )
        return (
            Ask("words", f"What was done about: {words}", TEXT, how="in a few words", short="Done"),
            Ask("check", "What proved it", CHOICE, options),
            when("When was it closed"),
        )

    def _read(self, ask: Ask) -> Answer | None:
        found = super()._read(ask)
        if ask.name == "check" and found is not None and found.value not in (LOOK, *self._given()):
            raise EntryError("it was not done since she was found so; do it first, or choose another")
        return found

    def write(self) -> str:
        """``defect.closed``, which names the event that opened it."""
        data = {"of": self.defect.id, "words": self.value("words"), "check": self.value("check")}
        found = said(self.desk.keep("defect.closed", data, happened=self.happened))
        return found.words


class Overrule(Form):
    """Why she goes all the same; it holds for the next launch of this day."""

    title = "Overrule a defect"

    def __init__(self, shell: Shell, defect: Defect) -> None:
        self.defect = defect
        super().__init__(shell)

    def asks(self) -> Sequence[Ask]:
        """The reason."""
        how = "in your own words; it holds for the next launch today, and the log keeps it with that launch"
        return (
            Ask("reason", f"Why may she go with: {shown(self.defect.words)}", TEXT, how=how, short="Why"),
        )

    def write(self) -> str:
        """``defect.overruled``."""
        data = {"of": self.defect.id, "reason": self.value("reason")}
        return said(self.desk.keep("defect.overruled", data)).words
