"""A person's changes over a list, and a boat's over both. A line that loses the boat is never taken away in silence."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields as fields_of
from dataclasses import replace

from divelog.checks.model import CheckList, Edit, Kind, Line, Phase, Question
from divelog.profiles.document import Document, Fault

_KEYS = {"answer": "questions", "then": "questions", "ask": "questions", "with": "with_"}
"""Key of a file -> field of a line."""
_HELD = ("gives", "needs", "spoils")
"""Keys of a shipped line that nobody changes: what an answer proves is the program's word."""


def lay_over(shipped: CheckList, own: CheckList) -> CheckList:
    """The shipped list with a person's own laid over it. What cannot be laid over is a fault, and stays as shipped."""
    faults = list(own.faults)
    phases = list(shipped.phases)
    for edit in own.edits:
        found = shipped.line(edit.line.id)
        if found is None:
            phases = _add(phases, edit.line, edit.phase, edit.after)
            continue
        phases = _change(phases, _changed(found, edit, own.file, faults))
        if edit.after:
            phases = _move(phases, edit.line.id, edit.after)
    return replace(
        shipped, phases=tuple(phases), version=max(shipped.version, own.version), dated=own.dated or shipped.dated,
        faults=(*shipped.faults, *faults), title=own.title or shipped.title,
    )  # fmt: skip


def _changed(line: Line, edit: Edit, file: str, faults: list[Fault]) -> Line:
    def fault(key: str, found: str, wanted: str) -> None:
        faults.append(Fault(file, edit.at_row, f"{line.id}.{key}", found, wanted))

    if edit.not_fitted:
        return replace(line, not_fitted=edit.not_fitted, changed=edit.not_fitted)
    if line.critical and "critical" in edit.keys and not edit.line.critical:
        fault(
            "critical", "critical = false on a line that loses the boat", 'change = "not fitted" with a why'
        )
    for key in _HELD:
        if key in edit.keys:
            fault(key, f"{key} of a shipped line", f"a line of its own for other {key}")
    if line.questions and edit.line.questions and _weaker(line.questions[0], edit.line.questions[0]):
        fault(
            "answer",
            "an answer without the limit or the right answer of the shipped one",
            "the same limit, or a tighter one",
        )
        return line
    names = {f.name for f in fields_of(Line)}
    values = {}
    for key in edit.keys - {"id", "after", "change", "critical", *_HELD}:
        name = _KEYS.get(key, key)
        if name in names:
            values[name] = getattr(edit.line, name)
    if "answer" not in edit.keys:
        values.pop("questions", None)
    return replace(
        line, **values, critical=line.critical or edit.line.critical, changed=edit.line.why or "changed"
    )


def _weaker(shipped: Question, own: Question) -> bool:
    """Whether an answer asks for less than the shipped one."""
    if shipped.limit and own.limit != shipped.limit:
        return True
    if shipped.want and own.want != shipped.want:
        return True
    return shipped.kind is not own.kind and shipped.kind in (Kind.EACH, Kind.COUNT, Kind.HOLD)


def for_boat(checklist: CheckList, boat: Document) -> CheckList:
    """The list with the changes that a boat's file makes in its ``[[line]]`` tables."""
    phases = list(checklist.phases)
    faults = list(checklist.faults)
    for entry in boat.entries.get("line", ()):
        listed, _, identity = entry.partition("/")
        if listed != checklist.list:
            continue
        change, why = boat.text_at(f"line[{entry}].change"), boat.text_at(f"line[{entry}].why")
        after, phase = boat.text_at(f"line[{entry}].after"), boat.text_at(f"line[{entry}].phase")
        line = checklist.line(identity)
        row = boat.lines.get(f"line[{entry}].id", 0)
        if change == "add" and line is None:
            do = boat.text_at(f"line[{entry}].do")
            if not do:
                faults.append(
                    Fault(
                        boat.file, row, f"line {identity}", "a line with nothing to do", 'do = "what to do"'
                    )
                )
                continue
            new = Line(identity, do, (Question(Kind.DONE),), why=why, changed=why)
            phases = _add(phases, new, phase, after)
        elif line is None or change == "add":
            found = (
                "a line that is there already" if line is not None else f'no line "{identity}" in {listed}'
            )
            wanted = 'change = "move" or "not fitted"' if line is not None else "the id of a line"
            faults.append(Fault(boat.file, row, f"line {identity}", found, wanted))
        elif change == "not fitted":
            phases = _change(phases, replace(line, not_fitted=why, changed=why))
        elif change == "move":
            phases = _move(phases, identity, after, phase)
            phases = _change(phases, replace(line, changed=why))
    return replace(checklist, phases=tuple(phases), faults=tuple(faults))


def _change(phases: Iterable[Phase], line: Line) -> list[Phase]:
    return [replace(p, lines=tuple(line if one.id == line.id else one for one in p.lines)) for p in phases]


def _add(phases: list[Phase], line: Line, phase: str, after: str) -> list[Phase]:
    """Put a line in: after the line named, else at the end of the phase named, else at the very end."""
    for index, one in enumerate(phases):
        place = next((i for i, other in enumerate(one.lines) if other.id == after), None) if after else None
        if place is not None:
            lines = (*one.lines[: place + 1], line, *one.lines[place + 1 :])
            return [*phases[:index], replace(one, lines=lines), *phases[index + 1 :]]
    index = next((i for i, one in enumerate(phases) if one.id == phase), len(phases) - 1)
    if index < 0:
        return phases
    chosen = phases[index]
    return [*phases[:index], replace(chosen, lines=(*chosen.lines, line)), *phases[index + 1 :]]


def _move(phases: list[Phase], identity: str, after: str, phase: str = "") -> list[Phase]:
    line = next((one for p in phases for one in p.lines if one.id == identity), None)
    if line is None or after == identity:
        return phases
    home = next(p.id for p in phases for one in p.lines if one.id == identity)
    without = [replace(p, lines=tuple(one for one in p.lines if one.id != identity)) for p in phases]
    return _add(without, line, phase or home, after)
