"""Bytes of a checklist -> a frozen list, with every fault collected and none raised."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from types import MappingProxyType
from typing import Any

from divelog.checks import fields, shipped
from divelog.checks.fields import Key, Shape
from divelog.checks.model import CheckList, Edit, Kind, Line, Needs, Phase, Question, Way
from divelog.checks.sense import list_faults
from divelog.profiles.document import Fault
from divelog.profiles.positions import key_lines, line_of
from divelog.profiles.reading import plain
from divelog.profiles.toml import parse_toml
from divelog.text import is_slug

MOST_TEXT = 400
MOST_ITEMS = 60
MOST_PHASES = 20
MOST_LINES = 200

_NONE: Mapping[str, str] = MappingProxyType({})


class Reader:
    """Collects the faults of one file while its tables are taken apart."""

    def __init__(self, file: str, lines: dict[str, int]) -> None:
        self.file, self.lines = file, lines
        self.faults: list[Fault] = []

    def fault(self, at: str, found: str, wanted: str) -> None:
        """One fault at a path of the file."""
        self.faults.append(Fault(self.file, line_of(self.lines, at), at, found[:160], wanted))

    def table(
        self, value: Any, keys: Mapping[str, Key], at: str, may_lack: Iterable[str] = ()
    ) -> dict[str, Any]:
        """The keys of a table that are as they should be; every other one is a fault."""
        if not isinstance(value, dict):
            self.fault(at, plain(value), "a table")
            return {}
        found: dict[str, Any] = {}
        for name, one in value.items():
            key = keys.get(name)
            where = f"{at}.{name}" if at else name
            if key is None:
                self.fault(where, f'the key "{name[:60]}"', _nearest(name, keys))
                continue
            taken = self.value(key, one, where)
            if taken is not None:
                found[name] = taken
        for name, key in keys.items():
            if key.need and name not in value and name not in may_lack:
                self.fault(f"{at}.{name}" if at else name, "nothing", f"{name}: {key.shape.value}")
        return found

    def value(self, key: Key, value: Any, at: str) -> Any:
        """One value as its key wants it, or None with a fault."""
        read = _SHAPES[key.shape]
        try:
            taken = read(value)
        except _WrongError as wrong:
            self.fault(at, wrong.found, wrong.wanted or key.shape.value)
            return None
        if key.of:
            for word in taken if isinstance(taken, tuple) else (taken,):
                if word not in key.of:
                    near = difflib.get_close_matches(str(word)[:60], key.of, 1)
                    hint = f' (did you mean "{near[0]}"?)' if near else ""
                    self.fault(at, plain(word), "one of " + ", ".join(f'"{w}"' for w in key.of) + hint)
                    return None
        return taken


class _WrongError(Exception):
    def __init__(self, found: str, wanted: str = "") -> None:
        super().__init__(found)
        self.found, self.wanted = found, wanted


def _nearest(name: str, keys: Iterable[str]) -> str:
    near = difflib.get_close_matches(name[:64], list(keys), 1, 0.6)
    return f'a known key (did you mean "{near[0]}"?)' if near else "a known key"


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise _WrongError(plain(value))
    if not value.strip():
        raise _WrongError("an empty text", "some text")
    if len(value) > MOST_TEXT:
        raise _WrongError(f"a text of {len(value)} characters", f"at most {MOST_TEXT} characters")
    return value


def _slug(value: Any) -> str:
    if not isinstance(value, str) or not is_slug(value):
        raise _WrongError(plain(value))
    return value


def _items(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise _WrongError(plain(value))
    if len(value) > MOST_ITEMS:
        raise _WrongError(f"a list of {len(value)}", f"at most {MOST_ITEMS} items")
    return value


def _texts(value: Any) -> tuple[str, ...]:
    return tuple(_text(one) for one in _items(value))


def _words(value: Any) -> tuple[str, ...]:
    return (_text(value),) if isinstance(value, str) else _texts(value)


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise _WrongError(plain(value))
    return value


def _count(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1_000_000:
        raise _WrongError(plain(value))
    return value


def _seconds(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 86_400:
        raise _WrongError(plain(value), "a number of seconds, 0 to 86400")
    return float(value)


def _date(value: Any) -> date:
    if isinstance(value, datetime) or not isinstance(value, date):
        raise _WrongError(plain(value))
    return value


def _needs(value: Any) -> Needs:
    if not isinstance(value, dict) or len(value) > MOST_ITEMS:
        raise _WrongError(plain(value))
    found = []
    for path, words in value.items():
        if not isinstance(words, list) or not words:
            raise _WrongError(f"{path[:60]} = {plain(words)}", "a list of the words that fit, as [true]")
        found.append((path, tuple(_word(word) for word in _items(words))))
    return tuple(found)


def _word(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return f"{value:g}"
    return _text(value)


def _table(value: Any) -> Mapping[str, str]:
    if not isinstance(value, dict) or len(value) > MOST_ITEMS:
        raise _WrongError(plain(value))
    return MappingProxyType({str(key)[:64]: _word(one) for key, one in value.items()})


def _tables(value: Any) -> list[Any]:
    if not isinstance(value, list) or not value or not all(isinstance(one, dict) for one in value):
        raise _WrongError(plain(value))
    return value


def _one_table(value: Any) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise _WrongError(plain(value), 'a table, as { kind = "done" }')
    return value


_SHAPES: Mapping[Shape, Callable[[Any], Any]] = MappingProxyType(
    {
        Shape.TEXT: _text, Shape.SLUG: _slug, Shape.TEXTS: _texts, Shape.WORDS: _words, Shape.FLAG: _flag,
        Shape.COUNT: _count, Shape.SECONDS: _seconds, Shape.DATE: _date, Shape.NEEDS: _needs, Shape.TABLE: _table,
        Shape.TABLES: _tables, Shape.ONE_TABLE: _one_table,
    }
)  # fmt: skip


def read_list(raw: bytes, name: str) -> CheckList:
    """Read one list. Never raises: what is wrong stands in ``faults``, each with its line.

    A list of a shipped one's name is a person's changes to it: there a line may give only what differs.
    """
    table, text, faults = parse_toml(raw, name)
    if faults:
        return CheckList("", "", 0, faults=faults, file=name)
    reader = Reader(name, key_lines(text))
    top = reader.table(table, fields.LIST, "")
    if top.get("format", 1) != 1:
        reader.fault("format", plain(top["format"]), "1; a newer program may read this file")
    phases: list[Phase] = []
    edits: list[Edit] = []
    seen: set[str] = set()
    for index, one in enumerate(top.get("phase", [])[:MOST_PHASES]):
        phases.append(_phase(reader, one, f"phase[{index}]", str(top.get("list", "")), edits, seen))
    if len(top.get("phase", [])) > MOST_PHASES:
        reader.fault("phase", f"{len(top['phase'])} phases", f"at most {MOST_PHASES}")
    for identity in _doubles(phase.id for phase in phases):
        reader.fault("phase", f'the phase "{identity[:40]}" twice', "ids that differ")
    found = CheckList(
        top.get("list", ""), top.get("title", ""), top.get("version", 0), top.get("dated"), top.get("places", ()),
        Way(top.get("way", "answer")), top.get("only_undone", False), top.get("before_run", False),
        top.get("after_run", False), top.get("ends", ""), tuple(phases), (), name, tuple(edits),
    )  # fmt: skip
    list_faults(found, reader.fault)
    ordered = tuple(sorted(reader.faults, key=lambda f: (f.line, f.path)))
    return replace(found, faults=ordered)


def _doubles(names: Iterable[str]) -> list[str]:
    seen: set[str] = set()
    return [name for name in names if name in seen or seen.add(name)]  # type: ignore[func-returns-value]


def _phase(reader: Reader, value: Any, at: str, listed: str, edits: list[Edit], seen: set[str]) -> Phase:
    own = listed in shipped.names()
    found = reader.table(value, fields.PHASE, at, may_lack=("moment",) if own else ())
    lines: list[Line] = []
    rows = found.get("line", [])
    for index, one in enumerate(rows):
        where = f"{at}.line[{index}]"
        if len(seen) >= MOST_LINES:
            reader.fault(where, f"more than {MOST_LINES} lines", f"at most {MOST_LINES} lines in a list")
            break
        line = _line(reader, one, where, listed, found.get("id", ""), edits)
        if line.id in seen:
            reader.fault(f"{where}.id", f'the line "{line.id[:40]}" twice', "ids that differ")
            continue
        seen.add(line.id)
        lines.append(line)
    return Phase(
        found.get("id", ""), found.get("moment", found.get("id", "")), tuple(lines), found.get("note", "")
    )


def _line(reader: Reader, value: Any, at: str, listed: str, phase: str, edits: list[Edit]) -> Line:
    known = isinstance(value, dict) and shipped.phase_of(listed, str(value.get("id", ""))) is not None
    found = reader.table(value, fields.LINE, at, may_lack=("do", "answer") if known else ())
    asks = _asks(reader, found.get("ask", []), at)
    questions: list[Question] = []
    if "answer" in found:
        questions.append(_question(reader, found["answer"], f"{at}.answer", "answer", asks))
    for index, one in enumerate(found.get("then", [])):
        name = str(one.get("name", f"then-{index + 1}"))
        questions.append(_question(reader, one, f"{at}.then[{index}]", name, asks))
    going_through = sum(1 for question in questions if question.kind is Kind.EACH)
    if asks and not going_through:
        reader.fault(f"{at}.ask", "questions of members", 'an answer of kind "each"')
    if going_through > 1:
        reader.fault(at, 'two answers of kind "each"', "one a line")
    line = Line(
        id=found.get("id", ""), do=found.get("do", ""), questions=tuple(questions), how=found.get("how", ""),
        why=found.get("why", ""), short=found.get("short", ""), critical=found.get("critical", False),
        again=found.get("again", False), always=found.get("always", False), quick=found.get("quick", False),
        repeat=found.get("repeat", False), caution=found.get("caution", ""), needs=found.get("needs", ()),
        critical_if=found.get("critical_if", ()), gives=found.get("gives", ()), spoils=found.get("spoils", ()),
        writes=found.get("writes", ()), with_=found.get("with", _NONE), shows=found.get("shows", ""),
        shows_item=found.get("shows_item", ""), tells=found.get("tells", ""), due=found.get("due", ""), wait=found.get("wait", 0.0),
        walk=found.get("walk", ""), depth_of=found.get("depth_of", ""), at=found.get("at", 0.0),
        at_twice=found.get("at_twice", ""), only_if=found.get("only_if", ()),
    )  # fmt: skip
    absent = found.get("why", "") if found.get("change") == "not fitted" else ""
    if found.get("change") == "not fitted" and not absent:
        reader.fault(f"{at}.change", '"not fitted" without a why', "why = the reason, in words")
    row = line_of(reader.lines, at)
    edits.append(Edit(line, phase, frozenset(found), found.get("after", ""), absent, row))
    return line


def _asks(reader: Reader, asks: list[Any], at: str) -> tuple[Question, ...]:
    found = []
    for index, one in enumerate(asks):
        name = str(one.get("name", "answer" if index == 0 else f"then-{index}"))
        found.append(_question(reader, one, f"{at}.ask[{index}]", name, ()))
        if found[-1].kind is Kind.EACH:
            reader.fault(f"{at}.ask[{index}]", "a list inside a list", "one question a member")
    return tuple(found)


def _question(reader: Reader, value: Any, at: str, name: str, asks: tuple[Question, ...]) -> Question:
    found = reader.table(value, fields.ANSWER, at)
    kind = Kind(found.get("kind", "done"))
    ask = (asks or (Question(Kind.DONE),)) if kind is Kind.EACH else ()
    for key, kinds in fields.ONLY_FOR.items():
        if key in found and kind not in kinds:
            meant = " or ".join(f'"{k.value}"' for k in kinds)
            reader.fault(
                f"{at}.{key}", f'{key} in an answer of kind "{kind.value}"', f"{key} in {meant} only"
            )
    return Question(
        kind=kind, name=name, say=found.get("say", ""), of=found.get("of", ()), also=found.get("also", ()), ask=ask,
        want=found.get("want", ()), unit=found.get("unit", ""), limit=found.get("limit", ""), item=found.get("item", ""),
        show=found.get("show", "after"), seconds=found.get("seconds", 0.0), least=found.get("least", ""),
        most=found.get("most", ""), u95=found.get("u95", ""), or_words=found.get("or_words", ()),
        measures=found.get("measures", ""), through=found.get("through", False), conditions=found.get("conditions", _NONE),
        in_force=found.get("in_force", ""), into=found.get("into", ""), when=found.get("when", ()), unless=found.get("unless", ()),
        unless_written=found.get("unless_written", ""), optional=found.get("optional", False),
    )  # fmt: skip
