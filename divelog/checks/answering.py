"""From one answer to the events it becomes: the answer itself, what it measures, what it writes, what ends with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from divelog.checks.around import Around
from divelog.checks.asking import (
    LineState,
    current,
    is_closing,
    line_states,
    seconds_since,
    shares_proof,
    spent_since,
    stays,
    with_item,
)
from divelog.checks.entry import Given
from divelog.checks.judge import Judged
from divelog.checks.model import Kind, Line, Phase, Question
from divelog.checks.settling import settle
from divelog.checks.state import Mark, Pending, Record, Walk, Written, with_record
from divelog.checks.steps import Step
from divelog.checks.writers import WRITERS, Said, method_of, open_defects, quantity, standing_proofs
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
            line.id, Mark.DONE, done.givens, around.moment.wall, _PROVISIONAL, right, "", gives, fails
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
    for proof in line.gives:
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


# -- what ends with it ------------------------------------------------------------------------------------------------


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
        return int(given.answer) if given.answer.isdigit() else given.answer
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
