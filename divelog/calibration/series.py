"""Readings that repeat, cut at every change of part: baselines of current, joints and ballast times."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from divelog import units
from divelog.calibration.cuts import cuts_joints, cuts_no_load, cuts_times
from divelog.calibration.model import Parts, Series
from divelog.journal.events import Event
from divelog.journal.payload import mapping, number, quantity, text
from divelog.physics.statistics import BASELINE_LEAST, Conditions, alike, median, usual_conditions

BASELINE_MOST = 8
"""A baseline is its first five to eight like readings, then frozen: one that follows the wear never finds it."""

LEAST_JOINT_CURRENT = 2.0
"""Amperes under which the drop at a joint says nothing: common practice, no source."""

NO_LOAD_STEP = 0.01
BY_HAND = 0.3
"""Ampere of a usual meter, and 95 % of a stopwatch key in s."""

_DIMENSIONS = {"volts": "voltage", "temperature": "temperature", "current": "current"}


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a series, with what was written down beside it."""

    value: float
    volts: float | None
    temperature: float | None
    water: str | None
    on: date

    @property
    def conditions(self) -> Conditions:
        """What it was taken under."""
        return Conditions(self.volts, self.temperature, self.water)


def condition(conditions: Mapping[str, Any], name: str) -> float | None:
    """A condition in SI: a quantity, a number, or a text with its unit."""
    held = conditions.get(name)
    found = quantity(held)
    if found is not None:
        return found.si
    words = text(held)
    if words is None:
        return number(held)
    try:
        return units.parse(words, _DIMENSIONS[name], typed=True).si
    except (units.UnitFaultError, KeyError):
        return None


def _reading(event: Event, value: float, conditions: Mapping[str, Any]) -> Reading:
    return Reading(
        value, condition(conditions, "volts"), condition(conditions, "temperature"), text(conditions.get("water")),
        event.local.date(),
    )  # fmt: skip


def measured(event: Event, path: str) -> tuple[float, Mapping[str, Any], str] | None:
    """Value, conditions and item of a `measured` of that path (without ``boat.``); None if it is none."""
    if event.what != "measured":
        return None
    data = event.payload()
    if (text(data.get("path")) or "").removeprefix("boat.") != path:
        return None
    value = quantity(data.get("value"))
    if value is None or value.si is None:
        return None
    return value.si, mapping(data.get("conditions")), text(data.get("item")) or ""


Cut = Callable[[Event, Parts], bool]


def _segment(
    events: Iterable[Event], parts: Parts, cut: Cut, take: Callable[[Event], Iterable[tuple[str, Reading]]]
) -> dict[str, list[Reading]]:
    """Readings by name since the last cut, oldest first."""
    found: dict[str, list[Reading]] = {}
    for event in events:
        if event.what in ("fitted", "serviced"):
            if cut(event, parts):
                found.clear()
            continue
        if event.what in ("measured", "check.answered"):
            for name, reading in take(event):
                found.setdefault(name, []).append(reading)
    return found


def before_today(readings: Sequence[Reading], today: date) -> Sequence[Reading]:
    """Readings without the one under test: the newest of today, where five others make a baseline without it."""
    if len(readings) > BASELINE_LEAST and readings[-1].on == today:
        return readings[:-1]
    return readings


def frozen(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """The first five to eight readings taken under like conditions: volts within 3 %, 5 K, the same water.

    Readings are looked at one after another, as they came; once eight are alike, no later one can change which.
    """
    like: tuple[Reading, ...] = ()
    for count in range(1, len(readings) + 1):
        seen = readings[:count]
        usual = usual_conditions([each.conditions for each in seen])
        like = tuple(each for each in seen if alike(each.conditions, usual))
        if len(like) >= BASELINE_MOST:
            return like[:BASELINE_MOST]
    return like


def _series(readings: Sequence[Reading], step: float) -> Series:
    conditions = {}
    volts = [each.volts for each in readings if each.volts is not None]
    warmth = [each.temperature for each in readings if each.temperature is not None]
    if volts:
        conditions["volts"] = median(volts)
    if warmth:
        conditions["temperature"] = median(warmth)
    return Series(
        tuple(each.value for each in readings),
        step,
        MappingProxyType(conditions),
        tuple(each.volts for each in readings) if volts else (),
    )


def no_load(events: Iterable[Event], parts: Parts, today: date) -> dict[str, Series]:
    """Currents of the motor turning free, ahead and astern: the frozen baseline since the last cut."""

    def take(event: Event) -> Iterable[tuple[str, Reading]]:
        for way in ("ahead", "astern"):
            one = measured(event, f"shaft.no_load.{way}")
            if one is not None:
                yield way, _reading(event, one[0], one[1])

    segment = _segment(events, parts, cuts_no_load, take)
    return {
        way: _series(frozen(before_today(readings, today)), NO_LOAD_STEP) for way, readings in segment.items()
    }


def ballast_times(events: Iterable[Event], parts: Parts, today: date) -> dict[str, Series]:
    """Times to fill and to empty since the pump, piston, valve or hose was last changed, with the volts of each."""

    def take(event: Event) -> Iterable[tuple[str, Reading]]:
        for way in ("fill", "empty"):
            one = measured(event, f"ballast.{way}_time")
            if one is not None and one[0] > 0.0:
                yield way, _reading(event, one[0], one[1])

    segment = _segment(events, parts, cuts_times, take)
    return {way: _series(before_today(readings, today), BY_HAND) for way, readings in segment.items()}


def joint_resistances(events: Iterable[Event], parts: Parts) -> dict[str, tuple[float, ...]]:
    """Resistance in ohm of each joint since it was last cleaned or changed: its drop over the current it was read at.

    Drops come as `measured` events and as answers to the lines that read them against their limit.
    """

    def take(event: Event) -> Iterable[tuple[str, Reading]]:
        for joint, volts, conditions in _drops(event):
            current = condition(conditions, "current") or parts.test_load
            if joint and current is not None and current >= LEAST_JOINT_CURRENT:
                yield joint, _reading(event, volts / current, conditions)

    segment = _segment(events, parts, cuts_joints, take)
    return {joint: tuple(each.value for each in readings) for joint, readings in segment.items()}


def _drops(event: Event) -> Iterable[tuple[str, float, Mapping[str, Any]]]:
    one = measured(event, "joint.drop")
    if one is not None:
        yield one[2], one[0], one[1]
    elif event.what == "check.answered":
        for (key, item), (si, _) in answered(event).items():
            if key == "terminals.drop":
                yield item, si, mapping(event.payload().get("conditions"))


_WORKED_THROUGH = frozenset({"ballast.cycles", "depth.keel"})
"""Keys whose answers are no reading for the next look: the bottle's mass, and the deepest of a run that is over."""


def answered(event: Event) -> dict[tuple[str, str], tuple[float, float]]:
    """Readings of limits in one `check.answered`, by key and item: SI and u95. A line asked of each member (each joint)
    carries a value a member."""
    data = event.payload()
    limit = mapping(data.get("limit"))
    key = text(limit.get("key"))
    if key is None or key in _WORKED_THROUGH:
        return {}
    found: dict[tuple[str, str], tuple[float, float]] = {}
    members = data.get("answer")
    for each in members if isinstance(members, list) else ():
        member = text(mapping(each).get("member"))
        value = quantity(mapping(each).get("value"))
        if value is None:
            value = quantity(mapping(each).get("answer"))
        if member and value is not None and value.si is not None:
            found[key, member] = (value.si, value.u95 or 0.0)
    value = quantity(data.get("value"))
    if value is not None and value.si is not None:
        found[key, text(limit.get("item")) or ""] = (value.si, value.u95 or 0.0)
    return found
