"""What a limit is, once it is worked out: numbers with their ±, what they rest on, and a verdict."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from enum import Enum
from typing import TypedDict, Unpack

from divelog.calibration.model import Observed as Observed
from divelog.calibration.model import ProofView as ProofView
from divelog.calibration.model import Series as Series
from divelog.profiles.document import Basis, Num


class Verdict(Enum):
    """How a reading stands to the shown limit."""

    WITHIN = "within"
    OUTSIDE = "outside"
    TOO_CLOSE = "too_close"
    NO_READING = "no_reading"
    UNKNOWN = "unknown"
    TO_PROVE = "to_prove"
    NOT_FITTED = "not_fitted"
    NONE = "none"
    """An estimate or advice: there is nothing to compare."""


@dataclass(frozen=True, slots=True)
class Input:
    """One fact a result rests on."""

    path: str
    si: float | None
    u95: float
    unit: str
    basis: Basis
    on: str = ""
    said: str = ""
    """The fact as a person wrote it, or the words of the assumption."""
    starred: bool = False


def worst_basis(inputs: Iterable[Input]) -> Basis:
    """The worst basis of what is there; missing inputs that nothing rests on do not count. STATED of none."""
    found: Basis | None = None
    for one in inputs:
        basis = one.basis
        if basis is Basis.ASSUMED:
            return basis
        if basis is Basis.STATED or (basis is Basis.MEASURED and found is None):
            found = basis
    return Basis.STATED if found is None else found


@dataclass(frozen=True, slots=True)
class Term:
    """One term of a least: compared by ``safe``, its value less its ±."""

    name: str
    value: float
    u95: float
    waived: bool = False
    basis: Basis = Basis.STATED
    why: str = ""
    source: str = ""

    @property
    def safe(self) -> float:
        """The safe end."""
        return self.value - self.u95


@dataclass(frozen=True, slots=True)
class Move:
    """One piece of advice about lead: what, how much (kg), from where to where."""

    what: str
    mass: float
    u95: float
    start: str
    end: str


@dataclass(frozen=True, slots=True)
class Part:
    """A further number of a result, such as the time when stopped; SI, with the text shown."""

    name: str
    si: float
    u95: float
    shown: str


class Changes(TypedDict, total=False):
    """The fields of a ``Limit``, any of which ``but`` may change."""

    key: str
    item: str
    kind: str
    title: str
    unit: str
    low: float | None
    high: float | None
    value: float | None
    u95: float
    shown_low: float | None
    shown_high: float | None
    shown: str
    starred: bool
    basis: Basis
    missing: tuple[str, ...]
    binds: tuple[str, ...]
    next: str
    terms: tuple[Term, ...]
    parts: tuple[Part, ...]
    moves: tuple[Move, ...]
    inputs: tuple[Input, ...]
    why: tuple[str, ...]
    source: tuple[str, ...]
    cautions: tuple[str, ...]
    reading: Num | None
    reading_text: str
    verdict: Verdict
    actions: tuple[str, ...]
    remark: str
    scale: tuple[float, float] | None


@dataclass(frozen=True)
class Limit:
    """One result. ``low``/``high``/``value`` are SI before rounding; ``shown_*`` is the safe end, rounded.

    Without slots, so that ``but`` copies in one go: a keystroke makes a hundred of them.
    """

    key: str
    item: str
    kind: str
    title: str
    unit: str
    low: float | None = None
    high: float | None = None
    value: float | None = None
    u95: float = 0.0
    shown_low: float | None = None
    shown_high: float | None = None
    shown: str = ""
    starred: bool = False
    basis: Basis = Basis.STATED
    missing: tuple[str, ...] = ()
    binds: tuple[str, ...] = ()
    next: str = ""
    terms: tuple[Term, ...] = ()
    parts: tuple[Part, ...] = ()
    moves: tuple[Move, ...] = ()
    inputs: tuple[Input, ...] = ()
    why: tuple[str, ...] = ()
    source: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    reading: Num | None = None
    reading_text: str = ""
    verdict: Verdict = Verdict.NO_READING
    actions: tuple[str, ...] = ()
    """What to do next where the verdict is outside, too close, unknown or to prove."""
    remark: str = ""
    """One short phrase beside the shown number."""
    scale: tuple[float, float] | None = None
    """Far ends of the gauge, SI, where the key names them."""

    @property
    def name(self) -> str:
        """Key with item, as ``depth.keel:under control``."""
        return f"{self.key}:{self.item}" if self.item else self.key

    @property
    def shows_reading(self) -> bool:
        """Whether the shown number is what she has, as a count left, and not the edge it is set beside."""
        return bool(self.reading_text) and self.shown.rstrip("*") == self.reading_text

    def but(self, **changes: Unpack[Changes]) -> Limit:
        """The same result with some fields changed, as ``dataclasses.replace``, in a tenth of its time."""
        if not _FIELDS.issuperset(changes):
            raise TypeError(f"a limit has no {', '.join(sorted(set(changes) - _FIELDS))}")
        made = object.__new__(Limit)
        made.__dict__.update(self.__dict__, **changes)
        return made


_FIELDS = frozenset(one.name for one in fields(Limit))


@dataclass(frozen=True, slots=True)
class KeyInfo:
    """What a key is, for ``keys``, ``explain`` and the screens."""

    key: str
    title: str
    kind: str
    sense: str
    """max, min, band, estimate or advice."""
    unit: str
    display: str
    """The unit people read it in."""
    step: str
    where: str
    """pond, tank, bench or desk."""
    needs: tuple[str, ...] = ()
    items: str = ""
    formula: tuple[str, ...] = ()
    valid: str = ""
    sources: tuple[str, ...] = ()
    reads: str = ""
    """Dimension of a reading, for parsing what is typed; empty where nothing is read."""
    reading_unit: str = ""
