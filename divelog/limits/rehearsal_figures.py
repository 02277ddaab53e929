"""Figures of a rehearsal: the boat, the way she goes, each with its ±, and the cases."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from divelog.limits import water
from divelog.limits.balance import dived_balance, dived_mass, squeeze
from divelog.limits.failsafe_acts import HOLDS_ON, NOTHING, Acts, acts
from divelog.limits.motion_figures import STEEPEST_KNOWN, TEST_DEPTH, Way, body, tip_height, way
from divelog.limits.sheet import Sheet, UnknownError
from divelog.physics.buoyancy_squeeze import SOFT_FOAM_GAS
from divelog.physics.motion.drag import APPENDAGES, APPENDAGES_LOW
from divelog.physics.motion.hull import Hull
from divelog.physics.motion.planes import effective_aspect_ratio, lift_slope
from divelog.physics.motion.rehearsal import AtLoss, Boat2D, Case, PlanesAfter, rehearse
from divelog.physics.motion.rising import Blow
from divelog.physics.motion.vertical_plane import STALL, Planes, boat_of, stern_planes
from divelog.profiles.document import Num

PLANES_SPREAD = 0.4
"""95 % of the stern planes' size where nobody has measured them (common practice, no source)."""

SLOWER_BALLAST = 0.25
"""95 % of a time to empty (common practice, no source)."""

FORE_THROW = math.radians(15.0)
BOW_PLACE, SAIL_PLACE = 0.35, 0.1
"""Bow and sail planes ahead of the middle, in lengths (common practice, no source)."""

STRETCH = (0.5, 5.0)
"""A stopwatch that lies further from the reckoning than this has timed something else."""


@dataclass(frozen=True, slots=True)
class CaseWords:
    """A case as people know it."""

    name: str
    short: str
    """The name where there is little room."""
    says: str
    """What has happened, after the name."""


STEADY, STICK_OVER, ASTERN, STOPPED, JAMMED, HELD, MISSING = CASES = (
    CaseWords("steady", "steady", "a steady dive, planes as they stand"),
    CaseWords("dive stick over", "stick over", "the last command was full dive"),
    CaseWords("going astern", "astern", "backing at half cruise, bow up"),
    CaseWords("stopped", "stopped", "no way on, level"),
    CaseWords("planes jammed", "jammed", "they stay as they stood; the rest works"),
    CaseWords("last command held", "command held", "nothing acts, the motor drives on"),
    CaseWords("no failsafe", "none set", "the motor stops, nothing else acts"),
)


def case_named(text: str) -> CaseWords | None:
    """A case by its number, name or short name, whatever the capitals; None where there is none."""
    wanted = " ".join(text.replace("-", " ").replace("_", " ").casefold().split())
    for number, one in enumerate(CASES, 1):
        if wanted in (str(number), one.name, one.short):
            return one
    return None


@dataclass(frozen=True, slots=True)
class Figures:
    """Everything a path is worked out of; SI."""

    hull: Hull
    area: float
    speed: float
    angle: float
    delay: float
    plane_time: float
    balance: float
    form_mass: float
    dived_mass: float
    righting: float
    appendages: float
    planes_size: float
    fore: Planes | None
    empties: float
    """Time to empty over the one reckoned."""
    depth: float
    tip: float
    density: float
    viscosity: float
    air: float
    stiff_loss: float
    barometer: float
    bottom: float | None

    def boat(self) -> Boat2D:
        """The boat."""
        stern = stern_planes(self.hull.length, self.hull.diameter, self.planes_size)
        return boat_of(
            self.hull,
            area=self.area,
            form_mass=self.form_mass,
            dived_mass=self.dived_mass,
            righting=self.righting,
            balance=self.balance,
            tip=self.tip,
            speed=self.speed,
            density=self.density,
            viscosity=self.viscosity,
            planes=(stern,) if self.fore is None else (stern, self.fore),
            appendages=self.appendages,
            air=self.air,
            stiff_loss=self.stiff_loss,
            barometer=self.barometer,
        )

    def _blow(self, does: Acts) -> Blow | None:
        if does.blow is None:
            return None
        return Blow(does.blow.mass, does.blow.duration * self.empties, self.delay)

    def case(self, which: CaseWords, does: Acts) -> Case:
        """One case, with what her failsafe does in it."""
        usual = Case(
            self.depth,
            self.speed,
            -self.angle,
            self.delay,
            self.plane_time,
            planes=does.planes,
            motor=does.motor,
            blow=self._blow(does),
            bottom=self.bottom,
        )
        if which is STICK_OVER:
            return replace(usual, at_loss=AtLoss.DIVE)
        if which is ASTERN:
            return replace(usual, speed=-self.speed / 2.0, pitch=self.angle)
        if which is STOPPED:
            return replace(usual, speed=0.0, pitch=0.0)
        return usual

    def trial(self, does: Acts) -> Case:
        """The stopwatch trial: at rest half a metre down, transmitter off."""
        return Case(
            TEST_DEPTH, 0.0, 0.0, self.delay, self.plane_time, planes=does.planes, blow=self._blow(does)
        )


@dataclass(frozen=True, slots=True)
class Moved:
    """One input at the end of its ±."""

    what: str
    figures: Figures


def acts_in(s: Sheet, which: CaseWords) -> Acts:
    """What acts in a case."""
    if which is HELD:
        return HOLDS_ON
    if which is MISSING:
        return NOTHING
    own = s.of(acts)
    if which is JAMMED:
        return replace(own, planes=PlanesAfter.HELD)
    if which is ASTERN:  # a word for the motor is meant for way ahead: backing, she is taken to stop
        return replace(own, planes=PlanesAfter.NO_EFFECT, motor=0.0)
    return own


def _fore_planes(s: Sheet, length: float) -> Planes | None:
    bow = s.word("controls.bow_planes") == "fitted"
    sail = s.word("controls.sail_planes") in ("switch", "stick")
    if not (bow or sail) or not s.of(acts).fore_planes:
        return None
    area, span = s.maybe("controls.plane_area"), s.maybe("controls.plane_span")
    if area is None or span is None:
        return None
    throw = s.assume("throw of the sail or bow planes", FORE_THROW, unit="rad", note="15 deg")
    aspect = min(20.0, max(0.05, effective_aspect_ratio(span.si, area.si / 2.0)))
    place = (BOW_PLACE if bow else SAIL_PLACE) * length
    return Planes(area.si, lift_slope(aspect), place, throw.si, STALL, aft=False)


def figures(s: Sheet) -> tuple[Figures, tuple[Moved, ...]]:
    """Her figures today, and the same with each input in turn at the end of its ± that takes her deeper."""
    how: Way = s.of(way)
    her, shrinks = s.of(body), s.of(squeeze)
    balance, mass, righting = s.of(dived_balance), s.of(dived_mass), s.num("motion.righting")
    form = s.num("boat.form_volume")
    size = s.assume(
        "stern planes' size", 1.0, PLANES_SPREAD, "1", "a fortieth of length times diameter a side", star=True
    )
    drag = s.assume(
        "whole boat's drag over the bare hull's",
        APPENDAGES,
        APPENDAGES - APPENDAGES_LOW,
        "1",
        "1.8, at least 1.3",
    )
    plan, bottom = s.num("plan.depth").si, s.maybe("site.bottom")
    if bottom is not None and bottom.si <= plan:
        raise UnknownError(because=f"The plan of {plan:.1f} m is at the bottom or under it.")
    base = Figures(
        hull=her.hull,
        area=her.area,
        speed=how.speed.si,
        angle=min(how.dive_angle.si, STEEPEST_KNOWN),
        delay=how.delay.si,
        plane_time=how.plane_time.si,
        balance=balance.si,
        form_mass=her.mass,
        dived_mass=mass.si,
        righting=righting.si,
        appendages=drag.si,
        planes_size=size.si,
        fore=_fore_planes(s, how.length),
        empties=1.0,
        depth=plan,
        tip=s.of(tip_height),
        density=shrinks.density,
        viscosity=s.of(water.viscosity).si,
        air=shrinks.air + (SOFT_FOAM_GAS * shrinks.foam if shrinks.soft else 0.0),
        stiff_loss=shrinks.of_tube(1.0) + (0.0 if shrinks.soft else shrinks.of_foam(1.0)),
        barometer=shrinks.barometer,
        bottom=None if bottom is None else bottom.si,
    )
    ends: tuple[tuple[str, Num, Callable[[float], Figures]], ...] = (
        ("speed", how.speed, lambda u: replace(base, speed=base.speed + u)),
        ("dive angle", how.dive_angle, lambda u: replace(base, angle=min(base.angle + u, STEEPEST_KNOWN))),
        ("failsafe delay", how.delay, lambda u: replace(base, delay=base.delay + u)),
        ("plane time", how.plane_time, lambda u: replace(base, plane_time=base.plane_time + u)),
        ("dived balance", balance, lambda u: replace(base, balance=base.balance - u)),
        ("righting", righting, lambda u: replace(base, righting=max(0.0, base.righting - u))),
        ("form volume", form, lambda u: replace(base, form_mass=base.form_mass * (1.0 + u / form.si))),
        ("planes", size, lambda u: replace(base, planes_size=base.planes_size - u)),
        ("drag", drag, lambda u: replace(base, appendages=base.appendages - u)),
        ("emptying", Num(1.0, SLOWER_BALLAST), lambda u: replace(base, empties=base.empties + u)),
    )  # fmt: skip
    return base, tuple(Moved(what, at(n.u95)) for what, n, at in ends if n.u95 > 0.0)


def stretch(boat: Boat2D, one: Figures, does: Acts, trial: Num) -> float | None:
    """Her rise timed by stopwatch over the same rise reckoned, both after the delay; None where none is reckoned."""
    up = rehearse(boat, one.trial(does)).surfaced
    if up is None or up <= one.delay or trial.si <= one.delay:
        return None
    low, high = STRETCH
    return min(high, max(low, (trial.si - one.delay) / (up - one.delay)))
