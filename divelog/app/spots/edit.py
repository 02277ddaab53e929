"""Files as forms: which file, which part of it; kept only when asked, or opened in the person's own editor."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from divelog.app import editing, own_editor
from divelog.app.asking import Ask, Line, answered_line, options
from divelog.app.editing import Draft, Part
from divelog.app.frames import framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Role, at, below, moved
from divelog.app.look.page import Part as Drawn
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.edit_part import PartForm
from divelog.files import StorageError
from divelog.profiles.document import Document
from divelog.profiles.writing import WritingError
from divelog.session.filing import note_filed, read_again
from divelog.text import BadNameError, shown, slug

A_PAGE = 9


def opened_at(shell: Shell, path: str) -> tuple[Spot, ...]:
    """The pages to lay on top for one input: the file it stands in, and its part; her own file where it has none."""
    desk = shell.desk
    root = path.partition(".")[0]
    name = {"site": desk.day().text_at("site"), "kit": "", "settings": ""}.get(root, desk.slug or "")
    root = (
        root
        if root in ("kit", "settings") or (root == "site" and name in desk.session.shelf.sites)
        else "boat"
    )
    if root == "boat" and desk.slug is None:
        return (Files(shell),)
    draft = editing.draft_of(desk, root, name if root == "site" else desk.slug or "")
    file = Parts(shell, draft)
    found = editing.part_at(draft.before, path)
    return (file,) if found is None or draft.before.faults else (file, PartForm(shell, draft, *found))


def file_of(shell: Shell, root: str, name: str) -> Path:
    """Where a document stands on disk."""
    home = shell.desk.session.home
    if root == "boat":
        return home.boat_file(name)
    if root == "site":
        return home.site_file(name)
    return home.kit if root == "kit" else home.settings


class Files(Spot):
    """Her file, the kit, every place, the day."""

    place = Place.BOATS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.top = 0
        self.line: Line | None = None

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """While a new place is named, letters are text."""
        return self.line is not None

    def _entries(self) -> list[tuple[str, str, Callable[[], Spot | None]]]:
        desk = self.desk
        found: list[tuple[str, str, Callable[[], Spot | None]]] = []
        if desk.slug is not None:
            found.append(
                (
                    f"{desk.name()}, her file",
                    _fault_words(desk.document()),
                    partial(self._open, "boat", desk.slug),
                )
            )
        kit = desk.session.shelf.kit
        count = sum(len(ids) for ids in kit.entries.values())
        found.append(
            (
                "Kit",
                _fault_words(kit) or f"{count} packs, bottles, sets and meters",
                partial(self._open, "kit", ""),
            )
        )
        for site, document in desk.session.shelf.sites.items():
            name = document.text_at("name") or site
            words = (
                _fault_words(document)
                or f"{document.text_at('kind')}, {document.text_at('water').replace('_', ' ')} water"
            )
            found.append((name, words, partial(self._open, "site", site)))
        found.append(("a new place", "pond, lake, pool, tank or sea", self._name_place))
        settings = desk.session.shelf.settings
        found.append(
            ("Settings", _fault_words(settings) or "pace, season, theme", partial(self._open, "settings", ""))
        )
        return found

    def _open(self, root: str, name: str) -> Spot:
        return Parts(self.shell, editing.draft_of(self.desk, root, name))

    def _name_place(self) -> None:
        self.line = Line()
        self.line.clear(_PLACE)

    def draw(self, layout: Layout) -> Page:
        """Nine to a page."""
        found = self._entries()
        page = found[self.top : self.top + A_PAGE]
        part: Drawn = ()
        for row, (title, words, _) in enumerate(page):
            part += rows.number(layout, row, str(row + 1))
            part += at(row, layout.title, cut(shown(title), layout.until(layout.title)), Role.BOLD)
            part += at(row, layout.reading, cut(shown(words), layout.edge - layout.reading))
        blocks = [Block(part, row=4, rank=KEPT)]
        if self.line is not None:
            asked = at(0, layout.title, _PLACE.title, Role.BOLD) + moved(
                answered_line(layout, 0, _PLACE, self.line), 1
            )
            blocks.append(Block(asked, row=16, rank=KEPT))
            if self.line.fault:
                blocks.append(
                    Block(
                        answers.note(layout, 0, "Fault", cut(self.line.fault, layout.measure)), row=20, rank=8
                    )
                )
        elif len(found) > A_PAGE:
            blocks.append(
                Block(answers.sentence(layout, 0, f"{len(found)} in all: arrows go on"), row=18, rank=2)
            )
        return framed(
            self, layout, blocks, place="Files", what="nothing is written before k",
            first=(Key("1-9", "open"), Key("d", "the day"), None, None),
        )  # fmt: skip

    def press(self, key: str) -> bool:
        """A digit opens a file, d the day."""
        if self.line is not None:
            return self._naming(key)
        found = self._entries()
        if key.isdecimal() and key != "0":
            index = self.top + int(key) - 1
            if index < min(len(found), self.top + A_PAGE):
                spot = found[index][2]()
                if spot is not None:
                    self.shell.push(spot)
            return True
        if key in ("down", "pagedown"):
            self.top = self.top + A_PAGE if self.top + A_PAGE < len(found) else self.top
            return True
        if key in ("up", "pageup"):
            self.top = max(0, self.top - A_PAGE)
            return True
        if key == "d" and self.desk.slug is not None:
            self.shell.below("day")
            return True
        return False

    def _naming(self, key: str) -> bool:
        assert self.line is not None
        if self.line.take(_PLACE, key):
            return True
        if key == "escape":
            self.line = None
        elif key == "enter":
            name = self.line.typed.value
            sites = self.desk.session.shelf.sites
            try:
                made = slug(name)
            except BadNameError as error:
                self.line.fault = shown(str(error))
                return True
            if made in sites or any(d.text_at("name").casefold() == name.casefold() for d in sites.values()):
                self.line.fault = "there is a place of that name already"
                return True
            self.line = None
            self.shell.push(Parts(self.shell, editing.new_place(self.desk, made, name)))
        return True


_PLACE = Ask("place", "What is the place called?")


def _fault_words(document: Document) -> str:
    count = len(document.faults)
    return f"{count} fault{'s' if count > 1 else ''}: mend it in your own editor" if count else ""


class Parts(Spot):
    """The parts of one file; what was changed waits here until k."""

    place = Place.BOATS

    def __init__(self, shell: Shell, draft: Draft) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.draft = draft
        self.top = 0
        self.fault = ""
        self.said = ""
        self.sure = ""
        """What a second press of the same key will do: keep though comments go, or leave though nothing is kept."""
        self.adding: Part | None = None
        self.line = Line()

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """While a new entry is named, letters are text."""
        return self.adding is not None and self.line.typing

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """Parts with how many of their fields are written."""
        draft = self.draft
        after = draft.after
        page = editing.parts(after)[self.top : self.top + A_PAGE]
        part: Drawn = ()
        for row, one in enumerate(page):
            part += rows.number(layout, row, str(row + 1))
            part += at(row, layout.title, cut(shown(one.title), layout.until(layout.title)), Role.BOLD)
            part += at(row, layout.reading, cut(_part_words(one, draft), layout.edge - layout.reading))
        blocks = [Block(part, row=4, rank=KEPT)]
        if self.adding is not None:
            ask = self._key_ask(self.adding)
            asked = at(0, layout.title, ask.title, Role.BOLD)
            listed = moved(options(layout, 0, ask), 1) if ask.choices else ()
            asked += listed + moved(answered_line(layout, 0, ask, self.line), max(1, below(listed)))
            blocks.append(Block(asked, row=14, rank=KEPT))
        note = self.line.fault or self.fault
        if note:
            blocks.append(Block(answers.note(layout, 0, "Fault", shown(note)), row=19, rank=8))
        elif self.said:
            blocks.append(Block(answers.note(layout, 0, "Note", self.said), row=19, rank=8))
        what = f"{draft.count} changed, not kept" if draft.count else "as on disk"
        return framed(
            self, layout, blocks, place=_title(draft), what=what,
            first=(Key("1-9", "open"), Key("k", "keep"), Key("e", "editor"), Key("z", "put all back", "back")),
            second=(Key("?", "keys"), Key("down up", "further"), None, None),
        )  # fmt: skip

    def _key_ask(self, part: Part) -> Ask:
        assert part.entries is not None
        key = next(f for f in part.entries.fields if f.path == part.entries.key)
        if key.choices:
            return Ask("key", f"Which {part.entries.key}?", choices=tuple((c, c) for c in key.choices))
        return Ask("key", f"What is the {editing.SINGULAR[part.entries.path]} called?")

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """A digit opens a part; k keeps; e hands the file to the editor; z puts everything back."""
        if self.adding is not None:
            return self._name_entry(key, self.adding)
        sure, self.sure = self.sure, ""
        self.fault, said = "", self.said
        if key.isdecimal() and key != "0":
            self._open(int(key) - 1)
            return True
        if key in ("down", "pagedown", "up", "pageup"):
            count = len(editing.parts(self.draft.after))
            step = A_PAGE if key in ("down", "pagedown") else -A_PAGE
            self.top = self.top + step if 0 <= self.top + step < count else self.top
            return True
        if key == "k":
            self._keep(sure)
            return True
        if key == "e":
            self._editor()
            return True
        if key == "z":
            self.draft.changes.clear()
            self.said = "as on disk"
            return True
        if key == "escape" and self.draft.count and sure != "leave":
            self.sure = "leave"
            self.said = f"{self.draft.count} changed and not kept. k keeps; Esc again leaves them."
            return True
        self.said = said if key != "escape" else ""
        return False

    def _open(self, index: int) -> None:
        found = editing.parts(self.draft.after)
        if self.top + index >= len(found) or index >= A_PAGE:
            return
        part = found[self.top + index]
        if self.draft.before.faults:
            self.fault = "the file has faults: mend it in your own editor, e"
        elif part.entries is not None:
            self.adding = part
            self.line.clear(self._key_ask(part))
        else:
            self.said = ""
            self.shell.push(PartForm(self.shell, self.draft, part))

    def _name_entry(self, key: str, part: Part) -> bool:
        ask = self._key_ask(part)
        assert part.entries is not None
        if self.line.take(ask, key):
            return True
        if key == "escape":
            self.adding = None
            self.line.clear()
        elif key == "enter":
            answer = self.line.answer(ask)
            if answer is None:
                return True
            name = answer.word[:60].replace("[", "(").replace("]", ")")
            if name in self.draft.after.entries.get(part.entries.path, ()):
                self.line.fault = f"there is a {shown(name, 30)} already"
                return True
            self.draft.add(part.entries, name)
            self.adding = None
            self.line.clear()
            fresh = next(
                p for p in editing.parts(self.draft.after) if p.prefix == f"{part.entries.path}[{name}]."
            )
            self.shell.push(PartForm(self.shell, self.draft, fresh))
        return True

    def _keep(self, sure: str) -> None:
        if not self.draft.count:
            self.said = "nothing is changed"
            return
        try:
            if self.draft.hand_goes() and sure != "keep":
                self.sure = "keep"
                self.said = "This has the file written anew: its comments go. k again keeps it all the same."
                return
            kept = self.draft.keep()
        except (WritingError, BadNameError) as error:
            self.fault = str(error)
            return
        self.said = "Kept; comments and order stay." if kept else "Kept; the file was written anew."

    def _editor(self) -> None:
        if self.draft.count:
            self.fault = "keep or put back what is changed first: k, or z"
            return
        draft, session = self.draft, self.desk.session
        self.fault = own_editor.edit(file_of(self.shell, draft.root, draft.slug), self.shell.suspend)
        read_again(session)
        try:
            draft.before = editing.document_of(self.desk, draft.root, draft.slug)
        except KeyError:
            self.fault = "the file is gone"
            return
        if draft.before.faults:
            fault = draft.before.faults[0]
            self.fault = f"line {fault.line}: found {fault.found}; wanted {fault.wanted}"
            return
        if session.journal is not None:
            try:
                note_filed(session)
            except StorageError as error:
                self.fault = str(error)
                return
        if not self.fault:
            self.said = "read again: no fault"


def _title(draft: Draft) -> str:
    if draft.root == "site":
        return shown(draft.after.text_at("name") or draft.slug, 18)
    return {"boat": "Her file", "kit": "Kit", "settings": "Settings"}[draft.root]


def _part_words(part: Part, draft: Draft) -> str:
    if part.entries is not None:
        return "name it first"
    written = sum(1 for one in part.fields if _is_written(draft, part.path(one)))
    words = f"{written} of {len(part.fields)} written"
    changed = sum(1 for path in draft.changes if any(path.startswith(part.path(one)) for one in part.fields))
    return f"{words}, {changed} changed" if changed else words


def _is_written(draft: Draft, path: str) -> bool:
    facts = draft.after.facts
    return path in facts or any(known.startswith(f"{path}.") for known in facts)
