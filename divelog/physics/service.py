"""Service counters: how much of an interval is used, and on which day it will be.

Counters are whatever wears the part: shaft hours, runs, days, closings, wet days. Each is given as used since
the last service and allowed between two, in one unit.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from math import floor, inf, sqrt

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Ratio

SOON_SHARE: Ratio = 0.8
LONG_DAYS = 60.0
LONG_NOTICE_DAYS = 14.0
WINDOW_DAYS = 60.0
WINDOW_MOST_DAYS = 180.0
WINDOW_OUTINGS = 10
OUTINGS_LEAST = 4
HARSH = 2.0
"""What an hour in salt or grit counts: intervals there are halved (common practice, no source)."""

DAYS = "days"


@dataclass(frozen=True, slots=True)
class Counter:
    """One counter of one item.

    used since the last service, allowed between two services (over 0), rate a day lately (None: not
    known; days pass at 1 whatever stands here), outings that rate rests on, planned by the next run.
    """

    name: str
    used: float
    allowed: float
    rate: float | None = None
    outings: int = 0
    planned: float = 0.0

    @property
    def share(self) -> Ratio:
        """Used over allowed."""
        return self.used / self.allowed


class Standing(Enum):
    """How a service stands."""

    WITHIN = "within"
    SOON = "soon"
    DUE = "due"


@dataclass(frozen=True, slots=True)
class Forecast:
    """When a counter runs out: days from now, the counter that says so, and a spread to read by.

    soonest and latest are None for calendar days; they are not a u95 and are carried no further.
    """

    counter: str
    days: float
    soonest: float | None = None
    latest: float | None = None

    def on(self, today: date) -> date:
        """The day it falls due: today and the whole days left."""
        return today + timedelta(days=floor(self.days))


@dataclass(frozen=True, slots=True)
class Due:
    """One item: share used, the counter that binds, how it stands, by how much it is over, and when."""

    share: Ratio
    binds: Counter
    standing: Standing
    over: float
    forecast: Forecast | None


def harsh_use(total: float, harsh: float) -> float:
    """Use counted since the service when part of it was in salt or grit, which counts double."""
    if not 0.0 <= harsh <= total:
        raise OutOfRangeError("Hours in salt or grit are part of all hours.")
    return total + (HARSH - 1.0) * harsh


def window_days(outings_ago: Sequence[float]) -> float:
    """How far back the recent rate looks, in days, from how many days ago each outing was.

    60 days, or back to the tenth last outing where that is longer, at most 180.
    """
    ages = sorted(outings_ago)
    tenth = ages[WINDOW_OUTINGS - 1] if len(ages) >= WINDOW_OUTINGS else 0.0
    return min(WINDOW_MOST_DAYS, max(WINDOW_DAYS, tenth))


def forecast_of(counter: Counter) -> Forecast | None:
    """When one counter runs out at the recent rate; None where no date can be named.

    Usage: (T - u)/r, with the spread r (1 +/- 1/sqrt(N)) of N outings; no date under four outings, or
    without use. Days: T - u. Seasons break it: say "at the recent rate". A counter that is out already has no date.
    """
    left = counter.allowed - counter.used
    if left <= 0.0:
        return None
    if counter.name == DAYS:
        return Forecast(DAYS, left)
    if counter.rate is None or counter.rate <= 0.0 or counter.outings < OUTINGS_LEAST:
        return None
    spread = 1.0 / sqrt(counter.outings)
    return Forecast(
        counter.name,
        left / counter.rate,
        left / (counter.rate * (1.0 + spread)),
        left / (counter.rate * (1.0 - spread)),
    )


def _standing(counters: Sequence[Counter], share: Ratio, forecast: Forecast | None) -> Standing:
    if share >= 1.0:
        return Standing.DUE
    after_plan = max((counter.used + counter.planned) / counter.allowed for counter in counters)
    long = any(counter.name == DAYS and counter.allowed >= LONG_DAYS for counter in counters)
    near = forecast is not None and forecast.days <= LONG_NOTICE_DAYS
    if share >= SOON_SHARE or after_plan >= 1.0 or (long and near):
        return Standing.SOON
    return Standing.WITHIN


def due(counters: Sequence[Counter]) -> Due:
    """How an item stands: the largest share used binds; 1 is due (at the interval, not past it).

    Soon: a share of 0.8, or the planned run would make it due, or an interval of 60 days or more ends
    within 14 days. The date is the earliest any counter names; an overdue item has none. The first of
    equal shares binds.

    Raises:
        OutOfRangeError: no counter, an interval not over 0, or a counter that fell (a fault of the log).
    """
    if not counters:
        raise OutOfRangeError("A service needs at least one counter.")
    for counter in counters:
        if not 0.0 < counter.allowed < inf:
            raise OutOfRangeError(f"The interval in {counter.name} must be greater than nothing.")
        if counter.used < 0.0 or counter.planned < 0.0:
            raise OutOfRangeError(f"The counter of {counter.name} fell; correct the log.")
    binds = max(counters, key=lambda counter: counter.share)
    overdue = binds.share >= 1.0
    dates = [found for counter in counters if (found := forecast_of(counter)) is not None]
    forecast = min(dates, key=lambda found: found.days) if dates and not overdue else None
    return Due(
        share=binds.share,
        binds=binds,
        standing=_standing(counters, binds.share, forecast),
        over=max(0.0, binds.used - binds.allowed),
        forecast=forecast,
    )
