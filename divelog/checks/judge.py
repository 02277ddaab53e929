"""Right, wrong or neither: an answer against what it must be, or against its limit as it is shown."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from divelog import units
from divelog.checks.around import Around
from divelog.checks.entry import FLOODED, Given, RefusedError
from divelog.checks.model import Kind, Question
from divelog.checks.sense import dimension_of, is_path
from divelog.journal.payload import mapping, number
from divelog.limits.model import Limit, Verdict
from divelog.limits.registry import KEYS
from divelog.limits.rounding import judge as judge_number
from divelog.limits.rounding import text as number_text
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Fact, Num

_SILENT = (Verdict.NONE, Verdict.NOT_FITTED, Verdict.NO_READING)
"""Verdicts of a key that has nothing to say of a reading: an estimate, no such part, no baseline yet."""
HOLD_REACHES = 0.8
"""Least share of the test pressure at which a hold means something."""


@dataclass(frozen=True, slots=True)
class Judged:
    """How an answer stands. ``verdict`` is None where there is nothing to be held against: the answer is right."""

    verdict: Verdict | None = None
    limit: Limit | None = None
    words: str = ""
    actions: tuple[str, ...] = ()

    @property
    def right(self) -> bool:
        """Whether it may give a proof."""
        return self.verdict in (None, Verdict.WITHIN)

    @property
    def wrong(self) -> bool:
        """Whether it takes a proof away."""
        return self.verdict is Verdict.OUTSIDE


RIGHT = Judged()


def item_of(question: Question, around: Around, member: str = "") -> str:
    """The item of a question's limit: the member gone through, a word of the list, or what a path holds."""
    if question.item:
        return around.word(question.item) or ""
    return member


def judge(question: Question, given: Given, around: Around, run: str | None = None) -> Judged:
    """How one answer stands. ``run``: the run it is asked of, for limits that were in force then."""
    kind = question.kind
    if not given.answer and given.value is None:
        return RIGHT  # only an optional question takes an empty answer
    if kind in (Kind.CHOICE, Kind.TEXT):
        return _wanted(question, given, around)
    if kind is Kind.COUNT:
        return _counted(question, given, around)
    if kind in (Kind.VALUE, Kind.HOLD, Kind.WORDS):
        return _measured(question, given, around, run)
    return RIGHT


def wanted(question: Question, around: Around) -> tuple[str, ...] | None:
    """The right answers in words; empty: every answer is right; None: what it must equal is not known."""
    found: list[str] = []
    for one in question.want:
        word = around.word(one)
        if word is None or word == "":
            return None
        found.append(word)
    return tuple(found)


def _wanted(question: Question, given: Given, around: Around) -> Judged:
    right = wanted(question, around)
    if right is None:
        missing = next(one for one in question.want if is_path(one) and not around.word(one))
        return Judged(Verdict.UNKNOWN, None, f"nobody has written down {missing}", (f"write down {missing}",))
    if not right:
        return RIGHT
    if any(_alike(given.answer, word) for word in right):
        return Judged(Verdict.WITHIN)
    return Judged(Verdict.OUTSIDE, None, f"{given.answer}; wanted {' or '.join(right)}", ("look again",))


def _alike(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def _counted(question: Question, given: Given, around: Around) -> Judged:
    path = question.of[0]
    names = around.words_at(path)
    if names is None:
        return Judged(Verdict.UNKNOWN, None, f"nobody has written down {path}", (f"write down {path}",))
    if given.answer == str(len(names)):
        return Judged(Verdict.WITHIN)
    return Judged(
        Verdict.OUTSIDE,
        None,
        f"{given.answer} of {len(names)}: {', '.join(names)}",
        ("touch and count them again",),
    )


def _measured(question: Question, given: Given, around: Around, run: str | None) -> Judged:
    if given.answer == FLOODED:
        return Judged(Verdict.OUTSIDE, None, "flooded", ("leave her open, take the pack out, find the leak",))
    if question.least or question.most:
        return _bounded(question, given)
    if not question.limit:
        return RIGHT
    limit = _limit(question, given, around)
    if limit is not None and question.in_force and run is not None:
        limit = _then(limit, question.in_force, given, around, run)
    if question.kind is Kind.WORDS and given.value is not None and given.value.si + given.value.u95 <= 0:
        return Judged(Verdict.WITHIN, limit, given.answer)  # no water is within whatever could be sweat
    if limit is None:
        return Judged(Verdict.UNKNOWN, None, f"no limit {question.limit} is known")
    verdict: Verdict | None = limit.verdict
    if verdict in _SILENT:
        verdict = None
    elif verdict is Verdict.TO_PROVE:
        verdict = Verdict.UNKNOWN
    return Judged(
        verdict,
        limit,
        sentence(question, given, limit),
        limit.actions if verdict is not Verdict.WITHIN else (),
    )


def _limit(question: Question, given: Given, around: Around) -> Limit | None:
    item = item_of(question, around, given.member)
    if question.through and given.value is not None and question.measures:
        path = around.facts.canonical(question.measures)
        facts = around.facts.with_sets({path: Fact(given.value, basis=given.value.basis, typed=given.typed)})
        found = KEYS[question.limit](Sheet(facts, at=around.moment.wall))
        return next((one for one in found if one.item == item), found[0] if found else None)
    return around.lookup(question.limit, item, given.value, given.answer or None)


def _then(limit: Limit, name: str, given: Given, around: Around, run: str) -> Limit:
    """The limit as it was when the run was begun, where its start kept it."""
    started = next((e for e in reversed(around.events) if e.id == run), None)
    kept = number(mapping(started.payload().get("limits")).get(name)) if started is not None else None
    if kept is None:
        return limit
    shown = number_text(kept, limit.unit, "length", 0.1)
    verdict = judge_number(given.value, None, kept)
    return replace(limit, high=kept, shown_high=kept, shown=shown, verdict=verdict, reading=given.value)


def _bounded(question: Question, given: Given) -> Judged:
    dimension = dimension_of(question.unit) or ""
    low = units.parse(question.least, dimension).si if question.least else None
    high = units.parse(question.most, dimension).si if question.most else None
    value = given.value
    if value is None:
        return Judged(Verdict.UNKNOWN, None, "no number was read")
    verdict = judge_number(value, low, high)
    span = f"{question.least} to {question.most}" if low is not None and high is not None else ""
    edge = span or (f"at most {question.most}" if high is not None else f"at least {question.least}")
    return Judged(
        verdict, None, f"{given.typed}; {edge}", () if verdict is Verdict.WITHIN else ("read again",)
    )


def reading_words(question: Question, given: Given) -> str:
    """What was read, with its unit and ±: "8.19 V, give or take 0.04"."""
    if given.answer or given.value is None:
        return given.answer or given.typed
    said = (
        given.typed if any(c.isalpha() or c == "%" for c in given.typed) else f"{given.typed} {question.unit}"
    )
    dimension = dimension_of(question.unit)
    if given.value.u95 <= 0 or dimension is None or "give" in said or "\u00b1" in said or "+/-" in said:
        return said.strip()
    factor = units.find(question.unit, dimension).factor
    return f"{said.strip()}, give or take {given.value.u95 / factor:.2g}"


def sentence(question: Question, given: Given, limit: Limit) -> str:
    """The verdict in one sentence: the reading with its ±, and the limit as it is shown."""
    said = reading_words(question, given)
    if limit.verdict is Verdict.UNKNOWN:
        return f"{said}. {limit.remark or 'The limit is not known.'}"
    edge = limit.shown
    if edge and not edge.startswith("at ") and " to " not in edge:
        edge = f"at least {edge}" if limit.shown_high is None else f"at most {edge}"
    return f"{said}. {edge[:1].upper()}{edge[1:]}."


def fall(start: Given, end: Given) -> Given:
    """The fall of a hold as one answer: how much less of pressure or vacuum is left. Both ± count."""
    first, last = start.value, end.value
    if first is None or last is None:
        raise RefusedError("a hold needs two readings")
    sign = math.copysign(1.0, first.si) if first.si else 1.0
    value = Num(sign * (first.si - last.si), math.hypot(first.u95, last.u95), first.basis)
    return replace(end, value=value, typed=f"{start.typed} to {end.typed}")


def reaches(given: Given, gauge: float | None) -> None:
    """A hold that begins far from its mark finds nothing.

    Raises:
        RefusedError: the first reading is under the mark.
    """
    value = given.value
    if value is None:
        return
    least = HOLD_REACHES * abs(gauge) if gauge is not None else 1000.0
    if abs(value.si) < least or (gauge is not None and value.si * gauge < 0):
        mark = f"{(gauge if gauge is not None else 1000.0) / 1e3:g} kPa"
        raise RefusedError(f"a hold that starts at {given.typed} finds nothing; go to {mark} first")
