"""Reading with a cap, writing whole files, and errors in words; the disk itself is tested in `faults`."""

from __future__ import annotations

import errno
import os
import re
import time
from pathlib import Path

import pytest

from divelog import files
from divelog.files import (
    StorageError,
    StorageKind,
    exists,
    list_folder,
    make_folder,
    read_capped,
    read_text,
    remove_quietly,
    storage_error,
    write_atomic,
)

TOP = Path(__file__).resolve().parents[1]


def test_a_file_is_read_up_to_its_cap_and_no_further(tmp_path: Path) -> None:
    path = tmp_path / "f"
    path.write_bytes(b"x" * 100)
    assert read_capped(path, 100) == b"x" * 100
    with pytest.raises(StorageError) as refused:
        read_capped(path, 99)
    assert refused.value.kind is StorageKind.TOO_LARGE
    assert read_capped(path, 1000, within=tmp_path) == b"x" * 100


def test_text_is_strict_utf_8_without_its_mark(tmp_path: Path) -> None:
    path = tmp_path / "f"
    path.write_bytes(b"\xef\xbb\xbfname = \xc2\xb1\n")
    assert read_text(path, 100) == "name = ±\n"
    path.write_bytes(b"\xff")
    with pytest.raises(UnicodeDecodeError):
        read_text(path, 100)


def test_a_file_that_grows_while_it_is_read_is_refused_too(tmp_path: Path) -> None:
    path = tmp_path / "f"
    path.write_bytes(b"x" * 10)

    class Growing(files.RealDisk):
        def read(self, fd: int, count: int) -> bytes:
            with open(path, "ab") as more:
                more.write(b"y" * 50)
            return super().read(fd, count)

    with pytest.raises(StorageError) as refused:
        read_capped(path, 20, Growing())
    assert refused.value.kind is StorageKind.TOO_LARGE


@pytest.mark.parametrize("name", ["none", "none/below", "nul\0name"])
def test_what_is_not_there_is_told(tmp_path: Path, name: str) -> None:
    with pytest.raises(StorageError, match="is not there") as refused:
        read_capped(tmp_path / name, 10)
    assert refused.value.kind is StorageKind.MISSING
    assert str(refused.value).isprintable()


@pytest.mark.parametrize("name", ["../outside", "sub/../../outside"])
def test_a_path_out_of_the_folder_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "outside").write_bytes(b"secret")
    (tmp_path / "home" / "sub").mkdir(parents=True)
    for action in (
        lambda path: read_capped(path, 10, within=tmp_path / "home"),
        lambda path: write_atomic(path, b"x", within=tmp_path / "home"),
    ):
        with pytest.raises(StorageError) as refused:
            action(tmp_path / "home" / name)
        assert refused.value.kind is StorageKind.DENIED
    assert (tmp_path / "outside").read_bytes() == b"secret"


@pytest.mark.skipif(os.name != "posix", reason="links need rights on Windows")
def test_links_on_the_way_and_at_the_end_are_refused(tmp_path: Path) -> None:
    home = tmp_path / "home"
    (home / "boats").mkdir(parents=True)
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "f").write_bytes(b"secret")
    (home / "sites").symlink_to(tmp_path / "elsewhere")
    (home / "boats" / "f").symlink_to(tmp_path / "elsewhere" / "f")
    (home / "boats" / "dangling").symlink_to(tmp_path / "none")
    for path in (home / "sites" / "f", home / "boats" / "f", home / "boats" / "dangling"):
        with pytest.raises(StorageError, match="link") as refused:
            read_capped(path, 10, within=home)
        assert refused.value.kind is StorageKind.NOT_REGULAR
        with pytest.raises(StorageError):
            write_atomic(path, b"x", within=home)
    with pytest.raises(StorageError, match="link"):
        list_folder(home / "sites", within=home)
    assert (tmp_path / "elsewhere" / "f").read_bytes() == b"secret"
    assert exists(home / "boats" / "dangling")


def test_a_folder_where_a_file_stands_is_told(tmp_path: Path) -> None:
    (tmp_path / "f").write_bytes(b"")
    for action in (make_folder, list_folder):
        with pytest.raises(StorageError) as refused:
            action(tmp_path / "f")
        assert refused.value.kind is StorageKind.NOT_REGULAR
    with pytest.raises(StorageError):
        write_atomic(tmp_path / "f" / "g", b"")
    (tmp_path / "d").mkdir()
    with pytest.raises(StorageError):
        write_atomic(tmp_path / "d", b"")


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
def test_folders_and_files_are_made_for_their_owner_alone(tmp_path: Path) -> None:
    write_atomic(tmp_path / "a" / "b" / "f", b"x")
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o700
    assert (tmp_path / "a" / "b").stat().st_mode & 0o777 == 0o700
    assert (tmp_path / "a" / "b" / "f").stat().st_mode & 0o777 == 0o600
    make_folder(tmp_path / "a" / "b")


def test_removing_what_is_not_there_does_no_harm(tmp_path: Path) -> None:
    remove_quietly(tmp_path / "none")


@pytest.mark.parametrize(
    ("number", "kind"),
    [
        (errno.ENOSPC, StorageKind.FULL),
        (errno.EDQUOT, StorageKind.FULL),
        (errno.EFBIG, StorageKind.FULL),
        (errno.EROFS, StorageKind.READ_ONLY),
        (errno.EACCES, StorageKind.DENIED),
        (errno.EPERM, StorageKind.DENIED),
        (errno.ENOENT, StorageKind.MISSING),
        (errno.ELOOP, StorageKind.NOT_REGULAR),
        (errno.EIO, StorageKind.FAILED),
        (errno.ENOTEMPTY, StorageKind.FAILED),
    ],
)
def test_every_error_is_one_printable_sentence_that_names_the_file(number: int, kind: StorageKind) -> None:
    error = storage_error(OSError(number, os.strerror(number)), Path("/home/\x1b[2Jboats/tansy.toml"))
    assert error.kind is kind
    assert "boats/tansy.toml" in str(error)
    assert str(error).isprintable()
    assert str(error).endswith(".")


def test_a_file_held_by_another_program_on_windows_is_in_use() -> None:
    error = OSError(errno.EACCES, "sharing violation")
    error.winerror = 32  # type: ignore[attr-defined,unused-ignore]
    assert storage_error(error, Path("f")).kind is StorageKind.LOCKED


def test_every_kind_has_its_sentence() -> None:
    assert len({str(StorageError(kind, Path("f"))) for kind in StorageKind}) == len(StorageKind)


def test_no_other_file_of_the_ground_and_the_journal_calls_the_system_on_data() -> None:
    """All system calls stand in one file, so that a faulty disk can take its place."""
    calls = re.compile(
        r"\bos\.(open|write|read|fsync|replace|rename|unlink|remove|mkdir|makedirs|listdir|scandir|stat|lstat|truncate"
        r"|ftruncate|link|symlink|chmod)\b|(?<!def )(?<![.\w])open\(|\.(read_text|read_bytes|write_text|write_bytes"
        r"|mkdir|unlink|rename|iterdir|glob|rglob|touch)\(|\b(shutil|tempfile|fcntl|msvcrt)\b"
    )
    package = TOP / "divelog"
    sources = [*(package / "journal").glob("*.py"), *(package / "history").glob("*.py")]
    sources += [package / name for name in ("text.py", "home.py")]
    assert len(sources) > 15
    for source in sources:
        found = calls.search(source.read_text(encoding="utf-8"))
        assert found is None, f"{source.name}: {found and found.group()}"


@pytest.mark.skipif(os.name != "posix", reason="the lock of POSIX")
def test_where_the_file_system_cannot_lock_the_lock_counts_as_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import fcntl

    disk = files.RealDisk()
    fd = disk.open(tmp_path / "lock", files.How.CREATE)

    def refuse(number: int) -> None:
        def flock(fd: int, how: int) -> None:
            raise OSError(number, os.strerror(number))

        monkeypatch.setattr(fcntl, "flock", flock)

    refuse(errno.ENOLCK)
    assert disk.lock(fd)
    refuse(errno.EWOULDBLOCK)
    assert not disk.lock(fd)
    refuse(errno.EIO)
    with pytest.raises(OSError, match="Input/output"):
        disk.lock(fd)
    disk.close(fd)


@pytest.mark.skipif(os.name != "posix", reason="folders are not synced on Windows")
def test_a_folder_that_cannot_be_synced_is_let_pass_and_one_that_fails_is_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(number: int) -> None:
        def fsync(fd: int) -> None:
            raise OSError(number, os.strerror(number))

        monkeypatch.setattr(os, "fsync", fsync)

    fail(errno.EINVAL)
    files.RealDisk().fsync_folder(tmp_path)
    fail(errno.EIO)
    with pytest.raises(OSError, match="Input/output"):
        files.RealDisk().fsync_folder(tmp_path)


@pytest.mark.skipif(os.name != "posix", reason="the flush of macOS")
@pytest.mark.parametrize("supported", [True, False])
def test_on_macos_a_sync_goes_down_to_the_medium(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, supported: bool
) -> None:
    import fcntl

    asked: list[object] = []

    def full(fd: int, what: int) -> int:
        asked.append(what)
        if not supported:
            raise OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP))
        return 0

    monkeypatch.setattr("sys.platform", "darwin")
    monkeypatch.setattr(fcntl, "F_FULLFSYNC", 51, raising=False)
    monkeypatch.setattr(fcntl, "fcntl", full)
    monkeypatch.setattr(os, "fsync", lambda fd: asked.append("fsync"))
    files.RealDisk().fsync(0)
    assert asked == ([51] if supported else [51, "fsync"])


def test_on_windows_a_held_file_is_tried_again_and_folders_are_not_synced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tries: list[int] = []
    real = os.replace

    def held(source: Path, target: Path) -> None:
        tries.append(1)
        if len(tries) < 3:
            raise PermissionError(errno.EACCES, "held")
        real(source, target)

    monkeypatch.setattr("sys.platform", "win32")
    monkeypatch.setattr(time, "sleep", lambda seconds: None)
    monkeypatch.setattr(os, "replace", held)
    write_atomic(tmp_path / "f", b"x")
    assert len(tries) == 3
    assert (tmp_path / "f").read_bytes() == b"x"
