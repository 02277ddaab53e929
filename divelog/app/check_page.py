"""A check line as a page: before typing, and with its verdict. Nothing that was read moves when the verdict comes."""

from __future__ import annotations

from dataclasses import dataclass, field

from divelog.app.look import answers, gauge, plate, rows
from divelog.app.look.gauge import Bounds, Reading
from divelog.app.look.layout import Layout
from divelog.app.look.page import Kind, Part, Role, at, joined
from divelog.app.look.stack import KEPT, Block
from divelog.app.look.words import Status, cut


@dataclass(frozen=True, slots=True)
class CheckView:
    """What one check line shows. All texts are ours or made harmless already."""

    question: str
    how: str = ""
    label: str = ""
    """What is asked just now, of a line that asks more than one thing: above the plate."""
    critical: bool = False
    margin: tuple[tuple[Status | None, str], ...] = ()
    present: int = 0
    kind: str = "done"
    """done · value · choice · text · count"""
    typed: str = ""
    unit: str = ""
    options: tuple[tuple[str, str], ...] = ()
    chosen: str = ""
    chosen_words: str = ""
    target: str = ""
    """The limit of a setting, beside the plate before it is reached."""
    verdict: Status | None = None
    sentence: str = ""
    bounds: Bounds | None = None
    reading: Reading | None = None
    bounds_words: str = ""
    next_steps: tuple[tuple[str, str], ...] = ()
    advice: str = ""
    """What else helps, beneath the next steps."""
    cautions: tuple[str, ...] = ()
    note: str = ""
    """One line above the open items: a look again, a remark."""
    open_word: str = "Open"
    open_words: str = ""
    members: tuple[tuple[Status | None, str, str], ...] = field(default=())
    """Members of an *each* line: sign, name, what was answered."""
    member: int = 0


def blocks(view: CheckView, layout: Layout) -> list[Block]:
    """The page's blocks: margin, question, plate or figure, verdict, next, cautions, what is open."""
    found = [
        Block(_head(view, layout), row=4, rank=KEPT),
        Block(_answer(view, layout), row=9, rank=KEPT, height=0),
    ]
    if view.label:
        found.insert(1, Block(answers.sentence(layout, 0, view.label, role=Role.BOLD), row=8, rank=KEPT))
    if view.verdict is not None:
        found.append(Block(answers.verdict(layout, 0, view.verdict, view.sentence), row=14, rank=KEPT))
    if view.next_steps:
        row = 17 if view.advice else 18  # with advice beneath them they stand right under the verdict
        found.append(Block(answers.next_steps(layout, 0, view.next_steps, rows=1), row=row, rank=7))
        if view.advice:
            found.append(Block(answers.sentence(layout, 0, view.advice, most=1), row=18, rank=4))
    elif view.note:
        found.append(
            Block(answers.note(layout, 0, "Look", cut(view.note, layout.measure), loud=True), row=18, rank=6)
        )
    if view.cautions:
        texts = [cut(text, layout.measure) for text in view.cautions[:1]]
        found.append(Block(answers.cautions(layout, 0, texts), row=20, rank=5))
    elif view.open_words:
        found.append(
            Block(
                answers.note(layout, 0, view.open_word, cut(view.open_words, layout.measure)), row=20, rank=3
            )
        )
    return found


def _head(view: CheckView, layout: Layout) -> Part:
    parts: list[Part] = []
    if view.critical:
        parts.append(at(0, layout.title, "Loses the boat if wrong", Role.BOLD))
    row = 1
    question = answers.sentence(layout, row, view.question, role=Role.BOLD, most=2)
    parts.append(question)
    row = max((span.row for span in question), default=row) + 1
    if view.how:
        parts.append(answers.sentence(layout, row, view.how, most=2 if row == 2 else 1))
    lines = view.margin[_from(view) : _from(view) + _MARGIN]
    parts.append(rows.margin(layout, 0, lines, focus=view.present - _from(view)))
    return joined(parts)


_MARGIN = 13


def _from(view: CheckView) -> int:
    """First line of the margin shown: the present one stays in sight."""
    return max(0, min(view.present - _MARGIN + 2, len(view.margin) - _MARGIN))


def _answer(view: CheckView, layout: Layout) -> Part:
    if view.kind in ("value", "count"):
        return _value(view, layout)
    if view.members:
        return _members(view, layout)
    if view.kind == "choice":
        return _choice(view, layout)
    if view.kind == "text":
        return plate.text_plate(layout, 2, view.typed)
    room = layout.edge - layout.title
    beside = layout.limit is not None and layout.gauge is not None
    done = at(1 if beside else 2, layout.title, cut("Enter when it is done", room), Role.TEXT)
    if not view.target:
        return done
    words = at(
        1,
        layout.limit or layout.title,
        cut(view.target, layout.edge - (layout.limit or layout.title)),
        Role.BOLD,
    )
    return done + (words if beside else at(1, layout.title, cut(view.target, room), Role.BOLD))


def _value(view: CheckView, layout: Layout) -> Part:
    if view.verdict is None:
        return plate.number_plate(layout, 0, view.typed, unit=view.unit) + _target(view, layout, 1)
    part = plate.kept_number(layout, 0, view.typed, unit=view.unit)
    if view.bounds is not None:
        part += gauge.check_gauge(layout, 2, view.bounds, view.reading, view.bounds_words)
    return part


def _target(view: CheckView, layout: Layout, row: int) -> Part:
    if not view.target:
        return ()
    if layout.limit is None or layout.gauge is None:  # no room beside the plate: under it
        return at(plate.rows(layout), layout.title, cut(view.target, layout.edge - layout.title), Role.BOLD)
    return at(row, layout.limit, cut(view.target, layout.edge - layout.limit), Role.BOLD)


def _choice(view: CheckView, layout: Layout) -> Part:
    part = answers.choices(layout, 0, view.options)
    row = len(view.options)
    if view.verdict is None:
        part += plate.choice_plate(layout, row, view.chosen, view.chosen_words)
    elif view.chosen_words:
        part += at(row, layout.title, cut(view.chosen_words, layout.edge - layout.title), Role.BOLD)
    return part


def _members(view: CheckView, layout: Layout) -> Part:
    parts: list[Part] = []
    room = 6
    first = max(0, min(view.member - room + 2, len(view.members) - room))
    for number, (status, name, answer) in enumerate(view.members[first : first + room]):
        present = number + first == view.member
        role = Role.BOLD if present else Role.TEXT
        mark = status.sign if status is not None else (">" if present else " ")
        parts.append(at(number, layout.title, mark, role) if mark.strip() else ())
        column = _column_of(answer, layout)
        width = (column or layout.edge) - layout.title - (5 if column else 3)
        parts.append(at(number, layout.title + 3, cut(name, width), role))
        if column:
            parts.append(at(number, column, cut(answer, layout.edge - column), role))
    row = min(len(view.members), room) + 1
    if view.options:
        line: list[Part] = []
        column = layout.title
        for digit, words in view.options:
            line.append(
                at(row, column, digit, Role.BOLD)
                if column == layout.title
                else _inline(row, column, digit, Role.BOLD)
            )
            line.append(_inline(row, column + 2, words, Role.TEXT))
            column += len(words) + 5
        parts.append(joined(line))
    if view.kind == "value":
        parts.append(plate.text_plate(layout, row, f"{view.typed} {view.unit}".strip()))
    return joined(parts)


def _column_of(answer: str, layout: Layout) -> int | None:
    """Where a member's answer stands: as far right as it fits whole, to leave the question its words."""
    if not answer:
        return None
    if layout.gauge is not None and len(answer) <= layout.edge - layout.gauge:
        return layout.gauge
    return layout.limit


def _inline(row: int, column: int, text: str, role: Role) -> Part:
    return at(row, column, text, role, Kind.INLINE)
