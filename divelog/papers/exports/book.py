"""What an export is made of: plain values from the layers below, gathered by whoever holds a session."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType

from divelog.journal.events import Event
from divelog.limits.model import Limit
from divelog.profiles.document import Document
from divelog.profiles.facts import empty_document
from divelog.proofs.model import ProofReport
from divelog.upkeep.due import DueRow


@dataclass(frozen=True, slots=True)
class Used:
    """Charge a run took, in C, with its 95 % half-width and the method in words."""

    si: float
    u95: float
    how: str


@dataclass(frozen=True, slots=True)
class BoatPages:
    """One boat: her profile, and how she stands at the moment of the export."""

    slug: str
    boat: Document
    proofs: ProofReport | None = None
    due: tuple[DueRow, ...] = ()
    limits: tuple[Limit, ...] = ()


@dataclass(frozen=True, slots=True)
class Book:
    """Boats, and every event of theirs and of none, after corrections, in order of time."""

    boats: tuple[BoatPages, ...]
    events: tuple[Event, ...]
    now: datetime
    kit: Document = field(default_factory=lambda: empty_document("kit"))
    sites: Mapping[str, Document] = field(default_factory=lambda: MappingProxyType({}))
    used: Mapping[str, Used] = field(default_factory=lambda: MappingProxyType({}))
    """Charge by run."""
