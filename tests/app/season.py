"""A season of one boat as a plan of days, and two pairs of hands that carry it out: keys on the pages, and the shell.

The shell's hands type what the person at the keys typed, line by line of each list: on a sheet (``type-in``), at the
prompts of ``--plain``, and as ``record``. So both logs say the same of the same season, written by different ways.
"""

from __future__ import annotations

import importlib.util
import io
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from divelog.app.look.layout import STANDARD, Place
from divelog.app.shell import Shell
from divelog.app.spots.checks import ORDER, Checks
from divelog.checks.library import read_library
from divelog.checks.model import Kind
from divelog.cli import main
from divelog.clock import FixedClock
from divelog.home import Home
from divelog.papers.sheets.numbering import BACK, LAUNCHED, MARKS, numbered
from divelog.session.shelf import read_shelf

_spec = importlib.util.spec_from_file_location("person", Path(__file__).with_name("person.py"))
assert _spec is not None
assert _spec.loader is not None
person = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(person)

BOAT = "bulrush"
ZONE = "+01:00"


@dataclass(frozen=True)
class Outing:
    """One run of the season: when, what was read, what came of it."""

    day: str
    launched: str = "09:30"
    back: str = "10:00"
    depth: str = "0.2"
    again: bool = False
    """A second run of the same day: day and plan stand."""
    instead: dict[str, str] = field(default_factory=dict)
    """Answers other than the usual, by line or by line and question."""
    marks: tuple[str, ...] = ()
    """Minutes past the launch, as ``09:41``."""
    because: str = ""
    """Why an open defect was overruled; empty where none was open."""


@dataclass
class Told:
    """What was typed in one sitting of a list; a list that calls for another is paused for it and carried on."""

    name: str
    notes: list[Note]
    carried_on: bool = False
    paused: bool = False


@dataclass
class Note:
    """One answer as it was typed in a list: which line, what, and how long the hands waited before it."""

    line: str
    question: str
    kind: Kind
    text: str
    wait: float = 0.0
    at: datetime | None = None
    """The moment the hands waited for."""


def moment(day: str, time: str) -> datetime:
    """A moment of the season."""
    return datetime.fromisoformat(f"{day}T{time}:00{ZONE}")


class Diarist(person.Person):
    """A person who writes down what was typed at each question."""

    def __init__(self, *words: object) -> None:
        super().__init__(*words)
        self.diary: list[Note] = []
        self._typed: list[str] = []
        self._waited = 0.0
        wait = self._wait

        def waited(seconds: float) -> None:
            self._waited += seconds
            wait(seconds)

        self._wait = waited

    async def type(self, *words: str) -> None:
        self._typed += [word for word in words if word != "enter"]
        await super().type(*words)

    async def one(self, spot: Checks, boat: str) -> None:
        """One question, and what was typed at it."""
        now = spot.now()
        assert now is not None
        line, step = now
        self._typed, self._waited = [], 0.0
        await self._one(spot, boat)
        text = self._typed[0] if self._typed else ""
        held = self._waited if step.question.kind is Kind.HOLD and step.part == "end" else 0.0
        self.diary.append(Note(line.id, step.question.name, step.question.kind, text, held))


class KeysHands:
    """The season on the pages. ``lists`` keeps what was typed, list by list in order, for the other hands."""

    def __init__(self, shell: Shell, clock: FixedClock, press: Callable[[str], object]) -> None:
        self.shell, self.clock = shell, clock
        self.who = Diarist(shell, press, clock.advance)
        self.lists: list[Told] = []
        self.within: tuple[str, ...] = ()
        self.walked: set[str] = set()

    def until(self, day: str, time: str) -> None:
        """Let time pass until a moment."""
        left = (moment(day, time) - self.clock.now()).total_seconds()
        assert left >= 0, f"{day} {time} is past: it is {self.clock.now()}"
        self.clock.advance(left)

    def text(self) -> str:
        """The page in front."""
        return self.shell.draw(STANDARD).text()

    async def place(self, number: int) -> None:
        """To one of the six places."""
        for _ in range(6):
            if self.shell.places_open:
                break
            await self.who.type("escape")
        await self.who.type(str(number))

    async def morning(self, day: str, time: str) -> None:
        """A new day: its date is right, and the boat is taken in hand."""
        self.until(day, time)
        await self.place(1)
        if "Is the date right" in self.text():
            await self.who.type("enter")
        await self.who.type(str(self.shell.desk.boats.index(BOAT) + 1))

    async def walk(
        self, name: str, within: tuple[str, ...] = (), instead: dict[str, str] | None = None
    ) -> None:
        """One list from its first line to its last; it is left for each list ``within`` when it tells to walk that."""
        self.who.instead, self.within = instead or {}, within
        await self._take(name)
        carried_on = False
        while True:
            inner = await self._lines(name, carried_on)
            if not inner:
                break
            await self._take(inner)
            await self._lines(inner)
            await self._take(name)
            await self.who.type("enter")
            carried_on = True
        self.walked.clear()
        assert "every line is answered" in self.text(), self.text()

    async def _take(self, name: str) -> None:
        await self.place(3)
        await self.who.type("v", "1234567890+"[ORDER.index(name)])

    async def _lines(self, name: str, carried_on: bool = False) -> str:
        """Answer to the end, or to a line that wants another list walked first: that list's name, this one paused."""
        told = Told(name, [], carried_on)
        self.lists.append(told)
        self.who.diary = told.notes
        spot = self.shell.spot(Place.CHECKS)
        assert isinstance(spot, Checks)
        while self.shell.front is spot and (now := spot.now()) is not None:
            line = now[0]
            if line.walk in self.within:
                await self.who.type("p")
                told.paused = True
                self.within = tuple(each for each in self.within if each != line.walk)
                return line.walk
            if line.walk and line.walk not in self.walked:
                await self.who.type("s", "3", "enter")  # done another way
                told.notes += [Note(line.id, "skip", Kind.TEXT, text) for text in ("skip", "3")]
                continue
            await self.who.one(spot, BOAT)
        self.walked.add(name)
        return ""

    async def happened(self, digit: str, *answers: str) -> None:
        """One event by ``n`` and its questions; each answer is ended with Enter."""
        await self.place(1)  # in a list n is a note on its line
        await self.who.type("n", digit)
        for answer in answers:
            await self.who.type(*([answer] if answer else []), "enter")
        assert "Kept" in self.text(), self.text()
        await self.who.type("enter")

    async def done(self, name: str) -> None:
        """``d`` and the digit of a row of upkeep, its page turned to."""
        await self.place(6)
        names = [item.name for item in self.shell.front._items()]  # type: ignore[attr-defined]
        turns, digit = divmod(names.index(name), 9)
        await self.who.type(*["pagedown"] * turns, "d", str(digit + 1))

    async def outing(self, out: Outing) -> None:
        """From the bank to the bank again, and the list after it."""
        if not out.again:
            await self.morning(out.day, "08:30")
            await self.who.day(out.depth)
        await self.who.type("c")
        self.who.instead = out.instead
        await self._lines("before-dive")
        if out.because:
            await self.who.type(out.because, "enter")
        assert "ready to dive" in self.text(), self.text()
        self.until(out.day, out.launched)
        await self.who.type("enter", "enter")
        assert "minutes left" in self.text(), self.text()
        for at in out.marks:
            self.until(out.day, at)
            await self.who.type("space")
        self.until(out.day, out.back)
        await self.who.type("e", "1")
        await self.who.type(
            out.instead.get("ended", "1")
        )  # the run ends now; the pack must rest before its volts
        ended = Note("ended", "answer", Kind.CHOICE, out.instead.get("ended", "1"))
        self.clock.advance(720)
        await self._lines("after-run")
        self.lists[-1].notes.insert(0, ended)
        assert "every line is answered" in self.text(), self.text()


class ShellHands:
    """The same season from a shell; answers come out of the other hands' lists, in their order."""

    def __init__(self, root: Path, clock: FixedClock, lists: list[Told]) -> None:
        self.root, self.clock = root, clock
        self.lists = list(lists)
        self.errors: list[str] = []
        home = Home(root)
        boat = read_shelf(home).boats[BOAT]
        library = read_library(home.checklists)
        before, after = library.get("before-dive", boat), library.get("after-run", boat)
        assert before is not None
        assert after is not None
        rows = numbered(before, after)
        self.numbers = {(r.list, r.line.id): r.number for r in rows if r.line is not None}
        self.moments = {r.moment: r.number for r in rows if r.moment}

    def until(self, day: str, time: str) -> None:
        """Let time pass until a moment."""
        self.clock.advance((moment(day, time) - self.clock.now()).total_seconds())

    def call(self, *words: object) -> str:
        """One call of the program; what it said."""
        out, err = io.StringIO(), io.StringIO()
        kept = sys.stdout, sys.stderr
        sys.stdout, sys.stderr = out, err
        try:
            code = main(["--home", str(self.root), *map(str, words)])
        finally:
            sys.stdout, sys.stderr = kept
        assert code == 0, (words, out.getvalue(), err.getvalue())
        self.clock.advance(2)
        return out.getvalue()

    def record(self, what: str, *pairs: str, happened: str = "") -> None:
        """One event."""
        self.call("record", BOAT, what, *pairs, *(("--happened", happened) if happened else ()))

    def defect(self) -> str:
        """The event of the defect that stops her."""
        return str(json.loads(self.call("proofs", BOAT, "--json"))["defects"][0]["event"])

    def day(self, out: Outing) -> None:
        """Water and plan."""
        self.record(
            "day.opened", "site=withy-pond", "water=fresh", "temperature=11 degC", "clarity=1.1 m",
            "air.look=small glassy wavelets",
        )  # fmt: skip
        self.record("plan.set", "pack=P1", f"depth={out.depth} m", "distance=35 m", "minutes=40 min")

    def sheet(self, out: Outing, path: Path) -> None:
        """An outing on paper, typed in that noon."""
        before, after = self.lists.pop(0).notes, self.lists.pop(0).notes
        self.until(out.day, "08:35")
        if not out.again:
            self.day(out)
        lines = [f"{BOAT} {out.day} {'08:40' if not out.again else out.launched} +/- 5 min"]
        lines += self._rows("before-dive", before)
        lines.append(f"{self.moments[LAUNCHED]} {out.launched}")
        if out.marks:
            lines.append(f"{self.moments[MARKS]} {';'.join(out.marks)}")
        lines.append(f"{self.moments[BACK]} {out.back}")
        lines += self._rows("after-run", after)
        path.write_text("\n".join(lines) + "\n", "utf-8")
        self.until(out.day, out.back)
        self.clock.advance(3600)
        told = self.call("type-in", path)
        assert "Still open" not in told, told

    def _rows(self, name: str, notes: list[Note]) -> list[str]:
        """Numbers with what stands there; a line that was asked once more before launch stands once."""
        rows: list[tuple[str, list[str]]] = []
        previous = ""
        for note in notes:
            if note.line != previous:
                rows.append((note.line, []))
            previous = note.line
            if note.kind is not Kind.DONE:
                rows[-1][1].append(note.text)
        seen: dict[str, list[str]] = {}
        for line, answers in rows:
            seen.setdefault(line, answers)
        return [f"{self.numbers[name, line]} {';'.join(answers)}".rstrip() for line, answers in seen.items()]

    def prompts(self, *talk: str | Note) -> str:
        """``--plain``: each prompt is answered in turn, and what it asks besides is kept or confirmed."""
        typist = _Typist(self.clock, list(talk))
        out = io.StringIO()
        typist.out = out
        kept = sys.stdout, sys.stdin
        sys.stdout, sys.stdin = out, typist  # type: ignore[assignment]
        try:
            code = main(["--home", str(self.root), "--plain"])
        finally:
            sys.stdout, sys.stdin = kept
        assert code == 0, out.getvalue()
        assert not typist.left, (typist.left[:3], out.getvalue()[-1500:])
        return out.getvalue()

    def walk(self, name: str) -> None:
        """One list at the prompts, with the lists it tells to walk."""
        offered = [each for each in ORDER if each not in ("before-dive", "after-run")]
        ended = False
        while not ended:
            told = self.lists.pop(0)
            number = str(offered.index(told.name) + 1)
            talk = [*([""] if told.carried_on else []), *told.notes, *(["pause"] if told.paused else [])]
            words = self.prompts(BOAT, "other lists", number, *talk, "quit")
            assert ("Every line is answered." in words) != told.paused, words[-1500:]
            ended = told.name == name and not told.paused

    def outing(self, out: Outing) -> None:
        """An outing at the prompts, with a reason for each defect that is open."""
        before, after = self.lists.pop(0).notes, self.lists.pop(0).notes
        self.until(out.day, "08:35")
        if not out.again:
            self.day(out)
        call = [*([out.because] if out.because else []), said("ready to dive", out.day, out.launched), ""]
        run = [said("mark", out.day, at) for at in out.marks]
        ended, *rest = after
        rest[0] = replace(rest[0], wait=720.0)
        self.prompts(
            BOAT,
            "checks before the dive",
            *before,
            *call,
            *run,
            said("end", out.day, out.back),
            ended,
            *rest,
            "quit",
        )


def said(text: str, day: str, time: str) -> Note:
    """A line typed at a moment."""
    return Note("", "", Kind.TEXT, text, at=moment(day, time))


class _Typist:
    """Standard input: a line an answer; what was not right is kept, what was quick is looked at again."""

    def __init__(self, clock: FixedClock, left: list[str | Note]) -> None:
        self.clock, self.left = clock, left
        self.out = io.StringIO()

    def readline(self, _most: int = -1) -> str:
        """The next typed line."""
        self.clock.advance(3)
        prompt = self.out.getvalue().rsplit("\n", 1)[-1]
        if prompt.startswith(("Enter keeps it", "That was quick")):
            return "\n"
        if not self.left:
            return ""
        one = self.left.pop(0)
        if isinstance(one, str):
            return one + "\n"
        if one.at is not None:
            self.clock.advance((one.at - self.clock.now()).total_seconds())
        self.clock.advance(one.wait)
        return one.text + "\n"
