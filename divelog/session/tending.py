"""Upkeep of one boat, gathered once for screens and scripts: what is due, what wears, and how her packs hold."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from divelog.history.folding import History, fold
from divelog.limits import catalogue
from divelog.limits.model import Limit
from divelog.limits.sheet import Sheet
from divelog.physics.battery_chemistry import Chemistry
from divelog.profiles.document import Document, Num
from divelog.profiles.facts import plain_value
from divelog.session.care import Care, care
from divelog.session.session import Asked, Session
from divelog.session.wearing import Series, all_series

KEEPS: dict[str, float] = {"lithium": 0.80, "nickel": 0.75, "lead": 0.70}
"""Share of its label a pack must still hold; under it the pack retires. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Holding:
    """One pack: what it held when it was last measured (C, and the date), and the least it must hold."""

    pack: str
    measured: Num | None
    on: str
    least: float | None


@dataclass(frozen=True, slots=True)
class Tended:
    """Everything upkeep says of one boat at a moment."""

    care: Care
    series: tuple[Series, ...]
    packs: tuple[Holding, ...]
    history: History


def tend(
    session: Session,
    slug: str,
    at: datetime,
    sheet: Sheet | None = None,
    lookup: Callable[[str, str], Limit | None] | None = None,
) -> Tended:
    """Upkeep of a boat; ``sheet`` and ``lookup`` where the caller has her sheet and her limits already."""
    boat = session.shelf.boats[slug]
    log = session.log(slug)
    history = fold(log.events, at)
    sheet = sheet if sheet is not None else session.sheet(Asked(slug, boat, None, None, at))
    enclosed = plain_value(sheet.facts.site.value("kind")) in ("pool", "tank")
    report = session.proofs(slug, boat, at, enclosed, sheet.word("plan.pack") or "")
    plan, day = history.plan_at(slug, at), history.day_at(at)
    minutes = (
        plan.minutes.si / 60.0 if plan is not None and plan.minutes is not None and plan.minutes.si else None
    )
    made = care(log.events, history, slug, sheet, report, at, minutes, day.water if day is not None else None)
    if lookup is None:
        lookup = _lookup(sheet)
    kind = sheet.word("ballast.kind") or ""
    cycle = _cycle(boat)
    packs = packs_of(sheet)
    series = all_series(
        history,
        log.events,
        slug,
        made.use,
        lookup,
        pump="piston" if kind == "piston" else "pump",
        cycle=cycle,
        packs=[each.pack for each in packs],
    )
    return Tended(made, series, packs, history)


def _cycle(boat: Document) -> float | None:
    """Seconds of one fill and one emptying as her file has them: a counter must not grow because she grew slower."""
    found = [boat.value(f"ballast.{way}_time") for way in ("fill", "empty")]
    times = [each.si for each in found if isinstance(each, Num)]
    return sum(times) if len(times) == len(found) else None


def _lookup(sheet: Sheet) -> Callable[[str, str], Limit | None]:
    limits = {(one.key, one.item): one for one in catalogue.work_out(sheet)}

    def found(key: str, item: str) -> Limit | None:
        return limits.get((key, item))

    return found


def packs_of(sheet: Sheet) -> tuple[Holding, ...]:
    """The boat's packs with their capacity as last measured."""
    names = list(sheet.texts("power.drive_packs"))
    receiver = sheet.word("power.receiver_pack")
    if receiver and receiver != "from drive":
        names.append(receiver)
    found = []
    for name in dict.fromkeys(names):
        label = sheet.stated(f"pack[{name}].capacity")
        measured = sheet.stated(f"pack[{name}].measured.capacity")
        on = sheet.day_of(f"pack[{name}].measured.on")
        share = _share(sheet.word(f"pack[{name}].chemistry"))
        least = share * label.si if label is not None and share is not None else None
        found.append(Holding(name, measured, on.isoformat() if on is not None else "", least))
    return tuple(found)


def _share(chemistry: str | None) -> float | None:
    try:
        kind = Chemistry(chemistry or "")
    except ValueError:
        return None
    return KEEPS["lithium" if kind.is_lithium else "nickel" if kind.is_nickel else "lead"]
