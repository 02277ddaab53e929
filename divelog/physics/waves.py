"""Waves on small water: height, period and length from the wind, and how deep they are felt.

Wind is at 10 m. The growth formulas were fitted with g = 9.81 and keep it. Depths below the surface are
positive downwards. Not covered: wakes, fountains, walls (which double the height), swell.
"""

import math
from dataclasses import dataclass

from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    GRAVITY,
    Metres,
    MetresPerSecond,
    MetresPerSecondSquared,
    Ratio,
    Seconds,
)

GROWTH_GRAVITY: MetresPerSecondSquared = 9.81
"""The value the wave growth formulas were fitted with."""

STRONGEST_WIND: MetresPerSecond = 12.0
"""Above this the formulas are not asked: nobody sails a model submarine in it."""

SHORT_FETCH: Metres = 200.0
"""Up to this fetch the formulas are extrapolated: 40 % (95 %); above it 25 %."""

TENTH: float = 1.27
"""Mean of the highest tenth of the waves over the significant height (Rayleigh distributed heights)."""

CREST: float = 0.6
"""Crest above still water over the height of a short steep wave: half for a linear one, 0.65 to 0.7 at
breaking (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SeaState:
    """Waves: significant height with its u95, mean of the highest tenth, period and length; all 0 for ripples
    only.

    `full_after` is the time of steady wind until they are as high as the fetch lets them grow.
    """

    height: Metres
    height_u95: Metres
    period: Seconds
    length: Metres
    full_after: Seconds

    @property
    def ripples_only(self) -> bool:
        """Whether there is nothing to reckon with."""
        return self.height == 0.0

    @property
    def height_tenth(self) -> Metres:
        """Mean height of the highest tenth of the waves."""
        return TENTH * self.height

    @property
    def steepest_slope(self) -> Ratio:
        """Steepest slope of the higher waves, pi H/lambda radians, 0 for ripples."""
        return math.pi * self.height_tenth / self.length if self.length else 0.0


def wave_height_manual(
    wind: MetresPerSecond, fetch: Metres, depth: Metres, *, adjusted: bool = False
) -> tuple[Metres, Seconds]:
    """Significant height and period by the Shore Protection Manual, limited by fetch and depth.

    U_A = 0.71 U^1.23 (`adjusted`: `wind` is U_A already); with D = g d/U_A^2, X = g F/U_A^2:
    H = (U_A^2/g) 0.283 A tanh(0.00565 X^(1/2)/A), A = tanh(0.530 D^(3/4));
    T = (U_A/g) 7.54 B tanh(0.0379 X^(1/3)/B), B = tanh(0.833 D^(3/8)).
    Source: US Army Corps of Engineers 1984, Shore Protection Manual, eq. 3-28a, 3-39 and 3-40.
    """
    _check_growth(wind, fetch, depth)
    g = GROWTH_GRAVITY
    u = wind if adjusted else 0.71 * wind**1.23
    d, x = g * depth / u**2, g * fetch / u**2
    a = math.tanh(0.530 * d**0.75)
    b = math.tanh(0.833 * d**0.375)
    height = u * u / g * 0.283 * a * math.tanh(0.00565 * math.sqrt(x) / a)
    period = u / g * 7.54 * b * math.tanh(0.0379 * x ** (1.0 / 3.0) / b)
    return height, period


def wave_height_lake(wind: MetresPerSecond, fetch: Metres, depth: Metres) -> tuple[Metres, Seconds]:
    """Significant height and peak period measured on a shallow lake, limited by fetch and depth.

    With delta = g d/U^2 and chi = g F/U^2: eps = 3.64e-3 [tanh A1 tanh(B1/tanh A1)]^1.74,
    A1 = 0.493 delta^0.75, B1 = 3.13e-3 chi^0.57; f = 0.133 [tanh A2 tanh(B2/tanh A2)]^-0.37,
    A2 = 0.331 delta^1.01, B2 = 5.215e-4 chi^0.73; H = 4 sqrt(eps) U^2/g, T = U/(g f).
    Source: Young & Verhagen 1996, Coastal Engineering 29:47-78.
    """
    _check_growth(wind, fetch, depth)
    g = GROWTH_GRAVITY
    delta, chi = g * depth / wind**2, g * fetch / wind**2
    a1, b1 = math.tanh(0.493 * delta**0.75), 3.13e-3 * chi**0.57
    a2, b2 = math.tanh(0.331 * delta**1.01), 5.215e-4 * chi**0.73
    energy = 3.64e-3 * (a1 * math.tanh(b1 / a1)) ** 1.74
    peak = 0.133 * (a2 * math.tanh(b2 / a2)) ** -0.37
    return 4.0 * math.sqrt(energy) * wind**2 / g, wind / (g * peak)


def _check_growth(wind: MetresPerSecond, fetch: Metres, depth: Metres) -> None:
    need_within("wind", wind, 0.1, 60.0, "m/s")
    need_within("fetch", fetch, 0.1, 1e6, "m")
    need_within("water depth", depth, 0.01, 1e4, "m")


def sea_state(wind: MetresPerSecond, fetch: Metres, depth: Metres) -> SeaState:
    """Waves where the boat runs.

    The higher of the two formulas (the safe one), not above the breaking heights 0.142 lambda tanh(k d) and
    0.78 d; the period is the manual's. `wind` m/s at 10 m, 0 to 12; `fetch` m of open water upwind, 0 to 25
    000; `depth` m, 0.3 to 100: the mean along the fetch, or the deepest (the safe one). Under 1 m/s or 10 m:
    ripples only. u95 is 40 % up to 200 m of fetch, where both formulas are extrapolated, and 25 % above.
    Source: `wave_height_manual`, `wave_height_lake`; breaking limits Miche 1944 and the solitary wave, from
    memory.
    """
    need_within("wind", wind, 0.0, STRONGEST_WIND, "m/s")
    need_within("fetch", fetch, 0.0, 25_000.0, "m")
    need_within("water depth", depth, 0.3, 100.0, "m")
    if wind < 1.0 or fetch < 10.0:
        return SeaState(0.0, 0.0, 0.0, 0.0, 0.0)
    manual, period = wave_height_manual(wind, fetch, depth)
    lake, _ = wave_height_lake(wind, fetch, depth)
    length = wave_length(period, depth)
    breaking = min(0.142 * length * math.tanh(2.0 * math.pi * depth / length), 0.78 * depth)
    height = min(max(manual, lake), breaking)
    share = 0.40 if fetch <= SHORT_FETCH else 0.25
    return SeaState(height, share * height, period, length, time_to_grow(wind, fetch))


def time_to_grow(wind: MetresPerSecond, fetch: Metres) -> Seconds:
    """Steady wind it takes until the fetch, not the time, limits the waves: 77.23 F^0.67/(U^0.34 g^0.33).

    `wind` m/s and `fetch` m, both above 0. A gust does not raise a pond; ten minutes do.
    Source: US Army Corps of Engineers, Coastal Engineering Manual, eq. II-2-35, as quoted
    in public code.
    """
    need_positive("wind", wind, "m/s")
    need_positive("fetch", fetch, "m")
    return float(77.23 * fetch**0.67 / (wind**0.34 * GROWTH_GRAVITY**0.33))


def wave_length(period: Seconds, depth: Metres) -> Metres:
    """Length of a wave from its period: omega^2 = g k tanh(k d), solved by Newton's method.

    `period` s, 0.05 to 30; `depth` m, 0.05 to 1000. Returns m, to 1e-12. Deep water: g T^2/(2 pi). Under 5 cm
    surface tension matters and they are ripples. Source: Airy 1845; start of Eckart 1952; from memory.
    """
    need_within("wave period", period, 0.05, 30.0, "s")
    need_within("water depth", depth, 0.05, 1000.0, "m")
    deep = (2.0 * math.pi / period) ** 2 * depth / GRAVITY
    x = deep / math.sqrt(math.tanh(deep))
    for _ in range(8):
        t = math.tanh(x)
        x -= (x * t - deep) / (t + x * (1.0 - t * t))
    return 2.0 * math.pi * depth / x


def quiet_depth(state: SeaState, tolerated: Metres) -> Metres:
    """Depth of the hull's middle line under which the higher waves move it less than `tolerated`, in deep
    water.

    ln(H_tenth/(2 tolerated))/k, 0 where she is quiet at any depth. `tolerated` amplitude m, above 0 (5 mm
    small and middling boats, 10 mm large; common practice, no source). Source: linear wave theory.
    """
    need_positive("motion tolerated", tolerated, "m")
    if state.height_tenth <= 2.0 * tolerated:
        return 0.0
    return math.log(state.height_tenth / (2.0 * tolerated)) * state.length / (2.0 * math.pi)


def length_factor(boat_length: Metres, wave_length_now: Metres) -> Ratio:
    """What of a wave's heave is left over a boat's length in head seas: |sin(pi L/lambda)/(pi L/lambda)|.

    `wave_length_now` m, above 0. Source: average of a sine over the length (own derivation).
    """
    need_positive("wave length", wave_length_now, "m")
    need_not_negative("boat's length", boat_length, "m")
    x = math.pi * boat_length / wave_length_now
    return abs(math.sin(x) / x) if x else 1.0


def highest_wave(height: Metres, waves: float) -> Metres:
    """Most probable highest of a number of waves: H sqrt(ln(N)/2). `waves` 1 to 1e9.

    Source: Longuet-Higgins 1952, J. Marine Res. 11:245-266 (Rayleigh heights), from memory.
    """
    need_within("number of waves", waves, 1.0, 1e9)
    return height * math.sqrt(0.5 * math.log(waves))


@dataclass(frozen=True, slots=True)
class Crest:
    """The crest to keep the aerial's tip clear of: the wave height it is taken from, and whether that is the
    highest of the whole run (true) or the mean of the highest tenth.
    """

    wave: Metres
    height: Metres
    highest: bool


def crest(state: SeaState, duration: Seconds, hold: Seconds | None, boat_length: Metres = 0.0) -> Crest:
    """Crest above still water that matters to an aerial, 0.6 times a wave height.

    The mean of the highest tenth where the failsafe's hold outlasts a wave (a dunk of the tip lasts about a
    third of a period); else, and where the hold is unknown, the most probable highest of the run's waves.
    Waves of three boat lengths and more lift the boat with them: half. `duration` s of the run; `hold` s or
    None. Never add it again where a boat rides the waves. Source: Rayleigh heights, Longuet-Higgins 1952;
    crest factor and rule common practice, no source.
    """
    if state.ripples_only:
        return Crest(0.0, 0.0, highest=False)
    highest = hold is None or hold <= state.period
    wave = highest_wave(state.height, duration / state.period) if highest else state.height_tenth
    follows = 0.5 if boat_length and state.length >= 3.0 * boat_length else 1.0
    return Crest(wave, follows * CREST * wave, highest=highest)
