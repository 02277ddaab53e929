"""The run that is on, found in the log: so it goes on after a crash, a power cut or another window.

Looks from the end of the log backwards and decodes next to nothing: this is asked every second.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from divelog.app.desk import Desk
from divelog.checks.after import may_start_run
from divelog.clock import Span, span
from divelog.journal.events import Event
from divelog.journal.payload import mapping, number, text

SAME = 2.0
"""Seconds by which wall clock and the clock that counts sleep may part before the wall clock is said to be set."""


@dataclass(frozen=True, slots=True)
class Out:
    """A run that is on: its start, the limits it was begun with (min, and m of keel), its marks, the lost signal."""

    slug: str
    start: Event
    minutes: float | None
    keel: float | None
    marks: int
    lost: Event | None


@dataclass(frozen=True, slots=True)
class Before:
    """What went before a run: the launch that was called since the last one began, and why no run may begin yet."""

    launch: Event | None
    why_not: str


class Watch:
    """Answers for a boat, kept until her log changes."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._out: dict[str, tuple[object, Out | None]] = {}
        self._before: dict[str, tuple[object, Before]] = {}
        self._rung: set[str] = set()

    def out(self, slug: str) -> Out | None:
        """The run of a boat that is on."""
        events = self._desk.session.log(slug).events
        kept = self._out.get(slug)
        if kept is None or kept[0] is not events:
            kept = self._out[slug] = (events, open_run(events, slug))
        return kept[1]

    def before(self, slug: str) -> Before:
        """What went before the next run."""
        events = self._desk.session.log(slug).events
        kept = self._before.get(slug)
        if kept is None or kept[0] is not events:
            kept = self._before[slug] = (events, before_run(events, slug))
        return kept[1]

    def others(self, slug: str) -> tuple[Out, ...]:
        """Runs of other boats that are on."""
        found = (self.out(other) for other in self._desk.boats if other != slug)
        return tuple(out for out in found if out is not None)

    def rings(self) -> bool:
        """True once for each run whose minutes are over, whatever page is in front; settings may say no."""
        if self._desk.session.shelf.settings.value("bell") is False:
            return False
        wanted = False
        for slug in self._desk.boats:
            out = self.out(slug)
            if (
                out is not None
                and out.start.id not in self._rung
                and minutes(self._desk, out).over is not None
            ):
                self._rung.add(out.start.id)
                wanted = True
        return wanted


def open_run(events: tuple[Event, ...], slug: str) -> Out | None:
    """The newest run of a boat that nobody ended; events in order of time."""
    ended: set[str | None] = set()
    marks: dict[str | None, int] = {}
    signals: dict[str | None, Event] = {}
    for event in reversed(events):
        if event.what == "run.ended":
            ended.add(event.run)
        elif event.what == "mark":
            marks[event.run] = marks.get(event.run, 0) + 1
        elif event.what == "signal":
            signals.setdefault(event.run, event)
        elif event.what == "run.started" and event.boat == slug and event.known and event.id not in ended:
            limits = mapping(event.payload().get("limits"))
            last = signals.get(event.id)
            lost = last if last is not None and text(last.payload().get("kind")) == "lost" else None
            return Out(
                slug,
                event,
                number(limits.get("minutes")),
                number(limits.get("keel")),
                marks.get(event.id, 0),
                lost,
            )
    return None


def before_run(events: tuple[Event, ...], slug: str) -> Before:
    """The newest launch called since the last run began, and why the next may not begin (empty: it may)."""
    may, why = may_start_run(events, slug)
    for event in reversed(events):
        if event.boat == slug and event.what == "run.started":
            break
        if event.boat == slug and event.what == "launch.called" and event.known:
            return Before(event, "" if may else why)
    return Before(None, "" if may else why)


def since(desk: Desk, event: Event) -> Span:
    """How long ago an event was, by the clock that counts sleep where one start of the machine holds both ends."""
    clock = desk.session.clock
    if event.happened is not None:
        return span(event.at, clock.now())
    return span(event.when, clock.now(), event.up, clock.up(), event.boot, clock.boot)


@dataclass(frozen=True, slots=True)
class Minutes:
    """Where a run stands in whole minutes: begun minutes still left, or minutes over; the moment to be back."""

    elapsed: int
    left: int | None
    over: int | None
    back_by: datetime | None
    by_wall: bool


def minutes(desk: Desk, out: Out) -> Minutes:
    """Minutes of a run now. Nought is when to be back; past it the minutes over count up."""
    found = since(desk, out.start)
    seconds = max(0.0, found.seconds)
    elapsed = int(seconds // 60)
    if out.minutes is None:
        return Minutes(elapsed, None, None, None, found.by_wall)
    left = 60.0 * out.minutes - seconds
    return Minutes(
        elapsed,
        -int(-left // 60) if left >= 0 else None,
        int(-left // 60) if left < 0 else None,
        _back_by(desk, out, left),
        found.by_wall,
    )


def _back_by(desk: Desk, out: Out, left: float) -> datetime:
    """By the clock on the wall as it is now, also where it was set meanwhile."""
    now = desk.now()
    by_start = out.start.local + timedelta(minutes=out.minutes or 0.0)
    by_now = now + timedelta(seconds=left)
    if abs((by_start - by_now).total_seconds()) <= SAME:
        return by_start.astimezone(now.tzinfo)
    return by_now
