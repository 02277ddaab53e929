"""Angles of rest and stability against textbook examples."""

import math

import pytest
from scipy.integrate import quad

from divelog.physics import stability

# Barrass and Derrett, Ship Stability for Masters and Mates, is the textbook where none is named.


def test_list_of_a_ship():
    # Pages 116 to 117: 8500 t, final moment 300 t·m, GM 1.35 m: GG₁ = 0.0353 m; the angle follows, atan(0.0353/1.35).
    heel = math.degrees(stability.list_from_moment(300e3, 8500e3, 1.35))
    assert heel == pytest.approx(1.498, abs=0.01)
    assert pytest.approx(0.0353, abs=5e-5) == 300 / 8500


def test_model_with_fifty_grams_moved():
    # 50 g × 400 mm on 5.2 kg × 12 mm: atan(20/62.4), by hand; in the water less 1000/11340.
    assert math.degrees(stability.pitch_from_moment(0.02, 5.2, 0.012)) == pytest.approx(-17.77, abs=0.05)
    wet = 0.02 * (1 - 1000 / 11340)
    assert math.degrees(stability.pitch_from_moment(wet, 5.2, 0.012)) == pytest.approx(-16.29, abs=0.05)


def test_weight_that_nulls_two_degrees():
    # 5.2 kg × 12 mm × tan 2° / 0.60 m = 3.63 g.
    assert stability.weight_to_move(math.radians(2), 0.60, 5.2, 0.012) * 1e3 == pytest.approx(3.63, abs=0.01)


def test_box_ship():
    # Page 130: box 65 × 12 m at 4 m draught, KG 4 m: KB 2, BM 3, GM 1 m; 3198 t; GZ at 5° 0.0872 m; 278.9 t·m.
    mass = 65 * 12 * 4 * 1.025e3
    assert mass == pytest.approx(3198e3)
    inertia = stability.waterplane_inertia_rectangle(65.0, 12.0)
    assert stability.metacentric_radius(inertia, mass, 1025.0) == pytest.approx(3.0)
    gm = stability.metacentric_height(inertia, mass, 1025.0, kb=2.0, kg=4.0)
    assert gm == pytest.approx(1.0)
    lever = stability.righting_lever(gm, math.radians(5))
    assert lever == pytest.approx(0.0872, rel=1e-3)
    assert stability.righting_moment(mass, lever) / 9.80665e3 == pytest.approx(278.9, rel=1e-3)


def test_wall_sided_ship_at_25_degrees():
    # Page 130: 6000 t, KB 3, KM 6, KG 5.5: GZ 0.35 m, 2100 t·m (both rounded in print).
    lever = stability.righting_lever(0.5, math.radians(25), bm=3.0)
    assert lever == pytest.approx(0.349, abs=1e-3)
    assert stability.righting_moment(6000e3, lever) / 9.80665e3 == pytest.approx(2100, rel=5e-3)


def test_box_at_25_degrees_by_moving_the_wedge():
    # Independent: integrate the heeled section of the box (6 m half-breadth) for B and take moments about G.
    angle = math.radians(25)
    tan, draught, half, kg = math.tan(angle), 4.0, 6.0, 4.0
    area = 2 * half * draught
    by = quad(lambda y: y * (draught + y * tan), -half, half)[0] / area
    bz = quad(lambda y: (draught + y * tan) ** 2 / 2, -half, half)[0] / area
    wanted = by * math.cos(angle) + (bz - kg) * math.sin(angle)
    got = stability.righting_lever(1.0, angle, bm=3.0)
    assert got == pytest.approx(wanted, rel=1e-9)
    assert got == pytest.approx(0.560, abs=1e-3)


def test_half_immersed_round_hull():
    # BM = 4R/(3π), the depth of a half circle's centroid.
    R = 0.07
    inertia = stability.waterplane_inertia_rectangle(1.0, 2 * R)
    bm = stability.metacentric_radius(inertia, math.pi * R**2 / 2 * 1000.0, 1000.0)
    assert bm == pytest.approx(4 * R / (3 * math.pi), rel=1e-12)


def test_loll():
    # Page 229, tan φ = √(−2GM/BM): GM −0.1, BM 3 gives 14.5°.
    assert math.degrees(stability.angle_of_loll(-0.1, 3.0)) == pytest.approx(14.5, abs=0.05)


def test_inclining():
    # GM = w·d/(W·tan θ), the classic form: 100 g × 80 mm on 5.2 kg at 6.8°, and the list example turned round.
    bg = stability.righting_from_shift(0.100, 0.080, 5.2, math.radians(6.8))
    assert bg * 1e3 == pytest.approx(12.90, abs=0.01)
    back = stability.righting_from_shift(300e3, 1.0, 8500e3, math.radians(1.498))
    assert back == pytest.approx(1.35, abs=2e-3)
    # ± 0.5° on 6° is 8.4 %: 0.5°/(sin 6°·cos 6°).
    u95 = stability.righting_from_shift_u95(bg, math.radians(6), math.radians(0.5))
    assert u95 / bg == pytest.approx(0.084, abs=5e-4)


def test_nine_oil_tanks():
    # Public examination example: nine tanks 12 × 16 m of oil at 800 kg/m³ in 24 000 t lose 1.2288 m.
    one = stability.free_surface_loss(800.0, 12.0, 16.0, 24_000e3)
    assert 9 * one == pytest.approx(1.2288, rel=1e-9)


def test_double_bottom_tank_pumped_out_to_half():
    # Page 195 problem: 8153.75 t with a full tank 15 × 10 × 2 m of salt water at KM 8, KG 7.5; half (153.75 t, centre
    # 1.5 m up) leaves. G rises by the moment it takes, the surface takes 0.1602 m.
    left = 8153.75 - 153.75
    kg = (8153.75 * 7.5 - 153.75 * 1.5) / left
    assert kg - 7.5 == pytest.approx(0.1153, abs=1e-4)
    surface = stability.free_surface_loss(1025.0, 15.0, 10.0, left * 1e3)
    assert surface == pytest.approx(0.1602, abs=1e-4)
    assert 8.0 - kg - surface == pytest.approx(0.2245, abs=1e-4)


def test_model_tank():
    # 200 × 60 mm in 5.0 kg: 1000 × 0.2 × 0.06³/12/5 = 0.72 mm in roll, 8.0 mm in pitch; a baffle leaves 2.0.
    assert stability.free_surface_loss(1000.0, 0.2, 0.06, 5.0) * 1e3 == pytest.approx(0.72)
    assert stability.free_surface_loss(1000.0, 0.06, 0.2, 5.0) * 1e3 == pytest.approx(8.0)
    assert stability.free_surface_loss(1000.0, 0.06, 0.2, 5.0, cells=2) * 1e3 == pytest.approx(2.0)


def test_righting_moment_of_a_model_at_20_degrees():
    # 5.2 kg × 12 mm × sin 20° = 21.3 g·m.
    lever = stability.righting_lever(0.012, math.radians(20))
    assert stability.righting_moment(5.2, lever) / 9.80665 * 1e3 == pytest.approx(21.3, abs=0.1)


@pytest.mark.parametrize("fill", [0.2, 0.5, 0.7])
def test_surface_moment_against_the_tilted_water(fill):
    # Independent: centroid of the water in a box 0.26 m long and 0.06 m high, tilted so that it touches nothing.
    span, height, along = 0.26, 0.06, 0.07
    volume = along * span * height
    tan = 0.9 * 2 * min(fill, 1 - fill) * height / span
    moment = 1000.0 * along * quad(lambda x: x * (fill * height + x * tan), -span / 2, span / 2)[0]
    got = stability.free_surface_moment(1000.0, along, span, volume, fill, math.atan(tan))
    assert got == pytest.approx(moment, rel=1e-9)
