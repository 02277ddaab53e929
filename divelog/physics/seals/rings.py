"""Ring sizes: what a ring can be, and how far its section may be off.

Source: section sizes and tolerances of AS568 (0.070, 0.103, 0.139, 0.210, 0.275 in with 0.003,
0.003, 0.004, 0.005, 0.006 in), the same sizes ISO 3601-1 lists.
"""

from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Metres

INCH: Metres = 0.0254
"""The inch (ISO 80000-3)."""


@dataclass(frozen=True, slots=True)
class StandardSection:
    """One section of the inch series: size, tolerance, and the hundreds of its dash numbers."""

    section: Metres
    tolerance: Metres
    hundreds: int


SECTIONS: tuple[StandardSection, ...] = (
    StandardSection(0.070 * INCH, 0.003 * INCH, 0),
    StandardSection(0.103 * INCH, 0.003 * INCH, 100),
    StandardSection(0.139 * INCH, 0.004 * INCH, 200),
    StandardSection(0.210 * INCH, 0.005 * INCH, 300),
    StandardSection(0.275 * INCH, 0.006 * INCH, 400),
)

TOLERANCES: tuple[tuple[Metres, Metres], ...] = (
    (1.80e-3, 0.08e-3),
    (2.65e-3, 0.09e-3),
    (3.55e-3, 0.10e-3),
    (5.30e-3, 0.13e-3),
    (7.00e-3, 0.15e-3),
)
"""Section up to which, and its tolerance: general series of ISO 3601-1, from memory."""


def _inside(value: Metres, low: Metres, high: Metres) -> bool:
    """Whether a size lies in a range, its ends included although 9 * 1e-3 is a hair over 9e-3."""
    return low * (1.0 - 1e-9) <= value <= high * (1.0 + 1e-9)


def check_ring(inside: Metres, section: Metres) -> None:
    """Refuse a ring that cannot be: inside diameter d1 and section d2, both in metres.

    Held: d1 0.7 to 700 mm, d2 0.5 to 9 mm, d1 at least 0.3 d2. Source: common practice, no source.

    Raises:
        OutOfRangeError: a size lies outside.
    """
    if not _inside(inside, 0.7e-3, 0.7):
        raise OutOfRangeError(
            f"The ring's inside diameter is {inside * 1e3:.4g} mm; rings run from 0.7 to 700 mm."
        )
    if not _inside(section, 0.5e-3, 9e-3):
        raise OutOfRangeError(f"The ring's section is {section * 1e3:.4g} mm; rings run from 0.5 to 9 mm.")
    if inside < 0.3 * section:
        raise OutOfRangeError(
            f"The ring's inside diameter of {inside * 1e3:.4g} mm is too small for its section "
            f"of {section * 1e3:.4g} mm."
        )


def outside_diameter(inside: Metres, section: Metres) -> Metres:
    """Outside diameter of a free ring, d1 + 2 d2, in metres."""
    check_ring(inside, section)
    return inside + 2.0 * section


def section_tolerance(section: Metres) -> Metres:
    """Tolerance (u95) of a section d2: that of the next larger listed size, in metres.

    A 3.0 mm ring takes that of 3.55 mm, 0.10 mm. Beyond 7 mm it grows in proportion (safe side).
    Source: ISO 3601-1 general series, from memory. Trap: a calliper presses soft rubber in by some 0.05 mm;
    the packet's figure is better.
    """
    if not _inside(section, 0.5e-3, 9e-3):
        raise OutOfRangeError(f"The ring's section is {section * 1e3:.4g} mm; rings run from 0.5 to 9 mm.")
    for size, tolerance in TOLERANCES:
        if section <= size:
            return tolerance
    largest, tolerance = TOLERANCES[-1]
    return tolerance * section / largest


def nearest_standard(section: Metres) -> StandardSection:
    """The section of the inch series nearest to the one given, in metres.

    Trap: "an eighth of an inch" is 3.53 mm, not 3.175 mm; 1.78 and 2.0 mm look alike.
    """
    if not _inside(section, 0.5e-3, 9e-3):
        raise OutOfRangeError(f"The ring's section is {section * 1e3:.4g} mm; rings run from 0.5 to 9 mm.")
    return min(SECTIONS, key=lambda size: abs(size.section - section))
