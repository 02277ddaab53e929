"""Runs: from `run.started` to `run.ended`, with everything that carries the run's identifier."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from divelog.clock import span
from divelog.history.days import Day, day_at
from divelog.history.grouping import ByKind, of
from divelog.history.incidents import Incident, Signal, Trip, Water
from divelog.journal.events import Event
from divelog.journal.payload import Quantity, mapping, quantity, text, texts


@dataclass(frozen=True, slots=True)
class Mark:
    """A moment marked in a run, and the words put to it afterwards."""

    id: str
    at: datetime
    run: str | None
    kind: str | None
    named: str | None
    words: str | None


@dataclass(frozen=True, slots=True)
class AfterRun:
    """How the after-run list ended: complete, or left with a reason."""

    complete: bool
    reason: str | None
    open: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Run:
    """One run. Times with their offset; `minutes` by the clock that counts sleep where one start of the
    machine holds both ends, else by the wall clock (`by_wall`). Depth in m, `shaft_time` and `dived_time` in
    s.

    `start` is none where only the end was found. `site` and `water_kind` are those of the day in force at the
    start.
    """

    id: str
    boat: str | None
    site: str | None
    water_kind: str | None
    start: datetime | None
    end: datetime | None
    minutes: float | None
    by_wall: bool
    pack: str | None
    transmitter: str | None
    receiver: str | None
    plan: str | None
    deepest: Quantity | None
    shaft_time: float | None
    shaft_bands: Mapping[str, float]
    dived_time: float | None
    cycles: int | None
    volts: Quantity | None
    reason: str | None
    limits: Any
    water: Water | None
    incidents: tuple[Incident, ...]
    signals: tuple[Signal, ...]
    trips: tuple[Trip, ...]
    marks: tuple[Mark, ...]
    after_run: AfterRun | None

    @property
    def still_on(self) -> bool:
        """Whether nobody wrote that it ended."""
        return self.end is None

    @property
    def answered(self) -> bool:
        """Whether its after-run list is complete, or was left with a reason."""
        return self.after_run is not None and (
            self.after_run.complete or self.after_run.reason not in (None, "")
        )


_Item = TypeVar("_Item", Incident, Signal, Trip, Mark)


def _by_run(items: Sequence[_Item]) -> Mapping[str | None, tuple[_Item, ...]]:
    groups: dict[str | None, list[_Item]] = defaultdict(list)
    for item in items:
        groups[item.run].append(item)
    return {run: tuple(found) for run, found in groups.items()}


def marks(groups: ByKind) -> tuple[Mark, ...]:
    """Every mark, in order, with the newest words put to it."""
    names: dict[str, Mapping[str, Any]] = {}
    for event in of(groups, "mark.named"):
        data = event.payload()
        names[text(data.get("of")) or ""] = data
    found: list[Mark] = []
    for event in of(groups, "mark"):
        name = names.get(event.id, {})
        kind = text(event.payload().get("kind"))
        found.append(
            Mark(event.id, event.local, event.run, kind, text(name.get("kind")), text(name.get("text")))
        )
    return tuple(found)


def _after_runs(groups: ByKind) -> Mapping[str, AfterRun]:
    found: dict[str, AfterRun] = {}
    for event in of(groups, "check.ended"):
        if event.run is not None:
            data = event.payload()
            complete = data.get("complete") is True
            found[event.run] = AfterRun(complete, text(data.get("left")), texts(data.get("open")))
    return found


def _duration(value: object) -> tuple[float | None, Mapping[str, float]]:
    """Seconds in all, and by band of throttle where it was written so."""
    whole = quantity(value)
    if whole is not None:
        return whole.si, {}
    bands = {name: each.si for name, raw in mapping(value).items() if (each := quantity(raw)) is not None}
    known = {name: seconds for name, seconds in bands.items() if seconds is not None}
    return (sum(known.values()) if known else None), known


def _count(value: object) -> int | None:
    found = quantity(value)
    return int(found.si) if found is not None and found.si is not None else None


def _seconds(start: Event | None, end: Event | None) -> tuple[float | None, bool]:
    """Seconds of a run and whether only the wall clock could tell; none if it has no end, or one before its
    start."""
    if start is None or end is None:
        return None, False
    if start.happened is not None or end.happened is not None:
        found = span(start.at, end.at)
    else:
        found = span(start.at, end.at, start.up, end.up, start.boot, end.boot)
    return (found.seconds if found.seconds >= 0.0 else None), found.by_wall


def runs(
    groups: ByKind,
    opened: Sequence[Day],
    incidents: Sequence[Incident],
    signals: Sequence[Signal],
    trips: Sequence[Trip],
    waters: Sequence[Water],
) -> tuple[Run, ...]:
    """Every run in order of its start; of several ends of one run the last counts."""
    starts = {event.id: event for event in of(groups, "run.started")}
    ends = {event.run: event for event in of(groups, "run.ended") if event.run is not None}
    by_incident, by_signal, by_trip = _by_run(incidents), _by_run(signals), _by_run(trips)
    by_mark = _by_run(marks(groups))
    by_water = {water.run: water for water in waters}
    after = _after_runs(groups)
    found: list[tuple[datetime, str, Run]] = []
    for run in dict.fromkeys([*starts, *ends]):
        start, end = starts.get(run), ends.get(run)
        either = start or end
        if either is None:  # never: every name comes from one of the two
            continue
        begun = start.payload() if start is not None else {}
        done = end.payload() if end is not None else {}
        day = day_at(opened, either.local)
        seconds, by_wall = _seconds(start, end)
        shaft, bands = _duration(done.get("shaft_time"))
        dived, _ = _duration(done.get("dived_time"))
        made = Run(
            id=run,
            boat=either.boat,
            site=day.site if day is not None else None,
            water_kind=day.water if day is not None else None,
            start=start.local if start is not None else None,
            end=end.local if end is not None else None,
            minutes=seconds / 60.0 if seconds is not None else None,
            by_wall=by_wall,
            pack=text(done.get("pack")) or text(begun.get("pack")),
            transmitter=text(begun.get("transmitter")),
            receiver=text(begun.get("receiver")),
            plan=text(begun.get("plan")),
            deepest=quantity(done.get("deepest")),
            shaft_time=shaft,
            shaft_bands=bands,
            dived_time=dived,
            cycles=_count(done.get("cycles")),
            volts=quantity(done.get("volts")),
            reason=text(done.get("reason")),
            limits=begun.get("limits"),
            water=by_water.get(run),
            incidents=by_incident.get(run, ()),
            signals=by_signal.get(run, ()),
            trips=by_trip.get(run, ()),
            marks=by_mark.get(run, ()),
            after_run=after.get(run),
        )
        found.append((either.at, run, made))
    found.sort(key=lambda each: each[:2])
    return tuple(made for _, _, made in found)
