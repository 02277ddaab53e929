"""Measured values: the newest beats the file, until the file changes that very path; what holds for its own day only."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from calibration_log import START, Log

from divelog.calibration.measured import measured_facts, readings_today, timed_at
from divelog.limits import catalogue
from divelog.limits.sheet import Sheet
from divelog.profiles.document import Basis, Document, Fact, Num, State
from divelog.profiles.facts import Facts, empty_document
from divelog.profiles.reading import read_document
from divelog.profiles.schema import SCHEMAS

BOAT = b"""format = 1
[boat]
name = "Tansy"
hull = "flooding"
dives_by = "weight"
length = "920 mm"
mass = "5.76 kg"
owner_inside = true
top_held_by = "both"
dived_balance = "21 g \xc2\xb1 4 g"
trimmed_at = { site = "barn-tank", water = "fresh", temperature = "19 degC", salinity = "0 g/kg" }
[cylinder]
material = "acrylic"
inside_diameter = "100 mm"
inside_length = "560 mm"
test_by = ["pressure"]
vent_plug = true
closures = ["aft cap"]
[ballast]
kind = "piston"
volume = "420 mL"
fill_time = "38 s"
empty_time = "35 s"
[radio]
band = "40 MHz"
transmitter = "tx-a"
memory = "none"
receiver = "rx-1"
tip_above_deck = "120 mm"
[controls]
tail = "cross"
[power]
drive_packs = ["D2"]
receiver_pack = "from drive"
pack_in_wet = false
[[failsafe]]
trigger = "signal lost"
does = { throttle = "stops" }
powered_from = "drive pack"
"""


def _facts() -> Facts:
    boat = read_document(BOAT, "boat", SCHEMAS["boat"])
    assert not boat.faults, boat.faults
    empty = [empty_document(root) for root in ("kit", "site", "today", "settings")]
    return Facts(boat, *empty, "tansy")


FACTS = _facts()


def _found(log: Log, today: date | None = None) -> dict[str, Fact]:
    return measured_facts(FACTS, log.events, today)


def _day(days: float) -> date:
    return (START + timedelta(days=days)).date()


# -- which wins -----------------------------------------------------------------------------------------------------


def test_measured_beats_stated():
    log = Log()
    log.measured(0, "boat.mass", 5.80)
    fact = _found(log)["boat.mass"]
    assert fact.value == Num(5.80, 0.0, Basis.MEASURED)
    assert (fact.basis, fact.on, fact.origin) == (Basis.MEASURED, "2032-04-01", "log, 2032-04-01")
    assert Sheet(FACTS.with_measured(_found(log))).num("mass").basis is Basis.MEASURED


def test_the_newest_wins_by_when_it_happened():
    log = Log()
    log.measured(1, "boat.mass", 5.81)
    late = log.add(
        2, "measured", {"path": "boat.mass", "value": {"si": 5.70}}, happened="2032-03-01T10:00:00+00:00"
    )
    assert late.at < log.events[-1].at
    assert _found(log)["boat.mass"].value.si == 5.81


@pytest.mark.parametrize(
    ("changed", "kept"),
    [
        (["mass"], False), (["boat.mass"], False), (["length", "radio.band"], True), ([], True), (["mas"], True),
        ("mass", False),
    ],
)  # fmt: skip
def test_until_the_file_changes_that_very_path(changed, kept):
    log = Log()
    log.measured(0, "boat.mass", 5.80)
    log.add(1, "boat.filed", {"digest": "sha256:0", "changed": changed})
    assert ("boat.mass" in _found(log)) is kept
    log.measured(2, "boat.mass", 5.90)
    assert _found(log)["boat.mass"].value.si == 5.90


def test_a_table_that_changed_takes_what_stands_in_it():
    log = Log()
    log.measured(0, "boat.ballast.volume", 4.1e-4)
    log.measured(0, "cap[aft cap].thickness", 0.008)
    log.add(1, "boat.filed", {"changed": ["ballast", "cap"]})
    assert _found(log) == {}


def test_short_paths_items_and_counts():
    log = Log()
    log.measured(0, "ballast.volume", 4.1e-4)
    log.measured(0, "cap.thickness", 0.0081, "aft cap")
    log.measured(0, "pack.resistance", 0.015, "D2")
    log.measured(0, "pack.charge_per_minute", 3.1)
    log.measured(0, "radio.check_paces", 52)
    found = _found(log)
    assert found["boat.ballast.volume"].value.si == 4.1e-4
    assert found["boat.cap[aft cap].thickness"].value.u95 == pytest.approx(
        0.0002
    )  # the usual ± of a calliper
    assert found["pack[D2].resistance"].value.si == 0.015
    assert found["pack[D2].charge_per_minute"].value.si == 3.1
    assert found["boat.radio.check_paces"].value == 52.0


@pytest.mark.parametrize(
    "data",
    [
        {"path": "boat.mass"}, {"path": "boat.mass", "value": {"si": None, "state": "unknown"}}, {"value": {"si": 1.0}},
        {"path": "boat.no_such", "value": {"si": 1.0}}, {"path": "boat.shade", "value": {"si": 1.0}}, {"path": "", "value": 1.0},
        {"path": 7, "value": 1.0}, {"path": "boat.mass", "value": "heavy"}, {"path": "boat.mass", "value": {"si": -5.0}},
        {"path": "boat.mass", "value": {"si": 1e9}}, {"path": "mass", "item": "a.b", "value": {"si": 1e308}},
    ],
)  # fmt: skip
def test_what_cannot_be_a_value_is_none(data):
    log = Log()
    log.add(0, "measured", data)
    assert _found(log) == {}


def test_an_event_from_a_newer_version_has_no_effect():
    log = Log()
    log.add(0, "measured", {"path": "boat.mass", "value": {"si": 5.9}}, v=2)
    log.add(0, "boat.filed", {"changed": ["mass"]}, v=2)
    assert _found(log) == {}


@pytest.mark.parametrize("path", ["shaft.no_load.ahead", "shaft.no_load.astern", "joint.drop"])
def test_paths_of_baselines_set_no_fact(path):
    log = Log()
    log.measured(0, path, 0.5, "motor" if path == "joint.drop" else "")
    assert _found(log) == {}


# -- what belongs to a value ----------------------------------------------------------------------------------------


def test_a_dived_balance_brings_its_water_with_it():
    log = Log()
    log.add(
        0, "day.opened", {"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15, "u95": 0.5}}
    )
    log.measured(0.1, "dived_balance", 0.018)
    found = _found(log)
    assert found["boat.trimmed_at.temperature"].value.si == 284.15
    assert found["boat.trimmed_at.water"].value == "fresh"
    # the file's salinity is of other water
    assert found["boat.trimmed_at.salinity"].state is State.UNKNOWN
    log.measured(1, "dived_balance", 0.019, temperature=290.15, salinity=0.001, water="rain")
    found = _found(log)
    assert found["boat.trimmed_at.temperature"].value == Num(290.15, 0.5, Basis.MEASURED)
    assert found["boat.trimmed_at.salinity"].value.si == 0.001
    assert found["boat.trimmed_at.water"].value == "rain"


def test_a_dived_balance_of_no_water_leaves_the_files():
    log = Log()
    log.measured(0, "dived_balance", 0.018, temperature=900.0)  # no such water
    found = _found(log)
    assert "boat.trimmed_at.temperature" not in found
    assert "boat.trimmed_at.water" not in found


def test_a_depth_at_which_the_signal_goes_has_a_distance_and_a_water():
    log = Log()
    log.measured(0, "radio.signal_lost_at.depth", 1.8, distance=25.0, conductivity=0.04, temperature=285.0)
    found = _found(log)
    assert found["boat.radio.signal_lost_at.distance"].value.si == 25.0
    assert found["boat.radio.signal_lost_at.conductivity"].value.si == 0.04
    assert found["boat.radio.signal_lost_at.temperature"].value.si == 285.0


# -- what holds for a while only ------------------------------------------------------------------------------------


def test_volts_with_the_pump_running_hold_for_their_day():
    log = Log()
    log.measured(0, "pack.volts_blow", 8.1, "D2")
    log.measured(0, "pack.volts_end", 7.4, "D2")
    assert "pack[D2].volts_blow" in _found(log, _day(0))
    assert "pack[D2].volts_blow" not in _found(log, _day(1))
    assert "pack[D2].volts_end" in _found(log, _day(30))
    assert "pack[D2].volts_blow" in _found(log)  # of no day in particular


def test_a_bottle_weighed_before_the_last_run_is_not_weighed():
    log = Log()
    log.measured(0, "bottle.weighed", 0.150, "G1")
    assert "bottle[G1].weighed" in _found(log)
    log.run(1, 20)
    assert _found(log) == {}
    log.measured(2, "bottle.weighed", 0.130, "G1")
    assert _found(log)["bottle[G1].weighed"].value.si == 0.130


def test_greased_this_outing():
    log = Log()
    log.add(0, "serviced", {"item": "terminals"})
    log.add(0, "serviced", {"item": "ballast"})
    assert _found(log, _day(0))["boat.power.terminals.greased"].value == "this outing"
    assert _found(log, _day(1))["boat.power.terminals.greased"].value == "some time ago"


# -- times of the ballast -------------------------------------------------------------------------------------------


def test_a_time_by_a_line_is_one_more_and_one_for_itself_sets_it_anew():
    log = Log()
    log.measured(0, "ballast.fill_time", 44.0, method="before-dive/cycle", volts=7.6)
    assert _found(log) == {}
    assert timed_at(log.events) == {}
    log.measured(1, "ballast.fill_time", 40.0, method="fill time", volts=8.0)
    assert _found(log)["boat.ballast.fill_time"].value.si == 40.0
    assert timed_at(log.events) == {"fill": 8.0}
    log.measured(2, "ballast.fill_time", 41.0)
    assert timed_at(log.events) == {}  # at volts nobody wrote down
    log.measured(3, "ballast.empty_time", 36.0, volts=7.7)
    log.add(4, "boat.filed", {"changed": ["ballast.fill_time"]})
    assert timed_at(log.events) == {"empty": 7.7}
    log.add(5, "boat.filed", {"changed": ["boat.ballast"]})
    assert timed_at(log.events) == {}
    log.measured(6, "ballast.empty_time", 36.0, volts=0.0)
    assert timed_at(log.events) == {}


# -- readings -------------------------------------------------------------------------------------------------------


def test_readings_of_today_the_newest_first():
    log = Log()
    limit = {"key": "battery.rest_voltage", "item": "D2"}
    log.add(0, "check.answered", {"limit": limit, "value": {"si": 8.0, "u95": 0.04}})
    log.add(1, "check.answered", {"limit": limit, "value": {"si": 8.3, "u95": 0.04}})
    found = {
        "limit": {"key": "cylinder.water_found"},
        "value": {"si": 5e-8, "u95": 2.5e-8},
        "answer": "a drop",
    }
    log.add(1.1, "check.answered", found)
    numbers, words = readings_today(log.events, log.seconds(0.5))
    assert numbers["battery.rest_voltage", "D2"] == Num(8.3, 0.04, Basis.MEASURED)
    assert words == {("cylinder.water_found", ""): "a drop"}
    numbers, _ = readings_today(log.events, log.seconds(3.0))
    assert numbers == {}
    # a number typed after a word is no word
    log.add(1.2, "check.answered", {**found, "answer": None})
    assert readings_today(log.events, log.seconds(0.5))[1] == {}
    log.add(1.3, "check.answered", {**found, "answer": "mist"}, v=9)
    log.add(1.3, "note", {"text": "x"})
    assert readings_today(log.events, log.seconds(0.5))[1] == {}


# -- the whole way --------------------------------------------------------------------------------------------------


def test_limits_rest_on_what_was_measured():
    log = Log()
    log.measured(0, "boat.mass", 5.60)
    measured = Sheet(FACTS.with_measured(_found(log)))
    stated = Sheet(FACTS)
    one = catalogue.work_out(measured, ("buoyancy.reserve",))[0]
    other = catalogue.work_out(stated, ("buoyancy.reserve",))[0]
    assert one.value is not None or one.missing
    mass = next((i for i in one.inputs if i.path == "boat.mass"), None)
    if mass is not None:
        assert (mass.basis, mass.on) == (Basis.MEASURED, "2032-04-01")
    assert isinstance(FACTS.boat, Document)
    assert FACTS.boat == replace(FACTS.boat)  # nothing was written into the file's facts
    assert other.key == one.key
