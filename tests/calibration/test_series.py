"""Baselines out of the log: like readings only, the first five to eight, frozen, cut at every change of part."""

from __future__ import annotations

from datetime import timedelta

import pytest
from calibration_log import START, Log
from hypothesis import given
from hypothesis import strategies as st

from divelog.calibration.model import Parts
from divelog.calibration.series import (
    BASELINE_MOST,
    answered,
    ballast_times,
    condition,
    frozen,
    joint_resistances,
    measured,
    no_load,
)

PARTS = Parts(moving_seals=frozenset({"shaft"}), test_load=5.0)
LATER = (START + timedelta(days=300)).date()


def _currents(log: Log, *amperes: float, day: float = 0.0, **conditions: float) -> None:
    for place, value in enumerate(amperes):
        log.measured(day + place, "shaft.no_load.ahead", value, **conditions)


def _ahead(log: Log, parts: Parts = PARTS, today=LATER) -> tuple[float, ...]:
    found = no_load(log.events, parts, today)
    return found["ahead"].values if "ahead" in found else ()


# -- what a reading is ----------------------------------------------------------------------------------------------


def test_conditions_are_quantities_numbers_or_texts():
    held = {"volts": {"si": 7.6}, "temperature": 288.15, "current": "5 A", "water": "fresh"}
    assert condition(held, "volts") == 7.6
    assert condition(held, "temperature") == 288.15
    assert condition(held, "current") == 5.0
    assert condition({"temperature": "15 degC"}, "temperature") == pytest.approx(288.15)
    for nothing in (
        {},
        {"volts": None},
        {"volts": "much"},
        {"volts": True},
        {"volts": {"si": None, "state": "unknown"}},
    ):
        assert condition(nothing, "volts") is None
    assert condition({"humidity": "60 %"}, "humidity") is None  # no kind of quantity is known for it


def test_a_measured_of_that_path():
    log = Log()
    event = log.measured(0, "boat.ballast.fill_time", 38.0, "x", volts=7.6)
    assert measured(event, "ballast.fill_time") == (38.0, {"volts": {"si": 7.6}}, "x")
    assert measured(event, "ballast.empty_time") is None
    assert measured(log.add(0, "note", {"text": "x"}), "ballast.fill_time") is None
    for value in (None, {"si": None, "state": "unknown"}, "38 s"):
        event = log.add(0, "measured", {"path": "ballast.fill_time", "value": value})
        assert measured(event, "ballast.fill_time") is None
    assert measured(log.add(0, "measured", {"value": {"si": 1.0}}), "ballast.fill_time") is None


# -- no-load current ------------------------------------------------------------------------------------------------


def test_like_readings_in_order_with_their_medians():
    log = Log()
    _currents(log, 0.62, 0.60, 0.63, 0.61, 0.62, volts=7.6, temperature=288.15)
    found = no_load(log.events, PARTS, LATER)["ahead"]
    assert found.values == (0.62, 0.60, 0.63, 0.61, 0.62)
    assert found.step == 0.01
    assert found.conditions == {"volts": 7.6, "temperature": 288.15}
    assert found.volts == (7.6,) * 5


def test_ahead_and_astern_are_kept_apart():
    log = Log()
    log.measured(0, "shaft.no_load.ahead", 0.6)
    log.measured(1, "shaft.no_load.astern", 0.7)
    found = no_load(log.events, PARTS, LATER)
    assert (found["ahead"].values, found["astern"].values) == ((0.6,), (0.7,))
    assert found["ahead"].conditions == {}
    assert found["ahead"].volts == ()


@pytest.mark.parametrize(
    ("volts", "kelvin", "like"),
    [
        (7.6, 288.15, True), (7.6 * 1.0299, 288.15, True), (7.6 * 1.031, 288.15, False), (7.6 * 0.969, 288.15, False),
        (7.6, 293.1, True), (7.6, 293.2, False), (7.6, 283.1, False), (None, None, True),
    ],
)  # fmt: skip
def test_only_at_like_volts_and_temperature(volts, kelvin, like):
    log = Log()
    _currents(log, 0.62, 0.60, 0.63, 0.61, 0.62, volts=7.6, temperature=288.15)
    beside = {k: v for k, v in (("volts", volts), ("temperature", kelvin)) if v is not None}
    log.measured(5, "shaft.no_load.ahead", 0.80, **beside)
    log.measured(6, "shaft.no_load.ahead", 0.62, volts=7.6, temperature=288.15)
    assert (0.80 in _ahead(log)) is like


def test_the_first_eight_then_frozen():
    log = Log()
    _currents(log, *(0.60 + 0.01 * (i % 3) for i in range(8)), volts=7.6)
    first = _ahead(log)
    assert len(first) == BASELINE_MOST
    _currents(log, *([0.90] * 20), day=10, volts=7.6)
    assert _ahead(log) == first  # wear since does not move it


def test_unlike_readings_among_the_first_are_passed_over_for_later_ones():
    log = Log()
    _currents(log, 0.6, 0.6, 0.6, volts=7.6)
    _currents(log, 0.9, 0.9, day=3, volts=6.0)
    _currents(log, 0.6, 0.6, 0.6, 0.6, 0.6, 0.7, day=5, volts=7.6)
    assert _ahead(log) == (0.6,) * 8


@given(
    st.lists(st.tuples(st.floats(0.3, 1.0), st.floats(7.0, 8.4), st.floats(275, 300)), max_size=14),
    st.lists(st.tuples(st.floats(0.3, 1.0), st.floats(7.0, 8.4), st.floats(275, 300)), max_size=6),
)
def test_once_frozen_no_later_reading_changes_it(first, later):
    log = Log()
    for day, (amperes, volts, kelvin) in enumerate(first):
        log.measured(day, "shaft.no_load.ahead", amperes, volts=volts, temperature=kelvin)
    before = _ahead(log)
    assert len(before) <= BASELINE_MOST
    for day, (amperes, volts, kelvin) in enumerate(later, len(first)):
        log.measured(day, "shaft.no_load.ahead", amperes, volts=volts, temperature=kelvin)
    after = _ahead(log)
    if len(before) == BASELINE_MOST:
        assert after == before
    assert all(value in [a for a, _, _ in (*first, *later)] for value in after)


def test_the_reading_under_test_is_not_in_its_own_baseline():
    log = Log()
    _currents(log, 0.62, 0.60, 0.63, 0.61, 0.62, volts=7.6)
    log.measured(10, "shaft.no_load.ahead", 0.79, volts=7.6)
    today = (START + timedelta(days=10)).date()
    assert 0.79 not in _ahead(log, today=today)
    assert 0.79 in _ahead(log, today=today + timedelta(days=1))
    # five taken in one session are a baseline at once
    session = Log()
    for minute in range(5):
        session.measured(minute / 1440, "shaft.no_load.ahead", 0.6, volts=7.6)
    assert len(_ahead(session, today=START.date())) == 5


CUTS = [
    ("fitted", {"part": "shaft"}, True), ("fitted", {"part": "coupling"}, True), ("fitted", {"part": "meter"}, True),
    ("fitted", {"part": "seal", "item": "shaft"}, True), ("fitted", {"part": "seal"}, True),
    ("fitted", {"part": "seal", "item": "aft cap"}, False), ("fitted", {"part": "other", "item": "motor"}, True),
    ("fitted", {"part": "other", "item": "lamp"}, False), ("fitted", {"part": "other"}, False),
    ("fitted", {"part": "propeller"}, False), ("fitted", {"part": "pump"}, False),
    ("serviced", {"item": "shaft_grease"}, True), ("serviced", {"item": "seal.shaft"}, True),
    ("serviced", {"item": "seal.aft_cap"}, False), ("serviced", {"item": "overhaul"}, True),
    ("serviced", {"item": "terminals"}, False), ("serviced", {}, False),
]  # fmt: skip


@pytest.mark.parametrize(("what", "data", "cuts"), CUTS)
def test_cut_where_the_shaft_was_touched(what, data, cuts):
    log = Log()
    _currents(log, 0.6, 0.6)
    log.add(5, what, data)
    log.measured(6, "shaft.no_load.ahead", 0.7)
    assert _ahead(log) == ((0.7,) if cuts else (0.6, 0.6, 0.7))


def test_any_seal_may_move_where_nobody_wrote_which():
    log = Log()
    _currents(log, 0.6)
    log.add(5, "fitted", {"part": "seal", "item": "aft cap"})
    assert _ahead(log, Parts()) == ()
    log = Log()
    _currents(log, 0.6)
    log.add(5, "serviced", {"item": "seal.aft_cap"})
    assert _ahead(log, Parts()) == ()


# -- ballast times --------------------------------------------------------------------------------------------------


def test_times_with_the_volts_of_each():
    log = Log()
    log.measured(0, "boat.ballast.fill_time", 38.0, volts=7.6)
    log.measured(1, "ballast.fill_time", 39.0)
    log.measured(2, "ballast.empty_time", 35.0)
    log.measured(3, "ballast.empty_time", 0.0)
    found = ballast_times(log.events, PARTS, LATER)
    assert (found["fill"].values, found["fill"].volts) == ((38.0, 39.0), (7.6, None))
    assert (found["empty"].values, found["empty"].volts) == ((35.0,), ())
    assert found["fill"].step == 0.3


@pytest.mark.parametrize(
    ("what", "data", "cuts"),
    [
        ("fitted", {"part": "pump"}, True), ("fitted", {"part": "hose"}, True), ("fitted", {"part": "piston"}, True),
        ("fitted", {"part": "valve"}, True), ("fitted", {"part": "shaft"}, False), ("serviced", {"item": "ballast"}, True),
        ("serviced", {"item": "overhaul"}, True), ("serviced", {"item": "shaft_grease"}, False),
    ],
)  # fmt: skip
def test_cut_where_the_pump_was_touched(what, data, cuts):
    log = Log()
    log.measured(0, "ballast.fill_time", 38.0)
    log.add(1, what, data)
    log.measured(2, "ballast.fill_time", 45.0)
    assert ballast_times(log.events, PARTS, LATER)["fill"].values == ((45.0,) if cuts else (38.0, 45.0))


# -- joints ---------------------------------------------------------------------------------------------------------


def test_resistance_at_the_current_it_was_read_at():
    log = Log()
    log.measured(0, "joint.drop", 0.012, "motor", current=5.0)
    log.measured(1, "joint.drop", 0.010, "motor")  # at the boat's test load
    log.measured(2, "joint.drop", 0.010, "motor", current=1.9)  # too little to say anything
    log.measured(3, "joint.drop", 0.010)  # of no joint
    assert joint_resistances(log.events, PARTS) == {"motor": pytest.approx((0.0024, 0.002))}
    assert joint_resistances(log.events, Parts()) == {"motor": pytest.approx((0.0024,))}


def test_answers_to_the_line_that_reads_them_count():
    log = Log()
    limit = {"key": "terminals.drop", "item": "fuse", "shown": "50 mV"}
    log.add(0, "check.answered", {"line": "drop", "limit": limit, "value": {"si": 0.015}})
    each = [
        {"member": "motor", "answer": {"si": 0.0125}}, {"member": "pack plug", "value": {"si": 0.02}},
        {"member": "main link", "answer": "bad"}, {"answer": {"si": 1.0}}, "nonsense",
    ]  # fmt: skip
    log.add(1, "check.answered", {"line": "drop", "limit": {"key": "terminals.drop"}, "answer": each})
    log.add(
        2, "check.answered", {"line": "volts", "limit": {"key": "battery.rest_voltage"}, "value": {"si": 8.3}}
    )
    log.add(3, "check.answered", {"line": "faces", "answer": "done"})
    found = joint_resistances(log.events, PARTS)
    assert found == {
        "fuse": pytest.approx((0.003,)),
        "motor": pytest.approx((0.0025,)),
        "pack plug": pytest.approx((0.004,)),
    }


@pytest.mark.parametrize(
    ("what", "data", "cuts"),
    [
        ("serviced", {"item": "terminals"}, True), ("serviced", {"item": "joints"}, True), ("serviced", {"item": "overhaul"}, True),
        ("serviced", {"item": "ballast"}, False), ("fitted", {"part": "pack"}, True), ("fitted", {"part": "controller"}, True),
        ("fitted", {"part": "meter"}, True), ("fitted", {"part": "servo"}, False),
    ],
)  # fmt: skip
def test_cut_where_joints_were_cleaned_or_changed(what, data, cuts):
    log = Log()
    log.measured(0, "joint.drop", 0.010, "motor")
    log.add(1, what, data)
    log.measured(2, "joint.drop", 0.020, "motor")
    assert joint_resistances(log.events, PARTS)["motor"] == pytest.approx(
        (0.004,) if cuts else (0.002, 0.004)
    )


# -- answers --------------------------------------------------------------------------------------------------------


def test_readings_of_an_answer():
    log = Log()
    data = {"limit": {"key": "battery.rest_voltage", "item": "D2"}, "value": {"si": 8.3, "u95": 0.04}}
    assert answered(log.add(0, "check.answered", data)) == {("battery.rest_voltage", "D2"): (8.3, 0.04)}
    assert answered(log.add(0, "check.answered", {"value": {"si": 8.3}})) == {}
    assert (
        answered(
            log.add(0, "check.answered", {"limit": {"key": "a.b"}, "value": {"si": None, "state": "skipped"}})
        )
        == {}
    )
    # the deepest of a run that is over is no reading of the next one's limit
    assert (
        answered(log.add(0, "check.answered", {"limit": {"key": "depth.keel"}, "value": {"si": 0.9}})) == {}
    )


def test_nothing_frozen_of_nothing():
    assert frozen([]) == ()
