"""What was answered of a line, as the functions that write events from it are given it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from divelog.checks.around import Around
from divelog.checks.entry import Given
from divelog.checks.model import Line, Question
from divelog.checks.state import Pending, Walk
from divelog.checks.steps import asked, rounds
from divelog.profiles.document import Num


@dataclass(frozen=True, slots=True)
class Said:
    """What was answered of a line so far, and whether that is all."""

    line: Line
    givens: tuple[Given, ...]
    complete: bool
    walk: Walk
    around: Around

    @property
    def answers(self) -> dict[str, Given]:
        """By name of the question."""
        found = rounds(self.line, self.givens)
        return found[-1] if found else {}

    def answer(self, name: str = "answer") -> str:
        """The answer of one question; empty where it was not asked."""
        given = self.answers.get(name)
        return given.answer if given is not None else ""

    def fixed(self, name: str) -> str:
        """A fixed word of the list."""
        return self.line.with_.get(name, "")


def quantity(value: Num, typed: str = "", how: str = "") -> dict[str, Any]:
    """A number as events hold it."""
    found: dict[str, Any] = {"si": value.si, "u95": value.u95}
    if typed:
        found["typed"] = typed
    if how:
        found["how"] = how
    return found


def all_asked(asks: Sequence[Question], answers: Mapping[str, Given]) -> bool:
    """Whether answers have been given to every question they call for."""
    so_far = {name: given.answer for name, given in answers.items()}
    return not any(asked(ask, so_far) and ask.name not in so_far for ask in asks)


def correction(event: str, data: Mapping[str, Any] | None, why: str) -> Pending:
    """A ``corrected``: the whole data anew, or void where there is none."""
    if data is None:
        return Pending("corrected", {"id": event, "void": True, "why": why})
    return Pending("corrected", {"id": event, "data": dict(data), "why": why})


def method_of(walk: Walk, line: Line) -> str:
    """How a measured value was had: list and line."""
    return f"{walk.checklist.list}/{line.id}"
