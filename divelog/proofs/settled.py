"""What the fold of proofs keeps of a long past, so that an event more costs what the last week costs.

The past is cut where every effect of the events before stands earlier than every effect of those after. What is kept of
the part before is enough to answer as the whole log would; wherever that is in doubt (an event came in before the cut,
a run of the past gets another end, a moment before the cut is asked) the whole log is folded.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, islice
from operator import is_

from divelog.journal.events import Event
from divelog.proofs.model import Effect, OpenDefect, Past
from divelog.proofs.outing import Signs

TAIL_SECONDS = 7 * 86_400.0
"""Younger than this nothing is settled: what happened this week is still typed in, corrected and ended."""

OF_USE = 3 * 86_400.0
"""How long before the cut signs of an outing may matter to one that goes on: no two offsets lie further apart than 26 h."""

LEAST = 400
"""Events under which the whole log is folded each time."""


@dataclass(frozen=True, slots=True)
class Settled:
    """All that is kept of the first ``count`` of ``events``."""

    events: Sequence[Event]
    count: int
    rules: tuple[bool, bool]
    """What of the boat decides effects: many memories, printed."""
    past: Past
    lines: tuple[tuple[str, str, Effect | None, Effect | None], ...]
    """Proof, item, last giving, first spending after it; in the order they were first given."""
    ends: Mapping[tuple[str, str], tuple[float, str, str]]
    """Where the outing of a giving is over already: how it ended."""
    depths: tuple[tuple[float, float, str], ...]
    run_ends: tuple[tuple[float, str], ...]
    signs: Signs
    jumps: tuple[tuple[str | None, float], ...]
    claimed: tuple[float, frozenset[str]]
    stops: tuple[OpenDefect, ...]
    closed: frozenset[str]
    newest: float | None
    """When the newest line was written, for doubts of the clock."""
    asked: frozenset[str]
    """Runs that another end would make different: those begun or ended here, or looked into for water."""

    def serves(self, events: Sequence[Event], rules: tuple[bool, bool], now: float) -> bool:
        """Whether a log at a moment can be folded from here."""
        return (
            now >= self.past.until
            and rules == self.rules
            and self.holds(events)
            and self._apart(events[self.count :])
        )

    def holds(self, events: Sequence[Event]) -> bool:
        """Whether a log begins with the very events this was made from."""
        return len(events) >= self.count and (
            events is self.events or all(map(is_, islice(events, self.count), self.events))
        )

    def _apart(self, tail: Sequence[Event]) -> bool:
        """Whether nothing in the tail reaches back over the cut."""
        begun = {event.id for event in tail if event.what == "run.started"}
        for event in tail:
            if event.seconds - event.half_width <= self.past.until:
                return False
            if event.what == "run.ended" and (event.run not in begun or event.run in self.asked):
                return False
        return True


def cut_at(events: Sequence[Event]) -> tuple[int, float] | None:
    """Where a log in order of time can be cut: how many events stand before, and the second all is over; None if it is
    short or cannot be cut."""
    if len(events) < LEAST:
        return None
    times = [event.seconds for event in events]
    widths = [event.half_width if event.happened is not None else 0.0 for event in events]
    late = list(accumulate(map(float.__add__, times, widths), max))
    early = list(accumulate((t - w for t, w in zip(reversed(times), reversed(widths), strict=True)), min))
    early.reverse()
    if any(a > b for a, b in zip(times, islice(times, 1, None), strict=False)):
        return None
    last = times[-1] - TAIL_SECONDS
    for index in range(len(events) - 1, 0, -1):
        if times[index] >= last and index > 1:
            continue
        if late[index - 1] < early[index]:
            return (index, late[index - 1]) if index >= LEAST // 2 else None
    return None
