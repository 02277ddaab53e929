"""Angles of rest, stiffness, the wait and the lift: the worked boats, what is missing, and properties."""

import math

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import trim, trim_angles
from divelog.limits.model import Verdict
from divelog.profiles.document import Basis, Num

few = settings(max_examples=40, deadline=None)
GRAM = 1e-3


def seen(key: str, degrees: float, u95: float = 0.0, item: str = "dived") -> dict[tuple[str, str], Num]:
    return {(key, item): Num(math.radians(degrees), math.radians(u95), Basis.MEASURED)}


# -- the worked boats: values by an independent second implementation ------------------------------------------------


@pytest.mark.parametrize(("boat", "moment"), [("tansy", 1.510), ("bulrush", 3.116)])
def test_moment_of_a_degree(boat, moment):
    found, surfaced = trim.trim_pitch(worked.sheet(boat))
    (part,) = found.parts
    assert part.si * 1e3 == pytest.approx(moment, abs=5e-4)
    assert found.shown == "-2 to +2 deg"
    assert surfaced.shown == "-1 to +1 deg"
    assert found.basis is Basis.STATED
    assert found.verdict is Verdict.NO_READING


@pytest.mark.parametrize(
    ("boat", "pitch", "pitch_wet", "heel", "heel_wet"),
    [("tansy", 7.55, 8.28, 13.42, 14.72), ("bulrush", 15.58, 17.09, 27.69, 30.37)],
)
def test_lead_to_move(boat, pitch, pitch_wet, heel, heel_wet):
    found = trim.trim_pitch(worked.sheet(boat, readings=seen("trim.pitch", 1.5)))[0]
    assert [m.mass / GRAM for m in found.moves] == pytest.approx([pitch, pitch_wet], abs=0.01)
    assert {m.end for m in found.moves} == {"300 mm forward"}
    assert found.verdict is Verdict.WITHIN
    found = trim.trim_list(worked.sheet(boat, readings=seen("trim.list", 0.8)))[0]
    assert [m.mass / GRAM for m in found.moves] == pytest.approx([heel, heel_wet], abs=0.01)
    assert {m.end for m in found.moves} == {"90 mm to port"}


@pytest.mark.parametrize(("boat", "least"), [("tansy", "3.5"), ("bulrush", "4.5")])
def test_stiffness(boat, least):
    found = trim.trim_righting(worked.sheet(boat))
    assert found[0].shown == f"at least {least} mm"
    assert found[0].verdict is Verdict.WITHIN
    assert len(found) == (1 if boat == "tansy" else 2)


def test_part_filled_tank():
    found = trim.trim_righting(worked.sheet("bulrush"))[1]
    pitch, roll = found.parts
    assert pitch.si * 1e3 == pytest.approx(7.24, abs=0.01)
    assert roll.si * 1e3 == pytest.approx(16.29, abs=0.01)
    assert found.u95 * 1e3 == pytest.approx(3.4)
    assert found.verdict is Verdict.WITHIN
    assert found.why == (
        "Part-filled tank takes 9.8 of 17 mm fore and aft, 0.7 across",
        "One cross baffle: 2.4",
    )
    baffled = trim.trim_righting(worked.sheet("bulrush", boat__ballast__tank__baffles="1"))[1]
    assert baffled.parts[0].si * 1e3 == pytest.approx(14.6, abs=0.05)


@pytest.mark.parametrize(
    ("boat", "sets", "seconds", "shown"),
    [
        ("tansy", {}, 206, "10 min"),
        ("tansy", {"today__closed__tansy": "35 degC"}, 308, "10 min"),
        ("bulrush", {}, 88, "10 min"),
    ],
)
def test_soak(boat, sets, seconds, shown):
    (found,) = trim.trim_soak(worked.sheet(boat, **sets))
    assert found.value == pytest.approx(seconds, abs=1.0)
    assert found.shown == shown
    assert found.basis is Basis.STATED


@pytest.mark.parametrize(
    ("boat", "value", "u95", "shown", "basis"),
    [("tansy", 6.9, 0.2, "7.1 kg", Basis.STATED), ("bulrush", 11.28, 1.41, "12.7 kg*", Basis.ASSUMED)],
)
def test_lift(boat, value, u95, shown, basis):
    (found,) = trim.lift_mass(worked.sheet(boat))
    assert (found.value, found.u95) == (pytest.approx(value), pytest.approx(u95))
    assert found.shown == shown
    assert found.basis is basis
    assert "sling" in found.cautions[0]


# -- readings, missing inputs ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("degrees", "u95", "verdict"),
    [
        (1.5, 0.3, Verdict.WITHIN),
        (-1.9, 0.5, Verdict.TOO_CLOSE),
        (2.5, 0.5, Verdict.OUTSIDE),
        (-3.0, 0.5, Verdict.OUTSIDE),
    ],
)
def test_angles_are_judged_both_ways(degrees, u95, verdict):
    found = trim.trim_pitch(worked.sheet("tansy", readings=seen("trim.pitch", degrees, u95)))[0]
    assert found.verdict is verdict
    forward = "forward" if degrees > 0 else "aft"
    assert all(m.end.endswith(forward) for m in found.moves)
    assert all(m.u95 >= 0.2 * m.mass * 0.99 for m in found.moves)


def test_surfaced_angle_has_its_own_edge_and_no_moves():
    _, found = trim.trim_list(worked.sheet("tansy", readings=seen("trim.list", 1.5, 0.2, "surfaced")))
    assert found.verdict is Verdict.OUTSIDE
    assert not found.moves


def test_level_boats_have_nothing_to_move():
    assert not trim.trim_pitch(worked.sheet("tansy", readings=seen("trim.pitch", 0.0)))[0].moves


def test_a_guessed_height_of_b_gives_moves_only_for_a_list():
    sheet = worked.sheet("tansy", readings=seen("trim.list", 3.0), boat__motion__righting="unknown")
    found = trim.trim_list(sheet)[0]
    assert found.verdict is Verdict.NONE
    assert found.shown_high is None
    assert found.shown == "moves only"
    assert found.starred
    assert found.moves
    pitch = trim.trim_pitch(
        worked.sheet("tansy", readings=seen("trim.pitch", 3.0), boat__motion__righting="unknown")
    )[0]
    assert pitch.verdict is Verdict.OUTSIDE
    assert pitch.basis is Basis.ASSUMED


def test_lever_lies_between_the_outermost_lead():
    class Leads:
        """A sheet with lead written down at two places."""

        def __init__(self, places: dict[str, float]) -> None:
            self.places = places

        def ids(self, _path: str) -> tuple[str, ...]:
            return tuple(self.places)

        def si(self, path: str) -> float:
            return 0.92 if path == "boat.length" else self.places[path[path.index("[") + 1 : path.index("]")]]

    lever, how = trim_angles._pitch_lever(Leads({"bow": 0.31, "stern": -0.29, "keel": 0.0}))  # type: ignore[arg-type]
    assert lever == pytest.approx(0.60)
    assert how == "stern to bow"
    assert trim_angles._pitch_lever(Leads({"bow": 0.31}))[0] == pytest.approx(0.30)  # type: ignore[arg-type]
    assert trim_angles._pitch_lever(Leads({"a": 0.1, "b": 0.11}))[0] == pytest.approx(0.30)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("path", "named"), [("boat__ballast__volume", "boat.ballast.volume"), ("boat__mass", "boat.mass")]
)
def test_mass_and_ballast_nobody_wrote_down_are_assumed_by_her_size(path, named):
    for one in (trim.trim_pitch, trim.trim_list):
        found = one(worked.sheet("tansy", **{path: "unknown"}))[0]
        assert found.missing == ()
        assert found.basis is Basis.ASSUMED
        assert next(i for i in found.inputs if i.path == named).starred


def test_tank_sides_missing_leave_only_the_part_filled_value_unknown():
    whole, part = trim.trim_righting(worked.sheet("bulrush", boat__ballast__tank__width="unknown"))
    assert whole.verdict is Verdict.WITHIN
    assert part.verdict is Verdict.UNKNOWN
    assert part.missing == ("boat.ballast.tank.width",)
    assert part.basis is Basis.MISSING


def test_a_long_tank_on_a_tender_boat():
    def part(righting: str):
        return trim.trim_righting(worked.sheet("bulrush", boat__motion__righting=righting))[1]

    assert part("12 mm ± 3 mm").verdict is Verdict.TOO_CLOSE
    assert part("9 mm ± 3 mm").verdict is Verdict.OUTSIDE
    assert "fit a cross baffle" in part("9 mm ± 3 mm").actions


def test_a_reading_of_stiffness_wins_and_a_low_one_names_what_to_do():
    reading = {("trim.righting", ""): Num(0.003, 0.0002, Basis.MEASURED)}
    (found,) = trim.trim_righting(worked.sheet("tansy", readings=reading))
    assert found.verdict is Verdict.OUTSIDE
    assert found.actions


def test_no_wait_near_the_waters_temperature():
    (found,) = trim.trim_soak(worked.sheet("tansy", today__closed__tansy="11.5 degC"))
    assert found.shown == "no wait"
    assert found.value == 0.0
    (cold,) = trim.trim_soak(worked.sheet("tansy", today__closed__tansy="1 degC"))
    assert "too heavy" in cold.why[0]
    (thick,) = trim.trim_soak(
        worked.sheet("tansy", boat__cylinder__wall="20 mm", today__closed__tansy="45 degC")
    )
    assert int(thick.shown.split()[0]) > 10
    (large,) = trim.trim_soak(worked.sheet("tansy", boat__length="1.5 m"))
    assert large.shown == "15 min"


def test_lifting_heavy_boats():
    (found,) = trim.lift_mass(worked.sheet("tansy", boat__wet_lift_mass="30 kg"))
    assert "two people" in found.cautions[0]
    (light,) = trim.lift_mass(worked.sheet("tansy", boat__wet_lift_mass="3 kg"))
    assert len(light.cautions) == 1


# -- properties ------------------------------------------------------------------------------------------------------


@few
@given(st.floats(0.1, 20.0), st.floats(3.0, 60.0))
def test_stiffer_boats_need_more_lead(degrees, righting):
    def lead(mm: float) -> float:
        sheet = worked.sheet(
            "tansy", readings=seen("trim.pitch", degrees), boat__motion__righting=f"{mm:.3f} mm ± 1 mm"
        )
        return trim.trim_pitch(sheet)[0].moves[0].mass

    assert lead(righting * 1.1) > lead(righting)


@few
@given(st.floats(0.0, 15.0), st.floats(0.0, 10.0))
def test_a_wider_righting_never_makes_the_tank_pass(u95, more):
    def verdict(mm: float) -> Verdict:
        sheet = worked.sheet("bulrush", boat__motion__righting=f"17 mm ± {mm:.3f} mm")
        return trim.trim_righting(sheet)[1].verdict

    if verdict(u95 + more) is Verdict.WITHIN:
        assert verdict(u95) is Verdict.WITHIN
