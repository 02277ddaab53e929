"""Upkeep and wear: rows in their groups, what is done now, charts with their cuts, every boat."""

from __future__ import annotations

from datetime import timedelta

import pytest

from divelog.app.application import Divelog
from divelog.app.look.layout import LAYOUTS, STANDARD, Place
from divelog.app.look.words import Status
from divelog.app.spots.upkeep import EveryBoat, Upkeep
from divelog.app.spots.wear import ItemPage, fitting
from divelog.app.upkeep_rows import grouped, items_of, pack_item
from divelog.journal.loading import load
from divelog.profiles.document import Num
from divelog.session.tending import Holding, tend

SECONDS = (40.1, 41.2, 41.0, 42.3, 43.4, 43.1, 44.9, 45.2, 46.6, 46.9)


def all_sizes(shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii()):
        assert look.problems(shell.draw(layout)) == [], layout.name


def names(shell) -> list[str]:
    return [item.name for item in shell.front._items()]


@pytest.fixture
def evening(worked, clock, shell):
    """The worked journal, at ten past eight in the evening of 4 May; Upkeep in front."""
    clock.advance(12 * 3600 + 6 * 60)
    shell.go(Place.UPKEEP)
    return shell


@pytest.fixture
def slow(shell, clock):
    """Bulrush-like wear on Tansy: four readings before a new piston, ten after it, a run of 30 cycles for each."""
    desk = shell.desk
    clock.advance(12 * 3600 + 6 * 60)
    now = desk.now()

    def run(days: float) -> None:
        at = now - timedelta(days=days)
        start = desk.keep("run.started", {"pack": "D2"}, happened=(at - timedelta(hours=2)).isoformat())
        data = {"pack": "D2", "shaft_time": 1500, "cycles": 30}
        desk.keep("run.ended", data, run=start.id, happened=(at - timedelta(hours=1)).isoformat())

    def read(days: float, seconds: float) -> None:
        at = now - timedelta(days=days)
        value = {"si": seconds, "u95": 0.3}
        data = {"path": "ballast.fill_time", "value": value, "conditions": {"volts": 7.6}}
        desk.keep("measured", data, happened=at.isoformat())

    for n, seconds in enumerate((43.1, 44.0, 45.2, 45.9)):
        run(60 - n)
        read(60 - n, seconds)
    desk.keep("fitted", {"part": "piston"}, happened=(now - timedelta(days=53)).isoformat())
    for n, seconds in enumerate(SECONDS):
        run(40 - 2 * n)
        read(40 - 2 * n, seconds)
    shell.go(Place.UPKEEP)
    return shell


# -- rows -----------------------------------------------------------------------------------------------------------------


def test_rows_stand_in_three_groups_worst_first(evening, page, look, golden):
    items = evening.front._items()
    assert [item.group for item in items] == sorted(item.group for item in items)
    assert names(evening)[:2] == ["dry_long", "joints"]
    text = page().text()
    for words in (
        "1.0 h, 2 runs",
        "long leak test",
        "touched bottom",
        "drop at each joint",
        "23 d        every 30 d",
    ):
        assert words in text
    golden("upkeep", page())
    all_sizes(evening, look)


def test_an_empty_row_parts_the_groups_and_digits_count_on(evening):
    items = evening.front._items()
    listed = grouped(items[:9])
    digits = [row.number for row in listed if row is not None]
    assert digits == [str(n) for n in range(1, 10)]
    cuts = [n for n, row in enumerate(listed) if row is None]
    assert cuts == [2]


def test_a_service_at_its_interval_is_outside_and_the_one_block(evening, page, look, clock):
    clock.advance(8 * 86400)
    item = next(item for item in evening.front._items() if item.name == "shaft_grease")
    assert item.status is Status.OUTSIDE
    assert evening.front._items()[0] is item
    drawn = page()
    assert "X OUTSIDE" in drawn.text()
    assert len(look.blocks(drawn)) == 1
    all_sizes(evening, look)


def test_the_same_rows_as_the_command_line(evening):
    desk = evening.desk
    rows = {row.item: row for row in tend(desk.session, "tansy", desk.now()).care.rows}
    shown = {item.name: item for item in evening.front._items() if item.due is not None}
    assert {name: item.due for name, item in shown.items()} == rows


def test_a_pack_is_set_beside_what_it_must_hold():
    ah = 3600.0
    known = pack_item(Holding("D2", Num(4.7 * ah, 0.1 * ah), "2032-02-10", 4.0 * ah))
    assert (known.status, known.row.reading, known.row.limit) == (Status.WITHIN, "4.7 A h", "at least 4.0")
    assert pack_item(Holding("D2", Num(3.9 * ah), "", 4.0 * ah)).status is Status.OUTSIDE
    assert pack_item(Holding("D2", Num(4.05 * ah, 0.1 * ah), "", 4.0 * ah)).status is Status.TOO_CLOSE
    nobody = pack_item(Holding("R1", None, "", 1.0))
    assert (nobody.status, nobody.row.limit) == (Status.UNKNOWN, "no capacity test")
    assert pack_item(Holding("R1", Num(1.0), "", None)).row.limit == "no label to compare with"


def test_nine_rows_a_page_and_the_focus_turns_it(evening, press, page):
    count = len(evening.front._items())
    assert count > 9
    first = page().text()
    assert f"down 9 of {count}" in first
    press(*["down"] * 9)
    assert page().text() != first
    assert evening.front.top == 9
    press("pageup")
    assert page().text() == first
    assert evening.front.top == 0
    press("pagedown", "up")
    assert any(line.startswith(">") for line in page().lines())


# -- done now ---------------------------------------------------------------------------------------------------------------


def test_d_then_a_digit_writes_the_service_with_its_hours(evening, press, page, look):
    digit = str(names(evening).index("shaft_grease") + 1)
    press("d")
    assert "which one? Its digit; Esc for none" in page().text()
    all_sizes(evening, look)
    press(digit)
    event = load(evening.desk.session.home, "tansy").events[-1]
    assert event.what == "serviced"
    assert event.payload()["item"] == "shaft_grease"
    assert event.payload()["hours_at"]["si"] == pytest.approx(1800 + 1920)  # shaft seconds of both runs
    assert "shaft grease done now, at 1.0 h" in page().text()
    row = next(item for item in evening.front._items() if item.name == "shaft_grease")
    assert row.due.used == 0
    all_sizes(evening, look)


def test_a_seal_that_was_seen_to_was_lifted_and_is_to_be_proved_dry(evening, press, page):
    assert evening.desk.proofs().get("trim").stands
    before = evening.desk.proofs()
    assert before.get("faces").stands is False
    digit = str(names(evening).index("seal.aft_cap") + 1)
    press("d", digit)
    event = load(evening.desk.session.home, "tansy").events[-1]
    assert event.payload()["seals"] == ["aft cap"]
    assert "proved dry again" in " ".join(page().text().split())


def test_a_proof_is_not_done_by_a_word(evening, press, page):
    press("d", "1")
    assert "c goes to Checks" in " ".join(page().text().split())
    assert load(evening.desk.session.home, "tansy").events[-1].what != "serviced"


@pytest.mark.parametrize("key", ["escape", "down", "n"])
def test_d_then_anything_else_does_nothing(evening, press, page, key):
    press("d", key)
    assert not any(
        e.what == "serviced" and e.when.day == 4 for e in load(evening.desk.session.home, "tansy").events
    )
    assert "which one?" not in page().text()


# -- wear -------------------------------------------------------------------------------------------------------------------


def test_the_wear_of_the_picture(slow, press, page, look, golden):
    item = next(item for item in slow.front._items() if item.name == "ballast.fill_time")
    assert "slower a piston hour" in page().text()
    press(str(names(slow).index(item.name) + 1))
    assert isinstance(slow.front, ItemPage)
    text = page().text()
    for words in (
        "Upkeep: wear",
        "46.9 s, at most",
        "slower a piston hour",
        "piston renewed 12 March",
        "o  before",
        "since",
        "10 like readings",
    ):
        assert words in text
    assert text.count("o") > 4
    golden("wear", page())
    all_sizes(slow, look)


def test_done_now_begins_the_series_anew(slow, press, page, look):
    press(str(names(slow).index("ballast.fill_time") + 1), "d")
    assert "Enter says yes" in page().text()
    all_sizes(slow, look)
    press("escape")
    assert load(slow.desk.session.home, "tansy").events[-1].what != "serviced"
    press("d", "enter")
    event = load(slow.desk.session.home, "tansy").events[-1]
    assert (event.what, event.payload()["item"]) == ("serviced", "ballast")
    text = page().text()
    assert "no reading" in text
    assert "ballast seen to 4 May" in text
    all_sizes(slow, look)
    press("escape")
    all_sizes(slow, look)


def test_an_item_without_readings_shows_when_it_was_seen_to(evening, press, page, look):
    press(str(names(evening).index("shaft_grease") + 1))
    text = page().text()
    assert "23 of 30 d; 1.03 of 4 h; due 11 May 2032" in text
    assert "11 Apr 2032" in text
    assert "seen to, silicone, 1.2 mL" in text
    all_sizes(evening, look)
    press("d", "enter")
    assert "4 May 2032" in page().text()
    assert "Kept" in page().text()
    all_sizes(evening, look)


def test_a_proof_shows_when_it_was_given(evening, press, page, look):
    press("1")
    text = page().text()
    assert "to prove: touched bottom" in text
    assert "18 Apr 2032" in text
    assert "d done now" not in text
    press("d", "enter")
    assert load(evening.desk.session.home, "tansy").events[-1].what != "serviced"
    all_sizes(evening, look)


def test_a_seal_shows_when_it_was_renewed(evening, press, page, look):
    evening.desk.keep("fitted", {"part": "seal", "item": "aft cap"}, happened="2032-05-02T10:00:00+01:00")
    press(str(names(evening).index("seal.aft_cap") + 1))
    assert "renewed" in page().text()
    all_sizes(evening, look)


def test_whole_sentences_only():
    assert fitting(["One.", "Two."], 20) == "One. Two."
    assert (
        fitting(["A sentence of some length."] * 3, 26, most=2)
        == "A sentence of some length. A sentence of some length."
    )
    assert fitting(["Far too long for it."], 3) == "Far too long for it."
    assert fitting([], 10) == ""


# -- every boat -----------------------------------------------------------------------------------------------------------


def test_every_boat_with_what_is_worst_about_her(evening, press, page, look):
    press("v")
    assert isinstance(evening.front, EveryBoat)
    text = page().text()
    for name in ("BRAMBLE", "BULRUSH", "JUNIPER", "TANSY"):
        assert name in text
    assert len(look.blocks(page())) <= 1
    all_sizes(evening, look)
    press("down", "up", "1")
    assert evening.desk.slug == evening.desk.boats[0]
    assert isinstance(evening.front, Upkeep)
    all_sizes(evening, look)


def test_k_on_boats_opens_every_boat(evening, press, page):
    evening.go(Place.BOATS)
    press("k")
    assert isinstance(evening.front, EveryBoat)
    press("escape")
    assert evening.here is Place.BOATS


def test_every_sample_boat_has_upkeep(shell, look):
    for slug in shell.desk.boats:
        shell.change_boat(slug)
        shell.go(Place.UPKEEP)
        all_sizes(shell, look)
        for digit in "123456789":
            shell.press(digit)
            all_sizes(shell, look)
            shell.press("escape")


def test_without_a_boat_it_asks_for_one(shell, press, page):
    shell.desk.slug = None
    shell.go(Place.UPKEEP)
    assert "Take a boat first" in page().text()
    press("d", "1")


def test_rows_are_kept_until_the_log_changes(evening):
    spot = evening.front
    first = spot._items()
    assert spot._items() is first
    evening.desk.keep("serviced", {"item": "terminals"})
    again = spot._items()
    assert again is not first
    assert items_of(spot.tending.of("tansy")[0]) == again


async def test_the_real_application_shows_it(slow, look):
    app = Divelog(slow)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1")
        await pilot.pause()
        assert look.strip_problems(look.screen_strips(app), 80) == []
        await pilot.press("escape", "v")
        await pilot.pause()
        assert "All boats" in app.canvas.page.text()


def test_the_row_in_focus_says_when_it_falls_due(evening, press, page, look):
    index = names(evening).index("shaft_grease")
    press(*["down"] * index)
    # 11 April + 30 days is 11 May: days bind, not the hour of 4 used
    assert "Shaft grease: 23 of 30 d; 1.03 of 4 h; due 11 May 2032." in page().text()
    press(*["down"] * (names(evening).index("linkages") - index))
    assert "Linkages: no service written down." in page().text()
    all_sizes(evening, look)
    press("enter")
    assert "no service written down; every 10 h" in page().text()
    all_sizes(evening, look)


def test_one_that_is_due_says_so(evening, press, page, clock):
    clock.advance(8 * 86400)
    assert "Shaft grease is due: 31 d since, every 30 d." in page().text()
    press("v")
    assert "shaft grease 31 of 30 d" in page().text()


def test_a_set_that_fails_two_boats_is_named_on_the_page_of_every_boat(evening, press, page, look, clock):
    desk = evening.desk
    for boat in ("tansy", "bramble"):
        start = desk.keep("run.started", {"transmitter": "tx-a", "receiver": f"rx-{boat}"}, slug=boat)
        desk.keep("signal", {"kind": "drop"}, slug=boat, run=start.id)
        clock.advance(60)
        desk.keep("run.ended", {"reason": "plan"}, slug=boat, run=start.id)
    evening.below("upkeep of all")
    text = " ".join(page().text().split())
    assert "Set tx-a: signal trouble in 2 boats (bramble 1, tansy 1), 2 of its 4 runs." in text
    all_sizes(evening, look)
