"""``--plain``: a whole outing by lines; what is answered is on disk before the next prompt; the end of input is no fault."""

from __future__ import annotations

import subprocess
import sys
from datetime import datetime
from itertools import pairwise

import pytest

from divelog.clock import FixedClock
from divelog.commands.plain_pages import keys_of, words_of
from divelog.commands.plain_talk import plain as plain_text
from divelog.home import Home
from divelog.journal.loading import load

MORNING = datetime.fromisoformat("2032-05-04T08:00:00+01:00")
DAY = ["tansy", "", "withy pond", "11", "3", "1.1", "", "1", "0.5", "35", "20"]
OPEN_BOAT = ["", "nothing", "TANSY", "1", "1", "1", "1", "8.45"]
CLOSING = ["", "", "1", "4", "20", (61, "20"), "16", ""]
EDGE = ["150", "1", "1", "60", "1", "40", "41", "25", "", "150"]
RUN = ["ready to dive", "", (300, "mark"), "", "end"]
AFTER = ["1", "", "1", "1", "1", "0.4", "2", (700, "7.9"), "1", "1", "1"]


class Typist:
    """Standard input that types a line every three seconds of the clock; a pair waits that long before it."""

    def __init__(self, clock: FixedClock, home, lines) -> None:
        self.clock, self.home, self.lines = clock, home, list(lines)
        self.kept: list[int] = []
        """How many events were on disk at each prompt."""

    def readline(self, _most: int = -1) -> str:
        self.kept.append(len(load(Home(self.home), "tansy").events))
        if not self.lines:
            return ""
        line = self.lines.pop(0)
        wait, text = line if isinstance(line, tuple) else (3, line)
        self.clock.advance(wait)
        return text + "\n"


@pytest.fixture
def talk(samples, call, monkeypatch):
    """Type some lines into a home; what was said, and the typist."""
    clock = FixedClock(MORNING)
    monkeypatch.setattr("divelog.clock.SystemClock", lambda: clock)

    def run(*lines):
        typist = Typist(clock, samples, lines)
        monkeypatch.setattr("sys.stdin", typist)
        code, out, err = call("--home", samples, "--plain")
        assert (code, err) == (0, "")
        assert out.isascii()
        return out, typist

    return run


def of(home, what: str):
    return [e for e in load(Home(home), "tansy").events if e.what == what]


def test_a_whole_outing_by_lines(talk, samples):
    out, typist = talk(*DAY, *OPEN_BOAT, *CLOSING, *EDGE, *RUN, *AFTER, "quit")
    assert not typist.lines
    assert out.rstrip().endswith("Everything answered is kept.")
    assert "+ within  8.45 V, give or take 0.042. At least 7.92 V." in out
    assert "Limit: Aerial tip kept dry from, at least 30 mm" in out
    assert "min left, back by" in out
    assert "After the run: every line is answered." in out
    (start,), (end,), (launch,) = (
        of(samples, "run.started"),
        of(samples, "run.ended"),
        of(samples, "launch.called"),
    )
    assert end.run == start.id
    assert launch.payload()["words"] == "ready to dive"
    assert len(of(samples, "mark")) == 1
    ended = [(e.payload()["list"], e.payload()["complete"]) for e in of(samples, "check.ended")]
    assert ended == [("before-dive", True), ("after-run", True)]
    assert end.payload()["deepest"]["how"] == "seen"
    assert "0.4 m seen" in out, "the log is read out at the end"


def test_every_answer_is_on_disk_before_the_next_prompt(talk):
    _, typist = talk(*DAY, *OPEN_BOAT)
    asked = typist.kept[len(DAY) + 2 :]
    assert len(asked) == len(OPEN_BOAT) - 1
    assert all(later > earlier for earlier, later in pairwise(asked)), asked


def test_the_end_of_input_keeps_what_was_answered_and_the_walk_goes_on(talk, samples):
    talk(*DAY, *OPEN_BOAT[:3])
    answered = len(of(samples, "check.answered"))
    assert answered == 2
    out, _ = talk("tansy", "", "", "TANSY", "1")
    assert "Paused in Open boat" in out
    assert "Carrying on asks again: Read the name on the transmitter's display" in out
    assert "stern planes rise" in out
    assert len(of(samples, "check.started")) == 1
    assert len(of(samples, "check.answered")) == answered + 2


def test_outside_is_said_sign_word_first_and_may_be_read_again(talk, samples):
    out, _ = talk(*DAY, *OPEN_BOAT[:-1], "7.50", "8.45")
    line = next(row for row in out.splitlines() if "X OUTSIDE  7.50 V" in row)
    assert line.endswith("<<<")
    assert "Next: " in out
    volts = [e.payload() for e in of(samples, "check.answered") if e.payload()["line"] == "pack-volts"]
    assert [(v["verdict"], v["reads"]) for v in volts] == [("within", 2)]


def test_skip_unknown_not_fitted_back_and_pause_by_word_or_letter(talk, samples):
    out, _ = talk(
        *DAY, "", "nothing", ":skip", "2", *["1"] * 4, "u", "x", "no such face", "b", "", "s", "3", "pause"
    )
    states = [(e.payload()["line"], e.payload()["state"]) for e in of(samples, "check.skipped")]
    assert states == [
        ("name", "skipped"), ("pack-volts", "unknown"), ("faces", "not fitted"), ("leads", "skipped"),
    ]  # fmt: skip
    for sign in ("- skipped", "? unknown", "/ not fitted"):
        assert sign in out
    assert of(samples, "check.skipped")[0].payload()["reason"] == "no tool for it here"
    assert len(of(samples, "check.paused")) == 1


def test_letters_are_text_where_a_question_wants_words(talk, samples):
    talk(*DAY, "", "nothing", "b", "")
    (name,) = [e.payload() for e in of(samples, "check.answered") if e.payload()["line"] == "name"]
    assert (name["answer"], name["verdict"]) == ("b", "outside")


def test_a_stray_word_never_says_that_a_thing_is_done(talk, samples):
    out, _ = talk(*DAY, *OPEN_BOAT, "no", "2", "")
    assert out.count("Enter says that it is done") == 2
    assert [e.payload()["line"] for e in of(samples, "check.answered")].count("faces") == 1


def test_a_value_of_one_digit_is_that_value(talk, samples):
    talk("tansy", "", "withy pond", "8", "3", "2")
    day = of(samples, "day.opened")[-1].payload()
    assert day["temperature"]["si"] == pytest.approx(281.15)
    assert day["clarity"]["si"] == pytest.approx(2.0)


def test_what_is_not_taken_says_what_is_wanted_and_asks_again(talk, samples):
    out, _ = talk("nobody", "tansy", "", "nowhere", "4", "warm", "11", "", "", "", "1", "0.5", "35", "20")
    assert "Not taken: that is no boat here." in out
    assert "Not taken: nowhere is none of these" in out
    assert out.count("Water, surface, degC") == 2
    plan = of(samples, "plan.set")[-1].payload()
    assert plan["minutes"]["si"] == 1200.0


def test_a_lost_signal_is_on_disk_before_the_first_step(talk, samples):
    out, _ = talk(*DAY, *OPEN_BOAT, *CLOSING, *EDGE, "", "", "lost", "", "seen", "menu", "quit")
    assert [e.payload()["kind"] for e in of(samples, "signal")] == ["lost", "back"]
    assert "Everyone clear of the water" in out
    assert "Nobody goes in after a boat" in out


def test_a_run_does_not_begin_where_a_list_is_open(talk, samples):
    talk(*DAY, *OPEN_BOAT, *CLOSING, *EDGE, *RUN, "1")
    out, _ = talk("tansy", "run", "checks before the dive", "quit")
    assert "Not yet: the list after the run of 08:0" in out
    assert "Not yet: the list after the run is open." in out
    assert len(of(samples, "run.started")) == 1


def test_the_limits_come_one_a_line_with_the_sign_word_first(talk):
    out, _ = talk(*DAY, "limits", "quit")
    rows = out.split("Limits of TANSY")[1].splitlines()
    assert "+ within  Waves: 20 mm, at most 40 mm" in rows
    assert any(row.startswith("~ too close  Deepest keel: ") for row in rows)


def test_every_other_page_is_in_reach_as_words(talk):
    out, _ = talk("pages", "k", "quit", "quit")
    assert "a single letter is that key" in out


def test_a_pipe_needs_no_terminal(samples):
    done = subprocess.run(
        [sys.executable, "-m", "divelog", "--home", str(samples), "--plain"],
        input="tansy\n", capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "What next?" in done.stdout
    assert "\x1b" not in done.stdout


def test_a_line_is_pressed_key_by_key_on_a_page():
    assert keys_of("11\n", False) == ["1", "1", "enter"]
    assert keys_of("c\n", False) == ["c"]
    assert keys_of("c\n", True) == ["c", "enter"]
    assert keys_of("esc\n", True) == ["escape"]
    assert keys_of("\n", False) == ["enter"]
    assert keys_of("3 ft\n", False) == ["3", "space", "f", "t", "enter"]


def test_drawn_rows_are_left_out_of_a_page():
    page = " TANSY          Run\n =======   =    =\n   ####  ####\n > volts   8.3 V   ::::::::\n\n Enter keep"
    assert words_of(page) == ["TANSY  Run", "> volts  8.3 V", "Enter keep"]


def test_signs_are_written_out():
    assert plain_text("8.1 V ± 0.1 – 3 × 20 °C") == "8.1 V +/- 0.1 - 3 x 20  degC"
