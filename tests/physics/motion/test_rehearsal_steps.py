"""The steps of a rehearsal: the printed formula, its order, its error, and moments found within a step."""

import math

import numpy as np
import pytest
from scipy.integrate import RK45, solve_ivp
from scipy.integrate._ivp.rk import rk_step

from divelog.physics.errors import OutOfRangeError
from divelog.physics.motion.cubics import crest, cubic
from divelog.physics.motion.stepping import leaps, step, within
from divelog.physics.roots import crossing


def swing(t, y):
    return (y[1], -math.sin(y[0]) + 0.1 * math.cos(t))


def test_one_step_is_that_of_scipy():
    # scipy's RK45 holds the same formula of Dormand & Prince 1980.
    y, h = (0.7, -0.2), 0.31
    first = swing(0.4, y)
    stages = np.empty((7, 2))
    after, _ = rk_step(
        lambda t, v: np.array(swing(t, v)),
        0.4,
        np.array(y),
        np.array(first),
        h,
        RK45.A,
        RK45.B,
        RK45.C,
        stages,
    )
    got, last, error = step(swing, 0.4, y, first, h)
    assert got == pytest.approx(tuple(after), rel=1e-14)
    assert last == pytest.approx(swing(0.4 + h, tuple(after)), rel=1e-14)
    assert [abs(e) for e in error] == pytest.approx(np.abs(h * stages.T @ RK45.E), rel=1e-9)


def test_the_order_is_five():
    def run(n):
        y = (0.7, -0.2)
        for i in range(n):
            y, _, _ = step(swing, 4.0 * i / n, y, swing(4.0 * i / n, y), 4.0 / n)
        return y

    true = solve_ivp(swing, (0, 4), (0.7, -0.2), method="DOP853", rtol=1e-13, atol=1e-14).y[:, -1]
    errors = [np.abs(np.array(run(n)) - true).max() for n in (16, 32)]
    assert 4.5 < math.log2(errors[0] / errors[1]) < 5.8


@pytest.mark.parametrize("tolerance", [1e-4, 1e-6, 1e-8, 1e-10])
def test_steps_keep_their_tolerance(tolerance):
    state = (0.7, -0.2)
    last = None
    for leap in leaps(swing, 0.0, 10.0, state, tolerance, 1.0):
        assert leap.end - leap.start <= 1.0 + 1e-12
        if last is not None:
            assert leap.start == last.end
            assert leap.before == last.after
        last = leap
    true = solve_ivp(swing, (0, 10), state, method="DOP853", rtol=1e-13, atol=1e-14).y[:, -1]
    assert last is not None
    assert last.end == 10.0
    assert last.after == pytest.approx(tuple(true), abs=100 * tolerance)


def test_a_moment_within_a_step():
    # cos t falls through nought at half pi.
    def law(t, y):
        return (-math.sin(t),)

    leap = next(one for one in leaps(law, 0.0, 3.0, (1.0,), 1e-11, 0.4) if one.after[0] < 0.0)
    when, state = within(law, leap, lambda y: y[0])
    assert when == pytest.approx(math.pi / 2, abs=1e-10)
    assert state[0] == pytest.approx(0.0, abs=1e-12)


def test_running_away_is_refused():
    with pytest.raises(OutOfRangeError, match="runs away"):
        for _ in leaps(lambda t, y: (1.0 + y[0] ** 2 * 1e3,), 0.0, 10.0, (1.0,), 1e-8, 1.0):
            pass


class TestCubics:
    def test_a_cubic_is_met(self):
        def height(x):
            return 2.0 * x**3 - 3.0 * x + 1.0

        def rate(x):
            return 6.0 * x**2 - 3.0

        for x in (0.0, 0.3, 1.1, 2.0):
            got = cubic(height(-0.5), rate(-0.5), height(1.5), rate(1.5), 2.0, x)
            assert got == pytest.approx(height(x - 0.5), abs=1e-12)
        assert cubic(1.0, 5.0, 2.0, 5.0, 0.0, 0.0) == 2.0

    def test_its_crest(self):
        # Of 1 - 3x + 2x^3 the crest lies where 6 x^2 = 3, at -sqrt(1/2).
        def height(x):
            return 2.0 * x**3 - 3.0 * x + 1.0

        top, at = crest(height(-1.0), 3.0, height(0.0), -3.0, 1.0)
        assert at - 1.0 == pytest.approx(-math.sqrt(0.5), abs=1e-12)
        assert top == pytest.approx(height(-math.sqrt(0.5)), abs=1e-12)

    @pytest.mark.parametrize(
        ("ends", "expected"),
        [
            ((1.0, -1.0, 0.0, -1.0), (1.0, 0.0)),
            ((0.0, 1.0, 1.0, 1.0), (1.0, 2.0)),
            ((0.0, 1.0, 0.0, -1.0), None),
        ],
    )
    def test_at_an_end_where_there_is_none(self, ends, expected):
        got = crest(*ends, 2.0)
        assert got == (pytest.approx((0.5, 1.0)) if expected is None else expected)  # a parabola x - x^2 / 2

    def test_of_nothing(self):
        assert crest(1.0, 1.0, 1.0, -1.0, 0.0) == (1.0, 0.0)


class TestCrossing:
    @pytest.mark.parametrize(
        ("figure", "low", "high", "root"),
        [
            (lambda x: x * x - 2.0, 0.0, 2.0, math.sqrt(2.0)),
            (lambda x: x**9 - 0.5, 0.0, 2.0, 0.5 ** (1 / 9)),
            (lambda x: math.copysign(1.0, x - 0.3), 0.0, 1.0, 0.3),
            (lambda x: x, -1.0, 1.0, 0.0),
        ],
    )
    def test_it_is_found(self, figure, low, high, root):
        assert crossing(figure, low, high) == pytest.approx(root, abs=1e-9)

    def test_a_slow_one_still_ends(self):
        # Too flat for a hundred halvings to settle, so only near.
        assert abs(crossing(lambda x: math.copysign(abs(x) ** 0.01, x), -1.0, 0.7)) < 1e-6

    def test_never_a_hair_outside(self):
        # The chord's foot, reckoned from the far end, may fall under the near one: -1.8e-15 s is no time.
        seen = []
        figure = lambda x: seen.append(x) or 1e-97 - x / 98.0  # noqa: E731
        assert 0.0 <= crossing(figure, 0.0, 13.0) <= 1e-13
        assert min(seen) >= 0.0

    def test_without_one_the_nearer_end(self):
        assert crossing(lambda x: x + 3.0, 0.0, 1.0) == 0.0
        assert crossing(lambda x: 3.0 - x, 0.0, 1.0) == 1.0
