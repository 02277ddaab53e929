"""The radio bands a boat's file can name, with the set to assume for each.

Levels are planning figures: local law, the set's marking and its maker's sheet decide, never this table. Gain
and sensitivity of the low bands were chosen so that the computed depth falls where owners report it (0.5 to 3
m in fresh water, next to nothing in salt); they are no measurements.
"""

from dataclasses import dataclass

from divelog.physics.si import Decibels, Hertz


@dataclass(frozen=True, slots=True)
class Band:
    """One band: its name in files, working and lowest frequency (Hz), and the assumed set.

    `sent` is the isotropic radiated power in dBm, `gain` that of the boat's aerial in dBi, `sensitivity` dBm.
    """

    name: str
    frequency: Hertz
    lowest: Hertz
    sent: Decibels
    gain: Decibels
    sensitivity: Decibels
    source: str

    @property
    def low(self) -> bool:
        """Whether it is one of the bands below 100 MHz, whose wire runs through the hull."""
        return self.frequency < 100e6


_COMMON = "common practice, no source"
_WHIP = "47 CFR 95.767 (0.75 W) less the loss of a hand-held whip; common practice, no source"
_SPREAD = "ETSI EN 300 328 (20 dBm); makers' radio chip sheets (-90 to -103 dBm)"

BANDS: tuple[Band, ...] = (
    Band("27 MHz", 27.0e6, 26.96e6, 16.0, -20.0, -90.0, _COMMON),
    Band("40 MHz", 40.7e6, 40.66e6, 16.0, -20.0, -90.0, _COMMON),
    Band("72 MHz", 72.5e6, 72.0e6, 20.0, -18.0, -92.0, _WHIP),
    Band("75 MHz", 75.5e6, 75.4e6, 20.0, -18.0, -92.0, _WHIP),
    Band("433 MHz", 433.9e6, 433.05e6, 10.0, 0.0, -100.0, "from memory"),
    Band("459 MHz", 459.0e6, 458.5e6, 20.0, -3.0, -100.0, "from memory"),
    Band("868 MHz", 868.3e6, 868.0e6, 14.0, 0.0, -100.0, "from memory"),
    Band("915 MHz", 915.0e6, 902.0e6, 14.0, 0.0, -100.0, "from memory"),
    Band("2.4 GHz", 2440.0e6, 2400.0e6, 20.0, 0.0, -95.0, _SPREAD),
)


def band(name: str) -> Band | None:
    """The band of that name (`"40 MHz"`, `"2.4 GHz"`), or none."""
    return next((each for each in BANDS if each.name == name), None)
