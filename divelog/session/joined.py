"""Files of readings that are joined to a run, as her log tells of them, and the way back to what stands in them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from divelog.files import StorageError, StorageKind, read_capped
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.payload import Quantity, quantity, text
from divelog.journal.payload import mapping as table
from divelog.papers.telemetry.mapping import Mapping, read_mapping
from divelog.papers.telemetry.model import Against, Telemetry, TelemetryError
from divelog.papers.telemetry.reading import Tell
from divelog.profiles.toml import MOST_BYTES
from divelog.session.mapping_files import mapping_named
from divelog.session.session import Session
from divelog.session.telemetry import METHOD, Source, against, read_source, telemetry_folder
from divelog.text import BadNameError


@dataclass(frozen=True, slots=True)
class Joined:
    """One file: its digest, the name of its copy and of its mapping, when it was joined, and its figures by path."""

    digest: str
    kept: str
    mapping: str
    at: datetime
    figures: tuple[tuple[str, Quantity], ...]


def joined(events: Iterable[Event], run: str) -> tuple[Joined, ...]:
    """Files joined to a run, in the order of joining; figures that were made void are left out."""
    found: dict[str, Joined] = {}
    for event in events:
        if event.what != "measured" or event.run != run or not event.known:
            continue
        data = event.payload()
        conditions, method = table(data.get("conditions")), text(data.get("method")) or ""
        digest, value = text(conditions.get("file")), quantity(data.get("value"))
        if digest is None or not method.startswith(METHOD):
            continue
        before = found.get(digest)
        figures = before.figures if before is not None else ()
        if value is not None:
            figures = (*figures, (text(data.get("path")) or "", value))
        kept = text(conditions.get("kept")) or ""
        at = before.at if before is not None else event.local
        found[digest] = Joined(digest, kept, method.removeprefix(METHOD), at, figures)
    return tuple(found.values())


def source_of(session: Session, slug: str, run: Run, one: Joined) -> tuple[Source, Against]:
    """What it takes to read a joined file again, and the limits of its run.

    Raises:
        TelemetryError: its copy or its mapping cannot be had.
        StorageError: they cannot be read.
    """
    stem, _, end = one.kept.rpartition(".")
    number = stem.removeprefix(run.id).removeprefix(".")
    if end != "csv" or stem.split(".")[0] != run.id or not (number.isdecimal() or not number):
        raise TelemetryError("the log does not say where the copy of the file is")
    path = telemetry_folder(session, slug) / one.kept
    mapping = _mapping(session, slug, one)
    if mapping is None:
        raise TelemetryError(f"its mapping, {one.mapping}, cannot be read; the copy of the file is {path}")
    return Source(path, mapping), against(session, slug, run)


def _mapping(session: Session, slug: str, one: Joined) -> Mapping | None:
    """The mapping that was kept with the copy; the person's own of that name where it is gone."""
    path = (telemetry_folder(session, slug) / one.kept).with_suffix(".toml")
    try:
        raw = read_capped(path, MOST_BYTES, session.disk, within=session.home.root)
        found, _ = read_mapping(raw, f"mappings/{one.mapping}.toml")
        if found is not None:
            return found
    except StorageError as error:
        if error.kind is not StorageKind.MISSING:
            raise
    try:
        return mapping_named(session, one.mapping)[0]
    except (BadNameError, StorageError):
        return None


def read_again(
    session: Session, source: Source, run: Run, limits: Against, one: Joined, tell: Tell | None = None
) -> Telemetry:
    """What the copy of a joined file says. It asks nothing of the session's log, so a thread may do it.

    Raises:
        TelemetryError: it is gone, or it is not the file that was joined. StoppedError, StorageError.
    """
    try:
        found = read_source(session.disk, source, run, limits, tell)
    except StorageError as error:
        if error.kind is StorageKind.MISSING:
            raise TelemetryError("the copy of the file is not in this home; its figures are") from error
        raise
    if found.digest != one.digest:
        raise TelemetryError("the copy is not the file that was joined: it was changed since")
    return found
