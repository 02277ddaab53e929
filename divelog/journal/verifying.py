"""Whether the journals are whole: every line readable, each following the one before, no file shorter than
once seen.

This shows accidents, not forgery.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field

from divelog.files import DISK, Disk, StorageError
from divelog.home import KIT, Home
from divelog.journal.chain import OPENED, Head, digest, heads_of
from divelog.journal.events import FIRST
from divelog.journal.loading import read_folder
from divelog.journal.merging import file_order, once_each
from divelog.journal.naming import logged_boats
from divelog.journal.reading import ReadFile, bare_lines
from divelog.journal.reports import Fault, Report

SCHEMA = "divelog.verify/1"


@dataclass(frozen=True, slots=True)
class MissingHead:
    """An end that another file saw and that is not in this one any more."""

    head: Head
    said_by: str


@dataclass(frozen=True, slots=True)
class FileVerdict:
    """What was found of one journal file.

    `events` read; `first_bad_line` from 1 that cannot be read or does not follow the one before; `set_aside`
    lines cut off at the end; `heads_missing` ends that other files saw here and that are gone; `reports` in
    words.
    """

    file: str
    events: int
    whole: bool
    first_bad_line: int | None
    set_aside: int
    heads_missing: tuple[MissingHead, ...] = ()
    reports: tuple[Report, ...] = field(default=())

    def as_data(self) -> dict[str, object]:
        """One object of `divelog.verify/1`."""
        return {
            "file": self.file,
            "events": self.events,
            "whole": self.whole,
            "first_bad_line": self.first_bad_line,
            "set_aside": self.set_aside,
            "heads_missing": [each.head.as_data() | {"said_by": each.said_by} for each in self.heads_missing],
        }


def check_chain(file: ReadFile) -> list[Report]:
    """Lines that do not follow the one before: the first of a file follows `none`."""
    lines = bare_lines(file.body)
    reports: list[Report] = []
    for event, number in zip(file.events, file.numbers, strict=True):
        before = number - 2
        while before >= 0 and not lines[before].strip():
            before -= 1
        if event.prev == (FIRST if before < 0 else digest(lines[before])):
            continue
        if not event.prev:
            found = "this line does not say which line it follows"
        elif event.prev == FIRST:
            found = "this line was the first of a file; lines before it come from elsewhere"
        else:
            found = "this line does not follow the one before: a line was changed, lost, moved or copied here"
        reports.append(Report(Fault.CHAIN, file.name, number, found))
    return reports


def missing_heads(files: Sequence[ReadFile], folders: Collection[str] | None) -> dict[str, list[MissingHead]]:
    """Ends that a `log.opened` saw and that are not there, by file; only of `folders`, if given.

    A file that is gone altogether is not missed if its last event stands in another one: it was renamed, or
    was a copy that somebody tidied away.
    """
    by_name = {file.name: file for file in files}
    digests: dict[str, list[str]] = {}
    missing: dict[str, dict[Head, str]] = defaultdict(dict)
    elsewhere: set[str] = set()
    for file in files:
        for event in file.events:
            if event.what != OPENED:
                continue
            for head in heads_of(event):
                if folders is not None and head.file.rpartition("/")[0] not in folders:
                    continue
                there = by_name.get(head.file)
                if there is None:
                    if head.last not in (elsewhere := elsewhere or _ids(files)):
                        missing[head.file].setdefault(head, file.name)
                    continue
                if head.count == 0:
                    continue
                if head.file not in digests:
                    digests[head.file] = [digest(line) for line in bare_lines(there.body)]
                found = digests[head.file]
                if not 0 < head.count <= len(found) or found[head.count - 1] != head.digest:
                    missing[head.file].setdefault(head, file.name)
    return {name: [MissingHead(head, by) for head, by in heads.items()] for name, heads in missing.items()}


def _ids(files: Sequence[ReadFile]) -> set[str]:
    return {event.id for file in files for event in file.events}


def verify_files(
    files: Iterable[ReadFile],
    unread: Iterable[Report] = (),
    folders: Collection[str] | None = None,
) -> list[FileVerdict]:
    """One verdict a file, in order of name; a file that others saw and that is gone gets one too.

    `unread` are reports of files that could not be read. With `folders`, ends seen in other folders are left
    alone.
    """
    ordered = sorted(files, key=lambda file: file_order(file.name))
    reports: dict[str, list[Report]] = {file.name: list(file.reports) for file in ordered}
    for report in (*unread, *once_each(ordered)[1]):
        reports.setdefault(report.file, []).append(report)
    events = {file.name: len(file.events) for file in ordered}
    for file in ordered:
        reports[file.name].extend(check_chain(file))
    missing = missing_heads(ordered, folders)
    names = sorted({*reports, *missing}, key=file_order)
    return [
        _verdict(name, events.get(name, 0), reports.get(name, []), missing.get(name, [])) for name in names
    ]


def _verdict(
    name: str, events: int, reports: Sequence[Report], missing: Sequence[MissingHead]
) -> FileVerdict:
    bad = [
        each.line
        for each in reports
        if each.fault in (Fault.BAD_LINE, Fault.CHAIN, Fault.DAMAGE) and each.line > 0
    ]
    set_aside = sum(each.fault is Fault.SET_ASIDE for each in reports)
    unread = any(each.fault is Fault.UNREADABLE for each in reports)
    whole = not bad and not set_aside and not unread and not missing
    gone = [
        Report(
            Fault.CHAIN,
            name,
            0,
            f"{each.said_by} saw {each.head.count} lines here, the last one {each.head.last}; "
            "that line is not here now",
        )
        for each in missing
    ]
    first = min(bad, default=None)
    return FileVerdict(name, events, whole, first, set_aside, tuple(missing), (*reports, *gone))


def verify(home: Home, boat: str | None = None, disk: Disk = DISK) -> list[FileVerdict]:
    """Verdicts on the journals of one boat and of no boat, or with `boat` none on all. Never raises for a
    fault."""
    files, unread = read_folder(home, None, disk)
    folders: set[str] | None = None
    if boat is not None:
        boats = [boat]
        folders = {KIT, boat}
    else:
        try:
            boats = logged_boats(home, disk)
        except StorageError as error:
            boats = []
            unread.append(Report(Fault.UNREADABLE, "logbook", 0, str(error)))
    for each in boats:
        more, found = read_folder(home, each, disk)
        files.extend(more)
        unread.extend(found)
    return verify_files(files, unread, folders)
