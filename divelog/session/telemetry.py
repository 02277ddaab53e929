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
    read_capped,
    remove_quietly,
    storage_error,
)
from divelog.history.folding import fold
from divelog.history.runs import Run
from divelog.home import Home
from divelog.journal.events import Event
from divelog.journal.payload import mapping as table
from divelog.journal.payload import number
from divelog.papers.telemetry.mapping import Mapping, read_mapping
from divelog.papers.telemetry.model import Against, Telemetry, TelemetryError
from divelog.papers.telemetry.reading import Tell, read
from divelog.profiles.document import Fault
from divelog.profiles.toml import MOST_BYTES
from divelog.session.session import ReadOnlyError, Session
from divelog.text import check_slug, is_slug

MOST_FILE = 256 << 20
"""Bytes of a file of readings."""
CHUNK = 1 << 18
_LEAST_ID = 6
_UNITS = {"volts": "V", "temperature": "K"}


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
    depth = plan.depth.si if plan is not None and plan.depth is not None else None
    return Against(number(limits.get("keel")), depth, number(limits.get("volts")))


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
    start = run.start or run.end
    chunks = chunks_of(path, session.disk)
    return read(chunks, mapping, start=start, against=against(session, slug, run), tell=tell)


def attach(
    session: Session, slug: str, run: Run, path: Path, mapping: Mapping, tell: Tell | None = None
) -> Attached:
    """Read a file, keep a copy of it beside the journal, and write down what it says as measured.

    Raises:
        TelemetryError, StoppedError, StorageError: nothing was written down. ReadOnlyError.
    """
    if session.journal is None:
        raise ReadOnlyError("the home cannot be written; nothing is kept")
    if not is_slug(run.id):
        raise TelemetryError("that run's identifier cannot name a file")
    found = look_at(session, slug, run, path, mapping, tell)
    target = _target(session, slug, run.id, found.digest)
    _copy(session, path, target, found)
    events = tuple(
        session.append("measured", data, boat=slug, run=run.id, happened=None)
        for data in measured_data(found, mapping, run)
    )
    return Attached(target, events, found)


def _target(session: Session, slug: str, run: str, digest: str) -> Path:
    """Where the copy goes: ``telemetry/<run>.csv``, the next ones numbered; the same file again is refused."""
    for event in session.log(slug).events:
        if (
            event.what == "measured"
            and event.run == run
            and table(event.payload().get("conditions")).get("file") == digest
        ):
            raise TelemetryError("this file is attached to that run already")
    folder = session.home.journal_folder(slug) / "telemetry"
    there = set(list_folder(folder, session.disk, within=session.home.root))
    number_ = 1
    while (name := f"{run}.csv" if number_ == 1 else f"{run}.{number_}.csv") in there:
        number_ += 1
    return folder / name


def _copy(session: Session, source: Path, target: Path, found: Telemetry) -> None:
    """The file in one step; one that changed since it was read is refused."""
    disk = session.disk
    make_folder(target.parent, disk)
    spare = target.with_name(f".{target.name}.{os.urandom(4).hex()}.new")
    made = hashlib.sha256()
    try:
        fd = disk.open(spare, How.CREATE)
        try:
            for chunk in chunks_of(source, disk):
                made.update(chunk)
                if disk.write(fd, chunk) != len(chunk):
                    raise StorageError(StorageKind.FULL, target)
            if f"sha256:{made.hexdigest()}" != found.digest:
                raise TelemetryError("the file changed while it was read; attach it again")
            disk.fsync(fd)
        finally:
            close_quietly(fd, disk)
        disk.replace(spare, target)
        disk.fsync_folder(target.parent)
    except OSError as error:
        remove_quietly(spare, disk)
        raise storage_error(error, target) from error
    except BaseException:  # a stop by hand too: nothing half written stays
        remove_quietly(spare, disk)
        raise


def _si(value: float, u95: float | None = None, how: str = "sensor") -> dict[str, Any]:
    found: dict[str, Any] = {"si": value, "how": how}
    if u95:
        found["u95"] = u95
    return found


def measured_data(found: Telemetry, mapping: Mapping, run: Run) -> list[dict[str, Any]]:
    """Data of the ``measured`` events. Their paths begin with ``run.``: they are of one run, and move no limit."""
    conditions = {
        "file": found.digest, "rows": found.rows, "passed_over": found.bad, "gaps": found.gaps, "gap_seconds": found.gap_total,
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
            "method": f"attached by {mapping.name}",
        }
        for path, value in values
    ]
