"""How the sample boats stand on 4 May 2032 at 08:04, where the demo's clock starts: each in another state."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from divelog.app.demo import MORNING
from divelog.app.desk import Desk
from divelog.calibration.model import Observed
from divelog.checks.standing import paused_words, stopped_walk
from divelog.clock import FixedClock
from divelog.home import Home, data_folder
from divelog.limits.model import Verdict
from divelog.physics.statistics import median
from divelog.proofs import ProofReport, State
from divelog.session.session import Asked, Session
from divelog.session.shelf import read_shelf

HOME = Home(data_folder("sample_boats"))
SESSION = Session.reading(HOME, FixedClock(MORNING), read_shelf(HOME))
DESK = Desk(SESSION, "tansy")
SHUT = {"faces", "closed", "dry_short"}
AT_THE_EDGE = {"directions", "range", "full_power"}


def test_this_is_the_morning_of_the_demo():
    assert datetime.fromisoformat("2032-05-04T08:04:00+01:00") == MORNING


def report(slug: str) -> ProofReport:
    return DESK.proofs(slug)


def in_state(slug: str, state: State) -> set[str]:
    return {proof.name for proof in report(slug).proofs if proof.state is state}


def to_do(slug: str) -> set[str]:
    """Required proofs that do not stand."""
    states = (State.TO_PROVE, State.NEVER, State.CLAIMED)
    return {proof.name for proof in report(slug).proofs if proof.required and proof.state in states}


def observed(slug: str) -> Observed:
    return SESSION.observed(Asked(slug, SESSION.shelf.boats[slug], None, None, MORNING))


@pytest.mark.parametrize("slug", ["tansy", "bulrush", "bramble", "juniper"])
def test_the_clock_is_believed_and_no_run_is_open(slug):
    assert report(slug).clock_doubt == ""
    history = SESSION.log(slug)
    runs = [e.what for e in history.events if e.what in ("run.started", "run.ended") and e.boat == slug]
    assert runs == ["run.started", "run.ended"] * (len(runs) // 2)


# -- Tansy: closed up at home, little to prove -------------------------------------------------------------------------


def test_tansy_is_closed_up_with_little_to_prove():
    assert SHUT | {"start_state", "dry_long", "trim", "failsafe_bench", "failsafe_wet", "pack:D2", "supply", "joints",
                   "look"} == in_state("tansy", State.PROVED)  # fmt: skip
    # her second pack was never read today; it is not the one of the plan
    assert to_do("tansy") - {"pack:D3"} == AT_THE_EDGE | {"ballast_cycle"}
    assert report("tansy").defects == ()
    assert report("tansy").dry_depth == pytest.approx(0.8)
    assert paused_words(SESSION.log("tansy").events, MORNING) == ()


def test_tansy_was_closed_this_morning_before_the_day_was_opened():
    events = SESSION.log("tansy").events
    [opened] = [e for e in events if e.what == "day.opened" and e.local.date() == MORNING.date()]
    closed = report("tansy").get("closed").since
    assert closed is not None
    assert closed < opened.at < MORNING


def test_her_limits_rest_on_her_own_log():
    learnt = observed("tansy")
    rates = learnt.charge_per_minute["D2"]
    assert len(rates) >= 5
    assert median(rates) == pytest.approx(3.0, rel=0.05)  # A, as the runs were made: 0.05 A h a minute
    assert learnt.charged_full["D2"] == pytest.approx(13.0, abs=0.2)
    assert set(learnt.joints) == {"pack plug", "main link", "fuse", "motor"}
    assert all(len(values) >= 3 for values in learnt.joints.values())
    assert learnt.joints["motor"] == pytest.approx([0.0024] * len(learnt.joints["motor"]))  # 12 mV at 5 A
    assert len(learnt.no_load["ahead"].values) >= 5
    assert len(learnt.no_load["astern"].values) >= 5
    assert len(learnt.times["fill"].values) >= 10
    assert learnt.trim_moves == ()
    limit = DESK.limit("battery.endurance", "D2", "tansy")
    assert limit is not None
    assert not limit.starred
    assert limit.verdict is Verdict.WITHIN
    assert "runs" in " ".join(limit.why)


# -- Bulrush: nothing wrong, everything of the day to do --------------------------------------------------------------------


def test_bulrush_is_clean():
    assert in_state("bulrush", State.PROVED) == {
        "dry_long",
        "trim",
        "failsafe_wet",
        "supply",
        "joints",
        "look",
    }
    assert to_do("bulrush") == SHUT | AT_THE_EDGE | {"failsafe_bench", "pack:P1", "ballast_cycle"}
    assert report("bulrush").defects == ()
    assert report("bulrush").dry_depth == pytest.approx(1.2)
    learnt = observed("bulrush")
    assert len(learnt.charge_per_minute["P1"]) >= 5
    assert learnt.charged_full["P1"] == pytest.approx(13.0, abs=0.2)
    assert len(learnt.times["fill"].values) == 12
    terminals = DESK.limit("terminals.leakage", slug="bulrush")
    assert terminals is not None
    assert terminals.verdict is Verdict.WITHIN  # greased this morning


# -- Bramble: stopped while closing up -------------------------------------------------------------------------------------


def test_bramble_is_paused_in_closing_up():
    stopped = stopped_walk(SESSION.log("bramble").events, MORNING)
    assert stopped is not None
    assert (stopped.list, stopped.number) == ("before-dive", 4)
    assert paused_words(SESSION.log("bramble").events, MORNING) == (
        "PAUSED closing up, line 4",
        "6 min ago; carrying on asks line 3 again",
    )
    assert to_do("bramble") == AT_THE_EDGE | {"dry_short", "dry_long", "joints"}
    assert in_state("bramble", State.CLAIMED) == {
        "dry_long"
    }  # her last owner said so, nobody has seen it since
    assert report("bramble").get("joints").because == "older than 30 d"
    assert report("bramble").defects == ()
    assert observed("bramble").charged_full["D5"] == pytest.approx(13.0, abs=0.2)


# -- Juniper: not to launch ---------------------------------------------------------------------------------------------------


def test_juniper_is_not_to_launch():
    [defect] = report("juniper").defects
    assert (defect.what, defect.since.date()) == ("water inside", date(2032, 5, 2))
    assert in_state("juniper", State.PROVED) == {"supply"}
    assert report("juniper").get("joints").because == "a run in brackish water"
    assert report("juniper").dry_depth == pytest.approx(0.5)
    learnt = observed("juniper")
    assert "D1" not in learnt.charged_full  # run on 2 May, no charge written
    assert sum(move.si for move in learnt.trim_moves) == pytest.approx(0.0)  # the basin's lead is out again
    assert len(learnt.charge_per_minute["D1"]) >= 5


# -- the plans in the log say of trim what the program works out -----------------------------------------------------------


@pytest.mark.parametrize("slug", ["tansy", "bulrush", "bramble"])
def test_the_shift_of_trim_in_todays_plan_is_the_programs(slug):
    newest = [e for e in SESSION.log(slug).events if e.what == "plan.set" and e.boat == slug][-1]
    found = DESK.limit("buoyancy.trim_change", slug=slug)
    assert found is not None
    assert found.value is not None
    assert newest.payload()["trim_shift"] == pytest.approx(found.value, abs=0.0005)
