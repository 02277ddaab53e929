"""Measured values out of the log: for limits the newest wins over the file, unless the file changed that path since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from divelog.journal.events import Event
from divelog.journal.payload import mapping, quantity, text, texts
from divelog.profiles.document import Basis, Fact, Num
from divelog.profiles.facts import Facts, field_at
from divelog.profiles.fields import Kind

_SERIES = frozenset(
    {
        "shaft.no_load.ahead",
        "shaft.no_load.astern",
        "boat.ballast.fill_time",
        "boat.ballast.empty_time",
        "joint.drop",
    }
)
"""Paths whose readings feed baselines and trends; one reading of them never replaces the stated figure."""


def _path(facts: Facts, data: Mapping[str, Any]) -> str:
    path, item = text(data.get("path")) or "", text(data.get("item"))
    if item and "[" not in path:
        head, _, rest = path.partition(".")
        path = f"{head}[{item}].{rest}" if rest else path
    return facts.canonical(path) if path else ""


def measured_facts(facts: Facts, events: Iterable[Event]) -> dict[str, Fact]:
    """Facts by whole path, newest first to win; ``events`` of this boat and of none, in order of time."""
    found: dict[str, Fact] = {}
    for event in events:
        if not event.known:
            continue
        if event.what == "boat.filed":
            _forget(found, texts(event.payload().get("changed")))
        elif event.what == "measured":
            data = event.payload()
            path = _path(facts, data)
            field = field_at(path) if path else None
            value = quantity(data.get("value"))
            if (
                field is None
                or field.kind not in (Kind.QUANTITY, Kind.COUNT)
                or value is None
                or value.si is None
            ):
                continue
            if path in _SERIES or path.startswith("joint["):
                continue
            on = event.local.date().isoformat()
            number = Num(value.si, value.u95 if value.u95 is not None else field.u95, Basis.MEASURED)
            held = value.si if field.kind is Kind.COUNT else number
            found[path] = Fact(
                held, basis=Basis.MEASURED, on=on, typed=value.typed or "", origin=f"log, {on}"
            )
    return found


def _forget(found: dict[str, Fact], changed: Iterable[str]) -> None:
    for path in changed:
        whole = path if path.startswith("boat.") else f"boat.{path}"
        for known in [k for k in found if k == whole or k.startswith((f"{whole}.", f"{whole}["))]:
            del found[known]


def readings_today(
    events: Iterable[Event], since: float
) -> tuple[dict[tuple[str, str], Num], dict[tuple[str, str], str]]:
    """Readings of limits answered in checks since a moment (UTC seconds), and those that were words; newest wins."""
    numbers: dict[tuple[str, str], Num] = {}
    words: dict[tuple[str, str], str] = {}
    for event in events:
        if event.what != "check.answered" or not event.known or event.at.timestamp() < since:
            continue
        data = event.payload()
        limit = mapping(data.get("limit"))
        key = text(limit.get("key"))
        value = quantity(data.get("value"))
        if key is None or value is None or value.si is None:
            continue
        where = (key, text(limit.get("item")) or "")
        numbers[where] = Num(value.si, value.u95 or 0.0, Basis.MEASURED)
        word = text(data.get("answer"))
        if word:
            words[where] = word
    return numbers, words
