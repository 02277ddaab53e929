"""However the screens end: the terminal is given back, one sentence is said, and what was answered is on disk.

Exit codes of a process that was ended by a signal are 128 + its number, as a shell has them (POSIX Shell Command
Language 2.8.2).
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import pytest

from divelog.home import Home, data_folder
from divelog.journal.loading import load
from divelog.journal.verifying import verify

pytest.importorskip("pty")
from terminal import PATIENCE, Terminal, program

READY = b"16 to prove"
"""Stands on the page of boats once it is whole."""
KEYS = b"new boat"
KEPT = b"written down"
ALTERNATE_ON, ALTERNATE_OFF = b"\x1b[?1049h", b"\x1b[?1049l"
CRASHING = """
import sys
from divelog.app.look import canvas
from divelog.app.shell import Shell
from divelog.cli import main

where = sys.argv.pop(1)
press, tick, strip_of = Shell.press, Shell.tick, canvas.strip_of
armed = False

def boom():
    raise RuntimeError("boom \\x1b[31m")

def pressed(shell, key):
    global armed
    if key == "z":
        armed = True
        if where == "key":
            boom()
    press(shell, key)

def ticked(shell):
    boom() if armed and where == "tick" else tick(shell)

def painted(*words):
    return boom() if armed and where == "paint" else strip_of(*words)

Shell.press, Shell.tick, canvas.strip_of = pressed, ticked, painted
sys.exit(main())
"""


@pytest.fixture
def homes(tmp_path: Path) -> Callable[[], Path]:
    """Copies of the sample boats, as many as are asked for."""
    made: list[Path] = []

    def one() -> Path:
        made.append(tmp_path / f"home-{len(made)}")
        shutil.copytree(data_folder("sample_boats"), made[-1])
        return made[-1]

    return one


def answered(home: Path) -> list[object]:
    """Notes of this test; the sample's own are of a later year than any clock here, so they stand after them."""
    texts = [e.payload()["text"] for e in load(Home(home), "tansy").events if e.what == "note"]
    return [text for text in texts if str(text).startswith("kept")]


def answer(at: Terminal, words: bytes) -> None:
    """Take Tansy and write a note down, to its end."""
    for keys in (b"\r", b"4", b"\x1b", b"\x1b", b"5", b"n", b"0", words + b"\r"):
        at.press(keys)
        at.quiet()
    at.press(b"1\r\r")
    at.until(KEPT)


def given_back(at: Terminal) -> None:
    assert at.left_as_found()
    assert at.got.count(ALTERNATE_ON) == at.got.count(ALTERNATE_OFF)
    assert at.got.rfind(ALTERNATE_OFF) > at.got.rfind(ALTERNATE_ON)
    assert at.got.rfind(b"\x1b[?25h") > at.got.rfind(b"\x1b[?25l")  # the cursor is there again


def last_words(at: Terminal) -> bytes:
    """What was said after the terminal was given back."""
    return at.got[at.got.rfind(b"\x1b[?1004l") + len(b"\x1b[?1004l") :]


def said(at: Terminal, words: bytes) -> None:
    rest = last_words(at)
    assert rest.startswith(b"divelog: ")
    assert words in rest
    assert rest.count(b"\n") == 1
    assert b"Traceback" not in at.got
    assert b"\x1b" not in rest


def ends_by(at: Terminal, number: signal.Signals) -> None:
    at.signal(number)
    assert at.ended() == 128 + number
    given_back(at)
    said(at, number.name.encode() + b". Everything answered is on disk.")


def test_a_signal_after_an_answer_and_after_a_pause_by_ctrl_z(homes: Callable[[], Path]) -> None:
    home = homes()
    with Terminal(program("--home", str(home))) as at:
        at.until(READY, KEYS)
        at.press(b"\x1a")
        _, status = os.waitpid(at.child.pid, os.WUNTRACED)
        assert os.WIFSTOPPED(status)
        at.quiet()
        given_back(at)  # the shell has its terminal while the program waits
        at.signal(signal.SIGCONT)
        at.until(ALTERNATE_ON, READY, KEYS)  # and everything is painted again
        answer(at, b"kept before the end")
        ends_by(at, signal.SIGTERM)
    assert answered(home) == ["kept before the end"]
    assert all(verdict.whole for verdict in verify(Home(home)))


def test_every_other_end(homes: Callable[[], Path]) -> None:
    """All at once, so that their starts do not follow one another."""
    with ExitStack() as stack:

        def begun(argv: list[str]) -> Terminal:
            return stack.enter_context(Terminal([*argv, "--home", str(homes())]))

        hung_up, interrupted = begun(program()), begun(program())
        twice, closed = begun(program()), begun(program())
        crashing = begun([sys.executable, "-c", CRASHING, "key"])
        for at in (hung_up, interrupted, twice, closed, crashing):
            at.until(READY, KEYS)

        ends_by(hung_up, signal.SIGHUP)
        ends_by(interrupted, signal.SIGINT)

        twice.press(b"\x03")
        twice.until(b"Leave")
        assert twice.child.poll() is None  # the first one asks
        twice.press(b"\x03")
        assert twice.ended() == 0
        given_back(twice)

        check_crash(crashing)

        os.close(closed.theirs)
        os.close(closed.ours)  # the window is gone: nobody to restore anything for, and nothing to wait for
        assert closed.child.wait(timeout=PATIENCE) == 129


def check_crash(at: Terminal) -> None:
    """A fault of ours is a sentence, and its details are in a file."""
    at.press(b"z?")  # the second one has something painted
    assert at.ended() == 70
    given_back(at)
    said(at, b"a fault of the program (RuntimeError). Everything answered is on disk.")
    assert b"boom" not in at.got


@pytest.mark.nightly
@pytest.mark.parametrize("where", ["tick", "paint"])
def test_a_fault_between_keys(homes: Callable[[], Path], where: str) -> None:
    with Terminal([sys.executable, "-c", CRASHING, where, "--home", str(homes())]) as at:
        at.until(READY, KEYS)
        check_crash(at)


@pytest.mark.nightly
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_at_any_moment_of_the_start(homes: Callable[[], Path], number: signal.Signals) -> None:
    """From the first byte sent on the terminal is given back; before it nothing was taken."""
    home = homes()
    for wait in range(12):
        with Terminal(program("--home", str(home))) as at:
            if wait:
                at.until(ALTERNATE_ON)
            for _ in range(wait):
                at.read(0.02)
            at.signal(number)
            code = at.ended()
            assert code in (128 + number, -number) if not wait else code == 128 + number
            assert at.left_as_found(), wait
            assert at.got.count(ALTERNATE_ON) == at.got.count(ALTERNATE_OFF), wait
