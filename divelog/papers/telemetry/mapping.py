"""A mapping: which column gives what, in which unit, on which clock. Read like every other file, faults with lines."""

from __future__ import annotations

from dataclasses import dataclass, field

from divelog import units
from divelog.profiles.document import Document, Fault, Num
from divelog.profiles.fields import Entries, Field, Kind, Mark, Schema
from divelog.profiles.reading import read_document

GIVES: dict[str, tuple[str, float, float]] = {
    "depth": ("length", -5.0, 200.0),
    "volts": ("voltage", -1.0, 300.0),
    "current": ("current", -500.0, 1000.0),
    "charge": ("charge", -3.6e6, 3.6e6),
    "temperature": ("temperature", 223.0, 423.0),
    "pressure": ("pressure", -1e5, 1e6),
    "signal": ("share", -0.01, 1.01),
    "throttle": ("share", -1.01, 1.01),
}
"""Quantity -> its dimension, and the bounds in SI beyond which a reading is a slip of the instrument."""

COUNTS = ("seconds", "milliseconds", "minutes", "hours", "time of day", "date and time")
FACTORS = {"seconds": 1.0, "milliseconds": 1e-3, "minutes": 60.0, "hours": 3600.0}
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", "blank": " "}

_R, _O, _A = Mark.REQUIRED, Mark.OPTIONAL, Mark.ASSUMED

SCHEMA = Schema(
    "mapping",
    "mapping",
    (
        Field("format", Kind.COUNT, _R, low=1, high=1),
        Field("title", Kind.TEXT, _O),
        Field("kind", Kind.CHOICE, _A, choices=("run", "charger")),
        Field("separator", Kind.CHOICE, _A, choices=tuple(SEPARATORS)),
        Field("decimal", Kind.CHOICE, _A, choices=("dot", "comma")),
        Field("skip", Kind.COUNT, _A, low=0, high=1000),
        Field("head", Kind.FLAG, _A),
        Field("time.column", Kind.TEXT, _R),
        Field("time.counts", Kind.CHOICE, _R, choices=COUNTS),
        Field("time.begins", Kind.CHOICE, _A, choices=("run start", "first row")),
        Field("time.shift", Kind.QUANTITY, _O, "time", low=-1e6, high=1e6),
        Field("time.gap", Kind.QUANTITY, _A, "time", low=0.01, high=3600.0),
    ),
    (
        Entries("column", "gives", (
            Field("gives", Kind.CHOICE, _R, choices=tuple(GIVES)),
            Field("column", Kind.TEXT, _R),
            Field("unit", Kind.TEXT, _R),
            Field("zero", Kind.TEXT, _O),
            Field("turned", Kind.FLAG, _A),
            Field("u95", Kind.TEXT, _O),
        ), least=1, most=len(GIVES)),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Column:
    """One column: SI = value × factor + offset."""

    gives: str
    column: str
    factor: float
    offset: float
    u95: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Mapping:
    """A mapping, ready to read rows by."""

    name: str
    title: str
    charger: bool
    separator: str
    comma: bool
    """Numbers have a decimal comma."""
    skip: int
    head: bool
    time: str
    counts: str
    from_first: bool
    shift: float
    gap: float
    columns: tuple[Column, ...]
    raw: bytes = field(default=b"", compare=False)
    """The file it was read from, so that a copy can go with the readings."""


def read_mapping(raw: bytes, name: str) -> tuple[Mapping | None, tuple[Fault, ...]]:
    """A mapping, or every fault of its file. Never raises for what the bytes hold."""
    document = read_document(raw, name, SCHEMA)
    faults = list(document.faults)
    columns = []
    for gives in document.entries.get("column", ()):
        if not faults:
            column = _column(document, gives, faults)
            if column is not None:
                columns.append(column)
    separator = document.text_at("separator", "comma")
    comma = document.text_at("decimal", "dot") == "comma"
    if comma and separator == "comma" and not faults:
        faults.append(
            _fault(document, "decimal", "comma between columns and in numbers", "another separator")
        )
    if faults:
        return None, tuple(faults)
    skip, shift, gap = document.value("skip"), document.value("time.shift"), document.value("time.gap")
    return Mapping(
        name.rsplit("/", 1)[-1].removesuffix(".toml"),
        document.text_at("title"),
        document.text_at("kind", "run") == "charger",
        SEPARATORS[separator],
        comma,
        int(skip) if isinstance(skip, float) else 0,
        document.value("head") is not False,
        document.text_at("time.column"),
        document.text_at("time.counts"),
        document.text_at("time.begins", "first row") == "first row",
        shift.si if isinstance(shift, Num) else 0.0,
        gap.si if isinstance(gap, Num) else 5.0,
        tuple(columns),
        bytes(raw),
    ), ()


def _fault(document: Document, path: str, found: str, wanted: str) -> Fault:
    return Fault(document.file, document.lines.get(path, 0), f"mapping.{path}", found, wanted)


def _column(document: Document, gives: str, faults: list[Fault]) -> Column | None:
    at = f"column[{gives}]"
    dimension, low, high = GIVES[gives]
    try:
        unit = units.find(document.text_at(f"{at}.unit"), dimension)
    except units.UnitFaultError as wrong:
        faults.append(_fault(document, f"{at}.unit", wrong.found, wrong.wanted))
        return None
    spread = {"temperature": "temperature difference"}.get(dimension, dimension)
    values = []
    for key in ("zero", "u95"):
        text = document.text_at(f"{at}.{key}")
        try:
            values.append(units.parse(text, spread).si if text else 0.0)
        except units.UnitFaultError as wrong:
            faults.append(_fault(document, f"{at}.{key}", wrong.found, wrong.wanted))
            return None
    sign = -1.0 if document.value(f"{at}.turned") is True else 1.0
    zero, u95 = values
    return Column(
        gives,
        document.text_at(f"{at}.column"),
        sign * unit.factor,
        sign * unit.offset - zero,
        abs(u95),
        low,
        high,
    )
