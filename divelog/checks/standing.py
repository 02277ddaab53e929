"""A walk that somebody stopped, or that was cut off, in the words of the page of boats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from divelog.checks.shipped import closing_phase, phase_of, title_of
from divelog.journal.events import Event
from divelog.journal.payload import text

LONG_BREAK = 600.0
"""Seconds away after which closing up starts again."""

_LINES = ("check.answered", "check.skipped")
_WALKING = (*_LINES, "check.paused", "check.resumed")


@dataclass(frozen=True, slots=True)
class Stopped:
    """A walk that is neither ended nor going on: its list, the phase in words, the line's number in it, since when."""

    check: str
    list: str
    phase: str
    number: int
    since: datetime
    closing: bool


def stopped_walk(events: Sequence[Event], now: datetime) -> Stopped | None:
    """The newest walk of today (by the offset of its own lines) that is not ended; None where there is none."""
    place = next(
        (i for i in range(len(events) - 1, -1, -1) if events[i].what == "check.started" and events[i].known),
        None,
    )
    if place is None:
        return None
    started = events[place]
    if started.local.date() != now.astimezone(started.local.tzinfo).date():
        return None
    listed = text(started.payload().get("list")) or ""
    seen: list[str] = []
    last, at = started, ""
    for event in events[place + 1 :]:
        if event.what == "run.started" or not event.known:
            return None  # she was launched: what was asked before is over
        data = event.payload() if event.what.startswith("check.") else {}
        if event.what == "check.ended" and text(data.get("list")) == listed:
            return None
        if event.what in _WALKING and text(data.get("check")) in (started.id, None):
            line = text(data.get("line")) or ""
            last, at = event, line if event.what in ("check.paused", "check.resumed") else ""
            if event.what in _LINES and line not in seen:
                seen.append(line)
    phase = phase_of(listed, at or (seen[-1] if seen else ""))
    mine = [line for line in seen if phase_of(listed, line) == phase and phase is not None]
    number = mine.index(at) + 1 if at in mine else len(mine) + 1
    words = phase.replace("-", " ") if phase else title_of(listed).lower() or listed
    return Stopped(
        started.id, listed, words, number, last.local, bool(phase) and closing_phase(listed, phase or "")
    )


def paused_words(events: Sequence[Event], now: datetime) -> tuple[str, ...]:
    """What the page of boats says of a stopped walk: where, and what carrying on will ask.

    Empty where none is stopped.
    """
    found = stopped_walk(events, now)
    if found is None:
        return ()
    away = max(0.0, (now - found.since).total_seconds())
    ago = f"{away / 60:.0f} min ago" if away < 5400 else f"{away / 3600:.0f} h ago"
    if found.closing and away > LONG_BREAK:
        then = f"carrying on starts {found.phase} again"
    elif found.number > 1:
        then = f"carrying on asks line {found.number - 1} again"
    else:
        then = "carrying on asks it"
    return (f"PAUSED {found.phase}, line {found.number}", f"{ago}; {then}")
