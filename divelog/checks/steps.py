"""The questions of one line, one after another: which comes next, given what was answered of it so far."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from divelog.checks.entry import Given
from divelog.checks.members import Member
from divelog.checks.model import Kind, Line, Question

Members = Callable[[Question], tuple[Member, ...]]
START, END = "start", "end"


@dataclass(frozen=True, slots=True)
class Step:
    """One question to ask: of which member, or which end of a hold."""

    question: Question
    member: Member | None = None
    index: int = 0
    """Place of the member among its like, from nought."""
    of: int = 0
    """How many members there are."""
    part: str = ""
    """``start`` or ``end`` of a hold."""
    asked_of: tuple[Question, ...] = ()
    """All questions of a member, in order."""


@dataclass(slots=True)
class _Hand:
    """Answers being dealt out to the questions they belong to."""

    givens: Sequence[Given]
    place: int = 0

    def take(self) -> Given | None:
        if self.place >= len(self.givens):
            return None
        self.place += 1
        return self.givens[self.place - 1]


def next_step(
    line: Line, givens: Sequence[Given], members: Members, written: Collection[str] = ()
) -> Step | None:
    """The next question of a line; None where all are answered.

    ``written``: kinds of events others have written since, for questions that would only ask the same again.
    """
    hand = _Hand(givens)
    while True:
        answers: dict[str, str] = {}
        for question in line.questions:
            if not asked(question, answers) or question.unless_written in written:
                continue
            step = _through(question, hand, members, answers)
            if step is not None:
                return step
        first = line.questions[0] if line.questions else None
        if not line.repeat or first is None or answers.get(first.name) in (first.of[0], None):
            return None


def asked(question: Question, answers: dict[str, str]) -> bool:
    """Whether earlier answers of the line call for a question."""
    if any(answers.get(name) not in words for name, words in question.when):
        return False
    return not any(_said(answers, name, words) for name, words in question.unless)


def _said(answers: dict[str, str], name: str, words: tuple[str, ...]) -> bool:
    return answers.get(name) in words


def _through(question: Question, hand: _Hand, members: Members, answers: dict[str, str]) -> Step | None:
    if question.kind is Kind.EACH:
        found = members(question)
        for index, member in enumerate(found):
            own: dict[str, str] = {}
            for ask in question.ask:
                if not asked(ask, own):
                    continue
                given = hand.take()
                if given is None:
                    return Step(ask, member, index, len(found), "", question.ask)
                own[ask.name] = given.answer
        answers[question.name] = "each"
        return None
    if question.kind is Kind.HOLD:
        if hand.take() is None:
            return Step(question, part=START)
        if hand.take() is None:
            return Step(question, part=END)
        return None
    given = hand.take()
    if given is None:
        return Step(question)
    answers[question.name] = given.answer
    return None


def rounds(line: Line, givens: Sequence[Given]) -> list[dict[str, Given]]:
    """Answers by the name of their question; a line that repeats has several rounds."""
    found: list[dict[str, Given]] = []
    first = line.questions[0].name if line.questions else ""
    for given in givens:
        if not found or (given.name == first and line.repeat):
            found.append({})
        found[-1][given.name] = given
    return found


def by_member(givens: Sequence[Given]) -> dict[str, dict[str, Given]]:
    """Answers of an *each* line by member and name."""
    found: dict[str, dict[str, Given]] = {}
    for given in givens:
        if given.member:
            found.setdefault(given.member, {})[given.name] = given
    return found
