"""What packs were charged with: what a minute of running takes, and which of them are full."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from divelog.calibration.cuts import cuts_draw
from divelog.calibration.model import Parts, RanIn
from divelog.clock import span
from divelog.journal.events import Event
from divelog.journal.payload import quantity, text
from divelog.physics.battery_chemistry import Chemistry
from divelog.physics.battery_log import charge_from_put_back

LEAST_RUN = 300.0
"""Seconds run that a charge must pay for to say anything of a minute: common practice, no source."""


@dataclass(slots=True)
class _Since:
    """What happened to a pack since its last charge."""

    full: bool = False
    seconds: float = 0.0
    known: bool = True
    open: int = 0


def _seconds(start: Event, end: Event) -> float:
    """Seconds of a run, by the clock that counts sleep where it can tell."""
    if start.happened is not None or end.happened is not None:
        found = span(start.at, end.at)
    else:
        found = span(start.at, end.at, start.up, end.up, start.boot, end.boot)
    return max(0.0, found.seconds)


def _used(put_back: float, chemistry: str | None) -> float:
    """Charge used, out of charge put back; the whole of it where nobody knows the chemistry, the safe end."""
    try:
        return charge_from_put_back(chemistry=Chemistry(chemistry or ""), put_back=put_back).charge
    except ValueError:
        return put_back


def charge_rates(events: Iterable[Event], parts: Parts) -> dict[str, tuple[float, ...]]:
    """Charge used over seconds run from one full charge to the next, as mean current in A, by pack.

    A charge says nothing where the one before was not full, no run or an unended one lies between, or what drives her
    was changed since; such a change (see `cuts`) forgets the rates before it too.
    """
    starts: dict[str, Event] = {}
    since: dict[str, _Since] = {}
    rates: dict[str, list[float]] = {}
    for event in events:
        if event.what == "fitted":
            if cuts_draw(event, parts):
                rates.clear()
                for one in since.values():
                    one.known = one.known and one.seconds == 0.0 and one.open <= 0
            continue
        if event.what not in ("run.started", "run.ended", "charged"):
            continue
        data = event.payload()
        if event.what == "run.started":
            starts[event.id] = event
            since.setdefault(text(data.get("pack")) or "", _Since()).open += 1
        elif event.what == "run.ended":
            start = starts.pop(event.run or "", None)
            if start is None:
                continue
            begun = text(start.payload().get("pack")) or ""
            since.setdefault(begun, _Since()).open -= 1
            one = since.setdefault(text(data.get("pack")) or begun, _Since())
            one.seconds += _seconds(start, event)
        else:
            pack = text(data.get("pack")) or ""
            one = since.get(pack, _Since())
            charge = quantity(data.get("charge"))
            full = data.get("to") == "full"
            put_back = charge.si if charge is not None and charge.si is not None else 0.0
            told = one.full and full and one.known and one.open <= 0
            if told and one.seconds >= LEAST_RUN and put_back > 0.0:
                rates.setdefault(pack, []).append(_used(put_back, parts.chemistry.get(pack)) / one.seconds)
            since[pack] = _Since(full=full)
    return {pack: tuple(found) for pack, found in rates.items() if pack and found}


_NONE: Mapping[str, str] = MappingProxyType({})


def charged_full(
    events: Iterable[Event], now: float, receiver_packs: Mapping[str, str] = _NONE
) -> dict[str, float]:
    """Hours since the last full charge, by pack, where no run on it, in any boat, came after; see `full_since`."""
    return hours_since(full_since(events, receiver_packs), now)


def hours_since(full: Mapping[str, float], now: float) -> dict[str, float]:
    """Hours from moments to another, all in UTC seconds."""
    return {pack: max(0.0, now - at) / 3600 for pack, at in full.items()}


def full_since(events: Iterable[Event], receiver_packs: Mapping[str, str] = _NONE) -> dict[str, float]:
    """UTC seconds of the last full charge, by pack, where no run on it, in any boat, came after.

    ``receiver_packs``: the receiver's own pack by boat; no run names it, and every run of that boat takes of it.
    """
    found: dict[str, float] = {}
    for event in events:
        if event.what not in ("charged", "run.started", "run.ended"):
            continue
        data = event.payload()
        pack = text(data.get("pack")) or ""
        if event.what == "charged" and data.get("to") == "full":
            found[pack] = event.at.timestamp()
        else:
            found.pop(pack, None)
            if event.what != "charged":
                found.pop(receiver_packs.get(event.boat or "", ""), None)
    return {pack: at for pack, at in found.items() if pack}


def ran_since_charge(
    events: Iterable[Event], receiver_packs: Mapping[str, str] = _NONE
) -> dict[str, tuple[RanIn, ...]]:
    """Runs on each pack, in any boat, since it was last charged, oldest first."""
    found: dict[str, list[RanIn]] = {}
    for event in events:
        if event.what not in ("charged", "run.started", "run.ended"):
            continue
        data = event.payload()
        pack = text(data.get("pack")) or ""
        boat = event.boat or ""
        if event.what == "charged":
            found.pop(pack, None)
        elif event.what == "run.started":
            for one in {pack, receiver_packs.get(boat, "")} - {""}:
                found.setdefault(one, []).append(RanIn(boat, event.local, event.id, True))
        else:
            for runs in found.values():
                runs[:] = [replace(run, on=False) if run.run == event.run else run for run in runs]
    return {pack: tuple(runs) for pack, runs in found.items()}
