"""A few questions, one after another, and one event at the end. Nothing is kept before the last answer."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar

from divelog.app.frames import framed
from divelog.app.look import answers, frame, plate, rows
from divelog.app.look.frame import BACK, Key
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Page, Part, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut
from divelog.app.shell import Shell
from divelog.app.spot import Spot
from divelog.app.typed import Typed
from divelog.journal.events import Happened, format_happened
from divelog.proofs import State
from divelog.proofs.table import RULES
from divelog.session.entries import EntryError, quantity_of
from divelog.session.typed_when import WhenError, parse_when
from divelog.text import shown

CHOICE, MANY, TEXT, AMOUNT, WHEN = "choice", "many", "text", "amount", "when"
MOST_OPTIONS = 9


@dataclass(frozen=True, slots=True)
class Ask:
    """One question: its name in the answers, its words, how it is answered, and whether Enter alone is an answer."""

    name: str
    title: str
    kind: str
    options: tuple[tuple[str, Any], ...] = ()
    """Words and value, for a choice and for many."""
    how: str = ""
    dimension: str = ""
    unit: str = ""
    need: bool = True
    short: str = ""
    """The question in a word or two, for the list of what was answered."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered: the value for the event, and its words for the page."""

    value: Any
    words: str


def when(title: str = "When was it") -> Ask:
    """The time to type where it was earlier."""
    how = "Enter for now; or 19:00, yesterday 19:00, 30 Apr 19:00"
    return Ask("when", title, WHEN, how=how, need=False, short="When")


@dataclass(slots=True)
class _Typing:
    typed: Typed = field(default_factory=Typed)
    digits: str = ""


def typing_keys(layout: Layout) -> Part:
    """Keys while letters are text: only Enter and Esc act."""
    return frame.keys(layout, (Key("Enter", "keep"),), (None, None, None, None, BACK))


class Form(Spot):
    """Questions of one event. What is asked may depend on what was answered."""

    title: ClassVar[str] = "What happened"

    def __init__(self, shell: Shell) -> None:
        super().__init__(shell)
        self.place = shell.here
        self.answers: dict[str, Answer] = {}
        self.at = 0
        self.fault = ""
        self.kept: tuple[str, ...] = ()
        self._now = _Typing()
        self._start()

    @abstractmethod
    def asks(self) -> Sequence[Ask]:
        """The questions, as far as the answers go."""

    @abstractmethod
    def write(self) -> str:
        """Write the event; what was kept, in words. Raises StorageError: then the last question stands."""

    def check(self, ask: Ask, words: str) -> None:
        """Look at words that were typed; raises EntryError where they are none of the answers."""

    # -- answers ------------------------------------------------------------------------------------------------

    def value(self, name: str) -> Any:
        """What was answered to a question; None where nothing was."""
        found = self.answers.get(name)
        return found.value if found is not None else None

    @property
    def happened(self) -> str | None:
        """The time that was typed, as an event holds it; None for now."""
        found = self.value("when")
        return format_happened(found.at, found.half_width) if isinstance(found, Happened) else None

    @property
    def typing(self) -> bool:  # type: ignore[override]
        """True while letters are text."""
        ask = self._ask()
        if ask is None:
            return False
        return ask.kind in (TEXT, WHEN) or (ask.kind == AMOUNT and bool(self._now.typed.text))

    def _ask(self) -> Ask | None:
        asks = self.asks()
        return asks[self.at] if self.at < len(asks) and not self.kept else None

    def _start(self) -> None:
        ask = self._ask()
        self._now = _Typing(Typed(words=ask is not None and ask.kind in (TEXT, WHEN)))

    # -- drawing ------------------------------------------------------------------------------------------------

    def draw(self, layout: Layout) -> Page:
        """What was answered, the question, its options, the plate."""
        if self.kept:
            return self._done(layout)
        asks = self.asks()
        ask = asks[self.at]
        done = [each for each in asks[: self.at] if each.name in self.answers]
        listed = joined(
            self._answered(layout, n, each) for n, each in enumerate(done if layout.margin else [])
        )
        top = len(done) + 5 if done else 4
        blocks = [Block(listed, row=4, rank=3)] if listed else []
        blocks.append(Block(self._question(layout, ask), row=top, rank=KEPT))
        if self.fault:
            blocks.append(
                Block(answers.note(layout, 0, "Not so", shown(self.fault), loud=True), row=20, rank=8)
            )
        else:
            last = self.at == len(asks) - 1
            words = "Enter writes it down." if last else "Nothing is written down before the last answer."
            blocks.append(Block(answers.sentence(layout, 0, words), row=20, rank=2))
        first = (Key("Enter", "keep"), Key("b", "back one line", "back"), None, None)
        return framed(
            self, layout, blocks, place=self.title.capitalize(), what=f"question {self.at + 1} of {len(asks)}",
            first=first, second=(Key("?", "keys"), None, None, None),
            own_keys=typing_keys(layout) if self.typing else None,
        )  # fmt: skip

    def _answered(self, layout: Layout, row: int, ask: Ask) -> Part:
        words = shown(self.answers[ask.name].words)
        return rows.entry(layout, row, rows.Entry(ask.short or ask.title, words, status=Status.DONE))

    def _question(self, layout: Layout, ask: Ask) -> Part:
        part = at(0, 0, rows.FOCUS, Role.BOLD, Kind.MARK)
        part += at(0, layout.title, cut(ask.title, layout.edge - layout.title), Role.BOLD)
        row = 1
        if ask.options:
            options = [(str(n), shown(words)) for n, (words, _) in enumerate(ask.options[:MOST_OPTIONS], 1)]
            if layout.margin:
                part += answers.choices(layout, row, options)
                row += len(options)
            else:
                line = answers.next_steps(layout, row, options, word="", rows=5)
                part += line
                row = max(p.row for p in line) + 1
        if ask.how:
            said = answers.sentence(layout, row, ask.how)
            part += said
            row = max(p.row for p in said) + 1
        return part + self._plate(layout, row, ask)

    def _plate(self, layout: Layout, row: int, ask: Ask) -> Part:
        if ask.kind in (CHOICE, MANY):
            digits = self._now.digits
            chosen = [shown(ask.options[int(d) - 1][0]) for d in digits]
            words = ", ".join(chosen)
            return plate.choice_plate(layout, row, digits if ask.kind == CHOICE else " ".join(digits), words)
        return plate.text_plate(layout, row, self._now.typed.text)

    def _done(self, layout: Layout) -> Page:
        word, *more = self.kept
        blocks = [
            Block(answers.note(layout, 0, "Kept", shown(word), loud=True, role=Role.BOLD), row=4, rank=KEPT)
        ]
        for n, each in enumerate(more):
            blocks.append(
                Block(
                    answers.note(layout, 0, "To prove" if n == 0 else "", shown(each)), row=8 + 4 * n, rank=6
                )
            )
        return framed(
            self, layout, blocks, place=self.title.capitalize(), what="written down",
            first=(Key("Enter", "back"), None, None, None), second=(Key("?", "keys"), None, None, None),
        )  # fmt: skip

    # -- keys ---------------------------------------------------------------------------------------------------

    def press(self, key: str) -> bool:
        """Digits choose, letters type, Enter keeps, b goes back, Esc stops."""
        ask = self._ask()
        if ask is None:
            if key in ("enter", "space"):
                self.shell.pop()
                return True
            return False
        self.fault = ""
        if key == "enter":
            self._enter(ask)
            return True
        if ask.kind in (CHOICE, MANY):
            return self._choose(ask, key)
        taken = self._now.typed.take(key)
        if taken is not None:
            self._now.typed = taken
            return True
        if key == "b" and not self.typing:
            return self._back()
        if key == "backspace" and not self._now.typed.text:
            return self._back()
        return False

    def _choose(self, ask: Ask, key: str) -> bool:
        if key.isdecimal() and 1 <= int(key) <= min(len(ask.options), MOST_OPTIONS):
            held = self._now.digits
            if ask.kind == MANY:
                self._now.digits = held.replace(key, "") if key in held else "".join(sorted(held + key))
            else:
                self._now.digits = key
            return True
        if key in ("b", "backspace"):
            return self._back()
        return False

    def _back(self) -> bool:
        self.at = max(0, self.at - 1)
        self._start()
        return True

    def _enter(self, ask: Ask) -> None:
        try:
            found = self._read(ask)
        except (EntryError, WhenError) as error:
            self.fault = str(error)
            return
        if found is None:
            self.fault = "a digit chooses" if ask.kind in (CHOICE, MANY) else "a few words, or Esc to stop"
            return
        self.answers[ask.name] = found
        if self.at + 1 < len(self.asks()):
            self.at += 1
            self._start()
            return
        before = _standing(self)
        words = self.write()
        spent = [name for name in before if name not in _standing(self)]
        self.kept = (words, *((", ".join(spent),) if spent else ()))

    def _read(self, ask: Ask) -> Answer | None:
        """What was typed as an answer; None where one is needed and there is none."""
        text = self._now.typed.value
        if ask.kind in (CHOICE, MANY):
            chosen = [ask.options[int(d) - 1] for d in self._now.digits]
            if not chosen:
                return None if ask.need else Answer(() if ask.kind == MANY else None, "nothing")
            if ask.kind == CHOICE:
                return Answer(chosen[0][1], chosen[0][0])
            return Answer(tuple(value for _, value in chosen), ", ".join(words for words, _ in chosen))
        if ask.kind == WHEN:
            return Answer(parse_when(text, self.desk.now()), text) if text else Answer(None, "now")
        if not text:
            return None if ask.need else Answer(None, "nothing")
        if ask.kind == AMOUNT:
            held = quantity_of(ask.title, text, ask.dimension, ask.unit)
            return Answer(held, str(held.get("typed", text)))
        self.check(ask, text)
        return Answer(text, text)


def _standing(spot: Spot) -> list[str]:
    """Titles of the proofs that stand now; none where no boat is in hand."""
    if spot.desk.slug is None or spot.desk.document().faults:
        return []
    return [
        f"{RULES[p.proof].title} {p.item}".strip()
        for p in spot.desk.proofs().proofs
        if p.state is State.PROVED and p.proof in RULES
    ]
