"""Defects and the checks that prove one mended; and which defect a person means."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from divelog.history.defects import Defect
from divelog.proofs.model import ProofReport

LOOK = "look"
PROVES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("leak-test", "the long leak test", ("dry_long",)),
    ("closing-up", "the short dry test", ("dry_short",)),
    ("ten-minutes", "ten minutes in 0.5 m, then opened", ("look",)),
    ("bench", "the failsafe on the bench", ("failsafe_bench",)),
    ("tank-trim", "the tank: trim and failsafe", ("trim", "failsafe_wet")),
    (LOOK, "a look and a hand on it", ()),
)
"""What may have proved that a defect is gone: its name in the log, its words, and the proofs it gives."""
_LEAST = 6


class NoDefectError(Exception):
    """No one open defect is meant; the message names those there are."""


def given_since(report: ProofReport, since: datetime) -> dict[str, date]:
    """Checks given after a moment that stand, by name, with their day (in the offset of ``since``)."""
    found: dict[str, date] = {}
    for name, _, proofs in PROVES:
        given = [report.get(each) for each in proofs]
        days = [p.since for p in given if p.stands and p.since is not None and p.since > since]
        if days and len(days) == len(proofs):
            found[name] = max(days).astimezone(since.tzinfo).date()
    return found


def defect_meant(text: str, defects: Iterable[Defect]) -> Defect:
    """The open defect a person names: by its identifier, the beginning of it, or its words.

    Raises:
        NoDefectError: none is meant, or several.
    """
    known = [each for each in defects if each.open]
    asked = text.strip()
    found = [each for each in known if each.id == asked or each.words.casefold() == asked.casefold()]
    if not found and len(asked) >= _LEAST:
        found = [each for each in known if each.id.startswith(asked)]
    if len(found) != 1:
        names = "; ".join(f"{each.words} ({each.id})" for each in known) or "none is open"
        raise NoDefectError(f"{len(found) or 'no'} open defects are meant by {asked[:40]!r}; open: {names}")
    return found[0]
