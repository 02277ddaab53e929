"""The real disk as it behaves on Windows and on macOS: the calls that differ there are stood in for, all else is this machine's.

What differs: Windows, Win32 API (`_locking`, MoveFileEx) and the Python library reference (`msvcrt`, `os.replace`), from memory;
macOS, fsync(2) and fcntl(2), `F_FULLFSYNC`.
"""

from __future__ import annotations

import errno
import fcntl as real_fcntl
import os
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from divelog import files
from divelog.clock import FixedClock
from divelog.files import How, StorageError, StorageKind, write_atomic
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.verifying import verify
from divelog.journal.writing import Journal

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the stand-ins rest on POSIX")
T = datetime(2032, 5, 4, 8, 0, tzinfo=UTC)


class Locking:
    """`msvcrt.locking` over the lock of this machine: one byte from where the file stands, and an error if it is taken."""

    LK_NBLCK = 2

    def __init__(self) -> None:
        self.asked: list[tuple[int, int]] = []

    def locking(self, fd: int, mode: int, count: int) -> None:
        assert os.lseek(fd, 0, os.SEEK_CUR) == 0  # all windows must ask for the same byte
        self.asked.append((mode, count))
        try:
            real_fcntl.flock(fd, real_fcntl.LOCK_EX | real_fcntl.LOCK_NB)
        except BlockingIOError:
            raise PermissionError(errno.EACCES, "locked") from None


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> Locking:
    """No `fcntl`, no flags of POSIX, no folder that can be opened; locks by bytes."""
    made = Locking()
    monkeypatch.setattr("sys.platform", "win32")
    monkeypatch.setitem(sys.modules, "msvcrt", made)
    monkeypatch.setitem(sys.modules, "fcntl", None)
    monkeypatch.setattr(files, "_GUARD", 0)
    monkeypatch.delattr(os, "O_DIRECTORY", raising=False)
    monkeypatch.setattr(time, "sleep", lambda seconds: None)
    return made


@pytest.fixture
def macos(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """A system whose own sync stops at the drive; what was sent down to the medium is counted."""
    sent: list[int] = []

    def full(fd: int, what: int) -> int:
        assert what == 51
        os.fstat(fd)  # it is open
        sent.append(fd)
        return 0

    monkeypatch.setattr("sys.platform", "darwin")
    monkeypatch.setattr(real_fcntl, "F_FULLFSYNC", 51, raising=False)
    monkeypatch.setattr(real_fcntl, "fcntl", full)
    monkeypatch.setattr(os, "fsync", lambda fd: pytest.fail("this does not reach the medium there"))
    return sent


def a_life(home: Home) -> list[str]:
    """Two windows, a restart, a whole file; every event by its identifier."""
    clock = FixedClock(T)
    with Journal(home, clock=clock) as one, Journal(home, clock=clock) as other:
        kept = [one.append("note", {"text": "one"}, boat="tansy").id]
        kept.append(other.append("note", {"text": "two"}, boat="tansy").id)
        assert any("Another window" in notice for notice in other.take_notices())
    with Journal(home, clock=clock) as again:
        kept.append(again.append("note", {"text": "three"}, boat="tansy").id)
        assert again.take_notices() == []
    write_atomic(home.boat_file("tansy"), b"format = 1\n", within=home.root)
    write_atomic(home.boat_file("tansy"), b"format = 1\n# again\n", within=home.root)
    assert home.boat_file("tansy").read_bytes() == b"format = 1\n# again\n"
    return kept


def check(home: Home, kept: list[str]) -> None:
    assert sorted(event.id for event in load(home, "tansy").events if event.what == "note") == sorted(kept)
    assert all(verdict.whole for verdict in verify(home))
    assert [path.name for path in home.boats.iterdir()] == ["tansy.toml"]


def test_a_life_on_windows(tmp_path: Path, windows: Locking) -> None:
    home = Home(tmp_path / "home")
    check(home, a_life(home))
    assert windows.asked == [(Locking.LK_NBLCK, 1)] * 4  # the second window asked for two names


def test_a_life_on_macos(tmp_path: Path, macos: list[int]) -> None:
    home = Home(tmp_path / "home")
    kept = a_life(home)
    check(home, kept)
    assert len(macos) >= len(kept)


@pytest.mark.parametrize("number", [errno.ENOTSUP, errno.EINVAL, errno.ENOTTY])
def test_a_life_on_a_file_system_of_macos_without_it(
    tmp_path: Path, macos: list[int], monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    plain: list[int] = []

    def without(fd: int, what: int) -> int:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(real_fcntl, "fcntl", without)
    monkeypatch.setattr(os, "fsync", plain.append)
    home = Home(tmp_path / "home")
    kept = a_life(home)
    check(home, kept)
    assert len(plain) >= len(kept)


def test_a_drive_of_macos_that_fails_is_no_fall_back(
    tmp_path: Path, macos: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(fd: int, what: int) -> int:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(real_fcntl, "fcntl", fails)
    home = Home(tmp_path / "home")
    with Journal(home, clock=FixedClock(T)) as journal, pytest.raises(StorageError) as refused:
        journal.append("note", {"text": "one"}, boat="tansy")
    assert refused.value.kind is StorageKind.FAILED


@pytest.mark.parametrize("held", range(7))
def test_a_file_that_another_program_holds_is_tried_five_times_on_windows(
    tmp_path: Path, windows: Locking, monkeypatch: pytest.MonkeyPatch, held: int
) -> None:
    waits: list[float] = []
    tries: list[int] = []
    replace = os.replace

    def sometimes(source: Path, target: Path) -> None:
        tries.append(1)
        if len(tries) <= held:
            error = PermissionError(errno.EACCES, "held")
            error.winerror = 32  # type: ignore[attr-defined,unused-ignore]  # ERROR_SHARING_VIOLATION
            raise error
        replace(source, target)

    path = tmp_path / "f"
    write_atomic(path, b"old")
    monkeypatch.setattr(time, "sleep", waits.append)
    monkeypatch.setattr(os, "replace", sometimes)
    if held < 5:
        write_atomic(path, b"new")
        assert path.read_bytes() == b"new"
    else:
        with pytest.raises(StorageError, match="in use by another") as refused:
            write_atomic(path, b"new")
        assert refused.value.kind is StorageKind.LOCKED
        assert path.read_bytes() == b"old"
    assert len(tries) == min(held + 1, 5)
    assert waits == sorted(waits)  # longer each time
    assert [one.name for one in tmp_path.iterdir()] == ["f"]  # and nothing is left beside it


def test_elsewhere_a_refusal_is_not_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tries: list[int] = []

    def never(source: Path, target: Path) -> None:
        tries.append(1)
        raise PermissionError(errno.EACCES, "no")

    monkeypatch.setattr(os, "replace", never)
    with pytest.raises(StorageError):
        write_atomic(tmp_path / "f", b"x")
    assert tries == [1]


def test_a_lock_of_windows_goes_with_its_file(tmp_path: Path, windows: Locking) -> None:
    disk = files.RealDisk()
    one = disk.open(tmp_path / "lock", How.CREATE)
    other = disk.open(tmp_path / "lock", How.APPEND)
    assert disk.lock(one)
    assert not disk.lock(other)
    disk.close(one)
    assert disk.lock(other)
    disk.close(other)


def test_a_link_is_refused_where_the_system_has_no_flag_against_it(tmp_path: Path, windows: Locking) -> None:
    (tmp_path / "outside").write_bytes(b"secret")
    (tmp_path / "link").symlink_to(tmp_path / "outside")
    with pytest.raises(StorageError) as refused:
        files.read_capped(tmp_path / "link", 100)
    assert refused.value.kind is StorageKind.NOT_REGULAR


def test_what_the_stand_ins_replace_is_what_the_disk_asks_for() -> None:
    """If the disk comes to use another call of a system, these tests would prove nothing: then they must be looked at."""
    source = Path(files.__file__).read_text(encoding="utf-8")
    asked = {
        word
        for word in ("msvcrt.locking", "msvcrt.LK_NBLCK", "fcntl.F_FULLFSYNC", "fcntl.flock", "os.replace")
        if word in source
    }
    assert len(asked) == 5
    assert source.count("sys.platform") == 4
