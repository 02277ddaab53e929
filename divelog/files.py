"""Every system call on data stands here, so that a faulty disk can take the place of the real one.

What no system call can promise: that a disk which says *written* has written, that a folder survives a power
cut on every file system, that a network drive locks. Digests in the journal are there to show what went wrong
all the same. After a failed `fsync` the system may have forgotten the unsaved pages (A. Rebello et al., "Can
Applications Recover from fsync Failures?", USENIX ATC 2020), so nothing here ever tries one again.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
import time
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Protocol

from divelog.text import shown


class StorageKind(StrEnum):
    """Why a file could not be read or written."""

    FULL = "full"
    READ_ONLY = "read_only"
    DENIED = "denied"
    MISSING = "missing"
    LOCKED = "locked"
    NOT_REGULAR = "not_regular"
    TOO_LARGE = "too_large"
    FAILED = "failed"


_SENTENCES = {
    StorageKind.FULL: "The disk is full: {path} could not be written.",
    StorageKind.READ_ONLY: "The disk may only be read: {path} could not be written.",
    StorageKind.DENIED: "There is no permission to use {path}.",
    StorageKind.MISSING: "{path} is not there.",
    StorageKind.LOCKED: "{path} is in use by another window or program.",
    StorageKind.NOT_REGULAR: "{path} is a link, a pipe or a device; only plain files and folders are used here.",
    StorageKind.TOO_LARGE: "{path} is larger than a file of its kind may be, so it was not read.",
    StorageKind.FAILED: "The disk failed at {path}.",
}


class StorageError(Exception):
    """A file could not be read or written; `str()` is one plain sentence."""

    def __init__(self, kind: StorageKind, path: Path, detail: str = "") -> None:
        sentence = _SENTENCES[kind].format(path=shown(str(path), 300))
        super().__init__(f"{sentence} {detail}".strip())
        self.kind = kind
        self.path = path


class Form(StrEnum):
    """What stands at a path."""

    FILE = "file"
    FOLDER = "folder"
    LINK = "link"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Status:
    """What stands at a path, how long it is in bytes, and which one it is."""

    form: Form
    size: int
    identity: tuple[int, int]


class How(StrEnum):
    """How a file is opened."""

    READ = "read"
    APPEND = "append"
    CREATE = "create"


class Disk(Protocol):
    """The system calls, one a method; each raises OSError as the system does."""

    def open(self, path: Path, how: How) -> int:
        """Opens a plain file: to read, to append to one that is there, or to append to a new one."""
        ...

    def read(self, fd: int, count: int) -> bytes:
        """Up to `count` bytes from where the last read ended."""
        ...

    def write(self, fd: int, data: bytes) -> int:
        """Appends in one call; returns how many bytes went in, which may be fewer."""
        ...

    def fsync(self, fd: int) -> None:
        """Sends the file's content to the medium."""
        ...

    def truncate(self, fd: int, size: int) -> None:
        """Cuts the file to `size` bytes."""
        ...

    def status(self, fd: int) -> Status:
        """What the open file is."""
        ...

    def lock(self, fd: int) -> bool:
        """Takes an exclusive lock until `close` or the end of the process; false if somebody else holds
        it."""
        ...

    def close(self, fd: int) -> None:
        """Closes the file."""
        ...

    def look(self, path: Path) -> Status | None:
        """What stands at the path, without following a link; none if nothing does."""
        ...

    def names(self, path: Path) -> list[str]:
        """Names in a folder, in no order."""
        ...

    def make_folder(self, path: Path) -> None:
        """Makes one folder, for its owner alone."""
        ...

    def replace(self, source: Path, target: Path) -> None:
        """Puts one file in the place of another in one step."""
        ...

    def remove(self, path: Path) -> None:
        """Removes a file."""
        ...

    def fsync_folder(self, path: Path) -> None:
        """Sends the names in a folder to the medium."""
        ...


def _status(found: os.stat_result) -> Status:
    mode = found.st_mode
    if stat.S_ISREG(mode):
        form = Form.FILE
    elif stat.S_ISDIR(mode):
        form = Form.FOLDER
    elif stat.S_ISLNK(mode):
        form = Form.LINK
    else:
        form = Form.OTHER
    return Status(form, found.st_size, (found.st_dev, found.st_ino))


# A pipe must not make us wait and a link must not lead us out; both flags are missing on Windows, where `open`
# looks first.
_GUARD = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_FLAGS = {
    How.READ: os.O_RDONLY,
    How.APPEND: os.O_RDWR | os.O_APPEND,
    How.CREATE: os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_EXCL,
}


class RealDisk:
    """The disk of this machine (Linux, macOS, Windows)."""

    def open(self, path: Path, how: How) -> int:
        """Opens a plain file; anything else raises OSError with ELOOP."""
        if how is not How.CREATE and not stat.S_ISREG(os.lstat(path).st_mode):
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path))
        fd = os.open(path, _FLAGS[how] | _GUARD, 0o600)
        if not stat.S_ISREG(os.fstat(fd).st_mode):  # it was changed between the two calls
            os.close(fd)
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path))
        return fd

    def read(self, fd: int, count: int) -> bytes:
        """Up to `count` bytes."""
        return os.read(fd, count)

    def write(self, fd: int, data: bytes) -> int:
        """One write."""
        return os.write(fd, data)

    def fsync(self, fd: int) -> None:
        """Down to the medium."""
        if sys.platform == "darwin":
            import fcntl

            # There fsync reaches the drive but not the medium (Apple, fsync(2)); not every file system has the other.
            try:
                fcntl.fcntl(fd, fcntl.F_FULLFSYNC)
            except OSError as error:
                if error.errno not in (errno.ENOTSUP, errno.EINVAL, errno.ENOTTY):
                    raise
            else:
                return
        os.fsync(fd)

    def truncate(self, fd: int, size: int) -> None:
        """Cuts the file."""
        os.ftruncate(fd, size)

    def status(self, fd: int) -> Status:
        """What the open file is."""
        return _status(os.fstat(fd))

    def lock(self, fd: int) -> bool:
        """The kernel's lock: it goes with the process, so none is ever stale.

        Where the file system cannot lock at all it counts as taken; the journal also notices a second writer
        by the length of its file.
        """
        if sys.platform == "win32":
            import msvcrt

            os.lseek(fd, 0, os.SEEK_SET)
            try:
                msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
            except OSError:
                return False
            return True
        import fcntl

        try:
            fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError as error:
            if error.errno not in (errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS):
                raise
        return True

    def close(self, fd: int) -> None:
        """Closes the file."""
        os.close(fd)

    def look(self, path: Path) -> Status | None:
        """What stands there, without following a link."""
        try:
            return _status(os.lstat(path))
        except (FileNotFoundError, NotADirectoryError):
            return None

    def names(self, path: Path) -> list[str]:
        """Names in a folder."""
        return os.listdir(path)

    def make_folder(self, path: Path) -> None:
        """Makes one folder, mode 0700."""
        os.mkdir(path, 0o700)

    def replace(self, source: Path, target: Path) -> None:
        """Replaces; on Windows a scanner may hold the target for a moment, so there it is tried five times."""
        if sys.platform == "win32":
            for wait in (0.01, 0.02, 0.05, 0.1):
                try:
                    os.replace(source, target)
                except PermissionError:
                    time.sleep(wait)
                else:
                    return
        os.replace(source, target)

    def remove(self, path: Path) -> None:
        """Removes a file."""
        os.unlink(path)

    def fsync_folder(self, path: Path) -> None:
        """Names to the medium; Windows has no such call."""
        if sys.platform == "win32":
            return
        fd = os.open(path, os.O_RDONLY | os.O_DIRECTORY)
        try:
            self.fsync(fd)
        except OSError as error:
            if error.errno not in (errno.EINVAL, errno.ENOTSUP):  # a file system that cannot sync a folder
                raise
        finally:
            os.close(fd)


DISK: Disk = RealDisk()
"""The disk everything uses unless a test gives another."""

_KINDS = {
    errno.ENOSPC: StorageKind.FULL,
    errno.EDQUOT: StorageKind.FULL,
    errno.EFBIG: StorageKind.FULL,
    errno.EROFS: StorageKind.READ_ONLY,
    errno.EACCES: StorageKind.DENIED,
    errno.EPERM: StorageKind.DENIED,
    errno.ENOENT: StorageKind.MISSING,
    errno.ENOTDIR: StorageKind.MISSING,
    errno.ELOOP: StorageKind.NOT_REGULAR,
    errno.ENXIO: StorageKind.NOT_REGULAR,
    errno.EISDIR: StorageKind.NOT_REGULAR,
}


def storage_error(error: OSError, path: Path) -> StorageError:
    """An error of the system as one of ours."""
    if getattr(error, "winerror", None) in (32, 33):  # sharing or lock violation
        kind = StorageKind.LOCKED
    else:
        kind = _KINDS.get(error.errno or 0, StorageKind.FAILED)
    detail = ""
    if kind is StorageKind.FAILED and error.errno:
        detail = f"The system says: {os.strerror(error.errno)}."
    return StorageError(kind, path, detail)


def look(path: Path, disk: Disk = DISK) -> Status | None:
    """What stands at the path, or none.

    Raises:
        StorageError: it cannot be told.
    """
    try:
        return disk.look(path)
    except (OSError, ValueError) as error:
        raise _as_storage(error, path) from error


def exists(path: Path, disk: Disk = DISK) -> bool:
    """Whether anything stands at the path."""
    return look(path, disk) is not None


def _as_storage(error: OSError | ValueError, path: Path) -> StorageError:
    if isinstance(error, OSError):
        return storage_error(error, path)
    return StorageError(StorageKind.MISSING, path)  # a NUL in the name: no such file can be


def _refuse_links(path: Path, within: Path, disk: Disk) -> None:
    """Refuses a path that leads through a link below `within`."""
    try:
        parts = path.relative_to(within).parts
    except ValueError:
        raise StorageError(StorageKind.DENIED, path) from None
    if ".." in parts:
        raise StorageError(StorageKind.DENIED, path)
    place = within
    for part in parts[:-1]:
        place = place / part
        found = look(place, disk)
        if found is not None and found.form is not Form.FOLDER:
            raise StorageError(StorageKind.NOT_REGULAR, place)


def read_capped(path: Path, cap: int, disk: Disk = DISK, within: Path | None = None) -> bytes:
    """The whole of a plain file of at most `cap` bytes; longer, it is refused before it is read.

    Links, pipes, devices and folders are refused; with `within`, so are links in the folders below it.

    Raises:
        StorageError: it could not be read.
    """
    if within is not None:
        _refuse_links(path, within, disk)
    try:
        fd = disk.open(path, How.READ)
    except (OSError, ValueError) as error:
        raise _as_storage(error, path) from error
    try:
        size = disk.status(fd).size
        if size > cap:
            raise StorageError(StorageKind.TOO_LARGE, path)
        parts: list[bytes] = []
        room = cap + 1  # it may grow while it is read
        while room > 0 and (part := disk.read(fd, min(room, size + 1))):
            parts.append(part)
            room -= len(part)
    except OSError as error:
        raise storage_error(error, path) from error
    finally:
        close_quietly(fd, disk)
    if room == 0:
        raise StorageError(StorageKind.TOO_LARGE, path)
    return parts[0] if len(parts) == 1 else b"".join(parts)


def close_quietly(fd: int, disk: Disk = DISK) -> None:
    """Closes; what was to be kept has been synced before, so a failing close loses nothing."""
    with contextlib.suppress(OSError):
        disk.close(fd)


def read_text(path: Path, cap: int, disk: Disk = DISK, within: Path | None = None) -> str:
    """The whole of a UTF-8 text file, without a byte order mark.

    Raises:
        StorageError: it could not be read.
        UnicodeDecodeError: it is not UTF-8.
    """
    return read_capped(path, cap, disk, within).decode("utf-8-sig")


def list_folder(path: Path, disk: Disk = DISK, within: Path | None = None) -> list[str]:
    """Names in a folder, sorted; a folder that is not there is empty.

    Raises:
        StorageError: it is not a folder, or could not be read.
    """
    if within is not None:
        _refuse_links(path / "_", within, disk)
    found = look(path, disk)
    if found is None:
        return []
    if found.form is not Form.FOLDER:
        raise StorageError(StorageKind.NOT_REGULAR, path)
    try:
        return sorted(disk.names(path))
    except OSError as error:
        raise storage_error(error, path) from error


def make_folder(path: Path, disk: Disk = DISK) -> None:
    """Makes a folder and those above it that are missing, for their owner alone, and syncs the names.

    Raises:
        StorageError: it could not be made, or something else stands there.
    """
    found = look(path, disk)
    if found is not None:
        if found.form is not Form.FOLDER:
            raise StorageError(StorageKind.NOT_REGULAR, path)
        return
    if path.parent != path:
        make_folder(path.parent, disk)
    try:
        disk.make_folder(path)
    except FileExistsError:
        return  # another window was quicker
    except (OSError, ValueError) as error:
        raise _as_storage(error, path) from error
    try:
        disk.fsync_folder(path.parent)
    except OSError as error:
        raise storage_error(error, path.parent) from error


def write_atomic(path: Path, data: bytes, disk: Disk = DISK, within: Path | None = None) -> None:
    """Writes a whole file so that after any fault either the old or the new one is there.

    A new file beside it, synced, then put in its place, then the folder synced. Folders are made as needed.

    Raises:
        StorageError: it was not written, or is not certain to last.
    """
    if within is not None:
        _refuse_links(path, within, disk)
    make_folder(path.parent, disk)
    there = look(path, disk)
    if there is not None and there.form is not Form.FILE:
        raise StorageError(StorageKind.NOT_REGULAR, path)
    spare = path.with_name(f".{path.name}.{os.urandom(4).hex()}.new")
    try:
        fd = disk.open(spare, How.CREATE)
    except (OSError, ValueError) as error:
        raise _as_storage(error, path) from error
    try:
        try:
            if disk.write(fd, data) != len(data):
                raise StorageError(StorageKind.FULL, path)
            disk.fsync(fd)
        finally:
            close_quietly(fd, disk)
        disk.replace(spare, path)
    except OSError as error:
        remove_quietly(spare, disk)
        raise storage_error(error, path) from error
    except StorageError:
        remove_quietly(spare, disk)
        raise
    try:
        disk.fsync_folder(path.parent)
    except OSError as error:
        raise storage_error(error, path) from error


def remove_quietly(path: Path, disk: Disk = DISK) -> None:
    """Removes a file of ours that holds nothing anybody was told is kept; a failure does no harm."""
    with contextlib.suppress(OSError):
        disk.remove(path)
