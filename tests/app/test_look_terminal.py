"""What really reaches a terminal: the bytes an application on the canvas sends through a pseudo-terminal."""

from __future__ import annotations

import importlib.util
import os
import select
import subprocess
import sys
import time
from pathlib import Path
from types import ModuleType

import pytest

pytest.importorskip("pty")

ROOT = Path(__file__).parents[2]
PROGRAM = r"""
import os, sys
from textual.app import App
from divelog.app.look import answers, figures, frame, gauge, plate, rows
from divelog.app.look.canvas import Canvas, dress
from divelog.app.look.layout import Place
from divelog.app.look.page import Role, at, page
from divelog.app.look.themes import settle
from divelog.app.look.words import Status

HOSTILE = "A\x1b]0;owned\x07B\x9b31mC\x00\u202e\x1b[5mD [b]x[/b] [@click=app.bell]y[/]"


def drawn(layout):
    return page(
        layout,
        frame.header(layout, boat=HOSTILE, place=HOSTILE, what=HOSTILE, date="Tue 4 May", time="08:11"),
        frame.waterline(layout, Place.LIMITS),
        figures.figure(layout, 3, 16, "47", unit=HOSTILE),
        figures.figure(layout, 3, 48, "08", step=5),
        rows.listed(layout, 9, [
            rows.Row(HOSTILE, Status.OUTSIDE, "1", HOSTILE, HOSTILE, gauge.at_most(4), gauge.one(4.3, 0.1)),
            rows.Row("quiet", Status.WITHIN, "2", "3 h", "every 4 h", gauge.at_most(4), gauge.one(3)),
        ], focus=1),
        plate.number_plate(layout, 12, "8.1", unit="volts"),
        answers.note(layout, 18, "Seen", HOSTILE + " END-OF-PAGE"),
        frame.keys(layout, (frame.Key("q", "stop"),)),
    )


class Look(App):
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, look):
        super().__init__()
        self.look = look

    def compose(self):
        yield Canvas(drawn, theme=self.look)

    def on_mount(self):
        dress(self, self.look)

    def on_key(self, event):
        if event.key == "q":
            self.exit()


Look(settle(os.environ, sys.argv[1])).run()
"""


def _checks() -> ModuleType:
    spec = importlib.util.spec_from_file_location("look_checks", Path(__file__).with_name("look_checks.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


look_checks = _checks()


def sent(theme: str, **environ: str) -> bytes:
    """Everything sent from start to end, stopped with `q` once the last row stands there."""
    import fcntl
    import pty
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    clean = {
        k: v
        for k, v in os.environ.items()
        if not k.startswith("TEXTUAL") and k not in ("NO_COLOR", "COLORTERM")
    }
    clean.update(TERM="xterm-256color", PYTHONPATH=str(ROOT), LC_ALL="C.UTF-8", **environ)
    child = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, theme],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env=clean,
        close_fds=True,
    )
    os.close(theirs)
    got, asked, until = b"", False, time.monotonic() + 60
    try:
        while time.monotonic() < until:
            ready, _, _ = select.select([ours], [], [], 0.2)
            if ready:
                try:
                    piece = os.read(ours, 65536)
                except OSError:
                    break
                if not piece:
                    break
                got += piece
            elif child.poll() is not None:
                break
            if not asked and b"END-OF-PAGE" in got and b"stop" in got:
                os.write(ours, b"q")
                asked = True
    finally:
        if child.poll() is None and not asked:
            child.kill()
        child.wait(timeout=60)
        os.close(ours)
    assert asked, got[-2000:]
    assert child.returncode == 0
    return got


@pytest.mark.parametrize("environ", [{"NO_COLOR": "1"}, {"NO_COLOR": "1", "COLORTERM": "truecolor"}])
def test_under_no_color_only_reset_bold_and_reverse_are_sent(environ: dict[str, str]) -> None:
    got = sent("sun", **environ)
    assert look_checks.plain_sgr_problems(got) == []
    assert {"1", "7", "1;7"} <= look_checks.sgr_sent(got)


def test_own_theme_sends_the_same_without_the_variable() -> None:
    assert look_checks.plain_sgr_problems(sent("own")) == []


@pytest.mark.parametrize("environ", [{}, {"NO_COLOR": ""}])
def test_sun_is_black_on_white_also_with_an_empty_no_color(environ: dict[str, str]) -> None:
    parameters = look_checks.sgr_sent(sent("sun", COLORTERM="truecolor", **environ))
    colours = {p for p in parameters if "38;" in p or "48;" in p}
    assert colours
    for parameter in colours:
        rest = parameter.removeprefix("1;")
        assert rest in (
            "38;2;0;0;0;48;2;255;255;255",
            "38;2;255;255;255;48;2;0;0;0",
        ), parameter


@pytest.mark.parametrize("theme", ["sun", "own"])
def test_no_command_out_of_data_reaches_the_terminal(theme: str) -> None:
    got = sent(theme)
    assert b"\x1b]0;owned" not in got
    told = got.decode("utf-8")  # strict: nothing but text and sequences was sent
    told = told.replace("\x1b]22;default\x07", "")  # the framework's own: the shape of the mouse pointer
    assert not any("\x7f" <= c <= "\x9f" or c in "\u202e\x00\x07" for c in told)
    after = {told[n + 1] for n, c in enumerate(told) if c == "\x1b"}
    assert after == {"["}
    assert "5" not in look_checks.sgr_sent(got)
    assert "31" not in look_checks.sgr_sent(got)
    assert b"[@click=app.bell]" in got  # markup stays text
