"""Events of the list after a run: its end, its deepest keel, its marks put into words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from divelog.checks.entry import Given
from divelog.checks.said import Said, all_asked, correction, quantity
from divelog.checks.state import Pending, ended_run
from divelog.checks.steps import by_member
from divelog.clock import stamp
from divelog.journal.events import Event
from divelog.journal.payload import text


def run_ended(said: Said) -> list[Pending]:
    """``run.ended``; a correction of it where the run has ended already."""
    if not said.complete or said.walk.run is None:
        return []
    reason = said.answer()
    if ended_run(said.walk, said.around) is not None:
        return _merged(said, {"reason": reason})
    started = next((e for e in reversed(said.around.events) if e.id == said.walk.run), None)
    pack = text(started.payload().get("pack")) if started is not None else None
    data = {"pack": pack or said.around.word("plan.pack"), "reason": reason}
    return [Pending("run.ended", {k: v for k, v in data.items() if v}, run=said.walk.run)]


def _merged(said: Said, more: Mapping[str, Any]) -> list[Pending]:
    """A correction that puts more into the run's end, or nothing where it says so already."""
    event = ended_run(said.walk, said.around)
    if event is None:
        return []
    data = event.payload()
    whole = {**data, **more}
    return [] if whole == data else [correction(event.id, whole, "answered in the list after the run")]


def deepest(said: Said) -> list[Pending]:
    """The deepest keel, put into the run's end."""
    first = said.answers.get("answer")
    if not said.complete or first is None or first.value is None:
        return []
    return _merged(said, {"deepest": quantity(first.value, first.typed, said.answer("how"))})


def volts(said: Said) -> list[Pending]:
    """The rested volts, put into the run's end."""
    first = said.answers.get("answer")
    if not said.complete or first is None or first.value is None:
        return []
    return _merged(said, {"volts": quantity(first.value, first.typed)})


def marks(said: Said) -> list[Pending]:
    """``mark.named``, with an ``incident`` or a ``signal`` at the moment of the mark where it was one."""
    found: list[Pending] = []
    question = said.line.questions[0]
    members = by_member(said.givens)
    for place, (member, answers) in enumerate(members.items()):
        if place == len(members) - 1 and not said.complete and not all_asked(question.ask, answers):
            break
        found.extend(
            _one_mark(said, member, {name: given.answer for name, given in answers.items()}, answers)
        )
    return found


def _one_mark(said: Said, mark: str, words: Mapping[str, str], answers: Mapping[str, Given]) -> list[Pending]:
    kind = words.get("step") or (
        f"signal {words['signal']}" if words.get("signal") else words.get("answer", "")
    )
    run = said.walk.run
    data: dict[str, Any] = {"of": mark, "kind": kind}
    if words.get("words"):
        data["text"] = words["words"]
    found = [Pending("mark.named", data, run=run)]
    at = _time_of(mark, said.around.events)
    if words.get("signal"):
        found.append(Pending("signal", {"kind": words["signal"]}, run=run, happened=at))
    if words.get("step"):
        incident: dict[str, Any] = {"step": words["step"], "source": words.get("source", "guessed")}
        depth = answers.get("depth")
        if depth is not None and depth.value is not None:
            incident["depth"] = quantity(depth.value, depth.typed)
        if words.get("words"):
            incident["cause"] = words["words"]
        found.append(Pending("incident", incident, run=run, happened=at))
    return found


def _time_of(event: str, events: Sequence[Event]) -> str | None:
    found = next((e for e in reversed(events) if e.id == event), None)
    return stamp(found.local) if found is not None else None
