"""The fold: events in, history out. Pure, so that the same events always give the same history."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from divelog.history.care import (
    Change,
    Charge,
    Closure,
    Service,
    Stored,
    changes,
    charges,
    closures,
    services,
    stored,
)
from divelog.history.days import Day, day_at, days
from divelog.history.defects import Defect, defects
from divelog.history.grouping import ByKind, by_kind, of
from divelog.history.incidents import (
    Incident,
    Signal,
    Trip,
    Water,
    incidents,
    signals,
    trips,
    waters,
)
from divelog.history.measured import Filed, Measured, filed, measured, newest
from divelog.history.packs import PackUse, packs
from divelog.history.plans import Plan, plan_at, plans
from divelog.history.runs import Run, runs
from divelog.journal.events import Event
from divelog.journal.payload import text


@dataclass(frozen=True, slots=True)
class Note:
    """A note, private or not, and what it is about."""

    id: str
    at: datetime
    boat: str | None
    run: str | None
    words: str
    private: bool
    about: str | None


@dataclass(frozen=True, slots=True)
class History:
    """What the events say, each kind in order of the time it happened."""

    days: tuple[Day, ...]
    plans: tuple[Plan, ...]
    runs: tuple[Run, ...]
    incidents: tuple[Incident, ...]
    signals: tuple[Signal, ...]
    trips: tuple[Trip, ...]
    waters: tuple[Water, ...]
    defects: tuple[Defect, ...]
    services: tuple[Service, ...]
    changes: tuple[Change, ...]
    closures: tuple[Closure, ...]
    charges: tuple[Charge, ...]
    stored: tuple[Stored, ...]
    measured: tuple[Measured, ...]
    filed: tuple[Filed, ...]
    packs: tuple[PackUse, ...]
    notes: tuple[Note, ...]

    def run(self, run: str) -> Run | None:
        """The run of that identifier."""
        return next((each for each in self.runs if each.id == run), None)

    def open_run(self, boat: str) -> Run | None:
        """The newest run of the boat that is still on."""
        return next((each for each in reversed(self.runs) if each.boat == boat and each.still_on), None)

    def open_defects(self, boat: str) -> tuple[Defect, ...]:
        """Defects of the boat that nobody closed, in order."""
        return tuple(each for each in self.defects if each.open and each.boat in (None, boat))

    def unanswered(self, boat: str) -> tuple[Run, ...]:
        """Ended runs of the boat whose after-run list is neither complete nor left with a reason."""
        return tuple(
            each for each in self.runs if each.boat == boat and not each.still_on and not each.answered
        )

    def day_at(self, at: datetime) -> Day | None:
        """The day in force at a time."""
        return day_at(self.days, at)

    def plan_at(self, boat: str, at: datetime) -> Plan | None:
        """The boat's plan in force at a time."""
        return plan_at(self.plans, boat, at)

    def newest(self, path: str, item: str | None = None, boat: str | None = None) -> Measured | None:
        """The newest measurement that still counts for a path."""
        return newest(self.measured, self.filed, path, item, boat)

    def pack(self, pack: str) -> PackUse | None:
        """What a pack went through; none if the log does not know it."""
        return next((each for each in self.packs if each.pack == pack), None)

    def of_boat(self, boat: str) -> History:
        """The same for one boat; days, charges and packs are for all and stay."""
        ours = (None, boat)
        return replace(
            self,
            plans=tuple(each for each in self.plans if each.boat in ours),
            runs=tuple(each for each in self.runs if each.boat in ours),
            incidents=tuple(each for each in self.incidents if each.boat in ours),
            signals=tuple(each for each in self.signals if each.boat in ours),
            trips=tuple(each for each in self.trips if each.boat in ours),
            waters=tuple(each for each in self.waters if each.boat in ours),
            defects=tuple(each for each in self.defects if each.boat in ours),
            services=tuple(each for each in self.services if each.boat in ours),
            changes=tuple(each for each in self.changes if each.boat in ours),
            closures=tuple(each for each in self.closures if each.boat in ours),
            stored=tuple(each for each in self.stored if each.boat in ours),
            measured=tuple(each for each in self.measured if each.boat in ours),
            filed=tuple(each for each in self.filed if each.boat in ours),
            notes=tuple(each for each in self.notes if each.boat in ours),
        )


def _notes(groups: ByKind) -> tuple[Note, ...]:
    found: list[Note] = []
    for event in of(groups, "note"):
        data = event.payload()
        words = text(data.get("text")) or ""
        private = data.get("private") is not False  # unless said otherwise a note stays at home
        found.append(
            Note(event.id, event.local, event.boat, event.run, words, private, text(data.get("about")))
        )
    return tuple(found)


def fold(events: Iterable[Event], now: datetime | None = None) -> History:
    """Folds events, corrected and in order (`LoadedJournal.events`), into a history.

    Events from a newer version have no effect. With `now`, events that took place after it are not there yet.
    """
    groups = by_kind(events, now)
    at_days, found = days(groups), incidents(groups)
    lost, tripped, looked = signals(groups), trips(groups), waters(groups)
    made = runs(groups, at_days, found, lost, tripped, looked)
    charged = charges(groups)
    return History(
        days=at_days,
        plans=plans(groups),
        runs=made,
        incidents=found,
        signals=lost,
        trips=tripped,
        waters=looked,
        defects=defects(groups),
        services=services(groups),
        changes=changes(groups),
        closures=closures(groups),
        charges=charged,
        stored=stored(groups),
        measured=measured(groups),
        filed=filed(groups),
        packs=packs(made, charged),
        notes=_notes(groups),
    )
