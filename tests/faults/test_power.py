"""The power goes at any moment: unsynced writes and names are lost or half there, in any order."""

from __future__ import annotations

import contextlib
import errno
import random
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fault_disks import Fault, FaultyDisk, ModelDisk, contents
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.clock import FixedClock, Ids
from divelog.files import StorageError, read_capped, write_atomic
from divelog.home import Home
from divelog.journal.loading import load_all
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal, NotSavedError

HOME = Home(Path("/people/home"))
T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)
BOATS = [None, "tansy", "bulrush"]


class SwitchedError(Exception):
    """The power went."""


class SwitchDisk(FaultyDisk):
    """A model disk whose power goes before the n-th call."""

    def __init__(self) -> None:
        self.model = ModelDisk()
        super().__init__(self.model)
        self.left = -1

    def _fault(self, name: str) -> Fault | None:
        if self.left == 0:
            raise SwitchedError
        self.left -= 1
        return super()._fault(name)


def new_disk() -> SwitchDisk:
    disk = SwitchDisk()
    disk.make_folder(HOME.root.parent)
    disk.fsync_folder(HOME.root.parent.parent)
    return disk


@given(
    st.lists(
        st.tuples(st.integers(0, 120), st.lists(st.sampled_from(BOATS), min_size=1, max_size=4)),
        min_size=1,
        max_size=5,
    ),
    st.data(),
)
@settings(max_examples=150, deadline=None)
def test_every_acknowledged_event_outlives_every_power_cut(
    sessions: list[tuple[int, list[str | None]]], data: st.DataObject
) -> None:
    disk = new_disk()
    clock = FixedClock(T)
    ids = Ids(random.Random(1).getrandbits)
    kept: set[str] = set()
    count = 0
    for calls, boats in sessions:
        disk.left = calls
        journal = Journal(HOME, clock=clock, ids=ids, disk=disk)
        try:
            for boat in boats:
                clock.advance(1.0)
                kept.add(journal.append("note", {"text": "x"}, boat=boat).id)
                count += 1
        except SwitchedError:
            pass
        disk.left = -1
        disk.model.crash(lambda ways: data.draw(st.integers(0, ways - 1)))
        loaded = load_all(HOME, disk)
        there = [event.id for event in loaded.lines if event.what == "note"]
        assert kept <= set(there)
        assert len(there) == len(set(there))
    # and a session after all that works, and leaves whole files
    with Journal(HOME, clock=clock, ids=ids, disk=disk) as journal:
        kept.add(journal.append("note", {"text": "last"}, boat="tansy").id)
    assert kept <= {event.id for event in load_all(HOME, disk).lines}


@pytest.mark.parametrize("seed", range(12))
def test_the_power_goes_before_every_call_in_turn(seed: int) -> None:
    usual = 10_000
    for calls in range(usual):
        disk = new_disk()
        disk.left = calls
        clock = FixedClock(T)
        kept: list[str] = []
        journal = Journal(HOME, clock=clock, disk=disk)
        try:
            for boat in (None, "tansy", "tansy"):
                kept.append(journal.append("note", {"text": "x"}, boat=boat).id)
        except SwitchedError:
            pass
        else:
            assert len(kept) == 3
            return
        disk.left = -1
        disk.model.crash(random.Random(f"{seed} {calls}").randrange)
        there = [event.id for event in load_all(HOME, disk).lines if event.what == "note"]
        assert set(kept) <= set(there)
        assert len(there) <= len(kept) + 1
        with Journal(HOME, clock=clock, disk=disk) as journal:
            journal.append("note", {"text": "after"}, boat="tansy")
        assert set(kept) <= {event.id for event in load_all(HOME, disk).lines}
    pytest.fail("the session never ended")


@pytest.mark.parametrize("seed", range(6))
def test_a_whole_file_is_old_or_new_whenever_the_power_goes(seed: int) -> None:
    place = Path("/people/settings.toml")
    for calls in range(100):
        disk = new_disk()
        write_atomic(place, b"old", disk)
        disk.left = calls
        done = False
        try:
            write_atomic(place, b"new and longer", disk)
            done = True
        except SwitchedError:
            pass
        disk.left = -1
        disk.model.crash(random.Random(f"{seed} {calls}").randrange)
        found = read_capped(place, 100, disk)
        assert found == b"new and longer" if done else found in (b"old", b"new and longer")
        if done:
            return
    pytest.fail("writing never ended")


@pytest.mark.parametrize("fault", [Fault(errno.EIO), Fault(errno.ENOSPC, written=3), Fault(None, written=3)])
def test_a_whole_file_that_could_not_be_written_leaves_the_old_one_and_nothing_else(fault: Fault) -> None:
    place = Path("/people/settings.toml")
    number = 0
    while True:
        number += 1
        disk = FaultyDisk(ModelDisk())
        disk.make_folder(place.parent)
        write_atomic(place, b"old", disk)
        start = len(disk.calls)
        disk.fail_call(number, fault)
        try:
            write_atomic(place, b"new", disk)
        except StorageError:
            disk.mend()
            found = read_capped(place, 100, disk)
            assert found in (b"old", b"new")
            if found == b"new":
                assert disk.calls[start + number - 1] == "fsync_folder"
            assert list(contents(disk, place.parent)) == ["settings.toml"]
        if number > len(disk.calls) - start:
            disk.mend()
            assert read_capped(place, 100, disk) == b"new"
            return


def test_a_failed_sync_then_a_power_cut_keeps_all_that_was_acknowledged() -> None:
    for seed in range(60):
        pick = random.Random(seed)
        disk = new_disk()
        clock = FixedClock(T)
        kept: set[str] = set()
        with Journal(HOME, clock=clock, disk=disk) as journal:
            for _ in range(8):
                if pick.random() < 0.4:
                    disk.fail_next(
                        pick.choice(["fsync", "write", "fsync_folder", "truncate"]), Fault(errno.EIO)
                    )
                with contextlib.suppress(NotSavedError):
                    kept.add(journal.append("note", {"text": "x"}, boat=pick.choice(BOATS)).id)
            disk.mend()
        disk.model.crash(pick.randrange)
        loaded = load_all(HOME, disk)
        assert kept <= {event.id for event in loaded.lines}
        assert not [report for report in loaded.reports if report.fault.value == "damage"]
        assert all(verdict.file for verdict in verify(HOME, disk=disk))
