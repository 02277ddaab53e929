"""A line of a list as a numbered line of a paper: what to write or ring, and what the log holds of it."""

from __future__ import annotations

from divelog.checks.applies import applies, is_critical
from divelog.checks.around import Around
from divelog.checks.asking import LineState
from divelog.checks.entry import WATER_CHOICES, choices
from divelog.checks.judge import item_of
from divelog.checks.members import Asking, members
from divelog.checks.model import Kind, Line, Question
from divelog.checks.state import Record
from divelog.limits.model import Limit
from divelog.papers.sheets.answers import Answer
from divelog.papers.sheets.figures import MARKS, edge
from divelog.papers.sheets.model import Blank, Space
from divelog.text import shown

READ = (Kind.VALUE, Kind.HOLD, Kind.COUNT, Kind.WORDS)
"""Kinds that are a reading."""
_MOST_CHOICES = 8
_SAME = 60.0
"""Seconds within which an answer and what a line stands on are one."""


def has_reading(line: Line) -> bool:
    """Whether something is read off and written down in a line."""
    asked = [q for q in line.questions if not q.when] + [
        a for q in line.questions for a in q.ask if not a.when
    ]
    return any(q.kind in READ for q in asked)


def spaces(line: Line, around: Around, figures: bool = True) -> tuple[Space, ...]:
    """What is written down of a line. ``figures``: whether the limit of a setting stands beside it."""
    found: list[Space] = []
    further = False
    for question in line.questions:
        if question.when:
            further = True
            continue
        if question.kind is Kind.EACH:
            found += _each(question, around, figures)
            continue
        label = (
            shown(question.say, 60)
            if question is not line.questions[0] or question.kind is Kind.VALUE
            else ""
        )
        if question.kind is Kind.HOLD:
            found.append(_space(question, around, "start", figures))
            found.append(_space(question, around, f"after {question.seconds:.0f} s", False))
        else:
            found.append(_space(question, around, label, figures))
    if further:
        found.append(Space("which, and what"))
    return tuple(found)


def _each(question: Question, around: Around, figures: bool) -> list[Space]:
    """A space for each member; choices stand once before boxes for a digit."""
    ask = question.ask[0] if question.ask else question
    found = [
        _space(ask, around, shown(m.words, 200), figures, m.id) for m in members(question, around, Asking())
    ]
    if len(found) < 2 or not found[0].choices:
        return found
    return [
        Space("each", found[0].choices),
        *(Space(one.label, limit=one.limit, digit=True) for one in found),
    ]


def _space(question: Question, around: Around, label: str, figures: bool, member: str = "") -> Space:
    limit: Limit | None = None
    if figures and question.show == "before" and question.limit:
        limit = around.lookup(question.limit, item_of(question, around, member), None, None)
    kind = question.kind
    if kind in (Kind.DONE, Kind.EACH):
        return Space(label, tick=True)
    if kind is Kind.CHOICE:
        return Space(
            label,
            tuple(shown(one, 40) for one in choices(question, around)[:_MOST_CHOICES]),
            limit=edge(limit),
        )
    if kind is Kind.WORDS:
        return Space(label, WATER_CHOICES, "mL")
    if kind is Kind.COUNT:
        return Space(label, unit="counted")
    return Space(label, unit=question.unit, limit=edge(limit))


def blank(
    number: int, line: Line, around: Around, state: LineState | None = None, record: Record | None = None, *,
    figures: bool = True, answers: bool = True, brief: bool = False, last: Answer | None = None,
) -> Blank:  # fmt: skip
    """One numbered line. With ``answers`` what the log holds of it stands in the place of its spaces: out of the walk
    that is on, else out of the ``last`` answer, where that is what the line stands on."""
    filled = sign = ""
    loud = False
    if answers and state is not None and state.mark is not None and not state.asked:
        sign = MARKS[state.mark]
        loud = sign.startswith("X")
        filled = _filled(record, line)
        if record is None and last is not None and state.since is not None:
            apart = abs((last.at - state.since).total_seconds())
            filled = last.reading(line) if apart <= last.doubt + _SAME else ""
        if state.since is not None:
            at = state.since.astimezone(around.moment.wall.tzinfo)
            filled = f"{filled}  {at:%H:%M}".strip() if at.date() == around.moment.wall.date() else filled
    return Blank(
        number, shown(line.do), spaces(line, around, figures), "" if brief else shown(line.how), "" if brief else shown(line.why),
        is_critical(line, around), line.again, sign, filled, loud,
    )  # fmt: skip


def _filled(record: Record | None, line: Line) -> str:
    """What was answered, in a few words; where an answer is only done, nothing."""
    if record is None:
        return ""
    if record.reason:
        return shown(record.reason, 80)
    units = {q.name: q.unit for q in line.questions}
    said = []
    for given in record.givens:
        word = given.answer or given.typed
        if word in ("", "done") or given.member:
            continue
        bare = given.value is not None and not any(c.isalpha() for c in word)
        said.append(f"{word} {units.get(given.name, '')}".strip() if bare else word)
    return shown("; ".join(dict.fromkeys(said)), 80)


def applying(lines: tuple[Line, ...], around: Around) -> tuple[Line, ...]:
    """Those that this boat has."""
    return tuple(line for line in lines if applies(line, around, Asking()))
