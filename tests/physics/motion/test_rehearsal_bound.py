"""The bound of the depth lost against rehearsals of boats drawn at random: it must lie outside.

Boats that shrinking air has made heavy where they turn are left out: no failsafe brings those back, and
another limit says so. Compared at the bow-down angle, which a boat's path never reaches.
"""

from collections.abc import Callable, Iterator
from math import radians

import pytest
from boats2d import NU, RHO, Drawn, drawn

from divelog.physics.motion.coasting import coast_rate
from divelog.physics.motion.drag import APPENDAGES_LOW, drag_factor
from divelog.physics.motion.excursion import excursion
from divelog.physics.motion.rehearsal import AtLoss, Case, PlanesAfter, Rehearsed, rehearse
from divelog.physics.motion.rising import rise
from divelog.physics.motion.sternway import coasting_excursion
from divelog.physics.motion.vertical_plane import backing_swing

Compared = tuple[float, float]
"""Depth lost by the keel amidships, and by the lower end, over the bound."""


def over(found: Rehearsed, one: Drawn, bound: float) -> Compared:
    return (found.deepest - one.depth) / bound, (found.lowest - one.depth) / bound


def ahead(one: Drawn, at_loss: AtLoss) -> Compared:
    case = Case(one.depth, one.speed, -one.angle, one.delay, one.plane_time, at_loss=at_loss, blow=one.blow)
    bound = excursion(
        one.speed, one.angle, one.delay, one.plane_time, one.length, planes_over=at_loss is AtLoss.DIVE
    ).worst
    return over(rehearse(one.boat, case), one, bound)


def astern(one: Drawn) -> Compared:
    case = Case(
        one.depth,
        -one.speed / 2,
        one.angle,
        one.delay,
        one.plane_time,
        blow=one.blow,
        planes=PlanesAfter.NO_EFFECT,
    )
    drag = drag_factor(one.hull, one.speed / 2, RHO, NU, appendages=APPENDAGES_LOW)
    lifting = rise(one.boat.balance, one.boat.mass_broadside, RHO, one.area)
    bound = coasting_excursion(
        one.speed / 2, one.angle, one.delay, coast_rate(drag, one.boat.mass_ahead), lifting
    )
    return over(rehearse(one.boat, case), one, bound.depth)


def light(count: int, first: int) -> Iterator[Drawn]:
    """Boats still light two metres under where the signal goes."""
    found, seed = 0, first
    while found < count:
        one = drawn(seed)
        seed += 1
        if one.boat.balance > one.boat.loss(one.depth + 2.0):
            found += 1
            yield one


def share_outside(compared: list[Compared], end: int = 0) -> float:
    return sum(one[end] <= 1.0 for one in compared) / len(compared)


def steady_dive(one: Drawn) -> Compared:
    return ahead(one, AtLoss.STEADY)


def stick_over(one: Drawn) -> Compared:
    return ahead(one, AtLoss.DIVE)


WAYS = [pytest.param(steady_dive, id="steady"), pytest.param(stick_over, id="dive stick over")]


class TestBound:
    @pytest.mark.parametrize("way", WAYS)
    def test_three_hundred_boats(self, way: Callable[[Drawn], Compared]) -> None:
        found = [way(one) for one in light(300, 0)]
        assert share_outside(found) >= 0.99
        assert sorted(c for c, _ in found)[150] > 0.1  # and it is still of use

    def test_the_lower_end_too_in_dives_from_five_degrees(self) -> None:
        # In flatter dives the stern, swinging down as she pitches up, may pass the bound by millimetres.
        found = [steady_dive(one) for one in light(300, 0) if one.angle >= radians(5)]
        assert len(found) > 200
        assert share_outside(found, end=1) >= 0.99

    def test_going_astern_where_her_righting_keeps_her(self) -> None:
        keeps = [one for one in light(600, 0) if backing_swing(one.boat, one.speed / 2) < 1.0]
        assert len(keeps) > 200
        assert share_outside([astern(one) for one in keeps]) >= 0.99


@pytest.mark.nightly
class TestBoundLong:
    @pytest.mark.parametrize("way", WAYS)
    def test_five_thousand_boats(self, way: Callable[[Drawn], Compared]) -> None:
        assert share_outside([way(one) for one in light(5000, 100_000)]) >= 0.99

    def test_going_astern(self) -> None:
        keeps = [one for one in light(5000, 100_000) if backing_swing(one.boat, one.speed / 2) < 1.0]
        assert share_outside([astern(one) for one in keeps]) >= 0.99
