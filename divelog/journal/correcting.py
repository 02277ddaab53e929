"""Corrections applied: a correction is an event too, and the newest living one of an event counts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter

import msgspec
from msgspec import Raw

from divelog.journal.events import Event
from divelog.journal.reports import Fault, Report

CORRECTED = "corrected"
_NOTHING = Raw(b"")
_WHAT = attrgetter("what")
_ID = attrgetter("id")


class Correction(msgspec.Struct, frozen=True):
    """What a `corrected` event says: which event, and either that it is void or its new data and time."""

    id: str
    data: Raw = _NOTHING
    void: bool = False
    happened: str | None = None
    why: str = ""


_DECODER = msgspec.json.Decoder(Correction)


@dataclass(frozen=True, slots=True)
class Corrected:
    """Events after corrections, `corrected` itself and void ones left out; which correction changed or voided
    which."""

    events: Sequence[Event]
    changed: Mapping[str, str]
    voided: Mapping[str, str]
    reports: tuple[Report, ...] = ()
    moved: bool = False
    """Whether a correction gave an event another time, so that the order may be another."""


def correction_of(event: Event) -> Correction | None:
    """What a `corrected` event says, or none if it cannot be read or comes from a newer version."""
    if event.what != CORRECTED or not event.known:
        return None
    try:
        return _DECODER.decode(event.data)
    except (ValueError, RecursionError):
        return None


def correct(lines: Sequence[Event]) -> Corrected:
    """Applies the corrections among `lines`, newest first; the order of the lines stays.

    A void correction is skipped. A correction voids its target, or puts its data (whole) and its `happened`
    (if given) in the target's place; of several living ones of one event only the newest counts. A target
    keeps its `id` and `when`.
    """
    if CORRECTED not in map(_WHAT, lines):
        return Corrected(lines, {}, {})
    corrections = [event for event in lines if event.what == CORRECTED]
    meant = {event.id: correction_of(event) for event in corrections}
    # A long log has few corrections: only what they name is looked up, and the rest stays as it is. Where one corrects
    # another, what the other then names is not known beforehand.
    targets = {each.id for each in meant.values() if each is not None}
    named = {*meant, *targets}
    ids = list(map(_ID, lines))
    nested = not targets.isdisjoint(meant)
    places = {name: place for place, name in enumerate(ids) if nested or name in named}
    there = {name: lines[place] for name, place in places.items()}
    changed: dict[str, str] = {}
    voided: dict[str, str] = {}
    reports: list[Report] = []
    for event in sorted(corrections, key=lambda each: (each.when, each.id), reverse=True):
        if event.id in voided:
            continue
        correction = correction_of(there[event.id])
        if correction is None:
            if event.known:
                reports.append(
                    Report(Fault.NO_TARGET, f"event {event.id}", 0, "this correction cannot be read")
                )
            continue
        target = there.get(correction.id)
        if target is None:
            sentence = f"this corrects an event that is not here: {correction.id}"
            reports.append(Report(Fault.NO_TARGET, f"event {event.id}", 0, sentence))
        elif target.id in voided or target.id in changed:
            continue
        elif correction.void:
            voided[target.id] = event.id
        else:
            data = target.data if bytes(correction.data) == b"" else correction.data
            there[target.id] = target.with_data(data, correction.happened)
            changed[target.id] = event.id
    gone = {*voided, *(event.id for event in corrections)}
    whole = list(lines)
    for name in changed:
        whole[places[name]] = there[name]
    kept = [event for event, out in zip(whole, map(gone.__contains__, ids), strict=True) if not out]
    moved = any(there[name].happened != lines[places[name]].happened for name in changed)
    return Corrected(kept, changed, voided, tuple(reports), moved)
