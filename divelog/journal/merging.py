"""Files of several devices and copies made by syncing, brought together: one event an identifier, in one
order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from operator import attrgetter

from divelog.journal.events import Event
from divelog.journal.reading import ReadFile, bare_lines
from divelog.journal.reports import Fault, Report

_ID, _WHEN, _HAPPENED = attrgetter("id"), attrgetter("when"), attrgetter("happened")


def file_order(name: str) -> tuple[str, str]:
    """Files are read in order of file name, then of folder."""
    folder, _, file = name.rpartition("/")
    return file, folder


def in_order(events: Iterable[Event]) -> list[Event]:
    """Events by the time they happened, else were written, then by identifier."""
    placed = sorted(events, key=_ID)
    if any(map(_HAPPENED, placed)):
        placed.sort(key=lambda event: event.when if event.happened is None else event.at)
    else:
        placed.sort(key=_WHEN)
    return placed


def _same_but_chain(one: Event, other: Event) -> bool:
    """Whether two lines say the same, though they follow different lines."""
    fields = ("what", "when", "v", "happened", "up", "boot", "boat", "by", "run")
    return bytes(one.data) == bytes(other.data) and all(
        getattr(one, field) == getattr(other, field) for field in fields
    )


class _Lines:
    """Raw lines of the files, split only where two lines must be compared."""

    def __init__(self, files: Sequence[ReadFile]) -> None:
        self._files = files
        self._split: dict[int, list[bytes]] = {}

    def raw(self, file: int, index: int) -> bytes:
        """The bytes of the line of one event."""
        if file not in self._split:
            self._split[file] = bare_lines(self._files[file].body)
        return self._split[file][self._files[file].numbers[index] - 1]


def once_each(files: Iterable[ReadFile]) -> tuple[list[Event], list[Report]]:
    """Every event once, files taken in order of file name: the first copy counts.

    Copies are counted in one report a file; a copy whose bytes differ is reported by itself, as damage. Where
    only the link to the line before differs, it is the same event in another place: a copy.
    """
    ordered = sorted(files, key=lambda file: file_order(file.name))
    events: list[Event] = []
    reports: list[Report] = []
    seen: set[str] = set()
    first: dict[str, tuple[int, int]] = {}
    covered = 0
    lines = _Lines(ordered)
    for place, file in enumerate(ordered):
        ids = list(map(_ID, file.events))
        fresh = set(ids)
        if len(fresh) == len(ids) and seen.isdisjoint(fresh):
            events.extend(file.events)
            seen |= fresh
            continue
        for earlier in range(covered, place):  # only now is it needed to know where each was seen first
            for index, event in enumerate(ordered[earlier].events):
                first.setdefault(event.id, (earlier, index))
        covered = place
        copies: list[int] = []
        for index, event in enumerate(file.events):
            where = first.setdefault(event.id, (place, index))
            if where == (place, index):
                events.append(event)
                seen.add(event.id)
                continue
            original = ordered[where[0]].events[where[1]]
            if lines.raw(*where) == lines.raw(place, index) or _same_but_chain(original, event):
                copies.append(file.numbers[index])
            else:
                at = f"{ordered[where[0]].name}, line {ordered[where[0]].numbers[where[1]]}"
                found = f"the event {event.id} says something else than in {at}; the first counts"
                reports.append(Report(Fault.DAMAGE, file.name, file.numbers[index], found))
        if copies:
            what = "1 event is" if len(copies) == 1 else f"{len(copies)} events are"
            reports.append(Report(Fault.COPY, file.name, copies[0], f"{what} here a second time"))
    return events, reports
