"""A small made logbook: two boats over one spring, every kind of event in it, so that each question has an answer by hand."""

from __future__ import annotations

import shutil
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.journal.writing import Journal
from divelog.session.book import book_of
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

START = datetime.fromisoformat("2032-03-06T09:00:00+00:00")


class Made:
    """Writes events at moments of its own choosing."""

    def __init__(self, home: Home) -> None:
        self.clock = FixedClock(START)
        self.journal = Journal(home, device="laptop", clock=self.clock)

    def at(self, day: int, minute: float = 0.0) -> Made:
        ahead = (START + timedelta(days=day, minutes=minute) - self.clock.now()).total_seconds()
        if ahead >= 0:
            self.clock.advance(ahead)  # the clock that counts sleep goes along: no jump
        else:
            self.clock.set_wall(START + timedelta(days=day, minutes=minute))
        return self

    def put(
        self, what: str, data: dict | None = None, boat: str | None = "tansy", run: str | None = None
    ) -> str:
        event = self.journal.append(what, data or {}, boat=boat, run=run)
        self.clock.advance(1)
        return event.id

    def outing(
        self, day: int, minutes: float, deepest: float, *, boat: str = "tansy", pack: str = "D2", shaft: float | None = None,
        water: dict | None = None, cycles: int = 3, site: str = "withy-pond", temperature: float = 10.0, how: str = "seen",
        put_back: float | None = None, between: tuple = (), transmitter: str = "tx-a",
    ) -> str:  # fmt: skip
        self.at(day).put(
            "day.opened", {"site": site, "water": "fresh", "temperature": {"si": 273.15 + temperature}}, None
        )
        self.at(day, 30)
        run = self.put("run.started", {"pack": pack, "transmitter": transmitter, "receiver": "rx-1"}, boat)
        for what, data in between:
            self.put(what, data, boat, run)
        self.at(day, 30 + minutes)
        self.put("run.ended", {
            "pack": pack, "deepest": {"si": deepest, "u95": 0.1, "how": how}, "cycles": cycles,
            "shaft_time": 60 * (shaft if shaft is not None else minutes), "dived_time": 60 * minutes / 2, "reason": "plan",
        }, boat, run)  # fmt: skip
        self.put("water.found", water or {"word": "bone dry", "si": 0.0, "end": "none", "allowance": 1e-8, "looked": "opened"},
                 boat, run)  # fmt: skip
        if put_back is not None:
            self.at(day, 600).put(
                "charged", {"pack": pack, "to": "full", "charge": {"si": put_back * 3600}}, None
            )
        return run


@pytest.fixture
def home(tmp_path: Path) -> Home:
    root = tmp_path / "home"
    shutil.copytree(data_folder("sample_boats"), root, ignore=shutil.ignore_patterns("logbook"))
    return Home(root)


@pytest.fixture
def log(home: Home) -> Made:
    made = Made(home)
    yield made
    made.journal.close()


@pytest.fixture
def read(home: Home):
    """Everything as a book, at a day."""

    def reading(day: int = 60, slugs: tuple[str, ...] = ("bulrush", "tansy")):
        clock = FixedClock(START + timedelta(days=day))
        return book_of(Session.reading(home, clock, read_shelf(home)), slugs, clock.now())

    return reading
