"""Names of journal files, and which of them a window may write."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from divelog.files import (
    DISK,
    Disk,
    Form,
    How,
    StorageError,
    StorageKind,
    close_quietly,
    list_folder,
    look,
    make_folder,
    storage_error,
)
from divelog.home import KIT, Home
from divelog.text import is_slug

SUFFIX = ".jsonl"
MAX_WINDOWS = 20


def label(boat: str | None, file: str) -> str:
    """A file as it stands in reports and heads: folder and name."""
    return f"{KIT if boat is None else boat}/{file}"


def file_name(name: str, number: int) -> str:
    """Our first file is `name.jsonl`, the next `name.2.jsonl`."""
    return f"{name}{SUFFIX}" if number == 1 else f"{name}.{number}{SUFFIX}"


def numbers(folder: Path, name: str, disk: Disk = DISK) -> list[int]:
    """Which of the files of `name` there are, in the order they were begun.

    Raises:
        StorageError: the folder cannot be read.
    """
    pattern = re.compile(re.escape(name) + r"(?:\.([1-9]\d{0,8}))?" + re.escape(SUFFIX))
    found = (pattern.fullmatch(file) for file in list_folder(folder, disk))
    return sorted(int(match[1] or 1) for match in found if match)


def aside_name(folder: Path, file: str, disk: Disk = DISK) -> Path:
    """A free name for what was cut off at the end of `file`.

    Raises:
        StorageError: the folder cannot be read.
    """
    stem = file.removesuffix(SUFFIX)
    number = 1
    while look(folder / f"{stem}.set-aside-{number}.txt", disk) is not None:
        number += 1
    return folder / f"{stem}.set-aside-{number}.txt"


def journal_files(home: Home, boat: str | None, disk: Disk = DISK) -> list[Path]:
    """Journal files of one boat, or of no boat, in order of name; conflict copies are among them.

    Raises:
        StorageError: the folder is a link, or cannot be read.
    """
    folder = home.journal_folder(boat)
    names = list_folder(folder, disk, within=home.root)
    return [folder / name for name in names if name.endswith(SUFFIX) and not name.startswith(".")]


def logged_boats(home: Home, disk: Disk = DISK) -> list[str]:
    """Boats that have a folder in the logbook, by name.

    Raises:
        StorageError: the logbook cannot be read.
    """
    boats = []
    for name in list_folder(home.logbook, disk, within=home.root):
        found = look(home.logbook / name, disk) if is_slug(name) else None
        if found is not None and found.form is Form.FOLDER:
            boats.append(name)
    return boats


@dataclass(frozen=True, slots=True)
class Window:
    """The name this window writes under, while it holds the lock `fd`; `number` is 1 for the first window."""

    name: str
    number: int
    fd: int


def take_window(home: Home, device: str, disk: Disk = DISK) -> Window:
    """Takes the device's name, or that with a number if other windows have it.

    The lock is the kernel's, on an empty file: it goes with the process, however that ends.

    Raises:
        StorageError: every name is taken, or the lock cannot be made.
    """
    list_folder(home.logbook, disk, within=home.root)  # refuses links on the way
    make_folder(home.logbook, disk)
    for number in range(1, MAX_WINDOWS + 1):
        name = device if number == 1 else f"{device}-{number}"
        path = home.logbook / f".{name}.lock"
        fd = _open_lock(path, disk)
        try:
            taken = disk.lock(fd)
        except OSError as error:
            close_quietly(fd, disk)
            raise storage_error(error, path) from error
        if taken:
            return Window(name, number, fd)
        close_quietly(fd, disk)
    raise StorageError(StorageKind.LOCKED, home.logbook)


def _open_lock(path: Path, disk: Disk) -> int:
    try:
        try:
            return disk.open(path, How.CREATE)
        except FileExistsError:
            return disk.open(path, How.APPEND)
    except OSError as error:
        raise storage_error(error, path) from error
