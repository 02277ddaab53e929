"""Service intervals as people write them, ``4 h or 30 d``: whichever comes first."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import floor

from divelog.physics.service import DAYS

HOURS = "hours"
RUNS = "runs"
CLOSINGS = "closings"
WET_DAYS = "wet days"
MONTH_DAYS = 30.44
_MOST = 100_000.0
_LONGEST = 80

_UNITS = {
    "h": (HOURS, 1.0),
    "d": (DAYS, 1.0),
    "mo": (DAYS, MONTH_DAYS),
    "run": (RUNS, 1.0),
    "runs": (RUNS, 1.0),
    "closing": (CLOSINGS, 1.0),
    "closings": (CLOSINGS, 1.0),
    "wet d": (WET_DAYS, 1.0),
}
UNIT = {HOURS: "h", DAYS: "d", RUNS: "runs", CLOSINGS: "closings", WET_DAYS: "wet d"}
"""How each counter is written."""

WANTED = "a time or count between two services, such as 4 h or 30 d; units h, d, mo, runs, closings, wet d"
_PART = re.compile(r"\s*(\d{1,7}(?:\.\d{1,6})?)\s*([a-z]+(?: d)?)\s*")


class IntervalFaultError(ValueError):
    """A text that is no interval: what was found, and what is wanted."""

    def __init__(self, found: str) -> None:
        super().__init__(f"found {found!r}, wanted {WANTED}")
        self.found = found
        self.wanted = WANTED


@dataclass(frozen=True, slots=True)
class Allowed:
    """One counter of an interval and the most it may reach."""

    counter: str
    most: float

    @property
    def unit(self) -> str:
        """The unit as written."""
        return UNIT[self.counter]


def parse_interval(text: str) -> tuple[Allowed, ...]:
    """Read ``4 h or 30 d``; months become whole days (12 mo is 365 d); of two of a kind the shorter counts.

    Raises:
        IntervalFaultError: anything else, nought, or an absurd number.
    """
    if len(text) > _LONGEST:
        raise IntervalFaultError(text[:_LONGEST] + "…")
    least: dict[str, float] = {}
    for part in re.split(r"\bor\b", text):
        found = _PART.fullmatch(part)
        if found is None or found[2] not in _UNITS:
            raise IntervalFaultError(text)
        counter, factor = _UNITS[found[2]]
        most = float(found[1]) * factor
        if counter == DAYS:
            most = float(floor(most))
        if not 0.0 < most <= _MOST:
            raise IntervalFaultError(text)
        least[counter] = min(most, least.get(counter, most))
    return tuple(Allowed(counter, most) for counter, most in least.items())


def shorter(usual: tuple[Allowed, ...], wished: tuple[Allowed, ...]) -> tuple[Allowed, ...]:
    """The shorter of two intervals, counter by counter: a proof's period may be shortened, never lengthened."""
    least = {each.counter: each.most for each in usual}
    for each in wished:
        least[each.counter] = min(each.most, least.get(each.counter, each.most))
    return tuple(Allowed(counter, most) for counter, most in least.items())
