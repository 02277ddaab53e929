"""Bytes in chunks -> lines -> rows of numbers. Little memory, however long the file or a line of it."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, timedelta

from divelog.papers.telemetry.mapping import FACTORS, Mapping
from divelog.papers.telemetry.model import TelemetryError
from divelog.text import shown

MOST_LINE = 4096
"""Bytes of a line; a longer one is passed over, not kept."""
MOST_ROWS = 20_000_000
_DAY = 86_400.0


class BadRowError(ValueError):
    """A row that cannot be used, and why."""


def lines_of(chunks: Iterable[bytes]) -> Iterator[bytes | None]:
    """Lines without their ends; None for one longer than `MOST_LINE`."""
    left = b""
    dropping = False
    for chunk in chunks:
        parts = (left + chunk).split(b"\n")
        left = parts.pop()
        for part in parts:
            if dropping:
                dropping = False
                yield None
            elif len(part) > MOST_LINE:
                yield None
            else:
                yield part.removesuffix(b"\r")
        if len(left) > MOST_LINE:
            left, dropping = b"", True
    if dropping:
        yield None
    elif left:
        yield left


class Rows:
    """Rows of a file by a mapping: time in s and a value for each column, None where a cell is empty."""

    def __init__(self, mapping: Mapping, start: datetime | None = None) -> None:
        """`start` is when the run began; times that carry a date, or a time of day, are counted from it."""
        self.mapping = mapping
        self.start = start
        self._separator = mapping.separator.encode()
        self._clock: Callable[[str], float] | None = None
        self._last_day = -1.0
        self._first: float | None = None
        factor = FACTORS.get(mapping.counts)
        if factor is None:
            self._clock = self._time_of_day if mapping.counts == "time of day" else self._date
        self._factor = factor or 1.0
        self.places: list[int] = []
        self.time_place = 0

    def head(self, cells: list[str] | None) -> None:
        """Take the head, or none, and find where each column stands.

        Raises:
            TelemetryError: a column is not there.
        """
        names = [cell.strip().casefold() for cell in cells or ()]
        wanted = [self.mapping.time, *(column.column for column in self.mapping.columns)]
        found = []
        for name in wanted:
            if name.strip().casefold() in names:
                found.append(names.index(name.strip().casefold()))
            elif name.strip().isdecimal() and 1 <= int(name) <= 1000:
                found.append(int(name) - 1)
            else:
                there = ", ".join(shown(cell.strip(), 30) for cell in (cells or ())[:20]) or "no names"
                raise TelemetryError(f"no column called {shown(name, 40)}; the file has: {there}")
        self.time_place, *self.places = found

    def cells(self, line: bytes) -> list[str]:
        """The cells of a line as texts, quotes taken off.

        Raises:
            BadRowError: its quotes do not fit.
        """
        text = line.decode("utf-8", "replace")
        try:
            return next(
                csv.reader([text], delimiter=self.mapping.separator, skipinitialspace=True, strict=True), []
            )
        except csv.Error:
            raise BadRowError("quotes that do not fit") from None

    def row(self, line: bytes) -> tuple[float, list[float | None]]:
        """Time and values of one line.

        Raises:
            BadRowError: it has no time, a cell is no number, or a number is out of all bounds.
        """
        quoted = b'"' in line
        cells: list[bytes] = (
            [cell.encode() for cell in self.cells(line)] if quoted
            else line.split() if self._separator == b" " else line.split(self._separator)
        )  # fmt: skip
        if self.time_place >= len(cells):
            raise BadRowError(f"{len(cells)} cells, no time among them")
        time = self._time(cells[self.time_place])
        values: list[float | None] = []
        for column, place in zip(self.mapping.columns, self.places, strict=True):
            cell = cells[place].strip() if place < len(cells) else b""
            if not cell:
                values.append(None)
                continue
            value = self._number(cell) * column.factor + column.offset
            if not column.low <= value <= column.high:
                raise BadRowError(f"{column.gives} out of all bounds: {cell[:20].decode('utf-8', 'replace')}")
            values.append(value)
        if all(value is None for value in values):
            raise BadRowError("no reading in it")
        return time, values

    def _number(self, cell: bytes) -> float:
        try:
            value = float(cell.replace(b",", b".") if self.mapping.comma else cell)
        except ValueError:
            raise BadRowError(f"no number: {cell[:20].decode('utf-8', 'replace')}") from None
        if not math.isfinite(value) or b"_" in cell:
            raise BadRowError(f"no number: {cell[:20].decode('utf-8', 'replace')}")
        return value

    def _time(self, cell: bytes) -> float:
        cell = cell.strip()
        if self._clock is None:
            time = self._number(cell) * self._factor
        else:
            try:
                time = self._clock(cell.decode("ascii", "replace"))
            except (ValueError, OverflowError):
                raise BadRowError(f"no time: {cell[:30].decode('utf-8', 'replace')}") from None
        if abs(time) > 1e10:
            raise BadRowError("a time out of all bounds")
        if self.mapping.from_first and self._clock is None:
            if self._first is None:
                self._first = time
            time -= self._first
        return time + self.mapping.shift

    def _time_of_day(self, text: str) -> float:
        hours, minutes, *rest = text.split(":")
        seconds = float(rest[0].replace(",", ".")) if rest else 0.0
        time = int(hours) * 3600 + int(minutes) * 60 + seconds
        if not 0 <= time < _DAY or not math.isfinite(time):
            raise ValueError(text)
        if self.start is not None:
            begun = self.start.hour * 3600 + self.start.minute * 60 + self.start.second
            time -= begun
            if time < -_DAY / 2:
                time += _DAY
        elif self._first is None:
            self._first, time = time, 0.0
        else:
            time = (time - self._first) % _DAY
        return time

    def _date(self, text: str) -> float:
        moment = datetime.fromisoformat(text)
        if self.start is None:
            if self._first is None:
                self._first = moment.timestamp()
            return moment.timestamp() - self._first
        if moment.tzinfo is None:
            moment = moment.replace(tzinfo=self.start.tzinfo)
        return (moment - self.start) / timedelta(seconds=1)
