"""Steering against the world outside: vectors in three dimensions, numpy and scipy."""

import math
import re
import tomllib
from math import radians
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

from divelog.physics.errors import OutOfRangeError
from divelog.physics.steering.geometry import CROSS, X, cross_span, effect, strength, x_span, x_tail
from divelog.physics.steering.jams import pitch_left
from divelog.physics.steering.mixing import cross_deflections, pair_deflections, saturate, x_deflections
from divelog.physics.steering.mixing import mix_pairs as mix
from divelog.physics.steering.results import Move, directions, rise_position
from divelog.physics.steering.travel import plane_time, turning_diameter

# The oracle: x ahead, y to port, z up (right-handed). A plate whose trailing edge is moved by d, hit by
# water from ahead, is pushed by F = (u . n) n with u the water's way and n the plate's normal: the impact
# law of every textbook, of which only the sense is used. Moment about the boat's middle: r x F.
STERN, BOW, MIDDLE = (-0.5, 0.0, 0.0), (0.5, 0.0, 0.0), (0.0, 0.0, 0.0)


def effect_in_space(clock, starboard, up, station=STERN, ahead=True):
    """Turn to starboard, bow up, roll to starboard, and lift of one plate whose trailing edge went there."""
    moved = np.array([0.0, -starboard, up])
    if not moved.any():
        return np.zeros(4)
    tip = np.array([0.0, -math.sin(clock), math.cos(clock)])
    chord = np.array([-1.0, 0.0, 0.0]) + 0.1 * moved
    axis = np.cross(moved, [1.0, 0.0, 0.0])
    normal = np.cross(chord, axis)
    water = np.array([-1.0, 0.0, 0.0]) if ahead else np.array([1.0, 0.0, 0.0])
    force = (water @ normal) * normal
    force[0] = 0.0  # its drag only slows her
    moment = np.cross(np.array(station) + 0.05 * tip, force)
    return np.array([-moment[2], -moment[1], moment[0], force[2]])


def matrix(surfaces):
    """Effects in closed form, one column a surface, straight from the clock angles."""
    clocks = np.array([s.clock for s in surfaces])
    return np.array([np.cos(clocks), -np.sin(clocks), -np.ones(len(clocks))])


class TestGeometry:
    @pytest.mark.parametrize("surfaces", [CROSS, X, x_tail(radians(30)), x_tail(radians(60))])
    @pytest.mark.parametrize("throw", [-1.0, 0.4, 1.0])
    def test_each_surface_against_vectors_in_space(self, surfaces, throw):
        for i, surface in enumerate(surfaces):
            deflections = [0.0] * len(surfaces)
            deflections[i] = throw
            got = effect(surfaces, deflections)
            seen = effect_in_space(surface.clock, surface.starboard * throw, surface.up * throw)
            for one, other in zip((got.turn, got.bow_up, got.roll), seen[:3], strict=True):
                assert (abs(one) < 1e-9 and abs(other) < 1e-9) or one * other > 0

    @pytest.mark.parametrize("surfaces", [CROSS, X, x_tail(radians(30))])
    def test_sums_against_the_matrix(self, surfaces):
        for deflections in np.random.default_rng(7).uniform(-1, 1, (50, len(surfaces))):
            got = effect(surfaces, list(deflections))
            assert (got.turn, got.bow_up, got.roll) == pytest.approx(
                matrix(surfaces) @ deflections, abs=1e-12
            )

    def test_mixing_is_the_least_deflection_that_does_it(self):
        # numpy.linalg.pinv: the mix for one axis is proportional to the pseudo-inverse's column.
        for surfaces, deflect in ((CROSS, cross_deflections), (X, x_deflections)):
            inverse = np.linalg.pinv(matrix(surfaces))
            for axis, sticks in enumerate(((1.0, 0.0), (0.0, 1.0))):
                mixed = np.array(deflect(*sticks))
                least = inverse[:, axis]
                assert mixed == pytest.approx(least / np.abs(least).max(), abs=1e-12)

    def test_full_sticks(self):
        for sticks, cross, x in (
            ((1, 0), (2, 0, 0), (2 * math.sqrt(2), 0, 0)),
            ((0, 1), (0, 2, 0), (0, 2 * math.sqrt(2), 0)),
            ((1, 1), (2, 2, 0), (math.sqrt(2), math.sqrt(2), 0)),
        ):
            assert matrix(CROSS) @ cross_deflections(*sticks) == pytest.approx(cross, abs=1e-12)
            assert matrix(X) @ x_deflections(*sticks) == pytest.approx(x, abs=1e-12)

    def test_an_x_is_one_point_four_one_times_as_strong(self):
        # Common practice, no source: "an X is about 1.4 times as effective"; the geometry gives sqrt(2).
        for cross, x in zip(strength(CROSS), strength(X), strict=True):
            assert x / cross == pytest.approx(1.41421, abs=1e-5)
        assert strength(x_tail(radians(30))) == pytest.approx((2 * 1.7321, 2.0), abs=1e-4)

    def test_span_in_the_same_box(self):
        # By hand: half width 60 mm, hull radius 30 mm.
        assert cross_span(0.060, 0.030) == pytest.approx(0.030, abs=1e-4)
        assert x_span(0.060, 0.030) == pytest.approx(0.0549, abs=1e-4)


class TestPairs:
    # By hand: sticks, then what is left of turn and pitch when each pair is cut at full throw.
    @pytest.mark.parametrize(
        ("turn", "pitch", "pairs", "left"),
        [
            (1, 0, (1, 1), (1, 0)),
            (0, 1, (1, -1), (0, 1)),
            (0.5, 0.5, (1, 0), (0.5, 0.5)),
            (0.3, -0.6, (-0.3, 0.9), (0.3, -0.6)),
            (-1, 0.25, (-0.75, -1.25), (-0.875, 0.125)),
            (1, 1, (2, 0), (0.5, 0.5)),
            (1, 0.5, (1.5, 0.5), (0.75, 0.25)),
        ],
    )
    def test_mix(self, turn, pitch, pairs, left):
        got = mix(turn, pitch)
        assert (got.a, got.b) == pytest.approx(pairs)
        kept = saturate(turn, pitch, "clip")
        assert (kept.turn, kept.pitch) == pytest.approx(left)
        if max(abs(got.a), abs(got.b)) <= 1:
            whole = matrix(X) @ pair_deflections(got)
            assert whole == pytest.approx([2 * math.sqrt(2) * turn, 2 * math.sqrt(2) * pitch, 0], abs=1e-12)

    @pytest.mark.parametrize(
        ("turn", "pitch", "proportional", "depth_first"),
        [
            (1, 1, (0.5, 0.5), (0, 1)),
            (1, 0.5, (0.6667, 0.3333), (0.5, 0.5)),
            (-1, 0.25, (-0.8, 0.2), (-0.75, 0.25)),
            (0.3, -0.6, (0.3, -0.6), (0.3, -0.6)),
        ],
    )
    def test_other_ways(self, turn, pitch, proportional, depth_first):
        for way, expected in (("proportional", proportional), ("depth first", depth_first)):
            got = saturate(turn, pitch, way)
            assert (got.turn, got.pitch) == pytest.approx(expected, abs=1e-4)

    def test_alike_turns_and_against_pitches(self):
        # Vectors in space: both pairs to starboard turn her and nothing else; A up-and-starboard with
        # B up-and-port raises the bow and nothing else.
        for sticks, wanted in (((1.0, 0.0), 0), ((0.0, 1.0), 1)):
            deflections = pair_deflections(mix(*sticks))
            total = sum(
                effect_in_space(s.clock, s.starboard * d, s.up * d)
                for s, d in zip(X, deflections, strict=True)
            )
            assert total[wanted] > 0
            assert np.delete(total[:3], wanted) == pytest.approx([0, 0], abs=1e-12)
        alike, against = mix(1.0, 0.0), mix(0.0, 1.0)
        assert alike.a == alike.b
        assert against.a == -against.b

    def test_neighbours_linked_can_do_one_thing_and_roll(self):
        # Both upper blades on one shaft: sideways only or up only, never both, and she rolls.
        upper = matrix(X) @ [1, 0, 0, 1]
        assert upper[2] != pytest.approx(0)


WAY = re.compile(r"(up|down)-and-(left|right)|to (port|starboard)|\b(up|down)\b")


def heading(words):
    """Starboard and up signs of a way put in words, seen from astern."""
    match = WAY.search(words)
    assert match, words
    upright = match[1] or match[4]
    sideways = match[2] or match[3]
    return (
        {"left": -1, "port": -1, "right": 1, "starboard": 1, None: 0}[sideways],
        {"up": 1, "down": -1, None: 0}[upright],
    )


def blades(result):
    """Blades named in a result, with the way each goes."""
    found = {}
    for blade in ("upper port", "lower starboard", "upper starboard", "lower port"):
        where = result.find(blade)
        if where >= 0:
            found[blade] = heading(result[where:])
    if "the other pair" in result:
        way = heading(result[result.index("the other pair") :])
        found |= {"upper starboard": way, "lower port": way}
    return found


WANTED = {  # turn to starboard, bow up
    "Rudder stick left": (-1, 0),
    "Rudder stick right": (1, 0),
    "Planes to rise": (0, 1),
    "Planes to dive": (0, -1),
}
CLOCK = {s.name: s.clock for s in (*CROSS, *X)}


class TestShippedWords:
    """Every wording against vectors in space, read back out of its own words."""

    @pytest.mark.parametrize("servos", [4, 2, None])
    def test_x_wordings(self, servos):
        lines = [d for d in directions("x", servos) if d.command.split(",")[0] in WANTED]
        assert len(lines) == 4
        for line in lines:
            turn, rise = WANTED[line.command.split(",")[0]]
            ways = blades(line.result)
            assert set(ways) == {s.name for s in X}
            total = np.zeros(4)
            for blade, (starboard, up) in ways.items():
                # The blade must be able to go there: its way stands square to its span.
                assert starboard * math.sin(CLOCK[blade]) + up * math.cos(CLOCK[blade]) == pytest.approx(0)
                total += effect_in_space(CLOCK[blade], starboard * 0.7, up * 0.7)
            assert np.sign(np.round(total[:3], 9)).tolist() == [turn, rise, 0]
            if "all four" in line.result:
                assert heading(line.result[: line.result.index(":")]) == (turn, rise)

    def test_cross_wordings(self):
        lines = directions("cross")
        assert [d.command for d in lines] == list(WANTED)
        for line in lines:
            turn, rise = WANTED[line.command]
            starboard, up = heading(line.result)
            pair = ("top", "bottom") if "rudders'" in line.result else ("port", "starboard")
            total = sum(effect_in_space(CLOCK[name], starboard, up) for name in pair)
            assert np.sign(np.round(total[:3], 9)).tolist() == [turn, rise, 0]

    @pytest.mark.parametrize("roll", [0.2, 0.5, 0.9, 1.4])
    def test_wording_for_any_other_tail_holds_for_every_blade(self, roll):
        # A blade that helps with a command moves its trailing edge towards it, wherever it stands.
        for line in directions("other"):
            turn, rise = WANTED[line.command.split(",")[0]]
            starboard, up = heading(line.result)
            assert (starboard, up) == (turn, rise)
            for quarter in range(4):
                clock = roll + quarter * math.pi / 2
                share = turn * math.cos(clock) - rise * math.sin(clock)
                helped = np.array([math.cos(clock), -math.sin(clock)]) * share
                assert helped @ [starboard, up] > 0
                assert effect_in_space(clock, *helped)[:2] @ [turn, rise] > 0

    @pytest.mark.parametrize(("sail", "bow"), [("switch", None), ("stick", None), (None, "fitted")])
    def test_sail_and_bow_planes(self, sail, bow):
        (line,) = directions("cross", sail=sail, bow=bow)[4:]
        rise, dive = re.search(r"^(?:rise|up): (.*?);.*(?:dive|down): (.*)$", line.result).groups()
        for words, sense in ((rise, 1), (dive, -1)):
            trailing = heading(words[words.index("trailing") :])
            leading = heading(re.search(r"(leading edges|nose of the plane) (up|down)", words)[2])
            assert leading[1] == -trailing[1] == sense
            if sail:  # near the middle: lifted bodily
                assert effect_in_space(radians(90), *trailing, station=MIDDLE)[3] * sense > 0
            else:  # ahead of the middle: the bow goes that way
                assert effect_in_space(radians(90), *trailing, station=BOW)[1] * sense > 0
        assert line.moves[0].up < 0

    @pytest.mark.parametrize("tail", ["cross", "x"])
    def test_failsafe_position_raises_her(self, tail):
        total = np.zeros(4)
        for move in rise_position(tail, "stick", "fitted"):
            station = {"sail planes": MIDDLE, "bow planes": BOW}.get(move.part, STERN)
            clock = CLOCK.get(move.part, radians(90))
            one = effect_in_space(clock, move.starboard, move.up, station)
            assert one[1] >= -1e-9 or station is MIDDLE
            total += one
        assert total[1] > 0
        assert total[0] == pytest.approx(0, abs=1e-9)

    def test_astern_the_bow_goes_the_other_way(self):
        planes = effect(CROSS, cross_deflections(0.0, 1.0), ahead=False)
        seen = effect_in_space(radians(90), 0, 1, ahead=False)
        assert planes.bow_up < 0
        assert seen[1] < 0
        rudder = effect(CROSS, cross_deflections(1.0, 0.0), ahead=False)
        assert rudder.turn < 0
        assert effect_in_space(0.0, 1, 0, ahead=False)[0] < 0


SAMPLES = Path(__file__).resolve().parents[2] / "sample_boats" / "boats"
PAIRS = {"A": ("upper port", "lower starboard"), "B": ("upper starboard", "lower port")}
SENSE = {"rudder_left": (-1, 0), "rudder_right": (1, 0), "planes_rise": (0, 1), "planes_dive": (0, -1)}


def seen_by_owner(tail, name, words):
    """Effect of what an owner wrote down in her file: "trailing edge up", "A down-and-left, B up-and-left"."""
    if tail == "x":
        ways = {blade: heading(part) for part in words.split(",") for blade in PAIRS[part.split()[0]]}
    else:
        blades_moved = ("top", "bottom") if name.startswith("rudder") else ("port", "starboard")
        ways = dict.fromkeys(blades_moved, heading(words))
    total = sum(effect_in_space(CLOCK[blade], *way) for blade, way in ways.items())
    return tuple(np.sign(np.round(total[:2], 9)))


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.toml")), ids=lambda p: p.stem)
def test_directions_in_the_sample_boats(path):
    controls = tomllib.loads(path.read_text(encoding="utf-8"))["controls"]
    for name, words in controls["directions"].items():
        if name in SENSE:
            assert seen_by_owner(controls["tail"], name, words) == SENSE[name]
        else:  # sail or bow planes, by their leading edge
            assert words == ("leading edge up" if name.endswith("rise") else "leading edge down")


def test_there_are_sample_boats_of_both_tails():
    tails = {tomllib.loads(p.read_text(encoding="utf-8"))["controls"]["tail"] for p in SAMPLES.glob("*.toml")}
    assert {"cross", "x"} <= tails


class TestJams:
    @pytest.mark.parametrize("surfaces", [CROSS, X])
    @pytest.mark.parametrize("stuck_at", [-1.0, -0.3, 0.0, 0.5, 1.0])
    @pytest.mark.parametrize("turn", [0.0, 0.6])
    def test_against_linear_programming(self, surfaces, stuck_at, turn):
        whole = matrix(surfaces)
        for jammed in range(4):
            bounds = [(stuck_at, stuck_at) if i == jammed else (-1, 1) for i in range(4)]
            runs = [
                linprog(sign * whole[1], A_eq=whole[:1], b_eq=[turn], bounds=bounds)  # scipy
                for sign in (1, -1)
            ]
            if runs[0].status == 2:  # the rest cannot hold that turn
                with pytest.raises(OutOfRangeError, match="cannot hold a turn"):
                    pitch_left(surfaces, jammed, stuck_at, turn)
                continue
            least, most = pitch_left(surfaces, jammed, stuck_at, turn)
            assert least == pytest.approx(runs[0].fun, abs=1e-9)
            assert most == pytest.approx(-runs[1].fun, abs=1e-9)

    # Upper port blade of an X, straight on; figured with scipy.optimize.linprog.
    @pytest.mark.parametrize(
        ("stuck_at", "left"),
        [(0.0, (-1.41421, 1.41421)), (0.5, (-0.70711, 2.12132)), (1.0, (0, 2.82843)), (-1.0, (-2.82843, 0))],
    )
    def test_one_blade_of_an_x(self, stuck_at, left):
        assert pitch_left(X, 3, stuck_at) == pytest.approx(left, abs=1e-5)

    def test_stern_plane_at_dive_on_a_cross_leaves_level_at_best(self):
        assert pitch_left(CROSS, 1, 1.0) == pytest.approx((-2, 0))

    def test_circling_frees_the_bow(self):
        assert pitch_left(X, 3, -1.0, turn=-math.sqrt(2))[1] == pytest.approx(math.sqrt(2))

    def test_a_jam_cancels_exactly(self):
        assert matrix(X) @ [-1, 1, -1, 1] == pytest.approx([0, 0, 0], abs=1e-12)


class TestTravel:
    # By hand: t60 / 60 x swing x linkage x load x rated over now.
    @pytest.mark.parametrize(
        ("t60", "swing", "linkage", "load", "share", "expected"),
        [
            (0.20, 50, 1.6, 1.4, 1.0, 0.3733),
            (0.12, 40, 1.5, 1.0, 1.0, 0.1200),
            (0.25, 60, 1.5, 1.5, 1 / 1.2, 0.6750),
        ],
    )
    def test_plane_time(self, t60, swing, linkage, load, share, expected):
        assert plane_time(t60, radians(swing), linkage, load, share) == pytest.approx(expected, abs=1e-4)

    def test_turning_circle(self):
        # Surface ships 3 to 4 lengths; IMO MSC.137(76) allows 5 (as quoted in an encyclopaedia).
        assert turning_diameter(1.0, radians(30)) == pytest.approx(4.0)
        assert turning_diameter(1.0, radians(30), 2 * math.sqrt(2)) == pytest.approx(2.83, abs=5e-3)
        assert turning_diameter(1.0, radians(15)) == pytest.approx(8.0)


def test_moves_say_what_the_words_say():
    for tail, servos in (("cross", None), ("x", 4), ("x", 2), ("x", None)):
        for line in directions(tail, servos):
            if line.line == "x4-both":
                continue
            named = blades(line.result) if tail == "x" else {}
            for move in line.moves:
                assert isinstance(move, Move)
                way = named.get(move.part, heading(line.result))
                assert (np.sign(move.starboard), np.sign(move.up)) == way
