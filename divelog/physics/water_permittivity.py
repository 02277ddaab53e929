"""Complex permittivity of water: what decides how much of a radio signal gets through it."""

import math

from divelog.physics.ranges import need_within
from divelog.physics.si import ZERO_CELSIUS, Hertz, Kelvin, Ratio, SiemensPerMetre
from divelog.physics.water import liquid_celsius

VACUUM_PERMITTIVITY: float = 8.8541878128e-12
"""Electric constant, F/m (CODATA 2018)."""


def permittivity(
    frequency: Hertz, temperature: Kelvin, conductivity: SiemensPerMetre, salinity: Ratio = 0.0
) -> complex:
    """Relative permittivity of water, eps' - j eps" (time factor exp(+j omega t)).

    Two Debye relaxations plus ions:
    eps = (e0 - e1)/(1 + j f/n1) + (e1 - e2)/(1 + j f/n2) + e2 - j sigma/(2 pi f eps0).

    `frequency` Hz, 1 MHz to 90 GHz; `temperature` K, 0 to 40 degC (with salt 0 to 34 degC); `conductivity`
    S/m *at the water's temperature*, 0 to 8; `salinity` kg/kg: 0 for ponds and every water under 2 g/kg,
    0.002 to 0.040 for sea salt. Returns a complex number; its imaginary part is never positive. eps' within
    0.5 %, relaxation part of eps" within 2 % (95 %); below 500 MHz the conductivity's own error rules. Half
    of the literature writes the opposite sign; f is in GHz inside the relaxation terms and in Hz in the last.

    Source: Meissner & Wentz 2004, IEEE Trans. Geosci. Remote Sens. 42:1836-1849, with the authors'
    corrections of 2012 (IEEE Trans. Geosci. Remote Sens. 50:3004-3026); the cubic coefficient of n1's salt
    factor is negative (misprinted in 2012).
    """
    need_within("frequency", frequency / 1e6, 1.0, 90e3, "MHz")
    need_within("conductivity", conductivity, 0.0, 8.0, "S/m")
    if salinity != 0.0:
        need_within("salinity", 1e3 * salinity, 2.0, 40.0, "g/kg")
    t = liquid_celsius(temperature, warmest=ZERO_CELSIUS + (34.0 if salinity else 40.0))
    e0 = (37088.6 - 82.168 * t) / (421.854 + t)
    e1 = 5.7230 + 2.2379e-2 * t - 7.1237e-4 * t * t
    n1 = (45.0 + t) / (5.0478 - 7.0315e-2 * t + 6.0059e-4 * t * t)
    e2 = 3.6143 + 2.8841e-2 * t
    n2 = (45.0 + t) / (0.13652 + 1.4825e-3 * t + 2.4166e-4 * t * t)
    if salinity:
        s = 1e3 * salinity
        e0 *= math.exp(-3.3330e-3 * s + 4.74868e-6 * s * s)
        e1 *= math.exp(-6.28908e-3 * s + 1.76032e-4 * s * s - 9.22144e-5 * s * t)
        e2 *= 1.0 + s * (-2.04265e-3 + 1.57883e-4 * t)
        n2 *= 1.0 + s * (-1.99723e-2 + 0.5 * 1.81176e-4 * (t + 30.0))
        if t <= 30.0:
            shift = 2.3232e-3 + t * (-7.9208e-5 + t * (3.6764e-6 + t * (-3.5594e-7 + t * 8.9795e-9)))
        else:
            shift = 9.1873715e-4 + 1.5012396e-4 * (t - 30.0)
        n1 *= 1.0 + s * shift
    f = frequency / 1e9
    relaxing = (e0 - e1) / complex(1.0, f / n1) + (e1 - e2) / complex(1.0, f / n2) + e2
    return relaxing - 1j * conductivity / (2.0 * math.pi * frequency * VACUUM_PERMITTIVITY)
