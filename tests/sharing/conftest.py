"""Tansy with her worked journal, some measurements and things nobody else should read; her bundle, and what is in it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.journal.writing import Journal
from divelog.session.handing import bundle
from divelog.session.session import Session
from divelog.session.shelf import read_shelf
from divelog.sharing.making import Made
from divelog.sharing.model import Looked, Wishes
from divelog.sharing.reading import look

EVENING = datetime.fromisoformat("2032-05-04T20:00:00+01:00")
WORKED = Path(__file__).resolve().parents[1] / "data" / "worked_journal.jsonl"


def notes(boat: str) -> str:
    return boat + '\n[notes]\nowner = "Rowan Example, 01234 567890"\nhatch = "call me about the hatch"\n'


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock(EVENING)


@pytest.fixture
def home(tmp_path: Path, clock: FixedClock) -> Home:
    root = tmp_path / "home"
    shutil.copytree(data_folder("sample_boats"), root, ignore=shutil.ignore_patterns("logbook"))
    home = Home(root)
    boat = home.boat_file("tansy")
    boat.write_text(notes(boat.read_text(encoding="utf-8")), encoding="utf-8")
    folder = home.journal_folder("tansy")
    folder.mkdir(parents=True)
    lines = WORKED.read_bytes().splitlines(keepends=True)
    (folder / "before.jsonl").write_bytes(b"".join(line for line in lines if b'"boat":"tansy"' in line))
    (home.journal_folder(None)).mkdir(parents=True)
    (home.journal_folder(None) / "before.jsonl").write_bytes(
        b"".join(line for line in lines if b'"boat":"tansy"' not in line)
    )
    with Journal(home, device="laptop", clock=clock, by="Rowan Example") as journal:
        for hour, (what, data) in enumerate(EXTRA):
            boat_of = None if what in ("day.opened", "charged") else "tansy"
            journal.append(
                what,
                data,
                boat=boat_of,
                happened=f"2032-05-04T{10 + hour // 4:02d}:{15 * (hour % 4):02d}:00+01:00",
            )
        text = boat.read_text(encoding="utf-8")
        journal.append("boat.filed", {"digest": "sha256:x", "changed": [], "text": text}, boat="tansy")
    clock.advance(60)
    return home


EXTRA = (
    ("measured", {"path": "boat.dived_balance", "value": {"si": 0.025, "u95": 0.003, "typed": "25 g"},
                  "conditions": {"temperature": {"si": 284.15}, "water": "fresh"}, "method": "coins"}),
    ("measured", {"path": "boat.ballast.fill_time", "value": {"si": 39.0, "u95": 0.4, "typed": "39 s"},
                  "conditions": {"volts": {"si": 7.9}}, "method": "before-dive/cycle"}),
    ("measured", {"path": "pack.resistance", "item": "D2", "value": {"si": 0.016, "typed": "16 mohm"}}),
    ("serviced", {"item": "terminals", "consumable": "contact film"}),
    ("note", {"text": "the client is difficult", "private": True}),
    ("note", {"text": "weed by the jetty", "private": False}),
    ("note", {"text": "ask rowan@example.org", "private": False}),
    ("note", {"text": "found at 51.50722, -0.12750", "private": False}),
    ("incident", {"step": "stuck", "cause": "weed; ring 01234 567890"}),
    ("fitted", {"part": "controller", "item": "speed controller", "old": "C1", "new": "SN-0042-7781"}),
    ("day.opened", {"site": "withy-pond", "water": "fresh", "helper": "Rowan Example"}),
    ("charged", {"pack": "D2", "to": "full", "charge": {"si": 7200.0}}),
    ("charged", {"pack": "P1", "to": "full"}),
)  # fmt: skip


@pytest.fixture
def session(home: Home, clock: FixedClock) -> Session:
    return Session.reading(home, clock, read_shelf(home))


@pytest.fixture
def made(session: Session) -> Callable[..., Made]:
    def make(**wishes: object) -> Made:
        return bundle(session, "tansy", session.shelf.boats["tansy"], Wishes(**wishes))  # type: ignore[arg-type]

    return make


@pytest.fixture
def read(clock: FixedClock) -> Callable[[bytes], Looked]:
    def reading(raw: bytes) -> Looked:
        return look(raw, "tansy.zip", clock.now())

    return reading
