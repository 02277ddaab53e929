"""Is it getting worse with use, how fast, and when would it meet its limit?

House rule: a number the data cannot carry is not given. Slopes are against the counter that wears the
part (hours, runs), not against the date.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from divelog.physics.errors import OutOfRangeError
from divelog.physics.statistics.pairs import Kendall, interval_rank, kendall
from divelog.physics.statistics.usual import median

TREND_LEAST = 6
DIFFERENT_LEAST = 4
SPEAKS_AT = 0.05
PERHAPS_AT = 0.10


class Voice(Enum):
    """How much the readings let one say of a trend."""

    SPEAKS = "speaks"
    PERHAPS = "perhaps"
    SILENT = "silent"


@dataclass(frozen=True, slots=True)
class Slope:
    """Median slope with its 95 % interval (None where too few readings give one), through the medians."""

    slope: float
    low: float | None
    high: float | None
    x_middle: float
    y_middle: float
    n: int

    def at(self, x: float) -> float:
        """Height of the line at x."""
        return self.y_middle + self.slope * (x - self.x_middle)


@dataclass(frozen=True, slots=True)
class Trend:
    """A slope, the count of rising and falling pairs, and how much that lets one say."""

    line: Slope
    pairs: Kendall
    voice: Voice
    first: float
    last: float


class Meeting(Enum):
    """What can be said of a trend and a limit."""

    AHEAD = "ahead"
    FAR = "not within the next span"
    AWAY = "moving away from it"
    PAST = "outside now"
    SILENT = "nothing"


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where the line meets a limit: at, soonest, latest. Only AHEAD carries numbers."""

    meeting: Meeting
    at: float | None = None
    soonest: float | None = None
    latest: float | None = None


def slope_of(xs: Sequence[float], ys: Sequence[float]) -> Slope:
    """Median of all pairwise slopes with an exact-rank 95 % interval (x and y in any units, n readings).

    Pairs with equal x give no slope and make the interval wider by their share.
    Source: Theil 1950, Sen 1968, from memory; ranks from exact counts of orderings.

    Raises:
        OutOfRangeError: fewer than two readings, or all at the same x.
    """
    n = len(xs)
    if n != len(ys) or n < 2:
        raise OutOfRangeError("A trend needs at least two readings, each with its counter.")
    points = sorted(zip(xs, ys, strict=True))
    slopes = sorted(
        (points[j][1] - points[i][1]) / (points[j][0] - points[i][0])
        for i in range(n)
        for j in range(i + 1, n)
        if points[j][0] > points[i][0]
    )
    if not slopes:
        raise OutOfRangeError("All readings stand at the same counter: no trend can be drawn.")
    low = high = None
    rank = interval_rank(n)
    if rank is not None:
        missing = n * (n - 1) // 2 - len(slopes)
        rank = max(1, rank - (missing + 1) // 2)
        low, high = slopes[rank - 1], slopes[len(slopes) - rank]
    return Slope(median(slopes), low, high, median(xs), median(ys), n)


def _voice(line: Slope, pairs: Kendall, different: int, rise: float, resolution: float) -> Voice:
    if line.n < TREND_LEAST or different < DIFFERENT_LEAST or line.low is None or line.high is None:
        return Voice.SILENT
    if pairs.p <= SPEAKS_AT and (line.low > 0.0 or line.high < 0.0) and abs(rise) > resolution:
        return Voice.SPEAKS
    return Voice.PERHAPS if pairs.p <= PERHAPS_AT else Voice.SILENT


def trend(xs: Sequence[float], ys: Sequence[float], resolution: float = 0.0) -> Trend:
    """Slope, pair count and how much they let one say.

    Speaks from six readings at four different counters, with a chance of at most 5 %, an interval that
    leaves out 0, and a rise over the data larger than the gauge's step (resolution, unit of y). Perhaps:
    a chance of at most 10 %. Else silent: show the points.

    Raises:
        OutOfRangeError: as `slope_of`.
    """
    line = slope_of(xs, ys)
    pairs = kendall(xs, ys)
    first, last = min(xs), max(xs)
    voice = _voice(line, pairs, len(set(xs)), line.slope * (last - first), resolution)
    return Trend(line, pairs, voice, first, last)


def crossing(found: Trend, limit: float, latest_value: float, *, upper: bool = True) -> Crossing:
    """Where a trend would meet its limit, shown only as far ahead as the readings look back.

    x* = x_m + (L - y_m)/b, from the steepest to the flattest slope of the interval. upper: the limit is a
    most (else a least). A latest value already beyond it is PAST. Wear is seldom straight; it usually
    comes sooner.
    """
    sign = 1.0 if upper else -1.0
    if sign * (latest_value - limit) > 0.0:
        return Crossing(Meeting.PAST)
    line = found.line
    if found.voice is not Voice.SPEAKS or line.low is None or line.high is None:
        return Crossing(Meeting.SILENT)
    slope = sign * line.slope
    if slope <= 0.0:
        return Crossing(Meeting.AWAY)
    steep, flat = (line.high, line.low) if upper else (-line.low, -line.high)
    room = sign * (limit - line.y_middle)
    at = line.x_middle + room / slope
    ahead = at - found.last
    if ahead > found.last - found.first:
        return Crossing(Meeting.FAR)
    # A trend that speaks leaves 0 out of its interval, so neither end is flat.
    ends = sorted(line.x_middle + room / each for each in (steep, flat))
    return Crossing(Meeting.AHEAD, at, ends[0], ends[1])
