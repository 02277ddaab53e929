"""One part of a file as a form; limits move beside it, and nothing is on disk before k."""

from __future__ import annotations

from divelog import units
from divelog.app import editing
from divelog.app.asking import Answer, Ask, Line, answered_line, options
from divelog.app.display import number_of
from divelog.app.editing import Draft, Part
from divelog.app.frames import framed
from divelog.app.look import answers, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Role, at, below, moved
from divelog.app.look.page import Part as Drawn
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.measuring import limit_changes
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.measure import changed
from divelog.limits import catalogue
from divelog.limits.model import Limit, Verdict
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Fact, State
from divelog.profiles.fields import Field
from divelog.text import shown

A_PAGE = 9


class PartForm(Spot):
    """Fields with what is written, or what is taken; a digit opens one."""

    place = Place.BOATS

    def __init__(self, shell: Shell, draft: Draft, part: Part, field: Field | None = None) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.draft, self.part = draft, part
        self.focus = part.fields.index(field) if field is not None else 0
        self.open = False
        self.line = Line()
        self._limits: tuple[int, tuple[Limit, ...], Sheet] | None = None

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """Letters belong to a field while it is open."""
        return self.open and self.line.typing

    @property
    def field(self) -> Field:
        """The field in focus."""
        return self.part.fields[self.focus]

    @property
    def path(self) -> str:
        """Its path in the document."""
        return self.part.path(self.field)

    def _ask(self) -> Ask:
        return editing.question(self.field, self.draft.held(self.path))

    def _worked(self) -> tuple[tuple[Limit, ...], Sheet]:
        """Limits of the draft, worked out once a change."""
        token = hash(tuple(sorted((p, repr(f)) for p, f in self.draft.changes.items())))
        if self._limits is None or self._limits[0] != token:
            sheet = self.draft.sheet()
            self._limits = (token, catalogue.work_out(sheet), sheet)
        return self._limits[1], self._limits[2]

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """Nine fields, the open one with its plate, and what moves."""
        has_boat = self.desk.slug is not None
        limits, sheet = self._worked() if has_boat else ((), None)
        first = self.focus // A_PAGE * A_PAGE
        part: Drawn = ()
        for row, one in enumerate(self.part.fields[first : first + A_PAGE]):
            part += self._row(layout, row, first + row, one, sheet)
        blocks = [
            Block(self._numbers(layout, limits), row=3, rank=5, close=True),
            Block(part, row=6, rank=KEPT),
        ]
        ask = self._ask()
        if self.open:
            below_rows: Drawn = (
                options(layout, 0, ask)
                if ask.choices and (len(ask.choices) > 2 or layout.height < 30)
                else ()
            )
            asked = at(0, layout.title, cut(ask.title, layout.measure), Role.BOLD)
            listed = moved(below_rows or options(layout, 0, ask), 1) if ask.choices else ()
            asked += listed + moved(answered_line(layout, 0, ask, self.line), max(1, below(listed)))
            row = 16 if not ask.choices else max(15 - max(0, below(listed) - 3), 11)
            if ask.choices and below(listed) + 1 > 5:
                part = self._row(layout, 0, self.focus, self.field, sheet)
                blocks[1] = Block(part, row=6, rank=KEPT)
                row = 8
            blocks.append(Block(asked, row=row, rank=KEPT))
        note = self.line.fault or (ask.note if self.open else self._beside())
        if note:
            word = "Fault" if self.line.fault else "Note"
            blocks.append(
                Block(answers.note(layout, 0, word, cut(shown(note), layout.measure)), row=20, rank=8)
            )
        if layout.height >= 30 and has_boat and self.draft.count:
            blocks.append(Block(changed(layout, limit_changes(self.desk.limits(), limits)), row=24, rank=3))
        keys: tuple[Key | None, ...] = (
            Key("1-9", "change"),
            Key("k", "keep"),
            Key("u", "unknown"),
            Key("x", "not fitted"),
        )
        if self.open:
            keys = (Key("Enter", "put in"), None, None, None)
        if self.part.prefix and not self.open:
            keys = (*keys[:3], Key("d", "drop it"))
        second = (Key("?", "keys"), Key("down up", "walk"), Key("b", "put back"), Key("-", "take out"))
        what = f"{self.draft.count} changed, not kept" if self.draft.count else "as on disk"
        return framed(
            self, layout, blocks, place=cut(shown(self.part.title[:1].upper() + self.part.title[1:]), 19), what=what, first=keys,
            second=second if not self.open else (Key("?", "keys") if not self.typing else None,),
        )  # fmt: skip

    def _row(self, layout: Layout, row: int, index: int, one: Field, sheet: Sheet | None) -> Drawn:
        path = self.part.path(one)
        here = index == self.focus
        held = self._held(path)
        words = editing.value_words(one, held) if held is not None else ""
        taken = (
            editing.assumed_words(one, f"{self.draft.root}.{path}", sheet)
            if sheet is not None and not words
            else ""
        )
        title = editing.title_of(one.path)
        part: Drawn = at(row, 0, rows.FOCUS, Role.BOLD, Kind.MARK) if here else ()
        if path in self.draft.changes and layout.margin:
            part += at(row, layout.sign, "changed")
        part += rows.number(layout, row, str(index % A_PAGE + 1))
        part += at(
            row, layout.title, cut(title, layout.until(layout.title)), Role.BOLD if here else Role.TEXT
        )
        said = (
            words or (f"{taken}, assumed" if taken and layout.limit is not None else taken) or "not written"
        )
        return part + at(
            row,
            layout.reading,
            cut(shown(said), layout.edge - layout.reading),
            Role.BOLD if words else Role.TEXT,
        )

    def _held(self, path: str) -> Fact | None:
        held = self.draft.held(path)
        if held is None:
            inner = {
                p.removeprefix(f"{path}."): f
                for p, f in self.draft.after.facts.items()
                if p.startswith(f"{path}.")
            }
            if inner and self.part.fields[0].path and any(f.path == path for f in self.part.fields):
                return Fact(tuple((key, fact.typed) for key, fact in inner.items()))
        return held

    def _numbers(self, layout: Layout, limits: tuple[Limit, ...]) -> Drawn:
        """Back at the bank and the keel, now and as changed."""
        if not limits:
            return ()
        now = {(x.key, x.item): x for x in self.desk.limits()}
        part: Drawn = ()
        right = layout.limit if layout.limit is not None else layout.reading
        for column, key, item, title in (
            (layout.title, "battery.endurance", "", "Back at the bank"),
            (right, "depth.keel", "under control", "Deepest keel"),
        ):
            was = next((x for (k, i), x in now.items() if k == key and (not item or i == item)), None)
            then = next((x for x in limits if x.key == key and (not item or x.item == item)), None)
            if was is None or then is None:
                continue
            words = _short(then) if _short(was) == _short(then) else f"{_short(was)}, then {_short(then)}"
            room = (right - 2 if column == layout.title else layout.edge) - column
            part += at(0, column, cut(title, room)) + at(1, column, cut(words, room), Role.BOLD)
        return part

    def _beside(self) -> str:
        held = self.draft.held(self.path)
        help_words = self.field.help
        if held is not None and held.state is State.UNKNOWN:
            return help_words or "unknown, and said so"
        return help_words

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Walk, open, change; k keeps the whole file."""
        if self.open:
            return self._typing(key)
        self.line.fault = ""
        if key.isdecimal() and key != "0":
            index = self.focus // A_PAGE * A_PAGE + int(key) - 1
            if index < len(self.part.fields):
                self.focus = index
                self._begin()
            return True
        match key:
            case "enter":
                self._begin()
            case "down" | "up" | "pagedown" | "pageup":
                step = {"down": 1, "up": -1, "pagedown": A_PAGE, "pageup": -A_PAGE}[key]
                self.focus = min(max(self.focus + step, 0), len(self.part.fields) - 1)
            case "u":
                self._put("unknown")
            case "x":
                if self.field.may_be_absent or "not fitted" in self.field.choices:
                    self._put("not fitted")
                else:
                    self.line.fault = "this one is always there: unknown, or take it out"
            case "b":
                self.draft.put_back(self.path)
            case "-" | "backspace":
                gone: dict[str, Fact | None] = {
                    p: None for p in self.draft.after.facts if p == self.path or p.startswith(f"{self.path}.")
                }
                self.draft.put(gone)
            case "d" if self.part.prefix:
                self.draft.take_out(self.part.prefix)
                self.shell.pop()
            case "k":
                self.shell.pop()
                self.shell.front.press("k")
            case _:
                return False
        return True

    def _begin(self) -> None:
        self.open = True
        self.line.clear(self._ask())

    def _typing(self, key: str) -> bool:
        ask = self._ask()
        if self.line.take(ask, key):
            return True
        if key == "escape":
            self.open = False
            self.line.clear()
        elif key == "u" and not self.line.typed.words:
            self._put("unknown")
            self.open = False
        elif key == "enter":
            if not self.line.chosen and not self.line.typed.value:
                self.open = False
                return True
            answer = self.line.answer(ask)
            if answer is not None and self._put(answer.word or answer.typed):
                self.open = False
        return True

    def _put(self, text: str) -> bool:
        try:
            self.draft.put(editing.facts_of(self.field, self.path, Answer(word=text, typed=text)))
        except units.UnitFaultError as error:
            self.line.fault = shown(f"found {error.found}; wanted {error.wanted}")
            return False
        self.line.fault = ""
        return True


def _short(limit: Limit) -> str:
    if limit.verdict is Verdict.UNKNOWN:
        return "unknown"
    star = "*" if limit.starred and not limit.shown.endswith("*") else ""
    return f"{limit.shown}{star}" if number_of(limit.shown) else "unknown"
