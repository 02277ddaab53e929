"""Every system call of a session fails once, then for good: nothing acknowledged is lost, nothing is there twice."""

from __future__ import annotations

import errno
import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fault_disks import Fault, FaultyDisk, ModelDisk

from divelog.clock import FixedClock, Ids
from divelog.files import How, StorageError
from divelog.home import Home
from divelog.journal.events import Event
from divelog.journal.loading import load_all
from divelog.journal.writing import Journal, NotSavedError

HOME = Home(Path("/people/home"))
T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)

STEPS: list[tuple[str, str | None]] = [
    ("day.opened", None),
    ("run.started", "tansy"),
    ("note", "tansy"),
    ("note", "bulrush"),
    ("note", "tansy"),
]


def new_disk(grown: bool = False) -> FaultyDisk:
    """A disk with nothing on it, or with a logbook of two files that both end in a torn line."""
    disk = FaultyDisk(ModelDisk())
    disk.make_folder(HOME.root.parent)
    disk.fsync_folder(HOME.root.parent.parent)
    if grown:
        clock = FixedClock(T - timedelta(days=1))
        for _ in range(2):
            with Journal(HOME, clock=clock, disk=disk) as journal:
                journal.append("note", {"text": "old"}, boat="tansy")
                disk.fail_next("fsync", Fault(errno.EIO))
                journal.append("note", {"text": "in a new file"}, boat="tansy")
        for name in ("laptop.jsonl", "laptop.3.jsonl"):
            fd = disk.open(HOME.journal_folder("tansy") / name, How.APPEND)
            disk.write(fd, b'{"id":"01ca')
            disk.fsync(fd)
            disk.close(fd)
    return disk


@dataclass
class Outcome:
    """What a session was told: events kept for certain, and identifiers of all it tried."""

    kept: list[Event] = field(default_factory=list)
    tried: set[str] = field(default_factory=set)
    refused: int = 0
    said: list[str] = field(default_factory=list)


def session(disk: FaultyDisk, seed: int) -> Outcome:
    """Five events; one that was not saved is tried once more."""
    out = Outcome()
    clock = FixedClock(T)
    journal = Journal(HOME, clock=clock, ids=Ids(random.Random(seed).getrandbits), disk=disk)
    for what, boat in STEPS:
        clock.advance(30.0)
        try:
            kept = journal.append(what, {"text": boat}, boat=boat)
        except NotSavedError as error:
            out.refused += 1
            out.tried.add(error.event.id)
            out.said.append(str(error))
            try:
                kept = journal.again(error.event)
            except NotSavedError as once_more:
                out.said.append(str(once_more))
                continue
        out.tried.add(kept.id)
        out.kept.append(kept)
    journal.close()
    return out


def check(disk: FaultyDisk, out: Outcome) -> None:
    """Everything kept is there, once; nothing is there that nobody tried to write."""
    disk.mend()
    loaded = load_all(HOME, disk)
    older = {event.id for event in loaded.lines if event.when < T}
    assert len(older) in (0, 8)  # of the grown logbook, four notes and four beginnings
    there = [event.id for event in loaded.lines if event.what != "log.opened" and event.id not in older]
    assert len(there) == len(set(there))
    assert {event.id for event in out.kept} <= set(there) <= out.tried
    assert not [report for report in loaded.reports if report.fault.value in ("damage", "unreadable")]
    kept = {event.id: bytes(event.data) for event in out.kept}
    assert all(bytes(event.data) == kept[event.id] for event in loaded.lines if event.id in kept)


FAULTS = {
    "EIO once": Fault(errno.EIO),
    "EIO for good": Fault(errno.EIO, stays=True),
    "full once, part of it in": Fault(errno.ENOSPC, written=40),
    "full for good, part of it in": Fault(errno.ENOSPC, stays=True, written=40),
    "short write": Fault(None, written=25),
    "short writes for good": Fault(None, stays=True, written=25),
    "read-only for good": Fault(errno.EROFS, stays=True),
    "no permission once": Fault(errno.EACCES),
}


@pytest.mark.parametrize("grown", [False, True], ids=["new home", "grown home"])
@pytest.mark.parametrize("name", FAULTS)
def test_the_nth_call_fails_for_every_n(name: str, grown: bool) -> None:
    usual = len(new_session_calls(grown))
    number, refused, clean = 0, 0, False
    while number < usual or not clean:
        number += 1
        disk = new_disk(grown)
        disk.fail_call(number, FAULTS[name])
        out = session(disk, number)
        refused += out.refused
        clean = not out.refused
        check(disk, out)
        for seed in range(3):  # and the power goes afterwards
            assert isinstance(disk.inner, ModelDisk)
            disk.inner.crash(random.Random(f"{name} {number} {seed}").randrange)
            check(disk, out)
        follow = session(disk, number + 10_000)  # the next session works as if nothing had been
        assert follow.refused == 0
        follow.kept += out.kept
        follow.tried |= out.tried
        check(disk, follow)
        assert all(said.endswith("This was not saved.") for said in out.said)
        assert number < 10 * usual, "a session never ended well"
    assert refused > 0


def new_session_calls(grown: bool = False) -> list[str]:
    disk = new_disk(grown)
    start = len(disk.calls)
    session(disk, 0)
    return disk.calls[start:]


def test_a_whole_session_uses_every_call_that_writing_needs() -> None:
    assert {"open", "write", "fsync", "fsync_folder", "lock", "look", "names", "make_folder", "close"} <= set(
        new_session_calls()
    )


def test_one_answer_costs_one_write_and_one_sync() -> None:
    disk = new_disk()
    with Journal(HOME, clock=FixedClock(T), disk=disk) as journal:
        journal.append("note", {"text": "first"}, boat="tansy")
        start = len(disk.calls)
        journal.append("note", {"text": "second"}, boat="tansy")
    calls = disk.calls[start:]
    assert [call for call in calls if call not in ("look", "status", "close")] == ["write", "fsync"]


def test_a_failed_sync_is_never_asked_again_and_the_event_goes_to_a_new_file() -> None:
    disk = new_disk()
    clock = FixedClock(T)
    with Journal(HOME, clock=clock, disk=disk) as journal:
        first = journal.append("note", {"text": "first"}, boat="tansy")
        start = len(disk.calls)
        disk.fail_next("fsync", Fault(errno.EIO))
        second = journal.append("note", {"text": "second"}, boat="tansy")
        calls = disk.calls[start:]
        (notice,) = journal.take_notices()
        third = journal.append("note", {"text": "third"}, boat="tansy")
    assert calls.count("fsync") == 2  # the one that failed, and that of the new file
    assert load_all(HOME, disk).reports == ()  # the event does not stand in both
    assert "tansy/laptop.jsonl" in notice
    assert "tansy/laptop.2.jsonl" in notice
    folder = HOME.journal_folder("tansy")
    assert sorted(disk.names(folder)) == ["laptop.2.jsonl", "laptop.jsonl"]
    for seed in range(20):
        model = disk.inner
        assert isinstance(model, ModelDisk)
        model.crash(random.Random(seed).randrange)
        notes = [event.id for event in load_all(HOME, disk).lines if event.what == "note"]
        assert notes == [first.id, second.id, third.id]


def test_after_a_full_disk_was_cleared_trying_again_gives_the_event_once() -> None:
    disk = new_disk()
    with Journal(HOME, clock=FixedClock(T), disk=disk) as journal:
        kept = journal.append("note", {"text": "kept"}, boat="tansy")
        disk.fail_next("write", Fault(None, stays=True, written=9))
        with pytest.raises(NotSavedError, match=r"disk is full.*This was not saved"):
            journal.append("note", {"text": "lost?"}, boat="tansy")
        with pytest.raises(NotSavedError) as refused:
            journal.append("note", {"text": "wanted"}, boat="tansy")
        disk.mend()
        wanted = journal.again(refused.value.event)
        assert wanted.id == refused.value.event.id
    loaded = load_all(HOME, disk)
    assert [event.id for event in loaded.lines if event.what == "note"] == [kept.id, wanted.id]
    assert loaded.reports == ()
    assert disk.names(HOME.journal_folder("tansy")) == ["laptop.jsonl"]


def test_when_cutting_back_fails_too_the_torn_line_stays_and_harms_nothing() -> None:
    disk = new_disk()
    with Journal(HOME, clock=FixedClock(T), disk=disk) as journal:
        journal.append("note", {"text": "kept"}, boat="tansy")
        disk.fail_next("write", Fault(errno.ENOSPC, written=30))
        disk.fail_next("truncate", Fault(errno.EIO))
        with pytest.raises(NotSavedError):
            journal.append("note", {"text": "torn"}, boat="tansy")
        journal.append("note", {"text": "next"}, boat="tansy")
    loaded = load_all(HOME, disk)
    assert [event.payload()["text"] for event in loaded.lines if event.what == "note"] == ["kept", "next"]
    assert [report.fault.value for report in loaded.reports] == ["set_aside"]
    with Journal(HOME, clock=FixedClock(T), disk=disk) as journal:
        journal.append("note", {"text": "later"}, boat="tansy")
        assert any("cut off" in notice for notice in journal.take_notices())
    assert load_all(HOME, disk).reports == ()
    assert "laptop.set-aside-1.txt" in disk.names(HOME.journal_folder("tansy"))


def test_a_disk_that_never_confirms_saves_nothing_and_leaves_no_new_files() -> None:
    disk = new_disk()
    with Journal(HOME, clock=FixedClock(T), disk=disk) as journal:
        journal.append("note", {"text": "kept"}, boat="tansy")
        disk.fail_next("fsync", Fault(errno.EIO, stays=True))
        events = []
        for _ in range(5):
            with pytest.raises(NotSavedError) as refused:
                journal.append("note", {"text": "lost?"}, boat="tansy")
            events.append(refused.value.event)
        assert disk.names(HOME.journal_folder("tansy")) == ["laptop.jsonl"]
        disk.mend()
        for event in events:
            assert journal.again(event).id == event.id
    notes = [event.id for event in load_all(HOME, disk).lines if event.what == "note"]
    assert notes[1:] == sorted(event.id for event in events)
    assert load_all(HOME, disk).reports == ()


@pytest.mark.parametrize(("number", "kind"), [(errno.EROFS, "read_only"), (errno.EACCES, "denied")])
def test_a_home_that_may_only_be_read_is_read_and_says_so(number: int, kind: str) -> None:
    disk = new_disk()
    with Journal(HOME, clock=FixedClock(T), disk=disk) as journal:
        journal.append("note", {"text": "old"}, boat="tansy")
    for call in ("open", "make_folder", "write", "fsync", "truncate"):
        disk.fail_next(call, Fault(number, stays=True))
    with Journal(HOME, clock=FixedClock(T), disk=disk) as journal:
        with pytest.raises(StorageError) as refused:
            journal.append("note", {"text": "new"}, boat="tansy")
        assert refused.value.kind.value == kind
    disk.mend()
    assert len(load_all(HOME, disk).lines) == 2
