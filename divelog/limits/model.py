"""What a limit is, once it is worked out: numbers with their ±, what they rest on, and a verdict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType

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


@dataclass(frozen=True, slots=True)
class Limit:
    """One result. ``low``/``high``/``value`` are SI before rounding; ``shown_*`` is the safe end, rounded."""

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


@dataclass(frozen=True, slots=True)
class ProofView:
    """How one proof stands, as limits need it."""

    stands: bool
    because: str = ""
    since: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """Like readings since the last cut: SI values, oldest first, and the step of the instrument."""

    values: tuple[float, ...]
    step: float = 0.0
    conditions: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    """Medians of the conditions (volts, temperature) the readings were taken in."""


@dataclass(frozen=True, slots=True)
class Observed:
    """What the log teaches, beyond single measured facts: everything a limit may ask of the past."""

    proofs: Mapping[str, ProofView] = field(default_factory=lambda: MappingProxyType({}))
    """By proof name, items as ``pack:D2``."""
    dry_depth: float | None = None
    charge_per_minute: Mapping[str, tuple[float, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Charge put back over minutes run, as mean current in A, by pack; like runs since the last cut, oldest first."""
    charged_full: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    """Hours from the last full charge to the day's moment, by pack; absent where a run or nothing came since."""
    joints: Mapping[str, tuple[float, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Resistances in ohm by joint since its last clean or change, oldest first."""
    no_load: Mapping[str, Series] = field(default_factory=lambda: MappingProxyType({}))
    """Currents in A by ``ahead`` and ``astern``: the baseline's readings."""
    times: Mapping[str, Series] = field(default_factory=lambda: MappingProxyType({}))
    """Like times in s by ``fill`` and ``empty`` since the last cut, oldest first."""
    opened_since_wiped: int = 0
    """Times she was opened since the last wipe."""
    trim_moves: tuple[Num, ...] = ()
    """Effective mass of lead or foam moved since the trim record, kg upward positive."""
    notes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
