"""Appending to the logbook: an event is returned only once the disk has it.

One writer a file: `logbook/<boat>/<device>.jsonl`, events of no boat in `logbook/_kit`. A second window on
the same device takes `<device>-2`, told by a lock of the kernel's that goes with the process. A file that the
disk would not confirm is never written again: the pending event goes into a new one, `<device>.2.jsonl`, and
the person is told.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from datetime import datetime, timedelta
from pathlib import Path
from types import TracebackType

import msgspec

from divelog import __version__
from divelog.clock import Clock, Ids, Moment, SystemClock, jump, moment, stamp
from divelog.files import (
    DISK,
    Disk,
    StorageError,
    StorageKind,
    close_quietly,
    list_folder,
    make_folder,
    read_capped,
    remove_quietly,
    storage_error,
)
from divelog.home import Home
from divelog.journal import segment as segments
from divelog.journal.chain import OPENED, Head, as_data, end_of
from divelog.journal.drafting import draft
from divelog.journal.events import Event
from divelog.journal.naming import (
    SUFFIX,
    Window,
    aside_name,
    file_name,
    journal_files,
    label,
    logged_boats,
    numbers,
    take_window,
)
from divelog.journal.reading import MAX_FILE
from divelog.journal.segment import Segment, SyncError
from divelog.text import check_slug

ROLL = 32 << 20
"""Bytes after which the next event begins a new file."""

MAX_HEADS = 1000


class NotSavedError(StorageError):
    """An event is *not* on the disk. `event` may be kept in memory and given to `Journal.again`."""

    def __init__(self, cause: StorageError, event: Event) -> None:
        super().__init__(cause.kind, cause.path, "This was not saved.")
        self.event = event


class Journal:
    """The logbook of one home, written by one device. Nothing is made on the disk before the first event.

    Methods may be called from any thread; they wait for each other.
    """

    def __init__(
        self,
        home: Home,
        device: str = "laptop",
        *,
        clock: Clock | None = None,
        ids: Ids | None = None,
        disk: Disk = DISK,
        by: str = "operator",
    ) -> None:
        """`device` is a slug, unique among the devices that share this logbook.

        Raises:
            BadNameError: `device` is no slug.
        """
        self.home = home
        self.device = check_slug(device)
        self._clock: Clock = SystemClock() if clock is None else clock
        self._ids = Ids() if ids is None else ids
        self._disk = disk
        self._by = by
        self._window: Window | None = None
        self._segments: dict[str | None, Segment] = {}
        self._now = moment(self._clock)
        self._last: Moment | None = None
        self._notices: list[str] = []
        self._guard = threading.RLock()

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def append(
        self,
        what: str,
        data: Mapping[str, object] | None = None,
        *,
        boat: str | None = None,
        run: str | None = None,
        happened: str | datetime | None = None,
        by: str | None = None,
    ) -> Event:
        """Writes one event and returns it once the disk has it.

        A `clock.jumped` goes before it if the wall clock was set since the last event of this start.

        Raises:
            NotSavedError: it is not saved; what was saved before still is.
            ValueError: the kind is unknown, or the data, a name or a time cannot be written.
        """
        with self._guard:
            now = moment(self._clock)
            event = draft(
                what,
                {} if data is None else data,
                now,
                self._ids,
                by=self._by if by is None else by,
                boat=boat,
                run=run,
                happened=happened,
            )
            return self._keep(event, now, fresh=True)

    def again(self, event: Event) -> Event:
        """Tries once more to write the event of a `NotSavedError`; it keeps its identifier and time.

        Raises:
            NotSavedError: it is still not saved.
        """
        with self._guard:
            return self._keep(event, moment(self._clock), fresh=False)

    def take_notices(self) -> list[str]:
        """Sentences the person must read, each once."""
        with self._guard:
            notices, self._notices = self._notices, []
            return notices

    def close(self) -> None:
        """Closes the files and frees the lock. Every event returned is on the disk already."""
        with self._guard:
            for segment in self._segments.values():
                close_quietly(segment.fd, self._disk)
            self._segments.clear()
            if self._window is not None:
                close_quietly(self._window.fd, self._disk)
                self._window = None

    def _keep(self, event: Event, now: Moment, fresh: bool) -> Event:
        self._now = now
        try:
            self._ready(event.boat)
            self._tell_jump(now)
            if fresh:  # so that identifiers grow in the order of the lines
                event = msgspec.structs.replace(event, id=self._ids.new(now.wall))
            kept = self._put(event)
        except StorageError as error:
            raise NotSavedError(error, event) from error
        self._last = now
        return kept

    def _tell_jump(self, now: Moment) -> None:
        moved = None if self._last is None else jump(self._last, now)
        if moved is not None:
            data = {"before": stamp(now.wall - timedelta(seconds=moved)), "after": stamp(now.wall)}
            self._put(draft("clock.jumped", data, now, self._ids, by=self._by))
            self._last = now

    def _put(self, event: Event) -> Event:
        """Appends to the boat's file; if the disk will not confirm it, to a new one."""
        segment = self._ready(event.boat)
        try:
            return segments.append(segment, [event], self._disk)[0]
        except SyncError:
            return self._leave(event.boat, segment, event)

    def _leave(self, boat: str | None, segment: Segment, *pending: Event) -> Event:
        """Goes on in a new file after the disk would not confirm this one; returns the last line written."""
        begin = {"file": segment.name, "bytes": segment.end, "why": "the disk did not confirm a line"}
        kept = self._next(boat, begin, *pending)
        self._notices.append(
            f"The disk would not confirm {segment.name} after {segment.count} lines. Nothing more is written "
            f"there; new events go into {self._segments[boat].name}. Copy the logbook to another disk soon."
        )
        return kept

    def _ready(self, boat: str | None) -> Segment:
        """The file for this boat's next event."""
        segment = self._segments.get(boat)
        if segment is None:
            return self._open(boat)
        if not segment.sound:
            why = "the disk failed there"
        elif not segments.intact(segment, self._disk):
            why = "another program changed it"
            self._notices.append(
                f"Another program changed {segment.name} while it was in use. New events go into a new file "
                "beside it; look whether a sync tool keeps older copies."
            )
            segment.sound = False
        elif segment.end > ROLL:
            why = "it is long enough"
        else:
            return segment
        self._next(boat, {"file": segment.name, "bytes": segment.end, "why": why})
        return self._segments[boat]

    def _open(self, boat: str | None) -> Segment:
        """The newest file of ours for this boat, or a first one; its session begins with a `log.opened`."""
        name = self._name()
        folder = self.home.journal_folder(boat)
        list_folder(folder, self._disk, within=self.home.root)  # refuses links on the way
        make_folder(folder, self._disk)
        segment: Segment | None = None
        there = numbers(folder, name, self._disk)
        for number in there:
            segment = self._reopen(boat, folder, file_name(name, number), newest=number == there[-1])
        if segment is not None and segment.end > ROLL:
            close_quietly(segment.fd, self._disk)
            segment = None
        if segment is None:
            self._next(boat, None)
            return self._segments[boat]
        try:
            self._sync_folders(folder)
            segments.append(segment, [self._opened(boat, segment.name, None)], self._disk)
        except SyncError:
            close_quietly(segment.fd, self._disk)
            self._leave(boat, segment)
        except StorageError:
            close_quietly(segment.fd, self._disk)
            raise
        else:
            self._segments[boat] = segment
        return self._segments[boat]

    def _reopen(self, boat: str | None, folder: Path, file: str, newest: bool) -> Segment | None:
        """One of our files, its cut-off line set aside; none if nothing more may be written to it."""
        name = label(boat, file)
        try:
            segment, end = segments.reopen(folder / file, name, self._disk)
        except StorageError as error:
            if error.kind not in (StorageKind.NOT_REGULAR, StorageKind.TOO_LARGE, StorageKind.LOCKED):
                raise
            self._notices.append(f"{error} New events go into a new file beside it.")
            return None
        if end.event is not None and end.event.up is not None and end.event.boot is not None:
            seen = Moment(end.event.when, end.event.up, end.event.boot)
            if seen.boot == self._clock.boot and (self._last is None or seen.up > self._last.up):
                self._last = seen
        try:
            if end.tail:
                target = aside_name(folder, file, self._disk)
                segments.set_aside(segment, end.tail, target, self._disk)
                self._notices.append(
                    f"The last line of {name} was cut off. Its {len(end.tail)} bytes are kept in {target.name}."
                )
        except StorageError:
            close_quietly(segment.fd, self._disk)
            if newest and segment.sound:
                raise
            return None
        if not newest:
            close_quietly(segment.fd, self._disk)
        return segment

    def _next(self, boat: str | None, after: Mapping[str, object] | None, *pending: Event) -> Event:
        """Begins a new file with a `log.opened` and what is pending, in one write; returns the last line.

        Raises:
            StorageError: it could not be made; nothing of it counts as saved.
        """
        name = self._name()
        folder = self.home.journal_folder(boat)
        make_folder(folder, self._disk)
        there = numbers(folder, name, self._disk)
        file = file_name(name, there[-1] + 1 if there else 1)
        try:
            segment = segments.create(folder / file, label(boat, file), self._disk)
        except FileExistsError as error:
            raise storage_error(error, folder / file) from error
        try:
            self._sync_folders(folder.parent)
            opened = self._opened(boat, segment.name, after)
            kept = segments.append(segment, [opened, *pending], self._disk)
        except StorageError:
            close_quietly(segment.fd, self._disk)
            remove_quietly(segment.path, self._disk)
            raise
        old = self._segments.get(boat)
        if old is not None:
            close_quietly(old.fd, self._disk)
        self._segments[boat] = segment
        return kept[-1]

    def _sync_folders(self, folder: Path) -> None:
        """Makes the names on the way to a file last: an earlier session may have ended before it did."""
        above = self.home.root.parent
        for place in (folder, *folder.parents):
            try:
                self._disk.fsync_folder(place)
            except OSError as error:
                failure = storage_error(error, place)
                if place != above or failure.kind is not StorageKind.DENIED:  # it may be nobody's to open
                    raise failure from error
            if place == above:
                return

    def _opened(self, boat: str | None, file: str, after: Mapping[str, object] | None) -> Event:
        """The first line of a session in a file: program, device, and the ends of the other files."""
        data: dict[str, object] = {
            "program": __version__,
            "device": self.device,
            "heads": as_data(head for head in self._heads(boat) if head.file != file),
        }
        if after is not None:
            data["after"] = after
        return draft(OPENED, data, self._now, self._ids, by=self._by, boat=boat)

    def _heads(self, boat: str | None) -> list[Head]:
        """Ends of the files of this boat and of no boat; in a file of no boat, of every boat."""
        boats = [None, boat] if boat is not None else [None, *logged_boats(self.home, self._disk)]
        heads: list[Head] = []
        for each in boats:
            for path in journal_files(self.home, each, self._disk):
                if len(heads) == MAX_HEADS:
                    return heads
                try:
                    data = read_capped(path, MAX_FILE, self._disk)
                except StorageError:
                    continue  # what cannot be read has no end to name; reading the logbook reports it
                heads.append(end_of(label(each, path.name), data).head)
        return heads

    def _name(self) -> str:
        if self._window is None:
            self._window = take_window(self.home, self.device, self._disk)
            if self._window.number > 1:
                self._notices.append(
                    "Another window of this device writes the logbook, so this one writes to "
                    f"{self._window.name}{SUFFIX}."
                )
        return self._window.name
