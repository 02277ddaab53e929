"""The state of a walk, and the one function that moves it on: an event that is on disk.

A walk under way and one rebuilt after a crash go through the same function with the same events, so they cannot differ.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import Enum
from types import MappingProxyType
from typing import Any

from divelog.checks.around import Around
from divelog.checks.entry import Given
from divelog.checks.members import Asking, members
from divelog.checks.model import CheckList, Line
from divelog.checks.steps import Step, next_step
from divelog.checks.writing import kinds_of
from divelog.journal.events import Event
from divelog.journal.payload import mapping, number, quantity, text, texts
from divelog.limits.model import Verdict
from divelog.profiles.document import Basis, Num


class Mark(Enum):
    """How a line stands; names are those of the nine status words."""

    DONE = "done"
    WITHIN = "within"
    OUTSIDE = "outside"
    TOO_CLOSE = "too close"
    UNKNOWN = "unknown"
    SKIPPED = "skipped"
    NOT_FITTED = "not fitted"
    TO_PROVE = "to prove"


@dataclass(frozen=True, slots=True)
class Record:
    """What one line holds in this walk: its answers, how they stand, and the event that completed it."""

    line: str
    mark: Mark
    givens: tuple[Given, ...]
    at: datetime
    event: str
    right: bool = False
    reason: str = ""
    gives: tuple[str, ...] = ()
    fails: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """An event that a line's answer wrote besides itself."""

    owner: str
    what: str
    event: str
    data: Mapping[str, Any]
    at: datetime


@dataclass(frozen=True, slots=True)
class Pending:
    """An event to append before anything else is shown."""

    what: str
    data: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    run: str | None = None
    happened: str | None = None


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk through one list for one boat. Everything in it comes from events, but for the last five fields."""

    checklist: CheckList
    slug: str
    run: str | None = None
    check: str = ""
    """Id of its ``check.started``."""
    began: datetime | None = None
    records: tuple[Record, ...] = ()
    partial_line: str = ""
    partial: tuple[Given, ...] = ()
    """Answers of a line that has more questions."""
    partial_verdicts: tuple[Verdict | None, ...] = ()
    trail: tuple[str, ...] = ()
    """Lines in the order they were answered or skipped, each time."""
    written: tuple[Written, ...] = ()
    owner: str = ""
    ended: bool = False
    launched: bool = False
    last: Event | None = None
    """The newest of its own events: from there time is counted."""
    paused: bool = False
    paused_at: str = ""
    """The line it was paused at."""
    at: str = ""
    """The line asked next, whatever it holds: gone back to, or asked again after a break."""
    look_again: bool = False
    """The last answer came within a second: it is asked once whether somebody looked."""
    unsaved: tuple[Pending, ...] = ()
    """Events still to be appended. Nothing is asked while there are any."""

    def record(self, line: str) -> Record | None:
        """What a line holds."""
        return next((one for one in self.records if one.line == line), None)

    @property
    def asking(self) -> Asking:
        """For whom members are asked."""
        return Asking(self.run, self.began)


def step_of(walk: Walk, line: Line, around: Around, givens: tuple[Given, ...]) -> Step | None:
    """The next question of a line after these answers."""
    return next_step(
        line, givens, lambda q: members(q, around, walk.asking), others_wrote(walk, line, around)
    )


def others_wrote(walk: Walk, line: Line, around: Around) -> frozenset[str]:
    """Kinds of events written since her run ended, else since the list was begun, by anything but this line."""
    if not any(q.unless_written for q in line.questions):
        return frozenset()
    mine = {one.event for one in walk.written if one.owner == line.id}
    since = run_ended_at(walk, around) or walk.began
    return frozenset(
        e.what
        for e in around.recent
        if since is not None and e.at >= since and e.id not in mine and e.boat == walk.slug
    )


def run_ended_at(walk: Walk, around: Around) -> datetime | None:
    """When the run of an after-run list ended; None where it is on, or there is none."""
    found = ended_run(walk, around)
    return found.at if found is not None else None


def ended_run(walk: Walk, around: Around) -> Event | None:
    """The ``run.ended`` of the walk's run, with its corrections."""
    if walk.run is None:
        return None
    return next((e for e in reversed(around.events) if e.what == "run.ended" and e.run == walk.run), None)


def take(walk: Walk, event: Event, around: Around) -> Walk:
    """The walk after one more event on disk. Events that are none of its own leave it as it is."""
    if not event.known:
        return walk
    data = event.payload() if event.what.startswith("check.") else {}
    if event.what == "check.started" and not walk.check:
        if text(data.get("list")) == walk.checklist.list:
            return replace(walk, check=event.id, began=event.at, last=event)
        return walk
    if data and text(data.get("check")) not in (walk.check, None) and event.what != "check.ended":
        return replace(walk, owner="")
    match event.what:
        case "check.answered":
            return _answered(walk, event, data, around)
        case "check.skipped":
            return _skipped(walk, event, data)
        case "check.paused":
            return replace(walk, paused=True, paused_at=text(data.get("line")) or "", last=event, owner="")
        case "check.resumed":
            line = text(data.get("line")) or ""
            at = line if walk.checklist.line(line) is not None else ""
            cleared = replace(walk, partial_line="", partial=(), partial_verdicts=())
            return replace(cleared, paused=False, paused_at="", at=at, last=event, owner="", look_again=False)
        case "check.ended":
            mine = text(data.get("list")) == walk.checklist.list
            return replace(walk, ended=walk.ended or mine, last=event, owner="")
        case "launch.called":
            return replace(walk, launched=True, last=event)
        case "corrected":
            return _corrected(walk, event)
        case _:
            return _beside(walk, event)


def _answered(walk: Walk, event: Event, data: dict[str, Any], around: Around) -> Walk:
    line = walk.checklist.line(text(data.get("line")) or "")
    if line is None:
        return walk
    mine = walk.partial_line == line.id
    before = walk.partial if mine else ()
    step = step_of(walk, line, around, before)
    if step is None:
        before, mine = (), False
        step = step_of(walk, line, around, ())
    given = restored(data, step)
    givens = (*before, given)
    verdicts = (*(walk.partial_verdicts if mine else ()), _verdict(data))
    kept = replace(walk, owner=line.id, last=event, at="", look_again=False, paused=False)
    if "gives" not in data and step_of(walk, line, around, givens) is not None:
        return replace(kept, partial_line=line.id, partial=givens, partial_verdicts=verdicts)
    right = all(verdict in (None, Verdict.WITHIN) for verdict in verdicts)
    record = Record(
        line.id, mark_of(verdicts), givens, event.at, event.id, right, "", texts(data.get("gives")), texts(data.get("fails")),
    )  # fmt: skip
    return replace(with_record(kept, record), partial_line="", partial=(), partial_verdicts=())


def _skipped(walk: Walk, event: Event, data: dict[str, Any]) -> Walk:
    line = text(data.get("line")) or ""
    if walk.checklist.line(line) is None:
        return walk
    mark = {"not fitted": Mark.NOT_FITTED, "unknown": Mark.UNKNOWN}.get(
        text(data.get("state")) or "", Mark.SKIPPED
    )
    record = Record(line, mark, (), event.at, event.id, False, text(data.get("reason")) or "")
    kept = replace(walk, partial_line="", partial=(), partial_verdicts=(), owner=line, last=event)
    return replace(with_record(kept, record), at="", look_again=False, paused=False)


def _corrected(walk: Walk, event: Event) -> Walk:
    data = event.payload()
    target = text(data.get("id"))
    found: list[Written] = []
    for one in walk.written:
        if one.event != target:
            found.append(one)
        elif data.get("void") is not True:
            found.append(replace(one, data=mapping(data.get("data"))))
    return replace(walk, written=tuple(found))


def _beside(walk: Walk, event: Event) -> Walk:
    """An event that follows an answer and is of a kind this line writes was written by it."""
    line = walk.checklist.line(walk.owner)
    if line is None or event.boat != walk.slug:
        return walk
    nobody = replace(walk, owner="")
    if event.what == "closed":
        phase = walk.checklist.phase_of(line.id)
        owner = f"phase:{phase.id}" if phase is not None else ""
    elif event.what in kinds_of(line):
        owner = line.id
    else:
        return nobody
    return replace(
        walk, written=(*walk.written, Written(owner, event.what, event.id, event.payload(), event.at))
    )


def with_record(walk: Walk, record: Record) -> Walk:
    """The walk with what a line holds put in."""
    others = tuple(one for one in walk.records if one.line != record.line)
    return replace(walk, records=(*others, record), trail=(*walk.trail, record.line))


def _verdict(data: Mapping[str, Any]) -> Verdict | None:
    try:
        return Verdict(data["verdict"])
    except (KeyError, ValueError):
        return None


_WORST = (
    (Verdict.OUTSIDE, Mark.OUTSIDE), (Verdict.TOO_CLOSE, Mark.TOO_CLOSE), (Verdict.UNKNOWN, Mark.UNKNOWN),
    (Verdict.WITHIN, Mark.WITHIN),
)  # fmt: skip


def mark_of(verdicts: tuple[Verdict | None, ...]) -> Mark:
    """How a line stands after these verdicts of its questions: the worst."""
    return next((mark for verdict, mark in _WORST if verdict in verdicts), Mark.DONE)


def restored(data: Mapping[str, Any], step: Step | None) -> Given:
    """An answer out of the data of its event."""
    value = quantity(data.get("value"))
    num = (
        Num(value.si, value.u95 or 0.0, Basis.MEASURED)
        if value is not None and value.si is not None
        else None
    )
    answer: str = text(data.get("answer")) or ""
    member = step.member.id if step is not None and step.member is not None else ""
    rows = data.get("answer")
    if isinstance(rows, list) and rows:
        row = mapping(rows[-1])
        member = text(row.get("member")) or member
        answer = "" if num is not None else _last_part(text(row.get("answer")) or "", step)
    typed = (value.typed if value is not None else None) or answer
    return Given(answer, num, typed, step.question.name if step is not None else "answer", member)


def _last_part(answer: str, step: Step | None) -> str:
    """Of several answers of one member, joined by a colon, the newest."""
    if step is None or len(step.asked_of) < 2 or step.question is step.asked_of[0]:
        return answer
    return answer.rsplit(": ", 1)[-1]


def seconds_of(value: object) -> float | None:
    """Seconds away, out of a ``check.resumed``."""
    found = quantity(value)
    return found.si if found is not None else number(value)
