"""What happened: ten short forms, each writing one right event; and defects, closed with the check that proved it."""

from __future__ import annotations

import pytest

from divelog.app.application import Divelog
from divelog.app.look.layout import LAYOUTS, STANDARD, Place
from divelog.app.spots.defects import CloseDefect, Defects
from divelog.app.spots.happened import FORMS, WhatHappened
from divelog.app.spots.not_kept import NotKept
from divelog.files import StorageError, StorageKind
from divelog.journal.kinds import FIELDS
from divelog.journal.loading import load


@pytest.fixture
def at_log(shell, clock):
    """Log in front, at ten in the morning."""
    clock.advance(2 * 3600)
    shell.go(Place.LOG)
    return shell


def all_sizes(shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii()):
        assert look.problems(shell.draw(layout)) == [], layout.name


def last(shell, slug: str = "tansy"):
    return load(shell.desk.session.home, slug).events[-1]


def test_n_opens_the_list_on_every_page(shell, press, page, look, golden):
    for place in (Place.LOG, Place.UPKEEP, Place.RUN):
        shell.go(place)
        press("n")
        assert isinstance(shell.front, WhatHappened)
        all_sizes(shell, look)
        press("escape")
        assert shell.front is shell.spot(place)
    shell.go(Place.LOG)
    press("n")
    golden("happened", page())
    titles = [
        "opened",
        "fitted",
        "lead moved",
        "radio changed",
        "knocked",
        "charged",
        "serviced",
        "defect",
        "stored",
        "note",
    ]
    assert [form.title for form in FORMS] == titles


NOW: dict[str, tuple[list[str], str, dict]] = {
    "opened": (["1", "2", "4", "enter", "2", "enter", "enter"], "opened", {"which": ["aft cap", "vent plug"], "lifted": True}),
    "a seal": (["2", "1", "enter", "1", "enter", "2", "enter", "enter", "enter"], "fitted",
               {"part": "seal", "item": "aft cap", "seals": ["aft cap"]}),
    "a pump": (["2", "4", "enter", "1", "enter", "12", "enter", "enter"], "fitted",
               {"part": "pump", "mass_change": {"si": pytest.approx(0.012), "u95": 0.0, "typed": "12 g"}, "inside_cylinder": True}),
    "a shaft": (["2", "2", "enter", "1", "enter", "-3 g", "enter", "1", "enter", "enter"], "fitted",
                {"part": "shaft", "mass_change": {"si": pytest.approx(-0.003), "u95": 0.0, "typed": "-3 g"}, "seals": ["shaft"]}),
    "a pack": (["2", "5", "enter", "1", "enter", "enter", "enter", "enter"], "fitted", {"part": "pack"}),
    "lead in": (["3", "1", "enter", "20", "enter", "bow", "enter", "enter"], "mass.moved",
                {"piece": "lead", "mass": {"si": pytest.approx(0.02), "u95": 0.0, "typed": "20 g"}, "from": "ashore", "to": "bow"}),
    "lead out": (["3", "2", "enter", "20", "enter", "enter", "enter"], "mass.moved",
                 {"piece": "lead", "mass": {"si": pytest.approx(0.02), "u95": 0.0, "typed": "20 g"},
                  "from": "inside", "to": "ashore"}),
    "lead within": (["3", "3", "enter", "20", "enter", "stern", "enter", "enter"], "mass.moved",
                    {"piece": "lead", "mass": {"si": pytest.approx(0.02), "u95": 0.0, "typed": "20 g"},
                     "from": "one place", "to": "stern"}),
    "radio": (["4", "1", "6", "enter", "enter"], "radio.changed", {"changed": ["bound", "aerial"]}),
    "knocked": (["5", "4", "enter", "enter"], "knocked", {"kind": "heat"}),
    "charged": (["6", "1", "enter", "1", "enter", "2.2", "enter", "enter"], "charged",
                {"pack": "D2", "to": "full", "charge": {"si": pytest.approx(7920.0), "u95": 0.0, "typed": "2.2 A h"}}),
    "charged, not read": (["6", "2", "enter", "2", "enter", "enter", "enter"], "charged", {"pack": "D3", "to": "storage"}),
    "serviced": (["7", "1", "enter", "silicone, 1 mL", "enter", "1", "enter", "enter"], "serviced",
                 {"item": "shaft_grease", "consumable": "silicone, 1 mL", "seals": ["shaft"]}),
    "the whole boat": (["7", "7", "enter", "enter", "enter", "enter"], "serviced", {"item": "overhaul"}),
    "defect": (["8", "fore cap weeps", "enter", "1", "enter", "enter"], "defect.opened",
               {"defect": "fore cap weeps", "stops_launch": True}),
    "stored": (["9", "1", "enter", "1", "enter", "2", "enter", "enter"], "stored",
               {"packs": "out, at storage state", "rings": "off or loose", "vents": "shut"}),
    "note": (["0", "weed at the east end", "enter", "2", "enter", "enter"], "note",
             {"text": "weed at the east end", "private": False}),
}  # fmt: skip


@pytest.mark.parametrize("name", NOW)
def test_a_form_writes_its_event(at_log, press, page, look, name):
    keys, what, data = NOW[name]
    press("n")
    for key in keys:
        press(key)
        all_sizes(at_log, look)
    event = last(at_log)
    assert event.what == what
    assert event.payload() == data
    assert set(event.payload()) <= FIELDS[what]
    assert event.happened is None
    assert event.boat == (None if what == "charged" else "tansy")  # packs travel between boats
    assert "Kept" in page().text()
    press("enter")
    assert at_log.front is at_log.spot(Place.LOG)


def test_every_form_was_walked():
    assert {what for _, what, _ in NOW.values()} == {form.what for form in FORMS}


def test_a_time_is_typed_where_it_was_earlier(at_log, press, page):
    press("n", "5", "1", "enter", "25:00", "enter")
    assert "no such date or time" in page().text()
    press(*["backspace"] * 5, "30 Apr 19:00 +/- 30 min", "enter")
    event = next(e for e in load(at_log.desk.session.home, "tansy").events if e.what == "knocked")
    assert event.happened == "2032-04-30T19:00:00+01:00 ± 30 min"
    assert event.half_width == 1800


def test_what_it_undoes_is_said(at_log, press, page):
    for line, gives in (("faces", ["faces"]), ("press", ["dry_short"])):
        at_log.desk.keep("check.answered", {"list": "before-dive", "line": line, "gives": gives})
    press("n", "1", "1", "enter", "1", "enter", "enter")
    text = page().text()
    assert "To prove" in text
    assert "seal faces, short leak test" in text


def test_nothing_is_written_before_the_last_answer(at_log, press, page):
    press("n", "5", "2", "enter")
    assert "Enter writes it down." in page().text()
    press("escape")
    assert not load(at_log.desk.session.home, "tansy").events
    assert at_log.front is at_log.spot(Place.LOG)


def test_back_asks_again_and_needed_answers_are_asked_for(at_log, press, page):
    press("n", "1", "enter")
    assert "a digit chooses" in page().text()
    press("1", "1", "enter")  # chosen and taken away again
    assert "a digit chooses" in page().text()
    press("3", "enter")
    assert "Was its ring lifted out" in page().text()
    press("b")
    assert "What was opened" in page().text()
    press("1", "enter", "1", "enter", "backspace")
    assert "Was its ring lifted out" in page().text()
    press("1", "enter", "enter")
    assert last(at_log).payload() == {"which": ["fore cap"], "lifted": False}


def test_a_number_that_is_none_is_said(at_log, press, page, look):
    press("n", "3", "1", "enter", "20 parsecs", "enter")
    assert "Not so" in page().text()
    all_sizes(at_log, look)
    press(*["backspace"] * 10, "enter")
    assert "a few words, or Esc to stop" in page().text()


def test_letters_are_text_where_words_are_asked(at_log, press, page):
    press("n", "0", "tenacious c? /q")
    assert "tenacious:c?:/q_" in page().text()
    assert "t trouble" not in page().text()
    assert at_log.places_open is False


def test_a_full_disk_keeps_the_question(at_log, press, page, monkeypatch):
    press("n", "5", "1", "enter")

    def full(*args, **more):
        raise StorageError(StorageKind.FULL, at_log.desk.session.home.root)

    with monkeypatch.context() as patch:
        patch.setattr(at_log.desk.session.journal, "append", full)
        press("enter")
        assert isinstance(at_log.front, NotKept)
    press("1")
    assert "When was it" in page().text()
    press("enter")
    assert last(at_log).what == "knocked"


def test_without_a_boat_it_asks_for_one(shell, press, page):
    shell.desk.slug = None
    shell.go(Place.LOG)
    press("n", "1")
    assert "Take a boat first" in page().text()


@pytest.mark.parametrize("slug", ["bulrush", "bramble", "juniper"])
def test_every_boat_has_her_own_words(shell, press, page, look, slug):
    shell.change_boat(slug)
    shell.go(Place.LOG)
    for digit in "1234567890":
        press("n", digit)
        for _ in range(4):
            all_sizes(shell, look)
            press("1", "enter")
        while shell.front is not shell.spot(Place.LOG):
            press("escape")


# -- defects -------------------------------------------------------------------------------------------------------------


def test_x_on_boats_opens_what_stops_a_launch(worked, at_log, press, page, look, golden):
    at_log.go(Place.BOATS)
    assert "x defects" in page().text()
    press("x")
    assert isinstance(at_log.front, Defects)
    assert at_log.desk.slug == "tansy"
    text = page().text()
    assert "water inside: a teaspoon, aft" in text
    assert "stops launch until closed" in text
    golden("defects", page())
    all_sizes(at_log, look)


def test_a_defect_is_closed_with_what_proved_it(worked, at_log, press, page, look):
    water = next(
        e
        for e in load(at_log.desk.session.home, "tansy").events
        if e.what == "water.found" and e.payload()["si"]
    )
    at_log.go(Place.BOATS)
    press("x", "1", "1")
    assert isinstance(at_log.front, CloseDefect)
    all_sizes(at_log, look)
    press("new ring, greased", "enter", "6", "enter", "enter")
    event = last(at_log)
    assert event.payload() == {"of": water.id, "words": "new ring, greased", "check": "look"}
    assert not at_log.desk.proofs().defects
    press("enter")
    assert "It is closed." in page().text()
    press("escape")
    assert "No open defect." in page().text()
    all_sizes(at_log, look)
    at_log.go(Place.BOATS)
    assert "x defects" not in page().text()
    press("x")
    assert at_log.here is Place.BOATS


def test_more_defects_than_have_room_are_walked(at_log, press, page, look):
    for n in range(7):
        at_log.desk.keep("defect.opened", {"defect": f"number {n}", "stops_launch": n == 6})
    at_log.below("defects")
    assert "number 6" in page().lines()[4]  # what stops her comes first
    press("down", "down", "down", "up", "9")
    all_sizes(at_log, look)
    assert at_log.front.top == 2


def test_an_overruled_defect_says_why(at_log, press, page):
    defect = at_log.desk.keep("defect.opened", {"defect": "weeps", "stops_launch": True})
    at_log.desk.keep("launch.called", {"open": [], "because": {defect.id: "a foot of water"}})
    at_log.below("defects")
    assert "overruled 4 May: a foot of water" in page().text()


async def test_the_real_application_shows_it(at_log, look):
    app = Divelog(at_log)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n", "0", *"hello", "enter", "1", "enter", "enter")
        await pilot.pause()
        assert look.strip_problems(look.screen_strips(app), 80) == []
        assert "note: hello" in app.canvas.page.text()
    assert last(at_log).payload()["text"] == "hello"
