"""``--plain``: the pages line by line through a pipe; what is answered is on disk before the next page is said."""

from __future__ import annotations

import subprocess
import sys

from divelog.commands.plain import keys_of, words_of
from divelog.home import Home
from divelog.journal.loading import load


def plain(home, *lines: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "divelog", "--home", str(home), "--plain"],
        input="\n".join(lines) + "\n", capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout


def numbers(home) -> tuple[str, str]:
    boats = sorted(p.stem for p in (home / "boats").glob("*.toml"))
    sites = sorted(p.stem for p in (home / "sites").glob("*.toml"))
    return str(boats.index("tansy") + 1), str(sites.index("withy-pond") + 1)


def test_the_day_is_typed_and_kept_line_by_line(samples):
    boat, site = numbers(samples)
    out = plain(samples, "", boat, site, "11", "3", "1.1", "", "1", "0.7", "35", "40", "c", "1", "TANSY", "")
    assert "Deepest keel" in out
    assert "\x1b" not in out
    assert "Loses the boat if wrong" in out
    events = load(Home(samples), "tansy").events
    assert {"day.opened", "plan.set", "check.started", "check.answered"} <= {e.what for e in events}
    assert [e.payload().get("answer") for e in events if e.what == "check.answered"] == ["nothing", "TANSY"]


def test_the_end_of_the_input_is_no_fault_and_the_walk_is_carried_on(samples):
    boat, site = numbers(samples)
    plain(samples, "", boat, site, "11", "3", "1.1", "", "1", "0.7", "35", "40", "c", "1")
    out = plain(samples, "", boat, "c")
    assert "Paused" in out
    assert "Carrying on asks again" in out


def test_a_line_is_pressed_key_by_key():
    assert keys_of("11\n", False) == ["1", "1", "enter"]
    assert keys_of("c\n", False) == ["c"]
    assert keys_of("c\n", True) == ["c", "enter"]
    assert keys_of("esc\n", True) == ["escape"]
    assert keys_of("\n", False) == ["enter"]
    assert keys_of("3 ft\n", False) == ["3", "space", "f", "t", "enter"]


def test_drawn_rows_are_left_out():
    page = " TANSY          Run\n =======   =    =\n   ####  ####\n > volts   8.3 V   ::::::::\n\n Enter keep"
    assert words_of(page) == ["TANSY  Run", "> volts  8.3 V", "Enter keep"]
