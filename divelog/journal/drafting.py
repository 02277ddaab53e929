"""What a person did, made into an event that can be written: checked, finite, not too deep, not too long."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, datetime

import msgspec
from msgspec import Raw

from divelog.clock import Ids, Moment, stamp
from divelog.journal.events import YEARS, Event, encode, parse_happened
from divelog.journal.kinds import VERSIONS
from divelog.journal.reading import MAX_DEPTH, MAX_LINE
from divelog.text import check_slug

ROOM_FOR_PREV = 128


def _text(value: str) -> str:
    """Text that UTF-8 can hold: lone surrogates are written out."""
    return value.encode("utf-8", "backslashreplace").decode()


def _plain(value: object, level: int) -> object:
    """A value that JSON can hold.

    Raises:
        ValueError: it cannot; the message says what is wrong.
    """
    if level > MAX_DEPTH - 2:
        raise ValueError(f"data nested deeper than {MAX_DEPTH - 2} levels cannot be written")
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int):
        if abs(value) >= 1 << 63:
            raise ValueError("a whole number this large cannot be written")
        return value
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError("a number that is not finite cannot be written; leave it unknown")
        return value
    if isinstance(value, datetime):
        return stamp(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {_text(str(key)): _plain(each, level + 1) for key, each in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [_plain(each, level + 1) for each in value]
    raise ValueError(f"a {type(value).__name__} cannot be written")


def encode_data(data: Mapping[str, object]) -> Raw:
    """The data of an event as JSON.

    Raises:
        ValueError: something in it cannot be written.
    """
    return Raw(msgspec.json.encode(_plain(data, 1)))


def draft(
    what: str,
    data: Mapping[str, object],
    now: Moment,
    ids: Ids,
    *,
    by: str,
    boat: str | None = None,
    run: str | None = None,
    happened: str | datetime | None = None,
) -> Event:
    """An event of the current version, not yet linked to the line before.

    Raises: ValueError: the kind is unknown, the boat's name, a time or the data cannot be written, or it is
    too long.
    """
    if what not in VERSIONS:
        raise ValueError(f"there is no kind of event called {_text(what)[:64]}")
    if now.wall.year not in YEARS:
        raise ValueError(f"the clock of this machine says the year {now.wall.year}")
    if boat is not None:
        check_slug(boat)
    if run is not None and not 1 <= len(run) <= 64:
        raise ValueError("a run is named by the identifier of its start")
    if isinstance(happened, datetime):
        happened = stamp(happened)
    elif happened is not None:
        parse_happened(happened)
    event = Event(
        id=ids.new(now.wall),
        what=what,
        when=now.wall,
        v=VERSIONS[what],
        happened=happened,
        up=round(now.up, 6),
        boot=now.boot,
        boat=boat,
        by=_text(by)[:80],
        run=run,
        data=encode_data(data),
    )
    size = len(encode(event))
    if size > MAX_LINE - ROOM_FOR_PREV:
        raise ValueError(f"this event has {size} bytes, more than {MAX_LINE - ROOM_FOR_PREV} can be written")
    return event
