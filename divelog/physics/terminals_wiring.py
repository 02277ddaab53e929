"""Wires and fuses: resistance, drop, what heats them, what protects them.

Rough figures for planning; local codes and the wire maker's sheet rule. Lead-acid and lithium packs give
hundreds of amps into a short: a fuse within reach of the pack's plus, always.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from divelog.physics.electrical import need_celsius
from divelog.physics.errors import OutOfRangeError
from divelog.physics.ranges import need_not_negative, need_positive, need_within
from divelog.physics.si import (
    ZERO_CELSIUS,
    Amperes,
    Kelvin,
    Metres,
    Ohms,
    Ratio,
    Seconds,
    SquareMetres,
    Volts,
)

_OHM_PER_KM: Mapping[float, tuple[float, float]] = MappingProxyType(
    {
        0.5: (39.0, 40.1),
        0.75: (26.0, 26.7),
        1.0: (19.5, 20.0),
        1.5: (13.3, 13.7),
        2.5: (7.98, 8.21),
        4.0: (4.95, 5.09),
        6.0: (3.30, 3.39),
        10.0: (1.91, 1.95),
    }
)
"""mm² to Ω/km at 20 degC, most allowed, plain and tinned, flexible copper (IEC 60228, class 5; public
reproductions)."""

CONTINUOUS_DENSITY = 5.0
MINUTE_DENSITY = 10.0
"""A/mm² in a closed dry cylinder, all day and for one minute (common practice, no source). Boat practice in
open air allows 11 to 19 and lets the wire reach 105 degC: too hot beside acrylic, foam and lithium."""

FEED_SHARE: Ratio = 0.03
DRIVE_SHARE: Ratio = 0.10
"""Most drop of pack volts there and back: feeds of receiver and ballast; drive and lights (ABYC E-11, as
reproduced by marine electricians)."""

PVC_ADIABATIC = 115.0
"""A√s/mm² of copper in PVC (IEC 60364-5-54, from memory)."""


def conductor_resistance_per_metre(
    *, area: SquareMetres, tinned: bool = False, temperature: Kelvin = ZERO_CELSIUS + 20.0
) -> float:
    """Most resistance of a metre of flexible copper wire, Ω/m.

    R = R20·(1 + 0.004·(T - 20)), T in degC.

    Args:
        area: nominal section, m²: one of 0.5 0.75 1 1.5 2.5 4 6 10 mm² (section, not diameter).
        tinned: 3 % higher.
        temperature: K; 5 to 100 degC, the span of the standard's table of corrections.

    Raises:
        OutOfRangeError: another section or temperature.

    Source: IEC 60228, class 5, and its temperature correction.
    """
    need_celsius("wire's temperature", temperature, 0.0, 100.0)
    square_mm = round(area * 1e6, 6)
    row = _OHM_PER_KM.get(square_mm)
    if row is None:
        sections = ", ".join(f"{section:g}" for section in _OHM_PER_KM)
        raise OutOfRangeError(
            f"{square_mm:g} mm² is not a standard section here; take one of {sections} mm²."
        )
    return row[1 if tinned else 0] * 1e-3 * (1.0 + 0.004 * (temperature - ZERO_CELSIUS - 20.0))


def wire_drop(*, ohm_per_metre: float, length: Metres, current: Amperes) -> Volts:
    """Drop along a wire, U = R'·l·I; `length` there *and back*, m."""
    need_positive("resistance of a metre", ohm_per_metre, "ohm/m")
    need_not_negative("length there and back", length, "m")
    need_not_negative("current", current, "A")
    return ohm_per_metre * length * current


def wire_gauge_area(gauge: int) -> SquareMetres:
    """Section of an American wire gauge number, 0.012668·92^((36 - g)/19.5) mm² (ASTM B258, from memory)."""
    need_within("wire gauge", gauge, 0, 36)
    return float(0.012668e-6 * 92.0 ** ((36 - gauge) / 19.5))


def wire_rating(*, area: SquareMetres, one_minute: bool = False) -> Amperes:
    """Current a wire carries in a closed dry cylinder: 5 A/mm² all day, 10 A/mm² for one minute.

    Common practice, no source; the wire maker's sheet rules.
    """
    need_positive("section", area * 1e6, "mm²")
    return area * 1e6 * (MINUTE_DENSITY if one_minute else CONTINUOUS_DENSITY)


def short_circuit_time(*, area: SquareMetres, current: Amperes, adiabatic: float = PVC_ADIABATIC) -> Seconds:
    """Time a wire stands a short, t = (k·S/I)², for shorts of seconds (IEC 60364-5-54, from memory)."""
    need_positive("section", area * 1e6, "mm²")
    need_positive("current", current, "A")
    need_positive("adiabatic figure", adiabatic)
    return (adiabatic * area * 1e6 / current) ** 2


@dataclass(frozen=True, slots=True)
class FuseRange:
    """Least and most rating of a fuse, A; no fuse fits where least is above most: take thicker wire."""

    least: Amperes
    most: Amperes

    @property
    def fits(self) -> bool:
        """Whether a fuse can protect this wire."""
        return self.least <= self.most


def fuse_range(*, continuous: Amperes, peak: Amperes, wire: Amperes) -> FuseRange:
    """The fuse protects the wire: max(1.25·continuous, 1.5·peak) to the wire's rating.

    Then the next standard size. Receiver and ballast feed branch off before the motor's fuse, with their
    own: a blown motor fuse must not stop the blow. Source: public fuse-sizing practice; 1.5 common practice.
    """
    need_positive("continuous current", continuous, "A")
    need_positive("peak current", peak, "A")
    need_positive("wire's rating", wire, "A")
    return FuseRange(least=max(1.25 * continuous, 1.5 * peak), most=wire)


def stall_current(*, volts: Volts, pack: Ohms, wiring: Ohms, motor: Ohms) -> Amperes:
    """Current of a motor held still, I = V/(R_pack + R_wiring + R_motor).

    Starting draws the same for tens of milliseconds; a full reversal up to twice it. Source: Ohm's law.
    """
    need_positive("pack voltage", volts, "V")
    need_not_negative("pack's resistance", pack, "ohm")
    need_not_negative("wiring's resistance", wiring, "ohm")
    need_positive("motor's resistance", motor, "ohm")
    return volts / math.fsum((pack, wiring, motor))
