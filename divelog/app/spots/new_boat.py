"""A new boat in ten questions: each answer on disk before the next one shows, and no file to be seen."""

from __future__ import annotations

from divelog import units
from divelog.app import ten, ten_kept
from divelog.app.asking import NOT_KNOWN, Answer, Ask, answered_line, options
from divelog.app.frames import framed
from divelog.app.look import answers, frame, rows
from divelog.app.look.frame import Key
from divelog.app.look.layout import Layout, Place
from divelog.app.look.page import Kind, Page, Part, Role, at, below, joined, moved
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.questions import Questions
from divelog.app.shell import Shell
from divelog.app.spots.first_numbers import FirstNumbers
from divelog.limits.sheet import NotFittedError, Sheet, UnknownError
from divelog.profiles.writing import WritingError
from divelog.text import shown

ADVICE = ("Not knowing costs nothing", "but a wider margin.")


class NewBoat(Questions):
    """Ten questions, then what they come to."""

    place = Place.BOATS

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.begun: dict[str, Answer] | None = None
        """Answers of a draft, while it is asked whether to go on with it."""
        self.asked = False

    def enter(self) -> None:
        """A draft that was left, or cut off, is offered again."""
        session = self.desk.session
        if not self.asked:
            self.asked = True
            self.begun = ten_kept.read_draft(session.home, session.shelf, session.disk) or None
        self.line.clear(self.ask)

    # -- questions ----------------------------------------------------------------------------------------------

    @property
    def questions(self) -> tuple[Ask, ...]:
        """Every line, as the answers so far have it."""
        return tuple(step.ask for step in self._steps())

    def _steps(self) -> tuple[ten.Step, ...]:
        return ten.steps(self.told, self.desk.session.shelf)

    @property
    def number(self) -> int:
        """Which of the ten is open."""
        return next((s.number for s in self._steps() if s.ask.name not in self.told), 11)

    def answered(self, ask: Ask, answer: Answer) -> None:
        """Each answer is on disk before the next question."""
        ten_kept.write_draft(self.desk.session.home, self.told, self.desk.session.disk)

    def complete(self) -> None:
        """All answered: kit, profile and log are written."""
        try:
            made = ten_kept.make(self.desk.session, self.told)
        except (ten_kept.NameTakenError, WritingError) as error:
            self.told.pop("name", None)
            self.line.clear(self.ask)
            self.line.fault = shown(str(error))
            return
        self.told.clear()
        self.shell.change_boat(made)
        self.shell.push(FirstNumbers(self.shell, made))

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """The question that is open, what was answered above it, what is to come below."""
        if self.desk.read_only:
            text = f"No boat can be written down here. {self.desk.read_only}"
            return self._framed(
                layout, [Block(answers.sentence(layout, 0, shown(text)), row=4, rank=KEPT)], (), ""
            )
        if self.begun is not None:
            return self._offer(layout, self.begun)
        ask = self.ask
        if ask is None:
            text = "All is answered. Enter writes her down."
            return self._framed(
                layout,
                [Block(answers.sentence(layout, 0, text), row=4, rank=KEPT)],
                (Key("Enter", "write"),),
                "",
            )
        words = not ask.choices and not ask.dimension
        first: tuple[Key | None, ...] = (
            Key("Enter", "keep"),
            Key("b", "back one line", "back"),
            Key("u", "don't know"),
        )
        what = f"question {min(self.number, 10)} of 10" if self.number <= 10 else "your kit"
        return self._framed(layout, self._asking(layout, ask), first[:1] if words else first, what)

    def _framed(
        self,
        layout: Layout,
        blocks: list[Block],
        first: tuple[Key | None, ...],
        what: str,
        *,
        leave: str = "stop, kept",
    ) -> Page:
        slots = [*first[:4], *[None] * (4 - len(first[:4])), Key("Esc", leave, "stop")]
        keys = frame.keys(layout, slots, ())
        if len(layout.keys) == 1:
            keys = frame.keys(
                layout,
                [*first[:1], None, None, None, None],
                [None, None, None, None, Key("Esc", leave, "stop")],
            )
        return framed(self, layout, blocks, boat="New boat", place="Boats", what=what, own_keys=keys)

    def _asking(self, layout: Layout, ask: Ask) -> list[Block]:
        told = self._told_rows()
        room = 20 if layout.height >= 30 else 10
        if layout.margin:
            done = joined(rows.entry(layout, n, one) for n, one in enumerate(told[-room:]))
        else:
            short = [rows.Row(one.title, one.status, reading=one.words) for one in told[-room:]]
            done = rows.listed(layout, 0, short, block=False)
        top = 3 + len(told[-room:]) + (1 if told else 0)
        part = at(0, 0, rows.FOCUS, Role.BOLD, Kind.MARK) + at(
            0, layout.title, cut(ask.title, layout.measure), Role.BOLD
        )
        listed = moved(options(layout, 0, ask), 1) if ask.choices else ()
        part += listed
        advised = layout.gauge is not None and len(ask.choices) <= 7 and ask.name != "kit"
        if advised and ask.choices:
            part += _advice(layout)
        plate_at = max(below(listed) + (1 if len(listed) and top < 8 else 0), 2)
        part += moved(answered_line(layout, 0, ask, self.line), plate_at)
        if advised and not ask.choices and ask.dimension:
            part += moved(answers.sentence(layout, 0, " ".join(ADVICE)), plate_at + 2)
        blocks = [Block(done, row=3, rank=4), Block(part, row=top, rank=KEPT)]
        said = self.line.fault or ask.note
        if said:
            word = "Fault" if self.line.fault else "Note"
            note = answers.note(layout, 0, word, cut(said, layout.measure))
            blocks.append(Block(note, row=top + below(part) + 1, rank=8, close=True))
        rest = self._rest(layout)
        if rest:
            blocks.append(Block(rest, row=min(21 - below(rest), 18), rank=1))
        return blocks

    def _rest(self, layout: Layout) -> Part:
        left = ten.STILL_TO_COME[self.number :]
        if layout.limit is None or layout.gauge is None:
            return ()
        half = (len(left) + 1) // 2
        part: Part = ()
        for column, texts in ((layout.title, left[:half]), (layout.limit, left[half:])):
            for row, text in enumerate(texts):
                room = (layout.limit - 2 if column == layout.title else layout.edge) - column
                part += at(row, column, cut(text, room))
        return part

    def _told_rows(self) -> list[rows.Entry]:
        sheet = ten_kept.preview(self.desk.session, self.told)
        found = []
        for number in range(1, min(self.number, 11)):
            known, words = summary(number, self.told, sheet, self)
            if not words:
                continue
            status = Status.DONE if known else Status.UNKNOWN
            found.append(rows.Entry(ten.SHORT[number - 1], shown(words), status=status))
        return found

    def _offer(self, layout: Layout, begun: dict[str, Answer]) -> Page:
        name = begun["name"].word if "name" in begun else "a boat"
        steps = ten.steps(begun, self.desk.session.shelf)
        at_number = next((s.number for s in steps if s.ask.name not in begun), 11)
        where = f"question {at_number} of 10 is next" if at_number <= 10 else "all ten are answered"
        part = at(0, layout.title, cut(shown(f"{name.upper()} was begun"), layout.measure), Role.BOLD)
        part += answers.sentence(layout, 1, f"Her answers are on disk; {where}.")
        part += answers.choices(layout, 3, [("1", "go on with her"), ("2", "begin afresh; those answers go")])
        return self._framed(layout, [Block(part, row=4, rank=KEPT)], (), "begun", leave="back")

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Digits choose, Enter keeps; at the end Enter opens her limits."""
        if self.desk.read_only:
            return False
        if self.begun is not None:
            if key == "1":
                self.told, self.begun = dict(self.begun), None
                self.line.clear(self.ask)
                if self.ask is None:
                    self.complete()
            elif key == "2":
                self.begun = None
                ten_kept.drop_draft(self.desk.session)
                self.line.clear(self.ask)
            return key != "escape"
        ask = self.ask
        if ask is None:
            if key == "enter":
                self.complete()
            return key != "escape"
        if key == "enter" and ask.name == "name" and not self._name_fits():
            return True
        return self.typed(key) or key not in ("escape",)

    def _name_fits(self) -> bool:
        name = self.line.typed.value
        if not name:
            self.line.fault = "she needs a name; any will do, it can be changed"
            return False
        try:
            ten_kept.check_name(name, self.desk.session.shelf)
        except ten_kept.NameTakenError as error:
            self.line.fault = shown(str(error))
            return False
        return True

    def _unknown(self, ask: Ask) -> None:
        self._told(ask, NOT_KNOWN)


# -- words ----------------------------------------------------------------------------------------------------------


def _advice(layout: Layout) -> Part:
    assert layout.limit is not None
    return at(1, layout.limit, ADVICE[0]) + at(2, layout.limit, ADVICE[1])


def summary(number: int, told: dict[str, Answer], sheet: Sheet, spot: NewBoat) -> tuple[bool, str]:
    """Whether one of the ten is known, and its answer in words; assumed figures carry their star."""

    def held(name: str) -> Answer:
        return told.get(name, NOT_KNOWN)

    match number:
        case 1:
            return True, held("name").word.upper()
        case 2:
            if held("length").known:
                return True, held("length").typed
            return False, f"{held('size').typed}*" if held("size").known else "taken as of middle size*"
        case 3:
            return (
                (True, held("mass").typed)
                if held("mass").known
                else (False, _assumed(sheet, "boat.mass", "kg", "mass", "from her length"))
            )
        case 4:
            if held("dives").known:
                return True, held("dives").typed
            return held("stays").known, {
                "weight": "weight: she stays down",
                "planes": "planes: she comes up",
            }.get(held("stays").word, "unknown")
        case 5:
            if not held("hull").known:
                return False, "the hull itself*, of unknown stuff"
            made = held("material").typed if held("material").known else "unknown stuff"
            return True, f"{held('hull').typed}, {made}"
        case 6:
            if held("dives").word == "none":
                return True, "none"
            if held("ballast").known:
                return True, held("ballast").typed
            return False, _assumed(sheet, "boat.ballast.volume", "mL", "volume", "8 % of her mass")
        case 7:
            if not held("band").known:
                return False, "unknown: aerial limits stay unknown"
            tip = f", tip {held('tip').typed} up" if held("tip").known else ", tip unknown"
            return True, f"{held('band').typed}{tip}"
        case 8:
            return _pack(told, spot)
        case 9:
            return (True, held("dry").typed) if held("dry").known else (False, "never: 0.5 m, within reach")
        case 10:
            if held("up").word == "bound":
                return True, "seen: a claim, to prove"
            return (True, "once: to prove, first") if held("up").known else (False, "to prove, first")
        case _:
            return False, ""


def _pack(told: dict[str, Answer], spot: NewBoat) -> tuple[bool, str]:
    pack = told.get("pack", NOT_KNOWN)
    if pack.known and pack.word != ten.ANOTHER:
        return True, pack.typed
    chemistry, cells, capacity = (told.get(name, NOT_KNOWN) for name in ("chemistry", "cells", "capacity"))
    if not (chemistry.known and cells.known and capacity.known):
        return False, "unknown: minutes stay unknown"
    one = ten.pack_id(told, spot.desk.session.shelf)
    return True, f"{one}: {chemistry.typed}, {cells.typed} cells, {capacity.typed}"


def _assumed(sheet: Sheet, path: str, unit: str, dimension: str, how: str) -> str:
    try:
        num = sheet.num(path)
    except (UnknownError, NotFittedError):
        return "unknown"
    return f"{units.to_unit(num.si, unit, dimension):.2g} {unit}*, {how}"
