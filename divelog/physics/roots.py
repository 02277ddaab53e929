"""Where a figure comes to nought."""

from collections.abc import Callable

_NEAR = 1e-13


def crossing(figure: Callable[[float], float], low: float, high: float) -> float:
    """Where a figure comes to nought between two places of unlike sign, to 1e-13 where it is smooth.

    Regula falsi with the Illinois change (Dowell & Jarratt, BIT 11, 1971). Without unlike signs, the place
    where the figure is the smaller.
    """
    at_low, at_high = figure(low), figure(high)
    if (at_low < 0.0) == (at_high < 0.0):
        return low if abs(at_low) < abs(at_high) else high
    side, middle = 0, low
    for _ in range(100):
        last, middle = middle, high - at_high * (high - low) / (at_high - at_low)
        middle = max(min(low, high), min(middle, max(low, high)))  # rounding may put it a hair outside
        here = figure(middle)
        if here == 0.0 or abs(middle - last) < _NEAR:
            break
        if (here < 0.0) == (at_high < 0.0):
            high, at_high = middle, here
            at_low = at_low / 2.0 if side > 0 else at_low
            side = 1
        else:
            low, at_low = middle, here
            at_high = at_high / 2.0 if side < 0 else at_high
            side = -1
    return middle
