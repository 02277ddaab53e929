"""Bytes of one journal file into events; nothing a file holds can stop the rest of it from being read.

The quick way decodes the whole file at once. It is left for the slow way, line by line, as soon as anything
is odd: a blank or bad line, a carriage return, a byte order mark, a line too long or nested too deep.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import compress, count
from operator import attrgetter

import msgspec
from msgspec import Raw

from divelog.clock import parse_stamp
from divelog.journal.events import YEARS, Event, parse_happened
from divelog.journal.kinds import VERSIONS
from divelog.journal.reports import Fault, Report

MAX_FILE = 128 << 20
"""Bytes of one journal file; the writer starts a new one long before."""

MAX_LINE = 1 << 20
"""Bytes of one line; the longest is a boat's whole profile."""

MAX_DEPTH = 64
"""Levels of nesting on one line."""

MAX_REPORTS = 50
"""Bad lines of one file that are told one by one."""

BOM = b"\xef\xbb\xbf"

_DECODER = msgspec.json.Decoder(Event)
_STRING = re.compile(rb'"[^"\\]*(?:\\.[^"\\]*)*"')
_MANY = re.compile(rb"[{\[]{%d}" % (MAX_DEPTH + 1))
_NOT_OPENERS = bytes(code for code in range(256) if code not in b"{[\n")
_NOT_BRACKETS = bytes(code for code in range(256) if code not in b"{}[]")
_WHAT, _V, _WHEN, _HAPPENED = map(attrgetter, ("what", "v", "when", "happened"))


class _Loose(msgspec.Struct):
    """A line whose `when` only our own reader of times understands."""

    id: str
    what: str
    when: str
    v: int = 1
    happened: str | None = None
    up: float | None = None
    boot: str | None = None
    boat: str | None = None
    by: str | None = None
    run: str | None = None
    data: Raw = Raw(b"{}")
    prev: str = ""


_LOOSE_DECODER = msgspec.json.Decoder(_Loose)


@dataclass(frozen=True, slots=True)
class ReadFile:
    """One journal file as read.

    `numbers[i]` is the line, from 1, of `events[i]`. `lines` counts whole lines, bad ones too. `tail` is what
    stands after the last newline: a line that was cut off.
    """

    name: str
    events: Sequence[Event]
    numbers: Sequence[int]
    lines: int
    tail: bytes
    reports: tuple[Report, ...] = ()
    body: bytes = field(default=b"", repr=False)

    def line(self, number: int) -> bytes:
        """The bytes of one whole line, from 1, without its end."""
        return bare_lines(self.body)[number - 1]


def bare(line: bytes) -> bytes:
    """A line without the carriage return that a sync tool may have put at its end."""
    return line[:-1] if line.endswith(b"\r") else line


def split_tail(data: bytes) -> tuple[bytes, bytes]:
    """Whole lines, and what stands after the last newline; a byte order mark in front is dropped."""
    if data.startswith(BOM):
        data = data[len(BOM) :]
    end = data.rfind(b"\n") + 1
    return (data, b"") if end == len(data) else (data[:end], data[end:])


def bare_lines(body: bytes) -> list[bytes]:
    """Whole lines without their ends."""
    lines = body.split(b"\n")
    lines.pop()
    return [bare(line) for line in lines]


def nested_too_deep(line: bytes) -> bool:
    """Whether a line is nested deeper than `MAX_DEPTH`, brackets in strings not counted."""
    brackets = _STRING.sub(b"", line).translate(None, _NOT_BRACKETS)
    for _ in range(MAX_DEPTH):  # each round takes the innermost level away
        if not brackets:
            return False
        brackets = brackets.replace(b"{}", b"").replace(b"[]", b"")
    return brackets != b""


def _lines_fit(body: bytes) -> bool:
    """Whether no line is longer than `MAX_LINE`, told by a few looks from newline to newline."""
    start = 0
    while start < len(body):
        end = body.rfind(b"\n", start, start + MAX_LINE + 1)
        if end < 0:
            return False
        start = end + 1
    return True


def _quick(body: bytes) -> list[Event] | None:
    """All events at once, or none if any line is odd."""
    if not body.startswith(b"{") or not _lines_fit(body):
        return None
    openers = body.translate(None, _NOT_OPENERS)
    if _MANY.search(openers):
        many = [len(each) > MAX_DEPTH for each in openers.split(b"\n")]
        if any(map(nested_too_deep, compress(body.split(b"\n"), many))):
            return None
    try:
        if not body.isascii():
            body.decode()
        events = _DECODER.decode_lines(body)
    except (ValueError, RecursionError):  # DecodeError and UnicodeDecodeError are ValueErrors
        return None
    if len(events) != openers.count(b"\n"):
        return None
    times = list(map(_WHEN, events))
    return events if min(times).year in YEARS and max(times).year in YEARS else None


def decode_line(line: bytes) -> Event:
    """One line without its end.

    Raises:
        ValueError: it is no event; the message says what is wrong.
    """
    if len(line) > MAX_LINE:
        raise ValueError(f"the line has {len(line)} bytes, more than {MAX_LINE}")
    if line.count(b"{") + line.count(b"[") > MAX_DEPTH and nested_too_deep(line):
        raise ValueError(f"the line is nested deeper than {MAX_DEPTH} levels")
    try:
        line.decode()
        try:
            event = _DECODER.decode(line)
        except msgspec.ValidationError as odd:
            event = _from_loose(line, odd)
    except RecursionError:
        raise ValueError("the line is nested too deep") from None
    except UnicodeDecodeError:
        raise ValueError("the line is not UTF-8") from None
    except msgspec.DecodeError as wrong:
        raise ValueError(f"the line is no event: {wrong}") from None
    if event.when.year not in YEARS:
        raise ValueError(f"the line's year is {event.when.year}, not {YEARS[0]} to {YEARS[-1]}")
    return event


def _from_loose(line: bytes, odd: msgspec.ValidationError) -> Event:
    """An event whose `when` is a time for RFC 3339, though not for the decoder (a leap second, say)."""
    loose = _LOOSE_DECODER.decode(line)
    try:
        when = parse_stamp(loose.when)
    except ValueError as wrong:
        raise ValueError(f"the line's time cannot be read: {wrong}") from None
    fields = {key: getattr(loose, key) for key in loose.__struct_fields__}
    try:
        return msgspec.convert(fields | {"when": when}, Event)
    except msgspec.ValidationError:
        raise odd from None


def _slow(name: str, body: bytes) -> tuple[list[Event], list[int], list[Report], int]:
    """Line by line. Returns events, their line numbers, reports, and the count of whole lines."""
    events: list[Event] = []
    numbers: list[int] = []
    bad: list[Report] = []
    lines = bare_lines(body)
    last = len(lines)
    while last and not lines[last - 1].strip():
        last -= 1
    more = 0
    for number, line in enumerate(lines, 1):
        if not line.strip():
            continue
        try:
            event = decode_line(line)
        except ValueError as wrong:
            if number == last:
                bad.append(Report(Fault.SET_ASIDE, name, number, f"the last line was set aside: {wrong}"))
            elif len(bad) < MAX_REPORTS:
                bad.append(Report(Fault.BAD_LINE, name, number, str(wrong)))
            else:
                more += 1
            continue
        events.append(event)
        numbers.append(number)
    if more:
        bad.append(Report(Fault.BAD_LINE, name, 0, f"{more} more lines cannot be read"))
    return events, numbers, bad, len(lines)


def read_journal(name: str, data: bytes) -> ReadFile:
    """Reads one file; `name` stands in the reports.

    A line cut off at the end is set aside; a bad line elsewhere is left out and reported; blank lines,
    carriage returns and a byte order mark are let pass.
    """
    if len(data) > MAX_FILE:
        found = f"the file has {len(data)} bytes, more than {MAX_FILE}; it was not read"
        return ReadFile(name, [], [], 0, b"", (Report(Fault.UNREADABLE, name, 0, found),))
    body, tail = split_tail(data)
    reports: list[Report] = []
    numbers: Sequence[int]
    quick = _quick(body) if body else []
    if quick is not None:
        events, numbers, lines = quick, range(1, len(quick) + 1), len(quick)
    else:
        events, numbers, reports, lines = _slow(name, body)
    if tail:
        found = f"the last line was cut off; {len(tail)} bytes were set aside"
        reports.append(Report(Fault.SET_ASIDE, name, lines + 1, found))
    reports.extend(_oddities(name, events, numbers))
    return ReadFile(name, events, numbers, lines, tail, tuple(reports), body)


def _oddities(name: str, events: Sequence[Event], numbers: Sequence[int]) -> list[Report]:
    """Reports on events that were read, yet not wholly understood."""
    found: list[Report] = []
    for index in compress(count(), map(_HAPPENED, events)):
        try:
            parse_happened(events[index].happened or "")
        except ValueError as wrong:
            sentence = f"the time it happened cannot be read, so the time of writing counts: {wrong}"
            found.append(Report(Fault.ODD_TIME, name, numbers[index], sentence))
            if len(found) == MAX_REPORTS:
                break
    kinds = set(map(_WHAT, events))
    oldest = min((VERSIONS.get(what, -1) for what in kinds), default=0)
    if max(map(_V, events), default=0) > oldest:
        newer = [index for index, event in enumerate(events) if not event.known]
        if newer:
            many = "event" if len(newer) == 1 else "events"
            sentence = f"{len(newer)} {many} from a newer version; kept, without effect"
            found.append(Report(Fault.NEWER, name, numbers[newer[0]], sentence))
    return found
