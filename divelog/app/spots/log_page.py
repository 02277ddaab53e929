"""The page of one line of the log: a run with all it left behind, a list that was walked, or any event in words."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.app.fact_lines import drawn_lines, fact_lines
from divelog.app.form import typing_keys
from divelog.app.frames import framed, moment_words
from divelog.app.logbook import Fact, event_facts, run_facts, title_of, walk_facts
from divelog.app.look import answers, plate
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Role, at
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.measured_words import measured_words
from divelog.app.phrases import clause
from divelog.app.sentences import Around
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.typed import Typed
from divelog.history.folding import fold
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.merging import in_order
from divelog.session.joined import Joined, joined
from divelog.session.spent import kit_of, spent
from divelog.text import shown


def page_of(shell: Shell, event: Event, around: Around) -> Spot:
    """The page a line opens: its run's where it begins one, its walk's where it begins one, else its own."""
    if event.what == "run.started":
        return RunPage(shell, event, around)
    if event.what == "check.started":
        return WalkPage(shell, event, around)
    return EventPage(shell, event, around)


class LinePage(Spot):
    """Words at the left, what they say beside them; as long as it is, arrows move it."""

    place = Place.LOG
    title = "Log: event"

    def __init__(self, shell: Shell, event: Event, around: Around) -> None:
        super().__init__(shell)
        self.event = event
        self.around = around
        self.top = 0
        self.reason: Typed | None = None
        self.kept = ""
        self._facts: Sequence[Fact] | None = None

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """True while the reason of a correction is typed."""
        return self.reason is not None

    @property
    def slug(self) -> str | None:
        """The boat whose log holds the line."""
        if self.event.boat in self.desk.boats:
            return self.event.boat
        return self.desk.slug or (self.desk.boats[0] if self.desk.boats else None)

    def facts(self) -> Sequence[Fact]:
        """What stands on the page; worked out once."""
        if self._facts is None:
            self._facts = self.worked_out()
        return self._facts

    def worked_out(self) -> Sequence[Fact]:
        """Everything the event holds."""
        assert self.slug is not None
        return event_facts(self.event, self.desk.session.log(self.slug), self.around)

    def draw(self, layout: Layout) -> Page:
        """As many lines as have room, from the first one shown."""
        lines = fact_lines(layout, self.facts())
        last = layout.keys[0] - 2
        room = max(1, last - layout.first + (0 if self.reason is None and not self.kept else -3))
        self.top = min(self.top, max(0, len(lines) - room))
        shown_lines = lines[self.top : self.top + room]
        part = drawn_lines(layout, shown_lines)
        blocks = [Block(part, row=3, rank=KEPT)]
        if self.reason is not None:
            ask = at(
                0,
                layout.title,
                cut("Why does this line not count? It stays in the log.", layout.measure),
                Role.BOLD,
            )
            blocks.append(Block(ask + plate.text_plate(layout, 1, self.reason.text), row=last - 1, rank=KEPT))
        elif self.kept:
            blocks.append(Block(answers.note(layout, 0, "Kept", self.kept, loud=True), row=last, rank=KEPT))
        elif len(lines) > room:
            left = len(lines) - self.top - room
            words = f"{left} more lines: down" if left > 0 else "the end: up goes back"
            blocks.append(Block(answers.sentence(layout, 0, words), row=last, rank=3))
        fourth, second = self.more_keys()
        first = (
            Key("down", "further") if len(lines) > room else None,
            Key("x", "does not count", "void") if self.can_be_void() else None,
            Key("n", "note"),
            fourth,
        )
        name = shown(self.desk.name(self.event.boat)) if self.event.boat in self.desk.boats else "All boats"
        return framed(
            self, layout, blocks, boat=name, place=self.title,
            what=moment_words(self.event.local),
            first=first, second=(Key("?", "keys"), second, None, None),
            own_keys=typing_keys(layout) if self.reason is not None else None,
        )  # fmt: skip

    def more_keys(self) -> tuple[Key | None, Key | None]:
        """Keys of a page of its own kind: the last of the first row, the second of the second."""
        return None, None

    def can_be_void(self) -> bool:
        """Whether the line can be corrected here: it counts, it is known, and it is not the log's own."""
        if self.desk.read_only or self.kept or self.slug is None or not self.event.known:
            return False
        if self.event.what in ("log.opened", "clock.jumped"):
            return False
        return self.event.id not in self.desk.session.log(self.slug).voided

    def press(self, key: str) -> bool:
        """Arrows move, x says that the line does not count, with a reason."""
        if self.reason is not None:
            return self._type(key)
        step = {"down": 1, "enter": 1, "space": 1, "up": -1, "pagedown": 12, "pageup": -12}.get(key)
        if step is not None:
            self.top = max(0, self.top + step)
            return True
        if key == "x" and self.can_be_void():
            self.reason = Typed(words=True)
            return True
        return False

    def _type(self, key: str) -> bool:
        assert self.reason is not None
        if key == "enter":
            if self.reason.value:
                data = {"id": self.event.id, "void": True, "why": self.reason.value}
                self.desk.session.append("corrected", data, boat=self.event.boat, run=self.event.run)
                self.kept = "the line does not count any more; it stays in the log with its reason"
                self.reason, self._facts = None, None
            return True
        taken = self.reason.take(key)
        if taken is not None:
            self.reason = taken
        elif key == "escape":
            self.reason = None
        return True


class EventPage(LinePage):
    """Any event."""

    @property
    def title(self) -> str:  # type: ignore[override]
        """The place in words."""
        return f"Log: {title_of(self.event)}"


class RunPage(LinePage):
    """A run, with its battery use over every boat the pack sat in, and the files that are joined to it."""

    title = "Log: run"

    def __init__(self, shell: Shell, event: Event, around: Around) -> None:
        super().__init__(shell, event, around)
        self.run: Run | None = None
        self.files: tuple[Joined, ...] = ()

    def enter(self) -> None:
        """Back from a page on top: a file may have been joined."""
        self._facts = None

    def worked_out(self) -> Sequence[Fact]:
        """Times, place, pack, depth, water, incidents, marks, the list after it, what instruments read."""
        assert self.slug is not None
        log = self.desk.session.log(self.slug)
        once = {event.id: event for slug in self.desk.boats for event in self.desk.session.log(slug).events}
        events = in_order(once.values())
        history = fold(events)
        self.files = joined(log.events, self.event.id)
        self.run = run = history.run(self.event.id)
        if run is None:
            return event_facts(self.event, log, self.around)
        charge = spent(run, history, events, kit_of(self.desk.sheet(self.slug)))
        parts = [event for event in log.events if event.run == run.id]
        facts = run_facts(run, charge, parts, self.around.sites)
        for one in self.files:
            said = clause(*(measured_words(*each) for each in one.figures), sep="; ")
            facts.append(Fact("Readings", f"{one.mapping}: {said}"))
        return facts

    def more_keys(self) -> tuple[Key | None, Key | None]:
        """v draws what instruments read; f joins a file."""
        if self.run is None:
            return None, None
        may = not self.desk.read_only and not self.run.still_on
        return Key("v", "curve") if self.files else None, Key("f", "join a file", "join") if may else None

    def press(self, key: str) -> bool:
        """As every line; v opens the curve, f joins a file of readings."""
        if self.reason is None and key in ("v", "f"):
            self.facts()
            (curve, join), run = self.more_keys(), self.run
            if run is None or self.slug is None:
                return False
            if key == "v" and curve is not None:
                from divelog.app.spots.curve import CurvePage

                self.shell.push(CurvePage(self.shell, self.slug, run))
                return True
            if key == "f" and join is not None:
                from divelog.app.spots.attach import AttachFile

                self.shell.push(AttachFile(self.shell, self.slug, run))
                return True
        return super().press(key)


class WalkPage(LinePage):
    """A list that was walked: every answer with its time."""

    title = "Log: list"

    def worked_out(self) -> Sequence[Fact]:
        """The answers in order."""
        assert self.slug is not None
        events = self.desk.session.log(self.slug).events
        index = next((n for n, event in enumerate(events) if event.id == self.event.id), None)
        if index is None:
            return event_facts(self.event, self.desk.session.log(self.slug), self.around)
        return walk_facts(events, index)
