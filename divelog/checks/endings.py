"""What is written because a phase or a list ends with a line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from divelog.checks.around import Around
from divelog.checks.asking import LineState, current, is_closing, line_states, spent_since
from divelog.checks.entry import Given
from divelog.checks.model import Kind, Line, Phase, Question
from divelog.checks.said import quantity
from divelog.checks.settling import settle
from divelog.checks.state import Mark, Pending, Record, Walk, with_record
from divelog.checks.writers_care import open_defects, standing_proofs


def ending(walk: Walk, around: Around, line: Line, record: Record) -> list[Pending]:
    """What is written because a phase or the list ends with this line."""
    after = replace(with_record(walk, record), partial_line="", partial=(), partial_verdicts=(), at="")
    states = line_states(after, around)
    found: list[Pending] = []
    phase = walk.checklist.phase_of(line.id)
    if phase is not None and not any(one.asked for one in states if one.phase.id == phase.id):
        found.extend(_phase_end(after, around, phase))
    if not walk.checklist.before_run and current(after, around, states) is None:
        found.extend(list_end(after, around, states))
    return found


def _phase_end(walk: Walk, around: Around, phase: Phase) -> list[Pending]:
    """The event that gathers what was read in a phase: ``closed``."""
    data: dict[str, Any] = {}
    for line in phase.lines:
        record = walk.record(line.id)
        if record is None or not record.givens:
            continue
        for question, given in _into(line, record):
            what, _, field = question.into.partition(".")
            if what == "closed":
                data[field] = _gathered(field, given)
    if not data or ("count" not in data and is_closing(phase)):
        return []
    which = around.words_at("boat.cylinder.closures")
    data["which"] = list(which or ())
    spent = spent_since(walk, around)
    owner = f"phase:{phase.id}"
    before = [one for one in walk.written if one.owner == owner and one.at.timestamp() >= spent.restarted]
    return settle([Pending("closed", data)], before, complete=False)


def _into(line: Line, record: Record) -> Iterator[tuple[Question, Given]]:
    """Questions whose answer goes into the phase's event; of a hold, the reading it ended at."""
    for question in line.questions:
        if question.into:
            named = [given for given in record.givens if given.name == question.name]
            if named:
                yield question, named[0] if question.kind is Kind.HOLD else named[-1]


def _gathered(field: str, given: Given) -> Any:
    if field == "count":
        return int(given.answer) if given.answer.isdecimal() and len(given.answer) <= 9 else given.answer
    if given.value is not None:
        return quantity(given.value, given.typed)
    return given.answer


def list_end(walk: Walk, around: Around, states: tuple[LineState, ...], left: str = "") -> list[Pending]:
    """The end of the list: complete, or left with a reason; and the event the list ends with."""
    undone = [one.line.id for one in states if one.asked or one.mark not in (Mark.DONE, Mark.WITHIN)]
    last = states[-1].phase.id if states else ""
    data: dict[str, Any] = {"list": walk.checklist.list, "version": walk.checklist.version, "phase": last}
    data |= {"complete": not left, "open": undone}
    if left:
        data["left"] = left
    found = [Pending("check.ended", data, run=walk.run)]
    if walk.checklist.ends and not left:
        found.append(Pending(walk.checklist.ends, _end_data(walk, around)))
    return found


def _end_data(walk: Walk, around: Around) -> dict[str, Any]:
    def word(line: str) -> str:
        record = walk.record(line)
        return (
            record.givens[-1].answer or record.givens[-1].typed
            if record is not None and record.givens
            else ""
        )

    def done(line: str, words: str) -> str:
        return words if word(line) else ""

    if walk.checklist.ends == "stored":
        record = walk.record("packs-out")
        packs = ", ".join(f"{g.member} {g.typed}" for g in record.givens) if record is not None else ""
        data = {"packs": packs, "rings": done("rings", "off or caps loose"), "vents": done("vents", "open")}
        return {key: value for key, value in data.items() if value}
    data_over: dict[str, Any] = {"to": word("signed"), "condition": word("habits")}
    data_over |= {"defects": open_defects(around), "claimed": standing_proofs(around)}
    return data_over
