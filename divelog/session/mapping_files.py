"""The person's mappings: files of the home that say which column of a file of readings is what."""

from __future__ import annotations

from pathlib import Path

from divelog.files import (
    How,
    StorageError,
    StorageKind,
    close_quietly,
    list_folder,
    read_capped,
    storage_error,
    write_atomic,
)
from divelog.home import Home
from divelog.papers.telemetry.guessing import HEAD_BYTES
from divelog.papers.telemetry.mapping import Mapping, read_mapping
from divelog.papers.telemetry.model import TelemetryError
from divelog.papers.telemetry.reading import read
from divelog.profiles.document import Fault
from divelog.profiles.toml import MOST_BYTES
from divelog.session.session import ReadOnlyError, Session
from divelog.text import check_slug, is_slug

FEW = 0.1
"""Share of the first rows that may be broken where a mapping still fits."""


def mappings_folder(home: Home) -> Path:
    """Folder of the person's mappings."""
    return home.root / "mappings"


def mapping_named(session: Session, name: str) -> tuple[Mapping | None, tuple[Fault, ...]]:
    """The mapping of that name, or its faults.

    Raises:
        StorageError: it is not there, or cannot be read.
        BadNameError: the name is no file name.
    """
    path = mappings_folder(session.home) / f"{check_slug(name.removesuffix('.toml'))}.toml"
    raw = read_capped(path, MOST_BYTES, session.disk, within=session.home.root)
    return read_mapping(raw, f"mappings/{path.name}")


def mappings(session: Session) -> tuple[str, ...]:
    """Names of all mappings of the home."""
    names = list_folder(mappings_folder(session.home), session.disk, within=session.home.root)
    return tuple(
        n.removesuffix(".toml") for n in names if n.endswith(".toml") and is_slug(n.removesuffix(".toml"))
    )


def save_mapping(session: Session, name: str, raw: bytes) -> Mapping:
    """Write a mapping under a name that is free, or that holds the same already.

    Raises:
        TelemetryError: another mapping has that name, or `raw` is none.
        BadNameError: the name is no file name. ReadOnlyError, StorageError.
    """
    if session.journal is None:
        raise ReadOnlyError("the home cannot be written; nothing is kept")
    path = mappings_folder(session.home) / f"{check_slug(name)}.toml"
    made, faults = read_mapping(raw, f"mappings/{path.name}")
    if made is None:
        raise TelemetryError(f"{faults[0].path}: found {faults[0].found}, wanted {faults[0].wanted}")
    if name in mappings(session):
        if read_capped(path, MOST_BYTES, session.disk, within=session.home.root) != raw:
            raise TelemetryError(f"another mapping is called {name}")
        return made
    write_atomic(path, raw, session.disk, within=session.home.root)
    return made


def head_of(session: Session, path: Path) -> bytes:
    """The beginning of a file, enough to see what its columns are.

    Raises:
        StorageError: it is not there, is no plain file, or cannot be read.
    """
    disk = session.disk
    try:
        fd = disk.open(path, How.READ)
    except FileNotFoundError as error:
        raise StorageError(StorageKind.MISSING, path) from error
    except ValueError as error:
        raise StorageError(StorageKind.MISSING, path) from error
    except OSError as error:
        raise storage_error(error, path) from error
    try:
        found = b""
        while len(found) < HEAD_BYTES and (chunk := disk.read(fd, HEAD_BYTES - len(found))):
            found += chunk
        return found
    except OSError as error:
        raise storage_error(error, path) from error
    finally:
        close_quietly(fd, disk)


def fits(mapping: Mapping, head: bytes) -> bool:
    """Whether a mapping reads the first rows of a file; a few of them may be broken."""
    whole = head[: head.rfind(b"\n") + 1] if len(head) >= HEAD_BYTES else head
    try:
        found = read([whole], mapping)
    except TelemetryError:
        return False
    return found.bad <= FEW * found.rows
