"""How the log corrects the sums: factors drawn from a prior toward what was measured.

Everything is done in logarithms: twice and half average to one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Ratio
from divelog.physics.statistics.usual import median

PRIOR_NOISE: Ratio = 0.10
PRIOR_WEIGHT = 4
SCATTER: Ratio = 0.20
LEAK_SCATTER: Ratio = 0.70
"""How far sums of leaks and grease loss scatter round boats; other sums 0.20: common practice, no source."""

BOLD_LEAST = 3
NEWEST = 20


@dataclass(frozen=True, slots=True)
class Factor:
    """What to multiply a prediction by.

    value k, its spread (one s.d. of ln k), noise (one s.d. of ln of a single measurement), the weight the
    data have against the prior, and how many there were.
    """

    value: Ratio
    spread: float
    noise: float
    weight: Ratio
    n: int

    def range95(self, predicted: float) -> tuple[float, float, float]:
        """Corrected value and the range a next measurement falls in with 95 % chance: (value, low, high)."""
        centre = self.value * predicted
        half = 1.96 * sqrt(self.spread**2 + self.noise**2)
        return centre, centre * exp(-half), centre * exp(half)


def factor_of(ratios: Sequence[float], scatter: Ratio = SCATTER) -> Factor:
    """Factor from measured over predicted, each with its own day's inputs; the newest twenty count.

    l = ln ratio, noise^2 = (4 0.1^2 + (n - 1) s^2)/(n + 3), weight = n tau^2/(n tau^2 + noise^2),
    k = exp(weight mean l). From five on the median of l replaces a mean that lies more than the noise from it.
    Source: normal-normal shrinkage (Gelman et al., Bayesian Data Analysis, from memory); the prior
    numbers are common practice, no source.

    Raises:
        OutOfRangeError: a ratio not greater than nothing.
    """
    if any(ratio <= 0.0 for ratio in ratios):
        raise OutOfRangeError("Measured and predicted values must be greater than nothing.")
    logs = [log(ratio) for ratio in ratios[-NEWEST:]]
    n = len(logs)
    if n == 0:
        return Factor(1.0, scatter, PRIOR_NOISE, 0.0, 0)
    centre = sum(logs) / n
    squares = sum((each - centre) ** 2 for each in logs)
    noise = sqrt((PRIOR_WEIGHT * PRIOR_NOISE**2 + squares) / (n + 3))
    if n >= 5 and abs(median(logs) - centre) > noise:
        centre = median(logs)
    weight = n * scatter**2 / (n * scatter**2 + noise**2)
    spread = 1.0 / sqrt(1.0 / scatter**2 + n / noise**2)
    return Factor(exp(weight * centre), spread, noise, weight, n)


def applies(factor: Factor) -> bool:
    """Whether a factor may be used: outside 0.5 to 2 the sum does not describe this boat."""
    return 0.5 <= factor.value <= 2.0


def cautious(factor: Factor, *, larger_is_bolder: bool) -> Ratio:
    """The factor for a safety value: with fewer than three measurements it never goes to the bolder side."""
    if factor.n >= BOLD_LEAST:
        return factor.value
    return min(1.0, factor.value) if larger_is_bolder else max(1.0, factor.value)
