"""Events by kind, so that each fold decodes only what it reads."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from divelog.journal.events import Event

ByKind = Mapping[str, Sequence[Event]]


def by_kind(events: Iterable[Event], now: datetime | None = None) -> ByKind:
    """Events of known kinds in the order given; with `now`, none that took place after it."""
    groups: dict[str, list[Event]] = defaultdict(list)
    for event in events:
        if event.known and (now is None or event.at <= now):
            groups[event.what].append(event)
    return groups


def of(groups: ByKind, *kinds: str) -> list[Event]:
    """Events of some kinds, by the time they happened, then by identifier."""
    if len(kinds) == 1:
        return list(groups.get(kinds[0], ()))
    found = [event for kind in kinds for event in groups.get(kind, ())]
    return sorted(found, key=lambda event: (event.at, event.id))
