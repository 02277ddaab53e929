"""Air over the water: its pressure at the height of the site."""

from divelog.physics.ranges import need_within
from divelog.physics.si import STANDARD_ATMOSPHERE, Metres, Pascals

WEATHER_U95: Pascals = 3000.0
"""How far the weather moves the air pressure from the standard day, 95 % (common practice, no source)."""


def air_pressure(altitude: Metres, sea_level: Pascals = STANDARD_ATMOSPHERE) -> Pascals:
    """Air pressure of the standard day at a height above the sea.

    p = p0 (1 - 0.0065 h / 288.15)^5.25588, the exponent being g M/(R L). `altitude` m, -500 to 11 000;
    `sea_level` Pa, 90 to 110 kPa: the standard atmosphere, or a report reduced to sea level. Returns absolute
    Pa; +-3 kPa with the weather (`WEATHER_U95`): a barometer at the site beats it. Never mix a pressure read
    at the site with one reduced to sea level. Source: standard atmosphere, ISO 2533:1975, from memory.
    """
    need_within("height above the sea", altitude, -500.0, 11_000.0, "m")
    need_within("pressure reduced to sea level", sea_level / 100.0, 900.0, 1100.0, "hPa")
    return float(sea_level * (1.0 - 0.0065 * altitude / 288.15) ** 5.25588)
