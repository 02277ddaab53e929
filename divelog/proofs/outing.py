"""When an outing ends: one site, one day, until packed up or four hours idle."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from divelog.journal.events import Event
from divelog.proofs.table import OUTING_IDLE

_SIGNS = frozenset(
    {
        "day.opened", "plan.set", "check.started", "check.ended", "check.answered", "check.skipped", "check.paused",
        "check.resumed", "closed", "launch.called", "run.started", "run.ended", "mark", "water.found", "day.closed",
    }
)  # fmt: skip


def midnight(local: datetime) -> float:
    """UTC seconds of the end of a local day."""
    return (local + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0).timestamp()


@dataclass(frozen=True, slots=True)
class Signs:
    """Signs of earlier outings that are of use still: moments, days packed up, days opened, runs; UTC seconds."""

    times: tuple[float, ...] = ()
    closings: tuple[tuple[float, str], ...] = ()
    days: tuple[tuple[float, datetime, str, str], ...] = ()
    runs: tuple[tuple[float, float | None], ...] = ()


_NONE = Signs()


class Outings:
    """Signs of outings of one boat, ready to answer when an outing that goes on at a moment ends."""

    def __init__(self, events: Sequence[Event], before: Signs = _NONE) -> None:
        self.times = [*before.times, *sorted(e.seconds for e in events if e.what in _SIGNS)]
        self.closings = [
            *before.closings,
            *sorted((e.seconds, e.id) for e in events if e.what == "day.closed"),
        ]
        self.days: list[tuple[float, datetime, str, str]] = [
            *before.days,
            *sorted(
                (e.seconds, e.local, str(e.payload().get("site", "")), e.id)
                for e in events
                if e.what == "day.opened"
            ),
        ]
        ended = {e.run: e.seconds for e in events if e.what == "run.ended" and e.run}
        self.runs = [
            *before.runs,
            *((e.seconds, ended.get(e.id)) for e in events if e.what == "run.started"),
        ]

    def since(self, moment: float) -> Signs:
        """The signs from a moment on, and runs that nobody had ended by then."""
        return Signs(
            tuple(self.times[bisect_left(self.times, moment) :]),
            tuple(each for each in self.closings if each[0] >= moment),
            tuple(each for each in self.days if each[0] >= moment),
            tuple(run for run in self.runs if run[1] is None or run[1] >= moment),
        )

    def _running(self, seconds: float) -> bool:
        return any(start <= seconds and (end is None or end > seconds) for start, end in self.runs)

    def end(self, given: float, local: datetime) -> tuple[float, str, str]:
        """UTC seconds at which the outing of a giving ends, why, and the event that ended it."""
        best = (midnight(local), "outing ended: the day is over", "")
        same_day = [d for d in self.days if d[1].date() == local.date()]
        start = given
        if same_day and given < same_day[0][0]:
            start = same_day[0][0]  # closed at home: she belongs to the outing that follows
        for seconds, event in self.closings:
            if seconds >= given:
                best = min(best, (seconds, "outing ended: packed up", event))
                break
        last_site = ""
        for seconds, _, site, event in same_day:
            if seconds > given and last_site and site != last_site:
                best = min(best, (seconds, "outing ended: another site", event))
                break
            last_site = site
        return min(best, (self._idle(start), "outing ended: 4 h idle", ""))

    def _idle(self, start: float) -> float:
        at = start
        index = bisect_right(self.times, at)
        while True:
            following = self.times[index] if index < len(self.times) else None
            limit = at + OUTING_IDLE
            if following is not None and following <= limit:
                at, index = following, index + 1
                continue
            if self._running(limit):
                ends = [end for begin, end in self.runs if begin <= limit and end is not None and end > limit]
                if not ends:
                    return float("inf")
                at = max(ends)
                index = bisect_right(self.times, at)
                continue
            return limit
