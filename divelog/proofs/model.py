"""How a proof stands at a moment, and the effects that made it so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from types import MappingProxyType


class State(Enum):
    """Proved, to prove, claimed by the last owner, never proved, or not fitted to this boat."""

    PROVED = "proved"
    TO_PROVE = "to_prove"
    CLAIMED = "claimed"
    NEVER = "never"
    NOT_FITTED = "not_fitted"


@dataclass(frozen=True, slots=True, order=True)
class Stamp:
    """Where an effect stands in time: UTC seconds, the event's id, and spends before gives inside one event."""

    seconds: float
    event: str
    gives: bool


@dataclass(frozen=True, slots=True)
class Effect:
    """One event giving or spending one proof. An empty item of a spending means every item."""

    stamp: Stamp
    proof: str
    item: str = ""
    because: str = ""
    depth: float | None = None
    """Only for ``dry_depth``: the depth given, or the depth that is left (None: nothing is left)."""
    local: datetime | None = None
    """The local moment of a giving, for the day it belongs to."""
    up: float | None = None
    boot: str | None = None
    sheet: str = ""
    """Which sheet of paper it was typed in from, and the time at its head; empty where it was not."""

    def is_before(self, giving: Effect) -> bool:
        """Whether a spending stands before a giving on one sheet, under one time.

        Both may be wrong by the same minutes, and together: which was first is no doubt. Lines are done in the order of
        the sheet, and typed in in that order.
        """
        return bool(self.sheet) and self.sheet == giving.sheet and self.stamp.event < giving.stamp.event


@dataclass(frozen=True, slots=True)
class Past:
    """What effects of later events must know of earlier ones that are folded already."""

    pack: str = ""
    site: str = ""
    water: str = ""
    dry: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    """Runs that ended, with the keel depth in m they were seen to reach, less its ±."""
    idle: tuple[float, str] | None = None
    """The last run's end that no start followed: (UTC seconds, event)."""
    until: float = float("-inf")
    """UTC seconds at or before which all of it took effect."""


@dataclass(frozen=True, slots=True)
class Proof:
    """How one proof stands: since when or because of what."""

    proof: str
    item: str
    state: State
    since: datetime | None = None
    event: str = ""
    """The event that gave it; of a spent one, the event that spent it (empty where time did)."""
    because: str = ""
    required: bool = True
    """Whether today asks for it: not a pack or bottle that stays ashore, nor what a pool does not need."""

    @property
    def name(self) -> str:
        """With its item, as ``pack:D2``."""
        return f"{self.proof}:{self.item}" if self.item else self.proof

    @property
    def stands(self) -> bool:
        """True where it is proved."""
        return self.state is State.PROVED


@dataclass(frozen=True, slots=True)
class OpenDefect:
    """A defect that stops launch until it is closed by a check or overruled with a reason."""

    event: str
    since: datetime
    what: str


@dataclass(frozen=True, slots=True)
class ProofReport:
    """All proofs of a boat at a moment."""

    proofs: tuple[Proof, ...]
    dry_depth: float | None
    """Greatest keel depth in m she came up dry from, less its ±; None where never."""
    dry_depth_event: str
    defects: tuple[OpenDefect, ...]
    clock_doubt: str = ""

    def get(self, name: str) -> Proof:
        """The proof of that name (``pack:D2`` with its item); one that nobody gave is *never*."""
        for proof in self.proofs:
            if proof.name == name:
                return proof
        kind, _, item = name.partition(":")
        return Proof(kind, item, State.NEVER)
