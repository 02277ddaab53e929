"""``divelog`` and ``divelog demo``: the screens."""

from __future__ import annotations

import os
import sys
from argparse import Namespace

from divelog.clock import Clock
from divelog.commands.out import tell
from divelog.exits import Exit
from divelog.files import StorageError
from divelog.home import Home


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
    from divelog.app.desk import Desk
    from divelog.app.look.themes import settle
    from divelog.app.places import EXTRAS, MAKERS
    from divelog.app.shell import Shell
    from divelog.journal.writing import Journal
    from divelog.session.session import Session
    from divelog.session.shelf import read_shelf
    from divelog.session.writable import check_writable
    from divelog.text import is_slug

    shelf = read_shelf(home)
    read_only = ""
    journal: Journal | None = None
    device = shelf.settings.text_at("device") or "laptop"
    try:
        check_writable(home)
        journal = Journal(home, device=device if is_slug(device) else "laptop", clock=clock)
    except StorageError as error:
        read_only = f"{error} Opened for reading: nothing will be kept."
    session = Session(home, clock, shelf, journal)
    theme = settle(os.environ, shelf.settings.text_at("theme") or "sun")
    blocks = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8" and shelf.settings.value("narrow_blocks") is not False
    shell = Shell(Desk(session, read_only=read_only), MAKERS, EXTRAS)
    try:
        code = Divelog(shell, theme, blocks=blocks).run(mouse=False)
    finally:
        if journal is not None:
            journal.close()
    return int(code or 0)
