"""Faults of a list that no single key shows: names it uses that do not exist, lines that could never be answered."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable

from divelog import units
from divelog.checks import shipped
from divelog.checks.fields import SOURCES
from divelog.checks.model import CheckList, Kind, Line, Needs, Question, Way
from divelog.journal.kinds import FIELDS as EVENTS
from divelog.limits import catalogue
from divelog.profiles.facts import FIELDS, field_at
from divelog.proofs.table import RULES

Tell = Callable[[str, str, str], None]
"""Takes where in the file, what was found, what is wanted."""

_ROOTS = ("boat.", "site.", "today.", "kit.", "settings.")
_SHORT = ("plan.", "pack.", "bottle.", "transmitter.")


def is_path(word: str) -> bool:
    """Whether a word of a list is the path of a fact."""
    return word.startswith((*_ROOTS, *_SHORT))


def whole_path(path: str) -> str:
    """A path of a list as the tables of fields hold it, without ids."""
    for short, root in (
        ("plan.", "today."),
        ("pack.", "kit."),
        ("bottle.", "kit."),
        ("transmitter.", "kit."),
    ):
        if path.startswith(short) and field_at(path) is None:
            return root + path
    return path


def known_path(path: str) -> bool:
    """Whether a fact of that path can exist."""
    return field_at(whole_path(path)) is not None or field_at(f"boat.{path}") is not None


def dimension_of(unit: str) -> str | None:
    """What a unit measures, or None for a unit outside the table."""
    found = next((u for u in units.UNITS if u.symbol == unit), None)
    return found.dimension if found is not None else None


def list_faults(found: CheckList, tell: Tell) -> None:
    """Tell every fault of the sense of a list."""
    for number, phase in enumerate(found.phases):
        for index, line in enumerate(phase.lines):
            at = f"phase[{number}].line[{index}]"
            _line(found, line, at, tell)
    if found.way is Way.READ_DO and any(line.gives for line in found.lines()):
        tell("way", "a list that is read and done, with gives", "no gives: nothing is proved in trouble")
    if found.before_run and found.after_run:
        tell("after_run", "before_run and after_run", "one of the two")


def _near(word: str, known: Iterable[str]) -> str:
    near = difflib.get_close_matches(word[:80], list(known), 1, 0.6)
    return f' (did you mean "{near[0]}"?)' if near else ""


def _line(found: CheckList, line: Line, at: str, tell: Tell) -> None:
    _paths(line.needs, f"{at}.needs", tell)
    _paths(line.critical_if, f"{at}.critical_if", tell)
    if line.tells:
        _paths(((line.tells, ()),), f"{at}.tells", tell)
    for key, names in (("gives", line.gives), ("spoils", line.spoils), ("only_if", line.only_if)):
        for name in names:
            if name not in RULES:
                tell(f"{at}.{key}", f'the proof "{name[:40]}"', f"a proof of the table{_near(name, RULES)}")
    for key, name in (("shows", line.shows), ("at_twice", line.at_twice)):
        if name and catalogue.info(name) is None:
            tell(
                f"{at}.{key}",
                f'the limit "{name[:40]}"',
                f"a key of the limits{_near(name, catalogue.ORDER)}",
            )
    if line.walk and line.walk not in shipped.names():
        tell(f"{at}.walk", f'the list "{line.walk}"', f"a shipped list{_near(line.walk, shipped.names())}")
    if line.depth_of and found.line(line.depth_of) is None:
        tell(f"{at}.depth_of", f'the line "{line.depth_of}"', "a line of this list")
    if line.repeat and line.questions and line.questions[0].kind is not Kind.CHOICE:
        tell(f"{at}.repeat", "repeat without a choice", 'an answer of kind "choice"')
    asked: list[str] = []
    for index, question in enumerate(line.questions):
        where = f"{at}.answer" if index == 0 else f"{at}.then[{index - 1}]"
        _question(question, where, asked, tell)
        asked.append(question.name)
        inner: list[str] = []
        for number, ask in enumerate(question.ask):
            _question(ask, f"{at}.ask[{number}]", inner, tell)
            inner.append(ask.name)


def _paths(needs: Needs, at: str, tell: Tell) -> None:
    for path, words in needs:
        item = FIELDS.get(path)
        if not path.startswith(("boat.", "site.", "today.")) or item is None:
            tell(at, f'the path "{path[:60]}"', f"a fact of a boat, a site or a day{_near(path, FIELDS)}")
        elif item.choices:
            absent = ("not fitted",) if item.may_be_absent else ()
            for word in words:
                if word not in (*item.choices, *absent):
                    tell(
                        at,
                        f'{path} = "{word[:40]}"',
                        f"one of {', '.join(item.choices)}{_near(word, item.choices)}",
                    )


def _question(q: Question, at: str, before: list[str], tell: Tell) -> None:
    if q.kind in (Kind.VALUE, Kind.HOLD) and not q.unit:
        tell(f"{at}.unit", "nothing", 'the unit of a bare number, as "mm"')
    if q.unit and dimension_of(q.unit) is None:
        tell(f"{at}.unit", f'the unit "{q.unit[:20]}"', "a unit of the table; `divelog units` shows them")
    if q.kind is Kind.HOLD and not q.seconds:
        tell(f"{at}.seconds", "nothing", "seconds of the hold")
    if q.kind is Kind.CHOICE and len(q.of) < 2:
        tell(f"{at}.of", "fewer than two choices", "two choices or more")
    if q.kind is Kind.CHOICE and len(set(q.of)) < len(q.of):
        tell(f"{at}.of", "a choice twice", "choices that differ")
    if q.kind is Kind.COUNT and not (len(q.of) == 1 and known_path(q.of[0])):
        tell(f"{at}.of", "no list to count", "the path of a list of the boat's file")
    if q.kind is Kind.EACH and not q.of:
        tell(
            f"{at}.of", "nothing to go through", "a path, words of its own, or one of: " + ", ".join(SOURCES)
        )
    if q.kind is Kind.EACH and len(q.of) == 1 and is_path(q.of[0]) and not known_path(q.of[0]):
        tell(f"{at}.of", f'the path "{q.of[0][:60]}"', f"a fact of the boat{_near(q.of[0], FIELDS)}")
    for want in q.want:
        if is_path(want) and not known_path(want):
            tell(f"{at}.want", f'the path "{want[:60]}"', f"a fact of the boat{_near(want, FIELDS)}")
        elif q.kind is Kind.CHOICE and not is_path(want) and want not in q.of:
            tell(f"{at}.want", f'"{want[:40]}"', "one of the choices")
    if q.limit and catalogue.info(q.limit) is None:
        tell(
            f"{at}.limit",
            f'the limit "{q.limit[:40]}"',
            f"a key of the limits{_near(q.limit, catalogue.ORDER)}",
        )
    if q.measures and not known_path(q.measures):
        tell(
            f"{at}.measures",
            f'the path "{q.measures[:60]}"',
            f"a quantity that is measured{_near(q.measures, FIELDS)}",
        )
    if q.unless_written and q.unless_written not in EVENTS:
        tell(
            f"{at}.unless_written",
            f'the event "{q.unless_written[:40]}"',
            f"a kind of event{_near(q.unless_written, EVENTS)}",
        )
    dimension = dimension_of(q.unit) or ""
    for key, words in (("least", q.least), ("most", q.most), ("u95", q.u95)):
        if words and dimension:
            _quantity(words, dimension, f"{at}.{key}", tell)
    for key, needs in (("when", q.when), ("unless", q.unless)):
        for name, _ in needs:
            if name not in before:
                tell(f"{at}.{key}", f'the question "{name[:40]}"', "a question asked before it on this line")


def _quantity(words: str, dimension: str, at: str, tell: Tell) -> None:
    kind = "temperature difference" if dimension == "temperature" and at.endswith("u95") else dimension
    try:
        units.parse(words, kind)
    except units.UnitFaultError as wrong:
        tell(at, wrong.found, wrong.wanted)
