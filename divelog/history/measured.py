"""Measured values: every one with its conditions, and the newest of each path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from divelog.history.grouping import ByKind, of
from divelog.journal.payload import Quantity, mapping, quantity, text, texts


@dataclass(frozen=True, slots=True)
class Measured:
    """A `measured`: the path it stands for, which item of a list, the value in SI, and under what
    conditions."""

    id: str
    at: datetime
    boat: str | None
    path: str
    item: str | None
    value: Quantity | None
    raw: Any
    conditions: Mapping[str, Any]
    method: str | None


@dataclass(frozen=True, slots=True)
class Filed:
    """A `boat.filed`: which paths the new profile changed."""

    id: str
    at: datetime
    boat: str | None
    digest: str | None
    changed: tuple[str, ...]


def measured(groups: ByKind) -> tuple[Measured, ...]:
    """Every measurement that names a path, in order. `raw` keeps values that are no quantities (a word, a
    list)."""
    found: list[Measured] = []
    for event in of(groups, "measured"):
        data = event.payload()
        path = text(data.get("path"))
        if path is None:
            continue
        raw = data.get("value")
        found.append(
            Measured(
                id=event.id,
                at=event.local,
                boat=event.boat,
                path=path,
                item=text(data.get("item")),
                value=quantity(raw),
                raw=raw,
                conditions=mapping(data.get("conditions")),
                method=text(data.get("method")),
            )
        )
    return tuple(found)


def filed(groups: ByKind) -> tuple[Filed, ...]:
    """Every filing of a profile, in order."""
    found: list[Filed] = []
    for event in of(groups, "boat.filed"):
        data = event.payload()
        found.append(
            Filed(event.id, event.local, event.boat, text(data.get("digest")), texts(data.get("changed")))
        )
    return tuple(found)


def newest(
    values: Sequence[Measured],
    filings: Sequence[Filed],
    path: str,
    item: str | None = None,
    boat: str | None = None,
) -> Measured | None:
    """The newest measurement of a path and item that still counts for limits.

    None if there is none, or if a profile filed since then changed that very path: then the file counts. With
    `boat`, only that boat's and those of no boat (the kit's).
    """
    for value in reversed(values):
        if value.path == path and value.item == item and (boat is None or value.boat in (None, boat)):
            later = any(
                path in each.changed and each.at > value.at and each.boat == value.boat for each in filings
            )
            return None if later else value
    return None
