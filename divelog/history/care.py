"""What was done to a boat and her kit: services, changes of part, openings and closings, charges, storage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from divelog.history.grouping import ByKind, of
from divelog.journal.payload import Quantity, quantity, text, texts


@dataclass(frozen=True, slots=True)
class Service:
    """A `serviced`: item (`overhaul` for the whole boat), consumable, seals lifted, hours then in s."""

    id: str
    at: datetime
    boat: str | None
    item: str | None
    consumable: str | None
    hours_at: Quantity | None
    seals: tuple[str, ...]
    cost: str | None


@dataclass(frozen=True, slots=True)
class Change:
    """A change after which nothing may be compared with before: a part fitted, a service, lead moved, a radio
    change.

    `kind` is that of the event; `part` what was fitted, serviced or changed; `mass_change` in kg.
    """

    id: str
    at: datetime
    boat: str | None
    kind: str
    part: str | None
    item: str | None
    old: str | None
    new: str | None
    mass_change: Quantity | None
    seals: tuple[str, ...]
    inside_cylinder: bool | None


@dataclass(frozen=True, slots=True)
class Closure:
    """A cap, port or plug: how often it was closed or newly fitted, and when it was last touched."""

    boat: str | None
    name: str
    closings: int
    last_closed: datetime | None
    last_opened: datetime | None
    last_lifted: datetime | None


@dataclass(frozen=True, slots=True)
class Charge:
    """A `charged`: charge put back in C, volts at the end, and to what (`full` or `storage`)."""

    id: str
    at: datetime
    pack: str | None
    charge: Quantity | None
    volts: Quantity | None
    to: str | None


@dataclass(frozen=True, slots=True)
class Stored:
    """A boat laid up."""

    id: str
    at: datetime
    boat: str | None


def _money(value: object) -> str | None:
    """A cost as typed; it is never added up across currencies."""
    found = quantity(value)
    if found is not None:
        return found.typed or (f"{found.si:g}" if found.si is not None else None)
    return text(value)


def services(groups: ByKind) -> tuple[Service, ...]:
    """Every service, in order."""
    found: list[Service] = []
    for event in of(groups, "serviced"):
        data = event.payload()
        found.append(
            Service(
                id=event.id,
                at=event.local,
                boat=event.boat,
                item=text(data.get("item")),
                consumable=text(data.get("consumable")),
                hours_at=quantity(data.get("hours_at")),
                seals=texts(data.get("seals")),
                cost=_money(data.get("cost")),
            )
        )
    return tuple(found)


def changes(groups: ByKind) -> tuple[Change, ...]:
    """Every cut: series of measurements and counters of the part concerned begin anew there."""
    found: list[Change] = []
    for event in of(groups, "fitted", "serviced", "mass.moved", "radio.changed"):
        data = event.payload()
        part = data.get("part")
        if event.what == "serviced":
            part = data.get("item")
        elif event.what == "mass.moved":
            part = data.get("piece")
        elif event.what == "radio.changed":
            part = ", ".join(texts(data.get("changed")))
        inside = data.get("inside_cylinder")
        found.append(
            Change(
                id=event.id,
                at=event.local,
                boat=event.boat,
                kind=event.what,
                part=text(part),
                item=text(data.get("item")),
                old=text(data.get("old")),
                new=text(data.get("new")),
                mass_change=quantity(data.get("mass" if event.what == "mass.moved" else "mass_change")),
                seals=texts(data.get("seals")),
                inside_cylinder=inside if isinstance(inside, bool) else None,
            )
        )
    return tuple(found)


def _touched(event_what: str, data: dict[str, object]) -> Sequence[str]:
    if event_what == "fitted":
        named = text(data.get("item")) or text(data.get("new"))
        return (*texts(data.get("seals")), *((named,) if named else ()))
    return texts(data.get("which"))


def closures(groups: ByKind) -> tuple[Closure, ...]:
    """Every closure ever named, by boat and name. A new part fitted counts as a closing of it."""
    counts: dict[tuple[str | None, str], int] = {}
    closed: dict[tuple[str | None, str], datetime] = {}
    opened: dict[tuple[str | None, str], datetime] = {}
    lifted: dict[tuple[str | None, str], datetime] = {}
    for event in of(groups, "opened", "closed", "fitted"):
        data = event.payload()
        if event.what == "fitted" and text(data.get("part")) not in ("seal", "port", "cap"):
            continue
        for name in dict.fromkeys(_touched(event.what, data)):
            key = (event.boat, name)
            counts.setdefault(key, 0)
            if event.what == "opened":
                opened[key] = event.local
                if data.get("lifted") is True:
                    lifted[key] = event.local
            else:
                counts[key] += 1
                closed[key] = event.local
    keys = sorted(counts, key=lambda key: (key[0] or "", key[1]))
    return tuple(
        Closure(key[0], key[1], counts[key], closed.get(key), opened.get(key), lifted.get(key))
        for key in keys
    )


def charges(groups: ByKind) -> tuple[Charge, ...]:
    """Every charge, in order."""
    found: list[Charge] = []
    for event in of(groups, "charged"):
        data = event.payload()
        found.append(
            Charge(
                id=event.id,
                at=event.local,
                pack=text(data.get("pack")),
                charge=quantity(data.get("charge")),
                volts=quantity(data.get("volts")),
                to=text(data.get("to")),
            )
        )
    return tuple(found)


def stored(groups: ByKind) -> tuple[Stored, ...]:
    """Every time a boat was laid up, in order."""
    return tuple(Stored(event.id, event.local, event.boat) for event in of(groups, "stored"))
