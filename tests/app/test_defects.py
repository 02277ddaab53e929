"""Defects: opened, closed by a check that was made since, overruled for one launch, and how that shows elsewhere."""

from __future__ import annotations

import pytest

from divelog.app.look.layout import LAYOUTS, STANDARD, Place
from divelog.app.spots.checks import Checks
from divelog.app.spots.defects import Defects, OneDefect
from divelog.history.defects import overruled_now
from divelog.journal.loading import load

REASON = "shallow and tethered"


@pytest.fixture
def lame(shell):
    """Tansy with a cracked cap that stops a launch."""
    shell.desk.keep("defect.opened", {"defect": "aft cap cracked", "stops_launch": True})
    shell.go(Place.BOATS)
    return shell


def events(shell, what):
    return [e for e in load(shell.desk.session.home, "tansy").events if e.what == what]


def all_sizes(shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii()):
        assert look.problems(shell.draw(layout)) == [], layout.name


def test_x_on_boats_opens_them_and_a_digit_one(lame, press, page, look):
    assert "NOT TO LAUNCH" in page().text()
    press("x")
    assert isinstance(lame.front, Defects)
    assert "stops launch until closed" in page().text()
    all_sizes(lame, look)
    press("1")
    assert isinstance(lame.front, OneDefect)
    text = page().text()
    for words in ("aft cap cracked", "close it", "She goes all the same: say why", "Walk the leak test"):
        assert words in text
    all_sizes(lame, look)


def test_a_check_that_was_not_made_since_proves_nothing(lame, press, page, look):
    press("x", "1", "1", "new cap", "enter")
    assert "not since: the long leak test" in page().text()
    all_sizes(lame, look)
    press("1", "enter")
    assert "it was not done since" in page().text()
    assert events(lame, "defect.closed") == []


def test_a_check_made_since_closes_it(lame, press, page, clock, look):
    clock.advance(3600)
    lame.desk.keep("check.answered", {"list": "leak-test", "line": "low", "gives": ["dry_long"]})
    clock.advance(60)
    press("x", "1", "1", "new cap", "enter")
    assert "the long leak test, 4 May" in page().text()
    press("1", "enter", "enter")
    assert "Kept" in page().text()
    (closed,) = events(lame, "defect.closed")
    assert closed.payload()["of"] == events(lame, "defect.opened")[0].id
    assert closed.payload()["check"] == "leak-test"
    press("enter")
    assert "It is closed." in page().text()
    press("escape")
    assert "No open defect" in page().text()
    all_sizes(lame, look)


def test_the_list_that_proves_it_is_walked_from_there(lame, press):
    press("x", "1", "3")
    assert isinstance(lame.front, Checks)
    assert lame.front.walk is not None
    assert lame.front.walk.checklist.list == "leak-test"


def test_overruled_it_shows_on_boats_and_before_launch_for_one_launch(lame, press, page, clock, look):
    press("x", "1", "2", REASON, "enter")
    assert "Kept" in page().text()
    press("enter")
    assert "She goes all the same" not in page().text()
    assert REASON in " ".join(page().text().split())
    all_sizes(lame, look)
    press("escape")
    assert "overruled" in page().text()
    assert "NOT TO LAUNCH" not in page().text()
    press("escape")
    text = page().text()
    assert "DEFECT OVERRULED" in text
    assert f"overruled: {REASON}" in text
    all_sizes(lame, look)
    opened = events(lame, "defect.opened")[0].id
    assert lame.desk.overruled() == {opened: REASON}
    lame.desk.keep(
        "launch.called", {"because": {opened: REASON}, "defects": [opened], "words": "ready to dive"}
    )
    assert lame.desk.overruled() == {}
    assert "NOT TO LAUNCH" in page().text()
    press("x")
    assert f"overruled 4 May: {REASON}" in " ".join(page().text().split())


def test_before_launch_it_stands_with_its_reason_and_none_is_asked(lame, press, page, look):
    press("x", "1", "2", REASON, "enter", "enter")
    lame.go(Place.CHECKS)
    checks = lame.spot(Place.CHECKS)
    checks._begun()
    lame.below("launch")
    assert lame.front.because == lame.desk.overruled()
    text = page().text()
    assert "overruled: shallow" in text
    assert "Say why" not in text
    all_sizes(lame, look)


def test_a_reason_is_said_anew_the_next_day(lame, press, clock):
    press("x", "1", "2", REASON, "enter")
    clock.advance(24 * 3600)
    assert lame.desk.overruled() == {}
    log = load(lame.desk.session.home, "tansy").events
    assert overruled_now(log, events(lame, "defect.overruled")[0].local.date()) != {}


def test_one_that_does_not_stop_her_is_not_overruled(shell, press, page):
    shell.desk.keep("defect.opened", {"defect": "paint chipped", "stops_launch": False})
    shell.below("defects")
    press("1")
    text = page().text()
    assert "close it" in text
    assert "She goes all the same" not in text


def test_no_defect(shell, press, page, look):
    shell.below("defects")
    assert "No open defect." in page().text()
    press("1", "down", "up")
    all_sizes(shell, look)
