"""What was last answered to a line of a list: reading, limit then, verdict, when and by whom, out of the events alone."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from divelog.checks.model import Line
from divelog.checks.state import Mark
from divelog.journal.events import Event
from divelog.journal.payload import text
from divelog.papers.sheets.figures import MARKS, between
from divelog.text import shown

_BARE = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_WORST = ("outside", "unknown", "too_close", "to_prove")
_SIGNS = {
    "outside": MARKS[Mark.OUTSIDE], "unknown": MARKS[Mark.UNKNOWN], "too_close": MARKS[Mark.TOO_CLOSE],
    "to_prove": MARKS[Mark.TO_PROVE], "within": MARKS[Mark.WITHIN],
    "skipped": MARKS[Mark.SKIPPED], "not fitted": MARKS[Mark.NOT_FITTED],
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Answer:
    """All that was said to one line the last time: the events of it, oldest first."""

    list: str
    line: str
    events: tuple[Event, ...]

    @property
    def at(self) -> datetime:
        """When it was answered, by the clock of the place."""
        return self.events[-1].local

    @property
    def doubt(self) -> float:
        """Seconds by which that may be wrong."""
        return self.events[-1].half_width

    @property
    def by(self) -> str:
        """Who answered; empty where nobody is named."""
        return self.events[-1].by or ""

    @property
    def sign(self) -> str:
        """The worst of its verdicts as a sign word; done where there was nothing to judge."""
        said = [text(one.payload().get("verdict")) or "" for one in self.events]
        if self.events[-1].what == "check.skipped":
            said = [text(self.events[-1].payload().get("state")) or "skipped"]
        if any(one.payload().get("fails") for one in self.events):
            said.append("outside")
        worst = next((word for word in (*_WORST, "skipped", "not fitted", "within") if word in said), "")
        return _SIGNS.get(worst, MARKS[Mark.DONE])

    @property
    def loud(self) -> bool:
        """Whether it was OUTSIDE."""
        return self.sign == MARKS[Mark.OUTSIDE]

    def reading(self, line: Line | None = None) -> str:
        """What was read or said, in its own words; a bare number gets the line's unit."""
        units = {q.unit for q in line.questions if q.unit} if line is not None else set()
        unit = units.pop() if len(units) == 1 else ""
        found: list[str] = []
        for event in self.events:
            words = _said(event.payload())
            if (
                words and found and words.startswith(f"{found[-1]} to ")
            ):  # a hold: where it began, then both ends
                found.pop()
            if words:
                found.append(f"{words} {unit}".strip() if _BARE.fullmatch(words) else words)
        return shown("; ".join(dict.fromkeys(found)), 160)

    @property
    def limit(self) -> str:
        """The limits it was held against, as they were then."""
        found = []
        for event in self.events:
            data = event.payload().get("limit")
            if isinstance(data, Mapping):
                words = text(data.get("shown")) or ""
                found.append(between(words, data.get("low"), data.get("high")))
        return shown("; ".join(dict.fromkeys(found)), 120)


def _said(data: Mapping[str, Any]) -> str:
    """One answer in words; empty where it was no more than done."""
    value, answer = data.get("value"), data.get("answer")
    if isinstance(answer, list):
        rows = [row for row in answer if isinstance(row, Mapping)]
        if len(rows) > 1 and len({str(row.get("answer")) for row in rows}) == 1:
            return f"all {len(rows)} {text(rows[0].get('answer')) or ''}".strip()
        said = ((text(r.get("member")) or "?", text(r.get("answer")) or "") for r in rows)
        return ", ".join(member if word in ("", "done") else f"{member} {word}" for member, word in said)
    if isinstance(value, Mapping):
        return text(value.get("typed")) or ("unknown" if value.get("si") is None else f"{value['si']}")
    reason = text(data.get("reason"))
    words = reason or text(answer) or ""
    return "" if words == "done" else words


def newest(events: Iterable[Event]) -> dict[tuple[str, str], Answer]:
    """The last answer to every line, by list and line. ``events``: of one boat, in order of time."""
    found: dict[tuple[str, str], list[Event]] = {}
    for event in events:
        if event.what not in ("check.answered", "check.skipped") or not event.known:
            continue
        data = event.payload()
        key = (text(data.get("list")) or "", text(data.get("line")) or "")
        before = found.get(key)
        if before and not _over(before[-1]) and _walk(before[-1]) == text(data.get("check")):
            before.append(event)
        else:
            found[key] = [event]
    return {key: Answer(*key, _members_once(group)) for key, group in found.items()}


def _over(event: Event) -> bool:
    """Whether a line was answered whole with it."""
    return event.what == "check.skipped" or "gives" in event.payload()


def _walk(event: Event) -> str | None:
    return text(event.payload().get("check"))


def _members_once(group: list[Event]) -> tuple[Event, ...]:
    """Each event of a line with members holds those before it: the last one tells them all."""
    last = [n for n, one in enumerate(group) if isinstance(one.payload().get("answer"), list)]
    return tuple(one for n, one in enumerate(group) if n not in last[:-1])
