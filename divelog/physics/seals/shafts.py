"""Seals round a shaft that turns: what they hold, what grease holds, and what the current says of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import exp, inf, pi, pow, sqrt

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import (
    GRAVITY,
    Amperes,
    CubicMetres,
    CubicMetresPerSecond,
    GaugePascals,
    Hertz,
    Kilograms,
    KilogramsPerCubicMetre,
    Metres,
    MetresPerSecond,
    NewtonMetres,
    NewtonMetresPerAmpere,
    Pascals,
    PascalSeconds,
    RadiansPerVoltSecond,
    Ratio,
    Seconds,
    Volts,
    Watts,
)


class ShaftSeal(Enum):
    """Kinds of seal round a shaft."""

    LIP = "lip"
    PRESSURE_LIP = "pressure_lip"
    RING = "piston_ring"
    FACE = "face"
    BELLOWS = "bellows"
    MAGNETIC = "magnetic"
    PACKED = "gland"


@dataclass(frozen=True, slots=True)
class Holds:
    """What a kind holds: pressure turning, pressure standing still, and the fastest rubbing speed."""

    turning: Pascals
    still: Pascals
    speed: MetresPerSecond | None


SHAFT_PRESSURE_SPREAD: Ratio = 0.3
"""u95 of the pressure a shaft seal holds, as a share of it: common practice, no source."""

_HOLDS = {
    ShaftSeal.LIP: Holds(20e3, 50e3, 4.0),
    ShaftSeal.PRESSURE_LIP: Holds(340e3, 340e3, 5.0),
    ShaftSeal.RING: Holds(500e3, 500e3, 1.0),
    ShaftSeal.FACE: Holds(500e3, 500e3, 5.0),
    ShaftSeal.BELLOWS: Holds(500e3, 500e3, 5.0),
}

_RUN_OUT = ((500, 0.30e-3), (1000, 0.25e-3), (2000, 0.18e-3), (4000, 0.12e-3), (6000, 0.08e-3))


def holds(kind: ShaftSeal) -> Holds | None:
    """Pressure and speed a shaft seal bears; None for a magnetic coupling (no hole) and a packed tube.

    A plain lip 20 kPa turning, 50 kPa standing (two seal makers' pages give 0.2 bar at higher and 0.5 bar
    at low speed); in water or grease at most 4 m/s (from memory). A pressure lip 340 kPa at 5 m/s (a bearing
    maker's page). A ring on the shaft 0.5 MPa and 1 m/s, a face seal or bellows 0.5 MPa and 5 m/s (seal
    handbooks, from memory). A shaft that turns at all counts as turning. A lip seals one way only.
    """
    return _HOLDS.get(kind)


def rubbing_speed(diameter: Metres, turns: Hertz) -> MetresPerSecond:
    """Speed at the seal, pi d n, with the shaft's diameter in metres and n in revolutions a second."""
    if diameter <= 0.0 or turns < 0.0:
        raise OutOfRangeError("A shaft needs a diameter, and its speed cannot be less than nothing.")
    return pi * diameter * turns


def seal_depth(
    pressure: Pascals, inside: GaugePascals, density: KilogramsPerCubicMetre, above_keel: Metres = 0.0
) -> Metres:
    """Keel depth at which the water stands on a seal with the pressure it holds, in metres.

    (p_seal + p_inside)/(rho g) + z. inside is the gauge pressure within, negative for a vacuum, which uses
    up part of what the seal holds; z is how high the seal sits above the keel.
    """
    if density <= 0.0:
        raise OutOfRangeError("The water's density must be greater than nothing.")
    return (pressure + inside) / (density * GRAVITY) + above_keel


def most_run_out(turns: Hertz) -> Metres:
    """Total run-out a nitrile lip follows at a speed in revolutions a second, in metres.

    0.3 mm to 500 a minute, 0.25 to 1000, 0.18 to 2000, 0.12 to 4000, 0.08 to 6000, 0.06 beyond.
    Source: radial shaft seal catalogue diagrams, from memory. The seal's eccentricity is half the run-out.
    """
    if turns < 0.0:
        raise OutOfRangeError("A shaft's speed cannot be less than nothing.")
    per_minute = turns * 60.0
    for limit, run_out in _RUN_OUT:
        if per_minute <= limit * (1.0 + 1e-9):  # 2000/60*60 is a hair over 2000
            return run_out
    return 0.06e-3


def grease_volume(tube: Metres, shaft: Metres, length: Metres, share: Ratio = 0.9) -> CubicMetres:
    """Grease in a tube round a shaft, (pi/4)(D^2 - d^2) L times the share filled, in cubic metres."""
    if not 0.0 <= shaft <= tube or length < 0.0:
        raise OutOfRangeError("The tube must be at least as wide as the shaft, and have a length.")
    if not 0.0 < share <= 1.0:
        raise OutOfRangeError("The share filled must be over 0 and at most 1.")
    return pi / 4.0 * (tube**2 - shaft**2) * length * share


GREASE_DENSITY = {"mineral": 900.0, "silicone": 1000.0, "PFPE": 1900.0}
"""Density of grease by its oil, kg/m3: from memory."""


def grease_mass(volume: CubicMetres, density: KilogramsPerCubicMetre = 900.0) -> Kilograms:
    """Mass of that grease, kilograms."""
    return volume * density


def refill_interval(volume: CubicMetres, loss: CubicMetresPerSecond, usable: Ratio = 0.3) -> Seconds:
    """Shaft time until the usable share of the grease is gone, V u / q, in seconds.

    loss comes from the log (grease refilled by shaft hours) before it comes from a sum. No loss: without
    end (infinity). The usable share of 0.3 is common practice, no source.
    """
    if volume < 0.0 or loss < 0.0 or not 0.0 < usable <= 1.0:
        raise OutOfRangeError("Volume, loss and usable share cannot be less than nothing.")
    return inf if loss == 0.0 else volume * usable / loss


@dataclass(frozen=True, slots=True)
class Gap:
    """A length of grease between shaft and wall: clearance radial (not diametral), both in metres."""

    clearance: Metres
    length: Metres


@dataclass(frozen=True, slots=True)
class Paste:
    """A grease as a yielding paste, stress = yielding + consistency * rate^index.

    Pa, Pa s^m, and m. Defaults for the second class of worked penetration (265 to 295 tenths of a
    millimetre) at 20 degC: grease rheology papers, from memory; good to a factor of three.
    """

    yielding: Pascals = 300.0
    consistency: float = 20.0
    index: float = 0.4


LASTING_YIELD: Pascals = 100.0
"""Yield stress to count on for a hold of minutes to hours: from memory."""


def yield_at(yielding: Pascals, above_twenty: float) -> Pascals:
    """Yield stress at a temperature so many kelvin above 20 degC, falling by 2 % a kelvin.

    Source: Cyriac, Lugt and Bosman 2015 (it falls exponentially); the rate from memory.
    """
    return yielding * exp(-0.02 * above_twenty)


def _check_gaps(gaps: Sequence[Gap]) -> None:
    if not gaps:
        raise OutOfRangeError("A packed tube needs at least one length of grease.")
    for gap in gaps:
        if not 20e-6 <= gap.clearance <= 3e-3 or gap.length <= 0.0:
            raise OutOfRangeError(
                f"A radial clearance of {gap.clearance * 1e6:.4g} micrometres is outside 20 to 3000, or its "
                "length is missing."
            )


def still_hold(gaps: Sequence[Gap], yielding: Pascals = LASTING_YIELD) -> Pascals:
    """Pressure that gaps full of grease hold while the shaft stands still, the sum of 2 tau L / c.

    Good to a factor of three; information, never a depth limit by itself.
    Source: force balance on a plug between two walls, exact for an annulus.
    """
    _check_gaps(gaps)
    return sum(2.0 * yielding * gap.length / gap.clearance for gap in gaps)


def running_viscosity(gap: Gap, diameter: Metres, turns: Hertz, paste: Paste) -> PascalSeconds:
    """Thickness of the grease as it is sheared between a turning shaft and its wall, stress over rate."""
    rate = pi * diameter * turns / gap.clearance
    if rate <= 0.0:
        raise OutOfRangeError("The shaft must be turning.")
    return (paste.yielding + paste.consistency * pow(rate, paste.index)) / rate


def running_loss(
    gaps: Sequence[Gap], diameter: Metres, turns: Hertz, difference: Pascals, paste: Paste | None = None
) -> CubicMetresPerSecond:
    """Grease that creeps out of a turning packed tube under a pressure difference, cubic metres a second.

    The grease yields sideways already, so it creeps along like a thick oil:
    q = dp / sum(12 eta L / (pi (d + c) c^3)). Good to a factor of five: correct it with the log.
    Traps: the long column holds nothing while it turns, the close bushes do; a worn bush eats grease.
    """
    _check_gaps(gaps)
    grease = paste or Paste()
    resistance = sum(
        12.0
        * running_viscosity(gap, diameter, turns, grease)
        * gap.length
        / (pi * (diameter + gap.clearance) * gap.clearance**3)
        for gap in gaps
    )
    return difference / resistance


def torque_constant(speed_constant: RadiansPerVoltSecond) -> NewtonMetresPerAmpere:
    """Torque for each ampere of a motor, 1/K_v with K_v in rad/(V s); the same number as its volts a rad/s.

    300 revolutions a minute for each volt are 31.4 rad/(V s), so 0.0318 N m/A.
    """
    if speed_constant <= 0.0:
        raise OutOfRangeError("A motor's speed for each volt must be greater than nothing.")
    return 1.0 / speed_constant


def added_drag(speed_constant: RadiansPerVoltSecond, added: Amperes) -> NewtonMetres:
    """Friction torque behind a change of no-load current, N m."""
    return torque_constant(speed_constant) * added


def seal_heat(drag: NewtonMetres, turns: Hertz) -> Watts:
    """Heat set free at a seal by a friction torque at a speed in revolutions a second."""
    return drag * 2.0 * pi * turns


@dataclass(frozen=True, slots=True)
class CurrentBand:
    """Usual no-load current: low (coupling slips below) and high (dry, tight or bent above)."""

    low: Amperes
    high: Amperes


def no_load_band(median: Amperes, spread: Amperes, motor_alone: Amperes | None = None) -> CurrentBand:
    """Band of no-load current round its baseline, M +/- max(0.20 M, 3 sigma).

    spread is one standard deviation of the baseline. With the motor's own current known, a slipping
    coupling shows already under I_m + 0.25 (M - I_m), which is taken where it is higher (at most M).
    Source: common practice, no source; the 20 % floor keeps a baseline of eight readings quiet.

    Raises:
        OutOfRangeError: no current in the baseline.
    """
    if median <= 0.0 or spread < 0.0:
        raise OutOfRangeError("A no-load baseline must be greater than nothing.")
    half = max(0.20 * median, 3.0 * spread)
    low = max(0.0, median - half)
    if motor_alone is not None and 0.0 < motor_alone < median:
        low = max(low, motor_alone + 0.25 * (median - motor_alone))
    return CurrentBand(low, median + half)


def current_at_volts(current: Amperes, at: Volts, wanted: Volts) -> Amperes:
    """No-load current carried to other volts, I sqrt(U/U_ref), within 10 % only.

    Source: common practice, no source (mixed friction).

    Raises:
        OutOfRangeError: the volts differ by more than 10 %: no comparison.
    """
    if at <= 0.0 or abs(wanted / at - 1.0) > 0.10:
        raise OutOfRangeError("No-load currents compare only at volts within 10 % of each other.")
    return current * sqrt(wanted / at)
