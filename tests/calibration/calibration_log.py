"""A little logbook in memory: events at days and hours after a start, in order."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import Any

from msgspec import Raw

from divelog.journal.events import Event

START = datetime.fromisoformat("2032-04-01T08:00:00+01:00")


class Log:
    """Events of one boat; `at` counts days from START, fractions allowed."""

    def __init__(self, boat: str = "tansy") -> None:
        self.boat = boat
        self.events: list[Event] = []

    def add(self, at: float, what: str, data: dict[str, Any] | None = None, **more: Any) -> Event:
        """One event at a day."""
        when = START + timedelta(days=at)
        event = Event(
            id=f"{len(self.events):06d}-{self.boat}", what=what, when=when, boat=self.boat,
            data=Raw(json.dumps(data or {}).encode()), **more,
        )  # fmt: skip
        self.events.append(event)
        self.events.sort(key=lambda e: (e.at, e.id))
        return event

    def measured(
        self, at: float, path: str, si: float, item: str = "", method: str = "", **conditions: Any
    ) -> Event:
        """A `measured`; conditions as quantities where they are numbers."""
        held = {k: v if isinstance(v, str) else {"si": v} for k, v in conditions.items()}
        data = {"path": path, "item": item, "value": {"si": si}, "conditions": held, "method": method}
        return self.add(at, "measured", data)

    def run(self, at: float, minutes: float, pack: str = "D2", **more: Any) -> Event:
        """A run that ended."""
        start = self.add(at, "run.started", {"pack": pack}, **more)
        self.add(at + minutes / 1440.0, "run.ended", {"pack": pack}, run=start.id, **more)
        return start

    def charge(self, at: float, pack: str = "D2", coulombs: float | None = None, to: str = "full") -> Event:
        """A charge, with what was put back where it is known."""
        data: dict[str, Any] = {"pack": pack, "to": to}
        if coulombs is not None:
            data["charge"] = {"si": coulombs}
        return self.add(at, "charged", data)

    def seconds(self, at: float) -> float:
        """UTC seconds of a day."""
        return (START + timedelta(days=at)).timestamp()
