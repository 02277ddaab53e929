"""A file of readings joined to a run: read once, kept beside the journal, its figures written down as measured."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from divelog.files import (
    Disk,
    How,
    StorageError,
    StorageKind,
    close_quietly,
    list_folder,
    make_folder,
    remove_quietly,
    storage_error,
    write_atomic,
)
from divelog.history.folding import fold
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.payload import mapping as table
from divelog.journal.payload import number
from divelog.papers.telemetry.mapping import Mapping
from divelog.papers.telemetry.model import Against, Progress, StoppedError, Telemetry, TelemetryError
from divelog.papers.telemetry.reading import Tell, read
from divelog.session.session import ReadOnlyError, Session
from divelog.text import is_slug

MOST_FILE = 256 << 20
"""Bytes of a file of readings."""
CHUNK = 1 << 18
_LEAST_ID = 6
METHOD = "attached by "
"""How a figure out of a file was had; the name of the mapping follows."""
_UNITS = {"volts": "V", "temperature": "K"}


def run_named(session: Session, slug: str, text: str) -> Run:
    """The run an identifier, its beginning, or ``last`` names.

    Raises:
        TelemetryError: there is no one such run.
    """
    runs = [run for run in fold(session.log(slug).events, session.clock.now()).runs if run.boat == slug]
    if text == "last":
        if not runs:
            raise TelemetryError(f"{slug} has no run yet")
        return runs[-1]
    found = [run for run in runs if run.id.startswith(text)]
    if len(found) != 1 or len(text) < _LEAST_ID:
        raise TelemetryError(
            f"no one run of {slug} begins with {text[:40]!r}; `divelog runs {slug} --json` names them"
        )
    return found[0]


def against(session: Session, slug: str, run: Run) -> Against:
    """Limits that held in the run: as they were written down then."""
    limits = table(run.limits)
    history = fold(session.log(slug).events)
    moment = run.start or run.end
    plan = history.plan_at(slug, moment) if moment is not None else None
    same = plan is not None and moment is not None and plan.at.date() == moment.date()
    depth = plan.depth.si if plan is not None and same and plan.depth is not None else None
    return Against(
        number(limits.get("keel")), depth, number(limits.get("volts")), number(limits.get("aerial"))
    )


@dataclass(frozen=True, slots=True)
class Source:
    """A file and the mapping to read it by."""

    path: Path
    mapping: Mapping


def read_source(disk: Disk, source: Source, run: Run, limits: Against, tell: Tell | None = None) -> Telemetry:
    """Everything a file says of a run. It asks nothing of a session, so a thread may do it.

    Raises:
        TelemetryError, StoppedError, StorageError.
    """
    chunks = chunks_of(source.path, disk)
    return read(chunks, source.mapping, start=run.start or run.end, against=limits, tell=tell)


def chunks_of(path: Path, disk: Disk, cap: int = MOST_FILE) -> Iterator[bytes]:
    """A plain file in chunks; refused before it is read where it is larger than `cap`.

    Raises:
        StorageError: it cannot be read.
    """
    try:
        fd = disk.open(path, How.READ)
    except FileNotFoundError as error:
        raise StorageError(StorageKind.MISSING, path) from error
    except (OSError, ValueError) as error:
        raise (
            storage_error(error, path)
            if isinstance(error, OSError)
            else StorageError(StorageKind.MISSING, path)
        ) from error
    try:
        if disk.status(fd).size > cap:
            raise StorageError(StorageKind.TOO_LARGE, path)
        room = cap
        while chunk := disk.read(fd, CHUNK):
            room -= len(chunk)
            if room < 0:  # it grew while it was read
                raise StorageError(StorageKind.TOO_LARGE, path)
            yield chunk
    except OSError as error:
        raise storage_error(error, path) from error
    finally:
        close_quietly(fd, disk)


@dataclass(frozen=True, slots=True)
class Attached:
    """What was kept: the file's copy, the events, and what was read."""

    path: Path
    events: tuple[Event, ...]
    telemetry: Telemetry


def look_at(
    session: Session, slug: str, run: Run, path: Path, mapping: Mapping, tell: Tell | None = None
) -> Telemetry:
    """Everything the file says of the run; nothing is kept.

    Raises:
        TelemetryError, StoppedError, StorageError.
    """
    return read_source(session.disk, Source(path, mapping), run, against(session, slug, run), tell)


def attach(
    session: Session, slug: str, run: Run, path: Path, mapping: Mapping, tell: Tell | None = None
) -> Attached:
    """Read a file, keep a copy of it beside the journal, and write down what it says as measured.

    Raises:
        TelemetryError, StoppedError, StorageError: nothing was written down. ReadOnlyError.
    """
    found = look_at(session, slug, run, path, mapping, tell)
    target = place_for(session, slug, run, found)
    keep_copy(session.disk, path, target, found, mapping)
    return write_down(session, slug, run, target, found, mapping)


def place_for(session: Session, slug: str, run: Run, found: Telemetry) -> Path:
    """Where the copy goes: ``telemetry/<run>.csv``, the next ones numbered.

    Raises:
        TelemetryError: the same file is attached to that run already. ReadOnlyError, StorageError.
    """
    if session.journal is None:
        raise ReadOnlyError("the home cannot be written; nothing is kept")
    if not is_slug(run.id):
        raise TelemetryError("that run's identifier cannot name a file")
    for event in session.log(slug).events:
        if (
            event.what == "measured"
            and event.run == run.id
            and table(event.payload().get("conditions")).get("file") == found.digest
        ):
            raise TelemetryError("this file is attached to that run already")
    folder = telemetry_folder(session, slug)
    there = set(list_folder(folder, session.disk, within=session.home.root))
    number_ = 1
    while (name := f"{run.id}.csv" if number_ == 1 else f"{run.id}.{number_}.csv") in there:
        number_ += 1
    return folder / name


def telemetry_folder(session: Session, slug: str) -> Path:
    """Folder of the files that are joined to runs of a boat."""
    return session.home.journal_folder(slug) / "telemetry"


def write_down(
    session: Session, slug: str, run: Run, target: Path, found: Telemetry, mapping: Mapping
) -> Attached:
    """The figures of a file whose copy is kept, as ``measured`` events of the run.

    Raises:
        StorageError: what was not written down. ReadOnlyError.
    """
    events = tuple(
        session.append("measured", data, boat=slug, run=run.id, happened=None)
        for data in measured_data(found, mapping, run, target.name)
    )
    return Attached(target, events, found)


def keep_copy(
    disk: Disk, source: Path, target: Path, found: Telemetry, mapping: Mapping, tell: Tell | None = None
) -> None:
    """The file in one step, with its mapping beside it; one that changed since it was read is refused.

    It asks nothing of a session, so a thread may do it.

    Raises:
        TelemetryError: the file changed. StoppedError: `tell` said so; nothing of it stays. StorageError.
    """
    make_folder(target.parent, disk)
    beside = target.with_suffix(".toml")
    write_atomic(beside, mapping.raw, disk)
    spare = target.with_name(f".{target.name}.{os.urandom(4).hex()}.new")
    made = hashlib.sha256()
    try:
        fd = disk.open(spare, How.CREATE)
        try:
            size = 0
            for chunk in chunks_of(source, disk):
                made.update(chunk)
                if disk.write(fd, chunk) != len(chunk):
                    raise StorageError(StorageKind.FULL, target)
                size += len(chunk)
                if tell is not None and not tell(Progress(0, size)):
                    raise StoppedError
            if f"sha256:{made.hexdigest()}" != found.digest:
                raise TelemetryError("the file changed while it was read; attach it again")
            disk.fsync(fd)
        finally:
            close_quietly(fd, disk)
        disk.replace(spare, target)
        disk.fsync_folder(target.parent)
    except OSError as error:
        remove_quietly(spare, disk)
        remove_quietly(beside, disk)
        raise storage_error(error, target) from error
    except BaseException:  # a stop by hand too: nothing half written stays
        remove_quietly(spare, disk)
        remove_quietly(beside, disk)
        raise


def _si(value: float, u95: float | None = None, how: str = "sensor") -> dict[str, Any]:
    found: dict[str, Any] = {"si": value, "how": how}
    if u95:
        found["u95"] = u95
    return found


def covered(found: Telemetry, run: Run) -> float | None:
    """Seconds of a run in which the file has readings; None where nobody knows how long it was."""
    if not run.minutes:
        return None
    return max(0.0, min(found.end, 60.0 * run.minutes) - max(found.start, 0.0) - found.gap_total)


def measured_data(found: Telemetry, mapping: Mapping, run: Run, kept: str) -> list[dict[str, Any]]:
    """Data of the ``measured`` events. Their paths begin with ``run.``: they are of one run, and move no limit."""
    conditions = {
        "file": found.digest, "kept": kept, "rows": found.rows, "passed_over": found.bad, "gaps": found.gaps,
        "gap_seconds": found.gap_total, "covers": covered(found, run),
    }  # fmt: skip
    values: list[tuple[str, dict[str, Any]]] = []
    stats = found.stats
    if found.deepest is not None:
        values.append(("run.deepest", _si(found.deepest, stats["depth"].u95)))
    for path, seconds in (
        ("run.below_limit", found.below_keel), ("run.below_plan", found.below_plan), ("run.under_volts", found.under_volts),
    ):  # fmt: skip
        if seconds is not None:
            values.append((path, _si(seconds)))
    if found.charge is not None:
        path = "run.charge_put_back" if mapping.charger else "run.charge_used"
        values.append((path, _si(found.charge, found.charge_u95, found.charge_how)))
    if "volts" in stats:
        path, volts = (
            ("run.end_volts", stats["volts"].last)
            if mapping.charger
            else ("run.lowest_volts", stats["volts"].least)
        )
        values.append((path, _si(volts, stats["volts"].u95)))
    if "current" in stats:
        values.append(("run.greatest_current", _si(stats["current"].most, stats["current"].u95)))
    if "temperature" in stats:
        values.append(("run.warmest", _si(stats["temperature"].most, stats["temperature"].u95)))
    if "signal" in stats:
        values.append(("run.weakest_signal", _si(stats["signal"].least, stats["signal"].u95)))
    if not values:
        values.append(("run.seconds_logged", _si(found.seconds)))
    item = {"item": run.pack} if run.pack and mapping.charger else {}
    return [
        {
            "path": path,
            **item,
            "value": value,
            "conditions": conditions,
            "method": f"{METHOD}{mapping.name}",
        }
        for path, value in values
    ]
