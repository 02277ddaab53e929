"""The path of a boat from the moment the signal is lost to her mast out of the water.

She goes on as she was until the failsafe acts; then the motor stops, the planes travel, the ballast empties,
each as told, and the water does the rest. Depths are of the keel amidships, downwards; pitch is bow up.
Left out: waves, current, the surface's pull on a boat just under it, the lighter boat once her ballast is
out, a propeller that goes on turning. Near the bottom added mass grows up to twofold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from divelog.physics.motion.cubics import crest
from divelog.physics.motion.rehearsal_case import (
    DEEPEST,
    LONGEST,
    AtLoss,
    Case,
    End,
    PlanesAfter,
    Point,
    Rehearsed,
)
from divelog.physics.motion.steady import Steady, steady
from divelog.physics.motion.stepping import Law, Leap, State, leaps, within
from divelog.physics.motion.vertical_plane import Boat2D, Forces, forces_on
from divelog.physics.si import Kilograms, Metres, NewtonMetres, Newtons, Ratio, Seconds

TOLERANCE: Ratio = 1e-6
_LONGEST_STEP: Seconds = 1.0
_MOST_TOUCHES = 20


@dataclass(frozen=True, slots=True)
class _Stage:
    """A stretch of time in which planes and ballast move evenly and the motor does one thing."""

    start: Seconds
    end: Seconds
    planes: Ratio
    planes_rate: float
    given: Kilograms
    given_rate: float
    thrust: Newtons
    hold: NewtonMetres


def rehearse(boat: Boat2D, case: Case, tolerance: Ratio = TOLERANCE) -> Rehearsed:
    """Return the path of a boat in a case.

    tolerance: of each step, in m, rad, m/s. Raises `OutOfRangeError` where a figure is none of a boat.
    """
    before = steady(boat, case.speed, case.pitch, boat.balance - boat.loss(case.depth))
    stages = list(_stages(case, before))
    run = _Run(boat, case, tolerance)
    state: State = (case.depth, case.pitch, case.speed, before.down, 0.0)
    run.open(state)
    for stage in stages:
        state = run.through(stage, state, stages)
        if run.end is not None:
            break
    return run.finished(before.kept)


def _stages(case: Case, before: Steady) -> Iterator[_Stage]:
    target = {
        PlanesAfter.RISE: 1.0,
        PlanesAfter.MIDDLE: 0.0,
        PlanesAfter.NO_EFFECT: 0.0,
    }.get(case.planes)
    first = -1.0 if case.at_loss is AtLoss.DIVE else before.planes
    last = first if target is None else target
    travel = case.plane_time * abs(last - first) / 2.0
    if case.planes is PlanesAfter.NO_EFFECT:
        travel = 0.0
    moves = [0.0, case.delay, case.delay + travel]
    blow = case.blow if case.blow is not None and case.blow.mass > 0.0 else None
    if blow is not None:
        moves += [blow.delay, blow.delay + blow.duration]
    times = sorted({t for t in moves if t < LONGEST} | {LONGEST})
    for start, end in pairwise(times):
        acted = start >= case.delay
        moving = acted and start < case.delay + travel
        rate = (last - first) / travel if moving else 0.0
        planes = first if not acted else first + rate * (start - case.delay) if moving else last
        blowing = blow is not None and blow.delay <= start < blow.delay + blow.duration
        yield _Stage(
            start,
            end,
            planes,
            rate,
            0.0 if blow is None else blow.given_out(start),
            blow.mass / blow.duration if blow is not None and blowing else 0.0,
            before.thrust * case.motor if acted else before.thrust,
            before.hold * case.motor if acted else before.hold,
        )


class _Run:
    """The path while it is being worked out."""

    def __init__(self, boat: Boat2D, case: Case, tolerance: Ratio) -> None:
        self.boat, self.case, self.tolerance = boat, case, tolerance
        self.forces: Forces = forces_on(boat)
        self.points: list[Point] = []
        self.deepest, self.turns_up, self.lowest = case.depth, 0.0, case.depth
        self.touched: Seconds | None = None
        self.touches = 0
        self.end: End | None = None

    def open(self, state: State) -> None:
        """Begin with the state at the loss."""
        self._note(0.0, state)
        self.lowest = self._low_end(state)
        sinking = self.points[0].sinking
        if self._tip(state) <= 0.0 and (
            sinking < 0.0 or (sinking == 0.0 and self.boat.balance > self.boat.loss(state[0]))
        ):
            self.end = End.SURFACED

    def finished(self, kept: bool) -> Rehearsed:
        """The path as it stands."""
        end = self.end if self.end is not None else End.STAYS_DOWN
        return Rehearsed(
            tuple(self.points),
            self.deepest,
            self.turns_up,
            self.lowest,
            self.points[-1].time if end is End.SURFACED else None,
            self.touched,
            end,
            kept,
        )

    def through(self, stage: _Stage, state: State, stages: Sequence[_Stage]) -> State:
        """Carry a state through a stage; sets `end` where the path ends in it."""
        t = max(stage.start, self.points[-1].time)
        law = self._law(stage)
        while self.end is None and t < stage.end:
            for leap in leaps(law, t, stage.end, state, self.tolerance, _LONGEST_STEP):
                stop = self._stopped(law, leap)
                if stop is None:
                    self._keep(
                        leap.before, leap.rate_before, leap.start, leap.after, leap.rate_after, leap.end
                    )
                    state, t = leap.after, leap.end
                    if state[0] > DEEPEST:
                        self.end = End.TOO_DEEP
                        return state
                    continue
                when, found, end = stop
                self._keep(leap.before, leap.rate_before, leap.start, found, law(when, found), when)
                if end is End.SURFACED:
                    self.end = end
                    return found
                t, state = self._lie(when, found, stages)
                break
        return state

    def _law(self, stage: _Stage) -> Law:
        boat, forces = self.boat, self.forces
        ahead, broadside, inertia = boat.mass_ahead, boat.mass_broadside, boat.inertia
        pull = broadside - ahead
        sin, cos, loss = math.sin, math.cos, boat.loss
        start, planes0, planes_rate = stage.start, stage.planes, stage.planes_rate
        light0, light_rate = boat.balance + stage.given, stage.given_rate
        thrust, hold = stage.thrust, stage.hold

        def law(t: float, y: Sequence[float]) -> State:
            z, pitch, u, w, q = y
            since = t - start
            x, down, moment = forces(
                pitch, u, w, q, planes0 + planes_rate * since, light0 + light_rate * since - loss(z)
            )
            return (
                w * cos(pitch) - u * sin(pitch),
                q,
                (x + thrust - broadside * w * q) / ahead,
                (down + ahead * u * q) / broadside,
                (moment + hold + pull * u * w) / inertia,
            )

        return law

    def _stopped(self, law: Law, leap: Leap) -> tuple[Seconds, State, End] | None:
        """The first thing in a step that stops her: the tip out, or the bottom."""
        found: list[tuple[Seconds, State, End]] = []
        if leap.rate_after[0] < 0.0 and self._tip(leap.after) <= 0.0:
            if self._tip(leap.before) > 0.0:
                found.append((*within(law, leap, self._tip), End.SURFACED))
            else:  # she dived with the tip out and turns up with it out
                found.append((leap.end, leap.after, End.SURFACED))
        if self.case.bottom is not None:
            before, after = self._over_bottom(leap.before), self._over_bottom(leap.after)
            if before > 0.0 >= after:
                found.append((*within(law, leap, self._over_bottom), End.ON_BOTTOM))
            elif before <= 0.0 and after < before:
                found.append((leap.start, leap.before, End.ON_BOTTOM))
        return min(found, key=lambda one: one[0], default=None)

    def _lie(self, t: Seconds, state: State, stages: Sequence[_Stage]) -> tuple[Seconds, State]:
        """She touches: her way is gone; she lies until the motor has stopped and something lifts her."""
        self.touched = t if self.touched is None else self.touched
        self.touches += 1
        lying: State = (state[0], state[1], 0.0, 0.0, 0.0)
        free = self._lifts_at(t, lying[0], stages)
        if free is None or self.touches > _MOST_TOUCHES:
            self.end = End.ON_BOTTOM
            self._note(t, lying)
            return t, lying
        self._note(t, lying)
        if free > t:
            self._note(free, lying)
        return free, lying

    def _lifts_at(self, t: Seconds, depth: Metres, stages: Sequence[_Stage]) -> Seconds | None:
        """When the motor has stopped and she is light, from `t` on; None if never."""
        for stage in stages:
            if stage.end <= t or stage.thrust != 0.0:
                continue
            start = max(t, stage.start)
            light = self.boat.balance + stage.given - self.boat.loss(depth)
            if light + stage.given_rate * (start - stage.start) > 0.0:
                return start
            if stage.given_rate > 0.0:
                free = stage.start - light / stage.given_rate + 1e-6
                if free < stage.end:
                    return max(start, free)
        return None

    def _keep(self, y0: State, r0: State, t0: Seconds, y1: State, r1: State, t1: Seconds) -> None:
        """Put a stretch on the path; look between its ends for the deepest of keel, bow and stern."""
        span, half = t1 - t0, self.boat.length / 2.0
        depth, after = crest(y0[0], r0[0], y1[0], r1[0], span)
        if depth > self.deepest:
            self.deepest, self.turns_up = depth, t0 + after
        s0, s1 = math.sin(y0[1]), math.sin(y1[1])
        d0, d1 = math.cos(y0[1]) * y0[4], math.cos(y1[1]) * y1[4]
        for arm in (-half, half):
            low, _ = crest(y0[0] + arm * s0, r0[0] + arm * d0, y1[0] + arm * s1, r1[0] + arm * d1, span)
            self.lowest = max(self.lowest, low)
        self._note(t1, y1)

    def _note(self, t: Seconds, y: State) -> None:
        z, pitch, u, w, _ = y
        self.points.append(Point(t, z, pitch, math.hypot(u, w), w * math.cos(pitch) - u * math.sin(pitch)))

    def _low_end(self, y: Sequence[float]) -> Metres:
        return y[0] + self.boat.length / 2.0 * abs(math.sin(y[1]))

    def _tip(self, y: Sequence[float]) -> Metres:
        """Depth of the highest tip under the surface, m."""
        return y[0] - self.boat.tip * math.cos(y[1])

    def _over_bottom(self, y: Sequence[float]) -> Metres:
        assert self.case.bottom is not None
        return self.case.bottom - self._low_end(y)


__all__ = ["AtLoss", "Boat2D", "Case", "End", "PlanesAfter", "Point", "Rehearsed", "rehearse"]
