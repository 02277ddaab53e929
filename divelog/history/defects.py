"""Defects: what is open, what stops a launch, who closed it, and when it was overruled."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from divelog.history.grouping import ByKind, of
from divelog.journal.events import Event
from divelog.journal.payload import channels_wrong, mapping, stops_launch, text

_BY_THEMSELVES = ("water.found", "incident", "failsafe.tripped")


@dataclass(frozen=True, slots=True)
class Closing:
    """The `defect.closed` that ended it: when, by whom, and which check proved it."""

    id: str
    at: datetime
    by: str | None
    check: str | None


@dataclass(frozen=True, slots=True)
class Overruling:
    """A launch called although it was open, and why."""

    launch: str
    at: datetime
    by: str | None
    reason: str


@dataclass(frozen=True, slots=True)
class Defect:
    """A defect, opened by a `defect.opened` or by an event that is one by itself; `id` is that event's."""

    id: str
    at: datetime
    boat: str | None
    what: str
    words: str
    stops_launch: bool
    closed: Closing | None
    overruled: tuple[Overruling, ...]

    @property
    def open(self) -> bool:
        """Whether nobody closed it."""
        return self.closed is None


def _words(event: Event) -> str:
    """What a person is told of it."""
    data = event.payload()
    match event.what:
        case "water.found":
            if data.get("flooded") is True:
                return "flooded"
            end = text(data.get("end"))
            where = f", {end}" if end not in (None, "", "none") else ""
            return f"water inside: {text(data.get('word')) or 'more than allowed'}{where}"
        case "failsafe.tripped":
            return "failsafe did the wrong thing: " + ", ".join(channels_wrong(data))
        case "incident":
            return text(data.get("step")) or "incident"
        case _:
            return text(data.get("defect")) or "a defect"


def defects(groups: ByKind) -> tuple[Defect, ...]:
    """Every defect in order. Only a `defect.closed` whose `of` names its event closes it."""
    closings: dict[str, Closing] = {}
    for event in of(groups, "defect.closed"):
        data = event.payload()
        target = text(data.get("of"))
        if target is not None and target not in closings:
            closings[target] = Closing(event.id, event.local, event.by, text(data.get("check")))
    overrulings: dict[str, list[Overruling]] = defaultdict(list)
    for event in of(groups, "launch.called"):
        reasons: Mapping[str, object] = mapping(event.payload().get("because"))
        for target, reason in reasons.items():
            overrulings[target].append(Overruling(event.id, event.local, event.by, text(reason) or ""))
    found: list[Defect] = []
    for event in of(groups, "defect.opened", *_BY_THEMSELVES):
        stops = stops_launch(event)
        if stops or event.what == "defect.opened":
            found.append(
                Defect(
                    id=event.id,
                    at=event.local,
                    boat=event.boat,
                    what=event.what,
                    words=_words(event),
                    stops_launch=stops,
                    closed=closings.get(event.id),
                    overruled=tuple(overrulings.get(event.id, ())),
                )
            )
    return tuple(found)


def overruled_now(events: Iterable[Event], today: date) -> Mapping[str, str]:
    """Reasons said beforehand why a defect does not stop the next launch, by the defect's event.

    They hold for one launch, on the local date they were said for: after ``launch.called``, which keeps them in its
    ``because``, or the day after, a reason is said again. ``events``: in order of time, of one boat.
    """
    found: dict[str, str] = {}
    for event in events:
        if not event.known:
            continue
        if event.what == "launch.called":
            found.clear()
        elif event.what == "defect.overruled" and event.local.date() == today:
            data = event.payload()
            target, reason = text(data.get("of")), text(data.get("reason"))
            if target and reason and reason.strip():
                found[target] = reason.strip()
    return found
