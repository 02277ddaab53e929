"""One set of tests for every disk, so that those that stand in for the real one stay honest."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from fault_disks import FaultyDisk, MemoryDisk, ModelDisk

from divelog.clock import FixedClock
from divelog.files import (
    Disk,
    Form,
    How,
    RealDisk,
    StorageError,
    StorageKind,
    list_folder,
    make_folder,
    read_capped,
    write_atomic,
)
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)


class DiskConformance:
    """What every disk does. A subclass gives `disk` and an existing, empty folder `place` on it."""

    @pytest.fixture
    def disk(self) -> Disk:
        raise NotImplementedError

    @pytest.fixture
    def place(self, disk: Disk) -> Path:
        folder = Path("/place")
        disk.make_folder(folder)
        return folder

    def test_what_was_appended_is_read_back(self, disk: Disk, place: Path) -> None:
        fd = disk.open(place / "a", How.CREATE)
        assert disk.write(fd, b"one\n") == 4
        assert disk.write(fd, b"two\n") == 4
        disk.fsync(fd)
        assert disk.status(fd).size == 8
        disk.close(fd)
        fd = disk.open(place / "a", How.APPEND)
        disk.write(fd, b"three\n")
        disk.close(fd)
        fd = disk.open(place / "a", How.READ)
        assert disk.read(fd, 5) == b"one\nt"
        assert disk.read(fd, 100) == b"wo\nthree\n"
        assert disk.read(fd, 100) == b""
        disk.close(fd)

    def test_a_cut_file_goes_on_where_it_was_cut(self, disk: Disk, place: Path) -> None:
        fd = disk.open(place / "a", How.CREATE)
        disk.write(fd, b"one\ntwo\n")
        disk.truncate(fd, 4)
        disk.write(fd, b"2\n")
        disk.close(fd)
        assert read_capped(place / "a", 100, disk) == b"one\n2\n"

    def test_a_new_file_never_takes_the_place_of_one(self, disk: Disk, place: Path) -> None:
        disk.close(disk.open(place / "a", How.CREATE))
        with pytest.raises(FileExistsError):
            disk.open(place / "a", How.CREATE)

    @pytest.mark.parametrize("how", [How.READ, How.APPEND])
    def test_a_missing_file_is_told(self, disk: Disk, place: Path, how: How) -> None:
        with pytest.raises(FileNotFoundError):
            disk.open(place / "none", how)
        assert disk.look(place / "none") is None
        assert disk.look(place / "none" / "below") is None

    def test_a_folder_is_no_file(self, disk: Disk, place: Path) -> None:
        disk.make_folder(place / "sub")
        found = disk.look(place / "sub")
        assert found is not None
        assert found.form is Form.FOLDER
        with pytest.raises(StorageError) as refused:
            read_capped(place / "sub", 100, disk)
        assert refused.value.kind is StorageKind.NOT_REGULAR
        with pytest.raises(FileExistsError):
            disk.make_folder(place / "sub")

    def test_names_replace_and_remove(self, disk: Disk, place: Path) -> None:
        for name in ("b", "a"):
            fd = disk.open(place / name, How.CREATE)
            disk.write(fd, name.encode())
            disk.close(fd)
        assert list_folder(place, disk) == ["a", "b"]
        disk.replace(place / "a", place / "b")
        assert list_folder(place, disk) == ["b"]
        assert read_capped(place / "b", 9, disk) == b"a"
        disk.remove(place / "b")
        disk.fsync_folder(place)
        assert list_folder(place, disk) == []
        assert list_folder(place / "none", disk) == []

    def test_a_file_keeps_its_identity_and_another_has_its_own(self, disk: Disk, place: Path) -> None:
        fd = disk.open(place / "a", How.CREATE)
        disk.close(disk.open(place / "b", How.CREATE))
        own, there, other = disk.status(fd), disk.look(place / "a"), disk.look(place / "b")
        assert there is not None
        assert other is not None
        assert own.identity == there.identity != other.identity
        disk.close(fd)

    def test_one_lock_at_a_time_and_closing_frees_it(self, disk: Disk, place: Path) -> None:
        first = disk.open(place / "lock", How.CREATE)
        second = disk.open(place / "lock", How.APPEND)
        assert disk.lock(first)
        assert not disk.lock(second)
        disk.close(first)
        assert disk.lock(second)
        disk.close(second)

    def test_a_whole_file_is_written_over_the_old_one(self, disk: Disk, place: Path) -> None:
        for data in (b"old", b"newer"):
            write_atomic(place / "deep" / "er" / "f", data, disk)
            assert read_capped(place / "deep" / "er" / "f", 100, disk) == data
        assert list_folder(place / "deep" / "er", disk) == ["f"]

    def test_a_cap_refuses_before_reading(self, disk: Disk, place: Path) -> None:
        write_atomic(place / "f", b"x" * 101, disk)
        with pytest.raises(StorageError) as refused:
            read_capped(place / "f", 100, disk)
        assert refused.value.kind is StorageKind.TOO_LARGE

    def test_a_journal_lives_on_it(self, disk: Disk, place: Path) -> None:
        home = Home(place / "home")
        clock = FixedClock(T)
        with Journal(home, clock=clock, disk=disk) as journal:
            day = journal.append("day.opened", {"site": "withy-pond"})
            clock.advance(60.0)
            start = journal.append("run.started", {"pack": "D2"}, boat="tansy")
        with Journal(home, clock=clock, disk=disk) as first, Journal(home, clock=clock, disk=disk) as second:
            clock.advance(60.0)
            end = first.append("run.ended", {"pack": "D2"}, boat="tansy", run=start.id)
            clock.advance(60.0)
            note = second.append("note", {"text": "dry"}, boat="tansy")
            assert len(second.take_notices()) == 1
        loaded = load(home, "tansy", disk)
        kept = [event for event in loaded.events if event.what != "log.opened"]
        assert [event.id for event in kept] == [day.id, start.id, end.id, note.id]
        assert loaded.all_reports == ()
        assert all(verdict.whole for verdict in verify(home, disk=disk))
        make_folder(place / "home", disk)


class TestRealDisk(DiskConformance):
    @pytest.fixture
    def disk(self) -> Disk:
        return RealDisk()

    @pytest.fixture
    def place(self, disk: Disk, tmp_path: Path) -> Path:
        return tmp_path


class TestMemoryDisk(DiskConformance):
    @pytest.fixture
    def disk(self) -> Disk:
        return MemoryDisk()


class TestModelDisk(DiskConformance):
    @pytest.fixture
    def disk(self) -> Disk:
        return ModelDisk()


class TestFaultyDisk(DiskConformance):
    @pytest.fixture
    def disk(self) -> Disk:
        return FaultyDisk(MemoryDisk())


class TestFaultyRealDisk(DiskConformance):
    @pytest.fixture
    def disk(self) -> Disk:
        return FaultyDisk(RealDisk())

    @pytest.fixture
    def place(self, disk: Disk, tmp_path: Path) -> Path:
        return tmp_path
