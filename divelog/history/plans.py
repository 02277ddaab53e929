"""Plans for a dive, and the one in force for a boat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from divelog.history.grouping import ByKind, of
from divelog.journal.payload import Quantity, mapping, number, quantity, text


@dataclass(frozen=True, slots=True)
class Plan:
    """A `plan.set`. Depth and distance in m, `minutes` in s, masses in kg; `limits` as they were in force."""

    id: str
    at: datetime
    boat: str | None
    pack: str | None
    depth: Quantity | None
    distance: Quantity | None
    minutes: Quantity | None
    throttle: Mapping[str, Any]
    pack_mass_change: Quantity | None
    trim_shift: float | None
    dived_balance: float | None
    limits: Any = None


def _bare(value: object) -> float | None:
    found = quantity(value)
    return number(found.si) if found is not None else None


def plans(groups: ByKind) -> tuple[Plan, ...]:
    """Every plan, in order."""
    found: list[Plan] = []
    for event in of(groups, "plan.set"):
        data = event.payload()
        found.append(
            Plan(
                id=event.id,
                at=event.local,
                boat=event.boat,
                pack=text(data.get("pack")),
                depth=quantity(data.get("depth")),
                distance=quantity(data.get("distance")),
                minutes=quantity(data.get("minutes")),
                throttle=mapping(data.get("throttle")),
                pack_mass_change=quantity(data.get("pack_mass_change")),
                trim_shift=_bare(data.get("trim_shift")),
                dived_balance=_bare(data.get("dived_balance")),
                limits=data.get("limits"),
            )
        )
    return tuple(found)


def plan_at(found: Sequence[Plan], boat: str, at: datetime) -> Plan | None:
    """The plan in force for a boat: the last one set by then, on the same local date."""
    for plan in reversed(found):
        if plan.boat == boat and plan.at <= at:
            return plan if at.astimezone(plan.at.tzinfo).date() == plan.at.date() else None
    return None
