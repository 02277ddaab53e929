"""Whether one thing rises with another, by counting pairs; exact for small samples."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from math import ceil, comb, erfc, prod, sqrt

from divelog.physics.errors import OutOfRangeError

EXACT_TO = 20
"""Readings up to which the chance is counted exactly when not both x and y have equal values."""

EXACT_BOTH_TIED_TO = 8


@dataclass(frozen=True, slots=True)
class Kendall:
    """Rising less falling pairs S, tau (corrected for equal values), and the two-sided chance p."""

    s: int
    tau: float
    p: float


def _sign(value: float) -> int:
    return (value > 0.0) - (value < 0.0)


def _ties(values: Sequence[float]) -> tuple[int, ...]:
    return tuple(sorted(Counter(values).values()))


@lru_cache(maxsize=64)
def orderings_by_inversions(groups: tuple[int, ...]) -> tuple[int, ...]:
    """How many orderings of groups of equal things have 0, 1, 2 … pairs the wrong way round.

    The Gaussian multinomial coefficient, as a product of binomial ones, in whole numbers.
    """
    counts = [1]
    total = 0
    for size in groups:
        total += size
        for i in range(1, size + 1):
            counts = _times_over(counts, total - size + i, i)
    return tuple(counts)


def _times_over(counts: list[int], up: int, down: int) -> list[int]:
    """Counts times (1 - q^up) over (1 - q^down); the division comes out even."""
    raised = counts + [0] * up
    for power in range(len(counts) - 1, -1, -1):
        raised[power + up] -= counts[power]
    for power in range(down, len(raised)):
        raised[power] += raised[power - down]
    return raised[: len(counts) + up - down]


@lru_cache(maxsize=64)
def _both_tied(x_groups: tuple[int, ...], y_groups: tuple[int, ...]) -> dict[int, int]:
    """Orderings by S when equal values stand in x (in order) and in y (values in order)."""
    states: dict[tuple[tuple[int, ...], int], int] = {(y_groups, 0): 1}
    for size in x_groups:
        following: dict[tuple[tuple[int, ...], int], int] = {}
        for (left, s), ways in states.items():
            for taken in product(*(range(min(count, size) + 1) for count in left)):
                if sum(taken) != size:
                    continue
                rest = tuple(count - take for count, take in zip(left, taken, strict=True))
                gain = sum(
                    take * (sum(rest[place + 1 :]) - sum(rest[:place])) for place, take in enumerate(taken)
                )
                more = ways * prod(comb(count, take) for count, take in zip(left, taken, strict=True))
                key = (rest, s + gain)
                following[key] = following.get(key, 0) + more
        states = following
    by_s: dict[int, int] = {}
    for (_, s), ways in states.items():
        by_s[s] = by_s.get(s, 0) + ways
    return by_s


def _in_order(values: Sequence[float]) -> tuple[int, ...]:
    counted = Counter(values)
    return tuple(counted[value] for value in sorted(counted))


def variance_of_s(n: int, x_ties: Sequence[int] = (), y_ties: Sequence[int] = ()) -> float:
    """Variance of S when nothing trends; ties are the sizes of groups of equal values.

    Source: Kendall 1975 (Rank Correlation Methods), as package pages on trend tests print it; with
    both tied, its two further terms, from memory (scipy uses the same).
    """

    def one(size: int) -> int:
        return size * (size - 1) * (2 * size + 5)

    def two(size: int) -> int:
        return size * (size - 1)

    def three(size: int) -> int:
        return size * (size - 1) * (size - 2)

    main = (one(n) - sum(map(one, x_ties)) - sum(map(one, y_ties))) / 18.0
    if n > 2:
        main += sum(map(three, x_ties)) * sum(map(three, y_ties)) / (9.0 * three(n))
    return main + sum(map(two, x_ties)) * sum(map(two, y_ties)) / (2.0 * two(n))


def _chance(s: int, xs: Sequence[float], ys: Sequence[float]) -> float:
    n = len(xs)
    x_ties, y_ties = _ties(xs), _ties(ys)
    x_tied, y_tied = x_ties[-1] > 1, y_ties[-1] > 1
    if x_tied and y_tied:
        if n <= EXACT_BOTH_TIED_TO:
            by_s = _both_tied(_in_order(xs), _in_order(ys))
            return sum(ways for value, ways in by_s.items() if abs(value) >= abs(s)) / sum(by_s.values())
    elif n <= EXACT_TO:
        counts = orderings_by_inversions(x_ties if x_tied else y_ties)
        most = len(counts) - 1
        beyond = sum(ways for wrong, ways in enumerate(counts) if abs(most - 2 * wrong) >= abs(s))
        return beyond / sum(counts)
    spread = sqrt(variance_of_s(n, x_ties, y_ties))
    if spread == 0.0 or s == 0:
        return 1.0
    return erfc((abs(s) - 1) / spread / sqrt(2.0))


def kendall(xs: Sequence[float], ys: Sequence[float]) -> Kendall:
    """S, tau-b and the two-sided chance that S is as far from 0 when nothing trends.

    Exact up to 20 readings unless both x and y have equal values (then up to 8), else by the normal
    approximation with continuity correction.
    Source: Kendall 1938, Mann 1945, from memory.

    Raises:
        OutOfRangeError: fewer than two readings, or x and y of different number.
    """
    n = len(xs)
    if n != len(ys) or n < 2:
        raise OutOfRangeError("A trend needs at least two readings, each with its counter.")
    s = sum(_sign(xs[j] - xs[i]) * _sign(ys[j] - ys[i]) for i in range(n) for j in range(i + 1, n))
    pairs = n * (n - 1) // 2
    x_same = sum(size * (size - 1) // 2 for size in _ties(xs))
    y_same = sum(size * (size - 1) // 2 for size in _ties(ys))
    unlike = (pairs - x_same) * (pairs - y_same)
    tau = s / sqrt(unlike) if unlike else 0.0
    return Kendall(s, tau, _chance(s, xs, ys))


@lru_cache(maxsize=64)
def interval_rank(n: int) -> int | None:
    """Rank m of the slopes that bound a 95 % interval: the m-th smallest and m-th largest.

    m = (N - k)/2 + 1, N the number of pairs, k the least S whose exact chance is at most 5 %; over 20
    readings k = 1.96 standard deviations of S, rounded up to N's parity. None under five readings: no
    pair of slopes reaches 95 %.
    """
    if n < 5:
        return None
    pairs = n * (n - 1) // 2
    if n > EXACT_TO:
        k = ceil(1.96 * sqrt(variance_of_s(n)))
        k += (pairs - k) % 2
        return (pairs - k) // 2 + 1
    counts = orderings_by_inversions((1,) * n)
    total = sum(counts)
    beyond = 0
    wrong = 0
    while 2 * (beyond + counts[wrong]) <= 0.05 * total:
        beyond += counts[wrong]
        wrong += 1
    return wrong
