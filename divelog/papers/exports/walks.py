"""Tables of the checks: walks of lists, what was answered, skipped and broken off."""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Iterator

from divelog.journal.events import Event
from divelog.journal.payload import mapping, quantity, text, texts
from divelog.papers.exports.filling import Filling, Row, day, si


def walks(f: Filling) -> Iterator[Row]:
    """Every list that was begun: when it ended, and how often it was broken off."""
    ended: dict[str, Event] = {}
    for event in f.by_kind.get("check.ended", ()):
        walk = _walk_of(event, f)
        if walk:
            ended.setdefault(walk, event)
    away: dict[str, list[float | None]] = {}
    for event in f.by_kind.get("check.resumed", ()):
        away.setdefault(_walk_of(event, f), []).append(_seconds(event.payload().get("seconds")))
    told: dict[str, int] = {}
    for event in f.by_kind.get("check.answered", ()):
        told[_walk_of(event, f)] = told.get(_walk_of(event, f), 0) + 1
    skipped: dict[str, int] = {}
    for event in f.by_kind.get("check.skipped", ()):
        skipped[_walk_of(event, f)] = skipped.get(_walk_of(event, f), 0) + 1
    for event in f.by_kind.get("check.started", ()):
        data, end = event.payload(), ended.get(event.id)
        done = end.payload() if end is not None else {}
        gone = away.get(event.id, [])
        yield (
            event.id, event.boat, event.run, text(data.get("list")), text(data.get("phase")), event.at,
            end.at if end is not None else None, day(event.local),
            done.get("complete") is True if end is not None else None, text(done.get("left")),
            (end.at - event.at).total_seconds() if end is not None else None, sum(s or 0.0 for s in gone), len(gone),
            told.get(event.id, 0), skipped.get(event.id, 0),
        )  # fmt: skip


def _walk_of(event: Event, f: Filling) -> str:
    """The walk an event belongs to: as it says, else the last of that list and boat begun before it."""
    data = event.payload()
    named = text(data.get("check"))
    if named:
        return named
    if not f.starts:
        for started in f.by_kind.get("check.started", ()):
            key = started.boat, text(started.payload().get("list"))
            f.starts.setdefault(key, []).append((started.at, started.id))
    begun = f.starts.get((event.boat, text(data.get("list"))), [])
    place = bisect_right(begun, (event.at, "~"))
    return begun[place - 1][1] if place else ""


def _seconds(value: object) -> float | None:
    found = quantity(value)
    return found.si if found is not None else None


def _plain(value: object) -> str | None:
    if value is None or isinstance(value, str):
        return value
    return json.dumps(value, ensure_ascii=True, default=str)


def answers(f: Filling) -> Iterator[Row]:
    """Every answer with its limit and what it gave."""
    for event in f.by_kind.get("check.answered", ()):
        data = event.payload()
        value, limit = quantity(data.get("value")), mapping(data.get("limit"))
        yield (
            event.id, event.at, day(event.local), event.boat, event.run, _walk_of(event, f) or None,
            text(data.get("list")), text(data.get("line")), _plain(data.get("answer")), si(value),
            value.u95 if value is not None else None, text(limit.get("key")), text(limit.get("item")) or None,
            text(limit.get("shown")), text(data.get("verdict")), _seconds(data.get("seconds")),
            ", ".join(texts(data.get("gives"))) or None, ", ".join(texts(data.get("fails"))) or None,
        )  # fmt: skip


def skips(f: Filling) -> Iterator[Row]:
    """Every line that was skipped, not fitted or unknown."""
    for event in f.by_kind.get("check.skipped", ()):
        data = event.payload()
        yield (
            event.id, event.at, day(event.local), event.boat, event.run, _walk_of(event, f) or None,
            text(data.get("list")), text(data.get("line")), text(data.get("state")), text(data.get("reason")),
        )  # fmt: skip


def pauses(f: Filling) -> Iterator[Row]:
    """Every time somebody came back to a list, with the line it was left at; carrying on asks the one before it."""
    left: dict[str, list[Event]] = {}
    for event in f.by_kind.get("check.paused", ()):
        left.setdefault(_walk_of(event, f), []).append(event)
    for event in f.by_kind.get("check.resumed", ()):
        data, walk = event.payload(), _walk_of(event, f)
        before = [one for one in left.get(walk, ()) if one.at <= event.at]
        line = text(before[-1].payload().get("line")) if before else None
        yield (
            event.id, event.at, day(event.local), event.boat, walk or None, text(data.get("list")),
            line or text(data.get("line")), _seconds(data.get("seconds")),
        )  # fmt: skip
