"""Which readings may be compared: like conditions, or none."""

from collections.abc import Sequence
from dataclasses import dataclass

from divelog.physics.si import Kelvin, Volts
from divelog.physics.statistics.usual import median

VOLTS_APART = 0.03
"""Share by which volts may differ: common practice, no source."""

KELVIN_APART = 5.0
"""Kelvin by which temperatures may differ: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """What a reading was taken under; None where it was not written down."""

    volts: Volts | None = None
    temperature: Kelvin | None = None
    water: str | None = None


def _volts_like(one: Volts | None, usual: Volts | None) -> bool:
    return one is None or usual is None or abs(one - usual) <= VOLTS_APART * abs(usual) * (1 + 1e-9)


def _warmth_like(one: Kelvin | None, usual: Kelvin | None) -> bool:
    return one is None or usual is None or abs(one - usual) <= KELVIN_APART * (1 + 1e-9)


def alike(one: Conditions, usual: Conditions) -> bool:
    """Whether a reading was taken under the usual conditions: volts within 3 %, 5 K, the same water.

    What was not written down does not part two readings.
    """
    return (
        _volts_like(one.volts, usual.volts)
        and _warmth_like(one.temperature, usual.temperature)
        and (one.water is None or usual.water is None or one.water == usual.water)
    )


def usual_conditions(conditions: Sequence[Conditions]) -> Conditions:
    """Median volts and temperature, and the commonest water (the latest of equals) of some readings."""
    volts = [each.volts for each in conditions if each.volts is not None]
    warmth = [each.temperature for each in conditions if each.temperature is not None]
    waters = [each.water for each in conditions if each.water is not None]
    return Conditions(
        median(volts) if volts else None,
        median(warmth) if warmth else None,
        max(reversed(waters), key=waters.count) if waters else None,
    )
