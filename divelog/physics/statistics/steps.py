"""Did something change between two runs of readings, and by how much?"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, erfc, exp, sqrt

from divelog.physics.errors import OutOfRangeError
from divelog.physics.statistics.usual import median

STEP_LEAST = 12
EXACT_TOGETHER = 40


@dataclass(frozen=True, slots=True)
class RankTest:
    """Pairs in which the first sample is the larger (half for equal ones), and the two-sided chance."""

    u: float
    p: float


@dataclass(frozen=True, slots=True)
class Shift:
    """By how much the second sample lies over the first: median of all differences, 95 % interval."""

    shift: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Step:
    """A possible change nobody wrote down: after how many readings, its statistic, its chance."""

    after: int
    k: int
    p: float


def can_judge(before: int, after: int) -> bool:
    """Whether samples of this size can give a chance of at most 5 % at all: 3 with 5, 4 with 4, and up."""
    return min(before, after) >= 3 and 2.0 / comb(before + after, before) <= 0.05


def _doubled_ranks(values: Sequence[float]) -> list[int]:
    """Twice the rank of each value, equal ones sharing their mean rank."""
    ordered = sorted(values)
    first: dict[float, int] = {}
    last: dict[float, int] = {}
    for place, value in enumerate(ordered, start=1):
        first.setdefault(value, place)
        last[value] = place
    return [first[value] + last[value] for value in values]


def _rank_sums(ranks: Sequence[int], take: int) -> dict[int, int]:
    """How many choices of so many ranks have each sum."""
    ways: list[dict[int, int]] = [{} for _ in range(take + 1)]
    ways[0][0] = 1
    for rank in ranks:
        for chosen in range(take - 1, -1, -1):
            for total, count in ways[chosen].items():
                into = ways[chosen + 1]
                into[total + rank] = into.get(total + rank, 0) + count
    return ways[take]


def rank_test(before: Sequence[float], after: Sequence[float]) -> RankTest:
    """Whether two samples lie apart, by ranks alone; exact up to forty readings together, ties too.

    Source: Mann and Whitney 1947, from memory. Beyond forty the normal approximation with correction for
    ties and continuity.

    Raises:
        OutOfRangeError: an empty sample.
    """
    m, n = len(before), len(after)
    if not m or not n:
        raise OutOfRangeError("Both samples need at least one reading.")
    ranks = _doubled_ranks([*before, *after])
    found = sum(ranks[:m])
    u = (found - m * (m + 1)) / 2.0
    if m + n <= EXACT_TOGETHER:
        sums = _rank_sums(ranks, m)
        total = comb(m + n, m)
        below = sum(count for each, count in sums.items() if each <= found) / total
        above = sum(count for each, count in sums.items() if each >= found) / total
        return RankTest(u, min(1.0, 2.0 * min(below, above)))
    both = m + n
    groups = [ranks.count(rank) for rank in set(ranks)]
    tied = sum(size**3 - size for size in groups) / (both * (both - 1))
    spread = sqrt(m * n / 12.0 * (both + 1 - tied))
    if spread == 0.0:
        return RankTest(u, 1.0)
    z = max(0.0, abs(u - m * n / 2.0) - 0.5) / spread
    return RankTest(u, min(1.0, erfc(z / sqrt(2.0))))


def shift_of(before: Sequence[float], after: Sequence[float]) -> Shift:
    """By how much after lies over before: the median of all differences, with its exact 95 % interval.

    The interval runs from the C-th smallest to the C-th largest difference, C the largest number with a
    chance of at most 2.5 % for fewer than C such pairs; None for samples too small to reach 95 %, or more
    than forty together.
    Source: Hodges and Lehmann 1963; interval as Hollander and Wolfe, from memory.

    Raises:
        OutOfRangeError: an empty sample.
    """
    m, n = len(before), len(after)
    if not m or not n:
        raise OutOfRangeError("Both samples need at least one reading.")
    differences = sorted(later - earlier for earlier in before for later in after)
    middle = median(differences)
    if m + n > EXACT_TOGETHER:
        return Shift(middle, None, None)
    sums = _rank_sums([2 * place for place in range(1, m + n + 1)], m)
    by_u = sorted(((total - m * (m + 1)) // 2, count) for total, count in sums.items())
    total = comb(m + n, m)
    beyond = 0
    rank = 0
    for u, count in by_u:
        beyond += count
        if 40 * beyond <= total:
            rank = u + 1
    if rank == 0:
        return Shift(middle, None, None)
    return Shift(middle, differences[rank - 1], differences[len(differences) - rank])


def unrecorded_step(values: Sequence[float]) -> Step | None:
    """A likely change inside a series, to be asked about ("did something change?"), never acted upon.

    U_k = sum of sgn(y_i - y_j) for i <= k < j, K = max |U_k|, chance about 2 exp(-6 K^2/(n^3 + n^2)).
    None under twelve readings, or when the chance is over 5 %.
    Source: Pettitt 1979, from memory.
    """
    n = len(values)
    if n < STEP_LEAST:
        return None
    best, after = 0, 0
    for k in range(1, n):
        u = sum((early > late) - (early < late) for early in values[:k] for late in values[k:])
        if abs(u) > abs(best):
            best, after = u, k
    p = 2.0 * exp(-6.0 * best**2 / (n**3 + n**2))
    return Step(after, abs(best), p) if p <= 0.05 else None
