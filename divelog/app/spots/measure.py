"""Measure it now: one guide, from what it needs to what the result changes; nothing is worked out by the person."""

from __future__ import annotations

from divelog import units
from divelog.app import measuring
from divelog.app.asking import Ask
from divelog.app.frames import framed
from divelog.app.look import answers, figures
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut, size
from divelog.app.measure_asks import asks, shown_number
from divelog.app.measuring import Outcome
from divelog.app.questions import Questions, how_to
from divelog.app.shell import Shell
from divelog.limits.guides import Guide
from divelog.limits.sheet import NotFittedError, UnknownError
from divelog.physics.errors import OutOfRangeError
from divelog.profiles.writing import WritingError
from divelog.text import shown

SERIES = ("fill time", "empty time")
"""Guides whose result is a new figure to judge later readings by."""

MOST_CHANGES = 6


class Measure(Questions):
    """One guide. Space times, digits type, Enter keeps; the result is shown before it is written down."""

    place = Place.LIMITS

    def __init__(self, shell: Shell, guide: Guide) -> None:
        super().__init__(shell)
        self.guide = guide
        self.place = shell.here
        self.started: float | None = None
        self.outcome: Outcome | None = None
        self.changes: tuple[tuple[str, str, str], ...] = ()
        self._asks: tuple[Ask, ...] | None = None

    # -- where we are -------------------------------------------------------------------------------------------

    @property
    def questions(self) -> tuple[Ask, ...]:
        """The questions of this guide, as they stood when it was opened."""
        if self._asks is None:
            self._asks = asks(self.guide, self.desk)
        return self._asks

    @property
    def needs_day(self) -> bool:
        """True for what belongs to a day that nobody has opened."""
        return self.guide.paths[0].startswith("today.") and not self.desk.day_is_open()

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The questions, or what came of them."""
        if self.needs_day:
            text = "The day is not open yet: where she runs and how warm the water is come first."
            blocks = [Block(answers.sentence(layout, 0, text), row=4, rank=KEPT)]
            return self._framed(layout, blocks, (Key("d", "open the day"), None, None, None))
        if self.outcome is not None:
            first = (Key("Enter", "keep"), Key("r", "read again"), Key("b", "back one line", "back"), None)
            return self._framed(layout, self._result(layout, self.outcome), first)
        ask = self.ask
        back, unknown = Key("b", "back one line", "back"), Key("u", "can't tell")
        blocks = self.asking(layout, how_to(layout, self.guide.needs, self.guide.how))
        if ask is not None and ask.clock:
            space = Key("Space", "stop" if self.started is not None else "start")
            return self._framed(
                layout, blocks, (space, Key("Enter", "keep"), Key("b", "back"), unknown), Key("r", "again")
            )
        return self._framed(layout, blocks, (Key("Enter", "keep"), back, Key("r", "again"), unknown))

    def _framed(
        self, layout: Layout, blocks: list[Block], first: tuple[Key | None, ...], more: Key | None = None
    ) -> Page:
        return framed(
            self, layout, blocks, place=f"{self.place.title}: measure", what=cut(self.guide.title, 24),
            first=first, second=(Key("?", "keys"), more),
        )  # fmt: skip

    def plate(self, layout: Layout, ask: Ask) -> Part:
        """The typed value, or how the watch stands; it shows no running digits."""
        part = super().plate(layout, ask)
        if ask.clock and not self.line.typed.text:
            words = "running: Space stops it" if self.started is not None else "Space starts the watch"
            part += at(2, layout.title, words, Role.BOLD)
        return part

    def _result(self, layout: Layout, outcome: Outcome) -> list[Block]:
        number, unit = shown_number(outcome.text)
        title = at(0, layout.title, cut(self.guide.title.capitalize(), layout.measure), Role.BOLD)
        right = layout.limit if layout.limit is not None else layout.reading
        title += figures.figure(layout, 1, layout.title, number, step=3, unit=unit, end=right)
        if layout.margin:
            spread = outcome.text.partition(", ")[2]
            title += at(2, right, cut(spread, layout.edge - right), kind=Kind.AFTER)
            title += at(3, right, cut(self._readings(), layout.edge - right), kind=Kind.AFTER)
        blocks = [Block(title, row=3, rank=KEPT), Block(changed(layout, self.changes), row=10, rank=7)]
        where = measuring.where_words(self.desk, outcome)
        if self.guide.id in SERIES:
            where = "Her new figure: later times are judged by it."
        blocks.append(Block(answers.note(layout, 0, "Kept", shown(where)), row=18, rank=6))
        if self.line.fault:
            blocks.append(
                Block(answers.note(layout, 0, "Fault", cut(self.line.fault, layout.measure)), row=20, rank=8)
            )
        return blocks

    def _readings(self) -> str:
        first = next((q for q in self.questions if q.name.startswith("reading")), None)
        told = [a.num.si for n, a in self.told.items() if n.startswith("reading") and a.num is not None]
        if first is None or len(told) < 2:
            return ""
        return "read " + ", ".join(f"{units.to_unit(si, first.unit, first.dimension):.4g}" for si in told)

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Space times, digits type, Enter keeps a line and then the result."""
        if self.needs_day:
            if key == "d":
                self.shell.below("day")
            return key == "d"
        if self.started is not None:
            return self._running(key)
        if self.outcome is not None:
            return self._keeping(key)
        ask = self.ask
        if key == "space" and ask is not None and ask.clock and not self.line.typed.text:
            self.started = self.desk.session.clock.up()
            self.line.fault = ""
            return True
        return self.typed(key)

    def _running(self, key: str) -> bool:
        if key == "escape":
            self.started = None
        elif key in ("space", "enter"):
            assert self.started is not None
            seconds = self.desk.session.clock.up() - self.started
            self.started = None
            ask = self.ask
            if ask is not None:
                self.line.clear(ask)
                for letter in f"{max(0.0, seconds):.1f}":
                    self.line.take(ask, letter)
        return True

    def _keeping(self, key: str) -> bool:
        assert self.outcome is not None
        if key == "enter":
            try:
                measuring.keep(self.desk, self.outcome)
            except WritingError as error:
                self.line.fault = shown(str(error))
                return True
            self.shell.pop()
            return True
        if key in ("r", "b"):
            self.outcome = None
            if key == "r":
                self.again()
            else:
                self.back()
            return True
        return key not in ("escape", "?", "/")

    def complete(self) -> None:
        """Work out what was told, and what it would change."""
        try:
            self.outcome = measuring.work_out(self.guide, self.told, self.desk)
            self.changes = measuring.changes(self.desk, self.outcome)
        except (OutOfRangeError, units.UnitFaultError, ValueError) as error:
            self._refuse(shown(str(error)))
        except (UnknownError, NotFittedError) as error:
            self._refuse(f"needs {shown(str(error))}")

    def _refuse(self, why: str) -> None:
        self.outcome = None
        self.back()
        self.line.fault = why


def changed(layout: Layout, changes: tuple[tuple[str, str, str], ...], most: int = MOST_CHANGES) -> Part:
    """Limits that read otherwise: as now, and then."""
    if not changes:
        return answers.note(
            layout, 0, "Changes", "No limit reads otherwise; it is known better all the same.", loud=True
        )
    part = at(0, layout.sign, "Changes", Role.BOLD) if layout.margin else ()
    room = layout.edge - layout.reading
    for row, (name, was, now) in enumerate(changes[:most]):
        was, now = (shown(text).partition(" inside or")[0] for text in (was, now))
        words = f"{was}, then {now}"
        part += at(row, layout.title, cut(shown(name), layout.until(layout.title)))
        part += at(row, layout.reading, cut(words if size(words) <= room else f"then {now}", room), Role.BOLD)
    left = len(changes) - most
    return part + (at(most, layout.title, f"and {left} more") if left > 0 else ())
