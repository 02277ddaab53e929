"""Events an answer amounts to, against those it has already written: what is new, what is to be corrected."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from divelog.checks.said import correction
from divelog.checks.state import Pending, Written

AGAIN = "answered again"


def settle(wanted: Sequence[Pending], written: Sequence[Written], complete: bool) -> list[Pending]:
    """What is still to be written.

    An event that says the same stays; one that says something else is corrected; one that no answer stands behind any
    more is made void, once the line is complete.
    """
    left = list(written)
    found: list[Pending] = []
    unmatched: list[Pending] = []
    for pending in wanted:
        same = next((w for w in left if w.what == pending.what and _alike(w.data, pending.data)), None)
        if same is not None:
            left.remove(same)
        else:
            unmatched.append(pending)
    for pending in unmatched:
        other = next(
            (w for w in left if w.what == pending.what and _about(w.data) == _about(pending.data)), None
        )
        if pending.what == "corrected" or other is None:
            found.append(pending)
        else:
            left.remove(other)
            found.append(correction(other.event, pending.data, AGAIN))
    if complete:
        found.extend(correction(one.event, None, AGAIN) for one in left)
    return found


_NAMES = ("path", "item", "of", "pack", "device", "trigger")
"""Keys that say what an event is about: a correction never turns one thing into another."""


def _about(data: Mapping[str, Any]) -> tuple[object, ...]:
    return tuple(data.get(name) for name in _NAMES)


def _alike(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return bool(_plain(one) == _plain(other))


def _plain(value: Any) -> Any:
    """Data as they come back from the journal: no tuples, whole numbers as numbers."""
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, int) and not isinstance(value, bool):
        return float(value)
    return value
