"""A file joined to a run in the program: its path, its mapping, its columns, a long read that can be stopped, faults."""

from __future__ import annotations

import importlib.util
import os
import re
from pathlib import Path

import pytest

from divelog.app.application import Divelog
from divelog.app.look.layout import LAYOUTS, SMALL, STANDARD, TINY
from divelog.app.spots.attach import AttachFile, HowToRead
from divelog.app.spots.attach_columns import Columns
from divelog.app.spots.attach_read import ReadFile
from divelog.app.spots.curve import CurvePage
from divelog.app.spots.log_page import RunPage
from divelog.app.spots.not_kept import NotKept
from divelog.app.typing_path import completed
from divelog.files import RealDisk
from divelog.journal.loading import load
from divelog.session.mapping_files import mapping_named, mappings, save_mapping
from divelog.session.telemetry import telemetry_folder

_spec = importlib.util.spec_from_file_location("readings", Path(__file__).with_name("readings.py"))
readings = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(readings)

OUTING = b"".join(readings.outing(2400, 4.0))  # a row every four seconds
NAMED = OUTING.replace(b"t,depth,volts,current", b"time s,depth m,volts V,current A", 1)


@pytest.fixture
def asked(shell, clock):
    """The page that asks for a file, of a run of forty minutes."""
    run = readings.a_run(shell, clock)
    readings.to_run(shell, run)
    shell.press("f")
    assert isinstance(shell.front, AttachFile)
    return shell


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where the person's files are."""
    made = tmp_path / "files"
    made.mkdir()
    return made


@pytest.fixture
def given(asked, folder, press):
    """Type the path of a file of those bytes."""

    def give(raw: bytes, name: str = "outing.csv") -> None:
        (folder / name).write_bytes(raw)
        press(str(folder / name), "enter")

    return give


CUT = ">"
"""Where words were cut."""


def all_sizes(shell, look) -> None:
    for layout in (*LAYOUTS, STANDARD.ascii(), TINY.ascii()):
        drawn = shell.draw(layout)
        assert look.problems(drawn) == [], layout.name
        for row in layout.keys:
            assert CUT not in drawn.lines()[row], (layout.name, drawn.lines()[row])


def words(page) -> str:
    return " ".join(page.text().split())


def measured(shell) -> list:
    return [e for e in load(shell.desk.session.home, "tansy").events if e.what == "measured"]


def nothing_kept(shell) -> bool:
    there = telemetry_folder(shell.desk.session, "tansy")
    return not measured(shell) and not (there.exists() and any(there.iterdir()))


# -- from nothing to the curve ----------------------------------------------------------------------------------------


def test_a_file_is_guessed_named_read_kept_and_drawn_at_every_size(asked, given, press, page, look):
    given(NAMED)
    assert isinstance(asked.front, HowToRead)
    text = words(page())
    assert "time s,depth m,volts V,current A" in text
    assert "1 guessed anew" in text
    all_sizes(asked, look)
    press("1")
    assert isinstance(asked.front, Columns)
    text = words(page())
    for wanted in ("time, seconds", "depth, m", "volts, V", "current, A", "Enter keep it"):
        assert wanted in text
    assert "?" not in text.replace("? keys", "")
    all_sizes(asked, look)
    press("enter")
    assert "Keep the mapping as" in page().text()
    all_sizes(asked, look)
    press("enter")
    assert isinstance(asked.front, ReadFile)
    readings.settled(asked)
    assert mappings(asked.desk.session) == ("outing",)
    text = words(page())
    assert "Deepest 0.9" in text
    assert "below the keel limit, 0.8 m" in text
    assert nothing_kept(asked)
    all_sizes(asked, look)
    press("enter")
    readings.settled(asked)
    assert isinstance(asked.front, CurvePage)
    readings.settled(asked)
    assert "OUTSIDE" in page().text()
    run = asked.front.run.id
    kept = telemetry_folder(asked.desk.session, "tansy")
    assert {path.name for path in kept.iterdir()} == {f"{run}.csv", f"{run}.toml"}
    assert (kept / f"{run}.csv").read_bytes() == NAMED
    figures = {e.payload()["path"]: e.payload()["value"]["si"] for e in measured(asked)}
    assert figures["run.deepest"] == pytest.approx(0.955, abs=0.01)
    assert figures["run.lowest_volts"] == min(float(line.split(b",")[2]) for line in OUTING.splitlines()[1:])
    assert all(e.run == run for e in measured(asked))
    press("escape")
    assert isinstance(asked.front, RunPage)
    assert "v curve" in words(page())


def test_a_mapping_that_was_kept_reads_the_next_file_with_one_digit(asked, given, press, page, look):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    save_mapping(asked.desk.session, "other", readings.MAPPING.replace(b'"depth"\nunit', b'"deep"\nunit'))
    given(OUTING)
    text = words(page())
    assert re.search(r"1 logger +depth and volts: depth, volts, current", page().text())
    assert "These do not read it: other." in text
    assert "2 guessed anew" in text
    all_sizes(asked, look)
    press("1")
    readings.settled(asked)
    press("enter")
    readings.settled(asked)
    readings.settled(asked)
    assert isinstance(asked.front, CurvePage)
    assert {e.payload()["method"] for e in measured(asked)} == {"attached by logger"}


def test_the_same_file_is_not_joined_to_a_run_twice(asked, given, press, page, look, folder):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    for _ in range(2):
        given(OUTING)
        press("1")
        readings.settled(asked)
        press("enter")
        readings.settled(asked)
        if isinstance(asked.front, CurvePage):
            once = len(measured(asked))
            press("escape", "f")
    assert "attached to that run already" in words(page())
    assert len(measured(asked)) == once
    all_sizes(asked, look)


def test_where_log_and_file_differ_it_is_said_and_both_stay(asked, given, press, page):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    given(OUTING)
    press("1")
    readings.settled(asked)
    assert "the log says 0.70 m guessed for this run, the file 0.9" in words(page())
    press("enter")
    readings.settled(asked)
    run = next(e for e in load(asked.desk.session.home, "tansy").events if e.what == "run.ended")
    assert run.payload()["deepest"]["si"] == 0.7


# -- the path ---------------------------------------------------------------------------------------------------------


def test_tab_goes_on_with_the_name_and_tells_the_names(asked, press, page, folder, look):
    for name in ("dive-1.csv", "dive-2.csv", "wax.txt", ".hidden"):
        (folder / name).write_bytes(OUTING)
    (folder / "deep").mkdir()
    press(f"{folder}/d", "tab")
    assert asked.front.typed.text == f"{folder}/d"
    assert "deep/, dive-1.csv, dive-2.csv" in words(page())
    all_sizes(asked, look)
    press("iv", "tab")
    assert asked.front.typed.text == f"{folder}/dive-"
    press("2", "tab")
    assert asked.front.typed.text == f"{folder}/dive-2.csv"
    press("enter")
    assert isinstance(asked.front, HowToRead)


def test_completion_of_odd_texts_offers_nothing_and_never_fails(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "one.csv").write_bytes(b"")
    disk = RealDisk()
    for text in ("\0", "/no/such/place/x", "~nobody-of-that-name/x", "o" * 5000, "one.csv/x", "zz", "a\nb"):
        assert completed(text, disk) == (text, ())
    assert completed("o", disk) == ("one.csv", ("one.csv",))
    assert completed("./o", disk)[0] == "./one.csv"


@pytest.mark.parametrize(
    ("made", "said"),
    [
        ("missing", "is not there"), ("folder", ""), ("empty", "the file is empty"), ("nul", "no plain text"),
        ("utf-16", "UTF-16"), ("closed", ""),
    ],
)  # fmt: skip
def test_a_path_that_cannot_be_read_is_said_on_the_page(asked, folder, press, page, look, made, said):
    path = folder / "x.csv"
    if made == "folder":
        path.mkdir()
    elif made != "missing":
        path.write_bytes(
            {"empty": b" \n", "nul": b"a,b\0\n", "utf-16": "a,b\n".encode("utf-16"), "closed": b"a"}[made]
        )
    if made == "closed":
        if os.geteuid() == 0:
            pytest.skip("nothing is closed to the superuser")
        path.chmod(0)
    press(str(path), "enter")
    assert isinstance(asked.front, AttachFile)
    assert "Not so" in page().text()
    assert said.lower() in words(page()).lower()
    all_sizes(asked, look)
    press("backspace")
    assert "Not so" not in page().text()


# -- the columns ------------------------------------------------------------------------------------------------------


BARE = b"".join(b"%d;%s;%s\n" % (t * 500, b"0,5", b"8,1") for t in range(100))


def test_a_file_without_a_head_asks_what_its_columns_are(asked, given, press, page, look):
    given(BARE)
    press("1")
    text = words(page())
    assert "time, milliseconds ?" in text
    assert "Which column holds a reading? A digit says so." in text
    assert "keep it" not in text
    press("enter")  # not ready
    assert isinstance(asked.front, Columns)
    assert asked.front.name is None
    press("2")
    assert "What is it?" in page().text()
    all_sizes(asked, look)
    press("3")  # depth
    assert "Which unit?" in page().text()
    all_sizes(asked, look)
    press("1")
    press("3", "4", "1")
    assert "volts" in words(page())
    all_sizes(asked, look)
    press("enter", "enter")
    readings.settled(asked)
    found = asked.front.one.found
    assert (found.rows, found.bad) == (100, 0)
    assert found.stats["depth"].most == 0.5
    assert found.end == pytest.approx(49.5)
    (mapping, faults) = mapping_named(asked.desk.session, "outing")
    assert faults == ()
    assert (mapping.separator, mapping.comma, mapping.head) == (";", True, False)


def test_a_quantity_stands_in_one_column_and_the_time_may_move(asked, given, press, page, look):
    given(NAMED)
    press("1", "3", "3", "1")  # the volts are the depth now
    gives = [seen.taken.gives if seen.taken else None for seen in asked.front.draft.columns]
    assert gives == [None, None, "depth", "current"]
    press("1", "1")  # the time is nothing
    assert "Which column is the time?" in words(page())
    press("2", "2")
    assert "What does its clock count?" in page().text()
    all_sizes(asked, look)
    press("1")
    assert asked.front.draft.time == 1
    press("1", "b")
    assert asked.front.column is None
    press("r", "z")
    assert asked.front.draft.charger
    assert not asked.front.draft.from_launch
    all_sizes(asked, look)


def test_forty_columns_are_walked_nine_at_a_time(asked, given, press, page, look):
    head = b"time s," + b",".join(b"c%d" % n for n in range(60)) + b"\n"
    given(head + b"".join(b",".join(b"%d" % (t + n) for n in range(61)) + b"\n" for t in range(20)))
    press("1")
    for layout in (STANDARD, SMALL, TINY):
        page(layout)
        seen = ""
        for _ in range(45):
            seen += page(layout).text()
            press("down")
        assert "c38" in seen
        for _ in range(45):
            press("up")
    all_sizes(asked, look)


def test_names_of_mappings_that_are_taken_or_none_are_said(asked, given, press, page, look):
    save_mapping(asked.desk.session, "outing", readings.MAPPING)
    given(NAMED)
    press("1" if not asked.front.fitting else "2", "enter", "enter")
    assert "another mapping is called outing" in words(page())
    all_sizes(asked, look)
    for _ in range(6):
        press("backspace")
    press("../x", "enter")
    assert "Not so" in page().text()
    assert isinstance(asked.front, Columns)
    all_sizes(asked, look)
    assert mappings(asked.desk.session) == ("outing",)
    press("escape", "escape")
    assert asked.front.name is None


# -- bad rows ---------------------------------------------------------------------------------------------------------


def test_a_file_no_mapping_reads_says_the_line(asked, given, press, page, look):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    good = b"".join(readings.row(t) for t in range(4000))
    given(readings.HEAD + good + b"broken\n" * 5000)
    press("1")
    readings.settled(asked)
    text = words(page())
    assert "4000 rows can be read by this mapping and 5000 cannot; line 4002" in text
    all_sizes(asked, look)
    press("enter", "z")
    assert nothing_kept(asked)
    press("escape")
    assert isinstance(asked.front, HowToRead)


def test_rows_that_were_passed_over_are_counted_and_their_line_is_told(asked, given, press, page, look):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    good = [readings.row(t) for t in range(2000)]
    good[1500] = b"1500,x,8,2\n"
    good[1600] = b"1600,5000,8,2\n"
    given(readings.HEAD + b"".join(good))
    press("1")
    readings.settled(asked)
    text = ""
    for _ in range(12):
        text += words(page()) + " "
        press("down")
    assert "2 rows were passed over; the first is line 1502: " in text
    all_sizes(asked, look)


HOSTILE = (
    b"\x1b[2J,\xe2\x80\xae\n1,2\n2,3\n", b'"' * 5000 + b"\n1,2\n", b"a,b\n" + b"1," * 3000 + b"\n", b"\xff\xfa,\xc3\n1,2\n3,4\n",
    b"t,depth\n" + "1,0.5 語語\n".encode() * 5, b"\r\r\r\n,,,,\n,,,,\n", b"[reverse]t,[/]depth\n1,2\n2,3\n",
)  # fmt: skip


@pytest.mark.parametrize("raw", HOSTILE, ids=range(len(HOSTILE)))
def test_foreign_bytes_draw_nothing_and_are_read_or_refused(asked, given, press, page, look, raw):
    given(raw, "\u202e[b]x.csv")
    all_sizes(asked, look)
    for key in ("1", "1", "3", "1", "enter", "enter"):
        press(key)
        if isinstance(asked.front, ReadFile):
            readings.settled(asked)
        all_sizes(asked, look)
    assert "\x1b" not in page().text()
    assert "\u202e" not in page().text()


# -- the clock --------------------------------------------------------------------------------------------------------


def test_l_lines_the_clock_up_and_the_copy_keeps_it(asked, given, press, page, look):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    given(OUTING)
    press("1")
    readings.settled(asked)
    press("z")
    assert "How long after her launch is its nought?" in page().text()
    all_sizes(asked, look)
    press("soon", "enter")
    assert "Not so" in page().text()
    all_sizes(asked, look)
    press("escape", "escape", "z", "90 s", "enter")
    readings.settled(asked)
    assert asked.front.one.found.start == 90.0
    press("enter")
    readings.settled(asked)
    readings.settled(asked)
    assert isinstance(asked.front, CurvePage)
    assert asked.front.one.found.start == 90.0
    assert b"90 s" not in readings.MAPPING
    assert mapping_named(asked.desk.session, "logger")[0].raw == readings.MAPPING


# -- long files -------------------------------------------------------------------------------------------------------


@pytest.fixture
def slow(asked, folder, press):
    """50,000 rows on a disk that waits for a permit for each large piece; being read."""
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    (folder / "long.csv").write_bytes(readings.long_file())
    yield from on_a_slow_disk(asked, folder / "long.csv", press)


@pytest.fixture
def slow_copy(asked, folder, press):
    """A short file on such a disk, read to its end; the next key keeps it."""
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    (folder / "short.csv").write_bytes(OUTING)
    for disk in on_a_slow_disk(asked, folder / "short.csv", press):
        disk.permits.release(100)
        readings.settled(asked)
        assert asked.front.one is not None
        while disk.permits.acquire(blocking=False):
            pass
        yield disk


def on_a_slow_disk(shell, path: Path, press):
    """A file that is being read there by the first mapping."""
    press(str(path), "enter")
    shell.desk.session.disk = disk = readings.SlowDisk()
    press("1")
    assert isinstance(shell.front, ReadFile)
    yield disk
    disk.free()


def test_progress_moves_while_a_long_file_is_read_and_the_page_answers(asked, slow, press, page, look):
    spot = asked.front
    assert "0 rows, 0.0 MB so far" in words(page())
    all_sizes(asked, look)
    assert slow.waiting.acquire(timeout=30)
    seen = []
    for _ in range(4):
        slow.next()
        seen.append(spot._reading.progress.rows)
        asked.tick()
        press("down", "enter", "z")
        assert asked.front is spot
        assert spot.one is None
    assert f"{seen[-1]} rows" in words(page())
    assert 20_000 in seen
    assert seen == sorted(seen)
    press("?")
    assert asked.front is not spot
    press("escape")
    assert asked.front is spot
    slow.free()
    readings.settled(asked)
    assert spot.one.found.rows == 50_000
    assert nothing_kept(asked)


def test_esc_stops_a_long_read_and_nothing_is_kept(asked, slow, press, page):
    worker = asked.front._reading
    press("escape")
    assert isinstance(asked.front, HowToRead)
    slow.free()
    assert worker.wait(30)
    assert worker.progress.rows == 20_000  # it stopped at its first word of progress
    asked.tick()
    assert nothing_kept(asked)


def test_esc_stops_the_copy_and_nothing_of_it_stays(asked, slow_copy, press, page, look):
    spot = asked.front
    press("enter")
    assert "Keeping" in page().text()
    assert "Esc stops" in page().text()
    all_sizes(asked, look)
    press("enter", "a", "g", "q", "z")
    assert asked.front is spot
    press("escape")
    slow_copy.free()
    readings.settled(asked)
    assert asked.front is spot
    assert "Not kept" in page().text()
    assert nothing_kept(asked)
    all_sizes(asked, look)
    press("enter")
    readings.settled(asked)
    assert isinstance(asked.front, CurvePage)
    assert measured(asked)


def test_a_key_in_the_second_the_copy_becomes_whole_shows_the_curve(asked, slow_copy, press):
    press("enter")
    slow_copy.free()
    assert asked.front._keeping[0].wait(30)
    press("escape")
    assert isinstance(asked.front, CurvePage)
    assert measured(asked)


def test_a_file_that_changes_while_it_is_looked_at_is_not_kept(asked, given, press, page, folder):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    given(OUTING)
    press("1")
    readings.settled(asked)
    (folder / "outing.csv").write_bytes(OUTING + b"2401,0.1,8,2\n")
    press("enter")
    readings.settled(asked)
    assert "the file changed while it was read" in words(page())
    assert nothing_kept(asked)


class FullDisk(RealDisk):
    """No room for a large piece."""

    def write(self, fd: int, data: bytes) -> int:
        """Small pieces only."""
        if len(data) > 5_000:
            raise OSError(28, "No space left on device")
        return super().write(fd, data)


def test_a_full_disk_becomes_a_page_and_nothing_is_kept(asked, given, press, page, look):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    given(OUTING)
    press("1")
    readings.settled(asked)
    asked.desk.session.disk = FullDisk()
    press("enter")
    if not isinstance(asked.front, NotKept):
        readings.settled(asked)
    assert isinstance(asked.front, NotKept)
    assert nothing_kept(asked)
    all_sizes(asked, look)


@pytest.mark.nightly
def test_a_million_rows_by_keys(asked, given, press, page):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    given(b"".join(readings.outing(2500, 0.0025, (0, 0))))
    press("1")
    seen = set()
    while asked.front._reading is not None:
        asked.front._reading.wait(0.05)
        seen.add(asked.front._reading.progress.rows)
        press("down")
        asked.tick()
        page()
    assert len(seen) > 5
    assert asked.front.one.found.rows == 1_000_000
    press("enter")
    readings.settled(asked)
    assert isinstance(asked.front, CurvePage)
    readings.settled(asked)
    assert asked.front.one.found.rows == 1_000_000


async def test_the_real_application_joins_a_file(asked, folder, look):
    save_mapping(asked.desk.session, "logger", readings.MAPPING)
    (folder / "outing.csv").write_bytes(OUTING)
    for letter in str(folder / "out"):
        asked.press(letter)
    app = Divelog(asked)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("tab", "enter")
        await pilot.pause()
        assert "How is it read?" in app.canvas.page.text()
        assert look.strip_problems(look.screen_strips(app), 80) == []
        await pilot.press("1")
        readings.settled(asked)
        await pilot.press("down", "up")
        await pilot.pause()
        assert "Enter keeps a copy" in app.canvas.page.text()
        await pilot.press("enter")
        readings.settled(asked)
        readings.settled(asked)
        await pilot.press("home")
        await pilot.pause()
        assert "Log: curve" in app.canvas.page.text()
        assert look.strip_problems(look.screen_strips(app), 80) == []
