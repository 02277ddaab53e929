"""The home of the two worked boats as files on a disk, with the log that gives the history the table takes as given.

So the table is proved through everything: TOML, journal, proofs, calibration, limits and the command line.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import worked

from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.writing import Journal

WORKED_JOURNAL = worked.KIT.parents[1] / "worked_journal.jsonl"
LINES_BY_THEN = 27
"""Of the worked journal, those written by 8:11 on 4 May 2032."""

LIKE_RUNS = (0.049, 0.052, 0.050, 0.053, 0.049)
"""A h a minute that Tansy's five like runs used."""

LITHIUM_GIVES_BACK = 0.99
"""Charge out over charge in of a lithium pack: what the charger puts back is more than was used."""

READINGS = {
    "tansy": (
        "battery.rest_voltage:D2=8.31 V",
        "battery.spread:D2=0.01 V ± 0.007 V",
        "shaft.no_load_current:ahead=0.79 A ± 0.01 A",
    ),
    "bulrush": ("battery.rest_voltage:P1=6.40 V",),
}
SETS = {
    "tansy": ("pack.volts_blow=8.10 V", "pack.volts_end=7.40 V"),
    "bulrush": ("pack.volts_blow=6.10 V",),
}


def _at(text: str) -> datetime:
    return datetime.fromisoformat(f"{text}:00+01:00")


class _Writer:
    """Events at set times, as the screens would have written them."""

    def __init__(self, home: Home, boat: str) -> None:
        self.clock = FixedClock(_at("2032-03-02T09:00"))
        self.journal = Journal(home, "desk", clock=self.clock)
        self.boat = boat

    def write(self, at: datetime, what: str, data: dict[str, Any], run: str | None = None) -> str:
        """One event; returns its id."""
        self.clock.advance(at.timestamp() - self.clock.now().timestamp())
        return self.journal.append(what, data, boat=self.boat, run=run).id

    def charge(self, at: datetime, pack: str, coulombs: float | None, to: str = "full") -> None:
        """A charge, with what the charger put back."""
        back = {} if coulombs is None else {"charge": {"si": coulombs, "u95": 0.05 * coulombs}}
        self.write(at, "charged", {"pack": pack, "to": to, **back})

    def measure(self, at: datetime, path: str, item: str, si: float, **conditions: float) -> None:
        """One measured value with its conditions."""
        held = {name: {"si": value} for name, value in conditions.items()}
        self.write(at, "measured", {"path": path, "item": item, "value": {"si": si}, "conditions": held})


def _tansy(home: Home) -> None:
    writer = _Writer(home, "tansy")
    with writer.journal:
        writer.charge(_at("2032-03-02T19:00"), "D2", 7200.0)
        for week, amperes in enumerate(LIKE_RUNS):
            start = _at("2032-03-03T10:00") + timedelta(days=6 * week)
            run = writer.write(start, "run.started", {"pack": "D2"})
            end = start + timedelta(minutes=40)
            writer.write(end, "run.ended", {"pack": "D2", "reason": "plan"}, run)
            used = amperes * 3600.0 * 40
            writer.charge(end + timedelta(hours=9), "D2", used / LITHIUM_GIVES_BACK)
        writer.charge(_at("2032-04-10T19:00"), "D2", None, "storage")
        for day, amperes in enumerate((0.62, 0.60, 0.63, 0.61, 0.62)):
            at = _at("2032-04-12T20:00") + timedelta(hours=8 * day)
            writer.measure(at, "shaft.no_load.ahead", "", amperes, volts=7.6, temperature=288.15)
        for hour in range(3):
            at = _at("2032-04-14T09:00") + timedelta(hours=hour)
            writer.measure(at, "joint.drop", "motor", 0.012, current=5.0)
    lines = WORKED_JOURNAL.read_bytes().splitlines(keepends=True)[:LINES_BY_THEN]
    (home.journal_folder("tansy") / "pond.jsonl").write_bytes(b"".join(lines))


def _bulrush(home: Home) -> None:
    writer = _Writer(home, "bulrush")
    with writer.journal:
        for line, proof in (
            ("comes-up", "failsafe_wet"),
            ("cold", "dry_long"),
            ("balance", "trim"),
            ("look", "look"),
        ):
            writer.write(
                _at("2032-04-20T10:00"),
                "check.answered",
                {"list": "tank-trim", "line": line, "gives": [proof]},
            )
        run = writer.write(_at("2032-04-20T11:00"), "run.started", {"pack": "P1"})
        deepest = {"si": 1.25, "u95": 0.05, "how": "seen"}
        writer.write(_at("2032-04-20T11:20"), "run.ended", {"pack": "P1", "deepest": deepest}, run)
        dry = {"word": "bone dry", "si": 0.0, "u95": 0.0, "allowance": 1e-8, "looked": "opened"}
        writer.write(_at("2032-04-20T11:40"), "water.found", dry, run)
        writer.charge(_at("2032-05-03T22:11"), "P1", None)
        writer.write(_at("2032-05-04T08:05"), "check.answered",
                     {"list": "before-dive", "line": "signal-off", "gives": ["failsafe_bench"]})  # fmt: skip


def make(root: Path) -> Home:
    """A home with the four files of a worked outing and the logs of both boats."""
    home = Home(root)
    for folder in ("boats", "sites"):
        (root / folder).mkdir(parents=True)
    for boat in ("tansy", "bulrush"):
        shutil.copy(worked.SAMPLES / "boats" / f"{boat}.toml", home.boat_file(boat))
    shutil.copy(worked.SAMPLES / "sites" / "withy-pond.toml", home.site_file("withy-pond"))
    shutil.copy(worked.SAMPLES / "days" / "withy-pond.toml", root / "day.toml")
    thermometer = b'\n[[meter]]\nid = "thermometer inside"\nreads = "temperature"\nstep = "0.1 K"\n'
    home.kit.write_bytes(worked.KIT.read_bytes() + thermometer)
    _tansy(home)
    _bulrush(home)
    return home


def call(home: Home, boat: str, *words: str) -> subprocess.CompletedProcess[str]:
    """``divelog limits FILE --today FILE --set … --reading … --json`` in a process of its own."""
    sets = [part for text in SETS[boat] for part in ("--set", text)]
    taken = [part for text in READINGS[boat] for part in ("--reading", text)]
    today = str(home.root / "day.toml")
    line = [sys.executable, "-m", "divelog", "limits", str(home.boat_file(boat)), "--today", today, "--json"]
    environ = {**os.environ, "PYTHONUTF8": "1"}
    return subprocess.run(
        [*line, *sets, *taken, *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=environ,
        check=False,
    )
