"""A time as a person types it afterwards: ``19:00``, ``yesterday 19:00``, ``30 Apr 19:00``, each with its doubt."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from divelog.clock import MONTHS
from divelog.journal.events import Happened, parse_happened

WANTED = (
    "19:00, yesterday 19:00, 30 Apr 19:00 or 2032-04-30 19:00; +/- 30 min after it where you are not sure"
)
_SHORT = tuple(month[:3].casefold() for month in MONTHS)
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})", re.ASCII)
_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)
_DAY = re.compile(r"(\d{1,2})\s+([A-Za-z]{3,9})(?:\s+(\d{4}))?", re.ASCII)
_DOUBT = re.compile(r"(?:±|\+/-|\+-)\s*(\d{1,4})\s*(min|h)?", re.ASCII)
NOON_DOUBT = 12 * 3600.0
"""A day without a time of day may be half a day wrong either way."""


class WhenError(ValueError):
    """What was typed is no time; the message is a plain sentence."""


def parse_when(text: str, now: datetime) -> Happened:
    """The moment typed, with the offset of ``now``, and how many seconds it may be wrong either way.

    A time of day alone is today's, or yesterday's where today's has not come yet; a day alone is its noon, half a day
    wrong either way. Also takes what a log holds: RFC 3339, with ``± 3 min``.

    Raises:
        WhenError: it is no time, or it has not come yet.
    """
    words = text.strip()
    if len(words) > 80:
        raise WhenError(f"this is too long to be a time; write {WANTED}")
    try:
        found = parse_happened(words)
    except ValueError:
        found = _plain(words, now)
    if found.at > now:
        raise WhenError("that has not come yet; what happened is in the past")
    return found


def _plain(words: str, now: datetime) -> Happened:
    doubt = 0.0
    said = _DOUBT.search(words)
    if said is not None:
        doubt = float(said[1]) * (3600.0 if said[2] == "h" else 60.0)
        words = (words[: said.start()] + words[said.end() :]).strip()
    clock = _CLOCK.search(words)
    rest = (words[: clock.start()] + words[clock.end() :]).strip(" ,") if clock is not None else words
    try:
        day = _day(rest, now)
        if clock is None:
            if day is None:
                raise WhenError(f"write a time as {WANTED}")
            noon = day.replace(hour=12, minute=0, second=0, microsecond=0)
            return Happened(min(noon, now), max(doubt, NOON_DOUBT))
        at = (day or now).replace(hour=int(clock[1]), minute=int(clock[2]), second=0, microsecond=0)
    except WhenError:
        raise
    except ValueError:
        raise WhenError("there is no such date or time of day") from None
    if day is None and at > now:
        at -= timedelta(days=1)
    return Happened(at, doubt)


def _day(words: str, now: datetime) -> datetime | None:
    """The day named, or None where none is."""
    folded = words.casefold()
    if not folded:
        return None
    if folded == "today":
        return now
    if folded == "yesterday":
        return now - timedelta(days=1)
    full = _DATE.fullmatch(words)
    if full is not None:
        return now.replace(year=int(full[1]), month=int(full[2]), day=int(full[3]))
    named = _DAY.fullmatch(words)
    if named is not None and named[2][:3].casefold() in _SHORT:
        month = _SHORT.index(named[2][:3].casefold()) + 1
        if named[3]:
            return now.replace(year=int(named[3]), month=month, day=int(named[1]))
        this = now.replace(month=month, day=int(named[1]))
        return this if this.date() <= now.date() else this.replace(year=now.year - 1)
    raise WhenError(f"write a time as {WANTED}")
