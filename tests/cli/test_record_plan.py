"""A day and a plan recorded from a shell judge her trim as the pages do; an overruling goes with the launch on paper."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from divelog.app.desk import Desk
from divelog.clock import FixedClock
from divelog.home import Home
from divelog.journal.loading import load
from divelog.journal.writing import Journal
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

PLAN = ("pack=D2", "depth=0.5 m", "distance=35 m", "minutes=20 min")


@pytest.fixture
def clock(monkeypatch) -> FixedClock:
    clock = FixedClock(datetime.fromisoformat("2032-05-04T08:00:00+01:00"))
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: clock)
    return clock


def record(call, home, *words: str) -> str:
    code, _, err = call("--home", home, "record", "tansy", *words)
    assert code == 0, err
    return err


def newest(home, what: str) -> dict:
    return [e for e in load(Home(home), "tansy").events if e.what == what][-1].payload()


def test_a_recorded_plan_carries_what_proofs_judge_trim_by(samples, clock, call):
    record(call, samples, "day.opened", "site=withy-pond", "water=fresh", "temperature=4 degC",
           "air.look=small glassy wavelets")  # fmt: skip
    clock.advance(60)
    record(call, samples, "plan.set", *PLAN)
    recorded = newest(samples, "plan.set")
    home = Home(Path(samples))
    clock.advance(60)
    with Journal(home, device="pond", clock=clock) as journal:
        desk = Desk(Session(home, clock, read_shelf(home), journal), "tansy")
        desk.keep_plan()  # the same plan, written by the page
    on_the_page = newest(samples, "plan.set")
    assert recorded["trim_shift"] == pytest.approx(on_the_page["trim_shift"])
    assert recorded["trim_shift"] != 0
    assert recorded["dived_balance"] == on_the_page["dived_balance"]


def test_the_look_of_the_water_is_one_of_the_words(samples, clock, call):
    code, _, err = call(
        "--home", samples, "record", "tansy", "day.opened", "site=withy-pond", "air.look=choppyish"
    )
    assert code == 2
    assert "small glassy wavelets" in err
    record(
        call,
        samples,
        "day.opened",
        "site=withy-pond",
        "air.look=small glassy wavelets",
        "air.temperature=16 degC",
    )
    day = newest(samples, "day.opened")
    assert day["air"]["look"] == "small glassy wavelets"
    assert day["air"]["temperature"]["si"] == pytest.approx(289.15)


@pytest.mark.parametrize(
    ("said", "kept"), [(True, "taped for today"), (False, "launched from paper, no reason written there")]
)
def test_a_launch_on_paper_keeps_the_reason_that_was_said(samples, clock, call, tmp_path, said, kept):
    record(call, samples, "day.opened", "site=withy-pond", "water=fresh", "temperature=11 degC")
    record(call, samples, "plan.set", *PLAN)
    record(call, samples, "defect.opened", "defect=aft cap cracked", "stops_launch=yes")
    if said:
        record(call, samples, "defect.overruled", "of=aft cap cracked", "reason=taped for today")
    clock.advance(4 * 3600)
    sheet = tmp_path / "sheet.txt"
    sheet.write_text("tansy 09:30\n5 8.45\n40 9:40\n42 10:20\n", "utf-8")
    code, _, err = call("--home", samples, "type-in", sheet)
    assert code == 0, err
    launch = newest(samples, "launch.called")
    assert list(launch["because"].values()) == [kept]
    assert list(launch["because"]) == launch["defects"]
