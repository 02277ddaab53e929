"""What a checklist is: phases of lines, each line one question to a person, with what its answer proves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from types import MappingProxyType
from typing import TypeAlias

from divelog.profiles.document import Fault

Needs: TypeAlias = "tuple[tuple[str, tuple[str, ...]], ...]"
"""Path -> words, any one of which must be the fact or stand in it; all paths must hold."""

_NOTHING: Mapping[str, str] = MappingProxyType({})


class Kind(Enum):
    """Kinds of answer."""

    DONE = "done"
    CHOICE = "choice"
    COUNT = "count"
    VALUE = "value"
    HOLD = "hold"
    WORDS = "words"
    TEXT = "text"
    EACH = "each"


class Way(Enum):
    """How a list is worked: answered line by line, or read and done by a clock."""

    ANSWER = "answer"
    READ_DO = "read and do"


@dataclass(frozen=True, slots=True)
class Question:
    """One thing asked. A line has one, sometimes a second; a member of an *each* line has its own.

    Words that begin with ``boat.``, ``site.`` or ``today.`` are paths of facts, others mean themselves.
    """

    kind: Kind
    name: str = "answer"
    say: str = ""
    """What to say before it where the line's own words do not."""
    of: tuple[str, ...] = ()
    """Choices; or the list that is counted or gone through (``members``)."""
    also: tuple[str, ...] = ()
    """Members of an *each* question beside those of its list."""
    ask: tuple[Question, ...] = ()
    """What is asked of each member."""
    want: tuple[str, ...] = ()
    """The right answers, or the path of the fact it must equal; empty: every answer is right."""
    unit: str = ""
    limit: str = ""
    item: str = ""
    show: str = "after"
    """``before`` for a setting to reach, ``after`` for a reading."""
    seconds: float = 0.0
    """Length of a hold."""
    least: str = ""
    most: str = ""
    """Bounds that stand in the list itself, with their unit."""
    u95: str = ""
    """± of a reading where nobody typed one and no meter of the kit says."""
    or_words: tuple[str, ...] = ()
    """Words taken in place of a number."""
    measures: str = ""
    """Path of a ``measured`` event that is written too."""
    through: bool = False
    """The limit is worked out anew from the measured value instead of being compared with it."""
    in_force: str = ""
    """Name of a limit that the start of the run keeps: it judges, not the one that the run itself may have moved."""
    conditions: Mapping[str, str] = field(default_factory=lambda: _NOTHING)
    """Conditions of the measurement by name: a path, or the name of another question of the line."""
    into: str = ""
    """Field of the event that is written when the phase ends, as ``closed.air_temperature``."""
    when: Needs = ()
    unless: Needs = ()
    """Asked only if, or unless, the named question before it was answered by one of these."""
    unless_written: str = ""
    """Not asked where an event of that kind has been written since the list was begun, or since her run ended."""
    optional: bool = False
    """An empty answer is one."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line: what to do, how, why, and what is answered."""

    id: str
    do: str
    questions: tuple[Question, ...]
    how: str = ""
    why: str = ""
    short: str = ""
    critical: bool = False
    again: bool = False
    always: bool = False
    """Asked on every walk, whatever stands."""
    quick: bool = False
    """Honestly fast: no second look at an answer within a second."""
    repeat: bool = False
    """Asked again until the first choice is picked."""
    caution: str = ""
    needs: Needs = ()
    critical_if: Needs = ()
    """Critical only where these facts hold."""
    gives: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()
    """Proofs a wrong answer takes away beside those it would have given."""
    writes: tuple[str, ...] = ()
    with_: Mapping[str, str] = field(default_factory=lambda: _NOTHING)
    shows: str = ""
    shows_item: str = ""
    """A limit or estimate shown beside the line, not judged by its answer."""
    tells: str = ""
    """Path of the profile whose words are told with the line."""
    due: str = ""
    """Service item of upkeep whose state is shown beside the line."""
    wait: float = 0.0
    """Seconds after the run's end before which it may be put off."""
    walk: str = ""
    """Another list that must have been walked for this line to be right."""
    depth_of: str = ""
    """The line of this list whose reading is the depth that a dry answer proves."""
    at: float = 0.0
    """Seconds on the clock of a list that is read and done."""
    at_twice: str = ""
    """Key of an estimate or limit, twice which is added to ``at``."""
    only_if: tuple[str, ...] = ()
    """Proofs that must stand for this step to be taken."""
    not_fitted: str = ""
    """Why this boat has no such line: said in her file."""
    changed: str = ""
    """Why the person or the boat's file changed it."""

    @property
    def name(self) -> str:
        """A word or two for the margin."""
        return self.short or self.id.replace("-", " ")


@dataclass(frozen=True, slots=True)
class Phase:
    """Lines of one place and moment."""

    id: str
    moment: str
    lines: tuple[Line, ...]
    note: str = ""

    @property
    def name(self) -> str:
        """The moment up to its colon."""
        return self.moment.split(":", 1)[0]


@dataclass(frozen=True, slots=True)
class Edit:
    """What a person's own list says of one line: the keys it gives, and where the line goes."""

    line: Line
    phase: str
    keys: frozenset[str]
    after: str = ""
    not_fitted: str = ""
    at_row: int = 0
    """Line of the file, for faults."""


@dataclass(frozen=True, slots=True)
class CheckList:
    """One list, as read from a file and laid over with changes."""

    list: str
    title: str
    version: int
    dated: date | None = None
    places: tuple[str, ...] = ()
    """Kinds of site it is for; empty: anywhere."""
    way: Way = Way.ANSWER
    only_undone: bool = False
    """A line whose proofs all stand is not asked."""
    before_run: bool = False
    """Ends with the person's own call to launch."""
    after_run: bool = False
    """Belongs to a run; must be answered, or left with a reason, before the next."""
    ends: str = ""
    """Kind of event written when the list is complete."""
    phases: tuple[Phase, ...] = ()
    faults: tuple[Fault, ...] = ()
    file: str = ""
    edits: tuple[Edit, ...] = ()
    """The lines as changes, for laying this list over another."""

    def lines(self) -> Iterator[Line]:
        """Every line, in order."""
        for phase in self.phases:
            yield from phase.lines

    def line(self, identity: str) -> Line | None:
        """The line of that id."""
        return next((line for line in self.lines() if line.id == identity), None)

    def phase_of(self, identity: str) -> Phase | None:
        """The phase a line stands in."""
        return next((p for p in self.phases if any(line.id == identity for line in p.lines)), None)
