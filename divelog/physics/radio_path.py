"""Path loss between a hand-held transmitter and a low aerial over flat water or ground."""

import cmath
import math

from divelog.physics.radio import wave_number
from divelog.physics.ranges import need_positive, need_within
from divelog.physics.si import Decibels, Hertz, Metres, Ratio, Seconds

TRANSMITTER_HEIGHT: Metres = 1.2
"""Height above the water of a transmitter held in the hand (common practice, no source)."""

CLOSEST: Metres = 5.0
"""The formulas were checked from 5 to 500 m; nearer, ripples of the two rays make up to +-6 dB."""


def free_space_loss(distance: Metres, frequency: Hertz) -> Decibels:
    """Loss between isotropic aerials in free space: 20 log10(2 k d), k the wave number.

    `distance` m, above 0. Source: Friis 1946 (textbook form).
    """
    need_positive("distance", distance, "m")
    return 20.0 * math.log10(2.0 * wave_number(frequency) * distance)


def effective_height(
    height: Metres, frequency: Hertz, permittivity: complex, *, horizontal: bool = False
) -> Metres:
    """Height an aerial seems to stand at over a lossy surface: |z0 + j h|, z0 = 1/(k zeta).

    zeta = sqrt(eps - 1)/eps for vertical aerials, sqrt(eps - 1) for horizontal ones; for a real permittivity
    it is sqrt(h^2 + |z0|^2). Keep z0 complex: with magnitudes alone the loss over the sea comes out 4.5 dB
    too low. `height` m above the surface, 0 to 30; `permittivity` of the surface. Returns m. Source: height
    gain of the surface wave, Norton 1936 and 1941, and the least effective height of Bullington 1947, Proc.
    IRE 35:1122-1136; from memory.
    """
    need_within("aerial height", height, 0.0, 30.0, "m")
    root = cmath.sqrt(permittivity - 1.0)
    zeta = root if horizontal else root / permittivity
    return abs(1.0 / (wave_number(frequency) * zeta) + 1j * height)


def path_loss(
    distance: Metres,
    transmitter_height: Metres,
    tip_height: Metres,
    frequency: Hertz,
    permittivity: complex,
    *,
    horizontal: bool = False,
) -> Decibels:
    """Loss over a flat surface between aerials at two heights.

    Free space less 20 log10 g, g = min(1, b/(1 + b/2)), b = 2 k H1 H2/d with the effective heights H. The
    knee is at b = 2; beyond it the loss goes as 40 log10 d.

    Checked for 5 to 500 m, 0.5 to 3 m and 0 to 0.7 m, 27 MHz to 2.44 GHz, over waves lower than half the tip.
    Against two rays with the surface wave, beyond the knee: at most 1.4 dB too low (3.3 in one corner, 868
    MHz over sea), at most 4.5 dB too high; inside it the two rays ripple +-6 dB. Real sites +-6 dB. Returns
    dB, never under free space. Source: as `effective_height`; the factor b/(1 + b/2) is our own: exact ray
    optics for a tip at the surface and a real permittivity.
    """
    free = free_space_loss(distance, frequency)
    b = _knee(transmitter_height, tip_height, frequency, permittivity, horizontal) / distance
    return free - 20.0 * math.log10(min(1.0, b / (1.0 + 0.5 * b)))


def distance_for_loss(
    loss: Decibels,
    transmitter_height: Metres,
    tip_height: Metres,
    frequency: Hertz,
    permittivity: complex,
    *,
    horizontal: bool = False,
) -> Metres:
    """Distance at which `path_loss` reaches `loss`: its exact inverse, same heights and validity.

    d = min(d0, -B/4 + sqrt(B^2/16 + B d0)), d0 the free-space distance, B = 2 k H1 H2. It may land outside 5
    to 500 m: the caller says so or caps it. +-10 dB is a factor 1.8 beyond the knee and 3.2 inside it.
    Source: as `path_loss`.
    """
    need_within("loss", loss, 0.0, 200.0, "dB")
    free = 10.0 ** (loss / 20.0) / (2.0 * wave_number(frequency))
    b = _knee(transmitter_height, tip_height, frequency, permittivity, horizontal)
    return float(min(free, -b / 4.0 + math.sqrt(b * b / 16.0 + b * free)))


def _knee(h1: Metres, h2: Metres, frequency: Hertz, permittivity: complex, horizontal: bool) -> Metres:
    """B = 2 k H1 H2, twice the distance of the knee."""
    high = effective_height(h1, frequency, permittivity, horizontal=horizontal)
    low = effective_height(h2, frequency, permittivity, horizontal=horizontal)
    return 2.0 * wave_number(frequency) * high * low


def wetted_share(height: Metres, wave_height: Metres) -> Ratio:
    """Share of the time that waves stand higher than a point `height` above still water.

    Q(h/sigma) = erfc(h/(sigma sqrt 2))/2 for a Gaussian surface, sigma a quarter of the significant height.
    `wave_height` m, significant, above 0. Source: Rice 1944 and Longuet-Higgins 1952, from memory.
    """
    return 0.5 * math.erfc(_sigmas(height, wave_height) / math.sqrt(2.0))


def mean_wetting(height: Metres, wave_height: Metres, period: Seconds) -> Seconds:
    """Mean time a point `height` above still water stays under, each time it is wetted.

    Q T exp(h^2/(2 sigma^2)), T the mean wave period: shorter than the receiver's hold makes glitches, longer
    a false failsafe. At height 0 it is half a period. Source: as `wetted_share`.
    """
    x = _sigmas(height, wave_height)
    return wetted_share(height, wave_height) * period * math.exp(0.5 * x * x)


def _sigmas(height: Metres, wave_height: Metres) -> float:
    need_positive("wave height", wave_height, "m")
    need_within("height of the tip in wave heights", height / wave_height, 0.0, 7.5)
    return 4.0 * height / wave_height
