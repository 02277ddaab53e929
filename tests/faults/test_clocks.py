"""Clocks that are wrong: never set, at the end of 32 bits, set in the middle of a run, put forward and back for summer.

A run lasts as long as it lasted, lines keep their order, and a clock that was set is written down.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from divelog.clock import FixedClock
from divelog.history.folding import fold
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

MINUTE = 60.0
NEVER_SET = datetime(1970, 1, 1, 0, 0, 5, tzinfo=UTC)
LAST_SECOND = datetime(2038, 1, 19, 3, 13, 0, tzinfo=UTC)  # 2**31 s after 1970 is 03:14:08
LONDON = ZoneInfo("Europe/London")


class Local(FixedClock):
    """A clock that tells the time of a place, summer or winter."""

    def now(self) -> datetime:
        at = super().now().astimezone(LONDON)
        return at.astimezone(timezone(at.utcoffset() or timedelta()))


def run(home: Home, clock: FixedClock, moved: timedelta | None = None, minutes: float = 20.0) -> None:
    """One run of some minutes; in the middle of it the wall clock is set."""
    with Journal(home, clock=clock) as journal:
        started = journal.append("run.started", {"pack": "D1"}, boat="tansy").id
        clock.advance(minutes / 2 * MINUTE)
        if moved is not None:
            clock.set_wall(clock.now() + moved)
        clock.advance(minutes / 2 * MINUTE)
        journal.append("run.ended", {"reason": "done"}, boat="tansy", run=started)


def check(home: Home, *minutes: float, jumps: int = 0) -> None:
    found = load(home, "tansy")
    assert found.reports == ()
    assert all(verdict.whole for verdict in verify(home))
    assert [one.minutes for one in fold(found.events).runs] == [pytest.approx(m) for m in minutes]
    assert sum(event.what == "clock.jumped" for event in found.lines) == jumps
    written = [
        line.split(b'"id":"')[1][:36]
        for path in home.journal_folder("tansy").iterdir()
        for line in path.read_bytes().splitlines()
    ]
    assert written == sorted(written)  # identifiers grow with the lines, whatever the clock does


@pytest.mark.parametrize("start", [NEVER_SET, LAST_SECOND, datetime(2106, 2, 7, 6, 20, tzinfo=UTC)])
def test_a_run_over_the_edges_of_clocks(tmp_path: Path, start: datetime) -> None:
    home = Home(tmp_path)
    run(home, FixedClock(start))
    check(home, 20.0)


@pytest.mark.parametrize(
    "moved",
    [
        timedelta(days=22_770),
        timedelta(hours=1),
        timedelta(hours=-1),
        timedelta(days=-3),
        timedelta(seconds=-2.5),
    ],
)
def test_a_clock_set_in_the_middle_of_a_run_is_told_and_the_run_is_as_long_as_it_was(
    tmp_path: Path, moved: timedelta
) -> None:
    home = Home(tmp_path)
    run(home, FixedClock(datetime(2032, 5, 4, 9, 0, tzinfo=UTC) if moved.days < 9000 else NEVER_SET), moved)
    found = load(home, "tansy")
    (lasted,) = [one.minutes for one in fold(found.events).runs]
    assert lasted == pytest.approx(20.0)
    assert [event.what for event in found.lines].count("clock.jumped") == 1


@pytest.mark.parametrize(
    "start",
    [
        datetime(2032, 3, 28, 0, 50, tzinfo=UTC),  # forward at 01:00 UTC on the last Sunday of March
        datetime(2032, 10, 31, 0, 50, tzinfo=UTC),  # back at 01:00 UTC on the last Sunday of October
    ],
)
def test_summer_time_begins_or_ends_in_the_middle_of_a_run(tmp_path: Path, start: datetime) -> None:
    home = Home(tmp_path)
    clock = Local(start)
    offset = clock.now().utcoffset()
    run(home, clock)
    assert clock.now().utcoffset() != offset  # it did
    check(home, 20.0)


def test_a_restart_in_the_middle_of_a_run_leaves_the_wall_clock_to_tell(tmp_path: Path) -> None:
    home = Home(tmp_path)
    clock = FixedClock(datetime(2032, 5, 4, 9, 0, tzinfo=UTC))
    with Journal(home, clock=clock) as journal:
        started = journal.append("run.started", {"pack": "D1"}, boat="tansy").id
    clock.advance(10 * MINUTE)
    clock.restart("0000000000ff")
    clock.advance(10 * MINUTE)
    with Journal(home, clock=clock) as journal:
        journal.append("run.ended", {"reason": "done"}, boat="tansy", run=started)
    check(home, 20.0)
