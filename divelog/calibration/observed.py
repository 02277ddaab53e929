"""Series and baselines out of the log, cut at every change of part: what ``Observed`` holds."""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from divelog.calibration.model import Observed, ProofView, Series
from divelog.journal.events import Event
from divelog.journal.payload import mapping, number, quantity, text
from divelog.profiles.document import Basis, Num
from divelog.proofs.model import ProofReport

_DRIVE = frozenset({"shaft", "coupling", "propeller", "controller"})
_SHAFT_SERVICE = ("shaft", "seal.shaft", "coupling", "motor")
_BALLAST_PARTS = frozenset({"pump", "valve", "piston", "hose"})
_LIKE = 8
"""Readings that make a frozen baseline: the first five to eight of the segment."""
_AWAY = frozenset({"", "off", "ashore", "bench", "none", "box"})


def observe(events: Sequence[Event], now: float, report: ProofReport | None = None) -> Observed:
    """Everything limits may ask of the past; ``events`` in order of time, ``now`` in UTC seconds."""
    seen = [e for e in events if e.known and e.at.timestamp() <= now]
    proofs = (
        {
            p.name: ProofView(p.stands, p.because, p.since.isoformat() if p.since else "")
            for p in report.proofs
        }
        if report
        else {}
    )
    return Observed(
        proofs=MappingProxyType(proofs),
        dry_depth=report.dry_depth if report is not None else None,
        charge_per_minute=MappingProxyType(charge_rates(seen)),
        charged_full=MappingProxyType(charged_full(seen, now)),
        joints=MappingProxyType(joint_resistances(seen)),
        no_load=MappingProxyType(no_load(seen)),
        times=MappingProxyType(ballast_times(seen)),
        opened_since_wiped=opened_since_wiped(seen),
        trim_moves=trim_moves(seen),
    )


def charge_rates(events: Iterable[Event]) -> dict[str, tuple[float, ...]]:
    """Charge put back over seconds run since the full charge before, as mean current in A, by pack.

    Cut at every change of what drives her. A charge with no run before it says nothing.
    """
    started: dict[str, float] = {}
    seconds: dict[str, float] = {}
    full: dict[str, bool] = {}
    rates: dict[str, list[float]] = {}
    for event in events:
        data = event.payload() if event.what in ("run.started", "run.ended", "charged", "fitted") else {}
        if event.what == "run.started":
            started[event.id] = event.at.timestamp()
        elif event.what == "run.ended" and event.run in started:
            pack = text(data.get("pack")) or ""
            seconds[pack] = seconds.get(pack, 0.0) + max(0.0, event.at.timestamp() - started[event.run])
        elif event.what == "fitted" and data.get("part") in _DRIVE:
            rates.clear()
        elif event.what == "charged":
            pack, charge = text(data.get("pack")) or "", quantity(data.get("charge"))
            ran = seconds.get(pack, 0.0)
            if (
                full.get(pack)
                and ran >= 300
                and charge is not None
                and charge.si
                and data.get("to") == "full"
            ):
                rates.setdefault(pack, []).append(charge.si / ran)
            full[pack] = data.get("to") == "full"
            seconds[pack] = 0.0
    return {pack: tuple(found) for pack, found in rates.items() if pack}


def charged_full(events: Iterable[Event], now: float) -> dict[str, float]:
    """Hours since the last full charge, by pack, where no run on it came after."""
    found: dict[str, float] = {}
    for event in events:
        if event.what == "charged":
            data = event.payload()
            pack = text(data.get("pack")) or ""
            if data.get("to") == "full":
                found[pack] = event.at.timestamp()
            else:
                found.pop(pack, None)
        elif event.what in ("run.ended", "run.started"):
            found.pop(text(event.payload().get("pack")) or "", None)
    return {pack: max(0.0, now - at) / 3600 for pack, at in found.items() if pack}


def _measured(event: Event, path: str) -> tuple[float, Mapping[str, Any], str] | None:
    if event.what != "measured":
        return None
    data = event.payload()
    name = (text(data.get("path")) or "").removeprefix("boat.")
    value = quantity(data.get("value"))
    if name != path or value is None or value.si is None:
        return None
    return value.si, mapping(data.get("conditions")), text(data.get("item")) or ""


def joint_resistances(events: Iterable[Event]) -> dict[str, tuple[float, ...]]:
    """Resistance in ohm of each joint since it was last cleaned or changed; drop over the current it was read at."""
    found: dict[str, list[float]] = {}
    for event in events:
        if event.what == "serviced" and text(event.payload().get("item")) in ("terminals", "joints"):
            found.clear()
            continue
        if event.what == "fitted" and event.payload().get("part") in ("pack", "controller"):
            found.clear()
            continue
        one = _measured(event, "joint.drop")
        if one is not None and one[2]:
            current = _condition(one[1], "current")
            if current is not None and current >= 1.0:
                found.setdefault(one[2], []).append(one[0] / current)
    return {joint: tuple(values) for joint, values in found.items()}


def _condition(conditions: Mapping[str, Any], name: str) -> float | None:
    held = conditions.get(name)
    found = quantity(held)
    return found.si if found is not None else number(held)


def _segment(readings: Sequence[tuple[float, Mapping[str, Any]]], step: float) -> Series:
    conditions = {}
    for name in ("volts", "temperature"):
        values = [v for v in (_condition(c, name) for _, c in readings) if v is not None]
        if values:
            conditions[name] = statistics.median(values)
    return Series(tuple(v for v, _ in readings), step, MappingProxyType(conditions))


def no_load(events: Iterable[Event]) -> dict[str, Series]:
    """The first five to eight like currents of the motor turning free, ahead and astern, since the last cut."""
    found: dict[str, list[tuple[float, Mapping[str, Any]]]] = {}
    for event in events:
        if event.what == "fitted" and event.payload().get("part") in (*_DRIVE, "seal"):
            found.clear()
        elif event.what == "serviced":
            if (text(event.payload().get("item")) or "").startswith(_SHAFT_SERVICE):
                found.clear()
        else:
            for way in ("ahead", "astern"):
                one = _measured(event, f"shaft.no_load.{way}")
                if one is not None and len(found.get(way, ())) < _LIKE:
                    found.setdefault(way, []).append((one[0], one[1]))
    return {way: _segment(readings, 0.01) for way, readings in found.items()}


def ballast_times(events: Iterable[Event]) -> dict[str, Series]:
    """Times to fill and to empty since the pump, piston, valve or hose was last changed."""
    found: dict[str, list[tuple[float, Mapping[str, Any]]]] = {}
    for event in events:
        if event.what == "fitted" and event.payload().get("part") in _BALLAST_PARTS:
            found.clear()
            continue
        if event.what == "serviced" and text(event.payload().get("item")) == "ballast":
            found.clear()
            continue
        for way in ("fill", "empty"):
            one = _measured(event, f"ballast.{way}_time")
            if one is not None:
                found.setdefault(way, []).append((one[0], one[1]))
    return {way: _segment(readings, 0.3) for way, readings in found.items()}


def opened_since_wiped(events: Iterable[Event]) -> int:
    """Times she was opened since somebody last looked for water with her open."""
    count = 0
    for event in events:
        if event.what == "opened":
            count += 1
        elif event.what == "water.found" and event.payload().get("looked") == "opened":
            count = 0
    return count


def trim_moves(events: Iterable[Event]) -> tuple[Num, ...]:
    """Lead put in or taken out since the trim was last proved: upward positive, kg. A move within her is nought."""
    moves: list[Num] = []
    for event in events:
        if event.what == "check.answered" and "trim" in (event.payload().get("gives") or ()):
            moves.clear()
        elif event.what == "mass.moved":
            data = event.payload()
            mass = quantity(data.get("mass"))
            if mass is None or mass.si is None:
                continue
            came, went = (text(data.get(k)) or "" for k in ("from", "to"))
            sign = -1.0 if came.lower() in _AWAY else 1.0 if went.lower() in _AWAY else 0.0
            if sign:
                moves.append(Num(sign * mass.si, mass.u95 or 0.0, Basis.MEASURED))
    return tuple(moves)
