"""Measured values out of the log: for limits the newest wins over the file, unless the file changed that path since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any

from divelog.calibration.series import answered, condition, measured
from divelog.journal.events import Event
from divelog.journal.payload import mapping, quantity, text, texts
from divelog.profiles.document import Basis, Fact, Num, State
from divelog.profiles.facts import Facts, field_at
from divelog.profiles.fields import Kind

_TIMES = ("boat.ballast.fill_time", "boat.ballast.empty_time")
_SERIES = frozenset({"shaft.no_load.ahead", "shaft.no_load.astern", "joint.drop"})
"""Paths whose readings only feed baselines and trends."""

_BESIDE: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "boat.dived_balance": {
            "temperature": "boat.trimmed_at.temperature",
            "salinity": "boat.trimmed_at.salinity",
        },
        "boat.radio.signal_lost_at.depth": {
            "distance": "boat.radio.signal_lost_at.distance",
            "conductivity": "boat.radio.signal_lost_at.conductivity",
            "temperature": "boat.radio.signal_lost_at.temperature",
        },
    }
)
"""Paths whose value means nothing without what it was measured in: conditions, and where they go. What is not written
down beside a value is that of the day it was measured on."""

_WATER = "boat.trimmed_at.water"
_VOLTS_TODAY = "volts_blow"
"""Volts with the pump running hold for the day they were read on."""

_GREASED = "boat.power.terminals.greased"


def by_a_line(event: Event) -> bool:
    """Whether a `measured` was written by a line of a list, as ``before-dive/cycle``: one more of its like, where a
    measurement of its own sets the figure anew."""
    return "/" in (text(event.payload().get("method")) or "")


def _path(facts: Facts, data: Mapping[str, Any]) -> str:
    path, item = text(data.get("path")) or "", text(data.get("item"))
    if item and "[" not in path:
        head, _, rest = path.partition(".")
        path = f"{head}[{item}].{rest}" if rest else path
    return facts.canonical(path) if path else ""


SETS = frozenset({"boat.filed", "day.opened", "measured", "run.ended", "serviced"})
"""Kinds of events that `measured_facts` looks at."""


def measured_facts(facts: Facts, events: Iterable[Event], today: date | None = None) -> dict[str, Fact]:
    """Facts by whole path, the newest to win; ``events`` of this boat and of none, in order of time.

    ``today`` is the local date they are for: what holds only on its own day is left out where that is another.
    """
    found: dict[str, Fact] = {}
    day: Mapping[str, Any] = {}
    for event in events:
        if not event.known:
            continue
        match event.what:
            case "boat.filed":
                _forget(found, texts(event.payload().get("changed")))
            case "day.opened":
                day = event.payload()
            case "run.ended":
                for path in [p for p in found if p.startswith("bottle[")]:
                    del found[path]
            case "serviced" if text(event.payload().get("item")) == "terminals":
                on = event.local.date()
                word = "this outing" if on == today else "some time ago"
                found[_GREASED] = _fact(word, on.isoformat(), word)
            case "measured":
                _measure(found, facts, event, day, today)
            case _:
                pass
    return found


def _fact(value: Num | float | str, on: str, typed: str) -> Fact:
    return Fact(value, basis=Basis.MEASURED, on=on, typed=typed, origin=f"log, {on}")


def _measure(
    found: dict[str, Fact], facts: Facts, event: Event, day: Mapping[str, Any], today: date | None
) -> None:
    data = event.payload()
    path = _path(facts, data)
    field = field_at(path) if path else None
    value = quantity(data.get("value"))
    if field is None or field.kind not in (Kind.QUANTITY, Kind.COUNT) or value is None or value.si is None:
        return
    if path in _SERIES or path.startswith("joint[") or (path in _TIMES and by_a_line(event)):
        return
    on = event.local.date()
    if path.endswith(f".{_VOLTS_TODAY}") and today is not None and on != today:
        return
    if not field.holds(value.si):
        return
    number = Num(value.si, value.u95 if value.u95 is not None else field.u95, Basis.MEASURED)
    found[path] = _fact(value.si if field.kind is Kind.COUNT else number, on.isoformat(), value.typed or "")
    beside = _BESIDE.get(path)
    if beside is not None:
        _note_beside(found, beside, mapping(data.get("conditions")), day, on.isoformat())
    if path == "boat.dived_balance":
        water = text(mapping(data.get("conditions")).get("water")) or text(day.get("water"))
        field = field_at(_WATER)
        if water is not None and field is not None and field.says(water):
            found[_WATER] = _fact(water, on.isoformat(), water)


def _note_beside(
    found: dict[str, Fact],
    beside: Mapping[str, str],
    conditions: Mapping[str, Any],
    day: Mapping[str, Any],
    on: str,
) -> None:
    for name, path in beside.items():
        held = conditions if name in conditions else day
        si, spread = condition(held, name), quantity(held.get(name))
        field = field_at(path)
        assert field is not None
        if si is None or not field.holds(si):
            if name == "salinity":  # what the file says of another day's water does not go with this value
                found[path] = Fact(None, State.UNKNOWN, Basis.MEASURED, on, origin=f"log, {on}")
            continue
        u95 = spread.u95 if spread is not None and spread.u95 is not None else field.u95
        found[path] = _fact(Num(si, u95, Basis.MEASURED), on, "")


def _forget(found: dict[str, Fact], changed: Iterable[str]) -> None:
    for path in changed:
        whole = path if path.startswith("boat.") else f"boat.{path}"
        for known in [k for k in found if k == whole or k.startswith((f"{whole}.", f"{whole}["))]:
            del found[known]


def timed_at(events: Iterable[Event]) -> dict[str, float]:
    """Volts of the newest baseline of fill and empty times measured for itself; absent where none were written."""
    found: dict[str, float] = {}
    for event in events:
        if event.what == "boat.filed":
            changed = {path.removeprefix("boat.") for path in texts(event.payload().get("changed"))}
            for way in ("fill", "empty"):
                if changed & {"ballast", f"ballast.{way}_time"}:
                    found.pop(way, None)
            continue
        for way in ("fill", "empty"):
            one = measured(event, f"ballast.{way}_time")
            if one is not None and not by_a_line(event):
                volts = condition(one[1], "volts")
                found.pop(way, None)
                if volts is not None and volts > 0.0:
                    found[way] = volts
    return found


def readings_today(
    events: Iterable[Event], since: float
) -> tuple[dict[tuple[str, str], Num], dict[tuple[str, str], str]]:
    """Readings of limits answered in checks since a moment (UTC seconds), and those that were words; newest wins."""
    numbers: dict[tuple[str, str], Num] = {}
    words: dict[tuple[str, str], str] = {}
    for event in events:
        if event.what != "check.answered" or not event.known or event.at.timestamp() < since:
            continue
        word = text(event.payload().get("answer"))
        for where, (si, u95) in answered(event).items():
            numbers[where] = Num(si, u95, Basis.MEASURED)
            words.pop(where, None)
            if word:
                words[where] = word
    return numbers, words
