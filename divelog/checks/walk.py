"""The walk: one list, one boat, one line at a time. Pure: nothing here reads, writes or asks for the time.

Each call returns the walk and the events that must be on disk before anything else is shown. The caller appends them in
order and hands each one back to ``saved``; only that moves the walk on. So what is on the screen is what is in the log::

    walk, pending = answer(walk, around, "8.31")
    for one in pending:
        event = session.append(one.what, one.data, boat=walk.slug, run=one.run, happened=one.happened)
        walk = saved(walk, event, around)
"""

from __future__ import annotations

from dataclasses import replace

from divelog.checks.answering import Answered, events_of
from divelog.checks.applies import is_critical
from divelog.checks.around import Around
from divelog.checks.asking import (
    LONG_BREAK,
    current,
    is_closing,
    line_states,
    rest_left,
    seconds_since,
)
from divelog.checks.endings import ending, list_end
from divelog.checks.entry import DONE, Given, RefusedError, give
from divelog.checks.judge import RIGHT, Judged, fall, judge, reaches
from divelog.checks.model import CheckList, Kind, Line
from divelog.checks.state import Mark, Pending, Record, Walk, step_of, take
from divelog.checks.steps import END, START, Step
from divelog.journal.events import Event
from divelog.journal.payload import text
from divelog.limits.model import Verdict
from divelog.proofs.outing import Outings

TOO_FAST = 1.0
"""Seconds under which an answer on a critical line gets one second look."""

Stepped = tuple[Walk, tuple[Pending, ...]]


def _pending(walk: Walk, *events: Pending) -> Stepped:
    return replace(walk, unsaved=events), events


def saved(walk: Walk, event: Event, around: Around) -> Walk:
    """The walk after one of its pending events is on disk."""
    return take(replace(walk, unsaved=walk.unsaved[1:]), event, around)


# -- beginning, stopping, carrying on ---------------------------------------------------------------------------------


def begin(checklist: CheckList, around: Around, run: str | None = None) -> Stepped:
    """A new walk. ``run``: the run an after-run list belongs to."""
    phase = next((p.id for p in checklist.phases), "")
    data = {"list": checklist.list, "version": checklist.version, "phase": phase}
    return _pending(Walk(checklist, around.slug, run), Pending("check.started", data, run=run))


def resume(checklist: CheckList, around: Around, run: str | None = None) -> Walk | None:
    """The newest walk of a list that is neither ended nor out of its outing, rebuilt from the log; None where there is none.

    It comes back paused, whether somebody paused it or it was cut off.
    """
    started = _newest_start(checklist, around, run)
    if started is None:
        return None
    walk = Walk(checklist, around.slug, run)
    for event in around.events:
        if event.at >= started.at:
            walk = take(walk, event, around) if walk.check or event.id == started.id else walk
    if walk.ended or (checklist.before_run and not _same_outing(walk, around)):
        return None
    return replace(walk, paused=True, paused_at=walk.paused_at or _line_id(current(walk, around)))


def _newest_start(checklist: CheckList, around: Around, run: str | None) -> Event | None:
    for event in reversed(around.events):
        if event.what == "check.started" and event.known and event.boat == around.slug:
            if text(event.payload().get("list")) == checklist.list:
                return event if run is None or event.run == run else None
        elif event.what == "run.started" and event.boat == around.slug and checklist.before_run:
            return None  # what was asked before a run is over with it
    return None


def _same_outing(walk: Walk, around: Around) -> bool:
    if walk.last is None:
        return False
    end, _, _ = Outings(around.recent).end(walk.last.at.timestamp(), walk.last.local)
    return end > around.moment.wall.timestamp()


def _line_id(line: Line | None) -> str:
    return line.id if line is not None else ""


def pause(walk: Walk, around: Around) -> Stepped:
    """Stop here; every other boat stays in reach."""
    line = _line_id(current(walk, around))
    return _pending(walk, Pending("check.paused", _about(walk, line), run=walk.run))


def asked_again(walk: Walk, around: Around) -> Line | None:
    """The line that carrying on asks: the last one answered, or the first of closing up after a long break."""
    states = line_states(walk, around)
    here = walk.checklist.line(walk.paused_at) or current(walk, around, states)
    phase = walk.checklist.phase_of(here.id) if here is not None else None
    long = seconds_since(walk.last, around) > LONG_BREAK or _opened_since(walk, around)
    if phase is not None and is_closing(phase) and long:
        return next((one.line for one in states if one.phase.id == phase.id), here)
    for identity in reversed(walk.trail):
        record = walk.record(identity)
        if record is not None and record.givens and any(one.line.id == identity for one in states):
            return walk.checklist.line(identity)
    return here


def _opened_since(walk: Walk, around: Around) -> bool:
    since = walk.last.at if walk.last is not None else None
    return since is not None and any(
        e.what == "opened" and e.at > since and e.boat == walk.slug for e in around.recent
    )


def carry_on(walk: Walk, around: Around) -> Stepped:
    """Go on after a pause or a crash: the last answered line is asked again."""
    line = asked_again(walk, around)
    here = walk.checklist.line(walk.paused_at) or line
    phase = walk.checklist.phase_of(here.id) if here is not None else None
    away = round(seconds_since(walk.last, around), 1)
    data = _about(walk, _line_id(line))
    if away <= LONG_BREAK or (phase is not None and is_closing(phase)):
        # Proofs of closing up are spent by these seconds wherever they stand; elsewhere a break undoes nothing.
        data["seconds"] = away
    return _pending(walk, Pending("check.resumed", data, run=walk.run))


def leave(walk: Walk, around: Around, reason: str) -> Stepped:
    """End the list with lines open, and say why.

    Raises:
        RefusedError: no reason was given.
    """
    if not reason.strip():
        raise RefusedError("leaving a list needs a reason, in a few words")
    return _pending(walk, *list_end(walk, around, line_states(walk, around), reason.strip()))


def _about(walk: Walk, line: str) -> dict[str, object]:
    return {"list": walk.checklist.list, "line": line, "check": walk.check}


# -- answering --------------------------------------------------------------------------------------------------------


def asked_now(walk: Walk, around: Around) -> tuple[Line, Step] | None:
    """The line and the question asked now; None where nothing is left, or events are still to be saved."""
    line = current(walk, around)
    if line is None:
        return None
    partial = walk.partial if walk.partial_line == line.id and not walk.at else ()
    step = step_of(walk, line, around, partial) or step_of(walk, line, around, ())
    return (line, step) if step is not None else None


def preview(walk: Walk, around: Around, typed: str) -> Answered:
    """What an answer would be and how it would stand. Nothing is kept.

    Raises:
        RefusedError: it is no answer to this question.
    """
    now = asked_now(walk, around)
    if now is None or walk.unsaved:
        raise RefusedError("nothing is asked now")
    line, step = now
    given = give(step.question, typed, around, step.member)
    partial = walk.partial if walk.partial_line == line.id and not walk.at else ()
    verdicts = walk.partial_verdicts if partial else ()
    judged = RIGHT
    if step.part == START:
        reaches(given, _gauge(step, around))
    elif step.part == END:
        left = hold_left(walk, around)
        if left > 0 and not around.from_paper:
            raise RefusedError(f"{left:.0f} s of the hold are still to come")
        given = fall(partial[-1], given)
        judged = judge(step.question, given, around, walk.run)
    elif step.question.kind is Kind.DONE:
        judged = _walked(line, walk, around)
    else:
        judged = judge(step.question, given, around, walk.run)
    givens = (*partial, given)
    complete = step_of(walk, line, around, givens) is None
    return Answered(line, step, given, judged, givens, (*verdicts, judged.verdict), complete)


def _gauge(step: Step, around: Around) -> float | None:
    """The mark of a leak test, Pa."""
    if not step.question.limit:
        return None
    limit = around.lookup(step.question.limit, "", None, None)
    part = next((p for p in limit.parts if p.name == "test gauge"), None) if limit is not None else None
    return part.si if part is not None else None


def hold_left(walk: Walk, around: Around) -> float:
    """Seconds of a hold still to go; 0 where none is on."""
    now = asked_now(walk, around)
    if now is None or now[1].part != END:
        return 0.0
    return max(0.0, now[1].question.seconds - seconds_since(walk.last, around))


def _walked(line: Line, walk: Walk, around: Around) -> Judged:
    """A line that sends to another list is right once that one has been walked."""
    if not line.walk:
        return RIGHT
    for event in reversed(around.events):
        if walk.began is not None and event.at < walk.began:
            break
        if event.what == "check.ended" and event.boat == walk.slug:
            data = event.payload()
            if text(data.get("list")) == line.walk and data.get("complete") is True:
                return Judged(Verdict.WITHIN)
    words = f"the list {line.walk} has not been walked since this one was begun"
    return Judged(Verdict.UNKNOWN, None, words, (f"walk {line.walk} first",))


def answer(walk: Walk, around: Around, typed: str, reads: int = 1) -> Stepped:
    """Keep an answer. ``reads``: how often the reading was taken before it was kept.

    An answer on a critical line within a second gets one second look: no event then, and ``look_again`` is set.

    Raises:
        RefusedError: it is no answer to this question.
    """
    done = preview(walk, around, typed)
    if not walk.look_again and _hasty(walk, around, done):
        return replace(walk, look_again=True), ()
    return _pending(walk, *events_of(walk, around, done, reads))


def _hasty(walk: Walk, around: Around, done: Answered) -> bool:
    if around.from_paper:
        return False
    if rest_left(walk, done.line, around) > 0:
        return True
    first = not (walk.partial and walk.partial_line == done.line.id)
    fast = seconds_since(walk.last, around) < TOO_FAST
    return fast and first and is_critical(done.line, around) and not done.line.quick


def skip(walk: Walk, around: Around, reason: str) -> Stepped:
    """Leave the line out, and say why."""
    return _left_out(walk, around, "skipped", reason, Mark.SKIPPED)


def not_fitted(walk: Walk, around: Around, reason: str) -> Stepped:
    """The boat has no such part, and why. Gives no proof: her file can say so for good."""
    return _left_out(walk, around, "not fitted", reason, Mark.NOT_FITTED)


def unknown(walk: Walk, around: Around) -> Stepped:
    """Nobody can tell. An optional question goes on; any other leaves the line unknown."""
    now = asked_now(walk, around)
    if now is not None and now[1].question.optional:
        return _pending(walk, *events_of(walk, around, preview(walk, around, "")))
    return _left_out(walk, around, "unknown", "", Mark.UNKNOWN, need=False)


def _left_out(walk: Walk, around: Around, state: str, reason: str, mark: Mark, need: bool = True) -> Stepped:
    line = current(walk, around)
    if line is None or walk.unsaved:
        raise RefusedError("nothing is asked now")
    if need and not reason.strip():
        raise RefusedError("leaving a line out needs a reason, in a few words")
    data = {**_about(walk, line.id), "state": state}
    if reason.strip():
        data["reason"] = reason.strip()
    record = Record(line.id, mark, (), around.moment.wall, "~", False, reason.strip())
    return _pending(walk, Pending("check.skipped", data, run=walk.run), *ending(walk, around, line, record))


def back(walk: Walk, around: Around) -> Stepped:
    """One line back: the one answered before this. Its answer stands until it is answered again."""
    states = [one.line.id for one in line_states(walk, around)]
    here = current(walk, around)
    held = [identity for identity in states if walk.record(identity) is not None]
    if here is not None and here.id in states:
        held = [identity for identity in held if states.index(identity) < states.index(here.id)]
    return _turn(walk, held[-1] if held else _line_id(here))


def go(walk: Walk, around: Around, line: str) -> Stepped:
    """To a line of the list that applies, to answer it now or again."""
    if not any(one.line.id == line for one in line_states(walk, around)):
        return walk, ()
    return _turn(walk, line)


def _turn(walk: Walk, line: str) -> Stepped:
    """To another line. Half a line's answers are given up; the log must say so, or a crash would join the halves."""
    if walk.partial:
        return _pending(walk, Pending("check.resumed", {**_about(walk, line), "seconds": 0.0}, run=walk.run))
    return replace(walk, at=line, look_again=False), ()


def note(walk: Walk, around: Around, words: str, private: bool = True) -> Stepped:
    """A note about the line asked now."""
    if not words.strip():
        raise RefusedError("a note of nothing")
    about = f"{walk.checklist.list}/{_line_id(current(walk, around))}"
    return _pending(
        walk, Pending("note", {"text": words.strip(), "private": private, "about": about}, run=walk.run)
    )


__all__ = [
    "DONE", "Answered", "Given", "Pending", "RefusedError", "Walk", "answer", "asked_again", "asked_now", "back", "begin",
    "carry_on", "go", "hold_left", "leave", "not_fitted", "note", "pause", "preview", "resume", "saved", "skip", "unknown",
]  # fmt: skip
