"""One event of a journal: the envelope as it stands on a line, and the times it carries."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated, Any

import msgspec
from msgspec import Meta, Raw

from divelog.clock import parse_stamp, stamp
from divelog.journal.kinds import VERSIONS

EMPTY = Raw(b"{}")
FIRST = "none"
"""`prev` of the first line of a file."""

YEARS = range(1900, 9000)
"""Years that a time in a journal may have, so that adding its doubt never leaves the calendar."""

_HALF_WIDTH = re.compile(r"\s*(?:±|\+/-)\s*(\d{1,6}(?:\.\d{1,6})?)\s*(min|h)\s*", re.ASCII)
_SECONDS = {"min": 60.0, "h": 3600.0}


class Event(msgspec.Struct, frozen=True, gc=False):
    """One line of a journal.

    `data` stays as it stands in the file until `payload` is asked for: opening a long logbook then costs a
    tenth of decoding it. `prev` is empty where a line has none.
    """

    id: Annotated[str, Meta(min_length=1, max_length=64)]
    what: Annotated[str, Meta(min_length=1, max_length=64)]
    when: Annotated[datetime, Meta(tz=True)]
    v: Annotated[int, Meta(ge=0)] = 1
    happened: str | None = None
    up: float | None = None
    boot: str | None = None
    boat: str | None = None
    by: str | None = None
    run: str | None = None
    data: Raw = EMPTY
    prev: str = ""

    @property
    def at(self) -> datetime:
        """When it took place, in UTC: `happened` if it can be read, else `when`."""
        if self.happened is not None:
            try:
                return parse_happened(self.happened).at.astimezone(UTC)
            except ValueError:
                pass
        return self.when.astimezone(UTC)

    @property
    def seconds(self) -> float:
        """`at` as UTC seconds since 1970."""
        return self.when.timestamp() if self.happened is None else self.at.timestamp()

    @property
    def local(self) -> datetime:
        """When it took place, with the offset it was written with; its date is *the day*."""
        if self.happened is not None:
            try:
                return parse_happened(self.happened).at
            except ValueError:
                pass
        return self.when

    @property
    def half_width(self) -> float:
        """Seconds by which `at` may be wrong either way; 0 where nothing was said."""
        if self.happened is None:
            return 0.0
        try:
            return parse_happened(self.happened).half_width
        except ValueError:
            return 0.0

    @property
    def known(self) -> bool:
        """Whether this program knows the kind in this version; if not, it comes from a newer one."""
        return self.v <= VERSIONS.get(self.what, -1)

    def payload(self) -> dict[str, Any]:
        """The data, decoded anew at each call; empty if it is not an object.

        A number beyond a float's range comes as infinity or as a long integer; `payload.quantity` refuses both.
        """
        try:
            data = msgspec.json.decode(self.data)
        except (ValueError, RecursionError):
            data = _loosely(bytes(self.data))
        return data if isinstance(data, dict) else {}

    def with_data(self, data: Raw, happened: str | None) -> Event:
        """The same event with a correction's data, and its `happened` if the correction gives one."""
        return msgspec.structs.replace(
            self, data=data, happened=happened if happened is not None else self.happened
        )


class ReadEvent(Event, frozen=True, gc=False):
    """An event whose data are decoded already, for folds that look at them many times; nobody may change them."""

    read: dict[str, Any] = msgspec.field(default_factory=dict)

    @classmethod
    def of(cls, event: Event) -> Event:
        """The same event, its data decoded once."""
        if isinstance(event, cls):
            return event
        return cls(
            event.id, event.what, event.when, event.v, event.happened, event.up, event.boot, event.boat, event.by,
            event.run, event.data, event.prev, event.payload(),
        )  # fmt: skip

    def payload(self) -> dict[str, Any]:
        """The data as they were decoded."""
        return self.read


def _loosely(data: bytes) -> object:
    """Data that the strict decoder refuses for one number too large; none if nothing can read it."""
    import json  # deferred: almost never needed

    try:
        return json.loads(data, parse_int=lambda digits: int(digits) if len(digits) < 20 else float(digits))
    except (ValueError, RecursionError):
        return None


@dataclass(frozen=True, slots=True)
class Happened:
    """A time typed afterwards, and how many seconds it may be wrong either way."""

    at: datetime
    half_width: float = 0.0


def parse_happened(text: str) -> Happened:
    """Reads `2032-04-30T19:00:00+01:00`, or the same with ` ± 3 min` or ` ± 2 h` after it.

    Raises:
        ValueError: it is neither; the message is a plain sentence.
    """
    if len(text) > 100:
        raise ValueError("this time is too long to be one")
    for sign in ("±", "+/-"):
        head, found, _ = text.partition(sign)
        if found:
            width = _HALF_WIDTH.fullmatch(text[len(head) :])
            if width is None:
                raise ValueError("write how sure the time is as ± 3 min or ± 2 h")
            return Happened(_in_years(parse_stamp(head.strip())), float(width[1]) * _SECONDS[width[2]])
    return Happened(_in_years(parse_stamp(text.strip())))


def _in_years(at: datetime) -> datetime:
    if at.year not in YEARS:
        raise ValueError(f"a year from {YEARS[0]} to {YEARS[-1]} is wanted")
    return at


def format_happened(at: datetime, half_width: float = 0.0) -> str:
    """Writes a `happened`, with whole minutes of doubt if there is any."""
    if half_width <= 0.0:
        return stamp(at)
    return f"{stamp(at)} ± {max(1, round(half_width / 60.0))} min"


def encode(event: Event) -> bytes:
    """The event as one line without its newline; what is missing is left out."""
    line: dict[str, Any] = {"id": event.id, "what": event.what, "v": event.v, "when": stamp(event.when)}
    for key in ("happened", "up", "boot", "boat", "by", "run"):
        value = getattr(event, key)
        if value is not None:
            line[key] = value
    line["data"] = event.data
    if event.prev:
        line["prev"] = event.prev
    return msgspec.json.encode(line)
