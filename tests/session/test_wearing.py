"""Series out of the log: the counter of each, its cuts, its limit."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import msgspec
import pytest
from msgspec import Raw

from divelog.history.folding import fold
from divelog.journal.events import Event
from divelog.limits.model import Limit, Verdict
from divelog.session.care import used
from divelog.session.wearing import Series, all_series, ballast_meter, limit_line
from divelog.upkeep.wear import WearVerdict
from divelog.upkeep.wear_words import line


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2032-{text}:00+00:00")


class Log:
    def __init__(self) -> None:
        self.events: list[Event] = []

    def put(self, what: str, when: str, data: Any = None, **more: Any) -> str:
        identity = f"e{len(self.events):03d}"
        raw = Raw(msgspec.json.encode(data or {}))
        self.events.append(
            Event(id=identity, what=what, when=at(when), data=raw, boat=more.pop("boat", "tansy"), **more)
        )
        return identity

    def run(self, day: str, **data: Any) -> str:
        identity = self.put("run.started", f"{day}T10:00", {"pack": "D2"})
        self.put("run.ended", f"{day}T11:00", {"pack": "D2", "shaft_time": 3600, **data}, run=identity)
        return identity

    def measured(self, path: str, day: str, si: float, item: str | None = None, **conditions: Any) -> None:
        data = {"path": path, "item": item, "value": {"si": si, "u95": 0.3}, "conditions": conditions}
        self.put("measured", f"{day}T09:00", data)

    def series(self, packs: list[str] | None = None, **limits: Limit) -> dict[str, Series]:
        ordered = sorted(self.events, key=lambda e: (e.at, e.id))
        history = fold(ordered)
        use = used(ordered, history, "tansy")
        known = {key.replace("__", "."): limit for key, limit in limits.items()}
        found = all_series(
            history, ordered, "tansy", use, lambda key, item: known.get(key), pump="piston", cycle=72.0, packs=packs
        )  # fmt: skip
        return {each.followed.name: each for each in found}


def limit(high: float | None = None, low: float | None = None) -> Limit:
    return Limit(
        "k", "", "limit", "t", "s", low=low, high=high, shown_low=low, shown_high=high, verdict=Verdict.WITHIN
    )


def test_a_series_is_cut_where_the_part_was_changed():
    log = Log()
    for day, seconds in (("03-01", 43.0), ("03-02", 44.0)):
        log.measured("ballast.fill_time", day, seconds, volts=7.6)
        log.run(day, cycles=100)
    log.put("fitted", "03-03T08:00", {"part": "piston"})
    log.put("serviced", "03-03T08:30", {"item": "shaft_grease"})  # no cut of this series
    for day, seconds in (("03-04", 38.0), ("03-05", 38.5), ("03-06", 39.0)):
        log.measured("boat.ballast.fill_time", day, seconds, volts=7.6)
        log.run(day, cycles=100)
    wear = log.series()["ballast.fill_time"].wear
    assert [p.value for p in wear.before] == [43.0, 44.0]
    assert [p.value for p in wear.since] == [38.0, 38.5, 39.0]
    assert wear.cut is not None
    assert wear.cut.why == "piston renewed 3 March"
    # 100 cycles of 72 s each run: 2 h of the piston by every run before a reading
    assert [p.at for p in wear.since] == [pytest.approx(4.0), pytest.approx(6.0), pytest.approx(8.0)]
    assert wear.quantity.per == "a piston hour"


def test_without_cycles_shaft_hours_stand_in():
    log = Log()
    log.measured("ballast.fill_time", "03-01", 43.0)
    log.run("03-01")
    log.measured("ballast.fill_time", "03-02", 43.5)
    found = log.series()["ballast.fill_time"]
    assert found.wear.quantity.per == "a shaft hour"
    assert [p.at for p in found.wear.since] == [0.0, pytest.approx(1.0)]
    use = used(log.events, fold(log.events), "tansy")
    assert ballast_meter(use, None)[1] is False


def test_the_limit_of_today_judges_the_newest_reading():
    log = Log()
    log.measured("ballast.fill_time", "03-01", 46.9)
    wear = log.series(ballast__fill_time=limit(high=47.0))["ballast.fill_time"].wear
    assert wear.verdict is WearVerdict.TOO_CLOSE  # 46.9 +/- 0.3
    assert line(wear) == "Fill 46.9 s, at most 47; 1 reading: too few to tell."


def test_a_baseline_gives_the_limit_where_none_is_worked_out():
    log = Log()
    for n in range(5):
        log.measured("ballast.empty_time", f"03-0{n + 1}", 40.0)
    wear = log.series()["ballast.empty_time"].wear
    assert wear.limit is not None
    assert (wear.limit.value, wear.limit.shown) == (50.0, 50.0)  # 1.25 x 40 s


def test_joints_and_packs_by_item_in_their_own_units():
    log = Log()
    log.measured("joint.drop", "03-01", 0.012, "motor", current=5.0)
    log.measured("joint.drop", "03-02", 0.013, "fuse", current=5.0)
    log.measured("pack.resistance", "03-01", 0.014, "D2")
    log.measured("pack.resistance", "03-02", 0.029, "D2")
    log.put("serviced", "03-01T12:00", {"item": "terminals"})
    found = log.series(terminals__drop=limit(high=0.018))
    assert found["joint.drop:motor"].wear.before[0].value == pytest.approx(12.0)
    assert found["joint.drop:fuse"].wear.since[0].value == pytest.approx(13.0)
    assert found["joint.drop:fuse"].wear.limit is not None
    assert found["joint.drop:fuse"].wear.limit.shown == pytest.approx(18.0)
    ohms = found["pack.resistance:D2"].wear
    assert ohms.verdict is WearVerdict.OUTSIDE  # 29 of at most twice 14
    assert "pack.resistance:D2" not in log.series(packs=["D3"])  # a pack of another boat
    log.put("fitted", "03-03T08:00", {"part": "pack", "item": "D2"})
    assert log.series()["pack.resistance:D2"].wear.n == 0


def test_no_load_is_cut_by_grease_and_kept_apart_by_way():
    log = Log()
    log.measured("shaft.no_load.ahead", "03-01", 0.6)
    log.measured("shaft.no_load.astern", "03-01", 0.5)
    log.put("serviced", "03-02T08:00", {"item": "shaft_grease"})
    log.measured("shaft.no_load.ahead", "03-03", 0.65)
    found = log.series()
    assert [p.value for p in found["shaft.no_load.ahead"].wear.since] == [0.65]
    assert found["shaft.no_load.astern"].wear.n == 0


def test_paces_come_from_the_range_check_and_fewer_are_worse():
    log = Log()
    for day, paces in (("03-01", 48), ("03-02", 44)):
        data = {"line": "paces", "limit": {"key": "radio.check_distance"}, "value": {"si": paces, "u95": 1}}
        log.put("check.answered", f"{day}T09:00", data)
    log.put(
        "check.answered",
        "03-02T09:10",
        {"line": "tip", "limit": {"key": "antenna.tip_height"}, "value": {"si": 1}},
    )
    found = log.series(radio__check_distance=limit(low=45.0))["radio.check_paces"].wear
    assert [p.value for p in found.since] == [48.0, 44.0]
    assert found.verdict is WearVerdict.OUTSIDE
    log.put("radio.changed", "03-03T08:00", {"changed": ["aerial"]})
    assert log.series()["radio.check_paces"].wear.n == 0


def test_water_found_is_a_rate_over_the_time_in_the_water():
    log = Log()
    run = log.run("03-01")
    log.put(
        "water.found",
        "03-01T11:10",
        {"word": "a teaspoon", "si": 5e-6, "u95": 1.5e-6, "looked": "opened"},
        run=run,
    )
    run = log.run("03-02")
    log.put("water.found", "03-02T11:10", {"si": None, "state": "skipped", "looked": "not"}, run=run)
    points = log.series()["water.found"].wear.since
    assert [(p.value, p.u95) for p in points] == [
        (pytest.approx(5.0), pytest.approx(1.5))
    ]  # 5 mL in one hour


def test_nothing_measured_is_no_series_and_other_boats_are_left_out():
    log = Log()
    log.put("measured", "03-01T09:00", {"path": "ballast.fill_time", "value": {"si": 40}}, boat="bulrush")
    log.put(
        "measured", "03-01T09:00", {"path": "ballast.fill_time", "value": {"si": None, "state": "skipped"}}
    )
    assert log.series() == {}


def test_a_limit_that_is_unknown_is_no_line():
    assert limit_line(None, 1.0) is None
    assert limit_line(limit(), 1.0) is None
    found = limit_line(limit(low=10.0), 2.0, upper=False)
    assert found is not None
    assert (found.value, found.shown) == (5.0, 5.0)
