"""What reading a journal found wrong: one report each, in words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from divelog.text import shown


class Fault(StrEnum):
    """Kinds of report."""

    SET_ASIDE = "set_aside"
    """The last line was cut off or cannot be read."""
    BAD_LINE = "bad_line"
    """A line elsewhere cannot be read; the rest was."""
    COPY = "copy"
    """Events that another file, or an earlier line, holds already."""
    DAMAGE = "damage"
    """Two lines with one id say different things; the first counts."""
    NEWER = "newer"
    """Events from a newer version: kept, without effect."""
    OTHER_BOAT = "other_boat"
    """Events of another boat in this boat's folder: left out."""
    NO_TARGET = "no_target"
    """A correction of an event that is not there."""
    ODD_TIME = "odd_time"
    """A `happened` that cannot be read: the time of writing counts."""
    UNREADABLE = "unreadable"
    """A whole file that could not be read."""
    CHAIN = "chain"
    """A line that does not follow the one before it."""


DAMAGING = frozenset({Fault.SET_ASIDE, Fault.BAD_LINE, Fault.DAMAGE, Fault.UNREADABLE, Fault.CHAIN})
"""Reports after which the journal counts as damaged."""


@dataclass(frozen=True, slots=True)
class Report:
    """One thing found: the kind, the file, its line from 1 (0 for the whole file), and what was found."""

    fault: Fault
    file: str
    line: int
    found: str

    def __str__(self) -> str:
        """One plain sentence with file and line."""
        place = f"{shown(self.file, 200)}, line {self.line}" if self.line else shown(self.file, 200)
        return f"{place}: {shown(self.found)}"
