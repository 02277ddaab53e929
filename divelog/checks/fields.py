"""Every key of a checklist file: one table for the list, its phases, lines and answers.

The reader, the faults it reports and the developers' pages all come from here. Keys that are not in a table are faults.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from divelog.checks.model import Kind


class Shape(Enum):
    """What stands at a key."""

    TEXT = "text in quotes"
    SLUG = "small letters, digits and -"
    TEXTS = "a list of texts"
    WORDS = "a text or a list of texts"
    FLAG = "true or false"
    COUNT = "a whole number"
    SECONDS = "a number of seconds"
    DATE = "a date, as 2032-03-01"
    NEEDS = "a table of path = [words]"
    TABLE = 'a table of name = "text"'
    TABLES = "a list of tables"
    ONE_TABLE = "a table"


@dataclass(frozen=True, slots=True)
class Key:
    """One key: what stands there, whether it must, and what it is for."""

    shape: Shape
    help: str
    need: bool = False
    of: tuple[str, ...] = ()
    """The words allowed; empty: any."""


PLACES = ("pond", "lake", "pool", "tank", "sea")
WRITERS = (
    "happened", "switched", "failsafe.tripped", "opened", "water.found", "run.ended", "run.deepest", "run.volts", "marks",
    "serviced", "charged", "defect", "defect.closed", "fitted", "boat.received", "trim", "signal-depth",
)  # fmt: skip
"""Events a line can write, by the name of what makes them; ``writers`` holds one function for each."""
ENDS = ("stored", "boat.handed_over")
INTO = ("closed.air_temperature", "closed.humidity", "closed.ballast", "closed.count", "closed.gauge")

LIST: Mapping[str, Key] = MappingProxyType(
    {
        "format": Key(Shape.COUNT, "version of this format: 1", need=True),
        "list": Key(Shape.SLUG, "name of the list; a person's own list of the same name is laid over the shipped one", need=True),
        "title": Key(Shape.TEXT, "title on screen and paper", need=True),
        "version": Key(Shape.COUNT, "counts up with every change", need=True),
        "dated": Key(Shape.DATE, "date of this version", need=True),
        "places": Key(Shape.TEXTS, "kinds of site the list is for; missing: anywhere", of=PLACES),
        "way": Key(Shape.TEXT, "answered line by line, or read and done by a clock; missing: answer", of=("answer", "read and do")),
        "only_undone": Key(Shape.FLAG, "lines whose proofs all stand are not asked; missing: false"),
        "before_run": Key(Shape.FLAG, "ends with the person's own call to launch; missing: false"),
        "after_run": Key(Shape.FLAG, "belongs to a run and closes it; missing: false"),
        "ends": Key(Shape.TEXT, "event written when the list is complete", of=ENDS),
        "phase": Key(Shape.TABLES, "[[phase]]: lines of one place and moment", need=True),
    }
)  # fmt: skip

PHASE: Mapping[str, Key] = MappingProxyType(
    {
        "id": Key(Shape.SLUG, "unique in the list", need=True),
        "moment": Key(Shape.TEXT, "the moment, as a person says it; what stands before a colon is the phase's name", need=True),
        "note": Key(Shape.TEXT, "one sentence shown with every line of the phase"),
        "line": Key(Shape.TABLES, "[[phase.line]]", need=True),
    }
)  # fmt: skip

LINE: Mapping[str, Key] = MappingProxyType(
    {
        "id": Key(Shape.SLUG, "unique in the list", need=True),
        "do": Key(Shape.TEXT, "what to do: verb first, one action", need=True),
        "how": Key(Shape.TEXT, "where to put the finger, what to look at"),
        "why": Key(Shape.TEXT, "what is lost if it is wrong"),
        "short": Key(Shape.TEXT, "one or two words for the margin; missing: the id"),
        "critical": Key(Shape.FLAG, "loses the boat if wrong; missing: false"),
        "critical_if": Key(Shape.NEEDS, "critical only where these facts hold"),
        "again": Key(Shape.FLAG, "asked once more before launch if something since could undo it; missing: false"),
        "always": Key(Shape.FLAG, "asked on every walk; missing: false"),
        "quick": Key(Shape.FLAG, "honestly fast: no second look at an answer within a second; missing: false"),
        "repeat": Key(Shape.FLAG, "asked again until the first choice is picked; missing: false"),
        "caution": Key(Shape.TEXT, "one sentence of caution"),
        "needs": Key(Shape.NEEDS, "facts that must hold; a fact that is unknown keeps the line"),
        "gives": Key(Shape.TEXTS, "proofs that a right answer gives; in several lines: given at the last of them"),
        "spoils": Key(Shape.TEXTS, "proofs that a wrong answer takes away beside those it would have given"),
        "writes": Key(Shape.WORDS, "events written besides the answer", of=WRITERS),
        "with": Key(Shape.TABLE, "fixed words for those events, as which device was switched"),
        "answer": Key(Shape.ONE_TABLE, "the question: a table of the keys of answers", need=True),
        "then": Key(Shape.TABLES, "[[phase.line.then]]: further questions of the same line"),
        "ask": Key(Shape.TABLES, "[[phase.line.ask]]: what is asked of each member of an each line"),
        "shows": Key(Shape.TEXT, "key of a limit or estimate shown beside the line and not judged by its answer"),
        "shows_item": Key(Shape.TEXT, "item of that key"),
        "tells": Key(Shape.TEXT, "path of the profile whose words are told with the line, as site.rescue"),
        "due": Key(Shape.TEXT, "service item of upkeep shown beside the line"),
        "wait": Key(Shape.SECONDS, "seconds after the run's end before which the line may be put off"),
        "walk": Key(Shape.SLUG, "another list that must have been walked since this one was begun"),
        "depth_of": Key(Shape.SLUG, "line whose reading is the depth that a dry answer proves"),
        "at": Key(Shape.SECONDS, "seconds on the clock of a list that is read and done"),
        "at_twice": Key(Shape.TEXT, "key of a time, twice which is added to at"),
        "only_if": Key(Shape.TEXTS, "proofs that must stand for this step to be taken"),
        "after": Key(Shape.SLUG, "in a person's own list: stands after this line"),
        "change": Key(Shape.TEXT, "in a person's own list: not fitted, with a why", of=("not fitted",)),
    }
)  # fmt: skip

ANSWER: Mapping[str, Key] = MappingProxyType(
    {
        "kind": Key(Shape.TEXT, "kind of answer", need=True, of=tuple(kind.value for kind in Kind)),
        "name": Key(Shape.SLUG, "name of a further question, for when, unless and conditions"),
        "say": Key(Shape.TEXT, "what to say before a further question"),
        "of": Key(Shape.WORDS, "the choices; or the path or the name of the list that is counted or gone through"),
        "also": Key(Shape.WORDS, "members of an each question beside those of its list"),
        "want": Key(Shape.WORDS, "the right answers, or the path of the fact it must equal"),
        "unit": Key(Shape.TEXT, "unit of a bare number; any other unit of the same kind may be typed"),
        "limit": Key(Shape.TEXT, "key of the limit that judges the reading"),
        "item": Key(Shape.TEXT, "item of that key: a word, or a path as plan.pack"),
        "show": Key(Shape.TEXT, "before for a setting to reach, after for a reading; missing: after", of=("before", "after")),
        "seconds": Key(Shape.SECONDS, "length of a hold"),
        "least": Key(Shape.TEXT, "lower bound that stands in the list itself, with its unit"),
        "most": Key(Shape.TEXT, "upper bound that stands in the list itself, with its unit"),
        "u95": Key(Shape.TEXT, "give or take of a reading where nobody typed one, with its unit"),
        "or_words": Key(Shape.WORDS, "words taken in place of a number"),
        "measures": Key(Shape.TEXT, "path of a measured event that is written too"),
        "through": Key(Shape.FLAG, "the limit is worked out anew from the measured value; missing: false"),
        "in_force": Key(Shape.TEXT, "limit kept when the run was begun, by name: it judges in place of today's", of=("keel",)),
        "conditions": Key(Shape.TABLE, "conditions of the measurement: name = a path, or a question of this line"),
        "into": Key(Shape.TEXT, "field of the event written when the phase ends", of=INTO),
        "when": Key(Shape.NEEDS, "asked only if the named question was answered by one of these"),
        "unless": Key(Shape.NEEDS, "not asked if the named question was answered by one of these"),
        "unless_written": Key(Shape.TEXT, "not asked if an event of that kind has been written since the run or the list"),
        "optional": Key(Shape.FLAG, "an empty answer is one; missing: false"),
    }
)  # fmt: skip

ONLY_FOR: Mapping[str, tuple[Kind, ...]] = MappingProxyType(
    {
        "unit": (Kind.VALUE, Kind.HOLD),
        "limit": (Kind.VALUE, Kind.HOLD, Kind.WORDS),
        "item": (Kind.VALUE, Kind.HOLD, Kind.WORDS),
        "seconds": (Kind.HOLD,),
        "least": (Kind.VALUE, Kind.HOLD),
        "most": (Kind.VALUE, Kind.HOLD),
        "u95": (Kind.VALUE,),
        "or_words": (Kind.VALUE,),
        "measures": (Kind.VALUE,),
        "through": (Kind.VALUE,),
        "in_force": (Kind.VALUE,),
        "conditions": (Kind.VALUE,),
        "want": (Kind.CHOICE, Kind.TEXT),
        "also": (Kind.EACH,),
        "of": (Kind.CHOICE, Kind.COUNT, Kind.EACH),
    }
)
"""Keys that mean something for some kinds of answer only."""

SOURCES = (
    "directions",
    "failsafe",
    "packs",
    "marks",
    "defects",
    "joints",
    "moving seals",
    "still seals",
    "seals",
)
"""Names of lists that an *each* question can go through, beside paths and words of its own."""
