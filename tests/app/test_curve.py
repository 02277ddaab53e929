"""The curve of a run: what it draws, what its cursor says, what it says is missing, and what it does with a long file."""

from __future__ import annotations

import importlib.util
import re
import shutil
from pathlib import Path

import pytest

from divelog.app.application import Divelog
from divelog.app.curve_view import curve_text
from divelog.app.curve_words import DEPTH, VOLTS, happenings, verdicts
from divelog.app.look.charts import CHANGE, DASH
from divelog.app.look.curve import LEFT, Curve, Window, decimals_of, depth_step, ends, value_at, width_for
from divelog.app.look.figures import HALVES
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY, WIDE
from divelog.app.spots.curve import CLOSEST, CurvePage
from divelog.app.spots.log_page import RunPage
from divelog.session.telemetry import telemetry_folder

_spec = importlib.util.spec_from_file_location("readings", Path(__file__).with_name("readings.py"))
readings = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(readings)

BLOCKS = set(HALVES.values()) - {" "}
OUTING = b"".join(readings.outing(2400, 4.0))  # a row every four seconds


@pytest.fixture
def run(shell, clock) -> str:
    """A run of forty minutes, nothing joined to it yet."""
    return readings.a_run(shell, clock)


@pytest.fixture
def drawn(shell, run):
    """The outing joined to it, its curve in front."""
    return opened(shell, run, OUTING)


def opened(shell, run, raw: bytes, *changes: tuple[str, str]) -> CurvePage:
    """A file joined, the curve opened from the page of the run."""
    readings.join(shell, run, raw, *changes)
    readings.to_run(shell, run)
    shell.press("v")
    assert isinstance(shell.front, CurvePage)
    readings.settled(shell)
    return shell.front


def all_sizes(shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii(), TINY.ascii()):
        drawn = shell.draw(layout)
        assert look.problems(drawn) == [], layout.name
        for row in layout.keys:
            assert ">" not in drawn.lines()[row], (layout.name, drawn.lines()[row])  # nothing is cut there


def plots(page, top: int, bottom: int) -> list[str]:
    """The columns of the plot between two rows, each from top to bottom."""
    wide = width_for(page.layout)
    rows = [line[LEFT : LEFT + wide] for line in page.lines()[top:bottom]]
    return ["".join(column) for column in zip(*rows, strict=True)]


def words(page) -> str:
    return " ".join(page.text().split())


# -- what is drawn ----------------------------------------------------------------------------------------------------


def test_the_page_opens_with_the_verdict_and_the_cursor_on_the_deepest_moment(drawn, page, look, shell):
    deep = max(range(2400), key=readings.depth_at)
    text = words(page())
    # Seconds below 0.8 m, counted row by row: another way than the sums of the reader.
    below = sum(readings.depth_at(t / 10) > 0.8 for t in range(24000)) / 10
    assert abs(drawn.one.found.below_keel - below) < 3.0
    assert f"below 0.8 m for {below / 60:.1f} min" in text
    assert "OUTSIDE" in text
    assert readings.depth_at(drawn.cursor) > readings.depth_at(deep) - 0.01
    assert f"{readings.depth_at(deep):.2f}" in text
    all_sizes(shell, look)


def test_depth_hangs_from_the_surface_and_each_dive_is_as_deep_as_it_was(drawn, page):
    """The lowest filled row of each dive, times metres a row, holds that dive's depth: 0.45, 0.62, 0.70, 0.94 m."""
    one = drawn.one
    window = one.whole(width_for(WIDE))
    shell_page = page(WIDE)
    top = next(n for n, line in enumerate(shell_page.lines()) if "0.0 m" in line or "0 m" in line)
    step = depth_step(one.deepest, 15)
    columns = plots(shell_page, top, top + 15)
    for dive, deep in enumerate((0.45, 0.62, 0.70, 0.94)):
        column = columns[window.column(dive * 600 + 300)]
        lowest = max(n for n, sign in enumerate(column) if sign in BLOCKS)
        assert lowest * step <= deep + 0.02
        assert (lowest + 1) * step >= deep - 0.02


def test_a_gap_is_a_gap_in_both_plots_and_said(drawn, page, press):
    press("home")
    window = drawn.one.whole(width_for(STANDARD))
    drawn_page = page()
    top = next(n for n, line in enumerate(drawn_page.lines()) if line.strip().startswith("0"))
    columns = plots(drawn_page, top, top + 11)
    empty = columns[window.column(1560)]
    assert not set(empty) & BLOCKS
    assert set(empty) <= {" ", DASH}
    assert set(columns[window.column(1300)]) & BLOCKS
    assert set(columns[window.column(1700)]) & BLOCKS
    press("w")
    said = words(page())
    assert "1 gap of 2.1 min: nothing is drawn or added up across." in said


def test_the_limits_are_dashed_lines_with_their_names(drawn, page):
    lines = page(WIDE).lines()
    names = " ".join(line[LEFT + width_for(WIDE) :][:12] for line in lines)
    for name in ("keel", "plan", "aerial"):
        assert re.search(rf"\b{name}\b", names), name
    dashed = [line for line in lines if line[LEFT : LEFT + width_for(WIDE)].count(DASH) > 10]
    assert len(dashed) >= 3


def test_two_limits_on_one_row_have_both_names_and_one_points_to_its_line(drawn, page):
    """At 60 columns a row is 0.25 m: keel at 0.8 m and aerial at 0.9 m share the row from 0.75 m."""
    lines = page(SMALL).lines()
    names = [line[LEFT + width_for(SMALL) :].strip() for line in lines]
    keel = names.index("keel")
    assert names[keel + 1] == "^ aerial"
    assert DASH in lines[keel]
    assert DASH not in lines[keel + 1][LEFT : LEFT + width_for(SMALL)]


def test_a_limit_that_was_not_written_down_is_not_drawn_but_named_as_missing(shell, clock, page, press, look):
    run = readings.a_run(shell, clock, {"minutes": 47.0})
    found = opened(shell, run, OUTING)
    assert [level.name for level in found.one.levels(DEPTH)] == ["plan"]
    assert not found.one.levels(VOLTS)
    assert "OUTSIDE" not in page().text()
    press("w")
    assert "Not written down for this run: deepest keel and aerial depth." in words(page())
    all_sizes(shell, look)


def test_a_shallow_file_is_within(shell, clock, page):
    run = readings.a_run(shell, clock)
    opened(shell, run, b"".join(readings.outing(1700)))
    text = words(page())
    assert "within 0.8 m" in text
    assert "WITHIN" in text.upper()
    assert "OUTSIDE" not in text


def test_against_keel_plan_aerial_and_volts_the_gravest_first(drawn):
    said = verdicts(drawn.one)
    assert [loud for _, loud in said] == sorted((loud for _, loud in said), reverse=True)
    texts = [text for text, _ in said]
    assert texts[0].startswith("Deepest 0.9")
    assert "below the keel limit, 0.8 m" in texts[0]
    assert any("Deeper than her aerial carries, 0.9 m of keel" in text for text in texts)
    plan = next(text for text in texts if "below the plan" in text)
    above = sum(readings.depth_at(t / 10) > 0.7 for t in range(24000) if not 1500 <= t / 10 < 1620) / 10
    assert abs(drawn.one.found.below_plan - above) < 6.0
    assert plan.endswith("below the plan, 0.7 m")


def test_volts_under_the_least_are_said(shell, clock, press, page):
    run = readings.a_run(shell, clock, readings.LIMITS | {"volts": 7.9})
    found = opened(shell, run, OUTING)
    under = 4 * sum(float(line.split(b",")[2]) < 7.9 for line in OUTING.splitlines()[1:])  # the gap left out
    assert abs(found.one.found.under_volts - under) < 10
    press("w")
    assert "under 7.90 V" in words(page())


# -- the cursor -------------------------------------------------------------------------------------------------------


def test_the_cursor_says_the_values_that_stand_in_the_file(drawn, page, press):
    press("home")
    for _ in range(7):
        press("right")
    said = words(page())
    window = drawn._window
    column = window.column(drawn.cursor)
    first, last = window.span(column)
    there = [readings.row(t).split(b",") for t in range(2400) if first <= t <= last]
    depths, volts = ([float(cells[n]) for cells in there] for n in (1, 2))
    found = re.search(r"([\d.]+)(?: to ([\d.]+))? m; ([\d.]+)(?: to ([\d.]+))? V", said)
    assert found is not None
    low, high = float(found[1]), float(found[2] or found[1])
    assert abs(low - min(depths)) < 0.03
    assert abs(high - max(depths)) < 0.03
    assert abs(float(found[3]) - min(volts)) < 0.03
    assert abs(float(found[4] or found[3]) - max(volts)) < 0.03


def test_the_cursor_says_the_time_of_day_and_its_line_is_drawn(drawn, page, press):
    press("home")
    half = 1200 / width_for(STANDARD)  # 2400 s from the launch on; a column tells its middle
    assert f"0:{half:02.0f}, 08:41" in words(page())
    before = plots(page(), 4, 9)
    for _ in range(20):
        press("right")
    assert plots(page(), 4, 9) != before
    assert any(CHANGE in column for column in plots(page(), 4, 9))
    press("end")
    assert f"39:{60 - half:02.0f}, 09:20" in words(page())


def test_the_cursor_stays_inside_however_often_a_key_is_pressed(drawn, press, page, shell, look):
    whole = drawn.one.whole(1)
    for key in ("left", "pageup", "right", "pagedown"):
        for _ in range(150):
            press(key)
        assert whole.first <= drawn.cursor <= whole.last
        page()
    all_sizes(shell, look)


def test_in_a_gap_the_cursor_says_that_nothing_was_read(drawn, page, press):
    press("3")  # the mark that was made in the gap
    assert drawn.cursor == 1560
    assert "nothing was read" in page().text()


def test_enter_comes_closer_around_the_cursor_and_b_goes_wider(drawn, page, press):
    press("4")
    assert drawn.cursor == 2100
    wide = drawn._seen(drawn.one, STANDARD)
    for _ in range(6):
        press("enter")
    close = drawn._seen(drawn.one, STANDARD)
    assert (close.last - close.first) * CLOSEST == pytest.approx(wide.last - wide.first)
    assert close.first <= 2100 <= close.last
    assert "closer" not in page().text()
    for _ in range(6):
        press("b")
    assert drawn._seen(drawn.one, STANDARD) == wide
    assert "wider" not in page().text()


# -- what happened ----------------------------------------------------------------------------------------------------


def test_marks_and_incidents_stand_over_the_time_line_with_their_numbers(drawn, page):
    window = drawn.one.whole(width_for(STANDARD))
    line = next(line for line in page().lines() if re.fullmatch(r"\s*1\s+2\s+3\s+4\s*", line))
    for number, seconds in ((1, 300), (2, 900), (3, 1560), (4, 2100)):
        assert line[LEFT + window.column(seconds)] == str(number)


@pytest.mark.parametrize(
    ("key", "said"), [("1", "glitch"), ("2", "lost, 40 m off"), ("3", "mark"), ("4", "touched bottom")]
)
def test_a_digit_goes_to_what_happened_and_says_it(drawn, page, press, key, said, shell, look):
    press(key)
    assert said in words(page())
    all_sizes(shell, look)


def test_down_and_up_walk_what_happened_in_order(drawn, press):
    press("home")
    seen = []
    for _ in range(5):
        press("down")
        seen.append(drawn.cursor)
    assert seen == [300, 900, 1560, 2100, 2100]
    press("up", "up")
    assert drawn.cursor == 900


def test_twelve_marks_have_ten_digits_and_two_plus_signs(shell, clock, press, page, look):
    run = readings.a_run(shell, clock)
    for n in range(12):
        at = readings.LAUNCH.replace(minute=42 + n)
        shell.desk.keep("mark", {"kind": None}, run=run, happened=at.isoformat())
    found = opened(shell, run, OUTING)
    assert len(happenings(found.run)) == 16
    assert "+" in next(line for line in page().lines() if re.search(r"\b1\b.*2.*3", line))
    press("w")
    all_sizes(shell, look)


# -- in words, other readings -----------------------------------------------------------------------------------------


def test_w_says_everything_in_words_at_every_size(drawn, page, press, shell, look):
    press("w")
    for layout in LAYOUTS:
        text = ""
        press("up")
        drawn.top = 0
        for _ in range(30):
            now = page(layout).text()
            assert look.problems(page(layout)) == []
            text += now
            if "more lines: down" not in now:
                break
            press("down")
        flat = " ".join(text.split())
        for wanted in ("touched bottom", "1 gap", "570 rows, read by logger"):
            assert wanted in flat, (layout.name, wanted)
    press("w")
    assert not drawn.words


def test_v_changes_the_lower_plot(drawn, page, press, shell, look):
    first = page().text()
    assert " V" in first
    press("v")
    assert page().text() != first
    assert re.search(r"3\.0+ A", page().text())
    all_sizes(shell, look)
    press("v")
    assert page().text() == first


def test_the_curve_as_plain_text_has_no_line_over_79_columns(drawn):
    for blocks in (True, False):
        lines = curve_text(drawn.one, blocks=blocks)
        assert max(map(len, lines)) <= 79
        assert any("touched bottom" in line for line in lines)
        if not blocks:
            assert not BLOCKS & set("".join(lines))


# -- other files ------------------------------------------------------------------------------------------------------


def test_a_charger_s_file_has_no_limits_and_no_depth(shell, run, press, page, look):
    rows = b"t,depth,volts,current\n" + b"".join(b"%d,,%.3f,2\n" % (t, 7.2 + t / 3000) for t in range(3000))
    found = opened(
        shell, run, rows, ('title = "depth and volts"', 'kind = "charger"'), ('"run start"', '"first row"')
    )
    assert found.one.upper == VOLTS
    assert found.one.levels(VOLTS) == ()
    assert "Volts at the end 8.20 V" in words(page())
    all_sizes(shell, look)
    press("w")
    assert "Charge put back" in words(page())
    all_sizes(shell, look)


def test_f_goes_to_the_next_file_of_the_run(shell, run, press, page, look):
    readings.join(shell, run, OUTING)
    readings.join(shell, run, b"".join(readings.outing(1200)), ('"5 cm"', '"6 cm"'), name="other")
    readings.to_run(shell, run)
    press("v")
    readings.settled(shell)
    spot = shell.front
    assert [one.mapping for one in spot.files] == ["logger", "other"]
    assert "file 1 of 2" in page(WIDE).text()
    press("f")
    readings.settled(shell)
    assert spot.one.found.rows == 1200
    assert "give or take 0.06" in words(page(WIDE))
    all_sizes(shell, look)
    press("w")
    assert "ends 20 min early" in words(page())
    press("f")
    readings.settled(shell)
    assert spot.one.found.rows == 570


@pytest.mark.parametrize(
    "rows", ["0,0,8,2\n", "0,0.1,,\n1,0.1,,\n", "5,0.5,8,\n", "90000,0.2,8,2\n90001,0.2,8,2\n"]
)
def test_files_with_hardly_anything_in_them(shell, run, press, page, look, rows):
    found = opened(shell, run, readings.HEAD + rows.encode())
    assert found.one is not None
    for key in ("home", "right", "end", "1", "down", "v", "enter", "enter", "b", "w", "down", "w"):
        press(key)
        for layout in LAYOUTS:
            assert look.problems(page(layout)) == []
    press("w")
    if rows.startswith("9"):
        assert any(words.startswith("No reading falls into the run") for words in _missing(found))


def _missing(spot: CurvePage) -> list[str]:
    from divelog.app.curve_words import missing

    return missing(spot.one)


def test_a_lone_spike_does_not_count_and_is_said(shell, run, press, page):
    rows = b"".join(b"%d,%s,8,2\n" % (t, b"9.0" if t == 500 else b"0.5") for t in range(1000))
    found = opened(shell, run, readings.HEAD + rows)
    assert found.one.found.deepest == pytest.approx(0.5)
    assert "OUTSIDE" not in page().text()
    press("w")
    assert "One reading of 9.00 m at 8:20 stands alone and does not count." in words(page())


# -- what goes wrong --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("harm", ["copy gone", "copy changed", "copy and mapping gone"])
def test_a_copy_that_is_gone_or_changed_is_said_and_the_figures_stay(shell, run, press, page, look, harm):
    readings.join(shell, run, OUTING)
    folder = telemetry_folder(shell.desk.session, "tansy")
    copy = folder / f"{run}.csv"
    if harm == "copy changed":
        copy.write_bytes(OUTING + b"2400,0.1,8,2\n")
    else:
        shutil.rmtree(folder) if "mapping" in harm else copy.unlink()
        if "mapping" in harm:
            (shell.desk.session.home.root / "mappings" / "logger.toml").unlink()
    readings.to_run(shell, run)
    press("v")
    readings.settled(shell)
    text = words(page())
    assert "The curve cannot be drawn" in text
    assert {
        "copy gone": "not in this home",
        "copy changed": "was changed since",
        "copy and mapping gone": "its mapping, logger, cannot be read",
    }[harm] in text
    assert "charge used" in text
    for key in ("home", "right", "1", "w", "v", "enter"):
        press(key)
    all_sizes(shell, look)
    press("escape")


def test_without_a_file_there_is_no_curve(shell, run, press, page):
    readings.to_run(shell, run)
    assert "v curve" not in page().text()
    press("v")
    assert isinstance(shell.front, RunPage)


def test_the_page_of_the_run_tells_the_figures_and_no_nought(drawn, shell, press, page):
    press("escape")
    assert isinstance(shell.front, RunPage)
    text = ""
    for _ in range(12):
        text += words(page())
        press("down")
    assert "deepest 0.9" in text
    assert "below the keel limit 4." in text
    assert "under the least volts" not in text  # she never was


def test_while_a_long_file_is_read_again_the_page_answers_and_esc_leaves(shell, run, press, page, look):
    readings.join(shell, run, readings.long_file())
    slow = readings.SlowDisk()
    shell.desk.session.disk = slow
    readings.to_run(shell, run)
    press("v")
    spot = shell.front
    worker = spot._worker
    assert "Reading: 0 rows" in page().text()
    all_sizes(shell, look)
    for key in ("right", "1", "w", "v", "enter"):
        press(key)
    assert shell.front is spot
    press("?")
    assert shell.front is not spot
    press("escape", "escape")
    assert isinstance(shell.front, RunPage)
    slow.free()
    assert worker.wait(30)
    assert worker.progress.rows < 50_000


# -- the plot by itself -----------------------------------------------------------------------------------------------


def test_values_between_readings_in_breaks_and_outside():
    curve = Curve([(0.0, 1.0), (10.0, 2.0), (20.0, 4.0)], [(10.0, 20.0)], (), "m")
    assert [value_at(curve, t) for t in (-1, 0, 5, 10, 15, 20, 21)] == [None, 1.0, 1.5, 2.0, None, 4.0, None]
    assert ends(curve, 11, 19) is None
    assert ends(curve, 0, 30) == (1.0, 4.0)
    assert ends(curve, 4, 6) == pytest.approx((1.4, 1.6))


@pytest.mark.parametrize("rows", [1, 4, 5, 15])
@pytest.mark.parametrize("deepest", [0.0, 0.05, 0.11, 0.94, 1.0, 3.7, 29.0, 250.0])
def test_the_step_of_depth_holds_the_deepest_and_wastes_less_than_half(deepest, rows):
    step = depth_step(deepest, rows)
    assert step * max(rows - 0.5, 0.5) >= deepest * (1 - 1e-9)
    assert step * max(rows - 0.5, 0.5) <= 2 * max(deepest, 0.05)
    assert decimals_of(step) <= 3


def test_every_moment_of_a_window_has_a_column_and_every_column_its_moments():
    window = Window(-60.0, 2460.0, 61)
    for column in range(61):
        first, last = window.span(column)
        assert window.column(first + 1e-6) == window.column((first + last) / 2) == column
    assert window.column(2460.0) == 60
    assert window.column(-61.0) < 0
    assert window.column(2461.0) > 60


async def test_the_real_application_draws_it(shell, run, look):
    readings.join(shell, run, OUTING)
    readings.to_run(shell, run)
    app = Divelog(shell)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("v")
        readings.settled(shell)
        await pilot.press("4")
        await pilot.pause()
        assert "touched bottom" in app.canvas.page.text()
        assert look.strip_problems(look.screen_strips(app), 80) == []
        for size in ((120, 40), (60, 20), (40, 12)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            assert look.problems(app.canvas.page) == []
        await pilot.press("escape")
        await pilot.pause()
        assert "Log: run" in app.canvas.page.text()
