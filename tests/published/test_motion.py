"""Motion against the world outside: printed values, general-purpose libraries, a published vehicle."""

import math
from math import degrees, radians

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, fsolve, minimize_scalar

from divelog.physics.motion.added_mass import added_mass
from divelog.physics.motion.coasting import (
    coast_distance,
    coast_distance_to,
    coast_speed,
    coast_time_to,
    stop_with_astern,
)
from divelog.physics.motion.drag import (
    friction_clean,
    friction_rough,
    friction_turbulent,
    resistance,
    reynolds,
)
from divelog.physics.motion.excursion import excursion, turning_estimate
from divelog.physics.motion.hull import Hull, form_factor
from divelog.physics.motion.planes import (
    hull_lift_area,
    least_speed,
    lift_slope,
    lift_slope_helmbold,
    lift_slope_hoerner,
    plane_lift_area,
)
from divelog.physics.motion.propeller import throttle_cap_by_loading, thrust_before_air, thrust_left
from divelog.physics.motion.rising import Blow, Rise, climb_time, rise, rise_with_blow
from divelog.physics.motion.room import longest_delay, longest_delay_planes_over, steepest_angle
from divelog.physics.motion.speed import (
    distance_run,
    froude_speed,
    scale_speed,
    speed_for_power,
)
from divelog.physics.motion.sternway import coasting_excursion

RHO = 999.1  # kg/m3, fresh water at 15 degC (IAPWS-95)
NU = 1.138e-6  # m2/s, the same


class TestFriction:
    # ITTC-1957 line, C_F in thousandths as tables of the line print it (from memory).
    @pytest.mark.parametrize(
        ("reynolds_number", "thousandths"),
        [(1e5, 8.333), (1e6, 4.688), (1e7, 3.000), (1e8, 2.083), (1e9, 1.531)],
    )
    def test_ittc_1957_line(self, reynolds_number, thousandths):
        assert friction_turbulent(reynolds_number) * 1000 == pytest.approx(thousandths, abs=6e-4)

    def test_whites_transition_constant_is_what_its_own_matching_gives(self):
        # White, Fluid Mechanics, 7.49a: the constant 1440 makes the plate laminar up to Re_x = 5e5.
        turbulent = 0.031 * 5e5 ** (-1 / 7)
        assert 5e5 * (turbulent - 1.328 / math.sqrt(5e5)) == pytest.approx(1440, rel=2e-3)
        assert friction_clean(5e5) == pytest.approx(1.328 / math.sqrt(5e5), rel=2e-3)

    # White, Fluid Mechanics, 7.49a and Blasius, put in by hand.
    @pytest.mark.parametrize(
        ("reynolds_number", "expected"), [(1e5, 0.004200), (4e5, 0.002100), (6e5, 0.002234), (2e6, 0.003181)]
    )
    def test_clean_hull(self, reynolds_number, expected):
        assert friction_clean(reynolds_number) == pytest.approx(expected, abs=1e-6)

    def test_fully_rough_plate(self):
        # Prandtl-Schlichting, White 7.48b (from memory), put in by hand for 1 m and 0.3 mm.
        assert friction_rough(1.0, 0.3e-3) == pytest.approx(0.006286, abs=1e-6)

    def test_form_factor_of_a_body_of_revolution(self):
        # Hoerner's factor, exact in halves: L/D = 4 gives 1 + 1.5/8 + 7/64.
        assert form_factor(4.0) == pytest.approx(1 + 1.5 / 8 + 7 / 64, rel=1e-12)
        for slenderness, expected in ((5, 1.19016), (8, 1.07996), (10, 1.05443)):
            assert form_factor(slenderness) == pytest.approx(expected, abs=1e-5)

    def test_bare_torpedo_hull_comes_out_where_hull_formulas_put_it(self):
        # Prestero 2001, section 4.2.1: hull formulas give 0.11 to 0.13 on frontal area at Re 1.7e6.
        hull = Hull(1.33, 0.191)
        drag = resistance(hull, 1.54, 1025.0, 1.19e-6, appendages=1.0)
        coefficient = drag / (0.5 * 1025.0 * 1.54**2 * math.pi / 4 * 0.191**2)
        assert reynolds(1.54, 1.33, 1.19e-6) == pytest.approx(1.7e6, rel=0.02)
        assert 0.11 * 0.98 <= coefficient <= 0.13 * 1.02

    # Figured apart with numpy from the same published lines.
    @pytest.mark.parametrize(
        ("length", "diameter", "speed", "newtons"),
        [(1.0, 0.12, 0.8, 1.0041), (0.45, 0.06, 0.5, 0.1219), (2.0, 0.25, 1.2, 7.489)],
    )
    def test_whole_boat(self, length, diameter, speed, newtons):
        line = 0.075 / (np.log10(speed * length / NU) - 2) ** 2
        form = np.polyval([7, 0, 0, 1], diameter / length) + 1.5 * (diameter / length) ** 1.5
        apart = 0.5 * RHO * speed**2 * 0.85 * np.pi * diameter * length * line * form * 1.8
        drag = resistance(Hull(length, diameter), speed, RHO, NU)
        assert drag == pytest.approx(apart, rel=1e-12)
        assert drag == pytest.approx(newtons, rel=1e-3)


class TestSpeeds:
    @pytest.mark.parametrize(("power", "drag", "expected"), [(20, 1.57, 1.646), (60, 5.2, 1.593)])
    def test_power_meets_drag(self, power, drag, expected):
        root = brentq(lambda v: drag * v**3 - 0.35 * power, 0.01, 10)  # scipy
        assert speed_for_power(power, drag) == pytest.approx(root, rel=1e-9)
        assert speed_for_power(power, drag) == pytest.approx(expected, rel=1e-3)

    def test_distance_by_throttle(self):
        # By hand: 0.9 (75 + 300 + 90 + 30).
        bands = [(0.25, 300), (0.5, 600), (0.75, 120), (1.0, 30)]
        assert distance_run(0.9, bands) == pytest.approx(445.5, rel=1e-12)

    @pytest.mark.parametrize(("scale", "expected"), [(48, 1.4851), (72, 1.2126), (96, 1.0501), (144, 0.8574)])
    def test_scale_speed_of_twenty_knots(self, scale, expected):
        # Froude's law of comparison; 1 kn = 1852 m/h (International Hydrographic Conference, 1929).
        assert scale_speed(20 * 1852 / 3600, scale) == pytest.approx(expected, abs=1e-4)

    def test_froude_speed(self):
        assert froude_speed(1.0, 0.4) == pytest.approx(1.2526, abs=1e-4)  # by hand, 0.4 sqrt(9.80665)


class TestCoasting:
    @pytest.mark.parametrize("rate", [0.02, 0.1, 0.3, 1.0])
    @pytest.mark.parametrize("start", [0.3, 0.8, 2.0])
    def test_against_integration(self, rate, start):
        times = np.linspace(0, 30, 13)
        flow = solve_ivp(  # scipy
            lambda t, y: [-rate * y[0] ** 2, y[0]], (0, 30), [start, 0], t_eval=times, rtol=1e-10, atol=1e-12
        )
        for t, speed, distance in zip(times, *flow.y, strict=True):
            assert coast_speed(start, rate, t) == pytest.approx(speed, rel=1e-6)
            assert coast_distance(start, rate, t) == pytest.approx(distance, rel=1e-6, abs=1e-9)

    def test_down_to_a_tenth(self):
        assert coast_distance_to(0.8, 0.1, 0.3) == pytest.approx(
            quad(lambda v: 1 / (0.3 * v), 0.1, 0.8)[0], rel=1e-9
        )  # scipy: ds = dV / (a V)
        assert coast_time_to(0.8, 0.1, 0.3) == pytest.approx(
            quad(lambda v: 1 / (0.3 * v * v), 0.1, 0.8)[0], rel=1e-9
        )
        assert coast_distance_to(0.8, 0.1, 0.3) == pytest.approx(6.9315, abs=1e-3)
        assert coast_time_to(0.8, 0.1, 0.3) == pytest.approx(29.167, abs=1e-3)

    @pytest.mark.parametrize("reaction", [0.0, 1.5])
    def test_stopping_with_the_motor_astern(self, reaction):
        stop = stop_with_astern(0.8, 12.0, 3.0, 2.0, reaction)
        run = quad(lambda v: 12 * v / (2 + 3 * v * v), 0, 0.8)[0]  # scipy: m V dV = -(T + c V^2) ds
        time = quad(lambda v: 12 / (2 + 3 * v * v), 0, 0.8)[0]
        assert stop.distance == pytest.approx(run + 0.8 * reaction, rel=1e-9)
        assert stop.time == pytest.approx(time + reaction, rel=1e-9)
        if not reaction:
            assert (run, time) == pytest.approx((1.3459, 3.7977), abs=1e-3)


class TestAddedMass:
    # Lamb, Hydrodynamics, table of inertia coefficients of spheroids (from memory).
    @pytest.mark.parametrize(
        ("slenderness", "k1", "k2", "k3"),
        [
            (2.0, 0.209, 0.702, 0.240),
            (3.99, 0.082, 0.860, 0.608),
            (6.01, 0.045, 0.918, 0.764),
            (8.01, 0.029, 0.945, 0.840),
            (9.97, 0.021, 0.960, 0.883),
        ],
    )
    def test_lambs_table(self, slenderness, k1, k2, k3):
        got = added_mass(slenderness)
        assert (got.ahead, got.broadside, got.pitch) == pytest.approx((k1, k2, k3), abs=3e-3)

    @pytest.mark.parametrize("slenderness", [1.01, 1.5, 2, 4, 7, 8, 10, 20, 60])
    def test_against_lambs_integrals(self, slenderness):
        # Lamb 1932, articles 114 and 115, the integrals themselves by scipy; lengths in b = 1.
        a = slenderness
        alpha = a * quad(lambda x: (a * a + x) ** -1.5 / (1 + x), 0, np.inf, epsabs=0, epsrel=1e-11)[0]
        beta = a * quad(lambda x: (a * a + x) ** -0.5 / (1 + x) ** 2, 0, np.inf, epsabs=0, epsrel=1e-11)[0]
        spin = (a * a - 1) ** 2 * (beta - alpha)
        spin /= (a * a + 1) * (2 * (a * a - 1) - (a * a + 1) * (beta - alpha))
        got = added_mass(a)
        assert got.ahead == pytest.approx(alpha / (2 - alpha), rel=1e-7)
        assert got.broadside == pytest.approx(beta / (2 - beta), rel=1e-7)
        assert got.pitch == pytest.approx(spin, rel=1e-5)


class TestRising:
    MEDIUM = (17.531, RHO, 0.102)  # moving mass kg, density, plan area m2

    @pytest.mark.parametrize("depth", [0.05, 0.1, 0.43, 1.0, 3.0, 6.0])
    @pytest.mark.parametrize(
        ("buoyancy", "mass", "area", "drag"),
        [(0.040, 17.531, 0.102, 1.2), (0.010, 2.133, 0.02295, 1.2), (0.150, 155.578, 0.425, 0.9)],
    )
    def test_against_integration(self, buoyancy, mass, area, drag, depth):
        def law(_t, y):
            return [y[1], (9.80665 * buoyancy - 0.5 * RHO * drag * area * y[1] * abs(y[1])) / mass]

        def top(_t, y):
            return y[0] - depth

        top.terminal = True  # type: ignore[attr-defined]
        flow = solve_ivp(law, (0, 500), [0, 0], events=top, rtol=1e-10, atol=1e-12)  # scipy
        got = rise(buoyancy, mass, RHO, area, drag).time(depth)
        assert got == pytest.approx(flow.t_events[0][0], rel=1e-4)

    # Figured apart from t = tau arcosh(e^x).
    @pytest.mark.parametrize(("depth", "seconds"), [(0.1, 3.166), (1.0, 14.965), (3.0, 39.936)])
    def test_medium_boat(self, depth, seconds):
        law = rise(0.040, *self.MEDIUM)
        x = depth / (law.terminal_speed * law.time_constant)
        assert law.terminal_speed == pytest.approx(0.0801, rel=1e-3)
        assert law.time(depth) == pytest.approx(law.time_constant * np.arccosh(np.exp(x)), rel=1e-9)
        assert law.time(depth) == pytest.approx(seconds, rel=1e-3)

    @pytest.mark.parametrize(
        ("depth", "buoyancy", "seconds"), [(1, 0.040, 8.44), (1, -0.050, 11.67), (3, 0.040, 15.61)]
    )
    def test_with_a_blow(self, depth, buoyancy, seconds):
        blow = Blow(mass=0.9, duration=20.0, delay=1.5)
        mass, _, area = self.MEDIUM

        def law(t, y):
            light = buoyancy + 0.9 * np.clip((t - 1.5) / 20, 0, 1)
            return [y[1], (9.80665 * light - 0.5 * RHO * 1.2 * area * y[1] * abs(y[1])) / mass]

        def top(_t, y):
            return y[0] - depth

        top.terminal = True  # type: ignore[attr-defined]
        flow = solve_ivp(law, (0, 500), [0, 0], events=top, rtol=1e-9, atol=1e-11, max_step=0.05)  # scipy
        got = rise_with_blow(depth, buoyancy, blow, *self.MEDIUM)
        assert got.time == pytest.approx(flow.t_events[0][0], rel=1e-4)
        assert got.time == pytest.approx(seconds, rel=5e-3)
        assert got.sank == pytest.approx(max(0.0, -flow.y[0].min()), abs=1e-3)

    def test_climbing_under_power(self):
        assert climb_time(1.0, 0.5, radians(15)) == pytest.approx(7.727, rel=1e-3)  # by hand


# speed, length, dive angle, delay, plane time, rise angle, planes over;
# then angle (deg), waiting, travelling, turning (estimate), sums of estimate and bound.
EXCURSIONS = [
    ((0.8, 1.0, 10, 1.5, 0.37, 20, False), (10.0, 0.2084, 0.0514, 0.0495, 0.3093, 0.5216)),
    ((0.8, 1.0, 10, 1.5, 0.37, 20, True), (44.38, 0.5401, 0.2070, 0.5497, 1.2968, 1.9089)),
    ((0.5, 0.45, 15, 1.0, 0.2, 15, False), (15.0, 0.1294, 0.0259, 0.0542, 0.2095, 0.3320)),
    ((1.2, 2.0, 8, 2.0, 0.5, 10, True), (42.38, 1.0062, 0.4044, 1.3519, 2.7625, 3.6295)),
    ((0.8, 1.0, 0, 1.5, 0.37, 20, True), (34.38, 0.3493, 0.1671, 0.3763, 0.8928, 1.4165)),
]


class TestExcursion:
    @pytest.mark.parametrize(("case", "expected"), EXCURSIONS)
    def test_against_the_path_integrated(self, case, expected):
        speed, length, dive, delay, travel, up, over = case
        lost = excursion(speed, radians(dive), delay, travel, length, planes_over=over)
        estimate = turning_estimate(lost.angle, radians(up), length)

        def path(t, y):  # scipy: the path angle of the three phases, the depth its integral
            depth_rate = speed * math.sin(y[1])
            if t < delay:
                return [depth_rate, speed / (2 * length) if over else 0.0]
            if t < delay + travel:
                return [depth_rate, 0.0]
            return [speed * y[1], -(y[1] + radians(up)) * speed / (1.5 * length)]

        def level(t, y):
            return y[1] if t > delay + travel else 1.0

        level.terminal = True  # type: ignore[attr-defined]
        flow = solve_ivp(path, (0, 60), [0, radians(dive)], events=level, max_step=0.002, rtol=1e-8)
        total = lost.waiting + lost.travelling + estimate
        assert total == pytest.approx(flow.y[0][-1], abs=2e-3)
        assert degrees(lost.angle) == pytest.approx(expected[0], abs=5e-3)
        # Figured apart, to half a millimetre.
        assert (lost.waiting, lost.travelling, estimate, total, lost.bound) == pytest.approx(
            expected[1:], abs=5e-4
        )

    def test_turning_alone(self):
        assert turning_estimate(radians(20), radians(20), 1.0, 1.0) == pytest.approx(0.10711, abs=1e-5)


class TestPublishedVehicle:
    """The bound against a depth-plane simulation of a published vehicle.

    Coefficients: Prestero 2001, appendix of vehicle parameters and coefficients (read in public copies),
    torpedo-shaped, 1.33 m, 299 N, planes to 20 degrees. Speed held; heave, pitch, quadratic damping,
    righting moment; scipy's solve_ivp.
    """

    WEIGHT, ZG, IYY, LENGTH = 299.0, 0.0196, 3.45, 1.33
    MASS = WEIGHT / 9.81
    STOP = radians(20)
    TRAVEL = 0.4

    def forces(self, u, w, q, theta, plane):
        heave = -131 * w * abs(w) - 0.632 * q * abs(q) + (-5.22 + self.MASS) * u * q - 28.6 * u * w
        heave += self.MASS * self.ZG * q * q - 9.64 * u * u * plane
        pitch = 3.18 * w * abs(w) - 188 * q * abs(q) - 2.0 * u * q + 24.0 * u * w - 6.15 * u * u * plane
        pitch += -self.ZG * self.WEIGHT * math.sin(theta) - self.MASS * self.ZG * w * q
        inertia = np.array([[self.MASS + 35.5, 1.93], [1.93, self.IYY + 4.88]])
        return np.linalg.solve(inertia, [heave, pitch])

    def steady_dive(self, u, path):
        def balance(x):
            w, theta, plane = x
            a, b = self.forces(u, w, 0.0, theta, plane)
            return a, b, math.atan2(u * math.sin(theta) - w * math.cos(theta), u) + path

        return fsolve(balance, (0.0, -path, 0.05))

    def depth_lost(self, u, path, delay, *, over):
        w, theta, plane = self.steady_dive(u, path)
        if abs(plane) > self.STOP:
            return None
        held = self.STOP if over else plane

        def motion(t, y):
            now = max(-self.STOP, held - 2 * self.STOP / self.TRAVEL * max(0.0, t - delay))
            a, b = self.forces(u, y[0], y[1], y[2], now)
            return [a, b, y[1], -u * math.sin(y[2]) + y[0] * math.cos(y[2])]

        flow = solve_ivp(motion, (0, 25), (w, 0.0, theta, 0.0), max_step=0.1, rtol=1e-6)
        return -theta, max(flow.y[3])

    @pytest.mark.parametrize("speed", [0.5, 0.8, 1.2, 1.6])
    @pytest.mark.parametrize("path", [5, 10, 15, 20])
    @pytest.mark.parametrize("over", [False, True])
    def test_the_bound_is_not_beaten(self, speed, path, over):
        for delay in (0.5, 3.0):
            simulated = self.depth_lost(speed, radians(path), delay, over=over)
            if simulated is None:
                continue  # her planes cannot hold this dive at this speed
            bow_down, lost = simulated
            bound = excursion(
                speed, min(bow_down, radians(45)), delay, self.TRAVEL, self.LENGTH, planes_over=over
            ).worst
            assert lost <= bound
            if not over:
                assert bound <= 2.5 * lost  # and it is still of use


class TestSternway:
    @pytest.mark.parametrize(
        ("case", "depth", "time"),
        [
            ((0.8, 15, 1.5, 0.17, 0.08, 3.58), 1.0223, 11.73),
            ((0.8, 5, 1.5, 0.17, 0.08, 3.58), 0.1902, 2.70),
            ((0.5, 10, 1.0, 0.44, 0.084, 1.837), 0.1539, 1.76),
        ],
    )
    def test_against_a_search_for_the_deepest_point(self, case, depth, time):
        speed, angle, delay, rate, terminal, tau = case
        sine = math.sin(radians(angle))

        def height(t):
            return -(sine * np.log(1 + rate * speed * t) / rate - terminal * tau * np.log(np.cosh(t / tau)))

        best = minimize_scalar(height, bounds=(0, 60), method="bounded", options={"xatol": 1e-9})  # scipy
        got = coasting_excursion(speed, radians(angle), delay, rate, Rise(terminal, tau))
        assert got.depth == pytest.approx(sine * speed * delay - best.fun, abs=1e-6)
        assert got.depth == pytest.approx(depth, abs=1e-3)
        assert got.time == pytest.approx(time, abs=0.01)


class TestRoom:
    # Room, speed, dive angle, plane time, length; figured apart.
    @pytest.mark.parametrize(
        ("case", "expected"),
        [
            ((1.5, 0.8, 10, 0.37, 1.0), 8.543),
            ((0.6, 0.5, 15, 0.2, 0.45), 3.071),
            ((0.3, 0.8, 15, 0.37, 1.0), -0.818),
        ],
    )
    def test_longest_delay(self, case, expected):
        room, speed, angle, travel, length = case
        got = longest_delay(room, speed, radians(angle), travel, length)
        assert got == pytest.approx(expected, rel=1e-3)

    def test_longest_delay_with_the_planes_over(self):
        def over(delay):
            return excursion(0.6, radians(10), delay, 0.4, 0.92, planes_over=True).bound - 1.0

        root = brentq(over, 0, 20, xtol=1e-12)  # scipy
        assert longest_delay_planes_over(1.0, 0.6, radians(10), 0.4, 0.92) == pytest.approx(root, abs=1e-8)

    @pytest.mark.parametrize(
        ("case", "expected"),
        [
            ((1.0, 0.8, 1.5, 0.37, 1.0), 19.305),
            ((0.5, 0.5, 1.0, 0.2, 0.45), 22.748),
            ((0.2, 0.8, 1.5, 0.37, 1.0), 3.826),
            ((2.0, 1.2, 2.0, 0.5, 2.0), 19.279),
        ],
    )
    def test_steepest_angle(self, case, expected):
        room, speed, delay, travel, length = case
        root = brentq(  # scipy
            lambda g: speed * math.sin(g) * (delay + travel) + 1.5 * length * g - room, 0, math.pi / 2
        )
        got = steepest_angle(*case)
        assert got == pytest.approx(root, abs=1e-10)
        assert degrees(got) == pytest.approx(expected, rel=1e-3)


class TestPlanes:
    def test_helmbold_in_a_worked_example(self):
        # Anderson, Aircraft Performance and Design, example 2.8: 4.4 per radian.
        assert lift_slope_helmbold(6.0, 6.02) == pytest.approx(4.397, abs=0.01)

    # Each formula put in by hand: Whicker & Fehlner 1958; Helmbold; Hoerner.
    def test_printed_formulas_by_hand(self):
        for aspect, expected in ((1, 1.4123), (2, 2.4630), (3, 3.1634), (6, 4.2095)):
            assert lift_slope(aspect) == pytest.approx(expected, abs=1e-4)
        assert lift_slope(2.0, radians(30)) == pytest.approx(2.4324, abs=1e-4)
        assert lift_slope_helmbold(1.0) == pytest.approx(1.4833, abs=1e-4)
        assert lift_slope_helmbold(3.0) == pytest.approx(3.3627, abs=1e-4)
        assert lift_slope_hoerner(1.0) == pytest.approx(2.0196, abs=1e-4)
        assert lift_slope_hoerner(2.0) == pytest.approx(2.9762, abs=1e-4)

    def test_lift_of_a_low_wing_by_slender_body_theory(self):
        # Jones 1946, NACA report 835: the slope of a very low wing goes to pi A / 2.
        assert lift_slope_helmbold(0.01) == pytest.approx(math.pi * 0.01 / 2, rel=0.01)
        assert lift_slope(0.05) == pytest.approx(math.pi * 0.05 / 2, rel=0.05)

    @pytest.mark.parametrize(
        ("buoyancy", "diameter", "slenderness", "area", "with_bow", "stern_only"),
        [(0.040, 0.12, 8.333, 0.0030, 0.4096, 0.5222), (0.150, 0.25, 8.0, 0.0120, 0.3916, 0.4954)],
    )
    def test_least_speed(self, buoyancy, diameter, slenderness, area, with_bow, stern_only):
        # By the balance of forces, figured with scipy's root finder.
        hull = hull_lift_area(diameter * slenderness, diameter)
        planes = plane_lift_area(area, lift_slope(2.0), radians(8), radians(15))
        per_radian = diameter**2 * slenderness * 0.003 * 180 / math.pi

        def balance(v, extra):
            lift = per_radian * radians(8) + extra
            return 0.5 * RHO * v * v * lift - 9.80665 * buoyancy

        for extra, lift, printed in ((area * 0.6, planes, with_bow), (0.0, 0.0, stern_only)):
            root = brentq(balance, 0.01, 5, args=(extra,))
            got = least_speed(buoyancy, RHO, hull, radians(8), lift)
            assert got == pytest.approx(root, rel=1e-9)
            assert got == pytest.approx(printed, rel=1e-3)


class TestPropeller:
    # Minsaas 1983 as used in thruster control (from memory).
    @pytest.mark.parametrize(
        ("ratio", "left"), [(0, 0.325), (0.5, 0.6334), (1.0, 0.8932), (1.3, 1.0), (2.0, 1.0)]
    )
    def test_thrust_left(self, ratio, left):
        assert thrust_left(ratio) == pytest.approx(left, abs=1e-4)

    # Shaft depth, diameter, full thrust; the balance of suction and head by hand.
    @pytest.mark.parametrize(
        ("depth", "diameter", "full", "newtons", "cap"),
        [(0.050, 0.05, 4, 1.407, 0.593), (0.075, 0.05, 4, 2.489, 0.789), (0.120, 0.10, 20, 14.717, 0.858)],
    )
    def test_loading(self, depth, diameter, full, newtons, cap):
        blades = 0.5 * math.pi * diameter**2 / 4
        # Suction 2/3 T / A three times the head at 0.7 R.
        thrust = brentq(lambda t: 2 / 3 * t / blades - 3 * RHO * 9.80665 * (depth - 0.35 * diameter), 0, 100)
        got = thrust_before_air(depth, diameter, RHO)
        assert got == pytest.approx(thrust, rel=1e-9)
        assert got == pytest.approx(newtons, rel=5e-3)
        assert throttle_cap_by_loading(got, full) == pytest.approx(cap, rel=5e-3)
