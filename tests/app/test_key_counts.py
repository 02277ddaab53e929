"""Keys of the small ways, counted: another boat, a pause, a mark, the why of a number, a service."""

from __future__ import annotations

import pytest

from divelog.app.look.layout import Place
from divelog.app.spots.why import Why
from divelog.journal.loading import load


@pytest.fixture
def shell(worked, shell, clock):
    """The evening of 4 May after two runs, the day open and her plan set."""
    clock.advance(12 * 3600)
    shell.desk.keep("day.opened", {"site": "withy-pond", "temperature": {"si": 284.15}}, everybody=True)
    for boat, pack in (("tansy", "D2"), ("bulrush", "P1")):
        plan = {"pack": pack, "depth": {"si": 0.3}, "distance": {"si": 35.0}, "minutes": {"si": 1800.0}}
        shell.desk.keep("plan.set", plan, slug=boat)
    return shell


def newest(shell):
    return load(shell.desk.session.home, shell.desk.slug).events[-1]


@pytest.mark.parametrize("place", [Place.LIMITS, Place.CHECKS, Place.LOG, Place.UPKEEP])
def test_from_boat_to_boat_in_two_keys(shell, press, place):
    shell.go(place)
    press("a", str(shell.desk.boats.index("bulrush") + 1))
    assert shell.desk.slug == "bulrush"
    assert shell.front is shell.spot(Place.LIMITS)  # her limits stand there: nothing else is asked first
    assert shell.here is not Place.BOATS


def test_a_pause_is_one_key_and_to_another_boat_two_more(shell, press):
    shell.go(Place.CHECKS)
    press("p")
    assert newest(shell).what == "check.paused"
    press("a", str(shell.desk.boats.index("bulrush") + 1))
    assert shell.desk.slug == "bulrush"


def test_a_mark_is_one_key(shell, press):
    start = shell.desk.keep("run.started", {"pack": "D2"})
    shell.go(Place.RUN)
    press("space")
    assert (newest(shell).what, newest(shell).run) == ("mark", start.id)


@pytest.mark.parametrize("digit", "1234567890")
def test_the_why_of_any_number_on_limits_is_one_key(shell, press, digit):
    shell.go(Place.LIMITS)
    if shell.front.numbered()[(int(digit) - 1) % 10] is None:
        pytest.skip("no number stands there")
    press(digit)
    assert isinstance(shell.front, Why)


def test_a_service_is_one_key_and_its_line(shell, press):
    shell.go(Place.UPKEEP)
    names = [item.name for item in shell.front._items()]
    press("d", str(names.index("shaft_grease") + 1))
    assert (newest(shell).what, newest(shell).payload()["item"]) == ("serviced", "shaft_grease")


def test_esc_puts_the_day_off_and_d_asks_it(shell, press, page, clock):
    clock.advance(24 * 3600)
    shell.go(Place.LIMITS)
    assert "Limits: day" in page().text()
    press("escape")
    assert "Limits today" in page().text()
    press("escape")
    assert shell.places_open
    press("2", "escape", "d")
    assert "Limits: day" in page().text()
