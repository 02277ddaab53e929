"""Battery limits: the two worked boats, a twelve-volt pack, other chemistries, and what holds for any pack."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
import worked
from hypothesis import given, settings
from hypothesis import strategies as st

from divelog.limits import battery, battery_load, battery_pack
from divelog.limits.model import Limit, Observed, Series, Verdict
from divelog.limits.registry import KEYS
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Fact, Num

few = settings(max_examples=60, deadline=None)

MINUTE = 60.0
AH = 3600.0
REST, ENDURANCE, LOAD = "battery.rest_voltage", "battery.endurance", "battery.load_voltage"


def result(sheet: Sheet, key: str, item: str | None = None) -> Limit:
    found = KEYS[key](sheet)
    if item is None:
        assert len(found) == 1, [one.name for one in found]
        return found[0]
    return next(one for one in found if one.item == item)


def read(volts: float, u95: float, pack: str, key: str = REST) -> dict[tuple[str, str], Num]:
    return {(key, pack): Num(volts, u95, Basis.MEASURED)}


def log(
    pack: str, *, charged: float | None = None, runs: tuple[float, ...] = (), **more: Mapping[str, Series]
) -> Observed:
    """A log with a full charge some hours ago and runs in A h a minute."""
    return Observed(
        charged_full={} if charged is None else {pack: charged},
        charge_per_minute={pack: tuple(60.0 * q for q in runs)} if runs else {},
        **more,  # type: ignore[arg-type]
    )


# The worked boats -----------------------------------------------------------------------------------


def test_tansy_back_at_the_bank() -> None:
    found = result(worked.sheet("tansy"), ENDURANCE)
    assert (found.item, found.shown, found.verdict, found.basis) == (
        "D2", "47 min", Verdict.WITHIN, Basis.ASSUMED,
    )  # fmt: skip
    assert found.high == pytest.approx(62.44 * MINUTE, rel=0.005)
    assert found.u95 == pytest.approx((62.44 - 47) * MINUTE, rel=0.005)
    assert [part.si / MINUTE for part in found.parts] == pytest.approx([47.18, 54.34], rel=0.005)
    assert found.shown_high == 47 * MINUTE
    assert not found.starred
    assert found.why[0] == "4.7 A h measured x 0.955 (11 degC) = 4.49; keep 1.35"
    assert found.why[1] == "Your five runs take 3.0 A, nine in ten under 4.0 A: 47 min"


def test_tansy_with_no_runs_logged() -> None:
    found = result(worked.sheet("tansy", observed=log("D2", charged=13.0)), ENDURANCE)
    assert (found.shown, found.verdict, found.starred) == ("40 min*", Verdict.WITHIN, True)
    assert found.parts[0].si == pytest.approx(40.10 * MINUTE, rel=0.005)


def test_tansy_figures_on_the_way() -> None:
    sheet = worked.sheet("tansy")
    draw = sheet.of(battery_pack.draw, "D2")
    assert (draw.typical / 60, draw.nine_in_ten / 60) == pytest.approx((0.05032, 0.06659), rel=1e-3)
    found = sheet.of(battery_pack.at_work, "D2")
    assert found.budget.effective / AH == pytest.approx(4.4885, rel=1e-4)
    assert found.budget.kept / AH == pytest.approx(1.3465, rel=1e-4)
    assert found.budget.recovery / AH == pytest.approx(0.2325, abs=1e-4)
    assert battery_pack.spread(sheet, "D2", 0.03) / AH == pytest.approx(0.5213, abs=1e-4)
    assert battery.spare(sheet) / AH == pytest.approx(0.4782, abs=0.003)
    assert battery.capacity(sheet).si == found.budget.effective


def test_bulrush_back_at_the_bank() -> None:
    found = result(worked.sheet("bulrush"), ENDURANCE)
    assert (found.item, found.shown, found.verdict, found.basis) == (
        "P1", "68 min*", Verdict.WITHIN, Basis.ASSUMED,
    )  # fmt: skip
    assert found.high == pytest.approx(120.3 * MINUTE, rel=0.005)
    assert [part.si / MINUTE for part in found.parts] == pytest.approx([71.7, 68.6], rel=0.005)


def test_bulrush_by_volts_only() -> None:
    sheet = worked.sheet("bulrush", observed=Observed(), readings=read(6.40, 0.03, "P1"))
    found = result(sheet, ENDURANCE)
    assert found.shown_high == 57 * MINUTE
    assert [part.si / MINUTE for part in found.parts] == pytest.approx([61.3, 57.5], rel=0.005)
    assert sheet.of(battery_pack.state_now, "P1").value == pytest.approx(0.9307, abs=1e-4)
    volts = result(sheet, REST)
    assert (volts.shown, volts.verdict) == ("6.34 V", Verdict.WITHIN)
    assert volts.low == pytest.approx(6.3303, abs=1e-4)


def test_bulrush_spare_charge_for_cycles() -> None:
    # The record's ten hours of lying cost 0.07 % of the pack.
    assert battery.spare(worked.sheet("bulrush")) / AH == pytest.approx(1.8930, abs=0.01)


@pytest.mark.parametrize(
    ("boat", "low", "shown", "after"),
    [("tansy", 8.2435, "8.25 V", "7.63 V"), ("bulrush", 6.3278, "6.33 V", "6.16 V")],
)
def test_worked_rest_volts(boat: str, low: float, shown: str, after: str) -> None:
    found = result(worked.sheet(boat), REST)
    assert (found.shown, found.verdict, found.basis) == (shown, Verdict.WITHIN, Basis.ASSUMED)
    assert found.low == pytest.approx(low, abs=1e-4)
    assert found.parts[0].shown == after
    assert not found.starred


@pytest.mark.parametrize(
    ("boat", "low", "shown", "fall"), [("tansy", 8.205, "8.21 V", 0.105), ("bulrush", 6.235, "6.24 V", 0.165)]
)
def test_worked_volts_under_load(boat: str, low: float, shown: str, fall: float) -> None:
    found = result(worked.sheet(boat), LOAD)
    assert (found.shown, found.verdict, found.basis) == (shown, Verdict.NO_READING, Basis.ASSUMED)
    assert found.low == pytest.approx(low, abs=1e-9)
    assert found.parts[0].si == pytest.approx(fall, abs=1e-9)
    assert "at 5 A" in found.remark


def test_tansy_terms_of_the_resistance() -> None:
    found = result(worked.sheet("tansy"), LOAD)
    assert found.binds == ("own resistance",)
    assert found.why[0] == "14 mohm is usual, half as much again is 21"
    assert found.why[1].startswith("58 mohm")
    assert found.why[2] == "5 A then costs 0.10 V"


@pytest.mark.parametrize(("boat", "shown"), [("tansy", "5.0 V"), ("bulrush", "4.2 V")])
def test_worked_volts_at_the_receiver(boat: str, shown: str) -> None:
    found = result(worked.sheet(boat), "receiver.supply")
    assert (found.shown, found.verdict, found.basis) == (shown, Verdict.NO_READING, Basis.STATED)


def test_worked_spread() -> None:
    found = result(worked.sheet("tansy"), "battery.spread")
    assert (found.item, found.shown, found.verdict, found.basis) == (
        "D2", "0.03 V", Verdict.WITHIN, Basis.MEASURED,
    )  # fmt: skip
    assert result(worked.sheet("bulrush"), "battery.spread").verdict is Verdict.NOT_FITTED


# A twelve-volt pack of 7 A h ------------------------------------------------------------------------

TWELVE = {"pack__cells": "6", "pack__capacity": "7 A h", "ballast__empty_time": "35 s", "power__blow": "2 A"}
SIZE_M = {"power__idle": "0.4 A", "power__cruise": "3 A", "power__full": "9 A", "power__blow": "3 A"}
SMALLER = {"power__idle": "0.2 A", "power__cruise": "1.5 A", "power__full": "4.5 A"}
MEASURED = {"power__idle": "0.35 A", "power__cruise": "2.4 A", "power__full": "6.5 A"}


def twelve(volts: float, charged: bool, runs: tuple[float, ...], **sets: str) -> Sheet:
    observed = log("P1", charged=14.0 if charged else None, runs=runs)
    return worked.sheet("bulrush", observed=observed, readings=read(volts, 0.06, "P1"), **{**TWELVE, **sets})


@pytest.mark.parametrize("charged", [True, False])
def test_a_plan_no_full_pack_lasts_shows_minutes_not_volts(charged: bool) -> None:
    found = result(twelve(12.88, charged, (), **SIZE_M), REST)
    assert (found.shown, found.verdict) == ("plan at most 29 min", Verdict.OUTSIDE)
    assert found.shown_low is None
    assert "three logged runs would tell more" in found.remark
    assert found.actions[0] == "plan at most 29 minutes"


@pytest.mark.parametrize("charged", [True, False])
@pytest.mark.parametrize(
    ("sets", "runs", "shown"), [(SMALLER, (), "12.61 V"), (MEASURED, (0.035,) * 3, "12.78 V")]
)
def test_a_twelve_volt_pack(charged: bool, sets: dict[str, str], runs: tuple[float, ...], shown: str) -> None:
    found = result(twelve(12.88, charged, runs, **sets), REST)
    assert (found.shown, found.verdict) == (shown, Verdict.WITHIN)


@pytest.mark.parametrize(
    ("volts", "verdict", "words"),
    [
        (12.88, Verdict.WITHIN, "the volts agree"),
        (12.78, Verdict.WITHIN, "the volts agree"),
        (12.75, Verdict.TOO_CLOSE, "the record says full, the volts do not"),
        (12.72, Verdict.TOO_CLOSE, "the record says full, the volts do not"),
        (12.71, Verdict.OUTSIDE, "that charge did not take"),
        (12.30, Verdict.OUTSIDE, "that charge did not take"),
    ],
)
def test_lead_acid_charged_full_only_has_to_agree(volts: float, verdict: Verdict, words: str) -> None:
    found = result(twelve(volts, True, (0.035,) * 3, **MEASURED), REST)
    assert found.verdict is verdict
    assert words in found.remark
    assert found.actions or verdict is Verdict.WITHIN


def test_without_a_record_the_general_rule_holds() -> None:
    limits = {v: result(twelve(v, False, (0.035,) * 3, **MEASURED), REST) for v in (12.85, 12.82, 12.75)}
    assert [one.verdict for one in limits.values()] == [Verdict.WITHIN, Verdict.TOO_CLOSE, Verdict.OUTSIDE]


def test_a_fresh_lead_acid_charge_is_no_reading() -> None:
    observed = log("P1", charged=2.0)
    found = result(worked.sheet("bulrush", observed=observed, readings=read(6.5, 0.03, "P1")), REST)
    assert (found.verdict, found.reading) == (Verdict.NO_READING, None)
    assert "4 h" in found.remark
    surface = result(worked.sheet("bulrush", readings=read(6.75, 0.03, "P1")), REST)
    assert (surface.verdict, surface.reading) == (Verdict.NO_READING, None)
    assert "fresh charge" in surface.remark
    # The record of the charge still gives the minutes.
    left = result(worked.sheet("bulrush", readings=read(6.75, 0.03, "P1")), ENDURANCE)
    assert left.verdict is Verdict.WITHIN


def test_volts_far_under_the_record_give_the_minutes() -> None:
    record = result(worked.sheet("bulrush"), ENDURANCE)
    low = worked.sheet("bulrush", readings=read(6.20, 0.03, "P1"))
    assert result(low, ENDURANCE).shown_high < record.shown_high
    assert not low.of(battery_pack.state_now, "P1").charged
    short = worked.sheet("bulrush", readings=read(6.25, 0.03, "P1"), plan__minutes="2 min")
    found = result(short, REST)
    assert found.verdict is Verdict.WITHIN
    assert "which say less" in found.remark


def test_a_short_lead_acid_plan_still_starts_half_full() -> None:
    found = result(worked.sheet("bulrush", plan__minutes="1 min", pack__capacity="60 A h"), REST)
    assert found.low == pytest.approx(3 * (2.05 - 0.0002 * 14), abs=1e-9)


# Verdicts of lithium --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(8.31, Verdict.WITHIN), (8.29, Verdict.WITHIN), (8.27, Verdict.TOO_CLOSE), (8.19, Verdict.OUTSIDE)],
)
def test_lithium_rest_volts(volts: float, verdict: Verdict) -> None:
    found = result(worked.sheet("tansy", readings=read(volts, 0.04, "D2")), REST)
    assert found.verdict is verdict
    if verdict is not Verdict.WITHIN:
        assert "pack D3" in found.actions
        assert "plan 35 minutes" in found.actions


def test_impossible_volts_are_outside_and_say_why() -> None:
    high = worked.sheet("tansy", readings=read(8.60, 0.04, "D2"))
    found = result(high, REST)
    assert found.verdict is Verdict.OUTSIDE
    assert "wrong charger" in found.remark
    assert result(high, ENDURANCE).verdict is Verdict.UNKNOWN
    dead = result(worked.sheet("bulrush", readings=read(5.5, 0.03, "P1")), REST)
    assert dead.verdict is Verdict.OUTSIDE
    assert "dead cell" in dead.remark


def test_nothing_left_is_said() -> None:
    sheet = worked.sheet("tansy", observed=Observed(), readings=read(7.30, 0.04, "D2"))
    found = result(sheet, ENDURANCE)
    assert (found.shown, found.verdict, found.remark) == ("0 min*", Verdict.OUTSIDE, "no run in this pack")
    volts = result(sheet, REST)
    assert volts.verdict is Verdict.OUTSIDE
    assert not any(action.startswith("plan") for action in volts.actions)


def test_no_record_and_no_volts_is_unknown_and_says_what_to_do() -> None:
    found = result(worked.sheet("tansy", history=False), ENDURANCE)
    assert (found.verdict, found.missing) == (Verdict.UNKNOWN, ())
    assert "no full charge" in found.remark
    assert len(found.actions) == 2
    volts = result(worked.sheet("tansy", history=False), REST)
    assert volts.verdict is Verdict.NO_READING
    assert volts.shown_low is not None


# Iron phosphate and nickel --------------------------------------------------------------------------

IRON = {"pack__chemistry": "lithium iron phosphate"}
NICKEL = {"pack__chemistry": "nickel metal hydride", "pack__cells": "6"}


@pytest.mark.parametrize("sets", [IRON, NICKEL])
def test_where_volts_say_nothing_the_count_stands(sets: dict[str, str]) -> None:
    observed = log("D2", charged=5.0)
    short = {**sets, "plan__minutes": "15 min"}
    found = result(worked.sheet("tansy", observed=observed, readings={}, **short), REST)
    assert found.shown.startswith("charged full, at least ")
    assert found.shown.endswith(" A h")
    assert found.verdict is Verdict.WITHIN
    assert found.shown_low is None
    bare = result(worked.sheet("tansy", observed=Observed(), readings={}, **short), REST)
    assert bare.verdict is Verdict.NO_READING
    assert bare.actions[0] == "charge it full and write it down"


def test_nickel_nearly_empty_and_impossible() -> None:
    empty = result(
        worked.sheet("tansy", readings=read(6.9, 0.03, "D2"), **NICKEL, plan__minutes="15 min"), REST
    )
    assert (empty.verdict, empty.remark) == (Verdict.OUTSIDE, "nearly empty by its volts")
    wrong = result(
        worked.sheet("tansy", readings=read(10.0, 0.03, "D2"), **NICKEL, plan__minutes="15 min"), REST
    )
    assert wrong.verdict is Verdict.OUTSIDE
    unknown = worked.sheet("tansy", observed=Observed(), readings=read(7.8, 0.03, "D2"), **NICKEL)
    assert result(unknown, ENDURANCE).verdict is Verdict.UNKNOWN


def test_iron_phosphate_full_by_its_volts() -> None:
    sheet = worked.sheet(
        "tansy", observed=Observed(), readings=read(6.70, 0.03, "D2"), **IRON, plan__minutes="10 min"
    )
    assert result(sheet, REST).verdict is Verdict.WITHIN
    assert sheet.of(battery_pack.state_now, "D2").value == 0.95
    plateau = worked.sheet("tansy", observed=Observed(), readings=read(6.52, 0.03, "D2"), **IRON)
    assert plateau.of(battery_pack.state_now, "D2").value == 0.30


def test_nickel_lying_a_week_is_outside_a_long_plan() -> None:
    def verdict(hours: float) -> Limit:
        observed = log("D2", charged=hours, runs=(0.049, 0.05, 0.051))
        return result(
            worked.sheet("tansy", observed=observed, readings={}, **NICKEL, plan__minutes="30 min"), REST
        )

    assert verdict(1.0).verdict is Verdict.WITHIN
    lying = verdict(24.0 * 21)
    assert lying.verdict is Verdict.OUTSIDE
    assert lying.remark.startswith("plan at most")


# Load, supply, spread -------------------------------------------------------------------------------


def test_load_volts_without_a_rest_reading_show_the_fall() -> None:
    found = result(worked.sheet("tansy", readings={}), LOAD)
    assert (found.shown, found.shown_low, found.verdict) == ("fall at most 0.10 V", None, Verdict.NO_READING)


@pytest.mark.parametrize(
    ("volts", "verdict"), [(8.25, Verdict.WITHIN), (8.22, Verdict.TOO_CLOSE), (8.10, Verdict.OUTSIDE)]
)
def test_load_volts_are_judged(volts: float, verdict: Verdict) -> None:
    readings = {**read(8.31, 0.04, "D2"), **read(volts, 0.02, "D2", LOAD)}
    found = result(worked.sheet("tansy", readings=readings), LOAD)
    assert found.verdict is verdict
    assert bool(found.actions) == (verdict is not Verdict.WITHIN)


def test_a_measured_resistance_wins_and_none_is_said() -> None:
    measured = worked.facts("tansy").with_measured(worked._measured("pack[D2].resistance", 0.020))
    found = result(Sheet(measured, readings=read(8.31, 0.04, "D2")), LOAD)
    assert found.low == pytest.approx(8.31 - 0.150)
    bare = worked.sheet("tansy", kit__pack__resistance="unknown", **{"kit.pack[D2].resistance": "unknown"})
    alone = result(bare, LOAD)
    assert "no baseline yet" in alone.remark
    assert alone.binds == ("floor at the end",)
    assert alone.parts[1].si == pytest.approx(0.05797, abs=1e-5)


def test_a_pack_that_cannot_hold_the_receiver_is_unknown_in_words() -> None:
    found = result(worked.sheet("bulrush", power__receiver_least="5.5 V"), LOAD)
    assert found.verdict is Verdict.UNKNOWN
    assert "it cannot" in found.remark


def test_the_receiver_on_its_own_pack_does_not_lift_the_floor() -> None:
    tansy = worked.sheet("tansy", power__receiver_least="7 V")
    assert tansy.of(battery_load.floor_volts) == pytest.approx(6.60)
    assert worked.sheet("bulrush").of(battery_load.floor_volts) == pytest.approx(5.10)


def test_no_ballast_has_no_blow() -> None:
    sheet = worked.sheet("tansy", ballast__kind="none")
    assert sheet.of(battery_load.peak_current) == 8.5
    assert sheet.of(battery_pack.blow_time) == 0.0


def test_a_guessed_receiver_is_starred() -> None:
    found = result(worked.sheet("tansy", power__receiver_least="unknown"), "receiver.supply")
    assert (found.shown, found.starred, found.basis) == ("4.5 V*", True, Basis.ASSUMED)


@pytest.mark.parametrize(
    ("volts", "verdict"), [(5.2, Verdict.WITHIN), (5.05, Verdict.TOO_CLOSE), (4.9, Verdict.OUTSIDE)]
)
def test_receiver_volts_are_judged(volts: float, verdict: Verdict) -> None:
    readings = {("receiver.supply", ""): Num(volts, 0.1, Basis.MEASURED)}
    found = result(worked.sheet("tansy", readings=readings), "receiver.supply")
    assert found.verdict is verdict
    assert bool(found.actions) == (verdict is not Verdict.WITHIN)


def test_no_reset_seen_is_too_close_never_within() -> None:
    facts = worked.facts("tansy")
    sheet = Sheet(facts, answers={("receiver.supply", ""): "no reset seen"})
    found = result(sheet, "receiver.supply")
    assert (found.verdict, found.reading_text) == (Verdict.TOO_CLOSE, "no reset seen")


def test_four_nickel_cells_cannot_feed_a_receiver_of_four_and_a_half_volts() -> None:
    def remark(cells: str) -> str:
        sets = {"kit.pack[P1].chemistry": "nickel metal hydride", "kit.pack[P1].cells": cells}
        sheet = worked.sheet("tansy", power__receiver_pack="P1", **sets)
        return result(sheet, "receiver.supply").remark

    assert "4 nickel cells are 4.8 V" in remark("4")
    assert remark("5") == ""


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(0.02, Verdict.WITHIN), (0.03, Verdict.TOO_CLOSE), (0.05, Verdict.OUTSIDE), (0.12, Verdict.OUTSIDE)],
)
def test_spread_of_cells(volts: float, verdict: Verdict) -> None:
    readings = read(volts, 0.007, "D2", "battery.spread")
    found = result(worked.sheet("tansy", readings=readings), "battery.spread")
    assert found.verdict is verdict
    assert ("retire" in found.remark) == (volts > 0.10)
    assert bool(found.actions) == (verdict is not Verdict.WITHIN)


def test_spread_where_it_does_not_apply() -> None:
    readings = read(0.01, 0.007, "D2", "battery.spread")
    full = worked.sheet("tansy", readings=readings, **IRON)
    assert result(full, "battery.spread").verdict is Verdict.WITHIN
    used = worked.sheet("tansy", observed=Observed(), readings=readings, **IRON)
    assert result(used, "battery.spread").verdict is Verdict.NO_READING
    one = worked.sheet("tansy", pack__cells="1")
    assert result(one, "battery.spread").verdict is Verdict.NOT_FITTED
    unread = worked.sheet("tansy", readings={})
    assert result(unread, "battery.spread").verdict is Verdict.NO_READING


# Packs of the receiver, health, currents ------------------------------------------------------------


def test_a_receiver_pack_of_its_own_is_a_second_item() -> None:
    nickel = {"kit.pack[P1].chemistry": "nickel metal hydride", "kit.pack[P1].capacity": "2 A h"}
    sets = {"power__receiver_pack": "P1", **nickel}
    observed = Observed(charged_full={"D2": 5.0, "P1": 5.0})
    found = KEYS[ENDURANCE](worked.sheet("tansy", observed=observed, **sets))
    assert [one.item for one in found] == ["D2", "P1"]
    assert all(one.verdict is Verdict.WITHIN for one in found)
    assert all("ends first" in one.binds[-1] for one in found)
    half = KEYS[ENDURANCE](worked.sheet("tansy", observed=log("D2", charged=5.0), **sets))
    assert [one.verdict for one in half] == [Verdict.WITHIN, Verdict.UNKNOWN]
    assert "pack P1" in half[1].remark


@pytest.mark.parametrize(
    ("measured", "share", "u95"),
    [("2032-02-10", 0.94, 0.05), ("2031-05-05", 0.94, 0.05), ("2031-05-03", 0.94, 0.20)],
)
def test_a_capacity_test_ages(measured: str, share: float, u95: float) -> None:
    sheet = worked.sheet("tansy", **{"kit.pack[D2].measured.on": measured})
    found = sheet.of(battery_pack.health, "D2")
    assert (found.share, found.u95) == pytest.approx((share, u95))


@pytest.mark.parametrize(
    ("on", "u95"), [("2032-05-01", 0.05), ("2030-05-01", 0.20), ("", 0.05), ("soon", 0.20)]
)
def test_a_capacity_out_of_the_log_wins_with_its_own_date(on: str, u95: float) -> None:
    path = "kit.pack[D2].measured.capacity"
    fact = Fact(Num(4.4 * AH, 0.0, Basis.MEASURED), basis=Basis.MEASURED, on=on)
    sheet = Sheet(worked.facts("tansy").with_measured({path: fact}), at=worked.AT)
    found = sheet.of(battery_pack.health, "D2")
    assert (found.share, found.u95) == pytest.approx((0.88, u95))


def test_a_capacity_test_without_a_date_counts_as_old() -> None:
    sheet = worked.sheet("tansy", **{"kit.pack[D2].measured.on": "unknown"})
    assert sheet.of(battery_pack.health, "D2").u95 == 0.20


def test_no_pack_named_is_unknown() -> None:
    found = result(worked.sheet("tansy", plan__pack="unknown", power__drive_packs="unknown"), ENDURANCE)
    assert (found.verdict, found.missing) == (Verdict.UNKNOWN, ("boat.power.drive_packs",))


def test_rest_volts_of_a_state_for_other_subjects() -> None:
    assert battery.rest_volts(worked.sheet("tansy"), 0.30) == pytest.approx(7.60)
    assert battery.rest_volts(worked.sheet("bulrush"), 0.30) == pytest.approx(6.0216)
    assert battery.rest_volts(worked.sheet("tansy", **NICKEL), 0.30) == pytest.approx(7.20)


def test_a_month_on_the_shelf_costs_lead_acid_its_longest_runs() -> None:
    def found(minutes: str) -> Limit:
        sheet = worked.sheet(
            "bulrush",
            observed=log("P1", charged=24.0 * 31),
            readings=read(6.45, 0.03, "P1"),
            plan__minutes=minutes,
        )
        return result(sheet, REST)

    assert found("55 min").verdict is Verdict.WITHIN
    longer = found("67 min")
    assert longer.verdict is Verdict.OUTSIDE
    assert longer.remark.startswith("plan at most")


def test_a_reading_whose_low_end_says_nothing_offers_no_minutes() -> None:
    sheet = worked.sheet("bulrush", observed=Observed(), readings=read(5.72, 0.05, "P1"))
    found = result(sheet, REST)
    assert found.verdict is Verdict.OUTSIDE
    assert not any("minutes" in action for action in found.actions)


def test_health_without_a_test_goes_by_age() -> None:
    for bought, share in (("2032-04-01", 1.00), ("2030-05-01", 0.90), ("2028-05-01", 0.80)):
        sheet = worked.sheet("bulrush", **{"kit.pack[P1].bought": bought})
        assert sheet.of(battery_pack.health, "P1").share == share


def test_a_tired_pack_is_said() -> None:
    for capacity, words in (("3.4 A h", "do not run"), ("3.8 A h", "renew")):
        found = result(worked.sheet("tansy", **{"kit.pack[D2].measured.capacity": capacity}), ENDURANCE)
        assert any(words in line for line in found.cautions)


def test_the_motor_alone_comes_from_the_log_or_by_size() -> None:
    assert worked.sheet("tansy").of(battery_pack.no_load_current) == 0.62
    assert worked.sheet("bulrush").of(battery_pack.no_load_current) == 0.5
    four = Observed(no_load={"ahead": Series((0.6, 0.6, 0.6, 0.6))})
    assert worked.sheet("tansy", observed=four).of(battery_pack.no_load_current) == 0.5


def test_currents_missing_are_taken_by_size_or_square() -> None:
    missing = {f"power__{name}": "unknown" for name in ("idle", "cruise", "full")}
    sheet = worked.sheet("tansy", **missing)
    assert sheet.of(battery_pack.plan_current).half == 3.0
    square = worked.sheet("tansy", power__cruise="unknown").of(battery_pack.plan_current)
    assert square.half == pytest.approx(0.3 + 0.31 + 7.58 / 4)


def test_currents_that_do_not_belong_together_are_said() -> None:
    found = result(worked.sheet("tansy", power__cruise="8 A"), ENDURANCE)
    assert found.verdict is Verdict.UNKNOWN
    assert "measure both again" in found.remark


def test_shares_of_throttle_need_not_add_up() -> None:
    def mean(slow: str, half: str, full: str) -> float:
        shares = {"plan.throttle.slow": slow, "plan.throttle.half": half, "plan.throttle.full": full}
        return worked.sheet("tansy", **shares).of(battery_pack.plan_current).mean

    assert mean("30 %", "15 %", "5 %") == pytest.approx(mean("60 %", "30 %", "10 %"))
    found = result(
        worked.sheet("tansy", **{f"plan.throttle.{b}": "0 %" for b in ("slow", "half", "full")}), ENDURANCE
    )
    assert found.verdict is Verdict.UNKNOWN


@pytest.mark.parametrize(
    ("key", "path"),
    [
        (ENDURANCE, "today.water.temperature"),
        (ENDURANCE, "kit.pack[D2].capacity"),
        (ENDURANCE, "kit.pack[D2].chemistry"),
        (REST, "today.plan[tansy].minutes"),
        (REST, "kit.pack[D2].cells"),
        (LOAD, "today.water.temperature"),
    ],
)
def test_what_is_missing_is_named(key: str, path: str) -> None:
    found = result(worked.sheet("tansy", **{path: "unknown"}), key)
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == (path,)
    assert found.actions == (f"write down {path}",)


def test_ice_is_said_not_guessed() -> None:
    found = result(worked.sheet("bulrush", today__water__temperature="-1 degC"), ENDURANCE)
    assert found.verdict is Verdict.UNKNOWN
    assert "degC" in found.remark


# Any pack -------------------------------------------------------------------------------------------

TANSY, BULRUSH = worked.facts("tansy"), worked.facts("bulrush")
OBSERVED = {"tansy": ("D2", 13.0), "bulrush": ("P1", 10.0)}


def any_sheet(
    boat: str,
    celsius: float,
    minutes: float,
    runs: tuple[float, ...],
    volts: float | None = None,
    **sets: str,
) -> Sheet:
    facts = TANSY if boat == "tansy" else BULRUSH
    pack, hours = OBSERVED[boat]
    texts = {"today.water.temperature": f"{celsius:.4f} degC", "plan.minutes": f"{minutes:.3f} min", **sets}
    facts = facts.with_sets(dict(facts.typed(path, text) for path, text in texts.items()))
    charged = hours if volts is None else None
    return Sheet(
        facts,
        log(pack, charged=charged, runs=runs),
        {} if volts is None else read(volts, 0.03, pack),
        worked.AT,
    )


boats = st.sampled_from(["tansy", "bulrush"])
celsius = st.floats(0.5, 24.0)
some_runs = st.lists(st.floats(0.03, 0.07), max_size=9).map(tuple)


@few
@given(boat=boats, one=celsius, other=celsius, runs=some_runs)
def test_colder_water_never_lengthens_a_run(
    boat: str, one: float, other: float, runs: tuple[float, ...]
) -> None:
    cold, warm = sorted((one, other))
    times = [result(any_sheet(boat, t, 40.0, runs), ENDURANCE).shown_high for t in (cold, warm)]
    assert times[0] <= times[1]


@few
@given(boat=boats, temperature=celsius, minutes=st.floats(1.0, 120.0), runs=some_runs)
def test_rest_volts_are_the_inverse_of_the_time(
    boat: str, temperature: float, minutes: float, runs: tuple[float, ...]
) -> None:
    found = result(any_sheet(boat, temperature, minutes, runs), REST)
    if found.low is None:
        assert found.shown.startswith("plan at most")
        longest = float(found.shown.split()[3])
        assert longest < minutes
        return
    # At exactly those volts, by volts, the pack lasts the plan (the record's ± is a little the better).
    sheet = any_sheet(boat, temperature, minutes, runs, volts=found.low)
    pack = OBSERVED[boat][0]
    state = sheet.of(battery_pack.state_now, pack)
    time = battery_pack.time_at(sheet, pack, battery_pack.StateNow(state.value, 0.03, False)).time
    assert time.least >= sheet.si("plan.minutes") * (1 - 1e-6)


@few
@given(boat=boats, minutes=st.floats(1.0, 60.0), more=st.floats(0.0, 60.0), runs=some_runs)
def test_a_longer_plan_never_asks_for_fewer_volts(
    boat: str, minutes: float, more: float, runs: tuple[float, ...]
) -> None:
    limits = [result(any_sheet(boat, 11.0, m, runs), REST) for m in (minutes, minutes + more)]
    shown = [math.inf if one.shown_low is None else one.shown_low for one in limits]
    assert shown[0] <= shown[1]


@few
@given(boat=boats, temperature=celsius, kept=st.integers(20, 60), more=st.integers(0, 30), runs=some_runs)
def test_more_kept_back_never_lengthens_a_run(
    boat: str, temperature: float, kept: int, more: int, runs: tuple[float, ...]
) -> None:
    times = [
        result(
            any_sheet(boat, temperature, 40.0, runs, **{"power.keep_back": f"{k} %"}), ENDURANCE
        ).shown_high
        for k in (kept, kept + more)
    ]
    assert times[1] <= times[0]


@few
@given(volts=st.floats(7.2, 8.4), u95=st.floats(0.0, 0.1), wider=st.floats(0.0, 0.1))
def test_a_wider_reading_is_never_judged_more_kindly(volts: float, u95: float, wider: float) -> None:
    order = [Verdict.WITHIN, Verdict.TOO_CLOSE, Verdict.OUTSIDE]
    verdicts = [
        result(Sheet(TANSY, log("D2"), read(volts, u, "D2"), worked.AT), REST).verdict
        for u in (u95, u95 + wider)
    ]
    assert order.index(verdicts[0]) <= order.index(verdicts[1])


@few
@given(rest=st.floats(7.6, 8.4), resistance=st.floats(5.0, 60.0), more=st.floats(0.0, 30.0))
def test_a_poorer_pack_may_fall_further_but_never_beyond_its_floor(
    rest: float, resistance: float, more: float
) -> None:
    falls = []
    for milliohm in (resistance, resistance + more):
        sets = {"kit.pack[D2].resistance": f"{milliohm:.6f} mohm"}
        facts = TANSY.with_sets(dict(TANSY.typed(path, text) for path, text in sets.items()))
        found = result(Sheet(facts, readings=read(rest, 0.04, "D2")), LOAD)
        falls.append(found.parts[0].si)
        assert found.shown_low == pytest.approx(rest - found.parts[0].si, abs=0.0101)
        assert found.shown_low >= found.low - 1e-9
    assert falls[0] <= falls[1] + 1e-12
    assert falls[1] <= 0.05798 * 5.0 + 1e-9
