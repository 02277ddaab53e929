"""What a run took out of its pack: the best of the methods the log allows, always named, always with its ±.

Best first: what the charger put back, what her own sensor counted, the rest volts before and after, minutes times
current. `physics.battery_log` holds the arithmetic and its sources.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from divelog.history.folding import History
from divelog.history.runs import Run
from divelog.journal.events import Event
from divelog.journal.payload import mapping, number, quantity, text
from divelog.limits.sheet import Sheet
from divelog.physics.battery_charge import state_of_charge
from divelog.physics.battery_chemistry import Chemistry
from divelog.physics.battery_log import (
    PUT_BACK_U95,
    charge_from_counter,
    charge_from_put_back,
    charge_from_rest_volts,
    charge_from_times,
)
from divelog.physics.errors import OutOfRangeError

PUT_BACK = "put back by the charger"
COUNTED = "counted by her sensor"
WHOLE = 0.9
"""Least share of a run that a file of readings must cover, gaps taken off, to count for all of it (assumed)."""
REST_VOLTS = "rest volts before and after"
BY_TIME = "minutes times her current at cruise"


@dataclass(frozen=True, slots=True)
class Spent:
    """Charge a run took, in C, with its 95 % half-width and the method in words."""

    si: float
    u95: float
    how: str


@dataclass(frozen=True, slots=True)
class PackFacts:
    """What must be known of a pack: its chemistry, cells in series, and the charge it holds (C)."""

    chemistry: Chemistry
    cells: int | None = None
    capacity: float | None = None


@dataclass(frozen=True, slots=True)
class Kit:
    """Packs by id, and the boat's current at cruise (A)."""

    packs: Mapping[str, PackFacts]
    cruise: float | None = None


def kit_of(sheet: Sheet) -> Kit:
    """The packs of the kit and the current of the boat, out of her sheet."""
    packs: dict[str, PackFacts] = {}
    for name in sheet.ids("kit.pack"):
        word = sheet.word(f"pack[{name}].chemistry")
        try:
            chemistry = Chemistry(word or "")
        except ValueError:
            continue
        cells, capacity = sheet.maybe(f"pack[{name}].cells"), sheet.maybe(f"pack[{name}].capacity")
        packs[name] = PackFacts(
            chemistry,
            int(cells.si) if cells is not None else None,
            capacity.si if capacity is not None else None,
        )
    cruise = sheet.maybe("power.cruise")
    return Kit(MappingProxyType(packs), cruise.si if cruise is not None else None)


def spent(run: Run, history: History, events: Sequence[Event], kit: Kit) -> Spent | None:
    """What an ended run took out of its pack; None where nothing says so. ``history`` and ``events`` over all boats
    the pack sat in, in order of time."""
    if run.pack is None or run.end is None or run.start is None:
        return None
    pack = kit.packs.get(run.pack)
    found = _put_back(run, history, pack) if pack is not None else None
    if found is None:
        found = _counted(run, events)
    if found is None and pack is not None:
        found = _rest_volts(run, events, pack)
    if found is None and kit.cruise is not None and run.minutes and run.minutes > 0.0:
        by_time = charge_from_times([(60.0 * run.minutes, kit.cruise)])
        found = Spent(by_time.charge, by_time.u95, BY_TIME)
    return found


def _put_back(run: Run, history: History, pack: PackFacts) -> Spent | None:
    """Full before and full after; several runs between share it by their minutes."""
    use = history.pack(run.pack or "")
    if use is None or run.start is None or run.end is None or not run.minutes:
        return None
    before = [each for each in use.charges if each.at <= run.start]
    after = [each for each in use.charges if each.at >= run.end]
    if not before or not after or before[-1].to != "full" or after[0].to != "full":
        return None
    charge = after[0].charge
    if charge is None or charge.si is None or charge.si < 0.0:
        return None
    between = [each for each in use.runs if each.start and before[-1].at <= each.start <= after[0].at]
    if any(each.end is None or not each.minutes for each in between):
        return None
    minutes = sum(each.minutes or 0.0 for each in between)
    if not 0.0 < run.minutes <= minutes:  # times that cannot be, out of a log that was put together
        return None
    share = run.minutes / minutes
    known = charge.u95 / charge.si if charge.u95 and charge.si else PUT_BACK_U95
    found = charge_from_put_back(chemistry=pack.chemistry, put_back=charge.si, put_back_u95=known)
    how = PUT_BACK if len(between) == 1 else f"{PUT_BACK}, shared by minutes over {len(between)} runs"
    return Spent(share * found.charge, share * found.u95, how)


def _counted(run: Run, events: Sequence[Event]) -> Spent | None:
    """The newest count of charge out of a file that was joined to the run and covers it."""
    for event in reversed(events):
        if event.what != "measured" or event.run != run.id or not event.known:
            continue
        data = event.payload()
        if text(data.get("path")) != "run.charge_used":
            continue
        value, conditions = quantity(data.get("value")), mapping(data.get("conditions"))
        seconds = number(conditions.get("covers"))
        if value is None or value.si is None or value.si < 0.0 or seconds is None or not run.minutes:
            return None
        if seconds < WHOLE * 60.0 * run.minutes:
            return None
        found = charge_from_counter(counted=value.si, elapsed=seconds)
        return Spent(found.charge, max(found.u95, value.u95 or 0.0), COUNTED)
    return None


def _rest_volts(run: Run, events: Sequence[Event], pack: PackFacts) -> Spent | None:
    if pack.cells is None or pack.capacity is None or run.start is None or run.end is None:
        return None
    before, after = _volts(events, run, run.start, run.end)
    if run.volts is not None and run.volts.si is not None:
        after = run.volts.si
    if before is None or after is None:
        return None
    try:
        states = [
            state_of_charge(chemistry=pack.chemistry, volts=v, cells=pack.cells).state
            for v in (before, after)
        ]
        if states[0] is None or states[1] is None:
            return None
        found = charge_from_rest_volts(
            chemistry=pack.chemistry, before=states[0], after=states[1], capacity=pack.capacity, health=1.0
        )
    except OutOfRangeError:
        return None
    return Spent(found.charge, found.u95, REST_VOLTS)


def _volts(
    events: Sequence[Event], run: Run, start: datetime, end: datetime
) -> tuple[float | None, float | None]:
    """Rest volts answered in checks: the last of that day before the run, and those of its own after-run list."""
    before: float | None = None
    after: float | None = None
    for event in events:
        if event.what != "check.answered" or not event.known:
            continue
        if event.run != run.id and not (event.at <= start and event.local.date() == start.date()):
            continue
        data = event.payload()
        limit = mapping(data.get("limit"))
        if limit.get("key") != "battery.rest_voltage" or text(limit.get("item")) not in (None, "", run.pack):
            continue
        value = quantity(data.get("value"))
        si = number(value.si) if value is not None else None
        if si is None:
            continue
        if event.run == run.id and event.at >= end:
            after = si
        elif event.at <= start:
            before = si
    return before, after
