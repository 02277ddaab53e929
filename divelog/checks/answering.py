"""From one answer to the events it becomes: the answer itself, what it measures, what it writes, what ends with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from divelog.checks.applies import can_give
from divelog.checks.around import Around
from divelog.checks.asking import (
    seconds_since,
    shares_proof,
    spent_since,
    stays,
    with_item,
)
from divelog.checks.endings import ending
from divelog.checks.entry import Given
from divelog.checks.judge import Judged
from divelog.checks.model import Kind, Line, Question
from divelog.checks.said import Said, method_of, quantity
from divelog.checks.settling import settle
from divelog.checks.state import Pending, Record, Walk, Written, mark_of
from divelog.checks.steps import Step
from divelog.checks.writers import WRITERS
from divelog.limits.model import Limit, Verdict
from divelog.profiles.document import Num

_PROVISIONAL = "~"
"""Stands for the id of an event that is not on disk yet."""


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer, judged: the line and step it belongs to, all answers of the line with it, and whether they are all."""

    line: Line
    step: Step
    given: Given
    judged: Judged
    givens: tuple[Given, ...]
    verdicts: tuple[Verdict | None, ...]
    complete: bool


def events_of(walk: Walk, around: Around, done: Answered, reads: int = 1) -> tuple[Pending, ...]:
    """Everything one answer writes, in the order it must be on disk."""
    line = done.line
    gives, fails = proofs_of(walk, around, done)
    data = _data(walk, around, done, gives, fails, reads)
    found = [Pending("check.answered", data, run=walk.run)]
    found.extend(_side(walk, around, done))
    if done.complete:
        right = all(verdict in (None, Verdict.WITHIN) for verdict in done.verdicts)
        record = Record(
            line.id,
            mark_of(done.verdicts),
            done.givens,
            around.moment.wall,
            _PROVISIONAL,
            right,
            "",
            gives,
            fails,
        )
        found.extend(ending(walk, around, line, record))
    return tuple(found)


def proofs_of(walk: Walk, around: Around, done: Answered) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Proofs, with their item, that the line's answers give, and those they take away."""
    line = done.line
    if done.judged.wrong or Verdict.OUTSIDE in done.verdicts:
        named = [with_item(name, around) or name for name in (*line.gives, *line.spoils)]
        return (), tuple(dict.fromkeys(named))
    if not done.complete or any(verdict not in (None, Verdict.WITHIN) for verdict in done.verdicts):
        return (), ()
    spent = spent_since(walk, around)
    given = []
    for proof in can_give(line, around, walk.asking):
        others = [one for one in shares_proof(walk.checklist, proof, around, walk) if one.id != line.id]
        whole = with_item(proof, around)
        if whole is not None and all(_stands(walk, one, spent) for one in others):
            given.append(whole)
    return tuple(given), ()


def _stands(walk: Walk, line: Line, spent: Any) -> bool:
    record, phase = walk.record(line.id), walk.checklist.phase_of(line.id)
    return record is not None and record.right and phase is not None and stays(record, line, phase, spent)


def _data(
    walk: Walk, around: Around, done: Answered, gives: tuple[str, ...], fails: tuple[str, ...], reads: int
) -> dict[str, Any]:
    given, judged = done.given, done.judged
    data: dict[str, Any] = {"list": walk.checklist.list, "line": done.line.id, "check": walk.check}
    if done.step.member is not None:
        data["answer"] = _rows(done)
    elif given.answer:
        data["answer"] = given.answer
    if given.value is not None:
        data["value"] = quantity(given.value, given.typed)
    elif done.step.question.kind in (Kind.VALUE, Kind.WORDS) and not given.answer:
        data["value"] = {"si": None, "state": "unknown"}
    if judged.limit is not None:
        data["limit"] = limit_data(judged.limit)
    if judged.verdict is not None:
        data["verdict"] = judged.verdict.value
    data["seconds"] = round(seconds_since(walk.last, around), 1)
    if reads > 1:
        data["reads"] = reads
    if fails:
        data["fails"] = list(fails)
    if done.complete:
        data["gives"] = list(gives)
        depth = _dry_depth(walk, done)
        if depth is not None:
            data["dry_depth"] = depth
    return data


def _rows(done: Answered) -> list[dict[str, str]]:
    found: dict[str, str] = {}
    for given in done.givens:
        if not given.member:
            continue
        said = given.answer or given.typed
        before = found.get(given.member)
        found[given.member] = said if before is None else f"{before}: {said}" if said else before
    return [{"member": member, "answer": answer} for member, answer in found.items()]


def limit_data(limit: Limit) -> dict[str, Any]:
    """A limit as it was shown, in SI."""
    return {
        "key": limit.key, "item": limit.item, "low": limit.shown_low, "high": limit.shown_high, "shown": limit.shown,
    }  # fmt: skip


def _dry_depth(walk: Walk, done: Answered) -> float | None:
    """The depth, less its ±, that a dry look proves, where the line says which reading it was."""
    first = done.givens[0].value
    dry = first is not None and all(verdict in (None, Verdict.WITHIN) for verdict in done.verdicts)
    record = walk.record(done.line.depth_of) if done.line.depth_of and dry else None
    value = (
        next((g.value for g in record.givens if g.value is not None), None) if record is not None else None
    )
    if value is None or value.si - value.u95 <= 0:
        return None
    return value.si - value.u95


# -- what is written besides ------------------------------------------------------------------------------------------


def _side(walk: Walk, around: Around, done: Answered) -> list[Pending]:
    line = done.line
    said = Said(line, done.givens, done.complete, walk, around)
    wanted = [*_measurements(walk, around, done)]
    for name in line.writes:
        wanted.extend(WRITERS[name](said))
    wanted = [
        replace(one, run=walk.run) if walk.run is not None and one.run is None else one for one in wanted
    ]
    return settle(wanted, _still_behind(walk, around, line), done.complete)


def _still_behind(walk: Walk, around: Around, line: Line) -> list[Written]:
    """Events of this line that a new answer would correct. What was spent meanwhile is written anew instead."""
    mine = [one for one in walk.written if one.owner == line.id]
    record, phase = walk.record(line.id), walk.checklist.phase_of(line.id)
    if record is None or not record.right or phase is None:
        return mine
    spent = spent_since(walk, around)
    if stays(record, line, phase, spent):
        return mine
    since = max((s for p, _, s, _ in spent.effects if p in line.gives), default=spent.restarted)
    return [one for one in mine if one.at.timestamp() > since]


def _measurements(walk: Walk, around: Around, done: Answered) -> Iterator[Pending]:
    """``measured`` events of every answer of the line so far."""
    questions = {q.name: q for q in done.line.questions if q.kind is not Kind.EACH}
    asks = {ask.name: ask for q in done.line.questions for ask in q.ask}
    for given in done.givens:
        question = asks.get(given.name) if given.member else questions.get(given.name)
        if question is None or not question.measures or given.value is None:
            continue
        data: dict[str, Any] = {"path": question.measures}
        item = _item(question, given, around)
        if item:
            data["item"] = item
        data["value"] = quantity(given.value, given.typed)
        conditions = dict(_conditions(walk, around, question, done.givens))
        if conditions:
            data["conditions"] = conditions
        data["method"] = method_of(walk, done.line)
        yield Pending("measured", data)


def _item(question: Question, given: Given, around: Around) -> str:
    if given.member:
        return given.member
    head = question.measures.split(".", 1)[0]
    if head == "bottle":
        return around.word("boat.ballast.gas.bottle") or ""
    return (around.word("plan.pack") or "") if head == "pack" else ""


def _conditions(
    walk: Walk, around: Around, question: Question, givens: tuple[Given, ...]
) -> Iterator[tuple[str, Any]]:
    """What the value was read in: volts, temperature and water of the walk, and what the list names."""
    volts = _volts(walk)
    found: dict[str, Num | None] = {"volts": volts, "temperature": around.number("today.water.temperature")}
    for name, source in question.conditions.items():
        own = next((g.value for g in givens if g.name == source), None)
        found[name] = own if own is not None else around.number(source)
    for name, value in found.items():
        if value is not None:
            yield name, quantity(value)
    water = around.word("site.water")
    if water:
        yield "water", water


def _volts(walk: Walk) -> Num | None:
    """Volts at her plug as read in this walk."""
    for line in walk.checklist.lines():
        if any(q.limit == "battery.rest_voltage" for q in line.questions):
            record = walk.record(line.id)
            value = (
                next((g.value for g in record.givens if g.value is not None), None)
                if record is not None
                else None
            )
            if value is not None:
                return value
    return None
