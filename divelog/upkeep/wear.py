"""What wears: like readings since the last change of part, their trend, and where it would meet the limit.

Wear is worked out from six like readings up and starts afresh at every change of part. The verdict is today's
reading against the shown limit, never the trend. Nothing here foretells a failure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import Enum

from divelog.physics.statistics import (
    BASELINE_LEAST,
    TREND_LEAST,
    Conditions,
    Crossing,
    Shift,
    Step,
    Trend,
    UsualRange,
    Voice,
    alike,
    can_judge,
    crossing,
    median,
    rank_test,
    shift_of,
    trend,
    unrecorded_step,
    usual_conditions,
    usual_range,
)

NEWEST = 60
"""Readings a trend is worked out from, the newest: pairs grow with the square of their number."""

BASELINE_MOST = 8
TIMES_LIMIT = 1.25
"""A fill or empty time may grow to this share of its baseline: common practice, no source."""

DIFFERENT_COUNTERS = 4


class WearVerdict(Enum):
    """How today's reading stands to the shown limit; the words are those of every status."""

    OUTSIDE = "outside"
    TOO_CLOSE = "too_close"
    WITHIN = "within"
    NO_READING = "no_reading"


@dataclass(frozen=True, slots=True)
class Quantity:
    """What is followed, and the words for it.

    label begins a line (``Fill``); unit of the values as given; worse and better are the words for growing
    so (``slower``, ``quicker``); per is the wear counter in words (``an hour``), counter its plural
    (``pump-hours``); resolution of the gauge and decimals of a value; upper: larger is worse, and the
    limit a most.
    """

    label: str
    unit: str
    worse: str = "more"
    better: str = "less"
    per: str = "an hour"
    counter: str = "hours"
    resolution: float = 0.0
    decimals: int = 1
    upper: bool = True


@dataclass(frozen=True, slots=True)
class Point:
    """One reading: the wear counter, the value, its ± (u95), and the conditions it was taken under."""

    at: float
    value: float
    u95: float = 0.0
    conditions: Conditions = field(default_factory=Conditions)


@dataclass(frozen=True, slots=True)
class Cut:
    """A change of part, repair, regreasing, meter or water: nothing is compared across it."""

    at: float
    why: str
    on: date | None = None


@dataclass(frozen=True, slots=True)
class LimitLine:
    """The limit worked out, and as shown (rounded to the safe side)."""

    value: float
    shown: float


@dataclass(frozen=True, slots=True)
class Wear:
    """One quantity: readings before the last cut and since, its trend, and what may be said.

    since holds only like readings; unlike are those since the cut left out for their conditions. trend is
    None under two readings; usual is where the newest was expected (None under five before it).
    """

    quantity: Quantity
    before: tuple[Point, ...]
    since: tuple[Point, ...]
    unlike: tuple[Point, ...]
    cut: Cut | None
    limit: LimitLine | None
    verdict: WearVerdict
    trend: Trend | None
    crossing: Crossing | None
    usual: UsualRange | None
    step: Step | None
    change: Shift | None

    @property
    def n(self) -> int:
        """Like readings since the cut."""
        return len(self.since)

    @property
    def voice(self) -> Voice:
        """How much the readings let one say."""
        return self.trend.voice if self.trend is not None else Voice.SILENT

    @property
    def newest(self) -> Point | None:
        """The latest like reading."""
        return self.since[-1] if self.since else None

    @property
    def is_unusual(self) -> bool:
        """The newest reading lies outside what those before it let expect."""
        if self.usual is None or self.newest is None:
            return False
        return not self.usual.low <= self.newest.value <= self.usual.high


def baseline_of(points: Sequence[Point]) -> float | None:
    """Median of the first five to eight readings of a segment, frozen; None under five."""
    if len(points) < BASELINE_LEAST:
        return None
    return median([point.value for point in points[:BASELINE_MOST]])


def time_limit(baseline: float) -> float:
    """Limit of a fill or empty time: 1.25 of its baseline, in the unit of the baseline."""
    return TIMES_LIMIT * baseline


def _judge(point: Point | None, limit: LimitLine | None, upper: bool) -> WearVerdict:
    if point is None or limit is None:
        return WearVerdict.NO_READING
    sign = 1.0 if upper else -1.0
    slack = 1e-9 * max(abs(point.value), abs(limit.shown), 1e-12)
    room = sign * (limit.shown - point.value)
    if room < -slack:
        return WearVerdict.OUTSIDE
    return WearVerdict.WITHIN if point.u95 <= room + slack else WearVerdict.TOO_CLOSE


def _split(points: Sequence[Point], cuts: Sequence[Cut]) -> tuple[list[Point], list[Point], Cut | None]:
    ordered = sorted(points, key=lambda point: point.at)
    last = max(cuts, key=lambda cut: cut.at) if cuts else None
    if last is None:
        return [], ordered, None
    start = max((cut.at for cut in cuts if cut.at < last.at), default=float("-inf"))
    before = [point for point in ordered if start <= point.at < last.at]
    return before, [point for point in ordered if point.at >= last.at], last


def _like(points: Sequence[Point]) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    usual = usual_conditions([point.conditions for point in points])
    like = tuple(point for point in points if alike(point.conditions, usual))
    return like[-NEWEST:], tuple(point for point in points if not alike(point.conditions, usual))


def _trend(quantity: Quantity, points: Sequence[Point]) -> Trend | None:
    xs = [point.at for point in points]
    if len(set(xs)) < 2:
        return None
    return trend(xs, [point.value for point in points], quantity.resolution)


def _change(before: Sequence[Point], since: Sequence[Point]) -> Shift | None:
    """By how much the last change of part moved the readings, where the ranks can tell at all."""
    if not can_judge(len(before), len(since)):
        return None
    earlier = [point.value for point in before[-NEWEST:]]
    later = [point.value for point in since]
    if rank_test(earlier, later).p > 0.05:
        return None
    return shift_of(earlier, later)


def wear(
    quantity: Quantity, points: Sequence[Point], cuts: Sequence[Cut] = (), limit: LimitLine | None = None
) -> Wear:
    """Everything that may be said of one quantity from its readings, in any order.

    points and cuts stand on the same wear counter, which goes on over changes of part; a reading at a cut
    belongs to the new part. Only readings under like conditions are compared (volts 3 %, 5 K, same water).
    """
    earlier, later, cut = _split(points, cuts)
    since, unlike = _like(later)
    before, _ = _like(earlier)
    found = _trend(quantity, since)
    met = None
    if found is not None and limit is not None:
        met = crossing(found, limit.value, since[-1].value, upper=quantity.upper)
    values = [point.value for point in since]
    return Wear(
        quantity=quantity,
        before=before,
        since=since,
        unlike=unlike,
        cut=cut,
        limit=limit,
        verdict=_judge(since[-1] if since else None, limit, quantity.upper),
        trend=found,
        crossing=met,
        usual=usual_range(values[:-1], quantity.resolution) if values else None,
        step=unrecorded_step(values),
        change=_change(before, since),
    )


def too_few(found: Wear) -> bool:
    """Whether there are too few like readings, or too few different counters, to tell anything."""
    different = len({point.at for point in found.since})
    return found.n < TREND_LEAST or different < DIFFERENT_COUNTERS
