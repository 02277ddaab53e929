"""A mapping in the making: the columns of a file as they stand, what each is taken for, and the mapping file they make."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping as Table
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import tomli_w

from divelog.papers.telemetry.mapping import GIVES, SEPARATORS, Mapping, read_mapping
from divelog.papers.telemetry.model import TelemetryError

USUAL: Table[str, str] = MappingProxyType(
    {
        "depth": "m", "volts": "V", "current": "A", "charge": "mA h", "temperature": "degC", "pressure": "kPa",
        "signal": "%", "throttle": "%",
    }
)  # fmt: skip
"""The unit taken where a file names none."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What a column is taken for: a quantity with its unit, `sure` where the file itself said both."""

    gives: str
    unit: str
    sure: bool = True


@dataclass(frozen=True, slots=True)
class Seen:
    """One column of a file: how a mapping names it, the words of its head, its first readings."""

    column: str
    name: str
    first: tuple[str, ...]
    taken: Taken | None = None


@dataclass(frozen=True, slots=True)
class Draft:
    """Everything a mapping holds; `time` is the place of the time column from 0, None where there is none."""

    separator: str
    comma: bool
    skip: int
    head: bool
    columns: tuple[Seen, ...]
    time: int | None
    counts: str
    counts_sure: bool = True
    from_launch: bool = True
    charger: bool = False

    @property
    def ready(self) -> bool:
        """Whether there is a time and at least one quantity."""
        return self.time is not None and any(
            seen.taken is not None for n, seen in enumerate(self.columns) if n != self.time
        )

    @property
    def doubts(self) -> tuple[str, ...]:
        """What the file does not say and was taken for granted, in words."""
        found = [
            f"{seen.name or 'column ' + seen.column}: the unit is a guess"
            for n, seen in enumerate(self.columns)
            if n != self.time and seen.taken is not None and not seen.taken.sure
        ]
        if not self.counts_sure:
            found.insert(0, f"the clock is taken to count {self.counts}")
        return tuple(found)


def draft_toml(draft: Draft, title: str = "") -> bytes:
    """The mapping file of a draft that is ready.

    Raises:
        TelemetryError: there is no time column, or no quantity.
    """
    if draft.time is None or not draft.ready:
        raise TelemetryError("a mapping needs a time and at least one reading")
    words = {sign: word for word, sign in SEPARATORS.items()}
    found: dict[str, Any] = {"format": 1}
    if title:
        found["title"] = title
    found |= {
        "kind": "charger" if draft.charger else "run",
        "separator": words[draft.separator],
        "decimal": "comma" if draft.comma else "dot",
        "skip": draft.skip,
        "head": draft.head,
        "time": {
            "column": draft.columns[draft.time].column,
            "counts": draft.counts,
            "begins": "run start" if draft.from_launch else "first row",
        },
        "column": [
            {"gives": seen.taken.gives, "column": seen.column, "unit": seen.taken.unit}
            for n, seen in enumerate(draft.columns)
            if n != draft.time and seen.taken is not None
        ],
    }
    return tomli_w.dumps(found).encode()


def shifted(mapping: Mapping, shift: str) -> Mapping:
    """The same mapping with its times moved by ``shift``, as ``-90 s``.

    Raises:
        TelemetryError: that is no time, or more than the mapping allows.
    """
    try:
        found = tomllib.loads(mapping.raw.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise TelemetryError("the mapping cannot be read again") from error
    found.setdefault("time", {})["shift"] = shift
    made, faults = read_mapping(tomli_w.dumps(found).encode(), f"mappings/{mapping.name}.toml")
    if made is None:
        raise TelemetryError(f"{faults[0].found}: wanted {faults[0].wanted}")
    return made


def once(columns: tuple[Seen, ...]) -> tuple[Seen, ...]:
    """Of columns taken for the same quantity only the first keeps it."""
    seen: set[str] = set()
    found = []
    for each in columns:
        taken = each.taken
        if taken is not None and (taken.gives in seen or taken.gives not in GIVES):
            taken = None
        if taken is not None:
            seen.add(taken.gives)
        found.append(Seen(each.column, each.name, each.first, taken))
    return tuple(found)
