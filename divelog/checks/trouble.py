"""Lists that are read and done: one step at a time, by a clock, with what this boat's own figures make of it."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from divelog.checks.around import Around
from divelog.checks.model import CheckList, Line
from divelog.checks.told import how_of
from divelog.clock import day_month
from divelog.limits.model import Limit
from divelog.proofs.table import RULES


@dataclass(frozen=True, slots=True)
class TroubleStep:
    """One step: when on the clock, what to do, and why it is left out where it is."""

    id: str
    at: float
    words: str
    how: str = ""
    caution: str = ""
    left_out: str = ""
    line: Line | None = None


def steps(checklist: CheckList, around: Around) -> tuple[TroubleStep, ...]:
    """The steps of a list for this boat, in order. One whose proofs do not stand stays in its place and says so."""
    return tuple(_step(line, around) for line in checklist.lines())


def _step(line: Line, around: Around) -> TroubleStep:
    missing = [name for name in line.only_if if not around.report.get(name).stands]
    words, how = line.do, how_of(line, around)
    twice = twice_seconds(line.at_twice, around) if line.at_twice else 0.0
    shown = time_of(line.shows, around) if line.shows else None
    if line.only_if and not missing:
        words += f": {_proved(line, around)}"
        if shown is not None:
            how = f"{2 * shown:.0f} s, twice her time to come up. {how}".strip()
    left = ""
    if missing:
        titles = " and ".join(RULES[name].title for name in missing)
        left = f"The set stays ON: {titles} not proved"
    return TroubleStep(line.id, line.at + twice, words, how, line.caution, left, line)


def _proved(line: Line, around: Around) -> str:
    proofs = [around.report.get(name) for name in line.only_if]
    first = proofs[0].since
    if first is None:
        return "proved"
    zone = around.moment.wall.tzinfo
    return f"{RULES[line.only_if[0]].title} was proved {_when(first.astimezone(zone), around.moment.wall)}"


def _when(at: datetime, now: datetime) -> str:
    return f"today, {at:%H:%M}" if at.date() == now.date() else day_month(at)


def time_of(key: str, around: Around) -> float | None:
    """Seconds that an estimate or limit of time shows for her: her own time, not the most allowed."""
    limit = around.lookup(key, "", None, None)
    return _own_time(limit) if limit is not None else None


def _own_time(limit: Limit) -> float | None:
    part = limit.parts[0] if limit.parts else None
    if part is not None:
        return float(math.ceil(part.si + part.u95))
    if limit.value is not None:
        return float(math.ceil(limit.value + limit.u95))
    return float(math.ceil(limit.reading.si + limit.reading.u95)) if limit.reading is not None else None


FALLBACK = 60.0
"""Seconds taken for her time to come up where nobody knows it: the most that is allowed."""


def twice_seconds(key: str, around: Around) -> float:
    """Twice her own time."""
    found = time_of(key, around)
    return 2.0 * (found if found is not None else FALLBACK)


def present(found: tuple[TroubleStep, ...], seconds: float, done: Collection[str] = ()) -> int:
    """Which step is meant now: the first not done that the clock has reached, else the next to come."""
    open_ = [index for index, one in enumerate(found) if one.id not in done]
    reached = [index for index in open_ if found[index].at <= seconds]
    if reached:
        return reached[0]
    return open_[0] if open_ else len(found) - 1
