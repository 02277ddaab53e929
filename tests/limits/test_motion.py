"""Failsafe, recovery and plan: the worked boats, their extra examples, what is missing, and monotone chains."""

import math
from math import degrees, radians

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import motion
from divelog.limits.model import Observed, ProofView, Verdict
from divelog.limits.motion_figures import moved
from divelog.limits.registry import KEYS
from divelog.profiles.document import Basis, Num

few = settings(max_examples=40, deadline=None)
PROVED = Observed(proofs={"failsafe_wet": ProofView(True, since="2032-04-18")})


def results(key, boat="tansy", **sets):
    options = {k: sets.pop(k) for k in ("observed", "readings", "history") if k in sets}
    return {one.item: one for one in KEYS[key](worked.sheet(boat, **options, **sets))}


def one(key, boat="tansy", item="", **sets):
    return results(key, boat, **sets)[item]


# boat, key, item, value, u95 (to 0.5 % or a step), shown, verdict, basis: the acceptance table.
WORKED = [
    ("tansy", "failsafe.delay", "", 6.886, 3.475, 0.1, "3.0 s", Verdict.WITHIN),
    ("tansy", "failsafe.excursion", "steady", 0.4388, 0.1395, 0.002, "0.60 m", Verdict.NONE),
    ("tansy", "failsafe.excursion", "dive stick over", 1.4263, 0.3733, 0.007, "1.80 m", Verdict.NONE),
    ("tansy", "failsafe.excursion", "astern", 0.2070, 0.0, 0.002, "0.25 m", Verdict.NONE),
    ("tansy", "plan.speed_surfaced", "", 0.4290, 0.25 * 0.4290, 0.005, "0.40 m/s*", Verdict.NONE),
    ("tansy", "plan.speed_dived", "", 0.3516, 0.1055, 0.002, "0.50 m/s", Verdict.NONE),
    ("tansy", "plan.dive_angle", "", radians(23.01), radians(3.48), 0.002, "15 deg", Verdict.NONE),
    ("tansy", "recovery.time_to_surface", "", 35.19, 3.11, 0.18, "60 s", Verdict.WITHIN),
    ("bulrush", "failsafe.delay", "", 6.671, 3.751, 0.1, "2.9 s", Verdict.WITHIN),
    ("bulrush", "failsafe.excursion", "steady", 0.4583, 0.1428, 0.002, "0.65 m", Verdict.NONE),
    ("bulrush", "failsafe.excursion", "dive stick over", 0.9766, 0.2708, 0.005, "1.25 m", Verdict.NONE),
    ("bulrush", "failsafe.excursion", "astern", 0.1480, 0.0, 0.002, "0.15 m", Verdict.NONE),
    ("bulrush", "plan.speed_surfaced", "", 0.4000, 0.1, 0.002, "0.40 m/s*", Verdict.NONE),
    ("bulrush", "plan.speed_dived", "", 0.4213, 0.1264, 0.002, "0.55 m/s", Verdict.NONE),
    ("bulrush", "plan.dive_angle", "", radians(21.94), radians(2.94), 0.002, "15 deg", Verdict.NONE),
    ("bulrush", "recovery.time_to_surface", "", 22.64, 0.0, 0.12, "60 s", Verdict.WITHIN),
]


@pytest.mark.parametrize(("boat", "key", "item", "value", "u95", "tolerance", "shown", "verdict"), WORKED)
def test_worked(boat, key, item, value, u95, tolerance, shown, verdict):
    got = one(key, boat, item)
    number = got.high if key == "failsafe.delay" else got.value
    assert number == pytest.approx(value, abs=tolerance)
    assert got.u95 == pytest.approx(u95, abs=tolerance)
    assert got.shown == shown
    assert got.verdict is verdict
    assert got.basis is Basis.ASSUMED
    assert got.why
    assert got.source


class TestExcursion:
    def test_tansy_by_phase_in_words(self):
        got = one("failsafe.excursion", item="steady")
        assert got.why[0] == (
            "Signal lost at 0.6 m/s, 10° down: 1.5 s of waiting is 16 cm, planes moving 4, turning up at most "
            "24: 0.44 m, 0.60 with its ±."
        )
        assert "allow 1.8 m" in got.why[1]

    def test_a_receiver_that_fails_safe_at_once_has_no_stick_over(self):
        assert set(results("failsafe.excursion", radio__on_loss="failsafe at once")) == {"steady", "astern"}
        assert set(results("failsafe.delay", radio__on_loss="failsafe at once")) == {""}

    def test_stick_over_never_rules_the_keel(self):
        sheet = worked.sheet("tansy")
        assert motion.bottom_term(sheet).value == pytest.approx(2.2 - 0.5 - 0.4388, abs=1e-3)

    def test_steep_or_fast_gets_a_quarter_more(self):
        flat = one("failsafe.excursion", item="steady", plan__dive_angle="17.9 deg")
        steep = one("failsafe.excursion", item="steady", plan__dive_angle="18 deg")
        assert steep.value / flat.value == pytest.approx(1.25, rel=0.01)
        assert any("quarter more" in line for line in steep.why)
        # The ± does not jump with it: both ends are taken with the same allowance.
        assert steep.u95 / steep.value == pytest.approx(flat.u95 / flat.value, rel=0.02)

    def test_stated_without_spread_gets_the_usual_one(self):
        usual = one("failsafe.excursion", item="steady", plan__dive_angle="10 deg")
        sure = one("failsafe.excursion", item="steady", plan__dive_angle="10 deg ± 1 deg")
        assert usual.u95 == pytest.approx(0.1395, abs=1e-3)
        assert sure.u95 < usual.u95
        assert sure.value == usual.value

    def test_speed_guessed_by_length_is_wide(self):
        sheet = worked.sheet("tansy", motion__cruise="unknown")
        lost = sheet.of(motion.excursion)
        assert lost.basis is Basis.ASSUMED
        assert lost.u95 > 0.1395

    def test_untimed_takes_two_seconds(self):
        got = one("failsafe.excursion", item="steady", radio__failsafe_delay="unknown")
        waiting = 0.6 * math.sin(radians(10)) * 0.5
        assert got.value == pytest.approx(0.4388 + waiting, abs=1e-3)

    def test_too_steep_is_unknown_in_words(self):
        (got,) = KEYS["failsafe.excursion"](worked.sheet("tansy", plan__dive_angle="50 deg"))
        assert got.verdict is Verdict.UNKNOWN
        assert "45 degrees" in got.remark

    def test_astern_needs_her_balance_and_says_so(self):
        found = results("failsafe.excursion", dived_balance="unknown")
        assert found["steady"].verdict is Verdict.NONE
        assert found["astern"].verdict is Verdict.UNKNOWN
        assert found["astern"].missing == ("boat.dived_balance",)
        assert found["astern"].actions

    def test_astern_heavy_goes_to_the_bottom(self):
        heavy = one("failsafe.excursion", item="astern", dived_balance="-60 g")
        assert heavy.value == pytest.approx(1.5)  # 2.2 m of water, keel at 0.7

    def test_astern_with_nobody_knowing_the_bottom_is_not_clipped(self):
        heavy = one("failsafe.excursion", item="astern", dived_balance="-60 g", site__bottom="unknown")
        assert heavy.value > 1.5

    def test_astern_of_a_stub_of_a_boat_is_refused_in_words(self):
        got = one("failsafe.excursion", item="astern", beam="300 mm", height="400 mm")
        assert got.verdict is Verdict.UNKNOWN
        assert "Length over diameter" in got.remark

    def test_very_slow_astern_is_a_rough_figure(self):
        got = one("failsafe.excursion", item="astern", motion__cruise="0.1 m/s")
        assert len(got.cautions) == 2
        assert len(one("failsafe.excursion", item="astern").cautions) == 1


class TestBottomTerm:
    @pytest.mark.parametrize(("boat", "value", "u95"), [("tansy", 1.261, 0.172), ("bulrush", 1.242, 0.174)])
    def test_worked(self, boat, value, u95):
        got = motion.bottom_term(worked.sheet(boat))
        assert (got.name, got.value, got.u95) == (
            "bottom",
            pytest.approx(value, abs=1e-3),
            pytest.approx(u95, abs=1e-3),
        )
        assert got.basis is Basis.ASSUMED
        assert not got.waived

    def test_words(self):
        assert motion.bottom_term(worked.sheet("tansy")).why == (
            "Bottom 2.2 m, 0.5 kept, 0.44 lost before she turns up: 1.26 m, give or take 0.17"
        )

    def test_unknown_bottom_is_named(self):
        with pytest.raises(Exception, match=r"site\.bottom"):
            motion.bottom_term(worked.sheet("tansy", site__bottom="unknown"))

    def test_small_boats_keep_less(self):
        small = motion.bottom_term(worked.sheet("tansy", length="450 mm", my_limits__over_bottom="unknown"))
        assert "0.3 kept" in small.why


class TestDelay:
    def test_tansy_next_and_stick_over(self):
        found = results("failsafe.delay")
        assert found[""].binds == ("bench rule",)
        assert found[""].next == "bottom 3.4"
        over = found["dive stick over"]
        assert over.value == pytest.approx(0.995, abs=1e-3)
        assert over.verdict is Verdict.NONE
        assert over.cautions == ("Ease the dive stick before the last 1.5 m over the bottom.",)

    def test_bulrush_names_both_and_needs_no_caution(self):
        found = results("failsafe.delay", "bulrush")
        assert found[""].binds == ("bottom", "bench rule")
        assert found["dive stick over"].cautions == ()

    def test_little_room_is_the_bottom_alone(self):
        got = one(
            "failsafe.delay",
            plan__depth="1.25 m ± 1 cm",
            motion__cruise="0.6 m/s ± 0.01 m/s",
            plan__dive_angle="10 deg ± 0.3 deg",
            site__bottom="2.2 m ± 1 cm",
            controls__plane_time="0.4 s ± 0.1 s",
        )
        assert got.binds == ("bottom",)
        assert 0.5 < got.shown_high < 3.0
        assert got.next == "bench rule 3.0"

    def test_no_room_at_all(self):
        for depth in ("1.6 m", "2.0 m"):
            found = results("failsafe.delay", plan__depth=depth)
            assert found[""].verdict is Verdict.OUTSIDE
            assert found[""].shown == "0.0 s"
            assert any("short enough and long enough" in line for line in found[""].why)
            assert found[""].actions == ("plan a shallower keel", "go slower", "dive flatter")
            assert found["dive stick over"].shown == "none"

    def test_bottom_unknown_leaves_the_bench_rule(self):
        found = results("failsafe.delay", site__bottom="unknown")
        assert list(found) == [""]
        assert (found[""].shown, found[""].missing) == ("3.0 s", ("site.bottom",))
        assert found[""].verdict is Verdict.WITHIN

    def test_untimed_has_no_reading(self):
        got = one("failsafe.delay", radio__failsafe_delay="unknown")
        assert got.verdict is Verdict.NO_READING
        assert got.actions

    def test_todays_reading_wins(self):
        late = one("failsafe.delay", readings={("failsafe.delay", ""): Num(3.4, 0.3, Basis.MEASURED)})
        assert late.verdict is Verdict.OUTSIDE
        near = one("failsafe.delay", readings={("failsafe.delay", ""): Num(2.9, 0.3, Basis.MEASURED)})
        assert near.verdict is Verdict.TOO_CLOSE
        assert near.actions

    def test_level_plan(self):
        wandering = one("failsafe.delay", plan__dive_angle="0 deg")
        assert wandering.shown == "3.0 s"
        assert wandering.high > 10.0
        ruled = one("failsafe.delay", plan__dive_angle="0 deg ± 0 deg")
        assert (ruled.high, ruled.binds, ruled.next) == (3.0, ("bench rule",), "")
        assert "level path" in ruled.why[0]
        grounded = one("failsafe.delay", plan__dive_angle="0 deg ± 0 deg", plan__depth="2.0 m")
        assert grounded.verdict is Verdict.OUTSIDE

    def test_a_flat_dive_is_not_called_outside_for_its_curve(self):
        # At 4 ± 3 degrees half the central change is larger than the value itself.
        got = one("failsafe.delay", plan__dive_angle="4 deg")
        assert got.high - got.u95 > 3.0

    @few
    @given(st.floats(0.3, 1.4), st.floats(0.0, 0.2))
    def test_deeper_never_allows_longer(self, depth, more):
        shallow, deep = (one("failsafe.delay", plan__depth=f"{d:.3f} m") for d in (depth, depth + more))
        assert deep.shown_high <= shallow.shown_high + 1e-9


class TestRecovery:
    def test_tansy_three_times(self):
        got = one("recovery.time_to_surface")
        times = {p.name: (p.si, p.shown) for p in got.parts}
        assert times["stopped"] == (pytest.approx(20.09, rel=5e-3), "24 s")
        assert times["ahead"] == (pytest.approx(35.19, rel=5e-3), "39 s")
        assert times["astern"] == (pytest.approx(31.55, rel=5e-3), "35 s")
        assert times["wait"][1] == "78 s"
        assert got.reading_text == "39 s"
        assert not got.starred
        assert got.why[:2] == (
            "Timed 14 s from 0.5 m.",
            "From 0.7 m she has 0.43 m to rise instead of 0.23: 20 s stopped, 35 s if she is driving down when "
            "the signal goes, 32 s if she is backing.",
        )

    def test_bulrush_three_times(self):
        got = one("recovery.time_to_surface", "bulrush")
        times = {p.name: (p.si, p.shown) for p in got.parts}
        assert times["stopped"][0] == pytest.approx(11.18, rel=5e-3)
        assert times["ahead"] == (pytest.approx(22.64, rel=5e-3), "23 s*")
        assert times["astern"][0] == pytest.approx(18.26, rel=5e-3)
        assert got.starred
        assert got.reading_text == "23 s*"

    def test_tansy_without_her_trial(self):
        got = one("recovery.time_to_surface", motion__time_up="unknown")
        stopped = next(p for p in got.parts if p.name == "stopped")
        assert stopped.si == pytest.approx(15.03, rel=5e-3)
        assert stopped.shown == "16 s*"

    def test_heavy_and_unproved_stays_down(self):
        got = one("recovery.time_to_surface", "bulrush", dived_balance="-5 g", observed=Observed())
        assert got.verdict is Verdict.OUTSIDE
        assert got.reading_text == "will not come up by herself"
        assert got.cautions
        assert got.actions

    def test_a_wide_balance_counts_as_heavy(self):
        got = one("recovery.time_to_surface", "bulrush", dived_balance="10 g ± 30 g", observed=Observed())
        assert got.verdict is Verdict.OUTSIDE

    def test_heavy_with_a_proved_blow_comes_up_slowly(self):
        heavy = one("recovery.time_to_surface", "bulrush", dived_balance="-50 g", observed=PROVED)
        assert heavy.starred
        assert heavy.value > 22.64
        assert "ballast alone" in heavy.why[0]
        seen = one(
            "recovery.time_to_surface", "bulrush", dived_balance="-50 g", observed=PROVED, plan__depth="0.3 m"
        )
        assert {p.name: p.si for p in seen.parts}["stopped"] == 0.0
        hopeless = one("recovery.time_to_surface", "bulrush", dived_balance="-1.3 kg", observed=PROVED)
        assert hopeless.verdict is Verdict.OUTSIDE
        untimed = one(
            "recovery.time_to_surface",
            "bulrush",
            dived_balance="-50 g",
            ballast__empty_time="unknown",
            observed=PROVED,
        )
        assert untimed.reading_text == "will not come up by herself"

    def test_heavy_after_a_trial_scales_by_depth(self):
        got = one("recovery.time_to_surface", dived_balance="-20 g")
        assert got.starred
        assert "heavy today" in got.cautions[0]
        stopped = next(p for p in got.parts if p.name == "stopped")
        assert stopped.si == pytest.approx(1.5 + 12.5 * 0.43 / 0.23, rel=1e-6)

    def test_shallow_plan_is_seen(self):
        got = one("recovery.time_to_surface", plan__depth="0.2 m")
        stopped = next(p for p in got.parts if p.name == "stopped")
        assert stopped.si == 0.0
        assert "tip is out of the water" in got.why[1]
        seen = one(
            "recovery.time_to_surface",
            plan__depth="0.2 m",
            radio__tip_above_deck="900 mm",
            motion__time_up="unknown",
        )
        assert {p.name: p.si for p in seen.parts}["ahead"] == 0.0
        assert {p.name: p.si for p in seen.parts}["astern"] == 0.0

    def test_a_trial_too_shallow_asks_for_a_deeper_one(self):
        got = one("recovery.time_to_surface", radio__tip_above_deck="300 mm")
        assert got.starred
        assert any("from deeper" in line for line in got.cautions)

    def test_unknown_balance_is_named(self):
        got = one("recovery.time_to_surface", "bulrush", dived_balance="unknown")
        assert got.verdict is Verdict.UNKNOWN
        assert "boat.dived_balance" in got.missing

    def test_size_sets_the_longest_wait(self):
        assert one("recovery.time_to_surface", length="1.4 m").shown == "120 s"
        assert one("recovery.time_to_surface", length="550 mm").shown == "30 s"

    def test_a_reading_today_is_judged_too(self):
        slow = one(
            "recovery.time_to_surface",
            readings={("recovery.time_to_surface", ""): Num(70.0, 1.0, Basis.MEASURED)},
        )
        assert slow.verdict is Verdict.OUTSIDE
        assert slow.reading_text == "70 s"

    def test_drag_out_of_its_range_is_said(self):
        slow = one("recovery.time_to_surface", "bulrush", dived_balance="4.2 g ± 0.5 g")
        assert slow.verdict is Verdict.OUTSIDE
        assert "slower or faster" in slow.cautions[0]
        assert len(one("recovery.time_to_surface", "bulrush").cautions) == 1

    def test_a_blunt_hull_has_no_figure_astern(self):
        got = one("recovery.time_to_surface", beam="300 mm", height="400 mm", radio__tip_above_deck="50 mm")
        assert {p.name for p in got.parts} == {"ahead", "stopped", "wait"}
        assert "backing" not in got.why[1]

    @few
    @given(st.floats(0.4, 1.3), st.floats(0.01, 0.3))
    def test_deeper_never_comes_up_sooner(self, depth, more):
        shallow, deep = (
            one("recovery.time_to_surface", plan__depth=f"{d:.3f} m") for d in (depth, depth + more)
        )
        assert deep.value >= shallow.value - 1e-9

    @few
    @given(st.floats(25.0, 200.0), st.floats(1.0, 50.0))
    def test_lighter_never_comes_up_later(self, grams, more):
        heavy, light = (
            one("recovery.time_to_surface", "bulrush", dived_balance=f"{g:.1f} g ± 8 g")
            for g in (grams, grams + more)
        )
        if heavy.verdict is not Verdict.OUTSIDE:
            assert light.value <= heavy.value + 1e-9


class TestPlan:
    def test_dive_angle_words_and_binding(self):
        got = one("plan.dive_angle")
        assert got.binds == ("cap",)
        assert got.why == (
            "She would clear the bottom down to 19°; beyond 15° lead and pack may shift and vents are not proved.",
        )
        shallow = one("plan.dive_angle", plan__depth="1.3 m")
        assert shallow.binds[0] == "bottom"
        assert degrees(shallow.shown_high) < 10

    def test_no_room_no_angle(self):
        got = one("plan.dive_angle", plan__depth="1.9 m")
        assert got.shown == "0 deg"
        assert got.actions
        assert "no room" in got.why[0]

    def test_large_boats_keep_flatter(self):
        got = one("plan.dive_angle", length="1.5 m", site__bottom="9 m")
        assert (got.shown, got.binds) == ("10 deg", ("cap",))

    @few
    @given(st.floats(0.3, 1.5), st.floats(0.0, 0.4))
    def test_deeper_never_allows_steeper(self, depth, more):
        shallow, deep = (one("plan.dive_angle", plan__depth=f"{d:.3f} m") for d in (depth, depth + more))
        assert deep.shown_high <= shallow.shown_high + 1e-9

    def test_surfaced_words_and_throttle(self):
        got = one("plan.speed_surfaced")
        assert got.starred
        assert got.parts[0].shown == "39 % throttle*"
        assert got.why[0].startswith("Shaft 43 mm down, 12 mm of that lost to waves: about 39 % throttle")

    def test_froth_seen_replaces_the_caps(self):
        got = one("plan.speed_surfaced", motion__froth_throttle="60 %")
        assert got.value == pytest.approx(0.54 * 1.1)
        assert got.shown == "0.55 m/s"
        assert not got.starred

    def test_her_own_wave_holds_her(self):
        got = one("plan.speed_surfaced", motion__froth_throttle="100 %", motion__full="2.5 m/s")
        assert got.value == pytest.approx(0.4 * math.sqrt(9.80665 * 0.92))
        assert any("own wave" in line for line in got.why)

    def test_surfaced_needs_the_wind(self):
        sheet = worked.sheet("tansy", today__air__look="unknown")
        (got,) = KEYS["plan.speed_surfaced"](sheet)
        assert got.verdict is Verdict.UNKNOWN
        assert got.missing

    @few
    @given(st.floats(0.5, 6.0), st.floats(0.0, 3.0))
    def test_more_wind_never_allows_faster(self, wind, more):
        calm, windy = (
            one("plan.speed_surfaced", today__air__wind=f"{w:.2f} m/s") for w in (wind, wind + more)
        )
        assert windy.shown_high <= calm.shown_high + 1e-9

    def test_dived_words(self):
        got = one("plan.speed_dived")
        assert got.parts[0].shown == "0.20 m/s"
        assert got.why[0] == (
            "18 g light: the hull at 8° nose-down holds her down from 0.35 m/s, 0.25 to 0.46."
        )

    def test_planes_help_to_hold_her_down(self):
        sets = {"controls__plane_area": "30 cm^2", "controls__plane_span": "39 mm"}
        alone = one("plan.speed_dived", "bulrush")
        helped = one("plan.speed_dived", "bulrush", **sets)
        assert helped.value < alone.value
        assert "planes" in helped.why[0]
        # Stern planes only: they count nothing, whatever their area.
        assert one("plan.speed_dived", **sets).value == one("plan.speed_dived").value

    def test_heavy_does_not_limit(self):
        got = one("plan.speed_dived", dived_balance="-30 g")
        assert (got.shown, got.value) == ("not limiting", None)
        assert got.cautions

    @few
    @given(st.floats(25.0, 200.0), st.floats(0.1, 50.0))
    def test_lighter_needs_more_speed(self, grams, more):
        low, high = (one("plan.speed_dived", dived_balance=f"{g:.1f} g ± 4 g") for g in (grams, grams + more))
        assert high.value > low.value
        assert high.shown_low >= low.shown_low - 1e-9


class TestWiderNeverLooser:
    """A wider ± never loosens what is shown."""

    @pytest.mark.parametrize(
        ("path", "value", "narrow", "wide", "unit"),
        [
            ("motion__cruise", 0.6, 0.02, 0.2, "m/s"),
            ("plan__dive_angle", 10, 0.5, 4, "deg"),
            ("radio__failsafe_delay", 1.5, 0.05, 0.8, "s"),
            ("controls__plane_time", 0.4, 0.02, 0.3, "s"),
            ("site__bottom", 2.2, 0.02, 0.4, "m"),
        ],
    )
    def test_chain(self, path, value, narrow, wide, unit):
        close, loose = ({path: f"{value} {unit} ± {u} {unit}"} for u in (narrow, wide))
        assert one("failsafe.excursion", item="steady", **loose).shown_high >= (
            one("failsafe.excursion", item="steady", **close).shown_high
        )
        assert one("failsafe.delay", **loose).shown_high <= one("failsafe.delay", **close).shown_high
        assert one("plan.dive_angle", **loose).shown_high <= one("plan.dive_angle", **close).shown_high
        terms = [motion.bottom_term(worked.sheet("tansy", **sets)) for sets in (loose, close)]
        assert terms[0].safe <= terms[1].safe + 1e-12


class TestMoved:
    def test_a_line_gives_its_slope(self):
        assert moved(lambda x: 3 * x, 2.0, 0.5, -math.inf, math.inf, 1.0) == pytest.approx(1.5)
        assert moved(lambda x: 3 * x, 0.1, 0.5, 0.0, math.inf, 1.0) == pytest.approx(1.5)  # cut and scaled

    def test_no_spread_no_share(self):
        assert moved(lambda x: 3 * x, 2.0, 0.0, -math.inf, math.inf, 1.0) == 0.0
        assert moved(lambda x: 3 * x, 2.0, 0.5, 2.0, 2.0, 1.0) == 0.0

    def test_a_curve_counts_its_harmful_side(self):
        assert moved(lambda x: 1 / x, 4.0, 3.0, 0.1, math.inf, -1.0) == pytest.approx(1 / 4 - 1 / 7)
        # Where only one side can be taken there is nothing to choose.
        assert moved(lambda x: 1 / x, 4.0, 1.0, 4.0, math.inf, -1.0) == pytest.approx(1 / 4 - 1 / 5)
