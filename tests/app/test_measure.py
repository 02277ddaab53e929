"""Measure it now: every guide by its keys, the watch by the clock that counts sleep, what is kept and what it changes."""

from __future__ import annotations

import math

import pytest

from divelog.app import measuring
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, Place
from divelog.app.measure_asks import GUIDE_BY_ID, asks, shown_number, spread_words
from divelog.app.spots.leak_test import LeakTest
from divelog.app.spots.measure import Measure
from divelog.app.spots.measure_list import MeasureList
from divelog.app.spots.tank_trim import TankTrim
from divelog.journal.loading import load
from divelog.limits.guides import GUIDES
from divelog.profiles.facts import field_at

KEYS = {
    "mass": "5.80\r5.82\r5.81\r", "displaced": "\r\r24\r5\r1\r", "ballast volume": "6.18\r5.76\r",
    "dived balance": "24\r5\r1\r", "air inside": "\r\r1.2 L\r", "fill time": "37.6\r38.1\r38.4\r7.7\r",
    "empty time": "35\r35.2\r34.9\r\r", "time up": "14.2\r", "cruise current": "3.1\r", "idle current": "0.3\r",
    "blow current": "2.4\r", "bottom": "1.9\r2.0\r1.8\r", "signal depth": "1.6\r1.5\r1.7\r30\r\r", "paces": "60\r",
    "gas a blow": "150\r140\r", "pack resistance": "8.2\r0.5\r7.9\r5.5\r", "charge put back": "2.2\r42\r",
    "speed": "\r12\r13\r", "righting": "7.5\r50\r4\r1\r", "clarity": "1.4\r1.2\r", "own pace": "15.2\r",
    "water": "430\r", "wall": "3.9\r4.0\r3.95\r",
}  # fmt: skip
"""Keys of each guide; \\r is Enter."""


@pytest.fixture
def day(shell, press):
    """The day typed for Withy Pond, Tansy in hand."""
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    press(str(sites.index("withy-pond") + 1), "11", "enter", "3", "1.1", "enter", "16", "enter")
    press("1", "0.7", "enter", "35", "enter", "40", "enter")
    return shell


def typed(shell, keys: str) -> None:
    for key in keys:
        shell.press({"\r": "enter", " ": "space"}.get(key, key))


def open_guide(shell, name: str) -> Measure:
    spot = Measure(shell, GUIDE_BY_ID[name])
    shell.push(spot)
    return spot


def events(shell, what: str = "measured") -> list:
    return [e for e in load(shell.desk.session.home, shell.desk.slug).events if e.what == what]


# -- every guide ----------------------------------------------------------------------------------------------------


def test_every_guide_has_its_keys_here():
    assert set(KEYS) == {g.id for g in GUIDES}


@pytest.mark.parametrize("name", sorted(KEYS))
def test_a_guide_by_its_keys_ends_in_a_measured_event(day, page, look, name):
    spot = open_guide(day, name)
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    typed(day, KEYS[name])
    assert spot.outcome is not None, page().text()
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    before = len(events(day))
    outcome = spot.outcome
    day.press("enter")
    found = events(day)
    assert len(found) == before + 1
    data = found[-1].payload()
    assert data["path"] in GUIDE_BY_ID[name].paths
    assert data["method"] == name
    assert data["value"]["si"] == pytest.approx(outcome.num.si)
    assert data["value"]["u95"] > 0
    assert field_at(data["path"]) is not None
    assert day.front is not spot


@pytest.mark.parametrize("guide", GUIDES, ids=lambda g: g.id)
def test_a_guide_says_what_it_needs_in_five_lines_at_most(day, page, guide):
    open_guide(day, guide.id)
    text = page().text()
    assert guide.needs in text
    assert len(guide.how) <= 5
    assert f"1  {guide.how[0][:40]}" in text


@pytest.mark.parametrize(
    ("name", "si"),
    [
        ("mass", 5.81),
        ("ballast volume", 0.42 / 999.608),
        ("dived balance", 0.024 * (1 - 999.608 / 7850)),
        ("air inside", math.pi / 4 * 0.1**2 * 0.56 - 1.2e-3),
        ("fill time", 38.0333),
        ("bottom", 2.0),
        ("signal depth", 1.5),
        ("gas a blow", 0.002),
        ("pack resistance", 0.3 / 5),
        ("charge put back", 2.2 * 3600 / (42 * 60)),
        ("speed", 2 * 7.5 / 25),
        ("clarity", 1.3),
        ("own pace", 0.76),
        ("water", 0.043),
        ("wall", 0.0039),
    ],
)
def test_the_arithmetic_is_the_programs(day, name, si):
    """By hand; density of fresh water at 11 degC 999.608 kg/m3 (IAPWS-95), steel 7850 kg/m3 (handbook value)."""
    spot = open_guide(day, name)
    typed(day, KEYS[name])
    assert spot.outcome.num.si == pytest.approx(si, rel=1e-4)


def test_inclining_by_hand(day):
    """By hand: 7.5 g (1 - 999.6/7850) x 50 mm / (6.1798 kg x tan 4 deg) = 0.7573 mm; 6.1798 = 5.76 + 0.42 x 0.999608."""
    spot = open_guide(day, "righting")
    typed(day, KEYS["righting"])
    assert spot.outcome.num.si == pytest.approx(0.7573e-3, rel=2e-4)
    assert spot.outcome.num.u95 == pytest.approx(0.2 * spot.outcome.num.si)


# -- the watch ------------------------------------------------------------------------------------------------------


def test_space_times_by_the_clock_that_counts_sleep(day, clock, page, golden):
    spot = open_guide(day, "fill time")
    day.press("space")
    assert "running: Space stops it" in page().text()
    clock.set_wall(clock.now().replace(year=2033))  # the wall clock jumps; the watch does not
    clock.set_wall(clock.now().replace(year=2032))
    clock.advance(37.64)
    day.press("space")
    assert "37.6_" in page().text()
    golden("measure-timed", page())
    day.press("enter")
    assert spot.told["reading 1"].num.si == pytest.approx(37.6)


def test_a_running_watch_shows_no_running_digits(day, clock, page, look):
    open_guide(day, "time up")
    day.press("space")
    before = page()
    clock.advance(7)
    assert look.changed_cells(before, page()) == set()


def test_esc_stops_a_running_watch_and_nothing_is_read(day, page):
    spot = open_guide(day, "time up")
    day.press("space")
    day.press("escape")
    assert spot.started is None
    assert day.front is spot
    assert "Space starts the watch" in page().text()


def test_while_the_watch_runs_no_other_key_leads_away(day):
    spot = open_guide(day, "time up")
    day.press("space")
    for key in "tcgkadq?":
        day.press(key)
    assert day.front is spot
    assert spot.started is not None


# -- answers --------------------------------------------------------------------------------------------------------


def test_repeats_that_lie_apart_widen_the_spread(day, page):
    spot = open_guide(day, "mass")
    typed(day, "5.70\r5.90\r5.80\r")
    assert spot.outcome.num.u95 == pytest.approx(1.304 * 0.2)
    assert "give or take 0.3" in page().text()
    assert "read 5.7, 5.9, 5.8" in page().text()


def test_b_goes_back_r_begins_again_u_leaves_what_may_be_left(day, page):
    spot = open_guide(day, "fill time")
    typed(day, "37\r38\r")
    day.press("b")
    assert list(spot.told) == ["reading 1"]
    typed(day, "38\r39\r")
    day.press("u")
    assert spot.outcome is not None
    day.press("b")
    assert spot.outcome is None
    assert "Volts at the plug" in page().text()
    day.press("r")
    assert spot.told == {}
    day.press("u")
    assert "nothing comes of this" in page().text()
    assert spot.told == {}


def test_readings_that_cannot_be_are_said_in_words(day, page):
    spot = open_guide(day, "pack resistance")
    typed(day, "8.2\r0.5\r8.3\r5.5\r")
    assert spot.outcome is None
    assert "do not fall under the larger load" in page().text()
    assert spot.ask.name == "current 2"
    day.press("b")
    typed(day, "7.9\r5.5\r")
    assert spot.outcome is not None


def test_a_slip_of_the_keyboard_is_told_what_is_wanted(day, page):
    open_guide(day, "signal depth")
    typed(day, "1.6 kg\r")
    assert "wanted a length" in page().text()


def test_other_units_and_a_decimal_comma(day):
    spot = open_guide(day, "speed")
    typed(day, "8 m\r12,5\r")
    assert spot.told["course"].num.si == pytest.approx(8.0)
    assert spot.told["course"].dimension == "length"
    assert spot.told["reading 1"].num.si == pytest.approx(12.5)


def test_a_blow_caught_in_a_jug(day):
    spot = open_guide(day, "ballast volume")
    typed(day, "410 mL\r\r")
    assert spot.outcome.num.si == pytest.approx(410e-6)
    typed(day, "r6.18\r\r")
    assert spot.outcome is None  # one weighing alone says nothing


# -- what it changes, and where it goes -----------------------------------------------------------------------------


def test_the_result_shows_the_limit_before_and_after(day, page, golden):
    spot = open_guide(day, "signal depth")
    typed(day, "1.1\r1.0\r1.2\r30\r\r")
    before = day.desk.limit("radio.control_depth").shown
    assert any(was == before for _, was, _ in spot.changes)
    assert f"{before}, then " in page().text()
    golden("measure-result", page())


@pytest.mark.parametrize("name", sorted(KEYS))
def test_what_is_promised_is_what_comes_of_it(day, name):
    spot = open_guide(day, name)
    typed(day, KEYS[name])
    promised = spot.changes
    before = {(x.key, x.item): measuring._said(x) for x in day.desk.limits()}
    day.press("enter")
    changed = {
        (measuring._title(x), before[x.key, x.item], measuring._said(x))
        for x in day.desk.limits()
        if (x.key, x.item) in before and before[x.key, x.item] != measuring._said(x)
    }
    assert changed == set(promised)


def test_coins_are_kept_with_the_water_they_were_laid_in(day):
    open_guide(day, "dived balance")
    typed(day, KEYS["dived balance"] + "\r")
    conditions = events(day)[-1].payload()["conditions"]
    assert conditions["temperature"]["si"] == pytest.approx(284.15)
    assert conditions["water"] == "fresh"
    assert day.desk.facts().get("boat.trimmed_at.temperature").value.si == pytest.approx(284.15)


def test_volts_stand_beside_a_time(day):
    open_guide(day, "fill time")
    typed(day, KEYS["fill time"] + "\r")
    assert events(day)[-1].payload()["conditions"]["volts"]["si"] == pytest.approx(7.7)


def test_what_belongs_to_a_pack_counts_for_every_boat(day):
    open_guide(day, "pack resistance")
    typed(day, KEYS["pack resistance"] + "\r")
    event = events(day)[-1]
    assert event.boat is None
    assert event.payload()["item"] == "D2"


def test_the_depth_of_a_pond_goes_into_its_file_under_its_hand(day, home):
    path = home.site_file("withy-pond")
    before = path.read_text(encoding="utf-8")
    open_guide(day, "bottom")
    typed(day, KEYS["bottom"])
    assert "into the file of Withy Pond" in day.draw(STANDARD).text()
    day.press("enter")
    after = path.read_text(encoding="utf-8")
    assert day.desk.facts().get("site.bottom").value.si == pytest.approx(2.0)
    assert [line for line in before.split("\n") if "bottom" not in line] == [
        line for line in after.split("\n") if "bottom" not in line
    ]


def test_clarity_goes_into_the_day_for_every_boat(day):
    open_guide(day, "clarity")
    typed(day, KEYS["clarity"] + "\r")
    assert day.desk.day("bulrush").facts["water.clarity"].value.si == pytest.approx(1.3)
    assert day.desk.draft == {}


def test_without_a_day_the_days_guides_ask_for_it_first(shell, page):
    open_guide(shell, "clarity")
    assert "day is not open yet" in page().text()
    shell.press("d")
    assert "Limits: day" in page().text()


def test_without_a_day_coins_ask_for_the_water(shell):
    assert [q.name for q in asks(GUIDE_BY_ID["dived balance"], shell.desk)][-1] == "water"
    spot = open_guide(shell, "dived balance")
    typed(shell, "24\r5\r1\r11\r")
    assert spot.outcome.num.si == pytest.approx(0.024 * (1 - 999.608 / 7850), rel=1e-5)
    assert spot.outcome.conditions["temperature"]["si"] == pytest.approx(284.15)


def test_nothing_kept_leaves_the_result_standing(day, page, monkeypatch):
    from divelog.files import StorageError, StorageKind

    spot = open_guide(day, "time up")
    typed(day, "14\r")

    def full(*args: object, **kwargs: object) -> None:
        raise StorageError(StorageKind.FULL, day.desk.session.home.logbook)

    with monkeypatch.context() as broken:
        broken.setattr(day.desk.session, "append", full)
        day.press("enter")
        assert "X NOT KEPT" in page().text()
        day.press("1")
    assert day.front is spot
    day.press("enter")
    assert len(events(day)) == 1


# -- the list -------------------------------------------------------------------------------------------------------


def test_the_list_puts_what_would_help_first(day, page, look):
    day.press("m")
    spot = day.front
    assert isinstance(spot, MeasureList)
    assert tuple(o.title for o in spot.found if o.gains)[:3] == tuple(
        g.guide.title for g in day.desk.measure_next()
    )
    assert len(spot.found) == len(GUIDES) + 2
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    titles = []
    while True:
        titles += [o.title for o in spot.found[spot.top : spot.top + 9]]
        top = spot.top
        day.press("down")
        if spot.top == top:
            break
        assert look.problems(page()) == []
    assert set(titles) == {g.title for g in GUIDES} | {"leak test", "tank trim"}


def test_a_digit_opens_a_guide_and_keeping_comes_back_to_the_list(day):
    day.press("m")
    listed = day.front
    number = next(n for n, o in enumerate(listed.found, 1) if o.title == "time her up")
    assert number <= 9
    day.press(str(number))
    assert isinstance(day.front, Measure)
    typed(day, "14.2\r\r")
    assert day.front is listed


def test_why_opens_the_guide_of_an_input(day):
    day.press("2")
    why = day.front
    rests = [row.input.path for row in why._parts(why.limit())]
    why.focus = rests.index("today.water.clarity")
    day.press("m")
    assert isinstance(day.front, Measure)
    assert day.front.guide.id == "clarity"


# -- leak test ------------------------------------------------------------------------------------------------------


def start_leak(shell) -> LeakTest:
    spot = LeakTest(shell)
    shell.push(spot)
    typed(shell, "20\r17.2\r1013\r")
    return spot


def test_the_leak_test_says_gauge_hold_and_cautions(day, page, look, golden):
    day.push(LeakTest(day))
    text = page().text()
    assert "+20 kPa" in text
    assert "Caution" in text
    assert "10 minutes" in text
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    golden("leak-start", page())


def test_a_whole_leak_test(day, clock, page, look, golden):
    spot = start_leak(day)
    assert spot.start is not None
    clock.advance(1200)
    assert "Long enough" in page().text()
    day.press("enter")
    typed(day, "19.5\r17.0\r1013.2\r")
    assert spot.judged is not None
    # By hand: 121300 - (19500 + 101320) x 290.35/290.15 Pa
    assert spot.judged.leak.fall.value == pytest.approx(121_300 - 120_820 * 290.35 / 290.15, abs=0.5)
    assert "mL an hour at 0.7 m" in page().text()
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    golden("leak-result", page())
    day.press("enter")
    data = events(day)[-1].payload()
    assert data["path"] == "cylinder.leak_down"
    assert data["conditions"]["hold"] == pytest.approx(1200)
    assert data["value"]["u95"] > 0


def test_the_start_is_on_disk_and_a_hold_outlives_the_page_and_the_process(day, clock, page):
    from divelog.app.desk import Desk
    from divelog.app.places import EXTRAS, MAKERS
    from divelog.app.shell import Shell
    from divelog.journal.writing import Journal
    from divelog.session.session import Session
    from divelog.session.shelf import read_shelf

    start_leak(day)
    assert events(day)[-1].payload()["path"] == "cylinder.leak_down.start"
    clock.advance(400)
    home = day.desk.session.home
    fresh = Shell(
        Desk(Session(home, clock, read_shelf(home), Journal(home, device="second", clock=clock)), "tansy"),
        MAKERS,
        EXTRAS,
    )
    spot = LeakTest(fresh)
    fresh.push(spot)
    assert spot.start.gauge.si == pytest.approx(20_000)
    assert spot.seconds() == pytest.approx(400, abs=1)
    clock.advance(200)
    assert spot.seconds() == pytest.approx(600, abs=1)


def test_a_hold_of_yesterday_or_of_before_she_was_opened_is_given_up(day, clock):
    start_leak(day)
    clock.advance(4 * 3600)
    late = LeakTest(day)
    day.push(late)
    assert late.start is None
    start_leak(day)
    day.desk.keep("opened", {"which": ["aft cap"]})
    opened = LeakTest(day)
    day.push(opened)
    assert opened.start is None


def test_without_thermometer_and_barometer_the_test_decides_less(day, clock):
    spot = start_leak(day)
    clock.advance(600)
    day.press("enter")
    typed(day, "19.5\r17.2\r1013\r")
    fine = spot.judged.leak.fall.u95
    other = LeakTest(day)
    other.enter()
    day.push(other)
    other.start = None
    other.told.clear()
    typed(day, "20\r\r\r")
    clock.advance(600)
    day.press("enter")
    typed(day, "19.5\r")
    assert other.judged.leak.fall.u95 > fine


def test_a_boat_tested_by_immersion_only_is_told_so(day, page, home):
    path = home.boat_file("tansy")
    path.write_text(
        path.read_text(encoding="utf-8").replace(
            'test_by = ["pressure", "immersion"]', 'test_by = ["immersion"]'
        ),
        encoding="utf-8",
    )
    day.desk.session.forget()
    day.push(LeakTest(day))
    assert "No leak test by gauge" in page().text()
    assert "towel" in page().text()


# -- tank trim ------------------------------------------------------------------------------------------------------


def test_tank_trim_names_the_lead_to_move_and_keeps_all_by_one_enter(day, page, look, golden):
    spot = TankTrim(day)
    day.push(spot)
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == []
    typed(day, "118\r24\r5\r1\r3\r1\r1.5\r2\r")
    assert spot.ready
    text = " ".join(page().text().split())
    assert "3.0 deg bow up" in text
    assert "1.5 deg port down" in text
    assert "forward" in text
    assert "to starboard" in text
    for layout in (*LAYOUTS, SMALL):
        assert look.problems(page(layout)) == []
    golden("tank-trim", page())
    before = len(events(day))
    day.press("enter")
    found = events(day)[before:]
    assert [e.payload()["path"] for e in found] == [
        "boat.draught",
        "boat.dived_balance",
        "trim.pitch",
        "trim.list",
    ]
    assert found[2].payload()["value"]["si"] == pytest.approx(math.radians(3))
    assert found[3].payload()["value"]["si"] == pytest.approx(-math.radians(1.5))


def test_lead_for_three_degrees_by_hand(day):
    """By hand: dived mass 6.1798 kg x 14 mm x tan 3 deg / 300 mm = 15.11 g inside; / (1 - 999.6/11340) = 16.57 g wet."""
    spot = TankTrim(day)
    day.push(spot)
    typed(day, "\r\r3\r1\r0\r")
    assert any("15.1 g inside, or 16.6 g in the water, 300 mm forward" in line for line in spot.advice)


def test_tank_trim_with_nothing_read_keeps_nothing(day, page):
    spot = TankTrim(day)
    day.push(spot)
    typed(day, "\r\r\r\r")
    assert "Nothing was read" in page().text()
    before = len(events(day))
    day.press("enter")
    assert len(events(day)) == before


# -- words ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("si", "u95", "unit", "dimension", "words"),
    [
        (38.033, 0.81, "s", "time", "38.0 s, give or take 0.8"),
        (5.8134, 0.0131, "kg", "mass", "5.813 kg, give or take 0.013"),
        (0.0209, 0.0044, "g", "mass", "21 g, give or take 4"),
        (0.0144, 0.0096, "mohm", "resistance", "14 mohm, give or take 10"),
        (2.0, 0.0, "m", "length", "2 m"),
        (284.15, 0.5, "degC", "temperature", "11.0 degC, give or take 0.5"),
    ],
)
def test_a_value_keeps_the_decimals_its_spread_leaves(si, u95, unit, dimension, words):
    assert spread_words(si, u95, unit, dimension) == words
    assert shown_number(words)[1] == unit


async def test_a_guide_on_the_real_screen(day):
    from divelog.app.application import Divelog

    app = Divelog(day)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("m")
        await pilot.pause()
        assert isinstance(day.front, MeasureList)
        await pilot.press("escape")
        assert day.here is Place.LIMITS
