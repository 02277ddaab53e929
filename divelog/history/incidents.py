"""What went wrong under way: depth incidents, signals lost, failsafe tripped; and water found afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from divelog.history.grouping import ByKind, of
from divelog.journal.payload import (
    Quantity,
    channels_wrong,
    mapping,
    number,
    over_allowance,
    quantity,
    text,
)


@dataclass(frozen=True, slots=True)
class Incident:
    """A depth incident: the step in the words of the log, the depth in m with its source (sensor, seen,
    guessed)."""

    id: str
    at: datetime
    boat: str | None
    run: str | None
    step: str | None
    depth: Quantity | None
    source: str | None
    cause: str | None
    worked: str | None
    damage: str | None


@dataclass(frozen=True, slots=True)
class Signal:
    """A glitch, drop, loss or return of the signal; distance and depth in m."""

    id: str
    at: datetime
    boat: str | None
    run: str | None
    kind: str | None
    distance: Quantity | None
    depth: Quantity | None
    motor_on: bool | None
    pump_on: bool | None


@dataclass(frozen=True, slots=True)
class Trip:
    """Failsafe tripped, for real or on purpose; `channels` right or not, `wrong` those that were not."""

    id: str
    at: datetime
    boat: str | None
    run: str | None
    trigger: str | None
    real: bool | None
    channels: Mapping[str, bool]
    wrong: tuple[str, ...]
    seconds: float | None


@dataclass(frozen=True, slots=True)
class Water:
    """Water found inside: amount in m³ with the allowance then; `over` where it is more, or flooded.

    `looked` is opened, window or not; *not looked* proves nothing, and an amount of none is not nought.
    """

    id: str
    at: datetime
    boat: str | None
    run: str | None
    word: str | None
    amount: Quantity
    end: str | None
    allowance: float | None
    looked: str | None
    flooded: bool
    over: bool


def _flag(value: object) -> bool | None:
    return value if isinstance(value, bool) else None


def incidents(groups: ByKind) -> tuple[Incident, ...]:
    """Every depth incident, in order."""
    found: list[Incident] = []
    for event in of(groups, "incident"):
        data = event.payload()
        depth = quantity(data.get("depth"))
        found.append(
            Incident(
                id=event.id,
                at=event.local,
                boat=event.boat,
                run=event.run,
                step=text(data.get("step")),
                depth=depth,
                source=text(data.get("source")) or (depth.how if depth is not None else None),
                cause=text(data.get("cause")),
                worked=text(data.get("worked")),
                damage=text(data.get("damage")),
            )
        )
    return tuple(found)


def signals(groups: ByKind) -> tuple[Signal, ...]:
    """Every signal event, in order."""
    found: list[Signal] = []
    for event in of(groups, "signal"):
        data = event.payload()
        found.append(
            Signal(
                id=event.id,
                at=event.local,
                boat=event.boat,
                run=event.run,
                kind=text(data.get("kind")),
                distance=quantity(data.get("distance")),
                depth=quantity(data.get("depth")),
                motor_on=_flag(data.get("motor_on")),
                pump_on=_flag(data.get("pump_on")),
            )
        )
    return tuple(found)


def trips(groups: ByKind) -> tuple[Trip, ...]:
    """Every trip of the failsafe, in order."""
    found: list[Trip] = []
    for event in of(groups, "failsafe.tripped"):
        data = event.payload()
        channels = mapping(data.get("channels"))
        seconds = quantity(data.get("seconds"))
        found.append(
            Trip(
                id=event.id,
                at=event.local,
                boat=event.boat,
                run=event.run,
                trigger=text(data.get("trigger")),
                real=_flag(data.get("real")),
                channels={name: right for name, right in channels.items() if isinstance(right, bool)},
                wrong=channels_wrong(data),
                seconds=seconds.si if seconds is not None else None,
            )
        )
    return tuple(found)


def waters(groups: ByKind) -> tuple[Water, ...]:
    """Every look for water, in order."""
    found: list[Water] = []
    for event in of(groups, "water.found"):
        data = event.payload()
        found.append(
            Water(
                id=event.id,
                at=event.local,
                boat=event.boat,
                run=event.run,
                word=text(data.get("word")),
                amount=quantity(data) or Quantity(None),
                end=text(data.get("end")),
                allowance=number(data.get("allowance")),
                looked=text(data.get("looked")),
                flooded=data.get("flooded") is True,
                over=over_allowance(data),
            )
        )
    return tuple(found)
