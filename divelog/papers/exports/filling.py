"""What all tables of the database share: the book folded once, and how a value becomes a cell."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, TypeAlias

from divelog.history.folding import History
from divelog.journal.events import Event
from divelog.journal.payload import Quantity
from divelog.papers.exports.book import Book
from divelog.text import shown

Row: TypeAlias = tuple[Any, ...]


@dataclass(slots=True)
class Filling:
    """What several tables need, worked out once."""

    book: Book
    history: History
    by_kind: Mapping[str, list[Event]]
    rows: dict[str, list[Row]] = field(default_factory=dict)
    hours_before: dict[str, float] = field(default_factory=dict)
    starts: dict[tuple[str | None, str | None], list[tuple[datetime, str]]] = field(default_factory=dict)
    """When each list of a boat was begun, and the walk."""


def safe(value: Any) -> Any:
    """A value as a cell: foreign text made harmless, no NaN, flags as 0 and 1."""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, str):
        return shown(value, 1 << 20, one_line=False)
    if isinstance(value, float):
        # Twelve figures: 5e-6 m3 is 5 mL, not 5.000000000000001.
        return float(f"{value:.12g}") if math.isfinite(value) else None
    if isinstance(value, int):
        return value if abs(value) < 1 << 62 else float(value)
    if isinstance(value, datetime):
        return utc(value)
    return value


def utc(moment: datetime | None) -> str | None:
    """A moment as the database holds it: UTC, ``2032-05-04 07:41:00``, which its date functions read."""
    return None if moment is None else moment.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S")


def day(moment: datetime | None) -> str | None:
    """The local date."""
    return None if moment is None else moment.date().isoformat()


def si(found: Quantity | None, factor: float = 1.0, offset: float = 0.0) -> float | None:
    """The number of a quantity in another unit."""
    return None if found is None or found.si is None else (found.si - offset) / factor
