"""What a walk stands in at one moment: facts of boat and day, proofs, limits, the log, the clocks.

A walk itself holds only what was answered. Everything else is asked of here, so that a changed fact, a proof that was
spent meanwhile and a limit that moved count at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from functools import cached_property
from typing import Any, Protocol

from divelog.checks.sense import is_path
from divelog.clock import Moment
from divelog.journal.events import Event
from divelog.limits.model import Limit
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Fact, Num, State
from divelog.profiles.facts import FIELDS, Facts, assumption, bare, plain_value
from divelog.profiles.fields import Kind as FieldKind
from divelog.proofs.model import ProofReport

ABSENT_WHEN_MISSING = frozenset(
    {
        "boat.depth_sensor", "boat.lights", "boat.controls.sail_planes", "boat.controls.bow_planes",
        "boat.controls.linkages",
    }
)  # fmt: skip
"""Parts that a boat has not unless her file says so. For every other field a missing fact keeps the line."""

_LONGEST_OUTING = timedelta(hours=36)


class Lookup(Protocol):
    """A limit by key and item, judged anew with a reading or a word where one is given; None where there is none."""

    def __call__(self, key: str, item: str, reading: Num | None, answer: str | None, /) -> Limit | None:
        """The limit."""
        ...


@dataclass(frozen=True)
class Around:
    """One moment of one boat. ``events``: hers and those of no boat, after corrections, in order of time."""

    facts: Facts
    report: ProofReport
    lookup: Lookup
    events: Sequence[Event]
    moment: Moment
    from_paper: bool = False
    """Answers are typed in from a sheet: no second look at fast ones, no waiting for a hold."""
    kept: dict[str, Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What was worked out from the events once, by name."""

    @property
    def slug(self) -> str:
        """The boat."""
        return self.facts.slug

    @cached_property
    def sheet(self) -> Sheet:
        """A working sheet of the facts alone, for assumptions and meters."""
        return Sheet(self.facts, at=self.moment.wall)

    @cached_property
    def recent(self) -> tuple[Event, ...]:
        """Events that can belong to an outing that still goes on."""
        since = self.moment.wall - _LONGEST_OUTING
        found: list[Event] = []
        for event in reversed(self.events):
            if event.at < since:
                break
            found.append(event)
        return tuple(reversed(found))

    def fact(self, path: str) -> Fact | None:
        """The fact of a path, stated, measured or assumed; None where it is missing."""
        whole = self.facts.canonical(path)
        found = self.facts.get(whole)
        if (found is not None and found.state is not State.UNKNOWN) or assumption(whole) is None:
            return found
        number = self.sheet.maybe(path)
        word = self.sheet.word(path) if number is None else None
        if number is None and not word:
            return found
        return Fact(number if number is not None else word, basis=Basis.ASSUMED)

    def words_at(self, path: str) -> tuple[str, ...] | None:
        """What stands at a path as words, for literal matching; None where it is unknown.

        Of a list of tables, what every entry says; of a list, its items; of what is not fitted, ``not fitted``.
        """
        listed = self._entries(path)
        if listed is not None:
            found: list[str] = []
            for one in listed:
                words = self.words_at(one)
                if words is None:
                    return None
                found.extend(words)
            return tuple(found) if listed or path.startswith("boat.failsafe.") else None
        fact = self.fact(path)
        if fact is None:
            return () if bare(path) in ABSENT_WHEN_MISSING else None
        if fact.state is State.UNKNOWN:
            return None
        if fact.state is State.NOT_FITTED:
            return ("not fitted",)
        if isinstance(fact.value, tuple):
            return tuple(v if isinstance(v, str) else v[0] for v in fact.value)
        return (plain_value(fact.value),)

    def _entries(self, path: str) -> tuple[str, ...] | None:
        """Paths of the entries, where a path goes through a list of tables without saying which."""
        if "[" in path or not path.startswith("boat."):
            return None
        head, _, rest = path.removeprefix("boat.").partition(".")
        if not rest or f"boat.{head}" in FIELDS or head not in ("cap", "seal", "failsafe", "lead"):
            return None
        return tuple(f"boat.{head}[{name}].{rest}" for name in self.facts.ids(f"boat.{head}"))

    def word(self, text: str) -> str | None:
        """A word of a list: what a path stands for, or the word itself; None where the fact is unknown."""
        if not is_path(text):
            return text
        found = self.words_at(text)
        return found[0] if found else None

    def number(self, path: str) -> Num | None:
        """The quantity at a path, stated, measured or assumed."""
        fact = self.fact(path)
        return fact.value if fact is not None and isinstance(fact.value, Num) else None

    def usual_u95(self, path: str) -> float:
        """The ± taken for a measured path where nobody said one."""
        field = FIELDS.get(bare(self.facts.canonical(path)))
        return field.u95 if field is not None and field.kind is FieldKind.QUANTITY else 0.0
