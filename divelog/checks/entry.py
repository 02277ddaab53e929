"""What a person types as an answer -> a given answer, or a refusal in words. Nothing is judged here."""

from __future__ import annotations

import math
from dataclasses import dataclass

from divelog import units
from divelog.checks import words
from divelog.checks.around import Around
from divelog.checks.members import Member
from divelog.checks.model import Kind, Question
from divelog.checks.sense import dimension_of, is_path
from divelog.limits import catalogue
from divelog.limits.readings import impossible, meter_u95
from divelog.profiles.document import Basis, Num
from divelog.text import shown
from divelog.units import UnitFaultError

MOST_TEXT = 1000
DONE = "done"
_WATER_PER_KILOGRAM = 1e-3
"""m^3 of water that a kilogram in a towel is."""


class RefusedError(Exception):
    """What was typed is no answer to this question; the message is a plain sentence."""


@dataclass(frozen=True, slots=True)
class Given:
    """One answer as it was given: a word, or a number with its ±, or both."""

    answer: str = ""
    value: Num | None = None
    typed: str = ""
    name: str = "answer"
    member: str = ""


def choices(question: Question, around: Around) -> tuple[str, ...]:
    """The choices of a question, with what stands at a path put in its place."""
    found: list[str] = []
    for one in question.of:
        found.extend(around.words_at(one) or () if is_path(one) else (one,))
    return tuple(dict.fromkeys(found))


def give(question: Question, text: str, around: Around, member: Member | None = None) -> Given:
    """The answer that a text is.

    Raises:
        RefusedError: it is none; the sentence says what is wanted.
    """
    text = text.strip()
    where = member.id if member is not None else ""
    if not text and question.optional:
        return Given("", None, "", question.name, where)
    kind = question.kind
    if kind is Kind.DONE:
        return Given(DONE, None, text, question.name, where)
    if kind is Kind.CHOICE:
        return Given(_choice(question, text, around), None, text, question.name, where)
    if kind is Kind.COUNT:
        if not (text.isascii() and text.isdecimal() and len(text) <= 3):
            said = f"{shown(text, 20)} is no count" if text else "nothing was typed"
            raise RefusedError(f"{said}; a whole number")
        return Given(str(int(text)), None, text, question.name, where)
    if kind is Kind.TEXT:
        if not text:
            raise RefusedError("nothing was typed; a few words, or skip the line")
        if len(text) > MOST_TEXT:
            raise RefusedError(f"at most {MOST_TEXT} characters")
        return Given(text, None, text, question.name, where)
    if kind is Kind.WORDS:
        return _water(question, text, where)
    return _value(question, text, around, where)


def _choice(question: Question, text: str, around: Around) -> str:
    offered = choices(question, around)
    if text.isascii() and text.isdecimal() and 1 <= int(text) <= len(offered):
        return offered[int(text) - 1]
    for one in offered:
        if one.casefold() == text.casefold():
            return one
    if not text:
        raise RefusedError("nothing is chosen yet; its digit, or its name")
    names = ", ".join(shown(one, 40) for one in offered)
    raise RefusedError(f"{shown(text, 30)} is no choice; one of: {names}")


WATER_CHOICES = ("bone dry", "mist on the wall", "a drop or two", "a teaspoon")
"""Words offered for water; any other amount is typed."""
FLOODED = "flooded"
"""Said, not measured: nothing of her is proved any more."""


def _water(question: Question, text: str, member: str) -> Given:
    if not text:
        raise RefusedError('nothing is chosen yet; a digit, or an amount as "3 mL"')
    if text.isascii() and text.isdecimal() and 1 <= int(text) <= len(WATER_CHOICES):
        text = WATER_CHOICES[int(text) - 1]
    if words.plain(text) == FLOODED:
        return Given(FLOODED, None, text, question.name, member)
    found = words.amount(text)
    if found is not None:
        return Given(words.canonical(text) or words.plain(text), found, text, question.name, member)
    for dimension, factor in (("volume", 1.0), ("mass", _WATER_PER_KILOGRAM)):
        try:
            quantity = units.parse(text, dimension, typed=True)
        except UnitFaultError:
            continue
        if quantity.si < 0:
            raise RefusedError("less than no water; nought or more")
        u95 = quantity.u95 if quantity.said else max(0.3 * quantity.si, 1e-8 / factor)
        return Given("", Num(quantity.si * factor, u95 * factor, Basis.MEASURED), text, question.name, member)
    raise RefusedError('no amount of water; as "two drops", "a teaspoon", "3 mL", "0.4 g"')


def _value(question: Question, text: str, around: Around, member: str) -> Given:
    for word in question.or_words:
        if text.casefold() == word.casefold():
            return Given(word, None, text, question.name, member)
    if not text:
        raise RefusedError(
            f"nothing was typed; wanted a number in {shown(question.unit, 20)}, or skip the line"
        )
    dimension = dimension_of(question.unit) or ""
    number = _in_words(dimension, text, around)
    if number is None:
        number = _measured(question, dimension, text, around)
    info = catalogue.info(question.limit) if question.limit else None
    if info is not None and info.reads == dimension:
        reason = impossible(around.sheet, info, number.si)
        if reason:
            raise RefusedError(f"{shown(text, 40)}: wanted {reason}")
    return Given("", number, text, question.name, member)


def _in_words(dimension: str, text: str, around: Around) -> Num | None:
    if dimension == "volume":
        return words.amount(text)
    if dimension == "length":
        return words.length(text, around.number("settings.own_pace"))
    return None


def _measured(question: Question, dimension: str, text: str, around: Around) -> Num:
    try:
        quantity = units.parse(text, dimension, typed=True, assume_unit=question.unit)
    except UnitFaultError as wrong:
        other = _steps(dimension, text, around)
        if other is not None:
            return other
        raise RefusedError(f"found {shown(wrong.found, 60)}; wanted {shown(wrong.wanted, 200)}") from wrong
    u95 = quantity.u95 if quantity.said else _usual(question, dimension, quantity.si, around)
    return Num(quantity.si, u95, Basis.MEASURED)


def _steps(dimension: str, text: str, around: Around) -> Num | None:
    """A length typed where paces are asked, in the person's own paces."""
    if dimension != "paces":
        return None
    try:
        quantity = units.parse(text, "length", typed=True)
    except UnitFaultError:
        return None
    pace = around.number("settings.own_pace")
    if pace is None or pace.si <= 0:
        return None
    count = quantity.si / pace.si
    return Num(count, math.hypot(quantity.u95 / pace.si, count * pace.u95 / pace.si), Basis.MEASURED)


def _usual(question: Question, dimension: str, si: float, around: Around) -> float:
    """The ± of a reading where nobody typed one: the list's own, the meter of the kit, the field's."""
    by_meter = meter_u95(around.sheet, dimension, si)
    if question.u95:
        kind = "temperature difference" if dimension == "temperature" else dimension
        try:
            own = units.parse(question.u95, kind).si
        except UnitFaultError:
            own = 0.0
        return max(own, by_meter)
    by_field = around.usual_u95(question.measures) if question.measures else 0.0
    return by_meter or by_field
