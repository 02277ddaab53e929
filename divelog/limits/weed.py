"""Weed of the season: what holds her down however good the failsafe."""

from __future__ import annotations

from divelog.limits.sheet import Sheet
from divelog.profiles.document import Num

WEED = "A weed month here: weed holds her down however good the failsafe. Keep her off it."
BLOWS_IN_WEED = 2.0
"""Blows kept for coming up where there is weed: common practice, no source."""


def weed_month(s: Sheet) -> bool:
    """Whether this is a month in which the site is written down as weedy; False where nobody has said so."""
    found = s.fact("site.weed_months")
    months = found.value if found is not None else None
    return isinstance(months, tuple) and s.day is not None and f"{s.day.month}" in months


def blows_kept(s: Sheet) -> Num:
    """Blows kept for coming up: as planned, else one, or two in a weed month."""
    if s.stated("plan.blows") is None and s.of(weed_month):
        return s.assume("blows kept", BLOWS_IN_WEED, 0.0, "1", "two in a weed month")
    return s.num("plan.blows")
