"""The logbook of a boat, read from the home: files in, events in order out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from divelog.files import DISK, Disk, StorageError, StorageKind, read_capped
from divelog.home import KIT, Home
from divelog.journal.correcting import CORRECTED, correct
from divelog.journal.events import Event
from divelog.journal.merging import file_order, in_order, once_each
from divelog.journal.naming import journal_files, label, logged_boats
from divelog.journal.reading import MAX_FILE, ReadFile, read_journal
from divelog.journal.reports import DAMAGING, Fault, Report

MAX_FILES = 500
"""Journal files of one boat."""
MAX_TOTAL = 1 << 30
"""Bytes of all journal files read together."""


@dataclass(frozen=True, slots=True)
class LoadedJournal:
    """What a logbook says.

    `lines` holds every event once, as written; `events` the same after corrections, without `corrected` and
    void ones; both ordered by the time it happened, else was written, then by identifier. `changed` and
    `voided` name the correction of an event. Events from a newer version are in both; their `known` is false.
    """

    boat: str | None
    lines: tuple[Event, ...]
    events: tuple[Event, ...]
    changed: Mapping[str, str]
    voided: Mapping[str, str]
    reports: tuple[Report, ...]
    correction_reports: tuple[Report, ...] = ()

    @property
    def corrections(self) -> tuple[Event, ...]:
        """The `corrected` events."""
        return tuple(event for event in self.lines if event.what == CORRECTED)

    @property
    def all_reports(self) -> tuple[Report, ...]:
        """Everything found wrong while reading and correcting."""
        return self.reports + self.correction_reports

    @property
    def damaged(self) -> bool:
        """Whether anything was lost or contradicts itself."""
        return any(report.fault in DAMAGING for report in self.reports)

    def plus(self, *events: Event) -> LoadedJournal:
        """The same with events just written, without reading the files again."""
        if len(events) == 1 and self._comes_last(events[0]):
            return replace(self, lines=(*self.lines, *events), events=(*self.events, *events))
        return _ordered(self.boat, [*self.lines, *events], self.reports)

    def _comes_last(self, event: Event) -> bool:
        """Whether an event stands after all others and changes none of them, as nearly every new one does."""
        if event.what == CORRECTED or self.correction_reports:
            return False
        place = (event.at, event.id)
        return all(not found or (found[-1].at, found[-1].id) < place for found in (self.lines, self.events))


def _ordered(boat: str | None, lines: Iterable[Event], reports: tuple[Report, ...]) -> LoadedJournal:
    placed = tuple(in_order(lines))
    corrected = correct(placed)
    kept = in_order(corrected.events) if corrected.moved else corrected.events
    return LoadedJournal(
        boat,
        placed,
        tuple(kept),
        corrected.changed,
        corrected.voided,
        reports,
        corrected.reports,
    )


def load_files(files: Mapping[str, bytes] | Iterable[ReadFile], boat: str | None = None) -> LoadedJournal:
    """A logbook out of files already read: names to bytes, or files read by `read_journal`.

    With `boat`, events that name another boat are left out and reported; a file copied into the wrong folder
    then proves nothing about this boat.
    """
    if isinstance(files, Mapping):
        files = [read_journal(name, data) for name, data in files.items()]
    files = sorted(files, key=lambda file: file_order(file.name))
    reports = [report for file in files for report in file.reports]
    if boat is not None:
        files = [_of_boat(file, boat, reports) for file in files]
    events, found = once_each(files)
    return _ordered(boat, events, (*reports, *found))


def _of_boat(file: ReadFile, boat: str, reports: list[Report]) -> ReadFile:
    """The file without the events of other boats; in the kit's journal they are no fault."""
    if {event.boat for event in file.events} <= {None, boat}:
        return file
    kept = [index for index, event in enumerate(file.events) if event.boat in (None, boat)]
    if not file.name.startswith(KIT + "/"):
        others = len(file.events) - len(kept)
        many = "1 event is" if others == 1 else f"{others} events are"
        reports.append(Report(Fault.OTHER_BOAT, file.name, 0, f"{many} of another boat; left out here"))
    return replace(
        file, events=[file.events[index] for index in kept], numbers=[file.numbers[index] for index in kept]
    )


def read_folder(home: Home, boat: str | None, disk: Disk = DISK) -> tuple[list[ReadFile], list[Report]]:
    """Every journal file of one boat, or of no boat, as far as each can be read. Never raises for a file's
    fault."""
    files: list[ReadFile] = []
    reports: list[Report] = []
    folder = KIT if boat is None else boat
    try:
        paths = journal_files(home, boat, disk)
    except StorageError as error:
        return [], [Report(Fault.UNREADABLE, folder, 0, str(error))]
    if len(paths) > MAX_FILES:
        found = f"only the first {MAX_FILES} of {len(paths)} files were read"
        reports.append(Report(Fault.UNREADABLE, folder, 0, found))
    room = MAX_TOTAL
    for path in paths[:MAX_FILES]:
        name = label(boat, path.name)
        try:
            data = read_capped(path, min(MAX_FILE, room), disk)
        except StorageError as error:
            if error.kind is not StorageKind.MISSING:  # a sync tool took it away since the folder was read
                reports.append(Report(Fault.UNREADABLE, name, 0, str(error)))
            continue
        room -= len(data)
        files.append(read_journal(name, data))
    return files, reports


def load(home: Home, boat: str | None, disk: Disk = DISK) -> LoadedJournal:
    """The logbook of one boat with the events of no boat; with `boat` none, these alone.

    A fault of a file is a report, never an exception.
    """
    files, reports = read_folder(home, None, disk)
    if boat is not None:
        more, found = read_folder(home, boat, disk)
        files, reports = [*files, *more], [*reports, *found]
    loaded = load_files(files, boat)
    return replace(loaded, reports=(*reports, *loaded.reports))


def load_all(home: Home, disk: Disk = DISK) -> LoadedJournal:
    """The logbook of every boat in one order; its events name their boat."""
    files, reports = read_folder(home, None, disk)
    try:
        boats = logged_boats(home, disk)
    except StorageError as error:
        boats = []
        reports.append(Report(Fault.UNREADABLE, "logbook", 0, str(error)))
    for boat in boats:
        more, found = read_folder(home, boat, disk)
        reports.extend(found)
        files.extend(_of_boat(file, boat, reports) for file in more)
    loaded = load_files(files)
    return replace(loaded, reports=(*reports, *loaded.reports))
