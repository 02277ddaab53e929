"""``divelog defects``: what is wrong with each boat, how it was closed or overruled, and what follows a part about."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping
from typing import Any

from divelog.clock import day_month
from divelog.commands.named import boat_named, tell_reports
from divelog.commands.out import data, say, tell
from divelog.exits import Exit
from divelog.history.defects import Defect, overruled_now
from divelog.history.folding import fold
from divelog.history.tracing import Trace, traces
from divelog.journal.loading import load, load_all
from divelog.text import shown


def run_defects(words: Namespace) -> int:
    """Open defects of the boats named, or of all; and faults that two boats share with one part."""
    home = words.where
    slugs = [boat_named(words, name).slug for name in words.boats]
    log = load_all(home)
    now = words.clock.now()
    history = fold(log.events, now)
    wanted = [d for d in history.defects if (d.open or words.all) and (not slugs or d.boat in slugs)]
    said: dict[str, str] = {}
    for boat in {d.boat for d in wanted if d.boat is not None and d.open}:
        said.update(overruled_now(load(home, boat).events, now.date()))
    shared = [t for t in traces(history.runs) if not slugs or any(boat in slugs for boat, _ in t.boats)]
    if words.json:
        data({
            "schema": "divelog.defects/1", "at": now.isoformat(), "defects": [defect_data(d, said) for d in wanted],
            "shared": [trace_data(t) for t in shared],
        })  # fmt: skip
    else:
        for one in wanted:
            for row in defect_rows(one, said):
                say(shown(row))
        for trace in shared:
            say(shown(f"! shared     {trace.words()}"))
        if not wanted:
            tell("no defect written down" if words.all else "no open defect")
    tell_reports(log)
    if log.damaged:
        return Exit.DAMAGED
    stops = any(d.open and d.stops_launch for d in wanted)
    return Exit.NOT_WITHIN if words.strict and (stops or shared) else Exit.DONE


def defect_rows(one: Defect, said: Mapping[str, str]) -> list[str]:
    """One defect as plain text: sign, boat, words, day; under it its event and what became of it."""
    sign = "= closed" if not one.open else "X OUTSIDE" if one.stops_launch else "? open"
    rows = [f"{sign:<13}{one.boat or 'no boat':<12}{one.words}, {day_month(one.at)} {one.at.year}"]
    rows.append(f"{'':<13}{one.id}")
    if one.closed is not None:
        by = f", proved by {one.closed.check}" if one.closed.check else ""
        rows.append(f"{'':<13}closed {day_month(one.closed.at)} {one.closed.at.year}{by}")
    elif one.id in said:
        rows.append(f"{'':<13}overruled for the next launch: {said[one.id]}")
    elif one.stops_launch:
        rows.append(f"{'':<13}stops launch until closed, or overruled with a reason")
    rows += [f"{'':<13}overruled {day_month(o.at)} {o.at.year}: {o.reason}" for o in one.overruled]
    return rows


def defect_data(one: Defect, said: Mapping[str, str]) -> dict[str, Any]:
    """One defect as ``divelog.defects/1`` has it."""
    closed = one.closed
    return {
        "event": one.id, "boat": one.boat, "at": one.at.isoformat(), "what": one.what, "words": one.words,
        "stops_launch": one.stops_launch, "open": one.open, "overruled_now": said.get(one.id),
        "closed": None if closed is None else {"event": closed.id, "at": closed.at.isoformat(), "check": closed.check},
        "overruled": [{"launch": o.launch, "at": o.at.isoformat(), "reason": o.reason} for o in one.overruled],
    }  # fmt: skip


def trace_data(one: Trace) -> dict[str, Any]:
    """One shared fault as ``divelog.defects/1`` has it."""
    return {
        "part": one.part, "id": one.id, "fault": one.fault, "boats": dict(one.boats), "runs": one.runs,
        "last": one.last.isoformat() if one.last is not None else None,
    }  # fmt: skip
