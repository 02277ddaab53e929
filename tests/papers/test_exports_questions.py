"""The twenty-eight questions, each over a small made logbook whose answer is worked out by hand; trends against SciPy."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime

import pytest
from scipy import stats

from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.papers.exports.database import database
from divelog.papers.exports.questions import QUESTIONS
from divelog.papers.exports.tables import TABLES
from divelog.session.book import book_of
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

FILLED = (38.0, 38.4, 38.9, 39.1, 39.8, 40.1, 40.5)
WET = {"word": "a teaspoon", "si": 5e-6, "u95": 1e-6, "end": "aft", "allowance": 1e-8, "looked": "opened"}


@pytest.fixture
def ask(read):
    """Rows of a view as dicts."""

    def asking(view: str, day: int = 60, **wanted: object) -> list[dict]:
        with closing(sqlite3.connect(":memory:")) as base:
            base.deserialize(database(read(day)))
            base.row_factory = sqlite3.Row
            rows = [dict(row) for row in base.execute(f"SELECT * FROM {view}")]
        return [row for row in rows if all(row[key] == value for key, value in wanted.items())]

    return asking


def fill(log, day: int, seconds: float, volts: float = 7.9) -> None:
    log.at(day, 20).put("measured", {"path": "boat.ballast.fill_time", "value": {"si": seconds, "u95": 0.4},
                                     "conditions": {"volts": {"si": volts}}, "method": "before-dive/cycle"})  # fmt: skip


def test_there_are_twenty_eight_each_with_a_view_of_its_own(read):
    assert [one.number for one in QUESTIONS] == list(range(1, 29))
    assert len({one.view for one in QUESTIONS}) == 28
    with closing(sqlite3.connect(":memory:")) as base:
        base.deserialize(database(read()))
        told = base.execute("SELECT number, question, view, reads FROM questions ORDER BY number").fetchall()
    assert told == [(q.number, q.question, q.view, q.reads) for q in QUESTIONS]
    assert all(q.question.endswith("?") and q.reads for q in QUESTIONS)


def test_every_view_stands_over_an_empty_log_and_over_the_sample_log(read):
    for book in (read(), _samples()):
        with closing(sqlite3.connect(":memory:")) as base:
            base.deserialize(database(book))
            for one in QUESTIONS:
                base.execute(f"SELECT * FROM {one.view}").fetchall()
            assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def _samples():
    clock = FixedClock(datetime.fromisoformat("2032-05-04T08:04:00+01:00"))
    home = Home(data_folder("sample_boats"))
    shelf = read_shelf(home)
    return book_of(Session.reading(home, clock, shelf), tuple(shelf.boats), clock.now())


@pytest.mark.skipif(not (data_folder("sample_boats") / "logbook").is_dir(), reason="no sample logbook here")
def test_the_sample_log_answers_most_of_them():
    with closing(sqlite3.connect(":memory:")) as base:
        base.deserialize(database(_samples()))
        silent = [
            q.number for q in QUESTIONS if not base.execute(f"SELECT 1 FROM {q.view} LIMIT 1").fetchone()
        ]
        slower = base.execute(
            "SELECT slower_s_per_h FROM pump_times WHERE boat = 'bulrush' AND in_force"
        ).fetchall()
    assert set(silent) <= {24}  # nobody in it ever sailed over an open defect
    assert any(slope and slope > 0.5 for (slope,) in slower)  # her pump is written to slow down


def test_1_the_pump(log, ask):
    for day, seconds in enumerate(FILLED):
        fill(log, day, seconds)
        log.outing(day, 60, 0.6)  # one shaft hour each
    fill(log, 8, 30.0, volts=6.4)  # other volts: not like the rest
    (row,) = ask("pump_times", quantity="ballast.fill_time")
    assert row["readings"] == 7
    expected = stats.theilslopes(FILLED, range(7)).slope  # SciPy, scipy.stats.theilslopes
    assert row["slower_s_per_h"] == pytest.approx(expected, rel=1e-9)
    assert (row["first_s"], row["last_s"]) == (38.0, 40.5)


def test_1_is_silent_under_six_and_cut_at_a_change(log, ask):
    for day in range(5):
        fill(log, day, 38.0 + day)
        log.outing(day, 60, 0.6)
    log.at(6).put("fitted", {"part": "piston", "item": "piston"})
    fill(log, 7, 36.0)
    rows = ask("pump_times", quantity="ballast.fill_time")
    assert [(r["segment"], r["readings"], r["slower_s_per_h"], r["in_force"]) for r in rows] == [
        (0, 5, None, 0),
        (1, 1, None, 1),
    ]
    assert rows[1]["since_change"] == "piston fitted"


def test_2_hours_since_the_seal(log, ask):
    log.outing(0, 30, 0.5)
    log.at(1).put("serviced", {"item": "shaft_grease"})
    log.outing(2, 60, 0.5)
    log.at(3).put("fitted", {"part": "seal", "item": "shaft", "seals": ["shaft"]})
    log.outing(4, 90, 0.5)
    (row,) = ask("hours_since_seal", boat="tansy", seal="shaft")
    assert row["hours_since_greased"] == pytest.approx(2.5)
    assert row["hours_since_renewed"] == pytest.approx(1.5)
    assert row["renewed"] == "2032-03-09"


def test_3_trim_and_the_new_pack(log, ask):
    def balance(day: int, grams: float) -> None:
        log.at(day, 5).put("measured", {"path": "boat.dived_balance", "value": {"si": grams / 1000}})

    log.at(0).put("day.opened", {"site": "barn-tank", "water": "fresh", "temperature": {"si": 292.15}}, None)
    balance(0, 21)
    log.outing(1, 30, 0.5)
    log.at(5).put("day.opened", {"site": "barn-tank", "water": "fresh", "temperature": {"si": 288.15}}, None)
    balance(5, 16)
    log.outing(6, 30, 0.5, pack="D3")
    log.at(7).put("mass.moved", {"piece": "lead", "mass": {"si": 0.004}, "from": "ashore", "to": "bow"})
    rows = {row["pack"]: row for row in ask("trim_by_pack", boat="tansy")}
    assert rows["D2"]["dived_balance_g"] == pytest.approx(21)
    assert rows["D3"]["dived_balance_g"] == pytest.approx(16)
    assert (rows["D3"]["pack_mass_g"], rows["D2"]["pack_mass_g"]) == (266.0, 268.0)
    assert (rows["D3"]["moves"], rows["D3"]["moved_g"]) == (1, 4.0)
    assert (rows["D3"]["site"], rows["D3"]["temperature_C"]) == ("barn-tank", pytest.approx(15))


def test_4_leaks_by_month_and_end(log, ask):
    log.outing(0, 60, 0.5, water={**WET, "si": 1e-6})
    log.outing(10, 60, 0.5, water={**WET, "si": 2e-6})
    log.outing(30, 120, 0.5, water=WET)
    log.outing(31, 60, 0.5, water={**WET, "looked": "not"})
    rows = {(r["month"], r["end"]): r for r in ask("leaks_by_month", boat="tansy")}
    assert (rows["2032-03", "aft"]["water_mL"], rows["2032-03", "aft"]["mL_per_hour"]) == (
        3.0,
        pytest.approx(1.5),
    )
    assert (rows["2032-04", "aft"]["looks"], rows["2032-04", "aft"]["mL_per_hour"]) == (1, pytest.approx(2.5))


def test_5_water_or_sweat(log, ask):
    log.at(0, 10).put(
        "closed", {"which": ["aft cap"], "air_temperature": {"si": 292.15}, "humidity": {"si": 0.6}}
    )
    log.outing(0, 60, 0.5, water={**WET, "si": 5e-9})
    log.outing(1, 60, 0.5, water=WET)
    log.outing(2, 60, 0.5, water={**WET, "si": None, "state": "unknown"})
    log.outing(3, 60, 0.5, water={"flooded": True, "si": 1e-4, "looked": "opened"})
    assert [r["says"] for r in ask("water_or_sweat")] == [
        "no more than sweat", "more than sweat", "amount not known", "flooded",
    ]  # fmt: skip
    assert ask("water_or_sweat")[0]["closed_at_C"] == pytest.approx(19)
    assert ask("water_or_sweat")[0]["closed_damp_percent"] == pytest.approx(60)


def test_6_opened_before_the_leak(log, ask):
    log.at(0).put("opened", {"which": ["fore cap"], "lifted": False})
    log.at(1).put("opened", {"which": ["aft cap", "charge port"], "lifted": True})
    log.outing(2, 60, 0.5, water=WET)
    rows = ask("opened_before_leak")
    assert {(r["closure"], r["lifted"]) for r in rows} == {("aft cap", 1), ("charge port", 1)}


def test_7_charge_of_a_run(log, ask):
    log.at(0, -60).put("charged", {"pack": "D2", "to": "full", "charge": {"si": 100.0}}, None)
    log.outing(0, 40, 0.6, put_back=2.0)
    (row,) = ask("charge_by_run")
    # put back 2.0 A h, 0.99 of it kept by a lithium pack: what `physics.battery_log` holds; minutes by the clock
    assert row["charge_how"] == "put back by the charger"
    assert row["charge_Ah"] == pytest.approx(2.0, rel=0.03)
    assert row["Ah_per_min"] == pytest.approx(row["charge_Ah"] / row["minutes"])
    assert row["Ah_per_dived_min"] == pytest.approx(row["charge_Ah"] / 20.0)


def test_8_minutes_today(log, ask):
    log.at(0, -60).put("charged", {"pack": "D2", "to": "full", "charge": {"si": 100.0}}, None)
    log.outing(0, 40, 0.6, put_back=2.0)
    log.outing(1, 40, 0.6, put_back=2.4)
    (row,) = ask("minutes_today", day=2, boat="tansy")
    assert (row["pack"], row["runs"], row["holds_Ah"], row["measured_on"]) == ("D2", 2, 4.7, "2032-02-10")
    assert row["minutes_at_most"] == pytest.approx(0.7 * 4.7 / row["most_Ah_per_min"])
    assert row["most_Ah_per_min"] > row["mean_Ah_per_min"]


def test_9_twins(log, ask):
    for day, (one, other) in enumerate(
        ((12.5, 13.0), (13.0, 14.5), (13.2, 16.0), (13.5, 17.8), (14.0, 19.0), (14.2, 21.0))
    ):
        for pack, mohm in (("D2", one), ("D3", other)):
            log.at(30 * day).put(
                "measured", {"path": "pack.resistance", "item": pack, "value": {"si": mohm / 1000}}, None
            )
    log.put("charged", {"pack": "D3", "to": "full"}, None)
    (row,) = ask("packs_side_by_side", day=200, pack="D2")
    days = [30 * d for d in range(6)]
    assert (row["twin"], row["resistance_mohm"], row["twin_resistance_mohm"]) == ("D3", 14.2, 21.0)
    assert row["twin_mohm_per_year"] == pytest.approx(
        365.25 * stats.theilslopes((13.0, 14.5, 16.0, 17.8, 19.0, 21.0), days).slope, rel=1e-4
    )
    assert row["twin_mohm_per_year"] > row["mohm_per_year"] > 0
    assert (row["charges"], row["twin_charges"]) == (0, 1)


def test_10_failsafe_proved_on_which_binding(log, ask):
    log.at(0).put("radio.changed", {"changed": ["bound"]})
    log.at(1).put(
        "check.answered",
        {"list": "before-dive", "line": "signal-off", "gives": ["failsafe_bench", "directions"]},
    )
    log.at(2).put("radio.changed", {"changed": ["bound", "memory"]})
    rows = {r["proof"]: r for r in ask("failsafe_proved", boat="tansy")}
    bench = rows["failsafe_bench"]
    assert (bench["proved"][:10], bench["bound"][:10], bench["bound_again_since"]) == (
        "2032-03-07",
        "2032-03-06",
        1,
    )
    assert bench["state"] == "to_prove"
    assert rows["failsafe_wet"]["proved"] is None
    assert rows["failsafe_wet"]["state"] == "never"


def test_11_real_trips(log, ask):
    right = (
        "failsafe.tripped",
        {"real": True, "trigger": "signal lost", "channels": {"throttle": True, "ballast": True}},
    )
    wrong = (
        "failsafe.tripped",
        {"real": True, "trigger": "low volts", "channels": {"throttle": True, "ballast": False}},
    )
    log.outing(0, 30, 0.5, between=(right, wrong))
    log.at(1).put(
        "failsafe.tripped", {"real": False, "trigger": "signal lost", "channels": {"throttle": True}}
    )
    rows = ask("failsafe_for_real")
    assert [(r["trigger"], r["wrong"], r["all_right"]) for r in rows] == [
        ("signal lost", None, 1),
        ("low volts", "ballast", 0),
    ]


def test_12_where_the_link_drops(log, ask):
    lost = ("signal", {"kind": "lost", "distance": {"si": 31.0}, "depth": {"si": 0.4}})
    drop = ("signal", {"kind": "drop", "distance": {"si": 22.0}, "depth": {"si": 0.8}})
    glitch = ("signal", {"kind": "glitch", "distance": {"si": 3.0}})
    log.outing(0, 30, 0.9, between=(lost, drop, glitch))
    (row,) = ask("link_lost_where")
    assert (row["site"], row["transmitter"], row["band"], row["times"]) == ("withy-pond", "tx-a", "40 MHz", 2)
    assert (row["nearest_m"], row["farthest_m"], row["shallowest_m"]) == (22.0, 31.0, 0.4)


def test_13_range_checks(log, ask):
    for day, paces in enumerate((50, 49, 49, 47, 46, 45)):
        log.at(10 * day).put("check.answered", {"list": "before-dive", "line": "paces", "value": {"si": float(paces)},
                                                "limit": {"key": "radio.check_distance"}})  # fmt: skip
    (row,) = ask("range_checks", day=90, boat="tansy")
    days = [10 * d for d in range(6)]
    expected = 365.25 * stats.theilslopes((50, 49, 49, 47, 46, 45), days).slope
    assert (row["readings"], row["first_paces"], row["last_paces"]) == (6, 50, 45)
    assert row["paces_per_year"] == pytest.approx(expected, rel=1e-5)


def test_14_what_faults_follow(log, ask):
    stuck = ("incident", {"step": "stuck", "cause": "weed"})
    log.outing(0, 30, 0.5, between=(stuck,))
    log.outing(1, 30, 0.5, pack="D3")
    log.outing(
        2, 30, 0.5, boat="bulrush", pack="P1", transmitter="tx-b", between=(("signal", {"kind": "drop"}),)
    )
    rows = {(r["kind"], r["name"]): (r["runs"], r["with_fault"]) for r in ask("faults_follow")}
    assert rows["boat", "tansy"] == (2, 1)
    assert rows["pack", "D2"] == (1, 1)
    assert rows["pack", "D3"] == (1, 0)
    assert rows["transmitter", "tx-b"] == (1, 1)
    assert rows["receiver", "rx-1"] == (3, 2)


def test_15_with_the_motor_or_pump_on(log, ask):
    signals = (
        ("signal", {"kind": "glitch", "motor_on": True, "pump_on": True}),
        ("signal", {"kind": "drop", "motor_on": True, "pump_on": True}),
        ("signal", {"kind": "lost", "motor_on": False, "pump_on": False}),
        ("signal", {"kind": "back"}),
    )
    log.outing(0, 30, 0.5, between=signals)
    rows = {
        (r["motor"], r["pump"]): (r["faults"], r["lost"], r["dropped"], r["glitches"])
        for r in ask("faults_with_motor_or_pump")
    }
    assert rows == {("on", "on"): (2, 0, 1, 1), ("off", "off"): (1, 1, 0, 0)}


def test_16_deepest_proved_dry(log, ask):
    log.outing(0, 30, 0.9)
    log.outing(1, 30, 1.4, how="guessed")
    log.outing(2, 30, 1.2, water=WET)
    log.outing(3, 30, 0.7)
    (row,) = ask("deepest_dry", boat="tansy")
    assert row["proved_m"] == pytest.approx(0.8)
    assert row["day"] == "2032-03-06"
    assert "shaft since 2031-11-02" in row["seals"]


def test_17_closings(log, ask):
    for day in range(3):
        log.at(day).put("opened", {"which": ["aft cap"]})
        log.at(day, 5).put("closed", {"which": ["aft cap", "vent plug"]})
    log.at(3).put("fitted", {"part": "seal", "item": "aft cap"})
    log.at(4).put("closed", {"which": ["aft cap"]})
    rows = {r["closure"]: r for r in ask("closings_by_seal")}
    assert (
        rows["aft cap"]["closings"],
        rows["aft cap"]["openings"],
        rows["aft cap"]["closings_since_fitted"],
    ) == (5, 3, 2)
    assert rows["vent plug"]["closings"] == 3


def test_18_how_old_everything_is(log, ask):
    log.at(10).put("fitted", {"part": "pump", "item": "water pump"})
    rows = {
        (r["kind"], r["part"]): r["days"] for r in ask("age_of_everything", day=20) if r["boat"] != "bulrush"
    }
    assert rows["pump", "water pump"] == 10
    assert rows["seal", "shaft"] == 145  # 2 November 2031 to 26 March 2032
    assert rows["pack", "P1"] == 695  # bought 1 May 2030


def test_19_skipped_lines(log, ask):
    log.at(0).put(
        "check.skipped", {"list": "before-dive", "line": "paces", "state": "skipped", "reason": "in a hurry"}
    )
    log.outing(0, 30, 0.5, between=(("incident", {"step": "stuck"}),))
    log.at(1).put(
        "check.skipped", {"list": "before-dive", "line": "paces", "state": "skipped", "reason": "in a hurry"}
    )
    log.at(2).put(
        "check.skipped", {"list": "before-dive", "line": "lamp", "state": "not fitted", "reason": "no lamp"}
    )
    assert [(r["line"], r["skips"], r["followed"], r["reasons"]) for r in ask("skipped_lines")] == [
        ("paces", 2, 1, "in a hurry")
    ]


def test_20_time_of_checks(log, ask):
    for day, minutes in ((0, 20.0), (1, 30.0)):
        walk = log.at(day).put("check.started", {"list": "before-dive"})
        log.at(day, 5).put("check.paused", {"list": "before-dive", "line": "faces", "check": walk})
        log.at(day, 10).put(
            "check.resumed", {"list": "before-dive", "line": "faces", "seconds": 300.0, "check": walk}
        )
        log.at(day, minutes).put("check.ended", {"list": "before-dive", "complete": True})
    (row,) = ask("time_of_checks")
    assert (row["walks"], row["completed"], row["breaks"], row["most_broken_off"]) == (2, 2, 2, "faces")
    assert row["minutes"] == pytest.approx(25.0)
    assert row["minutes_without_breaks"] == pytest.approx(20.0)


def test_21_notes_of_a_site(log, ask):
    run = log.outing(0, 30, 0.5)
    log.put("note", {"text": "weed to 1 m by the jetty", "private": False}, run=run)
    log.put("incident", {"step": "stuck", "cause": "weed", "depth": {"si": 0.9}}, run=run)
    log.at(5).put("note", {"text": "the sluice was open", "about": "sluice-basin"})
    rows = [(r["site"], r["kind"], r["words"]) for r in ask("notes_by_site")]
    assert ("withy-pond", "note", "weed to 1 m by the jetty") in rows
    assert ("withy-pond", "stuck", "weed") in rows
    assert ("sluice-basin", "note", "the sluice was open") in rows


def test_22_gas(log, read):
    for day, grams in ((0, 150.0), (1, 146.0), (11, 145.0)):
        log.at(day).put(
            "measured", {"path": "bottle.weighed", "item": "G1", "value": {"si": grams / 1000}}, "juniper"
        )
    log.outing(0, 30, 0.5, boat="juniper", pack="D1", cycles=2)
    with closing(sqlite3.connect(":memory:")) as base:
        base.deserialize(database(read(60, ("juniper",))))
        rows = base.execute("SELECT gone_g, cycles, g_per_cycle, g_per_day_idle FROM gas_by_cycle").fetchall()
    assert rows[0] == (pytest.approx(4.0), 2, pytest.approx(2.0), None)
    assert rows[1] == (pytest.approx(1.0), 0, None, pytest.approx(0.1))


def test_23_depth_zero(log, ask):
    for day, zero, temperature in ((0, 0.02, 8.0), (1, 0.05, 18.0)):
        log.at(day).put(
            "day.opened", {"site": "withy-pond", "temperature": {"si": 273.15 + temperature}}, None
        )
        log.at(day, 5).put(
            "check.answered",
            {"list": "before-dive", "line": "zero", "value": {"si": zero}, "gives": ["depth_zero"]},
        )
    assert [(r["zero_m"], r["temperature_C"]) for r in ask("depth_zero")] == [
        (0.02, pytest.approx(8)),
        (0.05, pytest.approx(18)),
    ]


def test_24_sailed_with_defects(log, ask):
    defect = log.put("defect.opened", {"defect": "linkage stiff", "stops_launch": True})
    log.put(
        "launch.called",
        {"defects": [defect], "because": {defect: "moves freely when wet"}, "words": "ready to dive"},
    )
    (row,) = ask("sailed_with_defects")
    assert (row["words"], row["reason"], row["by"]) == ("linkage stiff", "moves freely when wet", "operator")


def test_25_hours_in_all(log, ask):
    log.outing(0, 60, 0.5)
    log.at(1).put("boat.received", {"claimed": []})
    log.outing(2, 60, 0.5)
    log.at(3).put("serviced", {"item": "overhaul"})
    log.outing(4, 30, 0.5)
    (row,) = ask("hours_in_all", boat="tansy")
    assert (row["hours"], row["runs"]) == (pytest.approx(2.5), 3)
    assert row["hours_since_overhaul"] == pytest.approx(0.5)
    assert row["hours_since_received"] == pytest.approx(1.5)
    assert ask("hours_in_all", boat="bulrush")[0]["hours_since_overhaul"] is None


def test_26_costs(log, ask):
    log.put("fitted", {"part": "seal", "item": "shaft", "cost": "4.50 EUR"})
    log.put("serviced", {"item": "shaft_grease", "cost": "1.20 EUR"})
    log.put("serviced", {"item": "ballast", "cost": "two hours of work"})
    rows = {r["currency"]: (r["items"], r["amount"], r["not_an_amount"]) for r in ask("cost_of_parts")}
    assert rows["EUR"] == (2, pytest.approx(5.70), 0)
    assert sum(r[2] for r in rows.values()) == 1


def test_27_for_the_buyer(log, ask):
    log.outing(
        0,
        60,
        0.9,
        between=(("incident", {"step": "stuck", "cause": "weed", "depth": {"si": 0.9}, "source": "seen"}),),
    )
    log.put("defect.opened", {"defect": "lamp dim", "stops_launch": False})
    log.put("check.answered", {"list": "bench", "line": "receiver-volts", "gives": ["supply"]})
    rows = [(r["topic"], r["words"]) for r in ask("for_the_buyer", day=5, boat="tansy")]
    assert ("hours", "1.0 shaft hours in 1 runs") in rows
    assert ("dry", "proved dry to 0.8 m, 2032-03-06") in rows
    assert ("incident", "2032-03-06: stuck, 0.9 m seen, weed") in rows
    assert ("defect", "lamp dim, open since 2032-03-06") in rows
    assert ("proof", "supply since 2032-03-06") in rows
    assert ("pack", "D2: holds 4.7 A h of 5.0") in rows


def test_28_which_boat(log, ask):
    log.outing(0, 30, 0.5, put_back=2.0)
    log.outing(0, 30, 0.5, boat="bulrush", pack="P1", water=WET)
    rows = ask("which_boat", day=1)
    assert [r["boat"] for r in rows] == ["tansy", "bulrush"]
    assert (rows[0]["not_to_launch"], rows[0]["charged"]) == (0, "D2")
    assert (rows[1]["not_to_launch"], rows[1]["charged"]) == (1, None)
    assert all(r["to_prove"] > 0 for r in rows)


def test_every_column_that_a_number_needs_names_its_unit():
    bare = {
        "length",
        "mass",
        "depth",
        "deepest",
        "distance",
        "charge",
        "temperature",
        "capacity",
        "resistance",
        "minutes_",
    }
    for columns in TABLES.values():
        assert not bare & {c.strip() for c in columns.split(",")} - {"minutes"}


def test_the_folder_of_samples_is_not_written():
    before = {p: p.stat().st_mtime_ns for p in data_folder("sample_boats").rglob("*")}
    _samples()
    assert {p: p.stat().st_mtime_ns for p in data_folder("sample_boats").rglob("*")} == before
