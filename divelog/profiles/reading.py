"""Bytes of a profile -> a frozen document, with every fault collected and none raised."""

from __future__ import annotations

import difflib
import hashlib
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from types import MappingProxyType
from typing import Any

from divelog import units
from divelog.profiles.document import Document, Fact, FactValue, Fault, Num, State
from divelog.profiles.fields import Entries, Field, Kind, Mark, Schema
from divelog.profiles.positions import key_lines, line_of
from divelog.profiles.toml import parse_toml

MOST_TEXT = 400
MOST_NOTE = 4000
MOST_ITEMS = 200
_STRAY = 64
_MOST_HINTS = 100
"""Stray keys of a file that get a hint what may have been meant; each costs a look at every key there is."""
_MOST_COUNT = 1e15


class _Reader:
    """Collects facts and faults of one file."""

    def __init__(self, schema: Schema, file: str, lines: dict[str, int]) -> None:
        self.schema, self.file, self.lines = schema, file, lines
        self.facts: dict[str, Fact] = {}
        self.entries: dict[str, tuple[str, ...]] = {}
        self.faults: list[Fault] = []
        self.where: dict[str, int] = {}
        self.hints = 0

    def fault(self, toml_path: str, path: str, found: str, wanted: str) -> None:
        self.faults.append(Fault(self.file, line_of(self.lines, toml_path), path, found, wanted))

    def nearest(self, path: str, known: Iterable[str]) -> str:
        """What to write instead of a stray key; only the first ones of a file get a hint."""
        self.hints += 1
        return _nearest(path, known) if self.hints <= _MOST_HINTS else "a known key"

    def take(self, field: Field, value: Any, toml_path: str, path: str) -> None:
        """One field: its fact, or a fault."""
        line = line_of(self.lines, toml_path)
        self.where[path] = line
        if isinstance(value, str) and value == "unknown" and "unknown" not in field.choices:
            self.facts[path] = Fact(None, State.UNKNOWN, typed="unknown", origin=f"{self.file}, line {line}")
            return
        if isinstance(value, str) and value == "not fitted" and field.may_be_absent:
            self.facts[path] = Fact(
                "not fitted" if field.kind in (Kind.CHOICE, Kind.TEXT) else None,
                State.KNOWN if field.kind in (Kind.CHOICE, Kind.TEXT) else State.NOT_FITTED,
                typed=value,
                origin=f"{self.file}, line {line}",
            )
            return
        if field.kind is Kind.QUANTITIES:
            self.quantities(field, value, toml_path, path)
            return
        try:
            taken, typed, said = read_value(field, value)
        except units.UnitFaultError as wrong:
            self.fault(toml_path, f"{self.schema.root}.{path}", wrong.found, wrong.wanted)
            return
        self.facts[path] = Fact(taken, typed=typed, origin=f"{self.file}, line {line}", said=said)

    def quantities(self, field: Field, value: Any, toml_path: str, path: str) -> None:
        if not isinstance(value, dict):
            self.fault(
                toml_path, f"{self.schema.root}.{path}", plain(value), f"a table of {field.dimension}s"
            )
            return
        for key, one in list(value.items())[:MOST_ITEMS]:
            single = Field(f"{path}.{key}", Kind.QUANTITY, Mark.OPTIONAL, field.dimension, (), field.u95,
                           field.low, field.high)  # fmt: skip
            self.take(single, one, f"{toml_path}.{key}", f"{path}.{key}")


def plain(value: Any) -> str:
    """A found value in words, short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value[:40]}"'
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return str(value)[:40]


def read_value(field: Field, value: Any, *, typed: bool = False) -> tuple[FactValue, str, bool]:
    """One raw value as the field wants it; raises UnitFaultError. Used for files, ``--set`` and forms alike."""
    kind = field.kind
    if kind is Kind.QUANTITY:
        return _quantity(field, value, typed)
    if kind is Kind.CHOICE:
        return _choice(field, value), str(value), False
    if kind is Kind.TEXT or kind is Kind.INTERVAL:
        return _text(value, MOST_TEXT), str(value), False
    if kind is Kind.FLAG:
        return _flag(value), str(value), False
    if kind is Kind.COUNT:
        return _count(field, value), str(value), False
    if kind is Kind.DATE:
        return _date(value), str(value), False
    if kind is Kind.MOMENT:
        return _moment(value), str(value), False
    if kind in (Kind.TEXTS, Kind.CHOICES):
        return _texts(field, value), "", False
    if kind is Kind.COUNTS:
        items = _list(value)
        return tuple(f"{_count(field, item):g}" for item in items), "", False
    return _words(value), "", False


def _quantity(field: Field, value: Any, typed: bool) -> tuple[Num, str, bool]:
    if isinstance(value, bool) or not isinstance(value, str):
        found = f"{plain(value)}, a bare number" if isinstance(value, int | float) else plain(value)
        raise units.UnitFaultError(found, units.wanted(field.dimension))
    quantity = units.parse(value, field.dimension, typed=typed)
    bounds = bound_words(field)
    if field.low is not None and quantity.si < field.low - abs(field.low) * 1e-9:
        raise units.UnitFaultError(f'"{value[:40]}"', bounds)
    if field.high is not None and quantity.si > field.high * (1 + 1e-9):
        raise units.UnitFaultError(f'"{value[:40]}"', bounds)
    u95 = quantity.u95 if quantity.said else field.u95
    return Num(quantity.si, u95), quantity.typed, quantity.said


def bound_words(field: Field) -> str:
    """The bounds of a quantity in a usual unit, for a fault."""
    symbol = (units.allowed(field.dimension) or ("",))[0]
    for candidate in units.allowed(field.dimension):
        unit = units.find(candidate, field.dimension)
        edge = field.low if field.low else field.high
        if edge is not None and 0.5 <= abs((edge - unit.offset) / unit.factor) < 1000:
            symbol = candidate
            break
    unit = units.find(symbol, field.dimension)
    low = None if field.low is None else f"{(field.low - unit.offset) / unit.factor:.4g} {symbol}"
    high = None if field.high is None else f"{(field.high - unit.offset) / unit.factor:.4g} {symbol}"
    return (
        f"a {field.dimension} from {low} to {high}"
        if low and high
        else f"a {field.dimension} of at least {low}"
    )


def _choice(field: Field, value: Any) -> str:
    if isinstance(value, str) and value in field.choices:
        return value
    offered = ", ".join(f'"{c}"' for c in field.choices)
    if field.may_be_absent:
        offered += ', "not fitted"'
    near = difflib.get_close_matches(str(value)[:64], field.choices, 1) if isinstance(value, str) else []
    hint = f' (did you mean "{near[0]}"?)' if near else ""
    raise units.UnitFaultError(plain(value), f"one of {offered}{hint}")


def _text(value: Any, most: int) -> str:
    if not isinstance(value, str):
        raise units.UnitFaultError(plain(value), 'text in "quotes"')
    if not value.strip():
        raise units.UnitFaultError("an empty text", "some text")
    if len(value) > most:
        raise units.UnitFaultError(f"a text of {len(value)} characters", f"at most {most} characters")
    return value


def _flag(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    if value in ("true", "false"):
        return bool(value == "true")
    raise units.UnitFaultError(plain(value), "true or false")


def _count(field: Field, value: Any) -> float:
    whole = field.low is None or float(field.low).is_integer()
    wanted = (
        f"a number from {field.low:g} to {field.high:g}"
        if field.low is not None and field.high is not None
        else "a number"
    )
    if isinstance(value, str):
        try:
            value = float(value)
        except ValueError as error:
            raise units.UnitFaultError(plain(value), wanted) from error
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= _MOST_COUNT:
        raise units.UnitFaultError(plain(value), wanted)  # not a number, infinite, or too long for a float
    if field.low is not None and value < field.low or field.high is not None and value > field.high:
        raise units.UnitFaultError(plain(value), wanted)
    if whole and field.path != "rate_exponent" and float(value) != int(value):
        raise units.UnitFaultError(plain(value), "a whole number")
    return float(value)


def _date(value: Any) -> date:
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise units.UnitFaultError(plain(value), "a date, as 2032-04-18")


def _moment(value: Any) -> datetime:
    if isinstance(value, str):
        try:
            value = datetime.fromisoformat(value)
        except ValueError as error:
            raise units.UnitFaultError(
                plain(value), "a time with offset, as 2032-05-04T08:11:00+01:00"
            ) from error
    if isinstance(value, datetime) and value.tzinfo is not None:
        return value
    raise units.UnitFaultError(plain(value), "a time with offset, as 2032-05-04T08:11:00+01:00")


def _list(value: Any) -> list[Any]:
    if isinstance(value, str):
        value = [part.strip() for part in value.split(",") if part.strip()]
    if not isinstance(value, list):
        raise units.UnitFaultError(plain(value), "a list in [brackets]")
    if len(value) > MOST_ITEMS:
        raise units.UnitFaultError(f"a list of {len(value)}", f"at most {MOST_ITEMS} items")
    return value


def _texts(field: Field, value: Any) -> tuple[str, ...]:
    items = _list(value)
    if field.kind is Kind.CHOICES:
        return tuple(_choice(field, item) for item in items)
    return tuple(_text(item, MOST_TEXT) for item in items)


def _words(value: Any) -> tuple[tuple[str, str], ...]:
    if not isinstance(value, dict):
        raise units.UnitFaultError(plain(value), 'a table of name = "text"')
    if len(value) > MOST_ITEMS:
        raise units.UnitFaultError(f"a table of {len(value)}", f"at most {MOST_ITEMS} names")
    return tuple((str(key)[:64], _text(one, MOST_NOTE)) for key, one in value.items())


def _flatten(
    table: Mapping[str, Any], wanted: Mapping[str, Field], prefix: str = ""
) -> Iterator[tuple[str, Any]]:
    for key, value in table.items():
        path = f"{prefix}{key}"
        if isinstance(value, dict) and path not in wanted:
            yield from _flatten(value, wanted, f"{path}.")
        else:
            yield path, value


def _root_view(schema: Schema, table: dict[str, Any]) -> dict[str, Any]:
    """A boat's own keys stand under ``[boat]`` in the file but directly under the root in paths."""
    view = dict(table)
    own = view.pop(schema.root, None)
    return {**view, **own} if isinstance(own, dict) else table


def _toml_path(schema: Schema, table: dict[str, Any], path: str) -> str:
    first = path.split(".")[0].split("[")[0]
    own = table.get(schema.root)
    return f"{schema.root}.{path}" if isinstance(own, dict) and first in own else path


def read_document(raw: bytes, file: str, schema: Schema) -> Document:
    """Read one file. Never raises: what is wrong stands in ``faults``, each with its line."""
    table, text, faults = parse_toml(raw, file)
    digest = "sha256:" + hashlib.sha256(raw).hexdigest()
    if faults:
        return Document(schema.root, file, faults=faults, text=text, digest=digest)
    lines = key_lines(text)
    reader = _Reader(schema, file, lines)
    view = _root_view(schema, table)
    listed = {e.path for e in schema.entries}
    fields = {f.path: f for f in schema.fields}
    singles = {k: v for k, v in view.items() if k not in listed}
    for path, value in _flatten(singles, fields):
        field = fields.get(path)
        toml_path = _toml_path(schema, table, path)
        if field is None:
            reader.fault(
                toml_path,
                f"{schema.root}.{path}"[:80],
                f'the key "{path[:60]}"',
                reader.nearest(path, fields),
            )
        else:
            reader.take(field, value, toml_path, path)
    for missing in fields.values():
        if missing.mark is Mark.REQUIRED and missing.path not in reader.where:
            reader.fault("", f"{schema.root}.{missing.path}", "nothing", _wanted(missing))
    for entries in schema.entries:
        _read_entries(reader, entries, view.get(entries.path), _toml_path(schema, table, entries.path))
    _check_sense(reader)
    ordered = tuple(sorted(reader.faults, key=lambda f: (f.line, f.path)))
    return Document(
        schema.root, file, MappingProxyType(reader.facts), MappingProxyType(reader.entries), ordered, text, digest,
        MappingProxyType(reader.where),
    )  # fmt: skip


def _wanted(field: Field) -> str:
    if field.kind is Kind.QUANTITY:
        return f'{units.wanted(field.dimension)}, or "unknown"'
    if field.kind is Kind.CHOICE:
        return "one of " + ", ".join(f'"{c}"' for c in field.choices)
    return {
        Kind.FLAG: "true or false", Kind.COUNT: "a number", Kind.TEXTS: "a list of texts", Kind.CHOICES: "a list",
    }.get(field.kind, "some text")  # fmt: skip


def _nearest(path: str, known: Iterable[str]) -> str:
    near = difflib.get_close_matches(path[:_STRAY], list(known), 1, 0.6)
    if not near:
        last = path.rsplit(".", 1)[-1][:_STRAY]
        near = [k for k in known if k.rsplit(".", 1)[-1] == last][:1]
    return f'a known key (did you mean "{near[0]}"?)' if near else "a known key"


def _read_entries(reader: _Reader, entries: Entries, value: Any, toml_path: str) -> None:
    root = reader.schema.root
    if value is None:
        value = []
    if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
        reader.fault(
            toml_path, f"{root}.{entries.path}", plain(value), f"a list of tables [[{entries.path}]]"
        )
        return
    if len(value) < entries.least:
        reader.fault("", f"{root}.{entries.path}", "none", f"at least {entries.least} [[{entries.path}]]")
    if len(value) > entries.most:
        reader.fault(toml_path, f"{root}.{entries.path}", f"{len(value)}", f"at most {entries.most}")
        return
    fields = {f.path: f for f in entries.fields}
    ids: list[str] = []
    for index, one in enumerate(value):
        base = f"{toml_path}[{index}]"
        name = one.get(entries.key)
        entry_id = name if isinstance(name, str) and name.strip() else f"#{index + 1}"
        entry_id = entry_id[:60].replace("[", "(").replace("]", ")")
        if entries.path == "line":
            entry_id = f"{one.get('list', '')}/{entry_id}"[:120]
        if entry_id in ids:
            reader.fault(
                f"{base}.{entries.key}", f"{root}.{entries.path}", f'"{entry_id}" twice', "ids that differ"
            )
            continue
        ids.append(entry_id)
        for path, inner in _flatten(one, fields):
            field = fields.get(path)
            whole = f"{entries.path}[{entry_id}].{path}"
            if field is None:
                reader.fault(
                    f"{base}.{path}",
                    f"{root}.{whole}"[:80],
                    f'the key "{path[:60]}"',
                    reader.nearest(path, fields),
                )
            else:
                reader.take(field, inner, f"{base}.{path}", whole)
        for missing in entries.fields:
            whole = f"{entries.path}[{entry_id}].{missing.path}"
            if missing.mark is Mark.REQUIRED and whole not in reader.where:
                reader.fault(base, f"{root}.{whole}", "nothing", _wanted(missing))
    reader.entries[entries.path] = tuple(ids)


_ORDERED: tuple[tuple[str, str, str], ...] = (
    ("draught", "height", "the draught is at most the height"),
    ("cylinder.inside_length", "length", "the cylinder is shorter than the boat"),
    ("power.idle", "power.full", "idle takes less than full throttle"),
    ("motion.cruise", "motion.full", "cruise is slower than full speed"),
)


def _check_sense(reader: _Reader) -> None:
    """What no single field shows: two figures that cannot both be right."""
    if reader.schema.root == "boat":
        for less, more, rule in _ORDERED:
            one, other = reader.facts.get(less), reader.facts.get(more)
            if (
                one is None
                or other is None
                or not isinstance(one.value, Num)
                or not isinstance(other.value, Num)
            ):
                continue
            if one.value.si > other.value.si * 1.0001:
                found = f'"{one.typed}" against "{other.typed}"'
                reader.faults.append(
                    Fault(
                        reader.file, reader.where.get(less, 0), f"boat.{less}", found, f"figures where {rule}"
                    )
                )
