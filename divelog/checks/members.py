"""Members of an *each* line: what the list at ``of`` holds for this boat, now."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from divelog.checks.around import Around
from divelog.checks.directions import asked_directions
from divelog.checks.model import Question
from divelog.checks.sense import is_path
from divelog.clock import day_month
from divelog.journal.payload import stops_launch, text
from divelog.profiles.document import State
from divelog.proofs.fold import defect_words


@dataclass(frozen=True, slots=True)
class Member:
    """One member: its name in the log, and what a person reads."""

    id: str
    words: str


@dataclass(frozen=True, slots=True)
class Asking:
    """For whom members are asked: the run the walk belongs to, and when the walk was begun."""

    run: str | None = None
    since: datetime | None = None


_NOBODY = Asking()
EVERY_ONE = Member("each one", "each one there is")
"""Stands for a list nobody has written down: the line is kept and asks for all of it at once."""


def members(question: Question, around: Around, asking: Asking = _NOBODY) -> tuple[Member, ...]:
    """What an *each* question goes through; empty: it is not asked."""
    found: list[Member] = []
    for name in question.of:
        source = _SOURCES.get(name)
        if source is not None:
            found.extend(source(around, asking))
        elif is_path(name):
            found.extend(_at_path(name, around))
        else:
            found.append(Member(name, name))
    if found or not any(name in _SOURCES or is_path(name) for name in question.of):
        found.extend(Member(name, name) for name in question.also)
    return tuple({one.id: one for one in found}.values())


def _at_path(path: str, around: Around) -> tuple[Member, ...]:
    words = around.words_at(path)
    if words is None:
        return (EVERY_ONE,)
    return tuple(Member(word, word) for word in words if word != "not fitted")


def _directions(around: Around, asking: Asking) -> tuple[Member, ...]:
    return tuple(Member(name, words) for name, words in asked_directions(around))


def _failsafe(around: Around, asking: Asking) -> tuple[Member, ...]:
    fact = around.facts.get("boat.failsafe[signal lost].does")
    if fact is None or fact.state is not State.KNOWN or not isinstance(fact.value, tuple):
        return (EVERY_ONE,)
    rows = [row for row in fact.value if isinstance(row, tuple)]
    return tuple(Member(channel, f"{channel.replace('_', ' ')} {does}") for channel, does in rows)


def _packs(around: Around, asking: Asking) -> tuple[Member, ...]:
    names = [*(around.words_at("boat.power.drive_packs") or ())]
    own = around.word("boat.power.receiver_pack")
    if own and own not in ("from drive", "not fitted"):
        names.append(own)
    return tuple(Member(name, name) for name in names) or (EVERY_ONE,)


def _joints(around: Around, asking: Asking) -> tuple[Member, ...]:
    return _at_path("boat.power.joints", around)


def _seals(moving: bool | None) -> Callable[[Around, Asking], tuple[Member, ...]]:
    def of(around: Around, asking: Asking) -> tuple[Member, ...]:
        found: list[Member] = []
        for name in around.facts.ids("boat.seal"):
            fact = around.facts.get(f"boat.seal[{name}].moves")
            moves = fact.value if fact is not None and isinstance(fact.value, bool) else None
            if moving is None or moves is None or moves is moving:
                found.append(Member(name, name))
        return tuple(found)

    return of


def _marks(around: Around, asking: Asking) -> tuple[Member, ...]:
    found: list[Member] = []
    if asking.run is None:
        return ()
    for event in around.events:
        if event.what == "mark" and event.run == asking.run and event.known:
            found.append(Member(event.id, f"mark {len(found) + 1}, {event.local:%H:%M}"))
    return tuple(found)


def _defects(around: Around, asking: Asking) -> tuple[Member, ...]:
    """Defects open when the walk was begun: one closed in it stays a member."""
    closed: set[str] = set()
    opened = []
    for event in around.events:
        if not event.known or (asking.since is not None and event.at > asking.since):
            continue
        if event.what == "defect.closed":
            closed.add(text(event.payload().get("of")) or "")
        elif event.what == "defect.opened" or stops_launch(event):
            opened.append(event)
    return tuple(
        Member(event.id, f"{defect_words(event)}, {day_month(event.local)}")
        for event in opened
        if event.id not in closed
    )


_SOURCES: Mapping[str, Callable[[Around, Asking], tuple[Member, ...]]] = MappingProxyType(
    {
        "directions": _directions, "failsafe": _failsafe, "packs": _packs, "marks": _marks, "defects": _defects,
        "joints": _joints, "moving seals": _seals(True), "still seals": _seals(False), "seals": _seals(None),
    }
)  # fmt: skip
