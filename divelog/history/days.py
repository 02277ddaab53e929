"""Days at the water: where, which water, and which day is in force."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from operator import attrgetter, itemgetter
from typing import Any

from divelog.history.grouping import ByKind, of
from divelog.journal.payload import Quantity, mapping, quantity, text, texts


@dataclass(frozen=True, slots=True)
class Day:
    """A `day.opened`: one for all boats; a second one on a day says that the water changed.

    `closed` is when it was packed up, none where nobody said so. Temperature in K, salinity in kg/kg, clarity
    in m.
    """

    id: str
    opened: datetime
    site: str | None
    water: str | None
    temperature: Quantity | None
    salinity: Quantity | None
    conductivity: Quantity | None
    clarity: Quantity | None
    air: Mapping[str, Any]
    helper: str | None
    closed: datetime | None = None


def days(groups: ByKind) -> tuple[Day, ...]:
    """Every day opened, in order."""
    found: list[Day] = []
    ends = sorted(((end.at, end.local) for end in of(groups, "day.closed")), key=itemgetter(0))
    openings = [(event.at, event) for event in of(groups, "day.opened")]
    for place, (at, event) in enumerate(openings):
        data = event.payload()
        until = openings[place + 1][0] if place + 1 < len(openings) else None
        first = bisect_left(ends, at, key=itemgetter(0))
        closed = ends[first][1] if first < len(ends) and (until is None or ends[first][0] < until) else None
        found.append(
            Day(
                id=event.id,
                opened=event.local,
                site=text(data.get("site")),
                water=text(data.get("water")),
                temperature=quantity(data.get("temperature")),
                salinity=quantity(data.get("salinity")),
                conductivity=quantity(data.get("conductivity")),
                clarity=quantity(data.get("clarity")),
                air=mapping(data.get("air")),
                helper=", ".join(texts(data.get("helper"))) or None,
                closed=closed,
            )
        )
    return tuple(found)


def day_at(opened: Sequence[Day], at: datetime) -> Day | None:
    """The day in force: the last one opened by then, on the same local date, and not closed by then."""
    place = bisect_right(opened, at, key=attrgetter("opened"))
    if place == 0:
        return None
    day = opened[place - 1]
    same = at.astimezone(day.opened.tzinfo).date() == day.opened.date()
    return day if same and (day.closed is None or day.closed > at) else None
