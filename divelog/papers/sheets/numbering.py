"""Numbers of a sheet: by them a filled one is typed back. A line keeps its number whatever else is asked that day.

A line's number is its place in the whole list, also of lines this boat has not; so a number never comes to mean another
line between printing and typing unless the list itself was changed, and then the sheet's code differs.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from divelog.checks.model import CheckList, Line

LAUNCHED, MARKS, BACK = "launched", "marks", "back"
MOMENTS: tuple[tuple[str, str], ...] = (
    (LAUNCHED, "Launched at"),
    (MARKS, "Something happened at"),
    (BACK, "Out of the water at"),
)
"""What is written down while she is out, by name, with its words."""
_FIRST_MOMENT = 40
_TEN = 10


@dataclass(frozen=True, slots=True)
class Numbered:
    """One number of a sheet: a line of a list, or a moment of the run."""

    number: int
    list: str
    line: Line | None = None
    moment: str = ""


def numbered(before: CheckList, after: CheckList) -> tuple[Numbered, ...]:
    """Every number: lines before the dive, moments of the run, lines after it."""
    found = [Numbered(n, before.list, line) for n, line in enumerate(before.lines(), 1)]
    first = max(_FIRST_MOMENT, _TEN * (len(found) // _TEN + 1))
    found += [Numbered(first + n, "", None, name) for n, (name, _) in enumerate(MOMENTS)]
    found += [Numbered(first + _TEN + n, after.list, line) for n, line in enumerate(after.lines(), 1)]
    return tuple(found)


def code(rows: tuple[Numbered, ...]) -> str:
    """Four letters and digits that change when a number comes to mean another line."""
    told = "\n".join(f"{r.number} {r.list} {r.line.id if r.line is not None else r.moment}" for r in rows)
    return hashlib.sha256(told.encode()).hexdigest()[:4].upper()


def number_of(rows: tuple[Numbered, ...], name: str, line: str) -> int:
    """The number of a line, 0 where it has none."""
    return next((r.number for r in rows if r.list == name and r.line is not None and r.line.id == line), 0)
