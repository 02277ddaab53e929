"""Frozen models of the files a person edits: facts by path, and the faults found on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from enum import Enum
from types import MappingProxyType
from typing import TypeAlias


class Basis(Enum):
    """Where a value comes from; the worst basis of its inputs is the basis of a result."""

    MEASURED = "measured"
    STATED = "stated"
    ASSUMED = "assumed"
    MISSING = "missing"

    @property
    def rank(self) -> int:
        """0 for the best, 3 for the worst."""
        return _RANK[self._value_]


_RANK = {"measured": 0, "stated": 1, "assumed": 2, "missing": 3}


class State(Enum):
    """Known, unknown and not fitted are three things everywhere."""

    KNOWN = "known"
    UNKNOWN = "unknown"
    NOT_FITTED = "not fitted"


@dataclass(frozen=True, slots=True)
class Num:
    """An SI value, its 95 % half-width, and the basis it rests on."""

    si: float
    u95: float = 0.0
    basis: Basis = Basis.STATED

    def plus(self, other: float) -> Num:
        """The same uncertainty, moved by an exact amount."""
        return replace(self, si=self.si + other)


FactValue: TypeAlias = (
    "Num | str | bool | float | date | datetime | tuple[str, ...] | tuple[tuple[str, str], ...] | None"
)


@dataclass(frozen=True, slots=True)
class Fact:
    """What stands at a path. ``value`` is None unless the state is known."""

    value: FactValue
    state: State = State.KNOWN
    basis: Basis = Basis.STATED
    on: str = ""
    """The date of the fact, ISO 8601, where one is known."""
    typed: str = ""
    origin: str = ""
    """Where it was read, in words: a file and line, "typed today", "log, 18 April"."""
    said: bool = False
    """True where the person gave the ±."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a file: where, what was found, what is wanted."""

    file: str
    line: int
    path: str
    found: str
    wanted: str

    def sentence(self) -> str:
        """One line for a person."""
        place = f"{self.file}, line {self.line}" if self.line else self.file
        what = f"{self.path}: " if self.path else ""
        return f"{place}: {what}found {self.found}; wanted {self.wanted}"


@dataclass(frozen=True, slots=True)
class Document:
    """One file, read: its root, facts by path under that root, ids of its lists, and its faults."""

    root: str
    file: str
    facts: Mapping[str, Fact] = field(default_factory=lambda: MappingProxyType({}))
    entries: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    faults: tuple[Fault, ...] = ()
    text: str = ""
    digest: str = ""
    lines: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def whole(self) -> bool:
        """True where the file has no fault."""
        return not self.faults

    def value(self, path: str) -> FactValue:
        """The value at a path under the root, or None."""
        fact = self.facts.get(path)
        return fact.value if fact is not None else None

    def text_at(self, path: str, otherwise: str = "") -> str:
        """The text at a path under the root."""
        value = self.value(path)
        return value if isinstance(value, str) else otherwise

    def texts_at(self, path: str) -> tuple[str, ...]:
        """The list of texts at a path under the root."""
        value = self.value(path)
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, tuple) else ()
