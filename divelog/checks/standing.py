"""A walk that somebody stopped, or that was cut off, in the words of the page of boats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from divelog.checks.shipped import phase_of, title_of
from divelog.journal.events import Event
from divelog.journal.payload import text

LONG_BREAK = 600.0
"""Seconds away after which a phase of closing up starts again."""

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
    paused: bool
    closing_up: bool


def stopped_walk(events: Sequence[Event], now: datetime) -> Stopped | None:
    """The newest walk of today (by the offset of its own lines) that is not ended; None where there is none."""
    newest = next((e for e in reversed(events) if e.what == "check.started" and e.known), None)
    if newest is None or newest.local.date() != now.astimezone(newest.local.tzinfo).date():
        return None
    data = newest.payload()
    listed = text(data.get("list")) or ""
    seen: list[str] = []
    last, paused, opened = newest, False, False
    for event in events:
        if event.at < newest.at or not event.known:
            continue
        if event.what in ("check.started", "run.started") and event.id != newest.id and event.at > newest.at:
            return None
        mine = event.payload() if event.what.startswith("check.") else {}
        if event.what == "check.ended" and text(mine.get("list")) == listed:
            return None
        if event.what in _WALKING and text(mine.get("check")) in (newest.id, None):
            last, paused = event, event.what == "check.paused"
            line = text(mine.get("line"))
            if event.what in _LINES and line is not None and line not in seen:
                seen.append(line)
    phases = [phase_of(listed, line) for line in seen]
    at = text(last.payload().get("line")) if paused else None
    here = (phase_of(listed, at) if at else None) or (phases[-1] if phases else phase_of(listed, ""))
    if at and at in seen:
        number = sum(
            1
            for line, phase in zip(seen, phases, strict=True)
            if phase == here and seen.index(line) <= seen.index(at)
        )
    else:
        number = sum(1 for phase in phases if phase == here) + 1
    return Stopped(
        newest.id, listed, (here or title_of(listed) or listed).replace("-", " "), number, last.local, paused,
        here == "closing-up",
    )  # fmt: skip


def paused_words(events: Sequence[Event], now: datetime) -> tuple[str, ...]:
    """What a page of boats says of a stopped walk: where, and what carrying on will ask. Empty where none is stopped."""
    found = stopped_walk(events, now)
    if found is None:
        return ()
    away = max(0.0, (now - found.since).total_seconds())
    ago = f"{away / 60:.0f} min ago" if away < 5400 else f"{away / 3600:.0f} h ago"
    if found.closing_up and away > LONG_BREAK:
        then = f"carrying on starts {found.phase} again"
    elif found.number > 1:
        then = f"carrying on asks line {found.number - 1} again"
    else:
        then = "carrying on asks it"
    return (f"PAUSED {found.phase}, line {found.number}", f"{ago}; {then}")
