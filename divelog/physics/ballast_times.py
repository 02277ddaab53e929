"""A boat's own fill and empty times: what they say about the pump, and the band the next one must fall
into."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_positive, need_within
from divelog.physics.si import CubicMetres, CubicMetresPerSecond, Metres, Ratio, Seconds

LIMIT_SHARE: Ratio = 1.25
NOTICE_SHARE: Ratio = 1.15
SHORT_SHARE: Ratio = 0.70
HOLD_SHARE: Ratio = 1.5
"""Over the predicted time: limit, word of notice, "not a full stroke", and what a failsafe must keep trying
for (common practice, no source)."""

LIKE_TIMES: int = 5
LEAST_HALF_WIDTH: Ratio = 0.10
DEVIATION_SCALE = 1.4826
"""Median absolute deviation to one standard deviation, 1/Φ⁻¹(3/4), for normal scatter."""


@dataclass(frozen=True, slots=True)
class TimeBand:
    """Times to hold the next stroke against, s."""

    short_under: Seconds
    notice_from: Seconds
    most: Seconds


def predicted_time(by_volts: Seconds, by_model: Seconds, head_measured: bool) -> Seconds:
    """Model time where the pump's head is measured, else the longer of model and volts alone, in s."""
    need_positive("time by volts", by_volts, "s")
    need_positive("time by the model", by_model, "s")
    return by_model if head_measured else max(by_volts, by_model)


def time_band(by_volts: Seconds, by_model: Seconds, head_measured: bool) -> TimeBand:
    """Band from a baseline: at most 1.25 of the prediction, notice from 1.15, short under 0.7 of the lesser
    time."""
    predicted = predicted_time(by_volts, by_model, head_measured)
    return TimeBand(
        short_under=SHORT_SHARE * min(by_volts, by_model),
        notice_from=NOTICE_SHARE * predicted,
        most=LIMIT_SHARE * predicted,
    )


def learned_band(ratios: Sequence[Ratio]) -> tuple[Ratio, Ratio]:
    """Band of timed over predicted from five or more like strokes, never wider than 0.7 … 1.25.

    Median ± max(3 × 1.4826 × median absolute deviation, 10 %).
    """
    if len(ratios) < LIKE_TIMES:
        raise OutOfRangeError(f"Give at least {LIKE_TIMES} like times.")
    for ratio in ratios:
        need_positive("timed over predicted", ratio)
    middle = statistics.median(ratios)
    deviation = statistics.median(abs(r - middle) for r in ratios)
    half = max(3.0 * DEVIATION_SCALE * deviation, LEAST_HALF_WIDTH * middle)
    return max(SHORT_SHARE, middle - half), min(LIMIT_SHARE, middle + half)


def flow_factor(ratios: Sequence[Ratio]) -> Ratio:
    """Factor k of the pump's times, the median of the last five timed over predicted; Q₀ becomes Q₀/k.

    Cut the series at every change of pump, hose or valve.
    """
    if not ratios:
        raise OutOfRangeError("Give at least one time.")
    for ratio in ratios:
        need_positive("timed over predicted", ratio)
    return statistics.median(ratios[-LIKE_TIMES:])


@dataclass(frozen=True, slots=True)
class PumpFigures:
    """Free flow (m³/s) and shut-off head (m) of a pump, as installed, with u95 of the head."""

    free_flow: CubicMetresPerSecond
    pump_head: Metres
    pump_head_u95: Metres


def pump_from_two_depths(
    volume: CubicMetres,
    head_1: Metres,
    time_1: Seconds,
    head_2: Metres,
    time_2: Seconds,
    time_share_u95: Ratio = 0.02,
) -> PumpFigures:
    """Linear pump from one stroke timed at two mean heads: H_s = (Q₁H₂ − Q₂H₁)/(Q₁ − Q₂), Q₀ = Q₁/(1 −
    H₁/H_s).

    Q_i = V/t_i. Needs heads 0.5 m apart and a deep time at least 1.1 of the shallow one, else refuses: the
    head would be noise. u95(H_s) by first order from a relative u95 of each time.
    """
    need_positive("volume moved", volume, "m³")
    need_positive("time", time_1, "s")
    need_positive("time", time_2, "s")
    need_within("relative ± of a time", time_share_u95, 0.0, 0.5)
    if head_2 < head_1:
        head_1, time_1, head_2, time_2 = head_2, time_2, head_1, time_1
    if head_2 - head_1 < 0.5:
        raise OutOfRangeError("Time the stroke at two depths at least 0.5 m apart.")
    if time_2 / time_1 < 1.1:
        raise OutOfRangeError("The deep time must be at least a tenth longer, or the head cannot be told.")
    flow_1, flow_2 = volume / time_1, volume / time_2
    drop = flow_1 - flow_2
    pump_head = (flow_1 * head_2 - flow_2 * head_1) / drop
    free_flow = flow_1 / (1.0 - head_1 / pump_head)
    # dH_s/dlnQ1 and dH_s/dlnQ2 are equal and opposite: Q1·Q2·(H1 − H2)/(Q1 − Q2)².
    sensitivity = flow_1 * flow_2 * (head_2 - head_1) / drop**2
    return PumpFigures(free_flow, pump_head, math.sqrt(2.0) * sensitivity * time_share_u95)
