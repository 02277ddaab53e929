"""The aerial itself: how much of it works, and what a metal mast takes away."""

import cmath
import math

from divelog.physics.radio import NEPER, wave_number
from divelog.physics.ranges import need_within
from divelog.physics.si import Decibels, DecibelsPerMetre, Hertz, Metres, Ratio

TE11 = 1.8411837813406593
"""First root of J1', the lowest wave of a round tube: the least loss, so the safe one."""

TM01 = 2.404825557695773
"""First root of J0, the wave an aerial on the tube's middle line mainly excites."""


def quarter_wave(frequency: Hertz) -> Metres:
    """Quarter of the wavelength in air, c/(4 f): the bare end of a whisker that must stand clear of metal.

    Take the lowest channel (the longest wire); a cut wire is about 5 % shorter. +-1 mm. Loaded wires, loops
    and patches follow the maker's sheet. Source: quarter-wave monopole (textbook).
    """
    return 0.5 * math.pi / wave_number(frequency)


def tube_attenuation(
    bore: Metres, frequency: Hertz, permittivity: complex = 1.0, root: float = TE11
) -> DecibelsPerMetre:
    """Decibels a metre lost in a metal tube too narrow for the wave.

    gamma = sqrt((2 x/D)^2 - k^2 eps), real part in dB: 31.99 dB a bore diameter far below cutoff (TE11), 0
    above it in air. Water in the tube lowers the cutoff and brings its own loss. `bore` inside diameter m, 1
    to 200 mm; nothing conducting inside beyond the tip, else it is a line without cutoff. Law 1 %; coupling
    at the mouth +-6 dB. Source: round waveguide below cutoff (textbook); waveguide-attenuator figure of 31.95
    dB a diameter.
    """
    need_within("bore", 1e3 * bore, 1.0, 200.0, "mm")
    return NEPER * cmath.sqrt((2.0 * root / bore) ** 2 - wave_number(frequency) ** 2 * permittivity).real


def exposed_loss(clear: Ratio) -> Decibels:
    """Decibels lost when only a share of the quarter wave stands clear, before the mismatch (3 to 10 dB
    more).

    The effective height falls as tan(y pi/4)/tan(pi/4). `clear` 0.001 to 1. Source: monopole with a
    triangular to sinusoidal current (textbook), from memory.
    """
    need_within("share that stands clear", clear, 1e-3, 1.0)
    return -20.0 * math.log10(math.tan(0.25 * math.pi * clear))
