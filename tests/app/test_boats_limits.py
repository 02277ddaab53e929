"""Boats, the day, Limits and why: driven by keys on the shell, drawn at every size."""

from __future__ import annotations

from dataclasses import replace

import pytest

from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, WIDE, Place
from divelog.app.spots.limits import next_words
from divelog.journal.loading import load
from divelog.limits.guides import GUIDES
from divelog.limits.sensitivity import Gain

DAY = ("1", "11", "enter", "3", "1.1", "enter", "16", "enter")
PLAN = ("1", "0.7", "enter", "35", "enter", "40", "enter")


@pytest.fixture
def at_limits(shell, press):
    """Tansy's limits after the day was typed; Withy Pond is found by its name."""
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    press(str(sites.index("withy-pond") + 1), *DAY[1:], *PLAN)
    return shell


def all_sizes(shell, look):
    for layout in LAYOUTS:
        assert look.problems(shell.draw(layout)) == [], layout.name


def test_boats_says_the_date_is_to_be_confirmed_once(shell, press, page, look):
    shell.desk.date_said = None
    assert "Is the date right?" in page().text()
    press("enter")
    assert "Is the date right?" not in page().text()
    all_sizes(shell, look)


def test_a_digit_takes_a_boat_and_asks_the_day_first(shell, press, page):
    number = shell.desk.boats.index("tansy") + 1
    press(str(number))
    assert shell.desk.slug == "tansy"
    assert "Limits: day" in page().text()
    assert "once for all boats" in page().text()


def test_limits_move_as_the_day_is_typed(shell, press, page):
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    press(str(sites.index("withy-pond") + 1), "11", "enter", "3")
    before = shell.desk.limit("depth.keel", "under control")
    press("0.4")
    during = shell.desk.limit("depth.keel", "under control")
    assert during.shown_high < before.shown_high or "sight" in during.binds
    assert load(shell.desk.session.home, "tansy").events[-1].payload().get("clarity") is None  # not kept yet
    press("enter")
    assert load(shell.desk.session.home, "tansy").events[-1].payload()["clarity"]["si"] == pytest.approx(0.4)


def test_the_rules_of_the_site_are_told_on_arrival_and_not_with_the_plan(shell, press, page, look):
    press("4")
    assert "No craft after dusk" not in page().text()
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    press(str(sites.index("withy-pond") + 1))
    assert " Rules          No craft after dusk" in page().text()
    assert look.problems(page()) == []
    press("11", "enter", "3", "1.1", "enter", "enter")
    assert "Keel down to" in page().text()
    assert "No craft after dusk" not in page().text()


def test_every_answer_of_the_day_is_on_disk_before_the_next_question(shell, press):
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    counts = []
    for key in (
        str(sites.index("withy-pond") + 1),
        "11 enter",
        "3",
        "1.1 enter",
        "enter",
        "1",
        "0.7 enter",
        "35 enter",
        "40 enter",
    ):
        press(*key.split(" "))
        counts.append(
            sum(
                1
                for e in load(shell.desk.session.home, "tansy").events
                if e.what in ("day.opened", "plan.set")
            )
        )
    assert counts == sorted(counts)
    assert counts[-1] == 9


def test_the_day_is_asked_once_for_all_boats(at_limits, shell, press, page):
    shell.change_boat("bulrush")
    shell.go(Place.LIMITS)
    assert "her plan" in page().text()
    assert "Keel down to" in page().text()


def test_a_bad_value_is_said_in_words_and_nothing_is_lost(shell, press, page):
    shell.go(Place.LIMITS)
    press("1", "11", "space", "kg", "enter")
    assert "Fault" in page().text()
    assert "wanted a temperature" in page().text()
    press("escape", "300", "enter")
    assert "Fault" in page().text()
    press("escape", "11,5", "enter")
    assert "11,5" in page().text()


def test_the_first_page_has_two_numbers_and_seven_rows(at_limits, page):
    text = page().text()
    for words in (
        "Back at the bank",
        "Deepest keel",
        "Trim",
        "rest volts",
        "waves",
        "planned depth",
        "range",
        "failsafe",
        "cylinder",
        "up by herself",
    ):
        assert words in text
    assert "leave the lead alone" in text
    assert "never shown in the water" in text


def test_the_first_page_is_sound_at_every_size(at_limits, shell, look):
    all_sizes(shell, look)


def test_wide_pages_list_more(at_limits, page):
    assert "dived balance" in page(WIDE).text()
    assert "dived balance" not in page(STANDARD).text()
    assert "|---" not in page(SMALL).text()  # no gauges at 60 columns


@pytest.mark.parametrize("digit", list("1234567890"))
def test_a_digit_opens_why_of_its_row(at_limits, shell, press, page, look, digit):
    press(digit)
    assert "Limits: why" in page().text()
    assert "Source" in page().text()
    all_sizes(shell, look)
    press("escape")
    assert "Limits today" in page().text()


def test_why_tries_another_value_and_never_saves_it(at_limits, shell, press, page):
    press("5")
    before = len(load(shell.desk.session.home, "tansy").events)
    shown = page().text().split("\n")[4:7]
    for _ in range(12):
        press("+")
    assert "trying: not saved" in page().text()
    assert len(load(shell.desk.session.home, "tansy").events) == before
    press("0")
    assert page().text().split("\n")[4:7] == shown


def test_every_limit_can_be_reached(at_limits, shell, press, page, look):
    press("e")
    seen = set()
    for _ in range(12):
        seen.update(line[16:35].strip() for line in page().text().split("\n")[3:21] if line[14:15].isdigit())
        all_sizes(shell, look)
        press("down")
    assert {"waves", "pitch", "lift"} & {s.split(" ")[0].rstrip(",") for s in seen} or len(seen) > 30


def test_places_open_and_close_by_escape(at_limits, shell, press, page, look):
    press("escape")
    assert "1 Boats" in page().text()
    all_sizes(shell, look)
    press("escape")
    assert "1 Boats" not in page().text()
    press("escape", "1")
    assert shell.here is Place.BOATS


def test_two_keys_from_anywhere_to_anywhere(at_limits, shell, press):
    for place in (Place.BOATS, Place.LIMITS, Place.LOG, Place.UPKEEP, Place.RUN, Place.CHECKS):
        press("escape", str(int(place)))
        assert shell.here is place


def test_a_boat_with_a_fault_in_her_file_shows_it_with_its_line(home, shell, press, page, look):
    file = home.boat_file("tansy")
    file.write_text(file.read_text().replace('length = "920 mm"', "length = 920"))
    shell.desk.session.forget()
    shell.go(Place.BOATS)
    assert "FAULT IN HER FILE" in page().text()
    press(str(shell.desk.boats.index("tansy") + 1))
    text = page().text()
    assert "920, a bare number" in text
    assert "line 6" in text or "line " in text
    all_sizes(shell, look)
    file.write_text(file.read_text().replace("length = 920", 'length = "920 mm"'))
    press("1")
    assert "FAULT" not in page().text()


def test_hostile_names_draw_nothing_of_their_own(home, shell, page, look):
    file = home.boat_file("tansy")
    file.write_text(
        file.read_text().replace('name = "Tansy"', 'name = "[@click=app.quit]\\u202Ex\\u001b]0;y"')
    )
    shell.desk.session.forget()
    shell.go(Place.BOATS)
    text = page().text()
    assert "\x1b" not in text
    assert "\u202e" not in text
    all_sizes(shell, look)


def test_an_empty_home_says_how_to_begin(tmp_path, clock, look):
    from divelog.app.desk import Desk
    from divelog.app.places import EXTRAS, MAKERS
    from divelog.app.shell import Shell
    from divelog.home import Home
    from divelog.journal.writing import Journal
    from divelog.session.session import Session
    from divelog.session.shelf import read_shelf

    home = Home(tmp_path / "none")
    with Journal(home, clock=clock) as journal:
        shell = Shell(Desk(Session(home, clock, read_shelf(home), journal)), MAKERS, EXTRAS)
        assert "No boat yet" in shell.draw(STANDARD).text()
        for key in "123enter":
            shell.press(key)
        for layout in LAYOUTS:
            assert look.problems(shell.draw(layout)) == []


def test_leaving_asks_first(shell, press, page, look):
    press("escape", "q")
    assert "Leave divelog?" in page().text()
    all_sizes(shell, look)
    press("2")
    assert not shell.asked_to_leave
    press("escape", "q", "1")
    assert shell.asked_to_leave


async def test_on_the_real_application(home, shell):
    from divelog.app.application import Divelog

    app = Divelog(shell)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("question_mark")
        await pilot.pause()
        assert "Anywhere" in app.canvas.page.text()
        await pilot.press("escape", "2")
        await pilot.resize_terminal(10, 5)
        await pilot.pause()
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert app.canvas.page.layout.width == 60


@pytest.mark.parametrize(
    ("now", "then", "words"),
    [
        ("25 min", "40 min", "pace her: 25 to 40 min"),
        ("give or take 3.1 s", "give or take 1.7 s", "pace her: +/- 3.1 to 1.7 s"),
        ("0.8 m", "90 cm", "pace her: 0.8 m to 90 cm"),
        ("unknown", "", "pace her, weigh"),
    ],
)
def test_what_a_measurement_buys_is_said_where_it_fits_else_whole_titles(now, then, words):
    pace, weigh = (replace(GUIDES[0], title=title) for title in ("pace her", "weigh"))
    gains = (
        Gain(pace, "battery.endurance", "", now, then, 0.3),
        Gain(weigh, "lift.mass", "", "unknown", "", 0.1),
    )
    assert next_words(gains, 30) == words
    assert next_words(gains, 9) == "pace her"
    assert next_words((), 30) == ""
