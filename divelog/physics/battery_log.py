"""What a run took out of the pack, by five methods, and what the log says of the next run.

Draw is carried as mean current in ampere: 0.05 A h a minute is 3.0 A.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from divelog.physics.battery_chemistry import FACTS, Chemistry
from divelog.physics.electrical import AMPERE_HOUR, HOUR
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import Amperes, Coulombs, Ratio, Seconds

PUT_BACK_U95: Ratio = 0.10
"""Of what a charger's counter shows (assumed)."""

COUNTER_U95: Ratio = 0.06
COUNTER_OFFSET_U95: Amperes = 0.040
"""Of a charge counter: its scale, and its zero (assumed)."""

REST_VOLTS_U95_LEAD: Ratio = 0.20
REST_VOLTS_U95_LITHIUM: Ratio = 0.30
"""Of a difference of two states of charge by rest volts, as a share of the capacity."""

BY_TIME_U95: Ratio = 0.50
BY_TIME_U95_CALIBRATED: Ratio = 0.20
GUESS_U95: Ratio = 1.00
"""Of minutes times current, before and after calibration; of a guess, which teaches nothing."""

PRIOR_SPREAD: Ratio = 0.35
"""One standard deviation of ln(draw) before any run is logged (assumed)."""

RUN_SPREAD: Ratio = 0.20
"""One standard deviation of ln(draw) from run to run, until six runs tell (assumed)."""

LEAST_RUN_SPREAD: Ratio = 0.10
RUNS_FOR_SPREAD = 6
RUNS_FOR_QUANTILE = 10

NINE_IN_TEN = 1.2816
"""Standard normal quantile of nine in ten."""


@dataclass(frozen=True, slots=True)
class ChargeUsed:
    """Charge a run took, coulombs, with its u95."""

    charge: Coulombs
    u95: Coulombs


def charge_from_put_back(
    *,
    chemistry: Chemistry,
    put_back: Coulombs,
    put_back_u95: Ratio = PUT_BACK_U95,
    efficiency: Ratio | None = None,
    efficiency_u95: Ratio | None = None,
) -> ChargeUsed:
    """Charge used, from what the charger put back: Q = η·Q_put, full before and full after.

    η is charge out over charge in, under 1: multiply. Dividing would overstate lead-acid use by 1/η² =
    1.38 and hide a dying pack.

    Args:
        chemistry: the pack's.
        put_back: coulombs the charger shows.
        put_back_u95: its relative u95.
        efficiency: η, default the chemistry's; `efficiency_u95` of it (absolute).

    Returns:
        Charge with u95 √(u95(put)² + (u95(η)/η)²).

    Trap: energy (W h) is not charge; a charger stopped early, or topping up a pack that lay, breaks it.
    Source of η: at the chemistry's table.
    """
    facts = FACTS[chemistry]
    eta = facts.charge_efficiency if efficiency is None else efficiency
    eta_u95 = facts.charge_efficiency_u95 if efficiency_u95 is None else efficiency_u95
    need_not_negative("charge put back", put_back / AMPERE_HOUR, "A h")
    need_within("charge efficiency", eta, 0.3, 1.0)
    need_not_negative("± of the charge efficiency", eta_u95)
    need_not_negative("± of the charge put back", put_back_u95)
    charge = eta * put_back
    return ChargeUsed(charge=charge, u95=charge * math.hypot(put_back_u95, eta_u95 / eta))


def charge_from_counter(
    *, counted: Coulombs, elapsed: Seconds, offset: Amperes = 0.0, offset_u95: Amperes = COUNTER_OFFSET_U95
) -> ChargeUsed:
    """Charge used, from a counter in the lead: Q = ∫I dt - I_off·t; u95 6 % + 40 mA·t (zero it dry: less).

    Not below 0.
    """
    need_not_negative("counted charge", counted / AMPERE_HOUR, "A h")
    need_not_negative("counted time", elapsed / HOUR, "h")
    need_not_negative("± of the counter's zero", offset_u95, "A")
    charge = max(0.0, counted - offset * elapsed)
    return ChargeUsed(charge=charge, u95=COUNTER_U95 * charge + offset_u95 * elapsed)


def charge_from_rest_volts(
    *, chemistry: Chemistry, before: Ratio, after: Ratio, capacity: Coulombs, health: Ratio
) -> ChargeUsed:
    """Charge used, from the states of charge by rest volts before and after: Q = (s1 - s2)·C·h.

    u95 0.20·C lead-acid, 0.30·C lithium of 4.20 V.

    Raises:
        OutOfRangeError: iron phosphate and nickel, whose volts say nothing; a pack fuller after than before.
    """
    if not (chemistry is Chemistry.LEAD_ACID or chemistry.is_lithium_cobalt):
        raise OutOfRangeError(f"The rest volts of {chemistry} cannot tell what a run took.")
    need_within("state of charge before", before, 0.0, 1.0)
    need_within("state of charge after", after, 0.0, 1.0)
    need_positive("pack's capacity", capacity / AMPERE_HOUR, "A h")
    need_within("health", health, 0.0, 1.5)
    if after > before:
        raise OutOfRangeError("The pack reads fuller after the run than before; let it rest and read again.")
    share = REST_VOLTS_U95_LEAD if chemistry is Chemistry.LEAD_ACID else REST_VOLTS_U95_LITHIUM
    return ChargeUsed(charge=(before - after) * capacity * health, u95=share * capacity)


def charge_from_times(
    times_and_currents: Sequence[tuple[Seconds, Amperes]], *, calibrated: bool = False
) -> ChargeUsed:
    """Charge used, from times at currents: Q = Σ t·I; u95 50 %, calibrated 20 %."""
    for time, current in times_and_currents:
        need_not_negative("time", time, "s")
        need_not_negative("current", current, "A")
    charge = math.fsum(time * current for time, current in times_and_currents)
    return ChargeUsed(charge=charge, u95=charge * (BY_TIME_U95_CALIBRATED if calibrated else BY_TIME_U95))


def disagree(first: ChargeUsed, second: ChargeUsed) -> bool:
    """Whether two methods differ by more than their ± together, √(u95² + u95²)."""
    return abs(first.charge - second.charge) > math.hypot(first.u95, second.u95)


@dataclass(frozen=True, slots=True)
class LoggedDraw:
    """Mean current of a logged run, A, and the relative u95 of it (of its logarithm)."""

    current: Amperes
    u95: Ratio


@dataclass(frozen=True, slots=True)
class Draw:
    """What like runs are expected to draw.

    typical       half of runs draw less, A
    nine_in_ten   nine runs in ten draw less, A: plan with it
    log_mean      mean of ln(draw / 1 A)
    log_variance  its variance (one s.d. squared), without the spread from run to run
    run_spread    one s.d. of ln(draw) from run to run, as used
    pulled_in     places in the list of runs that lay too far off and were pulled in
    """

    typical: Amperes
    nine_in_ten: Amperes
    log_mean: float
    log_variance: float
    run_spread: float
    pulled_in: tuple[int, ...]


def expected_draw(
    *,
    predicted: Amperes,
    runs: Sequence[LoggedDraw],
    prior_spread: Ratio = PRIOR_SPREAD,
    run_spread: Ratio | None = None,
) -> Draw:
    """Draw of the next like run out of the prediction and the logged runs (log-normal shrinkage).

    Prior ln q ~ N(ln q0, τ²); run i has variance σ² + u_i². w_i = 1/(σ² + u_i²), v = 1/(1/τ² + Σw_i),
    m = v·(ln q0/τ² + Σ w_i·ln q_i); typical e^m, nine in ten e^(m + 1.2816·√(v + σ²)).
    A run further than 3·√(σ² + u_i²) from the first m is pulled in to that distance, once. From ten runs on
    their own nine-in-ten quantile stands if it is larger.

    Args:
        predicted: q0, mean current of the plan from the currents of the boat, A.
        runs: like runs since motor, propeller, seal or hull last changed; order does not matter.
        prior_spread: τ, one s.d. of ln q0.
        run_spread: σ, one s.d.; default 0.20, and from six runs on 1.4826 times their median absolute
            deviation, not under 0.10.

    Source: conjugate normal estimate with known variances (textbook); the spreads are assumed.

    Raises:
        OutOfRangeError: a current or spread not above zero, a negative u95.

    Trap: a surface potter and a dived sprint are not like runs; a mean is exceeded by half of the runs.
    """
    need_positive("predicted current", predicted, "A")
    need_positive("spread of the prediction", prior_spread)
    for run in runs:
        need_positive("logged current", run.current, "A")
        need_not_negative("± of a logged current", run.u95)
    logs = [math.log(run.current) for run in runs]
    sigma = _spread(logs) if run_spread is None else run_spread
    need_positive("spread from run to run", sigma)
    variances = [sigma**2 + (run.u95 / 2.0) ** 2 for run in runs]
    prior = math.log(predicted)
    first, _ = _posterior(prior, prior_spread, logs, variances)
    reaches = [3.0 * math.sqrt(variance) for variance in variances]
    pulled_in = tuple(i for i, log in enumerate(logs) if abs(log - first) > reaches[i])
    nearer = [min(max(log, first - reach), first + reach) for log, reach in zip(logs, reaches, strict=True)]
    mean, variance = _posterior(prior, prior_spread, nearer, variances)
    high = math.exp(mean + NINE_IN_TEN * math.sqrt(variance + sigma**2))
    if len(logs) >= RUNS_FOR_QUANTILE:
        high = max(high, _quantile([run.current for run in runs], 0.9))
    return Draw(
        typical=math.exp(mean),
        nine_in_ten=high,
        log_mean=mean,
        log_variance=variance,
        run_spread=sigma,
        pulled_in=pulled_in,
    )


def _spread(logs: Sequence[float]) -> float:
    if len(logs) < RUNS_FOR_SPREAD:
        return RUN_SPREAD
    middle = median(logs)
    return max(LEAST_RUN_SPREAD, 1.4826 * median(abs(log - middle) for log in logs))


def _posterior(
    prior: float, prior_spread: float, logs: Sequence[float], variances: Sequence[float]
) -> tuple[float, float]:
    weights = [1.0 / variance for variance in variances]
    variance = 1.0 / math.fsum([prior_spread**-2, *weights])
    weighted = (weight * log for weight, log in zip(weights, logs, strict=True))
    return variance * math.fsum([prior / prior_spread**2, *weighted]), variance


def _quantile(values: Sequence[float], share: float) -> float:
    """Quantile by straight lines between order statistics (type 7 of Hyndman & Fan 1996)."""
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    below = min(int(place), len(ordered) - 2)
    return ordered[below] + (place - below) * (ordered[below + 1] - ordered[below])
