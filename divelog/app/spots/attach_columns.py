"""The columns of a file: what each is taken for, changed by digits, and the mapping kept under a name."""

from __future__ import annotations

from dataclasses import replace

from divelog import units
from divelog.app.form import typing_keys
from divelog.app.frames import framed
from divelog.app.look import answers, plate, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Page, Part, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.spots.attach import TITLE, Joining
from divelog.app.typed import Typed
from divelog.papers.telemetry.drafting import USUAL, Draft, Seen, Taken, draft_toml
from divelog.papers.telemetry.mapping import COUNTS, GIVES
from divelog.papers.telemetry.model import TelemetryError
from divelog.session.mapping_files import save_mapping
from divelog.text import BadNameError, shown, slug

NOTHING, TIME = "nothing", "time"
ROLES = (NOTHING, TIME, *GIVES)
DIGITS = "1234567890"
A_PAGE = 9


class Columns(Spot):
    """One row a column; a digit changes it, Enter keeps the mapping."""

    place = Place.LOG

    def __init__(self, shell: Shell, joining: Joining, draft: Draft) -> None:
        super().__init__(shell)
        self.joining, self.draft = joining, draft
        self.top = 0
        self.column: int | None = None
        """The column that is being changed."""
        self.role: str | None = None
        """What it was taken for; then its unit is asked."""
        self.name: Typed | None = None
        self.fault = ""
        self._room = A_PAGE

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """True while the name of the mapping is typed."""
        return self.name is not None

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The columns, or the question about one."""
        if self.column is not None:
            return self._asking(layout, self.column)
        per = 1 if layout.gauge is not None else 2 if layout.margin else 3
        self._room = room = min(A_PAGE, max(1, (layout.keys[0] - 5 - layout.first) // per))
        columns = self.draft.columns
        self.top = min(self.top, max(0, len(columns) - room))
        listed = joined(
            rows.entry(layout, n * per, self._entry(layout, self.top + n, n + 1))
            for n in range(min(room, len(columns) - self.top))
        )
        blocks = [Block(listed, row=3, rank=KEPT)]
        if self.name is not None:
            ask = at(0, layout.title, "Keep the mapping as", Role.BOLD)
            ask += plate.text_plate(layout, 1, self.name.text)
            blocks.append(Block(ask, row=layout.last - 2, rank=KEPT))
            if self.fault:
                blocks.append(Block(self._not_so(layout), row=layout.last, rank=8))
        else:
            foot = self._not_so(layout) if self.fault else self._foot(layout)
            under = 3 + min(room, len(columns) - self.top) * per + 1
            blocks.append(Block(foot, row=min(layout.last - 3, under), rank=8))
        second = Key("z", "from first row" if self.draft.from_launch else "from launch", "nought")
        return framed(
            self, layout, blocks, place=TITLE, what=self.joining.what,
            boat=shown(self.desk.name(self.joining.slug)),
            first=(Key("1-9", "change"), Key("Enter", "keep it", "keep") if self.draft.ready else None,
                   Key("r", "a run" if self.draft.charger else "a charger", "kind"), None),
            second=(Key("?", "keys"), second, Key("down", "further", "more") if len(columns) > room else None, None),
            own_keys=typing_keys(layout) if self.name is not None else None,
        )  # fmt: skip

    def _entry(self, layout: Layout, place: int, number: int) -> rows.Entry:
        seen = self.draft.columns[place]
        title = seen.name or f"column {place + 1}"
        words = self._taken_words(place, seen)
        return rows.Entry(
            shown(title),
            words,
            cut(shown(" ".join(seen.first)), 17),
            number=str(number),
            strong=words != NOTHING,
        )

    def _taken_words(self, place: int, seen: Seen) -> str:
        if place == self.draft.time:
            return f"time, {self.draft.counts}" + ("" if self.draft.counts_sure else " ?")
        if seen.taken is None:
            return NOTHING
        return f"{seen.taken.gives}, {seen.taken.unit}" + ("" if seen.taken.sure else " ?")

    def _not_so(self, layout: Layout) -> Part:
        return answers.note(layout, 0, "Not so", shown(self.fault), loud=True)

    def _foot(self, layout: Layout) -> Part:
        kind = "Read by a charger after the run" if self.draft.charger else "Read in the run"
        nought = "her launch is nought" if self.draft.from_launch else "the first row is nought"
        said = f"{kind}; on its clock {nought}."
        if self.draft.doubts:
            said += " Where a ? stands the file does not say: look again."
        if self.draft.time is None:
            said = "Which column is the time? A digit says so."
        elif not self.draft.ready:
            said = "Which column holds a reading? A digit says so."
        return answers.sentence(layout, 0, said, most=3)

    def _asking(self, layout: Layout, place: int) -> Page:
        seen = self.draft.columns[place]
        title = f"{seen.name or f'column {place + 1}'}: {', '.join(seen.first)}"
        part = at(0, layout.title, cut(shown(title), layout.edge - layout.title), Role.BOLD)
        said = (
            "Which unit?"
            if self.role not in (None, TIME)
            else "What does its clock count?"
            if self.role
            else "What is it?"
        )
        part += at(1, layout.title, said)
        options = self._options()
        numbered = [(DIGITS[n], words) for n, words in enumerate(options)]
        if layout.margin:
            part += answers.choices(layout, 2, numbered)
        else:
            part += answers.next_steps(layout, 2, numbered, word="", rows=5)
        return framed(
            self, layout, [Block(part, row=3, rank=KEPT)], place=TITLE, what=self.joining.what,
            boat=shown(self.desk.name(self.joining.slug)),
            first=(Key(f"1-{DIGITS[len(options) - 1]}", "choose"), Key("b", "back one line", "back"), None, None),
            second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    def _options(self) -> tuple[str, ...]:
        if self.role is None:
            return ROLES
        if self.role == TIME:
            return COUNTS
        alike = {"Ah": "A h", "mAh": "mA h"}  # two spellings of one unit
        return tuple(unit for unit in units.allowed(GIVES[self.role][0]) if unit not in alike)[: len(DIGITS)]

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Digits choose, Enter keeps, r run or charger, z what nought means."""
        if self.name is not None:
            return self._type(key)
        if self.column is not None:
            return self._choose(key, self.column)
        self.fault = ""
        if key.isdecimal() and 1 <= int(key) <= self._room and self.top + int(key) <= len(self.draft.columns):
            self.column, self.role = self.top + int(key) - 1, None
        elif key == "enter":
            if self.draft.ready:
                self.name = Typed(slug(self.joining.path.stem)[:40], words=True, most=40)
        elif key == "r":
            self.draft = replace(self.draft, charger=not self.draft.charger)
        elif key == "z":
            self.draft = replace(self.draft, from_launch=not self.draft.from_launch)
        elif key in ("down", "up", "pagedown", "pageup"):
            self.top = max(0, self.top + (self._room if key in ("down", "pagedown") else -self._room))
        else:
            return False
        return True

    def _choose(self, key: str, place: int) -> bool:
        if key in ("escape", "b", "backspace"):
            if self.role is None:
                self.column = None
            self.role = None
            return True
        options = self._options()
        if len(key) != 1 or key not in DIGITS or DIGITS.index(key) >= len(options):
            return False
        chosen = options[DIGITS.index(key)]
        if self.role is None and chosen != NOTHING:
            self.role = chosen
            if len(self._options()) > 1:
                return True
            chosen = self._options()[0]
        self._set(place, chosen)
        self.column = self.role = None
        return True

    def _set(self, place: int, chosen: str) -> None:
        draft = self.draft
        columns = list(draft.columns)
        if self.role == TIME:
            columns[place] = replace(columns[place], taken=None)
            self.draft = replace(draft, columns=tuple(columns), time=place, counts=chosen, counts_sure=True)
            return
        if place == draft.time:
            draft = replace(draft, time=None)
        taken = None if self.role is None else Taken(self.role, chosen or USUAL[self.role])
        for n, seen in enumerate(columns):  # a quantity stands in one column
            if taken is not None and seen.taken is not None and seen.taken.gives == taken.gives:
                columns[n] = replace(seen, taken=None)
        columns[place] = replace(columns[place], taken=taken)
        self.draft = replace(draft, columns=tuple(columns))

    def _type(self, key: str) -> bool:
        assert self.name is not None
        if key == "enter":
            self._keep(self.name.value)
            return True
        taken = self.name.take(key)
        if taken is not None:
            self.name, self.fault = taken, ""
        elif key == "escape":
            self.name, self.fault = None, ""
        return True

    def _keep(self, name: str) -> None:
        """Save the mapping, then read the whole file by it."""
        from divelog.app.spots.attach_read import ReadFile

        try:
            mapping = save_mapping(self.desk.session, name, draft_toml(self.draft))
        except (BadNameError, TelemetryError) as error:
            self.fault = str(error)
            return
        self.name, self.fault = None, ""
        self.shell.push(ReadFile(self.shell, self.joining, mapping))
