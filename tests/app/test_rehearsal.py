"""The rehearsal page: what stands where, what the digits do, and that it fits every size."""

from __future__ import annotations

import math
import os
from dataclasses import replace

import pytest

from divelog.app.application import Divelog
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE, Place
from divelog.app.look.themes import settle
from divelog.app.rehearsal_chart import path_of
from divelog.app.spots.limits import Limits
from divelog.app.spots.rehearsal import RehearsalPage
from divelog.limits.rehearsal import work_out
from divelog.limits.rehearsal_figures import CASES, HELD, STEADY
from divelog.profiles.document import Num

DAY = ("11", "enter", "3", "1.1", "enter", "16", "enter")
PLAN = ("1", "0.7", "enter", "35", "enter", "40", "enter")


@pytest.fixture
def rehearsal(shell, press):
    """Tansy's rehearsal, opened from her limits after the day was typed."""
    shell.go(Place.LIMITS)
    sites = [s for s, d in shell.desk.session.shelf.sites.items() if not d.faults]
    press(str(sites.index("withy-pond") + 1), *DAY, *PLAN, "r")
    assert isinstance(shell.front, RehearsalPage)
    return shell


def test_it_opens_from_limits_and_goes_back_by_escape(rehearsal, press):
    press("escape")
    assert isinstance(rehearsal.front, Limits)
    press("r", "r")
    assert isinstance(rehearsal.front, Limits)


@pytest.mark.parametrize("number", range(1, len(CASES) + 1))
def test_every_case_is_sound_at_every_size(rehearsal, press, page, look, number):
    press(str(number))
    for layout in [*LAYOUTS, STANDARD.ascii(), SMALL.ascii()]:
        drawn = page(layout)
        assert look.problems(drawn) == [], layout.name
    assert CASES[number - 1].name in page().text()


@pytest.mark.parametrize(("number", "name"), [(1, "steady"), (2, "stick-over"), (6, "command-held")])
def test_as_it_was_looked_at(rehearsal, press, page, golden, number, name):
    press(str(number))
    golden(f"rehearsal-{name}", page(STANDARD.ascii()))


def test_digits_and_arrows_pick_the_case(rehearsal, press):
    front = rehearsal.front
    press("3")
    assert front.found().case.name == "going astern"
    press("right", "down")
    assert front.found().case.name == "planes jammed"
    press("left", "up", "up", "up", "up")
    assert front.found().case.name == "no failsafe"
    for dead in ("0", "8", "9"):
        press(dead)
        assert front.found().case.name == "no failsafe"
    assert rehearsal.front is front


def test_it_moves_with_the_day(rehearsal, press):
    before = rehearsal.front.found()
    press("escape", "d")
    press("escape", "r")
    assert rehearsal.front.found().deepest == before.deepest  # worked out again from the same day
    rehearsal.desk.keep(
        "plan.set",
        {
            "pack": "D2",
            "depth": {"si": 1.0, "u95": 0.05},
            "distance": {"si": 35.0},
            "minutes": {"si": 2400.0},
        },
    )
    after = rehearsal.front.found()
    assert after.plan == pytest.approx(1.0)
    assert after.deepest.si > before.deepest.si


def test_nothing_is_written(rehearsal, press, page):
    events = len(rehearsal.desk.session.log("tansy").events)
    for key in ("1", "2", "3", "7", "right", "up"):
        press(key)
        page()
    assert len(rehearsal.desk.session.log("tansy").events) == events


def test_outside_is_the_one_block(rehearsal, press, page, look):
    press("6")
    assert len(look.blocks(page())) == 1
    assert "X OUTSIDE" in page().text()
    assert "Nobody goes in after a boat." in page().text()


def test_what_is_missing_is_named(shell, press, page, look):
    # Before the day is typed no water and no plan are known.
    shell.below("rehearsal")
    text = page().text()
    assert "? unknown" in text
    assert "needs" in text
    for layout in LAYOUTS:
        assert look.problems(page(layout)) == [], layout.name


def test_without_a_boat(desk, shell, page):
    desk.slug = None
    shell.below("rehearsal")
    assert "Take a boat first" in page().text()


def test_wide_lists_every_case_and_tiny_keeps_the_words(rehearsal, page):
    wide = page(WIDE).text()
    assert all(one.name in wide for one in CASES)
    assert "stays down" in wide
    tiny = page(TINY).text()
    assert "Deepest" in tiny
    assert "keel" not in tiny


@pytest.mark.parametrize("bottom", [0.9, 1.3, 2.2, 4.0, 9.0, 15.0])
def test_small_pages_keep_chart_and_words(rehearsal, page, look, bottom):
    session = rehearsal.desk.session
    file = session.home.site_file("withy-pond")
    file.write_text(
        file.read_text(encoding="utf-8").replace('bottom = "2.2 m"', f'bottom = "{bottom} m"'),
        encoding="utf-8",
    )
    session.forget()
    rehearsal.desk._sheets.clear()  # a file that changed by itself is read at the next look only
    assert rehearsal.front.found().bottom == pytest.approx(bottom)
    for layout in (STANDARD, SMALL):
        drawn = page(layout)
        assert look.problems(drawn) == []
        assert "keel" in drawn.text()
        assert "Deepest" in drawn.text() or "Touches" in drawn.text()
        assert "bed" in drawn.text()


class TestChart:
    def found(self, rehearsal, which=STEADY):
        return work_out(rehearsal.desk.sheet(), which)

    def test_the_scale_holds_the_longest_time(self, rehearsal):
        found = self.found(rehearsal)
        path = path_of(found)
        assert path.until % 5.0 == 0.0
        assert path.until >= found.surfaced.si + found.surfaced.u95
        assert (path.bed, path.line) == (2.2, found.aerial)

    def test_the_band_stays_over_the_bed(self, rehearsal):
        for which in CASES:
            path = path_of(self.found(rehearsal, which))
            assert all(d + u <= 2.2 + 1e-9 for (_, d), u in zip(path.points, path.u95, strict=True))

    def test_lying_on_the_bottom_goes_on_to_the_end_of_the_scale(self, rehearsal):
        found = self.found(rehearsal, HELD)
        path = path_of(found)
        assert path.points[-1] == (path.until, found.path[-1].depth)
        assert path.until > found.path[-1].time

    def test_no_line_below_the_bed_or_where_none_is_known(self, rehearsal):
        found = self.found(rehearsal)
        for aerial in (None, 3.0, -0.1):
            path = path_of(replace(found, aerial=aerial))
            assert (path.line, path.line_words) == (None, "")

    def test_an_end_that_is_not_sure(self, rehearsal):
        found = self.found(rehearsal)
        path = path_of(replace(found, surfaced=Num(found.surfaced.si, math.inf)))
        assert math.isfinite(path.until)
        assert path.until >= found.path[-1].time


async def test_on_the_real_application(rehearsal):
    app = Divelog(rehearsal, settle(dict(os.environ), "sun"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2")
        await pilot.pause()
        assert rehearsal.front.found().case.name == "dive stick over"
        await pilot.press("escape")
        assert isinstance(rehearsal.front, Limits)
