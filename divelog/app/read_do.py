"""Lists that are read and done: their steps for this boat now, and the events that say how far somebody got."""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog.app.desk import Desk
from divelog.checks import trouble
from divelog.checks.library import read_library
from divelog.checks.model import CheckList
from divelog.checks.trouble import TroubleStep
from divelog.files import StorageError
from divelog.journal.events import Event
from divelog.journal.payload import text
from divelog.limits.model import Verdict
from divelog.session.around import around
from divelog.session.session import ReadOnlyError

NOBODY = "Nobody goes in after a boat."
HER_TIME = "recovery.time_to_surface"
KEY_PRESSED = "mark-it"
"""The step that the key itself does."""

APART = 3.0
"""Seconds between steps that a list puts at one moment, so that each is met once."""

_LAST_RESORT: dict[str, tuple[str, ...]] = {
    "signal-lost": (
        "People clear of the edge; one points at the spot", "Throttle stop, planes up, ballast out; hold still",
        "Set high, aerial broadside to her; walk along the bank", "Two bearings, a float, a hook or the rescue boat",
    ),
    "leak-found": (
        "People clear; ballast out, straight to the bank", "Lift her level; boat off, then the set", "Pack out, outdoors",
    ),
    "boat-stuck": ("People clear; throttle off", "Ballast out once; two bearings", "A hook from bank or boat, gently"),
    "pack-hot": ("People back and upwind", "Smoke or hiss: leave it, call the fire service", "Never charge it again"),
}  # fmt: skip
"""Where neither the shipped list nor the person's own can be read: a trouble page is never empty."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: its line, the words for this boat now, and its second on the clock (None: no clock)."""

    line: str
    words: str
    at: float | None = None
    writes: tuple[str, ...] = ()
    how: str = ""


@dataclass(frozen=True, slots=True)
class Steps:
    """A list that is read and done, for one boat now."""

    name: str
    title: str
    version: int
    steps: tuple[Step, ...]
    caution: str = NOBODY


def her_time(desk: Desk) -> tuple[int, bool] | None:
    """Seconds she takes to come up by herself, the long end; True where it is only the longest wait for her size."""
    if desk.slug is None or desk.document().faults:
        return None
    limit = desk.limit(HER_TIME)
    if limit is None:
        return None
    if limit.reading is not None:
        return math.ceil(limit.reading.si + limit.reading.u95 - 1e-9), False
    return (math.ceil(limit.shown_high), True) if limit.shown_high is not None else None


def list_named(desk: Desk, name: str) -> CheckList | None:
    """The list of that name as this person and this boat have it; None where none can be read."""
    boat = None if desk.slug is None or desk.document().faults else desk.document()
    try:
        return read_library(desk.session.home.checklists, desk.session.disk).get(name, boat)
    except StorageError:
        return None


def steps_of(desk: Desk, name: str) -> Steps:
    """The steps of a list for the boat in hand, now: what is not proved is not to be leant on."""
    found = list_named(desk, name)
    if found is None or not any(found.lines()):
        words = _LAST_RESORT.get(name, ())
        return Steps(
            name, name.replace("-", " "), 0, tuple(Step(str(n), each) for n, each in enumerate(words))
        )
    lines = _for_this_boat(desk, found)
    caution = NOBODY
    if lines[-1].id == "nobody":
        caution = _stopped(lines.pop().words)
    lines.sort(key=lambda line: line.id != KEY_PRESSED)
    clock = any(line.at for line in lines)
    known = her_time(desk)
    return Steps(
        name, found.title, found.version, tuple(_step(desk, line, clock, known) for line in lines), caution
    )


def _for_this_boat(desk: Desk, found: CheckList) -> list[TroubleStep]:
    """The steps with what this boat's proofs make of them; without a boat, the lines as they stand."""
    if desk.slug is None or desk.document().faults:
        return [
            TroubleStep(line.id, line.at, line.do, line.how, line.caution, line=line)
            for line in found.lines()
        ]

    steps = trouble.steps(found, around(desk.session, desk.asked()))
    return [step for step in steps if step.line is None or not step.line.not_fitted]


def _step(desk: Desk, step: TroubleStep, clock: bool, known: tuple[int, bool] | None) -> Step:
    line = step.line
    if line is None:
        return Step(step.id, step.left_out or step.words, step.at if clock else None, how=step.how)
    twice = 2 * known[0] if known is not None else 0
    at = line.at + (twice if line.at_twice == HER_TIME else 0) if clock else None
    words = step.left_out or step.words
    if line.shows == HER_TIME and known is not None and not step.left_out:
        words = f"{words}; wait {twice} s{'*' if known[1] else ''}"
    elif line.shows and line.shows != HER_TIME and desk.slug is not None:
        limit = desk.limit(line.shows)
        if limit is not None and limit.shown and limit.verdict is not Verdict.UNKNOWN:
            words = f"{words} ({limit.shown})"
    return Step(line.id, words, at, line.writes, line.how)


def _stopped(words: str) -> str:
    return words if words.endswith(".") else f"{words}."


class ReadDo:
    """One walk through such a list. What cannot be kept is said, and never stops the steps."""

    def __init__(self, desk: Desk, steps: Steps, since: Event | None = None) -> None:
        self.desk = desk
        self.steps = steps
        self.done = 0
        self.fault = ""
        self.ended = False
        self._check: str | None = None
        self._resume(since)
        if self._check is None:
            self._check = self._keep("check.started", {"list": steps.name, "version": steps.version})
            if steps.steps and steps.steps[0].line == KEY_PRESSED:  # the key that opened the page
                self._do(0, 0.0)

    def _resume(self, since: Event | None) -> None:
        """Go on with the walk begun since an event, where the log holds one that is not ended."""
        if since is None or self.desk.slug is None:
            return
        answered: set[str] = set()
        for event in reversed(self.desk.session.log(self.desk.slug).events):
            if event.at < since.at:
                return
            if not event.what.startswith("check.") or not event.known:
                continue
            data = event.payload()
            if text(data.get("list")) != self.steps.name:
                continue
            if event.what == "check.ended":
                return
            if event.what == "check.answered":
                answered.add(text(data.get("line")) or "")
            elif event.what == "check.started":
                self._check = event.id
                lines = [step.line for step in self.steps.steps]
                self.done = max((n for n, line in enumerate(lines, 1) if line in answered), default=0)
                return

    def _keep(self, what: str, data: dict[str, object]) -> str | None:
        """Keep an event without the run: only the list after a run closes one."""
        if self.desk.slug is None:
            return None
        try:
            return self.desk.keep(what, data).id
        except (StorageError, ReadOnlyError) as error:
            self.fault = str(error)
            return None

    @property
    def whole(self) -> bool:
        """True where every step was done."""
        return self.done >= len(self.steps.steps)

    def present(self, seconds: float) -> int:
        """The step that is meant now: by the clock, or further where somebody said done."""
        return max(self.done, self.by_clock(seconds))

    def by_clock(self, seconds: float) -> int:
        """The last step whose moment has come; steps of one moment follow each other after a breath."""
        found, before, held = 0, -1.0, 0
        for n, step in enumerate(self.steps.steps):
            if step.at is None:
                return 0
            if step.line == KEY_PRESSED:
                continue
            held = held + 1 if step.at == before else 0
            before = step.at
            if seconds >= step.at + APART * held:
                found = n
        return found

    def do(self, seconds: float) -> Step | None:
        """Say that the present step is done; the step, or None where all were done already."""
        if self.whole:
            return None
        return self._do(min(self.present(seconds), len(self.steps.steps) - 1), seconds)

    def _do(self, index: int, seconds: float) -> Step:
        step = self.steps.steps[index]
        data = {
            "list": self.steps.name, "line": step.line, "answer": "done", "seconds": round(seconds, 1), "check": self._check,
        }  # fmt: skip
        self._keep("check.answered", data)
        self.done = index + 1
        if self.done == len(self.steps.steps):
            self.end("")
        return step

    def end(self, left: str) -> None:
        """The list is over: done, or left for a reason."""
        if self.ended:
            return
        self.ended = True
        data: dict[str, object] = {
            "list": self.steps.name,
            "version": self.steps.version,
            "complete": not left,
        }
        if left:
            data["left"] = left
        self._keep("check.ended", data)
