"""``divelog`` and ``divelog demo``: the screens."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from typing import TYPE_CHECKING, Protocol

from divelog.clock import Clock
from divelog.exits import Exit
from divelog.files import StorageError, read_capped
from divelog.home import Home

if TYPE_CHECKING:
    from divelog.app.shell import Shell


MOST_SETTINGS = 64 * 1024


class Closing(Protocol):
    """What is closed when the screens end."""

    def close(self) -> None:
        """Let go of files and locks."""


def tell(text: str) -> None:
    """One line of talk."""
    print(text, file=sys.stderr)


def _refused() -> str:
    """Why no screen can be drawn here, or an empty text."""
    from divelog.app.look.themes import refusal

    if not sys.stdin.isatty() or not sys.stdout.isatty():
        return "this is not a terminal; `divelog limits BOAT` prints limits, `divelog --help` lists the rest"
    return refusal(os.environ) or ""


def run_screens(words: Namespace) -> int:
    """The screens on the home in use."""
    if words.plain:
        from divelog.commands.plain import run_plain

        return run_plain(words)
    reason = _refused()
    if reason:
        tell(f"divelog: {reason}")
        return Exit.CALL
    return show(words.where, words.clock)


def run_demo(words: Namespace) -> int:
    """The screens on a copy of the sample boats, gone afterwards."""
    from divelog.app.demo import DemoClock, demo_home

    if words.plain:
        from divelog.commands.plain import run_plain

        with demo_home() as home:
            words.where, words.clock = home, DemoClock(words.clock)
            return run_plain(words)
    reason = _refused()
    if reason:
        tell(f"divelog: {reason}")
        return Exit.CALL
    with demo_home() as home:
        return show(home, DemoClock(words.clock))


def show(home: Home, clock: Clock) -> int:
    """Open the home and run the application on it; what cannot be written is opened for reading."""
    from divelog.app.application import Divelog
    from divelog.app.look.themes import settle

    opened: list[Closing] = []

    def opening() -> Shell:
        # After the first paint: these imports cost as much as the framework itself.
        from divelog.app.start import open_shell

        shell, journal = open_shell(home, clock)
        if journal is not None:
            opened.append(journal)
        return shell

    theme_name, blocks = _settings(home)
    theme = settle(os.environ, theme_name)
    app = Divelog(theme=theme, blocks=blocks, opening=opening)
    try:
        code = app.run(mouse=False)
    finally:
        for journal in opened:
            journal.close()
    if app.fault is not None:
        tell(f"divelog: {_fault_words(app.fault)}")
        return Exit.BUG
    if app.ended_by is not None:
        _last_words(f"divelog: ended by {app.ended_by.name}. Everything answered is on disk.")
    return int(app.return_code or code or 0)


def _last_words(text: str) -> None:
    """One sentence, where there still is a terminal to read it on."""
    try:
        tell(text)
        sys.stderr.flush()
    except OSError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        for stream in (1, 2):  # what is still in buffers would fail again at the very end
            os.dup2(nowhere, stream)


def _fault_words(fault: Exception) -> str:
    """One sentence; the traceback goes to a file in the folder for such things."""
    import tempfile
    import traceback
    from pathlib import Path

    from divelog.files import write_atomic

    file = Path(tempfile.gettempdir()) / "divelog-fault.txt"
    try:
        write_atomic(file, "".join(traceback.format_exception(fault)).encode("utf-8", "replace"))
        where = f" Details in {file}."
    except StorageError:
        where = ""
    return f"a fault of the program ({type(fault).__name__}). Everything answered is on disk.{where}"


def _settings(home: Home) -> tuple[str, bool]:
    """Theme and block characters, read without the layers above: the file is small, and faults are told later."""
    utf8 = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    try:
        raw = read_capped(home.settings, MOST_SETTINGS)
    except StorageError:
        return "sun", utf8
    from divelog.profiles.toml import parse_toml  # most homes have no such file

    table, _, _ = parse_toml(raw, home.settings.name)
    theme = table.get("theme")
    return (theme if isinstance(theme, str) else "sun"), utf8 and table.get("narrow_blocks") is not False
