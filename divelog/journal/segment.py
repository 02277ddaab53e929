"""One journal file open for writing: one write an event, its count checked, synced, only then kept."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import msgspec

from divelog.files import (
    Disk,
    How,
    StorageError,
    StorageKind,
    close_quietly,
    read_capped,
    storage_error,
    write_atomic,
)
from divelog.journal.chain import End, digest, end_of
from divelog.journal.events import FIRST, Event, encode
from divelog.journal.reading import MAX_FILE


class SyncError(StorageError):
    """The disk could not say that it has what was written. It is never asked a second time."""


@dataclass(slots=True)
class Segment:
    """An open journal file. `end` is where the last kept line ends; `prev` goes into the next line.

    `sound` is false once nothing more may be written to it; `fresh` is true until its name is certain to
    last.
    """

    path: Path
    name: str
    fd: int
    identity: tuple[int, int]
    end: int = 0
    count: int = 0
    last: str | None = None
    prev: str = FIRST
    sound: bool = True
    fresh: bool = False


def create(path: Path, name: str, disk: Disk) -> Segment:
    """A new, empty journal file.

    Raises:
        FileExistsError: there is one already.
        StorageError: it could not be made.
    """
    try:
        fd = disk.open(path, How.CREATE)
    except FileExistsError:
        raise
    except OSError as error:
        raise storage_error(error, path) from error
    try:
        found = disk.status(fd)
    except OSError as error:
        close_quietly(fd, disk)
        raise storage_error(error, path) from error
    return Segment(path, name, fd, found.identity, fresh=True)


def reopen(path: Path, name: str, disk: Disk) -> tuple[Segment, End]:
    """A journal file that is there, ready to be written on at the end of its whole lines.

    Raises:
        StorageError: it could not be read or opened, or somebody changes it right now.
    """
    end = end_of(name, read_capped(path, MAX_FILE, disk))
    try:
        fd = disk.open(path, How.APPEND)
    except OSError as error:
        raise storage_error(error, path) from error
    try:
        found = disk.status(fd)
    except OSError as error:
        close_quietly(fd, disk)
        raise storage_error(error, path) from error
    if found.size != end.size + len(end.tail):
        close_quietly(fd, disk)
        raise StorageError(StorageKind.LOCKED, path)
    head = end.head
    return Segment(path, name, fd, found.identity, end.size, head.count, head.last, head.digest), end


def set_aside(segment: Segment, tail: bytes, target: Path, disk: Disk) -> None:
    """Keeps a line that was cut off in a file of its own, then cuts it from the journal.

    Raises:
        StorageError: it could not be kept (then the journal is as it was), or not be cut.
    """
    write_atomic(target, tail, disk)
    try:
        disk.truncate(segment.fd, segment.end)
        disk.fsync(segment.fd)
    except OSError as error:
        segment.sound = False
        raise storage_error(error, segment.path) from error


def intact(segment: Segment, disk: Disk) -> bool:
    """Whether the file is still the one we opened and as long as we left it.

    A sync tool may have put another in its place; what we wrote then would be seen by nobody.
    """
    try:
        there, ours = disk.look(segment.path), disk.status(segment.fd)
    except OSError:
        return False
    return (
        there is not None and there.identity == ours.identity == segment.identity and ours.size == segment.end
    )


def append(segment: Segment, events: Sequence[Event], disk: Disk) -> list[Event]:
    """Writes the events in one write and syncs; returns them linked to the lines before, kept for certain.

    Raises:
        SyncError: written, but the disk could not say that it lasts. The file takes nothing more.
        StorageError: not written; what went in of it was cut off again, or the file takes nothing more.
    """
    linked: list[Event] = []
    lines: list[bytes] = []
    prev = segment.prev
    for event in events:
        event = msgspec.structs.replace(event, prev=prev)
        line = encode(event)
        prev = digest(line)
        linked.append(event)
        lines.append(line + b"\n")
    data = b"".join(lines)
    try:
        written = disk.write(segment.fd, data)
    except OSError as error:
        failure = storage_error(error, segment.path)
        _cut_back(segment, disk)
        if failure.kind is not StorageKind.FULL:
            segment.sound = False  # the next event goes to a new file, perhaps away from a bad spot
        raise failure from error
    if written != len(data):
        _cut_back(segment, disk)
        raise StorageError(StorageKind.FULL, segment.path)
    try:
        disk.fsync(segment.fd)
        if segment.fresh:
            disk.fsync_folder(segment.path.parent)
            segment.fresh = False
    except OSError as error:
        segment.sound = False
        # So that the pending event is not seen twice, here and in the new file; nobody relies on this cut.
        with contextlib.suppress(OSError):
            disk.truncate(segment.fd, segment.end)
        raise SyncError(storage_error(error, segment.path).kind, segment.path) from error
    segment.end += len(data)
    segment.count += len(linked)
    segment.last, segment.prev = linked[-1].id, prev
    return linked


def _cut_back(segment: Segment, disk: Disk) -> None:
    """Takes away what went in of a line that did not go in whole; if that fails, the torn line stays."""
    try:
        disk.truncate(segment.fd, segment.end)
        disk.fsync(segment.fd)
    except OSError:
        segment.sound = False
