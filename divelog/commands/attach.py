"""``divelog attach``: readings of an instrument, or of a charger, joined to a run."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path
from typing import Any

from divelog.commands.named import boat_named, open_journal
from divelog.commands.out import data, fault_data, say, tell, tell_faults
from divelog.exits import CallError, Exit
from divelog.files import StorageError, StorageKind
from divelog.history.runs import Run
from divelog.papers.telemetry.model import Progress, StoppedError, Telemetry, TelemetryError
from divelog.papers.telemetry.words import telemetry_text
from divelog.session.mapping_files import mapping_named, mappings
from divelog.session.session import Session
from divelog.session.telemetry import Attached, attach, look_at, run_named
from divelog.text import BadNameError, shown


def run_attach(words: Namespace) -> int:
    """Read a file by a mapping and join it to a run; with ``--look`` only say what it holds."""
    named = boat_named(words, words.boat)
    session = Session.reading(named.home, words.clock, named.shelf)
    try:
        mapping, faults = mapping_named(session, words.map)
    except BadNameError as error:
        raise CallError(str(error)) from error
    except StorageError as error:
        if error.kind is not StorageKind.MISSING:
            raise
        there = ", ".join(mappings(session)) or "none yet"
        raise CallError(
            f"no mapping called {words.map[:40]!r} in {named.home.root / 'mappings'}; there: {there}"
        ) from error
    if mapping is None:
        tell_faults(faults)
        if words.json:
            data({"schema": "divelog.faults/1", "faults": [fault_data(f) for f in faults]})
        return Exit.FAULT
    path = Path(words.file)
    try:
        run = run_named(session, named.slug, words.run_id)
    except TelemetryError as error:
        raise CallError(str(error)) from error
    try:
        if words.look:
            found = look_at(session, named.slug, run, path, mapping, _Told())
            _say(words, run, found, None)
            return Exit.DONE
        with open_journal(named.home, named.shelf, words) as journal:
            writing = Session(named.home, words.clock, named.shelf, journal)
            made = attach(writing, named.slug, run, path, mapping, _Told())
            for notice in writing.notices:
                tell(shown(notice))
    except TelemetryError as error:
        tell(f"divelog: {shown(path.name, 80)}: {shown(str(error))}")
        return Exit.FAULT
    except StoppedError:
        tell("divelog: stopped; nothing was kept")
        return Exit.CALL
    except StorageError as error:
        if error.path == path and error.kind in (
            StorageKind.MISSING,
            StorageKind.NOT_REGULAR,
            StorageKind.TOO_LARGE,
        ):
            raise CallError(str(error)) from error
        raise
    _say(words, run, made.telemetry, made)
    return Exit.DONE


class _Told:
    """Progress on a terminal, a line that is written over; elsewhere silence."""

    def __call__(self, progress: Progress) -> bool:
        """Always go on: ctrl+c stops, and nothing is kept then."""
        if sys.stderr.isatty():
            print(f"\r{progress.rows} rows, {progress.read >> 20} MiB", end="", file=sys.stderr, flush=True)
        return True


def _say(words: Namespace, run: Run, found: Telemetry, made: Attached | None) -> None:
    if words.json:
        data({"schema": "divelog.telemetry/1", "run": run.id, "kept": str(made.path) if made is not None else None,
              "events": [e.id for e in made.events] if made is not None else [], **telemetry_data(found)})  # fmt: skip
        return
    for line in telemetry_text(found):
        say(line)
    for number, why in found.faults:
        tell(shown(f"line {number} passed over: {why}"))
    if made is not None:
        say(
            f"kept as {made.path.name} beside her log; {len(made.events)} figures written down for run {run.id}"
        )
        _differs(run, found)


def _differs(run: Run, found: Telemetry) -> None:
    written = run.deepest
    if found.deepest is None or written is None or written.si is None or written.how == "sensor":
        return
    if abs(written.si - found.deepest) > (written.u95 or 0.0) + found.stats["depth"].u95:
        tell(
            f"the log says {written.si:.2f} m {shown(written.how or '')} for that run, the file {found.deepest:.2f} m;"
            " `divelog correct` puts it right"
        )


def telemetry_data(found: Telemetry) -> dict[str, Any]:
    """What was read, in SI, as ``divelog.telemetry/1`` has it."""
    return {
        "rows": found.rows, "passed_over": found.bad, "start": found.start, "end": found.end,
        "gaps": {"count": found.gaps, "longest": found.gap_longest, "total": found.gap_total},
        "deepest": found.deepest, "deepest_at": found.deepest_at, "below_limit": found.below_keel,
        "below_plan": found.below_plan, "under_volts": found.under_volts, "charge": found.charge,
        "charge_u95": found.charge_u95, "charge_how": found.charge_how or None, "digest": found.digest,
        "quantities": {
            name: {"count": s.count, "least": s.least, "least_at": s.least_at, "most": s.most, "most_at": s.most_at,
                   "first": s.first, "last": s.last, "mean": s.mean, "u95": s.u95}
            for name, s in found.stats.items()
        },
    }  # fmt: skip
