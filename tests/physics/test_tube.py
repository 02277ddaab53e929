"""Properties of tubes, their materials and their roundness."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from divelog.physics import tube as tu
from divelog.physics import tube_materials as tm
from divelog.physics.errors import OutOfRangeError
from divelog.physics.si import GRAVITY, ZERO_CELSIUS

radii = st.floats(0.02, 0.2)
slender = st.floats(0.006, 0.07)
spans = st.floats(0.4, 20.0)
moduli = st.floats(5e8, 2e11)
ratios = st.floats(0.2, 0.45)


def flattens(modulus, poisson, slender, radius, span):
    return tu.buckling_pressure(
        modulus=modulus,
        poisson=poisson,
        wall=slender * 2.0 * radius,
        radius=radius,
        length=span * 2.0 * radius,
    )


@settings(deadline=None, max_examples=100)
@given(moduli, ratios, slender, radii, spans)
def test_buckling_scales_and_never_sinks_below_the_long_tube(e, nu, s, r, span):
    found = flattens(e, nu, s, r, span)
    assert flattens(2.0 * e, nu, s, r, span).pressure == pytest.approx(2.0 * found.pressure)
    # doubling every length changes nothing
    assert flattens(e, nu, s, 2.0 * r, span).pressure == pytest.approx(found.pressure)
    long = tu.long_tube_pressure(modulus=e, poisson=nu, wall=s * 2.0 * r, radius=r)
    assert found.pressure >= long * (1.0 - 1e-12)
    assert 2 <= found.lobes < 40


@settings(deadline=None, max_examples=100)
@given(moduli, ratios, slender, radii, spans)
def test_buckling_falls_with_length_and_rises_with_wall(e, nu, s, r, span):
    found = flattens(e, nu, s, r, span).pressure
    assert flattens(e, nu, s, r, span * 1.1).pressure <= found
    assert flattens(e, nu, s * 1.01, r, span).pressure > found
    # a tube twice as wide, of the same wall and length, is weaker; a little wider need not be: while it keeps its
    # whole number of lobes the ends hold it better
    assume(s / 2.0 >= tu.THINNEST)
    wider = tu.buckling_pressure(
        modulus=e, poisson=nu, wall=s * 2.0 * r, radius=r * 2.0, length=span * 2.0 * r
    )
    assert wider.pressure < found


@settings(deadline=None, max_examples=100)
@given(moduli, ratios, slender, radii)
def test_very_long_tubes_flatten_as_the_long_tube_and_short_ones_are_taken_as_long_as_the_shortest(
    e, nu, s, r
):
    long = tu.long_tube_pressure(modulus=e, poisson=nu, wall=s * 2.0 * r, radius=r)
    assert flattens(e, nu, s, r, 5000.0).pressure == pytest.approx(long, rel=1e-4)
    assert flattens(e, nu, s, r, 0.1) == flattens(e, nu, s, r, tu.SHORTEST)


@settings(deadline=None, max_examples=100)
@given(radii, st.floats(0.05, 0.9), st.floats(1e3, 1e6))
def test_lame_identities(outer, share, p):
    inner = outer * share
    stress = tu.wall_stress(p, inner_radius=inner, outer_radius=outer)
    # radial equilibrium: the hoop stresses differ by the pressure; the axial is half the inner hoop
    assert stress.hoop_inner - stress.hoop_outer == pytest.approx(-p, rel=1e-6)
    assert stress.axial == pytest.approx(stress.hoop_inner / 2.0)
    allowed = tu.wall_allowance(-stress.hoop_inner, inner_radius=inner, outer_radius=outer)
    assert allowed == pytest.approx(p)


@settings(deadline=None, max_examples=100)
@given(st.floats(0.001, 0.02))
def test_lame_is_the_thin_rule_for_thin_walls(slender):
    r = 0.05
    stress = tu.wall_stress(1e5, inner_radius=r * (1.0 - slender), outer_radius=r)
    assert -stress.hoop_inner == pytest.approx(1e5 / slender, rel=slender)


@settings(deadline=None, max_examples=100)
@given(st.floats(1e4, 2e6), st.floats(5e6, 3e8), radii, slender, st.floats(0.001, 1.0))
def test_collapse_lies_under_both_ends_and_falls_with_the_departure(p_cr, stress, r, s, share):
    wall = s * 2.0 * r
    crush = stress * wall / r

    def collapse(share):
        return tu.collapse_pressure(
            buckling=p_cr, lasting_stress=stress, wall=wall, radius=r, departure=share * wall
        )

    assert collapse(0.0) == pytest.approx(min(p_cr, crush), rel=1e-9)
    found = collapse(share)
    assert 0.0 < found < min(p_cr, crush)
    assert collapse(share / 2.0) > found
    # the outer fibre just reaches the lasting stress: hoop and bending as derived
    fibre = found * r / wall + 6.0 * found * r * share * wall / (wall**2 * (1.0 - found / p_cr))
    assert fibre == pytest.approx(stress, rel=1e-6)


@settings(deadline=None, max_examples=100)
@given(st.floats(0.0, 50.0), st.floats(0.0, 0.3), st.floats(-30e3, 30e3), st.floats(990.0, 1030.0))
def test_depth_and_pressure_turn_into_each_other(depth, height, inside, density):
    p = tu.pressure_across(density=density, keel_depth=depth, height=height, inside=inside)
    back = tu.keel_depth_at(p, density=density, height=height, inside=inside)
    assume(depth > height + 1e-6)
    assert back == pytest.approx(depth, abs=1e-9)


def test_inside_pressure_cancels_depth():
    p = tu.pressure_across(density=1000.0, keel_depth=3.0, height=0.0, inside=3.0 * 1000.0 * GRAVITY)
    assert p == 0.0
    assert tu.keel_depth_at(20e3, density=998.2, height=0.05, inside=-20e3) == 0.0


@settings(deadline=None, max_examples=100)
@given(st.floats(1.0, 1e5), moduli, ratios, radii, slender, spans)
def test_shrink_is_in_proportion_and_its_volume_is_its_strains(p, e, nu, r, s, span):
    kw = {"modulus": e, "poisson": nu, "wall": s * 2.0 * r, "radius": r, "length": span * 2.0 * r}
    found = tu.shrink(p, **kw)
    assert tu.shrink(2.0 * p, **kw).volume == pytest.approx(2.0 * found.volume)
    strains = 2.0 * found.diameter / (2.0 * r) + found.length / kw["length"]
    assert found.volume == pytest.approx(strains)
    assert found.diameter < 0.0
    assert found.length < 0.0


@settings(deadline=None, max_examples=100)
@given(st.floats(-3e4, 6e4), st.floats(0.0, 0.04))
def test_stored_energy_is_never_below_nothing(gauge, volume):
    assert tu.stored_energy(gauge=gauge, volume=volume, outside=101_325.0) >= -1e-9


@pytest.mark.parametrize("name", sorted(tm.MATERIALS))
def test_every_material_stands_in_its_range(name):
    row = tm.MATERIALS[name]
    assert row.name == name
    assert row.source
    assert 0.0 < row.creep_months <= row.creep_days <= 1.0
    assert row.drilled_stress <= row.design_stress < row.lasting_stress
    assert row.safety >= tu.LEAST_SAFETY
    assert 0.0 < row.poisson < 0.5
    assert tm.stiffness_left(row, temperature=293.15) == row.creep_days
    assert tm.stiffness_left(row, temperature=293.15, load="months") == row.creep_months
    assert tm.assumed_out_of_round(row, radius=0.05) > 0.0


@settings(deadline=None, max_examples=100)
@given(st.floats(-20.0, 45.0), st.floats(0.0, 10.0))
def test_warmth_never_stiffens_and_cold_gives_no_credit(t, more):
    row = tm.MATERIALS["acrylic"]
    at = tm.stiffness_left(row, temperature=ZERO_CELSIUS + t)
    warmer = tm.stiffness_left(row, temperature=ZERO_CELSIUS + t + more)
    assert warmer <= at <= row.creep_days
    metal = tm.MATERIALS["aluminium"]
    assert tm.stiffness_left(metal, temperature=ZERO_CELSIUS + 90.0) == 1.0


def test_out_of_round_of_two_diameters():
    assert tu.out_of_round(greatest_diameter=0.102, least_diameter=0.100) == pytest.approx(0.0005)
    assert tu.out_of_round(greatest_diameter=0.1, least_diameter=0.1) == 0.0


@settings(deadline=None, max_examples=100)
@given(st.floats(0.02, 0.2), slender)
def test_long_tube_length_marks_where_ends_stop_helping(r, s):
    wall = s * 2.0 * r
    length = tu.long_tube_length(wall=wall, radius=r)
    assert length == pytest.approx(4.9 * r * math.sqrt(r / wall))


TUBE = {"modulus": 2.8e9, "poisson": 0.37, "wall": 0.003, "radius": 0.05, "length": 0.5}


def buckles(**kw):
    return tu.buckling_pressure(**(TUBE | kw))


def collapses(**kw):
    usual = {"buckling": 2e5, "lasting_stress": 3e7, "wall": 0.003, "radius": 0.05, "departure": 0.0}
    return tu.collapse_pressure(**(usual | kw))


@pytest.mark.parametrize(
    "call",
    [
        lambda: buckles(wall=0.0),
        lambda: buckles(wall=0.2),
        lambda: buckles(wall=0.0004),
        lambda: buckles(wall=0.016),
        lambda: buckles(length=0.0),
        lambda: buckles(modulus=0.0),
        lambda: buckles(poisson=0.5),
        lambda: tu.pressure_across(density=1000.0, keel_depth=51.0, height=0.0, inside=0.0),
        lambda: tu.pressure_across(density=0.0, keel_depth=1.0, height=0.0, inside=0.0),
        lambda: tu.keel_depth_at(1e4, density=0.0, height=0.0, inside=0.0),
        lambda: tu.wall_stress(1e5, inner_radius=0.05, outer_radius=0.05),
        lambda: tu.wall_allowance(0.0, inner_radius=0.04, outer_radius=0.05),
        lambda: tu.out_of_round(greatest_diameter=0.09, least_diameter=0.1),
        lambda: collapses(departure=0.0031),
        lambda: collapses(departure=-0.001),
        lambda: collapses(buckling=0.0),
        lambda: tu.shrink(1e4, **(TUBE | {"modulus": 0.0})),
        lambda: tu.stored_energy(gauge=-102e3, volume=1e-3, outside=101_325.0),
        lambda: tm.stiffness_left(tm.MATERIALS["pvc"], temperature=ZERO_CELSIUS + 46.0),
        lambda: tm.stiffness_left(tm.MATERIALS["polycarbonate"], temperature=ZERO_CELSIUS + 61.0),
        lambda: tm.stiffness_left(tm.MATERIALS["acrylic"], temperature=ZERO_CELSIUS - 21.0),
        lambda: tm.assumed_out_of_round(tm.MATERIALS["acrylic"], radius=0.0),
    ],
)
def test_refuses_what_lies_outside(call):
    with pytest.raises(OutOfRangeError):
        call()
