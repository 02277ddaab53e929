"""A whole file, read in one pass: rows in, one `Telemetry` out. It can be stopped at any moment."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from types import MappingProxyType

from divelog.papers.telemetry.mapping import Mapping
from divelog.papers.telemetry.model import Against, Progress, StoppedError, Telemetry, TelemetryError
from divelog.papers.telemetry.rows import MOST_ROWS, BadRowError, Rows, lines_of
from divelog.papers.telemetry.summing import Sums
from divelog.text import shown

EVERY = 20_000
"""Rows between two words of progress."""
MOST_FAULTS = 10
MOST_BAD = 0.5
"""Share of rows that may be bad; with more, the mapping does not fit the file."""

Tell = Callable[[Progress], bool]
"""Takes how far it is; False stops it."""


class _Counted:
    """Chunks passed on, counted and digested."""

    def __init__(self, chunks: Iterable[bytes]) -> None:
        self._chunks = chunks
        self.size = 0
        self.hash = hashlib.sha256()

    def __iter__(self) -> Iterator[bytes]:
        first = True
        for chunk in self._chunks:
            if first and chunk.startswith((b"\xff\xfe", b"\xfe\xff")):
                raise TelemetryError("the file is in UTF-16; save it as plain text in UTF-8")
            self.size += len(chunk)
            self.hash.update(chunk)
            yield chunk.removeprefix(b"\xef\xbb\xbf") if first else chunk
            first = False


def read(
    chunks: Iterable[bytes], mapping: Mapping, *, start: datetime | None = None, against: Against | None = None,
    tell: Tell | None = None,
) -> Telemetry:  # fmt: skip
    """Everything a file says.

    Raises:
        TelemetryError: it cannot be used with this mapping.
        StoppedError: `tell` said so.
    """
    counted = _Counted(chunks)
    rows = Rows(mapping, start)
    sums = Sums(mapping, against if against is not None else Against())
    faults: list[tuple[int, str]] = []
    bad = 0
    to_skip, headed = mapping.skip, not mapping.head
    if headed:
        rows.head(None)
    number = 0
    for number, line in enumerate(lines_of(counted), 1):
        if number % EVERY == 0 and tell is not None and not tell(Progress(number, counted.size)):
            raise StoppedError
        if number > MOST_ROWS:
            raise TelemetryError(f"over {MOST_ROWS} rows; cut the file at the run")
        if to_skip:
            to_skip -= 1
            continue
        if line is not None and (not line.strip() or line.startswith(b"#")):
            continue
        if not headed and line is not None:
            try:
                rows.head(rows.cells(line))
            except BadRowError as wrong:
                raise TelemetryError(f"the head cannot be read: {shown(str(wrong), 200)}") from None
            headed = True
            continue
        reason = "a line longer than a row may be" if line is None else _take(rows, sums, line)
        if reason:
            bad += 1
            if len(faults) < MOST_FAULTS:
                faults.append((number, reason))
    if tell is not None and not tell(Progress(number, counted.size)):
        raise StoppedError
    if sums.rows == 0 or bad > MOST_BAD * (bad + sums.rows):
        why = f"; line {faults[0][0]}: {faults[0][1]}" if faults else ""
        raise TelemetryError(
            f"{sums.rows} rows can be read by this mapping and {bad} cannot{shown(why, 200)}"
        )
    return _told(mapping, sums, bad, faults, counted)


def _take(rows: Rows, sums: Sums, line: bytes) -> str:
    """One line into the sums; why not, or an empty text."""
    if b"\0" in line:
        return "a NUL byte"
    try:
        at, values = rows.row(line)
    except BadRowError as wrong:
        return str(wrong)
    if sums.rows and at < sums.last:
        return "a time before that of the row before"
    sums.add(at, values)
    return ""


def _told(
    mapping: Mapping, sums: Sums, bad: int, faults: list[tuple[int, str]], counted: _Counted
) -> Telemetry:
    running = {name: one for name, one in sums.running.items() if one.count}
    charge, charge_u95, how = _charge(mapping, sums)
    depth, volts = "depth" in running, "volts" in running
    against = sums.against
    return Telemetry(
        rows=sums.rows,
        bad=bad,
        faults=tuple(faults),
        start=sums.start,
        end=sums.last,
        gaps=sums.gaps,
        gap_longest=sums.gap_longest,
        gap_total=sums.gap_total,
        stats=MappingProxyType({name: one.stat() for name, one in running.items()}),
        deepest=sums.deepest,
        deepest_at=sums.deepest_at,
        below_keel=_below(sums, sums.below_keel, against.keel) if depth else None,
        below_plan=_below(sums, sums.below_plan, against.plan) if depth else None,
        under_volts=sums.under_volts if volts and against.volts is not None else None,
        charge=charge,
        charge_u95=charge_u95,
        charge_how=how,
        digest="sha256:" + counted.hash.hexdigest(),
        size=counted.size,
        series=MappingProxyType({name: one.thinned.points() for name, one in running.items()}),
        breaks=MappingProxyType({name: one.breaks() for name, one in running.items()}),
    )


def _below(sums: Sums, seconds: float, limit: float | None) -> float | None:
    """Seconds below a limit; none where only readings that stand alone lie below it, as they make no depth either."""
    if limit is None:
        return None
    return seconds if sums.deepest is not None and sums.deepest > limit else 0.0


def _charge(mapping: Mapping, sums: Sums) -> tuple[float | None, float | None, str]:
    """Charge used: a counter of the file first, current over time second. The ± of one reading stands for a fixed
    fault of the sensor, so it adds up over the whole time."""
    counter, current = sums.running.get("charge"), sums.running.get("current")
    if counter is not None and counter.count > 1:
        return (
            abs(counter.last - counter.first + sums.charge_before),
            2**0.5 * counter.u95,
            "counted by the instrument",
        )
    if current is not None and current.seconds > 0.0:
        return abs(current.area), current.u95 * current.seconds, "current over time"
    return None, None, ""
