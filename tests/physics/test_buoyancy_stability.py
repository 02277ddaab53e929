"""Properties of angles of rest, righting and part-filled tanks."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import stability
from divelog.physics.errors import OutOfRangeError

few = settings(max_examples=100, deadline=None)
masses = st.floats(0.3, 80.0)
rights = st.floats(0.001, 0.080)
angles = st.floats(-1.0, 1.0)


@few
@given(angles, masses, rights, st.floats(0.02, 1.0))
def test_the_move_nulls_the_angle(angle, mass, bg, lever):
    weight = stability.weight_to_move(angle, lever, mass, bg)
    back = stability.pitch_from_moment(-math.copysign(weight * lever, angle), mass, bg)
    assert back == pytest.approx(angle, abs=1e-12)
    back = stability.list_from_moment(math.copysign(weight * lever, angle), mass, bg)
    assert back == pytest.approx(angle, abs=1e-12)


@few
@given(st.floats(0.0, 1.0), masses, rights, st.floats(0.1, 10.0))
def test_signs_and_scaling(moment, mass, bg, factor):
    assert stability.pitch_from_moment(moment, mass, bg) <= 0.0
    assert stability.list_from_moment(moment, mass, bg) >= 0.0
    assert stability.pitch_from_moment(-moment, mass, bg) == -stability.pitch_from_moment(moment, mass, bg)
    scaled = stability.list_from_moment(factor * moment, factor * mass, bg)
    assert scaled == pytest.approx(stability.list_from_moment(moment, mass, bg))


def test_ten_grams_forward_puts_the_bow_down_and_to_starboard_lists_starboard():
    assert stability.pitch_from_moment(0.010 * 0.3, 5.0, 0.012) < 0
    assert stability.list_from_moment(0.010 * 0.05, 5.0, 0.012) > 0
    assert stability.pitch_from_moment(0.0, 5.0, 0.012) == 0.0
    assert math.degrees(stability.list_from_moment(1.0, 5.0, 1e-9)) == pytest.approx(90.0, abs=1e-3)


@pytest.mark.parametrize(("length", "bg"), [(0.4, 0.007), (0.6, 0.012), (1.3, 0.012), (1.31, 0.025)])
def test_assumed_righting_by_size(length, bg):
    got = stability.assumed_righting(length)
    assert (got.value, got.u95) == (bg, bg / 2)


def test_u95_of_a_move():
    # The angle's part at 1.5° ± 0.5° is a third, the BG's a fifth.
    got = stability.weight_to_move_relative_u95(math.radians(1.5), math.radians(0.5), 0.014, 0.0028)
    assert got == pytest.approx(math.hypot(0.2, 1 / 3), rel=1e-3)
    assert stability.weight_to_move_relative_u95(0.1, 0.0, 0.014, 0.0028) == pytest.approx(0.2)


@few
@given(st.floats(-0.01, 0.1), st.floats(0.0, 0.2), st.floats(0.0, 1.0))
def test_righting_lever_is_odd(gm, bm, angle):
    assert stability.righting_lever(gm, -angle, bm) == -stability.righting_lever(gm, angle, bm)


def test_rectangle_ellipse_and_stations_agree_where_they_must():
    box = stability.waterplane_inertia_rectangle(1.0, 0.2)
    assert stability.waterplane_inertia_stations([0.1] * 5, 0.25) == pytest.approx(box)
    # Simpson's rule is exact for a wedge's cubes: y = 0.1·x over 1 m.
    wedge = stability.waterplane_inertia_stations([0.0, 0.025, 0.05, 0.075, 0.1], 0.25)
    assert wedge == pytest.approx(2 / 3 * 0.1**3 / 4)
    count = 401
    half = [0.1 * math.sqrt(max(0.0, 1 - (2 * i / (count - 1) - 1) ** 2)) for i in range(count)]
    by_stations = stability.waterplane_inertia_stations(half, 1.0 / (count - 1))
    assert by_stations == pytest.approx(stability.waterplane_inertia_ellipse(1.0, 0.2), rel=1e-4)
    for bad in ([0.1], [0.1, 0.1], [0.1] * 4):
        with pytest.raises(OutOfRangeError, match="odd number"):
            stability.waterplane_inertia_stations(bad, 0.25)


@few
@given(st.floats(0.0, 1.0))
def test_a_half_round_hull_has_its_metacentre_on_the_axis_at_any_draught(part):
    # Segment of a circle of radius 0.1 m, drawn to an angle of 0.2 to 1.5 rad off the vertical; B from the segment's
    # centroid, 4R·sin³(a)/(3(2a − sin 2a)) below the axis.
    a = 0.2 + 1.3 * part
    R = 0.1
    area = R**2 * (a - math.sin(2 * a) / 2)
    breadth = 2 * R * math.sin(a)
    below = 4 * R * math.sin(a) ** 3 / (3 * (2 * a - math.sin(2 * a)))
    inertia = stability.waterplane_inertia_rectangle(1.0, breadth)
    assert stability.metacentric_radius(inertia, area * 1000.0, 1000.0) == pytest.approx(below, rel=1e-9)


@few
@given(st.floats(0.001, 0.05), st.floats(0.0, 0.2), st.floats(0.0, 0.02))
def test_heel_balances_the_moment(gm, bm, moment):
    mass = 5.0
    try:
        heel = stability.heel_under_moment(moment, mass, gm, bm)
    except OutOfRangeError:
        assert moment * 0.5 > mass * stability.righting_lever(gm, math.radians(60), bm)
        return
    assert mass * stability.righting_lever(gm, heel, bm) == pytest.approx(moment * math.cos(heel), abs=1e-9)


def test_a_moment_past_60_degrees_is_refused():
    with pytest.raises(OutOfRangeError, match="past 60 degrees"):
        stability.heel_under_moment(1.0, 5.0, 0.01, 0.0)


def test_heel_without_gm_follows_the_cube_and_loll_is_found():
    heel = stability.heel_under_moment(0.002, 5.0, 0.0, 0.03)
    assert math.tan(heel) ** 3 == pytest.approx(2 * 0.002 / (5.0 * 0.03))
    assert stability.heel_under_moment(0.0, 5.0, 0.02, 0.0) == pytest.approx(0.0, abs=1e-12)
    loll = stability.angle_of_loll(-0.002, 0.03)
    assert stability.heel_under_moment(1e-12, 5.0, -0.002, 0.03) == pytest.approx(loll, abs=1e-6)
    assert stability.angle_of_loll(0.01, 0.03) == 0.0


@few
@given(masses, rights, st.floats(-0.01, 0.01))
def test_inclining_gives_the_righting_back(mass, bg, offset):
    moments = [k * mass * bg * 0.05 for k in (-3, -2, -1, 1, 2, 3)]
    angles = [math.atan(offset + m / (mass * bg)) for m in moments]
    assert stability.righting_from_shifts(moments, angles, mass) == pytest.approx(bg, rel=1e-9)


def test_inclining_refusals():
    ok = [-3e-3, -2e-3, -1e-3, 1e-3, 2e-3, 3e-3]
    angles = [m / 0.06 for m in ok]
    with pytest.raises(OutOfRangeError, match="one angle for each"):
        stability.righting_from_shifts(ok, angles[:-1], 5.0)
    with pytest.raises(OutOfRangeError, match="three shifts to each side"):
        stability.righting_from_shifts(ok[:4], angles[:4], 5.0)
    with pytest.raises(OutOfRangeError, match="check the signs"):
        stability.righting_from_shifts(ok, angles[::-1], 5.0)
    crooked = [*angles[:-1], angles[-1] + 0.1]
    with pytest.raises(OutOfRangeError, match="more than 1 degree"):
        stability.righting_from_shifts(ok, crooked, 5.0)
    with pytest.raises(OutOfRangeError, match="angle is 26"):
        stability.righting_from_shifts(ok, [*angles[:-1], math.radians(26)], 5.0)
    with pytest.raises(OutOfRangeError, match="angle is 0"):
        stability.righting_from_shift(0.1, 0.08, 5.0, 0.0)


@few
@given(st.integers(1, 8))
def test_cells_divide_by_their_square(cells):
    whole = stability.free_surface_loss(1000.0, 0.07, 0.26, 10.0)
    assert stability.free_surface_loss(1000.0, 0.07, 0.26, 10.0, cells) == pytest.approx(whole / cells**2)


def test_no_tank_without_a_cell():
    with pytest.raises(OutOfRangeError, match="at least one cell"):
        stability.free_surface_loss(1000.0, 0.07, 0.26, 10.0, 0)


@few
@given(st.floats(0.05, 0.95), st.floats(0.0, 1.0), st.floats(0.02, 0.2))
def test_surface_moment_is_linear_at_first_and_bounded(fill, angle, height):
    along, span = 0.07, 0.26
    volume = along * span * height
    got = stability.free_surface_moment(1000.0, along, span, volume, fill, angle)
    assert got <= 1000.0 * volume * fill * span / 2 * (1 - fill) + 1e-12
    touch = stability.free_surface_angle_most(fill * height, height, span)
    small = min(angle, touch)
    linear = 1000.0 * along * span**3 / 12 * math.tan(small)
    got = stability.free_surface_moment(1000.0, along, span, volume, fill, small)
    # Until the water touches, the bound never undercuts the linear moment.
    assert got == pytest.approx(linear, rel=1e-9, abs=1e-15)
