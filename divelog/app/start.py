"""A home opened for the screens: session, desk and shell; for reading only where it cannot be written."""

from __future__ import annotations

import contextlib

from divelog.app.desk import Desk
from divelog.app.places import EXTRAS, MAKERS
from divelog.app.shell import Shell
from divelog.clock import Clock
from divelog.files import StorageError
from divelog.home import Home
from divelog.journal.writing import Journal
from divelog.session.filing import note_filed
from divelog.session.session import Session
from divelog.session.shelf import read_shelf
from divelog.session.writable import check_writable
from divelog.text import is_slug


def open_shell(home: Home, clock: Clock) -> tuple[Shell, Journal | None]:
    """The shell of a home, and the journal to close afterwards (None where nothing can be kept)."""
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
    if journal is not None:
        with contextlib.suppress(StorageError):  # a disk that is full now says so at the first answer
            note_filed(session)
    return Shell(Desk(session, read_only=read_only), MAKERS, EXTRAS), journal
