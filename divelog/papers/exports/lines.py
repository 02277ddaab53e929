"""Events as JSON Lines: a journal that any program reads, and this one too."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from divelog.journal.chain import digest
from divelog.journal.events import FIRST, Event, encode
from divelog.papers.exports.rows import ascii_json


def event_lines(events: Iterable[Event]) -> Iterator[bytes]:
    """One line an event, linked to the line before, in ASCII, each with its line feed."""
    prev = FIRST
    for event in events:
        line = ascii_json(encode(msgspec.structs.replace(event, prev=prev))).encode()
        prev = digest(line)
        yield line + b"\n"
