"""Days at the water: where, which water, and which day is in force."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
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
    ends = of(groups, "day.closed")
    openings = of(groups, "day.opened")
    for place, event in enumerate(openings):
        data = event.payload()
        until = openings[place + 1].at if place + 1 < len(openings) else None
        closed = next(
            (end.local for end in ends if event.at <= end.at and (until is None or end.at < until)), None
        )
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
    for day in reversed(opened):
        if day.opened <= at:
            same = at.astimezone(day.opened.tzinfo).date() == day.opened.date()
            return day if same and (day.closed is None or day.closed > at) else None
    return None
