"""Where each tail surface stands, which way its trailing edge goes, and what that does to the boat.

One convention everywhere: seen from astern, looking forward, port on the left, starboard on the right.
The clock angle of a surface runs from root to tip, clockwise from twelve. A positive deflection moves
the trailing edge clockwise, that is towards (starboard, up) = (cos clock, -sin clock). Going ahead the
water pushes the stern the other way: a trailing edge to starboard turns the bow to starboard, a
trailing edge up raises the bow. Effects are counted in surfaces fully used.
Servo and transmitter reversing are *not* in it: the person looks at the trailing edge.
Source: geometry; the sense of a rudder and of stern planes, common practice, no source.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import Metres, Radians, Ratio


@dataclass(frozen=True, slots=True)
class Surface:
    """One surface of a tail: its name, and the clock angle of its tip (rad, 0 at the top)."""

    name: str
    clock: Radians

    @property
    def starboard(self) -> Ratio:
        """Way of the trailing edge to starboard, one deflection positive: cos clock."""
        return _clean(math.cos(self.clock))

    @property
    def up(self) -> Ratio:
        """Way of the trailing edge up, one deflection positive: -sin clock."""
        return _clean(-math.sin(self.clock))


def _clean(value: float) -> float:
    return 0.0 if abs(value) < 1e-12 else value


CROSS: tuple[Surface, ...] = (
    Surface("top", 0.0),
    Surface("starboard", math.pi / 2.0),
    Surface("bottom", math.pi),
    Surface("port", 1.5 * math.pi),
)
"""Two rudders and two stern planes."""


def x_tail(from_vertical: Radians = math.pi / 4.0) -> tuple[Surface, ...]:
    """Return the four surfaces of an X, each `from_vertical` (rad, 0 to a right angle) off the upright.

    Order: upper starboard, lower starboard, lower port, upper port. Raises `OutOfRangeError`.
    """
    if not 0.0 < from_vertical < math.pi / 2.0:
        degrees = math.degrees(from_vertical)
        raise OutOfRangeError(f"The surfaces of an X stand 0 to 90 degrees off the upright, not {degrees:g}.")
    return (
        Surface("upper starboard", from_vertical),
        Surface("lower starboard", math.pi - from_vertical),
        Surface("lower port", math.pi + from_vertical),
        Surface("upper port", 2.0 * math.pi - from_vertical),
    )


X: tuple[Surface, ...] = x_tail()
"""The usual X, at 45 degrees."""


@dataclass(frozen=True, slots=True)
class Effect:
    """What a tail does, in surfaces fully used: turn to starboard, bow up, roll to starboard."""

    turn: Ratio
    bow_up: Ratio
    roll: Ratio


def effect(surfaces: Sequence[Surface], deflections: Sequence[Ratio], *, ahead: bool = True) -> Effect:
    """Return what deflections (-1 to 1, one a surface) do: the sum of (cos, -sin, -1) times each.

    ahead: with sternway every force is reversed: turn, pitch and roll change sign. How large it is
    astern nobody knows: rely on the sense of the pitch only.
    Raises `OutOfRangeError` if the counts differ.
    """
    if len(surfaces) != len(deflections):
        raise OutOfRangeError(
            f"A tail of {len(surfaces)} surfaces cannot take {len(deflections)} deflections."
        )
    way = 1.0 if ahead else -1.0
    pairs = list(zip(surfaces, deflections, strict=True))
    return Effect(
        turn=way * math.fsum(s.starboard * d for s, d in pairs),
        bow_up=way * math.fsum(s.up * d for s, d in pairs),
        roll=-way * math.fsum(deflections),
    )


def strength(surfaces: Sequence[Surface]) -> tuple[Ratio, Ratio]:
    """Turn and pitch of all surfaces at full throw, one axis at a time: sums of |cos| and |sin|.

    A cross has 2 and 2, an X at 45 degrees 2.83 and 2.83: the "1.41 times as strong" of an X is
    4 cos 45 over 2, for the same surfaces and throw. Both axes at once at full stick it is the other
    way: an X has 1.41 of each, a cross 2.
    """
    return math.fsum(abs(s.starboard) for s in surfaces), math.fsum(abs(s.up) for s in surfaces)


def cross_span(half_width: Metres, hull_radius: Metres) -> Metres:
    """Exposed span of one blade of a cross inside a box of half width w, w - r (m); r of the hull there."""
    _inside(half_width, hull_radius)
    return half_width - hull_radius


def x_span(half_width: Metres, hull_radius: Metres) -> Metres:
    """Exposed span of one blade of an X inside the same square box, sqrt(2) w - r (m)."""
    _inside(half_width, hull_radius)
    return math.sqrt(2.0) * half_width - hull_radius


def _inside(half_width: Metres, hull_radius: Metres) -> None:
    if not 0.0 < hull_radius < half_width < math.inf:
        raise OutOfRangeError(
            "The hull's radius at the tail must be above zero and under half the box's width."
        )
