"""Looking through the log: by words, by day, month or year, and runs by their site and by what went wrong. Pure.

A line is put into words once, when it is first looked at; a day that is asked for is compared before that.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from divelog.app.frames import date_words
from divelog.app.logbook import title_of
from divelog.app.sentences import Around, said
from divelog.clock import MONTHS
from divelog.history.days import day_at, days
from divelog.history.grouping import by_kind
from divelog.journal.events import Event
from divelog.journal.payload import text

A_LOOK = 3000
"""Lines looked through at once; the rest of the log is looked through a piece at every tick."""

_ISO = re.compile(r"(\d{4})-(\d{2})(?:-(\d{2}))?")
_DAY = re.compile(r"0?([1-9]|[12]\d|3[01])\.?")
_YEAR = re.compile(r"\d{4}")


@dataclass(frozen=True, slots=True)
class Query:
    """What is looked for: words, all of them; and a day, a month or a year, as far as one was typed."""

    words: tuple[str, ...] = ()
    year: int | None = None
    month: int | None = None
    day: int | None = None

    def on(self, moment: datetime) -> bool:
        """Whether a moment falls on what was typed of a date."""
        return (
            self.year in (None, moment.year)
            and self.month in (None, moment.month)
            and self.day in (None, moment.day)
        )


def query_of(typed: str) -> Query:
    """``2032-04``, ``2032-05-04``, ``April``, ``4 May``, ``4 May 2032`` are dates; everything else is words.

    The first date counts; a second one is looked for as words. A month alone may be shortened to its first three letters.
    """
    tokens = typed.casefold().split()
    for n, token in enumerate(tokens):
        iso = _ISO.fullmatch(token)
        if iso is not None:
            day = int(iso[3]) if iso[3] else None
            return Query((*tokens[:n], *tokens[n + 1 :]), int(iso[1]), int(iso[2]), day)
        month = _month(token)
        if month is None:
            continue
        before = _DAY.fullmatch(tokens[n - 1]) if n else None
        first, last = n - 1 if before else n, n + 1
        year = int(tokens[last]) if last < len(tokens) and _YEAR.fullmatch(tokens[last]) else None
        last += year is not None
        return Query((*tokens[:first], *tokens[last:]), year, month, int(before[1]) if before else None)
    return Query(tuple(tokens))


def _month(token: str) -> int | None:
    names = [month.casefold() for month in MONTHS]
    if len(token) < 3:
        return None
    return next((n for n, name in enumerate(names, 1) if token in (name, name[:3])), None)


def words_of_runs(events: Iterable[Event], sites: Mapping[str, str]) -> dict[str, str]:
    """By the run's identifier: the name of its site, and the steps and causes of what went wrong in it.

    ``events`` in order of time, once each. Only days and incidents are decoded.
    """
    kept = [
        e for e in events if e.what in ("day.opened", "day.closed", "run.started", "incident") and e.known
    ]
    opened = days(by_kind(kept))
    found: defaultdict[str, list[str]] = defaultdict(list)
    for event in kept:
        if event.what == "run.started":
            day = day_at(opened, event.at)
            if day is not None and day.site:
                found[event.id] += [sites.get(day.site, ""), day.site.replace("-", " ")]
        elif event.what == "incident" and event.run is not None:
            data = event.payload()
            found[event.run] += [text(data.get(key)) or "" for key in ("step", "cause")]
    return {run: " ".join(words) for run, words in found.items()}


@dataclass(slots=True)
class Hay:
    """The lines of a list in the words they are found by; each is put into words when it is first asked for."""

    lines: tuple[Event, ...]
    around: Around
    runs: Callable[[], Mapping[str, str]]
    """Words of runs; called at the first search."""
    name: Callable[[Event], str]
    _runs: Mapping[str, str] | None = None
    _words: dict[int, str] = field(default_factory=dict)

    def matches(self, place: int, query: Query) -> bool:
        """Whether a line falls on the date and says every word."""
        event = self.lines[place]
        if not query.on(event.local):
            return False
        if not query.words:
            return True
        found = self._words.get(place)
        if found is None:
            found = self._words[place] = self._say(event)
        return all(word in found for word in query.words)

    def _say(self, event: Event) -> str:
        if self._runs is None:
            self._runs = self.runs()
        one, day = said(event, self.around), event.local
        own = self._runs.get(event.id, "")
        when = f"{date_words(day, True)} {day:%Y-%m-%d}"
        return f"{title_of(event)} {one.words} {one.figure} {self.name(event)} {own} {when}".casefold()


@dataclass(slots=True)
class Found:
    """Lines of the list as far as they are known: all of them, or those that match, found as they are needed."""

    hay: Hay
    query: str
    only_runs: bool = False
    wanted: Query = field(default_factory=Query)
    hits: list[int] = field(default_factory=list)
    looked: int = 0

    @property
    def lines(self) -> tuple[Event, ...]:
        """Every line there is, found or not."""
        return self.hay.lines

    @property
    def around(self) -> Around:
        """What a line may be said with."""
        return self.hay.around

    @property
    def all(self) -> bool:
        """True where nothing is left out."""
        return not self.query and not self.only_runs

    def look(self, wanted: int, *, whole: bool = False) -> None:
        """Look on for matches until more than `wanted` are known, or one look is used up; `whole` uses it up."""
        until = min(len(self.lines), self.looked + A_LOOK)
        while not self.done and self.looked < until and (whole or len(self.hits) <= wanted):
            a_run = not self.only_runs or self.lines[self.looked].what == "run.started"
            if a_run and self.hay.matches(self.looked, self.wanted):
                self.hits.append(self.looked)
            self.looked += 1

    def at(self, index: int) -> Event | None:
        """The line at a place of the list, if it is known."""
        if self.all:
            return self.lines[index] if 0 <= index < len(self.lines) else None
        return self.lines[self.hits[index]] if 0 <= index < len(self.hits) else None

    @property
    def known(self) -> int:
        """How many lines the list has, as far as is known."""
        return len(self.lines) if self.all else len(self.hits)

    @property
    def done(self) -> bool:
        """True where the whole log was looked through."""
        return self.all or self.looked >= len(self.lines)
