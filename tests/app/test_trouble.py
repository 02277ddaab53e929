"""Signal lost by the clock, and the other troubles: read and done, never hidden, never mixed up with a run's own list."""

from __future__ import annotations

import pytest

from divelog.app import read_do
from divelog.app.application import Divelog
from divelog.app.desk import Desk
from divelog.app.look.layout import LAYOUTS, STANDARD, TINY, Place
from divelog.app.look.page import Role
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.read_do import APART, NOBODY, ReadDo, Step, Steps, her_time, list_named, steps_of
from divelog.app.shell import Shell
from divelog.app.spots.signal_lost import SignalLost
from divelog.app.spots.trouble import LISTS, TroubleSteps
from divelog.files import StorageError, StorageKind
from divelog.history.folding import fold
from divelog.journal.loading import load
from divelog.session.session import Session
from divelog.session.shelf import read_shelf


@pytest.fixture
def out(shell: Shell, press, clock) -> Shell:
    """A run of Tansy that began at 08:41, in force 47 min and 0.8 m; failsafe proved on the bench and in the water."""
    desk = shell.desk
    desk.keep(
        "day.opened",
        {"site": "withy-pond", "water": "fresh", "temperature": {"si": 284.15, "u95": 0.5}},
        everybody=True,
    )
    plan = {
        "pack": "D2",
        "depth": {"si": 0.7, "u95": 0.05},
        "distance": {"si": 35, "u95": 0},
        "minutes": {"si": 2400, "u95": 0},
    }
    desk.keep("plan.set", plan)
    wet = {"list": "tank-trim", "line": "comes-up", "gives": ["failsafe_wet"]}
    desk.keep("check.answered", wet, happened="2032-04-18T10:45:00+01:00")
    clock.advance(20 * 60)
    desk.keep("check.answered", {"list": "before-dive", "line": "signal-off", "gives": ["failsafe_bench"]})
    clock.advance(17 * 60)
    desk.keep("run.started", {"pack": "D2", "limits": {"minutes": 47.0, "keel": 0.8}})
    shell.go(Place.RUN)
    clock.advance(17 * 60 + 20)
    return shell


def kinds(shell: Shell) -> list[str]:
    return [event.what for event in load(shell.desk.session.home, "tansy").events]


def all_sizes(shell: Shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii()):
        assert look.problems(shell.draw(layout)) == [], layout.name


def bold_step(page) -> str:
    """The words of the step that is bold, on the row of the `>`."""
    for row, line in enumerate(page.lines()):
        if line.startswith(">"):
            return "".join(text for text, role in page.runs(row) if role is Role.BOLD)
    return ""


# -- signal lost --------------------------------------------------------------------------------------------------------


def test_the_page_of_the_picture(out, press, page, clock, look, golden):
    press("enter", "enter")
    clock.advance(14)
    text = page().text()
    for words in ("Signal lost", "at 08:58:20", "39 s   her time to come up", "09:28  back by", NOBODY):
        assert words in text
    assert "Set high, aerial broadside to her" in bold_step(page())
    golden("signal-lost", page())
    all_sizes(out, look)


def test_steps_follow_the_clock_without_a_key(out, press, page, clock):
    press("enter")
    passed, seen = 0.0, []
    for second in (0.0, APART, 10.0, 30.0, 108.0, 108.0 + APART):
        clock.advance(second - passed)
        passed = second
        seen.append(bold_step(page()))
    words = ("Everyone clear", "Sticks", "Set high", "Transmitter OFF", "Two bearings", "Pole")
    for said, wanted in zip(seen, words, strict=True):
        assert wanted in said


def test_the_transmitter_is_only_switched_off_where_the_failsafe_is_proved(out, press, page, clock):
    press("enter")
    assert "Transmitter OFF" in page().text()
    text = " ".join(page().text().split())
    assert "failsafe on the bench was proved today, 08:24; wait 78 s" in text  # twice 39 s


@pytest.mark.parametrize(
    ("what", "data", "words"),
    [
        ("radio.changed", {"changed": ["bound"]}, "failsafe on the bench and comes up by herself not proved"),
        (
            "mass.moved",
            {"piece": "lead", "mass": {"si": 0.02}, "from": "box", "to": "bow"},
            "comes up by herself not proved",
        ),
    ],
)
def test_else_the_set_stays_on_and_it_says_why(out, press, page, what, data, words):
    out.desk.keep(what, data)
    press("enter")
    text = " ".join(page().text().split())
    assert "The set stays ON" in text
    assert words in text
    assert "Transmitter OFF" not in text


def test_her_time_is_the_long_end_and_a_guess_is_marked(out, monkeypatch):
    assert her_time(out.desk) == (39, False)  # 35.2 s give or take 3.1
    monkeypatch.setattr(Desk, "limit", lambda self, key, item=None, slug=None: None)
    assert her_time(out.desk) is None
    assert steps_of(out.desk, "signal-lost").steps[-1].at == 30.0  # no time known: nothing is added


def test_enter_does_a_step_and_writes_it_without_the_run(out, press):
    press("enter", "enter", "enter")
    home = out.desk.session.home
    answered = [
        e
        for e in load(home, "tansy").events
        if e.what == "check.answered" and e.payload()["list"] == "signal-lost"
    ]
    assert [e.payload()["line"] for e in answered] == ["mark-it", "people", "sticks"]
    assert all(e.run is None for e in load(home, "tansy").events if e.what.startswith("check."))
    assert not fold(load(home, "tansy").events).runs[-1].answered


def test_space_marks_v_says_seen_again_and_the_list_is_over(out, press, page):
    press("enter", "space", "v")
    assert "minutes left" in page().text()
    assert kinds(out)[-3:] == ["mark", "signal", "check.ended"]
    assert out.watch.out("tansy").lost is None
    last = load(out.desk.session.home, "tansy").events[-1].payload()
    assert (last["complete"], last["left"]) == (False, "seen again")


def test_a_second_loss_starts_its_own_clock(out, press, page, clock):
    press("enter", "v")
    clock.advance(60)
    press("enter")
    clock.advance(5)
    assert "at 08:59:20" in page().text()
    assert out.front.seconds == 5
    assert kinds(out).count("signal") == 3


def test_escape_keeps_the_signal_lost_and_enter_comes_back_to_its_clock(out, press, page, clock):
    press("enter", "enter", "escape")
    clock.advance(30)
    press("enter")
    assert kinds(out).count("signal") == 1
    assert out.front.seconds == 30
    assert kinds(out).count("check.started") == 1  # the same walk goes on


def test_a_crash_goes_on_where_it_stopped(out, press, clock, home):
    press("enter", "enter", "enter")
    clock.advance(2)
    session = Session(home, clock, read_shelf(home), out.desk.session.journal)
    again = Shell(Desk(session, "tansy"), MAKERS, EXTRAS)
    again.go(Place.RUN)
    assert isinstance(again.front, SignalLost)
    assert again.front.walk.done == 3
    assert [e.what for e in load(home, "tansy").events].count("check.started") == 1


def test_a_full_disk_hides_no_step(out, press, page, monkeypatch, look, clock):
    def full(*args, **more):
        raise StorageError(StorageKind.FULL, out.desk.session.home.root)

    monkeypatch.setattr(out.desk.session.journal, "append", full)
    press("enter")
    text = page().text()
    assert "Everyone clear of the water" in text
    assert "Not kept" in text
    press("enter", "space")
    clock.advance(10)
    assert "Set high" in bold_step(page())
    assert out.front.seconds == 10
    all_sizes(out, look)


def test_every_step_done_ends_the_list(out, press, clock, page):
    press("enter")
    press(*["enter"] * 10)
    assert out.front.walk.whole
    assert load(out.desk.session.home, "tansy").events[-1].payload()["complete"] is True
    assert NOBODY in page().text()
    assert NOBODY in page(TINY).text()


def test_e_1_ends_the_list_before_the_run_s_own(out, press, page):
    press("enter", "e", "x", "e", "1")
    assert out.here is Place.CHECKS
    assert "After the run" in page().text()
    left, ended = load(out.desk.session.home, "tansy").events[-2:]
    assert (left.what, left.payload()["left"]) == ("check.ended", "the run was ended")
    assert ended.what == "run.ended"


# -- the walk by itself ----------------------------------------------------------------------------------------------------


def test_the_clock_never_passes_over_a_step_of_the_same_moment(desk):
    steps = Steps("x", "x", 1, (Step("a", "a", 0.0), Step("b", "b", 0.0), Step("c", "c", 10.0)))
    walk = ReadDo(desk, steps)
    assert [walk.by_clock(t) for t in (0.0, APART - 0.1, APART, 9.9, 10.0, 999.0)] == [0, 0, 1, 1, 2, 2]
    walk.do(0.0)
    assert walk.present(0.0) == 1
    walk.do(0.0)
    walk.do(0.0)
    assert walk.whole
    assert walk.do(0.0) is None


def test_a_list_without_a_clock_waits_for_the_person(desk):
    walk = ReadDo(desk, Steps("x", "x", 1, (Step("a", "a"), Step("b", "b"))))
    assert walk.by_clock(1000.0) == 0
    walk.do(0.0)
    assert walk.present(1000.0) == 1


# -- trouble ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [name for _, name in LISTS])
def test_people_come_first_and_nobody_goes_in(desk, name):
    steps = steps_of(desk, name)
    first = next(step for step in steps.steps if step.line != "mark-it")
    assert "people" in first.words.lower() or "everyone" in first.words.lower()
    assert steps.caution.startswith("Nobody")
    assert "nobody" not in [step.line for step in steps.steps]
    assert list_named(desk, name).faults == ()


@pytest.mark.parametrize("digit", ["2", "3", "4"])
def test_a_list_is_walked_to_its_end(shell, press, page, look, digit):
    shell.go(Place.LOG)
    press("t")
    all_sizes(shell, look)
    press(digit)
    all_sizes(shell, look)
    walk = shell.front.walk
    for _ in walk.steps.steps:
        before = walk.done
        press("enter")
        while not isinstance(shell.front, TroubleSteps):
            shell.pop()  # a few questions were opened; here nobody answers them
        assert walk.done == before + 1
        all_sizes(shell, look)
    kept = [e.what for e in load(shell.desk.session.home, "tansy").events if e.what != "log.opened"]
    assert kept[0] == "check.started"
    assert kept[-1] == "check.ended"
    assert kept.count("check.answered") == len(walk.steps.steps)
    press("enter")
    assert shell.front is shell.spot(Place.LOG)


def test_leaving_midway_is_written(shell, press):
    shell.go(Place.LOG)
    press("t", "3", "enter", "escape")
    last = load(shell.desk.session.home, "tansy").events[-1].payload()
    assert (last["list"], last["complete"], last["left"]) == ("boat-stuck", False, "put away")


def test_what_leaked_is_asked_where_the_list_says_so(shell, press, page):
    shell.go(Place.LOG)
    press("t", "2", *["enter"] * 6)
    assert "How much water" in page().text()
    press("two drips", "enter")
    assert "one of these words" in page().text()
    press(*["backspace"] * 9, "two drops", "enter", "2", "enter", "1", "enter")
    event = next(e for e in load(shell.desk.session.home, "tansy").events if e.what == "water.found")
    data = event.payload()
    assert (data["word"], data["end"], data["looked"]) == ("two drops", "aft", "window")
    assert data["si"] == pytest.approx(1e-7)  # two drops of 0.05 mL
    press("enter", "enter")
    assert "What is wrong" in page().text()


def test_signal_lost_out_of_trouble_writes_the_signal_of_the_run(out, press, page):
    press("t", "1")
    assert kinds(out).count("signal") == 1
    assert "Signal lost" in page().text()


def test_signal_lost_without_a_run_still_shows_the_steps(shell, press, page, look):
    shell.go(Place.LOG)
    press("t", "1")
    assert "Everyone clear" in page().text()
    assert "e 1" not in page().text()
    press("space", "enter", "v")
    assert "signal" not in kinds(shell)
    all_sizes(shell, look)


def test_trouble_needs_no_boat_and_writes_nothing_then(shell, press, page, look):
    shell.desk.slug = None
    press("t", "4")
    assert "upwind" in page().text()
    press(*["enter"] * 3)
    all_sizes(shell, look)
    press("escape", "t", "1")
    assert "Everyone clear" in page().text()
    all_sizes(shell, look)


def test_without_any_list_the_page_is_not_empty(shell, press, page, monkeypatch, look):
    monkeypatch.setattr(read_do, "list_named", lambda desk, name: None)
    for digit, words in (("1", "People clear"), ("2", "Ballast out"), ("3", "throttle off"), ("4", "upwind")):
        shell.go(Place.LOG)
        press("t", digit)
        assert words.lower() in page().text().lower()
        all_sizes(shell, look)


async def test_the_real_application_shows_it(shell, look):
    shell.go(Place.LOG)
    app = Divelog(shell)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t", "3")
        await pilot.pause()
        assert look.strip_problems(look.screen_strips(app), 80) == []
        assert "boat stuck" in app.canvas.page.text()
        await pilot.press("enter")
    assert kinds(shell).count("check.answered") == 1
