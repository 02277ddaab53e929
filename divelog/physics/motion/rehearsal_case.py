"""What a rehearsal is asked and what it answers: the case, and the path with its end."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from divelog.physics.motion._guard import between, not_negative
from divelog.physics.motion.cubics import cubic
from divelog.physics.motion.rising import Blow
from divelog.physics.si import Metres, MetresPerSecond, Radians, Ratio, Seconds

LONGEST: Seconds = 600.0
"""What is not up by then stays down, for all that is reckoned here."""

DEEPEST: Metres = 20.0
"""What is known of squeezed air and tubes ends here."""


class AtLoss(Enum):
    """What the planes do between the loss and the failsafe: hold her angle, or lie over to dive."""

    STEADY = "steady"
    DIVE = "dive"


class PlanesAfter(Enum):
    """What the failsafe does with the planes."""

    RISE = "rise"
    MIDDLE = "middle"
    HELD = "held"
    NO_EFFECT = "no effect"
    """Nothing is counted of them, as going astern."""


@dataclass(frozen=True, slots=True)
class Case:
    """How she goes when the signal is lost, and what happens then.

    depth: of the keel, m. speed: m/s, astern below nought. pitch: rad, bow up. delay: to the failsafe, s.
    plane_time: from full dive to full rise, s. motor: share of the thrust left when the failsafe acts, 0 where it
    stops. blow: ballast given out, its delay counted from the loss, or None. bottom: depth, m, or None.
    """

    depth: Metres
    speed: MetresPerSecond
    pitch: Radians
    delay: Seconds
    plane_time: Seconds
    at_loss: AtLoss = AtLoss.STEADY
    planes: PlanesAfter = PlanesAfter.RISE
    motor: Ratio = 0.0
    blow: Blow | None = None
    bottom: Metres | None = None

    def __post_init__(self) -> None:
        between("The depth in m", self.depth, 0.0, DEEPEST)
        between("The speed in m/s", self.speed, -10.0, 10.0)
        between("The pitch in degrees", math.degrees(self.pitch), -60.0, 60.0)
        between("The delay in s", self.delay, 0.0, LONGEST)
        between("The planes' travel time in s", self.plane_time, 0.0, LONGEST)
        between("The thrust left", self.motor, 0.0, 1.0)
        if self.blow is not None:
            not_negative("The ballast blown in kg", self.blow.mass)
            not_negative("The delay of the blow in s", self.blow.delay)
            between("The time to blow in s", self.blow.duration, 1e-3, 1e5)
        if self.bottom is not None:
            between("The bottom in m", self.bottom, self.depth, 1e4)


class End(Enum):
    """How a path ends."""

    SURFACED = "surfaced"
    ON_BOTTOM = "on the bottom"
    STAYS_DOWN = "stays down"
    TOO_DEEP = "too deep"


@dataclass(frozen=True, slots=True)
class Point:
    """A moment of the path: s, m of the keel amidships, rad bow up, m/s through the water, m/s downwards."""

    time: Seconds
    depth: Metres
    pitch: Radians
    speed: MetresPerSecond
    sinking: MetresPerSecond


@dataclass(frozen=True, slots=True)
class Rehearsed:
    """A path, frozen.

    deepest: keel amidships, m, at `turns_up` s. lowest: the deeper end of the hull at its lowest, m.
    surfaced: s until the highest tip is out, or None. touched: s until she first touches the bottom, or None.
    kept: False where her planes could not hold the angle she was put on.
    """

    points: tuple[Point, ...]
    deepest: Metres
    turns_up: Seconds
    lowest: Metres
    surfaced: Seconds | None
    touched: Seconds | None
    end: End
    kept: bool

    def depth_at(self, time: Seconds) -> Metres:
        """Depth at a time, m, between the points by cubics; after the end, the last depth."""
        points = self.points
        if time >= points[-1].time:
            return points[-1].depth
        low, high = 0, len(points) - 1
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if points[middle].time <= time else (low, middle)
        a, b = points[low], points[high]
        return cubic(a.depth, a.sinking, b.depth, b.sinking, b.time - a.time, max(0.0, time - a.time))
