"""What the keys of motion share: how she goes when the signal is lost, the room under her, and how she rises."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import partial

from divelog.limits import water
from divelog.limits.buoyancy import dived_balance
from divelog.limits.rounding import rss
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics.motion import excursion as physics
from divelog.physics.motion.added_mass import added_mass
from divelog.physics.motion.coasting import coast_rate
from divelog.physics.motion.drag import APPENDAGES_LOW, drag_factor
from divelog.physics.motion.hull import Hull, plan_area
from divelog.physics.motion.rising import Rise, rise
from divelog.physics.motion.sternway import DepthLost, coasting_excursion
from divelog.profiles.document import Basis, Num

SPEED_SHARE, GUESSED_SPEED_SHARE = 0.15, 0.30
"""95 % of a speed written without a ±, and of one guessed by length (common practice, no source)."""

ANGLE_SPREAD = math.radians(3.0)
"""95 % of a planned angle written without a ±: nobody holds one closer (common practice, no source)."""

STEEPEST_KNOWN = math.radians(45.0)
STRAIGHT = 1.5
"""A central difference this many times the harmful side's change means a curve: then that side alone counts."""


def worst_basis(found: Iterable[Basis]) -> Basis:
    """The basis that weighs least."""
    return max(found, key=lambda b: b.rank)


@dataclass(frozen=True, slots=True)
class Way:
    """How she goes at the moment the signal is lost; SI with ±."""

    speed: Num
    dive_angle: Num
    delay: Num
    plane_time: Num
    length: float

    @property
    def basis(self) -> Basis:
        """The worst basis of the four."""
        return worst_basis(n.basis for n in (self.speed, self.dive_angle, self.delay, self.plane_time))

    def phases(self, *, planes_over: bool = False) -> physics.Excursion:
        """Depth lost, phase by phase, without ±."""
        return physics.excursion(
            self.speed.si,
            self.dive_angle.si,
            self.delay.si,
            self.plane_time.si,
            self.length,
            planes_over=planes_over,
        )

    def lost(self, *, planes_over: bool, **other: float) -> float:
        """Depth lost, m, with some of ``speed``, ``dive_angle``, ``delay``, ``plane_time`` put otherwise.

        The allowance for steep and fast dives stays that of the way as planned, so that differences are smooth.
        """
        at = {
            "speed": self.speed.si,
            "dive_angle": self.dive_angle.si,
            "delay": self.delay.si,
            "plane_time": self.plane_time.si,
            **other,
        }
        found = physics.excursion(
            at["speed"],
            at["dive_angle"],
            at["delay"],
            at["plane_time"],
            self.length,
            planes_over=planes_over,
        )
        return self.allowance * max(found.bound, found.hull_lowest)

    @property
    def allowance(self) -> float:
        """1, or 1.25 where she dives steep or fast."""
        return physics.allowance(self.speed.si, self.dive_angle.si, self.length)


def plain(value: float) -> str:
    """A number for a sentence: two decimals at most, none that say nothing."""
    return f"{round(value, 2):g}"


def speed_of(s: Sheet, path: str) -> Num:
    """A speed with its ±: as said, 15 % where nothing was said, 30 % where it is guessed by length."""
    found = s.num(path)
    if found.u95 > 0.0:
        return found
    share = GUESSED_SPEED_SHARE if found.basis is Basis.ASSUMED else SPEED_SHARE
    return replace(found, u95=share * found.si)


def way(s: Sheet) -> Way:
    """How she goes today: cruise, planned dive angle, failsafe delay, time of the planes."""
    angle = s.num("plan.dive_angle")
    fact = s.fact("plan.dive_angle")
    if angle.u95 == 0.0 and not (fact is not None and fact.said):
        angle = replace(angle, u95=ANGLE_SPREAD)
    return Way(
        speed_of(s, "motion.cruise"),
        angle,
        s.num("radio.failsafe_delay"),
        s.num("controls.plane_time"),
        s.si("boat.length"),
    )


def room(s: Sheet) -> Num:
    """Depth between the planned keel and the bottom, less what she keeps over it, m; may be below nought."""
    bottom, plan, over = s.num("site.bottom"), s.num("plan.depth"), s.num("my_limits.over_bottom")
    return Num(
        bottom.si - plan.si - over.si,
        math.hypot(bottom.u95, over.u95),
        worst_basis((bottom.basis, plan.basis, over.basis)),
    )


def moved(
    figure: Callable[[float], float], at: float, u95: float, low: float, high: float, harm: float
) -> float:
    """Share of one input in a result's ±: half the change as the input goes from -u95 to +u95.

    low, high: ends of what the figure takes; the change is scaled to the whole ±. harm: +1 if a larger result is
    the worse, -1 if a smaller. Where the curve bends so much that half the change is over 1.5 times the harmful
    side's, the harmful side's change alone.
    """
    before, after = max(low, at - u95), min(high, at + u95)
    if after <= before:
        return 0.0
    at_before, here, at_after = figure(before), figure(at), figure(after)
    central = abs(at_after - at_before) / (after - before) * u95
    sides = [
        harm * (value - here) / abs(x - at) * u95
        for value, x in ((at_before, before), (at_after, after))
        if abs(x - at) > 1e-12
    ]
    harmful = max(0.0, *sides) if len(sides) > 1 else 0.0
    return harmful if 0.0 < STRAIGHT * harmful < central else central


# -- her hull, and how she rises ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Body:
    """The hull as drag and rise see it, with flood water in (kg), and its plan area (m2)."""

    hull: Hull
    mass: float
    ahead: float
    broadside: float
    area: float

    @property
    def moving_ahead(self) -> float:
        """Mass that moves ahead, added mass in, kg."""
        return self.mass * (1.0 + self.ahead)

    @property
    def moving_up(self) -> float:
        """Mass that moves broadside, added mass in, kg."""
        return self.mass * (1.0 + self.broadside)


def body(s: Sheet) -> Body:
    """Her body in today's water."""
    length, beam, height = s.si("boat.length"), s.si("boat.beam"), s.si("boat.height")
    hull = Hull.of_section(length, beam, height)
    share = added_mass(max(1.0, hull.slenderness))
    mass = s.of(water.density).si * s.si("boat.form_volume")
    return Body(hull, mass, share.ahead, share.broadside, plan_area(length, beam))


def tip_height(s: Sheet) -> float:
    """Highest tip above the keel, m."""
    return s.si("boat.height") + s.si("radio.tip_above_deck")


def rising(s: Sheet, buoyancy: float) -> Rise | None:
    """Her rise with so much buoyancy (kg), or None where nothing lifts her."""
    if buoyancy <= 0.0:
        return None
    her = s.of(body)
    return rise(buoyancy, her.moving_up, s.of(water.density).si, her.area)


def balance(s: Sheet, *, cautious: bool) -> Num:
    """Dived balance today, kg upward; ``cautious`` takes its ± off."""
    found = s.of(dived_balance)
    return Num(found.si - found.u95, 0.0, found.basis) if cautious else found


def timed(s: Sheet) -> Num | None:
    """Time from 0.5 m with the transmitter off, s, where one was taken that says something."""
    found = s.stated("motion.time_up")
    return None if found is None or s.of(test_rise) < LEAST_TEST_RISE else found


TEST_DEPTH = 0.5
LEAST_TEST_RISE = 0.1
"""Under this the trial says nothing about deeper water (common practice, no source)."""


def test_rise(s: Sheet) -> float:
    """Height the tip rose in the trial from 0.5 m, m."""
    return TEST_DEPTH - s.of(tip_height)


def astern(s: Sheet) -> DepthLost:
    """Depth lost, signal gone, going astern at half cruise with the bow up: coasting against buoyancy, no planes.

    The bottom stops her. Raises UnknownError where her dived balance is not known.
    """
    how, her = s.of(way), s.of(body)
    lifting = rising(s, s.of(dived_balance).si)
    speed = how.speed.si / 2.0
    drag = drag_factor(
        her.hull, speed, s.of(water.density).si, s.of(water.viscosity).si, appendages=APPENDAGES_LOW
    )
    rate = coast_rate(drag, her.moving_ahead)
    lost = coasting_excursion(speed, how.dive_angle.si, how.delay.si, rate, lifting)
    try:
        below = s.num("site.bottom").si - s.num("plan.depth").si
    except UnknownError:
        return lost
    return replace(lost, depth=min(lost.depth, max(0.0, below)))


def depth_lost(how: Way, *, planes_over: bool) -> Num:
    """Depth lost with its ± over speed, dive angle, delay and plane time, by differences, m."""
    ends = (
        ("speed", how.speed, physics.SLOWEST, 50.0),
        ("dive_angle", how.dive_angle, 0.0, STEEPEST_KNOWN),
        ("delay", how.delay, 0.0, math.inf),
        ("plane_time", how.plane_time, 0.0, math.inf),
    )
    parts = [
        moved(partial(_put, how, planes_over, name), n.si, n.u95, low, high, harm=1.0)
        for name, n, low, high in ends
    ]
    return Num(how.lost(planes_over=planes_over), rss(*parts), how.basis)


def _put(how: Way, planes_over: bool, name: str, value: float) -> float:
    return how.lost(planes_over=planes_over, **{name: value})
