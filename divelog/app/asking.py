"""One question at a time: what may be answered, what has been typed so far, and the answer read out of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from divelog import units
from divelog.app.look import answers, plate, rows
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at
from divelog.app.look.words import Status, cut, size
from divelog.app.typed import Typed
from divelog.limits.readings import meter_u95
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Num
from divelog.text import shown

TEN = "1234567890"
"""Digits that choose, in order: the tenth is 0."""


@dataclass(frozen=True, slots=True)
class Ask:
    """One question. With ``choices`` a digit answers, with ``dimension`` a number, with neither a text."""

    name: str
    title: str
    unit: str = ""
    dimension: str = ""
    clock: bool = False
    """May be timed with the stopwatch key."""
    choices: tuple[tuple[str, str], ...] = ()
    """Words and value of each choice."""
    need: bool = True
    """False where Enter alone goes on without an answer."""
    note: str = ""
    low: float | None = None
    high: float | None = None
    meter: bool = True
    """False where no meter of the kit reads this, though one reads its kind of quantity."""
    more: tuple[tuple[str, str], ...] = ()
    """Other kinds of number that may be typed: pairs of dimension and the unit of a bare number."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered: a number, a word, or nothing known."""

    num: Num | None = None
    word: str = ""
    typed: str = ""
    dimension: str = ""

    @property
    def known(self) -> bool:
        """False for *don't know*."""
        return self.num is not None or bool(self.word)

    @property
    def si(self) -> float:
        """The number; raises ValueError where there is none."""
        if self.num is None:
            raise ValueError("no number was answered")
        return self.num.si


NOT_KNOWN = Answer(typed="unknown")


def bare(text: str) -> bool:
    """True for a number without a unit."""
    return text.replace(",", ".").replace(".", "", 1).lstrip("+-").isdecimal()


def read_number(ask: Ask, text: str, sheet: Sheet | None = None) -> Answer:
    """A typed number with its unit, or the question's own unit; raises UnitFaultError in words.

    Its ± is what was said, else that of the kit's meter.
    """
    wrong: units.UnitFaultError | None = None
    for dimension, unit in ((ask.dimension, ask.unit), *ask.more):
        typed = f"{text} {unit}".strip() if bare(text) else text
        try:
            found = units.parse(typed, dimension, typed=True, assume_unit=unit or None)
        except units.UnitFaultError as error:
            wrong = wrong or error
            continue
        beyond = ask.low is not None and found.si < ask.low or ask.high is not None and found.si > ask.high
        if beyond and dimension == ask.dimension:
            edges = (_edge(ask.low, ask, "at least"), _edge(ask.high, ask, "at most"))
            raise units.UnitFaultError(repr(typed), ", ".join(edge for edge in edges if edge))
        spread = found.u95 if found.said or sheet is None else meter_u95(sheet, dimension, found.si)
        return Answer(Num(found.si, spread, Basis.MEASURED), "", typed, dimension)
    assert wrong is not None
    raise wrong


def _edge(edge: float | None, ask: Ask, lead: str) -> str:
    if edge is None:
        return ""
    return f"{lead} {units.to_unit(edge, ask.unit, ask.dimension):.4g} {ask.unit}"


@dataclass(slots=True)
class Line:
    """The line being typed under a question."""

    typed: Typed = field(default_factory=Typed)
    chosen: str = ""
    fault: str = ""

    @property
    def typing(self) -> bool:
        """True while letters belong to what is typed."""
        return bool(self.typed.text) or self.typed.words

    def clear(self, ask: Ask | None = None) -> None:
        """Start a fresh line for a question."""
        words = ask is not None and not ask.choices and not ask.dimension
        self.typed, self.chosen, self.fault = Typed(words=words), "", ""

    def take(self, ask: Ask, key: str) -> bool:
        """Take a key that types or chooses; False where it means something else."""
        self.fault = ""
        if ask.choices:
            if key in TEN[: len(ask.choices)] and len(key) == 1:
                self.chosen = key
                return True
            if key in ("backspace", "escape") and self.chosen:
                self.chosen = ""
                return True
            return False
        taken = self.typed.take(key)
        if taken is None:
            return False
        self.typed = taken
        return True

    def answer(self, ask: Ask, sheet: Sheet | None = None) -> Answer | None:
        """What Enter answers; None with ``fault`` said where it is no answer."""
        if ask.choices:
            if not self.chosen:
                return self._empty(ask, "a digit chooses")
            words, value = ask.choices[TEN.index(self.chosen)]
            return Answer(word=value, typed=words)
        text = self.typed.value
        if not text:
            return self._empty(ask, "a value" if ask.dimension else "some text")
        if not ask.dimension:
            return Answer(word=text, typed=text)
        try:
            return read_number(ask, text, sheet)
        except units.UnitFaultError as error:
            self.fault = shown(f"found {error.found}; wanted {error.wanted}")
            return None

    def _empty(self, ask: Ask, wanted: str) -> Answer | None:
        if not ask.need:
            return NOT_KNOWN
        self.fault = f"{wanted}, or u where you do not know" if ask.dimension or ask.choices else wanted
        return None


def options(layout: Layout, row: int, ask: Ask) -> Part:
    """The choices of a question, under each other; over seven of them in two columns."""
    pairs = [(digit, shown(words)) for digit, (words, _) in zip(TEN, ask.choices, strict=False)]
    if len(pairs) <= (7 if layout.limit is not None else 4):
        return answers.choices(layout, row, pairs)
    half = (len(pairs) + 1) // 2
    if layout.limit is None:
        narrow = [(d, cut(w, layout.until(layout.title) - 3)) for d, w in pairs[:half]]
        return answers.choices(layout, row, narrow) + answers.choices(
            layout, row, pairs[half:], column=layout.reading
        )
    narrow = [
        (d, cut(w, layout.until(layout.title) + layout.until(layout.reading) - 2)) for d, w in pairs[:half]
    ]
    return answers.choices(layout, row, narrow) + answers.choices(
        layout, row, pairs[half:], column=layout.limit
    )


def answered_line(layout: Layout, row: int, ask: Ask, line: Line) -> Part:
    """The plate of one row with what has been typed or chosen, and the unit of a bare number beside it."""
    if ask.choices:
        words = ask.choices[TEN.index(line.chosen)][0] if line.chosen else ""
        return plate.choice_plate(layout, row, line.chosen, shown(words))
    part = plate.text_plate(layout, row, line.typed.text)
    _, end = plate.bounds(layout)
    beside = layout.limit if layout.limit is not None and layout.limit > end else end + 2
    said = " or ".join((ask.unit, *(unit for _, unit in ask.more))) if ask.dimension else ""
    room = layout.edge - beside
    if not said or room < size(said):
        return part
    return part + at(row, beside, said, kind=Kind.AFTER)


def told_rows(layout: Layout, lines: Sequence[tuple[str, Status | None, str]], focus: int | None) -> Part:
    """Questions as rows: how each stands, its title over both middle columns, and what was answered."""
    right = layout.limit if layout.limit is not None else layout.reading
    part: Part = ()
    for row, (title, status, words) in enumerate(lines):
        here = row == focus
        part += rows.status(layout, row, status, focused=here)
        part += at(row, layout.title, cut(title, right - layout.title - 1), Role.BOLD if here else Role.TEXT)
        part += at(row, right, cut(words, layout.edge - right), Role.BOLD)
    return part
