"""The curve of a run: depth over time against the limits that held then, volts or amps below it, a cursor to ask with."""

from __future__ import annotations

from divelog.app.curve_view import NUMBERED, curve_part, facts_of
from divelog.app.curve_words import RunCurve, happenings
from divelog.app.fact_lines import drawn_lines, fact_lines
from divelog.app.frames import framed, moment_words
from divelog.app.logbook import Fact
from divelog.app.look import answers
from divelog.app.look.curve import Window, width_for
from divelog.app.look.frame import Key
from divelog.app.look.layout import STANDARD, Layout, Place
from divelog.app.look.page import Page
from divelog.app.look.stack import KEPT, Block
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.worker import Worker
from divelog.files import StorageError
from divelog.history.runs import Run
from divelog.papers.telemetry.model import StoppedError, Telemetry, TelemetryError
from divelog.papers.telemetry.thinning import STRETCHES
from divelog.session.joined import Joined, joined, read_again, source_of
from divelog.text import shown

CLOSEST = 8
"""How many times closer the picture may come: the readings that are kept for drawing bear no more out."""
assert STRETCHES / CLOSEST >= 50


class CurvePage(Spot):
    """One file of a run, drawn."""

    place = Place.LOG

    def __init__(self, shell: Shell, slug: str, run: Run, file: int = 0) -> None:
        super().__init__(shell)
        self.slug, self.run, self.file = slug, run, file
        self.files: tuple[Joined, ...] = joined(self.desk.session.log(slug).events, run.id)
        self.one: RunCurve | None = None
        self.fault = ""
        self.cursor = 0.0
        self.closer = 1
        self.below = 0
        self.words = False
        self.top = 0
        self._window: Window | None = None
        self._worker: Worker[Telemetry] | None = None
        self._read()

    # -- reading ------------------------------------------------------------------------------------------------

    def _read(self) -> None:
        """Read the file again, in a thread."""
        self.one, self.fault, self._worker = None, "", None
        session, run = self.desk.session, self.run
        try:
            one = self.files[self.file]
            source, limits = source_of(session, self.slug, run, one)
        except (TelemetryError, StorageError) as error:
            self.fault = str(error)
            return
        self._mapping, self._limits = source.mapping, limits
        self._worker = Worker(lambda tell: read_again(session, source, run, limits, one, tell))
        self._settle()

    def _settle(self) -> None:
        """Take what the thread read, once it has."""
        worker = self._worker
        if worker is None or not worker.done:
            return
        self._worker = None
        try:
            found = worker.take()
        except (TelemetryError, StorageError) as error:
            self.fault = str(error)
        except StoppedError:
            self.fault = "the reading was stopped"
        else:
            self.one = RunCurve(self.run, self._mapping, found, self._limits, happenings(self.run))
            self.closer, self.below = 1, 0
            self._to_worst()

    def _to_worst(self) -> None:
        """Put the cursor where a person looks first: the deepest moment, else the lowest volts, else the beginning."""
        assert self.one is not None
        found, whole = self.one.found, self.one.whole(1)
        stat = found.stats.get("volts")
        first = found.deepest_at if found.deepest_at is not None else stat.least_at if stat else whole.first
        self.cursor = min(max(first, whole.first), whole.last)

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The curve, or its words; how far the reading is until then."""
        self._settle()
        one = self.one
        if one is None:
            return self._waiting(layout)
        if self.words:
            return self._in_words(layout, one)
        self._window = window = self._seen(one, layout)
        below = one.others[self.below % len(one.others)] if one.others else None
        cursor = min(max(window.column(self.cursor), 0), window.width - 1)
        part = curve_part(layout, one, window, cursor, below)
        wider = (
            Key("b", "wider")
            if self.closer > 1
            else Key("f", "next file", "file")
            if len(self.files) > 1
            else None
        )
        after = one.others[(self.below + 1) % len(one.others)] if len(one.others) > 1 else None
        return framed(
            self, layout, [Block(part, row=3, rank=KEPT)], place="Log: curve", boat=self._boat(),
            what=self._what(),
            first=(Key("arrows", "along", "move"), Key("w", "in words"), wider,
                   Key("v", _SHORT.get(after, after)) if after else None),
            second=(Key("?", "keys"), Key("1-9", "what happened", "to it") if one.happened else None,
                    Key("Enter", "closer", "in") if self.closer < CLOSEST else None, None),
        )  # fmt: skip

    def _boat(self) -> str:
        return shown(self.desk.name(self.slug))

    def _what(self) -> str:
        moment = self.run.start or self.run.end
        words = moment_words(moment) if moment is not None else ""
        return f"{words}, file {self.file + 1} of {len(self.files)}" if len(self.files) > 1 else words

    def _seen(self, one: RunCurve, layout: Layout) -> Window:
        """The stretch that is drawn: all, or a part with the cursor in the middle of it."""
        whole = one.whole(width_for(layout))
        length = (whole.last - whole.first) / self.closer
        first = min(max(self.cursor - length / 2, whole.first), whole.last - length)
        return Window(first, first + length, whole.width)

    def _waiting(self, layout: Layout) -> Page:
        if self.fault or self._worker is None:
            said = f"The curve cannot be drawn: {shown(self.fault)}."
            figures = [Fact("Figures", each) for each in self._figures()]
            blocks = [Block(answers.sentence(layout, 0, said), row=4, rank=KEPT)]
            blocks.append(Block(drawn_lines(layout, fact_lines(layout, figures)), row=8, rank=5))
        else:
            how_far = self._worker.progress
            said = f"Reading: {how_far.rows} rows, {how_far.read / 1e6:.1f} MB. Esc stops."
            blocks = [Block(answers.sentence(layout, 0, said), row=4, rank=KEPT)]
        other = Key("f", "next file", "file") if len(self.files) > 1 else None
        return framed(
            self, layout, blocks, place="Log: curve", boat=self._boat(), what=self._what(),
            first=(other, None, None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def _figures(self) -> list[str]:
        from divelog.app.measured_words import measured_words

        if not self.files:
            return []
        said = (measured_words(path, value) for path, value in self.files[self.file].figures)
        return [words for words in said if words]

    def _in_words(self, layout: Layout, one: RunCurve) -> Page:
        lines = fact_lines(layout, facts_of(one))
        room = layout.keys[0] - 2 - layout.first
        self.top = min(self.top, max(0, len(lines) - room))
        blocks = [Block(drawn_lines(layout, lines[self.top : self.top + room]), row=3, rank=KEPT)]
        left = len(lines) - self.top - room
        if len(lines) > room:
            words = f"{left} more lines: down" if left > 0 else "the end: up goes back"
            blocks.append(Block(answers.sentence(layout, 0, words), row=layout.keys[0] - 2, rank=3))
        return framed(
            self, layout, blocks, place="Log: curve", boat=self._boat(), what=self._what(),
            first=(Key("w", "the curve"), Key("down", "further", "more") if len(lines) > room else None, None, None),
            second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Left and right move the cursor, digits go to what happened, v other readings, w words, Enter closer, b wider."""
        self._settle()
        if key == "escape":
            if self._worker is not None:
                self._worker.stop()
            return False
        if key == "f" and len(self.files) > 1:
            if self._worker is not None:
                self._worker.stop()
            self.file = (self.file + 1) % len(self.files)
            self._read()
            return True
        if self.one is None:
            return False
        if key == "w":
            self.words, self.top = not self.words, 0
            return True
        if self.words:
            step = {"down": 1, "space": 1, "up": -1, "pagedown": 12, "pageup": -12}.get(key)
            if step is not None:
                self.top = max(0, self.top + step)
            return step is not None
        return self._along(key, self.one)

    def _along(self, key: str, one: RunCurve) -> bool:
        window = self._window or self._seen(one, STANDARD)
        whole = one.whole(window.width)
        each = (window.last - window.first) / window.width
        step = {"right": 1, "left": -1, "pagedown": 10, "pageup": -10}.get(key)
        if step is not None:
            column = min(max(window.column(self.cursor), -1), window.width) + step
            self._put(window.first + (column + 0.5) * each, one)
        elif key in ("home", "end"):
            self._put(whole.first if key == "home" else whole.last, one)
        elif key in ("up", "down"):
            self._next(one, window, key == "down")
        elif key in NUMBERED:
            number = NUMBERED.index(key)
            if number < len(one.happened):
                self._put(one.happened[number].at, one)
        elif key == "v" and one.others:
            self.below = (self.below + 1) % len(one.others)
        elif key == "enter":
            self.closer = min(self.closer * 2, CLOSEST)
        elif key in ("b", "backspace"):
            self.closer = max(self.closer // 2, 1)
        else:
            return False
        return True

    def _put(self, seconds: float, one: RunCurve) -> None:
        whole = one.whole(1)
        self.cursor = min(max(seconds, whole.first), whole.last)

    def _next(self, one: RunCurve, window: Window, later: bool) -> None:
        """The next thing that happened, seen from the cursor."""
        here = window.column(self.cursor)
        moments = [each.at for each in one.happened]
        found = [at for at in moments if (window.column(at) > here if later else window.column(at) < here)]
        if found:
            self._put(min(found) if later else max(found), one)

    def tick(self) -> None:
        """Take what was read meanwhile."""
        self._settle()


_SHORT = {
    "current": "amps",
    "volts": "volts",
    "charge": "charge",
    "temperature": "degrees",
    "signal": "signal",
}
