"""Readings that may be compared with each other: in one segment between two changes of the part they are about."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from divelog.history.care import Change
from divelog.history.folding import History
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.payload import mapping, number, quantity, text
from divelog.papers.exports.book import Book

HOUR = 3600.0
SHAFT_SHARE = 0.8
"""Share of a run the shaft turns where nobody timed it: common practice, no source."""
_BALLAST = frozenset({"pump", "valve", "piston", "hose"})
_DRIVE = frozenset({"shaft", "coupling", "propeller", "controller", "seal"})
_SEALED = frozenset({"seal", "port", "cap", "cylinder"})


def _ballast(change: Change) -> bool:
    if change.kind == "fitted":
        return change.part in _BALLAST
    return change.kind == "serviced" and change.part in ("ballast", "ballast_seals", "valves", "overhaul")


def _drive(change: Change) -> bool:
    if change.kind == "fitted":
        return change.part in _DRIVE
    return change.kind == "serviced" and (change.part or "").startswith(
        ("shaft", "seal.shaft", "coupling", "overhaul")
    )


def _radio(change: Change) -> bool:
    return change.kind == "radio.changed" or (change.kind == "fitted" and change.part == "receiver")


def _terminals(change: Change) -> bool:
    if change.kind == "fitted":
        return change.part in ("pack", "controller")
    return change.kind == "serviced" and change.part in ("terminals", "joints", "overhaul")


def _seals(change: Change) -> bool:
    return (change.kind == "fitted" and change.part in _SEALED) or bool(change.seals)


CUTS: Mapping[str, Callable[[Change], bool]] = {
    "ballast.fill_time": _ballast, "ballast.empty_time": _ballast, "shaft.no_load.ahead": _drive,
    "shaft.no_load.astern": _drive, "radio.check_paces": _radio, "joint.drop": _terminals, "water found": _seals,
}  # fmt: skip
"""Quantity -> which changes cut its series. Others are never cut."""


def shaft_hours(run: Run) -> tuple[float | None, bool]:
    """Hours the shaft turned in a run, and whether that is a guess from its length."""
    if run.shaft_time is not None:
        return max(0.0, run.shaft_time) / HOUR, False
    return (None, True) if run.minutes is None else (SHAFT_SHARE * run.minutes / 60.0, True)


@dataclass(frozen=True, slots=True)
class _Reading:
    boat: str | None
    quantity: str
    item: str | None
    at: datetime
    value: float
    u95: float | None
    volts: float | None = None
    temperature: float | None = None
    method: str | None = None


class Readings:
    """Every comparable reading of a book."""

    def __init__(
        self,
        book: Book,
        history: History,
        by_kind: Mapping[str, list[Event]],
        hours_before: Mapping[str, float],
    ) -> None:
        self.book, self.history, self.by_kind = book, history, by_kind
        self.starts: dict[str | None, list[datetime]] = {}
        self.hours: dict[str | None, list[float]] = {}
        for run in history.runs:
            moment = run.start or run.end
            if moment is not None:
                self.starts.setdefault(run.boat, []).append(moment)
                self.hours.setdefault(run.boat, []).append(hours_before.get(run.id, 0.0))

    def rows(self) -> Iterator[tuple[Any, ...]]:
        """One row a reading: its segment counts the cuts before it, oldest segment 0."""
        cuts: dict[tuple[str | None, str], list[Change]] = {}
        for one in sorted(self._all(), key=lambda r: (r.boat or "", r.quantity, r.item or "", r.at)):
            key = one.boat, one.quantity
            if key not in cuts:
                cuts[key] = [
                    c for c in self.history.changes if c.boat == one.boat and self._cuts(one.quantity, c)
                ]
            segment = bisect_right(cuts[key], one.at, key=lambda c: c.at)
            since = cuts[key][segment - 1] if segment else None
            what = f"{since.part or ''} {since.kind}".strip() if since is not None else None
            yield (
                one.boat, one.quantity, one.item, segment, what, one.at, one.at.date().isoformat(),
                self._hours_at(one.boat, one.at), one.at.timestamp() / 86_400.0, one.value, one.u95, one.volts,
                one.temperature, one.method, segment == len(cuts[key]),
            )  # fmt: skip

    @staticmethod
    def _cuts(name: str, change: Change) -> bool:
        cut = CUTS.get(name)
        return cut is not None and cut(change)

    def _hours_at(self, boat: str | None, at: datetime) -> float:
        """Shaft hours of the boat by then: those of all runs begun before, the newest one counted to its start."""
        starts = self.starts.get(boat, [])
        place = bisect_right(starts, at)
        if place == len(starts):
            return self._total(boat)
        return self.hours[boat][place]

    def _total(self, boat: str | None) -> float:
        return sum(shaft_hours(run)[0] or 0.0 for run in self.history.runs if run.boat == boat)

    def _all(self) -> Iterator[_Reading]:
        for m in self.history.measured:
            if m.value is None or m.value.si is None:
                continue
            path = m.path.removeprefix("boat.").removeprefix("kit.")
            boat = None if path.startswith(("pack.", "bottle.")) else m.boat
            yield _Reading(
                boat, path, m.item, m.at, m.value.si, m.value.u95, _condition(m.conditions, "volts"),
                _condition(m.conditions, "temperature", 273.15), m.method,
            )  # fmt: skip
        for w in self.history.waters:
            if w.amount.si is not None and w.looked in ("opened", "window"):
                u95 = w.amount.u95 / 1e-6 if w.amount.u95 is not None else None
                yield _Reading(w.boat, "water found", w.end, w.at, w.amount.si / 1e-6, u95)
        known = {(m.boat, m.at.date()) for m in self.history.measured if m.path.endswith("radio.check_paces")}
        for event in self.by_kind.get("check.answered", ()):
            data = event.payload()
            limit, value = mapping(data.get("limit")), quantity(data.get("value"))
            if limit.get("key") != "radio.check_distance" or (event.boat, event.local.date()) in known:
                continue  # a line that also wrote the measurement counts once
            if value is not None and value.si is not None:
                yield _Reading(
                    event.boat, "radio.check_paces", None, event.local, value.si, value.u95, method=text(data.get("line"))
                )  # fmt: skip


def _condition(conditions: Mapping[str, Any], name: str, offset: float = 0.0) -> float | None:
    found = quantity(conditions.get(name))
    if found is not None:
        return None if found.si is None else found.si - offset
    return number(conditions.get(name))
