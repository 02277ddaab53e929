"""What one person finds out with scales, string, stopwatch and multimeter: arithmetic from readings to a value.

Every function gives the value with its 95 % half-width. ``reach`` is the half-width the way of measuring can come to
at best, in the unit of the result; no spread of readings makes a result better than that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from divelog.physics import buoyancy, buoyancy_lead, cylinder_leak, stability
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive
from divelog.physics.si import (
    Amperes,
    Coulombs,
    CubicMetres,
    CubicMetresPerSecond,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    Pascals,
    PascalSeconds,
    Radians,
    Ratio,
    Seconds,
    Volts,
)

RANGE_FACTORS: Final = {3: 1.304, 4: 0.717, 5: 0.507, 6: 0.399, 7: 0.333, 8: 0.288, 9: 0.255, 10: 0.230}
"""95 % half-width of a mean as a multiple of the range of n readings.

Source: Lord 1947, Biometrika 34, 41 (the substitute t-ratio), from memory; a test proves them by random draws.
"""

RESISTANCE_SHARE: Final[Ratio] = 0.15
CHARGE_SHARE: Final[Ratio] = 0.10
SPEED_SHARE: Final[Ratio] = 0.15
RIGHTING_SHARE: Final[Ratio] = 0.20
AIR_SHARE: Final[Ratio] = 0.10
BALLAST_SHARE: Final[Ratio] = 0.02
PACE_SHARE: Final[Ratio] = 0.03
"""What these ways of measuring reach at best, 95 %. All common practice, no source."""

PACES_COUNTED: Final = 20
BLOWS_COUNTED: Final = 5


@dataclass(frozen=True, slots=True)
class Found:
    """A value and its 95 % half-width, SI."""

    value: float
    u95: float


def spread(readings: Sequence[float]) -> float:
    """95 % half-width of a mean by what its readings show: 0 for one, half the gap of two, by their range from three.

    Two readings are a bracket (gone, seen again), not repeats: between them the truth lies. Source: as
    ``RANGE_FACTORS``; over ten readings the factor of ten (common practice, no source).
    """
    if len(readings) < 2:
        return 0.0
    width = max(readings) - min(readings)
    return width / 2.0 if len(readings) == 2 else RANGE_FACTORS[min(len(readings), 10)] * width


def mean(readings: Sequence[float], *, reach: float) -> Found:
    """Mean of like readings; its ± the greater of what they spread and what the way of measuring reaches.

    A reading far off is a slip of the hand: the spread says so, and the person reads again.
    Raises OutOfRangeError without a reading.
    """
    _need(readings)
    need_not_negative("reach", reach)
    return Found(math.fsum(readings) / len(readings), max(reach, spread(readings)))


def least(readings: Sequence[float], *, reach: float) -> Found:
    """The least of the readings counts (depth at which a signal goes, thickness of a wall)."""
    _need(readings)
    need_not_negative("reach", reach)
    return Found(min(readings), reach)


def greatest(readings: Sequence[float], *, reach: float) -> Found:
    """The greatest of the readings counts (the deepest place)."""
    _need(readings)
    need_not_negative("reach", reach)
    return Found(max(readings), reach)


def _need(readings: Sequence[float]) -> None:
    if not readings:
        raise OutOfRangeError("Nothing has been read yet.")


# -- mass, lift and room --------------------------------------------------------------------------------------------


def coins(
    laid: Kilograms, last: Kilograms, density: KilogramsPerCubicMetre, coin: KilogramsPerCubicMetre
) -> Found:
    """Dived balance, kg upward: coins left when the one that sank her is off, (sum)(1 - rho/rho_coin); ± that coin.

    ``laid`` mass of the coins that stay, ``last`` of the one taken off. Coins lie in the water, so part of them is
    carried by it. Source: Archimedes' principle.
    """
    need_not_negative("mass of the coins", laid)
    need_positive("mass of the last coin", last, "kg")
    return Found(
        buoyancy_lead.effective_mass(laid, density, coin), buoyancy_lead.effective_mass(last, density, coin)
    )


def displaced(mass: Found, ballast: Found, balance: Found, density: KilogramsPerCubicMetre) -> Found:
    """Displaced volume, m3: (mass + rho ballast + net upward force) / rho; parts in squares.

    ``mass`` kg with the ballast empty, ``ballast`` m3, ``balance`` kg upward with the ballast in.
    Source: Archimedes' principle; JCGM 100:2008, 5.1.2.
    """
    volume = buoyancy.displaced_from_trim(mass.value, ballast.value, balance.value, density)
    return Found(volume, math.hypot(mass.u95 / density, ballast.u95, balance.u95 / density))


def ballast_by_weighing(
    full: Kilograms, empty: Kilograms, scale: Kilograms, density: KilogramsPerCubicMetre
) -> Found:
    """Ballast volume, m3: (full - empty) / rho; ± the greater of 2 % and two readings of the scale.

    ``scale`` u95 of one weighing, kg.
    """
    need_positive("water density", density, "kg/m³")
    if full <= empty:
        raise OutOfRangeError("Full weighs no more than empty: weigh again.")
    need_not_negative("± of the scale", scale, "kg")
    volume = (full - empty) / density
    return Found(volume, max(BALLAST_SHARE * volume, math.sqrt(2.0) * scale / density))


def air_inside(length: Metres, bore: Metres, contents: CubicMetres) -> Found:
    """Air in a cylinder, m3: inside length times the bore's area, less the contents dunked in a jug; ± 10 %."""
    need_positive("inside length", length, "m")
    need_positive("bore", bore, "m")
    room = math.pi / 4.0 * bore**2 * length
    if not 0.0 <= contents < room:
        raise OutOfRangeError("The contents take more room than the cylinder has.")
    return Found(room - contents, AIR_SHARE * (room - contents))


def gas_of_a_blow(before: Kilograms, after: Kilograms, scale: Kilograms, blows: int = BLOWS_COUNTED) -> Found:
    """Gas of one blow, kg: what the bottle lost over several; ± two readings of the scale, shared among them.

    ``scale`` u95 of one weighing, kg.
    """
    if blows < 1:
        raise OutOfRangeError("At least one blow is counted.")
    if after >= before:
        raise OutOfRangeError("The bottle weighs no less than before: weigh again.")
    need_not_negative("± of the scale", scale, "kg")
    return Found((before - after) / blows, math.sqrt(2.0) * scale / blows)


# -- volts, amperes, minutes ----------------------------------------------------------------------------------------


def resistance(volts: Volts, current: Amperes, volts_loaded: Volts, current_loaded: Amperes) -> Found:
    """Resistance of a pack, ohm: fall of volts over rise of current, two loads; ± 15 %. Source: Ohm's law."""
    if current_loaded <= current:
        raise OutOfRangeError("The second load takes no more amperes than the first.")
    if volts_loaded >= volts:
        raise OutOfRangeError("The volts do not fall under the larger load: read again.")
    value = (volts - volts_loaded) / (current_loaded - current)
    return Found(value, RESISTANCE_SHARE * value)


def charge_rate(charge: Coulombs, run: Seconds) -> Found:
    """Mean current of a run, A: charge put back over the time run; ± 10 %."""
    need_positive("charge put back", charge, "C")
    need_positive("time run", run, "s")
    return Found(charge / run, CHARGE_SHARE * charge / run)


# -- speed, paces, stability ----------------------------------------------------------------------------------------


def speed(distance: Metres, times: Sequence[Seconds]) -> Found:
    """Speed over a course, m/s: all the way over all the time, both ways so that wind and current cancel; ± 15 %.

    The mean of times, not of speeds: the slow way lasts longer. With more than 40 % between two times the ± is what
    they spread.
    """
    need_positive("distance", distance, "m")
    _need(times)
    for time in times:
        need_positive("time", time, "s")
    value = len(times) * distance / math.fsum(times)
    apart = abs(distance / min(times) - distance / max(times)) / 2.0
    return Found(value, max(SPEED_SHARE * value, apart))


def pace(distance: Metres, paces: int = PACES_COUNTED) -> Found:
    """One pace, m: a known way over the paces it took; ± 3 %."""
    need_positive("distance", distance, "m")
    if paces < 1:
        raise OutOfRangeError("At least one pace is counted.")
    return Found(distance / paces, PACE_SHARE * distance / paces)


def righting(
    coin: Kilograms,
    across: Metres,
    angle: Radians,
    mass: Kilograms,
    density: KilogramsPerCubicMetre,
    coin_density: KilogramsPerCubicMetre,
) -> Found:
    """B above G dived, m: a coin laid ``across`` m from the middle lists her, w a / (m tan angle); ± 20 %.

    The coin lies in the water: its own lift is taken off. ``mass`` of the boat dived, kg.
    Source: the inclining test, Barrass and Derrett, Ship Stability for Masters and Mates.
    """
    need_positive("mass of the coin", coin, "kg")
    effective = buoyancy_lead.effective_mass(coin, density, coin_density)
    value = stability.righting_from_shift(effective, across, mass, angle)
    return Found(value, RIGHTING_SHARE * value)


# -- leak test ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Leak:
    """What a hold shows: the corrected fall (Pa) and the water such a leak lets in at the planned depth (m3/s).

    ``worst`` is the water with what an unknown path may add: see ``cylinder_leak.LEAK_FACTOR``.
    """

    fall: Found
    water: Found
    worst: CubicMetresPerSecond


def leak(
    start: cylinder_leak.GaugeReading,
    end: cylinder_leak.GaugeReading,
    hold: Seconds,
    *,
    volume: Found,
    noise_u95: Pascals,
    head: Pascals,
    air_viscosity: PascalSeconds,
    water_viscosity: PascalSeconds,
) -> Leak:
    """A leak out of two readings of gauge, barometer and thermometer.

    The fall (a rise, in a vacuum) is corrected for temperature and barometer and counts as a size; one that goes the
    other way is no leak and counts as none. ``volume`` air inside, m3; ``noise_u95`` of a corrected fall, Pa; ``head``
    pressure of the water across the seal at the planned depth, Pa. The ± joins fall and volume in squares.
    Source: as ``cylinder_leak.corrected_fall``, ``conductance`` and ``water_through``.
    """
    need_positive("length of the hold", hold, "s")
    need_positive("air inside", volume.value, "m³")
    need_not_negative("noise", noise_u95, "Pa")
    sign = 1.0 if start.gauge > 0.0 else -1.0
    fall = Found(sign * cylinder_leak.corrected_fall(start, end), noise_u95)
    test = start.absolute**2 - start.outside**2
    if test == 0.0:
        raise OutOfRangeError("A test without pressure shows no leak.")

    def water(pascals: Pascals) -> CubicMetresPerSecond:
        flow = cylinder_leak.throughput(volume=volume.value, fall=pascals, time=hold)
        return cylinder_leak.water_through(
            flow / abs(test), head=head, air_viscosity=air_viscosity, water_viscosity=water_viscosity
        )

    seen = max(0.0, fall.value)
    share = volume.u95 / volume.value
    rate = water(seen)
    u95 = math.hypot(water(noise_u95), rate * share)
    return Leak(fall, Found(rate, u95), cylinder_leak.LEAK_FACTOR * (rate + u95))
