"""What the log teaches as inputs of limits: drawn toward the sum while there is little, never bolder on little, frozen
where following would hide the wear. Fill times are the invented series of a slowly slowing pump.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "limits"))

import math

import pytest
import worked
from hypothesis import given
from hypothesis import strategies as st

from divelog.calibration.model import Series
from divelog.limits import ballast, battery_pack, catalogue
from divelog.limits.ballast_model import baseline, own_factor
from divelog.limits.model import Limit, Verdict
from divelog.limits.sheet import Sheet
from divelog.physics.statistics import factor_of
from divelog.profiles.document import Basis, Fact, Num

SLOWING = (40.1, 41.2, 41.0, 42.3, 43.4, 43.1, 44.9, 45.2, 46.6, 46.9)


def _sheet(reading: float | None = None, **sets: str) -> Sheet:
    taken = {} if reading is None else {("ballast.fill_time", ""): Num(reading, 0.3, Basis.MEASURED)}
    return worked.sheet("tansy", readings=taken, history=False, **sets)


def _with_times(way: str, series: Series, reading: float | None = None, timed_at=None, **sets: str) -> Sheet:
    plain = _sheet(reading, **sets)
    seen = replace(worked.sheet("tansy").observed, times={way: series}, timed_at=timed_at or {})
    return Sheet(plain.facts, seen, plain.readings, worked.AT)


def _limit(sheet: Sheet, key: str, item: str = "") -> Limit:
    return next(x for x in catalogue.work_out(sheet, (key,)) if x.item == item)


# -- a baseline that does not follow ---------------------------------------------------------------------------------


def test_a_slowing_pump_does_not_carry_its_limit_with_it():
    """38 s written down: 47.5 s is the most, shown 47, however the ten times since have grown."""
    found = _limit(
        _with_times("fill", Series(SLOWING, 0.3), 46.9, today__closed__tansy="11 degC"), "ballast.fill_time"
    )
    assert found.shown_high == 47.0
    assert found.verdict is Verdict.TOO_CLOSE
    later = Series((*SLOWING, 50.0, 55.0, 60.0), 0.3)
    found = _limit(_with_times("fill", later, 60.0, today__closed__tansy="11 degC"), "ballast.fill_time")
    assert found.shown_high == 47.0
    assert found.verdict is Verdict.OUTSIDE


@given(st.lists(st.floats(20, 80), min_size=1, max_size=12))
def test_the_limit_is_never_over_a_quarter_more_than_the_baseline(times):
    sheet = _with_times("fill", Series(tuple(times), 0.3), today__closed__tansy="11 degC")
    found = _limit(sheet, "ballast.fill_time")
    assert found.high <= 1.25 * baseline(sheet, "fill").seconds.si + 1e-9
    assert found.u95 >= 0.0


def test_without_a_written_time_the_first_eight_are_the_baseline():
    sheet = _with_times("fill", Series(SLOWING, 0.3), boat__ballast__fill_time="unknown")
    found = sheet.of(baseline, "fill")
    assert (found.seconds.si, found.seconds.basis) == (pytest.approx((42.3 + 43.1) / 2), Basis.MEASURED)
    assert len(found.ratios) == len(SLOWING)
    limit = _limit(sheet, "ballast.fill_time")
    entry = next(i for i in limit.inputs if i.path == "boat.ballast.fill_time")
    assert (entry.basis, entry.said) == (Basis.MEASURED, "median of her first 8")
    at_volts = Series((40.0, 41.0), 0.3, {"volts": 8.0}, (8.0, None))
    sheet = _with_times("fill", at_volts, boat__ballast__fill_time="unknown")
    assert sheet.of(baseline, "fill").volts == 8.0
    bare = _sheet(boat__ballast__fill_time="unknown")
    assert _limit(bare, "ballast.fill_time").missing == ("boat.ballast.fill_time",)


def test_a_baseline_measured_for_itself_has_its_own_volts():
    facts = worked.facts("tansy").with_measured(
        {"boat.ballast.fill_time": Fact(Num(36.0), basis=Basis.MEASURED)}
    )
    seen = replace(worked.sheet("tansy").observed, timed_at={"fill": 8.0})
    assert Sheet(facts, seen).of(baseline, "fill").volts == 8.0
    assert Sheet(facts).of(baseline, "fill").volts == pytest.approx(7.6)
    assert Sheet(facts, seen).of(baseline, "empty").volts == pytest.approx(7.6)


def test_each_time_is_held_against_the_sum_at_its_own_volts():
    series = Series((38.0, 38.0 * 7.6 / 8.0), 0.3, {"volts": 7.8}, (7.6, 8.0))
    assert _with_times("fill", series).of(baseline, "fill").ratios == pytest.approx((1.0, 1.0))
    median_only = Series((38.0,), 0.3, {"volts": 7.6})
    assert _with_times("fill", median_only).of(baseline, "fill").ratios == pytest.approx((1.0,))


# -- a factor of her own ---------------------------------------------------------------------------------------------


def _deep(sheet: Sheet) -> float:
    found = _limit(sheet, "ballast.empty_time", "at depth")
    assert found.value is not None
    return found.value


def test_slower_strokes_make_the_time_from_depth_longer():
    usual = _deep(_sheet())
    slow = _with_times("empty", Series((42.0,) * 6, 0.3))
    factor = factor_of([1.2] * 6)
    assert _deep(slow) / usual == pytest.approx(factor.value)
    assert 1.0 < factor.value < 1.2  # drawn toward the sum
    entry = next(
        i
        for i in _limit(slow, "ballast.empty_time", "at depth").inputs
        if i.path.startswith("her own time to")
    )
    assert (entry.basis, entry.si, entry.said) == (
        Basis.MEASURED,
        pytest.approx(factor.value),
        "6 timed strokes",
    )
    assert entry.u95 == pytest.approx(2 * factor.spread * factor.value)
    assert _deep(slow.varied({entry.path: 0.1})) / usual == pytest.approx(factor.value + 0.1)


@pytest.mark.parametrize(("count", "bolder"), [(1, False), (2, False), (3, True), (8, True)])
def test_quick_strokes_count_from_three_on(count, bolder):
    quick = _with_times("empty", Series((28.0,) * count, 0.3))
    assert (quick.of(own_factor, "empty") < 1.0) is bolder
    assert (_deep(quick) < _deep(_sheet()) - 1e-9) is bolder


@given(st.lists(st.floats(0.7, 1.6), min_size=1, max_size=25))
def test_the_factor_lies_between_none_and_what_was_timed(ratios):
    sheet = _with_times("empty", Series(tuple(35.0 * r for r in ratios), 0.3))
    value = sheet.of(own_factor, "empty")
    newest = ratios[-20:]
    low, high = min(1.0, *newest), max(1.0, *newest)
    assert low - 1e-9 <= value <= high + 1e-9
    if len(newest) < 3:
        assert value >= 1.0


def test_strokes_that_do_not_belong_to_the_sum_are_left_alone():
    assert _with_times("empty", Series((350.0,) * 9, 0.3)).of(own_factor, "empty") == 1.0
    assert _sheet().of(own_factor, "empty") == 1.0


def test_a_hold_by_the_log_alone():
    sheet = _with_times("empty", Series((35.0,) * 5, 0.3), boat__ballast__empty_time="unknown")
    assert [t.name for t in sheet.of(ballast.pump_terms)] == ["pump head", "pump hold"]
    assert [t.name for t in _sheet(boat__ballast__empty_time="unknown").of(ballast.pump_terms)] == [
        "pump head"
    ]


# -- what a minute takes ---------------------------------------------------------------------------------------------


def _drawn(*amperes: float, **sets: str) -> Sheet:
    plain = _sheet(**sets)
    seen = replace(worked.sheet("tansy").observed, charge_per_minute={"D2": amperes} if amperes else {})
    return Sheet(plain.facts, seen, {}, worked.AT)


def test_the_draw_is_an_input_like_any_other():
    none, five = _drawn(), _drawn(*[2.94, 3.12, 3.0, 3.18, 2.94])
    path = "pack[D2].charge_per_minute"
    guess = next(i for i in _limit(none, "battery.endurance", "D2").inputs if i.path == path)
    learnt = next(i for i in _limit(five, "battery.endurance", "D2").inputs if i.path == path)
    assert (guess.basis, guess.starred) == (Basis.ASSUMED, True)
    assert (learnt.basis, learnt.said) == (Basis.MEASURED, "five like runs")
    assert learnt.u95 / learnt.si < guess.u95 / guess.si
    # ± is twice the spread of the typical draw
    draw = five.of(battery_pack.draw, "D2")
    assert learnt.u95 == pytest.approx(2 * math.sqrt(draw.log_variance) * draw.typical)


@given(st.floats(1.5, 6.0), st.integers(1, 30))
def test_few_runs_are_drawn_toward_the_sum(amperes, count):
    predicted = _drawn().of(battery_pack.plan_current).mean
    found = _drawn(*([amperes] * count)).of(battery_pack.draw, "D2").typical
    low, high = sorted((predicted, amperes))
    assert low - 1e-9 <= found <= high + 1e-9
    more = _drawn(*([amperes] * (count + 1))).of(battery_pack.draw, "D2").typical
    assert abs(math.log(more / amperes)) <= abs(math.log(found / amperes)) + 1e-9


def test_moved_or_known_better():
    sheet = _drawn(*[3.0] * 5)
    path = "pack[D2].charge_per_minute"
    before = sheet.of(battery_pack.draw, "D2")
    moved = sheet.varied({path: 0.3}).of(battery_pack.draw, "D2")
    assert moved.typical == pytest.approx(before.typical + 0.3)
    assert moved.nine_in_ten / before.nine_in_ten == pytest.approx(moved.typical / before.typical)
    sure = sheet.varied(None, {path: 0.0}).of(battery_pack.draw, "D2")
    assert before.typical < sure.nine_in_ten < before.nine_in_ten
    gone = sheet.varied({path: -99.0}).of(battery_pack.draw, "D2")
    assert gone.typical > 0.0
    # a figure typed in is one run more
    typed = _drawn(**{"pack[D2]__charge_per_minute": "4 A ± 0.4 A"})
    assert len(typed.of(battery_pack.runs, "D2")) == 1
    assert typed.of(battery_pack.draw, "D2").typical > _drawn().of(battery_pack.draw, "D2").typical


def test_a_pack_just_charged_is_full_for_its_first_day():
    def state(hours: float, chemistry: str) -> float:
        sheet = worked.sheet("tansy", history=False, **{"kit__pack[D2]__chemistry": chemistry})
        seen = replace(sheet.observed, charged_full={"D2": hours})
        found = Sheet(sheet.facts, seen, {}, worked.AT).of(battery_pack.by_record, "D2")
        assert found is not None
        return found.value

    assert state(13.0, "sealed lead-acid") == 1.0
    assert state(25.0, "sealed lead-acid") < 1.0
    # nickel loses a tenth and more in its first day: followed through it
    assert state(12.0, "nickel metal hydride") == pytest.approx(1 - 0.13 / 2, abs=0.01)
