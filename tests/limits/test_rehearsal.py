"""The rehearsal of a boat on a day: what is counted, its ±, its verdict, and where it stands to the limits."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits.failsafe import excursion, stick_over
from divelog.limits.failsafe_acts import HOLDS_ON, NOTHING, SLOW_AHEAD, acts
from divelog.limits.model import Observed, ProofView, Verdict
from divelog.limits.recovery import recovery_time
from divelog.limits.rehearsal import CASES, Rehearsal, assumed, case_named, work_out
from divelog.limits.rehearsal_figures import (
    ASTERN,
    HELD,
    JAMMED,
    MISSING,
    STEADY,
    STICK_OVER,
    STOPPED,
    acts_in,
    figures,
)
from divelog.limits.rehearsal_words import deepest_words, time_words
from divelog.limits.sheet import Sheet
from divelog.physics.motion.rehearsal import End, PlanesAfter, rehearse
from divelog.profiles.document import Num
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS

BOATS = ("tansy", "bulrush")


def boat_text(name: str) -> str:
    return (worked.SAMPLES / "boats" / f"{name}.toml").read_text(encoding="utf-8")


def with_boat(name: str, *changes: tuple[str, str], without: str = "") -> Sheet:
    """The worked day with some text of the boat's file changed, or a line left out."""
    text = boat_text(name)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    if without:
        assert without in text
        text = "\n".join(line for line in text.splitlines() if not line.startswith(without))
    document = read_document(text.encode(), f"{name}.toml", SCHEMAS["boat"])
    whole = worked.sheet(name)
    return Sheet(replace(whole.facts, boat=document), whole.observed, None, worked.AT)


def proved(name: str, **sets: str) -> Sheet:
    stands = {p: ProofView(True, since="2032-05-01") for p in ("failsafe_bench", "failsafe_wet")}
    return worked.sheet(name, observed=Observed(proofs=stands), **sets)


class TestCases:
    def test_by_number_name_or_short_name(self):
        for number, one in enumerate(CASES, 1):
            assert case_named(str(number)) is one
            assert case_named(one.name.upper()) is one
            assert case_named(one.short.replace(" ", "-")) is one
        assert case_named("0") is case_named("upside down") is None

    def test_all_of_a_boat(self):
        for name in BOATS:
            for one in CASES:
                found = work_out(worked.sheet(name), one)
                assert found.case is one
                assert len(found.sentences) == 3
                assert all(len(line) <= 62 for line in found.sentences), found.sentences
                assert found.deepest is not None
                assert found.path[0].time == 0.0
                assert found.path[0].depth == pytest.approx(0.7)
                assert max(m.depth for m in found.path) == pytest.approx(found.deepest.si, abs=1e-3)
                assert found.lowest.si >= found.deepest.si


class TestAgainstTheLimits:
    """The limits are bounds; the rehearsal must lie inside them."""

    @pytest.mark.parametrize("name", BOATS)
    def test_depth_lost(self, name):
        sheet = worked.sheet(name)
        steady, over = work_out(sheet, STEADY), work_out(sheet, STICK_OVER)
        assert steady.deepest.si <= 0.7 + sheet.of(excursion).si
        assert steady.lowest.si <= 0.7 + sheet.of(excursion).si
        assert over.deepest.si <= 0.7 + sheet.of(stick_over).si
        assert over.deepest.si > steady.deepest.si

    @pytest.mark.parametrize("name", BOATS)
    def test_time_up(self, name):
        sheet = worked.sheet(name)
        longest = recovery_time(sheet)[0]
        for one in (STEADY, STOPPED, ASTERN):
            assert work_out(sheet, one).surfaced.si <= longest.value + longest.u95

    def test_at_rest_it_is_the_limit_s_own_time(self):
        # 20.09 s: the stopwatch's 14 s scaled by the rise alone; the rehearsal counts her ballast as well.
        parts = {p.name: p.si for p in recovery_time(worked.sheet("tansy"))[0].parts}
        assert work_out(worked.sheet("tansy"), STOPPED).surfaced.si == pytest.approx(
            parts["stopped"], rel=0.03
        )

    @pytest.mark.parametrize("seconds", [8.0, 14.0, 25.0])
    def test_the_stopwatch_rules(self, seconds):
        # From half a metre at rest the rehearsal must say what the stopwatch said.
        sheet = worked.sheet("tansy", plan__depth="0.5 m", motion__time_up=f"{seconds:g} s ± 2 s")
        found = work_out(sheet, STOPPED)
        assert found.surfaced.si == pytest.approx(seconds, abs=0.02)
        assert found.surfaced.u95 == pytest.approx(2.0, rel=0.05)

    def test_without_a_stopwatch_the_rise_is_reckoned(self):
        found = work_out(worked.sheet("bulrush"), STOPPED)
        assert any("timed her" in line for line in found.cautions)

    def test_a_stopwatch_that_beats_the_failsafe_s_own_delay_says_nothing(self):
        quick = work_out(worked.sheet("tansy", motion__time_up="1.2 s"), STOPPED)
        assert quick.surfaced.si == pytest.approx(
            work_out(with_boat("tansy", without="time_up"), STOPPED).surfaced.si, rel=0.01
        )

    def test_a_stopwatch_far_off_is_not_followed_to_the_end(self):
        slow = work_out(worked.sheet("tansy", motion__time_up="400 s"), STOPPED)
        assert slow.surfaced.si < 100.0


class TestVerdict:
    def test_within(self):
        found = work_out(proved("tansy"), STEADY)
        assert found.verdict is Verdict.WITHIN
        # Bottom 2.2 m, 0.1 of it unsure, 0.5 kept.
        assert found.most == pytest.approx(1.6)
        off = 2.2 - found.lowest.si - found.lowest.u95
        assert f"{math.floor(10 * off) / 10:.1f} m off the bed" in found.sentences[0]
        assert f"{found.deepest.si:.2f} m, give or take {found.deepest.u95:.2f}" in found.sentences[0]

    def test_too_close_and_outside(self):
        near = work_out(worked.sheet("tansy", site__bottom="1.65 m"), STEADY)
        assert near.lowest.si < near.most < near.lowest.si + near.lowest.u95
        assert near.verdict is Verdict.TOO_CLOSE
        beyond = work_out(worked.sheet("tansy", site__bottom="1.4 m"), STEADY)
        assert beyond.verdict is Verdict.OUTSIDE
        assert beyond.sentences[0].endswith("nearer the bed than 0.5 m")

    def test_touching(self):
        found = work_out(worked.sheet("tansy", site__bottom="0.95 m"), STICK_OVER)
        assert found.touched is not None
        assert found.verdict is Verdict.OUTSIDE
        assert found.sentences[0] == f"Touches the bottom after {found.touched:.0f} s at 0.9 m"
        assert "at the surface after" in found.sentences[1]

    def test_driven_into_the_bottom(self):
        found = work_out(worked.sheet("tansy"), HELD)
        assert (found.verdict, found.surfaced, found.ends) == (Verdict.OUTSIDE, None, "on the bottom")
        assert found.sentences[0].endswith("s and stays there")
        assert found.cautions[0] == "Nobody goes in after a boat."

    def test_slow_to_come_up(self):
        found = work_out(worked.sheet("tansy"), MISSING)
        assert found.verdict is Verdict.OUTSIDE
        assert found.surfaced.si > 60.0
        assert found.sentences[1].endswith("60 s is long enough")

    def test_the_bottom_not_known(self):
        sheet = worked.sheet("tansy")
        facts = {p: f for p, f in sheet.facts.site.facts.items() if p != "bottom"}
        site = replace(sheet.facts.site, facts=facts)
        found = work_out(Sheet(replace(sheet.facts, site=site), sheet.observed, None, worked.AT), STEADY)
        assert found.verdict is Verdict.UNKNOWN
        assert found.missing == ("site.bottom",)
        assert found.sentences[0].endswith("the bottom is not known")
        assert found.path
        driven = work_out(Sheet(replace(sheet.facts, site=site), sheet.observed, None, worked.AT), HELD)
        assert driven.ends == "too deep"
        assert driven.sentences[:2] == (
            "Goes below 20 m and does not come back",
            "the motor runs on, or nothing lifts her",
        )

    def test_the_plan_at_the_bottom(self):
        found = work_out(worked.sheet("tansy", plan__depth="2.3 m"), STEADY)
        assert found.verdict is Verdict.UNKNOWN
        assert found.sentences == ("The plan of 2.3 m is at the bottom or under it.",)
        assert found.path == ()

    def test_heavy_at_the_low_end_is_not_surely_up(self):
        found = work_out(worked.sheet("bulrush", dived_balance="14 g ± 8 g"), STOPPED)
        assert math.isinf(found.surfaced.u95)
        assert found.verdict is Verdict.TOO_CLOSE
        assert found.sentences[1].endswith("not surely")
        assert f"give or take {2.2 - 0.7:.2f}; 0.0 m off the bed" in found.sentences[0]

    def test_neither_up_nor_down(self):
        sheet = worked.sheet("tansy")
        base, _ = sheet.of(figures)
        path = rehearse(base.boat(), base.case(STOPPED, NOTHING))
        down = replace(path, surfaced=None, end=End.STAYS_DOWN)
        assert deepest_words(sheet, down, Num(0.7), Num(0.7), None, None) == (
            "Not up within ten minutes; deepest 0.70 m"
        )
        assert time_words(down, None, 60.0) == "the motor runs on, or nothing lifts her"

    def test_the_failsafe_still_to_prove(self):
        says = "It counts on her failsafe, which is still to prove."
        assert says in work_out(worked.sheet("tansy"), STEADY).cautions
        assert says not in work_out(proved("tansy"), STEADY).cautions
        assert says not in work_out(worked.sheet("tansy"), MISSING).cautions


class TestAerial:
    def test_above_it(self):
        # 1.468 m, the radio part of the deepest keel under control.
        found = work_out(worked.sheet("tansy"), STEADY)
        assert found.aerial == pytest.approx(1.468, abs=5e-3)
        assert found.sentences[2].endswith("above 1.5 m a signal still reaches her")

    def test_below_it_all_the_time(self):
        assert "no signal reaches her below" in work_out(worked.sheet("bulrush"), STEADY).sentences[2]

    def test_below_it_for_a_while(self):
        found = work_out(worked.sheet("tansy", plan__depth="1.2 m", site__bottom="4 m"), STICK_OVER)
        under = [m.time for m in found.path if m.depth + m.u95 > found.aerial]
        assert f"from {under[0]:.0f} to {under[-1]:.0f} s no signal" in found.sentences[2]

    def test_and_for_good(self):
        assert "s on no signal reaches her" in work_out(worked.sheet("tansy"), HELD).sentences[2]

    def test_not_known(self):
        found = work_out(with_boat("tansy", without="band"), STEADY)
        assert found.aerial is None
        assert found.sentences[2].endswith("where the aerial goes is not known")


class TestMissing:
    @pytest.mark.parametrize("name", ["dived_balance", "length", "tip_above_deck"])
    def test_of_the_boat(self, name):
        found = work_out(with_boat("tansy", without=name), STEADY)
        assert found.verdict is Verdict.UNKNOWN
        assert any(path.endswith(name) for path in found.missing)
        assert name.replace("_", " ") in found.sentences[0]
        assert found.path == ()

    def test_of_the_plan(self):
        sheet = worked.sheet("tansy")
        facts = {p: f for p, f in sheet.facts.today.facts.items() if not p.endswith(".depth")}
        today = replace(sheet.facts.today, facts=facts)
        found = work_out(Sheet(replace(sheet.facts, today=today), Observed(), None, worked.AT), STEADY)
        assert found.verdict is Verdict.UNKNOWN
        assert "depth" in found.missing[0]

    def test_a_refusal_is_in_words(self):
        found = work_out(worked.sheet("tansy", beam="400 mm", height="400 mm"), STEADY)
        assert found.verdict is Verdict.UNKNOWN
        assert "Length over diameter" in found.sentences[0]


class TestFailsafeWords:
    DOES = 'does = { throttle = "stops", stern_planes = "rise", ballast = "empties" }'

    @pytest.mark.parametrize(
        ("does", "motor", "planes", "blows", "cautions"),
        [
            (
                'throttle = "stops", stern_planes = "rise", ballast = "empties"',
                0.0,
                PlanesAfter.RISE,
                True,
                0,
            ),
            ('throttle = "off", stern_planes = "neutral"', 0.0, PlanesAfter.MIDDLE, False, 0),
            ('throttle = "slow ahead", planes = "rise"', SLOW_AHEAD, PlanesAfter.RISE, False, 0),
            (
                'throttle = "holds", stern_planes = "holds", ballast = "holds"',
                1.0,
                PlanesAfter.HELD,
                False,
                0,
            ),
            ('throttle = "stops", ballast = "blows"', 0.0, PlanesAfter.HELD, True, 1),
            ('ballast = "empties"', 1.0, PlanesAfter.HELD, True, 2),
            (
                'throttle = "stops", tail_pair_a = "rise", tail_pair_b = "holds"',
                0.0,
                PlanesAfter.HELD,
                False,
                1,
            ),
            ('throttle = "stops", sail_planes = "rise"', 0.0, PlanesAfter.HELD, False, 1),
        ],
    )
    def test_words(self, does, motor, planes, blows, cautions):
        found = with_boat("tansy", (self.DOES, f"does = {{ {does} }}")).of(acts)
        assert (found.motor, found.planes, found.blow is not None) == (motor, planes, blows)
        assert len(found.cautions) == cautions
        assert found.fore_planes == ("sail_planes" in does)

    def test_no_word_for_a_lost_signal(self):
        sheet = with_boat("tansy", ('trigger = "signal lost"', 'trigger = "timer"'))
        assert sheet.of(acts) is NOTHING
        assert work_out(sheet, STEADY).does == "motor stops, planes stay, ballast stays"

    def test_in_a_case(self):
        sheet = worked.sheet("tansy")
        assert acts_in(sheet, HELD) is HOLDS_ON
        assert acts_in(sheet, MISSING) is NOTHING
        assert acts_in(sheet, JAMMED).words == "motor stops, planes stay, ballast empties"
        assert acts_in(sheet, ASTERN).words == "motor stops, planes not counted, ballast empties"
        assert acts_in(sheet, STEADY).words == "motor stops, planes rise, ballast empties"
        assert HOLDS_ON.words == "motor runs on, planes stay, ballast stays"

    def test_slow_ahead_in_words(self):
        sheet = with_boat("tansy", ('throttle = "stops"', 'throttle = "slow ahead"'))
        assert acts_in(sheet, STEADY).words.startswith("slow ahead")
        assert acts_in(sheet, ASTERN).words.startswith("motor stops")


class TestBallast:
    def test_its_time_is_that_from_depth(self):
        # 51.75 s from 0.65 m on a tired pack; 420 mL of this water.
        blow = worked.sheet("tansy").of(acts).blow
        assert blow.duration == pytest.approx(51.75, rel=5e-3)
        assert blow.mass == pytest.approx(0.41984, rel=1e-4)
        assert blow.delay == 1.5

    @pytest.mark.parametrize(
        ("name", "changes", "says"),
        [
            ("bulrush", (), "no air to let in"),
            ("bulrush", (('vent = "mast, shut when dived"', "# "),), "where the tank's air comes from"),
            ("tansy", (('empty_time = "35 s"', ""),), "nobody has timed it"),
            ("tansy", (('kind = "piston"', 'kind = "air_bladder"'),), "cannot be emptied"),
            (
                "bulrush",
                (('vent = "mast, shut when dived"', 'vent = "open hose"'), ('"2.6 m"', '"0.3 m"')),
                "stalls",
            ),
        ],
    )
    def test_why_it_is_not_counted(self, name, changes, says):
        found = with_boat(name, *changes).of(acts)
        assert found.blow is None
        assert any(says in line for line in found.cautions), found.cautions

    def test_gas_blows_slower_at_depth(self):
        sheet = with_boat("tansy", ('kind = "piston"', 'kind = "gas"'))
        assert sheet.of(acts).blow.duration == pytest.approx(1.25 * 35.0)

    def test_a_boat_without(self):
        sheet = with_boat("tansy", ('kind = "piston"', 'kind = "none"'))
        assert sheet.of(acts).blow is None
        assert sheet.of(acts).cautions == ()

    def test_a_flag_against_it(self):
        sheet = with_boat("tansy", ("empties_on_failsafe = true", "empties_on_failsafe = false"))
        assert sheet.of(acts).blow is None


class TestForePlanes:
    def test_counted_where_measured_and_told_to_rise(self):
        sheet = worked.sheet("bulrush", controls__plane_area="40 cm^2", controls__plane_span="60 mm")
        base, _ = sheet.of(figures)
        assert base.fore is not None
        assert base.fore.place == pytest.approx(0.124)
        assert not base.fore.aft
        assert len(base.boat().planes) == 2
        bow = worked.sheet(
            "bulrush",
            controls__plane_area="40 cm^2",
            controls__plane_span="60 mm",
            controls__bow_planes="fitted",
        )
        assert bow.of(figures)[0].fore.place == pytest.approx(0.434)

    def test_left_out_otherwise(self):
        assert worked.sheet("bulrush").of(figures)[0].fore is None
        assert worked.sheet("tansy").of(figures)[0].fore is None


class TestPlusMinus:
    def test_every_input_with_a_width_is_moved(self):
        _, moved = worked.sheet("tansy").of(figures)
        assert [m.what for m in moved] == [
            "speed", "dive angle", "failsafe delay", "plane time", "dived balance", "righting", "form volume",
            "planes", "drag", "emptying",
        ]  # fmt: skip

    def test_against_drawing_all_inputs_at_once(self):
        # Monte Carlo of the same inputs (JCGM 101): twice the scatter against the sum of single moves.
        sheet = worked.sheet("tansy")
        base, moved = sheet.of(figures)
        does = sheet.of(acts)
        draw, deepest, names = random.Random(7), [], ("speed", "angle", "delay", "plane_time", "balance", "righting",
                                                      "form_mass", "planes_size", "appendages", "empties")  # fmt: skip
        for _ in range(400):
            changes = {}
            for name, one in zip(names, moved, strict=True):
                middle = getattr(base, name)
                changes[name] = max(
                    1e-4, middle + (getattr(one.figures, name) - middle) / 2 * draw.gauss(0, 1)
                )
            changes["appendages"] = max(1.0, changes["appendages"])
            one = replace(base, **changes)
            deepest.append(rehearse(one.boat(), one.case(STEADY, does)).deepest)
        mean = sum(deepest) / len(deepest)
        twice = 2 * math.sqrt(sum((d - mean) ** 2 for d in deepest) / (len(deepest) - 1))
        found = work_out(sheet, STEADY).deepest
        assert found.u95 == pytest.approx(twice, rel=0.25)
        assert found.si == pytest.approx(mean, abs=0.02)

    @pytest.mark.parametrize(
        ("path", "narrow", "wide"),
        [
            ("motion.cruise", "0.6 m/s ± 0.02 m/s", "0.6 m/s ± 0.2 m/s"),
            ("radio.failsafe_delay", "1.5 s ± 0.1 s", "1.5 s ± 1 s"),
            ("motion.righting", "14 mm ± 1 mm", "14 mm ± 8 mm"),
        ],
    )
    def test_a_wider_input_is_never_a_narrower_path(self, path, narrow, wide):
        name = path.replace(".", "__")
        small, large = (work_out(worked.sheet("tansy", **{name: text}), STEADY) for text in (narrow, wide))
        assert large.deepest.u95 > small.deepest.u95
        assert large.deepest.si == pytest.approx(small.deepest.si)
        assert large.lowest.u95 >= small.lowest.u95

    def test_the_band_begins_with_nothing(self):
        found = work_out(worked.sheet("tansy"), STEADY)
        assert found.path[0].u95 == 0.0
        assert all(m.u95 >= 0.0 for m in found.path)
        at = min(found.path, key=lambda m: abs(m.depth - found.deepest.si))
        assert at.u95 == pytest.approx(found.deepest.u95, rel=0.5)


class TestProperties:
    @settings(max_examples=25)
    @given(st.floats(0.05, 1.0), st.floats(0.0, 3.0), st.sampled_from(BOATS), st.sampled_from(CASES))
    def test_any_day_gives_a_path_or_words(self, cruise, delay, name, one):
        sheet = worked.sheet(name, motion__cruise=f"{cruise:.3f} m/s", radio__failsafe_delay=f"{delay:.2f} s")
        found = work_out(sheet, one)
        self.plausible(found)

    @settings(max_examples=25)
    @given(st.floats(-30.0, 120.0), st.floats(0.1, 2.1), st.floats(0.0, 200.0), st.sampled_from(CASES))
    def test_light_or_heavy(self, grams, depth, air, one):
        sheet = worked.sheet(
            "bulrush",
            dived_balance=f"{grams:.1f} g ± 5 g",
            plan__depth=f"{depth:.2f} m",
            trapped_air=f"{air:.0f} mL",
        )
        self.plausible(work_out(sheet, one))

    def plausible(self, found: Rehearsal) -> None:
        assert found.sentences
        assert all(line for line in found.sentences)
        for moment in found.path:
            for value in (moment.time, moment.depth, moment.pitch, moment.speed, moment.u95):
                assert math.isfinite(value)
            assert moment.u95 >= 0.0
        if found.path:
            assert found.verdict in (Verdict.WITHIN, Verdict.OUTSIDE, Verdict.TOO_CLOSE)
            assert all(a.time <= b.time for a, b in zip(found.path, found.path[1:], strict=False))
        else:
            assert found.verdict in (Verdict.UNKNOWN, Verdict.NOT_FITTED)

    def test_deeper_water_is_never_a_worse_verdict(self):
        order = [Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.WITHIN]
        found = [work_out(worked.sheet("tansy", site__bottom=f"{b / 100:.2f} m"), STICK_OVER).verdict
                 for b in range(90, 300, 15)]  # fmt: skip
        ranks = [order.index(v) for v in found]
        assert ranks == sorted(ranks)
        assert {ranks[0], ranks[-1]} == {0, 2}

    def test_inputs_are_told(self):
        found = work_out(worked.sheet("tansy"), STEADY)
        paths = {one.path for one in found.inputs}
        assert {"boat.motion.cruise", "boat.dived_balance", "site.bottom", "stern planes' size"} <= paths
        assert 0 < assumed(found) < len(found.inputs)

    def test_worked_out_once_a_sheet(self):
        sheet = worked.sheet("tansy")
        assert work_out(sheet, STEADY).path is work_out(sheet, STEADY).path
