"""A document -> TOML text, in the order of the schema, that reads back to the same facts.

Text that a person wrote by hand is kept where it can be: a changed value is put on its own line, comments and order
stay. Where that cannot be done the file is written anew. Nothing is given out that does not read back.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from types import MappingProxyType
from typing import Any

import tomli_w

from divelog import units
from divelog.files import DISK, Disk, write_atomic
from divelog.profiles.document import Document, Fact, FactValue, Num, State
from divelog.profiles.fields import Entries, Field, Kind, Schema
from divelog.profiles.reading import read_document, read_value
from divelog.profiles.schema import SCHEMAS

LONGEST = 1500
"""Characters of a line that is written; the reader refuses lines of over 2000."""

_OWN = {"boat": ("trimmed_at", "foam")}
"""Inline tables among the root's own keys; every other first part of a dotted path is a table of its own."""

_USUAL: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "length": ("mm", "m"), "area": ("mm^2", "cm^2"), "volume": ("mL", "L"), "mass": ("g", "kg"), "time": ("s",),
        "speed": ("m/s",), "temperature": ("degC",), "temperature difference": ("K",), "pressure": ("Pa", "kPa"),
        "voltage": ("mV", "V"), "current": ("mA", "A"), "charge": ("mA h", "A h"), "resistance": ("mohm", "ohm"),
        "conductivity": ("uS/cm", "mS/cm"), "salinity": ("g/kg",), "share": ("%",), "angle": ("deg",),
        "turning": ("rpm",), "motor constant": ("rpm/V",), "level": ("dB",), "paces": ("paces",), "gas a blow": ("g",),
    }
)  # fmt: skip
"""Units a person would write, small first; the first in which the number is under 1000 is taken."""


class WritingError(ValueError):
    """Facts that no file can hold so that they read back the same; the message is a plain sentence."""


# -- values ---------------------------------------------------------------------------------------------------------


def usual_unit(dimension: str, si: float) -> str:
    """The unit a person would write a value in."""
    symbols = _USUAL.get(dimension) or units.allowed(dimension) or ("",)
    for symbol in symbols:
        if abs(units.to_unit(si, symbol, dimension)) < 1000:
            return symbol
    return symbols[-1]


def quantity_text(field: Field, num: Num, typed: str = "", said: bool | None = None) -> str:
    """A quantity as a file holds it: as it was typed where that reads back to the same, else in a usual unit."""
    for text in dict.fromkeys((typed, re.sub(r"(?<=\d),(?=\d)", ".", typed))):
        if not text:
            continue
        try:
            again, _, gave = read_value(field, text)
        except units.UnitFaultError:
            continue
        if isinstance(again, Num) and again.si == num.si and again.u95 == num.u95 and said in (None, gave):
            return text
    spread = 0.0 if said is False and num.u95 == field.u95 else num.u95
    if not spread and num.u95 != field.u95:
        unit = units.find(usual_unit(field.dimension, num.si), field.dimension)
        return f"{units.written(num.si, 0.0, unit.symbol, field.dimension)} ± 0 {_spread_unit(field, unit.symbol)}"
    return units.written(num.si, spread, usual_unit(field.dimension, num.si), field.dimension)


def _spread_unit(field: Field, symbol: str) -> str:
    return "K" if field.dimension == "temperature" else symbol


def plain_value(field: Field, fact: Fact) -> Any:
    """A fact as a TOML value: text, number, flag, date, list or table of texts."""
    if fact.state is State.UNKNOWN:
        return "unknown"
    if fact.state is State.NOT_FITTED:
        return "not fitted"
    value: FactValue = fact.value
    if isinstance(value, Num):
        return quantity_text(field, value, fact.typed, fact.said)
    if field.kind is Kind.COUNT and isinstance(value, float):
        return int(value) if value.is_integer() else value
    if field.kind is Kind.COUNTS and isinstance(value, tuple):
        return [float(v) if "." in v or "e" in v else int(v) for v in value if isinstance(v, str)]
    if field.kind is Kind.WORDS and isinstance(value, tuple):
        return {pair[0]: pair[1] for pair in value if isinstance(pair, tuple)}
    if isinstance(value, tuple):
        return [v for v in value if isinstance(v, str)]
    if value is None:
        raise WritingError(f"{field.path} has no value")
    return value


def _key(name: str) -> str:
    return tomli_w.dumps({name: 1}).removesuffix(" = 1\n")


def _text(value: str) -> str:
    literal = tomli_w.dumps({"k": value}).removeprefix("k = ").removesuffix("\n")
    if len(literal) <= LONGEST:
        return literal
    # A text longer than a line may be: broken after blanks, so that no line begins with one, which would be eaten.
    pieces, rest = [], value
    while len(rest) > 200:
        at = next((n for n in range(200, 0, -1) if rest[n - 1].isspace() and not rest[n].isspace()), 200)
        pieces.append(rest[:at])
        rest = rest[at:]
    pieces.append(rest)
    inner = (tomli_w.dumps({"k": piece}).removeprefix('k = "').removesuffix('"\n') for piece in pieces)
    return '"""\\\n' + "\\\n".join(inner) + '"""'


def literal(value: Any) -> str:
    """One TOML value, on one line where a line may be that long."""
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Mapping):
        if not value:
            return "{}"
        return "{ " + ", ".join(f"{_key(str(k))} = {literal(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        items = [literal(v) for v in value]
        line = "[" + ", ".join(items) + "]"
        return line if len(line) <= LONGEST else "[\n" + "".join(f"    {item},\n" for item in items) + "]"
    if isinstance(value, bool | int | float | date | datetime):
        return tomli_w.dumps({"k": value}).removeprefix("k = ").removesuffix("\n")
    raise WritingError(f"a {type(value).__name__} cannot stand in a file")


# -- whole files ----------------------------------------------------------------------------------------------------


def _nest(table: dict[str, Any], path: str, value: Any) -> None:
    head, _, rest = path.partition(".")
    if rest:
        inner = table.setdefault(head, {})
        if isinstance(inner, dict):
            _nest(inner, rest, value)
    else:
        table[head] = value


def _tree(fields: Iterable[Field], facts: Mapping[str, Fact], prefix: str = "") -> dict[str, Any]:
    tree: dict[str, Any] = {}
    for field in fields:
        if field.kind is Kind.QUANTITIES:
            under = f"{prefix}{field.path}."
            for path, fact in facts.items():
                if path.startswith(under):
                    single = replace(field, path=path, kind=Kind.QUANTITY)
                    tree.setdefault(field.path, {})[path.removeprefix(under)] = plain_value(single, fact)
        fact_here = facts.get(f"{prefix}{field.path}")
        if fact_here is not None:
            _nest(tree, field.path, plain_value(field, fact_here))
    return tree


def _rows(table: Mapping[str, Any], header: str) -> list[str]:
    """Lines of one table: short values first, tables too long for a line after them."""
    rows, later = [], []
    for key, value in table.items():
        line = f"{_key(key)} = {literal(value)}"
        if isinstance(value, dict) and (len(line) > 100 or "\n" in line):
            later.append((key, value))
        else:
            rows.append(line)
    for key, value in later:
        rows += [f"[{header}.{_key(key)}]", *_rows(value, f"{header}.{_key(key)}")]
    return rows


def _tables(schema: Schema, tree: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The root's own keys, and its tables."""
    free = (Kind.WORDS, Kind.QUANTITIES)
    names = {f.path.partition(".")[0] for f in schema.fields if "." in f.path or f.kind in free}
    tables = names - set(_OWN.get(schema.root, ()))
    apart = {k: v for k, v in tree.items() if k in tables and isinstance(v, dict)}
    return {k: v for k, v in tree.items() if k not in apart}, apart


def entry_text(entries: Entries, entry: str, facts: Mapping[str, Fact]) -> str:
    """One ``[[pack]]`` with its lines."""
    tree = _tree(entries.fields, facts, f"{entries.path}[{entry}].")
    return "\n".join([f"[[{entries.path}]]", *_rows(tree, entries.path)]) + "\n"


def render(document: Document) -> str:
    """The whole file anew; see ``text_of``, which proves it."""
    schema = SCHEMAS[document.root]
    own, tables = _tables(schema, _tree(schema.fields, document.facts))
    blocks = []
    first = {k: own.pop(k) for k in ("format",) if k in own}
    first = first or {"format": 1}
    if schema.root == "boat":
        blocks.append("\n".join(_rows(first, "")))
        blocks.append("\n".join(["[boat]", *_rows(own, "boat")]))
    else:
        rows, inner = _own_rows({**first, **own})
        blocks.append("\n".join(rows))
        tables = {**inner, **tables}
    blocks += ["\n".join([f"[{_key(name)}]", *_rows(table, _key(name))]) for name, table in tables.items()]
    blocks += [
        entry_text(entries, entry, document.facts).rstrip("\n")
        for entries in schema.entries
        for entry in document.entries.get(entries.path, ())
    ]
    return "\n\n".join(blocks) + "\n"


def _own_rows(table: Mapping[str, Any]) -> tuple[list[str], dict[str, Any]]:
    inner = {k: v for k, v in table.items() if isinstance(v, dict)}
    return _rows({k: v for k, v in table.items() if k not in inner}, ""), inner


def same_facts(one: Document, other: Document) -> bool:
    """True where two documents say the same."""
    if one.entries != other.entries or one.facts.keys() != other.facts.keys():
        return False
    return all(_alike(fact, other.facts[path]) for path, fact in one.facts.items() if path != "format")


def _alike(one: Fact, other: Fact) -> bool:
    if one.state is not other.state:
        return False
    if isinstance(one.value, Num) and isinstance(other.value, Num):
        return _close(one.value.si, other.value.si, 6e-9) and _close(one.value.u95, other.value.u95, 1e-5)
    return one.value == other.value and type(one.value) is type(other.value)


def _close(one: float, other: float, share: float) -> bool:
    return abs(one - other) <= share * max(abs(one), abs(other))


def text_of(document: Document) -> str:
    """TOML text of a document, proved to read back; raises WritingError where it does not."""
    return _proved(render(document), document)


def _proved(text: str, document: Document) -> str:
    again = read_document(text.encode(), document.file, SCHEMAS[document.root])
    if again.faults:
        raise WritingError(again.faults[0].sentence())
    if not same_facts(with_format(document), again):
        raise WritingError("these facts do not read back as they are")
    return text


def with_format(document: Document) -> Document:
    """The document with the number of its format, which every file has."""
    if "format" in document.facts:
        return document
    return replace(document, facts=MappingProxyType({"format": Fact(1.0, typed="1"), **document.facts}))


def write_file(path: Path, document: Document, disk: Disk = DISK) -> str:
    """Write a document in one step; returns its text. Raises WritingError, StorageError."""
    text = text_of(document)
    write_atomic(path, text.encode(), disk)
    return text


# -- changes --------------------------------------------------------------------------------------------------------


def with_facts(document: Document, changes: Mapping[str, Fact | None]) -> Document:
    """The document with some facts put in or (None) taken out; entries without a fact left go."""
    facts = {path: fact for path, fact in document.facts.items() if path not in changes}
    facts |= {path: fact for path, fact in changes.items() if fact is not None}
    entries = {}
    for one in SCHEMAS[document.root].entries:
        known = dict.fromkeys(document.entries.get(one.path, ()))
        for path in facts:
            if path.startswith(f"{one.path}[") and "]." in path:
                known.setdefault(path[len(one.path) + 1 :].split("].", 1)[0])
        entries[one.path] = tuple(e for e in known if any(p.startswith(f"{one.path}[{e}].") for p in facts))
    return replace(document, facts=MappingProxyType(facts), entries=MappingProxyType(entries))


def changed_paths(before: Document, after: Document) -> tuple[str, ...]:
    """Whole paths whose fact differs, in order."""
    paths = dict.fromkeys((*before.facts, *after.facts))
    found = []
    for path in paths:
        one, other = before.facts.get(path), after.facts.get(path)
        if one is None or other is None or not _alike(one, other):
            found.append(f"{after.root}.{path}")
    return tuple(found)


def amended(before: Document, after: Document) -> tuple[str, bool]:
    """Text of ``after``, keeping the hand of ``before`` where that can be; True where it was kept.

    Raises WritingError.
    """
    for patch in (_patched, _appended):
        try:
            return _proved(patch(before, after), after), True
        except (WritingError, _CannotError):
            continue
    return text_of(after), False


class _CannotError(Exception):
    """This change needs the file written anew."""


def _appended(before: Document, after: Document) -> str:
    """New entries at the end; nothing else may have changed."""
    schema = SCHEMAS[after.root]
    text = before.text.rstrip("\n")
    text = text + "\n" if text else "format = 1\n"
    new = [
        entry_text(entries, entry, after.facts)
        for entries in schema.entries
        for entry in after.entries.get(entries.path, ())
        if entry not in before.entries.get(entries.path, ())
    ]
    if not new:
        raise _CannotError
    return text + "".join(f"\n{one}" for one in new)


def _patched(before: Document, after: Document) -> str:
    """Changed values on their own lines; new keys under the last line of their table, new tables at the end."""
    schema = SCHEMAS[after.root]
    rows: list[str | None] = list(before.text.split("\n"))
    added: dict[int, list[str]] = {}
    tables: dict[str, list[str]] = {}
    gone: dict[int, set[str]] = {}
    for whole in changed_paths(before, after):
        path = whole.removeprefix(f"{after.root}.")
        fact = after.facts.get(path)
        line = before.lines.get(path, 0)
        if fact is None:
            gone.setdefault(line, set()).add(path)
            continue
        value = literal(plain_value(_field(schema, path), fact))
        if line:
            rows[line - 1] = _row_with(rows[line - 1], path, value)
            continue
        pair = f"{_key(path.rpartition('.')[2])} = {value}"
        try:
            added.setdefault(_last_sibling(before, path), []).append(pair)
        except _CannotError:
            tables.setdefault(_new_table(before, path), []).append(pair)
    for line, paths in gone.items():
        _take_line(rows, line, paths, before)
    for entries in schema.entries:
        for entry in before.entries.get(entries.path, ()):
            if entry not in after.entries.get(entries.path, ()):
                _take_header(rows, before, entries.path, entry)
    found = []
    for number, row in enumerate(rows, start=1):
        if row is not None:
            found.append(row)
        found += added.get(number, [])
    text = "\n".join(found)
    new = "".join(f"\n[{name}]\n" + "\n".join(lines) + "\n" for name, lines in tables.items())
    return text.rstrip("\n") + "\n" + new if new else text


def _new_table(before: Document, path: str) -> str:
    """The header of a table that the file lacks; raises where it has it, or where it is no table of its own."""
    table, _, name = path.rpartition(".")
    if not table or "[" in path or "." in table or name in ("format",):
        raise _CannotError
    if any(known == table or known.startswith(f"{table}.") for known in before.facts):
        raise _CannotError
    return f"{before.root}.{table}" if table in _OWN.get(before.root, ()) else _key(table)


def _take_line(rows: list[str | None], line: int, paths: set[str], before: Document) -> None:
    """Take a line away whose every fact goes."""
    row = rows[line - 1] if line else None
    held = {path for path, at in before.lines.items() if at == line}
    if row is None or held - paths:
        raise _CannotError
    key = re.match(r"[^=]*=", row)
    if key is None or row.lstrip().startswith("["):
        raise _CannotError
    _value_end(row, key.end())
    rows[line - 1] = None


def _take_header(rows: list[str | None], before: Document, path: str, entry: str) -> None:
    """Take the header of an entry away that has lost all its lines."""
    lines = [line for known, line in before.lines.items() if known.startswith(f"{path}[{entry}].") and line]
    at = min(lines, default=0) - 2
    while at >= 0 and (row := rows[at]) is not None and not row.strip().startswith("["):
        at -= 1
    row = rows[at] if at >= 0 else None
    if row is None or re.sub(r"[\s\"']", "", row.split("#")[0]) != f"[[{path}]]":
        raise _CannotError
    rows[at] = None


def _field(schema: Schema, path: str) -> Field:
    for field in schema.fields:
        if field.path == path:
            return field
        if field.kind is Kind.QUANTITIES and path.startswith(f"{field.path}."):
            return replace(field, path=path, kind=Kind.QUANTITY)
    for entries in schema.entries:
        if path.startswith(f"{entries.path}["):
            tail = path.rpartition("].")[2]
            for field in entries.fields:
                if field.path == tail:
                    return field
    raise _CannotError


def _row_with(row: str | None, path: str, value: str) -> str:
    """A line with another value; its comment stays."""
    key = re.match(r"""(\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')\s*=\s*)""", row or "")
    if row is None or key is None or key[1].split("=")[0].strip().strip("\"'") != path.rpartition(".")[2]:
        raise _CannotError
    end = _value_end(row, key.end())
    comment = row[end:].strip()
    if (comment and not comment.startswith("#")) or "\n" in value:
        raise _CannotError
    return row[: key.end()] + value + row[end:]


def _value_end(row: str, start: int) -> int:
    """Where a value on one line ends; raises where it goes on."""
    depth, quote, at = 0, "", start
    if row[start : start + 3] in ('"""', "'''"):
        raise _CannotError
    while at < len(row):
        char = row[at]
        if quote:
            if char == "\\" and quote == '"':
                at += 1
            elif char == quote:
                quote = ""
        elif char in "\"'":
            quote = char
        elif char in "[{":
            depth += 1
        elif char in "]}":
            depth -= 1
        elif char == "#" and depth == 0:
            break
        at += 1
    if depth or quote:
        raise _CannotError
    return len(row[:at].rstrip())


def _last_sibling(before: Document, path: str) -> int:
    """The last line of the table a new key belongs to; raises where there is none with a value on one line."""
    table = path.rpartition(".")[0]
    rows = before.text.split("\n")
    lines = []
    for known in before.facts:
        line = before.lines.get(known, 0)
        own, _, name = known.rpartition(".")
        if (
            line
            and own == table
            and known != "format"
            and re.match(rf"\s*[\"']?{re.escape(name)}[\"']?\s*=", rows[line - 1])
        ):
            lines.append(line)
    for line in sorted(lines, reverse=True):
        row = rows[line - 1]
        with contextlib.suppress(_CannotError):  # this one goes on below; the one above may not
            _value_end(row, row.index("=") + 1)
            return line
    raise _CannotError
