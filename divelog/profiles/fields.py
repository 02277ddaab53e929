"""What a field of a profile is: one row of the tables in ``schema``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Mark(Enum):
    """How a missing field is taken."""

    REQUIRED = "required"
    OPTIONAL = "optional"
    """Missing means unknown."""
    ASSUMED = "assumed"
    """Missing means a value assumed by a rule of ``assumed``, and marked so."""


class Kind(Enum):
    """What stands at a path."""

    QUANTITY = "quantity"
    INTERVAL = "interval"
    CHOICE = "choice"
    TEXT = "text"
    FLAG = "flag"
    COUNT = "count"
    DATE = "date"
    MOMENT = "moment"
    TEXTS = "texts"
    CHOICES = "choices"
    COUNTS = "counts"
    WORDS = "words"
    """A table of free key = text, such as what each channel does in a failsafe."""
    QUANTITIES = "quantities"
    """A table of free key = quantity, such as where each boat was closed or the banks of a site."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its path under the root of its file, and what may stand there.

    ``path`` leaves the file's root out (``boat.ballast.volume`` is ``ballast.volume`` in a boat's file).
    ``u95`` is the 95 % half-width taken when the person gave none, in SI.
    """

    path: str
    kind: Kind
    mark: Mark
    dimension: str = ""
    choices: tuple[str, ...] = ()
    u95: float = 0.0
    low: float | None = None
    high: float | None = None
    may_be_absent: bool = False
    """The words "not fitted" are allowed."""
    private: bool = False
    """Left out when a profile is shared."""
    help: str = ""

    def holds(self, si: float) -> bool:
        """Whether a number, in SI, lies where a file might have it."""
        return (self.low is None or si >= self.low) and (self.high is None or si <= self.high)

    def says(self, word: str) -> bool:
        """Whether a file might have a word as its choice."""
        return word in self.choices or (self.may_be_absent and word == "not fitted")


@dataclass(frozen=True, slots=True)
class Entries:
    """A list of tables, as ``[[cap]]``; each entry is known by the text at ``key``."""

    path: str
    key: str
    fields: tuple[Field, ...]
    least: int = 0
    most: int = 64


@dataclass(frozen=True, slots=True)
class Schema:
    """One kind of file: the root of its paths and everything that may stand in it."""

    root: str
    title: str
    fields: tuple[Field, ...]
    entries: tuple[Entries, ...] = ()
