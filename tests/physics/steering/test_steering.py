"""Steering: properties, order, refusals."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.physics import steering
from divelog.physics.errors import OutOfRangeError
from divelog.physics.steering import geometry, jams, mixing, results, travel

few = settings(max_examples=100, deadline=None)
sticks = st.floats(-1.0, 1.0)
WAYS = ("clip", "proportional", "depth first")


class TestMixing:
    @few
    @given(sticks, sticks)
    def test_pairs_and_back(self, turn, pitch):
        back = mixing.unmix_pairs(mixing.mix_pairs(turn, pitch))
        assert (back.turn, back.pitch) == pytest.approx((turn, pitch), abs=1e-15)

    @few
    @given(sticks, sticks)
    def test_four_servos_and_two_pairs_move_alike(self, turn, pitch):
        pairs = mixing.cut_pairs(mixing.mix_pairs(turn, pitch))
        assert mixing.pair_deflections(pairs) == pytest.approx(mixing.x_deflections(turn, pitch))

    @few
    @given(sticks, sticks)
    def test_a_tail_never_rolls_her_by_stick(self, turn, pitch):
        for surfaces, deflections in (
            (geometry.CROSS, mixing.cross_deflections(turn, pitch)),
            (geometry.X, mixing.x_deflections(turn, pitch)),
        ):
            assert geometry.effect(surfaces, deflections).roll == pytest.approx(0.0, abs=1e-12)

    @few
    @given(sticks, sticks)
    def test_port_mirrors_starboard(self, turn, pitch):
        one = geometry.effect(geometry.X, mixing.x_deflections(turn, pitch))
        other = geometry.effect(geometry.X, mixing.x_deflections(-turn, pitch))
        assert other.turn == pytest.approx(-one.turn, abs=1e-12)
        assert other.bow_up == pytest.approx(one.bow_up, abs=1e-12)

    @few
    @given(sticks, sticks)
    def test_saturation(self, turn, pitch):
        kept = [mixing.saturate(turn, pitch, way) for way in WAYS]
        for k in kept:
            assert abs(k.turn) + abs(k.pitch) <= 1.0 + 1e-12
            assert k.turn * turn >= -1e-15
            assert k.pitch * pitch >= -1e-15
            if abs(turn) + abs(pitch) <= 1.0:
                assert (k.turn, k.pitch) == pytest.approx((turn, pitch), abs=1e-12)
        assert abs(kept[2].pitch) >= max(abs(k.pitch) for k in kept) - 1e-12

    @few
    @given(sticks, sticks)
    def test_one_reversed_servo_swaps_turn_and_pitch(self, turn, pitch):
        pairs = mixing.mix_pairs(turn, pitch)
        swapped = mixing.unmix_pairs(mixing.Pairs(pairs.a, -pairs.b))
        assert (swapped.turn, swapped.pitch) == pytest.approx((pitch, turn), abs=1e-15)


class TestGeometry:
    def test_one_rudder_rolls_her(self):
        top = geometry.CROSS[:1]
        assert geometry.effect(top, [1.0]) == geometry.Effect(1.0, 0.0, -1.0)

    @few
    @given(st.lists(sticks, min_size=4, max_size=4))
    def test_astern_is_ahead_reversed(self, deflections):
        ahead = geometry.effect(geometry.X, deflections)
        astern = geometry.effect(geometry.X, deflections, ahead=False)
        assert (astern.turn, astern.bow_up, astern.roll) == (-ahead.turn, -ahead.bow_up, -ahead.roll)

    @few
    @given(st.floats(0.05, 0.5), st.floats(0.01, 0.99))
    def test_an_x_is_longer_in_the_same_box(self, width, share):
        assert geometry.x_span(width, share * width) > geometry.cross_span(width, share * width) > 0

    @few
    @given(st.floats(0.05, 1.5))
    def test_any_x_stands_square(self, angle):
        names = [s.name for s in geometry.x_tail(angle)]
        assert names == [s.name for s in geometry.X]
        turn, pitch = geometry.strength(geometry.x_tail(angle))
        assert turn**2 + pitch**2 == pytest.approx(16.0)

    @pytest.mark.parametrize(
        "call",
        [
            lambda: geometry.x_tail(0.0),
            lambda: geometry.x_tail(math.nan),
            lambda: geometry.effect(geometry.X, [1.0]),
            lambda: geometry.cross_span(0.03, 0.03),
            lambda: geometry.x_span(0.03, 0.0),
            lambda: mixing.cross_deflections(1.1, 0.0),
            lambda: mixing.x_deflections(0.0, math.nan),
            lambda: mixing.mix_pairs(-2.0, 0.0),
            lambda: mixing.saturate(0.0, 1.5, "clip"),
            lambda: jams.pitch_left(geometry.X, 4, 0.0),
            lambda: jams.pitch_left(geometry.X, 0, 1.5),
            lambda: jams.pitch_left(geometry.X, 0, 0.0, turn=4.0),
            lambda: jams.pitch_left(geometry.CROSS[1::2], 0, 0.0, turn=0.5),
            lambda: travel.plane_time(0.0, 1.0, 1.5),
            lambda: travel.plane_time(0.2, 1.0, 1.5, voltage_share=math.inf),
            lambda: travel.turning_diameter(1.0, 0.05),
            lambda: travel.turning_diameter(0.0, 0.5),
            lambda: travel.turning_diameter(1.0, 0.5, 0.0),
            lambda: results.directions("y"),
            lambda: results.directions("x", 3),
            lambda: results.directions("x", 4, "wheel"),
            lambda: results.directions("x", 4, None, "folding"),
        ],
    )
    def test_refuses_in_words(self, call):
        with pytest.raises(OutOfRangeError, match=r"^[A-Z].*\.$"):
            call()


class TestTravel:
    @few
    @given(st.floats(0.05, 0.5), st.floats(0.2, 1.5), st.floats(1.0, 2.0), st.floats(0.5, 1.2))
    def test_time_goes_with_swing_and_against_volts(self, t60, swing, linkage, share):
        time = travel.plane_time(t60, swing, linkage, voltage_share=share)
        assert travel.plane_time(t60, 2 * swing, linkage, voltage_share=share) == pytest.approx(2 * time)
        assert travel.plane_time(t60, swing, linkage, voltage_share=share / 2) == pytest.approx(2 * time)


class TestDirections:
    @pytest.mark.parametrize(
        ("tail", "servos", "sail", "bow", "lines"),
        [
            ("cross", None, None, None, ["cross-left", "cross-right", "cross-rise", "cross-dive"]),
            (
                "x",
                4,
                "switch",
                "fitted",
                ["x4-left", "x4-right", "x4-rise", "x4-dive", "x4-both", "sail-switch", "bow"],
            ),
            ("x", 2, "stick", "not fitted", ["x2-left", "x2-right", "x2-rise", "x2-dive", "sail-stick"]),
            ("x", None, "not fitted", None, ["x4-left", "x4-right", "x4-rise", "x4-dive"]),
            ("other", None, None, "fitted", ["any-left", "any-right", "any-rise", "any-dive", "bow"]),
        ],
    )
    def test_lines_in_order(self, tail, servos, sail, bow, lines):
        assert [d.line for d in results.directions(tail, servos, sail, bow)] == lines

    def test_never_more_than_eight_and_all_different(self):
        for tail in ("cross", "x", "other"):
            for servos in (None, 2, 4):
                for sail in (None, "switch", "stick", "not fitted"):
                    for bow in (None, "fitted", "not fitted"):
                        lines = results.directions(tail, servos, sail, bow)
                        assert len(lines) <= 8
                        assert len({d.line for d in lines}) == len(lines)
                        assert len({d.command for d in lines}) == len(lines)
                        assert all(d.moves and d.result and d.result == d.result.strip() for d in lines)

    def test_words_of_two_linked_pairs(self):
        left = results.directions("x", 2)[0]
        assert left.command == "Rudder stick left, seen from astern"
        assert (
            left.result
            == "the pair upper port with lower starboard goes down-and-left, the other pair up-and-left"
        )

    def test_words_of_a_cross(self):
        assert [d.result for d in results.directions("cross")] == [
            "both rudders' trailing edges go to port",
            "both rudders' trailing edges go to starboard",
            "both stern planes' trailing edges go up",
            "both stern planes' trailing edges go down",
        ]

    def test_left_is_never_right(self):
        for tail, servos in (("cross", None), ("x", 4), ("x", 2), ("other", None)):
            left, right, rise, dive = (d.result for d in results.directions(tail, servos)[:4])
            assert left != right
            assert rise != dive

    @pytest.mark.parametrize(
        ("starboard", "up", "words"),
        [
            (0, 0, "in line"),
            (1, 0, "to starboard"),
            (-1, 0, "to port"),
            (0, 1, "up"),
            (0, -1, "down"),
            (1, 1, "up-and-right"),
            (-1, 1, "up-and-left"),
            (1, -1, "down-and-right"),
            (-1, -1, "down-and-left"),
        ],
    )
    def test_ways(self, starboard, up, words):
        assert results.edge_way(starboard, up) == words

    def test_rise_position(self):
        cross = {m.part: (m.starboard, m.up) for m in results.rise_position("cross", "switch", "fitted")}
        assert cross["port"] == cross["starboard"] == (0.0, 1.0)
        assert cross["top"] == cross["bottom"] == (0.0, 0.0)
        assert cross["sail planes"] == cross["bow planes"] == (0.0, -1.0)
        assert all(m.up > 0 for m in results.rise_position("x"))
        assert [(m.starboard, m.up) for m in results.rise_position("other")] == [(0.0, 1.0)]

    def test_the_package_offers_the_function(self):
        assert steering.directions is results.directions
