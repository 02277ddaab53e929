"""The list after a run: which run it belongs to, and whether the next one may begin."""

from __future__ import annotations

from collections.abc import Sequence

from divelog.journal.events import Event
from divelog.journal.payload import text


def run_to_close(events: Sequence[Event], slug: str) -> str | None:
    """The run whose after-run list is to be answered: the one that is on, else the newest ended one that is unanswered."""
    ended: set[str] = set()
    answered = answered_runs(events, slug)
    for event in reversed(events):
        if event.boat != slug or not event.known:
            continue
        if event.what == "run.ended" and event.run:
            ended.add(event.run)
            if event.run not in answered:
                return event.run
        elif event.what == "run.started":
            return event.id if event.id not in ended else None
    return None


def answered_runs(events: Sequence[Event], slug: str) -> frozenset[str]:
    """Runs whose after-run list is complete, or was left with a reason."""
    found = set()
    for event in events:
        if event.what == "check.ended" and event.run and event.boat == slug and event.known:
            data = event.payload()
            if data.get("complete") is True or text(data.get("left")):
                found.add(event.run)
    return frozenset(found)


def may_start_run(events: Sequence[Event], slug: str) -> tuple[bool, str]:
    """Whether a run of a boat may begin, and if not, why: one is on, or the list of the last one is not answered."""
    run = run_to_close(events, slug)
    if run is None:
        return True, ""
    started = next((e for e in events if e.id == run), None)
    at = f" of {started.local:%H:%M}" if started is not None else ""
    if any(e.what == "run.ended" and e.run == run for e in events):
        return False, f"the list after the run{at} is open: answer it, or leave it with a reason"
    return False, f"the run{at} is still on"
