"""Hand over: a boat put into one file to pass on, and one taken in from a file that is shown before anything is taken."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from divelog.app.form import CHOICE, TEXT, Ask, Form, typing_keys
from divelog.app.frames import framed
from divelog.app.look import answers, plate, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut, wrap
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.typed import Typed
from divelog.files import StorageError
from divelog.session.handing import (
    HandingError,
    Taken,
    Taking,
    bundle,
    bundles,
    folder_of,
    handed_over,
    name_for,
    plan,
    read_bundle,
    take,
    write_bundle,
)
from divelog.sharing.model import Looked, Wishes
from divelog.sharing.words import looked, standing
from divelog.text import shown

A_PAGE = 9
LONGEST_PATH = 400
Line = tuple[str, str, bool]
"""Word at the left, sentence, loud."""


def wrapped(layout: Layout, said: Sequence[Line]) -> list[Line]:
    """Sentences broken to the page; the word stands on the first line of each."""
    room = layout.measure if layout.margin else layout.edge - layout.title
    found: list[Line] = []
    before = ""
    for word, text, loud in said:
        head = word if word != before else ""
        before = word
        if not layout.margin and head:
            found.append((head, "", False))
            head = ""
        for line in wrap(shown(text), room) or ("",):
            found.append((head, line, loud))
            head = ""
    return found


def drawn(layout: Layout, lines: Sequence[Line]) -> Part:
    """Lines as `wrapped` made them."""
    room = layout.number - 1 if layout.margin else layout.edge - 1
    parts = []
    for row, (word, text, loud) in enumerate(lines):
        parts.append(at(row, layout.sign, cut(word, room), Role.TEXT if text else Role.BOLD))
        parts.append(at(row, layout.title, text, Role.BOLD if loud else Role.TEXT))
    return joined(parts)


class HandOver(Spot):
    """Which way: out of this home, or into it."""

    place = Place.BOATS

    def draw(self, layout: Layout) -> Page:
        """Two ways, and what each does."""
        name = shown(self.desk.name()) if self.desk.slug is not None else ""
        part = at(0, layout.title, "Hand over", Role.BOLD)
        options = [("2", "take in a boat from a file")]
        if name:
            options.insert(
                0, ("1", cut(f"put {name} into a file to pass on", layout.edge - layout.title - 3))
            )
        part += answers.choices(layout, 2, options)
        words = (
            "What is private stays here and is counted. Whoever takes her in proves her anew: what was proved is only"
            " claimed."
        )
        blocks = [Block(part, row=4, rank=KEPT), Block(answers.sentence(layout, 0, words), row=10, rank=5)]
        return framed(
            self, layout, blocks, place="Hand over",
            first=(Key("1-2", "choose"), None, None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit chooses."""
        if key == "1" and self.desk.slug is not None:
            self.shell.push(ShareBoat(self.shell))
        elif key == "2":
            self.shell.push(ReceiveList(self.shell))
        else:
            return False
        return True


class ShareBoat(Form):
    """Three questions, then one file."""

    title: ClassVar[str] = "hand over"

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = Place.BOATS
        self.lines: tuple[Line, ...] = ()
        self.top = 0

    def asks(self) -> Sequence[Ask]:
        """What goes, her condition, to whom."""
        what = (
            ("profile and baselines", "plain"),
            ("her log too, with every incident", "log"),
            ("her log without the incidents; how many is said", "withheld"),
        )
        return (
            Ask("what", "What goes into the file", CHOICE, what),
            Ask("condition", "Her condition", TEXT, how="in a few words, or Enter", need=False),
            Ask(
                "to",
                "Who takes her over",
                TEXT,
                how="a name, kept here only; or Enter: she stays yours",
                need=False,
            ),
        )

    def write(self) -> str:
        """The file, and ``boat.handed_over`` where she goes for good."""
        session, slug = self.desk.session, self.desk.slug
        assert slug is not None
        what = self.value("what")
        wishes = Wishes(what != "plain", what != "withheld", condition=self.value("condition") or "")
        made = bundle(session, slug, self.desk.document(), wishes)
        path = name_for(session, slug)
        to = self.value("to")
        write_bundle(session, made, path)
        if to:
            handed_over(session, slug, made, to)
        said = [("file", str(path), True), *((word, text, False) for word, text in standing(made.manifest))]
        self.lines = (*said, *(("not in it", one, False) for one in made.odd))
        return str(path)

    def _enter(self, ask: Ask) -> None:
        try:
            super()._enter(ask)
        except HandingError as error:
            self.fault = str(error)

    def _done(self, layout: Layout) -> Page:
        lines = wrapped(layout, self.lines)
        room = max(1, layout.keys[0] - 2 - layout.first)
        self.top = min(self.top, max(0, len(lines) - room))
        blocks = [Block(drawn(layout, lines[self.top : self.top + room]), row=3, rank=KEPT)]
        return framed(
            self, layout, blocks, place="Hand over", what="written",
            first=(Key("down", "further"), Key("Enter", "back"), None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """As every form; once it is written, arrows move the page."""
        if self.kept and key in ("down", "pagedown", "up", "pageup"):
            self.top = max(0, self.top + (1 if key in ("down", "pagedown") else -1))
            return True
        return super().press(key)


class ReceiveList(Spot):
    """Files that lie in the folder of the home; or a path that is typed."""

    place = Place.BOATS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.found: tuple[Path, ...] = ()
        self.typed: Typed | None = None
        self.fault = ""

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """True while a path is typed."""
        return self.typed is not None

    def enter(self) -> None:
        """Look into the folder again."""
        self.found = bundles(self.desk.session)[:A_PAGE]

    def draw(self, layout: Layout) -> Page:
        """The files, numbered."""
        part = at(0, layout.title, "Which file?", Role.BOLD)
        row = 2
        for n, path in enumerate(self.found, 1):
            part += rows.number(layout, row, str(n))
            part += at(row, layout.title, cut(shown(path.name), layout.edge - layout.title))
            row += 1
        if not self.found:
            words = f"Nothing lies in {folder_of(self.desk.session)}. Put the file there, or press p and type where it is."
            part += answers.sentence(layout, row, shown(words))
        blocks = [Block(part, row=4, rank=KEPT)]
        if self.typed is not None:
            ask = at(0, layout.title, "Where is it?", Role.BOLD) + plate.text_plate(
                layout, 1, self.typed.text
            )
            blocks.append(Block(ask, row=15, rank=KEPT))
        elif self.fault:
            blocks.append(
                Block(answers.note(layout, 0, "Not so", shown(self.fault), loud=True), row=18, rank=8)
            )
        return framed(
            self, layout, blocks, place="Take in", what="shown before it is taken",
            first=(Key("1-9", "look at it"), Key("p", "type a path", "path"), None, None),
            second=(Key("?", "keys"), None, None, None), own_keys=typing_keys(layout) if self.typing else None,
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit opens a file; p types a path."""
        if self.typed is not None:
            return self._type(key)
        self.fault = ""
        if key.isdecimal() and 1 <= int(key) <= len(self.found):
            self._open(self.found[int(key) - 1])
            return True
        if key == "p":
            self.typed = Typed(words=True, most=LONGEST_PATH)
            return True
        return False

    def _type(self, key: str) -> bool:
        assert self.typed is not None
        if key == "enter":
            if self.typed.value:
                self._open(Path(self.typed.value).expanduser())
            self.typed = None
            return True
        taken = self.typed.take(key)
        if taken is not None:
            self.typed = taken
        elif key == "escape":
            self.typed = None
        return True

    def _open(self, path: Path) -> None:
        try:
            found = read_bundle(self.desk.session, path)
            taking = plan(self.desk.session, found)
        except (StorageError, HandingError) as error:
            self.fault = str(error)
            return
        self.shell.push(Receive(self.shell, path, found, taking))


class Receive(Spot):
    """What is in a file, all of it read and checked; taken only when somebody says so."""

    place = Place.BOATS

    def __init__(self, shell: Shell, path: Path, found: Looked, taking: Taking) -> None:
        super().__init__(shell)
        self.path, self.found, self.taking = path, found, taking
        self.over = False
        self.top = 0
        self.typed: Typed | None = None
        self.fault = ""
        self.taken: Taken | None = None

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """True while another name is typed."""
        return self.typed is not None

    def lines(self) -> list[Line]:
        """What the page says, top to bottom: what must be heeded stands first."""
        if self.taken is not None:
            return [
                ("here", f"{self.taking.name} is here, {self.taken.lines} lines in her log", True),
                ("", "Every proof of hers is claimed until it is proved here.", False),
            ]
        if self.taking.faults:
            return [("fault", one.sentence(), False) for one in self.taking.faults]
        said = looked(self.found, self.taking.lacking)
        heeded = [(word, text, True) for word, text in said if word in ("looser", "taken out", "defect")]
        rest = [(word, text, False) for word, text in said if word not in ("looser", "taken out", "defect")]
        if self.taking.collides:
            words = f"{self.taking.same_name or self.taking.slug} is here already"
            words += (
                "; she goes in its place" if self.over else ": r another name, o in the place of that one"
            )
            heeded.insert(0, ("here", words, True))
        if self.taking.here:
            rest.append(("log", f"{self.taking.here} lines are in this logbook already and stay", False))
        return [*heeded, *rest]

    @property
    def open(self) -> bool:
        """True where Enter would take her."""
        return (
            self.taken is None
            and not self.taking.faults
            and not self.desk.read_only
            and (self.over or not self.taking.collides)
        )

    def draw(self, layout: Layout) -> Page:
        """As many lines as have room, and what Enter would do."""
        lines = wrapped(layout, self.lines())
        below = 4 if self.typed is not None else 2
        room = max(1, layout.keys[0] - 1 - below - layout.first)
        self.top = min(self.top, max(0, len(lines) - room))
        blocks = [Block(drawn(layout, lines[self.top : self.top + room]), row=3, rank=KEPT)]
        last = layout.keys[0] - below
        if self.typed is not None:
            ask = at(0, layout.title, "Her name here", Role.BOLD) + plate.text_plate(
                layout, 1, self.typed.text
            )
            blocks.append(Block(ask, row=last - 1, rank=KEPT))
        else:
            blocks.append(
                Block(answers.sentence(layout, 0, self._foot(len(lines) - room)), row=last, rank=KEPT)
            )
        first = (
            Key("down", "further"),
            Key("Enter", "take her in", "take") if self.open else None,
            Key("r", "another name", "name") if self.taken is None and not self.taking.faults else None,
            Key("v", "in place of", "over") if self.taking.collides and self.taken is None else None,
        )
        return framed(
            self, layout, blocks, place="Take in", what=cut(shown(self.path.name), 26), first=first,
            boat=shown(self.taking.name).upper() if self.taking.name else "",
            second=(Key("?", "keys"), None, None, None), own_keys=typing_keys(layout) if self.typing else None,
        )  # fmt: skip

    def _foot(self, left: int) -> str:
        if self.fault:
            return shown(self.fault)
        if self.taken is not None:
            return "Enter goes back to the boats."
        if self.taking.faults:
            return "Nothing of a file with a fault is taken."
        if self.desk.read_only:
            return "The home cannot be written: she can only be looked at."
        if left > 0:
            return f"{left} more lines: down"
        if not self.open:
            return "A name here belongs to one boat: r or o first."
        return "Enter takes her in as shown. Nothing is written before that."

    def press(self, key: str) -> bool:
        """Enter takes, r renames, o puts her in the place of the other, arrows move."""
        if self.typed is not None:
            return self._type(key)
        step = {"down": 1, "space": 1, "up": -1, "pagedown": 12, "pageup": -12}.get(key)
        if step is not None:
            self.top = max(0, self.top + step)
            return True
        if key == "enter":
            self._enter()
            return True
        if self.taken is None and not self.taking.faults:
            if key == "r":
                self.typed = Typed(words=True)
                return True
            if key == "v" and self.taking.collides:
                self._plan("", not self.over)
                return True
        return False

    def _enter(self) -> None:
        if self.taken is not None:
            self.shell.change_boat(self.taken.slug)
            self.shell.go(Place.BOATS)
        elif self.open:
            try:
                self.taken = take(self.desk.session, self.taking, over=self.over)
            except HandingError as error:
                self.fault = str(error)
            self.top = 0

    def _plan(self, under: str, over: bool) -> None:
        try:
            self.taking = plan(self.desk.session, self.found, under, over)
            self.over, self.fault = over, ""
        except HandingError as error:
            self.fault = str(error)
        self.top = 0

    def _type(self, key: str) -> bool:
        assert self.typed is not None
        if key == "enter":
            if self.typed.value:
                self._plan(self.typed.value, False)
            self.typed = None
            return True
        taken = self.typed.take(key)
        if taken is not None:
            self.typed = taken
        elif key == "escape":
            self.typed = None
        return True
