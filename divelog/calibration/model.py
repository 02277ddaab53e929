"""What the log teaches about one boat, as the limits ask for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType

from divelog.profiles.document import Num


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
    volts: tuple[float | None, ...] = ()
    """Volts of each reading, where they were written down; empty where none were."""


@dataclass(frozen=True, slots=True)
class Parts:
    """What of a boat and her kit decides how readings are taken: the rest stands in the events."""

    chemistry: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """Words of the kit, by pack: charge put back is not charge used."""
    moving_seals: frozenset[str] | None = None
    """Seals that turn or slide; None where nobody has written any down: every seal may be one."""
    test_load: float | None = None
    """Amperes at which joints are read where the reading does not say."""
    receiver_packs: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """The receiver's own pack, by boat, of every boat that has one: each of her runs takes of it too."""


@dataclass(frozen=True, slots=True)
class RanIn:
    """A run on a pack that nobody has charged since."""

    boat: str
    at: datetime
    run: str
    on: bool
    """She is still out."""


@dataclass(frozen=True, slots=True)
class Observed:
    """What the log teaches, beyond single measured facts: everything a limit may ask of the past."""

    proofs: Mapping[str, ProofView] = field(default_factory=lambda: MappingProxyType({}))
    """By proof name, items as ``pack:D2``."""
    dry_depth: float | None = None
    charge_per_minute: Mapping[str, tuple[float, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Charge used (put back, times what the chemistry gives again) over seconds run, as mean current in A, by pack;
    like runs since the last cut, oldest first."""
    charged_full: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    """Hours from the last full charge to the day's moment, by pack; absent where a run or nothing came since."""
    ran: Mapping[str, tuple[RanIn, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Runs on each pack since it was last charged, in any boat, oldest first."""
    joints: Mapping[str, tuple[float, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Resistances in ohm by joint since its last clean or change, oldest first."""
    no_load: Mapping[str, Series] = field(default_factory=lambda: MappingProxyType({}))
    """Currents in A by ``ahead`` and ``astern``: the baseline's readings."""
    times: Mapping[str, Series] = field(default_factory=lambda: MappingProxyType({}))
    """Times in s by ``fill`` and ``empty`` since the last cut, oldest first, with the volts of each."""
    timed_at: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    """Volts of the newest time measured as a baseline, by ``fill`` and ``empty``."""
    opened_since_wiped: int = 0
    """Times she was opened since the last wipe."""
    trim_moves: tuple[Num, ...] = ()
    """Effective mass of lead or foam moved since the trim record, kg upward positive."""
    notes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
