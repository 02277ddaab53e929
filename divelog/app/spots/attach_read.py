"""A file read to its end in a thread: how far it is, what it says of the run, and whether it is kept."""

from __future__ import annotations

from pathlib import Path

from divelog.app.curve_view import facts_of
from divelog.app.curve_words import RunCurve, happenings
from divelog.app.fact_lines import drawn_lines, fact_lines
from divelog.app.form import typing_keys
from divelog.app.frames import framed
from divelog.app.logbook import Fact
from divelog.app.look import answers, plate
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Role, at
from divelog.app.look.stack import KEPT, Block
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.attach import TITLE, AttachFile, HowToRead, Joining
from divelog.app.spots.attach_columns import Columns
from divelog.app.typed import Typed
from divelog.app.worker import Worker
from divelog.files import StorageError
from divelog.papers.telemetry.drafting import shifted
from divelog.papers.telemetry.mapping import Mapping
from divelog.papers.telemetry.model import StoppedError, Telemetry, TelemetryError
from divelog.papers.telemetry.reading import Tell
from divelog.session.joined import joined
from divelog.session.telemetry import Source, against, keep_copy, place_for, read_source, write_down
from divelog.text import shown


class ReadFile(Spot):
    """Reading, then what was read; nothing is kept before Enter says so."""

    place = Place.LOG

    def __init__(self, shell: Shell, joining: Joining, mapping: Mapping) -> None:
        super().__init__(shell)
        self.joining, self.mapping = joining, mapping
        self.one: RunCurve | None = None
        self.fault = ""
        self.top = 0
        self.shift: Typed | None = None
        self.shift_fault = ""
        self.kept = False
        self._reading: Worker[Telemetry] | None = None
        self._keeping: tuple[Worker[bool], Path] | None = None
        self._read()

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """True while a time is typed."""
        return self.shift is not None

    # -- the two pieces of work ---------------------------------------------------------------------------------

    def _read(self) -> None:
        self.one, self.fault, self.top = None, "", 0
        session, run = self.desk.session, self.joining.run
        source = Source(self.joining.path, self.mapping)
        self._limits = limits = against(session, self.joining.slug, run)
        self._reading = Worker(lambda tell: read_source(session.disk, source, run, limits, tell))
        self._settle()

    def _keep(self, one: RunCurve) -> bool:
        """The copy is made in a thread; what it says is written down here, once the copy is whole. Whether it is."""
        session = self.desk.session
        try:
            target = place_for(session, self.joining.slug, self.joining.run, one.found)
        except TelemetryError as error:
            self.fault = str(error)
            return False
        disk, path, mapping = session.disk, self.joining.path, self.mapping

        def copy(tell: Tell) -> bool:
            keep_copy(disk, path, target, one.found, mapping, tell)
            return True

        self._keeping = (Worker(copy), target)
        self._settle()
        return self.kept

    def _settle(self) -> None:
        """Take what a thread has made."""
        if self._reading is not None and self._reading.done:
            worker, self._reading = self._reading, None
            try:
                found = worker.take()
            except StoppedError:
                self.fault = "the reading was stopped; nothing is kept"
            except (TelemetryError, StorageError) as error:
                self.fault = str(error)
            else:
                run = self.joining.run
                self.one = RunCurve(run, self.mapping, found, self._limits, happenings(run))
        if self._keeping is not None and self._keeping[0].done and self.one is not None:
            (copying, target), self._keeping = self._keeping, None
            try:
                copying.take()
            except StoppedError:
                self.fault = "stopped while the copy was made"
                return
            except TelemetryError as error:
                self.fault = str(error)
                return
            write_down(
                self.desk.session, self.joining.slug, self.joining.run, target, self.one.found, self.mapping
            )
            self.kept = True

    def tick(self) -> None:
        """Take what was made meanwhile; a storage fault becomes a page of its own."""
        from divelog.app.spots.not_kept import NotKept
        from divelog.session.session import ReadOnlyError

        try:
            self._settle()
        except (StorageError, ReadOnlyError) as error:
            self.shell.push(NotKept(self.shell, error))
        else:
            if self.kept:
                self._show()

    # -- drawing ------------------------------------------------------------------------------------------------

    def facts(self) -> list[Fact]:
        """What the file says; first what does not agree with what was written."""
        if self.one is None:
            return []
        found = facts_of(self.one)
        words = self._differs(self.one)
        return [Fact("Differs", words, True), *found] if words else found

    def _differs(self, one: RunCurve) -> str:
        written, deepest = one.run.deepest, one.found.deepest
        if deepest is None or written is None or written.si is None or written.how == "sensor":
            return ""
        if abs(written.si - deepest) <= (written.u95 or 0.0) + one.found.stats["depth"].u95:
            return ""
        return f"the log says {written.si:.2f} m {written.how or ''} for this run, the file {deepest:.2f} m; both stay"

    def draw(self, layout: Layout) -> Page:
        """How far it is, or what was read."""
        if self.one is None or self._keeping is not None:
            return self._working(layout)
        lines = fact_lines(layout, self.facts())
        room = max(1, layout.keys[0] - 5 - layout.first)
        self.top = min(self.top, max(0, len(lines) - room))
        blocks = [Block(drawn_lines(layout, lines[self.top : self.top + room]), row=3, rank=KEPT)]
        left = len(lines) - self.top - room
        row = layout.keys[0] - 4
        if self.shift is not None:
            question = "How long after her launch is its nought?"
            if not layout.margin:
                question = "Nought how long after launch?"
            ask = at(0, layout.title, question, Role.BOLD)
            ask += plate.text_plate(layout, 1, self.shift.text)
            blocks.append(Block(ask, row=row, rank=KEPT))
            if self.shift_fault:
                blocks.append(
                    Block(answers.note(layout, 0, "Not so", shown(self.shift_fault)), row=row + 3, rank=8)
                )
        elif self.fault:
            blocks.append(
                Block(answers.note(layout, 0, "Not kept", shown(self.fault), loud=True), row=row + 1, rank=8)
            )
        else:
            more = f"{left} more lines: down. " if left > 0 else ""
            words = more + "Enter keeps a copy beside her log and writes these figures down."
            blocks.append(Block(answers.sentence(layout, 0, words, most=2), row=row + 1, rank=KEPT))
        return framed(
            self, layout, blocks, place=TITLE, what=self.joining.what, boat=shown(self.desk.name(self.joining.slug)),
            first=(Key("Enter", "keep it", "keep"), Key("z", "line up the clock", "line up"),
                   Key("down", "further", "more") if len(lines) > room else None, None),
            second=(Key("?", "keys"), None, None, None),
            own_keys=typing_keys(layout) if self.shift is not None else None,
        )  # fmt: skip

    def _working(self, layout: Layout) -> Page:
        if self._reading is not None:
            how_far = self._reading.progress
            part = answers.note(
                layout, 0, "Reading", f"{how_far.rows} rows, {how_far.read / 1e6:.1f} MB so far", loud=True
            )
            part += answers.sentence(layout, 2, "Esc stops. Nothing is kept before you say so.")
        elif self._keeping is not None:
            done = self._keeping[0].progress.read / 1e6
            said = f"a copy of the file goes beside her log, {done:.1f} MB so far"
            part = answers.note(layout, 0, "Keeping", said, loud=True)
            part += answers.sentence(layout, 3, "Esc stops. Nothing is kept before the copy is whole.")
        else:
            part = answers.note(layout, 0, "Not read", shown(self.fault), loud=True)
            part += answers.sentence(layout, 4, "Esc goes back: another mapping may fit.")
        return framed(
            self, layout, [Block(part, row=4, rank=KEPT)], place=TITLE, what=self.joining.what,
            boat=shown(self.desk.name(self.joining.slug)), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Enter keeps, l lines up, arrows move; Esc stops the reading and goes back, or stops the copy."""
        self._settle()
        if self.kept:  # the copy became whole since the last second
            self._show()
            return True
        if self.shift is not None:
            return self._type(key, self.shift)
        if self._keeping is not None:
            if key == "escape":
                self._keeping[0].stop()
            return key not in (
                "t",
                "?",
            )  # what is written down once the copy is whole is written by this page
        if key == "escape":
            if self._reading is not None:
                self._reading.stop()
            return False
        if self.one is None:
            return False
        step = {"down": 1, "space": 1, "up": -1, "pagedown": 12, "pageup": -12}.get(key)
        if step is not None:
            self.top = max(0, self.top + step)
        elif key == "enter":
            if self._keep(self.one):
                self._show()
        elif key == "z":
            self.shift, self.shift_fault = Typed("", words=True, most=20), ""
        else:
            return False
        return True

    def _type(self, key: str, shift: Typed) -> bool:
        if key == "enter":
            if not shift.value:
                self.shift = None
                return True
            try:
                self.mapping = shifted(self.mapping, shift.value)
            except TelemetryError as error:
                self.shift_fault = str(error)
                return True
            self.shift = None
            self._read()
            return True
        taken = shift.take(key)
        if taken is not None:
            self.shift, self.shift_fault = taken, ""
        elif key == "escape":
            self.shift = None
        return True

    def _show(self) -> None:
        """Put the pages of joining away, and draw the curve."""
        from divelog.app.spots.curve import CurvePage

        shell, joining = self.shell, self.joining
        while isinstance(shell.front, AttachFile | HowToRead | Columns | ReadFile):
            shell.pop()
        files = joined(self.desk.session.log(joining.slug).events, joining.run.id)
        shell.push(CurvePage(shell, joining.slug, joining.run, max(len(files) - 1, 0)))
