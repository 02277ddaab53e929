"""Seals: what must hold whatever the numbers."""

from datetime import date
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import seals
from divelog.physics.errors import OutOfRangeError
from divelog.physics.seals import Gap, Match, Paste, Rubber, ShaftSeal, Use

MM = 1e-3
few = settings(max_examples=100, deadline=None)

sections = st.floats(1e-3, 6e-3)
ratios = st.floats(4.0, 60.0)
stretches = st.floats(-0.02, 0.20)


@few
@given(section=sections, ratio=ratios, x=st.floats(0.0, 0.249), step=st.floats(1e-6, 1e-3))
def test_more_stretch_never_leaves_a_thicker_ring(
    section: float, ratio: float, x: float, step: float
) -> None:
    lower = seals.section_reduction(x, ratio * section, section)
    upper = seals.section_reduction(x + step, ratio * section, section)
    # At 3 % the printed branches meet within 0.002 points.
    assert upper >= lower - 2e-5
    assert 0.0 <= lower < 0.15


def test_the_two_branches_meet() -> None:
    below = seals.section_reduction(0.03, 50 * MM, 3 * MM)
    above = seals.section_reduction(0.03 + 1e-12, 50 * MM, 3 * MM)
    assert abs(below - above) < 2e-5


@few
@given(section=sections, ratio=ratios, x=stretches, gap=st.floats(0.6, 1.2))
def test_squeeze_falls_with_depth_and_is_nothing_when_the_ring_just_fits(
    section: float, ratio: float, x: float, gap: float
) -> None:
    inside = ratio * section
    groove = inside * (1.0 + x)
    gland = seals.piston_gland(inside, section, groove, groove + 2 * gap * section, 1.4 * section)
    deeper = seals.piston_gland(inside, section, groove, groove + 2.1 * gap * section, 1.4 * section)
    assert deeper.squeeze < gland.squeeze
    assert seals.squeeze_of(gland.section, gland.section) == 0.0
    assert gland.stretch == pytest.approx(x, abs=1e-9)


@few
@given(section=sections, ratio=ratios, tolerance=st.floats(0, 2e-4), offset=st.floats(0, 2e-4))
def test_the_worst_case_encloses_the_nominal(
    section: float, ratio: float, tolerance: float, offset: float
) -> None:
    inside = ratio * section
    gland = seals.piston_gland(inside, section, inside * 1.02, inside * 1.02 + 1.6 * section, 1.4 * section)
    found = seals.squeeze_range(gland, section, tolerance, 5e-5, offset)
    assert found.least <= gland.squeeze <= found.most
    wider = seals.squeeze_range(gland, section, tolerance, 5e-5, offset + 1e-5)
    assert wider.least < found.least
    assert wider.most >= found.most


@few
@given(scale=st.floats(0.3, 2.9))
def test_glands_know_no_scale(scale: float) -> None:
    one = seals.piston_gland(88.5 * MM, 3 * MM, 89.2 * MM, 94 * MM, 4 * MM)
    two = seals.piston_gland(
        88.5 * MM * scale, 3 * MM * scale, 89.2 * MM * scale, 94 * MM * scale, 4 * MM * scale
    )
    assert two.squeeze == pytest.approx(one.squeeze)
    assert two.fill == pytest.approx(one.fill)


def test_a_gap_closed_altogether_is_squeezed_to_nothing() -> None:
    gland = seals.face_gland(20 * MM, 1 * MM, 0.1 * MM, 2 * MM)
    assert seals.squeeze_range(gland, 1 * MM, 0.05 * MM, 0.15 * MM).most == 1.0


def test_a_face_ring_keeps_its_section() -> None:
    gland = seals.face_gland(60 * MM, 2.5 * MM, 1.95 * MM, 3.2 * MM)
    assert gland.section == 2.5 * MM
    assert gland.stretch == 0.0


def test_a_loose_ring_loses_no_section() -> None:
    assert seals.section_reduction(-0.01, 50 * MM, 3 * MM) == 0.0
    assert seals.section_reduction(0.0, 50 * MM, 3 * MM) == 0.0
    assert seals.constant_volume_reduction(-0.01) == 0.0


@few
@given(section=st.floats(0.5e-3, 9e-3))
def test_a_thicker_ring_has_no_smaller_tolerance(section: float) -> None:
    assert 0.08 * MM <= seals.section_tolerance(section) <= 0.2 * MM
    assert seals.section_tolerance(min(9e-3, section * 1.1)) >= seals.section_tolerance(section)


def test_a_three_millimetre_ring_takes_the_tolerance_of_the_next_size() -> None:
    assert seals.section_tolerance(3.0 * MM) == pytest.approx(0.10 * MM)
    assert seals.section_tolerance(9.0 * MM) == pytest.approx(0.15 * MM * 9 / 7)


@pytest.mark.parametrize(
    ("inside", "section"), [(0.5 * MM, 1 * MM), (0.8, 5 * MM), (50 * MM, 0.4 * MM), (1 * MM, 5 * MM)]
)
def test_impossible_rings_are_refused(inside: float, section: float) -> None:
    with pytest.raises(OutOfRangeError, match="mm"):
        seals.check_ring(inside, section)


@pytest.mark.parametrize(
    "call",
    [
        lambda: seals.section_tolerance(0.1 * MM),
        lambda: seals.nearest_standard(20 * MM),
        lambda: seals.section_reduction(0.26, 50 * MM, 3 * MM),
        lambda: seals.squeeze_of(0.0, 1 * MM),
        lambda: seals.piston_gland(50 * MM, 3 * MM, 51 * MM, 51 * MM, 4 * MM),
        lambda: seals.rod_gland(4 * MM, 2 * MM, 4 * MM, 4 * MM, 3 * MM),
        lambda: seals.face_gland(60 * MM, 2.5 * MM, 2 * MM, 0.0),
        lambda: seals.whole_fill(50 * MM, 3 * MM, 51 * MM, 50 * MM, 4 * MM),
        lambda: seals.squeeze_range(
            seals.face_gland(60 * MM, 2.5 * MM, 2 * MM, 3 * MM), 2.5 * MM, 3 * MM, 0.0
        ),
        lambda: seals.compression_set(2 * MM, 2 * MM, 2 * MM),
        lambda: seals.compression_set(3 * MM, 3.1 * MM, 2.4 * MM),
        lambda: seals.quarter_end(2020, 5),
        lambda: seals.use_by(Rubber.UNKNOWN, date(2020, 1, 1)),
        lambda: seals.rubbing_speed(0.0, 10.0),
        lambda: seals.seal_depth(20e3, 0.0, 0.0),
        lambda: seals.most_run_out(-1.0),
        lambda: seals.grease_volume(3 * MM, 4 * MM, 0.1),
        lambda: seals.grease_volume(5 * MM, 4 * MM, 0.1, 0.0),
        lambda: seals.refill_interval(1e-6, -1.0),
        lambda: seals.still_hold(()),
        lambda: seals.still_hold((Gap(10e-6, 0.02),)),
        lambda: seals.running_viscosity(Gap(1e-3, 0.1), 4 * MM, 0.0, Paste()),
        lambda: seals.torque_constant(0.0),
        lambda: seals.no_load_band(0.0, 0.01),
        lambda: seals.current_at_volts(0.4, 7.6, 8.5),
        lambda: seals.eccentric_factor(1.1),
        lambda: seals.annular_leak(4 * MM, 0.5 * MM, 0.02, 1e4, 1e-3),
        lambda: seals.annular_leak(4 * MM, 0.0, 0.02, 1e4, 1e-3),
    ],
)
def test_refusals(call: object) -> None:
    assert callable(call)
    with pytest.raises(OutOfRangeError) as fault:
        call()
    assert str(fault.value).endswith(".")


def test_a_leap_day_counts_on_to_the_28th() -> None:
    assert seals.use_by(Rubber.NITRILE, date(2012, 2, 29)) == date(2027, 2, 28)


def test_every_use_has_a_band_that_makes_sense() -> None:
    for use in Use:
        band = seals.band(use, 3 * MM)
        assert band.worst[0] < band.squeeze[0] < band.squeeze[1] < band.worst[1]
        assert band.stretch[0] <= band.usual[0] < band.usual[1] <= band.stretch[1]


def test_every_kind_but_two_holds_something() -> None:
    without = {kind for kind in ShaftSeal if seals.holds(kind) is None}
    assert without == {ShaftSeal.PACKED, ShaftSeal.MAGNETIC}


@few
@given(vacuum=st.floats(0, 20e3), more=st.floats(1.0, 5e3))
def test_a_vacuum_uses_up_what_a_seal_holds(vacuum: float, more: float) -> None:
    shallow = seals.seal_depth(20e3, -vacuum - more, 1000.0)
    assert shallow < seals.seal_depth(20e3, -vacuum, 1000.0)
    assert seals.seal_depth(20e3, -vacuum, 1000.0, 0.05) == pytest.approx(
        seals.seal_depth(20e3, -vacuum, 1000.0) + 0.05
    )


@few
@given(
    c=st.floats(20e-6, 200e-6),
    dp=st.floats(0.0, 5e4),
    length=st.floats(0.005, 0.05),
    scale=st.floats(1.1, 1.9),
)
def test_a_clear_gap_goes_with_pressure_over_length_and_the_cube_of_the_gap(
    c: float, dp: float, length: float, scale: float
) -> None:
    flow = seals.annular_leak(4 * MM, c, length, dp, 1.3e-3)
    assert seals.annular_leak(4 * MM, c, length, dp * scale, 1.3e-3) == pytest.approx(flow * scale)
    assert seals.annular_leak(4 * MM, c, length * scale, dp, 1.3e-3) == pytest.approx(flow / scale)
    assert seals.annular_leak(4 * MM, c * scale, length, dp, 1.3e-3) == pytest.approx(flow * scale**3)


@few
@given(c=st.floats(25e-6, 90e-6), turns=st.floats(5.0, 150.0))
def test_a_worn_bush_eats_more_grease_and_pressure_drives_it(c: float, turns: float) -> None:
    def loss(clearance: float, difference: float) -> float:
        gaps = (Gap(clearance, 0.02), Gap(1e-3, 0.11), Gap(clearance, 0.02))
        return seals.running_loss(gaps, 4 * MM, turns, difference)

    assert loss(c * 1.2, 1e4) > loss(c, 1e4)
    assert loss(c, 2e4) == pytest.approx(2 * loss(c, 1e4))
    assert loss(c, 0.0) == 0.0


def test_warm_grease_yields_sooner() -> None:
    assert seals.yield_at(300.0, 0.0) == 300.0
    assert seals.yield_at(300.0, 10.0) < 300.0 < seals.yield_at(300.0, -10.0)


def test_grease_that_is_not_lost_lasts_without_end() -> None:
    assert seals.refill_interval(1e-6, 0.0) == inf


@few
@given(median=st.floats(0.05, 10), spread=st.floats(0, 1), alone=st.floats(0, 12))
def test_the_usual_value_lies_in_its_band(median: float, spread: float, alone: float) -> None:
    band = seals.no_load_band(median, spread)
    assert 0.0 <= band.low <= 0.8 * median + 1e-12
    assert band.high >= 1.2 * median - 1e-12
    assert band.low <= seals.no_load_band(median, spread, alone).low < median


def test_currents_carried_to_other_volts() -> None:
    assert seals.current_at_volts(0.4, 7.6, 7.6) == 0.4
    assert seals.current_at_volts(0.4, 7.6, 8.0) > 0.4


def test_rubbers_not_listed_expand_as_nitrile_does() -> None:
    assert seals.expansion_of(Rubber.UNKNOWN) == seals.expansion_of(Rubber.NITRILE)
    assert seals.expansion_of(Rubber.SILICONE) > seals.expansion_of(Rubber.NITRILE)


def test_a_match_is_one_of_four_words() -> None:
    assert {match.value for match in Match} == {"suits", "avoid", "no", "unknown"}
