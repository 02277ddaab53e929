"""Run: what is written, what is found again after a crash, and what the page shows at every size."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise

import pytest

from divelog.app.application import Divelog
from divelog.app.desk import Desk
from divelog.app.look.layout import LAYOUTS, STANDARD, Place
from divelog.app.look.page import Role
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.running import minutes, open_run
from divelog.app.shell import Shell
from divelog.app.spots.not_kept import NotKept
from divelog.app.spots.run import Run
from divelog.clock import FixedClock
from divelog.files import StorageError, StorageKind
from divelog.history.folding import fold
from divelog.home import Home
from divelog.journal.events import Event
from divelog.journal.loading import load
from divelog.journal.writing import Journal
from divelog.profiles.schema import LOOKS
from divelog.session.session import Session
from divelog.session.shelf import read_shelf

LAUNCH = datetime.fromisoformat("2032-05-04T08:41:00+01:00")


def events(shell: Shell, what: str, slug: str = "tansy") -> list[Event]:
    """Events of a kind, read from the disk."""
    return [event for event in load(shell.desk.session.home, slug).events if event.what == what]


@pytest.fixture
def ready(shell: Shell, clock: FixedClock) -> Shell:
    """Tansy at the water: day, plan and a full pack in the log, 47 minutes and 0.8 m in force; Run in front."""
    desk = shell.desk
    day = {
        "site": "withy-pond",
        "water": "fresh",
        "temperature": {"si": 284.15, "u95": 0.5},
        "clarity": {"si": 1.1, "u95": 0.1},
    }
    desk.keep("day.opened", day, everybody=True)
    plan = {
        "pack": "D2",
        "depth": {"si": 0.7, "u95": 0.05},
        "distance": {"si": 35, "u95": 0},
        "minutes": {"si": 2400, "u95": 0},
    }
    desk.keep("plan.set", plan)
    clock.advance((LAUNCH - clock.now()).total_seconds())
    shell.go(Place.RUN)
    return shell


@pytest.fixture
def limits(monkeypatch: pytest.MonkeyPatch) -> None:
    """The two limits as the picture has them."""
    monkeypatch.setattr(Run, "limits_in_force", lambda self: {"minutes": 47.0, "keel": 0.8})


@pytest.fixture
def out(ready: Shell, limits: None, press) -> Shell:
    """The run is on."""
    press("enter")
    return ready


def all_sizes(shell: Shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii()):
        assert look.problems(shell.draw(layout)) == [], layout.name


# -- before a run -----------------------------------------------------------------------------------------------------


def test_before_a_run_it_says_what_is_open(ready, page, look, golden, limits):
    text = page().text()
    assert "nobody has called this launch" in text
    assert "Open 1" in text
    golden("run-before", page())
    all_sizes(ready, look)


def test_a_launch_called_today_is_shown_with_its_open_items(ready, page, clock):
    ready.desk.keep("launch.called", {"open": ["failsafe_wet", "range"], "words": "ready to dive"})
    assert "failsafe wet and range; called 08:41" in page().text()
    ready.desk.keep("launch.called", {"open": []})
    assert "NOTHING OPEN; called 08:41" in page().text()
    clock.advance(86400)
    assert "nobody has called this launch" in page().text()


@pytest.mark.parametrize("key", ["enter", "space"])
def test_starting_writes_the_run_with_its_limits(ready, press, limits, key):
    plan = events(ready, "plan.set")[-1]
    press(key)
    (started,) = events(ready, "run.started")
    assert started.payload() == {
        "plan": plan.id, "pack": "D2", "transmitter": "tx-a", "receiver": "rx-1", "limits": {"minutes": 47.0, "keel": 0.8},
    }  # fmt: skip
    assert started.boat == "tansy"


def test_the_limits_in_force_are_those_shown_on_limits(ready, press, clock):
    ready.desk.keep("charged", {"pack": "D2", "to": "full"}, everybody=True)
    looks = {
        "site": "withy-pond",
        "water": "fresh",
        "temperature": {"si": 284.15, "u95": 0.5},
        "air": {"look": LOOKS[2]},
    }
    ready.desk.keep("day.opened", looks, everybody=True)
    clock.advance(60)
    back, keel = ready.desk.limit("battery.endurance"), ready.desk.limit("depth.keel", "under control")
    load_volts = ready.desk.limit("battery.load_voltage")
    press("enter")
    limits = events(ready, "run.started")[0].payload()["limits"]
    assert limits["keel"] == keel.shown_high
    assert limits["minutes"] == back.shown_high / 60
    (radio,) = (one for one in keel.terms if one.name == "radio")
    assert limits["aerial"] == pytest.approx(radio.value - radio.u95, abs=5e-4)
    assert limits["aerial"] >= limits["keel"]
    assert limits["volts"] == load_volts.shown_low


def test_no_run_before_the_list_of_the_last_one_is_answered(ready, press, page, limits):
    desk = ready.desk
    start = desk.keep("run.started", {"pack": "D2"})
    desk.keep("run.ended", {"pack": "D2"}, run=start.id)
    assert "the list after the run of 08:41 is open" in page().text()
    assert "Enter" not in page().lines()[22]
    press("enter", "space")
    assert len(events(ready, "run.started")) == 1
    desk.keep("check.ended", {"list": "after-run", "left": "rain"}, run=start.id)
    press("enter")
    assert len(events(ready, "run.started")) == 2


def test_a_defect_stops_the_start_until_it_is_overruled_with_a_reason(ready, press, page, limits):
    desk = ready.desk
    defect = desk.keep("defect.opened", {"defect": "fore cap weeps", "stops_launch": True})
    assert "NOT TO LAUNCH: fore cap weeps" in " ".join(page().text().split())
    press("enter")
    desk.keep("launch.called", {"open": [], "because": {defect.id: ""}})
    press("enter")
    assert not events(ready, "run.started")
    desk.keep("launch.called", {"open": [], "because": {defect.id: "a foot of water"}})
    press("enter")
    assert len(events(ready, "run.started")) == 1


def test_a_full_disk_is_said_and_no_run_is_on(ready, press, monkeypatch, limits):
    def full(*args, **more):
        raise StorageError(StorageKind.FULL, ready.desk.session.home.root)

    monkeypatch.setattr(ready.desk.session.journal, "append", full)
    press("enter")
    assert isinstance(ready.front, NotKept)
    assert ready.watch.out("tansy") is None


# -- in a run ---------------------------------------------------------------------------------------------------------


def test_the_page_of_the_picture(out, press, page, look, golden, clock):
    press("space", "space")
    clock.advance(17 * 60 + 1)
    text = page().text()
    for words in (
        "launched 08:41",
        "minutes left",
        "Back by       09:28",
        "at most 0.8 m",
        "Marks         2",
        "17 min",
    ):
        assert words in text
    golden("run", page())
    all_sizes(out, look)


def test_the_figure_is_minutes_left(out, clock):
    run = out.watch.out("tansy")
    clock.advance(17 * 60)
    assert minutes(out.desk, run).left == 30  # 47 less 17
    clock.advance(30 * 60)
    assert (minutes(out.desk, run).left, minutes(out.desk, run).over) == (0, None)
    clock.advance(1)
    assert (minutes(out.desk, run).left, minutes(out.desk, run).over) == (None, 0)
    clock.advance(240)
    assert minutes(out.desk, run).over == 4


def test_past_nought_it_counts_up_and_says_over(out, page, look, golden, clock):
    clock.advance(51 * 60 + 1)
    drawn = page()
    assert "X OVER" in drawn.text()
    assert "minutes over" in drawn.text()
    assert any(role is Role.OUTSIDE for _, role in drawn.runs(4))
    golden("run-over", drawn)
    all_sizes(out, look)


def test_for_61_seconds_only_clock_figure_and_elapsed_change_once_each(out, page, look, clock):
    clock.advance(30.5)
    seen = [page()]
    for _ in range(61):
        clock.advance(1)
        seen.append(page())
    moved = [{row for row, _ in look.changed_cells(a, b)} for a, b in pairwise(seen)]
    assert sum(1 for rows in moved if 0 in rows) == 1  # the clock of the header
    assert sum(1 for rows in moved if rows - {0}) == 1  # the figure, and the minutes elapsed beside it
    assert set().union(*moved) <= {0, *range(4, 14)}


def test_space_marks_and_the_count_is_shown(out, press, page):
    press("space", "space", "space")
    marks = events(out, "mark")
    assert len(marks) == 3
    assert {mark.run for mark in marks} == {out.watch.out("tansy").start.id}
    assert "Marks         3" in page().text()


def test_e_then_another_key_goes_on(out, press, page):
    press("e")
    assert "ends the run; any other key goes on" in page().text()
    press("escape")
    assert not out.places_open
    press("e", "space")
    assert out.watch.out("tansy") is not None
    assert len(events(out, "mark")) == 1  # the key did what it does


def test_e_then_1_writes_the_end_with_its_moment_and_opens_the_list_which_asks_why(out, press, page, clock):
    said = clock.now()
    press("e", "1")
    assert out.here is Place.CHECKS
    assert "After the run" in page().text()
    (ended,) = events(out, "run.ended")
    assert ended.run == events(out, "run.started")[0].id
    assert ended.payload()["pack"] == "D2"
    assert out.watch.out("tansy") is None
    clock.advance(240)  # she is carried out first
    press("1", "enter")
    (ended,) = events(out, "run.ended")
    assert (ended.local, ended.payload()["reason"]) == (said, "plan")
    assert fold(load(out.desk.session.home, "tansy").events).runs[-1].end == said


def test_enter_writes_the_signal_lost_before_its_page(out, press, page):
    press("enter")
    (signal,) = events(out, "signal")
    assert signal.payload()["kind"] == "lost"
    assert signal.payload()["motor_on"] is None  # unknown is not off
    assert "Signal lost" in page().text()


# -- clocks, crashes, two boats -----------------------------------------------------------------------------------------


def restarted(home: Home, clock: FixedClock) -> Shell:
    """The program, started anew on what is on the disk."""
    session = Session(home, clock, read_shelf(home), Journal(home, device="other", clock=clock))
    return Shell(Desk(session, "tansy"), MAKERS, EXTRAS)


def test_a_run_survives_a_kill(out, press, clock, home):
    press("space")
    clock.advance(600)
    again = restarted(home, clock)
    again.go(Place.RUN)
    assert "Marks         1" in again.draw(STANDARD).text()
    assert minutes(again.desk, again.watch.out("tansy")).left == 37


def test_a_wall_clock_that_is_set_changes_no_minute(out, clock, page):
    clock.advance(600)
    clock.set_wall(clock.now() + timedelta(hours=3))
    found = minutes(out.desk, out.watch.out("tansy"))
    assert (found.left, found.elapsed, found.by_wall) == (37, 10, False)
    assert found.back_by == clock.now() + timedelta(minutes=37)  # as the wall clock shows it now


def test_after_a_restart_of_the_machine_the_wall_clock_counts_and_is_named(out, clock, page):
    clock.advance(600)
    clock.restart("another")
    found = minutes(out.desk, out.watch.out("tansy"))
    assert (found.left, found.by_wall) == (37, True)
    assert "by the wall clock" in page().text()


def test_a_signal_that_was_lost_when_it_stopped_is_still_lost(out, press, clock, home):
    press("enter")
    clock.advance(20)
    again = restarted(home, clock)
    again.go(Place.RUN)
    assert "Signal lost" in again.draw(STANDARD).text()
    again.press("escape")
    assert "minutes left" in again.draw(STANDARD).text()


def test_another_boat_that_is_out_is_said(out, press, page, clock, look):
    out.desk.keep("run.started", {"pack": "P1", "limits": {"minutes": 20.0, "keel": 0.5}}, slug="bulrush")
    clock.advance(60)
    assert "BULRUSH is out too, 19 min left." in page().text()
    all_sizes(out, look)
    clock.advance(30 * 60)
    assert "BULRUSH is out too and OVER by 11 min." in page().text()


def test_the_bell_is_wanted_once_whatever_page_is_in_front(out, clock):
    out.go(Place.BOATS)
    clock.advance(46 * 60)
    out.tick()
    assert not out.bell_wanted
    clock.advance(61)
    out.tick()
    assert out.bell_wanted
    out.bell_wanted = False
    clock.advance(61)
    out.tick()
    assert not out.bell_wanted


def test_settings_may_keep_the_bell_quiet(ready, press, page, home, limits, clock):
    text = home.settings.read_text("utf-8") if home.settings.exists() else "format = 1\n"
    lines = [line for line in text.splitlines() if not line.startswith("bell")]
    home.settings.write_text("\n".join([lines[0], "bell = false", *lines[1:]]) + "\n", "utf-8")
    ready.desk.session.forget()
    assert ready.desk.session.shelf.settings.value("bell") is False
    press("enter")
    assert "The bell here" not in page().text()
    clock.advance(48 * 60)
    ready.tick()
    assert not ready.bell_wanted


def test_how_long_is_unknown_then_it_counts_up(ready, press, page, monkeypatch, clock, look):
    monkeypatch.setattr(Run, "limits_in_force", lambda self: {"minutes": None, "keel": None})
    press("enter")
    clock.advance(300)
    assert "minutes out" in page().text()
    assert "How long she may run is unknown." in page().text()
    all_sizes(ready, look)


def test_the_newest_run_that_nobody_ended_is_the_one_that_is_on(out):
    desk = out.desk
    first = out.watch.out("tansy").start.id
    second = desk.keep("run.started", {"pack": "D3"})
    assert out.watch.out("tansy").start.id == second.id
    desk.keep("run.ended", {}, run=second.id)
    assert out.watch.out("tansy").start.id == first
    desk.keep("run.ended", {}, run=first)
    assert out.watch.out("tansy") is None
    assert open_run((), "tansy") is None


def test_without_a_boat_it_asks_for_one(shell, press, page):
    shell.desk.slug = None
    shell.go(Place.RUN)
    press("enter", "space", "e")
    assert "Take a boat first" in page().text()


async def test_the_real_application_runs_it(out, look, clock):
    app = Divelog(out)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        await pilot.pause()
        assert look.strip_problems(look.screen_strips(app), 80) == []
        assert "Marks         1" in app.canvas.page.text()
        await pilot.press("enter")
        await pilot.pause()
        assert "Nobody goes in after a boat." in app.canvas.page.text()
    assert len(events(out, "signal")) == 1


def test_a_pack_that_another_boat_has_out_is_said(ready, home, clock):
    twin = (
        (home.boats / "tansy.toml").read_text(encoding="utf-8").replace('name = "Tansy"', 'name = "Sorrel"')
    )
    (home.boats / "sorrel.toml").write_text(twin, encoding="utf-8")
    clock.advance(60)
    ready.desk.session.journal.append("run.started", {"pack": "D2"}, boat="sorrel")
    again = restarted(home, clock)
    again.go(Place.RUN)
    assert f"pack D2: out in sorrel since {clock.now():%H:%M}" in again.front.open_now()
    endurance = again.desk.limit("battery.endurance")
    assert f"pack D2 is out in sorrel since {clock.now():%H:%M}" in f"{endurance.remark} {endurance.missing}"
