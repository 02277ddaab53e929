"""Log: newest first and of any length, found by words, opened line by line, corrected with a reason."""

from __future__ import annotations

from datetime import timedelta

import pytest

from divelog.app import log_search
from divelog.app.application import Divelog
from divelog.app.log_search import A_LOOK
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE, Place
from divelog.app.spots import log as log_spot
from divelog.app.spots.log import Log
from divelog.app.spots.log_page import EventPage, RunPage, WalkPage
from divelog.journal.loading import load


@pytest.fixture
def evening(worked, clock, shell):
    """Tansy's worked journal, at ten past eight in the evening of 4 May; Log in front."""
    clock.advance(12 * 3600 + 6 * 60)
    shell.go(Place.LOG)
    return shell


def all_sizes(shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii()):
        assert look.problems(shell.draw(layout)) == [], layout.name


def rows(page) -> list[str]:
    return [line.rstrip() for line in page.lines()[3:21] if line.strip()]


# -- the list -----------------------------------------------------------------------------------------------------------


def test_newest_first_with_the_day_only_on_its_first_row(evening, page, look, golden):
    lines = rows(page())
    assert lines[0].startswith(">Tue 4 May      09:30 water")
    assert [line[1:12].strip() for line in lines if line[1:12].strip()] == [
        "Tue 4 May",
        "Mon 3 May",
        "Fri 30 Apr",
        "Sun 25 Apr",
    ]
    golden("log", page())
    all_sizes(evening, look)


def test_a_run_is_one_line_in_short_and_every_line_is_shown_when_asked(evening, press, page):
    assert not any("run ended" in line for line in rows(page()))
    assert "45 min, D2" in page().text()
    short = int(page().lines()[0].split("Log")[1].split()[0])
    press("v")
    assert any("run ended" in line for line in rows(page()))
    every = int(page().lines()[0].split("Log")[1].split()[0])
    assert every == len(evening.desk.session.log("tansy").lines) == short + 2  # the two ends of runs


def test_a_list_that_was_walked_is_one_line_and_opens_its_answers(evening, press, page, look):
    desk = evening.desk
    begun = desk.keep("check.started", {"list": "before-dive", "version": 1})
    for line in ("undone", "name"):
        desk.keep(
            "check.answered", {"list": "before-dive", "line": line, "answer": "done", "check": begun.id}
        )
    desk.keep("failsafe.tripped", {"real": False, "channels": {"throttle": True}})
    desk.keep("closed", {"which": ["aft cap"], "count": 4})
    desk.keep("check.ended", {"list": "before-dive", "complete": True})
    desk.keep("opened", {"which": ["aft cap"]})
    lines = rows(page())
    assert "opened" in lines[0]
    assert "list" in lines[1]
    assert "water" in lines[2]
    press("down", "enter")
    assert isinstance(evening.front, WalkPage)
    text = page().text()
    for words in (
        "undone (before the dive): done",
        "name (before the dive)",
        "closed up",
        "tripped on purpose",
        "Before the dive: done",
    ):
        assert words.lower() in text.lower()
    assert "opened: aft cap" not in text
    all_sizes(evening, look)


def test_arrows_walk_and_the_focus_is_always_seen(evening, press, page):
    for layout in (STANDARD, SMALL, TINY, WIDE):
        press("home")
        for _ in range(40):
            press("down")
            assert any(line.startswith(">") for line in page(layout).lines())
        press("end")
        assert any(line.startswith(">") for line in page(layout).lines())
        press("pageup", "pagedown", "up")
        assert any(line.startswith(">") for line in page(layout).lines())


def test_only_the_lines_on_the_screen_are_put_into_words(shell, clock, monkeypatch, press, page):
    desk = shell.desk
    for n in range(400):
        desk.keep("note", {"text": f"note {n}"})
        clock.advance(60)
    said = []
    real = log_spot.said
    monkeypatch.setattr(log_spot, "said", lambda event, around: said.append(event.id) or real(event, around))
    shell.go(Place.LOG)
    shell.draw(STANDARD)
    assert len(said) <= 18
    said.clear()
    press("end")
    shell.draw(STANDARD)
    assert len(said) <= 18
    assert "note 0" in page().text()


def test_a_log_without_a_line_says_so(shell, page, look):
    shell.go(Place.LOG)
    assert "Nothing written yet." in page().text()
    shell.press("enter")
    all_sizes(shell, look)
    shell.desk.slug = None
    assert "Take a boat first" in page().text()
    shell.press("f")


def test_the_year_is_said_where_it_is_another(shell, page, press):
    shell.desk.keep("note", {"text": "long ago"}, happened="2031-12-24T12:00:00+01:00")
    shell.go(Place.LOG)
    assert "24 Dec 2031" in page().text()
    assert "24 Dec 12:00" in page(TINY).text()


def test_foreign_words_draw_nothing(shell, page, look):
    hostile = "\x1b[2J\u202e[reverse]x[/reverse]" + "wide語" * 40
    shell.desk.keep("note", {"text": hostile, "about": hostile})
    shell.desk.keep("opened", {"which": [hostile], "place": hostile})
    shell.go(Place.LOG)
    all_sizes(shell, look)
    assert "\x1b" not in page().text()
    shell.press("enter")
    all_sizes(shell, look)


# -- looking for words -----------------------------------------------------------------------------------------------------


def test_words_are_found_in_what_is_said_not_in_how_it_is_stored(evening, press, page, look):
    press("f", "bottom", "enter")
    assert "2 of 37 lines found" in page().text()  # the incident, and the run it happened in
    assert "touched bottom" in page().text()
    assert "45 min, D2" in page().text()
    all_sizes(evening, look)
    press("escape")
    assert "in short" in page().text()


@pytest.mark.parametrize(
    ("words", "count"),
    [
        ("charged", 1),
        ("25 apr run", 1),
        ("2032-04-30", 1),
        ("xyzzy", 0),
        ("run tansy", 2),  # her own name leaves nothing out
        ("run withy pond", 2),
        ("run bottom", 1),  # a run by what went wrong in it
        ("30 april 2032", 1),
        ("30 april 2031", 0),
        ("3 May", 1),
        ("2032-05-03", 1),
        ("2031-05", 0),
    ],
)
def test_days_and_several_words(evening, press, page, words, count):
    press("f", words, "enter")
    header = page().text()
    assert f"{count} of 37 lines found" in header
    assert ("Nothing found." in header) == (count == 0)


def test_while_words_are_typed_only_enter_and_esc_act(evening, press, page):
    press("f", "trouble c", "backspace", "backspace")
    assert isinstance(evening.front, Log)
    assert "t trouble" not in page().text()
    assert ":trouble_" in page().text()
    assert "Enter find" in page().text()
    assert "Fi:" not in page(TINY).text()
    press("escape")
    assert ":_" in page().text()  # the first clears the text
    press("escape")
    assert "Find" not in page().text()


def test_a_rare_word_is_looked_for_a_piece_at_a_time(shell, clock, press, page):
    desk = shell.desk
    base = desk.now() - timedelta(days=30)
    desk.keep("note", {"text": "needle"}, happened=(base - timedelta(days=1)).isoformat())
    log = desk.session.log("tansy")
    note = desk.keep("note", {"text": "hay"})
    many = tuple(log.lines) + tuple(note for _ in range(2 * A_LOOK))
    shell.go(Place.LOG)
    spot = shell.front
    found = spot.found()
    spot.query = "needle"
    spot._found = None
    found = spot.found()
    found.hay.lines = tuple(reversed(many))
    shell.draw(STANDARD)
    assert (found.known, found.done) == (0, False)
    assert "so far" in page().text()
    for _ in range(4):
        shell.tick()
    assert (found.known, found.done) == (1, True)


def test_a_month_finds_its_days_and_no_other(evening, press, page):
    days = [event.local for event in evening.front.found().lines]
    for typed in ("2032-04", "April", "apr", "April 2032"):
        press("f", typed, "enter")
        assert f"{sum(day.month == 4 for day in days)} of {len(days)} lines found" in page().text()
        press("escape")
    press("f", "4 May", "enter")  # not the 14th, nor every line with a 4 in it
    assert (
        f"{sum((day.day, day.month) == (4, 5) for day in days)} of {len(days)} lines found" in page().text()
    )


def test_r_leaves_the_runs_a_site_s_name_narrows_them_and_esc_shows_all(evening, press, page, look):
    press("r")
    assert "2 of 37 lines found" in page().text()
    all_sizes(evening, look)
    press("f", "bottom", "enter")
    assert "1 of 37 lines found" in page().text()
    assert "45 min, D2" in page().text()
    all_sizes(evening, look)
    assert "Esc shows all" in page(TINY).text()
    assert "1 of 37" in page(TINY).text()  # the header has no room for it there
    press("escape")
    assert "37 lines in short" in page().text()


def test_a_boat_s_name_finds_her_runs_among_all_boats(shell, clock, press, page):
    for boat in ("tansy", "bulrush"):
        start = shell.desk.keep("run.started", {"pack": "D2"}, slug=boat)
        clock.advance(600)
        shell.desk.keep("run.ended", {"pack": "D2"}, slug=boat, run=start.id)
    shell.push(Log(shell, everybody=True))
    press("r")
    assert "2 of " in page().text()
    press("f", shell.desk.name("bulrush"), "enter")
    assert "1 of " in page().text()
    press("enter")
    assert shell.front.event.boat == "bulrush"


def test_no_word_is_cut_in_the_list(evening, press, page):
    press("f", "a long question that nobody would ever find an answer to", "enter")
    for layout in (STANDARD, SMALL, TINY, WIDE):
        assert not any(">" in line for line in page(layout).lines()[2:])
    press("escape")
    for layout in (STANDARD, SMALL, TINY, WIDE):
        for _ in range(3):
            assert not any(">" in line[1:] for line in page(layout).lines()[3:])
            press("pagedown")
        press("home")


def test_a_line_is_put_into_words_once_and_a_date_before_any(evening, press, page, monkeypatch):
    told = []
    real = log_search.said
    monkeypatch.setattr(
        log_search, "said", lambda event, around: told.append(event.id) or real(event, around)
    )
    press("f", "2032-04", "enter")
    page()
    assert told == []
    press("escape", "f", "bottom", "enter")
    page()
    assert len(told) == 37
    press("escape", "f", "dived", "enter")
    page()
    assert len(told) == 37


# -- pages --------------------------------------------------------------------------------------------------------------------


def test_the_page_of_a_run(evening, press, page, look, golden):
    press("down", "down", "enter")
    assert isinstance(evening.front, RunPage)
    text = page().text()
    for words in (
        "08:41 to 09:26, 45 min", "Withy Pond, fresh", "2.4 A h, give or take 1.2, minutes times her current at",
        "1.2 m, give or take 0.2, guessed",
        "a teaspoon, aft, opened, 0.01 mL allowed", "09:10 touched bottom", "dived", "the list after this run is not answered",
        "32 min, 5 ballast cycles",
    ):  # fmt: skip
        assert words in text
    golden("log-run", page())
    all_sizes(evening, look)
    press("escape")
    assert evening.front is evening.spot(Place.LOG)


def test_the_page_of_a_run_with_everything(shell, clock, press, page, look):
    desk = shell.desk
    desk.keep("day.opened", {"site": "withy-pond", "water": "fresh"}, everybody=True)
    desk.keep("charged", {"pack": "D2", "to": "full"}, everybody=True)
    start = desk.keep("run.started", {"pack": "D2", "limits": {"minutes": 47.0, "keel": 0.8}})
    mark = desk.keep("mark", {"kind": None}, run=start.id)
    desk.keep("mark", {"kind": None}, run=start.id)
    desk.keep("signal", {"kind": "lost", "distance": {"si": 40}}, run=start.id)
    desk.keep(
        "failsafe.tripped",
        {"trigger": "signal lost", "real": True, "channels": {"ballast": False}},
        run=start.id,
    )
    clock.advance(2520)
    desk.keep(
        "run.ended",
        {"pack": "D2", "deepest": {"si": 0.7, "u95": 0.1, "how": "seen"}, "reason": "plan"},
        run=start.id,
    )
    desk.keep("mark.named", {"of": mark.id, "kind": "glitch", "text": "by the reeds"}, run=start.id)
    desk.keep("check.answered", {"list": "after-run", "line": "shaft", "answer": "clear"}, run=start.id)
    desk.keep("check.ended", {"list": "after-run", "left": "rain", "open": ["volts"]}, run=start.id)
    clock.advance(3600)
    desk.keep("charged", {"pack": "D2", "to": "full", "charge": {"si": 7200}}, everybody=True)
    shell.go(Place.LOG)
    text = ""
    while "42 min" not in text:
        press("down")
        text = next(line for line in page().lines() if line.startswith(">"))
    press("enter")
    words = " ".join(page().text().split())
    for wanted in (
        "put back by the charger", "at most 47 min, keel 0.8 m", "lost, 40 m off", "WRONG: ballast", "glitch: by the reeds",
        "no words put to it yet", "was left: rain; open: volts", "shaft (after the run): clear",
    ):  # fmt: skip
        assert wanted in words
    all_sizes(shell, look)


def test_a_run_that_is_still_on_and_one_whose_start_is_gone(shell, press, page, look):
    shell.desk.keep("run.started", {"pack": "D2"})
    shell.desk.keep("run.ended", {"pack": "D2"}, run="01ca0a36-4b40-7014-8000-000000000014")
    shell.go(Place.LOG)
    assert "run ended" in page().text()
    press("enter")
    all_sizes(shell, look)
    press("escape", "down", "enter")
    assert "she is still out" in page().text()
    all_sizes(shell, look)


def test_the_page_of_an_event_says_when_it_was_written_and_how_sure(evening, press, page, look):
    evening.desk.keep("radio.changed", {"changed": ["bound"]}, happened="2032-05-03T19:00:00+01:00 ± 30 min")
    press("f", "radio", "enter", "enter")
    assert isinstance(evening.front, EventPage)
    text = page().text()
    assert "Mon 3 May 2032 19:00, give or take 30 min" in text
    assert "Written" in text
    assert "bound" in text
    all_sizes(evening, look)


@pytest.mark.parametrize(
    ("what", "data", "words"),
    [
        ("charged", {"pack": "D2", "charge": {"si": 7920, "u95": 360}}, "2.2 A h, give or take 0.1"),
        ("run.ended", {"shaft_time": 1800, "deepest": {"si": 0.9, "how": "seen"}}, "30 min"),
        ("incident", {"step": "stuck", "depth": {"si": 1.2, "u95": 0.2}}, "1.2 m, give or take 0.2"),
        ("defect.opened", {"defect": "weeps", "stops_launch": True}, "yes"),
        ("closed", {"which": ["a", "b"], "count": 2, "gauge": {"si": None, "state": "skipped"}}, "skipped"),
        ("failsafe.tripped", {"channels": {"throttle": True}, "seconds": 1.5}, "throttle yes"),
    ],
)
def test_the_data_of_an_event_in_words(shell, press, page, what, data, words):
    shell.desk.keep(what, data)
    shell.go(Place.LOG)
    press("v", "enter")
    assert words in page().text()


def test_a_long_page_is_walked_with_the_arrows(shell, press, page, look):
    shell.desk.keep("note", {"text": "a long story, told at length " * 60})
    shell.go(Place.LOG)
    press("enter")
    first = page().text()
    assert "more lines: down" in first
    press("down", "pagedown", "up")
    assert page().text() != first
    press(*["pagedown"] * 9)
    assert "the end: up goes back" in page().text()
    all_sizes(shell, look)


# -- corrections --------------------------------------------------------------------------------------------------------------


def test_a_line_is_made_void_with_a_reason_and_stays_in_the_log(evening, press, page, look):
    press("f", "bottom", "enter", "enter", "x")
    assert "Why does this line not count?" in page().text()
    all_sizes(evening, look)
    press("enter")  # no reason, no correction
    assert "Why does this line not count?" in page().text()
    press("typed twice", "enter")
    assert "does not count any more" in page().text()
    loaded = load(evening.desk.session.home, "tansy")
    (correction,) = loaded.corrections
    assert correction.payload()["void"] is True
    assert correction.payload()["why"] == "typed twice"
    assert correction.boat == "tansy"
    assert not any(event.what == "incident" for event in loaded.events)
    assert any(event.what == "incident" for event in loaded.lines)
    assert "x does not count" not in page().text()
    press("escape", "escape", "v")
    assert "void:" in page().text()


def test_the_depth_proved_comes_back_when_the_water_is_void(evening, press):
    assert evening.desk.proofs().dry_depth == 0.5
    press("f", "teaspoon", "enter", "enter", "x", "it was the towel", "enter")
    assert evening.desk.proofs().dry_depth == pytest.approx(0.8)
    assert not evening.desk.proofs().defects


def test_escape_leaves_the_reason_and_corrects_nothing(evening, press):
    press("enter", "x", "no", "escape", "escape")
    assert isinstance(evening.front, EventPage)
    assert not load(evening.desk.session.home, "tansy").corrections


def test_the_log_s_own_lines_are_not_corrected(shell, press, page):
    shell.desk.keep("note", {"text": "x"})
    shell.go(Place.LOG)
    press("v", "end", "enter")
    assert "log opened" in page().text()
    assert "x does not count" not in page().text()
    press("x")
    assert not load(shell.desk.session.home, "tansy").corrections


# -- all boats --------------------------------------------------------------------------------------------------------------


def test_g_on_boats_shows_every_boat_and_shared_lines_once(evening, press, page, look):
    evening.desk.keep("note", {"text": "grease runs low"}, slug="bulrush")
    evening.go(Place.BOATS)
    press("g")
    text = page().text()
    assert "All boats" in text
    assert "BULRUSH" in text
    assert "TANSY" in text
    days = [line for line in rows(page()) if "Withy Pond" in line]
    assert len(days) == 1
    assert "all boats" in days[0]
    all_sizes(evening, look)
    press("enter")
    assert "grease runs low" in page().text()
    press("x", "not so", "enter")
    assert load(evening.desk.session.home, "bulrush").corrections
    press("escape", "escape")
    assert evening.here is Place.BOATS


def test_g_needs_no_boat_in_hand(evening, press, page):
    evening.desk.slug = None
    evening.go(Place.BOATS)
    press("g", "down", "down", "enter")
    assert "Log: run" in page().text()


async def test_the_real_application_shows_it(evening, look):
    app = Divelog(evening)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f", *"run", "enter")
        await pilot.pause()
        assert look.strip_problems(look.screen_strips(app), 80) == []
        assert "lines found" in app.canvas.page.text()
        await pilot.press("enter")
        await pilot.pause()
        assert "Log: run" in app.canvas.page.text()
