"""The hull as the drag and rise formulas see it: a length, a diameter, and what follows from them."""

import math
from dataclasses import dataclass
from typing import Self

from divelog.physics.motion._guard import between, positive
from divelog.physics.si import CubicMetres, Metres, Ratio, SquareMetres

WETTED_SHARE: Ratio = 0.85
"""Wetted area over pi D L, +/- 0.08: a long spheroid has 0.785, a plain tube 1.0.
Common practice, no source."""

PLAN_SHARE: Ratio = 0.85
"""Area seen from above over length times beam. Common practice, no source."""

FORM_SHARE: Ratio = 0.8
"""Outside volume over midship section times length, +/- 20 %. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Hull:
    """Length and diameter of the bare hull.

    length: m, over all.
    diameter: m, of the circle with the area of the largest section.
    Raises `OutOfRangeError` unless both are above zero.
    """

    length: Metres
    diameter: Metres

    def __post_init__(self) -> None:
        positive("The hull's length in m", self.length)
        positive("The hull's diameter in m", self.diameter)

    @classmethod
    def of_section(cls, length: Metres, beam: Metres, height: Metres) -> Self:
        """Return the hull whose section is an ellipse of `beam` by `height`: D = sqrt(beam height)."""
        return cls(length, math.sqrt(positive("The beam in m", beam) * positive("The height in m", height)))

    @property
    def slenderness(self) -> Ratio:
        """Length over diameter."""
        return self.length / self.diameter

    @property
    def wetted_area(self) -> SquareMetres:
        """Area the water rubs on, S = 0.85 pi D L (m2), +/- 9 %."""
        return WETTED_SHARE * math.pi * self.diameter * self.length


def plan_area(length: Metres, beam: Metres) -> SquareMetres:
    """Area the water meets when she rises level, A = 0.85 L beam (m2). Common practice, no source."""
    return PLAN_SHARE * positive("The length in m", length) * positive("The beam in m", beam)


def form_volume(length: Metres, beam: Metres, height: Metres) -> CubicMetres:
    """Outside volume of the whole form, flood water included (m3).

    0.8 (pi / 4) beam height length, +/- 20 %; a figure of the boat's own replaces it. All lengths in m.
    Source: common practice, no source.
    """
    section = math.pi / 4.0 * positive("The beam in m", beam) * positive("The height in m", height)
    return FORM_SHARE * section * positive("The length in m", length)


def form_factor(slenderness: Ratio) -> Ratio:
    """Drag of a body of revolution over the friction of a plate of its wetted area, 1 + k.

    1 + k = 1 + 1.5 (D/L)^1.5 + 7 (D/L)^3, on *wetted* area.
    slenderness: L/D, from 4; a blunter body is refused, because its wake no longer is friction.
    Source: Hoerner, Fluid-Dynamic Drag.
    """
    between("Length over diameter", slenderness, 4.0, 1e6)
    ratio = 1.0 / slenderness
    return 1.0 + 1.5 * math.pow(ratio, 1.5) + 7.0 * math.pow(ratio, 3.0)
