"""A file of readings joined to a run: where it is, and by which mapping it is read."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from divelog.app.frames import framed, moment_words
from divelog.app.look import answers, plate, rows
from divelog.app.look.frame import BACK, Key, keys
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at, below
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.phrases import clause, listed
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.typed import Typed
from divelog.app.typing_path import completed, path_of
from divelog.files import StorageError
from divelog.history.runs import Run
from divelog.papers.telemetry.drafting import Draft
from divelog.papers.telemetry.guessing import first_lines, guess
from divelog.papers.telemetry.mapping import Mapping
from divelog.papers.telemetry.model import TelemetryError
from divelog.session.mapping_files import fits, head_of, mapping_named, mappings
from divelog.text import BadNameError, shown

LONGEST_PATH = 400
TITLE = "Log: join file"
OFFERED = 8


@dataclass(frozen=True, slots=True)
class Joining:
    """What is being joined: the boat, the run, the file and its beginning."""

    slug: str
    run: Run
    path: Path
    head: bytes

    @property
    def what(self) -> str:
        """The file, as far as it has room in a header."""
        return cut(shown(self.path.name), 25)


def run_words(run: Run) -> str:
    """``Tue 4 May  08:41``."""
    moment = run.start or run.end
    return moment_words(moment) if moment is not None else "a run"


class AttachFile(Spot):
    """Where the file is."""

    place = Place.LOG

    def __init__(self, shell: Shell, slug: str, run: Run) -> None:
        super().__init__(shell)
        self.slug, self.run = slug, run
        self.typed = Typed(words=True, most=LONGEST_PATH)
        self.names: tuple[str, ...] = ()
        self.fault = ""

    typing = True

    def draw(self, layout: Layout) -> Page:
        """The question, the plate, and the names it could be."""
        part = at(0, layout.title, "Where is the file?", Role.BOLD)
        part += answers.sentence(layout, 1, "Rows of plain text, of an instrument in her or of a charger.")
        part += plate.text_plate(layout, below(part) + 1, self.typed.text, rows=2 if layout.margin else 1)
        blocks = [Block(part, row=4, rank=KEPT)]
        if self.fault:
            blocks.append(
                Block(answers.note(layout, 0, "Not so", shown(self.fault), loud=True), row=12, rank=8)
            )
        elif self.names:
            said = ", ".join(shown(name) for name in self.names[:OFFERED])
            more = f" and {len(self.names) - OFFERED} more" if len(self.names) > OFFERED else ""
            blocks.append(Block(answers.note(layout, 0, "Names", said + more), row=12, rank=6))
        else:
            words = "The file stays where it is; a copy of it is kept beside her log."
            blocks.append(Block(answers.sentence(layout, 0, words), row=12, rank=3))
        own = keys(
            layout, (Key("Enter", "look"), Key("Tab", "go on with the name", "go on")),
            (None, None, None, None, BACK),
        )  # fmt: skip
        return framed(
            self, layout, blocks, place=TITLE, what=run_words(self.run),
            boat=shown(self.desk.name(self.slug)), own_keys=own,
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """Letters are the path, Tab goes on with it, Enter looks at the file."""
        if key == "enter":
            if self.typed.value:
                self._open()
            return True
        if key == "tab":
            text, self.names = completed(self.typed.text, self.desk.session.disk)
            self.typed, self.fault = Typed(text[:LONGEST_PATH], words=True, most=LONGEST_PATH), ""
            if len(self.names) == 1:
                self.names = ()
            return True
        taken = self.typed.take(key)
        if taken is not None:
            self.typed, self.fault, self.names = taken, "", ()
            return True
        return key != "escape"

    def _open(self) -> None:
        path = path_of(self.typed.value)
        try:
            head = head_of(self.desk.session, path)
            first_lines(head)
            if not head.strip():
                raise TelemetryError("the file is empty")
        except (StorageError, TelemetryError) as error:
            self.fault = str(error)
            return
        self.shell.push(HowToRead(self.shell, Joining(self.slug, self.run, path, head)))


class HowToRead(Spot):
    """The first rows as they stand, and the mappings that read them."""

    place = Place.LOG

    def __init__(self, shell: Shell, joining: Joining) -> None:
        super().__init__(shell)
        self.joining = joining
        self.fitting: tuple[Mapping, ...] = ()
        self.not_fitting: tuple[str, ...] = ()
        self.draft: Draft | None = None
        self.why_not = ""

    def enter(self) -> None:
        """Look through the mappings of the home again, and guess one."""
        session, head = self.desk.session, self.joining.head
        good, bad = [], []
        for name in mappings(session):
            try:
                mapping, _ = mapping_named(session, name)
            except (StorageError, BadNameError):
                mapping = None
            if mapping is not None and fits(mapping, head):
                good.append(mapping)
            else:
                bad.append(name)
        self.fitting, self.not_fitting = tuple(good[:OFFERED]), tuple(bad)
        try:
            self.draft, self.why_not = guess(head), ""
        except TelemetryError as error:
            self.draft, self.why_not = None, str(error)

    def draw(self, layout: Layout) -> Page:
        """The rows, then what reads them."""
        room = layout.edge - layout.title
        part: Part = ()
        lines = first_lines(self.joining.head)[: 4 if layout.margin else 2]
        for n, line in enumerate(lines):
            part += at(n, layout.sign, "First rows") if n == 0 and layout.margin else ()
            part += at(n, layout.title, cut(shown(line.replace("\t", "  ")), room))
        ask = at(0, layout.title, "How is it read?", Role.BOLD)
        row = 1
        for number, (title, words) in enumerate(self._options(), 1):
            ask += rows.number(layout, row, str(number))
            ask += at(row, layout.title, cut(shown(title), layout.until(layout.title)), Role.BOLD)
            if layout.margin:
                ask += at(row, layout.reading, cut(shown(words), layout.edge - layout.reading))
            row += 1
        blocks = [Block(part, row=3, rank=7), Block(ask, row=9, rank=KEPT)]
        if self.why_not:
            words = f"No mapping can be guessed: {self.why_not}."
            blocks.append(Block(answers.sentence(layout, 0, shown(words)), row=17, rank=6))
        if self.not_fitting:
            words = f"These do not read it: {listed(self.not_fitting[:6])}."
            blocks.append(Block(answers.sentence(layout, 0, shown(words), most=2), row=18, rank=4))
        count = len(self._options())
        first = Key(f"1-{count}" if count > 1 else "1", "read it so", "so") if count else None
        return framed(
            self, layout, blocks, place=TITLE, what=self.joining.what,
            boat=shown(self.desk.name(self.joining.slug)),
            first=(first, None, None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def _options(self) -> list[tuple[str, str]]:
        found = [
            (one.name, clause(one.title, ", ".join(column.gives for column in one.columns), sep=": "))
            for one in self.fitting
        ]
        if self.draft is not None:
            gives = [each.taken.gives for each in self.draft.columns if each.taken is not None]
            found.append(("guessed anew", listed(gives) or "you say what its columns are"))
        return found

    def press(self, key: str) -> bool:
        """A digit takes a mapping."""
        if not (key.isdecimal() and 1 <= int(key) <= len(self._options())):
            return False
        number = int(key) - 1
        if number < len(self.fitting):
            from divelog.app.spots.attach_read import ReadFile

            self.shell.push(ReadFile(self.shell, self.joining, self.fitting[number]))
        elif self.draft is not None:
            from divelog.app.spots.attach_columns import Columns

            self.shell.push(Columns(self.shell, self.joining, self.draft))
        return True
