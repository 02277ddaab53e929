"""What a paper is before it is drawn: parts of plain words, so that text and HTML can never say two things."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Big:
    """One of the large numbers: what it is, the number (empty: a blank to write on), its unit, a remark."""

    title: str
    number: str
    unit: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Bigs:
    """The large numbers of a paper, side by side."""

    items: tuple[Big, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One thing and how it stands: sign word, name, reading, limit. ``loud`` puts a mark at the right edge."""

    sign: str
    name: str
    reading: str = ""
    limit: str = ""
    loud: bool = False


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows under a title."""

    title: str
    rows: tuple[Row, ...]
    note: str = ""
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Space:
    """One thing to write down, or to ring: its label, its choices or its unit, and the limit to reach."""

    label: str = ""
    choices: tuple[str, ...] = ()
    unit: str = ""
    limit: str = ""
    tick: bool = False
    digit: bool = False
    """A box for one digit: the choices stand once before it and its like."""


@dataclass(frozen=True, slots=True)
class Blank:
    """One numbered line. ``filled`` is what stands in the log, with ``sign``; otherwise its spaces are to be written on."""

    number: int
    say: str
    spaces: tuple[Space, ...] = ()
    how: str = ""
    why: str = ""
    critical: bool = False
    again: bool = False
    sign: str = ""
    filled: str = ""
    loud: bool = False


@dataclass(frozen=True, slots=True)
class Blanks:
    """Numbered lines under a title."""

    title: str
    rows: tuple[Blank, ...]
    note: str = ""
    short: bool = False
    """For readings only: no more words than they need."""
    columns: int = 1
    """How many stand side by side on a page; read down the first, then the next."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under heads that stand again on every page. ``widths`` are shares of a hundred."""

    title: str
    heads: tuple[str, ...]
    widths: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    loud: frozenset[int] = frozenset()
    """Rows, counted from nought, with a mark at the right edge."""


@dataclass(frozen=True, slots=True)
class Pairs:
    """Word and sentence, a line each."""

    title: str
    pairs: tuple[tuple[str, str], ...]
    note: str = ""
    narrow: bool = False
    """Short texts: many of them stand side by side."""


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps that are read and done, in their order, with the second each is for."""

    title: str
    steps: tuple[tuple[str, str, str], ...]
    """When (may be empty), what, how."""


@dataclass(frozen=True, slots=True)
class Words:
    """Sentences under a title. ``lined``: to be written on, with room for a pen."""

    title: str
    lines: tuple[str, ...]
    lined: bool = False


Part: TypeAlias = "Bigs | Rows | Blanks | Table | Pairs | Steps | Words"


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: which, whose, for when and where, its parts, and the cautions at its foot."""

    kind: str
    title: str
    boat: str
    made: datetime
    under: str = ""
    """Site and day, or what else it is for."""
    parts: tuple[Part, ...] = ()
    cautions: tuple[str, ...] = ()
    foot: tuple[str, ...] = ()
    small: bool = False
    """A tag and not a page."""
    dense: bool = field(default=False)
    """Much must stand on it: less room between rows, never smaller type."""
