"""Appending: what goes to which file, what is refused before anything is written, what the person is told."""

from __future__ import annotations

import json
import math
import threading
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from divelog import __version__
from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal import writing
from divelog.journal.chain import digest
from divelog.journal.events import Event
from divelog.journal.loading import load, load_all
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal
from divelog.text import BadNameError

T = datetime(2032, 5, 4, 8, 0, tzinfo=timezone(timedelta(hours=1)))


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock(T)


def lines(path: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def kinds(home: Home, boat: str | None = "tansy") -> list[str]:
    return [event.what for event in load(home, boat).lines]


def test_nothing_is_made_before_the_first_event(home: Home, clock: FixedClock) -> None:
    with Journal(home, clock=clock) as journal:
        assert journal.take_notices() == []
    assert not home.root.exists()


def test_events_go_to_the_file_of_their_boat_and_of_the_device(home: Home, clock: FixedClock) -> None:
    with Journal(home, "tablet", clock=clock, by="Sam") as journal:
        day = journal.append("day.opened", {"site": "withy-pond"})
        start = journal.append("run.started", {"pack": "D2"}, boat="tansy")
        clock.advance(90.0)
        end = journal.append("run.ended", {"pack": "D2"}, boat="tansy", run=start.id, by="Alex")
    kit, tansy = home.logbook / "_kit" / "tablet.jsonl", home.logbook / "tansy" / "tablet.jsonl"
    assert [line["what"] for line in lines(kit)] == ["log.opened", "day.opened"]
    opened, first, second = lines(tansy)
    assert opened["data"] == {
        "program": __version__,
        "device": "tablet",
        "heads": [
            {
                "file": "_kit/tablet.jsonl",
                "count": 2,
                "last": day.id,
                "digest": digest(kit.read_bytes().splitlines()[1]),
            }
        ],
    }
    assert opened["prev"] == "none"
    assert first["prev"] == digest(tansy.read_bytes().splitlines()[0])
    assert second["prev"] == digest(tansy.read_bytes().splitlines()[1])
    assert first == {
        "id": start.id,
        "what": "run.started",
        "v": 1,
        "when": "2032-05-04T08:00:00+01:00",
        "up": T.timestamp(),
        "boot": "000000000001",
        "boat": "tansy",
        "by": "Sam",
        "data": {"pack": "D2"},
        "prev": first["prev"],
    }
    assert (second["run"], second["by"], second["when"]) == (start.id, "Alex", "2032-05-04T08:01:30+01:00")
    assert end.prev == second["prev"]


def test_a_new_session_goes_on_in_the_same_file(home: Home, clock: FixedClock) -> None:
    for _ in range(2):
        with Journal(home, clock=clock) as journal:
            clock.advance(1.0)
            journal.append("note", {"text": "x"}, boat="tansy")
    assert kinds(home) == ["log.opened", "note", "log.opened", "note"]
    assert [path.name for path in (home.logbook / "tansy").iterdir()] == ["laptop.jsonl"]
    assert all(verdict.whole for verdict in verify(home))


def test_identifiers_grow_in_the_order_of_the_lines(home: Home, clock: FixedClock) -> None:
    with Journal(home, clock=clock) as journal:
        for _ in range(5):
            journal.append("note", {}, boat="tansy")
        clock.set_wall(T - timedelta(days=400))
        journal.append("note", {}, boat="tansy")
    ids = [line["id"] for line in lines(home.logbook / "tansy" / "laptop.jsonl")]
    assert ids == sorted(ids, key=str)


def test_a_wall_clock_that_was_set_is_written_down_once(home: Home, clock: FixedClock) -> None:
    with Journal(home, clock=clock) as journal:
        journal.append("note", {}, boat="tansy")
        clock.advance(60.0)
        clock.set_wall(T + timedelta(hours=3))
        after = journal.append("note", {}, boat="tansy")
        clock.advance(60.0)
        journal.append("note", {}, boat="tansy")
    (jumped,) = [event for event in load(home, "tansy").lines if event.what == "clock.jumped"]
    assert jumped.boat is None
    assert jumped.payload() == {"before": "2032-05-04T08:01:00+01:00", "after": "2032-05-04T11:00:00+01:00"}
    assert jumped.id < after.id


def test_a_clock_set_between_two_sessions_of_one_start_is_noticed_and_a_restart_is_not(
    home: Home, clock: FixedClock
) -> None:
    with Journal(home, clock=clock) as journal:
        journal.append("note", {}, boat="tansy")
    clock.advance(3600.0)
    clock.set_wall(clock.now() - timedelta(hours=2))
    with Journal(home, clock=clock) as journal:
        journal.append("note", {}, boat="tansy")
    assert kinds(home, None).count("clock.jumped") == 1
    clock.restart("000000000002")
    clock.set_wall(T + timedelta(days=30))
    with Journal(home, clock=clock) as journal:
        journal.append("note", {}, boat="tansy")
    assert kinds(home, None).count("clock.jumped") == 1


def test_a_laptop_that_slept_has_no_jump(home: Home, clock: FixedClock) -> None:
    with Journal(home, clock=clock) as journal:
        journal.append("note", {}, boat="tansy")
        clock.advance(8 * 3600.0)
        journal.append("note", {}, boat="tansy")
    assert "clock.jumped" not in kinds(home)


@pytest.mark.parametrize(
    ("what", "data", "more"),
    [
        ("periscope.raised", {}, {}),
        ("note", {"x": math.nan}, {}),
        ("note", {"x": [1, {"y": math.inf}]}, {}),
        ("note", {"x": 1 << 63}, {}),
        ("note", {"x": object()}, {}),
        ("note", {"x": "y" * (1 << 20)}, {}),
        ("note", {}, {"boat": "_kit"}),
        ("note", {}, {"boat": "../tansy"}),
        ("note", {}, {"happened": "yesterday"}),
        ("note", {}, {"happened": datetime(2032, 5, 4)}),
        ("note", {}, {"run": ""}),
        ("note", {}, {"run": "r" * 65}),
    ],
)
def test_what_cannot_be_written_is_refused_before_anything_is(
    home: Home, clock: FixedClock, what: str, data: dict[str, object], more: dict[str, str]
) -> None:
    with Journal(home, clock=clock) as journal, pytest.raises(ValueError):  # noqa: PT011
        journal.append(what, data, **more)
    assert not home.root.exists()


def test_data_nested_as_deep_as_can_be_read_is_written_and_no_deeper(home: Home, clock: FixedClock) -> None:
    value: object = 1
    with Journal(home, clock=clock) as journal:
        for _ in range(80):
            value = [value]
            try:
                journal.append("note", {"x": value}, boat="tansy")
            except ValueError:
                break
        else:
            pytest.fail("nothing was too deep")
    loaded = load(home, "tansy")
    assert loaded.reports == ()
    assert len(loaded.events) > 50


def test_texts_with_half_characters_times_and_tuples_are_written_as_text(
    home: Home, clock: FixedClock
) -> None:
    data = {"text": "half \ud800", "on": date(2032, 5, 4), "at": T, "which": ("fore cap", "aft cap")}
    with Journal(home, clock=clock, by="\udcff") as journal:
        journal.append("note", data, boat="tansy", happened=T - timedelta(hours=1))
    (event,) = [event for event in load(home, "tansy").events if event.what == "note"]
    assert event.payload() == {
        "text": "half \\ud800",
        "on": "2032-05-04",
        "at": "2032-05-04T08:00:00+01:00",
        "which": ["fore cap", "aft cap"],
    }
    assert event.by == "\\udcff"
    assert event.at == T - timedelta(hours=1)


def test_a_clock_out_of_all_years_is_refused(home: Home) -> None:
    with (
        Journal(home, clock=FixedClock(datetime(1, 1, 2, tzinfo=UTC), up=1.0)) as journal,
        pytest.raises(ValueError, match="year"),
    ):
        journal.append("note")


def test_a_device_needs_a_name_that_can_be_a_file(home: Home) -> None:
    with pytest.raises(BadNameError):
        Journal(home, "../laptop")


def test_every_window_has_its_own_file_and_a_free_name_is_taken_again(home: Home, clock: FixedClock) -> None:
    journals = [Journal(home, clock=clock) for _ in range(3)]
    for journal in journals:
        journal.append("note", {}, boat="tansy")
    folder = home.logbook / "tansy"
    assert sorted(path.name for path in folder.iterdir()) == [
        "laptop-2.jsonl",
        "laptop-3.jsonl",
        "laptop.jsonl",
    ]
    journals[1].close()
    again = Journal(home, clock=clock)
    again.append("note", {}, boat="tansy")
    assert len(lines(folder / "laptop-2.jsonl")) == 4
    for journal in [*journals, again]:
        journal.close()
    assert load(home, "tansy").reports == ()
    assert all(verdict.whole for verdict in verify(home))


def test_too_many_windows_are_told_that_the_home_is_in_use(
    home: Home, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("divelog.journal.naming.MAX_WINDOWS", 1)
    with Journal(home, clock=clock) as first, Journal(home, clock=clock) as second:
        first.append("note")
        with pytest.raises(writing.NotSavedError, match="in use by another window") as refused:
            second.append("note")
    assert refused.value.kind.value == "locked"


def test_a_long_file_is_followed_by_a_new_one_that_names_it(
    home: Home, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writing, "ROLL", 2000)
    made: list[Event] = []
    for _ in range(3):
        with Journal(home, clock=clock) as journal:
            for number in range(7):
                clock.advance(1.0)
                made.append(journal.append("note", {"text": str(number) * 100}, boat="tansy"))
            assert journal.take_notices() == []
    folder = home.logbook / "tansy"
    names = sorted(path.name for path in folder.iterdir())
    assert names[0] == "laptop.2.jsonl"
    assert len(names) >= 4
    opened = lines(folder / "laptop.3.jsonl")[0]["data"]
    assert isinstance(opened, dict)
    assert {head["file"] for head in opened["heads"]} >= {"tansy/laptop.jsonl", "tansy/laptop.2.jsonl"}
    assert opened["after"]["file"] == "tansy/laptop.2.jsonl"
    assert [event.id for event in load(home, "tansy").events if event.what == "note"] == [
        each.id for each in made
    ]
    assert all(path.stat().st_size < 2000 + 700 for path in folder.iterdir())
    assert all(verdict.whole for verdict in verify(home))


def test_many_threads_write_one_after_the_other(home: Home, clock: FixedClock) -> None:
    with Journal(home, clock=clock) as journal:

        def write() -> None:
            for _ in range(20):
                journal.append("note", {}, boat="tansy")

        threads = [threading.Thread(target=write) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert kinds(home).count("note") == 80
    assert all(verdict.whole for verdict in verify(home))


def test_a_journal_closed_can_be_used_again(home: Home, clock: FixedClock) -> None:
    journal = Journal(home, clock=clock)
    journal.append("note", {}, boat="tansy")
    journal.close()
    journal.close()
    journal.append("note", {}, boat="tansy")
    journal.close()
    assert kinds(home) == ["log.opened", "note", "log.opened", "note"]


def test_a_home_that_is_empty_or_not_there_is_an_empty_log(home: Home) -> None:
    assert load(home, "tansy").lines == ()
    assert load_all(home).events == ()
    assert verify(home) == []
    assert not home.root.exists()


def test_all_boats_are_read_in_one_order(home: Home, clock: FixedClock) -> None:
    with Journal(home, clock=clock) as journal:
        for boat in ("tansy", None, "bulrush", "tansy"):
            clock.advance(1.0)
            journal.append("note", {}, boat=boat)
    (home.logbook / "stray.txt").write_text("no folder", encoding="utf-8")
    (home.logbook / "Not A Boat").mkdir()
    assert [event.boat for event in load_all(home).events if event.what == "note"] == [
        "tansy",
        None,
        "bulrush",
        "tansy",
    ]
    assert load_all(home).reports == ()


def test_verify_of_one_boat_leaves_the_others_alone(home: Home, clock: FixedClock) -> None:
    with Journal(home, clock=clock) as journal:
        for boat in ("tansy", "bulrush"):
            journal.append("note", {}, boat=boat)
    with Journal(home, clock=clock) as journal:
        journal.append("day.opened")  # has seen the ends of both
    (home.logbook / "bulrush" / "laptop.jsonl").unlink()
    assert all(verdict.whole for verdict in verify(home, "tansy"))
    gone = [verdict for verdict in verify(home) if not verdict.whole]
    assert [verdict.file for verdict in gone] == ["bulrush/laptop.jsonl"]
    assert "that line is not here now" in str(gone[0].reports[0])
