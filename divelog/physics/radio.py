"""Radio waves in water and through its surface, and what a link has left under it.

Permittivities are complex, eps' - j eps" (`water_permittivity`). Levels are power decibels; losses are
positive. Field ratios use 20 log, power ratios 10 log.
"""

import cmath
import math

from divelog.physics.ranges import need_positive, need_within
from divelog.physics.si import Decibels, DecibelsPerMetre, Hertz, Metres

LIGHT_SPEED = 299_792_458.0
"""Speed of light, m/s (SI Brochure)."""

NEPER: Decibels = 20.0 / math.log(10.0)
"""One neper in decibels, 8.685890."""

DEEPEST_TIP: Metres = 6.0
"""Deeper than this the water is not what limits the radio; the budget is not trusted there."""

MISMATCH: Decibels = 6.0
"""An aerial cut for air is detuned in water (0 to 19 dB); common practice, no source."""

BUDGET_U95: Decibels = 14.0
"""95 % of the dB in hand under water without a trial: aerial 10 and set 10, added as squares."""

AIR_BUDGET_U95: Decibels = 10.0
"""95 % of a budget with the aerial in air, without a maker's sheet (common practice, no source)."""

FADING_UNTRIED: Decibels = 10.0
"""Held back for fading where nothing was tried: exceeded by one fade in ten (`fade_share`)."""

FADING_TRIED: Decibels = 3.0
"""Held back for fading after a trial, whose least of three descents already holds most of it."""

FADING_IN_AIR: Decibels = 20.0
"""Held back for fading with the aerial in air: exceeded by one fade in a hundred (`fade_share`)."""

HYSTERESIS: Decibels = 6.0
"""A lost link returns when the signal stands this far above the level it was lost at (3 to 6; from
memory)."""


def wave_number(frequency: Hertz) -> float:
    """Wave number in air, 2 pi f/c, radians per metre; `frequency` 1 MHz to 90 GHz."""
    need_within("frequency", frequency / 1e6, 1.0, 90e3, "MHz")
    return 2.0 * math.pi * frequency / LIGHT_SPEED


def attenuation(frequency: Hertz, permittivity: complex) -> DecibelsPerMetre:
    """Decibels a plane wave loses in each metre of water.

    gamma = j k sqrt(eps), taken with a positive real part alpha in nepers per metre; 8.685890 alpha.
    `frequency` Hz, 1 MHz to 90 GHz; `permittivity` eps' - j eps" of the water at that frequency. Returns
    dB/m, 0 for a real permittivity. Model to model 0.8 % at 2.4 GHz in fresh water; below 500 MHz the error
    is that of the conductivity. Skin depth, 1/alpha, is 8.7 dB and not the end of the signal. In fresh water
    at 2.4 GHz *cold* water is the worse. Source: plane wave in a conducting medium (textbook).
    """
    return NEPER * (1j * wave_number(frequency) * cmath.sqrt(permittivity)).real


def surface_loss(permittivity: complex) -> Decibels:
    """Decibels between an aerial just above the water and the same aerial, matched, just below it.

    10 log10(|eps|^2 Re(n) / |eps - 1|), n = sqrt(eps): the vertical field E above the water drives a
    horizontal one, E |sqrt(eps - cos^2)/eps|, below it (continuity of tangential E and normal D), and an
    aerial in the water gathers from a wavelength Re(n) times shorter. For rays along the surface, which every
    ray to the bank is; the 4.5 dB of a ray straight down does not apply.

    `permittivity` of the water, |eps| at least 10 (else it is not water). Returns dB, about 29 in fresh
    water; 95 % +-10 dB, from the aerial and not from the water. Source: own derivation from the boundary
    conditions and reciprocity; the tests take it from Fresnel transmission too.
    """
    size = abs(permittivity)
    need_within("relative permittivity of the water", size, 10.0, 1e9)
    return 10.0 * math.log10(size * size * cmath.sqrt(permittivity).real / abs(permittivity - 1.0))


def in_hand_awash(
    sent: Decibels,
    gain: Decibels,
    sensitivity: Decibels,
    path: Decibels,
    surface: Decibels,
    mismatch: Decibels = MISMATCH,
) -> Decibels:
    """Decibels above the receiver's need with the aerial's tip just under the surface, from a budget.

    sent + gain - path - surface - mismatch - sensitivity. `sent` dBm radiated (isotropic), `gain` dBi of the
    boat's aerial, `sensitivity` dBm, `path` for a tip at height 0. 95 %: `BUDGET_U95`. Source: link budget
    (textbook).
    """
    return sent + gain - path - surface - mismatch - sensitivity


def in_hand_from_trial(
    lost_depth: Metres,
    trial_attenuation: DecibelsPerMetre,
    trial_path: Decibels,
    trial_surface: Decibels,
    path: Decibels,
    surface: Decibels,
) -> Decibels:
    """Decibels in hand with the tip awash here and now, from the depth at which the link went in a trial.

    A z of the trial is what it had in hand when awash; the differences of path and surface carry it to
    today's distance and water. Power, gain, sensitivity and mismatch, all unknown, drop out: the same set,
    aerial and band. `lost_depth` m of the *tip*, above 0. Source: link budget (textbook).
    """
    need_positive("depth where the signal went", lost_depth, "m")
    need_within("depth where the signal went", lost_depth, 0.0, DEEPEST_TIP, "m")
    return trial_attenuation * lost_depth + (trial_path - path) + (trial_surface - surface)


def tip_depth(in_hand: Decibels, per_metre: DecibelsPerMetre, held_back: Decibels = 0.0) -> Metres:
    """Depth of the aerial's tip at which what is in hand, less what is held back, is used up; 0 at least.

    (in hand - held back)/attenuation; with nothing held back it is the depth at which the link goes.
    `per_metre` dB/m, above 0. Source: link budget (textbook).
    """
    need_positive("attenuation of the water", per_metre, "dB/m")
    return max(0.0, (in_hand - held_back) / per_metre)


def fade_share(margin: Decibels) -> float:
    """Share of places where a fading signal lies more than `margin` decibels under its mean.

    P = 1 - exp(-10^(-M/10)), many echoes without a direct ray. Source: Rayleigh fading (textbook), from
    memory.
    """
    return -math.expm1(-(10.0 ** (-margin / 10.0)))


def rise_to_return(per_metre: DecibelsPerMetre, hysteresis: Decibels = HYSTERESIS) -> Metres:
    """How far the tip must come up from where the link went before it returns: hysteresis/attenuation.

    Source: definition; 3 to 6 dB from memory.
    """
    return tip_depth(hysteresis, per_metre)
